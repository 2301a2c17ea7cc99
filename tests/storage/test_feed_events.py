"""Two feeds at once, written to a real store tap by tap in any order, come back as if each had been alone."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from random import Random

import pytest

from forms.answers import Moment
from forms.chart import Place
from forms.clinical.feed_line import Event, Events, FeedLine, events_of, feed_line
from storage.changes import Begin, Change, Restore, StrikeOut
from storage.store import Store
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, TWIN, VISIT, put

ONE, TWO = "c" * 32, "8" * 32
START = datetime(2026, 3, 3, 14, 10, tzinfo=UTC)
BABIES = {ONE: BABY, TWO: TWIN}
STEPS = ("latch", "sucking", "suck", "swallow", "pause", "swallow", "cough", "asleep", "off_self")

Tap = tuple[str, str, str, str, datetime]
"""Entry, feed, what, lane, when."""


def taps(feed: str, lane: str, random: Random) -> list[Tap]:
    at, made = START + timedelta(seconds=random.randrange(60)), []
    for number in range(25):
        at += timedelta(milliseconds=random.randrange(1, 20_000))
        where = lane if random.random() < 0.8 else random.choice(("left", "right", "tube"))
        entry = sha256(f"{feed} {number}".encode()).hexdigest()[:32]
        made.append((entry, feed, random.choice(STEPS), where, at))
    return made


def tap_changes(tap: Tap) -> list[Change]:
    entry, feed, what, lane, at = tap
    return [
        Begin(entry, Place("feed_event", FAMILY, VISIT, (PARENT, BABIES[feed]))),
        put(entry, "what", what), put(entry, "at", Moment(at, "Europe/London")), put(entry, "noted", "live"),
        put(entry, "feed", feed), put(entry, "lane", lane),
    ]  # fmt: skip


def alone(found: Iterable[Tap]) -> FeedLine:
    """The line of these taps as no store and no other feed has touched them."""
    made = (Event(entry, what, lane, at, zone="Europe/London") for entry, _, what, lane, at in found)
    return feed_line(Events(tuple(sorted(made, key=lambda event: event.at))), START + timedelta(hours=1))


def kept(store: Store, feed: str) -> FeedLine:
    return feed_line(events_of(store.chart(FAMILY, VISIT), feed), START + timedelta(hours=1))


def facts(line: FeedLine) -> object:
    """Everything of a line but when its events were entered."""
    return [
        (
            name,
            lane.spells,
            lane.bursts,
            lane.rests,
            lane.state,
            lane.doubts,
            [(e.id, e.what, e.at) for e in lane.events],
        )
        for name, lane in line.lanes.items()
    ], [(event.id, event.what, event.at) for event in line.events]


@pytest.fixture
def feeds(store: Store) -> Store:
    for feed, baby in BABIES.items():
        store.write([Begin(feed, Place("feed", FAMILY, VISIT, (PARENT, baby)))], author=AUTHOR)
    return store


@pytest.mark.parametrize("seed", range(4))
def test_a_tandem_feed_written_in_any_interleaving_crosses_nothing(feeds: Store, seed: int) -> None:
    random = Random(seed)
    ours, theirs = taps(ONE, "left", random), taps(TWO, "right", random)
    mixed = [*ours, *theirs]
    random.shuffle(mixed)
    for tap in mixed:
        feeds.write(tap_changes(tap), author=AUTHOR)
    assert facts(kept(feeds, ONE)) == facts(alone(ours))
    assert facts(kept(feeds, TWO)) == facts(alone(theirs))
    assert feeds.check() == ()


def test_an_event_struck_out_and_brought_back_gives_the_same_line(feeds: Store) -> None:
    ours = taps(ONE, "left", Random(9))
    for tap in ours:
        feeds.write(tap_changes(tap), author=AUTHOR)
    whole = facts(kept(feeds, ONE))
    for tap in ours[3:8]:
        feeds.write([StrikeOut(tap[0], "slip")], author=AUTHOR)
    assert facts(kept(feeds, ONE)) == facts(alone([*ours[:3], *ours[8:]]))
    for tap in ours[3:8]:
        feeds.write([Restore(tap[0], "not a slip")], author=AUTHOR)
    assert facts(kept(feeds, ONE)) == whole
