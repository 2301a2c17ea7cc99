"""Expressing milk: what a day of it comes to, and each session as it went."""

from __future__ import annotations

from collections.abc import Callable

from desktop.sheets.sheet import Compose, Listed, Section
from forms.chart import Entry
from forms.expressing import ExpressingDay, Expression

__all__ = ["expressing"]


def _day(c: Compose) -> None:
    c.alone("expresses")
    c.row("sessions_24h", "minutes_24h")
    c.ask("longest_gap", "night_session")
    c.row("total_24h", "each_side_24h")
    c.ask("supply_in_question", "first_expressed", "cleaning_taught", "more")


def _session(c: Compose) -> None:
    c.ask("source")
    c.row("began", "ended")
    c.alone("way")
    c.ask("together", "amount", "discomfort", "first_drops", "let_downs", "nipple_after", "breast_after")
    c.heading("Pump and fit")
    c.row("pump_class", "pump_settings")
    c.ask("nipple_width", "flange", "fit")
    c.heading("With it, and after")
    c.ask("helped", "use", "note")


def _line(entry: Entry[Expression], name: Callable[[str], str]) -> str:
    del entry, name
    return "A session"


def _sessions(c: Compose) -> None:
    c.entries(
        Expression,
        _session,
        Listed(add="A session", empty="No session is written down yet.", line=_line, concerns=True),
    )


def expressing() -> tuple[Section, ...]:
    """The sections of expressing, while a parent is charted."""
    return (
        Section("story.expressing", "Expressing", ExpressingDay, _day, "{own} expressing, in 24 hours"),
        Section("story.sessions", "Sessions", Expression, _sessions, "{own} sessions of expressing"),
    )
