"""Figures of how care went against families counted by hand: beginnings, feeding, pain, languages, missed and late."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

import pytest

from forms.answers import Absence, Absent, Sided
from forms.chart import Chart, Entry, Struck
from forms.closing import Closing
from forms.contact import Contact
from forms.figures_of_practice import FIGURES
from forms.form import Form
from forms.infant_history import InfantHistory
from forms.letter_answer import LetterAnswer
from forms.parent_history import ParentHistory
from forms.people import ParentIdentity
from forms.plan import Plan
from forms.practice_figures import Counted
from forms.referral import Referral
from forms.visit import Addendum
from tests.forms.practice_cases import NOW, at, baby, entry, family, one, told, torn, visit


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
    assert told(
        "finished", *(family(entry(Referral, "b", visit="v", sent_at=at(5), state=state)) for state in states)
    ) == (3, 3, 1, 1)
