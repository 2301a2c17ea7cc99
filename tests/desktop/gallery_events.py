"""The pages of the gallery that show the events of a feed, one put in from memory, and a session of expressing."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from PySide6.QtWidgets import QWidget

from desktop.pages.visit import VisitPage
from desktop.sheets.expressing_live import LiveExpressing
from desktop.sheets.feed_events import FeedEvents
from desktop.sheets.in_view import InView
from forms.answers import Moment, Side
from forms.chart import Place
from forms.feed import FeedObservation
from tests.desktop.gallery_visit import Framed
from tests.helpers.kept import found, laid, put
from tests.helpers.twins import ZONE, TwinVisit, Written
from tests.helpers.visits import settled

__all__ = ["SCREENS"]

_TAPS = (
    (0, "begin", None, None), (8, "latch", "left", None), (15, "pain", "left", 6), (40, "sucking", "left", None),
    *((44 + 3 * n, "swallow" if n % 3 == 2 else "suck", "left", None) for n in range(24)), (130, "pause", "left", None),
    (150, "letdown_felt", "left", None), (200, "pain", "left", 3), (420, "off_self", "left", None),
)  # fmt: skip


def _feed(page: VisitPage, made: TwinVisit) -> FeedEvents:
    start, feed = made.clock(), made.ids()
    put(made, FeedObservation, feed, made.mara, made.ida, observed="seen", began=Moment(start, ZONE))
    written, place = Written(), Place("feed_event", made.family, made.visit, (made.mara, made.ida))
    for seconds, what, lane, pain in _TAPS:
        more = {name: value for name, value in (("lane", lane), ("pain", pain)) if value is not None}
        written.put(made.ids(), place, feed=feed, what=what, noted="after" if what == "letdown_felt" else "live",
                    at=Moment(start + timedelta(seconds=seconds), ZONE), **more)  # fmt: skip
    made.store.write(written.changes, author=made.author)
    made.clock.pass_by(minutes=12)
    page.home.reload()
    settled(made)
    page.go("feed", made.ida, "feed.events")
    settled(made)
    return found(laid(page), FeedEvents)


def _list(page: VisitPage, made: TwinVisit) -> None:
    """A feed of many events, at its third minute."""
    listing = _feed(page, made)
    listing.minute.setText("1:30")
    listing.go_to_minute()


def _open(page: VisitPage, made: TwinVisit) -> None:
    """One event, opened."""
    listing = _feed(page, made)
    listing.toggle(list(listing.lines)[2])
    settled(made)


def _memory(page: VisitPage, made: TwinVisit) -> None:
    """A stretch that would begin before the feed did, asked about."""
    listing = _feed(page, made)
    if not InView.of(page.home).opened("feed", "from memory"):
        listing.memory.turn_over()
    listing.memory.lane.strip.show_codes(("right",))
    listing.memory.since.box.setText("10:40:00")
    listing.memory.add_stretch()


def _empty(page: VisitPage, made: TwinVisit) -> None:
    """A feed with no event yet."""
    page.go("feed", made.ida, "feed.events")


def _expressing(page: VisitPage, made: TwinVisit) -> None:
    """Both sides at once, one with its first drops, and an amount that shrinks."""
    page.go("story", made.mara, "story.session_live")
    live = found(laid(page), LiveExpressing)
    live.both.click()
    for what, side, seconds in (("drops", "left", 70), ("letdown_seen", "right", 60)):
        made.clock.pass_by(seconds=seconds)
        live.tap(what, side)
    live.hurt("right", 3)
    made.clock.pass_by(minutes=4)
    live.ask_amount(Side.LEFT)
    page.home.save()
    settled(made)


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("visit-events", lambda: Framed(_list)),
    ("visit-events-open", lambda: Framed(_open)),
    ("visit-events-memory", lambda: Framed(_memory)),
    ("visit-events-none", lambda: Framed(_empty)),
    ("visit-expressing-live", lambda: Framed(_expressing)),
]
