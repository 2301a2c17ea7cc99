"""What of a feed can be drawn on no lane: events between the sides, and those that are disputed or lack a time."""

from __future__ import annotations

from collections.abc import Callable

from desktop.controls.buttons import Link
from desktop.controls.layouts import Stack
from desktop.controls.words import Words
from desktop.sheets.feed_lanes import WORDS
from desktop.sheets.feed_watch import Watch
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.sheet import Here
from desktop.theme.tokens import Role, Size, Space
from forms.clinical.feed_line import Event
from forms.feed_event import FeedEvent

__all__ = ["Astray"]

_SHOWN = 6
"""So many of the newest stand in words; all of them stand on the page of the events."""
_WHOLE = frozenset({"begin", "end"})


class Astray(Stack):
    """A line for each kind of them, and the way to where they are settled; nothing while there is none."""

    def __init__(self, here: Here, watch: Watch) -> None:
        super().__init__(between=Space.FINE)
        self._here, self._watch = here, watch
        self.between = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.torn = Words("", ink=Role.WELD, strong=True)
        self.settle = Link("To the events")
        self.settle.clicked.connect(self._go)
        self.add(self.between, self.torn, self.settle)

    def show_line(self, time: Callable[[Event], str]) -> None:
        """Show what the line holds; `time` says how far into the feed an event was."""
        line = self._watch.line
        loose = [event for event in line.events if event.lane is None and event.what not in _WHOLE]
        told = [f"{WORDS.get(event.what, event.what).lower()} {time(event)}" for event in loose[-_SHOWN:]]
        more = f", and {len(loose) - _SHOWN} before" if len(loose) > _SHOWN else ""
        self.between.say(f"On no lane: {', '.join(told)}{more}." if told else "")
        self.between.setVisible(bool(told))
        said = []
        if line.unresolved:
            times = len(line.unresolved)
            said.append(f"{'1 event is' if times == 1 else f'{times} events are'} unresolved: two values stand")
        if line.untimed:
            times = len(line.untimed)
            said.append(f"{'1 event has' if times == 1 else f'{times} events have'} no time or no kind")
        self.torn.say(f"{'; '.join(said)}. Drawn on no lane until that is settled." if said else "")
        self.torn.setVisible(bool(said))
        self.settle.setVisible(bool(said))
        self.setVisible(bool(said or told))

    def _go(self, *_pressed: object) -> None:
        line = self._watch.line
        entry = next(iter((*line.unresolved, *line.untimed)), None)
        InView.of(self._here.home).jumped.emit(Jump("feed", self._here.who, "feed.events", FeedEvent.name, entry))
