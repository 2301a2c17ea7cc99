"""Under the ends of a lane: the weights before and after that side, each a way to where it is written."""

from __future__ import annotations

from PySide6.QtCore import QObject

from desktop.controls.buttons import Link
from desktop.controls.lane import PartKind
from desktop.controls.lanes import Lanes
from desktop.sheets.feed_weights import around_feed
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.sheet import Here
from forms.answers import Conflicted, Quantity, Side
from forms.chart import Entry
from forms.units import alone
from forms.weight import WeightReading

__all__ = ["Feet"]

_POINTS = ("before", "after")


class Feet(QObject):
    """The links under the lanes of left and right."""

    def __init__(self, here: Here, lanes: Lanes) -> None:
        super().__init__(lanes)
        self._here, self._lanes = here, lanes
        self._links: dict[tuple[str, str], Link] = {}
        self._entries: dict[tuple[str, str], str] = {}
        here.home.changed.connect(self.show)

    def show(self) -> None:
        """Show the weights as they stand."""
        found: dict[tuple[str, str], Entry[WeightReading]] = {}
        for entry in around_feed(self._here.home, self._here.binding.entity):
            side, point = entry.answers.feed_side, entry.answers.feed_point
            if isinstance(side, str) and isinstance(point, str):
                found[side, point] = entry
        self._entries = {key: entry.id for key, entry in found.items()}
        for side in (one.value for one in Side):
            if side not in self._lanes.tracks:
                continue
            fresh = (side, "before") not in self._links
            for point in _POINTS:
                if (side, point) not in self._links:
                    link = self._links[side, point] = Link("", parent=self._lanes)
                    link.setObjectName(f"weight-{side}-{point}")
                    link.clicked.connect(lambda _on=False, key=(side, point): self._go(*key))
                self._say(self._links[side, point], side, point, found.get((side, point)))
            if fresh:
                self._lanes.put_feet(side, [self._links[side, point] for point in _POINTS])
        self._lanes.arrange()

    def _say(self, link: Link, side: str, point: str, entry: Entry[WeightReading] | None) -> None:
        given = entry.answers.weight if entry is not None else None
        match given:
            case Quantity(base=base, unit=unit):
                words = f"{alone(base, unit)} {point}"
            case Conflicted():
                words = f"two weights {point}"
            case _:
                words = f"weigh {point}"
        link.say(words)
        left, right = self._here.binding.person_words()
        link.setAccessibleName(f"{left if side == 'left' else right}: {words}")
        over = bool(self._lanes.lane(side).shape.parts) and not self._lanes.lane(side).running(PartKind.SPELL)
        link.setVisible(entry is not None or (not self._here.binding.sealed() and (point == "before" or over)))

    def _go(self, side: str, point: str) -> None:
        entry = self._entries.get((side, point))
        form = WeightReading.name if entry is not None else ""
        InView.of(self._here.home).jumped.emit(Jump("feed", self._here.who, "feed.weights", form, entry))
