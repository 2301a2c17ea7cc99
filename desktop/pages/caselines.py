"""What the caseload shows of each family, read from the store in one go off the GUI thread."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from types import MappingProxyType

from desktop.seals import sealing_here
from forms.answers import Conflicted, Given, Moment, Quantity
from forms.chart import Chart, Entry
from forms.clinical.age import age, age_in_days
from forms.clinical.prompts import open_prompts
from forms.clinical.result import NoFigure
from forms.clinical.rule import Prompt
from forms.form import Form
from forms.loops import OpenLoop, awaited
from forms.note import Why, blanks
from forms.people import InfantIdentity
from forms.visit import Visit
from forms.weight import WeightReading, around_feed_words, is_around_feed
from storage.projections import FamilyLine
from storage.store import Store
from sync.handoff.own_seals import Sealing
from sync.handoff.seals import Seal, ends_soon, root_waits

__all__ = ["CaseLine", "Caseload", "Point", "Reading", "Trace", "Unfinished", "read_caseload", "traces_of"]

_DRESSED: Mapping[str, str] = MappingProxyType({"clothes": "in clothes", "unknown": "clothes not known"})
SOON_DAYS = 7
"""A follow-up within so many days puts a family into the first section; a house rule."""


@dataclass(frozen=True, slots=True)
class Point:
    """One weight of a baby: when, whole grams, whether it was seen on the scale, and in what the baby was weighed."""

    at: datetime
    grams: int
    seen: bool
    dressed: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading that is no part of a baby's line: taken around a feed, or struck out; `words` say which and why."""

    at: datetime
    grams: int
    words: str


@dataclass(frozen=True, slots=True)
class Trace:
    """A baby's weights, oldest first. `shape` is the code of its tag; `disputed` counts weights with two values.

    `untimed` counts weights whose time is not written yet.
    `beside` are the readings that are no part of the line: those around feeds, and those struck out.
    """

    baby: str
    name: str
    shape: str
    points: tuple[Point, ...]
    disputed: int = 0
    untimed: int = 0
    beside: tuple[Reading, ...] = ()


@dataclass(frozen=True, slots=True)
class Unfinished:
    """A visit that is not signed: how many places are open, jots among them, and the urgent signs not acted on."""

    visit: str
    start: Moment | None
    open_places: int
    jots: int
    urgent: tuple[Prompt, ...]


@dataclass(frozen=True, slots=True)
class CaseLine:
    """One family: its line in the store, ages in words, and for the first section also traces and unfinished visits.

    `awaited` is what is still open and due on a day: a call to try again, the outcome of one that was made.
    """

    line: FamilyLine
    ages: str = ""
    traces: tuple[Trace, ...] = ()
    unfinished: tuple[Unfinished, ...] = ()
    awaited: tuple[OpenLoop, ...] = ()

    @property
    def urgent(self) -> tuple[Prompt, ...]:
        """The urgent signs of all its unsigned visits that nothing was done about."""
        return tuple(prompt for visit in self.unfinished for prompt in visit.urgent)


@dataclass(frozen=True, slots=True)
class Caseload:
    """The whole page: families with something to do, all the others, and what waits beside them.

    `ending` is the seal of who charts here, if it ends soon or has ended; `roots` how this device stands to the
    practice's root.
    """

    first: tuple[CaseLine, ...]
    others: tuple[CaseLine, ...]
    root_waits: bool
    ending: Seal | None
    sheet_proved: bool
    roots: Sealing


def _point(answers: WeightReading) -> Point | None:
    weight, taken = answers.weight, answers.taken
    if not isinstance(weight, Quantity) or not isinstance(taken, Moment) or is_around_feed(answers):
        return None
    dressed = _DRESSED.get(answers.state, "") if isinstance(answers.state, str) else ""
    return Point(taken.at, weight.base, answers.source == "seen", dressed)


def _beside(entry: Entry[Form]) -> Reading | None:
    """A reading that was struck out or taken around a feed, with its words; None for a weight of the baby's line."""
    answers = entry.answers
    if not isinstance(answers, WeightReading):
        return None
    weight, taken = answers.weight, answers.taken
    words = f"struck out: {entry.struck.reason}" if entry.struck is not None else around_feed_words(answers)
    if not words or not isinstance(weight, Quantity) or not isinstance(taken, Moment):
        return None
    return Reading(taken.at, weight.base, words)


def _named(infant: InfantIdentity) -> str:
    return next((v for v in (infant.called_name, infant.legal_name) if isinstance(v, str) and v.strip()), "Baby")


def traces_of(chart: Chart) -> tuple[Trace, ...]:
    """The weights of each baby of a chart, birth weight first where its time is known."""
    found = []
    for entry in chart.all(InfantIdentity):
        infant = entry.answers
        points = [p for w in chart.all(WeightReading, entry.id) if (p := _point(w.answers)) is not None]
        if isinstance(infant.birth_weight, Quantity) and isinstance(infant.born, Moment):
            points.append(Point(infant.born.at, infant.birth_weight.base, seen=False))
        disputed = sum(_disputed(w.answers) for w in chart.all(WeightReading, entry.id))
        shape = infant.tag_shape if isinstance(infant.tag_shape, str) else "circle"
        own = (_beside(one) for one in chart.entries if one.place.subjects == (entry.id,))
        untimed = sum(_untimed(w.answers) for w in chart.all(WeightReading, entry.id))
        line = tuple(sorted(points, key=lambda p: p.at))
        beside = tuple(sorted(filter(None, own), key=lambda one: one.at))
        found.append(Trace(entry.id, _named(infant), shape, line, disputed, untimed, beside))
    return tuple(found)


def _disputed(answers: WeightReading) -> bool:
    return isinstance(answers.weight, Conflicted) or isinstance(answers.taken, Conflicted)


def _untimed(answers: WeightReading) -> bool:
    return isinstance(answers.weight, Quantity) and not isinstance(answers.taken, Moment | Conflicted)


def _ages(chart: Chart, now: datetime, zone: str) -> str:
    said = []
    infants = chart.all(InfantIdentity)
    for entry in infants:
        words = _age(entry.answers.born, entry.answers.born_day, now, zone)
        if words and words not in said:
            said.append(words)
    several = {2: "twins, ", 3: "triplets, "}.get(len(infants), "") if len(said) == 1 else ""
    return several + ", ".join(said)


def _age(born: Given[Moment], born_day: Given[date], now: datetime, zone: str) -> str:
    found = age(born, now)
    if not isinstance(found, NoFigure):
        return found.spoken
    days = age_in_days(born, born_day, now, zone)
    return "" if isinstance(days, NoFigure) else "1 day" if days == 1 else f"{days} days"


def _unfinished(store: Store, family: str, visit: str, now: datetime) -> Unfinished:
    chart = store.chart(family, visit)
    open_now = blanks(chart)
    jots = sum(blank.why is Why.UNFILED for blank in open_now)
    entry = chart.by_id(visit)
    start = entry.answers.start if entry is not None and isinstance(entry.answers, Visit) else None
    return Unfinished(
        visit, start if isinstance(start, Moment) else None, len(open_now) - jots, jots, open_prompts(chart, now)
    )


def _line(store: Store, line: FamilyLine, now: datetime, zone: str) -> CaseLine:
    chart = store.chart(line.id)
    unfinished = tuple(_unfinished(store, line.id, visit, now) for visit in line.unsigned)
    due = tuple(loop for loop in awaited(chart) if loop.due is not None)
    return CaseLine(line, _ages(chart, now, zone), traces_of(chart), unfinished, due)


def read_caseload(now: datetime, today: date, zone: str, proved: str, author: str) -> Callable[[Store], Caseload]:
    """The operation that reads the page. `proved` names the kept secret that says the recovery sheet was typed back.

    `author` is who charts here.
    """

    def read(store: Store) -> Caseload:
        first, others = [], []
        for line in store.caseload():
            due = line.next_follow_up is not None and (line.next_follow_up - today).days <= SOON_DAYS
            if due or line.unsigned or line.conflicts:
                first.append(_line(store, line, now, zone))
            else:
                others.append(CaseLine(line))
        first.sort(key=lambda one: (not one.urgent, one.line.next_follow_up or date.max, one.line.name))
        ending = ends_soon(store, author, now)
        return Caseload(
            tuple(first), tuple(others), root_waits(store), ending, store.secret(proved) is not None,
            sealing_here(store, author),
        )  # fmt: skip

    return read
