"""A clock that only the demo moves, and ids that come out the same each time."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

__all__ = ["ZONE", "SeededIds", "TickingClock", "at"]

ZONE = "America/New_York"
SEED = 20260303


def at(text: str) -> datetime:
    """The instant at which clocks in the invented practice show `text` ("2026-03-03 10:30")."""
    return datetime.strptime(text, "%Y-%m-%d %H:%M").replace(tzinfo=ZoneInfo(ZONE)).astimezone(UTC)


class TickingClock:
    """Tells the time it was set to, a few seconds later at each look, so that no two answers share an instant."""

    def __init__(self, start: datetime) -> None:
        self._now = start

    def __call__(self) -> datetime:
        """The time now."""
        self._now += timedelta(seconds=3)
        return self._now

    def set(self, now: datetime) -> None:
        """Move to another time; never backwards."""
        self._now = max(self._now, now)


class SeededIds:
    """Ids of 32 hexadecimal digits from a fixed seed: invented records are the same on every run."""

    def __init__(self, seed: int = SEED) -> None:
        self._random = random.Random(seed)  # noqa: S311 - names of invented entries, no secret

    def __call__(self) -> str:
        """The next id."""
        return f"{self._random.getrandbits(128):032x}"
