"""A whole first visit built by hand, and ways to change one thing about it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

from forms.answers import Moment, Quantity, Sided
from forms.ask import Ask, Kind, Need, Path, asks
from forms.breast import BreastAssessment
from forms.chart import Chart, Entry, Place, entry_id
from forms.consent import CareConsent, Consent, TouchConsent
from forms.feed import FeedObservation
from forms.form import Form, shown_asks, with_value
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.note import answered
from forms.parent_history import ParentHistory
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.visit import Present, Visit
from forms.weight import WeightReading

FAMILY, VISIT, MARA, IDA, JUNO = "family", "visit", "mara", "ida", "juno"
ZONE = "America/New_York"
START = datetime(2026, 3, 3, 15, 0, tzinfo=UTC)


def at(hours: float = 0.0) -> Moment:
    return Moment(START + timedelta(hours=hours), ZONE)


def some(ask: Ask) -> Any:
    """A value that the question can take; the mildest where options say "none"."""
    match ask.kind:
        case Kind.CHOICE:
            return next(iter(ask.options))
        case Kind.MANY:
            return ask.alone[:1] or (next(iter(ask.options)),)
        case Kind.SCALE | Kind.COUNT:
            return max(ask.low or 0, 1)
        case Kind.QUANTITY:
            return Quantity(str(ask.low), ask.units[0], ask.low or 0)
        case Kind.MOMENT:
            return at()
        case Kind.DAY:
            return date(2026, 3, 3)
        case Kind.LINE | Kind.TEXT:
            return "as told"
        case Kind.YES_NO:
            return False
        case Kind.REF:
            return "someone"
        case Kind.REFS:
            return ("someone",)


def filled(form: type[Form], **given: Any) -> Form:
    """The form with every question that a note can need answered, follow-ups included."""
    answers = form(**given)
    while True:
        empty = [p for p, ask, value in shown_asks(answers) if ask.need is not Need.FREE and not answered(value)]
        if not empty:
            return answers
        for path in empty:
            answers = with_value(answers, path, some(asks(form)[path.field]))


def entry(form: type[Form], *subjects: str, visit: str | None = VISIT, named: str = "", **given: Any) -> Entry[Any]:
    name = named or (
        entry_id(form, visit, subjects) if not form.repeats else f"{form.name}-{visit}-{'-'.join(subjects)}"
    )
    return Entry(name, Place(form.name, FAMILY, visit, subjects), filled(form, **given), "author", START)


def agreed(*purposes: str) -> tuple[Entry[Any], ...]:
    """Mara's consent for each of these purposes, given as the visit began."""
    return tuple(
        entry(Consent, MARA, visit=None, named=f"consent-{purpose}", purpose=purpose, agreed="yes", given_at=at())
        for purpose in purposes
    )


def baby(name: str, visit: str = VISIT) -> tuple[Entry[Form], ...]:
    return (
        entry(InfantIdentity, visit=None, named=name, born=at(-24 * 10)),
        entry(CareTeam, name, visit=None),
        entry(CareConsent, name, visit=visit, agreed="yes"),
        entry(TouchConsent, name, visit=visit),
        entry(InfantHistory, name, visit=visit, taken="in_full"),
        entry(InfantAssessment, name, visit=visit),
        entry(WeightReading, name, visit=visit),
        entry(FeedObservation, MARA, name, visit=visit, swallows=Sided("many", "many"), pain_after_30s=Sided(1, 1)),
        entry(Impression, name, visit=visit),
        entry(Impression, MARA, name, visit=visit),
        entry(FeedingAmount, name, visit=visit),
    )


def whole(*babies: str) -> Chart:
    """A first visit at home with nothing left open."""
    return Chart(FAMILY, VISIT, (
        entry(Family, visit=None, named=FAMILY),
        entry(ParentIdentity, visit=None, named=MARA, roles=("birth_parent",)),
        entry(CareTeam, MARA, visit=None),
        entry(Visit, visit=None, named=VISIT, kind="home", start=at(), end=at(1.5)),
        entry(Present),
        entry(CareConsent, MARA, agreed="yes"),
        entry(TouchConsent, MARA),
        *agreed("terms", "privacy_notice"),
        entry(ParentHistory, MARA, taken="in_full"),
        entry(BreastAssessment, MARA),
        entry(Impression, MARA),
        entry(Plan),
        entry(PlanTask, order=1),
        *(part for name in babies or (IDA,) for part in baby(name)),
    ))  # fmt: skip


def without(chart: Chart, form: type[Form], *subjects: str) -> Chart:
    kept = (e for e in chart.entries if type(e.answers) is not form or (subjects and e.place.subjects != subjects))
    return replace(chart, entries=tuple(kept))


def put(chart: Chart, form: type[Form], path: str, value: Any, *subjects: str) -> Chart:
    """The chart with one answer of one entry changed."""
    hit = [e for e in chart.entries if type(e.answers) is form and (not subjects or e.place.subjects == subjects)]
    assert len(hit) == 1
    changed = replace(hit[0], answers=with_value(hit[0].answers, Path.read(path), value))
    return replace(chart, entries=tuple(changed if e is hit[0] else e for e in chart.entries))


def add(chart: Chart, *entries: Entry[Any]) -> Chart:
    return replace(chart, entries=(*chart.entries, *entries))
