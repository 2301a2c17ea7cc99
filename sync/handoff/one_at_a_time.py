"""The bounds of the PDF library are one for the whole process: whoever needs them otherwise waits for the other.

A stranger's file is opened with low ones, a paper of our own with those the library comes with.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock
from typing import Final

__all__ = ["one_at_a_time"]

_LOCK: Final = Lock()


@contextmanager
def one_at_a_time() -> Iterator[None]:
    """Nobody else of those who ask has the library meanwhile; not to be asked for twice by one who has it."""
    with _LOCK:
        yield
