"""Practice figures against invented practices counted by hand, with answers missing and in dispute."""

from __future__ import annotations

import re
from datetime import date, timedelta
from itertools import product
from typing import Any

import pytest

from forms.answers import Absence, Absent
from forms.chart import Carried, Chart, Entry, Struck
from forms.closing import Closing, StateAtEnd
from forms.contact import Contact
from forms.figures_of_practice import FIGURES, all_figures
from forms.infant_history import InfantHistory
from forms.letter_answer import LetterAnswer
from forms.plan import Plan
from forms.practice_figures import SMALL, Answer, Counted, Figure, Of, Spread, median
from forms.referral import Referral
from forms.weight import WeightReading
from tests.forms.practice_cases import MARCH, NOW, at, baby, entry, family, grams, one, told, torn, visit


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


MOVED = ("lower", "the same", "higher")


def test_a_figure_in_words_tells_outside_nothing_false_and_no_number_below_five() -> None:
    figure = Figure("moved", "Pain", "Which way it went.", Spread.WORDS, lambda _of: (), words=MOVED)
    for numbers in product(range(13), repeat=3):
        whole, under = sum(numbers), dict(zip(MOVED, numbers, strict=True))
        if whole < SMALL:
            continue
        told = Counted(figure, 0, 0, 0, 0, under=tuple(under.items())).words_outside()
        listed, others = re.fullmatch(rf"(.*)all others (\d+|fewer than 5), of {whole}", told).groups()  # type: ignore[union-attr]
        named = dict(re.findall(r"(lower|the same|higher) (\d+ or more|\d+)(?:, |$)", listed))
        assert all(under[word] >= SMALL for word in named), told
        assert all(said in (str(under[word]), "5 or more") for word, said in named.items()), told
        rest = sum(number for word, number in under.items() if word not in named)
        assert others == (str(rest) if rest >= SMALL else "fewer than 5"), told
        masked = [word for word, said in named.items() if said == "5 or more"]
        assert len(masked) == (rest < SMALL), told
        assert all(under[word] + rest > SMALL for word in masked), told  # else the rest could only be nought
