"""The page of a feed's events: in order of time, a handful at once, changed and struck out, and put in from memory."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act
from desktop.pages.visit import VisitPage
from desktop.sheets.event_list import AT_ONCE
from desktop.sheets.event_time import EventTime, Trail
from desktop.sheets.feed_events import FeedEvents
from desktop.sheets.feed_memory import FromMemory, MemoryDoor
from desktop.sheets.in_view import InView
from forms.answers import Moment, Side
from forms.chart import Place
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent
from tests.helpers import kit_walk
from tests.helpers.kept import found, laid, put
from tests.helpers.twins import ZONE, TwinVisit, Written
from tests.helpers.visits import said, settled
from tests.helpers.waiting import breathe


def feed_with(made: TwinVisit, *events: tuple[float, str, dict[str, Any]], noted: str = "live") -> str:
    """A feed of Mara and Ida that began at the visit's beginning, with these events so many seconds into it."""
    start, feed = made.clock(), made.ids()
    put(made, FeedObservation, feed, made.mara, made.ida, observed="seen", began=Moment(start, ZONE))
    written, place = Written(), Place("feed_event", made.family, made.visit, (made.mara, made.ida))
    for seconds, what, more in events:
        at = Moment(start + timedelta(seconds=seconds), ZONE)
        written.put(made.ids(), place, feed=feed, what=what, at=at, **{"noted": noted, "lane": "left", **more})
    made.store.write(written.changes, author=made.author)
    made.clock.pass_by(hours=1)
    return feed


def events_page(made: TwinVisit, page: VisitPage) -> FeedEvents:
    page.home.reload()
    settled(made)
    page.go("feed", made.ida, "feed.events")
    settled(made)
    return found(laid(page), FeedEvents)


def told(made: TwinVisit, page: VisitPage) -> None:
    """Until everything is on disk and what follows from events has been worked out, which waits for a pause."""
    page.home.save()
    settled(made)
    while made.lane.busy or any(timer.isActive() for timer in page.home.findChildren(QTimer)):
        breathe()
    settled(made)


def kept(made: TwinVisit, page: VisitPage) -> list[FeedEvent]:
    told(made, page)
    chart = made.store.chart(made.family, made.visit)
    return sorted((e.answers for e in chart.all(FeedEvent)), key=lambda e: e.at.at)  # type: ignore[union-attr]


def lines(listing: FeedEvents) -> list[str]:
    return [line.words.said() for line in sorted(listing.lines.values(), key=lambda one: one.y())]


def test_events_stand_in_order_of_time_whoever_wrote_them_first(twins: TwinVisit, page: VisitPage) -> None:
    feed_with(twins, (252, "swallow", {}), (0, "latch", {}), (20, "pain", {"pain": 6, "noted": "after"}))
    listing = events_page(twins, page)
    kit_walk.settle()
    assert lines(listing) == [
        "0:00 latch, Mara’s left", "0:20 pain, 6 of 10, Mara’s left", "4:12 swallow, Mara’s left",
    ]  # fmt: skip
    shown = said(listing)
    assert "2 noted as it happened, 1 from memory, afterwards." in shown
    assert "from memory, afterwards; 10:42:20" in shown


def test_a_feed_of_five_thousand_events_shows_a_handful_and_reaches_each_of_them(
    twins: TwinVisit, page: VisitPage
) -> None:
    kinds = ("latch", "suck", "swallow", "suck", "pause")
    feed_with(twins, *((second / 2, kinds[second % 5], {}) for second in range(5_000)))
    listing = events_page(twins, page)
    few = len(listing.findChildren(QWidget))
    assert len(listing.lines) == AT_ONCE
    assert listing.where.said().startswith("1 to 12 of 5,000, 0:00 to 0:05")
    listing.minute.setText("20:00")
    listing.go.click()
    kit_walk.settle()
    assert lines(listing)[0] == "20:00 latch, Mara’s left"
    listing.later.click()
    kit_walk.settle()
    assert listing.where.said().startswith("2,413 to 2,424 of 5,000")
    listing.show_kind("seldom")
    assert "of 2,000" in listing.where.said()
    assert len(listing.findChildren(QWidget)) <= few + 20


def test_a_minute_that_cannot_be_read_says_what_to_type_and_turns_nothing(twins: TwinVisit, page: VisitPage) -> None:
    feed_with(twins, *((second, "swallow", {}) for second in range(40)))
    listing = events_page(twins, page)
    before = list(listing.lines)
    listing.minute.setText("soon")
    listing.go.click()
    assert "Write the time like 4:12" in listing.where.said()
    assert list(listing.lines) == before


def test_a_time_written_over_keeps_its_trace_and_lets_go_of_the_steady_clock(twins: TwinVisit, page: VisitPage) -> None:
    feed_with(twins, (0, "latch", {}), (252.4, "swallow", {"steady": "boot 252400000000"}))
    listing = events_page(twins, page)
    entity = next(one for one, line in listing.lines.items() if line.words.said().startswith("4:12"))
    listing.toggle(entity)
    settled(twins)
    box = found(listing, EventTime).field
    assert box.text() == "4:12"
    box.type("4:12")
    box.commit()
    assert kept(twins, page)[1].steady == "boot 252400000000"
    box.type("5:00")
    box.commit()
    after = kept(twins, page)[1]
    start = twins.clock() - timedelta(hours=1)
    assert (after.at, after.steady) == (Moment(start + timedelta(minutes=5), ZONE), None)
    assert after.noted == "live"
    settled(twins)
    kit_walk.settle()
    assert "The time was 4:12 until it was changed by Rosalind Achterberg" in found(listing, Trail).before.said()


def test_a_time_before_the_feed_or_still_to_come_is_kept_as_typed_and_asked_about(
    twins: TwinVisit, page: VisitPage
) -> None:
    feed_with(twins, (0, "latch", {}), (60, "swallow", {}))
    listing = events_page(twins, page)
    listing.toggle(list(listing.lines)[1])
    time = found(listing, EventTime)
    for typed, asked in (("10:40:00", "before it began"), ("11:59:00", "still to come"), ("2:00", "")):
        time.field.type(typed)
        time.commit()
        assert asked in time.doubt.said()
        assert bool(asked) == bool(time.doubt.said())


def test_a_struck_event_stays_readable_with_its_reason_and_the_feeds_answers_go_along(
    twins: TwinVisit, page: VisitPage
) -> None:
    feed = feed_with(twins, (0, "latch", {}), (300, "off_self", {}), (360, "off_self", {}))
    listing = events_page(twins, page)
    binding = page.home.binding(FeedObservation, entity=feed)
    start = twins.clock() - timedelta(hours=1)
    binding.put("let_go@left", Moment(start + timedelta(seconds=300), ZONE))
    entity = next(one for one, line in listing.lines.items() if line.words.said().startswith("5:00"))
    page.home.strike(entity, "tapped by mistake")
    told(twins, page)
    assert "tapped by mistake" not in said(listing)
    listing.show_kind("struck")
    assert "Struck out: tapped by mistake" in said(listing)
    assert binding.value("let_go@left") == Moment(start + timedelta(seconds=360), ZONE)
    listing.put_back(entity)
    assert len(kept(twins, page)) == 3


def test_an_event_added_by_hand_is_kept_as_from_memory(twins: TwinVisit, page: VisitPage) -> None:
    feed = feed_with(twins, (0, "latch", {}))
    listing = events_page(twins, page)
    listing.begin()
    time = found(listing, EventTime)
    question = listing.question("feed_event", "what")
    assert question is not None
    question.binding.put("what", "swallow")
    time.field.type("3:05")
    time.commit()
    event = kept(twins, page)[1]
    assert (event.feed, event.noted, event.what) == (feed, "after", "swallow")


# --- a feed from memory --------------------------------------------------------------------------------------------------


def remember(page: VisitPage, **typed: str) -> FromMemory:
    memory = found(laid(page), FromMemory)
    if not InView.of(page.home).opened("feed", "from memory"):
        memory.turn_over()
    for name in ("lane", "ended", "heard"):
        if name in typed:
            getattr(memory, name).strip.show_codes((typed.pop(name),))
    for name, text in typed.items():
        getattr(memory, name).box.setText(text)
    memory.add_stretch()
    return memory


def test_a_whole_feed_from_memory_is_events_noted_afterwards_and_answers_of_the_feed(
    twins: TwinVisit, page: VisitPage
) -> None:
    twins.clock.pass_by(hours=1)
    page.go("feed", twins.ida, "feed.which")
    found(laid(page), MemoryDoor).key.click()
    settled(twins)
    memory = remember(
        page, began="10:50", lane="left", since="0", until="12:00", ended="off_self", pain="6", heard="heard"
    )
    assert memory.trouble.said() == ""
    remember(page, lane="bottle", since="13:00", until="20", ended="taken_off", amount="30 mL")
    events = kept(twins, page)
    assert [(e.what, e.lane, e.noted) for e in events] == [
        ("begin", None, "after"), ("latch", "left", "after"), ("pain", "left", "after"), ("off_self", "left", "after"),
        ("latch", "bottle", "after"), ("amount", "bottle", "after"), ("taken_off", "bottle", "after"),
    ]  # fmt: skip
    assert events[1].words == "Swallows heard."
    assert not [e for e in events if e.what == "swallow"]
    feed = page.home.chart.all(FeedObservation)[0].answers
    began = Moment.of(twins.clock().replace(tzinfo=None, hour=10, minute=50, second=0), ZONE)
    assert feed.began == began
    assert feed.used.on(Side.LEFT) == "fed"
    assert feed.let_go.on(Side.LEFT) == Moment(began.at + timedelta(minutes=12), ZONE)
    assert feed.used.on(Side.RIGHT) is None
    assert "7 from memory, afterwards." in said(laid(page))


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({}, "Pick first where baby fed."),
        ({"lane": "left"}, "Write when this stretch began"),
        ({"lane": "left", "since": "5:00", "until": "4:00", "ended": "off_self"}, "would end before it begins"),
        ({"lane": "left", "since": "5:00", "until": "6:00"}, "Say how it ended"),
        ({"lane": "left", "since": "5:00", "pain": "12"}, "takes from 0 to 10"),
        ({"lane": "bottle", "since": "5:00", "amount": "30 mL"}, "An amount needs a time"),
        ({"lane": "bottle", "since": "5:00", "until": "9", "ended": "off_self", "amount": "30"}, "Say which unit"),
        ({"lane": "left", "since": "about five"}, "Write the time like 4:12"),
    ],
)
def test_what_is_not_whole_is_refused_in_a_sentence_and_nothing_is_written(
    twins: TwinVisit, page: VisitPage, typed: dict[str, str], says: str
) -> None:
    feed_with(twins, (0, "latch", {}))
    events_page(twins, page)
    memory = remember(page, **typed)
    assert says in memory.trouble.said()
    assert len(kept(twins, page)) == 1


@pytest.mark.parametrize(("since", "asked"), [("10:41:00", "before this feed began"), ("12:30:00", "still to come")])
def test_an_unlikely_time_is_asked_about_once_and_then_kept_as_typed(
    twins: TwinVisit, page: VisitPage, since: str, asked: str
) -> None:
    feed_with(twins, (0, "latch", {}))
    events_page(twins, page)
    memory = remember(page, lane="right", since=since)
    assert asked in memory.trouble.said()
    assert len(kept(twins, page)) == 1
    memory.sure.click()
    assert len(kept(twins, page)) == 2


def test_one_stretch_is_taken_back_as_one(twins: TwinVisit, page: VisitPage) -> None:
    feed_with(twins, (0, "latch", {}))
    events_page(twins, page)
    remember(page, lane="right", since="5:00", until="9:00", ended="taken_off", pain="2")
    assert len(kept(twins, page)) == 4
    page.home.save()
    settled(twins)
    for _step in range(2):
        page.home.take_back()
        told(twins, page)
    assert len(kept(twins, page)) == 1


def test_under_a_signature_events_are_shown_and_nothing_can_be_added(twins: TwinVisit, page: VisitPage) -> None:
    feed_with(twins, (0, "latch", {}))
    twins.store.sign(twins.visit, author=twins.author)
    listing = events_page(twins, page)
    assert not [act for act in listing.findChildren(Act) if act.isVisible() and "memory" in act.text()]
    assert [line.strike.isVisible() for line in listing.lines.values()] == [False]
