"""The outlines of one person side by side, or one at a time, and the sentences that go with placing a mark."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind
from desktop.controls.layouts import Flow, Pair, Stack
from desktop.controls.outline import OutlineBoard
from desktop.controls.segments import Tabs
from desktop.controls.words import Words
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.body_mark import OUTLINES, BodyMark
from forms.mark_place import pointed
from forms.mark_words import place_said
from forms.pictures.marked import Numbered, on_outline
from forms.pictures.outlines import Spot

__all__ = ["Boards"]

_BESIDE = "That is beside the outline. Touch the outline itself, or use “Mark in words”."


class Boards(Stack):
    """The outlines on which a person is drawn.

    Signals: `marked(code, side, Spot)` for a new place, or for where a mark is moved to; `picked(entity)` for a
    mark that was touched; `left()` when a move was given up. `switch` picks the outline; whoever lays out the page
    places it where there is more than one.
    """

    marked = Signal(str, str, object)
    picked = Signal(str)
    left = Signal()

    def __init__(self, name: str, codes: Sequence[str], parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.GAP)
        self._name, self._codes = name, tuple(codes)
        self.code = self._codes[0]
        self.boards: tuple[OutlineBoard, ...] = ()
        self._marks: tuple[Numbered, ...] = ()
        self._moving = 0
        self._here: tuple[str, str, Spot] | None = None
        self.switch = Tabs("Outline", {code: OUTLINES[code] for code in self._codes}, parent=self)
        self.switch.hide()
        self.closed = Words("", ink=Role.SOFT_INK)
        self._place = Stack()
        self.aimed = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.say = Words("", strong=True)
        self.again = Act("New mark here", icon=Icon.PLUS)
        self.again.clicked.connect(self._mark_again)
        self.leave = Act("Leave it where it is", kind=ActKind.BARE)
        self.leave.clicked.connect(self._leave)
        keys = QWidget()
        flow = Flow(keys)
        for widget in (self.again, self.leave):
            flow.addWidget(widget)
        self.add(self.closed, self._place, self.aimed, self.say, keys)
        hidden: tuple[QWidget, ...] = (self.closed, self.again, self.leave, self.say, self.aimed)
        for one in hidden:
            one.hide()
        self.turn(self.code)

    def turn(self, code: str) -> None:
        """Show an outline."""
        self.switch.show_codes((code,))
        if self.boards and code == self.code:
            return
        self.code = code
        self._place.clear()
        sides = ("right", "left") if code == "chest" else ("",)
        self.boards = tuple(OutlineBoard(code, side, self._name, partial(self._told, code, side)) for side in sides)
        row = QWidget()
        row.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        pair = Pair(row)
        for board in self.boards:
            side = board.outline.side
            board.placed.connect(partial(self._touched, code, side))
            board.picked.connect(partial(self._on_mark, code, side))
            board.aimed.connect(partial(self._aim, code, side))
            board.left.connect(self._leave)
            pair.addWidget(board)
        self._place.add(row)
        self.show_marks(self._marks)

    def _told(self, code: str, side: str, spot: Spot) -> str:
        found = pointed(code, side, spot)
        return place_said(BodyMark(**found), self._name) if found is not None else "beside the outline"

    def show_marks(self, marks: tuple[Numbered, ...]) -> None:
        """Show those of these marks that stand on the outline in view."""
        self._marks = marks
        for board in self.boards:
            board.show_marks(on_outline(marks, self.code, board.outline.side))

    def shut(self, why: str) -> None:
        """Take no marks, and say why; "" takes them again."""
        self.closed.say(why)
        self.closed.setVisible(bool(why))
        for board in self.boards:
            board.shut(shut=bool(why))

    def pick_out(self, entity: str | None) -> None:
        """Ring the mark that is open in the list."""
        for board in self.boards:
            board.pick_out(entity)

    def ask_where(self, number: int) -> None:
        """Ask where a mark belongs now; the next place touched is its place."""
        self._moving = number
        self._say(f"Touch where mark {number} belongs now, or move the crosshair with the arrow keys and press Enter.")
        self.leave.show()
        self.again.hide()
        self.boards[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def done(self) -> None:
        """Nothing is asked any more."""
        self._moving, self._here = 0, None
        self._say("")
        self.again.hide()
        self.leave.hide()

    def _say(self, words: str) -> None:
        self.say.say(words)
        self.say.setVisible(bool(words))

    def _leave(self) -> None:
        self.done()
        self.left.emit()

    def _touched(self, code: str, side: str, spot: Spot) -> None:
        if pointed(code, side, spot) is None:
            self._say(_BESIDE)
            return
        self.done()
        self.marked.emit(code, side, spot)

    def _on_mark(self, code: str, side: str, entity: str, spot: Spot) -> None:
        if self._moving:
            self._touched(code, side, spot)
            return
        self.done()
        self._here = code, side, spot
        self.again.setVisible(not self.closed.said())
        self.picked.emit(entity)

    def _mark_again(self) -> None:
        if self._here is not None:
            self._touched(*self._here)

    def _aim(self, code: str, side: str, spot: Spot) -> None:
        self.aimed.say(f"Crosshair: {self._told(code, side, spot)}. Enter marks here.")
        self.aimed.show()
