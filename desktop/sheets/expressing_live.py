"""Expressing as it goes: a lane for each own side of the parent, tapped as in a feed, and its events afterwards."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from functools import partial
from types import MappingProxyType

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QHBoxLayout, QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.lane import LaneShape
from desktop.controls.lanes import Lanes
from desktop.controls.layouts import Flow, Stack, spaced
from desktop.controls.moons import Half
from desktop.controls.taps import Tap, TapRow
from desktop.controls.words import Rule, Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.event_list import EventList
from desktop.sheets.event_time import EventTime, Trail
from desktop.sheets.feed_board import OneLine
from desktop.sheets.feed_lanes import shape_of
from desktop.sheets.in_view import InView
from desktop.sheets.sheet import Compose, Here, Listed, Section
from desktop.theme.halfmoons import MoonState
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment, Quantity, Side
from forms.ask import ask_of
from forms.chart import Entry
from forms.clinical.amounts_so_far import expressing_answers, less_than_before
from forms.clinical.feed_clock import on_line
from forms.clinical.feed_line import FeedLine, LaneLine, events_of, feed_line
from forms.event_words import event_words, how_noted
from forms.expressing import Expression
from forms.feed_event import ExpressionEvent
from forms.form import Form
from forms.practice import Practice
from forms.reading import read
from forms.trouble import Refused

__all__ = ["EXPRESS_LIVE", "LiveExpressing", "session_in_view"]

_TICK_MS = 1_000
_WORDS: Mapping[str, str] = MappingProxyType({
    "latch": "Begin", "drops": "First drops", "letdown_seen": "Letdown seen", "letdown_felt": "Letdown felt",
    "amount": "Amount so far", "end": "End",
})  # fmt: skip


def session_in_view(home: OpenChart, form: type[Form], who: str) -> EntryBinding:
    """The session picked, else the newest one seen at this visit, else one that is kept from its first tap on."""
    view = InView.of(home)
    picked = view.shown(form, who)
    held = home.chart.by_id(picked[0]) if picked else None
    if picked and (held is None or held.struck is None):
        return home.binding(form, who, entity=picked[0])
    seen = [e for e in home.chart.all(Expression, who, visit=home.chart.visit) if e.answers.source in (None, "seen")]
    binding = home.binding(form, who, entity=seen[-1].id) if seen else home.begin(form, who)
    view.keep(form, who, binding.entity)
    return binding


class _SideBoard(Stack):
    """What is tapped of one side: its events, and how much it hurts now."""

    def __init__(self, live: LiveExpressing, side: Side, whose: str) -> None:
        super().__init__(between=Space.GAP)
        self.taps = {what: Tap(f"{what}-{side}", words, strong=True) for what, words in _WORDS.items()}
        self.pains = [Tap(f"pain-{pain}-{side}", str(pain), figure=True) for pain in range(11)]
        for what, tap in self.taps.items():
            tap.setAccessibleName(f"{_WORDS[what]}, {whose}")
            act = partial(live.ask_amount, side) if what == "amount" else partial(live.tap, what, side.value)
            tap.clicked.connect(act)
        for pain, tap in enumerate(self.pains):
            tap.setAccessibleName(f"Discomfort now {pain}, {whose}")
            tap.clicked.connect(partial(live.hurt, side.value, pain))
        head = QWidget()
        across = QHBoxLayout(head)
        spaced(across, Space.SNUG)
        self.half = Half(side, whose)
        self.told = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        across.addWidget(self.half)
        across.addWidget(Words(whose, strong=True))
        across.addWidget(self.told, 1)
        words = Words("Discomfort now, 0 none, 10 the worst", size=Size.SMALL, ink=Role.SOFT_INK)
        self.room = Stack(between=Space.FINE)
        self.add(head, TapRow(tuple(self.taps.values())), self.room, words, TapRow(self.pains, ruled=False))

    def show_line(self, line: FeedLine, side: Side) -> None:
        """What can be tapped now, and what was last told."""
        lane = line.lane(side.value)
        self.taps["latch"].setEnabled(not lane.on)
        self.taps["end"].setEnabled(lane.on)
        last = lane.pains[-1][1] if lane.pains else None
        for pain, tap in enumerate(self.pains):
            tap.light(lit=pain == last)
        self.half.show_state(MoonState.DONE if lane.spells and not lane.on else MoonState.NOT_DONE)
        amount = f"{lane.amounts[-1][1]} mL so far" if lane.amounts else ""
        self.told.say(", ".join(one for one in ("running" if lane.on else "", amount) if one))


class LiveExpressing(Stack):
    """One session while it goes on: `tap` records on the steady line of the session, and its answers go along."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.SNUG)
        self._here, self.home = here, here.home
        self.line = feed_line(events_of(self.home.chart, here.binding.entity))
        self.lanes = Lanes()
        self.lanes.show_tracks(dict(zip(("left", "right"), here.binding.person_words(), strict=True)))
        for side in Side:
            self.lanes.lane(side.value).clicked.connect(partial(self.lane_tapped, side))
        self.said = Words("", ink=Role.WELD, strong=True)
        self.said.hide()
        self._whose = dict(zip(Side, here.binding.person_words(), strict=True))
        self.sides = {side: _SideBoard(self, side, self._whose[side]) for side in Side}
        self.both, self.end_both = Act("Begin both sides", kind=ActKind.MAIN), Act("End both sides")
        self.both.clicked.connect(partial(self.tap_both, "latch"))
        self.end_both.clicked.connect(partial(self.tap_both, "end"))
        self.another = Link("Another session")
        self.another.clicked.connect(self._another)
        keys = QWidget()
        flow = Flow(keys, gap=Space.PAD)
        for key in (self.both, self.end_both, self.another):
            flow.addWidget(key)
        self.add(self.lanes, self.said, keys, Rule())
        for board in self.sides.values():
            self.add(board, Rule())
        self._timer = QTimer(self)
        self._timer.setInterval(_TICK_MS)
        self._timer.timeout.connect(self.tick)
        self.home.changed.connect(self.show_all)
        self.show_all()

    # --- tapping ----------------------------------------------------------------------------------------------------

    def _now(self) -> tuple[Moment, str]:
        wall = Moment(self.home.clock(), self.home.zone)
        return on_line(self.line.events, wall, self.home.reading())

    def tap(
        self, what: str, lane: str, *_pressed: object, pain: int | None = None, amount: Quantity | None = None
    ) -> bool:
        """Record an event of one side, now; whether it could be."""
        session = self._here.binding
        if session.sealed():
            return False
        if self.home.chart.by_id(session.entity) is None:
            session.put("source", "seen")  # the session stands before the first event that is of it
        at, doubt = self._now()
        values = {"what": what, "at": at, "lane": lane, "pain": pain, "amount": amount, "noted": "live",
                  "expression": session.entity, "steady": str(self.home.reading())}  # fmt: skip
        given = {name: value for name, value in values.items() if value is not None}
        kept = bool(self.home.add(ExpressionEvent, self._here.who, values=given))
        self.say(doubt)
        self.show_all()
        return kept

    def tap_both(self, what: str, *_pressed: object) -> None:
        """Begin, or end, each side that is not yet begun or ended."""
        for side in Side:
            if self.line.lane(side.value).on == (what == "end"):
                self.tap(what, side.value)

    def hurt(self, lane: str, pain: int, *_pressed: object) -> None:
        """The discomfort told now, in the parent's own number."""
        self.tap("pain", lane, pain=pain)

    def lane_tapped(self, side: Side, *_pressed: object) -> None:
        """A lane: it begins where it is not running, else the likely next event there."""
        lane = self.line.lane(side.value)
        if not lane.on:
            self.tap("latch", side.value)
        elif not lane.of("drops"):
            self.tap("drops", side.value)
        else:
            self.ask_amount(side)

    def ask_amount(self, side: Side, *_pressed: object) -> None:
        """How much so far from one side: a line opens under its targets."""
        room = self.sides[side].room
        room.clear()
        unit = self.home.chart.one(Practice).volume_unit
        unit = unit if isinstance(unit, str) else "mL"
        asked = OneLine(f"Amount so far, {'fl oz' if unit == 'fl_oz' else 'mL'}", "Keep", ems=6)
        doubted: list[str] = []

        def keep(typed: str) -> None:
            try:
                found = read(ask_of(ExpressionEvent, "amount"), typed, unit)
            except Refused as refused:
                asked.refuse(refused.sentence)
                return
            doubt = less_than_before(self.line, side.value, found.base)
            if doubt and typed not in doubted:
                doubted.append(typed)
                asked.refuse(doubt)
                return
            room.clear()
            self.tap("amount", side.value, amount=found)

        asked.kept.connect(keep)
        asked.closed.connect(room.clear)
        room.add(asked)
        asked.box.setFocus()

    def _another(self, *_pressed: object) -> None:
        begun = self.home.begin(Expression, self._here.who)
        InView.of(self.home).show(Expression, self._here.who, begun.entity)

    # --- what it shows ----------------------------------------------------------------------------------------------

    def say(self, sentence: str) -> None:
        """A quiet sentence under the lanes; "" takes it away."""
        self.said.say(sentence)
        self.said.setVisible(bool(sentence))

    def _seconds(self, at: object) -> float:
        began = self.line.began
        return (at - began).total_seconds() if began is not None else 0.0  # type: ignore[operator]  # both are times

    def tick(self) -> None:
        """A second has gone by."""
        at = self._now()[0].at if self.line.on else self.line.last
        self.lanes.show_now(self._seconds(at) if at is not None else 0.0, running=bool(self.line.on))

    def show_all(self) -> None:
        """The lanes as they stand, and the answers of the session that follow from them."""
        before = self.line
        self.line = feed_line(events_of(self.home.chart, self._here.binding.entity))
        for side, board in self.sides.items():
            self.lanes.show_shape(side.value, _shape(self.line.lane(side.value), self._seconds))
            self._name_lane(side)
            board.show_line(self.line, side)
            board.setEnabled(not self._here.binding.sealed())
        self.lanes.setVisible(bool(self.line.events))
        self.end_both.setEnabled(bool(self.line.on))
        self.both.setEnabled(len(self.line.on) < len(Side) and not self._here.binding.sealed())
        self.another.setVisible(bool(self.line.events) and not self.line.on and not self._here.binding.sealed())
        self.tick()
        (self._timer.start if self.line.on else self._timer.stop)()
        if self.line.events != before.events and not self._here.binding.sealed():
            self._answer(before)

    def _name_lane(self, side: Side) -> None:
        """Say of a lane whose side it is, whether it runs, and what a tap on it does."""
        lane, shown = self.line.lane(side.value), self.lanes.lane(side.value)
        does = "latch" if not lane.on else "amount" if lane.of("drops") else "drops"
        state = "running" if lane.on else "not running"
        shown.setAccessibleName(f"{self._whose[side]}: {state}; tap: {_WORDS[does].lower()}")
        shown.setEnabled(not self._here.binding.sealed())

    def _answer(self, before: FeedLine) -> None:
        session = self._here.binding.answers()
        assert isinstance(session, Expression)
        found = expressing_answers(session, self.line, before if before.events else None)
        if found:
            self.home.put_together(self._here.binding, found)


def _shape(lane: LaneLine, seconds: Callable[[datetime], float]) -> LaneShape:
    """A lane of expressing as one of a feed is drawn; nobody latches."""
    shape = shape_of(lane, seconds)
    marks = (replace(mark, words="begins") if mark.words == "latch" else mark for mark in shape.marks)
    return replace(shape, marks=tuple(marks))


def _began(home: OpenChart, session: EntryBinding) -> Moment | None:
    """The moment from which the times of a session count: its first event, else when it began."""
    line = feed_line(events_of(home.chart, session.entity))
    if line.began is not None:
        return Moment(line.began, line.zone)
    began = session.value("began")
    return began if isinstance(began, Moment) else None


class SessionEvents(EventList):
    """The events of the session in view."""

    of = "expression"

    def session(self) -> EntryBinding:
        """The session in view."""
        return session_in_view(self.home, Expression, self.who)

    def start(self) -> Moment | None:
        """When it began."""
        return _began(self.home, self.session())


def _start(here: Here) -> Moment | None:
    return _began(here.home, session_in_view(here.home, Expression, here.who))


class _Of(Trail):
    """How the event was noted and of which session it is: both written by the program with its first answer."""

    def __init__(self, here: Here) -> None:
        event = here.binding.draft.answers
        assert isinstance(event, ExpressionEvent)
        how = f"Noted {how_noted(event)}." if event.noted is not None else "It will be kept as noted from memory."
        super().__init__(here, _start, how)
        if isinstance(event.steady, str):
            clock = f"Reading of the steady clock: {event.steady}."
            self.add(Words(clock, size=Size.SMALL, ink=Role.SOFT_INK))


def _event(c: Compose) -> None:
    c.widget(lambda here: EventTime(here, _start), "at")
    c.ask("what", "lane", "words")
    c.widget(_Of, "noted", "expression", "steady")


def _line(entry: Entry[ExpressionEvent], name: Callable[[str], str]) -> str:
    return event_words(entry.answers, None, name(entry.place.subjects[0]))


def _live(c: Compose) -> None:
    c.widget(LiveExpressing)
    listed = Listed(
        add="One event, from memory", empty="No event of this session is written down yet.", line=_line,
        crafted=SessionEvents,
    )  # fmt: skip
    c.entries(ExpressionEvent, _event, listed)


EXPRESS_LIVE = Section(
    "story.session_live", "Live", Expression, _live, "{own} session, as it goes", bind=session_in_view
)
"""The section of a session of expressing while it goes on."""
