"""Milk transfer of one feed from weights before and after: per side and in total, with what the scale can tell.

Grams are given as millilitres one to one, the trade's convention (milk is a little denser, about 1.03 g/mL; IOM,
Nutrition During Lactation, 1991, S); one total never mixes conventions. Raw readings are never altered and a negative
difference is shown as it is. Evaporation makes a feed read about 1 to 5 % low (IOM 1991, S) and is not corrected.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from fractions import Fraction
from math import sqrt
from types import MappingProxyType

from forms.answers import Conflicted, Given, Quantity
from forms.clinical.result import NoFigure, one
from forms.units import alone, decimal
from forms.weight import WeightReading

__all__ = [
    "LOWER_LIMIT", "TYPICAL_SOURCE", "FeedTransfer", "Pair", "below_limit_words", "feed_transfer", "pair",
    "resolution_95", "typical_words",
]  # fmt: skip

LONGEST = timedelta(minutes=60)  # beyond this between the two weights the pair is void (house rule of the trade, P)
LARGEST_SEEN = 240  # g: the largest single feed of 71 babies of 1 to 6 months (Kent, Pediatrics 2006;117:e387, S)
COARSE_STEP = 2  # g: a coarser scale is for weight checks (trade practice, M)
SIDES: Mapping[str, str] = MappingProxyType(
    {"left": "left", "right": "right", "both": "the whole feed", "bottle": "the bottle"}
)


@dataclass(frozen=True, slots=True)
class Pair:
    """The weights before and after one side, in grams. `step` is the scale's smallest step, None if not known.

    `void` holds the reasons why the pair counts in no total; its numbers are kept all the same. `cautions` are words
    to stand beside a pair that does count.
    """

    side: str
    before: int
    after: int
    step: int | None
    void: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def grams(self) -> int:
        """After less before, as weighed; may be negative."""
        return self.after - self.before

    @property
    def text(self) -> str:
        """What the pair says: "62 g = 62 mL (±2)", "no measurable transfer (−2 g)", "below scale step (4 g, ±5)"."""
        if self.void:
            return f"void: {', '.join(self.void)} ({alone(self.grams, 'g')}, not counted)"
        sure = f", ±{self.step}" if self.step is not None else ", scale step not known"
        if self.grams <= 0:
            return f"no measurable transfer ({alone(self.grams, 'g')}{sure})"
        if self.step is not None and self.grams < self.step:
            return f"below scale step ({alone(self.grams, 'g')}{sure})"
        return f"{alone(self.grams, 'g')} = {alone(self.grams, 'mL')} ({sure.removeprefix(', ')})"


def _differs(first: Given[str], second: Given[str]) -> bool:
    """Whether two known answers differ; an answer that is not known differs from nothing."""
    return isinstance(first, str) and isinstance(second, str) and first != second


def _void_reasons(before: WeightReading, after: WeightReading) -> tuple[str, ...]:
    """Why a pair may not be counted (rule of the trade, P): diaper, clothes, scale, or too long between."""
    reasons = []
    if after.diaper_changed is True:
        reasons.append("diaper changed between")
    if after.same_clothes is False or _differs(before.state, after.state):
        reasons.append("not the same clothes")
    steps = [q.base for q in (before.scale_step, after.scale_step) if isinstance(q, Quantity)]
    if _differs(before.scale_name, after.scale_name) or len(set(steps)) > 1:
        reasons.append("not the same scale")
    started, ended = one(before.taken, "time before"), one(after.taken, "time after")
    if not isinstance(started, NoFigure) and not isinstance(ended, NoFigure):
        if ended.at < started.at:
            reasons.append("the weight after was taken earlier")
        elif ended.at - started.at > LONGEST:
            reasons.append("more than 60 minutes between")
    return tuple(reasons)


_INPUTS = (
    ("weight", "weight"), ("taken", "time"), ("state", "clothes"), ("scale_name", "scale"),
    ("scale_step", "scale step"), ("diaper_changed", "diaper"), ("same_clothes", "clothes"),
)  # fmt: skip


def pair(side: str, before: WeightReading, after: WeightReading) -> Pair | NoFigure:
    """The pair of weights of one side. Grams. No figure while a weight is missing or any input is unresolved."""
    for reading in (before, after):
        for name, label in _INPUTS:
            if isinstance(getattr(reading, name), Conflicted):
                return NoFigure(f"unresolved: two values stand for a {label} of this feed", unresolved=True)
    first, last = one(before.weight, "weight before"), one(after.weight, "weight after")
    if isinstance(first, NoFigure):
        return first
    if isinstance(last, NoFigure):
        return last
    steps = [q.base for q in (before.scale_step, after.scale_step) if isinstance(q, Quantity)]
    step = max(steps) if steps else None
    grams = last.base - first.base
    cautions = []
    if step is not None and step > COARSE_STEP:
        cautions.append(f"a {step} g step is coarse for a feed")
    if after.spit_up is True or isinstance(after.spit_up, Conflicted):
        cautions.append("spit up between")
    if grams > LARGEST_SEEN:
        cautions.append("more than any feed of the published range; check both weights")
    if grams < -(step or 0):
        cautions.append("lighter after than before by more than the scale's step; check both weights")
    for known, words in ((after.diaper_changed, "diaper"), (after.same_clothes, "clothes")):
        if known is None:
            cautions.append(f"whether the {words} changed was not asked")
    return Pair(side, first.base, last.base, step, _void_reasons(before, after), tuple(cautions))


@dataclass(frozen=True, slots=True)
class FeedTransfer:
    """One feed: its pairs by side in the order weighed, sides without a figure, and what counts in the total."""

    pairs: tuple[Pair, ...]
    missing: tuple[tuple[str, NoFigure], ...] = ()

    @property
    def unresolved(self) -> bool:
        """Whether a conflict keeps any side from a figure."""
        return any(gap.unresolved for _, gap in self.missing)

    @property
    def counted(self) -> tuple[Pair, ...]:
        """The pairs the total is made of: the whole feed if weighed as one, else each side; never a void pair.

        A bottle is not milk transfer at the breast or chest and stands apart.
        """
        valid = tuple(p for p in self.pairs if not p.void and p.side != "bottle")
        whole = tuple(p for p in valid if p.side == "both")
        return whole or valid

    @property
    def left_out(self) -> tuple[str, ...]:
        """The sides the total lacks: void, or without a figure."""
        if any(p.side == "both" for p in self.counted):
            return ()
        void = [p.side for p in self.pairs if p.void and p.side != "bottle"]
        return tuple(dict.fromkeys([*void, *(side for side, _ in self.missing if side != "bottle")]))

    def side(self, side: str) -> int | NoFigure:
        """Grams on one side over all its pairs that count."""
        for name, gap in self.missing:
            if name == side:
                return gap
        valid = [p.grams for p in self.pairs if p.side == side and not p.void]
        return sum(valid) if valid else NoFigure("no pair of weights that counts")

    @property
    def total(self) -> int | NoFigure:
        """Grams of all pairs that count; negative differences count as weighed. No figure while one is unresolved."""
        if self.unresolved:
            return NoFigure("unresolved: two values stand in a weight of this feed", unresolved=True)
        return sum(p.grams for p in self.counted) if self.counted else NoFigure("no pair of weights that counts")

    @property
    def uncertainty(self) -> int | None:
        """The scale's steps added up, in grams: the worst the resolution alone can do (arithmetic, C)."""
        steps = [p.step for p in self.counted]
        return sum(step for step in steps if step is not None) if steps and None not in steps else None

    @property
    def text(self) -> str:
        """The total in words, saying which sides it lacks; grams as millilitres one to one."""
        grams = self.total
        if isinstance(grams, NoFigure):
            return grams.why
        worst = self.uncertainty
        sure = f"±{worst}" if worst is not None else "scale step not known"
        lacks = f", without {' and '.join(SIDES[side] for side in self.left_out)}" if self.left_out else ""
        if grams <= 0:
            return f"no measurable transfer ({alone(grams, 'g')}, {sure}{lacks})"
        if worst is not None and grams < worst:
            return f"below scale step ({alone(grams, 'g')}, {sure}{lacks})"
        return f"{alone(grams, 'g')} = {alone(grams, 'mL')} ({sure}{lacks})"


def at_true_density(grams: int) -> str:
    """The same grams at 1.03 g/mL (IOM 1991, S), for the note on method only; never added to a one-to-one total."""
    return f"{decimal(Fraction(grams * 100, 103), 1)} mL at 1.03 g/mL"


def feed_transfer(readings: Iterable[WeightReading]) -> FeedTransfer:
    """The transfer of one feed from every weight that points to it.

    On each side the first weight before goes with the first after, the second with the second, by time. A weight
    whose side or whose before-or-after is unresolved leaves its side without a figure.
    """
    by_side: dict[str, dict[str, list[WeightReading]]] = {}
    missing: list[tuple[str, NoFigure]] = []
    for reading in readings:
        side, point = one(reading.feed_side, "side"), one(reading.feed_point, "before or after")
        if isinstance(side, NoFigure) or isinstance(point, NoFigure):
            gap = side if isinstance(side, NoFigure) else point
            assert isinstance(gap, NoFigure)
            missing.append((side if isinstance(side, str) else "both", gap))
            continue
        by_side.setdefault(side, {"before": [], "after": []})[point].append(reading)
    pairs: list[Pair] = []
    for side, points in by_side.items():
        if len(points["before"]) != len(points["after"]):
            missing.append((side, NoFigure("a weight before or after is missing")))
            continue
        for before, after in zip(*(sorted(points[p], key=_taken) for p in ("before", "after")), strict=True):
            found = pair(side, before, after)
            if isinstance(found, NoFigure):
                missing.append((side, found))
            else:
                pairs.append(found)
    return FeedTransfer(_told_of_scales(pairs, by_side), tuple(missing))


def _told_of_scales(pairs: list[Pair], by_side: Mapping[str, Mapping[str, list[WeightReading]]]) -> tuple[Pair, ...]:
    """The pairs, each with a caution where the sides of one feed were weighed on different scales.

    Each side's difference stands, for it was made on one scale; a sum over two scales is less sure than its steps say.
    """
    names = {
        reading.scale_name.strip().casefold()
        for found in pairs
        for reading in (reading for point in by_side[found.side].values() for reading in point)
        if isinstance(reading.scale_name, str) and found.side in ("left", "right") and not found.void
    }
    if len(names) < 2:
        return tuple(pairs)
    words = "the sides were weighed on different scales"
    return tuple(replace(found, cautions=(*found.cautions, words)) for found in pairs)


def _taken(reading: WeightReading) -> float:
    taken = one(reading.taken, "time")
    return 0.0 if isinstance(taken, NoFigure) else taken.at.timestamp()


# Milk taken in 24 hours, as published. The 440 mL are a lower limit of their own and not the foot of the range
# that goes with 788 (house choice where sources differ).
LOWER_LIMIT = 440  # mL in 24 h once milk is established, expected by about day 11 (Kent, Nutrients 2016, S)
LIMIT_FROM_DAY = 11
TYPICAL_SOURCE = "Saint, Br J Nutr 1984 (S); Kent, Nutrients 2016 (S); Kent, Pediatrics 2006 (M)"
_FIRST_DAYS: Mapping[int, str] = MappingProxyType(
    {1: "37 g (7 to 123)", 3: "408 g (98 to 775)", 5: "705 g (453 to 876)"}
)  # g in 24 h, 9 babies (Saint, Br J Nutr 1984, S)
_MONTHS_FROM, _MONTHS_UNTIL = 28, 183  # days: 1 to 6 months, as Kent 2006 took them


def typical_words(day_of_life: int) -> str | None:
    """What was published of milk in 24 hours at this day of life, for scale only; None where nothing was.

    Source: see TYPICAL_SOURCE. Day of life 1 is the first 24 hours.
    """
    if day_of_life in _FIRST_DAYS:
        return f"published for day {day_of_life}, 9 babies: {_FIRST_DAYS[day_of_life]} in 24 h"
    if _MONTHS_FROM <= day_of_life <= _MONTHS_UNTIL:
        return "published at 1 to 6 months: mean 788 g (478 to 1,356) in 24 h"
    return None


def below_limit_words(grams: int, days: int) -> str | None:
    """What is said of a day's total under 440 mL from day 11 on; None otherwise, which says nothing of the baby.

    Two thirds of mothers were below at day 11 to 13, near one third from day 14 to 28 (Kent, Nutrients 2016, S).
    """
    if grams >= LOWER_LIMIT or days < LIMIT_FROM_DAY:
        return None
    often = "; two thirds of mothers were at day 11 to 13" if days < 14 else ""
    often = often or ("; near one third of mothers were at day 14 to 28" if days <= 28 else "")
    return f"below {LOWER_LIMIT} mL in 24 h, the published lower limit once milk is established{often}"


def resolution_95(steps: Iterable[int]) -> float:
    """What the scale's steps alone do to a sum of differences, in grams: 95 % lie within plus or minus this.

    One step d makes a standard deviation of d/sqrt(6) in a difference, and n equal ones sqrt(n) times that (C).
    `steps` has one step in grams for each pair of weights.
    """
    return 1.96 * sqrt(sum(step * step for step in steps) / 6)
