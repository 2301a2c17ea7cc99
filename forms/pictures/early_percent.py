"""Percent from birth weight by hours of age: the first 14 days, with the losses at which an action changes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from fractions import Fraction
from typing import Final

from forms.chart import Chart
from forms.clinical.weight import MEDIAN_SOURCE
from forms.growth_lines import LEVELS, EarlyPoint, GrowthLines, growth_lines
from forms.pictures.axes import hour_ticks, percent_ticks
from forms.pictures.maker import Maker
from forms.pictures.plot import Level, Mark, Picture
from forms.pictures.plot_drawn import drawn
from forms.pictures.weights import Twin, View, amount, count, dot, known, mark, runs, sentence, torn, when
from forms.pictures.whose import Whose, whose
from forms.units import alone, decimal
from forms.weighings import Known

__all__ = ["early_percent", "early_view"]

TITLE: Final = "The first 14 days"

# Noel-Weiss, Open Med 2008, a review of 11 studies (S): mean loss 5.7 to 6.6 %, SD about 2 %.
SPREAD: Final = (
    "A review of 11 studies found a mean loss of 5.7 to 6.6 %, SD about 2 %; a ceiling of 7 % leaves that spread out "
    "(Noel-Weiss, Open Med 2008, S)."
)
SOURCES: Final = (*(each.source for each in LEVELS), "Noel-Weiss, Open Med 2008 (S)", MEDIAN_SOURCE)


def early_percent(chart: Chart, baby: str, now: datetime) -> Maker | None:
    """The first days of a baby with a weight besides its birth weight; where no percent stands it says why.

    `now` is aware. None without such a weight.
    """
    lines, named = growth_lines(chart, baby, now), whose(chart, baby)
    view = early_view(lines, named)
    shown = [p for p in lines.early.points if p.weighing.known is not Known.BIRTH]
    weighed = [p for p in lines.weight.points if p.weighing.known is not Known.BIRTH]
    if not shown and not (lines.early.why and weighed):
        return None
    return Maker("early_percent", view.picture.name, lambda wide: drawn(view, wide))


def _hours(hours: Fraction) -> str:
    days, rest = divmod(int(hours), 24)
    return f"{int(hours)} h" + (f" ({days} d {rest} h)" if days else "")


def early_view(lines: GrowthLines, whose: Whose) -> View:
    """Percent from birth weight by hours of age."""
    series, unit = lines.early, lines.unit
    rows = tuple(
        (
            _hours(p.hours),
            mark(p.change.text, unresolved=p.unresolved),
            f"{amount(p.weight, unit)}, {_change(p, unit)}",
            when(p.taken),
            known(p.weighing, unit, whose),
        )
        for p in series.points
    )
    marks = tuple(
        Mark(
            float(p.hours),
            float(p.change.percent),
            dot(p.weighing, unresolved=p.unresolved),
            sentence(f"{row[1]} from birth at {row[0]}: {row[2]}, {row[3]}; {row[4]}."),
            _percent_label(series.points, place),
            group=p.weighing.entry if p.unresolved else "",
        )
        for place, (p, row) in enumerate(zip(series.points, rows, strict=True))
    )
    heights = [m.y for m in marks if m.y is not None]
    low, high = min([-12.0, *(y - 3 for y in heights)]), max([2.0, *(y + 3 for y in heights)])
    picture = Picture(
        f"{whose.own} first days: percent from birth weight",
        _early_summary(lines),
        (0.0, float(series.until)), (low, high), hour_ticks(series.until), percent_ticks(low, high), "hours of age",
        marks, levels=(Level(0.0, "birth weight", watch=False), *_levels()),
        traces=runs([not p.unresolved for p in series.points]), tag=whose.tag, zero=True,
    )  # fmt: skip
    heads = ("Hours of age", "From birth weight", "Weight", "When", "Known from")
    asked = tuple(f"At {each.percent} % or more below: {each.words}. {each.source}." for each in LEVELS)
    notes = (*asked, SPREAD, *series.medians, "No centile of early loss is drawn.")
    return View("early", TITLE, picture, (Twin(picture.name, heads, rows),), notes, SOURCES)


def _levels() -> Iterator[Level]:
    """The losses at which an action changes, each labelled by who says so."""
    for each in LEVELS:
        yield Level(-float(each.percent), f"{each.percent} %: {each.by}")


def _percent_label(points: tuple[EarlyPoint, ...], place: int) -> str:
    """Each percent is named in the picture, but for the birth itself; values of which one can hold are called so."""
    point = points[place]
    if point.weighing.known is Known.BIRTH:
        return ""
    if point.unresolved:
        ends = place == len(points) - 1 or points[place + 1].weighing.entry != point.weighing.entry
        return "unresolved" if ends else ""
    return point.change.text


def _change(point: EarlyPoint, unit: str) -> str:
    """The change since birth in the unit shown, with its sign."""
    change = point.change.change
    grams, sign = f"{decimal(Fraction(change), 0, sign=True)} g", "+" if change > 0 else ""
    return f"{grams} since birth" if unit != "lb_oz" else f"{sign}{alone(change, unit)} since birth ({grams})"


def _early_summary(lines: GrowthLines) -> str:
    series = lines.early
    if series.why:
        return f"No percent from birth: {series.why}."
    weighed = [p for p in series.points if p.weighing.known is not Known.BIRTH]
    after = f" {count(series.later, 'weight')} after day 14 not in this strip." if series.later else ""
    if not weighed:
        return f"No weight in the first 14 days besides the birth weight.{after}"
    unresolved = len({p.weighing.entry for p in weighed if p.unresolved})
    resolved = [p for p in weighed if not p.unresolved]
    said = ""
    if resolved:
        lowest, last = min(resolved, key=lambda p: p.change.percent), resolved[-1]
        said = f"Lowest {lowest.change.text} at {_hours(lowest.hours)}"
        said += "." if last is lowest else f", then {last.change.text} at {_hours(last.hours)}."
    return (said + torn(unresolved) + after).strip()
