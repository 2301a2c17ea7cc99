"""The live page of a feed: its lanes, the targets under them, and the other feed that is watched at the same time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from types import MappingProxyType

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind
from desktop.controls.lane import Part, PartKind
from desktop.controls.lanes import Lanes
from desktop.controls.layouts import Flow, Stack
from desktop.controls.words import Words
from desktop.sheets.feed_astray import Astray
from desktop.sheets.feed_board import AMOUNT_KEY, MORE_KEY, Board
from desktop.sheets.feed_feet import Feet
from desktop.sheets.feed_head import Unchosen, pairs_of
from desktop.sheets.feed_keys import SingleKeys
from desktop.sheets.feed_lanes import KEYS, PAIN_KEYS, WORDS, mark_of, shape_of
from desktop.sheets.feed_others import Others, pair_words
from desktop.sheets.feed_running import running_of
from desktop.sheets.feed_start import begin_watching
from desktop.sheets.feed_watch import Watch, Watches
from desktop.sheets.in_view import InView
from desktop.sheets.sheet import Here
from desktop.sheets.sides import side_state
from desktop.theme.halfmoons import MoonState
from desktop.theme.tokens import Role, Space
from forms.answers import Quantity, Side
from forms.clinical.amounts_so_far import less_than_before
from forms.clinical.feed_line import PAUSED, SIDES, SLEEPING, Event, events_of, feed_line
from forms.feed import FeedObservation
from forms.feed_event import FEED_LANES, FeedEvent
from forms.practice import Practice

__all__ = ["LiveFeed"]

_TICK_MS = 1_000
_WORDED: Mapping[str, str] = MappingProxyType({"changed": "What changed", "help": "What help was given"})


class LiveFeed(Stack):
    """One feed while it is watched, and afterwards: `tap(what)` records, `lanes` shows, `target(what)` is tapped."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.SNUG)
        self.home, self.who, self._here = here.home, here.who, here
        self.watch: Watch | None = None
        self.lanes = Lanes()
        self.board = Board(self._unit)
        self.first = self.board.likely
        self.said = Words("", ink=Role.WELD)
        self.said.hide()
        self.closed = Stack(between=Space.GAP)
        self._timer = QTimer(self)
        self._timer.setInterval(_TICK_MS)
        self._timer.timeout.connect(self.tick)
        if isinstance(here.binding, Unchosen):
            self._ask_whose()
            return
        subjects = here.binding.draft.place.subjects
        self.watch = watch = Watches.of(self.home).get(here.binding.entity, subjects)
        self.feet = Feet(here, self.lanes)
        self.others = Others(here)
        self.astray = Astray(here, watch)
        self.add(self.others.clocks, self.lanes, self.astray, self.said, self.closed, self.board, self.others)
        self._join(watch)
        self.show_all()

    def _join(self, watch: Watch) -> None:
        board = self.board
        board.asked.connect(self.tap)
        board.doubt = self._smaller
        board.pain_asked.connect(lambda pain: self.tap("pain", pain=pain))
        board.amount_asked.connect(lambda amount: self.tap("amount", amount=amount))
        board.other_asked.connect(self.other_side)
        board.lane_asked.connect(self.take_lane)
        board.back_asked.connect(self.take_back)
        board.end_asked.connect(partial(self.tap, "end"))
        watch.tapped.connect(self._tapped)
        watch.changed.connect(self.show_all)
        watch.doubted.connect(self.say)
        watch.refused.connect(self.say)
        InView.of(self.home).turned.connect(self._turned)
        self.home.saved.connect(self._show_last)
        self.home.unsaved.connect(self._show_last)
        self._here.binding.sealed_changed.connect(self.show_all)
        acts: dict[str, Callable[[], object]] = {key: partial(self.tap, what) for what, key in KEYS.items()}
        acts |= {key: partial(self.tap, "pain", pain=pain) for pain, key in enumerate(PAIN_KEYS)}
        acts |= {MORE_KEY: board.offer_lanes, AMOUNT_KEY: board.ask_amount}
        self.keys = SingleKeys(self, acts)

    # --- what is tapped ---------------------------------------------------------------------------------------------

    def tap(
        self, what: str, lane: str | None = None, *, pain: int | None = None, amount: Quantity | None = None
    ) -> Event | None:
        """Record an event on the lane in hand or on another; None where nothing can be recorded."""
        watch = self.watch
        if watch is None or not self.board.isEnabled() or self.board.isHidden():
            return None
        if lane is not None:
            watch.take(lane)
        self.say("")
        event = watch.tap(what, lane, pain=pain, amount=amount)
        if event is not None and what in _WORDED:
            self.board.open_line(_WORDED[what], "Keep", partial(self._words_of, event.id))
        elif event is not None and self.board.opened is not None:
            self.board.close_line()
        return event

    def _smaller(self, amount: Quantity) -> str:
        """The question about an amount so far that is less than one before it on the lane in hand."""
        if self.watch is None:
            return ""
        line = feed_line(events_of(self.home.chart, self.watch.feed))
        return less_than_before(line, self.watch.hand, amount.base)

    def lane_tapped(self, lane: str) -> None:
        """A lane: a latch where baby is not on it, else the likely next event there."""
        watch = self.watch
        if watch is None:
            return
        self.take_lane(lane)
        what = watch.likely(lane)
        if what == "amount":
            self.board.ask_amount()
        else:
            self.tap(what, lane)

    def take_lane(self, lane: str) -> None:
        """What is tapped from now on is of this lane."""
        if self.watch is None:
            return
        fresh = lane not in self.lanes.tracks
        self.watch.take(lane)
        if lane in SIDES:
            InView.of(self.home).turn(Side(lane))
        if fresh:
            self._show_tracks()
        self._show_hand()

    def other_side(self) -> None:
        """The other side is in hand from now on; nothing is recorded by that."""
        InView.of(self.home).other_side()

    def _turned(self) -> None:
        if self.watch is not None and self.watch.hand != InView.of(self.home).side.value:
            self.watch.take(InView.of(self.home).side.value)
            self._show_hand()

    def take_back(self) -> bool:
        """Strike the last event out; whether there was one."""
        self.board.close_line()
        return self.watch is not None and self.watch.take_back() is not None

    def take_focus(self) -> None:
        """The likely next event has the focus, so that Space and Enter tap it."""
        self.board.likely.setFocus(Qt.FocusReason.OtherFocusReason)

    def target(self, what: str) -> QWidget:
        """The target of an event; "pain-3", "likely", "other", "more", "end", "back" too."""
        return self.board.back if what == "back" else self.board.target(what)

    def _words_of(self, event: str, words: str) -> None:
        assert self.watch is not None
        binding = self.home.binding(FeedEvent, *self.watch.subjects, entity=event)
        binding.put("words", words)
        self.home.save()
        self.board.close_line()
        self.board.likely.setFocus()

    def _unit(self) -> str | None:
        given = self.home.chart.one(Practice).volume_unit
        return given if isinstance(given, str) else None

    # --- one more event, painted beside what stands -----------------------------------------------------------------

    def _tapped(self, event: Event) -> None:
        watch = self.watch
        assert watch is not None
        at = watch.seconds(event.at)
        self.lanes.show_now(at, running=event.what != "end")
        if event.lane is not None and event.lane not in self.lanes.tracks:
            self._show_tracks()
        for code, track in self.lanes.tracks.items():
            if track.lane.running(PartKind.SPELL) and (watch.state(code) == "off"):
                track.lane.end(tuple(PartKind), at)
        if event.lane is not None:
            self._paint(event, at)
        self._show_hand()
        self._show_last()

    def _paint(self, event: Event, at: float) -> None:
        """The stretch that begins or ends with an event, and its mark."""
        assert event.lane is not None
        assert self.watch is not None
        lane, state = self.lanes.lane(event.lane), self.watch.state(event.lane)
        mark, parts = mark_of(event, at), []
        on = lane.running(PartKind.SPELL)
        if event.what == "latch" and not on:
            parts = [Part(PartKind.SPELL, at, None)]
        elif event.what in ("suck", "swallow", "sucking") and on and not lane.running(PartKind.BURST):
            since = at if lane.running(PartKind.REST) or event.what == "sucking" else lane.since(PartKind.SPELL, at)
            lane.end((PartKind.REST,), at)
            parts = [Part(PartKind.BURST, since, None)]
        elif state in (PAUSED, SLEEPING) and on and not lane.running(PartKind.REST):
            lane.end((PartKind.BURST,), at)
            parts = [Part(PartKind.REST, at, None)]
        lane.add(mark, parts)

    # --- what it shows ----------------------------------------------------------------------------------------------

    def say(self, sentence: str) -> None:
        """A quiet sentence under the lanes; "" takes it away."""
        self.said.say(sentence)
        self.said.setVisible(bool(sentence))

    def _whose(self, lane: str) -> str:
        left, right = self._here.binding.person_words()
        return {"left": left, "right": right}.get(lane, FEED_LANES.get(lane, lane).split(",")[0])

    def _show_tracks(self) -> None:
        assert self.watch is not None
        for lane in self.lanes.show_tracks({code: self._whose(code) for code in (*SIDES, *self.watch.lanes)}):
            lane.clicked.connect(partial(self.lane_tapped, lane.code))
            self.lanes.show_shape(lane.code, shape_of(self.watch.line.lane(lane.code), self.watch.seconds))
        self.feet.show()

    def show_all(self) -> None:
        """All of it anew: the lanes as worked out, what can be tapped, and why nothing can where that is so."""
        watch = self.watch
        if watch is None:
            return
        self._show_tracks()
        for code in self.lanes.tracks:
            self.lanes.show_shape(code, shape_of(watch.line.lane(code), watch.seconds))
            self.lanes.show_state(code, self._moon(code))
        running = watch.running and not watch.sealed
        self._show_closed(running=running)
        for track in self.lanes.tracks.values():
            track.lane.setEnabled(running)
        self.board.setVisible(running)
        self.keys.open(open_=running)
        self.lanes.setVisible(bool(watch.line.events) or running)
        self.lanes.show_now(watch.seconds(), running=running)
        self.feet.show()
        self.astray.show_line(self.seconds_words)
        self._show_hand()
        self._show_last()
        (self._timer.start if running else self._timer.stop)()

    def _moon(self, code: str) -> MoonState:
        assert self.watch is not None
        feed = self._here.binding.answers()
        lane = self.watch.line.lane(code)
        if code in SIDES and isinstance(feed, FeedObservation) and side_state(feed, Side(code)) is MoonState.CONCERN:
            return MoonState.CONCERN
        return MoonState.DONE if lane.spells and not lane.on else MoonState.NOT_DONE

    def _show_hand(self) -> None:
        """What the lane in hand says: the likely next event, the last pain, and what a tap on each lane does."""
        watch = self.watch
        assert watch is not None
        self.board.show_likely(watch, self._whose(watch.hand))
        self.board.show_pain(watch.pain(watch.hand))
        for code, track in self.lanes.tracks.items():
            what = watch.likely(code)
            on = watch.state(code) != "off"
            does = WORDS[what].lower()
            track.lane.hint = "" if not track.lane.isEnabled() else "tap the lane to mark" if on else "tap for a latch"
            track.lane.setAccessibleName(f"{self._whose(code)}: {watch.state(code)}, {watch.told(code)}; tap: {does}")
            track.lane.update()

    def _show_last(self, *_saved: object) -> None:
        watch = self.watch
        if watch is None:
            return
        event = watch.last
        if event is None:
            self.board.show_last("", unsaved=False)
            return
        where = (
            f", {FEED_LANES[event.lane].split(',')[0].lower() if event.lane not in SIDES else event.lane}"
            if event.lane
            else ""
        )
        how = f" {event.pain}" if event.pain is not None else f" {event.ml} mL" if event.ml is not None else ""
        since = self.home.unsaved_since if self._is_unsaved else None
        late = "; not saved yet, tried again by itself" if since is not None else ""
        self.board.show_last(
            f"Last: {WORDS.get(event.what, event.what).lower()}{how}{where}, {self.seconds_words(event)}{late}",
            unsaved=since is not None,
        )

    def seconds_words(self, event: Event) -> str:
        """How far into the feed an event was: "16:20"."""
        assert self.watch is not None
        minutes, left = divmod(int(self.watch.seconds(event.at)), 60)
        return f"{minutes}:{left:02}"

    @property
    def _is_unsaved(self) -> bool:
        return any(draft.form is FeedEvent for draft in self.home.pending()) and self.home.refused_since is not None

    def tick(self) -> None:
        """A second has gone by."""
        if self.watch is not None:
            self.lanes.show_now(self.watch.seconds(), running=True)
            self.others.tick()

    # --- where nothing can be tapped --------------------------------------------------------------------------------

    def _show_closed(self, *, running: bool) -> None:
        """Why nothing can be tapped now, and the way on."""
        self.closed.clear()
        watch = self.watch
        self.closed.setVisible(not running)
        if running or watch is None:
            return
        feed = self._here.binding.answers()
        sealed = watch.sealed or self._here.binding.sealed()
        if sealed:
            self.closed.add(Words("This visit is signed, so nothing more is tapped into this feed.", ink=Role.SOFT_INK))
            return
        if isinstance(feed, FeedObservation) and feed.observed == "not_seen":
            self.closed.add(
                Words("It was written that no feed was seen. Change that under “Feed” to watch one.", ink=Role.SOFT_INK)
            )
            return
        baby = watch.subjects[1]
        other = running_of(self.home, baby)
        if other is not None and other.id != watch.feed:
            self.closed.add(*self.others.refusal(other))
            return
        begun = bool(watch.line.events)
        words = "The watching of this feed has ended." if begun else "Nothing was tapped in this feed yet."
        key = Act("Go on watching" if begun else "Begin observing", key="" if begun else "F2", kind=ActKind.MAIN)
        key.clicked.connect(self._begin)
        row = QWidget()
        Flow(row).addWidget(key)
        self.closed.add(Words(words, ink=Role.SOFT_INK), row)

    def _begin(self, *_pressed: object) -> None:
        begin_watching(self.home, self._here.binding)
        InView.of(self.home).switched.emit()  # the page is laid anew, with the room it needs now

    def _ask_whose(self) -> None:
        """Nobody was picked yet: one key for each pair."""
        self.add(Words("Who feeds whom? A feed belongs to one feeder and one baby.", strong=True))
        row = QWidget()
        flow = Flow(row, gap=Space.PAD)
        for pair in pairs_of(self.home, self.who):
            key = Act(f"Begin observing: {pair_words(self.home, *pair)}")
            key.clicked.connect(partial(self._begin_pair, pair))
            flow.addWidget(key)
        self.add(row)

    def _begin_pair(self, pair: tuple[str, str], *_pressed: object) -> None:
        standing = running_of(self.home, pair[1])
        binding = self.home.begin(FeedObservation, *pair) if standing is None else None
        if binding is not None:
            begin_watching(self.home, binding)
        entity, subjects = (binding.entity, pair) if binding is not None else (standing.id, standing.place.subjects)  # type: ignore[union-attr]
        InView.of(self.home).show(FeedObservation, self.who, entity, *subjects)
