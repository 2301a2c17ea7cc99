"""What stands beside a visit's title, over it and in its thread, in words made from the chart."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from desktop.controls.shown import clock, day_words
from desktop.open_chart import OpenChart
from desktop.sheets.persons import full_name
from desktop.sheets.sheet import Section
from forms.answers import Absence, Absent, Conflicted, Moment, Quantity, every
from forms.ask import Path, ask_of
from forms.breast import BreastAssessment
from forms.chart import Chart, Entry
from forms.consent import TouchConsent, refused
from forms.days import DAYS
from forms.form import Form, conflicted
from forms.infant import InfantAssessment
from forms.newer import choice_words
from forms.note import blanks
from forms.people import InfantIdentity
from forms.practice import Practitioner
from forms.prompts_left import prompts_left
from forms.taking_part import earlier_visits
from forms.units import shown
from forms.visit import Visit

__all__ = [
    "MOMENT_WORDS", "beside_title", "conflicts", "consents_refused", "signed_words", "touch_refused", "visit_line",
    "visit_when",
]  # fmt: skip

MOMENT_WORDS: Mapping[str, str] = MappingProxyType({
    "arrive": "Arrive",
    "story": "Story",
    "weigh": "Weigh",
    "feed": "Feed",
    "look": "Look",
    "plan": "Plan",
    "leave": "Leave",
})  # fmt: skip

_ORDINALS = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth", "Tenth")


def _head(chart: Chart) -> Visit:
    return chart.person(Visit, chart.visit or "")


def visit_line(chart: Chart) -> str:
    """Which visit this is: "Second visit, at home"."""
    before = len(earlier_visits(chart))
    nth = f"{_ORDINALS[before]} visit" if before < len(_ORDINALS) else f"Visit {before + 1}"
    kind = _head(chart).kind
    words = ask_of(Visit, "kind").options.get(kind, "") if isinstance(kind, str) else ""
    return f"{nth}, {words.lower()}" if words else nth


def visit_when(chart: Chart) -> str:
    """When it began: "Tue 3 Mar 2026, 10:42"."""
    start = _head(chart).start
    if not isinstance(start, Moment):
        return "beginning not written yet"
    local = start.local()
    return f"{DAYS[local.weekday()][:3]} {day_words(local)}, {clock(local)}"


def _touch(home: OpenChart, who: str) -> str:
    given = home.chart.one(TouchConsent, who)
    by = given.given_by if isinstance(given.given_by, str) and given.given_by.strip() else ""
    at = f" {clock(given.given_at.local())}" if isinstance(given.given_at, Moment) else ""
    said = {"yes": "said yes to touch", "limited": "said yes to touch, with limits", "no": "said no to touch"}
    if not isinstance(given.agreed, str) or given.agreed not in said:
        return "touch not asked yet"
    return f"{by or 'the family'} {said[given.agreed]}{at}"


def _looking(home: OpenChart, who: str) -> str:
    """What a parent said to being looked at today; until that is asked, what was said of touch on arriving."""
    given = home.chart.one(BreastAssessment, who).consent
    words = choice_words(ask_of(BreastAssessment, "consent"), given) if isinstance(given, str) else ""
    if not words:
        return _touch(home, who)
    return f"{'' if given == 'told' else 'consent '}{words[:1].lower()}{words[1:]}"


def _state(home: OpenChart, who: str) -> str:
    given = home.chart.one(InfantAssessment, who).state_on_arrival
    return ask_of(InfantAssessment, "state_on_arrival").options.get(given, "") if isinstance(given, str) else ""


def beside_title(home: OpenChart, moment: str, who: str, section: Section | None = None) -> str:
    """The quiet words at the right of the title: what one wants to know there without looking it up."""
    if section is not None and section.told is not None:
        return section.told(home, who)[1]
    chart, baby = home.chart, who in home.infants()
    if moment == "weigh" and baby:
        weight = chart.person(InfantIdentity, who).birth_weight
        return (
            f"born at {shown(weight.base, weight.unit)}" if isinstance(weight, Quantity) else "birth weight not known"
        )
    if moment == "look" and not baby:
        return _looking(home, who)
    if moment in ("feed", "look"):
        return ", ".join(words for words in (_state(home, who).lower() if baby else "", _touch(home, who)) if words)
    if moment in ("plan", "leave"):
        left = len(blanks(chart)) + len(prompts_left(chart, home.clock()))
        return "nothing left blank" if not left else f"{left} left on the finish list"
    return ""


def touch_refused(home: OpenChart, who: str) -> str:
    """The sentence that stands all visit where touch was declined or withdrawn; "" where it was not."""
    given = home.chart.one(TouchConsent, who)
    if "no" in every(given.agreed) or given.agreed == Absent(Absence.DECLINED):
        return f"Touch is declined for {full_name(home, who)}. What needs hands is talked through instead."
    if every(given.withdrawn_at):
        return f"Touch was withdrawn for {full_name(home, who)}. What needs hands is talked through from now on."
    return ""


def consents_refused(home: OpenChart, who: str) -> str:
    """What else this person said no to or took back; "" if nothing."""
    said = refused(home.chart, who)
    listed = "; ".join(f"{words[:1].lower()}{words[1:]}" for words in said)
    return f"Declined or withdrawn for {full_name(home, who)}: {listed}." if said else ""


def conflicts(chart: Chart) -> tuple[tuple[Entry[Form], Path], ...]:
    """Every answer of this visit, or of its people, for which two values stand."""
    return tuple(
        (entry, path)
        for entry in chart.entries
        if entry.struck is None and (entry.place.visit in (None, chart.visit) or entry.id == chart.visit)
        for path in conflicted(entry.answers)
    )


def signed_words(home: OpenChart) -> str:
    """Who signed this visit and when; "" while it is open."""
    signed = home.chart.signed()
    if signed is None:
        return ""
    by = home.chart.person(Practitioner, signed.by).full_name
    name = by if isinstance(by, str) and not isinstance(by, Conflicted) else "the consultant"
    local = Moment(signed.at, home.zone).local()
    return f"Signed by {name}, {day_words(local)} {clock(local)}. It stays as it was signed; what comes later is added."
