"""Expressing milk: what a day of it comes to, and each session as it went."""

from __future__ import annotations

from collections.abc import Callable

from desktop.controls.buttons import Link
from desktop.controls.clock import moment_words
from desktop.controls.figure_table import FigureTable
from desktop.controls.layouts import Stack
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.sheets.expressing_live import EXPRESS_LIVE
from desktop.sheets.sheet import Compose, Here, Listed, Offer, Section
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Given, Moment, Quantity, Sided, every
from forms.ask import ask_of
from forms.chart import Entry
from forms.clinical.expressing import flange_difference
from forms.clinical.result import NoFigure
from forms.clinical.storage import PLACES, SOURCE, Kept, use_by
from forms.expressing import STORED, ExpressingDay, Expression
from forms.newer import choice_words
from forms.units import alone

__all__ = ["expressing"]


class _Storage(Stack):
    """How long milk is kept, on a tap; nothing is filled in from here."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.GAP)
        del here
        self.opener = Link("How long expressed milk is kept, at a term baby’s home")
        self.lines = Stack(between=Space.GAP)
        self.lines.add(
            FigureTable("How long expressed milk is kept", ("Where", "Until"), PLACES),
            Words(f"Born early or ill: the unit’s own rules. Source: {SOURCE}.", size=Size.SMALL, ink=Role.SOFT_INK),
        )
        self.lines.hide()
        self.opener.clicked.connect(lambda: self.lines.setVisible(self.lines.isHidden()))
        self.add(self.opener, self.lines)


def _day(c: Compose) -> None:
    c.alone("expresses")
    c.row("sessions_24h", "minutes_24h")
    c.ask("longest_gap", "night_session", "total_24h", "each_side_24h")
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
    """When, how, and the amount of each side: "Tue 3 Mar 2026 09:42, electric pump, left 35 mL, right 0 mL"."""
    del name
    session = entry.answers
    said = [moment_words(began) for began in every(session.began)] or ["Time not written yet"]
    ask = ask_of(Expression, "way")
    ways = dict.fromkeys(way for given in (session.way.left, session.way.right) for way in every(given))
    said += [choice_words(ask, way).lower() for way in ways if way != "not_expressed"]
    for side, given in (("left", session.amount.left), ("right", session.amount.right)):
        said += [f"{side} {alone(amount.base, amount.unit)}" for amount in every(given)]
    return ", ".join(said)


def _more(home: OpenChart, entry: Entry[Expression]) -> str:
    """Until when stored milk is kept, and how much wider the flange is than the nipple; no rule is made of that."""
    del home
    session = entry.answers
    since = session.ended if isinstance(session.ended, Moment) else session.began
    said = []
    for place in dict.fromkeys(place for use in every(session.use) for place in use if place in STORED):
        found = use_by(since, Kept(place), session.kept_for)
        words = found.why if isinstance(found, NoFigure) else found.text
        said.append(f"{choice_words(ask_of(Expression, 'use'), place)}: {words}.")
    wider = _wider(session.nipple_width, session.flange)
    return " ".join((*said, *((f"Flange less nipple: {wider}.",) if wider else ())))


def _wider(nipple: Sided[Given[Quantity]], flange: Sided[Given[Quantity]]) -> str:
    left, right = flange_difference(nipple.left, flange.left), flange_difference(nipple.right, flange.right)
    said = [f"{side} {found}" for side, found in (("left", left), ("right", right)) if isinstance(found, str)]
    return ", ".join(said)


def _at_the_visit(home: OpenChart) -> tuple[Offer, ...]:
    del home
    return (Offer("A session now", {"source": "seen"}),)


def _sessions(c: Compose) -> None:
    c.entries(
        Expression,
        _session,
        Listed(
            add="A session told or read",
            empty="No session is written down yet.",
            line=_line,
            concerns=True,
            offers=_at_the_visit,
            more=_more,
        ),
    )
    c.widget(_Storage)


def expressing() -> tuple[Section, ...]:
    """The sections of expressing, while a parent is charted."""
    return (
        Section("story.expressing", "Expressing", ExpressingDay, _day, "{own} expressing, in 24 hours"),
        EXPRESS_LIVE,
        Section("story.sessions", "Sessions", Expression, _sessions, "{own} sessions of expressing"),
    )
