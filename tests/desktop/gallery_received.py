"""The pages of the gallery on which what another practice sent is looked at and taken."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QWidget

from desktop.controls.layouts import Reach
from desktop.pages.family import FamilyPage
from desktop.pages.received import ReceivedPage
from forms.answers import Quantity
from forms.ask import Path as Register
from forms.people import InfantIdentity, ParentIdentity
from storage.changes import Put
from tests.desktop.gallery_shell import builder
from tests.helpers.filled_sheet import blank, some_sheet
from tests.helpers.handed_over import elsewhere_record, observed, sealed_summary, tallow_lane_seal
from tests.helpers.program import Program, read

__all__ = ["PAGES"]

_OZ = ("oz",)
_ROWS = b"what,value,unit,when\nTemperature,37.1,Cel,2026-03-01\nBilirubin,180,umol/L,2026-03\n,12,,\n"


def _page(program: Program) -> ReceivedPage:
    program.desk.received(read(program, lambda store: store.search("thornquist"))[0].id)
    page = program.to("received")
    assert isinstance(page, ReceivedPage)
    return page


def _opened(page: ReceivedPage, program: Program, name: str, data: bytes, *, choose: bool = True) -> None:
    place = Path(tempfile.mkdtemp(prefix="hearthside-sent-")) / name
    place.write_bytes(data)
    page.read(place)
    program.idle()
    program.idle()
    program.idle()
    if choose:
        for shown in page.people:
            shown.choose(page.home.chart.all(InfantIdentity)[0].id)


def _to_the_end(page: QWidget) -> None:
    """Scroll to the foot of the column, once it is laid out."""
    for _ in range(3):
        QCoreApplication.processEvents()
    bar = page.findChildren(Reach)[0].verticalScrollBar()
    bar.setValue(bar.maximum())


def _sealed(*, known: bool, changed: bool = False) -> Callable[[Program], object]:
    def show(program: Program) -> None:
        seal, page = tallow_lane_seal(), _page(program)
        page._roots = lambda _store: (seal.root,) if known else ()
        paper = sealed_summary(seal)
        _opened(page, program, "visit-summary.pdf", paper + b"\n% one line more" if changed else paper)

    return show


def _plain(program: Program) -> None:
    record = elsewhere_record(
        observed("8339-4", 3420, "g"), observed("11884-4", 275, "d"), observed("8339-4", 120, _OZ, id="oz"),
        observed("29463-7", 3300, "g", effectiveDateTime="2026-01-14T08:00:00-05:00"), observed("8310-5", 37.1, "Cel"),
        {"resourceType": "Flag", "id": "f", "text": {"div": "<div>Heart murmur heard once, to be seen again</div>"}},
        born="2027-01-12",
    )  # fmt: skip
    _opened(_page(program), program, "discharge.json", record)


def _conflicted(program: Program) -> None:
    """Two answers stand where the file offers a third."""
    chart = read(program, lambda store: store.chart(store.search("thornquist")[0].id))
    ida = next(e.id for e in chart.all(InfantIdentity) if e.answers.called_name == "Ida")
    other = Put(ida, Register("birth_weight"), Quantity("2330", "g", 2330), ())
    read(program, lambda store: store.write((other,), author=program.desk.session.author))
    page = _page(program)
    _opened(page, program, "discharge.json", elsewhere_record(observed("8339-4", 2350, "g")))
    _to_the_end(page)


def _family(program: Program) -> None:
    """Two facts taken, on the family's page."""
    page = _page(program)
    _opened(page, program, "ward.csv", _ROWS, choose=False)
    (shown,) = page.people
    shown.choose(page.home.infants()[0])
    for row in shown.rows.values():
        row.taken.emit(False)
        for _ in range(4):
            program.idle()
    program.desk.family(page.home.chart.family)
    family = program.to("family")
    assert isinstance(family, FamilyPage)
    program.idle()
    _to_the_end(family)


def _table(program: Program) -> None:
    _opened(_page(program), program, "ward.csv", _ROWS, choose=False)


def _sheet(program: Program) -> None:
    """A filled sheet with an answer that cannot be read, one that stands otherwise here, and a field of nobody's."""
    page = _page(program)
    _opened(page, program, "before-the-visit.pdf", some_sheet(), choose=False)
    for shown in page.people:
        shown.choose((page.home.parents() if shown.person.form is ParentIdentity else page.home.infants())[0])


def _sheet_below(program: Program) -> None:
    _sheet(program)
    _to_the_end(program.to("received"))


def _sheet_empty(program: Program) -> None:
    _opened(_page(program), program, "before-the-visit.pdf", blank(), choose=False)


def _refused(program: Program) -> None:
    _opened(_page(program), program, "record.json", b'{"resourceType":"Bundle","entry":[', choose=False)


PAGES: list[tuple[str, Callable[[], QWidget]]] = [
    builder("received-empty", _page, store=True, inside=True),
    builder("received-known", _sealed(known=True), store=True, inside=True),
    builder("received-stranger", _sealed(known=False), store=True, inside=True),
    builder("received-changed", _sealed(known=True, changed=True), store=True, inside=True),
    builder("received-plain", _plain, store=True, inside=True),
    builder("received-conflicted", _conflicted, store=True, inside=True),
    builder("received-family", _family, store=True, inside=True),
    builder("received-table", _table, store=True, inside=True),
    builder("received-sheet", _sheet, store=True, inside=True),
    builder("received-sheet-below", _sheet_below, store=True, inside=True),
    builder("received-sheet-empty", _sheet_empty, store=True, inside=True),
    builder("received-refused", _refused, store=True, inside=True),
]
