"""Every picture of the gallery: nothing cut, every target large enough and named, in each look."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from desktop.controls.buttons import Act
from desktop.controls.words import Words
from desktop.theme.look import Look
from desktop.theme.tokens import DAY, LAMP, NIGHT, Role
from tests.desktop import gallery
from tests.helpers import kit_walk

NAMES = [name for name, _ in gallery.SCREENS]
BUILDERS = dict(gallery.SCREENS)
Shown = Callable[[str], QWidget]
Wear = Callable[[Look], None]


@pytest.fixture
def shown(qtbot: QtBot) -> Callable[[str], QWidget]:
    def show(name: str) -> QWidget:
        widget = BUILDERS[name]()
        qtbot.addWidget(widget)
        widget.resize(*gallery.SIZE)
        widget.show()
        kit_walk.settle()
        return widget

    return show


@pytest.mark.parametrize("name", NAMES)
def test_a_screen_is_whole_its_targets_large_apart_and_named_also_when_text_grows_while_it_is_open(
    shown: Shown, wear: Wear, name: str
) -> None:
    page = shown(name)
    assert kit_walk.cut_at_rest(page) == []
    assert (page.width(), page.height()) == gallery.SIZE
    small = [(who, box.size().toTuple()) for who, box in kit_walk.targets(page) if min(box.size().toTuple()) < 48]
    assert small == []
    assert kit_walk.too_close(page, 8) == []
    assert kit_walk.named(page) == []
    wear(Look(LAMP, 200))
    kit_walk.settle()
    assert kit_walk.cut_at_rest(page) == []


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_cut_on_a_screen_opened_at_200_percent(shown: Shown, wear: Wear, name: str) -> None:
    wear(Look(DAY, 200))
    page = shown(name)
    assert kit_walk.cut_at_rest(page) == []
    assert (page.width(), page.height()) == gallery.SIZE


@pytest.mark.parametrize("name", [name for name in NAMES if name.startswith("kit-")])
def test_nothing_of_the_kit_is_cut_at_150_percent(shown: Shown, wear: Wear, name: str) -> None:
    wear(Look(DAY, 150))
    assert kit_walk.clipped(shown(name)) == []


def test_the_gallery_keeps_one_picture_for_each_screen_and_look(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(gallery, "SCREENS", gallery.SCREENS[:1])
    monkeypatch.setattr(gallery, "PAGES", [])
    written = gallery.draw(tmp_path)
    assert len(written) == len(gallery.LOOKS)
    colours = {QImage(str(file)).pixelColor(640, 790).name().upper() for file in written}
    assert {DAY[Role.WELL], LAMP[Role.WELL], NIGHT[Role.WELL]} <= colours


def test_cut_words_a_close_target_and_a_missing_name_would_be_found(qtbot: QtBot) -> None:
    page = QWidget()
    qtbot.addWidget(page)
    page.resize(400, 200)
    words, one, other = (
        Words("Reaches, seen when the lip is stroked", parent=page),
        Act("One", parent=page),
        Act("Two", parent=page),
    )
    words.setGeometry(0, 0, 120, 20)
    one.setGeometry(0, 60, 40, 56)
    other.setGeometry(44, 60, 100, 56)
    other.setText("")
    other.setAccessibleName("")
    page.show()
    assert len(kit_walk.clipped(page)) == 2
    assert len(kit_walk.too_close(page, 8)) == 1
    assert kit_walk.named(page) == ["Act"]
