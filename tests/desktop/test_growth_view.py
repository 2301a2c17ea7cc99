"""The growth page in the real window: what is drawn is what the table says, and every point is reached by key."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from desktop.controls.figure_table import FigureTable
from desktop.controls.plot import Plot
from desktop.controls.plotted import Plotted
from desktop.pages.visit import VisitPage
from desktop.sheets.growth import Growth
from desktop.theme.look import Look
from desktop.theme.tokens import DAY, LAMP, NIGHT, Role
from forms.answers import Quantity
from forms.ask import Path
from forms.growth_lines import GrowthLines, growth_lines
from forms.pictures.dots import dot_parts
from forms.pictures.drawing import Drawing, Ink, Table, Word
from forms.pictures.measure import wide_of
from forms.pictures.plot import Dot
from forms.pictures.plot_labels import TALL
from storage.changes import Put
from tests.desktop import gallery_growth
from tests.desktop.gallery_growth import WREN, put_weights, strike_all, term_baby
from tests.helpers import kit_walk
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import said, settled

Opened = Callable[[], VisitPage]
K = Qt.Key


def at_growth(opened: Opened, twins: TwinVisit, baby: str) -> VisitPage:
    page = opened()
    page.go("weigh", baby, "weigh.growth")
    settled(twins)
    kit_walk.settle()
    return page


@pytest.fixture
def grown(twins: TwinVisit, opened: Opened) -> VisitPage:
    """Ida as a baby of 39 weeks, with five weights known from three places."""
    strike_all(twins)
    term_baby(twins, twins.ida)
    put_weights(twins, twins.ida, *WREN)
    return at_growth(opened, twins, twins.ida)


def growth(page: VisitPage) -> Growth:
    return page.findChildren(Growth)[-1]


def plotted(page: VisitPage, key: str) -> Plotted:
    return growth(page).plots[key]


def lines_of(page: VisitPage, baby: str) -> GrowthLines:
    return growth_lines(page.home.chart, baby, page.home.clock())


def rows(page: VisitPage, key: str, place: int = 0) -> tuple[tuple[str, ...], ...]:
    return plotted(page, key).findChildren(FigureTable)[place].rows()


def keyed(plot: Plot, *keys: Qt.Key) -> int:
    for key in keys:
        QTest.keyClick(plot, key)
    return plot.current


# --- the twin -------------------------------------------------------------------------------------------------------


def test_each_table_holds_the_figures_of_its_plot_in_the_same_order(grown: VisitPage, twins: TwinVisit) -> None:
    lines = lines_of(grown, twins.ida)
    weight, early, gain = (plotted(grown, key).plot.picture for key in ("weight", "early", "gain"))
    assert [(m.x, m.y) for m in weight.marks] == [(p.x, p.weight.base) for p in lines.weight.points]
    assert [row[1] for row in rows(grown, "weight")] == [
        "3,420 g (7 lb 8.6 oz)", "3,110 g (6 lb 13.7 oz)", "3,075 g (6 lb 12.5 oz)", "3,190 g (7 lb 0.5 oz)",
        "3,430 g (7 lb 9.0 oz)", "3,720 g (8 lb 3.2 oz)",
    ]  # fmt: skip
    assert [row[2] for row in rows(grown, "weight")] == ["at birth", *(f"{n} days" for n in (3, 5, 7, 14, 21))]
    assert [row[1] for row in rows(grown, "early")] == [p.change.text for p in lines.early.points]
    assert [m.y for m in early.marks] == [float(p.change.percent) for p in lines.early.points]
    assert [row[1].split(" (")[0] for row in rows(grown, "gain")] == [m.label for m in gain.marks]
    for picture, key in ((weight, "weight"), (early, "early"), (gain, "gain")):
        assert len(picture.marks) == len(rows(grown, key))
        for mark, row in zip(picture.marks, rows(grown, key), strict=True):
            assert all(cell.lower() in mark.words.lower() for cell in row)


def test_the_curves_too_stand_in_a_table_at_the_ticks_of_the_foot(grown: VisitPage, twins: TwinVisit) -> None:
    curves = lines_of(grown, twins.ida).weight.curves
    table = rows(grown, "weight", 1)
    assert [row[0] for row in table] == [tick.words for tick in plotted(grown, "weight").plot.picture.x_ticks]
    assert [row[0] for row in table] == ["birth", "1 week", "2 weeks", "3 weeks", "4 weeks"]
    for week, row in enumerate(table):
        assert [int(cell.replace(",", "")) for cell in row[1:]] == [round(dict(c.at)[7 * week]) for c in curves]


def test_the_table_comes_by_one_key_in_place_of_the_plot_and_goes_again(grown: VisitPage) -> None:
    shown = plotted(grown, "weight")
    shown.swap.setFocus()
    QTest.keyClick(shown.swap, K.Key_Return)
    kit_walk.settle()
    assert (shown.plot.isVisible(), shown.tables.isVisible(), shown.swap.text()) == (False, True, "as a plot")
    QTest.keyClick(shown.swap, K.Key_Space)
    assert (shown.plot.isVisible(), shown.tables.isVisible(), shown.swap.text()) == (True, False, "as a table")


def test_a_screen_reader_finds_a_table_with_headings_and_cells(grown: VisitPage) -> None:
    plotted(grown, "weight").swap.setChecked(True)
    kit_walk.settle()
    table = plotted(grown, "weight").findChildren(FigureTable)[0]
    spoken = QAccessible.queryAccessibleInterface(table)
    assert spoken.role() is QAccessible.Role.Table
    assert spoken.text(QAccessible.Text.Name) == "Ida’s weights"
    names = {
        spoken.child(place).text(QAccessible.Text.Name): spoken.child(place).role()
        for place in range(spoken.childCount())
    }
    assert names["Weight"] is QAccessible.Role.ColumnHeader
    assert names["3,430 g (7 lb 9.0 oz)"] is QAccessible.Role.Cell
    table.setFocus()
    QTest.keyClick(table, K.Key_Down)
    assert table.currentRow() == 1


# --- the points -----------------------------------------------------------------------------------------------------


def test_arrow_keys_step_from_point_to_point_and_the_words_of_each_are_shown(grown: VisitPage) -> None:
    shown = plotted(grown, "weight")
    assert shown.plot.focusPolicy() is Qt.FocusPolicy.StrongFocus
    shown.plot.setFocus()
    assert shown.plot.current == 5
    assert keyed(shown.plot, K.Key_Left, K.Key_Left) == 3
    assert shown.point.said() == (
        "3,190 g (7 lb 0.5 oz), Mon 16 Feb 2026 09:30, 7 days; z −0.31 (38th centile); "
        "read in red book, written down by Rosalind Achterberg."
    )
    assert shown.point.said() in shown.plot.accessibleDescription()
    assert keyed(shown.plot, K.Key_Home, K.Key_Left) == 0
    assert "birth weight" in shown.point.said()
    assert keyed(shown.plot, K.Key_Right) == 1
    assert keyed(shown.plot, K.Key_End, K.Key_Right) == 5


def test_earlier_and_later_step_too_and_the_focus_is_not_lost_at_an_end(grown: VisitPage) -> None:
    shown = plotted(grown, "early")
    assert not shown.later.isEnabled()
    shown.earlier.setFocus()
    for _step in range(4):
        QTest.keyClick(shown.earlier, K.Key_Return)
    assert shown.plot.current == 0
    assert not shown.earlier.isEnabled()
    assert shown.plot.hasFocus()


def test_a_tap_anywhere_shows_the_nearest_point(grown: VisitPage) -> None:
    plot = plotted(grown, "weight").plot
    for place, mark in enumerate(plot.picture.marks):
        QTest.mouseClick(plot, Qt.MouseButton.LeftButton, pos=(plot.at(mark) + QPointF(4, 3)).toPoint())
        assert plot.current == place


def test_points_differ_in_shape_by_where_they_are_known_from_and_the_shapes_are_named(grown: VisitPage) -> None:
    picture = plotted(grown, "weight").plot.picture
    assert [m.dot for m in picture.marks] == [Dot.EYED, Dot.FULL, Dot.RING, Dot.PAGE, Dot.FULL, Dot.FULL]
    words = said(plotted(grown, "weight"))
    for meaning in ("birth weight", "seen on the scale", "told by the family", "read in a document"):
        assert meaning in words


@pytest.mark.parametrize("look", [Look(DAY), Look(LAMP), Look(NIGHT)], ids=lambda look: look.theme.name)
def test_every_shape_is_painted_unlike_every_other(qtbot: QtBot, wear: Callable[[Look], None], look: Look) -> None:
    from PySide6.QtGui import QImage, QPainter

    from desktop.controls.drawn import paint_drawing

    wear(look)
    images = []
    for dot in (each for each in Dot if each is not Dot.BAR):
        image = QImage(24, 24, QImage.Format.Format_RGB32)
        image.fill(look.colour(Role.CARD))
        painter = QPainter(image)
        drawing = Drawing("", "", 6, 6, dot_parts(dot, 3, 3, Ink.INK), Table((), ()))
        paint_drawing(painter, drawing, 4, look)
        painter.end()
        images.append(bytes(image.constBits()))
    assert len(set(images)) == len(images)


# --- whose, units, and what cannot be drawn -------------------------------------------------------------------------


def test_each_twin_has_a_view_of_her_own_that_says_whose_it_is(grown: VisitPage, twins: TwinVisit) -> None:
    assert "Ida Thornquist" in said(growth(grown))
    assert str(plotted(grown, "weight").plot.picture.tag) == "circle"
    grown.next_baby()
    kit_walk.settle()
    words = said(growth(grown))
    assert grown.middle.title.said() == "Juno’s growth"
    assert "Juno Thornquist" in words
    assert "Ida" not in words
    assert str(plotted(grown, "weight").plot.picture.tag) == "square"


def test_a_family_weighed_in_pounds_reads_pounds_with_grams_beside(twins: TwinVisit, opened: Opened) -> None:
    strike_all(twins)
    term_baby(twins, twins.ida)
    put_weights(twins, twins.ida, *WREN, unit="lb_oz")
    page = at_growth(opened, twins, twins.ida)
    assert rows(page, "weight")[-1][1] == "8 lb 3.2 oz (3,720 g)"
    assert rows(page, "gain")[-1][1] == "1.46 oz/day (41.4 g/day)"
    assert all(tick.words.endswith("lb") for tick in plotted(page, "weight").plot.picture.y_ticks)
    assert rows(page, "weight")[0][1] == "7 lb 8.6 oz (3,420 g), typed 3420 g"


def test_two_values_of_a_weight_are_both_shown_tied_and_neither_is_joined_to_the_line(
    grown: VisitPage, twins: TwinVisit
) -> None:
    (entity,) = put_weights(twins, twins.ida, (3900, (2026, 3, 3, 15, 0), "seen"))
    for amount in (3900, 3390):
        put = Put(entity, Path("weight"), Quantity(str(amount), "g", amount), replaces=())
        twins.store.write((put,), author=twins.author)
    grown.home.reload()
    settled(twins)
    kit_walk.settle()
    picture = plotted(grown, "weight").plot.picture
    assert [(m.y, m.dot, m.group) for m in picture.marks[-2:]] == [
        (3900.0, Dot.NOTCHED, entity), (3390.0, Dot.NOTCHED, entity),
    ]  # fmt: skip
    assert picture.traces == ((0, 1, 2, 3, 4, 5),)
    assert [row[1].split(" (")[0] for row in rows(grown, "weight")[-2:]] == [
        "unresolved: 3,900 g", "unresolved: 3,390 g",
    ]  # fmt: skip
    assert "1 unresolved: both values are shown, and neither counts until one is settled." in said(growth(grown))
    assert rows(grown, "gain")[-1][1] == "unresolved: two values stand for the later weight"
    assert [m.label for m in picture.marks[-2:]] == ["", "unresolved"]


def test_a_weight_typed_meanwhile_joins_the_line_at_once(grown: VisitPage, twins: TwinVisit) -> None:
    put_weights(twins, twins.ida, (3800, (2026, 3, 3, 15, 30), "seen"))
    grown.home.reload()
    settled(twins)
    assert "7 weights. Latest 3,800 g at 22 days" in said(growth(grown))


def test_without_a_weight_the_page_says_so_and_draws_nothing(twins: TwinVisit, opened: Opened) -> None:
    strike_all(twins)
    twins.store.write([Put(twins.ida, Path("birth_weight"), None)], author=twins.author)
    page = at_growth(opened, twins, twins.ida)
    assert "No weight is written down yet." in said(growth(page))
    assert [plot for plot in growth(page).findChildren(Plot) if plot.isVisible()] == []


def test_before_the_term_date_the_page_says_from_when_there_are_curves(twins: TwinVisit, opened: Opened) -> None:
    twins.store.write([Put(twins.ida, Path("sex"), "f")], author=twins.author)
    page = at_growth(opened, twins, twins.ida)
    assert "No WHO curves: born at 35 weeks 2 days: the WHO curves begin at the term date, 14 Mar 2026" in said(
        growth(page)
    )
    picture = plotted(page, "weight").plot.picture
    assert (picture.lines, len(picture.marks)) == ((), 2)


def test_without_the_sex_for_the_table_the_page_says_that_it_is_not_set(twins: TwinVisit, opened: Opened) -> None:
    page = at_growth(opened, twins, twins.ida)
    assert "No WHO curves: the sex for the growth table is not set." in said(growth(page))


def test_the_lines_at_seven_and_ten_percent_carry_their_source_on_them(grown: VisitPage) -> None:
    levels = plotted(grown, "early").plot.picture.levels
    assert [(level.y, level.words) for level in levels if level.watch] == [
        (-7.0, "7 %: ABM, AAP (M)"),
        (-10.0, "10 %: NICE (S)"),
    ]
    plotted(grown, "early").more.click()
    words = said(plotted(grown, "early"))
    assert "NICE NG75, 2017 (S)" in words
    assert "No centile of early loss is drawn." in words


def test_the_growth_of_a_baby_is_reached_from_the_familys_page_too() -> None:
    from desktop.pages.family_person import _about
    from forms.people import InfantIdentity, ParentIdentity

    assert "weigh.growth" in [section.key for section in _about(InfantIdentity)]
    assert "weigh.growth" not in [section.key for section in _about(ParentIdentity)]


# --- large text -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["growth-preterm", "growth-pounds", "growth-unresolved", "growth-before-term"])
def test_no_word_of_a_table_is_cut_in_any_size_of_text(qtbot: QtBot, wear: Callable[[Look], None], name: str) -> None:
    framed = dict((*gallery_growth.SCREENS, *gallery_growth.MORE))[name]()
    qtbot.addWidget(framed)
    framed.resize(1280, 800)
    framed.show()
    for text in (100, 200):
        wear(Look(DAY, text))
        kit_walk.settle()
        for each in framed.findChildren(Plotted):
            each.swap.setChecked(True)
        kit_walk.settle()
        tables = [table for table in framed.findChildren(FigureTable) if table.isVisible()]
        assert len(tables) >= 3
        assert [words for table in tables for words in table.cut()] == []
        assert kit_walk.cut_at_rest(framed) == []


def test_the_words_of_a_plot_stay_inside_it_at_200_percent(
    grown: VisitPage, wear: Callable[[Look], None], twins: TwinVisit
) -> None:
    from PySide6.QtGui import QFontMetricsF

    from desktop.controls.drawn import font_of
    from desktop.theme.look import look

    wear(Look(DAY, 200))
    grown.go("weigh", twins.ida, "weigh.growth")
    kit_walk.settle()
    for key in ("weight", "early", "gain"):
        plot = plotted(grown, key).plot
        field, drawing = plot.drawn()
        for part in drawing.parts:
            if isinstance(part, Word):
                wide = QFontMetricsF(font_of(part, plot.scale(), look())).horizontalAdvance(part.text)
                left = part.x * plot.scale() - {"start": 0.0, "middle": wide / 2, "end": wide}[part.anchor]
                assert left >= -1, part.text
                assert left + wide <= plot.width() + 1, part.text
        for tick in plot.picture.y_ticks:
            assert wide_of(tick.words, TALL) <= field.box.left
