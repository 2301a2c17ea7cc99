"""Controls for a day and for a moment: typed, or taken from the clock by a tap, never filled in silently."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

from PySide6.QtCore import QTimer
from PySide6.QtGui import QShowEvent

from desktop.controls.buttons import Act
from desktop.controls.layouts import Flow
from desktop.controls.shown import clock, day_words, moment_words
from desktop.controls.typed import Box, Typed
from desktop.theme.icons import Icon
from desktop.theme.tokens import Space, Target
from forms.answers import Moment
from forms.reading import read
from forms.trouble import Refused

__all__ = ["DayField", "MomentChip"]

_TIME_ALONE = re.compile(r"\s*\d{1,2}[:.]\d{2}\s*([ap]m)?(\s+(first|second))?\s*", re.IGNORECASE)
_TICK_MS = 10_000


class _Offered(Typed):
    """A typed answer with a chip beside it that offers one value."""

    def _build(self) -> None:
        flow = Flow(self, gap=Space.PAD)
        self.box = Box(ems=21)
        self.box.setPlaceholderText(self._like())
        self.offer = Act("", icon=Icon.CLOCK, target=Target.TOUCH)
        self.offer.clicked.connect(self._take)
        self._tick = QTimer(self)
        self._tick.setInterval(_TICK_MS)
        self._tick.timeout.connect(self._renew)
        flow.addWidget(self.box)
        flow.addWidget(self.offer)
        self._renew()

    def _like(self) -> str:
        raise NotImplementedError

    def _offered(self) -> tuple[str, Any]:
        """What the chip says, and the value it gives."""
        raise NotImplementedError

    def _renew(self) -> None:
        words, _ = self._offered()
        self.offer.say(words)
        self.offer.setAccessibleName(f"{self.name}: {words}")

    def _take(self) -> None:
        self._renew()
        self._give_back()
        self.put(self._offered()[1])
        self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        self._renew()
        self._tick.start()
        super().showEvent(event)


class MomentChip(_Offered):
    """A date and time of day in the place's zone. A time alone is given its day, and shown with its date at once."""

    def _like(self) -> str:
        return "14:02, or 3 Mar 2026 14:02"

    def _offered(self) -> tuple[str, Moment]:
        now = self.binding.now()
        return f"now {clock(now.local())}", now

    def _written(self, value: Moment) -> str:
        return moment_words(value)

    def _read(self, text: str) -> Any:
        if text and _TIME_ALONE.fullmatch(text):
            return self._of_day(text.strip())
        return read(self.ask, text, None, self.binding.zone())

    def _of_day(self, text: str) -> Any:
        """A time alone is today's; asked of what lies behind, a time still to come is yesterday's."""
        today = Moment(self.binding.now().at, self.binding.zone()).local()
        found = read(self.ask, f"{day_words(today)} {text}", None, self.binding.zone())
        if self.ask.lately and found.at > self.binding.now().at:
            return read(self.ask, f"{day_words(today - timedelta(days=1))} {text}", None, self.binding.zone())
        return found

    def _same(self, known: Any) -> bool:
        """Seconds are not typed, so a time that shows alike is the same."""
        try:
            typed = self._read(self.text())
        except Refused:
            return False
        return isinstance(typed, Moment) and isinstance(known, Moment) and moment_words(typed) == moment_words(known)

    def put(self, value: Any) -> None:
        """A time typed again as it shows keeps the seconds it was taken with."""
        known = self.known()
        alike = isinstance(value, Moment) and isinstance(known, Moment) and moment_words(value) == moment_words(known)
        if not alike:
            super().put(value)


class DayField(_Offered):
    """A calendar day."""

    def _like(self) -> str:
        return "3 Mar 2026"

    def _offered(self) -> tuple[str, date]:
        today = self.binding.now().local().date()
        return f"today, {day_words(today)}", today

    def _written(self, value: date) -> str:
        return day_words(value)
