"""What of a parent's breast or chest is written down on other pages, and the way to each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.shown import answer_words
from desktop.controls.words import Rule, Words
from desktop.open_chart import OpenChart
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.sheet import Here
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Side
from forms.ask import Path, ask_of, asks
from forms.feed import FeedObservation
from forms.form import Form, value_at
from forms.parent_history import ParentHistory

__all__ = ["WrittenElsewhere"]

_TOLD = ("pain_now", "pain_worst", "pain_when", "unwell", "warning_signs", "surgery", "leaking", "fullness")
_SEEN = ("pain_after_30s", "nipple_after", "breast_after")


@dataclass(frozen=True, slots=True)
class Written:
    """One answer that stands on another page: in words, and the way there."""

    words: str
    jump: Jump


def _answers(answers: Form, field: str) -> Iterator[tuple[Path, object]]:
    sides: tuple[Side | None, ...] = tuple(Side) if ask_of(type(answers), field).sides else (None,)
    for side in sides:
        given = value_at(answers, path := Path(field, side))
        if given is not None:
            yield path, given


def written_of(home: OpenChart, who: str) -> Iterator[Written]:
    """Pain, warning signs and what was seen of breast or chest, told or at a feed, wherever it stands."""
    name = home.names(who)
    told = home.chart.one(ParentHistory, who)
    for field in (one for one in _TOLD if one in asks(ParentHistory) and not ask_of(ParentHistory, one).private):
        for path, given in _answers(told, field):
            side = f", {name}’s {path.side}" if path.side else ""
            words = f"{ask_of(ParentHistory, field).label}{side}: {answer_words(ask_of(ParentHistory, field), given)}"
            section = "story.pain" if field not in ("surgery", "leaking", "fullness") else "story.body"
            yield Written(words, Jump("story", who, section, ParentHistory.name, None, path))
    for entry in home.chart.all(FeedObservation, visit=home.chart.visit):
        if entry.place.subjects[:1] != (who,):
            continue
        for field in _SEEN:
            for path, given in _answers(entry.answers, field):
                ask = ask_of(FeedObservation, field)
                baby = home.names(entry.place.subjects[1])
                words = f"{ask.label}, {name}’s {path.side}, feeding {baby}: {answer_words(ask, given)}"
                section = "feed.latch" if field == "pain_after_30s" else "feed.end"
                yield Written(words, Jump("feed", who, section, FeedObservation.name, entry.id, path))


class WrittenElsewhere(Stack):
    """What is written of the parent on other pages, each a way to it; where nothing is, where it would be written."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.SNUG)
        self._here = here
        self._shown: tuple[Written, ...] | None = None
        here.home.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        home, who = self._here.home, self._here.who
        found = tuple(written_of(home, who))
        if found == self._shown:
            return
        self._shown = found
        self.clear()
        name = home.names(who)
        if not found:
            self.add(
                Words(f"Nothing of {name}’s pain, skin or milk is written down at this visit yet.", size=Size.JOT),
                Words("Pain and warning signs are asked in the story; each side is asked while a feed is watched."),
            )
            row = QWidget()
            flow = Flow(row, gap=Space.PAD)
            for words, jump in (
                ("Pain and signs", Jump("story", who, "story.pain")),
                ("Breast or chest, as told", Jump("story", who, "story.body")),
                ("Watch a feed", Jump("feed", who, "feed.which")),
            ):
                act = Act(words, icon=Icon.JUMP)
                act.clicked.connect(lambda _on=False, jump=jump: InView.of(home).jumped.emit(jump))
                flow.addWidget(act)
            self.add(row)
            return
        self.add(Words("Written down on other pages; each line leads there.", ink=Role.SOFT_INK))
        for one in found:
            self.add(self._line(one), Rule())

    def _line(self, one: Written) -> QWidget:
        across = QWidget()
        beside = Beside(across, middle=True)
        beside.addWidget(Words(one.words))
        go = Link("Go there", icon=Icon.JUMP)
        go.setAccessibleName(f"Go to: {one.words}")
        go.clicked.connect(lambda: self._go(one.jump))
        beside.addWidget(go)
        return across

    def _go(self, jump: Jump) -> None:
        view = InView.of(self._here.home)
        if jump.form == FeedObservation.name and jump.entry is not None:
            entry = self._here.home.chart.by_id(jump.entry)
            if entry is not None:
                view.keep(FeedObservation, self._here.who, entry.id, *entry.place.subjects)
        if jump.path is not None and jump.path.side is not None:
            view.turn(jump.path.side)
        view.jumped.emit(jump)
