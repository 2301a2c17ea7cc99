"""Pictures on paper: black, white and greys, embedded letters, tagged and told in words, nothing off the page."""

from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO
from typing import Any

import pikepdf
import pytest

from forms.ask import Paper
from forms.papers.outline import SCOPE, Block, Foot, Outline, Shown, Title, plain, words_of
from forms.pictures.diapers import diapers
from forms.pictures.drawing import Area, Drawing, Filling, Ink, Line, Table, Weave, Word, box
from forms.pictures.maker import WIDEST
from forms.pictures.milk_sides import milk_sides
from forms.pictures.pain import pain
from forms.pictures.supplement_share import supplement_share
from sync.handoff.faces import NoSuchLetter
from sync.handoff.letter import write_letter
from tests.helpers import pictured, thornbury
from tests.sync.conftest import Read

MAKERS = {
    "diapers": (diapers, thornbury.IDA),
    "share": (supplement_share, thornbury.IDA),
    "sides": (milk_sides, thornbury.MARA),
    "pain": (pain, thornbury.MARA),
}


def picture(name: str) -> Drawing:
    make, who = MAKERS[name]
    found = make(pictured.chart(), who, pictured.NOW)
    assert found is not None
    return found.draw(WIDEST)


def outline(*shown: Shown) -> Outline:
    foot = Foot(SCOPE[Paper.FAMILY_PLAN], (), (plain("Rowan Vale"),))
    blocks: tuple[Block, ...] = (Title("Pictures", plain("Thornbury-Reyes")), *shown, foot)
    return Outline(
        Paper.FAMILY_PLAN, "Pictures", "en", blocks, (thornbury.IDA,), size=12, page="letter", writer="Rowan Vale"
    )


def drawn(drawing: Drawing, *, table: bool = False) -> bytes:
    return write_letter(outline(Shown(drawing, table)), made=pictured.NOW, sealed=False)


def instructions(made: bytes) -> list[tuple[Any, str]]:
    with pikepdf.open(BytesIO(made)) as pdf:
        return [
            (part.operands, str(part.operator)) for page in pdf.pages for part in pikepdf.parse_content_stream(page)
        ]


def squeezed(text: str) -> str:
    return re.sub(r"[\s\u00a0]+", "", text)


def sample(**more: Any) -> Drawing:
    """Every ink, filling and weave there is."""
    inks = [Area(box(10 * n, 0, 8, 8), ink, edge=0.2) for n, ink in enumerate(Ink)]
    fillings = [Area(box(10 * n, 10, 8, 8), Ink.WOAD, filling, 0.1) for n, filling in enumerate(Filling)]
    lines = [Line(((0, 20 + n), (100, 20 + n)), Ink.MADDER, 0.05, weave) for n, weave in enumerate(Weave)]
    words = [Word(0, 40 + 5 * n, f"{ink.value} 30 mL", ink=ink) for n, ink in enumerate(Ink)]
    made = Drawing(
        "Sample", "Shows all there is.", 120, 95, (*inks, *fillings, *lines, *words), Table(("a",), (("b",),))
    )
    return replace(made, **more)


@pytest.mark.parametrize("name", MAKERS)
def test_every_word_of_a_picture_its_sentence_and_its_sources_is_on_the_page(name: str, read: Read) -> None:
    drawing = picture(name)
    page = squeezed(read(drawn(drawing), "pdftotext", "FILE", "-"))
    for words in (drawing.title, *drawing.words(), *drawing.sources):
        assert squeezed(words) in page, words
    assert squeezed(drawing.sentence) in page


@pytest.mark.parametrize("name", MAKERS)
def test_its_table_follows_where_the_paper_wants_it(name: str, read: Read) -> None:
    drawing = picture(name)
    told = "".join(re.findall(r'"(.*)"', read(drawn(drawing, table=True), "pdfinfo", "-struct-text", "FILE")))
    for row in drawing.table.rows:
        for cell in row:
            assert squeezed(cell) in squeezed(told), cell
    assert "TH" not in read(drawn(drawing), "pdfinfo", "-struct-text", "FILE")


def test_as_text_it_is_its_sentence_and_its_table() -> None:
    drawing = picture("diapers")
    said = words_of(outline(Shown(drawing)))
    assert drawing.sentence in said
    assert "Day of life: 3; 24 hours until: 14 Jan 2026, 10:20; Wet: 2; expected 3 or more;" in said


@pytest.mark.parametrize("made", [*MAKERS, "sample"])
def test_nothing_is_drawn_in_colour_and_no_line_is_thinner_than_half_a_point(made: str) -> None:
    for operands, operator in instructions(drawn(sample() if made == "sample" else picture(made))):
        if operator in ("rg", "RG"):
            assert len({float(part) for part in operands}) == 1
        assert operator not in ("k", "K", "sc", "SC", "scn", "SCN", "sh", "Do")
        if operator == "w":
            assert float(operands[0]) >= 0.5


def test_words_are_black_or_white_and_at_least_as_large_as_a_fax_keeps() -> None:
    for name in MAKERS:
        sizes = [float(operands[1]) for operands, operator in instructions(drawn(picture(name))) if operator == "Tf"]
        assert min(sizes) >= 8.5
    grey, greys = 0.0, set[float]()
    for operands, operator in instructions(drawn(sample())):
        grey = float(operands[0]) if operator in ("g", "rg") else grey
        if operator in ("Tj", "TJ"):
            greys.add(grey)
    assert greys == {0.0, 1.0}


def test_each_filling_is_drawn_in_its_own_way() -> None:
    def marks(filling: Filling) -> tuple[int, int]:
        area = Area(box(0, 0, 40, 20), Ink.WOAD, filling)
        done = [operator for _, operator in instructions(drawn(sample(parts=(area,))))]
        bare = [operator for _, operator in instructions(drawn(sample(parts=())))]
        return tuple(done.count(name) - bare.count(name) for name in ("S", "f*"))  # type: ignore[return-value]

    strokes = {filling: marks(filling) for filling in Filling}
    assert strokes[Filling.NONE] == (0, 0)
    assert strokes[Filling.SOLID] == strokes[Filling.LIGHT] == (0, 1)
    assert strokes[Filling.CROSS][0] > 1.5 * strokes[Filling.HATCH][0] > 10
    assert strokes[Filling.DOTS][1] > 100


def test_all_its_letters_are_embedded_and_figures_have_the_plain_zero(read: Read) -> None:
    fonts = read(drawn(picture("pain")), "pdffonts")
    rows = fonts.splitlines()[2:]
    assert all(re.search(r"\byes\s+yes\s+yes\b", row) for row in rows)
    assert "NotoSans" in fonts
    assert "Helvetica" not in fonts


def test_it_is_a_figure_told_by_its_title_and_its_sentence() -> None:
    drawing = picture("sides")
    with pikepdf.open(BytesIO(drawn(drawing))) as pdf:
        alts = [str(o.Alt) for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
    assert alts == [f"{drawing.title}. {drawing.sentence}"]


def test_everything_of_it_is_tagged() -> None:
    depth = 0
    for _, operator in instructions(drawn(sample(), table=True)):
        depth += {"BDC": 1, "BMC": 1, "EMC": -1}.get(operator, 0)
        if operator in ("Tj", "TJ", "S", "f", "f*", "B"):
            assert depth == 1
    assert depth == 0


def test_without_parts_there_is_the_sentence_alone(read: Read) -> None:
    empty = sample(parts=(), sentence="Nothing is written down yet.")
    made = drawn(empty)
    assert "Nothing is written down yet." in read(made, "pdftotext", "FILE", "-")
    assert "Figure" not in read(made, "pdfinfo", "-struct-text", "FILE")


@pytest.mark.parametrize("words", ["سارة", "Ida 🌼"])
def test_a_picture_with_a_letter_the_typefaces_lack_is_refused(words: str) -> None:
    with pytest.raises(NoSuchLetter, match="Nothing was printed"):
        drawn(sample(parts=(Word(0, 10, words),)))


@pytest.mark.parametrize("name", MAKERS)
def test_a_picture_stays_between_the_margins_of_the_page(name: str) -> None:
    make, who = MAKERS[name]
    found = make(pictured.chart(), who, pictured.NOW)
    assert found is not None
    for operands, operator in instructions(drawn(found.draw(90))):
        if operator in ("m", "l") and len(operands) == 2:
            assert 40 <= float(operands[0]) <= 612 - 40
