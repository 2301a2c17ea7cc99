"""The log of a baby's day: its lines in the order of the clock, the ring of 24 hours, and what they come to."""

from __future__ import annotations

from collections.abc import Callable

from desktop.sheets.sheet import Compose, Listed, Section
from forms.chart import Entry
from forms.feeding_log import FeedingLog, LogLine

__all__ = ["feeding_log"]


def _entry(c: Compose) -> None:
    c.row("starts", "ends")
    c.ask("kind", "feeder", "feeder_other", "wet", "stool", "brought_up", "slept", "note", "source")


def _line(entry: Entry[LogLine], name: Callable[[str], str]) -> str:
    del entry, name
    return "A line"


def _lines(c: Compose) -> None:
    c.entries(LogLine, _entry, Listed(add="A line", empty="The log has no line yet.", line=_line, concerns=True))


def _about(c: Compose) -> None:
    c.ask("source")


def feeding_log() -> tuple[Section, ...]:
    """The sections of a baby's log."""
    return (
        Section("story.log", "Log", LogLine, _lines, "{own} feeds and diapers by the clock"),
        Section("story.day", "24 hours", FeedingLog, _about, "{own} 24 hours"),
    )
