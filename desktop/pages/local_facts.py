"""What follows from the country: numbers, units and paper, offered to be looked at and never guessed later."""

from __future__ import annotations

from PySide6.QtCore import QObject

from desktop.open_chart import OpenChart
from desktop.pages.secret import Told
from forms.practice import LOCAL, Practice, is_zone
from forms.stamp_address import stamp_address

__all__ = ["FollowsCountry", "StampTold", "ZoneTold"]


def _usual(country: object) -> dict[str, str | None]:
    """What is usual in a country; None where nothing is known, so that nothing of another country is left standing."""
    local = LOCAL.get(country) if isinstance(country, str) else None
    return {
        "emergency_number": (local.emergency or None) if local else None,
        "crisis_line": (local.crisis or None) if local else None,
        "weight_unit": local.weight if local else None,
        "volume_unit": local.volume if local else None,
        "temperature_unit": ("F" if country == "us" else "C") if local else None,
        "paper_size": local.paper if local else None,
    }


class FollowsCountry(QObject):
    """While it lives, a change of country offers that country's facts, to be looked at.

    Only in fields that are empty or still hold what the country before offered; what she wrote herself stays.
    """

    def __init__(self, home: OpenChart, zone: str, parent: QObject) -> None:
        """`zone` is the machine's own time zone, offered while none is written."""
        super().__init__(parent)
        self._facts = home.binding(Practice)
        self._country = self._facts.value("country")
        self._zone = zone
        self._facts.changed.connect(self._changed)

    def _changed(self, path: str) -> None:
        country = self._facts.value("country")
        if path != "country" or country == self._country:
            return
        before, self._country = _usual(self._country), country
        for field, value in _usual(country).items():
            if self._facts.value(field) in (None, before[field]) and self._facts.value(field) != value:
                self._facts.put(field, value)
        if self._facts.value("time_zone") is None:
            self._facts.put("time_zone", self._zone)


class ZoneTold(Told):
    """Says when what stands as the time zone is none; the words stay as they were typed."""

    def __init__(self, home: OpenChart) -> None:
        super().__init__()
        self._facts = home.binding(Practice)
        self._facts.changed.connect(self._changed)
        self._changed("time_zone")

    def _changed(self, path: str) -> None:
        if path != "time_zone":
            return
        zone = self._facts.value(path)
        wrong = isinstance(zone, str) and not is_zone(zone)
        self.trouble(
            "No time zone of that name is known; times show in UTC until it reads like Europe/London." if wrong else ""
        )


class StampTold(Told):
    """Says when what stands as the address of a service for time stamps is none; the words stay as they were typed."""

    def __init__(self, home: OpenChart) -> None:
        super().__init__()
        self._facts = home.binding(Practice)
        self._facts.changed.connect(self._changed)
        self._changed("time_stamp_address")

    def _changed(self, path: str) -> None:
        if path != "time_stamp_address":
            return
        typed = self._facts.value(path)
        wrong = isinstance(typed, str) and bool(typed.strip()) and stamp_address(typed) is None
        self.trouble(
            "Papers are sealed without a time stamp until this is a web address: one that begins with https:// or "
            "http://, without a name or password in it."
            if wrong
            else ""
        )
