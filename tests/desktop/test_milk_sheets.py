"""The log, its 24 hours, expressing and the supplement in the window: quick to write, and shown as written."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from desktop.controls.typed import Typed
from desktop.controls.words import Words
from desktop.pages.visit import VisitPage
from desktop.pages.visit_middle import field_in_focus
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.log_day import LogDay
from desktop.sheets.log_lines import LogLines
from forms.answers import Moment, Quantity, Side
from forms.chart import Entry
from forms.expressing import Expression
from forms.feeding_log import LogLine
from forms.plan import FeedingAmount
from tests.desktop.gallery_milk import DAY, mL, write, write_log
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import control, kept, key_named, said


def lines(page: VisitPage, twins: TwinVisit) -> tuple[Entry[LogLine], ...]:
    return page.home.chart.all(LogLine, twins.ida)


def log_page(page: VisitPage, twins: TwinVisit) -> None:
    """Go to the log and let its page come to rest."""
    page.go("story", twins.ida, "story.log")
    assert said(page)


def type_into(page: VisitPage, field: str, text: str) -> Typed:
    box = control(page, "log_line", field)
    assert isinstance(box, Typed)
    box.type(text)
    box.commit()
    return box


def shown_lines(page: VisitPage) -> list[str]:
    assert page.middle.page is not None
    found = page.middle.page.findChild(LogLines)
    assert found is not None
    placed = sorted(found.lines.values(), key=lambda line: line.y())
    return [line.words.said() for line in placed]


def test_one_key_writes_the_side_and_the_feeder_it_names_and_its_time_is_the_last_such_time(
    page: VisitPage, twins: TwinVisit
) -> None:
    log_page(page, twins)
    key_named(page, "Mara’s left").click()
    assert field_in_focus(page) == ("log_line", "starts")
    type_into(page, "starts", "23:10")  # at a visit on Tue 3 Mar, 10:42
    kept(twins, page)
    (line,) = lines(page, twins)
    assert (line.answers.kind, line.answers.feeder) == ("left", twins.mara)
    assert isinstance(line.answers.starts, Moment)
    assert line.answers.starts.local().isoformat()[:16] == "2026-03-02T23:10"


def test_the_last_line_can_be_begun_again_by_one_key_that_says_what_it_writes(
    page: VisitPage, twins: TwinVisit
) -> None:
    write(page.home, LogLine, twins.ida, kind="cup", milk="donor", feeder=twins.mara, starts=twins.at(-3), amount=mL(9))
    log_page(page, twins)
    key_named(page, "Again: Cup, donor milk, by Mara").click()
    kept(twins, page)
    again = next(one.answers for one in lines(page, twins) if one.answers.starts is None)
    assert (again.kind, again.milk, again.feeder, again.amount) == ("cup", "donor", twins.mara, None)


def test_lines_stand_in_the_order_of_the_clock_under_their_day_however_they_were_entered(
    page: VisitPage, twins: TwinVisit
) -> None:
    for before, kind in ((2.0, "right"), (20.0, "bottle"), (11.0, "left")):
        write(page.home, LogLine, twins.ida, kind=kind, starts=twins.at(-before), feeder=twins.mara)
    log_page(page, twins)
    page.resize(1281, 800)
    assert said(page)
    assert shown_lines(page) == ["Bottle, by Mara", "Mara’s left", "Mara’s right"]
    assert "Monday, 2 Mar 2026" in said(page)
    assert "9 h after the feed before" in said(page)


def test_a_feed_that_would_end_before_it_begins_is_refused_in_one_sentence_and_the_box_keeps_what_was_typed(
    page: VisitPage, twins: TwinVisit
) -> None:
    log_page(page, twins)
    key_named(page, "Mara’s right").click()
    type_into(page, "starts", "9:00")
    box = type_into(page, "ends", "8:30")
    assert box.text() == "8:30"
    assert "“Ended” would lie before “Began”. Check the day and the time of both." in said(page)
    kept(twins, page)
    (line,) = lines(page, twins)
    assert line.answers.ends is None


def test_a_line_without_a_time_is_told_above_the_others(page: VisitPage, twins: TwinVisit) -> None:
    write(page.home, LogLine, twins.ida, kind="left", starts=twins.at(-2), feeder=twins.mara)
    write(page.home, LogLine, twins.ida, kind="diaper", wet=True)
    log_page(page, twins)
    assert shown_lines(page)[0] == "Diaper only"
    assert "Without a time: readable, and counted nowhere" in said(page)


def day_of(page: VisitPage, twins: TwinVisit) -> LogDay:
    page.go("story", twins.ida, "story.day")
    assert page.middle.page is not None
    found = page.middle.page.findChild(LogDay)
    assert found is not None
    assert said(page)
    return found


def test_the_ring_is_stepped_through_and_its_lines_are_opened_by_keyboard_alone(
    page: VisitPage, twins: TwinVisit
) -> None:
    write_log(page.home, twins, twins.ida)
    day = day_of(page, twins)
    asked: list[Any] = []
    InView.of(page.home).jumped.connect(asked.append)
    assert day.ring.focusPolicy() & Qt.FocusPolicy.TabFocus
    day.ring.setFocus()
    assert day.line.said() == "11:12  Mara’s left, 15 min"
    QTest.keyClick(day.ring, Qt.Key.Key_Right)
    assert day.line.said() == "11:36  Mara’s right, 10 min"
    QTest.keyClick(day.ring, Qt.Key.Key_End)
    assert day.line.said().startswith("09:30  Bottle, formula, 30 mL")
    current = day.ring.current
    QTest.keyClick(day.ring, Qt.Key.Key_Return)
    assert asked == [Jump("story", twins.ida, "story.log", LogLine.name, current)]


def test_the_table_twin_has_every_line_of_the_ring_and_the_same_longest_time(page: VisitPage, twins: TwinVisit) -> None:
    write_log(page.home, twins, twins.ida)
    day = day_of(page, twins)
    assert "longest time between feeds 5 h 6 min" in day.ring.accessibleName()
    day.swap.click()
    rows = day.table.rows()
    assert day.table.isVisible()
    assert not day.ring.isVisible()
    assert len(rows) == len(DAY) + 1
    assert rows[-1][1] == "longest time between feeds: 5 h 6 min"
    assert not day.table.cut()
    assert not day.amounts.cut()


def test_a_log_of_19_hours_is_warned_of_over_its_ring(page: VisitPage, twins: TwinVisit) -> None:
    for before in (19.5, 10.0, 0.5):
        write(page.home, LogLine, twins.ida, kind="left", starts=twins.at(-before), feeder=twins.mara)
    day = day_of(page, twins)
    assert day.warning.said() == "This log covers 19 h and is no log of a day."
    assert day.warning.isVisible()


def test_a_session_says_until_when_its_milk_is_kept_and_only_how_much_wider_the_flange_is(
    page: VisitPage, twins: TwinVisit
) -> None:
    entity = write(
        page.home, Expression, twins.mara, began=twins.at(-1), ended=twins.at(-0.7), use=("fridge",),
        kept_for="term_home", way__left="electric", amount__left=mL(35),
    )  # fmt: skip
    session = page.home.binding(Expression, twins.mara, entity=entity)
    session.put(f"nipple_width@{Side.LEFT}", Quantity("17", "mm", 17))
    session.put(f"flange@{Side.LEFT}", Quantity("21", "mm", 21))
    page.go("story", twins.mara, "story.sessions")
    shown = said(page)
    assert "electric pump, left 35 mL" in shown
    assert "use by Sat 7 Mar 2026, 10:00" in shown
    assert "Flange less nipple: left +4 mm." in shown
    session.put("kept_for", "early_or_ill")
    assert "the unit's own rules hold" in said(page)


def test_a_supplement_is_worked_out_beside_the_boxes_and_fills_in_none_of_them(
    page: VisitPage, twins: TwinVisit
) -> None:
    page.go("plan", twins.ida, "plan.amounts")
    plan = page.home.binding(FeedingAmount, twins.ida)
    before = {words.said() for words in page.findChildren(Words) if words.isVisible()}
    assert not any(words.startswith("Lacking") for words in before)
    # 2,410 g is above the birth weight of 2,310 g: 150 * 2.410 = 361.5 mL, less 180, in 8 feeds: 22.7 mL (C).
    for field, value in (
        ("per_kg", 150),
        ("per_kg_origin", "provider"),
        ("feeds_per_day", 8),
        ("measured_24h", mL(180)),
    ):
        plan.put(field, value)
    assert "Lacking 20 to 25 mL at each feed" in said(page)
    assert plan.value("per_feed") is None
