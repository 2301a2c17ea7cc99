"""The web address of a service that stamps papers with a time, read strictly; a practice may leave it empty."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlsplit

from forms.chart import Chart
from forms.practice import Practice

__all__ = ["StampAddress", "stamp_address", "stamp_address_of"]

LONGEST: Final = 300
"""Characters of an address; house bound, no source."""
_WEB: Final = re.compile(r"[\x21-\x7e]+")
_PORTS: Final = {"http": 80, "https": 443}


@dataclass(frozen=True, slots=True)
class StampAddress:
    """Where a service is asked: over TLS or not, at which host and port, and what for."""

    secure: bool
    host: str
    port: int
    path: str


def stamp_address(typed: str) -> StampAddress | None:
    """The parts of an address; None for one that cannot be used. Plain HTTP can: a stamp is signed, and tells a hash.

    Names, passwords and other kinds of address are not taken.
    """
    typed = typed.strip()
    try:
        parts = urlsplit(typed)
        host, port = parts.hostname, parts.port
    except ValueError:
        return None
    scheme = parts.scheme.lower()
    if not _WEB.fullmatch(typed) or len(typed) > LONGEST or scheme not in _PORTS or not host or port == 0:
        return None
    if "@" in parts.netloc or parts.fragment:
        return None
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    return StampAddress(scheme == "https", host, port or _PORTS[scheme], path)


def stamp_address_of(chart: Chart) -> str:
    """What the practice set as the address, "" where nothing is to be asked: nothing typed, or two answers."""
    typed = chart.one(Practice).time_stamp_address
    return typed.strip() if isinstance(typed, str) else ""
