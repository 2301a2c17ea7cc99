"""The sheet for before the visit, filled in by programs that are not ours, in the ways in which readers write."""

from __future__ import annotations

import subprocess
import tempfile
from collections.abc import Iterator, Mapping
from datetime import date
from enum import Enum
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any, Final
from warnings import catch_warnings, simplefilter

import pikepdf
import pypdf
from pikepdf import Array, Dictionary, Name, PageCopyWarning, String

from forms.answers import Absent, Conflicted, Moment, Quantity, every
from forms.ask import Ask, Kind
from forms.chart import Chart
from forms.days import MONTHS
from forms.form import value_at
from forms.papers.intake import PARTS, Asked, asked, intake
from forms.units import UNITS
from sync.handoff.intake_sheet import write_intake
from tests.helpers import thornbury as t

__all__ = [
    "PLACES", "Coding", "Marking", "answers_of_chart", "blank", "fields_in", "filled", "filled_by_mutool",
    "filled_by_pypdf", "saved", "some_sheet", "typed",
]  # fmt: skip

PLACES: Final[Mapping[str, Asked]] = {one.key: one for part in PARTS for one in asked(part)}


@cache
def blank(page: str = "letter") -> bytes:
    """A sheet nobody filled in."""
    return write_intake(intake(t.whole(), t.WRITER), at=t.NOW, page=page)


class Coding(Enum):
    """How a program writes letters; with PDF's own coding, those it has not go as UTF-16."""

    OWN = "pdfdoc"
    UTF16 = "utf-16-be"
    UTF16_TURNED = "utf-16-le"
    UTF8 = "utf-8"


_MARKS: Final = {Coding.UTF16: b"\xfe\xff", Coding.UTF16_TURNED: b"\xff\xfe", Coding.UTF8: b"\xef\xbb\xbf"}


class Marking(Enum):
    """How a program writes that a box is ticked."""

    NAME = "a name alone"
    BOTH = "a name, and the picture of the tick"
    LOOK = "the picture alone"
    TEXT = "a text"
    STROKE = "a text that begins with the stroke of a name"
    LIST = "a list of one"
    WIDGET = "a name at the box itself"


def typed(ask: Ask, value: Any) -> str | tuple[str, ...]:
    """An answer as somebody writes it on the sheet, or the codes that are ticked."""
    match value:
        case bool():
            return ("yes",) if value else ("no",)
        case Quantity():
            return value.typed if any(map(str.isalpha, value.typed)) else f"{value.typed} {UNITS[value.unit].symbol}"
        case Moment():
            local = value.local()
            return f"{local.day} {MONTHS[local.month - 1]} {local.year} {local:%H:%M}"
        case date():
            return f"{value.day} {MONTHS[value.month - 1]} {value.year}"
        case tuple():
            return value
    return (str(value),) if ask.kind is Kind.CHOICE else str(value)


def answers_of_chart(chart: Chart, parent: str, infant: str, visit: str) -> dict[str, Any]:
    """What the sheet asks of one parent and one baby, as it was answered at a visit."""
    found = {}
    for key, one in PLACES.items():
        for entry in chart.entries:
            about = {entry.id, *entry.place.subjects} & {parent, infant}
            if type(entry.answers) is one.form and about and entry.place.visit in (None, visit) and not entry.struck:
                given = value_at(entry.answers, one.path)
                if every(given) and not isinstance(given, Absent | Conflicted):
                    found[key] = given
    return found


def fields_in(pdf: pikepdf.Pdf) -> dict[str, Any]:
    """Each field by its whole name."""
    return {
        f"{group.T}.{field.T}": field for group in pdf.Root.AcroForm.Fields for field in group.Kids
    }  # fmt: skip


def _coded(words: str, coding: Coding) -> String:
    if coding is Coding.OWN:
        try:
            return String(words.encode("pdfdoc"))
        except UnicodeEncodeError:
            coding = Coding.UTF16
    return String(_MARKS[coding] + words.encode(coding.value, "surrogatepass"))


def _mark(field: Any, code: str, marking: Marking) -> None:
    widgets = [kid for kid in field.get("/Kids", [field]) if f"/{code}" in kid.AP.N]
    assert widgets, code
    if marking is Marking.WIDGET and "/Kids" in field:
        widgets[0].V = Name(f"/{code}")
    elif marking is Marking.TEXT:
        field.V = String(code)
    elif marking is Marking.STROKE:
        field.V = String(f"/{code}")
    elif marking is Marking.LIST:
        field.V = Array([String(code)])
    elif marking is not Marking.LOOK:
        field.V = Name(f"/{code}")
    if marking in (Marking.BOTH, Marking.LOOK):
        widgets[0].AS = Name(f"/{code}")


def _boxes(key: str, told: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """The field and the mark of each box to tick."""
    many = PLACES[key].ask.kind is Kind.MANY
    return ((f"{key}:{code}", "yes") if many else (key, code) for code in told)


def saved(pdf: pikepdf.Pdf, **how: Any) -> bytes:
    """Its bytes."""
    out = BytesIO()
    with catch_warnings():
        simplefilter("ignore", PageCopyWarning)  # a sheet is spoilt on purpose
        pdf.save(out, **how)
    return out.getvalue()


def filled(
    answers: Mapping[str, Any], *, coding: Coding = Coding.OWN, marking: Marking = Marking.BOTH, page: str = "letter",
    packed: bool = False,
) -> bytes:  # fmt: skip
    """A sheet with these answers, in one way of writing; `packed` puts its objects into streams."""
    with pikepdf.open(BytesIO(blank(page))) as pdf:
        held = fields_in(pdf)
        for key, value in answers.items():
            told = typed(PLACES[key].ask, value)
            if isinstance(told, str):
                held[key].V = _coded(told, coding)
                continue
            for name, code in _boxes(key, told):
                _mark(held[name], code, marking)
        mode = pikepdf.ObjectStreamMode.generate if packed else pikepdf.ObjectStreamMode.preserve
        return saved(pdf, object_stream_mode=mode)


def some_sheet() -> bytes:
    """A sheet as a family may fill it in: plain answers, one that cannot be read, and a field that is none of ours."""
    told = {
        "parent.full_name": "Sorrel Thornquist", "parent.phone": "555 0142", "infant.called_name": "Ida",
        "infant.birth_weight": Quantity("5 lb 3 oz", "lb_oz", 2353), "parent_history.reason": "It hurts, and she is slow.",
        "parent_history.fed_before": False, "parent_history.pain_now@left": 6, "infant_history.wets_24h": 5,
        "infant_history.fed_now": ("at_breast", "formula"), "infant_history.formula_times": 3,
    }  # fmt: skip
    with pikepdf.open(BytesIO(filled(told))) as pdf:
        held = fields_in(pdf)
        held["infant_history.formula_each"].V = String("45")
        held["infant_history.last_wet"].V = String("this morning")
        group = held["parent.phone"].Parent
        group.Kids.append(
            pdf.make_indirect(Dictionary(FT=Name.Tx, T=String("eye_colour"), V=String("green"), Parent=group))
        )
        return saved(pdf)


def filled_by_pypdf(answers: Mapping[str, Any], sheet: bytes | None = None) -> bytes:
    """A sheet with these answers, written by pypdf; `sheet` is the one to fill in."""
    writer = pypdf.PdfWriter(clone_from=pypdf.PdfReader(BytesIO(sheet or blank())))
    told: dict[str, str] = {}
    for key, value in answers.items():
        words = typed(PLACES[key].ask, value)
        told |= {key: words} if isinstance(words, str) else {name: f"/{code}" for name, code in _boxes(key, words)}
    for page in writer.pages:
        writer.update_page_form_field_values(page, told)
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


_MUPDF: Final = """
var told = JSON.parse(read(scriptArgs[1])), document = new PDFDocument(scriptArgs[0])
for (var page = 0; page < document.countPages(); page++) {
    document.loadPage(page).getWidgets().forEach(function (widget) {
        var given = told[widget.getLabel()]
        if (given === undefined) return
        if (widget.getFieldType() === "text") widget.setTextValue(given); else widget.toggle()
        widget.update()
    })
}
document.save(scriptArgs[2], "incremental")
"""


def filled_by_mutool(answers: Mapping[str, Any]) -> bytes:
    """A sheet with these answers, written by mutool behind the sheet as it was; fields are found by their labels."""
    from json import dumps

    told: dict[str, Any] = {}
    for key, value in answers.items():
        one, words = PLACES[key], typed(PLACES[key].ask, value)
        if isinstance(words, str):
            told[one.label] = words
        else:
            named = one.ask.options or {"yes": "Yes", "no": "No"}
            told |= {f"{one.label}: {named[code]}": True for code in words}
    with tempfile.TemporaryDirectory(prefix="hearthside-filled-") as folder:
        place = Path(folder)
        (place / "blank.pdf").write_bytes(blank())
        (place / "told.json").write_text(dumps(told))
        (place / "fill.js").write_text(_MUPDF)
        names = ("fill.js", "blank.pdf", "told.json", "filled.pdf")
        subprocess.run(["mutool", "run", *names], cwd=place, check=True, capture_output=True)
        return (place / "filled.pdf").read_bytes()
