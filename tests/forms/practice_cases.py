"""Invented families for the practice figures, and what one figure counts of them in March."""

from __future__ import annotations

from datetime import UTC, date, datetime
from itertools import count
from typing import Any

from forms.answers import Conflicted, Moment, Quantity, Variant
from forms.chart import Chart, Entry, Place, Signed
from forms.figures_of_practice import FIGURES
from forms.form import Form
from forms.people import InfantIdentity
from forms.practice_figures import Counted, Of, Period, counted
from forms.visit import Visit

ZONE = "Europe/London"
MARCH = Period(date(2026, 3, 1), date(2026, 3, 31))
NOW = datetime(2026, 4, 15, 9, tzinfo=UTC)
_ids = count()


def at(day: int, hour: int = 10, month: int = 3) -> Moment:
    return Moment(datetime(2026, month, day, hour, tzinfo=UTC), ZONE)


def grams(amount: int) -> Quantity:
    return Quantity(str(amount), "g", amount)


def torn(*values: Any) -> Conflicted:
    return Conflicted(tuple(Variant(one, "w", NOW, "d", str(n)) for n, one in enumerate(values)))


def entry(form: type[Form], *subjects: str, named: str = "", visit: str | None = None, **answers: Any) -> Entry[Any]:
    return Entry(named or f"e{next(_ids)}", Place(form.name, "f", visit, subjects), form(**answers), "w", NOW)


def family(*entries: Entry[Any], signed: tuple[tuple[str, datetime], ...] = ()) -> Chart:
    marks = tuple(Signed(visit, "w", when, "0", {}, "1") for visit, when in signed)
    return Chart("f", None, entries, marks)


def visit(start: Any, named: str = "v", **more: Any) -> Entry[Any]:
    return entry(Visit, named=named, start=start, **more)


def baby(named: str = "b", **more: Any) -> Entry[Any]:
    return entry(InfantIdentity, named=named, **more)


def one(code: str, *charts: Chart, period: Period = MARCH, now: datetime = NOW) -> Counted:
    figure = next(figure for figure in FIGURES if figure.code == code)
    return counted(figure, Of(charts, period, now))


def told(code: str, *charts: Chart, now: datetime = NOW) -> tuple[int, int, int, int]:
    """Yes, no, missing, in dispute."""
    found = one(code, *charts, now=now)
    return found.yes, found.no, found.missing, found.differs
