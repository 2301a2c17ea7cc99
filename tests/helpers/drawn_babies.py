"""Invented babies whose pictures are drawn: at term with five weights, a twin by corrected age, a day of feeds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from typing import Any

from forms.answers import Moment, Quantity
from forms.chart import Chart, Entry
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent
from forms.feeding_log import FeedingLog, LogLine
from forms.form import Form
from forms.people import InfantIdentity, ParentIdentity
from forms.reading import read_moment
from forms.visit import Visit
from forms.weight import WeightReading
from tests.forms.clinical.charted import BABY, FAMILY, PARENT, VISIT, ZONE, conflict, entry, grams
from tests.forms.clinical.tapped import FEED, START, Row, event_entry, reading

__all__ = [
    "DAY", "EARLY", "NOW", "SKETCHED", "WEIGHED_LEFT", "WREN", "WREN_WEIGHTS", "baby_of", "bottle_and_side", "day_of",
    "fed", "fed_of", "local", "many", "torn", "twin_by_corrected_age", "weighed",
]  # fmt: skip


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
    who: dict[str, dict[str, Any]] = {
        "seen": {"by_whom": "Rosalind"},
        "told": {"told_by": "Mara"},
        "document": {"document": "hospital papers"},
    }
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


# --- feeds ----------------------------------------------------------------------------------------------------------


def _swallows(lane: str, *seconds: int) -> tuple[Row, ...]:
    return tuple((second, "swallow", lane) for second in seconds)


SKETCHED: tuple[Row, ...] = (
    (0, "begin", None), (30, "latch", "left"), (44, "pain", "left", 5), (88, "sucking", "left"),
    *_swallows("left", 106, 124, 140, 152, 165, 180, 192, 204, 220, 238), (250, "pause", "left"),
    (262, "click", "left"), (290, "sucking", "left"), *_swallows("left", 306, 325, 345, 370, 395),
    (436, "pause", "left"), (452, "pain", "left", 2), (462, "sucking", "left"), (480, "letdown_seen", "left"),
    *_swallows("left", 484, 512), (540, "asleep", "left"), (594, "off_self", "left"), (640, "burp", None),
    (676, "latch", "right"), (690, "pain", "right", 3), (722, "sucking", "right"),
    *_swallows("right", 736, 752, 768, 784, 802, 822, 846), (880, "pause", "right"), (930, "cough", "right"),
    (990, "off_self", "right"), (994, "end", None),
)  # fmt: skip


def _amount(row: Row) -> dict[str, Any]:
    """The millilitres of a reading of the amount so far."""
    return {"amount": Quantity(str(row[3]), "mL", int(row[3]))} if len(row) == 4 and row[1] == "amount" else {}


def fed_of(*rows: Row, memory: tuple[int, ...] = (), more: tuple[Entry[Form], ...] = ()) -> Chart:
    """A chart at a visit with one feed of Mara and Wren; `memory` are the places of rows noted afterwards."""
    events = (
        event_entry(f"{number:032d}", row, noted="after" if number in memory else "live", **_amount(row))
        for number, row in enumerate(rows)
    )
    return Chart(FAMILY, VISIT, (
        entry(BABY, InfantIdentity(**WREN)), entry(PARENT, ParentIdentity(full_name="Mara Oakes")),
        entry(VISIT, Visit(start=Moment(START, ZONE))),
        entry(FEED, FeedObservation(observed="seen"), PARENT, BABY, visit=VISIT), *events, *more,
    ))  # fmt: skip


def around(number: int, reading_: WeightReading) -> Entry[Form]:
    """A weight around the feed as an entry."""
    return entry(f"{number:032x}".replace("0", "w", 1), reading_, BABY)


WEIGHED_LEFT = (around(1, reading(2664, 10, "before")), around(2, reading(2690, 600, "after")))


def bottle_and_side() -> Chart:
    """A feed from memory: a few minutes on the right, then a bottle; one event without a time, one in two minds."""
    rows: tuple[Row, ...] = (
        (0, "latch", "right"), (40, "swallow", "right"), (62, "swallow", "right"), (80, "swallow", "right"),
        (120, "pause", "right"), (200, "sucking", "right"), (215, "swallow", "right"), (300, "taken_off", "right"),
        (360, "latch", "bottle"), (420, "amount", "bottle", 20), (540, "amount", "bottle", 40),
        (600, "off_self", "bottle"),
    )  # fmt: skip
    two = event_entry("y" * 32, (0, "swallow", "right"))
    tapped = two.answers
    assert isinstance(tapped, FeedEvent)
    torn = replace(tapped, at=conflict(Moment(START, ZONE), NOWHERE))
    torn_at = entry("y" * 32, torn, PARENT, BABY, visit=VISIT)
    lost = entry("z" * 32, replace(tapped, what="click", at=None), PARENT, BABY, visit=VISIT)
    whole = (around(3, reading(3412, -60, "before", "both")), around(4, reading(3470, 700, "after", "both")))
    return fed_of(*rows, memory=tuple(range(len(rows))), more=(torn_at, lost, *whole))


NOWHERE = Moment(START + timedelta(minutes=3), ZONE)


def many(number: int = 5000) -> Chart:
    """A feed of thousands of taps over forty minutes."""
    step = 2400 / number
    rows: list[Row] = [(0, "latch", "left")]
    rows += [(round(10 + n * step), "suck" if n % 3 else "swallow", "left") for n in range(number)]
    return fed_of(*rows, (2420, "off_self", "left"))
