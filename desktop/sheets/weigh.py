"""Weighing: the pad, large figures, whose weight it is, and every reading with its percent from birth."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QWidget

from desktop.controls.layouts import Stack, spaced
from desktop.controls.moons import Tag
from desktop.controls.numbers import QuantityField
from desktop.controls.question import Question
from desktop.controls.shown import moment_words
from desktop.controls.words import Title, Words
from desktop.open_chart import OpenChart
from desktop.sheets.doubt import asked_about, open_doubts, said_once
from desktop.sheets.growth import GROWTH
from desktop.sheets.persons import full_name, tag_of
from desktop.sheets.sheet import Compose, Here, Listed, Offer, Section
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Conflicted, Moment, Quantity
from forms.ask import ask_of
from forms.chart import Entry
from forms.clinical.result import NoFigure
from forms.clinical.weight import edges, percent_from_birth
from forms.infant import InfantAssessment
from forms.people import InfantIdentity
from forms.thresholds import limits
from forms.units import shown
from forms.weight import WeightReading, around_feed_words, is_around_feed

__all__ = ["weigh_baby"]


_NO_PERCENT = "Taken around a feed: it serves the difference between before and after, and no percent from birth."


class _Whose(QWidget):
    """The name of the baby on the scale, large, with its tag: read back before the figure is typed."""

    def __init__(self, here: Here) -> None:
        super().__init__()
        across = QHBoxLayout(self)
        spaced(across, Space.SNUG)
        name = full_name(here.home, here.who)
        across.addWidget(Tag(tag_of(here.home, here.who), name))
        across.addWidget(Title(name, size=Size.FIGURE), 1)


class _Pad(Stack):
    """The weight, with the number pad open while nothing is written yet."""

    def __init__(self, here: Here) -> None:
        super().__init__()
        self.question = Question(here.binding, "weight")
        self.add(self.question)
        field = self.question.controls()[0]
        if isinstance(field, QuantityField) and here.binding.value("weight") is None and not here.binding.sealed():
            field.opener.setChecked(True)


class _MovedHere(Words):
    """Where a weight was typed before it was moved here, and why; nothing for the others."""

    def __init__(self, here: Here) -> None:
        super().__init__("", ink=Role.WELD)
        said = here.binding.value("moved_here")
        self.say(said if isinstance(said, str) else "")
        if not self.said():
            self.hide()


class _FromBirth(Stack):
    """What the weight in the box comes to, while it is typed."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.NONE)
        self._here = here
        self.figure = Words("", size=Size.FIGURE, strong=True)
        self.under = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.add(self.figure, self.under)
        here.binding.changed.connect(self._show)
        here.home.changed.connect(self._show)
        self._show()

    def _show(self, _path: str = "") -> None:
        baby = self._here.home.chart.person(InfantIdentity, self._here.who)
        given = self._here.binding.value("weight")
        found = percent_from_birth(baby.birth_weight, given, edges(limits(self._here.home.chart)))
        reading = self._here.binding.draft.answers
        assert isinstance(reading, WeightReading)
        if is_around_feed(reading):
            self.figure.hide()
            self.under.say(_NO_PERCENT)
        elif isinstance(found, NoFigure):
            self.figure.hide()
            self.under.say("" if given is None else f"No percent from birth: {found.why}.")
        else:
            birth = baby.birth_weight
            self.figure.say(f"{found.text} from birth")
            self.figure.show()
            at_birth = shown(birth.base, birth.unit) if isinstance(birth, Quantity) else ""
            self.under.say(f"{found.change:+,} g since birth; birth weight {at_birth}.".replace("-", "−"))
        self.under.setVisible(bool(self.under.said()))


def _reading(c: Compose) -> None:
    c.widget(_Whose)
    c.widget(_Pad, "weight")
    c.widget(_FromBirth)
    c.widget(asked_about("weight", "repeat", "taken"), "kept_after_asking")
    c.widget(_MovedHere, "moved_here")
    c.ask("state", "taken", "source")
    c.row("scale_name", "scale_step")
    c.ask("by_whom", "repeat", "feed")


def _line(entry: Entry[WeightReading], name: Callable[[str], str]) -> str:
    del name
    kept = entry.answers
    weight, taken = kept.weight, kept.taken
    said = ["Weight not written yet"]
    if isinstance(weight, Quantity):
        said = [shown(weight.base, weight.unit)]
    elif isinstance(weight, Conflicted):
        said = [
            " or ".join(shown(v.value.base, v.value.unit) for v in weight.variants if isinstance(v.value, Quantity))
        ]
    if isinstance(taken, Moment):
        said.append(moment_words(taken))
    for field in ("state", "source"):
        code = getattr(kept, field)
        if isinstance(code, str):
            said.append(ask_of(WeightReading, field).options.get(code, code).lower())
    return ", ".join(said)


def _from_birth(home: OpenChart, entry: Entry[WeightReading]) -> str:
    baby = home.chart.person(InfantIdentity, entry.place.subjects[0])
    found = percent_from_birth(baby.birth_weight, entry.answers.weight, edges(limits(home.chart)))
    said = f"No percent from birth: {found.why}" if isinstance(found, NoFigure) else f"{found.text} from birth"
    around = around_feed_words(entry.answers)
    if around:
        said = around[:1].upper() + around[1:]
    binding = home.binding(WeightReading, *entry.place.subjects, entity=entry.id)
    asked = open_doubts(home, binding, ("weight", "repeat", "taken"), entry.place.subjects[0])
    moved = entry.answers.moved_here
    return " ".join((f"{said}.", *((moved,) if isinstance(moved, str) else ()), said_once(asked))).strip()


def _on_the_scale(home: OpenChart) -> tuple[Offer, ...]:
    del home
    return (Offer("On the scale now", {"source": "seen"}),)


def _readings(c: Compose) -> None:
    c.entries(
        WeightReading,
        _reading,
        Listed(
            add="A weight told or read",
            empty="No weight is written down yet, besides the birth weight.",
            line=_line,
            concerns=True,
            offers=_on_the_scale,
            more=_from_birth,
        ),
    )
    c.part(InfantAssessment, lambda inner: inner.ask("weight_not_taken"))


def _size(c: Compose) -> None:
    c.part(InfantAssessment, lambda inner: inner.row("length", "head"))


def weigh_baby() -> tuple[Section, ...]:
    """The sections of weighing a baby; a parent has none."""
    return (
        Section("weigh.scale", "Weight", WeightReading, _readings, "{own} weight"),
        Section("weigh.size", "Length, head", InfantAssessment, _size, "{own} length and head"),
        GROWTH,
    )
