"""A feed put in from memory: when it began, then stretch by stretch; each is kept as events noted afterwards.

Nothing is made up of what nobody counted: that swallows were heard stands in the words of the latch, not as a swallow.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind
from desktop.controls.layouts import Flow, Stack
from desktop.controls.segments import Segments
from desktop.controls.typed import Box
from desktop.controls.words import Rule, Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.columns import Columns
from desktop.sheets.feed_head import Unchosen
from desktop.sheets.feed_watch import Watches
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.sheet import Here
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space, Target
from forms.answers import Moment, Quantity
from forms.ask import Path, ask_of
from forms.chart import Place
from forms.event_words import read_time
from forms.feed import FeedObservation
from forms.feed_event import FEED_LANES, OFF, FeedEvent
from forms.reading import read
from forms.taking_part import watched_as
from forms.trouble import Refused
from storage.changes import Begin, Change, Put

__all__ = ["OPENED", "FromMemory", "MemoryDoor", "feed_began"]

OPENED: Final = ("feed", "from memory")
"""What is turned over in `InView` while this is open."""

_AT_BREAST = ("left", "right")
_HEARD: Mapping[str, str] = MappingProxyType({"heard": "Swallows heard", "not_heard": "No swallow heard"})
_ENDED: Mapping[str, str] = MappingProxyType({"off_self": "Let go", "taken_off": "Taken off"})
_DOUBTS: Mapping[str, str] = MappingProxyType({
    "future": "That is still to come. Is it as meant?",
    "early": "That is before this feed began. Is it as meant?",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch on a lane as it was remembered; `until` None while it is not known when it ended."""

    lane: str
    since: Moment
    until: Moment | None = None
    ended: str = ""
    pain: int | None = None
    amount: Quantity | None = None
    heard: str = ""

    def events(self) -> Iterator[dict[str, Any]]:
        """The answers of each event it is kept as."""
        words = {"words": f"{_HEARD[self.heard]}."} if self.heard else {}
        yield {"what": "latch", "at": self.since, **words}
        if self.pain is not None:
            yield {"what": "pain", "at": self.since, "pain": self.pain}
        if self.until is not None:
            if self.amount is not None:
                yield {"what": "amount", "at": self.until, "amount": self.amount}
            yield {"what": self.ended, "at": self.until}


class _Field(Stack):
    """A box under its label."""

    def __init__(self, label: str, like: str, *, ems: int = 8) -> None:
        super().__init__(between=Space.FINE)
        self.box = Box(ems=ems)
        self.box.setMinimumHeight(Target.TOUCH)
        self.box.setPlaceholderText(like)
        self.box.setAccessibleName(label)
        self.add(Words(label, strong=True), self.box)

    def text(self) -> str:
        return self.box.text().strip()


class _Pick(Stack):
    """A strip under its label, with one of it picked or none."""

    def __init__(self, label: str, options: Mapping[str, str]) -> None:
        super().__init__(between=Space.FINE)
        self.strip = Segments(label, options)
        self.strip.picked.connect(lambda code: self.pick("" if code in self.strip.codes() else code))
        self.add(Words(label, strong=True), self.strip)

    def pick(self, code: str) -> None:
        self.strip.show_codes((code,) if code else ())

    def picked(self) -> str:
        return next(iter(self.strip.codes()), "")


def feed_began(home: OpenChart, feed: EntryBinding) -> Moment | None:
    """The moment from which the times of a feed count, as on its lanes; None while nothing of it is written."""
    if isinstance(feed, Unchosen):
        return None
    at = Watches.of(home).get(feed.entity, feed.draft.place.subjects).began
    return Moment(at, home.zone) if at is not None else None


class MemoryDoor(QWidget):
    """Begins a feed to be put in from memory, and goes where that is done; one with nothing written yet is taken."""

    def __init__(self, here: Here) -> None:
        super().__init__()
        self._here = here
        self.key = Act("Enter a feed from memory", kind=ActKind.BARE, icon=Icon.JUMP)
        self.key.clicked.connect(self._go)
        Flow(self).addWidget(self.key)
        if isinstance(here.binding, Unchosen) or here.binding.sealed():
            self.key.hide()

    def _go(self) -> None:
        home, feed, who = self._here.home, self._here.binding, self._here.who
        view = InView.of(home)
        if home.chart.by_id(feed.entity) is not None:
            pair = feed.draft.place.subjects
            view.keep(FeedObservation, who, home.begin(FeedObservation, *pair).entity, *pair)
        if not view.opened(*OPENED):
            view.turn_over(*OPENED)
        view.jumped.emit(Jump("feed", who, "feed.events"))


class FromMemory(Stack):
    """Opens under its key. Written is only what was typed, and each stretch is one step that undo takes back."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.PAD)
        self._here = here
        self._asked: tuple[str, ...] = ()
        self._build()
        here.binding.changed.connect(self._show)
        self._show()

    def _build(self) -> None:
        left, right = self._here.binding.person_words()
        lanes = {**FEED_LANES, "left": left, "right": right}
        self.began = _Field("The feed began", "10:42")
        self.lane = _Pick("Where", lanes)
        self.lane.strip.picked.connect(lambda _code: self._show())
        self.since, self.until = _Field("From", "0:00"), _Field("To", "12:00")
        self.ended = _Pick("It ended", _ENDED)
        self.pain = _Field("Pain coming on, 0 to 10", "")
        self.amount = _Field("Taken, with its unit", "30 mL")
        self.heard = _Pick("Swallows", _HEARD)
        self.trouble = Words("", ink=Role.WELD, strong=True)
        self.keep = Act("Add this stretch", kind=ActKind.MAIN)
        self.keep.clicked.connect(self.add_stretch)
        self.sure = Act("Yes, as typed")
        self.sure.clicked.connect(lambda: self.add_stretch(sure=True))
        self.done = Act("Done", kind=ActKind.BARE)
        self.done.clicked.connect(self.turn_over)
        times, more, keys = QWidget(), QWidget(), QWidget()
        across, below, row = Columns(times, gap=Space.PAD), Columns(more, gap=Space.PAD), Flow(keys, gap=Space.PAD)
        for widget in (self.since, self.until):
            across.addWidget(widget)
        for widget in (self.pain, self.amount):
            below.addWidget(widget)
        for act in (self.keep, self.sure, self.done):
            row.addWidget(act)
        said = "Times are minutes and seconds since the feed began, or by the clock, like 10:42:30. "
        said += "All of it is kept and shown as from memory."
        self.add(
            Words("From memory", size=Size.JOT, title=True), Words(said, size=Size.SMALL, ink=Role.SOFT_INK),
            self.began, self.lane, times, self.ended, more, self.heard, self.trouble, keys, Rule(),
        )  # fmt: skip
        for field in (self.began, self.since, self.until, self.pain, self.amount):
            field.box.returnPressed.connect(self.add_stretch)
            field.box.textEdited.connect(self._fresh)

    def turn_over(self) -> None:
        """Open it, or put it away; what stands in its boxes stays."""
        view = InView.of(self._here.home)
        view.turn_over(*OPENED)
        self._show()
        if view.opened(*OPENED):
            (self.began.box if not self.began.isHidden() else self.lane.strip).setFocus()

    def _fresh(self, _text: str = "") -> None:
        self._asked = ()
        self._tell("")

    def _tell(self, sentence: str, *, asking: bool = False) -> None:
        self.trouble.say(sentence)
        self.trouble.setVisible(bool(sentence))
        self.sure.setVisible(asking)

    def _show(self, _path: str = "") -> None:
        opened = InView.of(self._here.home).opened(*OPENED)
        self.setVisible(opened and not self._here.binding.sealed())
        self.began.setVisible(self._start() is None)
        at_breast = self.lane.picked() in (*_AT_BREAST, "")
        for widget in (self.pain, self.heard):
            widget.setVisible(at_breast)
        self.amount.setVisible(not at_breast)
        self._tell(self.trouble.said(), asking=bool(self._asked))

    def _start(self) -> Moment | None:
        return feed_began(self._here.home, self._here.binding)

    # --- reading and keeping ----------------------------------------------------------------------------------------

    def _stretch(self, start: Moment) -> Stretch:
        """What was typed; raises Refused with what to do."""
        now, lane = self._here.binding.now(), self.lane.picked()
        if not lane:
            raise Refused(why="Pick first where baby fed.")
        if not self.since.text():
            raise Refused(why="Write when this stretch began, like 0:00.")
        since = read_time(self.since.text(), start, now)
        until = read_time(self.until.text(), start, now) if self.until.text() else None
        if until is not None and until.at < since.at:
            raise Refused(why="This stretch would end before it begins; check the two times.")
        ended = self.ended.picked()
        if until is not None and not ended:
            raise Refused(why="Say how it ended: let go, or taken off.")
        if until is None and ended:
            raise Refused(why="Write when it ended, or take “It ended” off.")
        at_breast = lane in _AT_BREAST
        pain = read(ask_of(FeedEvent, "pain"), self.pain.text()) if at_breast else None
        amount = None if at_breast else read(ask_of(FeedEvent, "amount"), self.amount.text())
        if amount is not None and until is None:
            raise Refused(why="An amount needs a time; write when this stretch ended.")
        return Stretch(lane, since, until, ended, pain, amount, self.heard.picked() if at_breast else "")

    def _doubts(self, start: Moment, stretch: Stretch) -> tuple[str, ...]:
        now = self._here.binding.now().at
        times = [at.at for at in (start, stretch.since, stretch.until) if at is not None]
        found = ("future",) if max(times) > now else ()
        return (*found, *(("early",) if min(times) < start.at else ()))

    def add_stretch(self, *_clicked: object, sure: bool = False) -> None:
        """Keep the stretch that is typed, or say what is still wanted; what is unusual is asked about first."""
        try:
            start = self._start() or read_time(self._began_typed(), None, self._here.binding.now())
            stretch = self._stretch(start)
        except Refused as refused:
            self._asked = ()
            self._tell(refused.sentence)
            return
        doubts = self._doubts(start, stretch)
        if doubts and not (sure and self._asked):
            self._asked = tuple(_DOUBTS[doubt] for doubt in doubts)
            self._tell(" ".join(self._asked), asking=True)
            self.sure.setFocus()
            return
        self._write(start, stretch)
        self._clear()

    def _began_typed(self) -> str:
        if not self.began.text():
            raise Refused(why="Write first when the feed began, like 10:42.")
        return self.began.text()

    def _write(self, start: Moment, stretch: Stretch) -> None:
        home, feed = self._here.home, self._here.binding
        place = home.place(FeedEvent, *feed.draft.place.subjects)
        seen = watched_as(home.chart)
        fresh: dict[Path, Any] = {}
        if seen is not None and feed.value("observed") is None:
            fresh[Path("observed")] = seen
        first = feed.value("began") is None
        if first:
            fresh[Path("began")] = start
        begin = [{"what": "begin", "at": start}] if first else []
        events = [*begin, *({**one, "lane": stretch.lane} for one in stretch.events())]
        if fresh:
            feed.put_all(fresh)
        made = [(home.ids(), one) for one in events]
        home.write(lambda _store: _changes(place, feed.entity, made))

    def _clear(self) -> None:
        self._asked = ()
        self._tell("")
        for field in (self.since, self.until, self.pain, self.amount):
            field.box.clear()
        for pick in (self.lane, self.ended, self.heard):
            pick.strip.show_codes(())
        self._show()
        self.lane.strip.setFocus()


def _changes(place: Place, feed: str, made: list[tuple[str, dict[str, Any]]]) -> Iterator[Change]:
    for entity, answers in made:
        yield Begin(entity, place)
        for name, value in {"feed": feed, "noted": "after", **answers}.items():
            yield Put(entity, Path(name), value)


assert set(_ENDED) == OFF
