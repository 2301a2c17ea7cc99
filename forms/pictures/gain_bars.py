"""Gain per day between neighbouring weighings, each a bar from one weighing to the next."""

from __future__ import annotations

from forms.answers import every
from forms.clinical.growth import GainPerDay
from forms.figures_weight import GAIN_GUIDE
from forms.growth_lines import GrowthLines, Span
from forms.pictures.axes import FEET, around, day_ticks, rate, rate_ticks
from forms.pictures.plot import Dot, Mark, Picture
from forms.pictures.weights import Twin, View, count, sentence, when
from forms.pictures.whose import Whose
from forms.units import alone
from forms.weighings import Weighing

__all__ = ["gain_view"]


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
    return View("gain", "Gain per day", picture, (Twin(picture.name, heads, rows),), notes)


def _gain_summary(lines: GrowthLines) -> str:
    series = lines.gain
    if series.why:
        return f"{series.why[:1].upper()}{series.why[1:]}."
    last = series.spans[-1]
    if isinstance(last.gain, GainPerDay):
        return f"Latest {_gained(last, lines.unit)}, {_made_of(last)}."
    return f"Latest: {_gained(last, lines.unit)}."
