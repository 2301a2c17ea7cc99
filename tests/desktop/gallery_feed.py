"""The pages of the gallery that show a feed gathered in short, and a weight that fits the other twin."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from demo_db.usual import FEED_SIDE
from desktop.pages.visit import VisitPage
from desktop.sheets.in_view import InView
from forms.answers import Quantity
from forms.feed import FeedObservation
from forms.weight import WeightReading
from tests.desktop.gallery_visit import Framed
from tests.helpers.twins import TwinVisit

__all__ = ["SCREENS"]


def _in_short(page: VisitPage, made: TwinVisit) -> None:
    """One side fed with its release creased and two points not answered, the other side not yet."""
    feed = page.home.begin(FeedObservation, made.mara, made.ida)
    feed.put("observed", "seen")
    for name, value in {**FEED_SIDE, "nipple_after": "creased", "pain_after_30s": 4, "latch_concerns": None}.items():
        feed.put(f"{name}@left", value)
    feed.put("used@right", "not_offered")
    feed.put("hands", ("fists", "opening", "loose"))
    InView.of(page.home).keep(FeedObservation, made.ida, feed.entity, made.mara, made.ida)
    page.go("feed", made.ida, "feed.short")


def _weight(page: VisitPage, made: TwinVisit, baby: str, grams: int) -> str:
    binding = page.home.begin(WeightReading, baby)
    binding.put("source", "seen")
    binding.put("state", "bare")
    binding.put("weight", Quantity(f"{grams:,}", "g", grams))
    binding.put("taken", made.at())
    return binding.entity


def _swap(page: VisitPage, made: TwinVisit) -> None:
    """Both twins' weights typed, each for the other."""
    _weight(page, made, made.ida, 2300)
    typed = _weight(page, made, made.juno, 2470)
    page.go("weigh", made.juno)
    assert page.middle.page is not None
    page.middle.page.show_entry("weight", typed)


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("visit-latch-in-short", lambda: Framed(_in_short)),
    ("visit-weight-of-the-other", lambda: Framed(_swap)),
]
