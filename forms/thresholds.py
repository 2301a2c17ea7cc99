"""House thresholds: the limits of the ladder of prompts that a practice may set, each beside its published value.

The ladder's own principle: a limit on which a prompt of SAME DAY or EMERGENCY rests may be made stricter, never looser;
the others may move both ways within the range shown. What is blank, out of range or not settled counts as published.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import IntEnum
from fractions import Fraction
from types import MappingProxyType
from typing import Any

from forms.answers import Conflicted, Given, Quantity, every
from forms.ask import NotCoded, NotPrinted, count, quantity
from forms.chart import Chart
from forms.form import About, Form, declared
from forms.units import alone, decimal

__all__ = ["NOT_SET", "PUBLISHED", "Limits", "Published", "Stricter", "Thresholds", "limits", "limits_of"]

SETTING = NotPrinted("a setting of the practice; a prompt that rests on it says so itself")
OWN = NotCoded("a setting of the program, never handed over")


class Stricter(IntEnum):
    """Which way a limit fires sooner."""

    LOWER = -1
    HIGHER = 1


@dataclass(frozen=True, slots=True)
class Published:
    """One limit as published: value and range in base units, how the source was read, and which way is stricter.

    `units` name units of `forms.units`; without any it is a plain count of `things` ("points", "feeds").
    """

    label: str
    value: int
    low: int
    high: int
    stricter: Stricter
    source: str
    mark: str
    units: tuple[str, ...] = ()
    things: str = ""

    @property
    def only_stricter(self) -> bool:
        """Whether its range reaches to the stricter side alone."""
        return self.value == (self.high if self.stricter is Stricter.LOWER else self.low)

    def said(self, base: int) -> str:
        """A value of this limit in words: "10 %", "38.0 °C", "20 g", "5 feeds"."""
        if self.units == ("percent",):
            return f"{decimal(Fraction(base, 10), 1).removesuffix('.0')} %"
        return alone(base, self.units[0]) if self.units else f"{base} {self.things}".strip()

    @property
    def beside(self) -> str:
        """What always stands beside the box: the published value, its source and mark, and the range."""
        which = "It may only be made stricter. " if self.only_stricter else ""
        return (
            f"Published: {self.said(self.value)} ({self.source}, {self.mark}). "
            f"{which}From {self.said(self.low)} to {self.said(self.high)}."
        )


LOWER, HIGHER = Stricter.LOWER, Stricter.HIGHER
PERCENT: tuple[str, ...] = ("percent",)
PUBLISHED: Mapping[str, Published] = MappingProxyType({
    # Loss from birth weight, tenths of a percent. Ranges of every row: house rule (P).
    "loss_follow_up": Published(
        "Loss to look at again", 70, 50, 70, LOWER, "ABM protocols 2 and 3; AAP 2022", "M", PERCENT),
    "loss_same_day": Published(
        "Loss for the same day", 100, 70, 100, LOWER, "NICE NG75 2017; Flaherman 2015", "S", PERCENT),
    "loss_before_leaving": Published(
        "Loss to call about before leaving", 125, 100, 125, LOWER, "Macdonald 2003", "S2", PERCENT),
    "loss_emergency": Published(
        "Loss that is an emergency", 150, 125, 150, LOWER, "NHS Lothian neonatal guideline", "S", PERCENT),
    # Days by which birth weight is back.
    "regain_follow_up": Published(
        "Day to see again below birth weight", 10, 7, 14, LOWER, "WIC leaflets; Paul 2016", "S2", things="days"),
    "regain_prompt": Published(
        "Day for the provider below birth weight", 14, 10, 21, LOWER, "Paul, Pediatrics 2016", "S", things="days"),
    "regain_same_day": Published(
        "Day for the same day below birth weight", 21, 14, 21, LOWER, "Paul, Pediatrics 2016; NICE NG75", "S",
        things="days"),
    "gain_per_day": Published(
        "Gain a day to look at again below", 20, 15, 30, HIGHER, "public-health leaflet", "S2", ("g",)),
    "weighing_gap": Published(
        "Days between weighings before a gain counts", 3, 1, 7, LOWER, "Texas WIC gain guide", "S2", things="days"),
    "wets_from_day_6": Published(
        "Wet diapers a day from day 6", 6, 6, 8, HIGHER, "Texas WIC output chart", "S", things="wet diapers"),
    "stools_from_day_3": Published(
        "Stools a day from day 3", 3, 3, 5, HIGHER, "Texas WIC output chart", "S", things="stools"),
    "feeds_in_24_h": Published(
        "Feeds in 24 hours, first two weeks", 8, 8, 12, HIGHER, "WIC, AAP", "S", things="feeds"),
    "pain_follow_up": Published(
        "Pain to look at again, of 10", 4, 2, 6, LOWER, "numeric scale in general use", "M", things="of 10"),
    "pain_prompt": Published(
        "Pain for the provider, of 10", 7, 4, 9, LOWER, "numeric scale in general use", "M", things="of 10"),
    "mood_ten_prompt": Published(
        "Ten-item mood total for the provider", 10, 8, 12, LOWER, "Cox 1987", "S", things="points"),
    "mood_ten_same_day": Published(
        "Ten-item mood total for the same day", 13, 10, 13, LOWER, "Cox 1987", "S", things="points"),
    "mood_two_prompt": Published(
        "Two-item mood total for the provider", 3, 2, 3, LOWER, "Kroenke 2003; Arroll 2010", "S", things="points"),
    "expressing_sessions": Published(
        "Expressing sessions in 24 hours, day 5", 5, 4, 8, HIGHER, "Mago-Shah, J Perinatol 2023", "S",
        things="sessions"),
    "expressing_day_14": Published(
        "Milk expressed in 24 hours, day 14", 350, 250, 500, HIGHER, "older preterm teaching, as quoted", "S2",
        ("mL", "fl_oz")),
    "fever": Published(
        "Fever of a baby", 380, 375, 380, LOWER, "NICE NG143 red list; AAP 2021", "S", ("C", "F")),
})  # fmt: skip
"""Each limit by the name of its field in `Thresholds`."""

NOT_SET = "Two house thresholds stand; the stricter holds until they are settled."


def _limit(name: str) -> Any:
    """The question of one limit; its bounds are the range shown."""
    row = PUBLISHED[name]
    more: dict[str, Any] = {
        "low": row.low, "high": row.high, "help": row.beside, "source": f"{row.source} ({row.mark})", "paper": SETTING,
        "code": OWN,
    }  # fmt: skip
    return quantity(row.label, row.units, **more) if row.units else count(row.label, **more)


@declared("thresholds", "House thresholds", About.PRACTICE)
@dataclass(frozen=True, slots=True, kw_only=True)
class Thresholds(Form):
    """What the practice set in place of a published limit; a blank line means the published one."""

    loss_follow_up: Given[Quantity] = _limit("loss_follow_up")
    loss_same_day: Given[Quantity] = _limit("loss_same_day")
    loss_before_leaving: Given[Quantity] = _limit("loss_before_leaving")
    loss_emergency: Given[Quantity] = _limit("loss_emergency")
    regain_follow_up: Given[int] = _limit("regain_follow_up")
    regain_prompt: Given[int] = _limit("regain_prompt")
    regain_same_day: Given[int] = _limit("regain_same_day")
    gain_per_day: Given[Quantity] = _limit("gain_per_day")
    weighing_gap: Given[int] = _limit("weighing_gap")
    wets_from_day_6: Given[int] = _limit("wets_from_day_6")
    stools_from_day_3: Given[int] = _limit("stools_from_day_3")
    feeds_in_24_h: Given[int] = _limit("feeds_in_24_h")
    pain_follow_up: Given[int] = _limit("pain_follow_up")
    pain_prompt: Given[int] = _limit("pain_prompt")
    mood_ten_prompt: Given[int] = _limit("mood_ten_prompt")
    mood_ten_same_day: Given[int] = _limit("mood_ten_same_day")
    mood_two_prompt: Given[int] = _limit("mood_two_prompt")
    expressing_sessions: Given[int] = _limit("expressing_sessions")
    expressing_day_14: Given[Quantity] = _limit("expressing_day_14")
    fever: Given[Quantity] = _limit("fever")


@dataclass(frozen=True)
class Limits:
    """The limits that hold, by name, in base units; one that is not `set_here` holds as published."""

    set_here: Mapping[str, int] = field(default_factory=dict)
    torn: frozenset[str] = frozenset()

    def at(self, name: str) -> int:
        """The limit in base units: tenths of a percent or of a degree, g, mL, days or a count. KeyError if unknown."""
        return self.set_here.get(name, PUBLISHED[name].value)

    def percent(self, name: str) -> Fraction:
        """A limit kept in tenths of a percent, as percent."""
        return Fraction(self.at(name), 10)

    def said(self, name: str) -> str:
        """The limit that holds, in words."""
        return PUBLISHED[name].said(self.at(name))

    def differing(self, *names: str) -> str:
        """What a prompt says of its limits that are not the published ones; "" while all are."""
        return " ".join(
            f"House threshold {PUBLISHED[name].said(self.set_here[name])}, "
            f"published {PUBLISHED[name].said(PUBLISHED[name].value)}.{f' {NOT_SET}' if name in self.torn else ''}"
            for name in names
            if name in self.set_here
        )


def _stricter(row: Published, values: list[int]) -> int:
    return min(values) if row.stricter is LOWER else max(values)


def limits(chart: Chart) -> Limits:
    """The limits that hold for a chart: those of its practice where they stand within their range, else the published.

    Of a limit for which two values stand the strictest of them and the published one holds.
    """
    return limits_of(chart.one(Thresholds))


def limits_of(kept: Thresholds) -> Limits:
    """The limits that hold by these settings."""
    found: dict[str, int] = {}
    torn: set[str] = set()
    for name, row in PUBLISHED.items():
        given = getattr(kept, name)
        values = [value.base if isinstance(value, Quantity) else value for value in every(given)]
        values = [value for value in values if row.low <= value <= row.high]
        if isinstance(given, Conflicted):
            values.append(row.value)
        if values and (value := _stricter(row, values)) != row.value:
            found[name] = value
            if isinstance(given, Conflicted):
                torn.add(name)
    return Limits(MappingProxyType(found), frozenset(torn))
