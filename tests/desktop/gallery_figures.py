"""The page of the gallery that shows the strip of figures with what explains them unfolded."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from desktop.controls.strip import Figure
from desktop.pages.visit import VisitPage
from forms.answers import Quantity
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


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("visit-growth-figures", lambda: Framed(_growth)),
    ("visit-figures-explained", lambda: Framed(_unfolded)),
]
