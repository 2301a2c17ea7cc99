"""The pages of the gallery on which a parent's breasts or chest are looked at."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from desktop.draft import EntryBinding
from desktop.pages.visit import VisitPage
from desktop.sheets.in_view import InView
from desktop.sheets.seen_no_concern import SeenNoConcern
from forms.answers import Quantity, Side
from forms.breast import BreastAssessment, BreastFinding
from tests.desktop.gallery_visit import Framed
from tests.helpers.twins import TwinVisit

__all__ = ["SCREENS"]


def _looked(page: VisitPage, made: TwinVisit) -> EntryBinding:
    binding = page.home.binding(BreastAssessment, made.mara)
    binding.put("consent", "look_touch")
    binding.put("feed_timing", "after")
    return binding


def _before(page: VisitPage, made: TwinVisit) -> None:
    """Consent given, and then withdrawn: what was not looked at yet can be written as declined by one act."""
    binding = _looked(page, made)
    binding.put("consent", "stopped")
    page.go("look", made.mara, "look.consent")


def _shape(page: VisitPage, made: TwinVisit) -> None:
    """The left side opened for a summary answer, which says what it would write."""
    binding = _looked(page, made)
    binding.put("evenness", "even")
    page.go("look", made.mara, "look.shape")
    page.middle.findChildren(SeenNoConcern)[0].opener.click()


def _summed(page: VisitPage, made: TwinVisit) -> None:
    """A summary answer written, and opened to its lines."""
    _looked(page, made)
    page.go("look", made.mara, "look.chest_skin")
    plain = page.middle.findChildren(SeenNoConcern)[0]
    plain.opener.click()
    plain.put()


def _nipple(page: VisitPage, made: TwinVisit) -> None:
    """The right side in view, damaged, with what follows from that."""
    binding = _looked(page, made)
    for path, value in (
        ("nipple@right", ("everted",)),
        ("shape_after@right", ("slanted", "white")),
        ("damage@right", ("crack", "scab")),
        ("trauma_score@right", "mark_4"),
    ):
        binding.put(path, value)
    InView.of(page.home).turn(Side.RIGHT)
    page.go("look", made.mara, "look.nipple")


def _places(page: VisitPage, made: TwinVisit) -> None:
    """Places on the clock: two closed to their lines, one open."""
    _looked(page, made)
    for answers in (
        {"side": "right", "kind": "crack", "where": "nipple", "clock": "hour_3", "longest": Quantity("4", "mm", 4)},
        {"side": "left", "kind": "lump", "where": "breast", "clock": "hour_10", "longest": Quantity("2", "cm", 20)},
    ):
        binding = page.home.begin(BreastFinding, made.mara)
        for name, value in answers.items():
            binding.put(name, value)
    page.go("look", made.mara, "look.places")
    assert page.middle.page is not None
    page.middle.page.show_entry("breast_finding", binding.entity)


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("breast-before", lambda: Framed(_before)),
    ("breast-shape", lambda: Framed(_shape)),
    ("breast-summed", lambda: Framed(_summed)),
    ("breast-nipple", lambda: Framed(_nipple)),
    ("breast-places", lambda: Framed(_places)),
]
