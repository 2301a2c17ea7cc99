"""The other feeds that are watched at the same time: each with its own lanes and its own clock, one tap away."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.lanes import Lanes
from desktop.controls.layouts import Flow, Stack
from desktop.controls.moons import Tag
from desktop.controls.words import Rule, Words
from desktop.open_chart import OpenChart
from desktop.sheets.feed_head import Unchosen, feed_in_view
from desktop.sheets.feed_lanes import shape_of
from desktop.sheets.feed_running import running_feeds
from desktop.sheets.feed_watch import Watch, Watches
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.persons import tag_of
from desktop.sheets.sheet import Here
from desktop.theme.tokens import Size, Space, Target
from forms.ask import ask_of
from forms.chart import Entry
from forms.clinical.feed_line import SIDES
from forms.feed import FeedObservation

__all__ = ["Others", "is_watched", "live_words", "pair_words", "take_in_hand"]


def pair_words(home: OpenChart, feeder: str, baby: str) -> str:
    """Who feeds whom: "Mara feeding Ida"."""
    return f"{home.names(feeder)} feeding {home.names(baby)}"


def take_in_hand(home: OpenChart, who: str, feed: Entry[FeedObservation]) -> None:
    """Show another feed large; where it is of another baby, that one is charted from now on."""
    view, subjects = InView.of(home), feed.place.subjects
    if who in subjects:
        view.show(FeedObservation, who, feed.id, *subjects)
    else:
        view.keep(FeedObservation, subjects[1], feed.id, *subjects)
        view.jumped.emit(Jump("feed", subjects[1], "feed.live"))


def live_words(home: OpenChart, who: str) -> tuple[str, str]:
    """The title of the live page and what stands beside it: who feeds whom; the position and whether with a shield."""
    binding = feed_in_view(home, FeedObservation, who)
    if isinstance(binding, Unchosen):
        return "A feed, live", ""
    feed = binding.answers()
    assert isinstance(feed, FeedObservation)
    position = feed.position.on(InView.of(home).side)
    said = [ask_of(FeedObservation, "position").options.get(position, "")] if isinstance(position, str) else []
    if isinstance(feed.devices, tuple):
        said.append("shield" if "shield" in feed.devices else "no shield")
    return pair_words(home, *binding.draft.place.subjects), ", ".join(said).lower()


def is_watched(home: OpenChart, who: str) -> bool:
    """Whether the feed in view runs, so that its page needs all the room there is."""
    entity = feed_in_view(home, FeedObservation, who).entity
    return any(entry.id == entity for entry, _ in running_feeds(home))


class _Other(Stack):
    """One of them."""

    def __init__(self, here: Here, feed: Entry[FeedObservation], watch: Watch) -> None:
        super().__init__(between=Space.FINE)
        self.feed, self.watch = feed, watch
        self._here = here
        feeder, baby = feed.place.subjects
        head = QWidget()
        row = Flow(head, gap=Space.SNUG)
        row.addWidget(Tag(tag_of(here.home, baby), here.home.names(baby)))
        row.addWidget(Words(pair_words(here.home, feeder, baby), size=Size.JOT, strong=True, wrap=False))
        self.lanes = Lanes(small=True)
        self.add(Rule(strong=True), head, self.lanes)
        watch.changed.connect(self.show_all)
        self.show_all()

    def show_all(self) -> None:
        """Its lanes as they stand."""
        name = self._here.home.names(self.feed.place.subjects[0])
        named = {
            code: f"{name}’s {code}" if code in SIDES else code.capitalize() for code in (*SIDES, *self.watch.lanes)
        }
        for lane in self.lanes.show_tracks(named):
            lane.clicked.connect(self._take)
        for code, words in named.items():
            self.lanes.show_shape(code, shape_of(self.watch.line.lane(code), self.watch.seconds))
            baby = self._here.home.names(self.feed.place.subjects[1])
            self.lanes.lane(code).setAccessibleName(f"{words}, {baby}: {self.watch.told(code)}; tap: take in hand")
        self.lanes.arrange()
        self.tick()

    def tick(self) -> None:
        """A second has gone by."""
        self.lanes.show_now(self.watch.seconds(), running=True)

    def words(self) -> str:
        """Which baby, the clock, and the side: "Juno 2:18, Mara's right"."""
        home, (feeder, baby) = self._here.home, self.feed.place.subjects
        minutes, seconds = divmod(int(self.watch.seconds()), 60)
        hand = self.watch.hand
        side = f", {home.names(feeder)}’s {hand}" if hand in SIDES else f", {hand}" if hand else ""
        return f"{home.names(baby)} {minutes}:{seconds:02}{side}"

    def _take(self, *_pressed: object) -> None:
        take_in_hand(self._here.home, self._here.who, self.feed)


class Clocks(QWidget):
    """Over the lanes: whoever else feeds now, with the clock of that feed; tapped, it is taken in hand."""

    def __init__(self, here: Here) -> None:
        super().__init__()
        self._here = here
        self._row = Flow(self, gap=Space.GAP)
        self.acts: dict[str, Act] = {}

    def show_feeds(self, others: Mapping[str, _Other]) -> None:
        """Show one clock for each of these feeds."""
        for act in self.acts.values():
            self._row.removeWidget(act)
            act.hide()
            act.deleteLater()
        self.acts = {}
        for entity, other in others.items():
            baby = other.feed.place.subjects[1]
            act = Act(self._here.home.names(baby), tag=tag_of(self._here.home, baby), target=Target.TOUCH)
            act.clicked.connect(partial(take_in_hand, self._here.home, self._here.who, other.feed))
            self._row.addWidget(act)
            self.acts[entity] = act
        self.tick(others)
        if self.parentWidget() is not None or not others:
            self.setVisible(bool(others))

    def tick(self, others: Mapping[str, _Other]) -> None:
        """A second has gone by."""
        for entity, other in others.items():
            if entity in self.acts:
                self.acts[entity].say(other.words())


class Others(Stack):
    """All feeds that run at this visit but the one in hand; nothing while there is none."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.PAD)
        self._here = here
        self.shown: dict[str, _Other] = {}
        self.clocks = Clocks(here)
        here.home.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        home = self._here.home
        found = {entry.id: entry for entry, _ in running_feeds(home) if entry.id != self._here.binding.entity}
        if list(found) != list(self.shown):
            self.clear()
            self.shown = {}
            for entry in found.values():
                watch = Watches.of(home).get(entry.id, entry.place.subjects)
                self.shown[entry.id] = _Other(self._here, entry, watch)
                self.add(self.shown[entry.id])
            self.clocks.show_feeds(self.shown)
        if self.parentWidget() is not None or not found:
            # Without a parent it is shown with the page; shown now it would be a window of its own.
            self.setVisible(bool(found))

    def tick(self) -> None:
        """A second has gone by."""
        for other in self.shown.values():
            other.tick()
        self.clocks.tick(self.shown)

    def refusal(self, other: Entry[FeedObservation]) -> tuple[QWidget, ...]:
        """Why no second feed of a baby begins while one runs, and the way to that one."""
        home = self._here.home
        feeder, baby = other.place.subjects
        words = Words(
            f"{home.names(baby)} is being watched already, fed by {home.names(feeder)}. End that feed before another "
            "begins."
        )
        link = Link(f"Go to {pair_words(home, feeder, baby)}", size=Size.BASE)
        link.clicked.connect(partial(take_in_hand, home, self._here.who, other))
        return words, link
