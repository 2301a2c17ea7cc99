"""Widths counted without a typeface are never less than what the papers' faces take, and fillings stay in their box."""

from __future__ import annotations

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.pictures.drawing import Filling
from forms.pictures.measure import APART, DOT, dotted, hatched, wide_of, wrapped
from sync.handoff.drawn import width_of
from sync.handoff.faces import BOLD, TEXT

LETTERS = string.ascii_letters + string.digits + " .,:;()/+-–’%±−·"


@pytest.mark.parametrize("strong", [False, True])
@given(words=st.text(LETTERS, min_size=1, max_size=40))
def test_words_never_take_more_room_on_paper_than_was_counted(words: str, strong: bool) -> None:
    assert width_of(words, BOLD if strong else TEXT, 10.0) <= wide_of(words, 10.0, strong=strong)


def test_lines_keep_every_word_and_their_width() -> None:
    text = "7 feeds at the breast or chest, not measured (1 with a tube)"
    lines = wrapped(text, 40, 3.5)
    assert " ".join(lines) == text
    assert len(lines) > 1
    assert all(wide_of(line, 3.5) <= 40 for line in lines)


def test_one_word_wider_than_the_room_keeps_a_line_of_its_own() -> None:
    assert wrapped("a pumpernickelbread b", 10, 3.5) == ("a", "pumpernickelbread", "b")


boxes = st.tuples(*[st.floats(-50, 50)] * 2, st.floats(0.5, 60), st.floats(0.5, 60)).map(
    lambda b: (b[0], b[1], b[0] + b[2], b[1] + b[3])
)


@given(box=boxes, filling=st.sampled_from((Filling.HATCH, Filling.CROSS)))
def test_strokes_of_a_filling_end_on_the_edges_of_its_box(box: tuple[float, ...], filling: Filling) -> None:
    left, top, right, foot = box
    for x1, y1, x2, y2 in hatched(filling, *box):
        for x, y in ((x1, y1), (x2, y2)):
            assert left - 1e-6 <= x <= right + 1e-6
            assert top - 1e-6 <= y <= foot + 1e-6


def test_every_bar_as_wide_as_a_stroke_is_far_from_the_next_has_some() -> None:
    slim = (10.0, 5.0, 10.0 + APART, 5.0 + APART * 1.5)
    assert list(hatched(Filling.HATCH, *slim))
    assert len(list(hatched(Filling.CROSS, *slim))) > len(list(hatched(Filling.HATCH, *slim)))
    assert list(hatched(Filling.SOLID, *slim)) == []
    assert list(dotted(*slim))


@given(box=boxes)
def test_dots_may_touch_their_box(box: tuple[float, ...]) -> None:
    left, top, right, foot = box
    for x, y in dotted(*box):
        assert left - DOT - APART <= x <= right + DOT + APART
        assert top - DOT - APART <= y <= foot + DOT + APART
