"""What only the consultant can say in a report to one person's own provider; the rest of it is read from the chart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Any

from forms.answers import Given
from forms.ask import Need, NotCoded, Paper, Printed, day, ref, text
from forms.form import About, Form, declared

__all__ = ["ProviderReport"]

TOLD: Mapping[str, Any] = MappingProxyType({
    "paper": Printed((Paper.REPORT, Paper.SUMMARY)),
    "code": NotCoded("part of a report to a provider, handed over with it as text"),
})  # fmt: skip


@declared("report", "Provider report", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class ProviderReport(Form):
    """The report of one visit about one person. It may be finished after the note; it cannot leave unfinished."""

    to: Given[str] = ref("Report to", ("provider",), help="Empty: this person’s own provider.", **TOLD)
    must_know: Given[str] = text("The one thing the reader must know", need=Need.MUST, **TOLD)
    asked: Given[str] = text(
        "What is asked of the reader", need=Need.MUST, help="If nothing is asked, answer “none”.", **TOLD
    )
    asked_by: Given[date] = day("Asked for by", need=Need.MUST, **TOLD)
    would_change: Given[str] = text("What would change the plan", need=Need.MUST, **TOLD)
