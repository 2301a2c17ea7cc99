"""Whether a paper fits is counted without drawing it, and comes to what drawing it comes to."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from forms.ask import Paper
from forms.papers.outline import (
    SCOPE,
    Alarm,
    Block,
    Foot,
    Heading,
    Item,
    Items,
    Lines,
    Outline,
    Paragraph,
    Table,
    Title,
    plain,
    strong,
)
from sync.handoff.letter import _AIRS, _count, _draw, page_rule
from sync.handoff.pieces import Frame, text
from sync.handoff.tags import Element, Leaf

CLOSEST = _AIRS[-1]
FOOT = Foot(SCOPE[Paper.REPORT], (), (strong("Rowan Vale"),))


def paper(*blocks: Block, page: str = "letter") -> Outline:
    return Outline(Paper.REPORT, "Report: Ida", "en", (*blocks, FOOT), ("ida",), 10, page, "Rowan Vale")


def drawn_pages(outline: Outline) -> int:
    """The pages there are once the paper is drawn."""
    with pikepdf.open(BytesIO(_draw(outline, True, CLOSEST, 9)[0])) as pdf:
        return len(pdf.pages)


def fits_when_drawn(outline: Outline) -> bool:
    """What stands before a heading with a page of its own takes one page: all that is drawn, less the rest alone."""
    begins = next((n for n, b in enumerate(outline.blocks) if isinstance(b, Heading) and b.page), None)
    if begins is None:
        return drawn_pages(outline) == 1
    return drawn_pages(outline) - drawn_pages(replace(outline, blocks=outline.blocks[begins:])) == 1


words = st.text(alphabet="aeinrst ,.", min_size=1, max_size=400).filter(str.strip)
lines = st.lists(words, min_size=1, max_size=14).map(lambda told: Lines(tuple(map(plain, told))))
parts = st.one_of(
    lines,
    words.map(lambda told: Paragraph(plain(told))),
    words.map(lambda told: Heading(told[:40])),
    st.lists(words, min_size=1, max_size=4).map(lambda told: Alarm("Urgent: the same day", tuple(map(plain, told)))),
    st.lists(words, min_size=1, max_size=6).map(lambda told: Items(tuple(Item("Weight", plain(w)) for w in told))),
    st.lists(words, min_size=1, max_size=7).map(
        lambda told: Table("Still open", ("what", "who"), tuple((plain(w), plain("her")) for w in told))
    ),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(parts, min_size=1, max_size=9), st.lists(lines, max_size=2), st.sampled_from(["letter", "a4"]))
def test_counting_comes_to_what_drawing_comes_to(first: list[Block], later: list[Block], page: str) -> None:
    head = Title("Report: Ida", plain("to Dr Brandreth"))
    tail: tuple[Block, ...] = (Paragraph(plain("On the next page.")), Heading("Optional detail", page=True), *later)
    whole = paper(head, *first, Paragraph(plain("End.")), *(tail if later else ()), page=page)
    asked = page_rule()
    assert asked(whole) == fits_when_drawn(whole)
    assert _count(whole, whole.blocks, True, CLOSEST, {}) == drawn_pages(whole)
    assert asked(whole) == page_rule()(whole)


@pytest.mark.parametrize("page", ["letter", "a4"])
def test_the_first_line_too_many_is_found(page: str) -> None:
    asked, told = page_rule(), [paper(Lines((plain("One line."),) * count), page=page) for count in range(1, 70)]
    fit = [asked(one) for one in told]
    first_too_long = fit.index(False)
    assert fit == [True] * first_too_long + [False] * (len(fit) - first_too_long)
    assert (drawn_pages(told[first_too_long - 1]), drawn_pages(told[first_too_long])) == (1, 2)


def test_the_name_of_a_frame_never_stays_behind_alone() -> None:
    entries = tuple(text("Call the doctor today for any of these. " * 5, 300, 14, gap=5) for _ in range(4))
    frame = Frame((text("Call now if", 300, 16, keep=True), *entries), 322)
    parted = [parts for room in range(int(frame.height)) if (parts := frame.split(float(room))) is not None]
    assert parted
    for first, rest in parted:
        assert isinstance(first, Frame)
        assert not first.inner[-1].keep
        assert first.height + rest.height < frame.height + 2 * frame.pad + 1


def pages_of(element: Element) -> list[int]:
    """The page of each thing drawn under an element, in order."""
    each = ([kid.page] if isinstance(kid, Leaf) else pages_of(kid) for kid in element.kids)
    return [page for pages in each for page in pages]


def test_lines_under_a_table_stay_with_its_last_row() -> None:
    rows, turned = tuple((plain("Ida"), plain("30 mL")) for _ in range(6)), False
    for above in range(20, 60):
        told = paper(
            Lines((plain("One line."),) * above), Table("How much", ("for", "each"), rows), Lines((plain("Own."),))
        )
        kids = _draw(told, True, CLOSEST, 2)[1].root.kids
        at = next(n for n, kid in enumerate(kids) if isinstance(kid, Element) and kid.role == "Table")
        table, line = kids[at], kids[at + 1]
        assert isinstance(table, Element)
        assert isinstance(line, Element)
        assert pages_of(table)[-1] == pages_of(line)[0]
        turned = turned or len(set(pages_of(table))) == 2
    assert turned
