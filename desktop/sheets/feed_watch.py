"""One feed while it is watched: what was tapped, what the baby is doing now, and what a tap writes.

A tap costs the same however many went before: it is written, added to what stands, and the line is worked out anew
once the chart tells of it. Nothing is kept here that the record does not hold.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial

from PySide6.QtCore import QObject, Signal

from desktop.open_chart import OpenChart
from desktop.sheets.feed_running import running_feeds
from desktop.sheets.in_view import InView
from forms.answers import Moment, Quantity
from forms.clinical.feed_answers import answers_from
from forms.clinical.feed_clock import apart, on_line
from forms.clinical.feed_line import (
    ACTIVE,
    LATCHED,
    OFF_NOW,
    PAUSED,
    SIDES,
    SLEEPING,
    Event,
    FeedLine,
    LaneLine,
    events_of,
    feed_line,
    likely_next,
)
from forms.feed import FeedObservation
from forms.feed_event import ASLEEP, OFF, ON, FeedEvent
from forms.taking_part import watched_as
from forms.trouble import Trouble
from storage.changes import StrikeOut
from storage.steps import TAKEN_BACK

__all__ = ["URGENT", "Watch", "Watches"]

URGENT = frozenset({"cough", "choke"})
"""What follows from these is told in the frame of the tap."""
_ANY_TIME = frozenset({"begin", "end"})  # of the whole feed, on no lane
_ONLY_ON = frozenset({"cough", "choke", "spit_up", "burp", "upset", ASLEEP, "help", "changed"})
"""Of the baby rather than of a side: on a lane only while baby is on it."""
_MINUTE = timedelta(minutes=1)
_SET = "The clock of this device was set {way}; the feed goes on by its own clock."


class Watch(QObject):
    """One feed. `line` is its line as last worked out, `hand` the lane that taps go to.

    Signals: `tapped(Event)` at once when an event was added; `changed()` when the line was worked out anew;
    `doubted(str)` when a sentence about the clock has to be said; `refused(str)` when a tap back could not be.
    """

    tapped = Signal(object)
    changed = Signal()
    doubted = Signal(str)
    refused = Signal(str)

    def __init__(self, home: OpenChart, feed: str, subjects: tuple[str, ...]) -> None:
        super().__init__(home)
        self.home, self.feed, self.subjects = home, feed, subjects
        self.line = FeedLine()
        self.hand = InView.of(home).side.value
        self.lanes: list[str] = []
        self._events = events_of(home.chart, feed)
        self._states: dict[str, str] = {}
        self._counts: Counter[tuple[str | None, str]] = Counter()
        self._pains: dict[str, int] = {}
        self._fresh: list[Event] = []
        self._gone: set[str] = set()
        self._anchors: dict[str, Event] = {}
        self._said = ""
        self._work_out()
        self.hand = next(iter(self.line.on), self.hand)
        home.changed.connect(self.refresh)

    # --- what stands ------------------------------------------------------------------------------------------------

    @property
    def sealed(self) -> bool:
        """Whether the visit is signed."""
        return self.home.chart.signed() is not None

    @property
    def running(self) -> bool:
        """Whether the feed is watched now."""
        return any(entry.id == self.feed for entry, _ in running_feeds(self.home))

    @property
    def began(self) -> datetime | None:
        """The time from which the lanes count: the first event, else the beginning as it was written."""
        if self._anchors:
            return self._anchors["first"].at
        entry = self.home.chart.by_id(self.feed)
        began = entry.answers.began if entry is not None and isinstance(entry.answers, FeedObservation) else None
        return began.at if isinstance(began, Moment) else None

    @property
    def last(self) -> Event | None:
        """The last event by time, among those added meanwhile too."""
        return self._fresh[-1] if self._fresh else self.line.events[-1] if self.line.events else None

    def now(self) -> Moment:
        """The moment it is on the feed's own line."""
        found, _ = on_line(self._anchors.values(), Moment(self.home.clock(), self.home.zone), self.home.reading())
        return found

    def seconds(self, at: datetime | None = None) -> float:
        """Seconds from the beginning to a moment, or to now; to its end once the watching has ended."""
        began = self.began
        if began is None:
            return 0.0
        if at is None:
            at = self.line.ended if self.line.ended is not None and not self._fresh else self.now().at
        return max(0.0, (at - began).total_seconds())

    def state(self, lane: str) -> str:
        """What the baby does on a lane now."""
        return self._states.get(lane, OFF_NOW)

    def on(self) -> tuple[str, ...]:
        """The lanes the baby is on."""
        return tuple(lane for lane, state in self._states.items() if state != OFF_NOW)

    def count(self, lane: str | None, what: str) -> int:
        """How often an event was tapped on a lane."""
        return self._counts[lane, what]

    def likely(self, lane: str) -> str:
        """The event that most likely comes next on a lane."""
        return likely_next(FeedLine(lanes={lane: LaneLine(lane, state=self.state(lane))}), lane)

    def pain(self, lane: str) -> int | None:
        """The pain last told on a lane."""
        return self._pains.get(lane)

    def told(self, lane: str) -> str:
        """What was counted on a lane: "12 swallows, 20 sucks"."""
        counts = [(self.count(lane, "swallow"), "swallow"), (self.count(lane, "suck"), "suck")]
        return ", ".join(
            f"{times} {word}{'' if times == 1 else 's'}" for times, word in counts if times or word == "swallow"
        )

    # --- tapping ----------------------------------------------------------------------------------------------------

    def take(self, lane: str) -> None:
        """Take another lane in hand."""
        self.hand = lane
        if lane not in (*SIDES, *self.lanes):
            self.lanes.append(lane)

    def tap(
        self, what: str, lane: str | None = None, *, pain: int | None = None, amount: Quantity | None = None
    ) -> Event | None:
        """An event happens now: it is written, and told by `tapped`. None under a signature."""
        lane = self._lane(what, lane or self.hand)
        wall, reading = Moment(self.home.clock(), self.home.zone), self.home.reading()
        at, doubt = on_line(self._anchors.values(), wall, reading)
        off = apart(self._anchors.values(), wall, reading)
        if not doubt and abs(off) > _MINUTE:
            doubt = _SET.format(way="back" if off < timedelta(0) else "forward")
        values = {"what": what, "at": at, "lane": lane, "pain": pain, "amount": amount, "steady": str(reading)}
        values = {name: value for name, value in values.items() if value is not None}
        one = self.home.add(FeedEvent, *self.subjects, values={**values, "feed": self.feed, "noted": "live"})
        if not one:
            return None
        event = Event(one, what, lane, at.at, pain, amount.base if amount else None, zone=at.zone, steady=str(reading))
        self._fresh.append(event)
        self._take(event)
        self.tapped.emit(event)
        if doubt and doubt != self._said:
            self._said = doubt
            self.doubted.emit(doubt)
        if what in URGENT:
            self.home.catch_up()
        return event

    def _lane(self, what: str, lane: str) -> str | None:
        if what in _ANY_TIME or (what in _ONLY_ON and self.state(lane) == OFF_NOW):
            return None
        return lane

    def take_back(self) -> Event | None:
        """Strike the last event out; it stays readable. None where there is none, or under a signature."""
        event = self.last
        if event is None or self.sealed:
            return None
        self._gone.add(event.id)
        self._look()
        self.home.write(lambda _store: (StrikeOut(event.id, TAKEN_BACK),), None, partial(self._not_struck, event.id))
        return event

    def _not_struck(self, entity: str, trouble: Trouble) -> None:
        self._gone.discard(entity)
        self._look()
        self.refused.emit(trouble.sentence)

    # --- working it out ---------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Work the line out anew if an event came, went or was written over; answers that follow from it follow."""
        self._look()

    def _look(self) -> None:
        found = events_of(self.home.chart, self.feed)
        gone = self._gone & {event.id for event in found.timed}
        self._gone = gone
        if gone:
            found = replace(found, timed=tuple(event for event in found.timed if event.id not in gone))
        if found == self._events and not self._fresh:
            return
        before, self._events = self.line, found
        self._work_out()
        self.changed.emit()
        self._answer(before)

    def _work_out(self) -> None:
        self._fresh = []
        self.line = feed_line(self._events)
        self._states = {name: lane.state for name, lane in self.line.lanes.items()}
        self._counts = Counter((event.lane, event.what) for event in self.line.events)
        self.lanes = [*(name for name in self.line.lanes if name not in SIDES)] + [
            name for name in self.lanes if name not in self.line.lanes
        ]
        self._anchors = {}
        self._pains = {}
        for event in self.line.events:
            self._anchor(event)
            self._hurt(event)

    def _hurt(self, event: Event) -> None:
        if event.what == "pain" and event.pain is not None and event.lane is not None:
            self._pains[event.lane] = event.pain

    def _anchor(self, event: Event) -> None:
        """Keeps the first event, the first of each start of the machine, and the last: all that a time rests on."""
        self._anchors.setdefault("first", event)
        self._anchors["last"] = event
        boot = event.steady.rpartition(" ")[0]
        if boot:
            self._anchors.setdefault(f"boot {boot}", event)

    def _take(self, event: Event) -> None:
        """What one more event changes, without a look at all the others."""
        self._anchor(event)
        self._hurt(event)
        self._counts[event.lane, event.what] += 1
        lanes = list(self._states) if event.lane is None else [event.lane]
        if event.what in ON and event.lane is not None:
            for other in self._states:
                if self._ends(event.lane, other):
                    self._states[other] = OFF_NOW
            if self.state(event.lane) == OFF_NOW:
                self._states[event.lane] = LATCHED
        for lane in lanes:
            self._states[lane] = _after(self.state(lane), event.what)

    @staticmethod
    def _ends(lane: str, other: str) -> bool:
        """Whether a latch on one lane ends what runs on the other; a tube runs beside left and right."""
        beside = "tube" in (lane, other) and bool({lane, other} & set(SIDES))
        return lane != other and not beside

    def _answer(self, before: FeedLine) -> None:
        if self.sealed or not self.home.chart.by_id(self.feed):
            return
        binding = self.home.binding(FeedObservation, *self.subjects, entity=self.feed)
        feed = binding.answers()
        assert isinstance(feed, FeedObservation)
        found = answers_from(feed, self.line, before, seen=watched_as(self.home.chart))
        if found:
            if binding.draft.pending:  # what is being typed stays a step of its own
                self.home.put_together(binding, found)
                return
            binding.put_all(found)
            self.home.save()


def _after(state: str, what: str) -> str:
    """What the baby does on a lane after an event there."""
    if what in OFF or what == "end":
        return OFF_NOW
    if state == OFF_NOW:
        return OFF_NOW
    if what in ("suck", "swallow", "sucking"):
        return ACTIVE
    if what == ASLEEP:
        return SLEEPING
    return PAUSED if what == "pause" and state != SLEEPING else state


class Watches(QObject):
    """The feeds that were looked at while a chart is open, so that a page laid anew goes on with the same."""

    def __init__(self, home: OpenChart) -> None:
        super().__init__(home)
        self._home = home
        self._kept: dict[str, Watch] = {}

    @classmethod
    def of(cls, home: OpenChart) -> Watches:
        """The one of an open chart; made when first asked for."""
        return home.findChild(cls) or cls(home)

    def get(self, feed: str, subjects: tuple[str, ...]) -> Watch:
        """One feed of one feeder and one baby."""
        if feed not in self._kept:
            self._kept[feed] = Watch(self._home, feed, subjects)
        return self._kept[feed]

    @property
    def kept(self) -> Mapping[str, Watch]:
        """Those looked at so far."""
        return self._kept
