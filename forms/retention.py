"""Until when a person's record is kept: worked out from the practice's own years, with the rule named.

How many years hold is the law of a place, so no year stands here: the practice sets them and names their rule. Nothing
is ever deleted by this; it is a date to look at.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from forms.answers import Moment, known
from forms.chart import Chart
from forms.people import InfantIdentity
from forms.practice import Practice
from forms.taking_part import babies

__all__ = ["Keeping", "keeping"]


@dataclass(frozen=True, slots=True)
class Keeping:
    """Until when one record is kept (None: it cannot be worked out), by which rule, and how or why not in words."""

    until: date | None
    rule: str
    how: str


def keeping(chart: Chart, person: str, ended: date) -> Keeping:
    """Until when the record of a parent or baby is kept if their care ended on that day.

    The longest of the practice's rules wins. Raises Unresolved if one of its settings or a birth date holds two values.
    """
    practice = chart.one(Practice)
    rule = known(practice.keep_rule, "Name of the rule for keeping records") or ""
    if known(practice.keep_child_age) is None and known(practice.keep_years) is None:
        return Keeping(None, rule, "No rule is set yet: set the years under Practice, Keeping records.")
    found = tuple(_dates(chart, practice, person, ended))
    missing = next((how for until, how in found if until is None), None)
    if missing is not None:
        return Keeping(None, rule, missing)
    if not found:
        return Keeping(None, rule, "The rule that is set says nothing of this person: add years after care ends.")
    until, how = max((until, how) for until, how in found if until is not None)
    return Keeping(until, rule, how)


def _dates(chart: Chart, practice: Practice, person: str, ended: date) -> Iterator[tuple[date | None, str]]:
    """Each date a rule gives for this person, with its reason; a date that lacks its birth date is None."""
    years, age = known(practice.keep_years), known(practice.keep_child_age)
    if years is not None:
        yield _later(ended, years), f"{years} years after care ended"
    is_baby = person in babies(chart)
    children = (person,) if is_baby else babies(chart) if practice.keep_parent_with_child is True else ()
    for child in children if age is not None else ():
        born = _born(chart, child)
        whose = "the child" if is_baby else "a child of this parent"
        if born is None:
            yield None, f"The birth date of {whose} is not written, so the years of age cannot be counted."
        else:
            yield _later(born, age or 0), f"until {whose} is {age} years old"


def _born(chart: Chart, baby: str) -> date | None:
    identity = chart.person(InfantIdentity, baby)
    born = known(identity.born, "Born")
    return born.local().date() if isinstance(born, Moment) else known(identity.born_day, "Birth date")


def _later(day: date, years: int) -> date:
    """The same day so many years on; 29 February becomes 1 March, so that nothing is kept a day too short."""
    if day.month == 2 and day.day == 29 and not _leap(day.year + years):
        return date(day.year + years, 3, 1)
    return day.replace(year=day.year + years)


def _leap(year: int) -> bool:
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
