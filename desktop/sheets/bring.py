"""Bringing a section's answers forward from an earlier visit: offered by one key, and done only when it is pressed."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from desktop.controls.buttons import Act
from desktop.controls.layouts import Flow, Stack
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.sheets.sheet import Placed, Section, about
from desktop.theme.tokens import Role, Size, Space, Target
from forms.carried import CARRIES, Brought, brought, day_from
from forms.form import catalog, value_at
from forms.trouble import Trouble
from storage.carrying import reason_for
from storage.changes import Begin, Change, Put
from storage.store import Store

__all__ = ["BringForward", "carries"]


def carries(section: Section) -> bool:
    """Whether anything on the section may ever be brought forward."""
    return any(field in CARRIES.get(form, ()) for form, field in Placed.by(section).fields)


class BringForward(Stack):
    """The key of one section for one person; away while no earlier visit has anything to offer."""

    def __init__(self, home: OpenChart, section: Section, who: str) -> None:
        super().__init__(between=Space.GAP)
        self._home, self._who = home, who
        self._fields: dict[str, list[str]] = {}
        for form, field in Placed.by(section).fields:
            if form in CARRIES:
                self._fields.setdefault(form.name, []).append(field)
        self._offered: tuple[Brought, ...] = ()
        self.key = Act("", target=Target.TOUCH)
        self.key.clicked.connect(self._bring)
        self.trouble = Words("", size=Size.SMALL, ink=Role.WELD, strong=True)
        row = QWidget()
        Flow(row).addWidget(self.key)
        self.add(row, self.trouble)
        self.setContentsMargins(Space.NONE, Space.NONE, Space.NONE, Space.PAD)
        self.trouble.hide()
        home.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Offer what can be brought now."""
        chart = self._home.chart
        found = []
        for name, fields in self._fields.items():
            form = catalog()[name]
            subjects = about(self._home, form, self._who).draft.place.subjects
            one = brought(chart, form, subjects, fields)
            if one is not None:
                found.append(one)
        self._offered = tuple(one for one in found if one.visit == found[0].visit)
        if self._offered:
            count = sum(len(one.lines) for one in self._offered)
            answers = "1 answer" if count == 1 else f"{count} answers"
            self.key.say(
                f"Bring forward {day_from(chart, self._offered[0].visit)}",
                f"{answers}; each stays grey until you go through it",
            )
        if self.parentWidget() is not None or not self._offered:
            self.setVisible(bool(self._offered))  # shown without a parent it would flash up as a window of its own

    def _bring(self, *_pressed: object) -> None:
        offered = self._offered
        self.key.setEnabled(False)
        self.trouble.hide()

        def changes(store: Store) -> Iterator[Change]:
            for one in offered:
                standing = store.entry(one.entry)
                yield Begin(one.entry, one.place)
                for line in one.lines:
                    if standing is None or value_at(standing.answers, line.path) is None:
                        yield Put(one.entry, line.path, line.value, reason=reason_for(line.source))

        self._home.write(changes, lambda _done: self._done(""), self._failed)

    def _failed(self, trouble: Trouble) -> None:
        self._done(trouble.sentence)

    def _done(self, sentence: str) -> None:
        if isValid(self):
            self.key.setEnabled(True)
            self.trouble.say(sentence)
            self.trouble.setVisible(bool(sentence))
