"""The invented family over four visits in the babies' first eleven days, for the pictures: counts, feeds, logs, milk."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from forms.answers import Conflicted, Moment, Quantity, Sided, Variant
from forms.chart import Chart, Entry
from forms.expressing import Expression
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent
from forms.feeding_log import FeedingLog, LogLine
from forms.infant_history import InfantHistory
from forms.visit import Visit
from forms.weight import WeightReading
from tests.helpers import thornbury as t

__all__ = ["LAST", "NOW", "VISITS", "chart", "day", "either", "log", "mL", "weighed"]

VISITS = ("v1", "v2", "v3", "v4")
LAST = "v4"
_DAYS = {"v1": (14, 9), "v2": (15, 10), "v3": (18, 10), "v4": (22, 9)}
NOW = datetime(2026, 1, 22, 15, 30, tzinfo=UTC)


def day(date: int, hour: int, minute: int = 0) -> Moment:
    """A time in January, as the clocks of the place show it."""
    return t.local(date, hour, minute, 1)


def mL(number: int) -> Quantity:  # noqa: N802 - the unit as it is written
    """An amount of milk."""
    return Quantity(str(number), "mL", number)


def either(*values: Any) -> Conflicted:
    """Values of which only one can hold."""
    at = datetime(2026, 1, 22, tzinfo=UTC)
    return Conflicted(tuple(Variant(value, t.WRITER, at, f"d{n}", f"{n:064x}") for n, value in enumerate(values)))


def visits() -> tuple[Entry[Any], ...]:
    return tuple(
        t.entry(Visit, named=name, visit=None, kind="home", start=day(*_DAYS[name]),
                end=Moment(day(*_DAYS[name]).at + timedelta(hours=1, minutes=20), t.ZONE), practitioner=t.WRITER)
        for name in VISITS
    )  # fmt: skip


def told() -> tuple[Entry[Any], ...]:
    counts = {"v1": (2, 2), "v2": (4, None), "v3": (either(4, 6), 3), "v4": (6, 0)}
    return tuple(
        t.entry(InfantHistory, t.IDA, visit=visit, wets_24h=wets, stools_24h=stools)
        for visit, (wets, stools) in counts.items()
    )


def _feed(visit: str, number: int, began: Moment, **given: Any) -> Entry[Any]:
    return t.entry(FeedObservation, t.MARA, t.IDA, named=f"feed{number}", visit=visit, observed="seen", began=began,
                   used=Sided("fed", "fed"), **given)  # fmt: skip


def feeds() -> tuple[Entry[Any], ...]:
    return (
        _feed("v2", 1, day(15, 10, 20), pain_at_latch=Sided(8, 5), pain_after_30s=Sided(6, 4),
              pain_middle=Sided(6, None), pain_at_end=Sided(5, 2)),
        _feed("v3", 2, day(18, 10, 30), pain_at_latch=Sided(either(3, 7), 3), pain_after_30s=Sided(4, 2),
              pain_middle=Sided(3, 1), pain_at_end=Sided(2, 0)),
        _feed("v4", 3, day(22, 9, 15), pain_at_latch=Sided(3, 3), pain_after_30s=Sided(2, 1), pain_at_end=Sided(1, 0)),
        *(t.entry(FeedEvent, t.MARA, t.IDA, named=f"tap{n}", visit="v4", feed="feed3", what=what,
                  at=Moment(day(22, 9, 15).at + timedelta(seconds=seconds), t.ZONE), lane=lane, pain=pain, noted="live")
          for n, (what, seconds, lane, pain) in enumerate((
              ("begin", 0, None, None), ("latch", 20, "left", None), ("pain", 45, "left", 5), ("pain", 260, "left", 2),
              ("latch", 600, "right", None), ("pain", 640, "right", 4), ("pain", 700, "left", either(1, 3)),
          ))),
    )  # fmt: skip


def weighed(
    feed: str, visit: str, side: str, at: Moment, before: Any, after: Any, **more: Any
) -> tuple[Entry[Any], Entry[Any]]:
    """The weights of Ida before and after one side of a feed, ten minutes apart."""

    def one(point: str, minutes: int, amount: Any, **given: Any) -> Entry[Any]:
        weight = t.grams(amount) if isinstance(amount, int) else amount
        return t.entry(WeightReading, t.IDA, named=f"{feed}-{side}-{point}", visit=visit, weight=weight,
                       taken=Moment(at.at + timedelta(minutes=minutes), t.ZONE), state="dry_diaper", source="seen",
                       scale_name="own", scale_step=Quantity("2", "g", 2), feed=feed, feed_side=side, feed_point=point,
                       **given)  # fmt: skip

    after_more = {"diaper_changed": False, "same_clothes": True} | more
    return one("before", 0, before), one("after", 10, after, **after_more)


def milk() -> tuple[Entry[Any], ...]:
    return (
        *weighed("feed2", "v3", "left", day(18, 10, 30), 2410, 2438),
        *weighed("feed2", "v3", "right", day(18, 10, 45), 2438, 2474, diaper_changed=True),
        *weighed("feed3", "v4", "left", day(22, 9, 15), 2520, 2562),
        *weighed("feed3", "v4", "right", day(22, 9, 30), 2562, 2560),
        t.entry(Expression, t.MARA, named="ex1", visit="v3", source="told", began=day(18, 6), ended=day(18, 6, 20),
                way=Sided("electric", "electric"), amount=Sided(mL(40), mL(25))),
        t.entry(Expression, t.MARA, named="ex2", visit="v4", source="told", began=day(22, 5, 40), ended=day(22, 6),
                way=Sided("electric", "electric"), amount=Sided(either(mL(30), mL(50)), mL(0))),
        t.entry(Expression, t.MARA, named="ex3", visit="v4", source="told", began=day(22, 1, 10), ended=day(22, 1, 30),
                way=Sided("electric", "not_expressed"), amount=Sided(mL(55), None)),
    )  # fmt: skip


def log(visit: str, start: Moment, *, hours: int = 23) -> tuple[Entry[Any], ...]:
    """A log from `start` on: feeds at both sides, milk given in three ways, diapers."""
    lines: tuple[tuple[float, dict[str, Any]], ...] = (
        (0.0, {"kind": "left", "wet": True}), (2.5, {"kind": "both", "stool": "yellow", "wet": True}),
        (5.0, {"kind": "bottle", "milk": "own", "amount": mL(45)}), (7.5, {"kind": "right", "wet": True}),
        (10.0, {"kind": "bottle", "milk": "formula", "amount": mL(30), "wet": True}), (13.0, {"kind": "left"}),
        (16.0, {"kind": "cup", "milk": "donor"}), (18.5, {"kind": "tube_breast", "milk": "formula", "amount": mL(20)}),
        (21.0, {"kind": "both", "stool": "green", "wet": True}), (float(hours), {"kind": "right", "wet": True}),
    )  # fmt: skip
    return (
        t.entry(FeedingLog, t.IDA, visit=visit, source="notes", complete="yes"),
        *(t.entry(LogLine, t.IDA, named=f"{visit}-line{n}", visit=visit, feeder=t.MARA,
                  starts=Moment(start.at + timedelta(hours=after), t.ZONE), **given)
          for n, (after, given) in enumerate(lines)),
    )  # fmt: skip


def chart(*more: Entry[Any], bare: bool = False) -> Chart:
    """The family's chart at the last visit; `bare` leaves it without counts, feeds and milk."""
    kept = (*t.practice(), *t.people(), *visits())
    full = () if bare else (*told(), *feeds(), *milk(), *log("v2", day(14, 10)), *log("v4", day(21, 9, 30)))
    found = {e.id: e for e in (*kept, *full, *more)}
    return Chart(t.FAMILY, LAST, tuple(found.values()))
