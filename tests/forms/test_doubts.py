"""Asked once, then kept as typed: a jump in weight, a twin's line, a time ahead, a visit before the birth."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

import pytest

from forms.answers import Moment, Quantity
from forms.ask import Path
from forms.chart import Chart, Entry
from forms.contact import UrgentContact
from forms.doubts import doubts
from forms.form import Form
from forms.infant_history import InfantHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.plan import Plan
from forms.reading import read_moment
from forms.visit import Visit
from forms.weight import WeightReading
from tests.forms.clinical.charted import BABY, FAMILY, NOW, ZONE, charted, entry, grams, moment, weight

IDA, JUNO = "1" * 32, "2" * 32


def keys(chart: Chart, form: type[Form], field: str, value: Any, subject: str | None = BABY, **more: Any) -> set[str]:
    return {doubt.key.partition(":")[0] for doubt in doubts(chart, form, Path(field), value, subject, NOW, **more)}


def weighing(base: int, at: datetime, chart: Chart, subject: str = BABY, **more: Any) -> set[str]:
    answers = WeightReading(taken=moment(at))
    return keys(chart, WeightReading, "weight", grams(base), subject, answers=answers, **more)


# House bounds, no source: more than 400 g or more than 15 % in a day, more than 15 % within a week.
@pytest.mark.parametrize(
    ("last", "days", "typed", "asks"),
    [
        (4000, 1, 3600, False),
        (4000, 1, 3599, True),
        (4000, 1, 4401, True),
        (2000, 1, 1700, False),
        (2000, 1, 1699, True),
        (4000, 2, 4401, False),
        (4000, 2, 4801, True),
        (3400, 7, 3910, False),
        (3400, 7, 3911, True),
        (3400, 30, 4600, False),
        (3400, 0, 3801, True),
    ],
)
def test_a_weight_that_moves_too_much_is_asked_about_once(last: int, days: int, typed: int, *, asks: bool) -> None:
    chart = charted(weight(last, NOW - timedelta(days=days)), hours=None)
    assert ("weight_jump" in weighing(typed, NOW, chart)) is asks


# Rule of the trade (P): two readings more than 10 g apart ask for a third.
@pytest.mark.parametrize(("again", "asks"), [(3410, False), (3411, True), (3390, False), (3389, True)])
def test_two_readings_of_one_weighing_that_lie_apart_are_asked_about(again: int, *, asks: bool) -> None:
    first = WeightReading(weight=grams(3400), taken=moment(NOW))
    found = keys(charted(), WeightReading, "repeat", grams(again), answers=first)
    assert found == ({"readings_apart"} if asks else set())


def test_a_weight_is_compared_with_birth_and_with_later_weights_and_never_with_itself() -> None:
    assert "weight_jump" in weighing(3500, NOW, charted(hours=20))
    later = charted(weight(3400, NOW), hours=None)
    assert "weight_jump" in weighing(4000, NOW - timedelta(hours=5), later)
    own = later.all(WeightReading, BABY)[0].id
    assert weighing(4000, NOW, later, entry=own) == set()


def test_a_jump_answered_at_the_later_weight_is_not_asked_about_at_the_one_before() -> None:
    asked = doubts(
        charted(hours=20),
        WeightReading,
        Path("weight"),
        grams(3500),
        BABY,
        NOW,
        answers=WeightReading(taken=moment(NOW)),
    )
    later = charted(weight(3400, NOW, kept_after_asking=f"3,400 g: {asked[0].question} As typed."), hours=None)
    assert "weight_jump" not in weighing(4000, NOW - timedelta(hours=5), later)


def test_a_changed_time_asks_about_the_weight_again() -> None:
    chart = charted(weight(4000, NOW - timedelta(days=1)), hours=None)
    kept = WeightReading(weight=grams(4700))
    assert "weight_jump" in keys(chart, WeightReading, "taken", moment(NOW), answers=kept)
    assert keys(chart, WeightReading, "taken", moment(NOW), answers=WeightReading()) == set()


def at(text: str) -> Moment:
    return read_moment(text, ZONE)


def twins(*more: tuple[str, int, str]) -> Chart:
    """Ida and Juno: born 12 Jan at 35+2, weighed on 3 Feb and 10 Feb."""
    weighed = (
        (IDA, 2520, "2026-02-03 10:00"),
        (JUNO, 2500, "2026-02-03 10:10"),
        (IDA, 2680, "2026-02-10 10:00"),
        (JUNO, 2610, "2026-02-10 10:10"),
        *more,
    )
    entries: list[Entry[Form]] = [
        entry(IDA, InfantIdentity(called_name="Ida", born=at("2026-01-12 09:00"), birth_weight=grams(2310))),
        entry(JUNO, InfantIdentity(called_name="Juno", born=at("2026-01-12 09:08"), birth_weight=grams(2145))),
    ]
    entries += [
        entry(f"{n:032d}", WeightReading(weight=grams(g), taken=at(when)), baby)
        for n, (baby, g, when) in enumerate(weighed)
    ]
    return Chart(FAMILY, None, tuple(entries))


def test_a_swap_of_twins_is_asked_about_for_both() -> None:
    # Typed 3,050 for Ida and 3,240 for Juno; as typed 18.5 and 31.5 g/day, swapped 28.0 and 22.0.
    swapped = twins((IDA, 3050, "2026-03-02 10:00"), (JUNO, 3240, "2026-03-02 10:05"))
    ida, juno = f"{4:032d}", f"{5:032d}"
    assert "twin_line" in weighing(3050, at("2026-03-02 10:00").at, swapped, IDA, entry=ida)
    assert "twin_line" in weighing(3240, at("2026-03-02 10:05").at, swapped, JUNO, entry=juno)
    asked = doubts(
        swapped, WeightReading, Path("weight"), grams(3240), JUNO, NOW,
        answers=WeightReading(taken=at("2026-03-02 10:05")), entry=juno,
    )  # fmt: skip
    assert [d.question for d in asked] == ["This weight fits Ida's line better than Juno's. Is it Juno's?"]


def test_twins_weighed_rightly_are_not_asked_about() -> None:
    right = twins((IDA, 3240, "2026-03-02 10:00"), (JUNO, 3050, "2026-03-02 10:05"))
    assert weighing(3240, at("2026-03-02 10:00").at, right, IDA, entry=f"{4:032d}") == set()
    assert weighing(3050, at("2026-03-02 10:05").at, right, JUNO, entry=f"{5:032d}") == set()


def test_one_twins_weight_alone_is_tried_on_both_lines() -> None:
    assert "twin_line" in weighing(3240, at("2026-03-02 10:05").at, twins(), JUNO)
    assert weighing(2950, at("2026-03-02 10:05").at, twins(), JUNO) == set()


def test_weights_around_a_feed_bend_no_twins_line() -> None:
    dressed = WeightReading(weight=grams(3100), taken=at("2026-02-10 10:30"), state="clothes", feed="c" * 32)
    chart = twins().with_entry(entry("8" * 32, dressed, IDA))
    assert weighing(2680, at("2026-02-10 10:00").at, chart, IDA, entry=f"{2:032d}") == set()
    assert "twin_line" in weighing(3240, at("2026-03-02 10:05").at, chart, JUNO)


def test_without_two_earlier_weights_nothing_is_expected_of_a_twin() -> None:
    new = Chart(FAMILY, None, tuple(e for e in twins().entries if isinstance(e.answers, InfantIdentity)))
    assert "twin_line" not in weighing(2140, at("2026-01-13 09:00").at, new, IDA)


def test_a_time_still_to_come_asks_about_the_clock() -> None:
    chart = charted()
    ahead, soon = moment(NOW + timedelta(minutes=6)), moment(NOW + timedelta(minutes=5))
    assert "future" in keys(chart, WeightReading, "taken", ahead)
    assert "future" not in keys(chart, WeightReading, "taken", soon)
    assert "future" in keys(chart, Visit, "start", ahead, None)
    assert "future" in keys(chart, InfantHistory, "last_wet", ahead)
    assert "future" not in keys(chart, Plan, "followup_at", ahead, None)
    assert "future" not in keys(chart, UrgentContact, "next_when", ahead)


def test_a_day_of_birth_still_to_come_is_asked_about_in_the_local_calendar() -> None:
    assert "future" in keys(charted(), InfantIdentity, "born_day", date(2026, 3, 21))
    assert "future" not in keys(charted(), InfantIdentity, "born_day", date(2026, 3, 20))
    assert "future" not in keys(charted(), ParentIdentity, "born_day", date(1990, 5, 1), None)


def test_a_visit_or_weight_before_the_birth_is_asked_about() -> None:
    chart = charted(hours=60)
    early, late = moment(NOW - timedelta(hours=61)), moment(NOW - timedelta(hours=59))
    assert "before_birth" in keys(chart, Visit, "start", early, None)
    assert "before_birth" not in keys(chart, Visit, "start", late, None)
    assert "before_birth" in keys(chart, WeightReading, "taken", early)
    assert "before_birth" not in keys(chart, WeightReading, "taken", late)
    assert "before_birth" in keys(chart, InfantIdentity, "born", moment(NOW - timedelta(minutes=10)))
    assert "before_birth" not in keys(chart, InfantIdentity, "born", early)


def test_an_answer_like_any_other_is_not_asked_about() -> None:
    chart = charted(weight(3900, NOW - timedelta(days=1)))
    assert weighing(3880, NOW, chart) == set()
    assert keys(chart, InfantIdentity, "birth_weight", Quantity("3400", "g", 3400)) == set()
    assert keys(chart, Visit, "place", "the kitchen", None) == set()
