"""What a newer version wrote that this one does not know: kept, shown as it stands, and passed on unchanged."""

from __future__ import annotations

from forms.answers import Json
from forms.ask import Ask
from forms.chart import Entry
from forms.form import Form

__all__ = ["choice_words", "from_newer", "kept_words"]


def choice_words(ask: Ask, code: str) -> str:
    """The words of a chosen code; a code this version does not know is named as what it is, never dropped."""
    return ask.options.get(code, f"a choice of a newer version: {code}")


def kept_words(kept: Json) -> str:
    """A value of an unknown shape in plain words: its parts by name, its list items one after another."""
    match kept:
        case None:
            return "nothing"
        case bool():
            return "yes" if kept else "no"
        case dict():
            return ", ".join(f"{name} {kept_words(part)}".strip() for name, part in kept.items())
        case list():
            return ", ".join(kept_words(part) for part in kept)
    return str(kept)


def from_newer(entry: Entry[Form]) -> tuple[str, ...]:
    """One line for each answer of an entry that this version cannot read, in the order of their names."""
    return tuple(
        f"{field.replace('_', ' ').replace('@', ', ')}: {kept_words(kept)}"
        for field, kept in sorted(entry.unknown.items())
    )
