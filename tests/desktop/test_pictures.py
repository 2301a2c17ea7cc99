"""Pictures in the window: painted in the look in force, never cut, each with its table, and nothing private on them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from desktop.controls.drawn import Drawn, font_of, paint_drawing, scale_of
from desktop.controls.layouts import Reach, Stack
from desktop.controls.picture_view import PictureView
from desktop.pages.visit import VisitPage
from desktop.sheets.pictures import Pictures
from desktop.theme.look import Look, look
from desktop.theme.tokens import DAY, LAMP, NIGHT, Role
from forms.feed import FeedObservation
from forms.pictures.all import pictures
from forms.pictures.drawing import Anchor, Area, Drawing, Filling, Ink, Line, Table, Weave, Word, box
from forms.pictures.maker import NARROWEST, WIDEST, Maker
from forms.pictures.measure import wide_of
from tests.desktop.gallery_milk import write_log
from tests.desktop.gallery_pictures import MAKERS, made
from tests.helpers import kit_walk
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

Wear = Callable[[Look], None]
Shown = Callable[[Maker, int], PictureView]
Opened = Callable[[], VisitPage]
LOOKS = (Look(DAY), Look(LAMP), Look(NIGHT), Look(DAY, 200))


def painted(drawing: Drawing, now: Look, *, ground: Role = Role.CARD) -> QImage:
    """A picture on the theme's card, as its painter leaves it."""
    scale = scale_of(now)
    image = QImage(int(drawing.wide * scale) + 1, int(drawing.tall * scale) + 1, QImage.Format.Format_RGB32)
    image.fill(now.colour(ground))
    painter = QPainter(image)
    paint_drawing(painter, drawing, scale, now)
    painter.end()
    return image


def holding(*parts: Line | Area | Word) -> Drawing:
    return Drawing("Sample", "Shows a sample.", 100, 40, parts, Table(("What",), (("a sample",),)), ())


def patch(image: QImage, scale: float) -> list[int]:
    """The pixels inside a box of 30 by 30 mm at (5, 5), away from its edge."""
    side = range(round(8 * scale), round(32 * scale))
    return [image.pixel(QPoint(x, y)) for x in side for y in side]


# --- the painter ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("now", LOOKS[:3])
def test_each_role_is_painted_in_the_themes_own_colour(now: Look, wear: Wear) -> None:
    wear(now)
    for ink in Ink:
        image = painted(holding(Area(box(5, 5, 30, 30), ink)), now)
        assert set(patch(image, scale_of(now))) == {now.colour(Role(ink.value)).rgb()}


@pytest.mark.parametrize("now", LOOKS)
def test_fillings_differ_in_how_much_ink_they_lay_and_none_covers_all_or_nothing(now: Look, wear: Wear) -> None:
    wear(now)
    inked = {}
    for filling in Filling:
        card = now.colour(Role.CARD).rgb()
        pixels = patch(painted(holding(Area(box(5, 5, 30, 30), Ink.WOAD, filling)), now), scale_of(now))
        inked[filling] = sum(pixel != card for pixel in pixels) / len(pixels)
    assert inked[Filling.NONE] == 0.0
    assert inked[Filling.SOLID] == inked[Filling.LIGHT] == 1.0
    assert 0.1 < inked[Filling.HATCH] < inked[Filling.CROSS] < 0.9
    assert 0.1 < inked[Filling.DOTS] < 0.9


def test_a_light_filling_is_a_tint_that_stands_off_the_card_in_every_theme(wear: Wear) -> None:
    for now in LOOKS[:3]:
        wear(now)
        area = Area(box(5, 5, 30, 30), Ink.ELDER, Filling.LIGHT)
        tint = QColor(patch(painted(holding(area), now), scale_of(now))[0])
        assert tint not in (now.colour(Role.CARD), now.colour(Role.ELDER))
        assert abs(tint.lightness() - now.colour(Role.CARD).lightness()) >= 15


def test_weaves_leave_gaps_of_their_own_length() -> None:
    now, runs = look(), {}
    for weave in Weave:
        image = painted(holding(Line(((5, 20), (95, 20)), Ink.INK, 0.6, weave)), now)
        row = [image.pixelColor(x, round(20 * scale_of(now))) != now.colour(Role.CARD) for x in range(image.width())]
        runs[weave] = sum(now_ and not before for before, now_ in pairwise(row))
    assert runs[Weave.WHOLE] == 1
    assert 15 < runs[Weave.DASHED] < runs[Weave.DOTTED]


@pytest.mark.parametrize("anchor", Anchor)
def test_words_stand_at_their_anchor(anchor: Anchor) -> None:
    now = look()
    word = Word(50, 20, "HHHH", 5, anchor=anchor)
    image, scale = painted(holding(word), now), scale_of(now)
    card = now.colour(Role.CARD)
    inked = [x for x in range(image.width()) if any(image.pixelColor(x, y) != card for y in range(image.height()))]
    wide = QFontMetricsF(font_of(word, scale, now)).horizontalAdvance(word.text)
    begin = 50 * scale - {Anchor.START: 0, Anchor.MIDDLE: wide / 2, Anchor.END: wide}[anchor]
    assert begin - 1 <= inked[0] <= begin + 0.12 * wide
    assert begin + 0.88 * wide <= inked[-1] <= begin + wide + 1


@pytest.mark.parametrize("now", LOOKS)
def test_words_take_no_more_room_on_screen_than_was_counted(now: Look, wear: Wear) -> None:
    wear(now)
    scale = scale_of(now)
    for name in MAKERS:
        for word in made(name).draw(NARROWEST).parts:
            if isinstance(word, Word):
                wide = QFontMetricsF(font_of(word, scale, now)).horizontalAdvance(word.text) / scale
                assert wide <= wide_of(word.text, word.tall, strong=word.strong) + 0.6, word.text


# --- the widget -------------------------------------------------------------------------------------------------------


@pytest.fixture
def shown(qtbot: QtBot) -> Shown:
    """Shows a picture with all that belongs to it, in a page so wide."""
    pages = []

    def show(maker: Maker, wide: int) -> PictureView:
        view, stack = PictureView(maker), Stack()
        stack.add(view)
        stack.finish()
        page = Reach(stack)
        pages.append(page)
        qtbot.addWidget(page)
        page.resize(wide, 700)
        page.show()
        page.activateWindow()
        qtbot.waitUntil(page.isActiveWindow)
        kit_walk.settle()
        return view

    return show


@pytest.mark.parametrize("name", MAKERS)
@pytest.mark.parametrize(("now", "wide"), [(LOOKS[0], 740), (LOOKS[2], 480), (LOOKS[3], 980), (LOOKS[3], 640)])
def test_a_picture_is_drawn_for_the_width_there_is_and_never_cut(
    name: str, now: Look, wide: int, wear: Wear, shown: Shown
) -> None:
    wear(now)
    drawn = shown(made(name), wide).drawn
    drawing, scale = drawn.drawing(), drawn.scale()
    assert NARROWEST <= drawing.wide <= WIDEST
    assert drawing.wide * scale <= drawn.width() + 1
    assert drawing.tall * scale <= drawn.height() + 1
    view = drawn.parentWidget()
    assert view is not None
    assert drawn.geometry().right() <= view.width()


def test_words_of_a_picture_are_twice_as_large_at_200_percent(wear: Wear, shown: Shown) -> None:
    sizes = []
    for now in (LOOKS[0], LOOKS[3]):
        wear(now)
        drawn = shown(made("pain"), 980).drawn
        sizes.append(font_of(Word(0, 0, "mid", 3.4), drawn.scale(), look()).pixelSize())
    assert sizes[1] == pytest.approx(2 * sizes[0], abs=1)


def test_painting_again_asks_nothing_of_the_maker(qtbot: QtBot) -> None:
    asked = []

    def draw(wide: float) -> Drawing:
        asked.append(wide)
        return replace(holding(Area(box(5, 5, 30, 30))), wide=wide)

    drawn = Drawn(draw)
    qtbot.addWidget(drawn)
    drawn.resize(600, 200)
    drawn.show()
    kit_walk.settle()
    before = len(asked)
    for _ in range(5):
        drawn.grab()
    assert len(asked) == before


def test_a_change_of_theme_paints_it_anew(wear: Wear, shown: Shown) -> None:
    drawn = shown(made("diapers"), 740).drawn
    day = drawn.grab().toImage()
    wear(LOOKS[2])
    kit_walk.settle()
    assert drawn.grab().toImage() != day


# --- the view ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", MAKERS)
def test_the_table_holds_the_twins_rows_and_comes_by_key(name: str, shown: Shown) -> None:
    maker = made(name)
    view = shown(maker, 740)
    assert view.drawn.accessibleName() == maker.title
    assert view.drawn.accessibleDescription() == view.sentence.said() == maker.draw(WIDEST).sentence
    view.swap.setFocus()
    QTest.keyClick(view.swap, Qt.Key.Key_Return)
    kit_walk.settle()
    table = view.table()
    assert table is not None
    assert (view.drawn.isVisible(), table.isVisible(), view.swap.text()) == (False, True, "as a picture")
    assert table.rows() == maker.draw(WIDEST).table.rows
    assert view.swap.accessibleName() == f"{maker.title}, as a picture"
    QTest.keyClick(view.swap, Qt.Key.Key_Space)
    assert (view.drawn.isVisible(), table.isVisible(), view.swap.text()) == (True, False, "as a table")


@pytest.mark.parametrize("name", MAKERS)
def test_no_word_of_the_table_is_cut_at_200_percent(name: str, wear: Wear, shown: Shown) -> None:
    wear(LOOKS[3])
    view = shown(made(name), 980)
    view.swap.setChecked(True)
    kit_walk.settle()
    table = view.table()
    assert table is not None
    assert table.cut() == []


def test_with_nothing_to_draw_there_is_the_sentence_alone(shown: Shown) -> None:
    empty = Drawing("Pain", "No pain was told.", 100, 0, (), Table(("When",), ()))
    view = shown(Maker("pain", "Pain", lambda wide: replace(empty, wide=wide)), 740)
    assert view.sentence.isVisible()
    assert not any(part.isVisible() for part in (view.drawn, view.swap, view.tables, view.sources))


# --- the page ---------------------------------------------------------------------------------------------------------


def at_pictures(page: VisitPage, twins: TwinVisit, who: str) -> Pictures:
    page.go("plan", who, "plan.pictures")
    settled(twins)
    kit_walk.settle()
    return page.findChildren(Pictures)[-1]


def test_the_page_holds_every_picture_of_the_person_charted(opened: Opened, twins: TwinVisit) -> None:
    page = opened()
    write_log(page.home, twins, twins.ida)
    held = at_pictures(page, twins, twins.ida)
    assert list(held.views) == [maker.key for maker in pictures(page.home.chart, twins.ida, page.home.clock())]
    assert {"diapers", "supplement_share"} <= set(held.views)
    assert not held.empty.isVisible()


def test_a_page_without_a_picture_says_so(opened: Opened, twins: TwinVisit) -> None:
    held = at_pictures(opened(), twins, twins.mara)
    assert held.empty.isVisible()
    assert held.empty.said().startswith("There is no picture of Mara yet.")


def test_pictures_follow_what_is_written_and_the_table_stays_open(opened: Opened, twins: TwinVisit) -> None:
    page = opened()
    write_log(page.home, twins, twins.ida)
    held = at_pictures(page, twins, twins.ida)
    held.views["diapers"].swap.setChecked(True)
    pair = page.home.begin(FeedObservation, twins.mara, twins.ida)
    pair.put("observed", "seen")
    pair.put("pain_at_latch@left", 6)
    page.home.save()
    settled(twins)
    kit_walk.settle()
    assert "pain" in held.views
    assert held.views["diapers"].swap.isChecked()
    assert "6 at latch" in held.views["pain"].sentence.said()


def test_pictures_may_be_looked_at_together_and_show_nothing_but_names_and_figures(
    opened: Opened, twins: TwinVisit
) -> None:
    page = opened()
    write_log(page.home, twins, twins.ida)
    at_pictures(page, twins, twins.ida)
    page.toggle_shared()
    kit_walk.settle()
    held = page.findChildren(Pictures)[-1]
    assert held.isVisible()
    told = " ".join(
        part for view in held.views.values() for part in (view.sentence.said(), *view.drawn.drawing().words())
    )
    assert "555 0199" not in told
    assert "4 Bell Row" not in told
