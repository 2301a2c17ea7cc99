"""Where an answer stands on screen: the control of its kind, or the conflict block; alone, or one for each side."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from desktop.controls.binding import Binding
from desktop.controls.choice import ChoiceStrip, RefStrip, Scale, YesNo
from desktop.controls.conflict import ConflictBlock
from desktop.controls.control import Control
from desktop.controls.layouts import Pair, spaced
from desktop.controls.moons import Half, moon_state
from desktop.controls.note import Note
from desktop.controls.numbers import CountStepper, QuantityField
from desktop.controls.times import DayField, MomentChip
from desktop.controls.typed import Line
from desktop.controls.words import Words
from desktop.theme.look import look
from desktop.theme.tokens import Space, Target
from forms.answers import Conflicted, Side
from forms.ask import Kind, Path, ask_of

__all__ = ["CONTROLS", "AnswerSlot", "SidedPair", "control_for"]

CONTROLS: Mapping[Kind, Callable[[Binding, str], Control]] = MappingProxyType(
    {
        Kind.CHOICE: ChoiceStrip,
        Kind.MANY: ChoiceStrip,
        Kind.SCALE: Scale,
        Kind.COUNT: CountStepper,
        Kind.QUANTITY: QuantityField,
        Kind.MOMENT: MomentChip,
        Kind.DAY: DayField,
        Kind.LINE: Line,
        Kind.TEXT: Note,
        Kind.YES_NO: YesNo,
        Kind.REF: RefStrip,
        Kind.REFS: RefStrip,
    }
)
"""The control for each kind of answer."""


def control_for(binding: Binding, path: str) -> Control:
    """The control for the answer at a path."""
    return CONTROLS[ask_of(binding.form, Path.read(path).field).kind](binding, path)


class AnswerSlot(QWidget):
    """The control for one path; while two answers stand there, the conflict block in its place.

    Signal `troubled(path, sentence)`.
    """

    troubled = Signal(str, str)

    def __init__(self, binding: Binding, path: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._binding, self.path = binding, path
        self._column = QVBoxLayout(self)
        spaced(self._column)
        self.control = control_for(binding, path)
        self.control.troubled.connect(lambda sentence: self.troubled.emit(path, sentence))
        self.conflict: ConflictBlock | None = None
        self._column.addWidget(self.control)
        self.setFocusProxy(self.control)
        binding.changed.connect(self._hear)
        self._hear(path)

    def _hear(self, path: str) -> None:
        if path != self.path:
            return
        given = self._binding.value(path)
        variants = given.variants if isinstance(given, Conflicted) else ()
        if self.conflict is not None and variants != self.conflict.variants:
            gone, self.conflict = self.conflict, None
            self._column.removeWidget(gone)
            gone.hide()
            gone.deleteLater()
        if variants and self.conflict is None:
            self.conflict = ConflictBlock(self._binding, path)
            self._column.addWidget(self.conflict)
        self.control.setVisible(not variants)


class _Whose(Words):
    """Whose side a row is; as wide as the longer of the two, so that both answers start at one line."""

    def __init__(self, whose: str, both: tuple[str, str], parent: QWidget | None = None) -> None:
        self._both = both
        super().__init__(whose, wrap=False, parent=parent)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        metrics = self.fontMetrics()
        wide = max(metrics.horizontalAdvance(words) for words in self._both)
        return QSize(wide + Space.FINE, max(Target.TOUCH, look().px(Target.HALF)))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()


class SidedPair(QWidget):
    """Both sides of a question, each with its half-moon and whose side it is in words.

    `show_sides` narrows it to the sides on which a follow-up is open. Signal `troubled(path, sentence)`.
    """

    troubled = Signal(str, str)

    def __init__(self, binding: Binding, field: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._binding = binding
        self.slots: dict[Side, AnswerSlot] = {}
        self._halves: dict[Side, Half] = {}
        self._parts: dict[Side, QWidget] = {}
        pair = Pair(self, gap=Space.WIDE)
        for side, whose in zip(Side, binding.person_words(), strict=True):
            path = str(Path(field, side))
            part = QWidget()
            row = QHBoxLayout(part)
            spaced(row, Space.GAP)
            half = Half(side, whose)
            words = _Whose(whose, binding.person_words())
            slot = AnswerSlot(binding, path)
            slot.troubled.connect(self.troubled)
            row.addWidget(half, alignment=Qt.AlignmentFlag.AlignTop)
            row.addWidget(words, alignment=Qt.AlignmentFlag.AlignTop)
            row.addWidget(slot, 1)
            pair.addWidget(part)
            self.slots[side], self._halves[side], self._parts[side] = slot, half, part
        binding.changed.connect(self._hear)
        self._moons()

    def _hear(self, path: str) -> None:
        if path in {slot.path for slot in self.slots.values()}:
            self._moons()

    def _moons(self) -> None:
        for side, half in self._halves.items():
            half.show_state(moon_state(self._binding.value(self.slots[side].path)))

    def show_sides(self, sides: tuple[Side, ...]) -> None:
        """Show only these sides."""
        for side, part in self._parts.items():
            part.setVisible(side in sides)
