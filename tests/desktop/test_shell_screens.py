"""Every page around a visit, in every state: nothing cut at 200 %, every target large enough, apart, and named."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtWidgets import QWidget

from desktop.theme.look import Look
from desktop.theme.tokens import LAMP, NIGHT
from tests.desktop.gallery import PAGES
from tests.helpers import kit_walk

BUILDERS = dict(PAGES)
Wear = Callable[[Look], None]


@pytest.fixture
def shown() -> Iterator[Callable[[str], QWidget]]:
    windows: list[QWidget] = []

    def show(name: str) -> QWidget:
        windows.append(BUILDERS[name]())
        windows[-1].show()
        kit_walk.settle()
        return windows[-1]

    yield show
    for window in windows:
        window.close()
        window.deleteLater()
    kit_walk.settle()


@pytest.mark.parametrize("name", list(BUILDERS))
def test_a_page_cuts_nothing_and_its_targets_are_large_apart_and_named(
    shown: Callable[[str], QWidget], wear: Wear, name: str
) -> None:
    page = shown(name)
    small = [(who, box.size().toTuple()) for who, box in kit_walk.targets(page) if min(box.size().toTuple()) < 48]
    assert (kit_walk.cut_at_rest(page), small, kit_walk.too_close(page, 8), kit_walk.named(page)) == ([], [], [], [])
    wear(Look(LAMP, 200))
    kit_walk.settle()
    assert kit_walk.cut_at_rest(page) == []


@pytest.mark.parametrize(
    "name", ["caseload", "locked-wrong", "family-person", "practice-where", "first-where", "warning"]
)
def test_a_page_built_at_200_percent_cuts_nothing(shown: Callable[[str], QWidget], wear: Wear, name: str) -> None:
    wear(Look(NIGHT, 200))
    page = shown(name)
    assert kit_walk.cut_at_rest(page) == []
    assert (page.width(), page.height()) == (1280, 800)
