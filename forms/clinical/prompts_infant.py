"""Urgent rules about a baby's feeding, output and weight (newborn weight change, output, and part of the red flags).

Signs seen on the body stand in `forms.clinical.prompts_infant_signs`. Each rule has its source and mark beside it;
thresholds marked M are from memory until someone has read the source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import timedelta
from fractions import Fraction
from types import MappingProxyType

from forms.answers import every
from forms.clinical.evidence import AGE, LOSS, SLEEPY, STOOLS, URINE, WEIGHED, Baby, picks
from forms.clinical.rule import Level, Rule
from forms.thresholds import Limits
from forms.units import alone

__all__ = ["LOW_OUTPUT", "RULES", "below_birth_weight_at", "low_output", "not_gaining", "output_row"]

PROVIDER = "Speak to the baby's provider before leaving or the same day, and send the written report."
PROVIDER_NOW = "Speak to the baby's provider before leaving; do not wait for the evening."
GO_NOW = "Call the emergency number or go to the emergency department now."
SOON = "Ask the baby's provider to see the baby within 24 to 48 hours."
AGAIN = "See and weigh the baby again within 24 to 72 hours."

UNDER_3_MONTHS = 92 * 24  # hours; the longest three calendar months, rounded toward safety (C)
DAY_5 = 120  # hours: five days of 24 (C)
FROM_DAY_5 = 96  # hours: day 5 of life begins, hours 0 to 23 being day 1 (C)
COMPARABLE = timedelta(hours=12)  # house bound, no source: closer weighings say nothing about losing
THREE_DAYS = timedelta(days=3)  # between weighings once the newborn days are over (Texas WIC guide, S2)

# Wet diapers and stools by day of life, Texas WIC chart (S); the last row holds for days 6 to 45.
OUTPUT: Mapping[int, tuple[int, int]] = MappingProxyType({1: (1, 1), 2: (2, 2), 3: (3, 3), 4: (4, 3), 5: (5, 3)})
OUTPUT_FROM_6 = (6, 3)
LAST_DAY_OF_OUTPUT = 45
WIC = "Texas WIC output chart"

COUNTED = ("infant_history.wets_24h", "infant_history.stools_24h", *AGE)
NO_URINE = ("infant_history.first_urine", "infant_history.wets_24h", "infant_history.last_wet", *AGE)
LOW_OUTPUT = (*COUNTED, *STOOLS, "log_line.starts", *URINE, "infant_history.first_urine", "infant_history.last_wet")
OUTPUT_LIMITS = ("wets_from_day_6", "stools_from_day_3")
FEW_FEEDS = ("infant_history.feeds_24h", "infant_history.wakes_to_feed", *AGE)


def output_row(day_of_life: int | None, limits: Limits | None = None) -> tuple[int, int] | None:
    """(wet diapers, stools) at least to be seen on that day of life; None after day 45, where no row stands.

    For an unknown day it is the last row, the strictest. Source: Texas WIC chart (S). A practice's own `limits` hold
    for wet diapers from day 6 and for stools from day 3.
    """
    if day_of_life is not None and day_of_life > LAST_DAY_OF_OUTPUT:
        return None
    wets, stools = OUTPUT_FROM_6 if day_of_life is None else OUTPUT.get(day_of_life, OUTPUT_FROM_6)
    held = limits or Limits()
    if day_of_life is None or day_of_life >= 6:
        wets = held.at("wets_from_day_6")
    if day_of_life is None or day_of_life >= 3:
        stools = held.at("stools_from_day_3")
    return wets, stools


def _short_of(baby: Baby) -> tuple[tuple[str, int, int], ...]:
    """What lies below the day's row: ("wet diapers" or "stools", counted, expected). A blank count is not below."""
    row = output_row(baby.day_of_life, baby.limits)
    if row is None:
        return ()
    counted = (("wet diapers", every(baby.told.wets_24h), row[0]), ("stools", every(baby.told.stools_24h), row[1]))
    return tuple((what, min(n), expected) for what, n, expected in counted if n and min(n) < expected)


def _output_words(short: tuple[tuple[str, int, int], ...]) -> str:
    return ", ".join(
        f"{counted} {what} in 24 hours where {expected} or more are expected" for what, counted, expected in short
    )


def _two_below(baby: Baby) -> str | None:
    short = _short_of(baby)
    both = len(short) == 2 or any(expected - counted >= 2 for _, counted, expected in short)
    return _output_words(short).capitalize() if both else None


def _one_below(baby: Baby) -> str | None:
    short = _short_of(baby)
    return _output_words(short).capitalize() if short else None


def _black_stool(baby: Baby) -> str | None:
    """A black stool told or seen on day 5 or later; one in the log counts by its line's time, else by the visit's."""
    found = [baby.hours] if "black" in picks(baby.told.stool_colour, baby.seen.stool_seen) else []
    for line in baby.lines:
        if "black" in every(line.stool):
            found += [baby.hours_at(starts.at) for starts in every(line.starts)] or [baby.hours]
    late = any(hours is None or hours >= FROM_DAY_5 for hours in found)
    return "Black stool on day 5 of life or later" if late else None


def _urates(baby: Baby) -> str | None:
    late = baby.day_of_life is None or baby.day_of_life >= 4
    return "Pink-orange dust in the diaper after day 3 of life" if late and "urates" in baby.urine else None


def _no_urine(baby: Baby) -> str | None:
    """No urine in 24 hours at any age; under 3 months no wet diaper for 8 hours."""
    dry = max((baby.at - moment.at for moment in every(baby.told.last_wet)), default=timedelta(0))
    if dry >= timedelta(hours=24):
        return "No urine in 24 hours"
    if baby.from_(24) and ("not_yet" in picks(baby.told.first_urine) or 0 in every(baby.told.wets_24h)):
        return "No urine in 24 hours"
    if dry >= timedelta(hours=8) and baby.below(UNDER_3_MONTHS):
        return "No wet diaper for 8 hours or longer"
    return None


def low_output(baby: Baby) -> bool:
    """Whether output lies below the day's row in any way, or a sign of too little urine or stool was told."""
    return any(found(baby) for found in (_one_below, _black_stool, _urates, _no_urine))


def _no_meconium(baby: Baby) -> str | None:
    first = picks(baby.told.first_meconium)
    if "not_yet" in first and baby.from_(24):
        return "No meconium yet, 24 hours or more after birth"
    if "later" in first and baby.below(7 * 24):
        return "First stool later than 48 hours after birth"
    return None


def _lost(percent: Fraction | int, baby: Baby) -> str | None:
    if baby.loss is None or not baby.lost(percent):
        return None
    return f"{alone(baby.loss.now, 'g')} is {baby.loss.text} from a birth weight of {alone(baby.loss.birth, 'g')}"


def _lost_by(limit: str) -> Callable[[Baby], str | None]:
    return lambda baby: _lost(baby.limits.percent(limit), baby)


def _lost_8_on_day_5(baby: Baby) -> str | None:
    hours = baby.hours_at(baby.latest.at) if baby.latest else None
    late = hours is None or hours >= DAY_5
    return _lost(8, baby) if late else None


def not_gaining(baby: Baby) -> str | None:
    """Still losing after day 5; once the newborn days are over, no gain between weighings three days apart."""
    if baby.latest is None:
        return None
    hours = baby.hours_at(baby.latest.at)
    if hours is not None and hours < DAY_5:
        return None
    newborn = hours is None or hours <= 28 * 24
    near, far = baby.before(baby.latest.at, COMPARABLE), baby.before(baby.latest.at, THREE_DAYS)
    losing = newborn and near is not None and baby.latest.grams < near.most
    still = far is not None and baby.latest.grams <= far.most
    if losing or still:
        earlier = near if losing else far
        assert earlier is not None
        return f"{alone(earlier.most, 'g')}, then {alone(baby.latest.grams, 'g')}: not gaining after day 5"
    return None


def below_birth_weight_at(day: int, baby: Baby) -> str | None:
    """What is seen of a baby that weighs less than at birth when that many days old or older; None otherwise."""
    if baby.latest is None or baby.loss is None or baby.loss.change >= 0:
        return None
    hours = baby.hours_at(baby.latest.at)
    if hours is not None and hours < day * 24:
        return None
    birth = alone(baby.loss.birth, "g")
    return f"{alone(baby.loss.now, 'g')} is below the birth weight of {birth} at {day} days or later"


def _below_birth_weight(limit: str) -> Callable[[Baby], str | None]:
    return lambda baby: below_birth_weight_at(baby.limits.at(limit), baby)


def _few_feeds(baby: Baby) -> str | None:
    if not baby.below(14 * 24):
        return None
    least = baby.limits.at("feeds_in_24_h")
    if any(feeds < least for feeds in every(baby.told.feeds_24h)):
        return f"Fewer than {least} feeds in 24 hours"
    return "Has to be woken to feed" if "woken" in picks(baby.told.wakes_to_feed) else None


def _few_feeds_and_loss(baby: Baby) -> str | None:
    few = _few_feeds(baby)
    if few is None or baby.loss is None or not baby.loss.lost_more_than(7):
        return None
    return f"{few}, at {baby.loss.text} from birth"


def _no_urine_and_sleepy(baby: Baby) -> str | None:
    dry = _no_urine(baby)
    return f"{dry}, and too sleepy" if dry and baby.sleepy else None


LOSS_WHY = "The larger the loss, the likelier too little milk or too little fluid; the scale cannot tell which."
LITTLE_WHY = "Too little coming out can mean too little going in."

WEIGHT_RULES: tuple[Rule[Baby], ...] = (
    Rule(
        "infant_loss_15", Level.EMERGENCY, _lost_by("loss_emergency"), LOSS_WHY, GO_NOW,
        "NHS Lothian neonatal guideline: 15 % or more", "S",
        over=("infant_loss_12_5", "infant_loss_10", "infant_loss_8_day_5", "infant_loss_7"),
        fields=LOSS, thresholds=("loss_emergency",),
    ),
    Rule(
        "infant_loss_12_5", Level.SAME_DAY, _lost_by("loss_before_leaving"), LOSS_WHY,
        f"{PROVIDER_NOW} Blood tests are theirs to ask for.",
        "Macdonald 2003 (12.5 %); NHS Lothian (13 %)", "S2",
        over=("infant_loss_10", "infant_loss_8_day_5", "infant_loss_7"),
        fields=LOSS, thresholds=("loss_before_leaving",),
    ),
    Rule(
        "infant_loss_10", Level.SAME_DAY, _lost_by("loss_same_day"),
        "Assess, take a feeding history, and watch a whole feed.", PROVIDER,
        "NICE NG75 2017, Flaherman 2015; exactly 10 % counts (house choice)", "S",
        over=("infant_loss_8_day_5", "infant_loss_7"),
        fields=LOSS, thresholds=("loss_same_day",),
    ),
    Rule(
        "infant_loss_8_day_5", Level.SAME_DAY, _lost_8_on_day_5,
        "From 120 hours on most babies are gaining; look closely and watch a feed.", PROVIDER,
        "ABM protocol 3 2017, table of indications", "M", over=("infant_loss_7",), by_age=True,
        fields=(*LOSS, *AGE),
    ),
    Rule(
        "infant_not_gaining", Level.SAME_DAY, not_gaining, "After day 5 a baby is expected to gain.", PROVIDER,
        "ABM protocol 3 2017; gain guide of Texas WIC (S2); bounds between weighings house rules", "M", by_age=True,
        fields=(*WEIGHED, *AGE),
    ),
    Rule(
        "infant_below_birth_weight_21", Level.SAME_DAY, _below_birth_weight("regain_same_day"),
        "5 to 8 in 100 breastfed babies are not back by then.", PROVIDER,
        "Paul, Pediatrics 2016; NICE NG75", "S", by_age=True,
        over=("infant_below_birth_weight_14", "infant_below_birth_weight_10"),
        fields=(*LOSS, *AGE), thresholds=("regain_same_day",),
    ),
    Rule(
        "infant_below_birth_weight_14", Level.PROMPT, _below_birth_weight("regain_prompt"),
        "14 to 24 in 100 breastfed babies are not back by then.", SOON, "Paul, Pediatrics 2016", "S", by_age=True,
        over=("infant_below_birth_weight_10",),
        fields=(*LOSS, *AGE), thresholds=("regain_prompt",),
    ),
    Rule(
        "infant_below_birth_weight_10", Level.FOLLOW_UP, _below_birth_weight("regain_follow_up"),
        "Half of breastfed babies are back by day 9 or 10.", AGAIN, "WIC leaflets; Paul 2016", "S2", by_age=True,
        fields=(*LOSS, *AGE), thresholds=("regain_follow_up",),
    ),
    Rule(
        "infant_loss_7", Level.FOLLOW_UP, _lost_by("loss_follow_up"),
        "Watch a feed and weigh again in 24 hours, sooner if born before 38 weeks or under 6 lb. By itself it is no "
        "reason to supplement.", AGAIN,
        "ABM protocols 2 and 3; AAP 2022", "M",
        fields=LOSS, thresholds=("loss_follow_up",),
    ),
)  # fmt: skip

OUTPUT_RULES: tuple[Rule[Baby], ...] = (
    Rule(
        "infant_no_urine_sleepy", Level.EMERGENCY, _no_urine_and_sleepy,
        "No urine with a sleepy baby can be a lack of fluid, even when the mouth is moist.", GO_NOW,
        "NHS (8 hours); first 24 hours from memory", "M", over=("infant_no_urine",), by_age=True,
        fields=(*NO_URINE, *SLEEPY),
    ),
    Rule(
        "infant_no_urine", Level.SAME_DAY, _no_urine, LITTLE_WHY, PROVIDER_NOW,
        "NHS (8 hours, under 3 months); first 24 hours from memory", "M", by_age=True,
        fields=NO_URINE,
    ),
    Rule(
        "infant_output_two_below", Level.SAME_DAY, _two_below, f"{LITTLE_WHY} Weigh now and watch a feed.", PROVIDER,
        WIC, "S", over=("infant_output_one_below",), by_age=True,
        fields=COUNTED, thresholds=OUTPUT_LIMITS,
    ),
    Rule(
        "infant_black_stool", Level.SAME_DAY, _black_stool, f"{LITTLE_WHY} Weigh now and watch a feed.", PROVIDER,
        WIC, "S", by_age=True,
        fields=(*STOOLS, "log_line.starts", *AGE),
    ),
    Rule(
        "infant_urates", Level.SAME_DAY, _urates, f"{LITTLE_WHY} Weigh now and watch a feed.", PROVIDER,
        "leaflets: dust accepted on days 1 to 3; Caglar 2006", "S2", by_age=True,
        fields=(*URINE, *AGE),
    ),
    Rule(
        "infant_pale_stool", Level.SAME_DAY,
        lambda baby: "Pale, white or grey stool" if "pale" in baby.stools else None,
        "Pale stool can mean that bile does not flow.", PROVIDER, "NICE CG98", "S",
        fields=STOOLS,
    ),
    Rule(
        "infant_dark_urine", Level.SAME_DAY, lambda baby: "Dark urine" if "dark" in baby.urine else None,
        "Dark urine at this age is not usual, with or without yellow skin.", PROVIDER, "NICE CG98", "S",
        fields=URINE,
    ),
    Rule(
        "infant_blood_in_stool", Level.SAME_DAY, lambda baby: "Blood in the stool" if "red" in baby.stools else None,
        "Blood in a stool needs to be looked at.", PROVIDER, "output table, common practice, no source", "M",
        fields=STOOLS,
    ),
    Rule(
        "infant_no_meconium", Level.SAME_DAY, _no_meconium, "The bowel may not be passing what it should.", PROVIDER,
        "24 to 48 hours, from memory; the stricter end is used", "M", by_age=True,
        fields=("infant_history.first_meconium", *AGE),
    ),
    Rule(
        "infant_few_feeds_loss", Level.SAME_DAY, _few_feeds_and_loss, "Few feeds with a loss above 7 %.", PROVIDER,
        "WIC, AAP", "S", over=("infant_few_feeds",), by_age=True,
        fields=(*FEW_FEEDS, *LOSS), thresholds=("feeds_in_24_h",),
    ),
    Rule(
        "infant_few_feeds", Level.FOLLOW_UP, _few_feeds, "In the first weeks babies usually feed more often than that.",
        AGAIN, "WIC, AAP", "S", by_age=True,
        fields=FEW_FEEDS, thresholds=("feeds_in_24_h",),
    ),
    Rule(
        "infant_output_one_below", Level.FOLLOW_UP, _one_below, f"{LITTLE_WHY} Look again in 24 hours.", AGAIN,
        WIC, "S", by_age=True,
        fields=COUNTED, thresholds=OUTPUT_LIMITS,
    ),
)  # fmt: skip

RULES: tuple[Rule[Baby], ...] = (*WEIGHT_RULES, *OUTPUT_RULES)
