"""Drawing on outlines in the window: by touch, by the crosshair, by words; moving, striking, undoing; nothing lost."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from desktop.controls.outline import OutlineBoard
from desktop.pages.visit import VisitPage
from desktop.sheets.mark_list import PAGE, MarkList
from desktop.theme.look import Look
from desktop.theme.tokens import LAMP
from forms.answers import Conflicted, Quantity
from forms.ask import Path
from forms.body_mark import BodyMark
from forms.breast import BreastAssessment
from forms.chart import Entry, Place
from forms.mark_place import pointed, spots
from forms.pictures.marked import Numbered
from forms.pictures.outlines import Spot, chest_spot
from storage.changes import Begin, Put
from tests.helpers.kept import found, put_one
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import key_named, said, settled

K = Qt.Key
NOW = datetime(2026, 3, 3, 15, 42, tzinfo=UTC)


@pytest.fixture
def drawn(page: VisitPage, twins: TwinVisit) -> MarkList:
    """A look that was agreed to, and the parent's outlines in view."""
    put_one(twins, BreastAssessment, twins.mara, consent="look_touch")
    page.home.reload()
    settled(twins)
    return outlines(page, twins, twins.mara)


def outlines(page: VisitPage, twins: TwinVisit, who: str) -> MarkList:
    page.go("look", who, "look.drawing")
    settled(twins)
    return found(page.middle, MarkList)


def board(marks: MarkList, side: str = "") -> OutlineBoard:
    assert marks.boards is not None
    return next(one for one in marks.boards.boards if one.outline.side == side)


def touch(on: OutlineBoard, spot: Spot) -> None:
    QTest.mouseClick(on, Qt.MouseButton.LeftButton, pos=on.point_of(spot).toPoint())


def stored(twins: TwinVisit, who: str | None = None) -> list[BodyMark]:
    entries = twins.store.chart(twins.family, twins.visit).all(BodyMark, who or twins.mara)
    return [entry.answers for entry in entries]


def kept(page: VisitPage, twins: TwinVisit) -> list[BodyMark]:
    page.home.save()
    settled(twins)
    return stored(twins)


def three_oclock() -> Spot:
    spot = chest_spot("right", 3, from_nipple=40)
    assert spot is not None
    return spot


def test_a_touch_on_her_right_marks_her_right_and_asks_what_it_is(
    page: VisitPage, twins: TwinVisit, drawn: MarkList
) -> None:
    touch(board(drawn, "right"), three_oclock())
    (mark,) = kept(page, twins)
    assert (mark.outline, mark.side, mark.clock, mark.on_chest, mark.placed) == (
        "chest", "right", "hour_3", "breast", "pointed",
    )  # fmt: skip
    assert mark.kind is None, "nothing is guessed"
    question = drawn.question("body_mark", "kind")
    assert question is not None
    assert question.isVisibleTo(page)
    assert "1. Mara’s right breast or chest, 3 o'clock, toward the breastbone" in said(page)


def test_the_three_ways_of_placing_a_mark_give_the_same_answers(
    page: VisitPage, twins: TwinVisit, drawn: MarkList
) -> None:
    spot = three_oclock()
    on = board(drawn, "right")
    touch(on, spot)
    (by_touch,) = kept(page, twins)

    on.setFocus()
    assert by_touch.x is not None
    assert by_touch.y is not None
    on.aim_at(Spot(by_touch.x, by_touch.y))  # type: ignore[arg-type]
    QTest.keyClick(on, K.Key_Return)
    by_key = kept(page, twins)[1]
    assert by_key == by_touch

    key_named(page, "Mara’s right, in words").click()
    entity = next(reversed(drawn.lines))
    binding = page.home.binding(BodyMark, twins.mara, entity=entity)
    binding.put("clock", "hour_3")
    binding.put("from_nipple", Quantity("4", "cm", 40))
    by_words = kept(page, twins)[2]
    assert by_words.placed == "told"
    near = (by_words.x, by_words.y)
    assert all(
        isinstance(a, int) and isinstance(b, int) and abs(a - b) <= 2
        for a, b in zip(near, (by_touch.x, by_touch.y), strict=True)
    )
    assert replace(by_words, placed="pointed", x=by_touch.x, y=by_touch.y) == by_touch


def test_the_keyboard_alone_reaches_the_outline_moves_its_crosshair_and_marks(
    page: VisitPage, twins: TwinVisit, drawn: MarkList
) -> None:
    on = board(drawn, "right")
    on.setFocus(Qt.FocusReason.TabFocusReason)
    assert on.aim == on.begin(), "the crosshair begins at the nipple"
    assert "Crosshair: Mara’s right nipple" in on.accessibleDescription()
    before = on.outline.at(on.aim)
    QTest.keyClick(on, K.Key_Right)
    assert on.outline.at(on.aim)[0] - before[0] == pytest.approx(2.0, abs=0.1)
    QTest.keyClick(on, K.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert on.outline.at(on.aim)[0] - before[0] == pytest.approx(2.5, abs=0.1)
    for _ in range(2):
        QTest.keyClick(on, K.Key_Right)
    QTest.keyClick(on, K.Key_Return)
    (mark,) = kept(page, twins)
    assert (mark.side, mark.clock, mark.on_chest) == ("right", "hour_3", "base")
    focused = page.window().focusWidget()
    question = drawn.question("body_mark", "kind")
    assert question is not None
    assert focused is not None
    assert question.isAncestorOf(focused), "what it is comes next, without a search"


def test_the_crosshair_stays_on_the_outline_and_esc_puts_it_away(drawn: MarkList) -> None:
    on = board(drawn, "left")
    on.setFocus(Qt.FocusReason.TabFocusReason)
    for _ in range(80):
        QTest.keyClick(on, K.Key_Down)
    assert on.aim is not None
    assert on.aim.y == 1000
    QTest.keyClick(on, K.Key_Escape)
    assert on.aim is None


def test_the_story_of_the_crack_is_said_as_a_screen_reader_says_it(
    page: VisitPage, twins: TwinVisit, drawn: MarkList
) -> None:
    spot = chest_spot("right", 3, part="nipple")
    assert spot is not None
    touch(board(drawn, "right"), spot)
    (entity,) = drawn.lines
    binding = page.home.binding(BodyMark, twins.mara, entity=entity)
    binding.put("kind", "crack")
    binding.put("longest", Quantity("4", "mm", 4))
    line = drawn.lines[entity]
    assert line.words.accessibleName() == "Mark 1: Right nipple, damage, crack, 3 o'clock, 4 millimetres"
    assert line.words.said() == "1. Mara’s right nipple, 3 o'clock, toward the breastbone, crack, 4 mm"


def test_a_touch_near_a_mark_opens_it_and_a_key_marks_beside_it_all_the_same(
    page: VisitPage, twins: TwinVisit, drawn: MarkList
) -> None:
    on, spot = board(drawn, "right"), three_oclock()
    touch(on, spot)
    settled(twins)
    near = on.point_of(spot).toPoint() + QPoint(20, 0)
    QTest.mouseClick(on, Qt.MouseButton.LeftButton, pos=near)
    assert len(kept(page, twins)) == 1, "within half a target of it, the mark is meant"
    key_named(page, "New mark here").click()
    assert len(kept(page, twins)) == 2


def test_a_mark_is_moved_by_touching_its_new_place_and_one_undo_takes_the_move_back(
    page: VisitPage, twins: TwinVisit, drawn: MarkList
) -> None:
    touch(board(drawn, "right"), three_oclock())
    (before,) = kept(page, twins)
    key_named(page, "Move it on the outline").click()
    assert "Touch where mark 1 belongs now" in said(page)
    touch(board(drawn, "left"), Spot(300, 700))
    (after,) = kept(page, twins)
    assert after.side == "left"
    assert after.x is not None
    page.home.take_back()
    settled(twins)
    assert stored(twins) == [before]


def test_a_move_given_up_leaves_the_mark_where_it_is(page: VisitPage, twins: TwinVisit, drawn: MarkList) -> None:
    touch(board(drawn, "right"), three_oclock())
    before = kept(page, twins)
    key_named(page, "Move it on the outline").click()
    key_named(page, "Leave it where it is").click()
    touch(board(drawn, "left"), Spot(300, 700))
    assert kept(page, twins)[:1] == before
    assert len(kept(page, twins)) == 2


def test_no_mark_is_lost_by_editing_striking_and_undoing(page: VisitPage, twins: TwinVisit, drawn: MarkList) -> None:
    """Whatever is done, each mark ever placed is in the record, standing or struck out with its reason."""
    for hour in (1, 4, 8):
        spot = chest_spot("left", hour, from_nipple=60)
        assert spot is not None
        touch(board(drawn, "left"), spot)
        settled(twins)
    assert len(kept(page, twins)) == 3
    first, second, _third = drawn.lines
    page.home.binding(BodyMark, twins.mara, entity=first).put("clock", "hour_6")
    page.home.save()
    page.home.strike(second, "on the wrong side")
    settled(twins)
    chart = twins.store.chart(twins.family, twins.visit)
    assert [mark.clock for mark in stored(twins)] == ["hour_6", "hour_8"]
    gone = chart.by_id(second)
    assert gone is not None
    assert gone.struck is not None
    assert gone.struck.reason == "on the wrong side"
    assert "Struck out: on the wrong side" in said(page)
    page.home.take_back()
    settled(twins)
    assert [mark.clock for mark in stored(twins)] == ["hour_6", "hour_4", "hour_8"]
    assert len(drawn.lines) == 3


def test_an_hour_given_by_hand_moves_the_mark_in_the_same_step(
    page: VisitPage, twins: TwinVisit, drawn: MarkList
) -> None:
    touch(board(drawn, "right"), three_oclock())
    (before,) = kept(page, twins)
    (entity,) = drawn.lines
    page.home.binding(BodyMark, twins.mara, entity=entity).put("clock", "hour_9")
    (after,) = kept(page, twins)
    assert after.x != before.x
    assert after.from_nipple == before.from_nipple
    page.home.take_back()
    settled(twins)
    assert stored(twins) == [before]


def test_a_touch_beside_the_baby_is_told_and_marks_nothing(page: VisitPage, twins: TwinVisit) -> None:
    marks = outlines(page, twins, twins.ida)
    marks.show_outline("body_front")
    settled(twins)
    touch(board(marks), Spot(20, 20))
    assert "That is beside the outline." in said(page)
    page.home.save()
    settled(twins)
    assert stored(twins, twins.ida) == []


@pytest.mark.parametrize("consent", ["declined", "not_asked", None])
def test_without_consent_to_look_nothing_is_drawn_and_the_page_says_why(
    page: VisitPage, twins: TwinVisit, consent: str | None
) -> None:
    if consent is not None:
        put_one(twins, BreastAssessment, twins.mara, consent=consent)
        page.home.reload()
        settled(twins)
    marks = outlines(page, twins, twins.mara)
    touch(board(marks, "right"), three_oclock())
    assert kept(page, twins) == []
    words = {"declined": "declined", "not_asked": "was not asked", None: "First say under “Before”"}[consent]
    assert words in said(page)


def test_a_signed_visit_shows_its_marks_and_takes_none(page: VisitPage, twins: TwinVisit, drawn: MarkList) -> None:
    touch(board(drawn, "right"), three_oclock())
    before = kept(page, twins)
    twins.store.sign(twins.visit, author=twins.author)
    page.home.reload()
    settled(twins)
    marks = outlines(page, twins, twins.mara)
    assert "This visit is signed" in said(page)
    touch(board(marks, "left"), Spot(300, 300))
    assert kept(page, twins) == before
    assert board(marks, "right").marks


def test_two_places_of_one_mark_both_stand_on_the_outline(page: VisitPage, twins: TwinVisit) -> None:
    entity = page.home.begin(BodyMark, twins.ida)
    entity.put_all({Path(k): v for k, v in (pointed("body_front", "", Spot(500, 520)) or {}).items()})
    page.home.save()
    settled(twins)
    twins.store.write((Put(entity.entity, Path("x"), 420, replaces=()),), author=twins.author)
    page.home.reload()
    settled(twins)
    marks = outlines(page, twins, twins.ida)
    marks.show_outline("body_front")
    (one,) = board(marks).marks
    assert isinstance(one.entry.answers.x, Conflicted)
    assert len(spots(one.entry.answers)) == 2
    for spot in spots(one.entry.answers):
        assert board(marks).mark_at(spot) == one


def many(count: int) -> tuple[Numbered, ...]:
    found = []
    for place in range(count):
        values = pointed("chest", "right", Spot((place * 37) % 1000, (place * 61) % 997)) or {}
        mark = BodyMark(kind="rash", **values)
        entry: Entry[BodyMark] = Entry(f"{place:032x}", Place("body_mark"), mark, "a", NOW)
        found.append(Numbered(place + 1, entry))
    return tuple(found)


def test_ten_thousand_marks_are_painted_once_and_one_more_paints_one(qtbot: Any) -> None:
    on = OutlineBoard("chest", "right", "Mara", str)
    qtbot.addWidget(on)
    on.resize(340, 380)
    marks = many(10_000)
    on.show_marks(marks)
    on.grab()
    assert on.painted == 10_000
    on.grab()
    on.pick_out(marks[5].entry.id)
    on.aim_at(Spot(10, 10))
    on.grab()
    assert on.painted == 10_000, "a ring and a crosshair paint no mark again"
    on.show_marks((*marks, *many(10_001)[-1:]))
    on.grab()
    assert on.painted == 10_001
    before = on.near.asked
    assert on.mark_at(Spot(500, 500)) is not None
    assert on.near.asked - before < 700, "of ten thousand only those round the finger are compared"


def test_of_very_many_marks_one_page_of_lines_is_on_screen_and_each_can_be_reached(
    page: VisitPage, twins: TwinVisit
) -> None:
    changes: list[Any] = []
    ids = [twins.ids() for _ in range(300)]
    for number, entity in enumerate(ids):
        changes.append(Begin(entity, Place("body_mark", twins.family, twins.visit, (twins.ida,))))
        values = pointed("body_back", "", Spot(420 + number % 100, 330 + number)) or {}
        changes.extend(Put(entity, Path(name), value) for name, value in {**values, "kind": "rash"}.items())
    twins.store.write(tuple(changes), author=twins.author)
    page.home.reload()
    settled(twins)
    marks = outlines(page, twins, twins.ida)
    assert len(marks.lines) == PAGE
    assert "Marks 1 to 8 of 300" in said(page)
    marks.open(ids[170])
    assert ids[170] in marks.lines
    assert len(marks.lines) == PAGE
    assert marks.boards is not None
    assert marks.boards.code == "body_back", "the outline it stands on is shown"
    assert board(marks).shown == ids[170]
    seen = set()
    marks.turn(0)
    for at in range(38):
        marks.turn(at)
        seen |= set(marks.lines)
    assert seen == set(ids)


def test_the_least_place_to_touch_of_a_mark_is_48_pixels_across(drawn: MarkList, twins: TwinVisit) -> None:
    on, spot = board(drawn, "right"), three_oclock()
    touch(on, spot)
    settled(twins)
    middle = on.point_of(spot)
    for across, down in ((23, 0), (-23, 0), (0, 23), (0, -23)):
        at = on.spot_at(middle + QPoint(across, down))
        assert at is not None
        assert on.mark_at(at) is not None


def test_at_200_percent_no_outline_is_wider_than_its_page_and_a_touch_still_meets_its_place(
    page: VisitPage, twins: TwinVisit, drawn: MarkList, wear: Callable[[Look], None]
) -> None:
    wear(Look(LAMP, 200))
    settled(twins)
    marks = outlines(page, twins, twins.mara)
    for each in (board(marks, "right"), board(marks, "left")):
        parent = each.parentWidget()
        assert isinstance(parent, QWidget)
        assert each.width() <= parent.width()
        assert each.outline.wide * each.scale() <= each.width() + 1
    touch(board(marks, "right"), three_oclock())
    (mark,) = kept(page, twins)
    assert (mark.side, mark.clock) == ("right", "hour_3")
