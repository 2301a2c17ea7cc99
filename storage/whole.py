"""A whole record read out into a folder of plain files, and taken in by a new, empty store.

The log and the attachments are the record; the tables beside them follow from it. What is written depends on the record
alone, not on the device or the day, so that what was taken in and is read out again is equal byte by byte.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from datetime import datetime
from types import MappingProxyType
from typing import Final

from sqlalchemy import Connection, select

from storage import whole_in, whole_out
from storage.schema import operation
from storage.whole_folder import Part
from storage.whole_in import Checked, checked
from storage.whole_out import Exported
from storage.writing import Writing

__all__ = ["PURPOSES", "Checked", "Exported", "Whole", "checked"]

PURPOSES: Final[Mapping[str, str]] = MappingProxyType({
    "copy": "A copy for safe keeping", "move": "Moving to another machine or program",
    "care": "Care by whoever reads it", "request": "A request to see the record", "law": "The law asks for it",
    "other": "Something else",
})  # fmt: skip
"""What an export may be for. Codes, not words of her own: the journal they go to never holds a clinical value."""


class Whole:
    """The side of a store through which a whole record goes out and comes in. Made by `Store.whole`."""

    def __init__(
        self,
        reading: Callable[[], AbstractContextManager[Connection]],
        writing: Callable[[], AbstractContextManager[Writing]],
        go_on_as: Callable[[str], None],
    ) -> None:
        self._reading, self._writing, self._go_on_as = reading, writing, go_on_as

    def write(self, part: Part) -> Exported:
        """Writes the whole record. Raises NotExported for a role that may not, DamagedDatabase, and OSError."""
        with self._reading() as c:
            return whole_out.write_everything(c, part)

    def write_person(self, part: Part, person: str, now: datetime) -> Exported:
        """Writes what concerns one person, as it may go to that person. `now` has a zone: consents are looked up by it.

        Raises NotExported for an id that is no person's, DamagedDatabase, and OSError.
        """
        with self._reading() as c:
            return whole_out.write_person(c, part, person, now)

    def of_others(self, device: str) -> bool:
        """Whether the log holds anything that another device than this one wrote."""
        with self._reading() as c:
            return (
                c.execute(select(operation.c.position).where(operation.c.chain != device).limit(1)).first() is not None
            )

    def must_be_empty(self) -> None:
        """Raises NotImported for a store that holds or shares anything."""
        with self._reading() as c:
            whole_in.must_be_empty(c)

    def take(self, found: Checked, by: str) -> None:
        """Takes a whole record in, as one: all of it or nothing. `by`: whom the audit journal names.

        A record that one device wrote and shared with nobody goes on as that device's, so that it can be shared later.
        Raises NotImported, with the store as it was.
        """
        with self._writing() as writing:
            device = whole_in.take(writing, found, by)
        if device:
            self._go_on_as(device)
