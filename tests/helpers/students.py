"""A student in the practice of an invented visit, and a few answers from that hand."""

from __future__ import annotations

from typing import Any, Final

from forms.ask import Path
from forms.chart import Place, entry_id
from forms.form import Form
from forms.infant_history import InfantHistory
from forms.plan import Plan
from storage.changes import Put
from tests.helpers.twins import TwinVisit, Written

__all__ = ["TAM", "answers", "student_charts", "student_in"]

TAM: Final = "7a" * 16


def student_in(made: TwinVisit, supervisor: str | None = "Rosalind Achterberg") -> None:
    """Somebody who learns here."""
    written = Written()
    given: dict[str, Any] = {"full_name": "Tam Orrel", "practice_role": "student"}
    if supervisor is not None:
        given["supervisor"] = supervisor
    written.put(TAM, Place("practitioner"), **given)
    made.store.write(written.changes, author=made.author)


def answers(made: TwinVisit, form: type[Form], *subjects: str, by: str, **given: Any) -> None:
    """Answers to the one entry of a form at this visit, from one hand."""
    entity = entry_id(form, made.visit, subjects)
    made.store.write([Put(entity, Path.read(field), value) for field, value in given.items()], author=by)


def student_charts(made: TwinVisit) -> None:
    """Three answers of the baby's story and one of the plan; the consultant changes one of them."""
    answers(made, InfantHistory, made.ida, by=TAM, feeds_24h=9, wets_24h=7)
    answers(made, InfantHistory, made.ida, by=TAM, operations="None so far", medicines="Vitamin D drops")
    answers(made, Plan, by=TAM, went_well="Ida woke by herself.")
    answers(made, InfantHistory, made.ida, by=made.author, operations="None")
