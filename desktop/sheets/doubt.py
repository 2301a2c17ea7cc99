"""A doubt, asked once in place: what was typed stays as typed, with the answer beside it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act
from desktop.controls.layouts import Flow, Stack
from desktop.controls.shown import answer_words
from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.draft import EntryBinding
from desktop.sheets.moved import Move, move_for
from desktop.sheets.sheet import Here
from desktop.theme.tokens import Role, Size, Space, Target
from forms.answers import Absent
from forms.ask import Path, ask_of, asks, paths
from forms.doubts import Doubt, doubts

if TYPE_CHECKING:
    from desktop.open_chart import OpenChart

__all__ = ["KEPT", "DoubtAsked", "asked_about", "doubts_at", "open_doubts", "said_once", "tell_doubts"]

KEPT = "kept_after_asking"
"""The field in which a form that can be doubted keeps the answer."""


def doubts_at(home: OpenChart, binding: EntryBinding, path: Path, who: str) -> tuple[Doubt, ...]:
    """What there is to ask about the value that stands at a path."""
    value = binding.value(str(path))
    if value is None or isinstance(value, Absent):
        return ()
    return doubts(
        home.chart,
        binding.form,
        path,
        value,
        who,
        home.clock(),
        answers=binding.answers(),
        entry=binding.entity,
    )


def open_doubts(home: OpenChart, binding: EntryBinding, fields: tuple[str, ...], who: str) -> tuple[str, ...]:
    """Each question with the value it is about, unless that very question was answered before."""
    standing = binding.value(KEPT)
    answered = standing if isinstance(standing, str) else ""
    found = []
    for name in fields:
        value = answer_words(ask_of(binding.form, name), binding.value(name))
        for doubt in doubts_at(home, binding, Path(name), who):
            line = f"{value}: {doubt.question}"
            if line not in answered:
                found.append(line)
    return tuple(dict.fromkeys(found))


def said_once(found: tuple[str, ...]) -> str:
    """Questions as they are shown: one that two values raise is said with the first of them only."""
    first = {line.partition(": ")[2]: line for line in reversed(found)}
    return " ".join(reversed(first.values()))


def tell_doubts(home: OpenChart, binding: EntryBinding, who: str) -> None:
    """Has the question of a doubt stand under the answer, for a form that keeps no answer to it; once an entry."""
    if KEPT in asks(binding.form) or binding.property(_TOLD):
        return
    binding.setProperty(_TOLD, True)
    known = {str(path): path for path in paths(binding.form)}

    def heard(name: str) -> None:
        if name not in known:
            return
        found = doubts_at(home, binding, known[name], who)
        sentence = " ".join(doubt.question for doubt in found) or None
        if sentence != binding.say(name):
            binding.ask_once(name, sentence)

    binding.changed.connect(heard)


_TOLD = "doubts_told"


class DoubtAsked(Stack):
    """The questions about some fields of an entry that were not answered yet, and the key that answers them."""

    def __init__(self, here: Here, fields: tuple[str, ...]) -> None:
        super().__init__(between=Space.GAP)
        self._here, self._fields = here, fields
        self.question = Words("", ink=Role.WELD, strong=True)
        self.words = Box(ems=16)
        self.words.setMinimumHeight(Target.TOUCH)
        self.words.setPlaceholderText("How you know")
        self.words.setAccessibleName("How you know it is as typed")
        self.keep = Act("Yes, as typed")
        self.keep.clicked.connect(self.answer)
        self.move_key = Act("Move it")
        self.move_key.clicked.connect(self.move_it)
        self._offered: Move | None = None
        self.beside = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        keys = QWidget()
        flow = Flow(keys)
        flow.addWidget(self.words)
        flow.addWidget(self.move_key)
        flow.addWidget(self.keep)
        self._keys = keys
        self.kept = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.add(self.question, self.beside, keys, self.kept)
        here.binding.changed.connect(self._show)
        here.home.changed.connect(self._show)
        self._show()

    def _open(self) -> tuple[str, ...]:
        return open_doubts(self._here.home, self._here.binding, self._fields, self._here.who)

    def _show(self, _path: str = "") -> None:
        found = self._open()
        sealed = self._here.binding.sealed()
        self._offer_move(asked=bool(found))
        self.question.say(said_once(found))
        self.question.setVisible(bool(found))
        self._keys.setVisible(bool(found) and not sealed)
        standing = self._here.binding.value(KEPT)
        self.kept.say(standing if isinstance(standing, str) else "")
        self.kept.setVisible(bool(self.kept.said()))
        if self.parentWidget() is not None or not (found or self.kept.said()):
            # Without a parent it is shown with the page; shown now it would be a window of its own.
            self.setVisible(bool(found or self.kept.said()))

    def _offer_move(self, *, asked: bool) -> None:
        """Offer to move a weight to the twin whose line it fits, with what each would gain a day."""
        home, binding, self._offered, beside = self._here.home, self._here.binding, None, ""
        about = [doubt for name in self._fields for doubt in doubts_at(home, binding, Path(name), self._here.who)]
        for doubt in about if asked else ():
            if doubt.twin and self._offered is None:
                self._offered, beside = move_for(home, binding.entity, doubt), doubt.beside
        self.move_key.setVisible(self._offered is not None)
        if self._offered is not None:
            self.move_key.say(self._offered.words)
        self.beside.say(beside)
        self.beside.setVisible(bool(beside))

    def move_it(self) -> None:
        """Move the weight to the twin, with the reason that stands in the box."""
        if self._offered is None:
            return
        self._keys.setEnabled(False)
        self._offered.go(self.words.text().strip(), lambda: self._keys.setEnabled(True))

    def answer(self) -> None:
        """Keep what was typed as typed, with the question and the answer."""
        found = self._open()
        if not found:
            return
        how = self.words.text().strip()
        lines = [f"{line} As typed{f', {how}' if how else ''}." for line in found]
        standing = self._here.binding.value(KEPT)
        before = [standing] if isinstance(standing, str) and standing else []
        self._here.binding.put(KEPT, "\n".join([*before, *lines]))
        self.words.clear()


def asked_about(*fields: str) -> Callable[[Here], QWidget]:
    """Makes the place in which doubts about these fields are asked."""
    return lambda here: DoubtAsked(here, fields)
