"""The visit on screen: what is typed is kept, one comes back where one was, and nobody's answers cross."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from desktop.controls.numbers import QuantityField
from desktop.controls.typed import Typed
from desktop.pages.visit import VisitPage
from desktop.pages.visit_middle import field_in_focus
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.moments import sections
from desktop.sheets.sheet import MOMENTS
from desktop.theme.look import Look
from desktop.theme.tokens import DAY
from forms.answers import Moment
from forms.ask import Path
from forms.feed import FeedObservation
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.visit import Jot
from forms.weight import WeightReading
from storage.changes import StrikeOut
from storage.troubles import DiskFull
from tests.helpers import kit_walk
from tests.helpers.flashes import Flashes
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import Ways, control, kept, key_named, said, settled, visit_page_of


def test_every_page_of_every_moment_can_be_laid_and_none_flashes_up_as_a_window_of_its_own(
    page: VisitPage, twins: TwinVisit, qapp: QApplication
) -> None:
    flashes = Flashes(page)
    qapp.installEventFilter(flashes)
    for moment in MOMENTS:
        for who in (twins.mara, twins.ida):
            for section in sections(moment, page.home, who):
                page.go(moment, who, section.key)
                settled(twins)
                assert page.middle.title.said()
    qapp.removeEventFilter(flashes)
    assert flashes.seen == set()
    page.home.binding(InfantHistory, twins.ida).put("wets_24h", 6)
    page.home.binding(InfantAssessment, twins.ida).put("waking", "easily")
    kept(twins, page)


def test_what_is_typed_is_on_disk_and_the_time_of_saving_stands_in_view(page: VisitPage, twins: TwinVisit) -> None:
    page.go("arrive", twins.ida, "arrive.visit")
    box = control(page, "visit", "place")
    assert isinstance(box, Typed)
    box.type("At the kitchen table")
    page.leave()
    settled(twins)
    visit = twins.store.chart(twins.family, twins.visit).by_id(twins.visit)
    assert visit is not None
    assert visit.answers.place == "At the kitchen table"  # type: ignore[attr-defined]
    assert "saved 10:42" in said(page.thread_)


def test_while_the_disk_is_full_it_says_since_when_nothing_is_saved_and_then_saves_it_all(
    page: VisitPage, twins: TwinVisit, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_changes: object, **_more: object) -> None:
        raise DiskFull

    with monkeypatch.context() as no_room:
        no_room.setattr(type(twins.store), "write", full)
        page.home.binding(InfantHistory, twins.ida).put("wets_24h", 4)
        twins.clock.pass_by(minutes=9)
        kept(twins, page)
        assert "Not saved since 10:42" in said(page.thread_)
        assert page.unsaved_since() is not None
        page.toggle_shared()
        settled(twins)
        assert "Not saved since 10:42" in said(page.told)
        page.toggle_shared()
    kept(twins, page)
    assert "saved 10:51" in said(page.thread_)
    assert twins.store.chart(twins.family, twins.visit).one(InfantHistory, twins.ida).wets_24h == 4


def test_the_next_baby_is_shown_by_full_name_across_the_width_for_a_second(page: VisitPage, twins: TwinVisit) -> None:
    page.go("weigh", twins.ida)
    page.next_baby()
    assert page.spot.who == twins.juno
    assert page.across.said == "Juno Thornquist"
    assert page.across.isVisible()
    assert page.across.width() == page.width()
    assert page.across.timer.interval() == 1_000
    page.across.timer.timeout.emit()
    assert page.across.isHidden()
    page.next_baby()
    assert page.spot.who == twins.ida


def test_switching_babies_crosses_nothing_that_was_typed(page: VisitPage, twins: TwinVisit) -> None:
    page.go("story", twins.ida, "story.diapers")
    ida = control(page, "infant_history", "wets_24h")
    assert isinstance(ida, Typed)
    ida.type("7")
    page.next_baby()
    juno = control(page, "infant_history", "wets_24h")
    assert isinstance(juno, Typed)
    assert juno.text() == ""
    juno.type("3")
    page.next_baby()
    kept(twins, page)
    chart = twins.store.chart(twins.family, twins.visit)
    assert chart.one(InfantHistory, twins.ida).wets_24h == 7
    assert chart.one(InfantHistory, twins.juno).wets_24h == 3


def test_a_jot_without_its_enter_is_kept_when_the_page_is_left_and_once_only(page: VisitPage, twins: TwinVisit) -> None:
    page.jot()
    QTest.keyClicks(page.aside.jots.entry, "prefers her le")
    page.leave()
    settled(twins)
    kept_so_far = twins.store.chart(twins.family, twins.visit).all(Jot)
    assert [jot.answers.words for jot in kept_so_far] == ["prefers her le"]
    assert page.aside.jots.waiting() == ()
    QTest.keyClicks(page.aside.jots.entry, "ft")
    QTest.keyClick(page.aside.jots.entry, Qt.Key.Key_Return)
    settled(twins)
    assert [jot.answers.words for jot in twins.store.chart(twins.family, twins.visit).all(Jot)] == ["prefers her left"]
    assert len(page.aside.jots.waiting()) == 1


def test_a_jot_is_one_key_and_one_line_and_keeps_its_time(page: VisitPage, twins: TwinVisit, qtbot: QtBot) -> None:
    QTest.keyClick(page, Qt.Key.Key_F3)
    assert page.aside.jots.entry.hasFocus()
    QTest.keyClicks(page.aside.jots.entry, "prefers her left")
    QTest.keyClick(page.aside.jots.entry, Qt.Key.Key_Return)
    settled(twins)
    jots = twins.store.chart(twins.family, twins.visit).all(Jot)
    assert [jot.answers.words for jot in jots] == ["prefers her left"]
    assert jots[0].answers.noted == Moment(twins.clock(), "America/New_York")
    assert "10:42 prefers her left" in said(page.aside)
    assert "1 not filed yet" in said(page.aside)
    page.jump(Jump("leave", "", "", "jot", jots[0].id, Path("filed_to")))
    assert page.focusWidget() is not None
    assert page.focusWidget().accessibleName() == "Find the question the jot goes to"


def test_coming_back_one_stands_at_the_same_question_of_the_same_person(
    page: VisitPage, twins: TwinVisit, opened: Callable[[], VisitPage]
) -> None:
    page.go("story", twins.juno, "story.diapers")
    control(page, "infant_history", "wets_24h").setFocus()
    page.leave()
    settled(twins)
    page.hide()
    again = opened()
    assert (again.spot.moment, again.spot.who) == ("story", twins.juno)
    assert again.middle.title.said() == "Juno’s diapers, in 24 hours"
    assert field_in_focus(again) == ("infant_history", "wets_24h")


def test_the_focus_stays_in_the_middle_when_its_page_goes(page: VisitPage, twins: TwinVisit) -> None:
    page.go("story", twins.ida, "story.diapers")
    control(page, "infant_history", "wets_24h").setFocus()
    page.next_baby()
    assert field_in_focus(page) == ("infant_history", "wets_24h")
    page.go("weigh", twins.juno)
    focused = page.window().focusWidget()
    assert page.middle.tabs is not None
    assert focused is not None
    assert page.middle.tabs.isAncestorOf(focused)


def test_within_a_visit_each_moment_comes_back_to_its_own_section(page: VisitPage, twins: TwinVisit) -> None:
    page.go("story", twins.ida, "story.waking")
    page.go("weigh", twins.ida)
    page.go("story", twins.ida)
    assert page.middle.title.said() == "Ida’s waking, and signs at feeds"


def test_the_moment_of_weighing_offers_the_babies_while_a_parent_is_charted(page: VisitPage, twins: TwinVisit) -> None:
    page.go("weigh", twins.mara)
    kit_walk.settle()
    assert "asks about the babies" in said(page.middle)
    key_named(page.middle, "Juno Thornquist").click()
    assert page.spot.who == twins.juno
    assert page.middle.title.said() == "Juno’s weight"


def test_one_key_begins_the_observation_of_a_feed_now(page: VisitPage, twins: TwinVisit, qtbot: QtBot) -> None:
    page.go("story", twins.ida)
    assert page.running_feed() is None
    QTest.keyClick(page, Qt.Key.Key_F2)
    kept(twins, page)
    feeds = twins.store.chart(twins.family, twins.visit).all(FeedObservation)
    assert [(feed.place.subjects, feed.answers.began) for feed in feeds] == [((twins.mara, twins.ida), twins.at())]
    assert page.running_feed() == twins.at().at
    page.home.binding(FeedObservation, entity=feeds[0].id).put("let_go@left", twins.at())
    assert page.running_feed() is None


def test_the_same_key_begins_another_feed_once_the_first_is_over(page: VisitPage, twins: TwinVisit) -> None:
    page.go("story", twins.ida)
    page.begin_observing()
    first = page.home.chart.all(FeedObservation)[0].id
    twins.clock.pass_by(minutes=20)
    page.begin_observing()
    assert len(page.home.chart.all(FeedObservation)) == 1
    watched = page.home.binding(FeedObservation, entity=first)
    watched.put("latched@left", twins.at(0.1))
    watched.put("let_go@left", twins.at(0.2))
    watched.put("latched@right", twins.at(0.25))
    assert page.running_feed() == twins.at().at
    watched.put("let_go@right", twins.at(0.3))
    assert page.running_feed() is None
    page.begin_observing()
    assert [feed.answers.began for feed in page.home.chart.all(FeedObservation)] == [
        twins.at(),
        Moment(twins.clock(), "America/New_York"),
    ]


def test_the_key_for_the_other_side_turns_the_side_in_view(page: VisitPage, qtbot: QtBot) -> None:
    before = InView.of(page.home).side
    QTest.keyClick(page, Qt.Key.Key_F4)
    assert InView.of(page.home).side is not before


def test_the_way_out_leads_to_the_family(twins: TwinVisit, qtbot: QtBot) -> None:
    ways = Ways()
    page = visit_page_of(twins, ways)
    qtbot.addWidget(page, before_close_func=lambda _page: settled(twins))
    page.left.out.click()
    assert ways.gone == [("family", twins.family)]


def test_a_family_without_a_baby_says_so_where_babies_are_asked_about(twins: TwinVisit, page: VisitPage) -> None:
    for baby in (twins.ida, twins.juno):
        page.home.lane.run(lambda store, baby=baby: store.write((StrikeOut(baby, "test"),), author=twins.author))  # type: ignore[misc]
    settled(twins)
    page.home.reload()
    settled(twins)
    page._add_up()
    page.go("weigh", page.spot.who)
    kit_walk.settle()
    assert page.spot.who == twins.mara
    assert "No baby of this family is written down yet." in said(page.middle)


@pytest.mark.parametrize("moment", MOMENTS)
def test_at_twice_the_text_no_word_of_a_moment_is_cut(
    moment: str, opened: Callable[[], VisitPage], twins: TwinVisit, wear: Callable[[Look], None]
) -> None:
    wear(Look(DAY, 200))
    page = opened()
    assert page.width() == 1280
    for who in (twins.mara, twins.ida):
        page.go(moment, who)
        settled(twins)
        kit_walk.settle()
        assert kit_walk.clipped(page) == []


def test_the_figures_of_the_strip_follow_the_key_that_keeps_a_weight_before_anything_else_is_painted(
    page: VisitPage, twins: TwinVisit
) -> None:
    page.go("weigh", twins.ida)
    binding = page.home.begin(WeightReading, twins.ida)
    binding.put("taken", twins.at())
    assert page.middle.page is not None
    page.middle.page.show_entry("weight", binding.entity)
    settled(twins)
    box = page.middle.page.findChildren(QuantityField)[0].box
    # No event is processed in between: what the strip holds now is what its next frame shows.
    for typed, weight, percent in (("2500", "2,500 g", "+8.2"), ("2300", "2,300 g", "−0.4")):
        box.clear()
        QTest.keyClicks(box, typed)
        assert weight not in said(page.aside)
        QTest.keyClick(box, Qt.Key.Key_Return)
        assert weight in said(page.aside)
        assert percent in said(page.aside)
