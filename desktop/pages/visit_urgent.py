"""The urgent signs of a visit: each person's most urgent one in full, in madder, and the others under it."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.banner import Urgent, UrgentPanel
from desktop.controls.buttons import Act, ActKind
from desktop.controls.layouts import Stack
from desktop.controls.words import Rule, Words
from desktop.open_chart import OpenChart
from desktop.sheets.persons import full_name
from desktop.theme.tokens import Role, Size, Space
from forms.clinical.rule import Prompt

__all__ = ["UrgentSigns"]


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
        for prompt in others:
            self.add(_Also(prompt))
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


def _seen(prompt: Prompt) -> str:
    return f"{prompt.seen}. {prompt.stricter}" if prompt.stricter else prompt.seen


class _Also(Stack):
    """A further sign of the same person."""

    def __init__(self, prompt: Prompt) -> None:
        super().__init__(between=Space.FINE)
        self.add(
            Words(f"{prompt.level.words} too: {_seen(prompt)}", ink=Role.MADDER, strong=True),
            Words(f"{prompt.why} {prompt.contact}"),
            Words(f"Source: {prompt.source} ({prompt.mark})", size=Size.SMALL, ink=Role.SOFT_INK),
        )
