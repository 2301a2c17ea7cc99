"""Urgent signs: what was done about each, without which the visit cannot be signed."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.conflict import ConflictBlock
from desktop.controls.layouts import Flow, Stack
from desktop.controls.segments import Segments
from desktop.controls.shown import answer_words
from desktop.controls.words import Rule, Words
from desktop.sheets.sheet import Compose, Guard, Here, Listed, Section
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Conflicted
from forms.ask import ask_of
from forms.chart import Entry
from forms.clinical.prompts import INFANT_RULES, PARENT_RULES, open_prompts, prompts
from forms.clinical.rule import Prompt
from forms.contact import UrgentContact

__all__ = ["Covers", "OpenSigns", "urgent"]


def _levels(prompt: Prompt) -> Role:
    return Role.MADDER if prompt.urgent else Role.WELD


class OpenSigns(Stack):
    """The urgent signs of the person charted about which nothing complete stands yet, each with its source."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.SNUG)
        self._here = here
        self._shown: tuple[Prompt, ...] | None = None
        here.home.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        home = self._here.home
        now = home.clock()
        found = tuple(one for one in open_prompts(home.chart, now) if one.person == self._here.who)
        if found == self._shown:
            return
        self._shown = found
        self.clear()
        name = home.names(self._here.who)
        if not found:
            self.add(
                Words(f"No urgent sign of {name} waits for a contact. That says nothing about what was not asked.")
            )
            return
        for prompt in found:
            self.add(self._one(prompt))
        self.add(
            Words(
                "You decide. The visit can be signed once one of the four stands for each: reached, tried, not wanted "
                "by the family, or not called for a reason.",
                ink=Role.SOFT_INK,
            )
        )

    def _one(self, prompt: Prompt) -> QWidget:
        part = Stack(between=Space.FINE)
        part.add(
            Words(f"{prompt.level.words}: {prompt.seen}", strong=True, ink=_levels(prompt)),
            Words(" ".join(said for said in (prompt.stricter, prompt.why, prompt.contact) if said)),
        )
        source = Words(f"{prompt.source} ({prompt.mark})", size=Size.SMALL, ink=Role.SOFT_INK)
        source.hide()
        opener = Link("Source")
        opener.clicked.connect(lambda: source.setVisible(source.isHidden()))
        part.add(opener, source, Rule())
        return part


class Covers(Stack):
    """Which signs an entry is about: each to tick, and one key for all that stand; the urgent or the calmer ones."""

    def __init__(self, here: Here, *, urgent: bool = True) -> None:
        super().__init__(between=Space.GAP)
        self._here, self._binding, self._urgent = here, here.binding, urgent
        label = "About which signs" if urgent else "About which prompts"
        self.add(Words(label, strong=True))
        self.strip = Segments(label, {}, several=True)
        self.strip.picked.connect(self._toggle)
        self.all_key = Act("All of these")
        self.all_key.clicked.connect(self._all)
        row = QWidget()
        Flow(row).addWidget(self.all_key)
        self._none = Words("", ink=Role.SOFT_INK)
        self._conflict = Stack()
        self.add(self.strip, row, self._none, self._conflict)
        here.binding.changed.connect(self._hear)
        here.home.changed.connect(self._show)
        self._show()

    def _prompts(self) -> dict[str, str]:
        home = self._here.home
        return {
            one.rule: f"{one.level.words}: {one.seen}"
            for one in prompts(home.chart, home.clock())
            if one.person == self._here.who and one.urgent is self._urgent
        }

    def picked(self) -> tuple[str, ...]:
        """The signs ticked so far."""
        given = self._binding.value("covers")
        return given if isinstance(given, tuple) else ()

    def _hear(self, path: str) -> None:
        if path == "covers":
            self._show()

    def _toggle(self, rule: str) -> None:
        picked = self.picked()
        put = tuple(one for one in picked if one != rule) if rule in picked else (*picked, rule)
        self._binding.put("covers", put or None)

    def _all(self) -> None:
        self._binding.put("covers", tuple(dict.fromkeys((*self.picked(), *self._prompts()))) or None)

    def _show(self) -> None:
        offered = self._prompts()
        gone = {rule: f"{_rule_words(rule)}, not standing now" for rule in self.picked() if rule not in offered}
        self.strip.set_options(offered | gone)
        self.strip.show_codes(self.picked())
        self.strip.setVisible(bool(offered or gone))
        sealed = self._binding.sealed()
        self.strip.setEnabled(not sealed)
        self.all_key.setVisible(len(offered) > 1 and set(offered) - set(self.picked()) != set())
        self.all_key.setEnabled(not sealed)
        name = self._here.home.names(self._here.who)
        what = "urgent sign of" if self._urgent else "prompt about"
        self._none.say("" if offered or gone else f"No {what} {name} stands now.")
        self._none.setVisible(bool(self._none.said()))
        torn = isinstance(self._binding.value("covers"), Conflicted)
        self._conflict.clear()
        if torn:
            self._conflict.add(ConflictBlock(self._binding, "covers"))


def _rule_words(rule: str) -> str:
    whys = {one.id: one.why for one in INFANT_RULES} | {one.id: one.why for one in PARENT_RULES}
    return whys.get(rule, "A sign of a newer version")


def _contact(c: Compose) -> None:
    c.widget(Covers, "covers")
    c.ask("at", "outcome")


def _line(entry: Entry[UrgentContact], name: Callable[[str], str]) -> str:
    del name
    kept = entry.answers
    words = partial(_words, kept)
    who = kept.who if isinstance(kept.who, str) else ""
    covers = len(kept.covers) if isinstance(kept.covers, tuple) else 0
    about = f"about {covers} signs" if covers > 1 else "about 1 sign" if covers else "about no sign yet"
    return ", ".join(
        said for said in (words("outcome") or "Not said yet what happened", who, words("at"), about) if said
    )


def _words(kept: UrgentContact, field: str) -> str:
    given = getattr(kept, field)
    return "" if given is None else answer_words(ask_of(UrgentContact, field), given)


def _urgent(c: Compose) -> None:
    c.widget(OpenSigns)
    c.heading("What was done")
    c.entries(
        UrgentContact,
        _contact,
        Listed(add="A contact, tried or made", empty="Nothing is written down yet.", line=_line, concerns=True),
    )


def urgent() -> Section:
    """The section of what was done about urgent signs; some of them rest on what was told in private."""
    return Section("plan.urgent", "Urgent", UrgentContact, _urgent, "Urgent signs of {name}", Guard.NOT_SHARED)
