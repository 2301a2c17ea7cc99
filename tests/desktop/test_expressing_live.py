"""A session of expressing on lanes: each own side with its events on the steady line, and the session's own answers."""

from __future__ import annotations

from datetime import timedelta

from PySide6.QtCore import QTimer

from desktop.pages.visit import VisitPage
from desktop.sheets.expressing_live import LiveExpressing, SessionEvents
from desktop.sheets.feed_board import OneLine
from desktop.sheets.feed_live import LiveFeed
from forms.answers import Moment, Quantity, Side
from forms.expressing import Expression
from forms.feed import FeedObservation
from forms.feed_event import ExpressionEvent, FeedEvent
from tests.helpers import kit_walk
from tests.helpers.kept import found, laid
from tests.helpers.twins import ZONE, TwinVisit
from tests.helpers.visits import said, settled
from tests.helpers.waiting import breathe


def session(made: TwinVisit, page: VisitPage) -> LiveExpressing:
    page.go("story", made.mara, "story.session_live")
    settled(made)
    return found(laid(page), LiveExpressing)


def written(made: TwinVisit, page: VisitPage) -> tuple[list[ExpressionEvent], Expression]:
    page.home.save()
    settled(made)
    while made.lane.busy or any(timer.isActive() for timer in page.home.findChildren(QTimer)):
        breathe()
    chart = made.store.chart(made.family, made.visit)
    events = sorted((e.answers for e in chart.all(ExpressionEvent)), key=lambda e: e.at.at)  # type: ignore[union-attr]
    (one,) = chart.all(Expression)
    return events, one.answers


def tapped(made: TwinVisit, live: LiveExpressing, side: Side, what: str, seconds: int) -> None:
    made.clock.pass_by(seconds=seconds)
    live.sides[side].taps[what].click()


def amount(live: LiveExpressing, side: Side, typed: str) -> OneLine:
    live.sides[side].taps["amount"].click()
    line = found(live.sides[side].room, OneLine)
    line.box.setText(typed)
    line.box.returnPressed.emit()
    return line


def test_both_sides_at_once_are_kept_each_with_its_own_events_and_answers(twins: TwinVisit, page: VisitPage) -> None:
    live, start = session(twins, page), twins.clock()
    live.both.click()
    tapped(twins, live, Side.LEFT, "drops", 75)
    tapped(twins, live, Side.RIGHT, "letdown_seen", 45)
    live.sides[Side.RIGHT].pains[3].click()
    twins.clock.pass_by(minutes=8)
    amount(live, Side.LEFT, "25")
    live.end_both.click()
    events, kept = written(twins, page)
    seen = [((e.at.at - start).seconds, e.what, e.lane) for e in events]  # type: ignore[union-attr]
    assert sorted(seen) == [
        (0, "latch", "left"), (0, "latch", "right"), (75, "drops", "left"), (120, "letdown_seen", "right"),
        (120, "pain", "right"), (600, "amount", "left"), (600, "end", "left"), (600, "end", "right"),
    ]  # fmt: skip
    assert {(e.noted, bool(e.steady)) for e in events} == {("live", True)}
    assert (kept.source, kept.together) == ("seen", "double")
    assert (kept.began, kept.ended) == (Moment(start, ZONE), Moment(start + timedelta(minutes=10), ZONE))
    assert (kept.first_drops.left, kept.first_drops.right, kept.let_downs.right) == (1, None, 1)
    assert (kept.amount.left, kept.amount.right) == (Quantity("25", "mL", 25), None)
    assert kept.discomfort.right is None


def test_a_clock_set_back_in_the_middle_moves_nothing(twins: TwinVisit, page: VisitPage) -> None:
    live, start = session(twins, page), twins.clock()
    tapped(twins, live, Side.LEFT, "latch", 0)
    twins.clock.set_wall(start - timedelta(hours=1))
    tapped(twins, live, Side.LEFT, "drops", 90)
    events, _ = written(twins, page)
    assert [(e.at.at - start).seconds for e in events] == [0, 90]  # type: ignore[union-attr]


def test_a_smaller_amount_than_before_is_asked_about_once_and_then_kept(twins: TwinVisit, page: VisitPage) -> None:
    live = session(twins, page)
    tapped(twins, live, Side.LEFT, "latch", 0)
    twins.clock.pass_by(minutes=1)
    amount(live, Side.LEFT, "30")
    twins.clock.pass_by(minutes=1)
    line = amount(live, Side.LEFT, "20")
    assert "less than the 30 mL read before" in line.trouble.said()
    assert len(written(twins, page)[0]) == 2
    line.box.returnPressed.emit()
    assert [e.amount.base for e in written(twins, page)[0] if e.what == "amount"] == [30, 20]  # type: ignore[union-attr]


def test_an_amount_that_is_none_is_refused_in_a_sentence(twins: TwinVisit, page: VisitPage) -> None:
    live = session(twins, page)
    tapped(twins, live, Side.LEFT, "latch", 0)
    assert amount(live, Side.LEFT, "some").trouble.said()
    assert amount(live, Side.LEFT, "900").trouble.said()
    assert len(written(twins, page)[0]) == 1


def test_the_lane_itself_begins_a_side_and_then_marks_what_likely_comes_next(twins: TwinVisit, page: VisitPage) -> None:
    live = session(twins, page)
    live.lanes.lane("right").click()
    twins.clock.pass_by(seconds=60)
    live.lanes.lane("right").click()
    assert [(e.what, e.lane) for e in written(twins, page)[0]] == [("latch", "right"), ("drops", "right")]


def test_the_events_of_a_session_stand_under_it_with_whose_side_they_were(twins: TwinVisit, page: VisitPage) -> None:
    live = session(twins, page)
    tapped(twins, live, Side.RIGHT, "latch", 0)
    tapped(twins, live, Side.RIGHT, "drops", 61)
    written(twins, page)
    kit_walk.settle()
    shown = said(found(laid(page), SessionEvents))
    assert "0:00 begins, Mara’s right" in shown
    assert "1:01 first drops, Mara’s right" in shown


def test_under_a_signature_nothing_more_is_tapped(twins: TwinVisit, page: VisitPage) -> None:
    live = session(twins, page)
    tapped(twins, live, Side.LEFT, "latch", 0)
    written(twins, page)
    twins.store.sign(twins.visit, author=twins.author)
    page.home.reload()
    settled(twins)
    live = session(twins, page)
    assert not live.tap("drops", "left")
    assert not live.sides[Side.LEFT].isEnabled()


def test_an_amount_so_far_of_a_bottle_in_a_feed_is_asked_about_where_it_shrinks(
    twins: TwinVisit, page: VisitPage
) -> None:
    page.go("feed", twins.ida, "feed.which")
    page.begin_observing()
    settled(twins)
    live = found(laid(page), LiveFeed)
    live.take_lane("bottle")
    live.tap("latch")
    for minutes, typed in ((4, "30"), (5, "20"), (5, "20"), (1, "60")):
        twins.clock.pass_by(minutes=minutes)
        if live.board.opened is None:
            live.board.ask_amount()
        line = live.board.opened
        assert line is not None
        line.box.setText(typed)
        line.box.returnPressed.emit()
    live.tap("taken_off", "bottle")
    page.home.save()
    settled(twins)
    while twins.lane.busy or any(timer.isActive() for timer in page.home.findChildren(QTimer)):
        breathe()
    amounts = [e.answers.amount.base for e in page.home.chart.all(FeedEvent) if e.answers.what == "amount"]  # type: ignore[union-attr]
    assert amounts == [30, 20, 60]
    feeds = [e.answers for e in page.home.chart.all(FeedObservation)]
    assert [(f.bottle_seen, f.bottle_amount, f.bottle_minutes) for f in feeds] == [(True, Quantity("60", "mL", 60), 15)]
