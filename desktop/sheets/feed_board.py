"""The targets under the lanes: the likely next event, what else can happen, the pain of now, and the last one told."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from types import MappingProxyType

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.taps import LikelyTap, Tap, TapBoard, TapRow
from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.sheets.feed_lanes import KEYS, LATCH_WORDS, PAIN_KEYS, WORDS
from desktop.sheets.feed_watch import Watch
from desktop.theme.tokens import Role, Size, Space, Target
from forms.answers import Quantity
from forms.ask import ask_of
from forms.feed_event import FEED_LANES, FeedEvent
from forms.reading import read
from forms.trouble import Refused

__all__ = ["AMOUNT_KEY", "MORE_KEY", "OTHER_KEY", "Board", "OneLine"]

OTHER_KEY, MORE_KEY, AMOUNT_KEY = "F4", "M", "R"
_FIRST = ("suck", "swallow", "pause", "letdown_seen", "click", "off_self")
_SECOND = ("compress", "cough", "choke", "asleep")
_THIRD = ("sucking", "letdown_felt", "spit_up", "burp", "upset", "help", "changed", "taken_off")
_SHORT: Mapping[str, str] = MappingProxyType({"letdown_seen": "Letdown"})
"""Words on a target that has little room; its accessible name has all of them."""
_EXTRA = ("bottle", "tube", "cup")


class _Said(Words):
    """Words that would rather stand in one line, and wrap where there is no room for it."""

    def sizeHint(self) -> QSize:
        wide = self.fontMetrics().horizontalAdvance(self.text()) + Space.FINE
        return QSize(wide, super().heightForWidth(wide))


class OneLine(Stack):
    """A line to type in that opens in place and closes once it is kept. Signals: `kept(str)`; `closed()`."""

    kept = Signal(str)
    closed = Signal()

    def __init__(self, label: str, key: str, *, ems: int = 0) -> None:
        super().__init__(between=Space.FINE)
        self.box = Box(ems=ems)
        self.box.setAccessibleName(label)
        self.box.setPlaceholderText(label)
        self.box.returnPressed.connect(self._keep)
        keep, close = Act(key, target=Target.TOUCH), Link("Close")
        keep.clicked.connect(self._keep)
        close.clicked.connect(self.closed)
        keys = QWidget()
        flow = Flow(keys)
        flow.addWidget(keep)
        flow.addWidget(close)
        across = QWidget()
        beside = Beside(across, gap=Space.GAP, middle=True)
        beside.addWidget(self.box)
        beside.addWidget(keys)
        self.trouble = Words("", size=Size.SMALL, ink=Role.WELD, strong=True)
        self.trouble.hide()
        self.add(across, self.trouble)

    def _keep(self, *_pressed: object) -> None:
        typed = self.box.text().strip()
        if typed:
            self.kept.emit(typed)
        else:
            self.closed.emit()

    def refuse(self, sentence: str) -> None:
        """What was typed stays, and a sentence says what to do."""
        self.trouble.say(sentence)
        self.trouble.show()


class Board(Stack):
    """Everything that is tapped but the lanes.

    Signals: `asked(code)`: an event; `pain_asked(int)`; `amount_asked(Quantity)`; `other_asked()`: the other side;
    `lane_asked(code)`: milk another way; `back_asked()`: take the last one back; `end_asked()`: the watching ends.
    """

    asked = Signal(str)
    pain_asked = Signal(int)
    amount_asked = Signal(object)
    other_asked = Signal()
    lane_asked = Signal(str)
    back_asked = Signal()
    end_asked = Signal()

    def __init__(self, unit: Callable[[], str | None]) -> None:
        super().__init__(between=Space.SNUG)
        self._unit = unit
        self.likely = LikelyTap()
        self.likely.clicked.connect(lambda: self._ask(self.likely.code))
        self._taps: dict[str, Tap] = {}
        first = TapRow([self._tap(what, strong=True) for what in _FIRST])
        other = Tap("other", "Other side", OTHER_KEY)
        other.clicked.connect(self.other_asked)
        self._taps["other"] = other
        second = TapRow([*(self._tap(what) for what in _SECOND), other])
        third = TapRow([self._tap(what) for what in _THIRD])
        self.board = TapBoard(self.likely, (first, second), (third,))
        self.opened: OneLine | None = None
        self.doubt: Callable[[Quantity], str] = lambda _amount: ""
        self._doubted = ""
        self._room = Stack(between=Space.GAP)
        self._room.hide()
        self.last = _Said("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.back = Link("Take back")
        self.back.clicked.connect(self.back_asked)
        self.add(self.board, self._room, self._pains(), self._foot())

    def _tap(self, what: str, *, strong: bool = False) -> Tap:
        made = self._taps[what] = Tap(what, _SHORT.get(what, WORDS[what]), KEYS[what], strong=strong)
        made.setAccessibleName(f"{WORDS[what]}, key {KEYS[what]}")
        made.clicked.connect(partial(self._ask, what))
        return made

    def _pains(self) -> QWidget:
        across = QWidget()
        beside = Flow(across, gap=Space.PAD)
        label = Stack(between=Space.NONE)
        label.add(Words("Pain now", wrap=False))
        label.add(Words("0 none, 10 worst", size=Size.SMALL, ink=Role.SOFT_INK, wrap=False))
        self._digits = []
        for pain, key in enumerate(PAIN_KEYS):
            digit = Tap(f"pain-{pain}", str(pain), key, figure=True)
            digit.setAccessibleName(f"Pain now {pain}, key {key}")
            digit.clicked.connect(partial(self._ask_pain, pain))
            self._taps[f"pain-{pain}"] = digit
            self._digits.append(digit)
        beside.addWidget(label)
        beside.addWidget(TapRow(self._digits))
        return across

    def _foot(self) -> QWidget:
        across = QWidget()
        beside = Beside(across, middle=True)
        said = QWidget()
        row = Flow(said, gap=Space.PAD)
        row.addWidget(self.last)
        row.addWidget(self.back)
        self.more = Tap("more", "More milk", MORE_KEY)
        self.more.setAccessibleName(f"More milk: bottle, tube, cup, key {MORE_KEY}")
        self.more.clicked.connect(self.offer_lanes)
        self.finish_ = Tap("end", "End of feed")
        self.finish_.clicked.connect(self.end_asked)
        self.amount = Tap("amount", "Amount so far", AMOUNT_KEY)
        self.amount.clicked.connect(self.ask_amount)
        self._taps |= {"more": self.more, "end": self.finish_, "amount": self.amount}
        beside.addWidget(said)
        beside.addWidget(TapRow([self.amount, self.more, self.finish_]))
        return across

    # --- what it shows ----------------------------------------------------------------------------------------------

    def target(self, what: str) -> Tap | LikelyTap:
        """The target of an event, "pain-3", "other", "more", "end" or "likely"; raises KeyError for another."""
        return self.likely if what == "likely" else self._taps[what]

    def targets(self) -> Iterator[Tap | LikelyTap]:
        """All of them."""
        yield self.likely
        yield from self._taps.values()

    def show_likely(self, watch: Watch, whose: str) -> None:
        """Offer the likely next event of the lane in hand, with how often it has been so far."""
        what, lane = watch.likely(watch.hand), watch.hand
        self.amount.setVisible(lane in _EXTRA)
        words = LATCH_WORDS.get(lane, WORDS[what]) if what == "latch" else WORDS[what]
        times = watch.count(lane, what)
        side = "on this side" if lane in ("left", "right") else f"from the {lane}"
        small = whose if what in ("latch", "amount") else f"{times} {side} so far" if times else f"none {side} so far"
        key = KEYS.get(what, "")
        if (what, words, small) != (self.likely.code, self.likely.text(), self.likely.small):
            self.likely.show_event(what, words, small, key)
            self.board.refresh()

    def show_pain(self, pain: int | None) -> None:
        """The pain last told on the lane in hand."""
        for place, digit in enumerate(self._digits):
            digit.light(lit=place == pain)

    def show_last(self, words: str, *, unsaved: bool) -> None:
        """The last event in words, and whether it is on the disk."""
        self.last.say(words)
        self.last.take_ink(Role.WELD if unsaved else Role.SOFT_INK)
        self.back.setVisible(bool(words))

    # --- what opens in place ----------------------------------------------------------------------------------------

    def _ask(self, what: str, *_pressed: object) -> None:
        if what == "amount":
            self.ask_amount()
        else:
            self.asked.emit(what)

    def _ask_pain(self, pain: int, *_pressed: object) -> None:
        self.pain_asked.emit(pain)

    def _open(self, widget: QWidget) -> None:
        self.close_line()
        self._room.add(widget)
        self._room.show()
        widget.show()

    def close_line(self) -> None:
        """Put away what is open; what was not kept goes."""
        self.opened = None
        self._room.clear()
        self._room.hide()

    def open_line(self, label: str, key: str, keep: Callable[[str], None], *, ems: int = 0) -> OneLine:
        """A line opens under the targets, with the focus in it; `keep` is given what was typed."""
        line = OneLine(label, key, ems=ems)
        line.kept.connect(keep)
        line.closed.connect(self._shut)
        self._open(line)
        self.opened = line
        line.box.setFocus(Qt.FocusReason.OtherFocusReason)
        return line

    def _shut(self) -> None:
        self.close_line()
        self.likely.setFocus(Qt.FocusReason.OtherFocusReason)

    def offer_lanes(self, *_pressed: object) -> None:
        """Milk another way: which one."""
        taps = []
        for lane in _EXTRA:
            tap = Tap(lane, FEED_LANES[lane], "", strong=True)
            tap.clicked.connect(partial(self._pick, lane))
            taps.append(tap)
        self._open(TapRow(taps))
        taps[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def _pick(self, lane: str, *_pressed: object) -> None:
        self._shut()
        self.lane_asked.emit(lane)

    def ask_amount(self, *_pressed: object) -> None:
        """How much so far; asked only of a lane that is no side."""
        if self.amount.isHidden():
            return
        unit = self._unit()
        label = f"Amount so far, {'fl oz' if unit == 'fl_oz' else 'mL'}"
        self._doubted = ""
        self.open_line(label, "Keep", partial(self._amount, unit or "mL"), ems=6)

    def _amount(self, unit: str, typed: str) -> None:
        try:
            found = read(ask_of(FeedEvent, "amount"), typed, unit)
        except Refused as refusal:
            if self.opened is not None:
                self.opened.refuse(refusal.sentence)
            return
        assert isinstance(found, Quantity)
        doubt = self.doubt(found)
        if self.opened is not None and doubt and self._doubted != typed:
            self._doubted = typed
            self.opened.refuse(doubt)
            return
        self._shut()
        self.amount_asked.emit(found)
