"""Watching a feed: one feeder, one baby, one feed at a time, each side of the feeder asked for itself."""

from __future__ import annotations

from desktop.sheets.feed_events import FEED_EVENTS
from desktop.sheets.feed_head import FeedHead, Feeds, feed_in_view
from desktop.sheets.feed_live import LiveFeed
from desktop.sheets.feed_memory import MemoryDoor
from desktop.sheets.feed_others import is_watched, live_words
from desktop.sheets.feed_weights import FeedWeights
from desktop.sheets.latch_seen import LatchSeen
from desktop.sheets.sheet import Build, Compose, Section
from forms.feed import FeedObservation

__all__ = ["feed"]


def _live(c: Compose) -> None:
    c.widget(LiveFeed)


def _which(c: Compose) -> None:
    c.widget(Feeds)
    c.widget(MemoryDoor)
    c.alone("observed")
    c.ask("not_observed_because", "began", "last_ended", "baby_state")
    c.row("place", "helped_by")
    c.ask("devices")


def _position(c: Compose) -> None:
    c.alone("used")
    c.ask("position", "body", "latched_by", "tries", "minutes_to_latch", "help_level")


def _latch(c: Compose) -> None:
    c.ask("latched", "attachment", "latch_concerns")
    c.heading("Pain, in the feeder’s own number")
    c.ask("pain_at_latch", "pain_after_30s", "pain_middle", "pain_at_end")


def _sucking(c: Compose) -> None:
    c.ask("rhythm", "jaw")
    c.alone("swallows")
    c.ask("swallows_known", "breathing", "sucks_early", "sucks_late", "let_down", "flow")


def _end(c: Compose) -> None:
    c.ask("let_go", "ended_by", "breast_after", "nipple_after")


def _tried(c: Compose) -> None:
    c.alone("change_tried")
    c.ask("tried", "pain_before_change", "pain_after_change", "swallows_before_change", "swallows_after_change")
    c.ask("why_not_tried")


def _short(c: Compose) -> None:
    c.widget(FeedHead)
    c.widget(LatchSeen)


def _weights(c: Compose) -> None:
    c.widget(FeedHead)
    c.widget(FeedWeights)


def _after(c: Compose) -> None:
    c.widget(FeedHead)
    c.ask("baby_signs", "hands", "baby_after")
    c.heading("How it was for the feeder")
    c.ask("feeder_view", "feeder_words")


def _milk(c: Compose) -> None:
    c.widget(FeedHead)
    c.ask("supplement", "bottle_seen")


def _sided(build: Build) -> Build:
    def made(c: Compose) -> None:
        c.widget(FeedHead)
        c.by_side(build)

    return made


def _section(key: str, title: str, build: Build, heading: str = "") -> Section:
    return Section(key, title, FeedObservation, build, heading, bind=feed_in_view)


def feed() -> tuple[Section, ...]:
    """The sections of a feed, in the order in which one goes; the same for the feeder and for the baby."""
    return (
        Section("feed.live", "Live", FeedObservation, _live, bind=feed_in_view, told=live_words, folds=is_watched),
        _section("feed.which", "Feed", _which, "The feeds of this visit"),
        _section("feed.position", "Position", _sided(_position), "Coming on"),
        _section("feed.latch", "Latch", _sided(_latch), "Latch and pain"),
        _section("feed.sucking", "Sucking", _sided(_sucking), "Sucking and swallowing"),
        _section("feed.end", "Ending", _sided(_end), "Letting go"),
        _section("feed.tried", "Tried", _sided(_tried), "Tried, and what it did"),
        _section("feed.weights", "Weights", _weights, "Weighed before and after"),
        _section("feed.after", "After", _after, "Afterwards"),
        _section("feed.milk", "Milk", _milk, "More milk, and the bottle"),
        FEED_EVENTS,
        _section("feed.short", "In short", _short, "Effective latch: what was seen"),
    )
