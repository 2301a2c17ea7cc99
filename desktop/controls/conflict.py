"""A field for which two answers stand: all of them shown, and one picked by a person, with a reason."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.binding import Binding
from desktop.controls.buttons import Act, ActKind
from desktop.controls.layouts import Flow, spaced
from desktop.controls.shown import answer_words, field_name
from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Conflicted, Variant
from forms.ask import Path, ask_of

__all__ = ["ConflictBlock"]


class ConflictBlock(QWidget):
    """Every variant with who wrote it, when and where. Picking one and giving the reason writes it anew.

    Signal `settled()`: a value was written. Esc or "Leave both" leaves everything as it is.
    """

    settled = Signal()

    def __init__(self, binding: Binding, path: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._binding, self._path = binding, path
        self._ask = ask_of(binding.form, Path.read(path).field)
        self._name = field_name(binding, Path.read(path))
        self._picked: Variant | None = None
        self._column = QVBoxLayout(self)
        spaced(self._column)
        self.setAccessibleName(f"{self._name}: two answers stand")
        given = binding.value(path)
        self.variants = given.variants if isinstance(given, Conflicted) else ()
        count = {2: "Two", 3: "Three", 4: "Four"}.get(len(self.variants), str(len(self.variants)))
        self._column.addWidget(Words(f"{count} answers stand. Which one holds?", ink=Role.WELD, strong=True))
        row = QWidget()
        flow = Flow(row)
        self.picks: list[Act] = []
        for variant in self.variants:
            pick = Act(
                answer_words(self._ask, variant.value, binding.choices(path)),
                small=binding.written_by(variant.author, variant.device, variant.at),
            )
            pick.setCheckable(True)
            pick.clicked.connect(lambda _on=False, variant=variant, pick=pick: self._pick(variant, pick))
            self.picks.append(pick)
            flow.addWidget(pick)
        self._column.addWidget(row)
        self._build_reason()

    def _build_reason(self) -> None:
        self.reason_words = Words(
            "Why this one holds. The other stays in the record.", size=Size.SMALL, ink=Role.SOFT_INK
        )
        self.reason = Box()
        self.reason.setAccessibleName(f"Why this answer holds, {self._name}")
        self.say = Words("", ink=Role.WELD, strong=True)
        row = QWidget()
        acts = Flow(row)
        self.keep = Act("Keep this one", kind=ActKind.MAIN)
        self.leave = Act("Leave both for now", kind=ActKind.BARE)
        self.keep.clicked.connect(self._settle)
        self.reason.returnPressed.connect(self._settle)
        self.leave.clicked.connect(self._leave)
        acts.addWidget(self.keep)
        acts.addWidget(self.leave)
        self._reasoning = (self.reason_words, self.reason, self.say, row)
        for widget in self._reasoning:
            self._column.addWidget(widget)
            widget.hide()

    def _pick(self, variant: Variant, pick: Act) -> None:
        self._picked = variant
        for each in self.picks:
            each.setChecked(each is pick)
        for widget in self._reasoning:
            widget.setVisible(widget is not self.say)
        words = answer_words(self._ask, variant.value, self._binding.choices(self._path))
        self.keep.say(f"Keep {words}" if len(words) < Space.WIDE else "Keep this one")
        self.reason.setFocus()

    def _leave(self) -> None:
        self._picked = None
        for each in self.picks:
            each.setChecked(False)
        for widget in self._reasoning:
            widget.hide()
        if self.picks:
            self.picks[0].setFocus()

    def _settle(self) -> None:
        if self._picked is None:
            return
        reason = self.reason.text().strip()
        if not reason:
            self.say.say("Say in a word or two why this one holds; both stay until then.")
            self.say.show()
            self.reason.setFocus()
            return
        self._binding.put(self._path, self._picked.value, reason)
        self.settled.emit()
