"""Events of an invented feed or session as they would be tapped: one entry each, at its second, by the steady clock.

All of one session are written at once, so that the invented clock does not run on between them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta
from types import MappingProxyType
from typing import Any

from demo_db.charting import Charting
from demo_db.ticking import ZONE, at
from forms.answers import Moment
from forms.ask import Path, asks
from forms.chart import Place
from forms.clinical.feed_clock import Reading
from forms.feed_event import ExpressionEvent, FeedEvent
from forms.reading import read
from storage.changes import Begin, Change, Put

__all__ = ["sucking", "tap"]

_BOOT = "an invented start"

Tapped = tuple[str, str, str | None] | tuple[str, str, str | None, int | str]
"""Minutes and seconds since the beginning, what, where, and the pain or the amount that goes with it."""


_LETTERS: Mapping[str, str] = MappingProxyType({"s": "suck", "w": "swallow"})
_EACH = 2
"""Seconds from one suck or swallow to the next."""


def sucking(lane: str, *bursts: tuple[str, str]) -> Iterator[Tapped]:
    """Bursts with a pause after each: when one begins, and its sucks and swallows as letters ("sswssw")."""
    for began, letters in bursts:
        minutes, seconds = (int(part) for part in began.split(":"))
        second = 60 * minutes + seconds
        yield (began, "sucking", lane)
        for letter in letters:
            second += _EACH
            yield (f"{second // 60}:{second % 60:02}", _LETTERS[letter], lane)
        second += _EACH
        yield (f"{second // 60}:{second % 60:02}", "pause", lane)


def tap(
    desk: Charting,
    form: type[FeedEvent | ExpressionEvent],
    session: str,
    began: str,
    *events: Tapped,
    by: tuple[str, ...],
) -> None:
    """Write the events of a session that began at `began` ("2026-03-02 10:58"); `by` are the people of its entry."""
    start, of = at(began), "feed" if form is FeedEvent else "expression"
    place, changes = Place(form.name, desk.family, desk.visit, by), list[Change]()
    for into, what, lane, *with_it in events:
        minutes, seconds = into.split(":")
        gone = timedelta(minutes=int(minutes), seconds=int(seconds))
        reading = Reading(_BOOT, int(start.timestamp()) * 10**9 + gone // timedelta(microseconds=1) * 1000)
        answers: dict[str, Any] = {
            "what": what, "at": Moment(start + gone, ZONE), "lane": lane, "noted": "live", "steady": str(reading),
            of: session,
        }  # fmt: skip
        if with_it:
            amount = what != "pain"
            answers["amount" if amount else "pain"] = (
                read(asks(form)["amount"], str(with_it[0])) if amount else with_it[0]
            )
        entity = desk.ids()
        changes.append(Begin(entity, place))
        changes.extend(Put(entity, Path(name), value) for name, value in answers.items() if value is not None)
    desk.store.write(changes, author=desk.author)
