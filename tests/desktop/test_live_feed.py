"""The live page of a feed: lanes and keys that record at once, one event one step, and nothing recorded unmeant."""

from __future__ import annotations

import string
from datetime import timedelta

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

from desktop.controls.buttons import Link
from desktop.pages.visit import VisitPage
from desktop.sheets.feed_weights import FeedWeights
from desktop.sheets.in_view import InView
from desktop.sheets.sheet import MOMENTS
from forms.answers import Moment
from forms.feed import FeedObservation
from tests.helpers import kit_walk
from tests.helpers.live import begin, key, live, stored, tap_lane, told, whats
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import said, settled

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
    others = [tap for tap in shown.board.targets() if tap is not likely and tap.isVisible()]
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
            QTest.keyClicks(page.window().focusWidget() or box, letter)
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
        QTest.keyClicks(shown.board.opened.box, letter)
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
            QTest.keyClicks(page.window().focusWidget() or page, letter)
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
