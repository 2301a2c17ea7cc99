"""What a feed's events come to, each figure worked by hand; and none where it cannot be known."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction
from typing import Any

import pytest

from forms.clinical.feed_line import Events, FeedLine, feed_line
from forms.clinical.feed_numbers import (
    Change,
    Pains,
    Rate,
    SucksToSwallow,
    active_for,
    burst_count,
    changes,
    first_swallow,
    longest_pause,
    minutes_of,
    on_for,
    pains,
    stretch_words,
    sucks_to_swallow,
    swallow_count,
    transfer_rate,
)
from forms.clinical.result import NoFigure
from forms.weight import WeightReading
from tests.forms.clinical.tapped import WHOLE, Row, after, at, reading, tapped, weighed


def line_of(*rows: Row, until: int = 1_000) -> FeedLine:
    return feed_line(tapped(*rows), at(until))


def why(found: object) -> str:
    assert isinstance(found, NoFigure)
    return found.why


WHOLE_LINE = feed_line(tapped(*WHOLE))


def test_the_whole_feed_on_the_left() -> None:
    assert first_swallow(WHOLE_LINE, "left") == after(54 - 20)
    assert burst_count(WHOLE_LINE, "left") == 4
    assert swallow_count(WHOLE_LINE, "left") == 2 + 0 + 2 + 4
    # Burst 1: 6 sucks to 2 swallows. Burst 3, the last with both: 3 to 2. Burst 2: 5 sucks, no swallow.
    assert sucks_to_swallow(WHOLE_LINE, "left") == SucksToSwallow(Fraction(3), Fraction(3, 2), (5,))
    assert longest_pause(WHOLE_LINE, "left") == after(45)
    assert active_for(WHOLE_LINE, "left") == after(85 + 50 + 75 + 120)
    assert on_for(WHOLE_LINE, "left") == after(300 + 150)


def test_the_whole_feed_on_the_right() -> None:
    assert first_swallow(WHOLE_LINE, "right") == after(60)
    assert (burst_count(WHOLE_LINE, "right"), swallow_count(WHOLE_LINE, "right")) == (1, 1)
    assert why(sucks_to_swallow(WHOLE_LINE, "right")) == "no sucks were counted"
    assert longest_pause(WHOLE_LINE, "right") == after(20)  # until letting go
    assert (active_for(WHOLE_LINE, "right"), on_for(WHOLE_LINE, "right")) == (after(120), after(140))


def test_pain_first_last_and_highest() -> None:
    assert pains(WHOLE_LINE) == Pains((at(40), 6), (at(510), 1), (at(40), 6))
    assert pains(WHOLE_LINE, "left") == Pains((at(40), 6), (at(340), 2), (at(40), 6))
    assert why(pains(line_of((0, "latch", "left")))) == "pain was not tapped"


def test_what_changed_before_and_after() -> None:
    """The latch was changed at 300 s.

    Before: pain 6; swallows at 54, 57, 245, 252 in 85 + 50 + (300 - 245) = 190 s: 4 / (190/60) = 24/19 a minute.
    After: pain 2; swallows at 350, 360, 370, 380 in (320 - 300) + 120 = 140 s: 4 / (140/60) = 12/7 a minute.
    """
    found = changes(WHOLE_LINE)
    assert isinstance(found, tuple)
    (change,) = found
    assert change.event.words == "deeper latch"
    assert (change.pain_before, change.pain_after) == (6, 2)
    assert (change.swallows_before, change.swallows_after) == (Fraction(24, 19), Fraction(12, 7))


def one_change(*rows: Row) -> tuple[Change, ...]:
    found = changes(line_of(*rows))
    assert isinstance(found, tuple)
    return found


def test_two_changes_share_no_minute_and_no_pain() -> None:
    """Latched 0 to 300: 60 s, then help, 120 s, then a change, 120 s."""
    first, then = one_change(
        (0, "latch", "left"), (10, "pain", "left", 7), (20, "swallow", "left"), (60, "help", "left"),
        (100, "swallow", "left"), (110, "swallow", "left"), (180, "changed", "left"), (200, "pain", "left", 3),
        (300, "off_self", "left"),
    )  # fmt: skip
    assert (first.pain_before, first.pain_after) == (7, None)
    assert (then.pain_before, then.pain_after) == (None, 3)
    assert first.swallows_before == Fraction(1)  # 1 in 60 s
    assert first.swallows_after == then.swallows_before == Fraction(1)  # 2 in 120 s
    assert why(then.swallows_after) == "no swallow tapped in 2 min of active sucking"


def test_a_change_on_a_side_looks_at_that_side_and_one_on_none_at_the_whole_feed() -> None:
    rows: tuple[Row, ...] = (
        (0, "latch", "left"), (10, "pain", "left", 8), (20, "swallow", "left"), (60, "latch", "right"),
        (70, "pain", "right", 4), (120, "changed", "right"), (130, "swallow", "right"), (190, "off_self", "right"),
    )  # fmt: skip
    (on_right,) = one_change(*rows)
    assert on_right.pain_before == 4
    assert why(on_right.swallows_before) == "no swallow tapped in 1 min of active sucking"
    on_none: tuple[Row, ...] = tuple((120, "changed", None) if row[1] == "changed" else row for row in rows)
    (whole,) = one_change(*on_none)
    assert whole.swallows_before == Fraction(1, 2)  # 1 in 120 s on both sides
    assert whole.swallows_after == Fraction(60, 70)


def test_a_tube_beside_a_side_does_not_count_a_minute_twice() -> None:
    (change,) = one_change(
        (0, "latch", "left"), (0, "latch", "tube"), (30, "swallow", "left"), (60, "changed", None), (90, "end", None)
    )
    assert change.swallows_before == Fraction(1)
    assert why(change.swallows_after) == "less than a minute of active sucking"


def test_what_was_not_tapped_is_never_nought() -> None:
    latched = line_of((0, "latch", "left"))
    assert why(first_swallow(latched, "left")) == "no swallow was tapped"
    assert why(swallow_count(latched, "left")) == "no swallow was tapped"
    assert why(longest_pause(latched, "left")) == "no pause was tapped"
    for figure in (first_swallow, burst_count, sucks_to_swallow, longest_pause, active_for, on_for):
        assert why(figure(latched, "right")) == "no latch was tapped here"


def test_sucks_without_a_swallow_and_one_burst_alone() -> None:
    dry = line_of((0, "latch", "left"), *((n, "suck", "left") for n in range(1, 13)))
    found = sucks_to_swallow(dry, "left")
    assert isinstance(found, SucksToSwallow)
    assert (why(found.early), found.late, found.dry) == ("no swallow was tapped", None, (12,))
    one = line_of((0, "latch", "left"), (1, "suck", "left"), (2, "suck", "left"), (3, "swallow", "left"))
    assert sucks_to_swallow(one, "left") == SucksToSwallow(Fraction(2))


def test_fewer_sucks_than_swallows_are_no_ratio() -> None:
    few = line_of((0, "latch", "left"), (1, "suck", "left"), (2, "swallow", "left"), (3, "swallow", "left"))
    found = sucks_to_swallow(few, "left")
    assert isinstance(found, SucksToSwallow)
    assert why(found.early) == "fewer sucks than swallows were tapped"


def test_a_swallow_before_the_latch_leaves_the_first_swallow_open() -> None:
    early = line_of((0, "swallow", "left"), (5, "latch", "left"), (9, "swallow", "left"))
    assert why(first_swallow(early, "left")) == "a swallow stands before the first latch; check its time"


def test_without_an_end_and_without_a_now_there_are_no_minutes() -> None:
    forgotten = feed_line(tapped((0, "latch", "left"), (60, "swallow", "left")))
    assert why(active_for(forgotten, "left")) == "no letting go and no end was tapped"
    assert why(on_for(forgotten, "left")) == "no letting go and no end was tapped"
    assert first_swallow(forgotten, "left") == after(60)


def test_one_unresolved_event_leaves_every_figure_of_the_feed_unresolved() -> None:
    line = feed_line(replace(tapped(*WHOLE), unresolved=("9" * 32,)))
    found: list[Any] = [
        figure(line, "left")
        for figure in (first_swallow, burst_count, swallow_count, sucks_to_swallow, longest_pause, active_for, on_for)
    ]
    found += [pains(line), changes(line), transfer_rate(line, "left", weighed())]
    assert all(isinstance(figure, NoFigure) and figure.unresolved for figure in found)


def test_transfer_for_each_minute_of_active_sucking_with_its_cautions() -> None:
    """22 g on the left in 330 s = 5.5 min of active sucking: 4 g a minute."""
    found = transfer_rate(WHOLE_LINE, "left", weighed())
    assert isinstance(found, Rate)
    assert (found.grams, found.active, found.per_minute) == (22, after(330), Fraction(4))
    assert found.cautions == (
        "one feed is a sample of the day", "minutes and swallows are as tapped; watching does not measure milk",
        "the scale alone: ±2 g",
    )  # fmt: skip
    spat = transfer_rate(WHOLE_LINE, "left", weighed(spit_up=True))
    assert isinstance(spat, Rate)
    assert "spit up between" in spat.cautions
    unknown = transfer_rate(
        WHOLE_LINE,
        "left",
        (reading(3412, -60, "before", scale_step=None), reading(3434, 490, "after", scale_step=None)),
    )
    assert isinstance(unknown, Rate)
    assert "scale step not known" in unknown.cautions


@pytest.mark.parametrize(
    ("readings", "reason"),
    [
        (weighed(diaper_changed=True), "no pair of weights that counts"),
        (weighed(1), "no transfer that the scale can tell"),
        (weighed(0), "no transfer that the scale can tell"),
        (weighed(-4), "no transfer that the scale can tell"),
        ((reading(3412, -60, "before"),), "a weight before or after is missing"),
        ((), "no pair of weights that counts"),
        ((reading(3412, -60, "before", "both"), reading(3434, 490, "after", "both")), "no pair of weights that counts"),
        ((reading(3412, -60, "before"), reading(3434, 325, "after")), "baby was on this side outside the two weights"),
        ((reading(3412, 90, "before"), reading(3434, 490, "after")), "baby was on this side outside the two weights"),
        ((reading(3412, -60, "before", taken=None), reading(3434, 490, "after")), "a weight of this side has no time"),
        (
            (
                *weighed(),
                reading(3434, 495, "before"),
                reading(3440, 499, "after", diaper_changed=True),
            ),
            "a pair of weights of this side is void",
        ),
    ],
)
def test_there_is_no_rate_without_weights_that_tell_it(readings: tuple[WeightReading, ...], reason: str) -> None:
    assert why(transfer_rate(WHOLE_LINE, "left", readings)) == reason


def test_a_weight_typed_to_the_minute_still_stands_around_the_feed() -> None:
    typed = (reading(3412, 60, "before"), reading(3434, 420, "after"))  # latched at 20 s, off at 480 s
    assert isinstance(transfer_rate(WHOLE_LINE, "left", typed), Rate)


def test_there_is_no_rate_of_less_than_a_minute_nor_while_baby_is_on() -> None:
    """A minute: house rule (P)."""
    for seconds, shown in ((59, False), (60, True)):
        line = line_of((0, "latch", "left"), (seconds, "off_self", "left"))
        found = transfer_rate(line, "left", weighed())
        assert isinstance(found, Rate) is shown
        assert shown or why(found) == "less than a minute of active sucking"
    running = line_of((0, "latch", "left"), until=400)
    assert why(transfer_rate(running, "left", weighed())) == "baby is still on this side"


def test_times_are_exact_and_said_in_seconds() -> None:
    assert minutes_of(timedelta(seconds=330)) == Fraction(11, 2)
    assert minutes_of(timedelta(microseconds=1)) == Fraction(1, 60_000_000)
    said = ((0, "0 s"), (40, "40 s"), (60, "1 min"), (100, "1 min 40 s"), (3_725, "1 h 2 min 5 s"))
    for seconds, words in said:
        assert stretch_words(after(seconds)) == words


def test_no_events_are_no_figures() -> None:
    assert changes(feed_line(Events())) == ()
    assert why(swallow_count(feed_line(Events()), "left")) == "no swallow was tapped"
