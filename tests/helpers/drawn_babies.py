"""Invented babies whose pictures are drawn: at term with five weights, a twin by corrected age, a day of feeds."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from forms.answers import Moment, Quantity
from forms.chart import Chart, Entry
from forms.feeding_log import FeedingLog, LogLine
from forms.form import Form
from forms.people import InfantIdentity, ParentIdentity
from forms.reading import read_moment
from forms.visit import Visit
from forms.weight import WeightReading
from tests.forms.clinical.charted import BABY, FAMILY, PARENT, VISIT, ZONE, conflict, entry, grams

__all__ = ["DAY", "EARLY", "NOW", "WREN", "WREN_WEIGHTS", "baby_of", "day_of", "local", "torn", "twin_by_corrected_age"]


def local(text: str) -> Moment:
    """A moment by the clock of the place."""
    return read_moment(text, ZONE)


NOW = local("2026-07-01 12:00").at
WREN: dict[str, Any] = {
    "called_name": "Wren", "born": local("2026-03-02 06:10"), "birth_weight": grams(3420), "gestation_weeks": 39,
    "gestation_days": 4, "sex": "f",
}  # fmt: skip
EARLY: dict[str, Any] = {
    "called_name": "Ida", "born": local("2026-01-12 10:00"), "birth_weight": grams(2310), "gestation_weeks": 35,
    "gestation_days": 2, "sex": "f",
}  # fmt: skip


def weighed(base: int | tuple[int, int], when: str, source: str = "seen", typed: str = "") -> Entry[Form]:
    """A weight of the baby; a pair of grams are two values of which one can hold."""
    value: Any = conflict(*(grams(one) for one in base)) if isinstance(base, tuple) else grams(base)
    if typed and isinstance(base, int):
        value = Quantity(typed, "lb_oz", base)
    who = {"seen": {"by_whom": "Rosalind"}, "told": {"told_by": "Mara"}, "document": {"document": "hospital papers"}}
    reading = WeightReading(weight=value, taken=local(when), state="bare", source=source, **who[source])
    return entry(f"{when}{source}".replace(" ", "").ljust(32, "0"), reading, BABY)


WREN_WEIGHTS = (
    weighed(3150, "2026-03-04 09:00", "document"), weighed(3075, "2026-03-05 14:00"),
    weighed(3110, "2026-03-07 10:30", "told"), weighed(3190, "2026-03-09 09:30"), weighed(3430, "2026-03-16 10:00"),
)  # fmt: skip


def baby_of(identity: dict[str, Any], *weights: Entry[Form]) -> Chart:
    """A chart between visits with one baby and its weights."""
    return Chart(FAMILY, None, (entry(BABY, InfantIdentity(**identity)), *weights))


def torn() -> Chart:
    """Wren with one weight for which two values stand."""
    return baby_of(WREN, *WREN_WEIGHTS[:3], weighed((3190, 3340), "2026-03-09 09:30"), WREN_WEIGHTS[4])


def twin_by_corrected_age() -> Chart:
    """Ida, born at 35 weeks 2 days, weighed before the term date and after."""
    return baby_of(
        EARLY, weighed(2520, "2026-02-03 10:00"), weighed(2680, "2026-02-10 10:00", "told"),
        weighed(3240, "2026-03-02 10:00"), weighed(3420, "2026-03-09 10:00"),
    )  # fmt: skip


def fed(starts: str, ends: str | None = None, kind: str = "left", **more: Any) -> LogLine:
    """A line of the log; times on 16 March unless a day is written."""
    when = [f"2026-03-16 {one}" if one and len(one) == 5 else one for one in (starts, ends)]
    assert when[0] is not None
    return LogLine(starts=local(when[0]), ends=local(when[1]) if when[1] else None, kind=kind, feeder=PARENT, **more)


DAY = (
    fed("06:05", "06:28", "left", wet=True), fed("08:40", "09:05", "both", wet=True, stool="yellow"),
    fed("10:30", "10:50", "right"), fed("12:45", "13:10", "left", wet=True),
    fed("13:30", "13:55", "pumped", pumped_left=Quantity("40", "mL", 40)),
    fed("15:20", "15:45", "bottle", milk="own", amount=Quantity("40", "mL", 40), wet=True, stool="yellow"),
    fed("17:35", "18:00", "right"), fed("19:10", kind="left", wet=True, stool="yellow"), fed("21:00", "21:30", "both"),
    fed("2026-03-17 01:20", "2026-03-17 01:45", "right", wet=True), fed("2026-03-17 04:05", kind="left"),
    fed("2026-03-17 05:40", "2026-03-17 05:50", "diaper", stool="yellow"),
)  # fmt: skip


def _lines(lines: tuple[LogLine, ...]) -> Iterator[Entry[Form]]:
    for number, line in enumerate(lines):
        yield entry(f"{number:032x}", line, BABY, visit=VISIT)


def day_of(*lines: LogLine, window: Moment | None = None) -> Chart:
    """A chart at a visit with these lines in Wren's log."""
    log = FeedingLog(source="notes", window_start=window)
    return Chart(FAMILY, VISIT, (
        entry(BABY, InfantIdentity(**WREN)), entry(PARENT, ParentIdentity(full_name="Mara Oakes")),
        entry(VISIT, Visit(start=local("2026-03-17 10:00"))),
        entry("c" * 32, log, BABY, visit=VISIT), *_lines(lines),
    ))  # fmt: skip
