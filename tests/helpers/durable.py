"""The steps of a process after which something lasts: each is told just before it is done.

    with watching(step):
        ...

The real call is made after the telling. A step is a commit that changed the database, what follows it, a move of its
write-ahead log, a copy of it, the flush of a file, a rename, a new folder, or a name put at a place.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

import obstore
from sqlalchemy.engine.default import DefaultDialect

from storage.engine import Database

__all__ = ["Step", "watching"]

Step = Callable[[str], None]
"""Is told "commit", "committed", "flush record.tail", "put h/..." and so on."""

_FOLLOWED = "commit"  # between a commit and the proof of it lies a moment of its own; other steps meet


def _of_handle(handle: int) -> str:
    if stat.S_ISDIR(os.fstat(handle).st_mode):
        return ""
    link = Path(f"/proc/self/fd/{handle}")
    return f"flush {link.readlink().name}" if link.exists() else "flush"


def _of_statement(_database: Database, statement: str) -> str:
    lasting = "VACUUM" in statement or "wal_checkpoint" in statement
    return statement.split("'", maxsplit=1)[0].strip() if lasting else ""


def _of_put(_store: object, name: str, *_data: object, **_more: object) -> str:
    return f"put {name}"


def _commits() -> Callable[..., str]:
    changes: dict[int, int] = {}

    def commit(_dialect: object, connection: Any) -> str:
        driver = getattr(connection, "driver_connection", connection)
        before, now = changes.get(id(driver), 0), int(driver.total_changes)
        changes[id(driver)] = now
        return _FOLLOWED if now != before else ""

    return commit


def _watched(real: Callable[..., Any], words: Callable[..., str], step: Step) -> Callable[..., Any]:
    def call(*args: Any, **more: Any) -> Any:
        name = words(*args, **more)
        if name:
            step(name)
        done = real(*args, **more)
        if name == _FOLLOWED:
            step("committed")
        return done

    return call


@contextmanager
def watching(step: Step) -> Iterator[None]:
    """While it lasts, `step` is told of each step. What it raises or does to the process happens there."""
    lasting: tuple[tuple[Any, str, Callable[..., str]], ...] = (
        (os, "fsync", _of_handle),
        (os, "replace", lambda old, new: f"rename {Path(old).name} to {Path(new).name}"),
        (os, "mkdir", lambda path, *_more: f"folder {Path(path).name}"),
        (DefaultDialect, "do_commit", _commits()),
        (Database, "pragma", _of_statement),
        (obstore, "put", _of_put),
    )
    with ExitStack() as back:
        for owner, name, words in lasting:
            back.enter_context(patch.object(owner, name, _watched(getattr(owner, name), words, step)))
        yield
