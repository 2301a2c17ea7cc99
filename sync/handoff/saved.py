"""A paper is written where she chose, with its open record beside it: all of it or nothing."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Final

from forms.trouble import Trouble
from sync.handoff.inside import beside

__all__ = ["NotSaved", "save_paper"]

_PART: Final = ".{}.part"


class NotSaved(Trouble):
    """A paper could not be written where she chose."""

    template = "The paper was not saved to {path}: {why}. Choose another place; a copy is kept with the record."


def save_paper(path: Path, paper: bytes) -> tuple[Path, ...]:
    """Writes a paper to the place she chose and lays its record beside it; the places of what lies beside.

    An older paper of that name is replaced, with the record that came with it; a file that belongs to no such paper
    is never touched. Raises NotSaved, and then everything is as it was before.
    """
    laid = beside(path, paper)
    try:
        older = path.read_bytes() if path.exists() else None
        gone = _of_older(path, older) - laid.keys()
        taken = next((one for one in laid if one.exists() and one not in _of_older(path, older)), None)
        if taken is not None:
            raise NotSaved(path=path, why=f"{taken.name} is there already")
        _all_or_none({**laid, path: paper}, {one: one.read_bytes() for one in gone})
    except OSError as fault:
        raise NotSaved(path=path, why=fault.strerror or "the place cannot be written") from fault
    return tuple(laid)


def _of_older(path: Path, older: bytes | None) -> set[Path]:
    """The files beside an older paper that are its own record, unchanged."""
    known = beside(path, older) if older is not None else {}
    return {one for one, data in known.items() if one.is_file() and one.read_bytes() == data}


def _all_or_none(files: Mapping[Path, bytes], gone: Mapping[Path, bytes]) -> None:
    """Writes every file and removes those that are to go; on a fault puts back what was there. Raises OSError."""
    parts = {path: path.with_name(_PART.format(path.name)) for path in files}
    before: dict[Path, bytes | None] = {}
    made: list[Path] = []
    try:
        for path, data in files.items():
            _write(parts[path], data)
            made.append(parts[path])
        for path in files:
            older = path.read_bytes() if path.exists() else None
            parts[path].replace(path)
            before[path] = older
        for path, older in gone.items():
            path.unlink()
            before[path] = older
    except OSError:
        for part in made:
            with suppress(OSError):
                part.unlink()
        for path, older in before.items():
            with suppress(OSError):
                path.unlink() if older is None else path.write_bytes(older)
        raise


def _write(part: Path, data: bytes) -> None:
    """Writes a file that was not there, readable by its owner alone, and waits until the disk has it."""
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
