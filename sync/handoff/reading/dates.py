"""Days and times as FHIR writes them; one that is not whole is no value here, and its words are shown instead."""

from __future__ import annotations

import re
from datetime import date, datetime
from typing import Any, Final

from forms.answers import Moment

__all__ = ["day_told", "moment_told"]

_WHOLE_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}")


def day_told(told: Any) -> date | None:
    """A whole day, "2026-11-06"; None for a month, a year, or anything else."""
    try:
        return date.fromisoformat(told) if isinstance(told, str) and _WHOLE_DAY.fullmatch(told) else None
    except ValueError:
        return None


def moment_told(told: Any, zone: str) -> Moment | None:
    """A time of a day, lived in `zone`; None for a day alone, or anything else."""
    try:
        return Moment(datetime.fromisoformat(told), zone) if isinstance(told, str) and "T" in told else None
    except (ValueError, OverflowError):
        return None
