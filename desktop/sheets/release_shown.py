"""Whether what is written may leave for its recipient today, and where to go if it may not."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from desktop.controls.buttons import Link
from desktop.controls.layouts import Stack
from desktop.controls.shown import day_words
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.sheet import Here
from desktop.theme.tokens import Role, Space
from forms.answers import Moment
from forms.consent import release_for
from forms.practice import Provider

__all__ = ["ReleaseShown", "provider_name"]


def provider_name(home: OpenChart, given: object) -> str:
    """What a provider is called; "" for one without a name, or none."""
    name = home.chart.person(Provider, given).full_name if isinstance(given, str) else None
    return name.strip() if isinstance(name, str) else ""


class ReleaseShown(Stack):
    """The release under which a paper leaves, in words.

    `reader` gives the provider's id, None while there is none; `purpose` is the purpose of the release (a form's name),
    `what` what leaves in the singular ("letter"), `nobody` what is said while there is no reader.
    """

    def __init__(
        self, here: Here, reader: Callable[[], str | None], *, purpose: str, what: str, nobody: Callable[[], str]
    ) -> None:
        super().__init__(between=Space.FINE)
        self._here, self._reader, self._purpose, self._what, self._nobody = here, reader, purpose, what, nobody
        self.words = Words("", strong=True)
        self.go = Link("Go to the releases")
        self.go.clicked.connect(
            lambda: InView.of(here.home).jumped.emit(Jump("arrive", here.who, "arrive.release", "release"))
        )
        self.add(self.words, self.go)
        here.binding.changed.connect(self._show)
        here.home.changed.connect(self._show)
        self._show()

    def _show(self, _path: str = "") -> None:
        home, who, to = self._here.home, self._here.who, self._reader()
        if to is None:
            self._say(self._nobody(), Role.SOFT_INK)
            return
        name, recipient = home.names(who), provider_name(home, to) or "a provider without a name"
        today = Moment(home.clock(), home.zone).local().date()
        held = release_for(home.chart, who, to, self._purpose, today)
        if held is None:
            words = f"No release about {name} to {recipient} holds today: the {self._what} cannot leave."
            self._say(words, Role.WELD, go=True)
            return
        until, limits = held.answers.valid_until, held.answers.limits
        last = f" until {day_words(until)}" if isinstance(until, date) else ""
        but = f" Not to be sent: {limits.strip()}" if isinstance(limits, str) and limits.strip() else ""
        self._say(f"A release for {self._what}s about {name} to {recipient} holds{last}.{but}", Role.ALDER)

    def _say(self, words: str, ink: Role, *, go: bool = False) -> None:
        self.words.say(words)
        self.words.take_ink(ink)
        self.go.setVisible(go)
