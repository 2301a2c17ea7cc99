"""The impression: what the findings add up to, of one person and of each pair, in words within the scope."""

from __future__ import annotations

from functools import partial

from desktop.controls.layouts import Stack
from desktop.controls.segments import Segments
from desktop.controls.words import Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.findings import Findings
from desktop.sheets.in_view import InView
from desktop.sheets.sheet import Compose, Guard, Here, Section
from desktop.theme.tokens import Role, Size, Space
from forms.form import Form
from forms.impression import Impression
from forms.taking_part import noted_parents, pairs_seen

__all__ = ["impression", "impression_in_view", "notes_of"]

_SCOPE = (
    "An assessment of feeding within the certification and any licence held. It names no illness: testing, naming, "
    "prescribing and operating are for the licensed provider."
)


def notes_of(home: OpenChart, who: str) -> tuple[tuple[str, ...], ...]:
    """Whom impressions are written about while a person is charted: the person, and each pair a feed was seen of."""
    pairs = tuple(pair for pair in pairs_seen(home.chart) if who in pair)
    own = who in home.infants() or who in noted_parents(home.chart) or not pairs
    return (((who,),) if own else ()) + pairs


def impression_in_view(home: OpenChart, form: type[Form], who: str) -> EntryBinding:
    """The impression in view: of the person charted until a pair is picked."""
    notes = notes_of(home, who)
    picked = InView.of(home).shown(form, who)
    return home.binding(form, *(picked if picked in notes else notes[0]))


def _words(home: OpenChart, people: tuple[str, ...]) -> str:
    names = [home.names(one) for one in people]
    return names[0] if len(names) == 1 else f"{names[0]} feeding {names[1]}"


class _Whose(Stack):
    """Whose impression this is; one of several is a tap away."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.GAP)
        home, who = here.home, here.who
        now = here.binding.draft.place.subjects
        notes = notes_of(home, who)
        if len(notes) < 2:
            self.add(Words(f"About {_words(home, now)}", size=Size.JOT, strong=True))
            return
        options = {"+".join(people): f"About {_words(home, people)}" for people in notes}
        self.strip = Segments("Whose impression", options)
        self.strip.show_codes(("+".join(now),))
        self.strip.picked.connect(partial(self._pick, home, who))
        self.add(self.strip)

    @staticmethod
    def _pick(home: OpenChart, who: str, code: str) -> None:
        InView.of(home).show(Impression, who, *code.split("+"))


class _Scope(Words):
    """The scope line, beside every impression."""

    def __init__(self, _here: Here) -> None:
        super().__init__(_SCOPE, size=Size.SMALL, ink=Role.SOFT_INK)


def _findings(c: Compose) -> None:
    c.widget(_Whose)
    c.widget(Findings, "findings")


def _said(c: Compose) -> None:
    c.widget(_Whose)
    c.widget(_Scope)
    c.ask("strengths", "kinds", "words")


def _concern(c: Compose) -> None:
    c.widget(_Whose)
    c.ask("risk", "change", "billing_codes")


def impression() -> tuple[Section, ...]:
    """The sections of an impression."""
    heading, picks = "What it adds up to", "Findings that matter"
    # Findings are picked from every answer of the visit, those given in confidence too.
    guard = Guard.NOT_SHARED
    return (
        Section("plan.findings", "Findings", Impression, _findings, picks, guard, bind=impression_in_view),
        Section("plan.impression", "Impression", Impression, _said, heading, bind=impression_in_view),
        Section("plan.concern", "Concern", Impression, _concern, "How much of a concern", bind=impression_in_view),
    )
