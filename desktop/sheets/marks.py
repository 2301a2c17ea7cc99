"""Drawing what was seen: outlines on which marks are placed, and beside them each mark as a sentence."""

from __future__ import annotations

from desktop.sheets.sheet import Compose, Listed, Section
from forms.body_mark import BodyMark
from forms.mark_words import mark_words

__all__ = ["drawing"]


def _one(one: Compose) -> None:
    one.ask("outline", "x", "y", "placed", "kind")
    one.row("longest", "across")
    one.ask("tender", "words")


def _marks(c: Compose) -> None:
    c.entries(
        BodyMark,
        _one,
        Listed(
            add="Another mark",
            empty="Nothing is drawn yet. Touch the outline where you saw it.",
            line=lambda entry, names: mark_words(entry.answers, names(entry.place.subjects[0])),
            concerns=True,
        ),
    )


def drawing() -> Section:
    """Marks on outlines of the person charted."""
    return Section("look.drawing", "Drawing", BodyMark, _marks, "What was seen of {name}, drawn")
