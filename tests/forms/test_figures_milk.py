"""The figures of milk on the strip: a log, a day's intake, a supplement, what is expressed."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from forms.answers import Moment, Quantity, Sided
from forms.chart import Chart, Entry, entry_id
from forms.expressing import ExpressingDay, Expression
from forms.feed import FeedObservation
from forms.feeding_log import FeedingLog, LogLine
from forms.figures import Figure, figures
from forms.figures_log import IN_THE_STRIP, log_figures
from forms.form import Form
from forms.log_words import besides, what_was
from forms.people import InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount
from forms.visit import Visit
from forms.weight import WeightReading
from tests.forms.clinical.charted import BABY, FAMILY, NOW, PARENT, VISIT, ZONE, conflict, entry, grams


def at(hours: float) -> Moment:
    return Moment(NOW + timedelta(hours=hours), ZONE)


def mL(number: int) -> Quantity:  # noqa: N802 - the unit as it is written
    return Quantity(str(number), "mL", number)


def once(form: type[Form], person: str, **answers: Any) -> Entry[Form]:
    return entry(entry_id(form, VISIT, (person,)), form(**answers), person, visit=VISIT)


def line(number: int, hours: float, kind: str = "left", **more: Any) -> Entry[Form]:
    return entry(f"{number:032x}", LogLine(starts=at(hours), kind=kind, **more), BABY, visit=VISIT)


def chart(*more: Entry[Form], days: float = 12, birth: Any = 3200, now: int | None = None) -> Chart:
    entries: list[Entry[Form]] = [
        entry(
            BABY, InfantIdentity(born=at(-24 * days), birth_weight=grams(birth) if isinstance(birth, int) else birth)
        ),
        entry(PARENT, ParentIdentity(called_name="Mara")),
        entry(VISIT, Visit(start=Moment(NOW, ZONE))),
        *more,
    ]
    if now is not None:
        weight = WeightReading(weight=grams(now), taken=at(-0.1), state="bare")
        entries.append(entry("9" * 32, weight, BABY, visit=VISIT))
    return Chart(FAMILY, VISIT, tuple(entries))


def strip(of: Chart, person: str = BABY) -> dict[str, Figure]:
    return {figure.id: figure for figure in figures(of, NOW, person)}


def weighed(feed: str, before: int, after: int, hours: float) -> tuple[Entry[Form], ...]:
    shared: dict[str, Any] = {
        "state": "dry_diaper", "scale_name": "kitchen", "scale_step": grams(2), "feed": feed, "feed_side": "both",
    }  # fmt: skip
    observed = FeedObservation(observed="seen")
    place = entry(feed, observed, PARENT, BABY, visit=VISIT)
    first = WeightReading(weight=grams(before), taken=at(hours), feed_point="before", **shared)
    more: dict[str, Any] = {"diaper_changed": False, "same_clothes": True, "spit_up": False}
    last = WeightReading(weight=grams(after), taken=at(hours + 0.3), feed_point="after", **shared, **more)
    return (
        place,
        entry(feed[:-1] + "1", first, BABY, visit=VISIT),
        entry(feed[:-1] + "2", last, BABY, visit=VISIT),
    )


def test_without_a_log_an_amount_for_each_kg_or_expressing_there_is_no_such_figure() -> None:
    assert not {"log_feeds", "log_gap", "supplement", "intake_day", "transfer_all"} & set(strip(chart()))
    assert strip(chart(), PARENT) == {}


def test_a_log_of_19_hours_is_shown_as_19_hours_and_never_called_a_day() -> None:
    shown = strip(chart(line(1, -19), line(2, -12), line(3, -8), line(4, 0)))["log_feeds"]
    assert shown.big == "4 feeds in 19 h"
    assert "incomplete: the log covers 19 h and is no log of a day" in shown.small
    assert "24" not in shown.big + shown.label


def test_a_whole_day_says_its_hours_its_gap_and_what_was_told_of_it() -> None:
    log = once(FeedingLog, BABY, source="notes", complete="no")
    found = strip(chart(log, *(line(n, -23 + n * 4.5) for n in range(6)), days=30))
    assert found["log_feeds"].big == "6 feeds in 24 h"
    assert "not every feed is in it, as told" in found["log_feeds"].small
    assert found["log_feeds"].small[1].startswith("from 19 Mar 2026, 12:00 to 20 Mar 2026, 12:00")
    assert found["log_gap"].big == "4 h 30 min"


def test_the_strip_shows_three_figures_of_a_log_and_the_log_itself_all_of_them() -> None:
    of = chart(
        line(1, -22, wet=True, minutes_left=10), line(2, -10, "bottle", milk="formula", amount=mL(40)),
        line(3, -5, "pumped", pumped_left=mL(30)),
    )  # fmt: skip
    assert {key for key in strip(of) if key.startswith("log_")} == set(IN_THE_STRIP)
    shown = {figure.id: figure for figure in log_figures(of, BABY)}
    assert shown["log_given"].big == "40 mL"
    assert shown["log_expressed"].big == "left 30 mL, right –"
    assert shown["log_minutes"].big == "left 10 min, right –"
    assert shown["log_diapers"].big == "1 wet, stools not written"


def test_two_values_in_a_line_leave_the_log_without_a_number() -> None:
    torn = entry("8" * 32, LogLine(starts=conflict(at(-3), at(-2)), kind="left"), BABY, visit=VISIT)
    shown = strip(chart(torn, line(1, -1)))["log_feeds"]
    assert shown.unresolved
    assert shown.big == "–"


# Check row (C): 3.200 kg, 150 mL/kg as ordered, 8 feeds, 38 mL each.
def test_a_supplement_only_multiplies_and_names_the_origin_of_what_it_multiplied() -> None:
    plan = once(FeedingAmount, BABY, per_kg=150, per_kg_origin="provider", per_kg_from="Dr Marsh", feeds_per_day=8)
    shown = strip(chart(plan, *weighed("c" * 32, 3412, 3450, -1), now=3150))["supplement"]
    assert shown.big == "20 to 25 mL"
    assert "need 480 mL, taken 304 mL (estimated: 1 weighed feed times 8), lacking 176 mL in 24 h" in shown.small
    assert "multiplied by the birth weight, not yet regained" in shown.small
    assert "150 mL for each kg: the provider's order, Dr Marsh" in shown.inputs


def test_a_measured_day_goes_before_an_estimate_and_more_than_the_need_lacks_nothing() -> None:
    plan = once(FeedingAmount, BABY, per_kg=150, per_kg_origin="consultant", feeds_per_day=8, measured_24h=mL(500))
    shown = strip(chart(plan, *weighed("c" * 32, 3412, 3450, -1), now=3300))["supplement"]
    assert shown.big == "0 mL"
    assert "taken 500 mL (weighed over 24 hours, as entered)" in shown.small[0]
    assert "multiplied by the latest weight" in shown.small


@pytest.mark.parametrize(
    ("plan", "birth", "why"),
    [
        ({"per_kg": 150}, 3200, "the number of feeds in 24 hours is not known"),
        ({"per_kg": 150, "feeds_per_day": 8}, 3200, "what is taken in 24 hours is not known"),
        ({"per_kg": 150, "feeds_per_day": 8, "measured_24h": mL(300)}, None, "the birth weight is not known"),
        ({"per_kg": 150, "feeds_per_day": conflict(8, 6)}, 3200, "unresolved"),
    ],
)
def test_a_supplement_with_something_missing_says_what_and_shows_no_number(
    plan: dict[str, Any], birth: int | None, why: str
) -> None:
    shown = strip(chart(once(FeedingAmount, BABY, **plan), birth=birth))["supplement"]
    assert shown.big == "–"
    assert shown.small[0].startswith(why)


NOT_AT_BREAST = {"observed": "not_seen", "not_observed_because": "not_at_breast"}


def feed_told(name: str, **told: Any) -> Entry[Form]:
    return entry(name * 32, FeedObservation(**told), PARENT, BABY, visit=VISIT)


def test_a_baby_not_fed_at_the_breast_now_takes_nothing_there_and_the_whole_need_is_shared() -> None:
    plan = once(FeedingAmount, BABY, per_kg=150, per_kg_origin="provider", feeds_per_day=8)
    shown = strip(chart(plan, feed_told("c", **NOT_AT_BREAST), birth=3200))["supplement"]
    assert shown.big == "60 mL"  # 3.200 kg x 150 / 8, C
    assert "taken 0 mL (not fed at the breast or chest now)" in shown.small[0]


@pytest.mark.parametrize(
    "also",
    [{"observed": "not_seen", "not_observed_because": "asleep"}, {"observed": "seen"},
     {"observed": "not_seen", "not_observed_because": conflict("not_at_breast", "asleep")}],
)  # fmt: skip
def test_any_other_reason_why_no_feed_was_seen_leaves_what_is_taken_not_known(also: dict[str, Any]) -> None:
    plan = once(FeedingAmount, BABY, per_kg=150, per_kg_origin="provider", feeds_per_day=8)
    shown = strip(chart(plan, feed_told("c", **NOT_AT_BREAST), feed_told("d", **also), birth=3200))["supplement"]
    assert shown.big == "–"


def test_several_weighed_feeds_are_added_with_the_error_of_their_number_and_are_no_day() -> None:
    shown = strip(chart(*weighed("c" * 32, 3412, 3450, -3), *weighed("d" * 32, 3440, 3500, -1)))["transfer_all"]
    assert shown.big == "98 g = 98 mL"
    assert "2 feeds weighed; not a day" in shown.small
    assert "the scale's steps alone: ±2.3 g in 95 of 100" in shown.small  # 1.96 * sqrt(2 * 4 / 6), C


# 440 mL, the lower limit once established, about day 11 (Kent, Nutrients 2016, S).
def test_a_measured_day_under_440_millilitres_is_said_in_words_from_day_11_on() -> None:
    def intake(days: float, amount: int) -> Figure:
        return strip(chart(once(FeedingAmount, BABY, per_kg=1, measured_24h=mL(amount)), days=days))["intake_day"]

    assert any(words.startswith("below 440 mL") for words in intake(15, 439).small)
    assert not any("440" in words for words in intake(15, 440).small)
    assert not any("440" in words for words in intake(9, 300).small)


def test_what_a_parent_expresses_is_shown_as_told_and_as_the_sessions_add_up() -> None:
    told = once(ExpressingDay, PARENT, expresses=True, total_24h=mL(349), sessions_24h=6)
    session = Expression(began=at(-2), way=Sided("hand", "hand"), amount=Sided(mL(30), None))
    shown = strip(chart(told, entry("5" * 32, session, PARENT, visit=VISIT), days=14), PARENT)
    assert shown["expressed_told"].big == "349 mL"
    assert any(words.startswith("below 350 mL") for words in shown["expressed_told"].small)
    assert shown["expressed_sum"].big == "30 mL"
    assert "no amount written for 1 of the sides expressed" in shown["expressed_sum"].small


def test_every_figure_of_milk_names_its_source_with_a_mark_and_its_formula() -> None:
    plan = once(FeedingAmount, BABY, per_kg=150, feeds_per_day=8, measured_24h=mL(300))
    told = once(ExpressingDay, PARENT, total_24h=mL(400))
    of = chart(plan, told, line(1, -20, wet=True), line(2, -3, "cup", milk="own", amount=mL(9)), now=3300)
    shown = (*log_figures(of, BABY), *(strip(of)[key] for key in ("supplement", "intake_day")),
             *strip(of, PARENT).values())  # fmt: skip
    for figure in shown:
        assert any(f"{mark})" in figure.source for mark in ("(C", "S", "S2", "M", "P")), figure.id
        assert figure.formula, figure.id
        assert figure.inputs or figure.big == "–", figure.id


def test_what_is_not_told_apart_by_side_is_in_neither_side_and_is_said_beside_them() -> None:
    of = chart(
        line(1, -22, "both", minutes_together=20), line(2, -20, "left", minutes_left=12),
        line(3, -5, "pumped", pumped_together=mL(65)), line(4, -3, "pumped", pumped_left=mL(30)),
    )  # fmt: skip
    shown = {figure.id: figure for figure in log_figures(of, BABY)}
    assert shown["log_minutes"].big == "left 12 min, right –"
    assert "left: not written for 1 of 2" in shown["log_minutes"].small
    assert "not told apart: 20 min in 1 line, in neither side" in shown["log_minutes"].small
    assert shown["log_expressed"].big == "left 30 mL, right –"
    assert "not told apart: 65 mL in 1 line, in neither side" in shown["log_expressed"].small
    assert any("20" in words for words in shown["log_minutes"].inputs)
    assert any("65 mL" in words for words in shown["log_expressed"].inputs)


def test_a_line_in_words_shows_an_amount_as_it_was_typed_and_not_as_it_was_rounded() -> None:
    # 1.5 fl oz are 44.36 mL, kept as 44 beside the characters typed; 44 mL would be 1.49 fl oz.
    bottle = LogLine(kind="bottle", amount=Quantity("1.5", "fl_oz", 44))
    assert what_was(bottle, str) == "Bottle, 1.50 fl oz"
    assert what_was(LogLine(kind="both", minutes_together=20), str) == "Both sides, 20 min together"
    assert what_was(LogLine(kind="pumped", pumped_together=mL(65)), str) == "Milk expressed, 65 mL together"
    assert besides(LogLine(kind="diaper", stool="not_seen")) == "stool, colour not seen"


def test_what_a_log_adds_up_names_the_lines_it_is_made_of() -> None:
    of = chart(
        line(1, -22, wet=True, minutes_left=10), line(2, -10, "bottle", milk="formula", amount=mL(40)),
        line(3, -5, "pumped", pumped_left=mL(30)),
    )  # fmt: skip
    inputs = {figure.id: figure.inputs for figure in log_figures(of, BABY)}
    assert [words.partition("; ")[2] for words in inputs["log_given"]] == [
        "which milk: Formula, milk taken: 40 mL (1.35 fl oz)"
    ]
    assert len(inputs["log_minutes"]) == len(inputs["log_expressed"]) == len(inputs["log_diapers"]) == 1
    assert "10" in inputs["log_minutes"][0]
    assert "30 mL" in inputs["log_expressed"][0]
