"""A paper is written where she chose, with its open record and a page on how to check it: all of it or nothing."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Final

from forms.trouble import Trouble
from sync.handoff.how_to_check import guide_beside, guide_place, is_guide_of
from sync.handoff.inside import beside
from sync.handoff.sign import CarriedUnread

__all__ = ["NotSaved", "SheetNotSaved", "save_paper", "save_sheet"]

_PART: Final = ".{}.part"


class NotSaved(Trouble):
    """A paper could not be written where she chose."""

    template = "The paper was not saved to {path}: {why}. Choose another place; a copy is kept with the record."


class SheetNotSaved(Trouble):
    """A sheet without any answers could not be written where she chose."""

    template = "The sheet was not saved to {path}: {why}. Choose another place."


def save_sheet(path: Path, sheet: bytes) -> None:
    """Writes a sheet that holds no answers to the place she chose; a file of that name is replaced, or stays as it was.

    Raises SheetNotSaved.
    """
    try:
        _all_or_none({path: sheet}, {})
    except OSError as fault:
        raise SheetNotSaved(path=path, why=fault.strerror or "the place cannot be written") from fault


def save_paper(path: Path, paper: bytes, password: str | None = None) -> tuple[Path, ...]:
    """Writes a paper to the place she chose and lays its record and the page for its receiver beside it; their places.

    An older paper of that name is replaced, with what came with it; a file that belongs to no such paper is never
    touched. Beside a locked paper no record is laid; its `password` only helps to write the page for its receiver.
    Raises NotSaved, and then everything is as it was before.
    """
    laid = {**beside(path, paper), **guide_beside(path, paper, password)}
    try:
        older = path.read_bytes() if path.exists() else None
        gone = _of_older(path, older)
        taken = next((one for one in laid if one.exists() and one not in gone), None)
        if taken is not None:
            raise NotSaved(path=path, why=f"{taken.name} is there already")
        # The paper before what lies beside it: wherever this ends, nothing lies there that belongs to no paper.
        _all_or_none({path: paper, **laid}, {one: one.read_bytes() for one in gone})
    except OSError as fault:
        raise NotSaved(path=path, why=fault.strerror or "the place cannot be written") from fault
    return tuple(laid)


def _of_older(path: Path, older: bytes | None) -> set[Path]:
    """The files beside an older paper that are its own: its record, unchanged, and the page about that very file."""
    if older is None:
        return set()
    try:
        own = beside(path, older)
    except CarriedUnread:  # whatever lies there, it is no paper of ours
        own = {}
    known = {one for one, data in own.items() if one.is_file() and one.read_bytes() == data}
    page = guide_place(path)
    return known | ({page} if page.is_file() and is_guide_of(page.read_bytes(), older) else set())


def _all_or_none(files: Mapping[Path, bytes], gone: Mapping[Path, bytes]) -> None:
    """Removes those that are to go and writes every file; on a fault puts back what was there. Raises OSError."""
    parts = {path: path.with_name(_PART.format(path.name)) for path in files}
    before: dict[Path, bytes | None] = {}
    made: list[Path] = []
    try:
        for path, data in files.items():
            _write(parts[path], data)
            made.append(parts[path])
        for path, data in gone.items():
            path.unlink()
            before[path] = data
        for path in files:
            older = path.read_bytes() if path.exists() else None
            parts[path].replace(path)
            before.setdefault(path, older)
    except OSError:
        for part in made:
            with suppress(OSError):
                part.unlink()
        for path, older in before.items():
            with suppress(OSError):
                path.unlink() if older is None else path.write_bytes(older)
        raise


def _write(part: Path, data: bytes) -> None:
    """Writes a file, readable by its owner alone, and waits until the disk has it.

    What lies under that name was left by a program that ended while it saved; nothing else is called so.
    """
    part.unlink(missing_ok=True)
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except OSError:
        with suppress(OSError):
            part.unlink()
        raise
