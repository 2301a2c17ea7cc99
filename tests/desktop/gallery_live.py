"""The pages of the gallery that show a feed while it is watched, in its states."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QWidget

from desktop.pages.visit import VisitPage
from desktop.pages.visit_feed import live_on
from desktop.sheets.feed_live import LiveFeed
from forms.answers import Quantity
from forms.ask import Path
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent
from forms.weight import WeightReading
from storage.changes import Put
from storage.troubles import DiskFull
from tests.desktop.gallery_visit import Framed
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["SCREENS", "live", "taps"]

LEFT: Sequence[tuple[float, str, int | None]] = (
    (5, "latch", None), (4, "pain", 5), (38, "sucking", None),
    *((7, "swallow", None) for _ in range(14)),
    (9, "pause", None), (24, "sucking", None), *((11, "swallow", None) for _ in range(7)), (20, "click", None),
    (12, "pain", 2), *((13, "swallow", None) for _ in range(5)), (16, "asleep", None), (40, "off_self", None),
)  # fmt: skip
RIGHT: Sequence[tuple[float, str, int | None]] = (
    (70, "latch", None), (3, "pain", 3), (44, "sucking", None), *((10, "swallow", None) for _ in range(8)),
    (9, "pause", None),
)  # fmt: skip


def live(page: VisitPage) -> LiveFeed:
    found = live_on(page.middle.page)
    assert found is not None
    return found


def taps(page: VisitPage, made: TwinVisit, lane: str, events: Sequence[tuple[float, str, int | None]]) -> None:
    """Seconds to wait, what to tap, and the pain that goes with it."""
    shown = live(page)
    for seconds, what, pain in events:
        made.clock.pass_by(seconds=seconds)
        shown.tap(what, lane, pain=pain)
    settled(made)
    page.home.catch_up()
    settled(made)


def _begin(page: VisitPage, made: TwinVisit, baby: str) -> None:
    page.resize(1280, 800)
    page._fit()
    page.go("feed", baby, "feed.live")
    page.begin_observing()
    settled(made)


def _nothing(page: VisitPage, made: TwinVisit) -> None:
    page.go("feed", made.ida, "feed.live")


def _whose(page: VisitPage, made: TwinVisit) -> None:
    page.go("feed", made.mara, "feed.live")


def _begun(page: VisitPage, made: TwinVisit) -> None:
    _begin(page, made, made.ida)
    made.clock.pass_by(seconds=20)
    live(page).tick()


def _one_side(page: VisitPage, made: TwinVisit) -> None:
    _begin(page, made, made.ida)
    taps(page, made, "left", LEFT[:18])


def _weigh(page: VisitPage, made: TwinVisit, side: str, point: str, grams: int) -> None:
    binding = page.home.begin(WeightReading, made.ida)
    for name, value in (
        ("weight", Quantity(f"{grams:,}", "g", grams)), ("taken", made.at()), ("state", "dressed"), ("source", "seen"),
        ("feed", live(page).watch.feed), ("feed_side", side), ("feed_point", point),  # type: ignore[union-attr]
    ):  # fmt: skip
        binding.put(name, value)


def _both(page: VisitPage, made: TwinVisit) -> None:
    _begin(page, made, made.ida)
    feed = page.home.binding(FeedObservation, entity=live(page).watch.feed)  # type: ignore[union-attr]
    feed.put("position@left", "cross_cradle")
    feed.put("position@right", "cross_cradle")
    feed.put("devices", ("none",))
    _weigh(page, made, "left", "before", 2664)
    taps(page, made, "left", LEFT)
    _weigh(page, made, "left", "after", 2690)
    taps(page, made, "right", RIGHT[:-1])
    made.clock.pass_by(seconds=14)
    live(page).tick()


def _tandem(page: VisitPage, made: TwinVisit) -> None:
    _begin(page, made, made.juno)
    taps(page, made, "right", LEFT[:20])
    _begin(page, made, made.ida)
    taps(page, made, "left", LEFT[:16])


def _bottle(page: VisitPage, made: TwinVisit) -> None:
    _begin(page, made, made.ida)
    taps(page, made, "left", LEFT)
    live(page).take_lane("bottle")
    taps(page, made, "bottle", ((60, "latch", None), *((6, "swallow", None) for _ in range(9)), (20, "pause", None)))
    live(page).tap("amount", "bottle", amount=Quantity("25", "mL", 25))
    settled(made)


def _torn(page: VisitPage, made: TwinVisit) -> None:
    """A burp between the sides, and an event for which two times stand."""
    _begin(page, made, made.ida)
    taps(page, made, "left", LEFT)
    taps(page, made, "left", ((30, "burp", None),))
    event = page.home.chart.all(FeedEvent)[-2].id
    for minutes in (3, 4):
        put = Put(event, Path("at"), made.at(minutes / 60), replaces=())
        made.store.write((put,), author=made.author)
    page.home.reload()
    settled(made)
    page.home.catch_up()


def _words(page: VisitPage, made: TwinVisit) -> None:
    _begin(page, made, made.ida)
    taps(page, made, "left", LEFT[:18])
    live(page).tap("changed")


def _unsaved(page: VisitPage, made: TwinVisit) -> None:
    _begin(page, made, made.ida)
    taps(page, made, "left", LEFT[:10])

    def full(*_changes: object, **_more: object) -> None:
        raise DiskFull

    made.store.write = full  # type: ignore[assignment,method-assign]
    made.clock.pass_by(seconds=6)
    live(page).tap("swallow")
    settled(made)


def _signed(page: VisitPage, made: TwinVisit) -> None:
    _begin(page, made, made.ida)
    taps(page, made, "left", LEFT)
    taps(page, made, "right", RIGHT)
    made.clock.pass_by(seconds=40)
    live(page).tap("end")
    settled(made)
    page.home.catch_up()
    settled(made)
    made.store.sign(made.visit, author=made.author)
    page.home.reload()
    settled(made)
    page.go("feed", made.ida, "feed.live")


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("live-nothing-yet", lambda: Framed(_nothing)),
    ("live-whose", lambda: Framed(_whose)),
    ("live-begun", lambda: Framed(_begun)),
    ("live-one-side", lambda: Framed(_one_side)),
    ("live-both-sides", lambda: Framed(_both)),
    ("live-two-feeds", lambda: Framed(_tandem)),
    ("live-bottle", lambda: Framed(_bottle)),
    ("live-torn", lambda: Framed(_torn)),
    ("live-words", lambda: Framed(_words)),
    ("live-not-saved", lambda: Framed(_unsaved)),
    ("live-signed", lambda: Framed(_signed)),
]
