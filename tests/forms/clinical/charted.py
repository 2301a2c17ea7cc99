"""A small invented family for tests of rules: one baby, one parent, one visit."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from forms.answers import Conflicted, Moment, Quantity, Variant
from forms.chart import Chart, Entry, Place, entry_id
from forms.contact import UrgentContact
from forms.feed import FeedObservation
from forms.form import Form
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.oral import OralAssessment
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.visit import Visit
from forms.weight import WeightReading

FAMILY, VISIT, BABY, PARENT = "f" * 32, "e" * 32, "b" * 32, "a" * 32
NOW = datetime(2026, 3, 20, 15, 0, tzinfo=UTC)
ZONE = "America/New_York"


def moment(at: datetime) -> Moment:
    return Moment(at, ZONE)


def grams(base: int) -> Quantity:
    return Quantity(str(base), "g", base)


def conflict(*values: Any) -> Conflicted:
    return Conflicted(tuple(Variant(v, "author", NOW, "device", str(n)) for n, v in enumerate(values)))


def entry(name: str, answers: Form, *subjects: str, visit: str | None = None) -> Entry[Form]:
    place = Place(type(answers).name, FAMILY, visit, subjects)
    return Entry(name, place, answers, "author", NOW)


def weight(base: int, at: datetime, **more: Any) -> Entry[Form]:
    answers: dict[str, Any] = {"weight": grams(base), "taken": moment(at), "state": "bare"} | more
    reading = WeightReading(**answers)
    return entry(f"{base:08d}{int(at.timestamp()):024d}", reading, BABY)


def charted(
    *more: Entry[Form],
    hours: int | None = 60,
    identity: Mapping[str, Any] | None = None,
    seen: Mapping[str, Any] | None = None,
    told: Mapping[str, Any] | None = None,
    mouth: Mapping[str, Any] | None = None,
    feed: Mapping[str, Any] | None = None,
    parent: Mapping[str, Any] | None = None,
    losing: int | None = None,
) -> Chart:
    """A baby born `hours` before NOW (None: nothing known of the birth), with what was seen and told at one visit.

    `losing`: grams weighed now, against a birth weight of 4,000 g.
    """
    baby: dict[str, Any] = {"born": moment(NOW - timedelta(hours=hours))} if hours is not None else {}
    entries = [
        entry(BABY, InfantIdentity(**(baby | {"birth_weight": grams(4000)} | dict(identity or {})))),
        entry(PARENT, ParentIdentity(full_name="Mara")),
        entry(VISIT, Visit(start=moment(NOW - timedelta(minutes=30)))),
        *more,
    ]
    for form, answers, subject in (
        (InfantAssessment, seen, BABY),
        (InfantHistory, told, BABY),
        (OralAssessment, mouth, BABY),
        (ParentHistory, parent, PARENT),
    ):
        if answers is not None:
            entries.append(entry(entry_id(form, VISIT, (subject,)), form(**answers), subject, visit=VISIT))
    if feed is not None:
        entries.append(entry("c" * 32, FeedObservation(**feed), PARENT, BABY, visit=VISIT))
    if losing is not None:
        entries.append(weight(losing, NOW - timedelta(minutes=10)))
    return Chart(FAMILY, VISIT, tuple(entries))


def urgent(person: str, *covers: str, name: str = "d" * 32, **answers: Any) -> Entry[Form]:
    given: dict[str, Any] = {"covers": covers, "at": moment(NOW), **answers}
    return entry(name, UrgentContact(**given), person, visit=VISIT)
