"""Rules about a baby's growth beside early loss: the loss that is expected, slow gain, fall across centile spaces."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from fractions import Fraction
from itertools import product
from zoneinfo import ZoneInfo

from forms.answers import Quantity, every
from forms.clinical.evidence import AGE, FEEDS_POORLY, LOSS, SLEEPY, TEMPERATURE, WEIGHED, Baby, Weighed, picks
from forms.clinical.faltering import FROM_DAY, Faltering, faltering
from forms.clinical.growth_score import GrowthScore, birth_score, growth_score
from forms.clinical.prompts_infant import AGAIN, DAY_5, PROVIDER, SOON
from forms.clinical.prompts_infant_signs import LOW
from forms.clinical.rule import Level, Rule
from forms.clinical.weight import MEDIANS
from forms.units import alone, decimal

__all__ = ["RULES", "slow_gain"]

ROUTINE = "Record it, and mention it in the routine report."
# 20 to 35 g/day from day 4 to 3 to 4 months (public-health leaflet, S2); its lower end is a limit a practice may set.
GAIN_UNTIL = 122 * 24  # hours: 4 months, the later end of that guide (C)

# Breastfed babies: means of the reviewed studies 5.7 to 6.6 %, lowest on day 2 to 3 (Noel-Weiss, Open Med 2008, S).
EXPECTED = "Published means of breastfed babies are 5.7 to 6.6 %, lowest on day 2 to 3. Medians: " + "; ".join(
    f"{group.who}, {', '.join(f'{loss} % at {hour} h' for hour, loss in group.at)}" for group in MEDIANS.values()
)


def _early_loss(baby: Baby) -> str | None:
    """A loss that no other rule names, in the first five days."""
    if baby.latest is None or baby.loss is None or baby.loss.change >= 0:
        return None
    hours = baby.hours_at(baby.latest.at)
    if hours is None or hours >= DAY_5 or baby.lost(baby.limits.percent("loss_follow_up")):
        return None
    return f"{alone(baby.loss.now, 'g')} is {baby.loss.text} from the birth weight, at {int(hours)} hours"


def slow_gain(baby: Baby) -> str | None:
    """A gain below the guide between the latest weight after day 5 and one three days or more before; None otherwise.

    No gain at all and a loss have a rule of their own.
    """
    if baby.latest is None:
        return None
    hours = baby.hours_at(baby.latest.at)
    earlier = baby.before(baby.latest.at, timedelta(days=baby.limits.at("weighing_gap")))
    if earlier is None or (hours is not None and not DAY_5 <= hours < GAIN_UNTIL):
        return None
    per_day, least = _per_day(earlier, baby.latest), baby.limits.at("gain_per_day")
    if not 0 < per_day < least:
        return None
    weights = f"{alone(earlier.most, 'g')}, then {alone(baby.latest.grams, 'g')}"
    return f"{weights}: {decimal(per_day, 1)} g/day, below {least} g/day"


def _per_day(earlier: Weighed, later: Weighed) -> Fraction:
    days = Fraction((later.at - earlier.at) // timedelta(seconds=1), 86_400)
    return (later.grams - earlier.most) / days


def _concerns(baby: Baby, latest: Weighed) -> Iterator[Faltering]:
    """The guideline's concern by each value that stands for sex, gestation and birth weight; none without them."""
    if baby.birth is None:
        return
    zone = ZoneInfo(baby.zone)
    age = (latest.at.astimezone(zone).date() - baby.birth.astimezone(zone).date()).days
    if age < FROM_DAY:
        return
    who, now = baby.identity, Quantity(str(latest.grams), "g", latest.grams)
    for sex, weeks, days in product(every(who.sex), every(who.gestation_weeks), every(who.gestation_days) or (None,)):
        score = growth_score("weight", now, sex, weeks, days, age)
        if not isinstance(score, GrowthScore):
            continue
        births = [birth_score("weight", birth, sex, weeks, days) for birth in every(who.birth_weight)]
        scores = [birth.z for birth in births if isinstance(birth, GrowthScore)]
        for at_birth in scores or (None,):
            if found := faltering(at_birth, score.z):
                yield found


def _faltering(baby: Baby) -> str | None:
    if baby.latest is None:
        return None
    found = max(_concerns(baby, baby.latest), key=lambda one: (one.spaces or 0, one.below_second), default=None)
    return None if found is None else f"{alone(baby.latest.grams, 'g')}: {found.words}"


def _unwell(baby: Baby) -> str:
    """What makes a baby count as unwell here, in words (house rule, P)."""
    warmest, coldest = baby.warmest(), baby.coldest()
    signs = (
        (baby.sleepy, "hard to wake or sleepy for a feed"),
        (baby.feeds_poorly, "feeding poorly"),
        (warmest is not None and warmest >= baby.limits.at("fever"), "fever"),
        (coldest is not None and coldest < LOW, "a low temperature"),
        (bool(picks(baby.seen.tone) & {"limp", "low"}), "poor tone"),
    )
    return ", ".join(words for there, words in signs if there)


def _faltering_unwell(baby: Baby) -> str | None:
    seen, signs = _faltering(baby), _unwell(baby)
    return f"{seen}, with {signs}" if seen and signs else None


NG75 = "NICE NG75 2017, 1.2.1, as quoted; one centile space is two thirds of an SD, from memory"
GAIN_WHY = (
    "From day 4 to 3 to 4 months 20 to 35 g/day are the guide; look at feeds, milk and how the weights were taken."
)
SPACES_WHY = "A weight may be small and steady; a fall across the lines is what is asked about."
SPACES = (*LOSS, *AGE, "infant.sex", "infant.gestation_weeks", "infant.gestation_days")

RULES: tuple[Rule[Baby], ...] = (
    Rule(
        "infant_faltering_unwell", Level.SAME_DAY, _faltering_unwell, SPACES_WHY, PROVIDER, NG75, "S2",
        over=("infant_faltering",), by_age=True,
        fields=(*SPACES, *SLEEPY, *FEEDS_POORLY, *TEMPERATURE, "infant_assessment.tone"),
        thresholds=("fever",),
    ),
    Rule(
        "infant_faltering", Level.PROMPT, _faltering, SPACES_WHY, SOON, NG75, "S2", by_age=True, fields=SPACES,
    ),
    Rule(
        "infant_gain_slow", Level.FOLLOW_UP, slow_gain, GAIN_WHY, AGAIN,
        "public-health leaflet (20 to 35 g/day); 3 days between: Texas WIC guide", "S2", by_age=True,
        fields=(*WEIGHED, *AGE), thresholds=("gain_per_day", "weighing_gap"),
    ),
    Rule(
        "infant_loss_early", Level.NOTE, _early_loss, f"{EXPECTED}.", ROUTINE,
        "Noel-Weiss, Open Medicine 2008; medians Flaherman 2015, as quoted", "S", by_age=True, fields=(*LOSS, *AGE),
        thresholds=("loss_follow_up",),
    ),
)  # fmt: skip
