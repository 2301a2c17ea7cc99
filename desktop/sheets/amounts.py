"""Amounts of milk for one baby: what is entered, what it comes to in a day, and published amounts beside it."""

from __future__ import annotations

from desktop.controls.buttons import Link
from desktop.controls.layouts import Stack
from desktop.controls.words import Rule, Words
from desktop.sheets.sheet import Compose, Here, Section
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Absent, Conflicted, Given, Quantity
from forms.clinical.age import Age, age
from forms.clinical.supplement import FIRST_DAYS, FIRST_DAYS_SOURCE, first_days_row
from forms.figure import NOTHING
from forms.figures_milk import supplement_figure
from forms.people import InfantIdentity
from forms.plan import FeedingAmount
from forms.units import shown

__all__ = ["AMOUNTS", "day_words"]

# Per feed in the first days, with supplements: S:SUPP as reprinted by a paediatric hospital; which column belongs to
# term babies is from memory (M). Late preterm babies: the same table. Shown beside the box, never filled in.
_ROWS = ", ".join(f"{since} to {until} h {least} to {most} mL" for since, until, least, most in FIRST_DAYS)
_PUBLISHED = (
    f"Term baby, each feed, by age: {_ROWS}.",
    "Late preterm baby, each feed: first day 5 to 10 mL; after that 10 to 30 mL.",
)
_SOURCE = (
    f"{FIRST_DAYS_SOURCE}; a table of supplementary volumes, reprinted in Hospital Pediatrics (S; which column is "
    "which is from memory, M). For comparison only; nothing is filled in from here."
)


def day_words(per_feed: Given[Quantity], times: Given[int]) -> str:
    """What each time and how many times come to in a day and a night, both units; why not, if they do not."""
    if isinstance(per_feed, Conflicted) or isinstance(times, Conflicted):
        return "Two answers stand; settle them first, then the day is added up."
    if isinstance(per_feed, Absent) or isinstance(times, Absent):
        return "Without an amount and a number of times no day is added up."
    if per_feed is None or times is None:
        return "Each time and how many times, and the day is added up here."
    return f"{shown(per_feed.base * times, per_feed.unit)} in a day and a night"


class _Day(Stack):
    """The day's sum, worked out from what was entered and from nothing else."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.FINE)
        self._binding = here.binding
        self.figure = Words("", size=Size.FIGURE, strong=True)
        self.under = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self._sum = Stack(between=Space.FINE)
        self._sum.add(Rule(strong=True), self.figure, self.under, Rule())
        self.add(self._sum)
        here.binding.changed.connect(self._show)
        self._show()

    def _show(self, _path: str = "") -> None:
        kept = self._binding.draft.answers
        assert isinstance(kept, FeedingAmount)
        self._sum.setVisible(kept.extra_milk is True or isinstance(kept.extra_milk, Conflicted))
        words = day_words(kept.per_feed, kept.times_per_day)
        counted = isinstance(kept.per_feed, Quantity) and isinstance(kept.times_per_day, int)
        self.figure.say(words if counted else "")
        self.figure.setVisible(counted)
        if counted and isinstance(kept.per_feed, Quantity):
            each = shown(kept.per_feed.base, kept.per_feed.unit)
            self.under.say(f"{each} each time, {kept.times_per_day} times; multiplied from what you entered.")
        else:
            self.under.say(words)


class _Worked(Stack):
    """What each feed lacks, worked out beside the boxes while they are typed; it fills in none of them."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.FINE)
        self._here = here
        self.figure = Words("", size=Size.FIGURE, strong=True)
        self.lines = Words("")
        self.source = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.add(Rule(strong=True), self.figure, self.lines, self.source, Rule())
        here.home.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        home, who = self._here.home, self._here.who
        self.setVisible(home.chart.one(FeedingAmount, who).per_kg is not None)
        found = supplement_figure(home.chart, who, home.clock())
        self.figure.say(found.big if found.big == NOTHING else f"Lacking {found.big} at each feed")
        self.lines.say("\n".join(f"{words[:1].upper()}{words[1:]}." for words in found.small))
        self.source.say(
            f"{found.formula[:1].upper()}{found.formula[1:]}. {found.source[:1].upper()}{found.source[1:]}."
        )


class _Published(Stack):
    """Published amounts, shown on a tap, beside the box and never in it."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.FINE)
        self.opener = Link("Published amounts in the first days, for comparison")
        self._lines = Stack(between=Space.FINE)
        for line in (*_PUBLISHED, *_own_row(here)):
            self._lines.add(Words(line))
        self._lines.add(Words(_SOURCE, size=Size.SMALL, ink=Role.SOFT_INK))
        self._lines.hide()
        self.opener.clicked.connect(lambda: self._lines.setVisible(self._lines.isHidden()))
        self.add(self.opener, self._lines)


def _own_row(here: Here) -> tuple[str, ...]:
    """The row of this baby's hours of age, said under the table; nothing where no row is for it."""
    home = here.home
    found = age(home.chart.person(InfantIdentity, here.who).born, home.clock())
    row = first_days_row(found.hours) if isinstance(found, Age) else None
    if row is None or not isinstance(found, Age):
        return ()
    return (f"{home.names(here.who)} is {int(found.hours)} hours old: the row {row[0]} to {row[1]} h.",)


def _amounts(c: Compose) -> None:
    c.alone("extra_milk")
    c.ask("per_feed", "times_per_day")
    c.widget(_Day)
    c.widget(_Published)
    c.ask("milks", "method", "origin", "agreed", "until")
    c.heading("Worked out from an amount for each kg")
    c.ask("per_kg")
    c.widget(_Worked)


AMOUNTS = Section("plan.amounts", "Milk", FeedingAmount, _amounts, "Milk for {name} beside feeding")
"""How much milk a baby gets beside feeding at the breast or chest."""
