"""The practice figures there are (trade D8), each declared once; what they are made with is in `practice_figures`."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Any, Final

from forms.answers import Conflicted, every
from forms.ask import Path
from forms.carried import not_gone_through
from forms.chart import Chart, Entry
from forms.closing import Closing
from forms.contact import Contact
from forms.episodes import born_on, closed_in, first_day, seen_in
from forms.figures_of_course import BEGINNING, ENDING, HOLDING
from forms.infant_history import InfantHistory
from forms.letter_answer import LetterAnswer
from forms.letters import AWAITED, FINISHED
from forms.people import InfantIdentity
from forms.plan import Plan
from forms.practice_figures import Answer, Case, Counted, Figure, Of, Spread, certain, counted, day_of, in_period
from forms.referral import Referral
from forms.visit import Visit
from forms.weight import WeightReading, is_around_feed

__all__ = ["FIGURES", "all_figures"]

_ANSWERED: Final = frozenset({"answered", "told_family"})
_OWN_NOW: Final = frozenset({"at_breast", "own_milk"})
_BY_DAY: Final = 14  # the day by which most babies are back at birth weight (S)
_STILL_THEN: Final = 12
"""A weight below birth weight says that it was not regained by day 14 if it is of this day or later (house rule, P)."""


def _in(of: Of) -> Iterator[tuple[Chart, Entry[Visit]]]:
    """The visits that certainly began in the period."""
    for chart in of.charts:
        for visit in seen_in(of, chart):
            yield chart, visit


def _visits_begun(of: Of) -> Iterator[Case]:
    yield from in_period(of, (day_of(visit.answers.start) for chart in of.charts for visit in chart.all(Visit)))


def _families_seen(of: Of) -> Iterator[Case]:
    for chart in of.charts:
        said = set(in_period(of, (day_of(visit.answers.start) for visit in chart.all(Visit))))
        yield from [next(one for one in Answer if one in said)] if said else []


def _visits_each(of: Of) -> Iterator[Case]:
    for chart in of.charts:
        said = list(in_period(of, (day_of(visit.answers.start) for visit in chart.all(Visit))))
        unsure = next((one for one in said if one is not Answer.YES), None)
        if said:
            yield len(said) if unsure is None else unsure


def _age_first(of: Of) -> Iterator[Case]:
    for chart in of.charts:
        first = first_day(chart)
        if first is None or (isinstance(first, date) and not of.period.holds(first)):
            continue
        for baby in chart.all(InfantIdentity):
            born = born_on(baby.answers)
            unsure = next((one for one in (first, born) if isinstance(one, Answer)), None)
            if unsure is not None:
                yield unsure
            elif isinstance(first, date) and isinstance(born, date) and born <= first:
                yield (first - born).days


def _care_closed(of: Of) -> Iterator[Case]:
    """A closing that was begun and not finished is no case: care goes on."""
    days = (day_of(closing.answers.closed_at) for chart in of.charts for closing in chart.all(Closing))
    yield from in_period(of, (day for day in days if day is not Answer.MISSING))


def _goal(of: Of) -> Iterator[Case]:
    for _chart, closing in closed_in(of):
        yield certain(closing.answers.goal_reached)


def _plan_left(of: Of) -> Iterator[Case]:
    for chart, visit in _in(of):
        (plan, *_more) = [one.answers for one in chart.all(Plan, visit=visit.id)] or [Plan()]
        left, began = day_of(plan.left_at), day_of(visit.answers.start)
        yield left if isinstance(left, Answer) else (Answer.YES if left == began else Answer.NO)


def _signed_within(hours: int, of: Of) -> Iterator[Case]:
    limit = timedelta(hours=hours)
    for chart, visit in _in(of):
        end = certain(visit.answers.end)
        signed = chart.signed(visit.id)
        if isinstance(end, Answer):
            yield end
        elif signed is not None:
            yield Answer.YES if signed.at - end.at <= limit else Answer.NO
        elif of.now - end.at > limit:
            yield Answer.NO


def _signed_24(of: Of) -> Iterator[Case]:
    # a day after the visit's end (house rule, P)
    return _signed_within(24, of)


def _signed_72(of: Of) -> Iterator[Case]:
    # three days after it (house rule, P)
    return _signed_within(72, of)


def _kept(of: Of) -> Iterator[Case]:
    """Follow-ups of the practice's own that were planned for a day in the period which is over."""
    for chart in of.charts:
        for plan in chart.all(Plan):
            kind, due = certain(plan.answers.followup_kind), day_of(plan.answers.followup_at)
            if kind in ("none", "provider"):
                continue
            began = _began(chart, plan)
            if isinstance(due, date):
                if of.period.holds(due) and due < of.today:
                    yield kind if isinstance(kind, Answer) else _done_by(chart, began, due)
            elif began is not None and of.period.holds(began.date()):
                yield due


def _began(chart: Chart, plan: Entry[Plan]) -> datetime | None:
    starts = every(chart.person(Visit, plan.place.visit or "").start)
    return max((one.local() for one in starts), default=None)


def _done_by(chart: Chart, began: datetime | None, due: date) -> Answer:
    """Whether a later visit, or a contact, came by that day; undated ones leave it open, since one may have been it.

    While nobody wrote when the plan's own visit began, none is known to be later than the plan.
    """
    if began is None:
        return Answer.MISSING
    later: list[Any] = [one.answers.start for one in chart.all(Visit)] + [one.answers.at for one in chart.all(Contact)]
    unsure: Answer | None = None
    for given in later:
        moment = certain(given)
        if isinstance(moment, Answer):
            days = [one.local().date() for one in every(given)]
            if not isinstance(given, Conflicted) or any(day <= due for day in days):
                unsure = unsure or moment
        elif moment.at > began and moment.local().date() <= due:
            return Answer.YES
    return unsure or Answer.NO


def _letters(of: Of) -> Iterator[tuple[Chart, Entry[Referral], date | Answer]]:
    for chart in of.charts:
        for letter in chart.all(Referral):
            yield chart, letter, day_of(letter.answers.sent_at)


def _sent(of: Of) -> Iterator[Case]:
    """A letter without a day of sending that is not said to be a draft may have been sent in the period."""
    for _chart, letter, day in _letters(of):
        if isinstance(day, Answer) and certain(letter.answers.state) in ("drafted", "lapsed", "family_chose_not"):
            continue
        yield from in_period(of, (day,))


def _sent_in(of: Of) -> Iterator[tuple[Chart, Entry[Referral]]]:
    for chart, letter, day in _letters(of):
        if isinstance(day, date) and of.period.holds(day):
            yield chart, letter


def _answered(of: Of) -> Iterator[Case]:
    """By its state, or by an answer on file: a letter that was declined or closed may have one or none."""
    for chart, letter in _sent_in(of):
        given = [one.answers.letter for one in chart.all(LetterAnswer)]
        named = {certain(one) for one in given if letter.id in every(one)}
        state = certain(letter.answers.state)
        if letter.id in named or state in _ANSWERED:
            yield Answer.YES
        elif named:
            yield Answer.DIFFERS
        else:
            yield state if isinstance(state, Answer) else Answer.NO


def _overdue(of: Of) -> Iterator[Case]:
    for _chart, letter in _sent_in(of):
        state, due = certain(letter.answers.state), certain(letter.answers.reply_by)
        if isinstance(state, Answer):
            yield state
        elif state in AWAITED:
            yield due if isinstance(due, Answer) else (Answer.YES if due < of.today else Answer.NO)


def _finished(of: Of) -> Iterator[Case]:
    for _chart, letter in _sent_in(of):
        state = certain(letter.answers.state)
        yield state if isinstance(state, Answer) else (Answer.YES if state in FINISHED else Answer.NO)


def _on_time(of: Of) -> Iterator[Case]:
    """Letters with an answer on file, by the day the first one came; the day hoped for is in time."""
    for chart, letter in _sent_in(of):
        came = [one.answers.came for one in chart.all(LetterAnswer) if certain(one.answers.letter) == letter.id]
        days = [day_of(one) for one in came]
        due = certain(letter.answers.reply_by)
        unsure = next((day for day in (due, *days) if isinstance(day, Answer)), None)
        if not days:
            continue
        known = [day for day in days if isinstance(day, date)]
        if isinstance(due, date) and any(day <= due for day in known):
            yield Answer.YES
        else:
            yield unsure or Answer.NO


def _regained(of: Of) -> Iterator[Case]:
    """Babies who were 14 days old on a day of the period that is over."""
    for chart in of.charts:
        for baby in chart.all(InfantIdentity):
            born = born_on(baby.answers)
            if isinstance(born, Answer):
                if seen_in(of, chart):
                    yield born
            elif of.period.holds(born + timedelta(days=_BY_DAY)) and born + timedelta(days=_BY_DAY) <= of.today:
                yield _back_by_then(chart, baby, born)


def _back_by_then(chart: Chart, baby: Entry[InfantIdentity], born: date) -> Answer:
    birth = certain(baby.answers.birth_weight)
    if isinstance(birth, Answer):
        return birth
    by_day: list[tuple[int, datetime, int]] = []
    for reading in chart.all(WeightReading, baby.id):
        kept = reading.answers
        if is_around_feed(kept) or "clothes" in every(kept.state):
            continue
        grams, taken = certain(kept.weight), certain(kept.taken)
        if Answer.DIFFERS in (grams, taken):
            return Answer.DIFFERS
        if not isinstance(grams, Answer) and not isinstance(taken, Answer):
            by_day.append(((taken.local().date() - born).days, taken.at, grams.base))
    by_then = [one for one in by_day if 1 <= one[0] <= _BY_DAY]
    after = [one for one in by_day if one[0] > _BY_DAY]
    if by_then:
        day, _at, grams_then = max(by_then, key=lambda one: one[1])
        if grams_then >= birth.base:
            return Answer.YES
        if day >= _STILL_THEN:
            return Answer.NO
    return Answer.NO if any(grams < birth.base for _day, _at, grams in after) else Answer.MISSING


def _own_milk(of: Of) -> Iterator[Case]:
    """Each baby of a family that was seen, as told at the family's last visit in the period."""
    for chart in of.charts:
        seen = seen_in(of, chart)
        if not seen:
            continue
        last = max(seen, key=lambda one: max(start.at for start in every(one.answers.start)))
        for baby in chart.all(InfantIdentity):
            told = chart.all(InfantHistory, baby.id, visit=last.id)
            entry = told[0] if told else None
            fed = certain(entry.answers.fed_now) if entry is not None else Answer.MISSING
            if isinstance(fed, Answer) or entry is None:
                yield fed if isinstance(fed, Answer) else Answer.MISSING
            elif not_gone_through(entry, Path("fed_now")):
                yield Answer.MISSING
            else:
                yield Answer.YES if set(fed) & _OWN_NOW else Answer.NO


_COUNT, _SHARE, _MEDIAN = Spread.COUNT, Spread.SHARE, Spread.MEDIAN

FIGURES: Final[tuple[Figure, ...]] = (
    Figure("visits", "Visits", "Visits begun in the period, signed or not.", _COUNT, _visits_begun),
    Figure("families", "Families seen", "Families with at least one of these visits.", _COUNT, _families_seen),
    Figure("visits_each", "Visits per family", "Of the families seen.", _MEDIAN, _visits_each),
    Figure("age_first", "Age at first visit", "Babies whose family’s first visit was in the period.", _MEDIAN,
           _age_first, " days"),
    *BEGINNING,
    Figure("plan_left", "Plan left the same day", "Of these visits; missing: not written when it was left.", _SHARE,
           _plan_left),
    Figure("signed_24", "Notes signed within 24 hours", "Of the end of the visit; newer open notes are not counted.",
           _SHARE, _signed_24),
    Figure("signed_72", "Notes signed within 72 hours", "The same, three days.", _SHARE, _signed_72),
    *HOLDING,
    Figure("follow_ups", "Follow-ups done in time", "Planned by the practice for a day of the period now over; done: a "
           "visit or contact by that day.", _SHARE, _kept),
    Figure("letters", "Referrals sent", "By the day of sending.", _COUNT, _sent),
    Figure("answered", "Referrals answered", "Of those sent in the period, whose answer is in by now.", _SHARE,
           _answered),
    Figure("on_time", "Referral answers in time", "Of those sent in the period with an answer on file: by the day it "
           "was hoped for.", _SHARE, _on_time),
    Figure("finished", "Referrals closed", "Of those sent in the period: the family knows the answer, or chose not to "
           "go.", _SHARE, _finished),
    Figure("overdue", "Referrals overdue", "Of those sent in the period and still awaited: past the day an answer was "
           "hoped for.", _SHARE, _overdue),
    Figure("regained", "Back at birth weight by day 14", "Of babies 14 days old in the period, by the last weight till "
           "then. Missing: no weight that tells. Not weights in clothes or around a feed.", _SHARE, _regained),
    Figure("own_milk", "Own milk at the last visit", "Babies fed at the breast or chest, or any own milk, as told "
           "then.", _SHARE, _own_milk),
    Figure("closed", "Care closed", "Closings finished in the period.", _COUNT, _care_closed),
    *ENDING,
    Figure("goal", "Goal reached", "The family’s own word at closing, 0 not to 10 fully.", _MEDIAN, _goal),
)  # fmt: skip
"""Every figure, in the order of a family’s way through care."""


def all_figures(of: Of) -> tuple[Counted, ...]:
    """Every figure worked out."""
    return tuple(counted(figure, of) for figure in FIGURES)
