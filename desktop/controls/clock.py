"""Days and times in words, the same on every machine."""

from __future__ import annotations

from forms.days import clock, moment_words
from forms.days import short_day as day_words

__all__ = ["clock", "day_words", "moment_words"]
