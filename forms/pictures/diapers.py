"""Wet diapers and stools against the day of life: what was told or written for 24 hours, beside the day's row.

A day of which nothing is known is a gap with its own place, never a zero. The row is the published one; where the
practice set a stricter limit, that stands beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from forms.answers import Conflicted, Given, Moment, every
from forms.chart import Chart, entry_id
from forms.clinical.age import Age, age
from forms.clinical.evidence import zone_of
from forms.clinical.feeding_log import DayLog, day_log
from forms.clinical.prompts_infant import WIC, output_row
from forms.feeding_log import FeedingLog, LogLine
from forms.figure import when
from forms.infant_history import InfantHistory
from forms.people import InfantIdentity
from forms.pictures.diaper_rows import Counted, Gap, Record, Slot, draw_rows
from forms.pictures.drawing import Drawing
from forms.pictures.maker import Maker
from forms.pictures.visits import Seen, visits_seen
from forms.pictures.whose import called
from forms.thresholds import Limits, limits

__all__ = ["diapers"]

SOURCES = (
    f"Expected at least: {WIC} (S), by day of life; hours 0 to 23 are day 1, and after day 45 it has no row.",
    "A stool counts from about 2.5 cm across (Texas WIC chart, S).",
)


def diapers(chart: Chart, person: str, now: datetime) -> Maker | None:
    """The picture of a baby's wet diapers and stools; None while no count is known."""
    records = sorted(_records(chart, person, now), key=lambda one: (one.until.at, one.known_from))
    if not records:
        return None
    name, slots = called(chart, person), _with_gaps(records)
    title, sentence = f"{name}’s wet diapers and stools", _sentence(chart, person, name, records)
    own = any(record.own_limit for record in records)
    sources = (*SOURCES, "The practice’s own limit is a setting of this practice.") if own else SOURCES

    def draw(wide: float) -> Drawing:
        return draw_rows(title, sentence, slots, sources, wide)

    return Maker("diapers", title, draw)


def _records(chart: Chart, person: str, now: datetime) -> Iterator[Record]:
    seen = visits_seen(chart, now)
    born, held = chart.person(InfantIdentity, person).born, limits(chart)
    told = {entry.place.visit: entry.answers for entry in chart.all(InfantHistory, person)}
    for visit in seen:
        answers = told.get(visit.visit)
        if answers is not None and (_said(answers.wets_24h) or _said(answers.stools_24h)):
            wet, stool = _counted(answers.wets_24h), _counted(answers.stools_24h)
            yield _record(born, held, visit.at, "told", wet, stool)
        yield from _of_log(chart, person, visit, born, held)


def _said(given: Given[int]) -> bool:
    return bool(every(given)) or isinstance(given, Conflicted)


def _counted(given: Given[int]) -> Counted:
    return Counted(tuple(sorted(set(every(given)))), unresolved=isinstance(given, Conflicted))


def _of_log(chart: Chart, person: str, visit: Seen, born: Given[Moment], held: Limits) -> Iterator[Record]:
    """The 24 hours of the log of one visit; a log that is no log of a day has no count of a day."""
    lines = [(entry.id, entry.answers) for entry in chart.all(LogLine, person, visit=visit.visit)]
    kept = chart.by_id(entry_id(FeedingLog, visit.visit, (person,)))
    about = kept.answers if kept is not None and kept.struck is None else None
    window = about.window_start if isinstance(about, FeedingLog) else None
    found = day_log(lines, window, zone_of(chart)) if lines else None
    if not isinstance(found, DayLog) or not found.is_a_day or (found.wets is None and found.stools is None):
        return
    until = Moment(min(found.end, max(visit.at.at, found.start)), found.zone)
    wet, stool = (Counted(() if count is None else (count,)) for count in (found.wets, found.stools))
    yield _record(born, held, until, "log", wet, stool)


def _record(
    born: Given[Moment], held: Limits, until: Moment, known_from: str, wet: Counted, stool: Counted
) -> Record:  # fmt: skip
    found = age(born, until.at)
    if not isinstance(found, Age):
        return Record(None, until, known_from, wet, stool, None, None)
    row, own = output_row(found.day_of_life), output_row(found.day_of_life, held)
    return Record(found.day_of_life, until, known_from, wet, stool, row, own if own != row else None)


def _with_gaps(records: list[Record]) -> tuple[Slot, ...]:
    """The records in order, and between them the days of which nothing is known, from the first day of life on."""
    slots: list[Slot] = []
    last = 0
    for record in records:
        if record.day is not None:
            if record.day > last + 1:
                slots.append(Gap(last + 1, record.day - 1))
            last = max(last, record.day)
        slots.append(record)
    return tuple(slots)


def _sentence(chart: Chart, person: str, name: str, records: list[Record]) -> str:
    latest = records[-1]
    day = f"day {latest.day} of life" if latest.day is not None else "day of life not known"
    how = "told" if latest.known_from == "told" else "written in the log"
    said = (
        f"{name}’s latest 24 hours, until {when(latest.until)}, {day}, {how}: "
        f"{latest.wet.words('wet')}, {latest.stool.words('stools')}."
    )
    if latest.row is not None:
        wets, stools = latest.row
        said += f" Expected on that day: {wets} wet and {stools} {'stool' if stools == 1 else 'stools'} or more."
    elif latest.day is not None:
        said += " The chart of what is expected ends with day 45."
    if isinstance(chart.person(InfantIdentity, person).born, Conflicted):
        said += " Two times of birth stand, so that no day of life is known."
    if any(count.unresolved for record in records for count in (record.wet, record.stool)):
        said += " Where two counts stand, neither is taken."
    return said
