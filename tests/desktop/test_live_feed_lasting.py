"""A feed watched over a lock, a kill, a full disk and a signature; and what a tap costs."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path as Folder

import pytest
from PySide6.QtCore import QCoreApplication, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton

from demo_db.build import PASSPHRASE as DEMO
from desktop.controls.buttons import Link
from desktop.controls.lane import PartKind
from desktop.pages.feed_lock import FeedLockPage
from desktop.pages.visit import VisitPage
from desktop.pages.visit_feed import live_on
from desktop.sheets import feed_watch
from desktop.sheets.feed_weights import FeedWeights
from forms.answers import Moment
from forms.ask import Path
from forms.feed import FeedObservation
from forms.people import InfantIdentity
from storage.changes import Put
from storage.troubles import DiskFull
from tests.helpers import kit_walk
from tests.helpers.live import begin, key, live, stored, tap_lane, told, whats
from tests.helpers.locks import locked, press_lock
from tests.helpers.program import Program, Time, wait_for
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import said, settled

Start = Callable[..., Program]


# --- lock, kill, full disk, signature, conflict ---------------------------------------------------------------------


def test_a_feed_goes_on_over_letting_go_until_it_is_ended(page: VisitPage, twins: TwinVisit) -> None:
    shown = begin(page, twins)
    for what, lane in (("latch", "left"), ("off_self", "left")):
        twins.clock.pass_by(minutes=3)
        shown.tap(what, lane)
    told(page, twins)
    assert page.running_feed() == twins.at().at
    QTest.mouseClick(shown.target("end"), Qt.MouseButton.LeftButton)
    told(page, twins)
    assert page.running_feed() is None
    assert shown.board.isHidden()
    assert "The watching of this feed has ended." in said(page.middle)
    assert shown.tap("swallow") is None


@pytest.mark.parametrize("days", [-1, 1])
def test_a_clock_set_a_day_off_while_a_feed_goes_on_neither_ends_it_nor_moves_a_tap(
    page: VisitPage, twins: TwinVisit, days: int
) -> None:
    shown = begin(page, twins)
    twins.clock.pass_by(minutes=3)
    shown.tap("latch", "left")
    twins.clock.set_wall(twins.at().at + timedelta(days=days))
    twins.clock.pass_by(minutes=2)
    told(page, twins)
    assert page.running_feed() is not None
    live(page).tap("swallow", "left")
    told(page, twins)
    latch, swallow = (entry.answers.at for entry in stored(twins)[-2:])
    assert isinstance(latch, Moment)
    assert isinstance(swallow, Moment)
    assert swallow.at - latch.at == timedelta(minutes=2)


@pytest.mark.parametrize(("kind", "watched"), [("home", "seen"), ("video", "video"), ("phone", None), (None, None)])
def test_how_a_feed_is_watched_follows_from_the_kind_of_visit_and_is_never_guessed(
    page: VisitPage, twins: TwinVisit, kind: str | None, watched: str | None
) -> None:
    twins.store.write([Put(twins.visit, Path("kind"), kind)], author=page.home.author)
    page.home.reload()
    settled(twins)
    shown = begin(page, twins)
    shown.tap("latch", "left")
    told(page, twins)
    (feed,) = page.home.chart.all(FeedObservation)
    assert feed.answers.observed == watched


def test_a_page_opened_again_goes_on_with_the_feed_and_its_clock(
    opened: Callable[[], VisitPage], twins: TwinVisit
) -> None:
    page = opened()
    shown = begin(page, twins)
    twins.clock.pass_by(minutes=3)
    shown.tap("latch", "right")
    told(page, twins)
    twins.clock.pass_by(minutes=2)
    again = opened()
    again.go("feed", twins.ida)
    settled(twins)
    resumed = live(again)
    resumed.tick()
    assert resumed.lanes.now == 300
    assert resumed.watch.hand == "right"  # type: ignore[union-attr]
    resumed.tap("swallow")
    told(again, twins)
    assert whats(twins)[-1] == ("swallow", "right")


def test_unlocked_in_mid_feed_the_live_page_stands_there_with_its_clock_right(start: Start, demo: Folder) -> None:
    time = Time()
    program = start(demo, time)
    program.unlock(DEMO)
    program.to("caseload")
    lines: list[object] = []
    program.desk.session.lane.run(lambda store: store.search("lindqvist"), lines.append)
    wait_for(lambda: bool(lines))
    line = lines[0][0]  # type: ignore[index]
    program.desk.visit(line.id, line.unsigned[0])
    wait_for(lambda: program.desk.where.page == "visit")
    program.idle()
    page = program.page
    assert isinstance(page, VisitPage)
    baby = page.home.chart.all(InfantIdentity)[0].id
    page.go("story", baby)
    page.begin_observing()
    program.idle()
    shown = live(page)
    began = page.running_feed()
    time.pass_by(120)
    shown.tap("latch", "left")
    program.idle()
    press_lock(program)
    lock = program.page
    assert isinstance(lock, FeedLockPage)
    time.pass_by(60)
    lock.tick()
    assert lock.figure.said() == "3:00"
    lock.unlock_asked.emit()
    locked(program)
    program.unlock(DEMO)
    wait_for(lambda: program.app.gate.desk is not None and program.desk.where.page == "visit")
    program.idle()
    page = program.page
    assert isinstance(page, VisitPage)
    wait_for(lambda: live_on(page.middle.page) is not None)
    resumed = live(page)
    resumed.tick()
    assert page.running_feed() == began
    assert resumed.lanes.now == 180
    assert resumed.watch.on() == ("left",)  # type: ignore[union-attr]


def test_on_a_full_disk_a_tap_stays_on_screen_is_said_to_be_unsaved_and_is_written_by_itself(
    page: VisitPage, twins: TwinVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown = begin(page, twins)
    shown.tap("latch", "left")
    told(page, twins)

    def full(*_changes: object, **_more: object) -> None:
        raise DiskFull

    with monkeypatch.context() as broken:
        broken.setattr(twins.store, "write", full)
        twins.clock.pass_by(seconds=9)
        shown.tap("swallow")
        told(page, twins)
        assert len(stored(twins)) == 2
        assert shown.watch.count("left", "swallow") == 1  # type: ignore[union-attr]
        assert "not saved yet" in shown.board.last.said()
        assert shown.take_back()
        settled(twins)
        assert "not on the disk yet" in shown.said.said()
        assert shown.watch.count("left", "swallow") == 1  # type: ignore[union-attr]
    page.home.save()  # what its timer does
    told(page, twins)
    assert whats(twins)[-1] == ("swallow", "left")
    assert "not saved" not in shown.board.last.said()


def test_a_signed_visit_shows_its_lanes_and_takes_no_tap(page: VisitPage, twins: TwinVisit) -> None:
    shown = begin(page, twins)
    tap_lane(page, "left")
    told(page, twins)
    before = len(stored(twins))
    twins.store.sign(twins.visit, author=twins.author)
    page.home.reload()
    settled(twins)
    assert shown.board.isHidden()
    assert not shown.lanes.isHidden()
    assert "This visit is signed, so nothing more is tapped into this feed." in said(page.middle)
    tap_lane(page, "left")
    key(page, "W")
    settled(twins)
    assert len(stored(twins)) == before


def test_an_event_for_which_two_times_stand_is_drawn_on_no_lane_and_told_beside_them(
    page: VisitPage, twins: TwinVisit
) -> None:
    shown = begin(page, twins)
    twins.clock.pass_by(seconds=20)
    event = shown.tap("click", "left")
    told(page, twins)
    assert event is not None
    assert len(shown.lanes.lane("left").shape.marks) == 1
    twins.store.write((Put(event.id, Path("at"), twins.at(0.05), replaces=()),), author=twins.author)
    page.home.reload()
    told(page, twins)
    assert shown.lanes.lane("left").shape.marks == ()
    assert shown.astray.torn.said() == (
        "1 event is unresolved: two values stand. Drawn on no lane until that is settled."
    )


# --- what a tap costs -----------------------------------------------------------------------------------------------


def test_a_tap_reads_neither_the_chart_nor_the_other_events_before_it_is_painted(
    page: VisitPage, twins: TwinVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown = begin(page, twins)
    tap_lane(page, "left")
    told(page, twins)
    page._settle.stop()
    page.home._telling._later.setInterval(3_600_000)  # what is told later is told when this test says so
    done: list[str] = []
    with monkeypatch.context() as counted:
        counted.setattr(feed_watch, "events_of", lambda *_given: done.append("events"))
        counted.setattr(feed_watch, "feed_line", lambda *_given: done.append("line"))
        counted.setattr(page.aside, "show_prompts", lambda: done.append("prompts"))
        counted.setattr(page.aside, "show_person", lambda *_who: done.append("figures"))
        counted.setattr(twins.store, "chart", lambda *_given: done.append("chart"))
        for _ in range(3):
            twins.clock.pass_by(seconds=2)
            shown.tap("swallow")
            QCoreApplication.processEvents()
        settled(twins)
    assert done == []
    assert shown.watch.count("left", "swallow") == 3  # type: ignore[union-attr]
    assert shown.lanes.lane("left").running(PartKind.BURST)
    told(page, twins)
    assert [part.kind for part in shown.lanes.lane("left").shape.parts] == [PartKind.SPELL, PartKind.BURST]


def test_a_choke_reaches_the_answers_and_the_prompts_in_the_frame_of_its_tap(page: VisitPage, twins: TwinVisit) -> None:
    shown = begin(page, twins)
    tap_lane(page, "left")
    told(page, twins)
    shown.tap("choke")
    # No event is processed in between: what stands now is what the next frame shows.
    assert page.home.binding(FeedObservation, entity=shown.watch.feed).value("baby_signs") == ("choke",)  # type: ignore[union-attr]


def test_a_change_reads_again_only_the_entry_it_touched(
    page: VisitPage, twins: TwinVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[frozenset[str]] = []
    entries = twins.store.entries

    def counted(ids: set[str]) -> object:
        read.append(frozenset(ids))
        return entries(ids)

    monkeypatch.setattr(twins.store, "entries", counted)
    monkeypatch.setattr(twins.store, "chart", lambda *_given: pytest.fail("read everything again"))
    page.home.binding(InfantIdentity, entity=twins.ida).put("called_name", "Idabel")
    page.home.save()
    settled(twins)
    assert read == [frozenset({twins.ida})]
    held = page.home._chart.by_id(twins.ida)
    assert held is not None
    assert held == twins.store.entry(twins.ida)


def test_the_words_of_what_changed_come_later_and_the_tap_is_kept_without_them(
    page: VisitPage, twins: TwinVisit
) -> None:
    shown = begin(page, twins)
    shown.tap("latch", "left")
    shown.tap("changed")
    told(page, twins)
    assert whats(twins)[-1] == ("changed", "left")
    assert shown.board.opened is not None
    QTest.keyClicks(shown.board.opened.box, "deeper latch")
    QTest.keyClick(shown.board.opened.box, Qt.Key.Key_Return)
    told(page, twins)
    assert stored(twins)[-1].answers.words == "deeper latch"
    assert shown.board.opened is None


def test_milk_another_way_gets_a_lane_of_its_own_and_an_amount_in_its_unit(page: VisitPage, twins: TwinVisit) -> None:
    shown = begin(page, twins)
    key(page, "M")
    kit_walk.settle()
    offered = [one for one in shown.board.findChildren(QAbstractButton) if one.objectName() == "tap-cup"]
    offered[0].click()
    kit_walk.settle()
    assert list(shown.lanes.tracks) == ["left", "right", "cup"]
    tap_lane(page, "cup")
    tap_lane(page, "cup")
    kit_walk.settle()
    assert shown.board.opened is not None
    QTest.keyClicks(shown.board.opened.box, "900")
    QTest.keyClick(shown.board.opened.box, Qt.Key.Key_Return)
    assert shown.board.opened.trouble.isVisible()
    shown.board.opened.box.setText("20")
    QTest.keyClick(shown.board.opened.box, Qt.Key.Key_Return)
    told(page, twins)
    assert whats(twins)[1:] == [("latch", "cup"), ("amount", "cup")]
    amount = stored(twins)[-1].answers.amount
    assert (amount.base, amount.unit) == (20, "mL")  # type: ignore[union-attr]


def test_the_other_side_is_taken_in_hand_by_its_key_and_nothing_is_recorded(page: VisitPage, twins: TwinVisit) -> None:
    shown = begin(page, twins)
    before = shown.watch.hand  # type: ignore[union-attr]
    QTest.keyClick(page, Qt.Key.Key_F4)
    settled(twins)
    assert shown.watch.hand != before  # type: ignore[union-attr]
    assert len(stored(twins)) == 1


def test_the_weight_under_a_lane_leads_to_where_it_is_written(page: VisitPage, twins: TwinVisit) -> None:
    shown = begin(page, twins)
    link = next(one for one in shown.lanes.findChildren(Link) if one.objectName() == "weight-left-before")
    assert link.text() == "weigh before"
    QTest.mouseClick(link, Qt.MouseButton.LeftButton, pos=QPoint(4, link.height() // 2))
    settled(twins)
    assert page.middle.findChildren(FeedWeights)
