"""The time zone of a practice, or what stands in for it."""

from __future__ import annotations

from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from forms.practice import Practice

__all__ = ["FALLBACK", "is_zone", "zone_of"]

FALLBACK = "UTC"


def is_zone(name: object) -> bool:
    """Whether this is the name of a zone of the IANA list."""
    if not isinstance(name, str):
        return False
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def zone_of(practice: Practice) -> str:
    """The zone in which times are typed and shown: the practice's own; UTC while none, two or no real one stands."""
    zone = practice.time_zone
    return zone if isinstance(zone, str) and is_zone(zone) else FALLBACK
