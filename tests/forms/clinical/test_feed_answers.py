"""What was tapped is not typed again: which answers follow from the events, and which are left to her."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from forms.answers import Absence, Absent, Moment, Sided
from forms.ask import Path
from forms.clinical.feed_answers import answers_from
from forms.clinical.feed_line import FeedLine, feed_line
from forms.feed import FeedObservation
from forms.form import with_values
from tests.forms.clinical.charted import conflict
from tests.forms.clinical.tapped import WHOLE, Row, at, tapped

EMPTY = FeedObservation()
LATCHED: tuple[Row, ...] = ((0, "begin", None), (20, "latch", "left"))


def line_of(*rows: Row) -> FeedLine:
    return feed_line(tapped(*rows), at(900))


def utc(seconds: int) -> Moment:
    return Moment(at(seconds), "UTC")


def said(feed: FeedObservation, line: FeedLine, before: FeedLine | None = None, **more: Any) -> Mapping[str, Any]:
    return {str(path): value for path, value in answers_from(feed, line, before, **more).items()}


def answered(feed: FeedObservation, line: FeedLine, before: FeedLine | None = None) -> FeedObservation:
    after = with_values(feed, answers_from(feed, line, before))
    assert isinstance(after, FeedObservation)
    return after


def test_a_whole_feed_answers_what_is_the_same_fact_and_nothing_else() -> None:
    assert said(EMPTY, line_of(*WHOLE)) == {
        "observed": "seen", "began": utc(0), "used@left": "fed", "used@right": "fed", "latched@left": utc(20),
        "latched@right": utc(500), "let_go@left": utc(480), "let_go@right": utc(640),
    }  # fmt: skip


def test_answers_written_once_are_not_written_again() -> None:
    line = line_of(*WHOLE)
    assert said(answered(EMPTY, line), line) == {}
    assert said(EMPTY, line_of()) == {}


def test_each_tap_brings_the_answers_along() -> None:
    feed, before = EMPTY, line_of()
    for number in range(1, len(WHOLE) + 1):
        line = line_of(*WHOLE[:number])
        feed, before = answered(feed, line, before), line
    assert feed == answered(EMPTY, line_of(*WHOLE))


def test_while_baby_is_on_there_is_no_time_off() -> None:
    assert "let_go@left" not in said(EMPTY, line_of(*LATCHED))


def test_what_was_typed_refused_or_disputed_stands() -> None:
    typed = FeedObservation(
        observed="video", began=utc(-60), used=Sided("tried", Absent(Absence.NOT_ASKED)),
        latched=Sided(utc(-30), None), baby_signs=Absent(Absence.NOT_ASKED),
    )  # fmt: skip
    assert said(typed, line_of(*WHOLE, (700, "cough", None))) == {}
    disputed = FeedObservation(observed=conflict("seen", "not_seen"))
    assert said(disputed, line_of(*WHOLE)) == {}
    assert said(FeedObservation(observed="not_seen"), line_of(*WHOLE)) == {}


def test_a_feed_watched_by_video_is_said_to_be() -> None:
    assert said(EMPTY, line_of(*LATCHED), seen="video")["observed"] == "video"


def test_a_later_letting_go_moves_the_time_off_that_an_event_wrote_and_no_typed_one() -> None:
    once = line_of(*LATCHED, (100, "off_self", "left"))
    twice = line_of(*LATCHED, (100, "off_self", "left"), (120, "latch", "left"), (200, "off_self", "left"))
    feed = answered(EMPTY, once)
    assert said(feed, twice) == said(feed, twice, once) == {"let_go@left": utc(200)}
    typed = with_values(feed, {Path.read("let_go@left"): utc(180)})
    assert isinstance(typed, FeedObservation)
    assert said(typed, twice) == said(typed, twice, once) == {}


def test_baby_on_again_takes_the_time_off_back_until_it_is_known() -> None:
    once = line_of(*LATCHED, (100, "off_self", "left"))
    again = line_of(*LATCHED, (100, "off_self", "left"), (120, "latch", "left"))
    assert said(answered(EMPTY, once), again, once) == {"let_go@left": None}
    assert said(answered(EMPTY, once), again) == {}


def test_a_latch_moved_or_taken_back_takes_its_times_along() -> None:
    before = line_of(*LATCHED)
    feed = answered(EMPTY, before)
    assert said(feed, line_of((0, "begin", None), (15, "latch", "left")), before) == {"latched@left": utc(15)}
    assert said(feed, line_of((0, "begin", None)), before) == {"latched@left": None}
    assert said(feed, line_of(), before) == {"began": None, "latched@left": None}


def test_a_time_off_before_a_latch_typed_later_is_not_written() -> None:
    typed = FeedObservation(observed="seen", used=Sided("fed", None), latched=Sided(utc(300), None))
    assert said(typed, line_of(*LATCHED, (100, "off_self", "left"))) == {"began": utc(0)}


@pytest.mark.parametrize(
    ("ticked", "written"),
    [
        (None, ("cough", "choke", "spit_up")),
        (("sweating",), ("cough", "choke", "sweating", "spit_up")),
        (("cough", "choke", "spit_up"), None),
        (("none",), None),
        (("colour", "a newer sign"), ("cough", "choke", "colour", "spit_up", "a newer sign")),
    ],
)
def test_signs_that_were_tapped_are_ticked_beside_those_that_are(
    ticked: tuple[str, ...] | None, written: tuple[str, ...] | None
) -> None:
    line = line_of(*LATCHED, (30, "spit_up", None), (31, "choke", "left"), (32, "cough", None), (33, "cough", None))
    assert said(FeedObservation(baby_signs=ticked), line).get("baby_signs") == written


def test_a_sign_that_she_took_out_again_does_not_come_back_with_the_next_tap() -> None:
    before = line_of(*LATCHED, (30, "cough", None))
    then = line_of(*LATCHED, (30, "cough", None), (40, "swallow", "left"))
    choked = line_of(*LATCHED, (30, "cough", None), (40, "choke", "left"))
    taken_out = FeedObservation(baby_signs=())
    assert "baby_signs" not in said(taken_out, then, before)
    assert said(taken_out, choked, before)["baby_signs"] == ("choke",)


def test_while_an_event_is_unresolved_no_time_is_written_or_taken_back() -> None:
    before = line_of(*LATCHED)
    feed = answered(EMPTY, before)
    open_line = feed_line(tapped((0, "begin", None), (50, "cough", None)))
    unresolved = FeedLine(open_line.events, open_line.lanes, unresolved=("1" * 32,))
    assert said(feed, unresolved, before) == {"baby_signs": ("cough",)}
