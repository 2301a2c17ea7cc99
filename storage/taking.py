"""Answers taken from what another practice handed over: how the log says from where, and reading it back.

The reason of an operation names the file, the entry in it, who wrote it and when, as `carrying` does for an answer
brought forward. So the source goes with the operation wherever it goes, and ends with the first that replaces it.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import Final

__all__ = ["TakenFrom", "taken_from"]

_LEAD: Final = "Taken from the file "
_KEPT: Final = re.compile(re.escape(_LEAD) + r"([0-9a-f]{64}) (\[.*\])", re.DOTALL)


@dataclass(frozen=True, slots=True)
class TakenFrom:
    """Where an answer was taken from: the SHA-256 of the file, the entry in it, and the author and time given there."""

    file: str
    entry: str
    author: str
    at: str

    def reason(self) -> str:
        """The reason of an operation that takes the answer."""
        return _LEAD + self.file + " " + json.dumps([self.entry, self.author, self.at], ensure_ascii=False)

    @property
    def words(self) -> str:
        """The same for a person to read: "taken from a file of Wren Alder, 2026-11-06"."""
        return ", ".join(filter(None, (f"taken from a file of {self.author or 'somebody it does not name'}", self.at)))


def taken_from(reason: str) -> TakenFrom | None:
    """Where an operation with this reason took its answer from; None for one that did not."""
    found = _KEPT.fullmatch(reason)
    if found is None:
        return None
    try:
        parts = json.loads(found[2])
    except ValueError:
        return None
    told = parts if isinstance(parts, list) and len(parts) == 3 and all(isinstance(one, str) for one in parts) else None
    return TakenFrom(found[1], *told) if told is not None else None
