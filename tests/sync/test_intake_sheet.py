"""The sheet for before the visit: every question of its list and no other, fillable, tagged, with letters embedded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from typing import Any

import pikepdf
import pytest
from pikepdf import Name

from forms.ask import Kind, Path, ask_of, asks
from forms.chart import Chart, entry_id
from forms.form import catalog, with_value
from forms.papers.calls import NoEmergencyNumber
from forms.papers.intake import PARTS, Asked, Intake, asked, intake
from forms.practice import Practice
from sync.handoff.intake_sheet import write_intake
from tests.helpers import thornbury as t

SIZES = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}


def frame(chart: Chart | None = None) -> Intake:
    return intake(chart or t.whole(), t.WRITER)


@pytest.fixture(scope="module")
def papers() -> dict[str, bytes]:
    return {page: write_intake(frame(), at=t.NOW, page=page) for page in SIZES}


@pytest.fixture(params=sorted(SIZES))
def pdf(request: pytest.FixtureRequest, papers: dict[str, bytes]) -> Iterator[pikepdf.Pdf]:
    with pikepdf.open(BytesIO(papers[request.param])) as opened:
        opened.page_name = request.param  # type: ignore[attr-defined]
        yield opened


def every_place() -> list[Asked]:
    return [one for part in PARTS for one in asked(part)]


def fields(pdf: pikepdf.Pdf) -> dict[str, Any]:
    """Each field by its whole name, as a reader builds it from the names of its parents."""
    found: dict[str, Any] = {}

    def below(node: Any, named: str) -> None:
        name = f"{named}.{node.T}" if named else str(node.T)
        if Name.FT in node:
            assert name not in found
            found[name] = node
            return
        for kid in node.Kids:
            assert kid.Parent.objgen == node.objgen
            below(kid, name)

    for top in pdf.Root.AcroForm.Fields:
        below(top, "")
    return found


def words(pdf: pikepdf.Pdf) -> list[str]:
    """What a reader of the structure hears at each widget."""
    heard: list[str] = []

    def below(element: Any) -> None:
        for kid in element.get("/K", []):
            if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
                if str(kid.S) == "/Form":
                    heard.append(str(kid.Alt))
                below(kid)

    below(pdf.Root.StructTreeRoot)
    return heard


def test_every_question_of_the_list_has_its_field_under_its_register_key_and_no_other_is_there(
    pdf: pikepdf.Pdf,
) -> None:
    wanted = set()
    for one in every_place():
        many = one.ask.kind is Kind.MANY
        wanted |= {f"{one.key}:{code}" for code in one.ask.options} if many else {one.key}
    assert set(fields(pdf)) == wanted


def test_each_field_is_named_after_a_question_of_the_catalogue_and_takes_what_that_question_takes(
    pdf: pikepdf.Pdf,
) -> None:
    for name, held in fields(pdf).items():
        form, _, rest = name.partition(".")
        ask = ask_of(catalog()[form], rest.partition(":")[0].partition("@")[0])
        choosing = ask.kind in (Kind.CHOICE, Kind.MANY, Kind.YES_NO)
        assert (Name.Btn if choosing else Name.Tx) == held.FT, name
        assert not int(held.get("/Ff", 0)) & 1, f"{name} cannot be filled"
        assert bool(int(held.get("/Ff", 0)) & 1 << 12) is (ask.kind is Kind.TEXT), name
        if ask.kind in (Kind.CHOICE, Kind.YES_NO):
            on = [str(key)[1:] for kid in held.Kids for key in kid.AP.N.keys() if key != "/Off"]  # noqa: SIM118
            assert on == (list(ask.options) or ["yes", "no"]), name


def test_nothing_asked_in_confidence_or_alone_is_on_the_sheet() -> None:
    on_it = {(one.form, one.path.field) for one in every_place()}
    private = {(form, name) for form in catalog().values() for name, ask in asks(form).items() if ask.private}
    assert not on_it & private
    assert not [name for _, name in on_it if name.startswith(("screen", "mood", "safe_at", "safety", "substances"))]
    assert not [name for form, name in on_it if form.name == "parent_history" and name == "conditions"]


def test_a_field_can_be_filled_kept_and_read_again(pdf: pikepdf.Pdf) -> None:
    held, out = fields(pdf), BytesIO()
    held["infant.birth_weight"].V = pikepdf.String("7 lb 4 oz")
    held["parent_history.gave_birth"].V = Name.yes
    held["infant_history.fed_now:formula"].V = Name.yes
    pdf.save(out)
    with pikepdf.open(out) as again:
        kept = fields(again)
        assert str(kept["infant.birth_weight"].V) == "7 lb 4 oz"
        assert Name.yes == kept["parent_history.gave_birth"].V
        assert Name.yes == kept["infant_history.fed_now:formula"].V
        assert kept["infant_history.fed_now:formula"].AP.N.get("/yes") is not None


def test_every_widget_lies_on_its_page_clear_of_every_other(pdf: pikepdf.Pdf) -> None:
    wide, tall = SIZES[pdf.page_name]  # type: ignore[attr-defined]
    for page in pdf.pages:
        assert [float(edge) for edge in page.mediabox] == [0, 0, wide, tall]
        boxes = [[float(edge) for edge in one.Rect] for one in page.obj.get("/Annots", [])]
        for at, (left, low, right, high) in enumerate(boxes):
            assert 0 < left < right < wide
            assert 0 < low < high < tall
            for other in boxes[at + 1 :]:
                assert right <= other[0] or other[2] <= left or high <= other[1] or other[3] <= low


def test_every_letter_is_embedded_also_those_that_will_be_typed(pdf: pikepdf.Pdf) -> None:
    fonts = [font for page in pdf.pages for font in page.obj.Resources.Font.values()]
    typed = list(pdf.Root.AcroForm.DR.Font.values())
    assert typed
    for font in (*fonts, *typed):
        told = font.FontDescriptor if "/FontDescriptor" in font else font.DescendantFonts[0].FontDescriptor
        assert "/FontFile2" in told, str(font.BaseFont)
    assert all(int(width) > 0 for width in typed[0].Widths[:95])
    assert len(typed[0].Widths) == 256 - 32
    for held in fields(pdf).values():
        if Name.Tx == held.FT:
            assert str(held.DA).split()[0][1:] in {name[1:] for name in pdf.Root.AcroForm.DR.Font.keys()}  # noqa: SIM118


def test_the_sheet_is_tagged_and_each_widget_is_heard_with_its_question(pdf: pikepdf.Pdf) -> None:
    assert pdf.Root.MarkInfo.Marked
    assert str(pdf.Root.Lang) == "en"
    heard = words(pdf)
    assert all(any(said.startswith(one.label) for said in heard) for one in every_place())
    tree = dict(zip(*[iter(pdf.Root.StructTreeRoot.ParentTree.Nums)] * 2, strict=True))
    for page in pdf.pages:
        for one in page.obj.get("/Annots", []):
            assert tree[int(one.StructParent)].K[0].Obj.objgen == one.objgen
    assert len(heard) == sum(len(page.obj.get("/Annots", [])) for page in pdf.pages)


def test_nothing_is_in_colour_and_nothing_in_it_can_act(pdf: pikepdf.Pdf) -> None:
    for page in pdf.pages:
        for step in pikepdf.parse_content_stream(page):
            assert str(step.operator) not in ("k", "K", "sc", "SC", "scn", "SCN")
            if str(step.operator) in ("rg", "RG"):
                assert len({float(one) for one in step.operands}) == 1
    held = [one for one in pdf.objects if isinstance(one, pikepdf.Dictionary | pikepdf.Stream)]
    assert len(held) > 100
    assert not [one for one in held if "/JS" in one or "/URI" in one or "/OpenAction" in one]
    assert not [one for page in pdf.pages for one in page.obj.get("/Annots", []) if "/A" in one or "/AA" in one]


def test_the_emergency_line_stands_before_the_first_question_and_the_privacy_line_after_the_last(
    papers: dict[str, bytes],
) -> None:
    made = frame()
    assert made.emergency.startswith("Call 911 now, and do not wait for the visit")
    assert "does not replace your or your baby’s doctor or midwife" in made.foot
    assert "passed on only as you agree" in made.foot
    said = _read(papers["a4"])
    first, last = every_place()[0].label, every_place()[-1].label
    assert said.index("Call 911 now") < said.index(first)
    assert said.rindex(last) < said.index("This sheet is about feeding")


def _read(paper: bytes) -> str:
    from PySide6.QtCore import QBuffer, QByteArray, QIODevice
    from PySide6.QtPdf import QPdfDocument

    held = QByteArray(paper)
    buffer, document = QBuffer(held), QPdfDocument()
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    document.load(buffer)
    text = " ".join(document.getAllText(page).text() for page in range(document.pageCount()))
    document.close()
    return " ".join(text.split())


def test_no_sheet_is_made_without_an_emergency_number() -> None:
    chart = t.whole()
    held = chart.by_id(entry_id(Practice))
    assert held is not None
    bare = replace(held, answers=with_value(held.answers, Path("emergency_number"), None))
    with pytest.raises(NoEmergencyNumber):
        frame(chart.with_entry(bare))


def test_the_sheet_holds_nothing_of_a_family(papers: dict[str, bytes]) -> None:
    said = _read(papers["letter"])
    assert not [name for name in ("Mara", "Ida", "Thornbury") if name in said]


def test_the_same_sheet_made_twice_is_the_same_byte_for_byte(papers: dict[str, bytes]) -> None:
    assert write_intake(frame(), at=t.NOW, page="a4") == papers["a4"]
