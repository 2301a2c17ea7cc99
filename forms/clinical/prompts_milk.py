"""Rules about milk given beside the breast or chest, milk taken in a day, and milk expressed.

The supplement's amounts are the consultant's own; a rule only says who has to know of it.
"""

from __future__ import annotations

from forms.answers import Side, every
from forms.clinical.evidence import AGE, BABIES_FED, EXTRA_MILK, LOSS, Baby, Feeder, picks
from forms.clinical.expressing import WISHED_DAY
from forms.clinical.growth import PRETERM_BELOW
from forms.clinical.prompts_growth import slow_gain
from forms.clinical.prompts_infant import DAY_5, PROVIDER, SOON, below_birth_weight_at, not_gaining
from forms.clinical.rule import Level, Rule
from forms.clinical.transfer import LOWER_LIMIT
from forms.units import alone

__all__ = ["BABY_RULES", "PARENT_RULES"]

DAY_14 = 14 * 24  # hours (C)
PRETERM = ("infant.gestation_weeks", "infant.gestation_days")
AGREED = ("feeding_amount.agreed", "feeding_amount.agreed_with", "feeding_amount.agreed_at")
GAIN = (*LOSS, *AGE)
EXPRESSES = ("expressing_day.expresses", "expressing_day.supply_in_question", *BABIES_FED)


def _supplement(baby: Baby) -> str | None:
    return "Milk beside feeding at the breast or chest" if baby.supplemented else None


def _supplement_new(baby: Baby) -> str | None:
    """A supplement that no earlier visit told or planned."""
    words = _supplement(baby)
    return f"{words}, not recorded at an earlier visit" if words and not baby.supplemented_before else None


def _supplement_and_loss(baby: Baby) -> str | None:
    words = _supplement(baby)
    if words is None or baby.loss is None or not baby.lost(baby.limits.percent("loss_same_day")):
        return None
    return f"{words}, at {baby.loss.text} from birth"


def _agreed(baby: Baby) -> bool:
    """Whether the planned amount stands as agreed with a named provider at a told time, and nothing else stands."""
    amount = baby.amount
    with_whom, at = every(amount.agreed_with), every(amount.agreed_at)
    return picks(amount.agreed) == {"agreed"} and bool(with_whom) and bool(at)


def _supplement_preterm(baby: Baby) -> str | None:
    """A new supplement for a baby born before 37 weeks that no provider has agreed to yet; weeks alone count as whole.

    What the row asks for, speaking to the provider the same day, is done where an amount was agreed with one.
    """
    weeks, days = every(baby.identity.gestation_weeks), every(baby.identity.gestation_days)
    early = any(week * 7 + day < PRETERM_BELOW for week in weeks for day in days or (0,))
    words = _supplement_new(baby)
    return f"{words}, born before 37 weeks" if words and early and not _agreed(baby) else None


def _little_in_a_day(baby: Baby) -> str | None:
    """Less than 440 mL weighed in 24 hours after day 14, with slow gain, no gain, or a weight below that of birth."""
    low = [amount for amount in every(baby.amount.measured_24h) if amount.base < LOWER_LIMIT]
    poor = slow_gain(baby) or not_gaining(baby) or below_birth_weight_at(14, baby)
    if not low or not poor or not baby.from_(DAY_14):
        return None
    return f"{alone(min(amount.base for amount in low), 'mL')} taken in 24 hours; {poor}"


WHO_KNOWS = "Whoever looks after the baby's weight has to know what is given and since when; taper only with a weight."
TODAY = "Put it in the report that goes today, and weigh the baby again in 24 to 48 hours."
ABM3 = "ABM protocol 3, 2017"

BABY_RULES: tuple[Rule[Baby], ...] = (
    Rule(
        "infant_supplement_loss", Level.SAME_DAY, _supplement_and_loss, WHO_KNOWS, PROVIDER, ABM3, "M",
        over=("infant_supplement_new",), also=("infant_loss_10", "infant_loss_12_5"), fields=(*EXTRA_MILK, *LOSS),
        thresholds=("loss_same_day",),
    ),
    Rule(
        "infant_supplement_preterm", Level.SAME_DAY, _supplement_preterm, WHO_KNOWS, PROVIDER, ABM3, "M",
        over=("infant_supplement_new",), fields=(*EXTRA_MILK, *PRETERM, *AGREED),
    ),
    Rule(
        "infant_intake_440", Level.PROMPT, _little_in_a_day,
        "A test weight reads a little low, and one day is a sample; with poor gain it counts.", SOON,
        "Kent, Nutrients 2016 (440 mL)", "S", by_age=True, fields=("feeding_amount.measured_24h", *GAIN),
        thresholds=("gain_per_day", "weighing_gap"),
    ),
    Rule(
        "infant_supplement_new", Level.FOLLOW_UP, _supplement_new, WHO_KNOWS, TODAY, ABM3, "M", fields=EXTRA_MILK,
    ),
)  # fmt: skip


def _depends_on_expressing(parent: Feeder) -> bool:
    """Whether milk rests on expressing: no baby is told to feed at the breast or chest, or supply is in question."""
    told = every(parent.day.expresses)
    if told and True not in told:
        return False
    return True in every(parent.day.supply_in_question) or not parent.fed_at_breast


def _few_sessions(parent: Feeder) -> str | None:
    """Fewer sessions than the limit from day 5 on, unless a good day's amount is expressed all the same."""
    few = [n for n in every(parent.day.sessions_24h) if n < parent.limits.at("expressing_sessions")]
    totals = every(parent.day.total_24h)
    enough = bool(totals) and all(total.base >= WISHED_DAY for total in totals)
    if not few or enough or not parent.from_(DAY_5) or not _depends_on_expressing(parent):
        return None
    sessions = "session" if min(few) == 1 else "sessions"
    return f"{min(few)} {sessions} of expressing in 24 hours, on day 5 or later"


def _little_expressed(parent: Feeder) -> str | None:
    low = [total for total in every(parent.day.total_24h) if total.base < parent.limits.at("expressing_day_14")]
    if not low or not parent.from_(DAY_14) or not _depends_on_expressing(parent):
        return None
    return f"{alone(min(total.base for total in low), 'mL')} expressed in 24 hours, on day 14 or later"


def _by_hand_alone(parent: Feeder) -> str | None:
    """Every side of every session by hand, while the milk rests on expressing, once the first days are over."""
    ways = {way for session in parent.expressed for side in Side for way in every(session.way.on(side))}
    alone_by_hand = "hand" in ways and not ways & {"electric", "manual"}
    if not alone_by_hand or not parent.from_(DAY_5) or not _depends_on_expressing(parent):
        return None
    return "All milk expressed by hand, on day 5 or later"


SEE_PARENT = "See the parent again within 24 to 72 hours."
SUPPLY = "Milk follows how often it is taken; the sooner more often, the better the chance of enough."

PARENT_RULES: tuple[Rule[Feeder], ...] = (
    Rule(
        "parent_expressing_350", Level.PROMPT, _little_expressed, SUPPLY,
        "Ask the parent's own provider to see the parent, and the baby's provider to know, within 24 to 48 hours.",
        "older preterm teaching, as quoted", "S2", fields=("expressing_day.total_24h", *EXPRESSES, *AGE),
        thresholds=("expressing_day_14",),
    ),
    Rule(
        "parent_expressing_few", Level.FOLLOW_UP, _few_sessions, SUPPLY, SEE_PARENT,
        "Mago-Shah, J Perinatol 2023 (5 sessions by day 5)", "S",
        fields=("expressing_day.sessions_24h", "expressing_day.total_24h", *EXPRESSES, *AGE),
        thresholds=("expressing_sessions",),
    ),
    Rule(
        "parent_by_hand_alone", Level.NOTE, _by_hand_alone,
        "By hand serves well in the first days, and alone is seldom enough when all the milk is expressed.",
        "Record it, and mention it in the routine report.", "Clinics in Perinatology 2017", "S",
        fields=("expression.way", *EXPRESSES, *AGE),
    ),
)  # fmt: skip
