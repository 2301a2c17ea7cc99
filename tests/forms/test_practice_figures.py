"""Practice figures against invented practices counted by hand, with answers missing and in dispute."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import count
from typing import Any

import pytest

from forms.answers import Absence, Absent, Conflicted, Moment, Quantity, Sided, Variant
from forms.chart import Carried, Chart, Entry, Place, Signed, Struck
from forms.closing import Closing, StateAtEnd
from forms.contact import Contact
from forms.figures_of_practice import FIGURES, all_figures
from forms.form import Form
from forms.infant_history import InfantHistory
from forms.letter_answer import LetterAnswer
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.plan import Plan
from forms.practice_figures import SMALL, Answer, Counted, Of, Period, counted, median
from forms.referral import Referral
from forms.visit import Addendum, Visit
from forms.weight import WeightReading

ZONE = "Europe/London"
MARCH = Period(date(2026, 3, 1), date(2026, 3, 31))
NOW = datetime(2026, 4, 15, 9, tzinfo=UTC)
_ids = count()


def at(day: int, hour: int = 10, month: int = 3) -> Moment:
    return Moment(datetime(2026, month, day, hour, tzinfo=UTC), ZONE)


def grams(amount: int) -> Quantity:
    return Quantity(str(amount), "g", amount)


def torn(*values: Any) -> Conflicted:
    return Conflicted(tuple(Variant(one, "w", NOW, "d", str(n)) for n, one in enumerate(values)))


def entry(form: type[Form], *subjects: str, named: str = "", visit: str | None = None, **answers: Any) -> Entry[Any]:
    return Entry(named or f"e{next(_ids)}", Place(form.name, "f", visit, subjects), form(**answers), "w", NOW)


def family(*entries: Entry[Any], signed: tuple[tuple[str, datetime], ...] = ()) -> Chart:
    marks = tuple(Signed(visit, "w", when, "0", {}, "1") for visit, when in signed)
    return Chart("f", None, entries, marks)


def visit(start: Any, named: str = "v", **more: Any) -> Entry[Any]:
    return entry(Visit, named=named, start=start, **more)


def baby(named: str = "b", **more: Any) -> Entry[Any]:
    return entry(InfantIdentity, named=named, **more)


def one(code: str, *charts: Chart, period: Period = MARCH, now: datetime = NOW) -> Counted:
    figure = next(figure for figure in FIGURES if figure.code == code)
    return counted(figure, Of(charts, period, now))


def told(code: str, *charts: Chart, now: datetime = NOW) -> tuple[int, int, int, int]:
    """Yes, no, missing, in dispute."""
    found = one(code, *charts, now=now)
    return found.yes, found.no, found.missing, found.differs


def test_visits_and_families_are_those_of_the_period_with_undated_ones_told_beside() -> None:
    charts = (
        family(visit(at(1)), visit(at(31), "v2")),
        family(visit(at(28, month=2))),
        family(visit(at(2)), visit(None, "v2")),
        family(visit(torn(at(3), at(3, month=4)))),
        family(visit(torn(at(3, 9), at(3, 11)))),
        family(),
    )
    assert told("visits", *charts) == (4, 0, 1, 1)
    assert told("families", *charts) == (3, 0, 0, 1)
    each = one("visits_each", *charts)
    assert (each.numbers, each.missing, each.differs) == ((1, 2), 1, 1)
    assert each.words() == "median 1.5 (1 to 2), of 2"


def test_a_visit_struck_out_is_no_visit() -> None:
    gone = visit(at(4))
    struck = Entry(gone.id, gone.place, gone.answers, "w", NOW, struck=Struck("w", NOW, "entered twice"))
    assert told("visits", family(struck)) == (0, 0, 0, 0)


def test_age_at_the_first_visit_is_in_days_and_an_unknown_birth_is_missing() -> None:
    charts = (
        family(visit(at(10)), visit(at(20), "v2"), baby(born=at(4)), baby("b2", born_day=date(2026, 3, 3))),
        family(visit(at(10, month=2)), visit(at(9), "v2"), baby(born=at(1, month=2))),
        family(visit(at(5)), baby(), baby("b2", born=Absent(Absence.NOT_ASKED)), baby("b3", born=torn(at(1), at(2)))),
    )
    found = one("age_first", *charts)
    assert (found.numbers, found.missing, found.differs) == ((6, 7), 2, 1)


def test_a_plan_without_the_time_it_was_left_is_missing_not_late() -> None:
    charts = (
        family(visit(at(3)), entry(Plan, visit="v", left_at=at(3, 15))),
        family(visit(at(3)), entry(Plan, visit="v", left_at=at(4))),
        family(visit(at(3)), entry(Plan, visit="v")),
        family(visit(at(3))),
        family(visit(at(3)), entry(Plan, visit="v", left_at=torn(at(3), at(4)))),
    )
    assert told("plan_left", *charts) == (1, 1, 2, 1)


def test_a_note_signed_after_exactly_a_day_is_within_it_and_a_new_open_note_is_not_late_yet() -> None:
    end = at(3, 12)
    charts = [
        family(visit(at(3), end=end), signed=(("v", end.at + timedelta(hours=24)),)),
        family(visit(at(3), end=end), signed=(("v", end.at + timedelta(hours=24, seconds=1)),)),
        family(visit(at(3), end=end)),
        family(visit(at(3))),
        family(visit(at(3), end=torn(at(3, 12), at(3, 13)))),
    ]
    assert told("signed_24", *charts) == (1, 2, 1, 1)
    assert told("signed_72", *charts) == (2, 1, 1, 1)
    assert told("signed_24", charts[2], now=end.at + timedelta(hours=3)) == (0, 0, 0, 0)


def plan(kind: Any, due: Any) -> Entry[Any]:
    return entry(Plan, visit="v", followup_kind=kind, followup_at=due)


def test_a_follow_up_is_done_by_a_later_visit_or_contact_on_the_day_or_before() -> None:
    first, due = visit(at(3)), at(10)
    charts = (
        family(first, plan("home", due), visit(at(10, 20), "v2")),
        family(first, plan("phone", due), entry(Contact, at=at(6))),
        family(first, plan("home", due), visit(at(11), "v2")),
        family(first, plan("home", due), entry(Contact, at=at(2))),
        family(first, plan("home", due), entry(Contact)),
        family(first, plan("home", due), entry(Contact, at=torn(at(9), at(12)))),
        family(first, plan("home", due), entry(Contact, at=torn(at(12), at(13)))),
        family(first, plan("none", None)),
        family(first, plan("provider", due)),
        family(first, plan("home", None)),
        family(first, plan(None, None)),
        family(first, plan(torn("home", "phone"), due)),
        family(first, plan("home", torn(at(10), at(11)))),
        family(first, plan("home", at(3, month=4))),
    )
    assert told("follow_ups", *charts) == (2, 3, 3, 3)


def test_no_visit_is_a_follow_up_of_a_plan_whose_own_visit_has_no_written_start() -> None:
    undated = visit(None)
    charts = (
        family(visit(at(1), "v1"), undated, plan("home", at(10))),
        family(undated, plan("phone", at(10)), entry(Contact, at=at(6))),
        family(undated, plan("home", at(10))),
    )
    assert told("follow_ups", *charts) == (0, 0, 3, 0)


def test_a_follow_up_due_today_is_not_missed_yet() -> None:
    chart = family(visit(at(3)), plan("home", at(10)))
    assert told("follow_ups", chart, now=at(10, 18).at) == (0, 0, 0, 0)
    assert told("follow_ups", chart, now=at(11).at) == (0, 1, 0, 0)


def letter(**answers: Any) -> Chart:
    return family(entry(Referral, "b", visit="v", **answers))


def test_letters_are_counted_by_the_day_of_sending_and_stand_by_their_state() -> None:
    sent = {"sent_at": at(5), "reply_by": date(2026, 3, 20)}
    charts = (
        letter(**sent, state="sent"),
        letter(**{**sent, "reply_by": date(2026, 4, 15)}, state="booked"),
        letter(**{**sent, "reply_by": None}, state="seen"),
        letter(**{**sent, "reply_by": torn(date(2026, 3, 20), date(2026, 4, 20))}, state="received"),
        letter(**sent, state="answered"),
        letter(**sent, state="told_family"),
        letter(**sent, state="declined"),
        letter(**sent),
        letter(**sent, state=torn("sent", "answered")),
        letter(state="drafted"),
        letter(state="sent"),
        letter(sent_at=at(5, month=2), state="sent"),
    )
    assert told("letters", *charts) == (9, 0, 1, 0)
    assert told("answered", *charts) == (2, 5, 1, 1)
    assert told("overdue", *charts) == (1, 1, 2, 2)


def test_a_letter_is_answered_by_its_state_or_by_an_answer_on_file_and_never_by_being_closed() -> None:
    def sent(state: Any, *answers: Any) -> Chart:
        came = (entry(LetterAnswer, "b", letter=one) for one in answers)
        return family(entry(Referral, "b", named="l", visit="v", sent_at=at(5), state=state), *came)

    assert told("answered", sent("closed"), sent("lapsed"), sent("family_chose_not"), sent("declined")) == (0, 4, 0, 0)
    assert told("answered", sent("closed", "l"), sent("declined", "l"), sent("seen", "l")) == (3, 0, 0, 0)
    assert told("answered", sent("closed", "another"), sent(None)) == (0, 1, 1, 0)
    assert told("answered", sent(None, "l"), sent(torn("sent", "declined"), "l")) == (2, 0, 0, 0)
    assert told("answered", sent("closed", torn("l", "another")), sent(torn("sent", "answered"))) == (0, 0, 0, 2)


def weighed(day: int, amount: Any, **more: Any) -> Entry[Any]:
    """A weight so many days after the first of March, on which every baby here was born."""
    taken = at(1 + day) if day < 31 else at(day - 30, month=4)
    return entry(WeightReading, "b", weight=grams(amount) if isinstance(amount, int) else amount, taken=taken, **more)


@pytest.mark.parametrize(
    ("weights", "answer"),
    [
        ((weighed(14, 3000),), Answer.YES),
        ((weighed(9, 3010),), Answer.YES),
        ((weighed(9, 3010), weighed(12, 2990)), Answer.NO),
        ((weighed(12, 2999),), Answer.NO),
        ((weighed(11, 2999),), Answer.MISSING),
        ((weighed(11, 2900), weighed(20, 2990)), Answer.NO),
        ((weighed(11, 2900), weighed(20, 3400)), Answer.MISSING),
        ((weighed(15, 3000),), Answer.MISSING),
        ((weighed(0, 3000),), Answer.MISSING),
        ((), Answer.MISSING),
        ((weighed(13, 3100, state="clothes"),), Answer.MISSING),
        ((weighed(13, 3100, feed="feed1"),), Answer.MISSING),
        ((weighed(13, None),), Answer.MISSING),
        ((weighed(13, Absent(Absence.NOT_DONE, "asleep")),), Answer.MISSING),
        ((weighed(13, torn(grams(3100), grams(2900))),), Answer.DIFFERS),
    ],
)
def test_back_at_birth_weight_is_by_the_last_weight_until_day_14(
    weights: tuple[Entry[Any], ...], answer: Answer
) -> None:
    child = baby(born=at(1), birth_weight=grams(3000))
    found = one("regained", family(visit(at(15)), child, *weights))
    assert {Answer.YES: found.yes, Answer.NO: found.no, Answer.MISSING: found.missing,
            Answer.DIFFERS: found.differs}[answer] == 1  # fmt: skip
    assert found.yes + found.no + found.missing + found.differs == 1


def test_a_baby_counts_where_its_fourteenth_day_is_and_not_before_that_day_is_there() -> None:
    for born, period, now, cases in (
        (at(17), MARCH, NOW, 1), (at(18), MARCH, NOW, 0), (at(15, month=2), MARCH, NOW, 1), (at(14, month=2), MARCH, NOW, 0),
        (at(10), MARCH, at(23).at, 0), (at(10), MARCH, at(24).at, 1),
    ):  # fmt: skip
        child = baby(born=born, birth_weight=grams(3000))
        found = one("regained", family(visit(at(15)), child), period=period, now=now)
        assert found.missing == cases, born


def test_an_unknown_birth_or_birth_weight_is_missing_and_a_disputed_one_is_told_apart() -> None:
    charts = (
        family(visit(at(15)), baby(born=at(1)), weighed(13, 3100)),
        family(visit(at(15)), baby(born=at(1), birth_weight=torn(grams(3000), grams(3200))), weighed(13, 3100)),
        family(visit(at(15)), baby(birth_weight=grams(3000))),
        family(visit(at(15, month=2)), baby(birth_weight=grams(3000))),
    )
    assert told("regained", *charts) == (0, 0, 2, 1)


def fed(now: Any, **more: Any) -> Entry[Any]:
    return entry(InfantHistory, "b", visit="v", fed_now=now, **more)


def test_own_milk_is_told_at_the_last_visit_and_what_nobody_went_through_again_is_missing() -> None:
    kept = fed(("at_breast",))
    untouched = Entry(kept.id, kept.place, kept.answers, "w", NOW, carried={"fed_now": Carried("x", "y")})
    charts = (
        family(visit(at(3)), baby(), fed(("formula", "at_breast"))),
        family(visit(at(3)), baby(), fed(("own_milk",))),
        family(visit(at(3)), baby(), fed(("formula",))),
        family(visit(at(3)), baby(), fed(("donor_milk",))),
        family(visit(at(3)), baby(), fed(Absent(Absence.DECLINED))),
        family(visit(at(3)), baby()),
        family(visit(at(3)), baby(), untouched),
        family(visit(at(3)), baby(), fed(torn(("formula",), ("at_breast",)))),
        family(visit(at(3)), visit(at(9), "v2"), baby(), fed(("at_breast",))),
        family(visit(at(3, month=2)), baby(), fed(("at_breast",))),
    )
    assert told("own_milk", *charts) == (2, 2, 4, 1)


def ended(recall: Any, goal: Any = 8, closed: Any = None) -> Chart:
    closing = entry(Closing, named="c", closed_at=closed or at(20), covers=("b",), goal_reached=goal)
    return family(baby(), closing, entry(StateAtEnd, "b", closing="c", recall=recall))


def test_the_end_of_care_is_by_closings_finished_in_the_period() -> None:
    charts = (
        ended(("at_breast",), 10), ended(("own", "medicine"), 7), ended(("at_breast", "water"), 3), ended(("formula",), None),
        ended(("medicine",), torn(3, 4)), ended(None, Absent(Absence.NOT_ASKED)), ended(torn(("own",), ("formula",)), 0),
        ended(("own",), 9, at(20, month=2)), family(baby(), entry(Closing, named="c")),
    )  # fmt: skip
    assert told("closed", *charts) == (7, 0, 0, 0)
    assert told("human_only", *charts) == (2, 3, 1, 1)
    goal = one("goal", *charts)
    assert (goal.numbers, goal.missing, goal.differs) == ((0, 3, 7, 10), 2, 1)
    assert goal.words() == "median 5 (0 to 10), of 4"


def course(*entries: Entry[Any], days: tuple[int, ...] = (2, 9, 20), closed: Any = 20, covers: Any = ("b",)) -> Chart:
    """A family with a baby, a parent, visits v0, v1 ... on days of March, and a closing."""
    visits = [visit(at(day), f"v{n}", end=at(day, 12)) for n, day in enumerate(days)]
    return family(
        baby(), entry(ParentIdentity, named="p"), *visits, *entries,
        entry(Closing, named="c", closed_at=at(closed, 18) if isinstance(closed, int) else closed, covers=covers),
    )  # fmt: skip


def recalled(had: Any, where: str = "v0") -> Entry[Any]:
    return entry(InfantHistory, "b", visit=where, day_before=had)


def test_human_milk_only_at_the_start_is_by_the_day_before_the_first_visit_with_medicines_allowed() -> None:
    charts = (
        course(recalled(("at_breast",))),
        course(recalled(("own", "donor", "medicine"))),
        course(recalled(("at_breast", "water"))),
        course(recalled(("at_breast", "solids"))),
        course(recalled(("formula",))),
        course(recalled(("medicine",))),
        course(recalled(None)),
        course(recalled(Absent(Absence.NOT_ASKED))),
        course(recalled(("at_breast",), "v1")),
        course(recalled(torn(("own",), ("formula",)))),
        course(),
    )
    assert told("human_first", *charts) == (2, 4, 4, 1)
    assert told("human_start", *charts) == (2, 4, 4, 1)


def test_the_start_of_care_that_ended_is_its_own_first_visit_and_that_of_the_family_lies_earlier() -> None:
    again = family(
        baby(), visit(at(2, month=2), "old"), recalled(("formula",), "old"),
        entry(Closing, named="first", closed_at=at(20, month=2), covers=("b",)),
        visit(at(5), "new"), recalled(("at_breast",), "new"), visit(at(20, month=2), "same day"),
        entry(Closing, named="second", closed_at=at(9), covers=("b",)),
    )  # fmt: skip
    assert told("human_start", again) == (1, 0, 0, 0)
    assert told("human_first", again) == (0, 0, 0, 0)
    assert one("visits_episode", again).numbers == (1,)
    assert told("opened", again) == (1, 0, 0, 0)


def test_care_that_ended_for_one_twin_goes_on_for_the_other_and_is_not_begun_anew() -> None:
    twins = family(
        baby(), baby("b2"), visit(at(2, month=2), "v0"), entry(Closing, closed_at=at(20, month=2), covers=("b2",)),
        visit(at(5), "v1"), entry(Closing, closed_at=at(9), covers=("b",)),
    )  # fmt: skip
    assert told("opened", twins) == (0, 0, 0, 0)
    assert one("visits_episode", twins).numbers == (2,)


def test_care_is_begun_by_a_first_visit_and_an_undated_one_leaves_it_open() -> None:
    charts = (
        family(visit(at(2)), visit(at(9), "v2")), family(visit(at(2, month=2)), visit(at(9), "v2")),
        family(visit(at(2)), visit(None, "v2")), family(visit(torn(at(2), at(3)))), family(),
    )  # fmt: skip
    assert told("opened", *charts) == (1, 0, 1, 1)
    undated = course(visit(None, "v9"))
    found = one("visits_episode", undated, course(), course(days=()), course(days=(2, 25)))
    assert (found.numbers, found.missing) == ((0, 1, 3), 1)


def hurts(where: str, left: Any, right: Any, whose: str = "p") -> Entry[Any]:
    return entry(ParentHistory, whose, visit=where, pain_now=Sided(left, right))


def test_pain_is_that_of_the_worse_side_at_the_first_and_the_last_visit_in_pairs_only() -> None:
    nothing = Absent(Absence.NONE)
    charts = (
        course(hurts("v0", 8, 3), hurts("v1", 9, 9), hurts("v2", 1, 2)),
        course(hurts("v0", 4, nothing), hurts("v2", nothing, 4)),
        course(hurts("v0", 0, 0), hurts("v2", 3, 0)),
        course(hurts("v0", 6, None), hurts("v2", 1, 1)),
        course(hurts("v0", 6, 6)),
        course(hurts("v0", torn(1, 5), 2), hurts("v2", 1, 1)),
        course(hurts("v0", nothing, nothing), hurts("v2", 1, 1)),
        course(hurts("v0", 7, 7), days=(2,)),
        course(),
    )
    first, last, moved = (one(code, *charts) for code in ("pain_first", "pain_last", "pain_moved"))
    assert (first.numbers, last.numbers) == ((0, 4, 8), (2, 3, 4))
    assert [(found.missing, found.differs) for found in (first, last, moved)] == [(3, 1)] * 3
    assert first.words() == "median 4 (0 to 8), of 3"
    assert last.words() == "median 3 (2 to 4), of 3"
    assert moved.words() == "lower 1, the same 1, higher 1, of 3"
    assert one("pain_moved", charts[0]).words() == "lower 1, the same 0, higher 0, of 1"
    assert one("pain_moved").words() == "none to count"


def test_nobody_was_there_is_by_contacts_that_say_so_out_of_these_and_the_visits() -> None:
    charts = (
        family(visit(at(2)), entry(Contact, at=at(9), missed="no_show")),
        family(entry(Contact, at=at(9), missed="no_show"), entry(Contact, at=at(9, month=2), missed="no_show")),
        family(visit(at(2)), entry(Contact, at=at(9), missed="family"), entry(Contact, missed="practice")),
        family(visit(at(2)), entry(Contact, at=at(9)), entry(Contact, missed="no_show")),
        family(visit(None), entry(Contact, at=at(9), missed=torn("no_show", "family"))),
        family(entry(Contact, at=torn(at(9), at(10)), missed="no_show")),
    )
    assert told("no_shows", *charts) == (2, 3, 1, 2)
    assert one("no_shows", *charts).words() == "2 of 5"


def speaks(*languages: Any, month: int = 3) -> Chart:
    return family(visit(at(2, month=month)), *(entry(ParentIdentity, language=one) for one in languages))


def test_each_family_counts_once_by_its_language_however_it_is_written() -> None:
    charts = (
        speaks("English"), speaks("english "), speaks("English", "English"), speaks("Spanish"),
        speaks("Spanish", None), speaks("English", "Spanish"), speaks(None), speaks(),
        speaks(torn("Dutch", "German")), speaks("Urdu", month=2), speaks(Absent(Absence.DECLINED)),
    )  # fmt: skip
    found = one("languages", *charts)
    assert found.words() == "English 3, Spanish 2, more than one 1, of 6"
    assert found.lacking() == "3 missing, 1 in dispute"
    assert found.words_outside() == "all others 6, of 6"


@pytest.mark.parametrize(
    ("under", "outside"),
    [
        ((("English", 20), ("Spanish", 7), ("Urdu", 4), ("Welsh", 1)), "English 20, Spanish 7, all others 5, of 32"),
        (
            (("English", 20), ("Spanish", 7), ("Urdu", 4)),
            "English 20, Spanish 5 or more, all others fewer than 5, of 31",
        ),
        ((("English", 20), ("Urdu", 1)), "English 5 or more, all others fewer than 5, of 21"),
        ((("English", 20),), "English 5 or more, all others fewer than 5, of 20"),
        ((("Urdu", 3), ("Welsh", 3)), "all others 6, of 6"),
        ((("English", 3), ("Urdu", 1)), "out of fewer than 5"),
        ((), "out of fewer than 5"),
    ],
)
def test_outside_no_word_with_fewer_than_five_is_told_nor_to_be_worked_out(
    under: tuple[tuple[str, int], ...], outside: str
) -> None:
    languages = next(figure for figure in FIGURES if figure.code == "languages")
    assert Counted(languages, 0, 0, 0, 0, (), under).words_outside() == outside


def written(when: datetime, form: type[Form] = Plan, where: str = "v") -> Entry[Any]:
    made = entry(form, visit=where)
    return Entry(made.id, made.place, made.answers, "w", when)


def test_an_entry_is_late_when_it_was_begun_more_than_a_day_after_the_end_of_its_visit() -> None:
    end = at(3, 12)
    day = timedelta(hours=24)
    gone = written(end.at + 2 * day)
    charts = (
        family(
            visit(at(3), end=end), written(end.at), written(end.at + day), written(end.at + day + timedelta(seconds=1)),
            written(end.at + 9 * day, Referral), written(end.at + 9 * day, Addendum),
            Entry(gone.id, gone.place, gone.answers, "w", gone.entered, struck=Struck("w", NOW, "entered twice")),
        ),
        family(visit(at(3)), written(end.at)),
        family(visit(at(3), end=torn(end, at(4))), written(end.at)),
        family(visit(at(3, month=2), end=at(3, month=2)), written(end.at)),
    )  # fmt: skip
    assert told("late", *charts) == (1, 2, 1, 1)


def test_a_letter_is_answered_in_time_by_the_first_answer_and_on_the_very_day() -> None:
    def sent(due: Any, *came: Any) -> Chart:
        answers = (entry(LetterAnswer, "b", letter="l", came=one) for one in came)
        return family(
            entry(Referral, "b", named="l", visit="v", sent_at=at(5), state="answered", reply_by=due), *answers
        )

    due = date(2026, 3, 20)
    assert told("on_time", sent(due, at(20, 22)), sent(due, at(21), at(6)), sent(due, at(21)), sent(due)) == (
        2,
        1,
        0,
        0,
    )
    assert told("on_time", sent(None, at(6)), sent(due, None), sent(due, None, at(6))) == (1, 0, 2, 0)
    assert told("on_time", sent(due, torn(at(6), at(26))), sent(torn(due, date(2026, 3, 2)), at(6))) == (0, 0, 0, 2)


def test_a_letter_is_closed_when_the_family_knows_or_chose_not_to_go() -> None:
    states = ("told_family", "closed", "family_chose_not", "answered", "declined", "sent", None, torn("sent", "closed"))
    assert told("finished", *(letter(sent_at=at(5), state=state) for state in states)) == (3, 3, 1, 1)


def test_an_empty_practice_has_nothing_to_count_and_no_share_of_nought() -> None:
    for found in all_figures(Of((), MARCH, NOW)):
        assert found.words() in ("0", "none to count")
        assert found.lacking() == "0 missing"


@pytest.mark.parametrize(
    ("yes", "no", "inside", "outside"),
    [
        (20, 10, "20 of 30", "20 of 30"),
        (4, 26, "4 of 30", "fewer than 5 of 30"),
        (0, 30, "0 of 30", "fewer than 5 of 30"),
        (28, 2, "28 of 30", "all but fewer than 5, of 30"),
        (30, 0, "30 of 30", "all but fewer than 5, of 30"),
        (3, 1, "3 of 4", "out of fewer than 5"),
        (3, 3, "3 of 6", "fewer than 5 of 6"),
        (5, 5, "5 of 10", "5 of 10"),
    ],
)
def test_outside_no_number_below_five_is_told_on_either_side(yes: int, no: int, inside: str, outside: str) -> None:
    share = Counted(next(figure for figure in FIGURES if figure.code == "answered"), yes, no, 2, 1)
    assert (share.words(), share.words_outside()) == (inside, outside)
    assert (share.lacking(), share.lacking_outside()) == ("2 missing, 1 in dispute", f"fewer than {SMALL}")


def test_outside_a_median_has_no_extremes_and_needs_five() -> None:
    age = next(figure for figure in FIGURES if figure.code == "age_first")
    five = Counted(age, 0, 0, 5, 0, (2, 3, 4, 8, 60))
    assert five.words() == "median 4 days (2 to 60), of 5"
    assert (five.words_outside(), five.lacking_outside()) == ("median 4 days, of 5", "5")
    assert Counted(age, 0, 0, 0, 0, (2, 3, 4, 8)).words_outside() == "out of fewer than 5"


@pytest.mark.parametrize(("row", "middle"), [((1,), "1"), ((1, 2), "1.5"), ((3, 1), "2"), ((5, 1, 9), "5")])
def test_the_median_is_exact(row: tuple[int, ...], middle: str) -> None:
    assert median(row) == middle


def test_every_figure_says_what_it_means_under_a_code_of_its_own() -> None:
    codes = [figure.code for figure in FIGURES]
    assert len(set(codes)) == len(codes)
    assert all(figure.label and figure.means.endswith(".") for figure in FIGURES)
