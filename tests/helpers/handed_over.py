"""Hand-overs of the practice at Tallow Lane: sealed papers and records, and what of their facts should arrive."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from typing import Any

from forms.answers import Absent, Moment, Quantity
from forms.ask import Kind, Paper
from forms.chart import Chart
from forms.papers.visit_summary import visit_summary
from forms.units import exact
from sync.handoff.inside import carried_by
from sync.handoff.letter import write_letter
from sync.handoff.reading.held import HandOver
from sync.handoff.record.plain import fixed_id
from sync.handoff.record.telling import Telling
from sync.handoff.seals import Seal, make_seals, seal_of
from sync.handoff.sign import sign_letter
from tests.helpers import thornbury as t
from tests.sync.conftest import Shelf

__all__ = [
    "bare",
    "charted_facts",
    "elsewhere_record",
    "observed",
    "offered_facts",
    "sealed_summary",
    "tallow_lane_seal",
]


@cache
def tallow_lane_seal() -> Seal:
    """The seal of the practice at Tallow Lane; a signature beside a record is made by the real clock."""
    shelf = Shelf()
    make_seals(shelf, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=t.NOW)  # type: ignore[arg-type]
    return seal_of(shelf, t.WRITER, name="Rowan Vale", now=t.NOW)  # type: ignore[arg-type]


def sealed_summary(seal: Seal, person: str = t.IDA, chart: Chart | None = None) -> bytes:
    """The sealed summary of the visit for one person, the record inside."""
    of = chart if chart is not None else t.whole()
    outline = visit_summary(of, person, writer=t.WRITER, now=t.NOW)
    carried = carried_by(of, outline, seal, author=t.WRITER, now=t.NOW)
    pages = write_letter(outline, made=t.NOW, sealed=True)
    return sign_letter(pages, seal, at=Moment(t.NOW, t.ZONE), who=outline.writer, record=carried)


def bare(value: Any) -> Any:
    """A value as it can travel: an amount by its unit and exact size, a moment by its instant, a line by its words."""
    match value:
        case Quantity():
            return value.unit, exact(value)
        case Moment():
            return value.at
    return value


def charted_facts(chart: Chart, writer: str) -> Iterator[tuple[str, str, Any]]:
    """Entry, question and value of every answer the summary of a chart tells, references apart."""
    people = tuple(e.id for e in chart.entries if e.place.form in ("infant", "parent"))
    telling = Telling(chart, Paper.SUMMARY, people, writer, t.NOW)
    for entry in telling.entries():
        for one in telling.answers(entry):
            refers = one.ask.kind in (Kind.REF, Kind.REFS) and "answer" not in one.ask.of
            if (refers and not isinstance(one.given, Absent)) or one.given in ((), "", None):
                continue
            yield fixed_id("QuestionnaireResponse", entry.id), str(one.path), bare(one.given)


def offered_facts(found: HandOver) -> Iterator[tuple[str, str, Any]]:
    """The same of what is offered."""
    for one in found.offers:
        if "QuestionnaireResponse/" in one.entry and not one.points:
            assert not one.only_shown, one.only_shown
            yield one.entry.partition("/")[2], str(one.path), bare(one.value)


def observed(code: str, value: Any, unit: str | tuple[str], **more: Any) -> dict[str, Any]:
    """An Observation of another program; a unit without its code is given as ("oz",)."""
    coded = {} if isinstance(unit, tuple) else {"system": "http://unitsofmeasure.org", "code": unit}
    amount = {"value": value, "unit": unit[0] if isinstance(unit, tuple) else unit, **coded}
    return {
        "resourceType": "Observation", "id": code, "status": "final", "subject": {"reference": "Patient/p"},
        "code": {"coding": [{"system": "http://loinc.org", "code": code}]}, "valueQuantity": amount,
        "effectiveDateTime": "2026-01-14T08:00:00-05:00", **more,
    }  # fmt: skip


def elsewhere_record(*resources: dict[str, Any], born: str = "2026-01-12") -> bytes:
    """A plain record of another program about one baby."""
    baby = {
        "resourceType": "Patient", "id": "p", "birthDate": born, "gender": "female",
        "name": [{"family": "Thornbury", "given": ["Ida", "Rose"]}],
    }  # fmt: skip
    entry = [{"resource": one} for one in (baby, *resources)]
    return json.dumps({"resourceType": "Bundle", "type": "collection", "entry": entry}).encode()
