"""Practice figures of how care went, from its beginning to its end: feeding, pain, languages, what was missed or late.

What figures are made with is in `practice_figures`, the list of all of them in `figures_of_practice`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final

from forms.answers import Absence, Absent, Given, Sided
from forms.ask import Path
from forms.carried import not_gone_through
from forms.chart import Chart
from forms.closing import StateAtEnd
from forms.contact import Contact, UrgentContact
from forms.episodes import Episode, begun, ended_in, first_day, first_visit, seen_in
from forms.infant_history import InfantHistory
from forms.note import AFTERWARDS
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.practice_figures import Answer, Case, Figure, Of, Spread, certain, day_of, in_period

__all__ = ["BEGINNING", "ENDING", "HOLDING"]

_HUMAN: Final = frozenset({"at_breast", "own", "donor"})
_ALLOWED: Final = frozenset({*_HUMAN, "medicine"})  # drops, syrups and medicines take nothing away from "only" (S)
_LATE_HOURS: Final = 24  # an entry begun so long after the visit's end is late (house rule, P)
_SEVERAL: Final = "more than one"
_AFTER: Final = (*AFTERWARDS, UrgentContact)
"""What tells of the time after a visit, and so is never late."""


# --- human milk only ------------------------------------------------------------------------------------------------


def _human_only(had: tuple[str, ...] | Answer) -> Answer:
    """Whether what a baby had on one day was human milk and, beside it, nothing but vitamins and medicines."""
    if isinstance(had, Answer):
        return had
    return Answer.YES if set(had) & _HUMAN and set(had) <= _ALLOWED else Answer.NO


def _recalled(chart: Chart, baby: str, visit: str) -> Answer:
    """Human milk only on the day before a visit, as it was told there."""
    told = chart.all(InfantHistory, baby, visit=visit)
    if not told or not_gone_through(told[0], Path("day_before")):
        return Answer.MISSING
    return _human_only(certain(told[0].answers.day_before))


def _only_first(of: Of) -> Iterator[Case]:
    for chart in of.charts:
        first = first_day(chart)
        if first is None or (isinstance(first, date) and not of.period.holds(first)):
            continue
        visit = first_visit(chart)
        for baby in chart.all(InfantIdentity):
            unsure = first if isinstance(first, Answer) or visit is None else None
            yield unsure if isinstance(unsure, Answer) else _recalled(chart, baby.id, visit.id if visit else "")


def _only_start(of: Of) -> Iterator[Case]:
    for episode in ended_in(of):
        for baby in episode.babies:
            if episode.unsure is not None or not episode.visits:
                yield episode.unsure or Answer.MISSING
            else:
                yield _recalled(episode.chart, baby.id, episode.visits[0].id)


def _only_end(of: Of) -> Iterator[Case]:
    for episode in ended_in(of):
        for baby in episode.babies:
            rows = [row for row in episode.chart.all(StateAtEnd, baby.id) if row.answers.closing == episode.closing.id]
            had = {_human_only(certain(row.answers.recall)) for row in rows} or {Answer.MISSING}
            yield had.pop() if len(had) == 1 else Answer.DIFFERS


# --- pain -----------------------------------------------------------------------------------------------------------


def _worse(told: Sided[Given[int]]) -> int | Answer:
    """Pain of the worse side. A side said to be none is left out; one without an answer may have been the worse."""
    found: list[int] = []
    for given in (told.left, told.right):
        if isinstance(given, Absent) and given.kind is Absence.NONE:
            continue
        pain = certain(given)
        if isinstance(pain, Answer):
            return pain
        found.append(pain)
    return max(found, default=Answer.MISSING)


def _pains(of: Of) -> Iterator[tuple[int, int] | Answer]:
    """Of each feeder of an episode with two visits or more: pain now at the first and at the last of them."""
    for episode in ended_in(of):
        if episode.unsure is not None:
            yield episode.unsure
        elif len(episode.visits) > 1:
            for parent in episode.chart.all(ParentIdentity):
                ends = [
                    episode.chart.all(ParentHistory, parent.id, visit=visit.id)
                    for visit in (episode.visits[0], episode.visits[-1])
                ]
                if any(ends):
                    yield _pair(*(_worse(told[0].answers.pain_now) if told else Answer.MISSING for told in ends))


def _pair(first: int | Answer, last: int | Answer) -> tuple[int, int] | Answer:
    unsure = [one for one in (first, last) if isinstance(one, Answer)]
    if Answer.DIFFERS in unsure:
        return Answer.DIFFERS
    if isinstance(first, Answer) or isinstance(last, Answer):
        return Answer.MISSING
    return first, last


def _pain_first(of: Of) -> Iterator[Case]:
    yield from (one if isinstance(one, Answer) else one[0] for one in _pains(of))


def _pain_last(of: Of) -> Iterator[Case]:
    yield from (one if isinstance(one, Answer) else one[1] for one in _pains(of))


def _moved(of: Of) -> Iterator[Case]:
    for one in _pains(of):
        if isinstance(one, Answer):
            yield one
        else:
            first, last = one
            yield "lower" if last < first else "higher" if last > first else "the same"


# --- beginnings, languages ------------------------------------------------------------------------------------------


def _care_begun(of: Of) -> Iterator[Case]:
    for chart in of.charts:
        yield from in_period(of, begun(chart))


def _visits_in_episode(of: Of) -> Iterator[Case]:
    for episode in ended_in(of):
        yield _length(episode)


def _length(episode: Episode) -> Case:
    return len(episode.visits) if episode.unsure is None else episode.unsure


def _languages(of: Of) -> Iterator[Case]:
    """One case a family that was seen. A language is known by its letters, large or small alike."""
    spelled: Counter[str] = Counter()
    families: list[str | Answer] = []
    for chart in of.charts:
        if not seen_in(of, chart):
            continue
        told = [certain(parent.answers.language) for parent in chart.all(ParentIdentity)]
        words = [" ".join(one.split()) for one in told if not isinstance(one, Answer)]
        spoken = {one.casefold() for one in words if one}
        spelled.update(one for one in words if one)
        if Answer.DIFFERS in told:
            families.append(Answer.DIFFERS)
        elif len(spoken) > 1:
            families.append(_SEVERAL)
        else:
            families.append(spoken.pop() if spoken else Answer.MISSING)
    for family in families:
        yield family if isinstance(family, Answer) or family == _SEVERAL else _most(spelled, family)


def _most(spelled: Counter[str], folded: str) -> str:
    """How a language is mostly written here."""
    return max((one for one in spelled if one.casefold() == folded), key=lambda one: (spelled[one], one))


# --- missed and late ------------------------------------------------------------------------------------------------


def _no_shows(of: Of) -> Iterator[Case]:
    """Visits begun, and contacts that say of an agreed visit that nobody was there."""
    for chart in of.charts:
        yield from (Answer.NO for _visit in seen_in(of, chart))
        for contact in chart.all(Contact):
            missed, day = certain(contact.answers.missed), day_of(contact.answers.at)
            if missed is Answer.MISSING or missed in ("family", "practice"):
                continue
            if isinstance(day, Answer):
                yield day
            elif of.period.holds(day):
                yield missed if isinstance(missed, Answer) else Answer.YES


def _late(of: Of) -> Iterator[Case]:
    """Each entry of a visit, by when its first answer was written down."""
    for chart in of.charts:
        visits = seen_in(of, chart)
        ends = {visit.id: certain(visit.answers.end) for visit in visits}
        for entry in chart.entries:
            if entry.struck is None and not isinstance(entry.answers, _AFTER) and entry.place.visit in ends:
                end = ends[entry.place.visit]
                if isinstance(end, Answer):
                    yield end
                else:
                    late = entry.entered - end.at > timedelta(hours=_LATE_HOURS)
                    yield Answer.YES if late else Answer.NO


_COUNT, _SHARE, _MEDIAN, _WORDS = Spread.COUNT, Spread.SHARE, Spread.MEDIAN, Spread.WORDS

BEGINNING: Final[tuple[Figure, ...]] = (
    Figure("opened", "Care begun", "First visits of families, and the first after all care of a family was closed.",
           _COUNT, _care_begun),
    Figure("languages", "Languages", "Families seen, each once, by what its parents speak.", _WORDS, _languages),
    Figure("human_first", "Human milk only at the first visit", "Babies whose family’s first visit was in the period: "
           "on the day before only breast or chest, own or donor milk; vitamins and medicines allowed.", _SHARE,
           _only_first),
)  # fmt: skip
"""What stands at the beginning of care."""

HOLDING: Final[tuple[Figure, ...]] = (
    Figure("no_shows", "Nobody was there", "Agreed visits noted so in a contact, out of these and the visits.", _SHARE,
           _no_shows),
    Figure("late", "Entries written late", f"Begun more than {_LATE_HOURS} hours after the visit’s end, of all entries "
           "of these visits; not letters, receipts, urgent contacts or what was added after signing.", _SHARE, _late),
)  # fmt: skip
"""What was missed or written late."""

ENDING: Final[tuple[Figure, ...]] = (
    Figure("visits_episode", "Visits until care closed", "Of these closings, each since the one before it.", _MEDIAN,
           _visits_in_episode),
    Figure("human_start", "Human milk only at the start", "Babies of these closings, at the first visit of that care; "
           "told in the same way.", _SHARE, _only_start),
    Figure("human_only", "Human milk only at the end", "The same babies, on the day before the closing.", _SHARE,
           _only_end),
    Figure("pain_first", "Pain at the first visit", "Feeders of these closings with two visits or more: pain now, 0 to "
           "10, the worse side; missing where either visit has none.", _MEDIAN, _pain_first),
    Figure("pain_last", "Pain at the last visit", "The same feeders.", _MEDIAN, _pain_last),
    Figure("pain_moved", "Pain, first to last visit", "The same feeders.", _WORDS, _moved,
           words=("lower", "the same", "higher")),
)  # fmt: skip
"""What stands at the end of it."""
