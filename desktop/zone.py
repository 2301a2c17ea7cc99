"""The time zone of a practice, or what stands in for it."""

from __future__ import annotations

from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from forms.practice import Practice

__all__ = ["zone_of"]

FALLBACK = "UTC"


def zone_of(practice: Practice) -> str:
    """The zone in which times are typed and shown: the practice's own; UTC while none, two or no real one stands."""
    zone = practice.time_zone
    if not isinstance(zone, str):
        return FALLBACK
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError):
        return FALLBACK
    return zone
