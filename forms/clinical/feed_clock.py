"""The time line of one feed or session: the wall clock once, then a clock that only goes forward.

A feed is told by elapsed time, so a wall clock set back an hour, or a change to summer time, must move nothing in it.
The reading of the steady clock is kept with each event as it is tapped. An event whose time is written over by hand
loses its reading, since the two no longer belong together: whoever writes `at` over clears `steady` in the same step.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from forms.answers import Moment
from forms.clinical.age import elapsed_words
from forms.clinical.feed_taps import Event

__all__ = ["FORGOTTEN", "QUIET", "Reading", "apart", "on_line"]

QUIET: Final = timedelta(hours=2)
"""After this long without an event it is asked whether the feed is still the same: house bound, no source."""
FORGOTTEN: Final = timedelta(hours=3)
"""After this long without an event a feed no longer counts as running: house bound, no source."""

WENT_BACK = (
    "The computer's clock stands before the last event here. This one is put at the same time as the last; write its "
    "time over if you know it."
)
LONG_AGO = "The last event here was {ago} ago. Look whether this is still the same feed."


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading of the steady clock: nanoseconds of one start of the machine, which `boot` names."""

    boot: str
    nanos: int

    def __str__(self) -> str:
        """The form in which it is kept with an event."""
        return f"{self.boot} {self.nanos}"

    @classmethod
    def read(cls, kept: str) -> Reading | None:
        """The reading that was kept; None for anything else, as a newer version may write."""
        boot, _, nanos = kept.rpartition(" ")
        return cls(boot, int(nanos)) if boot and nanos.isascii() and nanos.isdecimal() else None


def _anchored(earlier: Iterable[Event], reading: Reading | None) -> Moment | None:
    """The time of a reading on the line of the first event tapped since the same start of the machine."""
    if reading is None:
        return None
    same = [
        (kept.nanos, event)
        for event in earlier
        if (kept := Reading.read(event.steady)) is not None and kept.boot == reading.boot
    ]
    nanos, anchor = min(same, key=lambda pair: (pair[0], pair[1].id), default=(0, None))
    if anchor is None or reading.nanos < nanos:
        return None
    return Moment(anchor.at + timedelta(microseconds=(reading.nanos - nanos) // 1000), anchor.zone)


def on_line(earlier: Iterable[Event], now: Moment, reading: Reading | None) -> tuple[Moment, str]:
    """When a tap happened on the session's own line, and a doubt in one plain sentence, "" for none.

    `earlier` are the session's events so far, `now` the wall clock, `reading` the steady clock (None: there is none).
    With an event of the same start of the machine the wall clock is not looked at. Without one, after a restart, it is
    taken, but never put before the last event.
    """
    events = tuple(earlier)
    last = max((event.at for event in events), default=None)
    found, doubt = _anchored(events, reading), ""
    if found is None:
        found = now
        if last is not None and now.at < last:
            found, doubt = Moment(last, now.zone), WENT_BACK
    if last is not None and found.at - last > QUIET:
        doubt = LONG_AGO.format(ago=elapsed_words(found.at - last))
    return found, doubt


def apart(earlier: Iterable[Event], now: Moment, reading: Reading | None) -> timedelta:
    """How far the wall clock stands ahead of the session's line; nothing if the line has no steady reading.

    Above a minute the wall clock was set while the feed ran, and weights timed by it will not fit the feed.
    """
    found = _anchored(earlier, reading)
    return now.at - found.at if found is not None else timedelta(0)
