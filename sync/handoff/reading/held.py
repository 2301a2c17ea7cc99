"""What a hand-over holds once it is read: facts on offer, the people they are about, and all that stays as it came."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Given
from forms.ask import Path
from forms.form import Form

__all__ = ["HandOver", "Offer", "Person", "Sender", "Standing", "Unread"]


class Standing(StrEnum):
    """What can be said of who sent a file and whether it is as it was sent."""

    KNOWN = "known"
    STRANGER = "stranger"
    EXPIRED = "expired"
    CHANGED = "changed"
    UNSIGNED = "unsigned"
    SHEET = "sheet"  # a sheet of ours that a family filled in


_WORDS: Final[Mapping[Standing, str]] = MappingProxyType({
    Standing.KNOWN: "Unchanged since it was sealed, and the sender is known here.",
    Standing.STRANGER: (
        "Unchanged since it was sealed, but the sender is not known here. Compare the fingerprint by phone before "
        "you rely on the name."
    ),
    Standing.EXPIRED: (
        "The sender’s certificate did not hold when this was sealed. Ask the sender for it again before you take "
        "anything from it."
    ),
    Standing.CHANGED: (
        "Changed since it was sealed. Nothing can be taken from it; ask the sender for it again."
    ),
    Standing.UNSIGNED: "Nobody signed this file, so nothing shows who wrote it or whether it was changed.",
    Standing.SHEET: (
        "By its questions this is the family’s sheet for before the visit. It is not sealed, so nothing shows who "
        "filled it in. Go through it with the family."
    ),
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sender:
    """Who sealed a file and how far that holds; `root` is the SHA-256 fingerprint to compare aloud."""

    standing: Standing
    who: str = ""
    at: datetime | None = None
    root: str = ""

    @property
    def words(self) -> str:
        """What it means, in a sentence or two."""
        return _WORDS[self.standing]

    @property
    def can_be_taken_from(self) -> bool:
        """Whether facts of the file may go into a chart: not out of one that is not what was sealed."""
        return self.standing not in (Standing.CHANGED, Standing.EXPIRED)


@dataclass(frozen=True, slots=True)
class Person:
    """A Patient of the file. Who this is among the people here is asked, never taken by name.

    `form` says whether it is a parent or a baby, where the file itself does.
    """

    id: str
    names: tuple[str, ...]
    born: str
    sex: str
    form: type[Form] | None = None


@dataclass(frozen=True, slots=True)
class Offer:
    """One fact of the file and what it would become.

    `entry` is the resource it comes from, `person` the id of its Patient ("" if none). `form` and `path` say which
    question it answers, None where no question of this version asks it. `value` is the answer, None where the file's
    words are not one. `words` are the file's own, `at` its time with the precision the file has. `also` are answers
    that go with it. `doubts` warn. `only_shown` says why it stands as no answer; what is `barred` as well is not even
    kept in its own words. `unit` is the file's own unit, the end of its words. `for_visit`: the family told it for the
    visit that is open here, so any question of the history may take it.
    """

    id: str
    entry: str
    person: str
    form: type[Form] | None
    path: Path | None
    value: Given[Any]
    label: str
    words: str
    at: str = ""
    author: str = ""
    points: tuple[str, ...] = ()
    also: tuple[tuple[Path, Any], ...] = ()
    doubts: tuple[str, ...] = ()
    only_shown: str = ""
    barred: bool = False
    unit: str = ""
    for_visit: bool = False

    @property
    def is_answer(self) -> bool:
        """Whether it can stand as an answer of ours."""
        return not self.only_shown and self.form is not None and self.path is not None and self.value is not None


@dataclass(frozen=True, slots=True)
class Unread:
    """A resource nothing is offered from: its kind, id, why, and its narrative as plain text."""

    kind: str
    id: str
    why: str
    words: str


@dataclass(frozen=True, slots=True)
class HandOver:
    """A file as it was read. `sha256` is that of the whole file; `text` is what is shown of a file kept unread."""

    sha256: str
    media: str
    sender: Sender
    title: str = ""
    at: str = ""
    author: str = ""
    people: tuple[Person, ...] = ()
    offers: tuple[Offer, ...] = ()
    unread: tuple[Unread, ...] = ()
    text: str = ""

    def about(self, person: str) -> tuple[Offer, ...]:
        """What is said of one of its people."""
        return tuple(one for one in self.offers if one.person == person)
