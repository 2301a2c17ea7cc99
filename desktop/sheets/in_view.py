"""What of several is in view while one chart is open: the feed, the note of a pair, the letter, and the side.

It is kept with the open chart, so that every page of it, the window's keys and the thread speak of the same one.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from desktop.open_chart import OpenChart
from forms.answers import Side
from forms.ask import Path
from forms.form import Form

__all__ = ["InView", "Jump"]


@dataclass(frozen=True, slots=True)
class Jump:
    """Somewhere to go: the moment, the person charted, and there the section, the entry and the answer.

    `section` is the key of a section, "" where only the moment is meant; `entry` is None for one yet to be begun.
    """

    moment: str
    who: str
    section: str = ""
    form: str = ""
    entry: str | None = None
    path: Path | None = None


class InView(QObject):
    """Which one is in view.

    Signals: `switched()` when another feed, note or letter is to be shown, so that the page over it is laid again;
    `turned()` when the other side is; `jumped(Jump)` when a page asks to be taken elsewhere.
    """

    switched = Signal()
    turned = Signal()
    jumped = Signal(object)

    def __init__(self, home: OpenChart) -> None:
        super().__init__(home)
        self._shown: dict[tuple[str, str], tuple[str, ...]] = {}
        self._side = Side.LEFT
        self._outlines: dict[str, str] = {}
        self._opened: set[tuple[str, ...]] = set()

    @classmethod
    def of(cls, home: OpenChart) -> InView:
        """The one of an open chart; made when first asked for."""
        return home.findChild(cls) or cls(home)

    @property
    def side(self) -> Side:
        """The side in view."""
        return self._side

    def turn(self, side: Side) -> None:
        """Show a side."""
        if side is not self._side:
            self._side = side
            self.turned.emit()

    def other_side(self) -> None:
        """Show the other side."""
        self.turn(Side.RIGHT if self._side is Side.LEFT else Side.LEFT)

    def opened(self, *what: str) -> bool:
        """Whether what closes to a line was opened; it stays so when the page is laid anew."""
        return what in self._opened

    def turn_over(self, *what: str) -> None:
        """Open it, or close it to its line again."""
        self._opened ^= {what}

    def outline(self, who: str) -> str:
        """The outline on which a person is being drawn; "" while none was picked."""
        return self._outlines.get(who, "")

    def draw_on(self, who: str, outline: str) -> None:
        """Remember the outline in view, so that a page laid anew shows it again."""
        self._outlines[who] = outline

    def shown(self, form: type[Form], who: str) -> tuple[str, ...]:
        """What was picked of a form for the person charted: an id and its subjects; () for nothing."""
        return self._shown.get((form.name, who), ())

    def keep(self, form: type[Form], who: str, *ids: str) -> None:
        """Remember what is in view, without a word: the page that asks is being laid."""
        self._shown[form.name, who] = ids

    def show(self, form: type[Form], who: str, *ids: str) -> None:
        """Show another one."""
        if self.shown(form, who) != ids:
            self.keep(form, who, *ids)
            self.switched.emit()
