"""An effective latch in short: each point the trade watches for, and on which side of the feeder it was seen."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QWidget

from desktop.controls.layouts import Stack, spaced
from desktop.controls.moons import Half
from desktop.controls.words import Rule, Words
from desktop.sheets.feed_head import Unchosen
from desktop.sheets.sheet import Here
from desktop.theme.halfmoons import MoonState
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Side
from forms.feed import FeedObservation
from forms.latch import CAUTION, Found, LatchPoints, latch_seen

__all__ = ["LatchSeen"]

_INKS: Mapping[Found, Role] = MappingProxyType({
    Found.SEEN: Role.INK, Found.NOT_SEEN: Role.INK, Found.TORN: Role.WELD, Found.NOT_LOOKED: Role.SOFT_INK,
})  # fmt: skip


class LatchSeen(Stack):
    """A line for each point, the two sides of the feeder beside each other. It follows the answers and takes none."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.PAD)
        self._here = here
        self._shown: tuple[LatchPoints | None, ...] | None = None
        self._table = Stack(between=Space.NONE)
        if isinstance(here.binding, Unchosen):
            return
        self.add(self._table, Rule(), Words(CAUTION, size=Size.SMALL, ink=Role.SOFT_INK))
        here.home.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        feed = self._here.binding.answers()
        if not isinstance(feed, FeedObservation):
            return
        found = tuple(latch_seen(feed, side) for side in Side)
        if found == self._shown:
            return
        self._shown = found
        self._table.clear()
        if all(points is None for points in found):
            self._table.add(Words("No side is written down as fed yet; what was seen is gathered here then."))
            return
        self._table.add(self._lines(found))

    def _lines(self, found: tuple[LatchPoints | None, ...]) -> QWidget:
        table = QWidget()
        grid = QGridLayout(table)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(Space.WIDE)
        grid.setVerticalSpacing(Space.FINE)
        grid.setColumnStretch(0, 2)
        for column, (side, words, points) in enumerate(
            zip(Side, self._here.binding.person_words(), found, strict=True), start=1
        ):
            grid.setColumnStretch(column, 1)
            grid.addWidget(_head(side, words, points), 0, column)
            if points is None:
                grid.addWidget(Words("Not fed on this side", ink=Role.SOFT_INK), 1, column)
        names = next(points.found for points in found if points is not None)
        for row, (name, _) in enumerate(names, start=1):
            grid.addWidget(Words(name), row, 0)
            for column, points in enumerate(found, start=1):
                if points is not None:
                    how = points.found[row - 1][1]
                    grid.addWidget(Words(str(how), ink=_INKS[how], strong=how is Found.NOT_SEEN), row, column)
        return table


def _head(side: Side, words: str, points: LatchPoints | None) -> QWidget:
    head = QWidget()
    across = QHBoxLayout(head)
    spaced(across, Space.SNUG)
    half = Half(side, words)
    half.show_state(MoonState.NOT_DONE if points is None else MoonState.DONE)
    across.addWidget(half)
    across.addWidget(Words(words, strong=True), 1)
    return head
