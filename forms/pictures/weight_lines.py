"""Weight by age over the lines of the WHO weight-for-age table, by corrected age for a baby born early."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from typing import Final

from forms.chart import Chart
from forms.clinical.growth_score import GrowthScore
from forms.clinical.who import SOURCE as WHO
from forms.growth_lines import ZS, Axis, GrowthLines, WeightPoint, growth_lines
from forms.pictures.axes import FEET, around, day_ticks, weight_ticks
from forms.pictures.maker import Maker
from forms.pictures.plot import Line, Mark, Picture, Tick, Weave
from forms.pictures.plot_drawn import drawn
from forms.pictures.weights import Twin, View, amount, count, dot, known, mark, runs, sentence, torn, when
from forms.pictures.whose import Whose, whose
from forms.units import MINUS, alone

__all__ = ["NO_SCORE", "weight_lines", "weight_view"]

NO_SCORE: Final = ": no WHO score"  # the end of a reason, which here stands under its own beginning
DRAWN: Final = (-2, -1, 0, 1, 2)
"""The lines of a drawing; those of 3 SD join them where a weight lies beyond 2 SD."""


def weight_lines(chart: Chart, baby: str, now: datetime) -> Maker | None:
    """A baby's weights over the WHO lines; where no lines stand it says why. None without a weight. `now` is aware."""
    lines = growth_lines(chart, baby, now)
    if not lines.weight.points:
        return None
    scores = [p.score.z for p in lines.weight.points if isinstance(p.score, GrowthScore)]
    view = _in_one_table(weight_view(lines, whose(chart, baby), ZS if any(abs(z) > 2 for z in scores) else DRAWN))
    return Maker("weight_lines", view.picture.name, lambda wide: drawn(view, wide))


def _in_one_table(view: View) -> View:
    """The view with the heights of the WHO lines as the last rows of its one table, for a picture has one twin."""
    first, *more = view.tables
    heights = tuple(
        (f"{table.name}, {at}", ", ".join(f"{z}: {cell}" for z, cell in zip(table.heads[1:], cells, strict=True)),
         "", "", "WHO tables")
        for table in more
        for at, *cells in table.rows
    )  # fmt: skip
    return replace(view, tables=(replace(first, rows=(*first.rows, *heights)),))


def _age(point: WeightPoint) -> str:
    if point.age_days is None:
        return "age not known"
    days = count(point.age_days, "day") if point.age_days else "at birth"
    if point.corrected is None:
        return days
    return f"{days}, {point.corrected.text} ({point.corrected.postmenstrual})"


def _score(point: WeightPoint) -> str:
    """The score and centile, or why there is none."""
    found = point.score
    if isinstance(found, GrowthScore):
        check = "; check the entry, WHO calls this implausible" if found.check_entry else ""
        return f"z {found.text}{check}"
    if point.corrected is not None and point.corrected.before_term:
        return "no z before the term date"
    return f"no z: {found.why.removesuffix(NO_SCORE)}"


def weight_view(lines: GrowthLines, whose: Whose, zs: Sequence[int] = ZS) -> View:
    """Weights on the WHO curves of these z-scores."""
    series, unit = lines.weight, lines.unit
    points = series.points
    rows = tuple(
        (
            when(p.taken),
            mark(amount(p.weight, unit), unresolved=p.weighing.unresolved),
            _age(p),
            _score(p),
            known(p.weighing, unit, whose),
        )
        for p in points
    )
    marks = tuple(
        Mark(
            float(p.x),
            float(p.weight.base),
            dot(p.weighing, unresolved=p.weighing.unresolved),
            sentence(f"{row[1]}, {row[0]}, {row[2]}; {row[3]}; {row[4]}."),
            _weight_label(points, place, unit),
            group=p.weighing.entry if p.weighing.unresolved else "",
        )
        for place, (p, row) in enumerate(zip(points, rows, strict=True))
    )
    curves = tuple(
        Line(
            tuple((float(day), float(grams)) for day, grams in curve.at),
            _z(curve.z),
            Weave.STRONG if curve.z == 0 else Weave.DASHED if abs(curve.z) == 3 else Weave.FINE,
        )
        for curve in series.curves
        if curve.z in zs
    )
    heights = [*(m.y for m in marks if m.y is not None), *(y for line in curves for _, y in line.at)]
    low, high = around(heights or [3000.0], least=600)
    x = (float(series.begin), float(series.until))
    foot = FEET[series.axis]
    picture = Picture(
        f"{whose.own} weight" + (" against the WHO curves" if curves else ""),
        _weight_summary(lines),
        x, (low, high), day_ticks(series.axis, *x), weight_ticks(low, high, unit), foot, marks, curves,
        traces=runs([not p.weighing.unresolved for p in points]), tag=whose.tag,
        upright=0.0 if series.axis is Axis.TERM and series.begin < 0 else None,
        head="z" if curves else "",
    )  # fmt: skip
    heads = ("When", "Weight", "Age", "WHO weight for age", "Known from")
    tables = (Twin(f"{whose.own} weights", heads, rows), *_curve_table(lines, picture.x_ticks))
    notes = [f"Curves: {WHO}. A score compares with other babies; why a baby lies where it does, it cannot tell."]
    title = "Weight for age, WHO 2006" if curves else "Weight"
    return View("weight", title, picture, tables, tuple(notes if curves else ()), (WHO,) if curves else ())


def _weight_label(points: tuple[WeightPoint, ...], place: int, unit: str) -> str:
    """The newest weight is named in the picture, and values of which only one can hold are called so."""
    point, last = points[place], place == len(points) - 1
    if point.weighing.unresolved:
        ends = last or points[place + 1].weighing.entry != point.weighing.entry
        return "unresolved" if ends else ""
    return alone(point.weight.base, unit) if last else ""


def _z(z: int) -> str:
    return "0, median" if z == 0 else f"{'+' if z > 0 else MINUS}{abs(z)}"


def _weight_summary(lines: GrowthLines) -> str:
    points = lines.weight.points
    if not points:
        return "No weight is written down yet."
    resolved = [p for p in points if not p.weighing.unresolved]
    unresolved = len({p.weighing.entry for p in points if p.weighing.unresolved})
    said = [f"{count(len({p.weighing.entry for p in points}), 'weight')}."]
    if resolved:
        last = resolved[-1]
        at = _age(last) if last.age_days == 0 else f"at {_age(last)}" if last.age_days is not None else when(last.taken)
        said.append(f"Latest {alone(last.weight.base, lines.unit)} {at}, {_score(last)}.")
    if lines.weight.why:
        said.append(f"No WHO curves: {lines.weight.why.removesuffix(NO_SCORE)}.")
    return " ".join(said) + torn(unresolved)


def _curve_table(lines: GrowthLines, ticks: tuple[Tick, ...]) -> tuple[Twin, ...]:
    """The height of each WHO line at the ticks of the foot."""
    curves = lines.weight.curves
    if not curves:
        return ()
    days = [day for day, _ in curves[0].at]
    rows = []
    for tick in ticks:
        if not 0 <= tick.at <= days[-1]:
            continue
        place = min(range(len(days)), key=lambda at: abs(days[at] - tick.at))
        amounts = [alone(Fraction(curve.at[place][1]), lines.unit) for curve in curves]
        rows.append((tick.words, *(amount.removesuffix(f" {lines.unit}") for amount in amounts)))
    name = "The WHO curves" if lines.unit == "lb_oz" else f"The WHO curves, in {lines.unit}"
    heads = ("z", *(_z(curve.z) for curve in curves))
    return (Twin(name, heads, tuple(rows), strong=1 + ZS.index(0)),)
