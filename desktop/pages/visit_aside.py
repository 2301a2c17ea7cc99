"""The strip of a visit: urgent signs, live figures with their source, and the jots."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from PySide6.QtWidgets import QWidget

from desktop.controls.layouts import Stack
from desktop.controls.strip import Figure as Drawn
from desktop.controls.strip import Strip, WorkedOut
from desktop.controls.words import Rule
from desktop.open_chart import OpenChart
from desktop.pages.visit_filing import InPage
from desktop.pages.visit_jots import Jots
from desktop.pages.visit_prompts import CalmPrompts, GonePrompts
from desktop.pages.visit_urgent import UrgentSigns
from desktop.theme.tokens import Space
from forms.clinical.prompts import Prompt, waiting
from forms.figures import Figure, figures

__all__ = ["Aside"]

_FIRST: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "story": (
        "output", "log_feeds", "log_gap", "log_minutes", "log_given", "log_expressed", "log_diapers", "expressed_told",
        "expressed_sum",
    ),
    "weigh": ("weight", "percent", "gain", "weight_z", "spaces", "velocity"),
    "feed": (
        "feed_signs", "first_swallow", "sucks", "changed", "feed_pain", "rate", "transfer", "transfer_all",
        "intake_day",
    ),
    "look": ("age", "corrected_age", "output"),
    "plan": ("weight", "gain", "supplement", "intake_day"),
})  # fmt: skip
"""The figures that stand first in a moment."""


class Aside(Strip):
    """What a visit adds up to so far. Its parts stay; what they show changes."""

    def __init__(self, home: OpenChart, in_page: InPage = tuple) -> None:
        super().__init__()
        self.setAccessibleName("Adds up to, and jots")
        self.urgent = UrgentSigns(home)
        self.calm, self.gone = CalmPrompts(home), GonePrompts(home)
        self._home = home
        self.figures = Stack(between=Space.PAD)
        self._drawn: dict[str, Drawn] = {}
        self.jots = Jots(home, in_page)
        self._inside = Stack(between=Space.PAD)
        self.take_back()
        self.show_parts((self._inside,))

    def parts(self) -> tuple[QWidget, ...]:
        """What the strip shows, from the top, for where it has no room of its own."""
        return (self.urgent, self.calm, self.jots, self.gone, self.figures)

    def show_prompts(self) -> tuple[Prompt, ...]:
        """Show every prompt that waits for something to be done, by the answers as they are; gives the urgent ones."""
        waits = waiting(self._home.chart, self._home.clock())
        urgent = tuple(prompt for prompt in waits if prompt.urgent)
        self.urgent.show_prompts(urgent)
        self.calm.show_prompts(waits[len(urgent) :])
        return urgent

    def take_back(self) -> None:
        """Show its parts in the strip again."""
        self._inside.add(*self.parts())

    def show_person(self, who: str, moment: str) -> None:
        """Work the figures out for this person, those of the moment in view first."""
        first = _FIRST.get(moment, ())
        found = figures(self._home.chart, self._home.clock(), who)
        ordered = sorted(found, key=lambda one: one.id.partition(":")[0] not in first)
        if [one.id for one in ordered] != list(self._drawn):
            self.figures.clear()
            self._drawn = {}
            for one in ordered:
                drawn = self._drawn[one.id] = Drawn(one.label, large=False)
                self.figures.add(Rule(strong=True), drawn)
        for one in ordered:
            small = "\n".join(_capital(words) for words in one.small)
            self._drawn[one.id].show_figure(
                one.big, small=small, worked_out=_worked_out(one), watch=_capital(one.watch)
            )
        self.figures.setVisible(bool(found))


def _worked_out(figure: Figure) -> WorkedOut:
    """The explanation of a figure: its formula, what went in, where the rule comes from."""
    rows = (
        ("Formula", (figure.formula,) if figure.formula else ()),
        ("From", figure.inputs),
        ("Source", (figure.source,)),
    )
    return tuple((label, tuple(_capital(line) for line in lines)) for label, lines in rows if lines)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
