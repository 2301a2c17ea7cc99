"""The time zone of a practice, or what stands in for it."""

from __future__ import annotations

from forms.practice import Practice, is_zone

__all__ = ["FALLBACK", "zone_of"]

FALLBACK = "UTC"


def zone_of(practice: Practice) -> str:
    """The zone in which times are typed and shown: the practice's own; UTC while none, two or no real one stands."""
    zone = practice.time_zone
    return zone if isinstance(zone, str) and is_zone(zone) else FALLBACK
