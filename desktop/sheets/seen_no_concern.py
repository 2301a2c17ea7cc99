"""Seen, no concern: one act that writes the plain answer to each line of one region, on one side where it has sides.

The lines are shown before they can be written: the key is there only once this region and side was opened. What was
written says of itself that it was a summary answer, opens into its lines, and is taken back as one.
"""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.conflict import ConflictBlock
from desktop.controls.layouts import Flow, Stack
from desktop.controls.shown import answer_words
from desktop.controls.words import Words
from desktop.sheets.in_view import InView
from desktop.sheets.sheet import Compose, Here
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Conflicted, Side
from forms.ask import Path, ask_of
from forms.form import is_open, value_at
from forms.summaries import claimed, plain_answers, would_write

__all__ = ["SeenNoConcern", "seen_no_concern"]


class SeenNoConcern(Stack):
    """The summary answer of one region for the person charted, and of the side in view if the region has sides."""

    def __init__(self, here: Here, summary: str) -> None:
        super().__init__(between=Space.GAP)
        self._home, self._binding, self.summary = here.home, here.binding, summary
        self._ask = ask_of(here.binding.form, summary)
        self._region = self._ask.label.partition(":")[0]
        self._view = InView.of(here.home)
        self._conflict: ConflictBlock | None = None
        self.opener = Link("", icon=Icon.OPEN)
        self.opener.clicked.connect(self._turn_over)
        self.standing = Words("", strong=True, size=Size.SMALL)
        self.lines = Words("", size=Size.SMALL)
        self.write = Act("", icon=Icon.TICK)
        self.write.clicked.connect(self.put)
        self.take_back = Act("Take this back", kind=ActKind.BARE)
        self.take_back.clicked.connect(self.undo)
        keys = QWidget()
        flow = Flow(keys)
        flow.addWidget(self.write)
        flow.addWidget(self.take_back)
        self._open = Stack(between=Space.GAP)
        self._open.setContentsMargins(Space.WIDE, Space.NONE, Space.NONE, Space.NONE)
        self._open.add(self.lines, keys)
        self._dispute = Stack()
        self.add(self.standing, self.opener, self._open, self._dispute)
        here.binding.changed.connect(self._show)
        here.binding.sealed_changed.connect(self._show)
        if self._ask.sides:
            self._view.turned.connect(self._show)
        self._show()

    @property
    def side(self) -> Side | None:
        """The side that is meant now; None for a region without sides."""
        return self._view.side if self._ask.sides else None

    @property
    def opened(self) -> bool:
        """Whether this region and side was opened, so that its lines are in view."""
        return self._view.opened(*self._key())

    def _key(self) -> tuple[str, ...]:
        return (self._binding.entity, str(Path(self.summary, self.side)))

    def put(self) -> None:
        """Write the lines as one step. Nothing happens for a region and side that was not opened."""
        answers = self._binding.answers()
        lines = would_write(answers, self.summary, self.side)
        here = Path(self.summary, self.side)
        if not self.opened or not lines or isinstance(value_at(answers, here), Conflicted):
            return
        wrote = {path.field for path in (*lines, *claimed(answers, self.summary, self.side))}
        noted = tuple(name for name in self._ask.claims if name in wrote)
        self._home.put_together(self._binding, {**lines, here: noted})

    def undo(self) -> None:
        """Take back each line that still stands as it was written here, as one step."""
        lines = claimed(self._binding.answers(), self.summary, self.side)
        self._home.put_together(self._binding, {**dict.fromkeys(lines), Path(self.summary, self.side): None})

    def _turn_over(self) -> None:
        self._view.turn_over(*self._key())
        self._show()

    def _whose(self) -> str:
        side = self.side
        return f", {self._binding.person_words()[list(Side).index(side)]}" if side is not None else ""

    def _line(self, path: Path) -> str:
        answers, ask = self._binding.answers(), ask_of(self._binding.form, path.field)
        given = value_at(answers, path)
        if isinstance(given, Conflicted):
            return f"{ask.label}: two answers stand there, so it is left alone"
        plain = answer_words(ask, plain_answers(self._binding.form, self.summary)[path.field])
        if path in claimed(answers, self.summary, self.side):
            return f"{ask.label}: {plain}, as part of the summary answer"
        return f"{ask.label}: {plain}" if given is None else f"{ask.label}: stays {answer_words(ask, given)}"

    def _show(self, _path: str = "") -> None:
        answers, here = self._binding.answers(), Path(self.summary, self.side)
        asked = is_open(answers, here)
        done, lines = claimed(answers, self.summary, self.side), would_write(answers, self.summary, self.side)
        disputed = isinstance(value_at(answers, here), Conflicted)
        sealed, opened = self._binding.sealed(), self.opened
        on = asked and bool(done or lines or disputed) and (bool(done) or not sealed)
        if self.parentWidget() is not None or not on:  # before it stands on a page it would be a window of its own
            self.setVisible(on)
        self.standing.say(f"Summary answer{self._whose()}: seen, no concern" if done else "")
        self.standing.setVisible(bool(done))
        if done:
            said = "1 line" if len(done) == 1 else f"{len(done)} lines"
            self.opener.say(f"Close the {said} it wrote" if opened else f"Show the {said} it wrote")
        else:
            self.opener.say(f"{'Close' if opened else 'Nothing of note? Open'} {self._region.lower()}{self._whose()}")
        paths = (Path(name, self.side) for name in self._ask.claims)
        self.lines.say("\n".join(self._line(path) for path in paths if is_open(answers, path)))
        self._open.setVisible(opened)
        self._say_keys(len(lines), done=bool(done), shut=sealed or disputed)
        self._show_dispute(disputed=disputed and not sealed)

    def _say_keys(self, count: int, *, done: bool, shut: bool) -> None:
        more = "more " if done else ""
        self.write.say(f"Write this {more}answer" if count == 1 else f"Write these {count} {more}answers")
        self.write.setAccessibleName(f"{self.write.text()}: {self._ask.label}{self._whose()}")
        self.write.setVisible(bool(count) and not shut)
        self.take_back.setVisible(done and not shut)

    def _show_dispute(self, *, disputed: bool) -> None:
        self._dispute.clear()
        self._dispute.setVisible(disputed)
        if disputed:
            self._dispute.add(
                Words("Two devices wrote a summary answer here.", ink=Role.SOFT_INK, size=Size.SMALL),
                ConflictBlock(self._binding, str(Path(self.summary, self.side))),
            )


def seen_no_concern(c: Compose, summary: str) -> None:
    """Places the summary answer of a region under its questions."""
    c.widget(lambda here: SeenNoConcern(here, summary), summary)
