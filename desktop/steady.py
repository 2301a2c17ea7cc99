"""The steady clock of this device: nanoseconds that only go forward, and which start of the machine they count from.

Where there is one, the clock that also counts while the machine sleeps is read. The start is named by a hash, so that
nothing about the machine stands in the record; where the machine does not name its starts, each start of the program
counts as one, and after it the wall clock is looked at once again.
"""

from __future__ import annotations

import secrets
import time
from functools import cache
from hashlib import sha256
from pathlib import Path

from forms.clinical.feed_clock import Reading

__all__ = ["reading"]

_BOOT = Path("/proc/sys/kernel/random/boot_id")
_LONG = 16  # hex digits that are kept: enough to tell two starts apart, and no key to anything


def _nanos() -> int:
    if hasattr(time, "CLOCK_BOOTTIME"):
        return time.clock_gettime_ns(time.CLOCK_BOOTTIME)
    return time.monotonic_ns()


@cache
def _boot() -> str:
    try:
        named = _BOOT.read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError):
        named = ""
    return sha256(f"hearthside feed clock {named or secrets.token_hex(16)}".encode()).hexdigest()[:_LONG]


def reading() -> Reading:
    """The steady clock as it stands now."""
    return Reading(_boot(), _nanos())
