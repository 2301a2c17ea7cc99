"""Milk transfer from weights before and after: what the scale can tell, and no more."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from forms.answers import Conflicted, Moment, Quantity, Variant
from forms.clinical.result import NoFigure
from forms.clinical.transfer import (
    FeedTransfer,
    Pair,
    at_true_density,
    below_limit_words,
    feed_transfer,
    pair,
    resolution_95,
    typical_words,
)
from forms.weight import WeightReading

START = datetime(2026, 3, 5, 15, 0, tzinfo=UTC)


def reading(
    grams: int, minute: int, point: str, side: str = "left", step: int | None = 2, **more: Any
) -> WeightReading:
    answers: dict[str, Any] = {
        "weight": Quantity(str(grams), "g", grams),
        "taken": Moment(START + timedelta(minutes=minute), "UTC"),
        "state": "dry_diaper",
        "scale_name": "kitchen",
        "scale_step": Quantity(str(step), "g", step) if step else None,
        "feed": "f" * 32,
        "feed_side": side,
        "feed_point": point,
    }
    if point == "after":
        answers |= {"diaper_changed": False, "same_clothes": True, "spit_up": False}
    return WeightReading(**(answers | more))


# Check rows (C); 1 g = 1 mL is the trade's convention, 1.03 g/mL the true density (IOM 1991, S).
@pytest.mark.parametrize(
    ("before", "after", "step", "text"),
    [
        (3412, 3474, 2, "62 g = 62 mL (±2)"),
        (3412, 3410, 2, "no measurable transfer (−2 g, ±2)"),
        (3412, 3412, 2, "no measurable transfer (0 g, ±2)"),
        (3412, 3416, 5, "below scale step (4 g, ±5)"),
        (3412, 3417, 5, "5 g = 5 mL (±5)"),
        (3412, 3474, None, "62 g = 62 mL (scale step not known)"),
    ],
)
def test_a_pair_says_what_the_scale_can_tell(before: int, after: int, step: int | None, text: str) -> None:
    found = pair("left", reading(before, 0, "before", step=step), reading(after, 15, "after", step=step))
    assert isinstance(found, Pair)
    assert found.text == text


def test_sixty_two_grams_are_60_2_millilitres_at_the_true_density() -> None:
    assert at_true_density(62) == "60.2 mL at 1.03 g/mL"


def test_two_sides_add_up_with_the_scales_steps_added_too() -> None:
    feed = feed_transfer(
        [
            reading(3412, 0, "before"),
            reading(3450, 15, "after"),
            reading(3450, 16, "before", "right"),
            reading(3474, 30, "after", "right"),
        ]
    )
    assert (feed.side("left"), feed.side("right"), feed.total) == (38, 24, 62)
    assert feed.text == "62 g = 62 mL (±4)"


@pytest.mark.parametrize(
    ("more", "reason"),
    [
        ({"diaper_changed": True}, "diaper changed between"),
        ({"same_clothes": False}, "not the same clothes"),
        ({"state": "clothes"}, "not the same clothes"),
        ({"scale_name": "clinic"}, "not the same scale"),
        ({"scale_step": Quantity("5", "g", 5)}, "not the same scale"),
        ({"taken": Moment(START + timedelta(minutes=61), "UTC")}, "more than 60 minutes between"),
        ({"taken": Moment(START - timedelta(minutes=1), "UTC")}, "the weight after was taken earlier"),
    ],
)
def test_a_void_pair_keeps_its_numbers_and_enters_no_total(more: dict[str, Any], reason: str) -> None:
    feed = feed_transfer(
        [
            reading(3412, 0, "before"),
            reading(3450, 15, "after", **more),
            reading(3450, 16, "before", "right"),
            reading(3474, 30, "after", "right"),
        ]
    )
    void = next(p for p in feed.pairs if p.side == "left")
    assert (void.before, void.after, void.void) == (3412, 3450, (reason,))
    assert "not counted" in void.text
    assert feed.total == 24
    assert feed.text == "24 g = 24 mL (±2, without left)"
    assert isinstance(feed.side("left"), NoFigure)


def test_sides_weighed_on_different_scales_keep_their_figures_and_say_so() -> None:
    def feed(scale: str) -> FeedTransfer:
        return feed_transfer(
            [
                reading(3412, 0, "before"),
                reading(3450, 15, "after"),
                reading(3420, 16, "before", "right", scale_name=scale),
                reading(3444, 30, "after", "right", scale_name=scale),
            ]
        )

    other, same = feed("the clinic's"), feed("Kitchen ")
    words = "the sides were weighed on different scales"
    assert (other.side("left"), other.side("right"), other.total) == (38, 24, 62)
    assert all(words in found.cautions for found in other.pairs)
    assert not any(words in found.cautions for found in same.pairs)


def test_sixty_minutes_between_still_count() -> None:
    found = pair("left", reading(3412, 0, "before"), reading(3450, 60, "after"))
    assert isinstance(found, Pair)
    assert found.void == ()


def test_a_feed_weighed_as_a_whole_is_not_counted_twice() -> None:
    feed = feed_transfer(
        [
            reading(3412, 0, "before", "both"),
            reading(3412, 0, "before"),
            reading(3450, 15, "after"),
            reading(3474, 30, "after", "both"),
        ]
    )
    assert feed.total == 62
    assert feed.side("left") == 38


def test_milk_from_a_bottle_is_no_transfer_at_the_breast() -> None:
    feed = feed_transfer(
        [
            reading(3412, 0, "before"),
            reading(3450, 15, "after"),
            reading(3450, 16, "before", "bottle"),
            reading(3480, 30, "after", "bottle"),
        ]
    )
    assert (feed.total, feed.side("bottle")) == (38, 30)


def test_a_missing_weight_leaves_its_side_out_and_says_so() -> None:
    feed = feed_transfer([reading(3412, 0, "before"), reading(3450, 15, "after"), reading(3450, 16, "before", "right")])
    assert feed.text == "38 g = 38 mL (±2, without right)"


def test_a_conflict_anywhere_in_a_feed_leaves_its_total_unresolved() -> None:
    two = Conflicted(
        tuple(Variant(Quantity(str(g), "g", g), "a", START, "d", str(g)) for g in (3474, 3447))
    )  # fmt: skip
    feed = feed_transfer(
        [
            reading(3412, 0, "before"),
            reading(3450, 15, "after"),
            reading(3450, 16, "before", "right"),
            reading(3474, 30, "after", "right", weight=two),
        ]
    )
    assert feed.unresolved
    assert isinstance(feed.total, NoFigure)
    assert feed.total.unresolved
    side = feed_transfer([reading(3412, 0, "before", feed_side=Conflicted(two.variants))])
    assert side.unresolved


def test_a_doubtful_pair_is_kept_with_words_beside_it() -> None:
    plain = pair("left", reading(3412, 0, "before"), reading(3400, 15, "after", diaper_changed=None))
    assert isinstance(plain, Pair)
    assert any("lighter after" in words for words in plain.cautions)
    assert any("was not asked" in words for words in plain.cautions)
    huge = pair("left", reading(3412, 0, "before", step=5), reading(3660, 15, "after", step=5, spit_up=True))
    assert isinstance(huge, Pair)
    assert {"spit up between", "a 5 g step is coarse for a feed"} < set(huge.cautions)
    assert any("published range" in words for words in huge.cautions)


# SD of a difference d/sqrt(6), 95 % within 1.96 of it, sqrt(n) for n feeds: arithmetic (C).
@pytest.mark.parametrize(
    ("steps", "grams"), [([2], "1.6"), ([5], "4.0"), ([10], "8.0"), ([2] * 11, "5.3"), ([], "0.0")]
)
def test_the_scales_steps_grow_with_the_root_of_the_feeds_summed(steps: list[int], grams: str) -> None:
    assert f"{resolution_95(steps):.1f}" == grams


# 440 mL: lower limit once established, about day 11; two thirds below it at day 11 to 13 (Kent, Nutrients 2016, S).
def test_a_days_total_is_held_against_the_published_lower_limit_once_milk_is_established() -> None:
    words = below_limit_words(439, 11)
    assert words is not None
    assert "two thirds" in words
    later = below_limit_words(439, 14)
    assert later is not None
    assert "one third" in later
    assert below_limit_words(440, 14) is None
    assert below_limit_words(300, 10) is None


# Saint, Br J Nutr 1984, 9 babies (S); 788 g is Kent 2006, from memory (M), and goes with 478 to 1,356, never with 440.
@pytest.mark.parametrize(
    ("day", "says"),
    [
        (1, "37 g (7 to 123)"),
        (3, "408 g (98 to 775)"),
        (5, "705 g (453 to 876)"),
        (60, "788 g (478 to 1,356)"),
        (12, ""),
    ],
)
def test_typical_intake_is_said_in_words_with_its_age(day: int, says: str) -> None:
    words = typical_words(day)
    assert (words is None) if not says else (words is not None and says in words)
