"""Which feed is in view: who feeds whom, the feeds of this visit, and how another one is begun."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.shown import clock
from desktop.controls.words import Rule, Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.in_view import InView
from desktop.sheets.listing import StrikeAsked
from desktop.sheets.sheet import Here
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.chart import Entry
from forms.feed import FeedObservation
from forms.form import Form
from forms.taking_part import noted_parents
from storage.drafts import Draft

__all__ = ["FeedHead", "Feeds", "Unchosen", "feed_in_view", "feed_words", "feeds_of", "pairs_of"]

_NTH = ("first", "second", "third", "fourth", "fifth", "sixth")


class Unchosen(EntryBinding):
    """Stands where it is not yet said who feeds whom: shows the questions and takes no answer."""

    def sealed(self) -> bool:
        """Nothing can be put."""
        return True

    def put(self, path: str, value: object, reason: str = "") -> None:
        """Refused in a sentence."""
        del value, reason
        self.refused.emit(path, "Pick first who feeds whom.")


def pairs_of(home: OpenChart, who: str) -> tuple[tuple[str, str], ...]:
    """Every feeder and baby that the person charted may be one of, feeders of this visit first."""
    babies = (who,) if who in home.infants() else home.infants()
    feeders = (who,) if who in home.parents() else noted_parents(home.chart)
    return tuple((feeder, baby) for feeder in feeders for baby in babies)


def feeds_of(home: OpenChart, who: str) -> tuple[Entry[FeedObservation], ...]:
    """The feeds of this visit that the person charted took part in, in the order they were begun."""
    return tuple(e for e in home.chart.all(FeedObservation, visit=home.chart.visit) if who in e.place.subjects)


def feed_in_view(home: OpenChart, form: type[Form], who: str) -> EntryBinding:
    """The feed in view; the newest one if none was picked; a new one where only one pair can be meant."""
    view = InView.of(home)
    feeds = {entry.id: entry for entry in feeds_of(home, who)}
    picked, *pair = view.shown(form, who) or ("",)
    if picked and (picked in feeds or home.chart.by_id(picked) is None):
        return home.binding(form, *pair, entity=picked)
    if feeds:
        newest = list(feeds.values())[-1]
        view.keep(form, who, newest.id, *newest.place.subjects)
        return home.binding(form, *newest.place.subjects, entity=newest.id)
    pairs = pairs_of(home, who)
    if len(pairs) == 1:
        begun = home.begin(form, *pairs[0])
        view.keep(form, who, begun.entity, *pairs[0])
        return begun
    subjects = (who,) if who in home.parents() else ()
    return Unchosen(home, Draft(home.ids(), home.place(form, *subjects), form))


def _pair_words(home: OpenChart, feeder: str, baby: str) -> str:
    return f"{home.names(feeder)} feeding {home.names(baby)}"


def feed_words(home: OpenChart, entry: Entry[FeedObservation]) -> str:
    """One feed in a line: "Mara feeding Ida, first feed, began 10:42"."""
    feeder, baby = entry.place.subjects
    same = [e.id for e in home.chart.all(FeedObservation, visit=home.chart.visit) if e.place.subjects[1:] == (baby,)]
    at = same.index(entry.id) if entry.id in same else len(same)
    nth = _NTH[at] if at < len(_NTH) else f"{at + 1}th"
    said = [_pair_words(home, feeder, baby), f"{nth} feed"]
    if entry.answers.observed == "not_seen":
        return f"{home.names(baby)}: no feed was seen"
    began = entry.answers.began
    if isinstance(began, Moment):
        said.append(f"began {clock(began.local())}")
    return ", ".join(said)


def _current(here: Here) -> Entry[FeedObservation] | None:
    """The feed in view as an entry, begun or not; None while it is not said whose it is."""
    if isinstance(here.binding, Unchosen):
        return None
    held = here.home.chart.by_id(here.binding.entity)
    if held is not None and isinstance(held.answers, FeedObservation):
        return held  # type: ignore[return-value]  # its answers are of a feed
    draft = here.binding.draft
    answers = draft.answers
    assert isinstance(answers, FeedObservation)
    return Entry(draft.entity, draft.place, answers, here.home.author, here.home.clock())


class _Begin(QWidget):
    """One key for each pair that may be observed."""

    def __init__(self, here: Here, *, again: bool) -> None:
        super().__init__()
        flow = Flow(self)
        view = InView.of(here.home)

        def begin(pair: tuple[str, str]) -> None:
            view.show(FeedObservation, here.who, here.home.begin(FeedObservation, *pair).entity, *pair)

        for pair in pairs_of(here.home, here.who):
            words = _pair_words(here.home, *pair)
            act = Act(
                f"Another feed: {words}" if again else words,
                icon=Icon.PLUS,
                kind=ActKind.BARE if again else ActKind.PLAIN,
            )
            act.clicked.connect(partial(begin, pair))
            flow.addWidget(act)


class FeedHead(Stack):
    """Whose feed the page is about, in one line; asks for it while nobody was picked."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.GAP)
        self._here = here
        self.words = Words("", size=Size.JOT, strong=True)
        self.add(self.words)
        if _current(here) is None:
            self.words.say("Who feeds whom?")
            self.add(_Begin(here, again=False))
            return
        others = len([e for e in feeds_of(here.home, here.who) if e.id != here.binding.entity])
        if others:
            more = "1 other feed" if others == 1 else f"{others} other feeds"
            self.add(Words(f"{more} at this visit; pick it under “Feed”.", size=Size.SMALL, ink=Role.SOFT_INK))
        here.home.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        entry = _current(self._here)
        if entry is not None:
            self.words.say(feed_words(self._here.home, entry))


class Feeds(Stack):
    """Every feed of this visit; one is in view, any other is one tap away, another one can be begun."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.GAP)
        self._here = here
        self._shown: tuple[tuple[str, str], ...] = ()
        self._lines, self._below = Stack(between=Space.GAP), Stack(between=Space.GAP)
        self.add(self._lines, self._below)
        here.home.changed.connect(self._show)
        here.home.reloaded.connect(self._show)
        self._show()

    def _show(self) -> None:
        home = self._here.home
        entries = feeds_of(home, self._here.who)
        current = _current(self._here)
        shown = tuple((entry.id, feed_words(home, entry)) for entry in entries)
        if current is not None and current.id not in {entry.id for entry in entries}:
            shown += ((current.id, f"{feed_words(home, current)}, nothing written yet"),)
        if shown == self._shown and (shown or current is not None):
            return
        self._shown = shown
        self._lines.clear()
        self._below.clear()
        for entity, words in shown:
            begun = next((entry for entry in entries if entry.id == entity), None)
            self._lines.add(self._line(entity, words, begun))
        if self._here.binding.sealed() and current is not None:
            return
        if current is None:
            self._below.add(Words("Who feeds whom? A feed belongs to one feeder and one baby.", strong=True))
        if current is None or entries:
            self._below.add(_Begin(self._here, again=current is not None))

    def _line(self, entity: str, words: str, begun: Entry[FeedObservation] | None) -> QWidget:
        held = self._here.binding.entity == entity
        line = Stack(between=Space.GAP)
        across = QWidget()
        beside = Beside(across, middle=True)
        beside.addWidget(Words(words, size=Size.JOT if held else Size.BASE, strong=held))
        keys = QWidget()
        flow = Flow(keys)
        if not held and begun is not None:
            pick, ids = Link("Show this feed"), (entity, *begun.place.subjects)
            pick.clicked.connect(lambda: InView.of(self._here.home).show(FeedObservation, self._here.who, *ids))
            flow.addWidget(pick)
        if begun is not None and not self._here.binding.sealed():
            strike = Link("Strike out")
            strike.clicked.connect(lambda: line.add(StrikeAsked(self._here.home, entity)))
            strike.clicked.connect(lambda: strike.setEnabled(False))
            flow.addWidget(strike)
        beside.addWidget(keys)
        line.add(across, Rule())
        return line
