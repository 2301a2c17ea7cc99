"""What a first launch is for: a record of its own, joining devices that are there, or coming back with the sheet."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Begins", "First"]


class Begins(StrEnum):
    """What a first launch is for."""

    ALONE = ""
    JOIN = "join"
    COME_BACK = "come back"


@dataclass(frozen=True, slots=True, repr=False)
class First:
    """What a first launch hands on: what it was chosen for, and the words of the sheet, made or typed."""

    begins: Begins = Begins.ALONE
    words: str = ""
