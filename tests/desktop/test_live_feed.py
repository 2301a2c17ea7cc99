"""The live page of a feed: lanes and keys that record at once, one event one step, and nothing recorded unmeant."""

from __future__ import annotations

import string
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path as Folder

import pytest
from PySide6.QtCore import QCoreApplication, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QLineEdit, QPlainTextEdit, QWidget

from demo_db.build import PASSPHRASE as DEMO
from desktop.controls.buttons import Link
from desktop.pages.feed_lock import FeedLockPage
from desktop.pages.visit import VisitPage
from desktop.pages.visit_feed import live_on
from desktop.sheets import feed_watch
from desktop.sheets.feed_live import LiveFeed
from desktop.sheets.feed_weights import FeedWeights
from desktop.sheets.sheet import MOMENTS
from forms.answers import Moment
from forms.ask import Path
from forms.chart import Entry
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent
from forms.people import InfantIdentity
from storage.changes import Put
from storage.troubles import DiskFull
from tests.helpers import kit_walk
from tests.helpers.locks import locked, press_lock
from tests.helpers.program import Program, Time, wait_for
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import said, settled

Start = Callable[..., Program]


def live(page: VisitPage) -> LiveFeed:
    found = live_on(page.middle.page)
    assert found is not None
    assert found.watch is not None
    return found


def begin(page: VisitPage, twins: TwinVisit, who: str = "") -> LiveFeed:
    page.go("story", who or twins.ida)
    page.begin_observing()
    settled(twins)
    return live(page)


def told(page: VisitPage, twins: TwinVisit) -> None:
    settled(twins)
    page.home.catch_up()
    settled(twins)


def stored(twins: TwinVisit) -> list[Entry[FeedEvent]]:
    return [e for e in twins.store.chart(twins.family, twins.visit).all(FeedEvent)]


def whats(twins: TwinVisit) -> list[tuple[object, object]]:
    return [(e.answers.what, e.answers.lane) for e in stored(twins)]


def tap_lane(page: VisitPage, code: str) -> None:
    lane = live(page).lanes.lane(code)
    QTest.mouseClick(lane, Qt.MouseButton.LeftButton, pos=lane.band().center().toPoint())


def key(page: VisitPage, letter: str) -> None:
    QTest.keyClick(page.window().focusWidget() or page, getattr(Qt.Key, f"Key_{letter}"))


# --- recording ------------------------------------------------------------------------------------------------------


def test_one_key_from_any_page_begins_the_watching_with_an_event_on_the_steady_clock(
    page: VisitPage, twins: TwinVisit
) -> None:
    page.go("story", twins.ida)
    QTest.keyClick(page, Qt.Key.Key_F2)
    settled(twins)
    assert page.middle.title.said() == "Mara feeding Ida"
    (event,) = stored(twins)
    feed = twins.store.entry(str(event.answers.feed))
    assert feed is not None
    assert isinstance(feed.answers, FeedObservation)
    assert (feed.answers.observed, feed.answers.began) == ("seen", twins.at())
    assert (event.answers.what, event.answers.at, event.answers.noted) == ("begin", twins.at(), "live")
    assert event.answers.steady == str(twins.clock.reading())
    assert event.place.subjects == (twins.mara, twins.ida)
    assert page.running_feed() == twins.at().at


def test_an_idle_lane_tapped_is_a_latch_and_a_latched_one_the_likely_next_event(
    page: VisitPage, twins: TwinVisit
) -> None:
    begin(page, twins)
    for code in ("left", "left", "left", "right", "right"):
        twins.clock.pass_by(seconds=10)
        tap_lane(page, code)
    told(page, twins)
    assert whats(twins)[1:] == [
        ("latch", "left"), ("swallow", "left"), ("swallow", "left"), ("latch", "right"), ("swallow", "right"),
    ]  # fmt: skip
    assert live(page).watch.on() == ("right",)  # type: ignore[union-attr]


def test_single_keys_and_digits_record_on_the_lane_in_hand(page: VisitPage, twins: TwinVisit) -> None:
    shown = begin(page, twins)
    shown.take_lane("right")
    for letter in "LWSP5XKO":
        twins.clock.pass_by(seconds=3)
        key(page, letter)
    told(page, twins)
    events = [(e.answers.what, e.answers.lane, e.answers.pain) for e in stored(twins)][1:]
    assert events == [
        ("latch", "right", None), ("swallow", "right", None), ("suck", "right", None), ("pause", "right", None),
        ("pain", "right", 5), ("pain", "right", 10), ("click", "right", None), ("off_self", "right", None),
    ]  # fmt: skip


def test_every_target_says_its_event_and_its_key_and_no_key_stands_for_two(page: VisitPage, twins: TwinVisit) -> None:
    shown = begin(page, twins)
    keys = [tap.key for tap in shown.board.targets() if tap.key and tap is not shown.board.likely]
    assert len(keys) == len(set(keys))
    for tap in shown.board.targets():
        assert tap.accessibleName()
        assert not tap.key or f"key {tap.key}" in tap.accessibleName()
    tap_lane(page, "left")
    tap_lane(page, "left")
    told(page, twins)
    assert shown.lanes.lane("left").accessibleName() == "Mara’s left: active, 1 swallow; tap: swallow"
    assert shown.lanes.lane("right").accessibleName() == "Mara’s right: off, 0 swallows; tap: latch"


def test_tab_space_enter_and_escape_keep_their_meaning_on_the_live_page(page: VisitPage, twins: TwinVisit) -> None:
    shown = begin(page, twins)
    shown.target("cough").setFocus()
    QTest.keyClick(shown.target("cough"), Qt.Key.Key_Escape)
    QTest.keyClick(shown.target("cough"), Qt.Key.Key_Tab)
    settled(twins)
    assert len(stored(twins)) == 1
    focused = page.window().focusWidget()
    assert focused is not None
    assert focused is not shown.target("cough")
    QTest.keyClick(shown.target("cough"), Qt.Key.Key_Space)
    QTest.keyClick(shown.target("cough"), Qt.Key.Key_Return)
    told(page, twins)
    assert [what for what, _ in whats(twins)] == ["begin", "cough", "cough"]


def test_the_likely_next_event_is_the_largest_target(page: VisitPage, twins: TwinVisit) -> None:
    shown = begin(page, twins)
    tap_lane(page, "left")
    kit_walk.settle()
    likely = shown.board.likely
    assert likely.text() == "Swallow"
    others = [tap for tap in shown.board.targets() if tap is not likely]
    assert all(likely.width() * likely.height() > 2 * tap.width() * tap.height() for tap in others)


# --- nothing recorded unmeant ---------------------------------------------------------------------------------------

_TYPED = string.ascii_lowercase + string.digits + " "


def _type_into_all(page: VisitPage) -> int:
    boxes = [
        box
        for box in page.findChildren(QWidget)
        if isinstance(box, QLineEdit | QPlainTextEdit) and box.isVisible() and box.isEnabled()
    ]
    for box in boxes:
        box.setFocus()
        for letter in _TYPED:
            QTest.keyClick(page.window().focusWidget() or box, letter)
        box.setText("") if isinstance(box, QLineEdit) else box.clear()
    return len(boxes)


def test_letters_digits_and_space_typed_into_any_text_of_the_visit_record_nothing(
    page: VisitPage, twins: TwinVisit
) -> None:
    shown = begin(page, twins)
    told(page, twins)
    before = len(stored(twins))
    assert _type_into_all(page) >= 1  # the line for jots beside the live page
    shown.tap("changed")
    told(page, twins)
    kit_walk.settle()
    assert shown.board.opened is not None
    for letter in _TYPED:
        QTest.keyClick(shown.board.opened.box, letter)
    assert shown.board.opened.box.text() == _TYPED
    assert len(stored(twins)) == before + 1
    typed = 0
    for moment in MOMENTS:
        for who in (twins.ida, twins.mara):
            page.go(moment, who)
            for section in page.sections():
                if section.key != "feed.live":
                    page.go(moment, who, section.key)
                    kit_walk.settle()
                    typed += _type_into_all(page)
    page.go("feed", twins.ida, "feed.weights")
    weights = page.middle.findChildren(FeedWeights)[0]
    weights.turn_to(weights.slots["left", "before"])
    kit_walk.settle()
    typed += _type_into_all(page)
    settled(twins)
    assert typed > 40
    assert len(stored(twins)) == before + 1


def test_the_same_letters_on_another_page_record_nothing(page: VisitPage, twins: TwinVisit) -> None:
    begin(page, twins)
    for section in ("feed.which", "feed.latch", "feed.after"):
        page.go("feed", twins.ida, section)
        kit_walk.settle()
        target = page.middle.page
        assert target is not None
        target.setFocus()
        for letter in _TYPED.strip():
            QTest.keyClick(page.window().focusWidget() or page, letter)
    settled(twins)
    assert len(stored(twins)) == 1


# --- one event, one step --------------------------------------------------------------------------------------------


def test_take_back_strikes_out_the_last_event_and_the_one_before_it_and_both_stay_readable(
    page: VisitPage, twins: TwinVisit
) -> None:
    shown = begin(page, twins)
    tap_lane(page, "left")
    for _ in range(2):
        twins.clock.pass_by(seconds=5)
        shown.tap("swallow")
    told(page, twins)
    assert shown.board.last.said() == "Last: swallow, left, 0:10"
    back = shown.target("back")
    assert isinstance(back, Link)
    back.click()
    told(page, twins)
    QTest.keyClick(page, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    told(page, twins)
    assert whats(twins) == [("begin", None), ("latch", "left")]
    chart = twins.store.chart(twins.family, twins.visit)
    struck = [e for e in chart.entries if e.place.form == "feed_event" and e.struck is not None]
    assert [(e.struck.reason, e.answers.what) for e in struck if e.struck] == [("Taken back", "swallow")] * 2  # type: ignore[attr-defined]
    assert shown.watch.count("left", "swallow") == 0  # type: ignore[union-attr]


def test_a_tap_taken_back_takes_the_answers_along_that_followed_from_it(page: VisitPage, twins: TwinVisit) -> None:
    shown = begin(page, twins)
    twins.clock.pass_by(seconds=30)
    tap_lane(page, "left")
    told(page, twins)
    feed = shown.watch.feed  # type: ignore[union-attr]
    binding = page.home.binding(FeedObservation, entity=feed)
    assert binding.value("latched@left") == Moment(twins.clock(), "America/New_York")
    shown.take_back()
    told(page, twins)
    assert binding.value("latched@left") is None


# --- the clock ------------------------------------------------------------------------------------------------------


def test_a_clock_set_back_in_mid_feed_moves_no_event_and_is_said_once(page: VisitPage, twins: TwinVisit) -> None:
    shown = begin(page, twins)
    began = twins.clock()
    twins.clock.pass_by(minutes=4)
    shown.tap("latch", "left")
    twins.clock.set_wall(began - timedelta(hours=1))
    twins.clock.pass_by(minutes=1)
    shown.tap("swallow")
    assert shown.said.said() == "The clock of this device was set back; the feed goes on by its own clock."
    twins.clock.pass_by(seconds=5)
    shown.tap("swallow")
    assert shown.said.isHidden()
    told(page, twins)
    times = [(e.answers.at.at - began).total_seconds() for e in stored(twins) if isinstance(e.answers.at, Moment)]
    assert times == [0, 240, 300, 305]
    shown.tick()
    assert shown.lanes.now == 305


# --- two feeds ------------------------------------------------------------------------------------------------------


def test_two_feeds_at_once_stand_on_one_page_and_their_events_never_cross(page: VisitPage, twins: TwinVisit) -> None:
    first = begin(page, twins, twins.juno)
    one = first.watch.feed  # type: ignore[union-attr]
    tap_lane(page, "right")
    told(page, twins)
    twins.clock.pass_by(minutes=2)
    second = begin(page, twins, twins.ida)
    other = second.watch.feed  # type: ignore[union-attr]
    tap_lane(page, "left")
    told(page, twins)
    assert list(second.others.shown) == [one]
    lane = second.others.shown[one].lanes.lane("right")
    lane.click()
    settled(twins)
    assert page.spot.who == twins.juno
    assert page.middle.title.said() == "Mara feeding Juno"
    assert live(page).watch.feed == one  # type: ignore[union-attr]
    tap_lane(page, "right")
    QTest.keyClick(page, Qt.Key.Key_F6)
    settled(twins)
    assert live(page).watch.feed in (one, other)  # type: ignore[union-attr]
    told(page, twins)
    kept = {(e.answers.feed, e.place.subjects[1], e.answers.what, e.answers.lane) for e in stored(twins)}
    assert kept == {
        (one, twins.juno, "begin", None), (one, twins.juno, "latch", "right"), (one, twins.juno, "swallow", "right"),
        (other, twins.ida, "begin", None), (other, twins.ida, "latch", "left"),
    }  # fmt: skip


def test_a_second_feed_of_a_baby_that_is_being_fed_is_refused_with_the_way_to_the_first(
    page: VisitPage, twins: TwinVisit
) -> None:
    first = begin(page, twins).watch.feed  # type: ignore[union-attr]
    another = page.home.begin(FeedObservation, twins.mara, twins.ida)
    page.go("feed", twins.ida, "feed.which")
    from desktop.sheets.in_view import InView

    InView.of(page.home).show(FeedObservation, twins.ida, another.entity, twins.mara, twins.ida)
    page.go("feed", twins.ida, "feed.live")
    kit_walk.settle()
    assert "Ida is being watched already, fed by Mara. End that feed before another begins." in said(page.middle)
    assert live(page).tap("swallow") is None
    next(link for link in page.middle.findChildren(Link) if link.text() == "Go to Mara feeding Ida").click()
    settled(twins)
    assert live(page).watch.feed == first  # type: ignore[union-attr]
    InView.of(page.home).show(FeedObservation, twins.ida, another.entity, twins.mara, twins.ida)
    page.begin_observing()
    settled(twins)
    assert live(page).watch.feed == first  # type: ignore[union-attr]
    assert [what for what, _ in whats(twins)] == ["begin"]


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
    lane = shown.lanes.lane("left")
    assert lane.running(feed_watch_part())


def feed_watch_part() -> object:
    from desktop.controls.lane import PartKind

    return PartKind.BURST


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
