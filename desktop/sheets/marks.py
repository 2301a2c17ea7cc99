"""Drawing what was seen: outlines on which marks are placed, and with them each mark as a sentence."""

from __future__ import annotations

from desktop.sheets.mark_list import MarkList, MoveMark
from desktop.sheets.sheet import Compose, Listed, Section
from forms.body_mark import BodyMark
from forms.mark_words import mark_words

__all__ = ["drawing"]


def _one(one: Compose) -> None:
    one.ask("kind")
    one.row("longest", "across")
    one.ask("tender", "words")
    one.heading("Where it is")
    one.widget(MoveMark, "x", "y", "placed")
    one.ask("outline")


def _marks(c: Compose) -> None:
    c.entries(
        BodyMark,
        _one,
        Listed(
            add="",
            empty="Nothing is drawn yet. Touch the outline where something was seen, or begin in words.",
            line=lambda entry, names: mark_words(entry.answers, names(entry.place.subjects[0])),
            concerns=True,
            crafted=MarkList,
        ),
    )


def drawing() -> Section:
    """Marks on outlines of the person charted."""
    return Section("look.drawing", "Draw", BodyMark, _marks, "What was seen of {name}, drawn")
