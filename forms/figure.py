"""A figure of the strip, with everything that explains it: formula, what went in, and where the rule comes from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

from forms.answers import Moment, every
from forms.chart import Chart, Entry
from forms.clinical.result import NoFigure
from forms.days import clock, short_day
from forms.form import Form
from forms.practice import Practitioner

__all__ = ["NOTHING", "Figure", "entered_by", "no_figure", "when"]

NOTHING = "\N{EN DASH}"

F = TypeVar("F", bound=Form)


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of the strip. `big` is the number with its unit, or a dash; `small` are words of method and caution.

    "How it is worked out" shows three things: `formula` in words; `inputs`, each a value with what it is, when and by
    whom; `source`, where the rule comes from, with its mark. `unresolved`: an input has two values, so no number
    stands. `watch`: a word of attention before the number ("check the entry"), since no colour speaks alone.
    """

    id: str
    label: str
    big: str
    small: tuple[str, ...]
    source: str
    unresolved: bool = False
    formula: str = ""
    inputs: tuple[str, ...] = ()
    watch: str = ""


def no_figure(key: str, label: str, gap: NoFigure, source: str, *, formula: str = "") -> Figure:
    """The figure that cannot be worked out: a dash, and why."""
    return Figure(key, label, NOTHING, (gap.why,), source, gap.unresolved, formula)


def when(moment: Moment) -> str:
    """A moment in its own zone: "3 Mar 2026, 14:02"."""
    return f"{short_day(moment.local())}, {clock(moment.local())}"


def entered_by(chart: Chart, entry: Entry[F]) -> str:
    """Who wrote an entry, in words: "entered by Rosalind Achterberg"; "" for someone the practice does not list."""
    named = every(chart.person(Practitioner, entry.author).full_name)
    return f"entered by {named[0]}" if named else ""
