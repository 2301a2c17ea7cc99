"""Controls for numbers: a measure with its unit and a number pad, and a count with steps."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QEnterEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QGroupBox, QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from desktop.controls.buttons import Act
from desktop.controls.layouts import Flow, spaced
from desktop.controls.segments import Segments
from desktop.controls.typed import Box, Typed
from desktop.controls.words import Words, paint_ring
from desktop.theme.icons import Icon, paint_icon
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Radius, Role, Size, Space, Stroke, Target
from forms.answers import Quantity
from forms.reading import read
from forms.units import UNITS, Dimension
from forms.units import shown as amount_shown

__all__ = ["CountStepper", "NumberPad", "QuantityField"]

_ERASE, _DONE = "erase", "done"
_NAMES: Mapping[str, str] = MappingProxyType({_ERASE: "Erase the last figure", _DONE: "Done", ".": "Point"})


class Key(Dressed, QPushButton):
    """One key: a figure, or an icon with its accessible word. No box round it: the pad has lines, keys have room."""

    def __init__(
        self,
        words: str,
        *,
        icon: Icon | None = None,
        target: Target = Target.PAD,
        main: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(words, parent)
        self._icon, self._target, self._main = icon, target, main
        self.setAccessibleName(words)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        metrics_font = look().font(Size.FIGURE)
        self.ensurePolished()
        self.setFont(metrics_font)
        beside_box = self._target is not Target.PAD  # as tall as the box it stands beside
        around = self.fontMetrics().height() + 2 * Space.GAP if beside_box else look().px(Size.FIGURE) * 2
        side = max(self._target, around)
        if self._icon:
            return QSize(side, side)
        return QSize(max(side, self.fontMetrics().horizontalAdvance(self.text()) + 2 * Space.PAD), side)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def enterEvent(self, event: QEnterEvent) -> None:
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        now = look()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        filled = self._main and self.isEnabled()
        ground = Role.ELDER if filled else Role.CARD
        painter.setPen(QPen(now.colour(Role.ELDER if filled else Role.EDGE), Stroke.HAIR))
        down = self.isEnabled() and (self.isDown() or self.underMouse())
        painter.setBrush(now.tint(Role.INK, ground, 12) if down else now.colour(ground))
        painter.drawRoundedRect(box, Radius.EASED, Radius.EASED)
        ink = now.colour(Role.ON_FILL if filled else Role.INK if self.isEnabled() else Role.SOFT_INK)
        if self._icon:
            side = now.px(Target.ICON)
            at = QPointF(box.center().x() - side / 2, box.center().y() - side / 2)
            paint_icon(painter, QRectF(at.x(), at.y(), side, side), self._icon, ink)
        else:
            painter.setFont(now.font(Size.FIGURE))
            painter.setPen(ink)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self.text())
        if self.hasFocus():
            paint_ring(painter, self.rect(), now, filled=filled, radius=Radius.EASED)


class NumberPad(Dressed, QGroupBox):
    """Figures to tap, 64 px at least. Signals: `typed(characters)`, `erased()`, `done()`."""

    typed = Signal(str)
    erased = Signal()
    done = Signal()

    def __init__(self, whose: str, *, point: bool = True, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(f"Number pad for {whose}")
        grid = QGridLayout(self)
        spaced(grid)
        self._keys: dict[str, Key] = {}
        rows = (("7", "8", "9"), ("4", "5", "6"), ("1", "2", "3"), ("0", "." if point else "", _ERASE))
        for down, row in enumerate(rows):
            for across, figure in enumerate(row):
                if figure:
                    grid.addWidget(self._key(figure), down, across)
        self.pounds = self._add("lb", " lb ")
        self.ounces = self._add("oz", " oz")
        done = self._key(_DONE)
        grid.addWidget(self.pounds, 0, 3)
        grid.addWidget(self.ounces, 1, 3)
        grid.addWidget(done, 3, 3)
        grid.setColumnStretch(4, 1)
        self.show_pounds(shown=False)

    def show_pounds(self, *, shown: bool) -> None:
        """Offer the keys "lb" and "oz"."""
        self.pounds.setVisible(shown)
        self.ounces.setVisible(shown)

    def key(self, figure: str) -> QPushButton:
        """The key of a figure, of "." , "erase" or "done"; raises KeyError for another."""
        return self._keys[figure]

    def _add(self, words: str, characters: str) -> Key:
        key = Key(words)
        key.clicked.connect(lambda: self.typed.emit(characters))
        self._keys[words] = key
        return key

    def _key(self, figure: str) -> Key:
        if figure == _ERASE:
            key = Key(_NAMES[figure], icon=Icon.ERASE)
            key.setAutoRepeat(True)
            key.clicked.connect(self.erased)
        elif figure == _DONE:
            key = Key("Done", main=True)
            key.clicked.connect(self.done)
        else:
            key = Key(figure)
            key.setAccessibleName(_NAMES.get(figure, figure))
            key.clicked.connect(lambda: self.typed.emit(figure))
        self._keys[figure] = key
        return key


class QuantityField(Typed):
    """A measure: the figure (large for weights), its unit beside it, and a number pad that opens below.

    No unit stands by itself unless there is only one, one is kept, or one was used last for this dimension.
    """

    def _build(self) -> None:
        self._dimension = UNITS[self.ask.units[0]].dimension if self.ask.units else Dimension.MASS
        large = self._dimension is Dimension.MASS
        column = QVBoxLayout(self)
        spaced(column)
        row = QWidget()
        flow = Flow(row, gap=Space.PAD)
        self.box = Box(size=Size.WEIGHT if large else Size.FIGURE, ems=8 if large else 6)
        self.box.setInputMethodHints(Qt.InputMethodHint.ImhPreferNumbers)
        flow.addWidget(self.box)
        symbols = {unit: UNITS[unit].symbol for unit in self.ask.units}
        self.units = Segments(f"Unit of {self.name}", symbols)
        self.units.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.units.picked.connect(self._pick_unit)
        flow.addWidget(self.units)
        if len(symbols) == 1:
            self.units.hide()
            flow.addWidget(Words(next(iter(symbols.values())), wrap=False))
        self.opener = Act("Pad", icon=Icon.PAD, target=Target.TOUCH)
        self.opener.setAccessibleName(f"Number pad for {self.name}")
        self.opener.setCheckable(True)
        self.opener.toggled.connect(self._open_pad)
        flow.addWidget(self.opener)
        self.echo = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.pad = NumberPad(self.name, point=any(UNITS[unit].places for unit in self.ask.units))
        self.pad.hide()
        self.pad.typed.connect(self._insert)
        self.pad.erased.connect(self.box.backspace)
        self.pad.done.connect(self._close_pad)
        for widget in (row, self.echo, self.pad):
            column.addWidget(widget)
        last = self.binding.last_unit(str(self._dimension))
        if len(self.ask.units) == 1:
            self._show_unit(self.ask.units[0])
        elif last in self.ask.units:
            self._show_unit(last)

    def unit(self) -> str | None:
        """The unit picked beside the box."""
        return next(iter(self.units.codes()), None)

    def _show_unit(self, unit: str | None) -> None:
        self.units.show_codes((unit,) if unit else ())
        self.pad.show_pounds(shown=unit == "lb_oz")

    def _pick_unit(self, unit: str) -> None:
        """Another unit says something else about the same figures, so it is read and kept at once."""
        self._show_unit(unit)
        if self.text():
            self._dirty = True
            self.commit()

    def _open_pad(self, on: bool) -> None:
        self.pad.setVisible(on)

    def _close_pad(self) -> None:
        self.commit()
        if not self.sentence:
            self.opener.setChecked(False)
            self.opener.setFocus()

    def _insert(self, characters: str) -> None:
        if isinstance(self.box, Box):
            self.box.insert(characters)

    def _written(self, value: Quantity) -> str:
        return value.typed

    def _read(self, text: str) -> Any:
        return read(self.ask, text, self.unit(), self.binding.zone())

    def _after_refresh(self, known: Any) -> None:
        if isinstance(known, Quantity):
            self._show_unit(known.unit)
            self.echo.say(f"kept: {amount_shown(known.base, known.unit)}")
        self.echo.setVisible(isinstance(known, Quantity))


class CountStepper(Typed):
    """A whole number, typed or stepped. Empty is not zero: the first step down gives the least number, up the next."""

    def _build(self) -> None:
        row = QHBoxLayout(self)
        spaced(row)
        lowered = self.name[:1].lower() + self.name[1:]
        self.less = Key(f"One less, {lowered}", icon=Icon.MINUS, target=Target.TOUCH)
        self.more = Key(f"One more, {lowered}", icon=Icon.PLUS, target=Target.TOUCH)
        self.box = Box(size=Size.FIGURE, ems=4)
        self.box.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.box.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.box.setInputMethodHints(Qt.InputMethodHint.ImhDigitsOnly)
        for key, step in ((self.less, -1), (self.more, 1)):
            key.setAutoRepeat(True)
            key.clicked.connect(lambda _on=False, step=step: self._step(step))
        for widget in (self.less, self.box, self.more):
            row.addWidget(widget, alignment=Qt.AlignmentFlag.AlignVCenter)
        row.addStretch(1)

    def _step(self, by: int) -> None:
        self.commit()
        if self.sentence:
            return
        low = self.ask.low or 0
        known = self.known()
        to = (low if by < 0 else low + 1) if not isinstance(known, int) else known + by
        if low <= to and (self.ask.high is None or to <= self.ask.high):
            self.put(to)
            self.refresh()
