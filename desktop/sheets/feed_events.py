"""The events of the feed in view: in order of time, each to be changed or struck out, and a feed put in from memory."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from desktop.controls.words import Words
from desktop.draft import EntryBinding
from desktop.sheets.event_list import EventList
from desktop.sheets.event_time import EventTime, Trail
from desktop.sheets.feed_head import FeedHead, feed_in_view, feed_words
from desktop.sheets.feed_memory import FromMemory, feed_began
from desktop.sheets.sheet import Compose, Here, Listed, Offer, Section
from desktop.theme.tokens import Role, Size
from forms.answers import Moment
from forms.chart import Entry
from forms.event_words import event_words, how_noted
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent

__all__ = ["FEED_EVENTS", "FeedEvents"]

EMPTY = "No event of this feed is written down yet."


class FeedEvents(EventList):
    """The events of the feed in view. Its watch has the answers that follow from them as the same fact go along."""

    of = "feed"

    def session(self) -> EntryBinding:
        """The feed in view."""
        return feed_in_view(self.home, FeedObservation, self.who)

    def start(self) -> Moment | None:
        """When it began."""
        return feed_began(self.home, self.session())

    def head(self) -> tuple[QWidget, ...]:
        """Where a stretch of the feed is put in from memory."""
        self.memory = FromMemory(Here(self.home, self.who, self.session()))
        return (self.memory,)

    def offers(self) -> tuple[Offer, ...]:
        """A stretch that is remembered as a whole."""
        return (Offer("A stretch, from memory", {}),)

    def begin_offered(self, offer: Offer) -> None:
        """Open, or put away, where it is typed."""
        del offer
        self.memory.turn_over()


def _start(here: Here) -> Moment | None:
    """The beginning of the feed an event is of; of the feed in view for one that is not yet tied to it."""
    feed = here.binding.value("feed")
    if isinstance(feed, str):
        return feed_began(
            here.home, here.home.binding(FeedObservation, *here.binding.draft.place.subjects, entity=feed)
        )
    return feed_began(here.home, feed_in_view(here.home, FeedObservation, here.who))


class _Of(Trail):
    """How the event was noted and of which feed it is: both written by the program with its first answer."""

    def __init__(self, here: Here) -> None:
        event = here.binding.draft.answers
        assert isinstance(event, FeedEvent)
        said = [f"Noted {how_noted(event)}." if event.noted is not None else "It will be kept as noted from memory."]
        feed = here.home.chart.by_id(event.feed) if isinstance(event.feed, str) else None
        if feed is not None and isinstance(feed.answers, FeedObservation):
            said.append(f"{feed_words(here.home, feed)}.")  # type: ignore[arg-type]  # its answers are of a feed
        super().__init__(here, _start, " ".join(said))
        if isinstance(event.steady, str):
            clock = f"Reading of the steady clock: {event.steady}."
            self.add(Words(clock, size=Size.SMALL, ink=Role.SOFT_INK))


def _event(c: Compose) -> None:
    c.widget(lambda here: EventTime(here, _start), "at")
    c.ask("what", "lane", "words")
    c.widget(_Of, "noted", "feed", "steady")


def _line(entry: Entry[FeedEvent], name: Callable[[str], str]) -> str:
    return event_words(entry.answers, None, name(entry.place.subjects[0]))


def _events(c: Compose) -> None:
    c.widget(FeedHead)
    c.entries(FeedEvent, _event, Listed(add="One event, from memory", empty=EMPTY, line=_line, crafted=FeedEvents))


FEED_EVENTS = Section(
    "feed.events", "Events", FeedObservation, _events, "What happened, by the minute", bind=feed_in_view
)
"""The section of the events of a feed."""
