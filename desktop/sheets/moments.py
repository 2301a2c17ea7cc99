"""Which sections a moment of the visit has, for the person charted."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

from desktop.open_chart import OpenChart
from desktop.sheets.arrive import arrive
from desktop.sheets.expressing import expressing
from desktop.sheets.feed import feed
from desktop.sheets.feed_running import running_feeds
from desktop.sheets.feeding_log import feeding_log
from desktop.sheets.leave import leave
from desktop.sheets.look_baby import look_baby
from desktop.sheets.look_mouth import look_mouth
from desktop.sheets.look_parent import look_parent
from desktop.sheets.marks import drawing
from desktop.sheets.photos import PHOTOS
from desktop.sheets.plan import plan_of_baby, plan_of_parent
from desktop.sheets.scores import SCORES
from desktop.sheets.sheet import Section
from desktop.sheets.story_baby import baby_story
from desktop.sheets.story_parent import parent_story
from desktop.sheets.weigh import weigh_baby

__all__ = ["every_section", "moment_of", "section_of", "sections", "turn"]

# For each moment: what it asks about a parent, and what it asks about a baby.
_SHEETS: Mapping[str, tuple[Callable[[], tuple[Section, ...]], Callable[[], tuple[Section, ...]]]] = MappingProxyType(
    {
        "arrive": (arrive, arrive),
        "story": (lambda: (*parent_story(), *expressing()), lambda: (*baby_story(), *feeding_log())),
        "weigh": (tuple, weigh_baby),
        "feed": (feed, feed),
        "look": (
            lambda: (*look_parent(), drawing(), PHOTOS),
            lambda: (*look_baby(), *look_mouth(), drawing(), PHOTOS, SCORES),
        ),
        "plan": (plan_of_parent, plan_of_baby),
        "leave": (leave, leave),
    }
)

LIVE = "feed.live"

_SECOND = frozenset({
    # story: what today is about stands first; who they are and what went before, second
    "story.names", "story.reach", "story.pregnancy", "story.birth", "story.home", "story.confidence", "story.private",
    "story.providers", "story.who", "story.born", "story.first_days", "story.baby_health", "story.guardians",
    # feed: what is watched, and in short; then what was tried and what is weighed
    "feed.tried", "feed.weights", "feed.after", "feed.milk", "feed.events",
    # look at a baby: the body; then the mouth
    "look.before", "look.face", "look.palate", "look.tongue", "look.movement", "look.frenulum", "look.suck",
    "look.patches",
    # plan: what was found; then what is agreed
    "plan.goal", "plan.tasks", "plan.amounts", "plan.care", "plan.watch", "plan.next",
})  # fmt: skip
"""The sections whose tabs stand in the second row of a moment that needs two."""

_SECOND_BESIDE: Mapping[str, str] = MappingProxyType({"look.drawing": "look.consent", "look.photos": "look.consent"})
"""Sections whose tabs stand in the second row only where another section is: on a parent's page, not on a baby's."""


def sections(moment: str, home: OpenChart, who: str) -> tuple[Section, ...]:
    """The sections of a moment for one parent or baby, in the order of their tabs."""
    of_parent, of_baby = _SHEETS.get(moment, (tuple, tuple))
    found = of_baby() if who in home.infants() else of_parent()
    return tuple(sorted(found, key=lambda section: _is_second(section, found)))


def _is_second(section: Section, found: Sequence[Section]) -> bool:
    beside = _SECOND_BESIDE.get(section.key)
    return section.key in _SECOND or (beside is not None and any(other.key == beside for other in found))


def section_of(found: Sequence[Section], wanted: str, home: OpenChart, who: str) -> Section | None:
    """The section with that key, else the one a moment opens with: its first, but a feed live only while it runs."""
    named = next((one for one in found if one.key == wanted), None)
    if named is not None:
        return named
    live = any(who in entry.place.subjects for entry, _ in running_feeds(home))
    return next((one for one in found if live or one.key != LIVE), None)


def turn(found: Sequence[Section]) -> str:
    """The key of the section that begins the second row of tabs; "" where all of them stand in one."""
    seconds = [_is_second(section, found) for section in found]
    return found[seconds.index(True)].key if True in seconds and not all(seconds) else ""


def every_section() -> tuple[Section, ...]:
    """All sections there are, each once, in the order of the thread."""
    found: dict[str, Section] = {}
    for of_parent, of_baby in _SHEETS.values():
        found |= {section.key: section for section in (*of_parent(), *of_baby())}
    return tuple(found.values())


def moment_of(section: Section) -> str:
    """The moment a section belongs to; its key begins with it."""
    return section.key.partition(".")[0]
