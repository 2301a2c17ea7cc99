"""What must survive the lock: the page to come back to, and answers that a full disk kept from being written."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # the store is imported only once the passphrase screen stands
    from storage.drafts import Draft

__all__ = ["Held", "Where"]


@dataclass(frozen=True, slots=True)
class Where:
    """A page to go to: by its name, for a family's or a visit's page with their ids."""

    page: str = "caseload"
    family: str = ""
    visit: str = ""


@dataclass(frozen=True, slots=True)
class Held:
    """Answers that a full disk kept from being written, and since when they wait."""

    drafts: tuple[Draft, ...] = ()
    since: datetime | None = None
