"""What is gathered of a latch says what was seen and what was not, and never how good it was."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import UTC, datetime
from typing import Any

import pytest

from forms.answers import Absence, Absent, Conflicted, Side, Sided, Variant
from forms.feed import FeedObservation
from forms.latch import CAUTION, Found, latch_seen

GOOD: dict[str, Any] = {
    "used": "fed",
    "body": ("facing", "in_line", "neck_straight"),
    "attachment": ("wide", "lips_out", "asymmetric", "chin_in", "nose_free", "cheeks_full"),
    "latch_concerns": ("none",),
    "jaw": ("back_to_ear", "smaller_late"),
    "swallows": "some",
    "breathing": "third_or_fourth",
    "pain_after_30s": 3,
    "nipple_after": "longer",
}


def torn(first: object, second: object) -> Conflicted:
    at = datetime(2026, 3, 2, 15, tzinfo=UTC)
    return Conflicted(tuple(Variant(v, "author", at, "device", str(n)) for n, v in enumerate((first, second))))


def fed(**left: Any) -> FeedObservation:
    sided: dict[str, Any] = {name: Sided(value, None) for name, value in {**GOOD, **left}.items()}
    return FeedObservation(observed="seen", hands=("fists", "opening"), **sided)


def stands(feed: FeedObservation, words: str) -> Found:
    points = latch_seen(feed, Side.LEFT)
    assert points is not None
    return dict(points.found)[words]


def test_all_that_was_seen_is_listed_and_nothing_is_left_over() -> None:
    points = latch_seen(fed(), Side.LEFT)
    assert points is not None
    assert len(points.which(Found.SEEN)) == 17
    assert points.which(Found.NOT_SEEN) == points.which(Found.NOT_LOOKED) == points.which(Found.TORN) == ()


def test_a_side_that_did_not_feed_has_no_list() -> None:
    assert latch_seen(fed(), Side.RIGHT) is None
    assert latch_seen(fed(used="tried"), Side.LEFT) is None


# Each: the answer that is changed, and the point that is then not seen. All are common practice, no source.
@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("body", ("facing", "in_line"), "Neck not turned"),
        ("body", ("none",), "Body facing the feeder"),
        ("attachment", ("lips_out",), "Gape of about 120 degrees or more"),
        ("attachment", ("wide",), "Nose tip just touching"),
        ("latch_concerns", ("clicking",), "No clicking"),
        ("jaw", ("back_to_ear",), "Jaw strokes smaller and further forward as the feed ended"),
        ("swallows", "none", "Swallows"),
        ("breathing", "none", "Pauses to breathe"),
        ("pain_after_30s", 4, "Pain of 3 or less after the first 30 seconds"),
        ("nipple_after", "creased", "Nipple round on release, or longer and still round"),
    ],
)
def test_what_was_looked_for_and_not_seen_is_listed_as_not_seen(field: str, value: object, words: str) -> None:
    assert stands(fed(), words) is Found.SEEN
    assert stands(fed(**{field: value}), words) is Found.NOT_SEEN


@pytest.mark.parametrize("field", sorted(set(GOOD) - {"used"}))
@pytest.mark.parametrize("given", [None, Absent(Absence.NOT_DONE, "asleep")])
def test_a_question_without_an_answer_is_neither_seen_nor_not_seen(field: str, given: object) -> None:
    points, whole = latch_seen(fed(**{field: given}), Side.LEFT), latch_seen(fed(), Side.LEFT)
    assert points is not None
    assert whole is not None
    assert points.which(Found.NOT_LOOKED) != ()
    assert points.which(Found.NOT_SEEN) == ()
    assert len(points.found) == len(whole.found)


def test_two_values_that_say_different_things_are_shown_as_two_and_two_that_agree_are_not() -> None:
    words = "Pain of 3 or less after the first 30 seconds"
    assert stands(fed(pain_after_30s=torn(2, 6)), words) is Found.TORN
    assert stands(fed(pain_after_30s=torn(1, 2)), words) is Found.SEEN


def test_cheeks_ticked_full_and_dimpled_are_disputed() -> None:
    assert stands(fed(latch_concerns=("cheeks_in",)), "Cheeks full, not dimpled") is Found.TORN
    assert (
        stands(fed(latch_concerns=("cheeks_in",), attachment=("wide",)), "Cheeks full, not dimpled") is Found.NOT_SEEN
    )


def test_hands_are_the_babys_and_count_for_both_sides() -> None:
    both = replace(fed(), used=Sided("fed", "fed"), hands=("fists",))
    for side in Side:
        points = latch_seen(both, side)
        assert points is not None
        assert "Hands and arms loosened" in points.which(Found.NOT_SEEN)


def test_the_summary_carries_no_number_and_no_verdict() -> None:
    points = latch_seen(fed(), Side.LEFT)
    assert points is not None
    assert [one.name for one in fields(points)] == ["found"]
    said = " ".join((CAUTION, *(words for words, _ in points.found), *Found)).lower()
    assert not [word for word in ("good", "poor", "effective", "score of", "normal") if word in said]
