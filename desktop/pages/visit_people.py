"""The band of a visit: whom it is about, one switch for each, and the acts that are always there."""

from __future__ import annotations

from PySide6.QtCore import Signal

from desktop.controls.band import Band, person_act
from desktop.open_chart import OpenChart
from desktop.sheets.persons import age_words, full_name, tag_of

__all__ = ["People"]


class People(Band):
    """Parents, then babies, each with shape, full name and age. Signal `charted(str)`: that person is charted now."""

    charted = Signal(str)

    def __init__(self, home: OpenChart) -> None:
        super().__init__()
        self._home = home
        self.ids: tuple[str, ...] = ()
        self._shown: tuple[tuple[str, str], ...] = ()
        self.person.connect(self._tapped)

    def _tapped(self, place: int) -> None:
        self.charted.emit(self.ids[place])

    def refresh(self, who: str) -> str:
        """Show the family as it stands; who is charted: `who`, or the first person if that one is here no more."""
        home = self._home
        people = (*home.parents(), *home.infants())
        shown = tuple((full_name(home, one), age_words(home, one)) for one in people)
        if (people, shown) != (self.ids, self._shown):
            self.ids, self._shown = people, shown
            self.set_people([person_act(*words, tag_of(home, one)) for one, words in zip(people, shown, strict=True)])
        charted = who if who in people or not people else people[0]
        self.mark(charted)
        return charted

    def mark(self, who: str) -> None:
        """Show who is charted."""
        if who in self.ids:
            self.show_person(self.ids.index(who))
