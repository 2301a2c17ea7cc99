"""Events of a feed for tests: a row of seconds, kind and lane makes one."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from forms.answers import Quantity
from forms.chart import Entry
from forms.clinical.feed_line import Event, Events
from forms.feed_event import ExpressionEvent, FeedEvent
from forms.form import Form
from forms.weight import WeightReading
from tests.forms.clinical.charted import BABY, PARENT, VISIT, entry, grams, moment

START = datetime(2026, 3, 20, 14, 0, tzinfo=UTC)
FEED = "c" * 32

Row = tuple[int, str, str | None] | tuple[int, str, str | None, int | str]
"""Seconds from START, what, lane, and the pain, the mL or the words that go with it."""


def at(seconds: float) -> datetime:
    return START + timedelta(seconds=seconds)


def after(seconds: int) -> timedelta:
    return timedelta(seconds=seconds)


def _more(row: Row) -> dict[str, Any]:
    if len(row) == 3:
        return {}
    return {{"pain": "pain", "amount": "ml"}.get(row[1], "words"): row[3]}


def tapped(*rows: Row, expressing: bool = False) -> Events:
    """These rows as events, in the order given (which is to be by time)."""
    made = tuple(Event(f"{n:032d}", row[1], row[2], at(row[0]), **_more(row)) for n, row in enumerate(rows))
    return Events(made, expressing=expressing)


def event_entry(
    name: str, row: Row, feed: str = FEED, *, subjects: tuple[str, ...] = (PARENT, BABY), **more: Any
) -> Entry[Form]:
    """A row as the entry of a chart."""
    answers: dict[str, Any] = {"what": row[1], "at": moment(at(row[0])), "lane": row[2], "noted": "live", "feed": feed}
    answers |= {name: value for name, value in _more(row).items() if name != "ml"}
    return entry(name, FeedEvent(**(answers | more)), *subjects, visit=VISIT)


def pumped_entry(name: str, row: Row, session: str, **more: Any) -> Entry[Form]:
    """A row as an event of expressing."""
    answers: dict[str, Any] = {"what": row[1], "at": moment(at(row[0])), "lane": row[2], "noted": "live"}
    return entry(name, ExpressionEvent(**(answers | {"expression": session} | more)), PARENT, visit=VISIT)


def reading(base: int, seconds: int, point: str, side: str = "left", **more: Any) -> WeightReading:
    answers: dict[str, Any] = {
        "weight": grams(base), "taken": moment(at(seconds)), "state": "dry_diaper", "scale_name": "home",
        "scale_step": Quantity("2", "g", 2), "feed": FEED, "feed_side": side, "feed_point": point,
    }  # fmt: skip
    if point == "after":
        answers |= {"diaper_changed": False, "same_clothes": True, "spit_up": False}
    return WeightReading(**(answers | more))


def weighed(gain: int = 22, **more: Any) -> tuple[WeightReading, WeightReading]:
    return reading(3412, -60, "before"), reading(3412 + gain, 490, "after", **more)


# One feed of an invented pair, laid out so that every figure can be worked by hand; seconds from the first tap.
WHOLE: tuple[Row, ...] = (
    (0, "begin", None),
    (20, "latch", "left"),  # first latch
    (35, "sucking", "left"),  # burst 1 begins here, not at the latch
    (40, "pain", "left", 6),
    (50, "suck", "left"), (51, "suck", "left"), (52, "suck", "left"), (53, "suck", "left"),
    (54, "swallow", "left"),  # the first swallow: 54 - 20 = 34 s after the latch
    (55, "suck", "left"), (56, "suck", "left"), (57, "swallow", "left"),  # burst 1: 6 sucks, 2 swallows = 3
    (120, "pause", "left"),  # burst 1: 35 to 120 = 85 s
    (150, "sucking", "left"),  # pause 30 s; burst 2 begins
    (151, "suck", "left"), (152, "suck", "left"), (153, "suck", "left"), (154, "suck", "left"), (155, "suck", "left"),
    (200, "pause", "left"),  # burst 2: 50 s, 5 sucks and no swallow
    (245, "swallow", "left"),  # goes on from here: pause 45 s, the longest on the left; burst 3 begins
    (246, "suck", "left"), (248, "suck", "left"), (250, "suck", "left"),
    (252, "swallow", "left"),  # burst 3: 3 sucks, 2 swallows = 3/2
    (300, "changed", "left", "deeper latch"),
    (320, "taken_off", "left"),  # burst 3: 245 to 320 = 75 s; spell 1: 20 to 320 = 300 s
    (330, "latch", "left"),  # relatch; burst 4 begins at the latch, for what comes next is a swallow
    (340, "pain", "left", 2),
    (350, "swallow", "left"), (360, "swallow", "left"), (370, "swallow", "left"), (380, "swallow", "left"),
    (450, "asleep", "left"),  # burst 4: 330 to 450 = 120 s
    (480, "off_self", "left"),  # slept 30 s; spell 2: 330 to 480 = 150 s
    (500, "latch", "right"),  # switch
    (510, "pain", "right", 1),
    (515, "letdown_felt", "right"),
    (560, "swallow", "right"),  # 60 s after this side's first latch
    (620, "pause", "right"),  # burst: 500 to 620 = 120 s
    (640, "off_self", "right"),  # pause 20 s; spell: 140 s
    (660, "end", None),
)  # fmt: skip
