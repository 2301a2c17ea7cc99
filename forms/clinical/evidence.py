"""What the urgent rules look at: one person's answers at one visit, every value of a conflict included.

A missing answer is never a zero and never a "no": it gives a rule nothing to see, and the finish list asks for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from fractions import Fraction
from functools import cached_property
from typing import Any, TypeVar

from forms.answers import Given, Moment, Quantity, every
from forms.body_mark import BodyMark
from forms.breast import BreastAssessment, BreastFinding
from forms.chart import Chart, Entry
from forms.clinical.age import possible_births
from forms.clinical.weight import PercentFromBirth
from forms.contact import UrgentContact
from forms.expressing import ExpressingDay, Expression
from forms.feed import FeedObservation
from forms.feeding_log import LogLine
from forms.form import Form
from forms.infant import InfantAssessment
from forms.infant_history import SUPPLEMENTS, InfantHistory
from forms.oral import OralAssessment
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity
from forms.plan import FeedingAmount
from forms.practice import Practice, is_zone
from forms.scores import Score
from forms.taking_part import earlier_visits, head_of
from forms.thresholds import Limits, limits
from forms.units import exact
from forms.weight import WeightReading, is_around_feed

__all__ = [
    "AGE", "BABIES_FED", "DRY", "EXTRA_MILK", "FEEDS_POORLY", "FEVER", "HARD_TO_WAKE", "LOSS", "PRESSURE", "SLEEPY",
    "STOOLS", "TEMPERATURE", "UNREACHED", "URINE", "WARNINGS", "WEIGHED", "YELLOW",
    "Baby", "Feeder", "Weighed", "babies_possible", "counts_here", "feeder", "picks", "time_of", "zone_of",
]  # fmt: skip

F = TypeVar("F", bound=Form)

LONGEST_VISIT = timedelta(hours=4)  # house bound, no source: an open visit's signs are read at most so long after it
ONE_SITTING = timedelta(hours=4)  # house bound, no source: weights of one visit are one weighing; the lowest counts
DAY = 24  # hours

# The questions behind what is gathered below, for the `fields` of a rule; a test watches each rule read them.
AGE = ("infant.born", "infant.born_day")
WEIGHED = ("weight.weight", "weight.repeat", "weight.taken", "weight.state", "weight.feed")
LOSS = ("infant.birth_weight", *WEIGHED)
TEMPERATURE = ("infant_assessment.temperature",)
YELLOW = ("infant_assessment.colour", "infant_assessment.yellow_extent")
STOOLS = ("infant_history.stool_colour", "infant_assessment.stool_seen", "log_line.stool")
URINE = ("infant_history.urine_colour", "infant_assessment.urine_seen")
HARD_TO_WAKE = ("infant_assessment.waking", "feed.baby_state")
SLEEPY = (*HARD_TO_WAKE, "infant_history.sleepy_feeds")
FEEDS_POORLY = ("infant_history.feeding_vigour", "infant_history.sleepy_feeds")
DRY = (
    "infant_assessment.mouth_moisture", "infant_assessment.eyes", "infant_assessment.fontanelle",
    "infant_assessment.skin_turgor",
)  # fmt: skip
WARNINGS = ("parent_history.warning_signs",)
FEVER = ("parent_history.temperature", "parent_history.unwell", *WARNINGS)
UNREACHED = ("parent_history.warning_provider_reached", "urgent_contact.outcome")
PRESSURE = ("parent_history.systolic", "parent_history.diastolic")
EXTRA_MILK = ("feeding_amount.extra_milk", "infant_history.fed_now", "feed.supplement")
BABIES_FED = ("infant_history.fed_now",)


def picks(*given: Given[Any]) -> frozenset[str]:
    """Every code chosen in any of these answers, whichever value of a conflict it stands in."""
    found: set[str] = set()
    for each in given:
        for value in every(each):
            found.update(value if isinstance(value, tuple) else (value,))
    return frozenset(found)


def time_of(chart: Chart, now: datetime) -> datetime:
    """The time at which the visit's signs stood: its end, or now while it goes on, or now between visits."""
    head = head_of(chart)
    start, end = head.start, head.end
    if not isinstance(start, Moment) or start.at > now:
        return now
    if isinstance(end, Moment) and start.at <= end.at <= now:
        return end.at
    return min(now, start.at + LONGEST_VISIT)


def zone_of(chart: Chart) -> str:
    """The time zone of the visit, else the practice's, else UTC; a name that is no zone is passed over."""
    visit = [start.zone for start in every(head_of(chart).start)]
    practice = [zone for entry in chart.all(Practice) for zone in every(entry.answers.time_zone)]
    return next((zone for zone in (*visit, *practice) if is_zone(zone)), "UTC")


@dataclass(frozen=True, slots=True)
class Weighed:
    """One weighing: the lowest of the grams that stand for it, and when (the visit's time if that is not known).

    `most` is the highest of them, which a later weight is held against. `at_most`: in clothes or around a feed, so that
    the baby itself weighed no more than this.
    """

    grams: int
    at: datetime
    most: int
    at_most: bool = False


@dataclass(frozen=True)
class Baby:
    """One baby at one visit, for one possible birth time (None: nothing is known of the birth)."""

    person: str
    at: datetime
    birth: datetime | None
    identity: InfantIdentity
    seen: InfantAssessment
    told: InfantHistory
    mouth: OralAssessment
    feeds: tuple[FeedObservation, ...]
    weighed: tuple[Weighed, ...]
    amount: FeedingAmount
    earlier_amounts: tuple[FeedingAmount, ...]
    earlier_told: tuple[InfantHistory, ...]
    scores: tuple[Score, ...]
    lines: tuple[LogLine, ...]
    zone: str
    limits: Limits
    drawn: tuple[BodyMark, ...] = ()

    def hours_at(self, at: datetime) -> Fraction | None:
        """Age in hours at a time; 0 before the birth; None when nothing is known of the birth."""
        if self.birth is None:
            return None
        return max(Fraction(0), Fraction((at - self.birth) // timedelta(seconds=1), 3600))

    @cached_property
    def hours(self) -> Fraction | None:
        """Age in hours at the visit."""
        return self.hours_at(self.at)

    def below(self, hours: int) -> bool:
        """Whether the age may be below that many hours; an unknown age may."""
        return self.hours is None or self.hours < hours

    def from_(self, hours: int) -> bool:
        """Whether the age may be that many hours or more; an unknown age may."""
        return self.hours is None or self.hours >= hours

    @property
    def day_of_life(self) -> int | None:
        """1 for hours 0 to 23."""
        return None if self.hours is None else int(self.hours // DAY) + 1

    @cached_property
    def latest(self) -> Weighed | None:
        """The latest weighing; of one visit's weights the lowest, so that clothes or a feed hide no loss.

        A weight in clothes or around a feed never makes a loss smaller that an earlier weight without showed; it counts
        where it shows a larger one.
        """
        if not self.weighed:
            return None
        last = max(w.at for w in self._bare)
        return min((w for w in self.weighed if last - w.at <= ONE_SITTING), key=lambda w: w.grams)

    @cached_property
    def _bare(self) -> tuple[Weighed, ...]:
        """The weights of the baby itself; those in clothes or around a feed only while there are no others."""
        return tuple(w for w in self.weighed if not w.at_most) or self.weighed

    def before(self, at: datetime, gap: timedelta) -> Weighed | None:
        """The last weighing at least `gap` before a time."""
        earlier = [w for w in self._bare if at - w.at >= gap]
        return max(earlier, key=lambda w: (w.at, w.most)) if earlier else None

    @cached_property
    def loss(self) -> PercentFromBirth | None:
        """The latest weight against the highest birth weight that stands; None without both."""
        births = [quantity.base for quantity in every(self.identity.birth_weight)]
        if self.latest is None or not births:
            return None
        return PercentFromBirth(max(births), self.latest.grams)

    def lost(self, percent: Fraction | int) -> bool:
        """Whether the loss from birth is that percent or more."""
        return self.loss is not None and self.loss.lost_at_least(percent)

    @cached_property
    def temperatures(self) -> tuple[Quantity, ...]:
        """Every temperature that stands."""
        return every(self.seen.temperature)

    def warmest(self) -> Fraction | None:
        """Tenths of a degree Celsius; the higher of the exact and the rounded reading, the highest that stands."""
        return max((max(exact(q), Fraction(q.base)) for q in self.temperatures), default=None)

    def coldest(self) -> Fraction | None:
        """Tenths of a degree Celsius; the lower of the exact and the rounded reading, the lowest that stands."""
        return min((min(exact(q), Fraction(q.base)) for q in self.temperatures), default=None)

    @cached_property
    def colours(self) -> frozenset[str]:
        """Colours seen."""
        return picks(self.seen.colour)

    @cached_property
    def yellow(self) -> bool:
        """Whether any yellow skin or eyes were seen; how high the bilirubin is, an eye cannot tell."""
        return "yellow" in self.colours or bool(picks(self.seen.yellow_extent))

    @cached_property
    def stools(self) -> frozenset[str]:
        """Stool colours, told, seen in a diaper or written in the log."""
        return picks(self.told.stool_colour, self.seen.stool_seen, *(line.stool for line in self.lines))

    @cached_property
    def urine(self) -> frozenset[str]:
        """Urine colours, told or seen in a diaper."""
        return picks(self.told.urine_colour, self.seen.urine_seen)

    @cached_property
    def sleepy_feeds(self) -> int:
        """Feeds in a row at which the baby was hard to wake, or too sleepy or weak to feed; 0 if none was told."""
        return max(every(self.told.sleepy_feeds), default=0)

    @cached_property
    def hard_to_wake(self) -> bool:
        """Whether the baby was seen to be hard to wake, at the visit or at a feed, or worse."""
        woken = picks(self.seen.waking) & {"hard_to_wake", "does_not_stay_awake", "cannot_be_woken"}
        return bool(woken) or any("hard_to_wake" in picks(feed.baby_state) for feed in self.feeds)

    @cached_property
    def sleepy(self) -> bool:
        """Hard to wake, or too sleepy for a feed."""
        return self.hard_to_wake or self.sleepy_feeds >= 1

    @cached_property
    def feeds_poorly(self) -> bool:
        """Told to feed poorly or refuse, or too sleepy for a feed."""
        return bool(picks(self.told.feeding_vigour) & {"poor", "refuses"}) or self.sleepy_feeds >= 1

    @cached_property
    def supplemented(self) -> bool:
        """Whether any milk beside feeding at the breast or chest is planned, given at a watched feed, or told."""
        planned, told = True in every(self.amount.extra_milk), picks(self.told.fed_now) & set(SUPPLEMENTS)
        return planned or bool(told) or any(True in every(feed.supplement) for feed in self.feeds)

    @cached_property
    def supplemented_before(self) -> bool:
        """Whether such milk was planned or told at an earlier visit."""
        return any(True in every(amount.extra_milk) for amount in self.earlier_amounts) or any(
            picks(told.fed_now) & set(SUPPLEMENTS) for told in self.earlier_told
        )


@dataclass(frozen=True)
class Feeder:
    """One parent or carer at one visit."""

    person: str
    at: datetime
    told: ParentHistory
    contacts: tuple[UrgentContact, ...]
    feeds: tuple[FeedObservation, ...]
    day: ExpressingDay
    expressed: tuple[Expression, ...]
    earlier: tuple[ParentHistory, ...]
    babies: tuple[InfantHistory, ...]
    breast: BreastAssessment
    places: tuple[BreastFinding, ...]
    birth: datetime | None
    limits: Limits

    def from_(self, hours: int) -> bool:
        """Whether so many hours may have passed since the youngest baby's birth; since an unknown birth they may."""
        return self.birth is None or self.at - self.birth >= timedelta(hours=hours)

    @cached_property
    def fed_at_breast(self) -> bool:
        """Whether any baby of the family is told to be fed at the breast or chest."""
        return any("at_breast" in picks(baby.fed_now) for baby in self.babies)

    @cached_property
    def signs(self) -> frozenset[str]:
        """Warning signs told now."""
        return picks(self.told.warning_signs)

    @cached_property
    def fever(self) -> bool:
        """38.0 °C or more (CDC Hear Her list, S), told as a sign or measured; or fever told, no temperature taken."""
        measured = [max(exact(q), Fraction(q.base)) for q in every(self.told.temperature)]
        told_only = "fever" in picks(self.told.unwell) and not measured
        return "fever" in self.signs or told_only or any(tenths >= 380 for tenths in measured)

    @cached_property
    def severe(self) -> bool:
        """Whether the signs were told to be severe or getting worse."""
        return True in every(self.told.warning_severe)

    @cached_property
    def unreached(self) -> bool:
        """Whether the own provider could not be reached, by the answer or by an urgent contact of this visit."""
        return False in every(self.told.warning_provider_reached) or any(
            "tried_not_reached" in picks(contact.outcome) for contact in self.contacts
        )

    def pressure(self, upper: int, lower: int) -> bool:
        """Whether any blood pressure that stands reaches one of these (mmHg)."""
        return any(value >= upper for value in every(self.told.systolic)) or any(
            value >= lower for value in every(self.told.diastolic)
        )


def counts_here(chart: Chart, entry: Entry[WeightReading], taken: datetime, at: datetime, now: datetime) -> bool:
    """Whether a weight is looked at in the chart's visit: taken by then, or written down at this very visit."""
    return taken <= at or at >= now or (chart.visit is not None and entry.place.visit == chart.visit)


def _weighed(chart: Chart, baby: str, at: datetime, now: datetime) -> Iterator[Weighed]:
    """Every weight of a baby up to the visit, those around feeds too; struck ones never count."""
    for entry in chart.all(WeightReading, baby):
        reading = entry.answers
        grams = [q.base for q in (*every(reading.weight), *every(reading.repeat))]
        times = [moment.at for moment in every(reading.taken)]
        when = max(times, default=at)
        if grams and counts_here(chart, entry, when, at, now):
            yield Weighed(min(grams), when, max(grams), is_around_feed(reading) or "clothes" in picks(reading.state))


def _before(chart: Chart, form: type[F], person: str) -> tuple[F, ...]:
    """A person's answers at the visits that began before this one."""
    earlier = set(earlier_visits(chart))
    return tuple(e.answers for e in chart.all(form, person) if e.place.visit in earlier) if earlier else ()


def _here(chart: Chart, form: type[F], person: str) -> tuple[F, ...]:
    """A person's entries of a form that repeats, at this visit."""
    return tuple(e.answers for e in chart.all(form, person, visit=chart.visit)) if chart.visit else ()


def _feeds(chart: Chart) -> tuple[Entry[FeedObservation], ...]:
    return chart.all(FeedObservation, visit=chart.visit) if chart.visit else ()


def babies_possible(chart: Chart, person: str, now: datetime) -> tuple[Baby, ...]:
    """One baby for each birth time that the record allows: one when it is known, the earliest and latest when not."""
    at, identity = time_of(chart, now), chart.person(InfantIdentity, person)
    zone = next((born.zone for born in every(identity.born)), zone_of(chart))
    baby = Baby(
        person, at, None, identity, chart.one(InfantAssessment, person), chart.one(InfantHistory, person),
        chart.one(OralAssessment, person),
        tuple(entry.answers for entry in _feeds(chart) if person in entry.place.subjects[1:]),
        tuple(_weighed(chart, person, at, now)), chart.one(FeedingAmount, person),
        _before(chart, FeedingAmount, person), _before(chart, InfantHistory, person),
        _here(chart, Score, person), _here(chart, LogLine, person), zone, limits(chart), _here(chart, BodyMark, person),
    )  # fmt: skip
    births = possible_births(identity.born, identity.born_day, zone_of(chart))
    return tuple(replace(baby, birth=birth) for birth in births) or (baby,)


def _youngest(chart: Chart, babies: Iterable[InfantIdentity]) -> datetime | None:
    """The earliest time at which the youngest baby may have been born; None when nothing is known of any birth."""
    zone = zone_of(chart)
    births = [possible_births(baby.born, baby.born_day, zone) for baby in babies]
    return max((possible[0] for possible in births if possible), default=None)


def feeder(chart: Chart, person: str, now: datetime) -> Feeder:
    """A parent as the rules see them."""
    babies = chart.all(InfantIdentity)
    return Feeder(
        person, time_of(chart, now), chart.one(ParentHistory, person), _here(chart, UrgentContact, person),
        tuple(entry.answers for entry in _feeds(chart) if person in entry.place.subjects[:1]),
        chart.one(ExpressingDay, person), _here(chart, Expression, person),
        _before(chart, ParentHistory, person), tuple(chart.one(InfantHistory, baby.id) for baby in babies),
        chart.one(BreastAssessment, person), _here(chart, BreastFinding, person),
        _youngest(chart, (baby.answers for baby in babies)), limits(chart),
    )  # fmt: skip
