"""Papers are drawn so that everyone can read them: embedded letters, tags, type size, pages."""

from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO
from typing import Any

import pikepdf
import pytest
from reportlab.pdfgen.canvas import Canvas

from forms.ask import Paper
from forms.chart import Chart, entry_id
from forms.infant import InfantAssessment
from forms.papers.call_now import call_now
from forms.papers.family_plan import family_plan
from forms.papers.outline import SCOPE, Outline, Table, plain, strong, words_of
from forms.papers.referral import referral
from forms.plan import Plan
from forms.practice import Practice
from sync.handoff.faces import FIGURE, TEXT, NoSuchLetter, runs
from sync.handoff.letter import TooLong, write_letter
from sync.handoff.pieces import text
from tests.helpers import thornbury as t
from tests.sync.conftest import Read

PLAN = entry_id(Plan, t.VISIT)
PAPERS = (Paper.FAMILY_PLAN, Paper.CALL_NOW, Paper.REFERRAL)


def outline(kind: Paper, chart: Chart | None = None, **more: Any) -> Outline:
    charted = chart or t.whole()
    match kind:
        case Paper.CALL_NOW:
            return call_now(charted, writer=t.WRITER, now=t.NOW)
        case Paper.REFERRAL:
            return referral(charted, t.LETTER, writer=t.WRITER, now=t.NOW)
    return family_plan(charted, writer=t.WRITER, now=t.NOW, **more)


def instructions(page: pikepdf.Page) -> list[tuple[Any, str]]:
    """Operands and operator of everything a page draws."""
    return [(part.operands, str(part.operator)) for part in pikepdf.parse_content_stream(page)]


def drawn(kind: Paper, chart: Chart | None = None, **more: Any) -> bytes:
    return write_letter(outline(kind, chart, **more), made=t.NOW, sealed=False)


def squeezed(text: str) -> str:
    return re.sub(r"[\s\u00a0]+", "", text)


@pytest.mark.parametrize("kind", PAPERS)
def test_every_letter_is_embedded_and_none_is_helvetica(kind: Paper, read: Read) -> None:
    rows = read(drawn(kind), "pdffonts").splitlines()[2:]
    assert rows
    for row in rows:
        assert re.search(r"\byes\s+yes\s+yes\b", row), row
        assert "Helvetica" not in row


@pytest.mark.parametrize("kind", PAPERS)
def test_title_language_and_tags_are_stated(kind: Paper, read: Read) -> None:
    made = drawn(kind)
    info = read(made, "pdfinfo")
    assert f"Title:           {outline(kind).title}" in info
    assert re.search(r"Tagged:\s+yes", info)
    with pikepdf.open(BytesIO(made)) as pdf:
        assert str(pdf.Root.Lang) == "en"
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)


def test_headings_tasks_tables_and_pictures_are_tagged_in_order(read: Read) -> None:
    tree = read(drawn(Paper.FAMILY_PLAN), "pdfinfo", "-struct-text", "FILE")
    for role in ("H1", "H2", "LI", "LBody", "Figure", "Table", "TH", "TD"):
        assert re.search(rf"^\s*{role}\b", tree, re.MULTILINE), role
    flat = squeezed(tree)
    assert flat.index("Yourgoal") < flat.index("Dothesethreethings") < flat.index("Callnowif")


def test_everything_drawn_is_either_tagged_or_an_artifact() -> None:
    with pikepdf.open(BytesIO(drawn(Paper.FAMILY_PLAN))) as pdf:
        for page in pdf.pages:
            depth, shown = 0, 0
            for operands, operator in instructions(page):
                name = operator
                depth += {"BDC": 1, "BMC": 1, "EMC": -1}.get(name, 0)
                if name in ("Tj", "TJ", "S", "f", "B"):
                    shown += 1
                    assert depth == 1, (name, operands)
            assert shown
            assert depth == 0


def test_a_picture_is_said_in_words() -> None:
    with pikepdf.open(BytesIO(drawn(Paper.FAMILY_PLAN))) as pdf:
        alts = [str(o.Alt) for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
    assert alts == ["8 feeds from morning to night", "30, then again", "4 small cups"]


@pytest.mark.parametrize("kind", PAPERS)
@pytest.mark.parametrize("size", ["letter", "a4"])
def test_every_word_of_the_outline_is_on_the_page_in_both_sizes(kind: Paper, size: str, read: Read) -> None:
    chart = t.changed(t.whole(), entry_id(Practice), paper_size=size)
    made = outline(kind, chart)
    pdf = write_letter(made, made=t.NOW, sealed=False)
    # As a sighted reader meets the lines, and as a screen reader meets the cells, each of which may take several lines.
    told = "".join(re.findall(r'"(.*)"', read(pdf, "pdfinfo", "-struct-text", "FILE")))
    page = squeezed(read(pdf, "pdftotext", "FILE", "-")) + squeezed(told)
    for line in words_of(made).splitlines():
        for part in re.split(r"[;:]|\[ \]|^\d+\. ", line):
            for sentence in re.findall(r"[^.]+", part):
                words = squeezed(sentence)
                pieces = [words[at : at + 12] for at in range(0, max(len(words) - 11, 1), 12)]
                assert all(piece in page for piece in pieces), sentence
    assert squeezed(SCOPE[kind].text)[:40] in page


def pages(made: bytes) -> int:
    with pikepdf.open(BytesIO(made)) as pdf:
        return len(pdf.pages)


def test_a_familys_plan_takes_at_most_two_pages() -> None:
    assert pages(drawn(Paper.FAMILY_PLAN)) <= 2
    urgent = t.whole(t.entry(InfantAssessment, t.IDA, waking="cannot_be_woken"), signed=False)
    assert pages(drawn(Paper.FAMILY_PLAN, urgent)) <= 2


def test_a_plan_that_tells_to_call_now_takes_a_third_page_rather_than_be_refused() -> None:
    long = {"went_well": "She fed and settled, and you heard her swallow. " * 40}
    calm, urgent = (t.changed(chart, PLAN, **long) for chart in (
        t.whole(), t.whole(t.entry(InfantAssessment, t.IDA, waking="cannot_be_woken"), signed=False)
    ))  # fmt: skip
    with pytest.raises(TooLong):
        drawn(Paper.FAMILY_PLAN, calm)
    assert pages(drawn(Paper.FAMILY_PLAN, urgent)) == 3


def test_the_large_edition_of_a_plan_for_one_baby_takes_at_most_two_pages() -> None:
    gone = tuple(e.id for e in t.whole().entries if e.id in (t.JUNO, t.JONAS) or t.JUNO in e.place.subjects)
    assert pages(drawn(Paper.FAMILY_PLAN, t.without(t.whole(), *gone), large=True)) <= 2


def test_the_large_edition_of_a_longer_plan_takes_more_paper_rather_than_be_refused() -> None:
    assert pages(drawn(Paper.FAMILY_PLAN, large=True)) <= 4


def test_a_plan_that_is_too_long_is_refused_and_says_what_to_do() -> None:
    with pytest.raises(TooLong, match="Shorten the goal"):
        drawn(Paper.FAMILY_PLAN, t.changed(t.whole(), PLAN, went_well="She fed. " * 900))


def test_a_letter_of_any_length_is_drawn_whole(read: Read) -> None:
    told = " ".join(f"word{n}" for n in range(4000))
    made = drawn(Paper.REFERRAL, t.changed(t.whole(), t.LETTER, collateral_history=told))
    assert squeezed(told[-40:]) in squeezed(read(made, "pdftotext", "FILE", "-"))


def sizes(made: bytes) -> set[float]:
    with pikepdf.open(BytesIO(made)) as pdf:
        return {
            round(float(operands[1]), 1)
            for page in pdf.pages
            for operands, operator in instructions(page)
            if operator == "Tf"
        }


def test_body_type_is_fourteen_points_for_a_family_and_sixteen_or_more_in_the_large_edition() -> None:
    assert 14 in sizes(drawn(Paper.FAMILY_PLAN))
    large = sizes(drawn(Paper.FAMILY_PLAN, large=True))
    assert 18 in large or {16, 17} & large


def test_nothing_is_too_small_for_a_fax() -> None:
    for kind in PAPERS:
        assert min(sizes(drawn(kind))) >= 8.5


def test_figures_with_their_units_are_set_in_the_face_with_a_plain_zero() -> None:
    found = {text: face for face, text in runs("After 4 feeds give 30 mL (1 oz), 555 0134, 38.0 °C.", TEXT)}
    for figure in ("4", "30\u00a0mL", "1\u00a0oz", "555\u00a00134", "38.0\u00a0°C"):
        assert found[figure] == FIGURE


@pytest.mark.parametrize("name", ["سارة", "李", "Ida 🌼"])
def test_a_name_the_letters_lack_is_refused_and_the_remedy_is_named(name: str) -> None:
    with pytest.raises(NoSuchLetter, match="Name as printed"):
        drawn(Paper.FAMILY_PLAN, t.changed(t.whole(), t.IDA, called_name=name))


def test_a_name_as_printed_stands_in_for_it(read: Read) -> None:
    chart = t.changed(t.whole(), t.IDA, called_name="سارة", name_as_printed="Sara")
    assert "Our plan for Sara and Juno" in read(drawn(Paper.FAMILY_PLAN, chart), "pdftotext", "FILE", "-")


@pytest.mark.parametrize("name", ["Ñuño-Łukasz O’Brien", "Λυδία", "Зоя", "Ștefan Žižka"])
def test_names_in_latin_greek_and_cyrillic_are_set_as_written(name: str, read: Read) -> None:
    made = drawn(Paper.FAMILY_PLAN, t.changed(t.whole(), t.IDA, called_name=name))
    assert squeezed(name) in squeezed(read(made, "pdftotext", "FILE", "-"))


def test_the_call_now_page_prints_even_letters_it_lacks_as_dots_and_says_so(read: Read) -> None:
    made = drawn(Paper.CALL_NOW, t.changed(t.whole(), t.IDA, called_name="سارة"))
    said = read(made, "pdftotext", "FILE", "-")
    assert "shown as ·" in said
    assert "Call 911 now" in said
    assert "shown as ·" not in read(drawn(Paper.CALL_NOW), "pdftotext", "FILE", "-")


def test_the_same_outline_at_the_same_time_gives_the_same_bytes() -> None:
    assert drawn(Paper.FAMILY_PLAN) == drawn(Paper.FAMILY_PLAN)


def test_a_page_is_black_and_white() -> None:
    for kind in PAPERS:
        with pikepdf.open(BytesIO(drawn(kind))) as pdf:
            for page in pdf.pages:
                for operands, operator in instructions(page):
                    if operator in ("rg", "RG"):
                        assert len({float(part) for part in operands}) == 1


def test_a_paper_with_markup_in_its_words_prints_the_words(read: Read) -> None:
    chart = t.changed(t.whole(), PLAN, goal="<b>Feed</b> & sleep <font size=40>well</font>")
    said = squeezed(read(drawn(Paper.FAMILY_PLAN, chart), "pdftotext", "FILE", "-"))
    assert squeezed("<b>Feed</b> & sleep <font size=40>well</font>") in said
    assert replace(outline(Paper.FAMILY_PLAN, chart), size=14).size == 14


def test_the_familys_own_words_and_pronouns_are_on_the_rendered_plan(read: Read) -> None:
    chart = t.changed(t.whole(), t.MARA, body_word="chest", feeding_word="chestfeeding", pronouns="they")
    chart = t.changed(chart, "task3", what="Offer 10 mL by a tube at the breast or chest.")
    text = re.sub(r"\s+", " ", read(drawn(Paper.FAMILY_PLAN, chart), "pdftotext", "FILE", "-"))
    for words in ("Your goal for chestfeeding", "by a tube at the chest.", "a hot red leg or chest",
                  "If Mara cannot, call for them."):  # fmt: skip
        assert words in text


def test_no_word_in_a_table_is_parted_however_narrow_its_column(read: Read) -> None:
    whole = outline(Paper.FAMILY_PLAN)
    table = Table(
        "How much", ("for", "each time", "how often", "in a day and night", "agreed with"),
        ((strong("Fenna"), plain("65 mL (2.2 oz)"), plain("8 times"), plain("520 mL (18 oz)"),
          plain("Dr Ifeoma Brandreth, 27 February")),),
    )  # fmt: skip
    written = replace(whole, blocks=(whole.blocks[0], table, whole.blocks[-1]))
    shown = read(write_letter(written, made=t.NOW, sealed=False), "pdftotext", "FILE", "-")
    for word in ("Fenna", "Brandreth", "February", "times"):
        assert re.search(rf"\b{word}\b", shown), word


def test_a_paragraph_that_could_not_be_parted_is_still_drawn() -> None:
    line = text("Call 911 now for chest pain.", 400, 14)
    assert line.split(4) is None
    line.paragraph.drawOn(Canvas(BytesIO()), 0, 0)
