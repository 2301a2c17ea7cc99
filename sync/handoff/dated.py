"""The clock that was given dates a file as changed, where pyHanko would ask the machine's."""

from __future__ import annotations

from datetime import datetime
from typing import Any

__all__ = ["dated"]


def dated(writer: Any, moment: datetime) -> Any:
    """The same writer of pyHanko's, so that whatever it writes was changed at `moment`, which is aware.

    The library puts "now" into its own notes just before it writes; these notes take no other time than the given one.
    """
    from pyhanko.pdf_utils.metadata.model import DocumentMetadata

    class ChangedThen(DocumentMetadata):
        @property
        def last_modified(self) -> datetime:
            return moment

        @last_modified.setter
        def last_modified(self, _now: object) -> None:
            """Whatever it says, it is not when the paper was made."""

    writer.document_meta.__class__ = ChangedThen
    return writer
