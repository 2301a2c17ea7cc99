"""What holds for every picture at every width: nothing reaches over its edges, every mark has a row, it says what it is."""

from __future__ import annotations

import pytest

from forms.pictures.all import pictures
from forms.pictures.drawing import Anchor, Area, Drawing, Line, Word
from forms.pictures.maker import NARROWEST, WIDEST, Maker
from forms.pictures.measure import wide_of
from tests.helpers import pictured, thornbury

WIDTHS = (NARROWEST, 104.0, 133.0, WIDEST)
MAKERS = {
    f"{maker.key} of {who}": maker
    for who in (thornbury.IDA, thornbury.MARA)
    for maker in pictures(pictured.chart(), who, pictured.NOW)
}


def reach(part: Line | Area | Word) -> tuple[float, float, float, float]:
    """How far a part reaches at most: left, top, right, foot, in mm."""
    if isinstance(part, Word):
        wide = wide_of(part.text, part.tall, strong=part.strong)
        back = {Anchor.START: 0.0, Anchor.MIDDLE: wide / 2, Anchor.END: wide}[part.anchor]
        return part.x - back, part.y - 0.8 * part.tall, part.x - back + wide, part.y + 0.3 * part.tall
    across = [at for step in part.steps for at in step[::2]]
    down = [at for step in part.steps for at in step[1::2]]
    half = (part.wide if isinstance(part, Line) else part.edge) / 2
    return min(across) - half, min(down) - half, max(across) + half, max(down) + half


@pytest.mark.parametrize("wide", WIDTHS)
@pytest.mark.parametrize("key", MAKERS)
def test_nothing_reaches_over_the_edges(key: str, wide: float) -> None:
    drawing: Drawing = MAKERS[key].draw(wide)
    assert drawing.wide == pytest.approx(wide)
    for part in drawing.parts:
        left, top, right, foot = reach(part)
        assert left >= -0.31, part
        assert right <= wide + 0.31, part
        assert top >= -0.5, part
        assert foot <= drawing.tall + 0.5, part


@pytest.mark.parametrize("wide", WIDTHS)
@pytest.mark.parametrize("key", MAKERS)
def test_each_mark_points_to_a_row_there_is_and_rows_are_as_long_as_their_heads(key: str, wide: float) -> None:
    drawing = MAKERS[key].draw(wide)
    assert all(0 <= part.row < len(drawing.table.rows) for part in drawing.parts if part.row is not None)
    assert any(part.row is not None for part in drawing.parts)
    assert all(len(row) == len(drawing.table.columns) for row in drawing.table.rows)


@pytest.mark.parametrize("key", MAKERS)
def test_its_words_and_its_table_do_not_hang_on_its_width(key: str) -> None:
    narrow, broad = MAKERS[key].draw(NARROWEST), MAKERS[key].draw(WIDEST)
    for name in ("title", "sentence", "table", "sources"):
        assert getattr(narrow, name) == getattr(broad, name)
    assert broad.title == MAKERS[key].title
    assert broad.sentence.endswith(".")


def test_words_never_lie_on_one_another() -> None:
    for key, maker in MAKERS.items():
        for wide in WIDTHS:
            words = [part for part in maker.draw(wide).parts if isinstance(part, Word)]
            boxes = [reach(word) for word in words]
            for at, one in enumerate(boxes):
                for other_at in range(at):
                    other = boxes[other_at]
                    across = min(one[2], other[2]) - max(one[0], other[0])
                    down = min(one[3], other[3]) - max(one[1], other[1])
                    clash = across > 0.12 * min(one[2] - one[0], other[2] - other[0]) and down > 1.2
                    assert not clash, (key, wide, words[at].text, words[other_at].text)


def test_a_person_of_whom_nothing_is_charted_has_no_picture() -> None:
    made: tuple[Maker, ...] = pictures(pictured.chart(bare=True), thornbury.MARA, pictured.NOW)
    assert made == ()
