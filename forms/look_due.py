"""When a note needs a look at a parent's breasts or chest (trade lines C3 and C11)."""

from __future__ import annotations

from forms.answers import every
from forms.blank import Level
from forms.body_mark import BodyMark
from forms.breast import BreastAssessment, BreastFinding
from forms.chart import Chart
from forms.feed import FeedObservation
from forms.parent_history import ParentHistory
from forms.taking_part import earlier_visits

__all__ = ["look_level", "lumps_without_a_place"]

_USED = ("fed", "tried")


def look_level(chart: Chart, parent: str) -> Level:
    """A must at a first visit at which this parent fed at the breast or chest or told of pain; else it is offered.

    Must and should as the trade's form table has them; first visits and pain are a house rule (P).
    """
    begins = not earlier_visits(chart)
    return Level.MUST if begins and (_fed_here(chart, parent) or _pain_told(chart, parent)) else Level.SHOULD


def _fed_here(chart: Chart, parent: str) -> bool:
    return any(
        code in _USED
        for entry in chart.all(FeedObservation, visit=chart.visit)
        if entry.place.subjects[:1] == (parent,)
        for side in (entry.answers.used.left, entry.answers.used.right)
        for code in every(side)
    )


def _pain_told(chart: Chart, parent: str) -> bool:
    told = chart.one(ParentHistory, parent)
    numbers = (told.pain_now.left, told.pain_now.right, told.pain_worst.left, told.pain_worst.right)
    times = (told.pain_when.left, told.pain_when.right)
    return any(number > 0 for given in numbers for number in every(given)) or any(
        set(picked) - {"none"} for given in times for picked in every(given)
    )


def lumps_without_a_place(chart: Chart, parent: str) -> tuple[str, ...]:
    """The sides on which a lump was felt or seen while no lump stands on the list of places or is drawn."""
    looked = chart.one(BreastAssessment, parent)
    listed = [entry.answers for entry in chart.all(BreastFinding, parent, visit=chart.visit)]
    drawn = [mark.answers for mark in chart.all(BodyMark, parent, visit=chart.visit)]
    places: tuple[BreastFinding | BodyMark, ...] = (*listed, *(one for one in drawn if "chest" in every(one.outline)))
    placed = {
        side
        for place in places
        if any(kind in ("lump", "swelling") for kind in every(place.kind))
        for side in every(place.side)
    }
    found = (("left", looked.lump.left), ("right", looked.lump.right))
    return tuple(
        side for side, given in found if side not in placed and any(code in ("felt", "seen") for code in every(given))
    )
