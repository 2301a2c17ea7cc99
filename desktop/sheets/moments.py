"""Which sections a moment of the visit has, for the person charted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from desktop.open_chart import OpenChart
from desktop.sheets.arrive import arrive
from desktop.sheets.expressing import expressing
from desktop.sheets.feed import feed
from desktop.sheets.feeding_log import feeding_log
from desktop.sheets.leave import leave
from desktop.sheets.look_baby import look_baby
from desktop.sheets.look_mouth import look_mouth
from desktop.sheets.look_parent import look_parent
from desktop.sheets.plan import plan_of_baby, plan_of_parent
from desktop.sheets.scores import SCORES
from desktop.sheets.sheet import Section
from desktop.sheets.story_baby import baby_story
from desktop.sheets.story_parent import parent_story
from desktop.sheets.weigh import weigh_baby

__all__ = ["every_section", "moment_of", "sections"]

# For each moment: what it asks about a parent, and what it asks about a baby.
_SHEETS: Mapping[str, tuple[Callable[[], tuple[Section, ...]], Callable[[], tuple[Section, ...]]]] = MappingProxyType(
    {
        "arrive": (arrive, arrive),
        "story": (lambda: (*parent_story(), *expressing()), lambda: (*baby_story(), *feeding_log())),
        "weigh": (tuple, weigh_baby),
        "feed": (feed, feed),
        "look": (look_parent, lambda: (*look_baby(), *look_mouth(), SCORES)),
        "plan": (plan_of_parent, plan_of_baby),
        "leave": (leave, leave),
    }
)


def sections(moment: str, home: OpenChart, who: str) -> tuple[Section, ...]:
    """The sections of a moment for one parent or baby, in the order of their tabs."""
    of_parent, of_baby = _SHEETS.get(moment, (tuple, tuple))
    return of_baby() if who in home.infants() else of_parent()


def every_section() -> tuple[Section, ...]:
    """All sections there are, each once, in the order of the thread."""
    found: dict[str, Section] = {}
    for of_parent, of_baby in _SHEETS.values():
        found |= {section.key: section for section in (*of_parent(), *of_baby())}
    return tuple(found.values())


def moment_of(section: Section) -> str:
    """The moment a section belongs to; its key begins with it."""
    return section.key.partition(".")[0]
