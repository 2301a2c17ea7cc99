"""Answers in words for the screen: what the veil, a conflict, the finish list and an accessible name say."""

from __future__ import annotations

from datetime import date
from types import MappingProxyType
from typing import Any

from desktop.controls.binding import Binding
from desktop.controls.clock import clock, day_words, moment_words
from forms.answers import Absence, Absent, Conflicted, Given, Moment, Quantity, Side
from forms.ask import Ask, Kind, Path, ask_of
from forms.newer import choice_words, kept_words
from forms.units import shown as amount_shown

__all__ = ["ABSENCE_WORDS", "absence_words", "answer_words", "clock", "day_words", "field_name", "moment_words"]

ABSENCE_WORDS = MappingProxyType(
    {
        Absence.NOT_ASKED: "not asked",
        Absence.NOT_DONE: "not done",
        Absence.DECLINED: "declined",
        Absence.NONE: "none",
    }
)


def absence_words(absent: Absent) -> str:
    """A deliberate non-answer in words, with its why."""
    words = ABSENCE_WORDS[absent.kind]
    return f"{words}: {absent.why}" if absent.why else words


def answer_words(ask: Ask, value: Given[Any], choices: tuple[tuple[str, str], ...] = ()) -> str:
    """An answer in words; "not answered" where nothing stands. Raises nothing for a value of a newer version."""
    named = dict(choices)
    match value:
        case None:
            return "not answered"
        case Absent():
            return absence_words(value)
        case Conflicted():
            return " or ".join(answer_words(ask, variant.value, choices) for variant in value.variants)
        case bool():
            return "yes" if value else "no"
        case Quantity():
            return amount_shown(value.base, value.unit)
        case Moment():
            return moment_words(value)
        case date():
            return day_words(value)
        case tuple():
            return ", ".join(answer_words(ask, part, choices) for part in value)
        case str() if ask.kind in (Kind.CHOICE, Kind.MANY):
            return choice_words(ask, value)
        case str() if ask.kind in (Kind.REF, Kind.REFS):
            return named.get(value, "an entry that is not here")
    return kept_words(value)


def field_name(binding: Binding, path: Path) -> str:
    """The accessible name of what is kept at a path: "Mara's right, damage to the nipple"."""
    label = ask_of(binding.form, path.field).label
    if path.side is None:
        return label
    left, right = binding.person_words()
    whose = left if path.side is Side.LEFT else right
    return f"{whose}, {label[:1].lower()}{label[1:]}"
