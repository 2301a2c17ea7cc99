"""The log of a baby's day: its lines in the order of the clock, the ring of 24 hours, and what they come to."""

from __future__ import annotations

from collections.abc import Callable

from desktop.sheets.log_day import LogDay
from desktop.sheets.log_fast import LogFast
from desktop.sheets.log_in import LogIn
from desktop.sheets.log_lines import LogLines
from desktop.sheets.sheet import Compose, Guard, Listed, Section
from forms.chart import Entry
from forms.feeding_log import FeedingLog, LogLine
from forms.log_words import what_was

__all__ = ["feeding_log"]


def _entry(c: Compose) -> None:
    c.row("starts", "ends")
    c.alone("kind")
    c.ask("kind_words", "milk", "amount", "minutes_left", "minutes_right", "minutes_together")
    c.ask("pumped_left", "pumped_right", "pumped_together")
    c.ask("wet", "stool", "feeder", "feeder_other", "discomfort", "brought_up", "slept", "note", "source")


def _line(entry: Entry[LogLine], name: Callable[[str], str]) -> str:
    return what_was(entry.answers, name)


def _lines(c: Compose) -> None:
    c.widget(LogFast)
    c.note("One key begins a line; its time comes next. A time alone is taken as the last such time.")
    c.entries(
        LogLine,
        _entry,
        Listed(add="Something else", empty="The log has no line yet.", line=_line, concerns=True, crafted=LogLines),
    )


def _about(c: Compose) -> None:
    c.widget(LogDay)
    c.ask("source", "taken_in")


def _file(c: Compose) -> None:
    c.widget(LogIn)


def feeding_log() -> tuple[Section, ...]:
    """The sections of a baby's log."""
    return (
        Section("story.log", "Log", LogLine, _lines, "{own} feeds and diapers by the clock"),
        Section("story.day", "24 hours", FeedingLog, _about, "{own} 24 hours"),
        Section("story.file", "Log from a file", FeedingLog, _file, "{own} log from a file", Guard.NOT_SHARED),
    )
