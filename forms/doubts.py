"""What is asked once about an answer that can be right but seldom is; the answer is then kept as typed.

A doubt refuses nothing and changes nothing. Its bounds are house bounds without a source: they catch a slip of a digit,
a swap of twins or a wrong clock, and say nothing about a baby.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction
from itertools import pairwise

from forms.answers import Given, Moment, Quantity, every
from forms.ask import Path
from forms.chart import Chart
from forms.clinical.evidence import zone_of
from forms.feed_event import FeedEvent, TimedEvent
from forms.form import Form
from forms.people import InfantIdentity
from forms.units import decimal
from forms.visit import Visit
from forms.weight import WeightReading, is_around_feed

__all__ = ["Doubt", "doubts"]

DAY = timedelta(days=1)
CLOCK_SLACK = timedelta(minutes=5)  # house bound, no source: two clocks may differ by so much
JUMP_GRAMS, JUMP_PERCENT = 400, 15  # in a day; house bounds, no source
JUMP_LOOKS_BACK = timedelta(days=7)  # 15 % counts between weighings up to so far apart; house bound, no source
READINGS_APART = 10  # g: two readings further apart ask for a third (rule of the trade, P)
NEARER_BY = 50  # g; a twin's line has to fit better by more than this; house bound, no source
SAME_TIME = timedelta(hours=24)  # twins' weights so close together are looked at as a pair; house bound, no source

PLANNED = frozenset({("plan", "followup_at"), ("urgent_contact", "next_when")})
"""Moments that are meant to lie ahead."""
PAST_DAYS = frozenset({
    ("parent", "born_day"), ("infant", "born_day"), ("infant_history", "supplement_since"),
    ("infant_history", "solids_since"), ("parent_history", "screen_day"), ("parent_history", "begun_on"),
})  # fmt: skip
"""Days that cannot lie ahead."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """One question to ask once. `key` names its kind for this answer; `question` is a whole sentence.

    Where a weight fits a twin's line better, `twin` is that baby, `partner` the twin's weight of about the same time
    ("" without one), and `beside` says the gain per day as typed and swapped.
    """

    key: str
    question: str
    twin: str = ""
    partner: str = ""
    beside: str = ""


@dataclass(frozen=True, slots=True)
class _Point:
    """A weight of a baby: its entry ("" for the weight at birth), when, and whole grams."""

    entry: str
    at: datetime
    grams: int


def doubts(
    chart: Chart,
    form: type[Form],
    path: Path,
    value: Given[object],
    subject: str | None,
    now: datetime,
    *,
    answers: Form | None = None,
    entry: str | None = None,
) -> tuple[Doubt, ...]:
    """What to ask once about a value just typed at `path` of `form`.

    `subject` is the person it is about; `answers` are the other answers of the same entry so far (a weight needs its
    time, a time its weight), and `entry` its id, so that it is not compared with itself. `now` is aware.
    """
    found = [*_ahead(chart, form, path, value, now)]
    if form is WeightReading and path.field == "repeat" and isinstance(answers, WeightReading):
        found += _readings_apart(answers, value)
    if form is WeightReading and subject is not None and path.field in ("weight", "taken"):
        kept = answers if isinstance(answers, WeightReading) else WeightReading()
        weights = every(kept.weight) if path.field == "taken" else (value,)
        times = every(kept.taken) if path.field == "weight" else (value,)
        for weight in weights:
            for taken in times:
                if isinstance(weight, Quantity) and isinstance(taken, Moment):
                    found += _about_weight(chart, subject, _Point(entry or "new", taken.at, weight.base))
    if isinstance(answers, TimedEvent) and path.field == "at" and isinstance(value, Moment):
        found += _before_its_session(chart, answers, value)
    if isinstance(value, Moment):
        found += _before_birth(chart, form, path, value, subject)
    return tuple({doubt.key: doubt for doubt in found}.values())


def _ahead(chart: Chart, form: type[Form], path: Path, value: Given[object], now: datetime) -> Iterator[Doubt]:
    here = (form.name, path.field)
    ahead = False
    if isinstance(value, Moment):
        ahead = here not in PLANNED and value.at - now > CLOCK_SLACK
    elif isinstance(value, date):
        today = Moment(now, zone_of(chart)).local().date()
        ahead = here in PAST_DAYS and value > today
    if ahead:
        yield Doubt("future", "This time is still to come. Is this device's clock right, and the time as meant?")


def _before_its_session(chart: Chart, event: TimedEvent, at: Moment) -> Iterator[Doubt]:
    """An event before the feed or the session it belongs to began, by any of the times that stand for that."""
    owners = every(event.feed if isinstance(event, FeedEvent) else getattr(event, "expression", None))
    sessions = [held.answers for owner in owners if (held := chart.by_id(owner)) is not None]
    if any(at.at < began.at for one in sessions for began in every(getattr(one, "began", None))):
        yield Doubt("before_it_began", "This would be before it began. Is the time as meant?")


def _readings_apart(kept: WeightReading, second: Given[object]) -> Iterator[Doubt]:
    """Two readings of one weighing that lie more than 10 g apart."""
    seconds = [value for value in every(second) if isinstance(value, Quantity)]
    if any(abs(first.base - again.base) > READINGS_APART for first in every(kept.weight) for again in seconds):
        yield Doubt(
            "readings_apart",
            f"The two readings are more than {READINGS_APART} g apart. Was a third taken, and do both stand as shown?",
        )


def _name(chart: Chart, baby: str) -> str:
    identity = chart.person(InfantIdentity, baby)
    return next((name for name in (*every(identity.called_name), *every(identity.legal_name))), "this baby")


def _before_birth(chart: Chart, form: type[Form], path: Path, value: Moment, subject: str | None) -> Iterator[Doubt]:
    """A visit that begins or ends before a baby's birth, a weight before it, or a birth after either."""
    if form is Visit and path.field in ("start", "end"):
        for baby in chart.all(InfantIdentity):
            if any(value.at < born.at for born in every(baby.answers.born)):
                yield Doubt("before_birth", f"This visit would be before {_name(chart, baby.id)} was born. Is that so?")
    elif form is WeightReading and subject is not None:
        identity = chart.person(InfantIdentity, subject)
        if any(value.at < born.at for born in every(identity.born)):
            yield Doubt("before_birth", f"This weight would be before {_name(chart, subject)} was born. Is that so?")
    elif form is InfantIdentity and path.field == "born":
        starts = [start.at for visit in chart.all(Visit) for start in every(visit.answers.start)]
        if any(start < value.at for start in starts):
            yield Doubt("before_birth", "A visit of this family would be before this birth. Is that so?")


def _points(chart: Chart, baby: str) -> list[_Point]:
    """A baby's weights with their times, birth first, oldest first; every value of a conflict is a point.

    Those around feeds, mostly in clothes, are left out: a line through them would fit the wrong twin.
    """
    identity = chart.person(InfantIdentity, baby)
    points = [_Point("", b.at, q.base) for b in every(identity.born) for q in every(identity.birth_weight)]
    for entry in chart.all(WeightReading, baby):
        if is_around_feed(entry.answers):
            continue
        points += [
            _Point(entry.id, taken.at, weight.base)
            for taken in every(entry.answers.taken)
            for weight in every(entry.answers.weight)
        ]
    return sorted(points, key=lambda point: point.at)


def _jumps(first: _Point, second: _Point) -> bool:
    """Whether a weight moves by more than 400 g or 15 % in a day, or by more than 15 % within a week."""
    elapsed, moved = abs(second.at - first.at), abs(second.grams - first.grams)
    days = max(Fraction(elapsed // timedelta(seconds=1), 86_400), Fraction(1))
    fifteen = 100 * moved > JUMP_PERCENT * first.grams
    per_day = moved > JUMP_GRAMS * days or 100 * moved > JUMP_PERCENT * first.grams * days
    return per_day or (fifteen and elapsed <= JUMP_LOOKS_BACK)


def _about_weight(chart: Chart, baby: str, typed: _Point) -> Iterator[Doubt]:
    others = [point for point in _points(chart, baby) if point.entry != typed.entry]
    before = [point for point in others if point.at <= typed.at]
    after = [point for point in others if point.at > typed.at]
    jump = f"{_name(chart, baby)}'s weight would move by more than 15 % or 400 g in a day. Is it as the scale showed?"
    ahead = [point for point in after[:1] if jump not in _answered(chart, point.entry)]
    if (before and _jumps(before[-1], typed)) or (ahead and _jumps(typed, ahead[0])):
        yield Doubt("weight_jump", jump)
    for twin in chart.all(InfantIdentity):
        if twin.id != baby and _fits_better(chart, baby, twin.id, typed):
            own, other = _name(chart, baby), _name(chart, twin.id)
            question = f"This weight fits {other}'s line better than {own}'s. Is it {own}'s?"
            partner = _beside(chart, twin.id, typed.at)
            beside = _gains(chart, (baby, typed), (twin.id, partner)) if partner is not None else ""
            paired = partner.entry if partner is not None else ""
            yield Doubt(f"twin_line:{twin.id}", question, twin.id, paired, beside)


def _answered(chart: Chart, weight: str) -> str:
    """What was asked about a weight and answered there: a jump from one weight to the next is asked about once."""
    entry = chart.by_id(weight)
    kept = entry.answers.kept_after_asking if entry is not None and isinstance(entry.answers, WeightReading) else None
    return kept if isinstance(kept, str) else ""


def _expected(chart: Chart, baby: str, at: datetime, without: str) -> Fraction | None:
    """The weight at a time on the straight line through the baby's last two weights before it, at least a day apart.

    None with fewer than two: nothing is expected then.
    """
    earlier = [p for p in _points(chart, baby) if p.at < at and p.entry != without]
    steps = [(a, b) for a, b in pairwise(earlier) if b.at - a.at >= DAY]
    if not steps:
        return None
    first, last = steps[-1]
    slope = Fraction(last.grams - first.grams, (last.at - first.at) // timedelta(seconds=1))
    return last.grams + slope * ((at - last.at) // timedelta(seconds=1))


def _beside(chart: Chart, twin: str, at: datetime) -> _Point | None:
    """The twin's weight nearest in time, within a day."""
    found = [p for p in _points(chart, twin) if p.entry and abs(p.at - at) <= SAME_TIME]
    return min(found, key=lambda p: abs(p.at - at), default=None)


def _gains(chart: Chart, own: tuple[str, _Point], other: tuple[str, _Point]) -> str:
    """What each baby would gain a day as typed, and with the two weights swapped, since the weight before."""

    def per_day(baby: str, standing: _Point, grams: int) -> str:
        before = [p for p in _points(chart, baby) if p.entry != standing.entry and standing.at - p.at >= DAY]
        if not before:
            return "nothing to compare"
        last = before[-1]
        elapsed = Fraction((standing.at - last.at) // timedelta(seconds=1), 86_400)
        return f"{decimal((grams - last.grams) / elapsed, 1)} g/day"

    names = [_name(chart, baby) for baby, _ in (own, other)]
    typed = [per_day(baby, point, point.grams) for baby, point in (own, other)]
    swapped = [per_day(own[0], own[1], other[1].grams), per_day(other[0], other[1], own[1].grams)]
    said = [
        " and ".join(f"{name} {gain}" for name, gain in zip(names, gains, strict=True)) for gains in (typed, swapped)
    ]
    return f"As typed {said[0]}; swapped {said[1]}."


def _fits_better(chart: Chart, baby: str, twin: str, typed: _Point) -> bool:
    """Whether a weight lies nearer the twin's line than its own.

    Where the twin was weighed at about the same time, both weights are tried as typed and swapped, so that a swap is
    asked about for both babies; else the one weight is tried on both lines.
    """
    partner = _beside(chart, twin, typed.at)
    own = _expected(chart, baby, typed.at, typed.entry)
    if own is None:
        return False
    if partner is None:
        other = _expected(chart, twin, typed.at, "")
        return other is not None and abs(typed.grams - own) - abs(typed.grams - other) > NEARER_BY
    other = _expected(chart, twin, min(partner.at, typed.at), partner.entry)
    if other is None:
        return False
    as_typed = abs(typed.grams - own) + abs(partner.grams - other)
    swapped = abs(partner.grams - own) + abs(typed.grams - other)
    return as_typed - swapped > NEARER_BY
