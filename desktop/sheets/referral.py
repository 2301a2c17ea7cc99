"""Letters of referral about one person: one question to one provider, each content item known or said not to be."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.words import Rule, Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.in_view import InView
from desktop.sheets.listing import StrikeAsked
from desktop.sheets.release_shown import ReleaseShown, provider_name
from desktop.sheets.sheet import Build, Compose, Guard, Here, Section
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.ask import ask_of
from forms.chart import Entry
from forms.form import Form
from forms.referral import CONTENT, Referral

__all__ = ["letter_in_view", "letter_to", "letter_words", "letters_of", "referral"]


def letters_of(home: OpenChart, who: str) -> tuple[Entry[Referral], ...]:
    """The letters of this visit about a person, in the order they were begun."""
    return home.chart.all(Referral, who, visit=home.chart.visit)


def letter_in_view(home: OpenChart, form: type[Form], who: str) -> EntryBinding:
    """The letter in view; the newest one if none was picked; else an empty one, kept from its first answer on."""
    view = InView.of(home)
    letters = [entry.id for entry in letters_of(home, who)]
    picked = next(iter(view.shown(form, who)), "")
    if not picked or (picked not in letters and home.chart.by_id(picked) is not None):
        picked = letters[-1] if letters else home.ids()
        view.keep(form, who, picked)
    binding = home.binding(form, who, entity=picked)
    if picked not in letters and binding.value("state") is None:
        binding.changed.connect(partial(_drafted, binding))
    return binding


def _drafted(binding: EntryBinding, path: str) -> None:
    """With its first answer a letter is drafted; what becomes of it later is written by hand."""
    if path != "state" and binding.value("state") is None and binding.value(path) is not None:
        binding.put("state", "drafted")


def letter_to(home: OpenChart, letter: Referral) -> str:
    """What a letter is called: "Letter to Dr Marsh"."""
    to = provider_name(home, letter.to)
    return f"Letter to {to}" if to else "Letter, recipient not chosen"


def letter_words(home: OpenChart, letter: Referral) -> str:
    """One letter in a line: "To Dr Marsh, this week, drafted"."""
    to = provider_name(home, letter.to)
    said = [f"To {to}" if to else "Recipient not chosen yet"]
    for field in ("urgency", "state"):
        given = getattr(letter, field)
        if isinstance(given, str):
            said.append(ask_of(Referral, field).options.get(given, given).lower())
    return ", ".join(said)


class _Letters(Stack):
    """Every letter of this visit about the person; one is in view."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.GAP)
        self._here = here
        self._shown: tuple[tuple[str, str], ...] | None = None
        here.home.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        home, current = self._here.home, self._here.binding.entity
        letters = letters_of(home, self._here.who)
        shown = tuple((entry.id, letter_words(home, entry.answers)) for entry in letters)
        if shown == self._shown:
            return
        self._shown = shown
        self.clear()
        name = home.names(self._here.who)
        if not shown:
            self.add(
                Words(f"No letter about {name} at this visit. The first answer below begins one.", ink=Role.SOFT_INK)
            )
            return
        for entity, words in shown:
            self.add(self._line(entity, words, held=entity == current))
        if not self._here.binding.sealed():
            act = Act("Another letter", icon=Icon.PLUS)
            act.clicked.connect(lambda: InView.of(home).show(Referral, self._here.who, home.ids()))
            row = QWidget()
            Flow(row).addWidget(act)
            self.add(row)

    def _line(self, entity: str, words: str, *, held: bool) -> QWidget:
        line = Stack(between=Space.GAP)
        across, keys = QWidget(), QWidget()
        beside, flow = Beside(across, middle=True), Flow(keys)
        beside.addWidget(Words(words, size=Size.JOT if held else Size.BASE, strong=held))
        if not held:
            pick = Link("Show this letter")
            pick.clicked.connect(lambda: InView.of(self._here.home).show(Referral, self._here.who, entity))
            flow.addWidget(pick)
        if not self._here.binding.sealed():
            strike = Link("Strike out")
            strike.clicked.connect(lambda: line.add(StrikeAsked(self._here.home, entity)))
            strike.clicked.connect(lambda: strike.setEnabled(False))
            flow.addWidget(strike)
        beside.addWidget(keys)
        line.add(across, Rule())
        return line


def _release(here: Here) -> ReleaseShown:
    def to() -> str | None:
        given = here.binding.value("to")
        return given if isinstance(given, str) else None

    return ReleaseShown(
        here, to, purpose=Referral.name, what="letter",
        nobody=lambda: "No recipient is chosen, so no release can be looked for.",
    )  # fmt: skip


class _Mark(Stack):
    """Says so while the question is none."""

    def __init__(self, here: Here) -> None:
        super().__init__()
        self._said = Words("A question ends in a question mark; this one does not yet.", ink=Role.WELD, strong=True)
        self.add(self._said)
        self._binding = here.binding
        here.binding.changed.connect(self._show)
        self._show()

    def _show(self, _path: str = "") -> None:
        given = self._binding.value("question")
        self._said.setVisible(isinstance(given, str) and bool(given.strip()) and not given.rstrip().endswith("?"))


class _About(Words):
    """Which letter the page belongs to."""

    def __init__(self, here: Here) -> None:
        super().__init__("", size=Size.JOT, strong=True)
        self._here = here
        here.binding.changed.connect(self._show)
        self._show()

    def _show(self, _path: str = "") -> None:
        letter = self._here.binding.draft.answers
        assert isinstance(letter, Referral)
        self.say(letter_words(self._here.home, letter))


def _letter(c: Compose) -> None:
    c.widget(_Letters)
    c.ask("to")
    c.widget(_release)
    c.ask("question")
    c.widget(_Mark)
    c.ask("urgency")
    c.row("reply_by", "reply_to")


def _content(c: Compose) -> None:
    c.widget(_About)
    c.note(
        "The letter also carries, from the chart: who this is, what is troubling, illnesses, operations, medicines, "
        "allergies, findings and the impression. “No answer” prints as “not known”."
    )
    c.ask(*CONTENT)


def _sent(c: Compose) -> None:
    c.widget(_About)
    c.widget(_release)
    c.ask("attachments", "parent_has_copy", "state")
    c.row("sent_how", "sent_at")


def referral() -> tuple[Section, ...]:
    """The sections of a letter."""

    def section(key: str, title: str, build: Build, heading: str) -> Section:
        return Section(key, title, Referral, build, heading, Guard.NOT_SHARED, bind=letter_in_view)

    return (
        section("leave.letter", "Letter", _letter, "A letter about {name}"),
        section("leave.content", "Content", _content, "What the letter says"),
        section("leave.sent", "Sent", _sent, "What goes with it, and what became of it"),
    )
