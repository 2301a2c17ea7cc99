"""The three views of growth, ready to be shown: each a picture, its table twin of the same figures, and its words."""

from __future__ import annotations

from fractions import Fraction
from types import MappingProxyType

from desktop.controls.picture import Dot, Level, Line, Mark, Picture, Tick, Weave
from desktop.sheets.growth_axes import (
    around,
    day_ticks,
    hour_ticks,
    percent_ticks,
    rate,
    rate_ticks,
    weight_ticks,
)
from desktop.sheets.growth_words import Table, View, Whose, amount, count, dot, known, mark, runs, sentence, torn, when
from forms.answers import every
from forms.clinical.growth import GainPerDay
from forms.clinical.growth_score import GrowthScore
from forms.clinical.who import SOURCE as WHO
from forms.figures_weight import GAIN_GUIDE
from forms.growth_lines import LEVELS, ZS, Axis, EarlyPoint, GrowthLines, Span, WeightPoint
from forms.units import MINUS, alone, decimal
from forms.weighings import Known, Weighing

__all__ = ["early_view", "gain_view", "weight_view"]

FEET = MappingProxyType({
    Axis.BIRTH: "age since birth",
    Axis.TERM: "corrected age, counted from the term date",
    Axis.FIRST_WEIGHT: "time since the first weight",
})  # fmt: skip

# Noel-Weiss, Open Med 2008, a review of 11 studies (S): mean loss 5.7 to 6.6 %, SD about 2 %.
SPREAD = (
    "A review of 11 studies found a mean loss of 5.7 to 6.6 %, SD about 2 %; a ceiling of 7 % leaves that spread out "
    "(Noel-Weiss, Open Med 2008, S)."
)

NO_SCORE = ": no WHO score"  # the end of a reason, which here stands under its own beginning


# --- weight against WHO ---------------------------------------------------------------------------------------------


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


def weight_view(lines: GrowthLines, whose: Whose) -> View:
    """Weights on the WHO curves."""
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
    tables = (Table(f"{whose.own} weights", heads, rows), *_curve_table(lines, picture.x_ticks))
    notes = [f"Curves: {WHO}. A score compares with other babies; why a baby lies where it does, it cannot tell."]
    return View(
        "weight", "Weight for age, WHO 2006" if curves else "Weight", picture, tables, tuple(notes if curves else ())
    )


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


def _curve_table(lines: GrowthLines, ticks: tuple[Tick, ...]) -> tuple[Table, ...]:
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
    return (Table(name, heads, tuple(rows), strong=1 + ZS.index(0)),)


# --- the first days -------------------------------------------------------------------------------------------------


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
        marks, levels=tuple(Level(-float(each.percent), f"{each.percent} %: {each.by}") for each in LEVELS),
        traces=runs([not p.unresolved for p in series.points]), tag=whose.tag, zero=True,
    )  # fmt: skip
    heads = ("Hours of age", "From birth weight", "Weight", "When", "Known from")
    asked = tuple(f"At {each.percent} % or more below: {each.words}. {each.source}." for each in LEVELS)
    notes = (*asked, SPREAD, *series.medians, "No centile of early loss is drawn.")
    return View("early", "The first 14 days", picture, (Table(picture.name, heads, rows),), notes)


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


# --- gain per day ---------------------------------------------------------------------------------------------------


def _gained(span: Span, unit: str) -> str:
    """The gain in both units, or why none stands."""
    if not isinstance(span.gain, GainPerDay):
        return span.gain.why if span.gain.unresolved else f"none: {span.gain.why}"
    per_day = span.gain.per_day
    return f"{rate(per_day, unit)} ({rate(per_day, 'g' if unit == 'lb_oz' else 'lb_oz')})"


def _made_of(span: Span) -> str:
    if not isinstance(span.gain, GainPerDay):
        return ""
    return span.gain.words + (f", over {count(span.over, 'weighing')} between" if span.over else "")


def _rate_label(span: Span, unit: str) -> str:
    if isinstance(span.gain, GainPerDay):
        return rate(span.gain.per_day, unit)
    return "unresolved" if span.gain.unresolved else "none"


def _ends(weighing: Weighing, unit: str) -> str:
    amounts = " or ".join(alone(weight.base, unit) for weight in every(weighing.weight))
    times = " or ".join(dict.fromkeys(when(taken) for _, taken in weighing.dated()))
    return f"{amounts}, {times}"


def gain_view(lines: GrowthLines, whose: Whose) -> View:
    """Gain per day between neighbouring weighings."""
    series, unit = lines.gain, lines.unit
    rows = tuple(
        (
            _ends(span.earlier, unit),
            _gained(span, unit),
            _ends(span.later, unit),
            _made_of(span),
        )
        for span in series.spans
    )
    marks = tuple(
        Mark(
            float((span.begin + span.end) / 2),
            float(span.gain.per_day) if isinstance(span.gain, GainPerDay) else None,
            Dot.BAR,
            sentence(f"{row[1]}: from {row[0]} to {row[2]}" + (f"; {row[3]}." if row[3] else ".")),
            _rate_label(span, unit),
            span=(float(span.begin), float(span.end)),
            thin=bool(span.over),
        )
        for span, row in zip(series.spans, rows, strict=True)
    )
    heights = [m.y for m in marks if m.y is not None]
    low, high = around([0.0, *heights], least=40, pad=0.2)
    low = low if min([0.0, *heights]) < 0 else 0.0
    if len(heights) < len(marks):
        low -= (high - low) / 5  # room at the foot for what has no figure
    until = max([1.0, *(float(span.end) for span in series.spans)])
    picture = Picture(
        f"{whose.own} gain per day",
        _gain_summary(lines),
        (0.0, until * 1.04), (low, high), day_ticks(series.axis, 0.0, until * 1.04), rate_ticks(low, high, unit),
        FEET[series.axis], marks, tag=whose.tag, zero=True,
    )  # fmt: skip
    heads = ("From", "Gain per day", "To", "Made of")
    notes = (
        "By elapsed time, never by corrected age. None stands between weighings less than 24 hours apart.",
        "A thin line reaches back over weighings less than 24 hours before.",
        f"{GAIN_GUIDE[:1].upper()}{GAIN_GUIDE[1:]}.",
    )
    return View("gain", "Gain per day", picture, (Table(picture.name, heads, rows),), notes)


def _gain_summary(lines: GrowthLines) -> str:
    series = lines.gain
    if series.why:
        return f"{series.why[:1].upper()}{series.why[1:]}."
    last = series.spans[-1]
    if isinstance(last.gain, GainPerDay):
        return f"Latest {_gained(last, lines.unit)}, {_made_of(last)}."
    return f"Latest: {_gained(last, lines.unit)}."
