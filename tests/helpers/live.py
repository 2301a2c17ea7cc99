"""Watching a feed on its live page, and what of it is in the store."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from desktop.pages.visit import VisitPage
from desktop.pages.visit_feed import live_on
from desktop.sheets.feed_live import LiveFeed
from forms.chart import Entry
from forms.feed_event import FeedEvent
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["begin", "key", "live", "stored", "tap_lane", "told", "whats"]


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
    return list(twins.store.chart(twins.family, twins.visit).all(FeedEvent))


def whats(twins: TwinVisit) -> list[tuple[object, object]]:
    return [(e.answers.what, e.answers.lane) for e in stored(twins)]


def tap_lane(page: VisitPage, code: str) -> None:
    lane = live(page).lanes.lane(code)
    QTest.mouseClick(lane, Qt.MouseButton.LeftButton, pos=lane.band().center().toPoint())


def key(page: VisitPage, letter: str) -> None:
    QTest.keyClick(page.window().focusWidget() or page, getattr(Qt.Key, f"Key_{letter}"))
