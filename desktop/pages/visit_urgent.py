"""The urgent signs of a visit: each person's most urgent one in full, in madder, and the others under it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.banner import Urgent, UrgentPanel
from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Stack
from desktop.controls.words import Rule, Words
from desktop.open_chart import OpenChart
from desktop.sheets.persons import full_name
from desktop.theme.tokens import Role, Size, Space
from forms.clinical.rule import Level, Prompt

__all__ = ["UrgentSigns"]

_MANY = 4
"""From so many further signs of a person on they can be folded away, so that the page under them stays in reach."""


class UrgentSigns(Stack):
    """Every urgent sign nothing was done about yet; nothing at all on screen while there is none.

    Signals: `contact_asked(person)`: write down an urgent contact about that person's signs; `paper_asked()`: print the
    family's call-now page.
    """

    contact_asked = Signal(str)
    paper_asked = Signal()

    def __init__(self, home: OpenChart, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.PAD)
        self._home = home
        self.prompts: tuple[Prompt, ...] = ()
        self._hushed = False
        self._unsaid: set[Prompt] = set()
        self._panels: dict[str, UrgentPanel] = {}
        self._folded: set[tuple[str, str]] = set()
        self.hide()

    def show_prompts(self, prompts: tuple[Prompt, ...]) -> None:
        """Show these signs, the most urgent first."""
        if prompts == self.prompts:
            return
        self._unsaid = (self._unsaid | set(prompts) - set(self.prompts)) & set(prompts)
        self.prompts = prompts
        self.clear()
        self._panels.clear()
        self.setVisible(bool(prompts))
        for person in dict.fromkeys(prompt.person for prompt in prompts):
            self._add_person(person, [prompt for prompt in prompts if prompt.person == person])
        self._say()

    def _add_person(self, person: str, prompts: list[Prompt]) -> None:
        first, *others = prompts
        name = full_name(self._home, person)
        contact = Act("Write down the contact", kind=ActKind.URGENT)
        contact.setAccessibleName(f"Write down the urgent contact about {name}")
        contact.clicked.connect(partial(self._ask_contact, person))
        paper = Act("Print call-now page")
        paper.clicked.connect(self._ask_paper)
        urgent = Urgent(
            first.level.words, name, (_seen(first),), first.why, first.contact, f"{first.source} ({first.mark})"
        )
        panel = self._panels[person] = UrgentPanel(urgent, (contact, paper))
        layout = panel.layout()
        if layout is not None:
            layout.setContentsMargins(Space.PAD, Space.SNUG, Space.PAD, Space.PAD)
        self.add(panel)
        if others:
            self.add(_Others(others, self._folded))
        self.add(Rule(strong=True))

    def hush(self, *, on: bool) -> None:
        """In shared view no screen reader says a sign aloud; what came meanwhile is said when it ends."""
        self._hushed = on
        self._say()

    def _say(self) -> None:
        if not self._hushed:
            for person in dict.fromkeys(prompt.person for prompt in self.prompts if prompt in self._unsaid):
                self._panels[person].announce()
            self._unsaid.clear()

    def _ask_contact(self, person: str, *_pressed: object) -> None:
        self.contact_asked.emit(person)

    def _ask_paper(self, *_pressed: object) -> None:
        self.paper_asked.emit()


class _Others(Stack):
    """The further signs of a person under the first, open. Many can be folded away until another one comes."""

    def __init__(self, prompts: Sequence[Prompt], folded: set[tuple[str, str]]) -> None:
        super().__init__(between=Space.PAD)
        self._keys, self._folded = {prompt.key for prompt in prompts}, folded
        self._inside = Stack(between=Space.PAD)
        groups: dict[tuple[Level, str], list[Prompt]] = {}
        for prompt in prompts:
            groups.setdefault((prompt.level, prompt.contact), []).append(prompt)
        for group in groups.values():
            self._inside.add(_Also(group))
        levels = Counter(prompt.level.words.lower() for prompt in prompts)
        self._count = " and ".join(f"{times} {words}" for words, times in levels.items())
        self._link = Link("")
        self._link.clicked.connect(self._turn_over)
        self.add(self._inside)
        if len(prompts) >= _MANY:
            self.add(self._link)
            self._show(open_=not self._keys <= folded)

    def _turn_over(self, *_pressed: object) -> None:
        self._show(open_=self._inside.isHidden())

    def _show(self, *, open_: bool) -> None:
        self._inside.setVisible(open_)
        if open_:
            self._folded -= self._keys
        else:
            self._folded |= self._keys
        self._link.say(f"Fold away {self._count} signs" if open_ else f"Show {self._count} signs too")


class _Also(Stack):
    """Further signs of the same person that call for the same: each by what was seen, whom to contact said once."""

    def __init__(self, prompts: Sequence[Prompt]) -> None:
        super().__init__(between=Space.SNUG)
        for prompt in prompts:
            part = Stack(between=Space.NONE)
            part.add(
                Words(f"{prompt.level.words} too: {_seen(prompt)}", ink=Role.MADDER, strong=True),
                Words(prompt.why, size=Size.SMALL),
                Words(f"Source: {prompt.source} ({prompt.mark})", size=Size.SMALL, ink=Role.SOFT_INK),
            )
            self.add(part)
        self.add(Words(prompts[0].contact))


def _seen(prompt: Prompt) -> str:
    return " ".join(
        part
        for part in (
            f"{prompt.seen}." if prompt.stricter or prompt.house else prompt.seen,
            prompt.stricter,
            prompt.house,
        )
        if part
    )
