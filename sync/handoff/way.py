"""How a paper leaves and what for, as it is asked before it does."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

__all__ = ["FILED", "Way"]


@dataclass(frozen=True, slots=True)
class Way:
    """`how` and `purpose` are codes of PaperIssued, `purpose_words` says what else for; a `password` locks the paper.

    The password is in no text of this object, so that no trace of a fault carries it along.
    """

    how: str = "file"
    purpose: str | None = None
    purpose_words: str | None = None
    password: str | None = field(default=None, repr=False)


FILED: Final = Way()
"""As a plain file, without anybody having been asked what for."""
