"""The practice's phrases: a short name, the words with their blanks, and the questions at which each is offered."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Link
from desktop.controls.finder import Finder, Found
from desktop.controls.layouts import Beside, Stack
from desktop.controls.words import Words
from desktop.sheets.doubt import KEPT
from desktop.sheets.moments import every_section
from desktop.sheets.sheet import Compose, Here, Listed, Placed, Section
from desktop.theme.tokens import Role, Size, Space
from forms.ask import ask_of
from forms.chart import Entry
from forms.form import catalog
from forms.phrase import Phrase, question_key, takes_phrases

__all__ = ["PHRASES", "Fits", "text_questions"]


def text_questions() -> tuple[Found, ...]:
    """Every question of a visit at which a phrase may be offered, by its key, in the order of the thread."""
    found: dict[str, Found] = {}
    for section in every_section():
        for form, field in Placed.by(section).fields:
            ask = ask_of(form, field)
            if takes_phrases(form, ask) and field != KEPT:
                key = question_key(form, field)
                found.setdefault(key, Found(key, ask.label, f"{form.title}, {section.title}"))
    return tuple(found.values())


def _question(key: str) -> str:
    """A question by its key, in words; one this version does not ask says so."""
    form, _, field = key.partition(".")
    if form not in catalog() or field not in catalog()[form].__dataclass_fields__:
        return "A question this version does not ask"
    return f"{catalog()[form].title}: {ask_of(catalog()[form], field).label}"


class Fits(Stack):
    """The questions a phrase fits, and a way to find one more."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.GAP)
        self._binding = here.binding
        self.add(Words(ask_of(Phrase, "fits").label, strong=True))
        self._told = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self._picked = Stack(between=Space.GAP)
        self.finder = Finder("Find a question it fits", most=4)
        self.finder.picked.connect(self._pick)
        self.add(self._told, self._picked, self.finder)
        here.binding.changed.connect(self._hear)
        self._show()

    def picked(self) -> tuple[str, ...]:
        """The keys of the questions picked."""
        given = self._binding.value("fits")
        return given if isinstance(given, tuple) else ()

    def _pick(self, key: str) -> None:
        if key not in self.picked():
            self._binding.put("fits", (*self.picked(), key))
        self.finder.begin()

    def _take_off(self, key: str) -> None:
        self._binding.put("fits", tuple(one for one in self.picked() if one != key) or None)

    def _hear(self, path: str) -> None:
        if path == "fits":
            self._show()

    def _show(self) -> None:
        picked = self.picked()
        self._told.say("Offered at these questions only." if picked else ask_of(Phrase, "fits").help)
        self._picked.clear()
        for key in picked:
            across = QWidget()
            beside = Beside(across, middle=True)
            beside.addWidget(Words(_question(key)))
            away = Link("Take off")
            away.setAccessibleName(f"Take off: {_question(key)}")
            away.clicked.connect(lambda _on=False, key=key: self._take_off(key))
            beside.addWidget(away)
            self._picked.add(across)
        self.finder.offer([one for one in text_questions() if one.key not in picked])


def _phrase(c: Compose) -> None:
    c.ask("shortcut", "words")
    c.widget(Fits, "fits")


def _line(entry: Entry[Phrase], name: Callable[[str], str]) -> str:
    del name
    shortcut, words = entry.answers.shortcut, entry.answers.words
    called = shortcut.strip() if isinstance(shortcut, str) else ""
    return called or (words.strip().partition("\n")[0] if isinstance(words, str) else "") or "Phrase without words yet"


def _phrases(c: Compose) -> None:
    c.note(
        "“Phrases” beside a box for words puts one in; it never goes in by itself. [?] or [? with a word] is a blank: "
        "a note with one left in it cannot be signed, and no paper prints it. Other brackets, like [sic], stay "
        "ordinary words."
    )
    c.entries(Phrase, _phrase, Listed(add="A phrase", empty="No phrase is kept yet.", line=_line))


PHRASES = Section("practice.phrases", "Phrases", Phrase, _phrases, "Phrases you write often")
