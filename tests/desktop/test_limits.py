"""The page on which a practice sets limits of its own: beside the published ones, within their range, with a way back."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from desktop.controls.typed import Typed
from desktop.controls.words import Words
from desktop.pages.practice import PracticePage
from desktop.sheets.sheet import Placed
from desktop.sheets.thresholds import LIMITS, Limit
from forms.ask import asks
from forms.thresholds import PUBLISHED, Thresholds
from tests.helpers.program import Program, read

Start = Callable[..., Program]


@pytest.fixture
def program(program: Program) -> Program:
    program.desk.practice()
    return program


def limits_page(program: Program) -> dict[str, Limit]:
    page = program.to("practice")
    assert isinstance(page, PracticePage)
    page.go("limits")
    program.idle()
    return {limit.question.field: limit for limit in page.main.findChildren(Limit)}


def kept(program: Program) -> Thresholds:
    program.page.home.save()  # type: ignore[attr-defined]
    program.idle()
    entries = read(program, lambda store: store.practice_entries())
    return next((e.answers for e in entries if isinstance(e.answers, Thresholds)), Thresholds())


def typed(limit: Limit, text: str) -> None:
    control = limit.question.controls()[0]
    assert isinstance(control, Typed)
    control.type(text)
    QTest.keyClick(control.box, Qt.Key.Key_Return)


def said(limit: Limit) -> str:
    return "\n".join(words.said() for words in limit.findChildren(Words) if words.isVisible())


def test_every_limit_stands_on_the_page_once_with_its_published_value_source_and_range_beside_it(
    program: Program,
) -> None:
    assert sorted(Placed.by(LIMITS).fields, key=str) == sorted(((Thresholds, n) for n in asks(Thresholds)), key=str)
    found = limits_page(program)
    assert sorted(found) == sorted(PUBLISHED)
    for name, limit in found.items():
        assert PUBLISHED[name].beside in said(limit)
        assert f"The published value holds: {PUBLISHED[name].said(PUBLISHED[name].value)}." in said(limit)
        assert limit.back.isHidden()


def test_a_limit_is_set_said_beside_the_published_one_and_taken_back(program: Program) -> None:
    limit = limits_page(program)["loss_same_day"]
    typed(limit, "8")
    assert "House threshold 8 %, published 10 %." in said(limit)
    assert kept(program).loss_same_day is not None
    QTest.mouseClick(limit.back, Qt.MouseButton.LeftButton)
    assert "The published value holds: 10 %." in said(limit)
    assert kept(program).loss_same_day is None


@pytest.mark.parametrize(("name", "loose"), [("loss_emergency", "20"), ("fever", "39"), ("wets_from_day_6", "4")])
def test_a_limit_looser_than_its_range_is_refused_and_nothing_is_written(
    program: Program, name: str, loose: str
) -> None:
    limit = limits_page(program)[name]
    typed(limit, loose)
    assert limit.question.controls()[0].sentence  # type: ignore[attr-defined]
    assert "The published value holds" in said(limit)
    assert getattr(kept(program), name) is None
