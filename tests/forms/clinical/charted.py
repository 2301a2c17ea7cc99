"""A small invented family for tests of rules: one baby, one parent, one visit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from forms.answers import Conflicted, Moment, Quantity, Sided, Variant
from forms.breast import BreastAssessment, BreastFinding
from forms.chart import Chart, Entry, Place, entry_id
from forms.contact import UrgentContact
from forms.expressing import ExpressingDay, Expression
from forms.feed import FeedObservation
from forms.feeding_log import LogLine
from forms.form import Form
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.oral import OralAssessment
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount
from forms.scores import Score
from forms.visit import Visit
from forms.weight import WeightReading

FAMILY, VISIT, BABY, PARENT = "f" * 32, "e" * 32, "b" * 32, "a" * 32
EARLIER = "7" * 32
"""The visit three days before, of which `charted` knows what its `before` says."""

PARTS: Mapping[str, tuple[type[Form], tuple[str, ...]]] = {
    "seen": (InfantAssessment, (BABY,)),
    "told": (InfantHistory, (BABY,)),
    "mouth": (OralAssessment, (BABY,)),
    "amount": (FeedingAmount, (BABY,)),
    "score": (Score, (BABY,)),
    "line": (LogLine, (BABY,)),
    "feed": (FeedObservation, (PARENT, BABY)),
    "parent": (ParentHistory, (PARENT,)),
    "breast": (BreastAssessment, (PARENT,)),
    "place": (BreastFinding, (PARENT,)),
    "expressing": (ExpressingDay, (PARENT,)),
    "expression": (Expression, (PARENT,)),
}
"""What can be charted at a visit, by the name under which a row of a table says it: the form and whom it is about."""
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


def left(value: Any) -> Sided[Any]:
    """An answer for the left side alone."""
    return Sided(value, None)


def _at_visit(visit: str, parts: Mapping[str, Mapping[str, Any] | None]) -> Iterator[Entry[Form]]:
    for part, answers in parts.items():
        form, subjects = PARTS[part]
        if answers is not None:
            name = entry_id(form, visit, subjects)
            yield entry(name, form(**answers), *subjects, visit=visit)


def charted(
    *more: Entry[Form],
    hours: int | None = 60,
    identity: Mapping[str, Any] | None = None,
    losing: int | None = None,
    earlier: tuple[tuple[int, int], ...] = (),
    before: Mapping[str, Mapping[str, Any]] | None = None,
    **parts: Mapping[str, Any] | None,
) -> Chart:
    """A baby born `hours` before NOW (None: nothing known of the birth), with what was seen and told at one visit.

    `parts` are answers by the names of PARTS. `losing`: grams weighed ten minutes ago, against a birth weight of
    4,000 g. `earlier`: weights before that one, as grams and hours before it. `before`: parts of a visit three days ago.
    """
    baby: dict[str, Any] = {"born": moment(NOW - timedelta(hours=hours))} if hours is not None else {}
    weighed = NOW - timedelta(minutes=10)
    entries = [
        entry(BABY, InfantIdentity(**(baby | {"birth_weight": grams(4000)} | dict(identity or {})))),
        entry(PARENT, ParentIdentity(full_name="Mara")),
        entry(VISIT, Visit(start=moment(NOW - timedelta(minutes=30)))),
        *more,
        *_at_visit(VISIT, parts),
        *(weight(base, weighed - timedelta(hours=gap)) for base, gap in earlier),
    ]
    if before is not None:
        entries += [entry(EARLIER, Visit(start=moment(NOW - timedelta(days=3)))), *_at_visit(EARLIER, before)]
    if losing is not None:
        entries.append(weight(losing, weighed))
    return Chart(FAMILY, VISIT, tuple(entries))


def urgent(person: str, *covers: str, name: str = "d" * 32, **answers: Any) -> Entry[Form]:
    given: dict[str, Any] = {"covers": covers, "at": moment(NOW), **answers}
    return entry(name, UrgentContact(**given), person, visit=VISIT)
