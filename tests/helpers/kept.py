"""A whole visit, built by hand, written into a real store, for tests of finishing, signing and leaving."""

from __future__ import annotations

import re
from pathlib import Path as Folder
from typing import Any, TypeVar

from PySide6.QtWidgets import QWidget

from desktop.notices import Notices
from desktop.pages.visit import VisitPage
from desktop.sheets.laid import Laid
from desktop.work import StoreLane
from forms.ask import paths
from forms.chart import Chart, Place, entry_id
from forms.form import Form, value_at
from forms.infant_history import InfantHistory
from forms.people import Family, InfantIdentity, ParentIdentity
from forms.practice import Practice
from storage.changes import Begin, Change, Put
from storage.keys import FLOOR
from storage.vault import set_up
from tests.helpers import whole_visit
from tests.helpers.twins import PASSPHRASE, ZONE, Clock, Ids, TwinVisit, Written

__all__ = ["found", "gathered", "laid", "put", "put_one", "whole_in_store"]

W = TypeVar("W", bound=QWidget)


def found(within: QWidget, kind: type[W]) -> W:
    """The one widget of a kind within another."""
    widget = within.findChild(kind)
    assert widget is not None, f"no {kind.__name__} is there"
    return widget


def laid(page: VisitPage) -> Laid:
    """The page of the section in view."""
    assert page.middle.page is not None
    return page.middle.page


def put(made: TwinVisit, form: type[Form], entity: str, *subjects: str, **answers: Any) -> str:
    """Write an entry of the visit; "pain@left" is given as pain_at_left. The entity's id."""
    place = Place(form.name, made.family, made.visit, subjects)
    named = {re.sub(r"_at_(left|right)$", r"@\1", name): value for name, value in answers.items()}
    written = Written()
    written.put(entity, place, **named)
    made.store.write(written.changes, author=made.author)
    return entity


def put_one(made: TwinVisit, form: type[Form], *subjects: str, **answers: Any) -> str:
    """Write answers into the one entry of `form` for these people at this visit."""
    return put(made, form, entry_id(form, made.visit, subjects), *subjects, **answers)


def gathered(chart: Chart) -> tuple[Change, ...]:
    """The changes that write every entry of a chart, answer by answer."""
    changes: list[Change] = []
    for entry in chart.entries:
        changes.append(Begin(entry.id, entry.place))
        for path in paths(type(entry.answers)):
            given = value_at(entry.answers, path)
            if given is not None:
                changes.append(Put(entry.id, path, given))
    return tuple(changes)


def whole_in_store(folder: Folder, *, urgent: bool = False) -> TwinVisit:
    """A store with one family whose visit is charted to the last answer; Ida is the only baby, so Juno is nobody.

    With `urgent` Ida has too few wet diapers, which nothing was done about.
    """
    clock, ids = Clock(whole_visit.START), Ids()
    store = set_up(folder, PASSPHRASE, clock=clock, ids=ids, argon=FLOOR).store
    author, written = ids(), Written()
    written.put(
        entry_id(Practice), Place("practice"), practice_name="Lantern Lane Feeding Care", country="us",
        emergency_number="911", crisis_line="988", weight_unit="g", volume_unit="mL", paper_size="letter", time_zone=ZONE,
    )  # fmt: skip
    written.put(
        author, Place("practitioner"), full_name="Rosalind Achterberg", credentials="IBCLC", phone="555 0142",
        licence_role="none",
    )  # fmt: skip
    dentist = written.put(
        ids(), Place("provider"), full_name="Dr Ottoline Marsh", profession="dentist", phone="555 0177"
    )  # fmt: skip
    chart = whole_visit.put(whole_visit.whole(), ParentIdentity, "full_name", "Mara Thornquist")
    chart = whole_visit.put(chart, ParentIdentity, "called_name", "Mara")
    for field, name in (("legal_name", "Ida Thornquist"), ("called_name", "Ida")):
        chart = whole_visit.put(chart, InfantIdentity, field, name)
    chart = whole_visit.put(chart, Family, "family_name", "Thornquist")
    if not urgent:
        for field, count in (("wets_24h", 8), ("stools_24h", 4)):
            chart = whole_visit.put(chart, InfantHistory, field, count)
    store.write((*written.changes, *gathered(chart)), author=author)
    clock.pass_by(hours=2)
    return TwinVisit(
        store=store, lane=StoreLane(store), clock=clock, ids=ids, author=author, family=whole_visit.FAMILY,
        visit=whole_visit.VISIT, mara=whole_visit.MARA, ida=whole_visit.IDA, juno="", dentist=dentist, notices=Notices(),
    )  # fmt: skip
