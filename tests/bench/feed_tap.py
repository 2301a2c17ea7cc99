"""From the key of an event in a live feed to the frame that shows it: against an empty button, and with 5,000 events."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from statistics import median
from time import perf_counter

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QApplication, QPushButton

from desktop.controls.buttons import Act
from desktop.pages.visit import VisitPage
from desktop.sheets.feed_live import LiveFeed
from desktop.theme.apply import apply_look
from desktop.theme.look import Look
from desktop.theme.tokens import DAY
from forms.answers import Moment
from forms.chart import Place
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent
from tests.bench.keystroke import Painted, to_paint
from tests.helpers.kept import put
from tests.helpers.twins import ZONE, TwinVisit, Written, twin_visit
from tests.helpers.visits import settled, visit_page_of

__all__ = ["Taps", "feed_tap"]

FEW, MANY = 50, 5_000
_KINDS = ("suck", "swallow", "suck", "pause", "sucking", "suck", "swallow")


def p99(times: tuple[float, ...]) -> float:
    """The 99th centile."""
    return sorted(times)[-max(1, len(times) // 100)]


@dataclass(frozen=True, slots=True)
class Taps:
    """Milliseconds from key to frame: in a short feed, in a long one, and of a bare button; and to open the page."""

    few: tuple[float, ...]
    many: tuple[float, ...]
    bare: tuple[float, ...]
    opened: tuple[float, float]

    def line(self) -> str:
        """Printed: centiles, medians and their ratios."""
        few, many, bare = p99(self.few), p99(self.many), p99(self.bare)
        opened_few, opened_many = self.opened
        middle_few, middle_many = median(self.few), median(self.many)
        return (
            f"a tap in a feed of {FEW} events to its frame, p99: {few / bare:.2f} x an empty button "
            f"({few:.1f} ms and {bare:.1f} ms; medians {middle_few:.1f} ms and {median(self.bare):.1f} ms)\n"
            f"a tap in a feed of {MANY:,} events, p99: {many / few:.2f} x one of {FEW} ({many:.1f} ms; "
            f"median {middle_many:.1f} ms, {middle_many / middle_few:.2f} x)\n"
            f"opening the live page of {MANY:,} events: {opened_many / opened_few:.2f} x one of {FEW} "
            f"({opened_many:.0f} ms and {opened_few:.0f} ms)"
        )


def feed_of(made: TwinVisit, events: int) -> str:
    """A feed of Mara and Ida that goes on, with so many events of 40 minutes."""
    start, feed = made.clock(), made.ids()
    put(made, FeedObservation, feed, made.mara, made.ida, observed="seen", began=Moment(start, ZONE))
    written, place = Written(), Place("feed_event", made.family, made.visit, (made.mara, made.ida))
    boot, nanos = made.clock.reading().boot, made.clock.reading().nanos
    for number in range(events):
        gone = timedelta(minutes=40) * number / events
        what = "begin" if number == 0 else "latch" if number == 1 else _KINDS[number % len(_KINDS)]
        written.put(
            made.ids(), place, feed=feed, what=what, at=Moment(start + gone, ZONE), noted="live",
            steady=f"{boot} {nanos + gone // timedelta(microseconds=1) * 1000}",
            **({} if what == "begin" else {"lane": "left"}),
        )  # fmt: skip
    made.store.write(written.changes, author=made.author)
    made.clock.pass_by(minutes=40)
    return feed


def _opened(made: TwinVisit) -> tuple[VisitPage, LiveFeed, float]:
    page = visit_page_of(made)
    page.resize(1280, 800)
    page.show()
    page.activateWindow()
    settled(made)
    page.go("feed", made.ida, "feed.which")
    settled(made)
    start = perf_counter()
    page.go("feed", made.ida, "feed.live")
    page.grab()
    took = (perf_counter() - start) * 1000
    assert page.middle.page is not None
    live = page.middle.page.findChild(LiveFeed)
    assert live is not None
    settled(made)
    return page, live, took


def _taps(made: TwinVisit, page: VisitPage, live: LiveFeed, rounds: int) -> tuple[float, ...]:
    """Keys W and S in turn, one each half second, with what follows from them in between."""
    frames = Painted(page)
    before, times = len(made.open().chart.all(FeedEvent)), []
    for number in range(rounds):
        made.clock.pass_by(milliseconds=500)
        live.take_focus()
        QCoreApplication.processEvents()
        times.append(to_paint(live.board.likely, Qt.Key.Key_W if number % 2 else Qt.Key.Key_S, frames))
        if number % 5 == 4:
            settled(made)
    page.home.save()
    settled(made)
    assert len(made.open().chart.all(FeedEvent)) == before + rounds, "not every tap was kept"
    return tuple(times)


def _bare(rounds: int) -> tuple[float, ...]:
    button: QPushButton = Act("")
    button.show()
    button.activateWindow()
    frames, times = Painted(button), []
    for _ in range(rounds):
        button.setFocus()
        button.clicked.connect(button.update)
        QCoreApplication.processEvents()
        times.append(to_paint(button, Qt.Key.Key_Space, frames))
        button.clicked.disconnect(button.update)
    button.close()
    return tuple(times)


def feed_tap(folder: Path, rounds: int = 200) -> Taps:
    """The same taps in a feed that has fifty events and in one that has five thousand."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    apply_look(app, Look(DAY))
    found: dict[int, tuple[float, ...]] = {}
    opened: dict[int, float] = {}
    for events in (FEW, MANY):
        made = twin_visit(folder / f"store-{events}")
        feed_of(made, events)
        page, live, opened[events] = _opened(made)
        found[events] = _taps(made, page, live, rounds)
        page.close()
        made.lane.close()
    return Taps(found[FEW], found[MANY], _bare(rounds), (opened[FEW], opened[MANY]))
