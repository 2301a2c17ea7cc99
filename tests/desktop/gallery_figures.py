"""The page of the gallery that shows the strip of figures with what explains them unfolded."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from desktop.controls.strip import Figure
from desktop.pages.visit import VisitPage
from forms.answers import Quantity
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent
from forms.infant import InfantAssessment
from forms.people import InfantIdentity
from forms.weight import WeightReading
from tests.desktop.gallery_visit import Framed
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["SCREENS"]


def _grams(base: int) -> Quantity:
    return Quantity(str(base), "g", base)


def _growth(page: VisitPage, made: TwinVisit) -> None:
    """A baby of three weeks, born at term: her weight against the WHO standards, and how that is worked out."""
    ida = page.home.binding(InfantIdentity, made.ida, entity=made.ida)
    for name, value in (("sex", "f"), ("gestation_weeks", 39), ("gestation_days", 2), ("birth_weight", _grams(3420))):
        ida.put(name, value)
    for days, base in ((7, 3430), (0, 3705)):
        binding = page.home.begin(WeightReading, made.ida)
        for name, value in (("source", "seen"), ("state", "bare"), ("by_whom", "Rosalind Achterberg")):
            binding.put(name, value)
        binding.put("taken", made.at(-24 * days))
        binding.put("weight", _grams(base))
    page.home.binding(InfantAssessment, made.ida).put("length", Quantity("52.5", "cm", 525))
    made.clock.pass_by(minutes=20)
    page.home.save()
    settled(made)
    page.go("weigh", made.ida)


def _unfolded(page: VisitPage, made: TwinVisit) -> None:
    _growth(page, made)
    page._add_up()
    for figure in page.aside.figures.findChildren(Figure):
        if figure.label.said() in ("Weight", "Gain per day", "Weight for age, WHO"):
            figure.link.setChecked(True)


TOLD = (
    (0, "begin", None), (20, "latch", "left"), (35, "sucking", "left"), (40, "pain", "left"), (50, "suck", "left"),
    (51, "suck", "left"), (52, "suck", "left"), (54, "swallow", "left"), (120, "pause", "left"), (150, "suck", "left"),
    (151, "swallow", "left"), (210, "swallow", "left"), (300, "changed", "left"), (310, "pain", "left"),
    (320, "swallow", "left"), (350, "swallow", "left"), (420, "swallow", "left"), (480, "off_self", "left"),
    (500, "latch", "right"),
)  # fmt: skip
"""Seconds, what, and on which lane."""


def _fed(page: VisitPage, made: TwinVisit) -> None:
    """A feed told by its events, its first figures in the strip, one of them explained."""
    feed = page.home.begin(FeedObservation, made.mara, made.ida)
    feed.put("observed", "seen")
    for seconds, what, lane in TOLD:
        event = page.home.begin(FeedEvent, made.mara, made.ida)
        answers = {"what": what, "at": made.at(seconds / 3600), "noted": "live", "feed": feed.entity, "lane": lane}
        for name, value in answers.items():
            if value is not None:
                event.put(name, value)
        if what == "pain":
            event.put("pain", 6 if seconds < 300 else 2)
        if what == "changed":
            event.put("words", "Chin first, deeper")
    made.clock.pass_by(minutes=9)
    page.home.save()
    settled(made)
    page.go("feed", made.ida)
    page._add_up()
    for figure in page.aside.figures.findChildren(Figure):
        if figure.label.said().startswith("First swallow, Mara's left"):
            figure.link.setChecked(True)


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("visit-growth-figures", lambda: Framed(_growth)),
    ("visit-figures-explained", lambda: Framed(_unfolded)),
    ("visit-feed-figures", lambda: Framed(_fed)),
]
