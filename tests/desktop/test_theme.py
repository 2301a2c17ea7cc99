"""The look: contrast of every pair, live switching, bundled letters, and nothing literal outside the tokens."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtGui import QFontDatabase, QFontMetrics, QGuiApplication, QImage, QPainter
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from desktop.controls.buttons import Act, ActKind
from desktop.controls.words import Title, Words
from desktop.theme.apply import load_fonts
from desktop.theme.halfmoons import TAG_ROLES, MoonState, TagShape, paint_pair, paint_tag
from desktop.theme.look import TEXT_FAMILY, TITLE_FAMILY, Look, look
from desktop.theme.tokens import DAY, LAMP, NIGHT, THEMES, Role, Size, Stroke, Theme, contrast, theme_named

GROUNDS = (Role.PAGE, Role.CARD, Role.WELL)
INKS = (Role.INK, Role.SOFT_INK, Role.ELDER, Role.WOAD, Role.WELD, Role.MADDER, Role.ALDER)
FILLS = (Role.ELDER, Role.WOAD, Role.WELD, Role.MADDER, Role.ALDER)
DESKTOP = Path(__file__).parents[2] / "desktop"


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("ink", INKS)
def test_every_ink_can_be_read_on_every_ground(theme: Theme, ink: Role, ground: Role) -> None:
    assert contrast(theme[ink], theme[ground]) >= 4.5


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("fill", FILLS)
def test_words_on_a_fill_can_be_read(theme: Theme, fill: Role) -> None:
    assert contrast(theme[Role.ON_FILL], theme[fill]) >= 4.5


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", GROUNDS)
def test_edges_and_the_focus_ring_stand_out_from_every_ground(theme: Theme, ground: Role) -> None:
    assert contrast(theme[Role.EDGE], theme[ground]) >= 3
    assert contrast(theme[Role.ELDER], theme[ground]) >= 3
    assert Stroke.RING >= 2


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("fill", [Role.ELDER, Role.MADDER])
def test_the_ring_inside_a_filled_button_stands_out_from_its_fill(theme: Theme, fill: Role) -> None:
    assert contrast(theme[Role.ON_FILL], theme[fill]) >= 3


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("kind", [ActKind.MAIN, ActKind.URGENT])
def test_words_stay_readable_on_a_filled_button_that_is_pointed_at(theme: Theme, kind: ActKind) -> None:
    fill = Role.ELDER if kind is ActKind.MAIN else Role.MADDER
    pointed = Look(theme).tint(Role.INK, fill, 12).name()
    assert contrast(theme[Role.ON_FILL], pointed) >= 4.5


def test_contrast_agrees_with_figures_worked_out_elsewhere() -> None:
    # WCAG 2: black on white is 21 to 1; mid-grey 767676 on white is the least grey that passes 4.5 (widely published).
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)
    assert contrast(DAY[Role.INK], DAY[Role.PAGE]) == pytest.approx(13.78, abs=0.005)
    assert contrast(LAMP[Role.WELD], LAMP[Role.WELL]) == pytest.approx(4.55, abs=0.005)
    assert contrast(NIGHT[Role.EDGE], NIGHT[Role.WELL]) == pytest.approx(3.34, abs=0.005)


def test_lamp_gives_less_light_than_day_and_stays_dark_on_light() -> None:
    assert contrast(LAMP[Role.PAGE], "#000000") < contrast(DAY[Role.PAGE], "#000000")
    assert contrast(LAMP[Role.PAGE], "#000000") > contrast(LAMP[Role.INK], "#000000")


def test_no_theme_has_a_ground_brighter_than_its_card_but_night_where_wells_are_raised() -> None:
    for theme in (DAY, LAMP):
        brightness = {role: contrast(theme[role], "#000000") for role in GROUNDS}
        assert max(brightness.values()) == brightness[Role.CARD]


def test_a_theme_is_found_by_its_name() -> None:
    assert [theme_named(theme.name) for theme in THEMES] == list(THEMES)


def test_babies_differ_in_shape_and_not_only_in_colour() -> None:
    pictures = set()
    for shape in TagShape:
        image = QImage(48, 48, QImage.Format.Format_Grayscale8)
        image.fill(255)
        painter = QPainter(image)
        paint_tag(painter, QRectF(2, 2, 44, 44), shape, Look())
        painter.end()
        pictures.add(bytes(255 if value > 200 else 0 for value in bytes(image.constBits())))
    assert len(pictures) == len(TagShape)
    assert len(set(TAG_ROLES.values())) == len(TagShape)


def _pair(direction: Qt.LayoutDirection) -> QImage:
    QGuiApplication.setLayoutDirection(direction)
    image = QImage(48, 48, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    painter.setLayoutDirection(direction)
    paint_pair(painter, QRectF(2, 2, 44, 44), MoonState.DONE, MoonState.NOT_DONE, Look())
    painter.end()
    return image


def test_half_moons_do_not_mirror_in_right_to_left_writing() -> None:
    try:
        assert _pair(Qt.LayoutDirection.LeftToRight) == _pair(Qt.LayoutDirection.RightToLeft)
    finally:
        QGuiApplication.setLayoutDirection(Qt.LayoutDirection.LeftToRight)


def test_the_four_states_of_a_moon_look_different_without_colour() -> None:
    pictures = set()
    for state in MoonState:
        image = QImage(48, 48, QImage.Format.Format_Grayscale8)
        image.fill(255)
        painter = QPainter(image)
        paint_pair(painter, QRectF(2, 2, 44, 44), state, state, Look())
        painter.end()
        pictures.add(bytes(255 if value > 200 else 0 for value in bytes(image.constBits())))
    assert len(pictures) == len(MoonState)


def test_the_bundled_letters_are_the_ones_in_use(qapp: QApplication) -> None:
    assert load_fonts() == (TEXT_FAMILY, TITLE_FAMILY)
    assert {TEXT_FAMILY, TITLE_FAMILY} <= set(QFontDatabase.families())
    words, title = Words("a"), Title("a")
    assert words.fontInfo().family() == TEXT_FAMILY
    assert title.fontInfo().family() == TITLE_FAMILY


@pytest.mark.parametrize("size", tuple(Size))
def test_every_figure_is_equally_wide(qapp: QApplication, size: Size) -> None:
    metrics = QFontMetrics(look().font(size, strong=True))
    assert len({metrics.horizontalAdvance(figure * 10) for figure in "0123456789"}) == 1


def test_switching_the_theme_changes_what_is_on_screen_at_once(qtbot: QtBot, wear: Callable[[Look], None]) -> None:
    act, words = Act("Open", kind=ActKind.MAIN), Words("saved 14:02")
    for widget in (act, words):
        qtbot.addWidget(widget)
        widget.resize(widget.sizeHint())
        widget.show()
    for theme in (DAY, LAMP, NIGHT, DAY):
        wear(Look(theme))
        inside = act.grab().toImage().pixelColor(QPoint(act.width() // 2, 6)).name().upper()
        assert inside == theme[Role.ELDER]
        assert words.palette().windowText().color().name().upper() == theme[Role.INK]


def test_switching_the_theme_keeps_what_is_being_typed(qtbot: QtBot, wear: Callable[[Look], None]) -> None:
    box = QLineEdit()
    qtbot.addWidget(box)
    box.show()
    box.setText("266")
    box.setCursorPosition(2)
    wear(Look(NIGHT, 150))
    assert (box.text(), box.cursorPosition()) == ("266", 2)


def test_larger_text_makes_controls_grow_at_once(qtbot: QtBot, wear: Callable[[Look], None]) -> None:
    act, words = Act("Begin observing", key="F2"), Words("Weight")
    qtbot.addWidget(act)
    qtbot.addWidget(words)
    before = act.sizeHint(), words.fontMetrics().height()
    wear(Look(DAY, 200))
    assert act.sizeHint().width() > before[0].width()
    assert words.fontMetrics().height() == pytest.approx(2 * before[1], abs=3)


@pytest.mark.parametrize("percent", [99, 201])
def test_text_outside_100_to_200_percent_is_refused(percent: int) -> None:
    with pytest.raises(ValueError, match="100 to 200"):
        Look(DAY, percent)


LITERALS = (
    re.compile(r"#[0-9A-Fa-f]{6}\b"),
    re.compile(r"\d\s*px\b"),
    re.compile(r"set(?:Fixed|Minimum|Maximum)(?:Width|Height|Size)\(\s*\d"),
    re.compile(r"setContentsMargins\([^)]*[1-9]\d*\s*[,)]"),
    re.compile(r"setSpacing\(\s*[1-9]"),
    re.compile(r"setP(?:ixel|oint)SizeF?\(\s*\d"),
    re.compile(r"QColor\(\s*[\"'\d]"),
    re.compile(r"Qt\.GlobalColor\.(?!transparent|black|white)"),  # black and white are a printed sheet
)


def _code(file: Path) -> str:
    """The file without its docstrings and comments, in which sizes may be spoken of."""
    text = re.sub(r'"""[\s\S]*?"""', "", file.read_text(encoding="utf-8"))
    return re.sub(r"#(?![0-9A-Fa-f]{6}\b).*", "", text)


def test_no_colour_and_no_size_is_named_outside_the_tokens() -> None:
    found = [
        f"{file.relative_to(DESKTOP)}: {match[0]}"
        for file in sorted(DESKTOP.rglob("*.py"))
        if file.parent.name != "theme"
        for pattern in LITERALS
        for match in pattern.finditer(_code(file))
    ]
    assert found == []


@pytest.mark.parametrize(
    "line",
    [
        '"#5B3A4E"',
        'box.setStyleSheet("margin: 4px")',
        "w.setFixedWidth(48)",
        "l.setContentsMargins(8, 0, 0, 0)",
        "l.setSpacing(8)",
    ],
)
def test_a_literal_colour_or_size_would_be_found(line: str) -> None:
    assert any(pattern.search(line) for pattern in LITERALS)
