"""Releases and consents by purpose: whether they hold on a day."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from forms.answers import Absence, Absent, Conflicted, Moment, Variant
from forms.chart import Chart, Entry, Place, Struck
from forms.consent import Consent, Release, consent_for, release_for, stands_on, valid_on
from forms.form import Form

FIRST, LAST = date(2026, 3, 3), date(2026, 6, 3)
NOW = datetime(2026, 3, 3, 15, 0, tzinfo=UTC)
OPEN = Release(recipient="dr", scope=("referral",), valid_from=FIRST, valid_until=LAST)


def disputed(value: object) -> Conflicted:
    return Conflicted((Variant(value, "a", NOW, "one", "op1"), Variant(None, "a", NOW, "two", "op2")))


@pytest.mark.parametrize(
    ("today", "holds"),
    [(FIRST - timedelta(days=1), False), (FIRST, True), (LAST, True), (LAST + timedelta(days=1), False)],
)
def test_a_release_holds_from_its_first_day_to_its_last_both_included(today: date, holds: bool) -> None:
    assert valid_on(OPEN, today) is holds


@pytest.mark.parametrize(
    "doubt",
    [
        {"valid_from": None},
        {"valid_until": None},
        {"valid_until": Absent(Absence.NOT_ASKED)},
        {"valid_until": disputed(LAST)},
        {"withdrawn_at": Moment(NOW, "UTC")},
        {"withdrawn_at": disputed(Moment(NOW, "UTC"))},
    ],
)
def test_a_release_in_any_doubt_does_not_hold(doubt: dict[str, Any]) -> None:
    assert not valid_on(replace(OPEN, **doubt), FIRST)


def chart(*entries: Entry[Any]) -> Chart:
    return Chart("family", "visit", entries)


def entry(name: str, answers: Form, person: str = "ida", days: int = 0) -> Entry[Any]:
    return Entry(name, Place("release", "family", None, (person,)), answers, "a", NOW + timedelta(days=days))


def test_a_release_is_found_only_for_its_own_person_and_recipient() -> None:
    one = chart(entry("r", OPEN))
    assert release_for(one, "ida", "dr", "referral", FIRST) == one.entries[0]
    assert release_for(one, "juno", "dr", "referral", FIRST) is None
    assert release_for(one, "ida", "other", "referral", FIRST) is None


def test_the_newest_release_that_holds_is_the_one_used_and_a_struck_one_never_is() -> None:
    old, new = entry("old", OPEN), entry("new", OPEN, days=1)
    assert release_for(chart(new, old), "ida", "dr", "referral", FIRST) == new
    struck = replace(new, struck=Struck("a", NOW, "wrong clinic"))
    assert release_for(chart(struck, old), "ida", "dr", "referral", FIRST) == old


@pytest.mark.parametrize(
    ("scope", "covers"),
    [
        (("referral",), True),
        (("weights", "whole"), True),
        (("weights", "plan"), False),
        (None, False),
        (disputed(("referral",)), False),
    ],
)
def test_a_release_covers_a_letter_only_if_its_scope_says_so(scope: Any, covers: bool) -> None:
    one = chart(entry("r", replace(OPEN, scope=scope)))
    assert (release_for(one, "ida", "dr", "referral", FIRST) is not None) is covers


AGREED = Consent(purpose="phone", agreed="yes", given_at=Moment(NOW, "UTC"))


@pytest.mark.parametrize(
    ("row", "days", "holds"),
    [
        (AGREED, 0, True),
        (AGREED, -1, False),
        (AGREED, 4000, True),
        (replace(AGREED, agreed="limited"), 0, True),
        (replace(AGREED, agreed="no"), 0, False),
        (replace(AGREED, agreed=Absent(Absence.DECLINED)), 0, False),
        (replace(AGREED, agreed="a code of a newer version"), 0, False),
        (replace(AGREED, given_at=None), 0, False),
        (replace(AGREED, valid_until=FIRST), 0, True),
        (replace(AGREED, valid_until=FIRST), 1, False),
        (replace(AGREED, valid_until=Absent(Absence.NONE)), 9, True),
        (replace(AGREED, valid_until=disputed(LAST)), 0, False),
        (replace(AGREED, withdrawn_at=Moment(NOW, "UTC")), 0, False),
        (replace(AGREED, withdrawn_at=disputed(None)), 0, False),
        (replace(AGREED, purpose="student_present"), 0, True),
        (replace(AGREED, purpose="student_hands_on", valid_until=LAST), 1, False),
        (replace(AGREED, purpose="interpreter"), 0, False),
        (replace(AGREED, purpose="interpreter", interpreter_is="adult"), 0, True),
        (replace(AGREED, purpose="interpreter", interpreter_is="adult"), 1, False),
        (replace(AGREED, purpose="interpreter", interpreter_is="minor"), 0, False),
        (replace(AGREED, purpose="interpreter", interpreter_is="minor", minor_why="  "), 0, False),
        (replace(AGREED, purpose="interpreter", interpreter_is="minor", minor_why="no other way"), 0, True),
        (replace(AGREED, purpose=disputed("phone")), 0, False),
    ],
)
def test_a_consent_by_purpose_holds_only_where_nothing_about_it_is_in_doubt(
    row: Consent, days: int, holds: bool
) -> None:
    assert stands_on(row, FIRST + timedelta(days=days)) is holds


def test_the_newest_answer_for_a_purpose_decides_and_only_for_its_own_person() -> None:
    def row(name: str, answers: Consent, days: int = 0) -> Entry[Any]:
        return Entry(name, Place("consent", "family", None, ("mara",)), answers, "a", NOW + timedelta(days=days))

    yes, no = row("one", AGREED), row("two", replace(AGREED, agreed="no"), days=1)
    assert consent_for(chart(yes), "mara", "phone", FIRST) == yes
    assert consent_for(chart(yes), "ida", "phone", FIRST) is None
    assert consent_for(chart(yes), "mara", "video", FIRST) is None
    assert consent_for(chart(yes, no), "mara", "phone", FIRST) is None
    assert consent_for(chart(yes, replace(no, struck=Struck("a", NOW, "slip"))), "mara", "phone", FIRST) == yes
    again = row("three", AGREED, days=2)
    assert consent_for(chart(yes, no, again), "mara", "phone", FIRST) == again
