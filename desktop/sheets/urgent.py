"""Urgent contacts: what was done about each urgent sign; until one of the four stands, the visit cannot be signed."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from desktop.controls.layouts import Stack
from desktop.controls.segments import Segments
from desktop.controls.shown import clock
from desktop.controls.words import Words
from desktop.sheets.sheet import Compose, Here, Listed, Section
from desktop.theme.tokens import Role, Space
from forms.answers import Conflicted, Moment
from forms.ask import ask_of
from forms.chart import Entry
from forms.clinical.prompts import prompts
from forms.contact import UrgentContact

__all__ = ["urgent_contacts"]


class _Covers(Stack):
    """Which of the person's urgent signs this contact was about."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.FINE)
        self._here = here
        label = ask_of(UrgentContact, "covers").label
        self._strip = Segments(label, {}, several=True)
        self._strip.picked.connect(self._pick)
        self._none = Words("No urgent sign stands for this person now.", ink=Role.SOFT_INK)
        self.add(Words(label, strong=True), self._strip, self._none)
        here.binding.changed.connect(self._show)
        here.home.changed.connect(self._show)
        self._show()

    def _standing(self) -> tuple[str, ...]:
        given = self._here.binding.value("covers")
        if isinstance(given, Conflicted):
            return tuple(dict.fromkeys(rule for v in given.variants if isinstance(v.value, tuple) for rule in v.value))
        return given if isinstance(given, tuple) else ()

    def _show(self, _path: str = "") -> None:
        here, standing = self._here, self._standing()
        signs = {
            prompt.rule: prompt.seen
            for prompt in prompts(here.home.chart, here.home.clock())
            if prompt.person == here.who and prompt.urgent
        }
        gone = {rule: "A sign that no longer stands" for rule in standing if rule not in signs}
        self._strip.set_options(signs | gone)
        self._strip.show_codes(standing)
        self._strip.setEnabled(not here.binding.sealed())
        self._strip.setVisible(bool(signs | gone))
        self._none.setVisible(not signs and not gone)

    def _pick(self, rule: str) -> None:
        standing = self._standing()
        left = tuple(each for each in standing if each != rule)
        self._here.binding.put("covers", (left if rule in standing else (*standing, rule)) or None)


def _covers(here: Here) -> QWidget:
    return _Covers(here)


def _contact(c: Compose) -> None:
    c.widget(_covers, "covers")
    c.ask("outcome", "at")


def _line(entry: Entry[UrgentContact], name: Callable[[str], str]) -> str:
    del name
    kept = entry.answers
    what = ask_of(UrgentContact, "outcome").options.get(kept.outcome, "") if isinstance(kept.outcome, str) else ""
    when = clock(kept.at.local()) if isinstance(kept.at, Moment) else "time not written yet"
    return f"{what or 'What happened is not written yet'}, {when}"


def _contacts(c: Compose) -> None:
    c.note("Reached, tried, refused by the family, or your own reason: one of the four stands for each urgent sign.")
    c.entries(
        UrgentContact,
        _contact,
        Listed(add="An urgent contact", empty="No urgent contact is written down.", line=_line, concerns=True),
    )


def urgent_contacts() -> Section:
    """The urgent contacts about one person, the same page for a parent and for a baby."""
    return Section("plan.urgent", "Urgent contact", UrgentContact, _contacts, "Urgent contact about {name}")
