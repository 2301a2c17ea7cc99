"""The folder of a whole record: how its files are named, written and proved, and what is refused on the way in.

    README.txt                   what this is, in plain words
    index.json                   version, what is in it, counts, and SHA-256 and length of every other file
    record/operations.jsonl      the log: one operation a line, its own bytes, by device and number
    record/acts.jsonl            acts of membership of the practice's devices: one a line, Base64
    attachments/<SHA-256>.<kind> papers and photos
    tables/*.csv                 the answers as they stand, for other programs

Nothing in it is sealed: that is what it is for. So the folder is readable by its owner alone, is called `.part` until
it is whole, and holds no key but those that acts carry sealed for the practice's devices and its recovery sheet.
"""

from __future__ import annotations

import os
import re
import shutil
import stat
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

import orjson

from forms.trouble import Trouble
from storage.folder import BINARY, DIR_MODE, FILE_MODE, PARTLY, flush_folder
from storage.log import canonical

__all__ = [
    "ACTS", "FORMAT", "INDEX", "OPERATIONS", "README", "TABLES", "VERSION", "WHOLE_DISK", "NotExported",
    "NotImported", "Part", "Proved", "attachment_name", "part_of",
]  # fmt: skip

FORMAT: Final = "hearthside whole record"
VERSION: Final = 1
INDEX: Final = "index.json"
README: Final = "README.txt"
OPERATIONS: Final = "record/operations.jsonl"
ACTS: Final = "record/acts.jsonl"
TABLES: Final = "tables"
WHOLE_DISK: Final = "name a folder, not a whole disk."
"""Why neither an export nor a store goes to the topmost folder of a disk: nothing can be made beside it."""
_ATTACHMENTS: Final = "attachments"
_FOLDERS: Final = ("record", TABLES, _ATTACHMENTS)
_ENDINGS: Final[Mapping[str, str]] = MappingProxyType(
    {"application/pdf": ".pdf", "image/jpeg": ".jpg", "image/png": ".png"}
)
_NAME = re.compile(
    r"README\.txt|(?:record|tables)/[a-z]+\.(?:jsonl|csv)|attachments/[0-9a-f]{64}(?:\.(?:pdf|jpg|png))?"
)

# House bounds, no source: far beyond any practice, and small enough to be read on its machine.
_LARGEST_INDEX: Final = 256 << 20
_LARGEST_FILE: Final = 4 << 30


class NotExported(Trouble):
    """An export could not be made; nothing of it is left."""

    template = "Nothing was exported: {why}"


class NotImported(Trouble):
    """A folder is none that was exported whole, or the store cannot take it in. The store is as it was."""

    template = "Nothing was imported: {why}"


def attachment_name(made: str, kind: str) -> str:
    """The name of an attachment's file, from its SHA-256 and media type."""
    return f"{_ATTACHMENTS}/{made}{_ENDINGS.get(kind, '')}"


class Part:
    """A folder that is being written. Every file is flushed before it counts."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self.files: dict[str, dict[str, Any]] = {}

    def within(self, name: str) -> Part:
        """A folder inside this one, made now, to be written in the same way."""
        inner = self._path / name
        inner.mkdir(mode=DIR_MODE)
        return Part(inner)

    def flush(self) -> None:
        """Flushes the name of every file and folder in it, at every depth; where `close` writes no index."""
        for folder in sorted({self._path, *(one for one in self._path.rglob("*") if one.is_dir())}, reverse=True):
            flush_folder(folder)

    def put(self, name: str, data: bytes) -> None:
        """Writes one file, readable by its owner alone, and remembers its length and SHA-256."""
        with self.writing(name) as write:
            write(data)

    @contextmanager
    def writing(self, name: str) -> Iterator[Any]:
        """The same for a file that comes piece by piece."""
        made, length = sha256(), 0
        path = self._path / name
        try:
            path.parent.mkdir(mode=DIR_MODE, exist_ok=True)
            handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | BINARY, FILE_MODE)
            with os.fdopen(handle, "wb") as file:

                def write(data: bytes) -> None:
                    nonlocal length
                    made.update(data)
                    length += len(data)
                    file.write(data)

                yield write
                file.flush()
                os.fsync(file.fileno())
        except OSError as fault:  # here already: a store being read takes any such fault for one of its own disk
            raise NotExported(why=_fault(self._path, fault)) from fault
        self.files[name] = {"bytes": length, "sha256": made.hexdigest()}

    def close(self, index: Mapping[str, Any]) -> str:
        """Writes the index over all files, flushes every name, and gives the SHA-256 of the index."""
        self.put(INDEX, canonical({**index, "format": FORMAT, "version": VERSION, "files": dict(self.files)}))
        self._close_folders()
        return str(self.files[INDEX]["sha256"])

    def _close_folders(self) -> None:
        for name in _FOLDERS:
            if (self._path / name).is_dir():
                flush_folder(self._path / name)
        flush_folder(self._path)


@contextmanager
def part_of(dest: Path, store: Path) -> Iterator[Part]:
    """A folder beside `dest` to write into; it gets that name when the block ends well, and is gone when it does not.

    `store` is the folder of the record, which must lie apart. Raises NotExported, also for whatever the disk refuses.
    """
    dest = dest.absolute()
    if not dest.name:
        raise NotExported(why=WHOLE_DISK)
    part = dest.with_name(dest.name + PARTLY)
    if dest.exists() or dest.is_symlink():
        raise NotExported(why=f"“{dest}” is there already. Name a folder that is not there yet.")
    if part.exists():
        raise NotExported(why=f"“{part}” is left of an export that broke off. Delete it, then export again.")
    if store.resolve() in (part.resolve(), *part.resolve().parents):
        raise NotExported(why=f"“{dest}” lies in the folder of the store. Name one that lies elsewhere.")
    try:
        dest.parent.mkdir(mode=DIR_MODE, parents=True, exist_ok=True)
        part.mkdir(mode=DIR_MODE)
    except OSError as fault:
        raise NotExported(why=_fault(dest, fault)) from fault
    here = part  # under which name it lies: what was refused after it got its own must not stay either
    try:
        yield Part(part)
        here = part.replace(dest)
        flush_folder(dest.parent)
    except OSError as fault:
        shutil.rmtree(here, ignore_errors=True)
        raise NotExported(why=_fault(dest, fault)) from fault
    except BaseException:
        shutil.rmtree(here, ignore_errors=True)
        raise


def _fault(path: Path, fault: OSError) -> str:
    why = (fault.strerror or "the disk refused").lower()
    return f"“{path}” cannot be written ({why}). Choose another place, or make room."


# --- reading --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Proved:
    """A folder whose index fits its files: none missing, none more, none of another length or with another content."""

    path: Path
    index: Mapping[str, Any]

    @classmethod
    def read(cls, path: Path) -> Proved:
        """Looks every file over. Raises NotImported; reads only."""
        try:
            return cls._read(path)
        except OSError as fault:
            raise _unread(path, fault) from fault

    @classmethod
    def _read(cls, path: Path) -> Proved:
        if not path.is_dir():
            raise NotImported(why=f"“{path}” is no folder. Name the folder that was exported.")
        there = dict(_walked(path))
        if INDEX not in there:
            raise NotImported(why=f"“{path}” holds no {INDEX}. Name the folder that was exported.")
        index = _index(_bytes(path / INDEX, _LARGEST_INDEX))
        told = index["files"]
        for name in sorted({*told, *there} - {INDEX}):
            if name not in there:
                raise NotImported(why=f"the file “{name}” is missing. Copy the whole folder again.")
            if name not in told:
                raise _foreign(name)
            if there[name] != told[name]["bytes"]:
                raise _changed(name)
        found = cls(path, index)
        for name in told:
            for _piece in found.pieces(name):
                pass
        return found

    def pieces(self, name: str) -> Iterator[bytes]:
        """A file in pieces; raises NotImported at its end when it is not the one that the index tells of."""
        made, length = sha256(), 0
        told = self.index["files"][name]
        try:
            with _opened(self.path / name) as file:
                while piece := file.read(1 << 20):
                    length += len(piece)
                    if length > told["bytes"]:
                        break
                    made.update(piece)
                    yield piece
        except OSError as fault:
            raise _unread(self.path, fault) from fault
        if (length, made.hexdigest()) != (told["bytes"], told["sha256"]):
            raise _changed(name)

    def whole(self, name: str) -> bytes:
        """A file at once."""
        return b"".join(self.pieces(name))


def _unread(path: Path, fault: OSError) -> NotImported:
    why = (fault.strerror or "the disk refused").lower()
    return NotImported(why=f"“{path}” cannot be read ({why}). Check its name and the disk.")


def _changed(name: str) -> NotImported:
    return NotImported(why=f"the file “{name}” is not as it was exported. Copy the whole folder again.")


def _foreign(name: str) -> NotImported:
    shown = "".join(one if one.isprintable() else "?" for one in name)
    return NotImported(why=f"“{shown}” does not belong to it. Copy the exported folder again, and nothing else.")


def _walked(path: Path) -> Iterator[tuple[str, int]]:
    """Every file with its length; raises NotImported for whatever is neither a file nor a folder of such an export."""
    for inside in ("", *_FOLDERS):
        folder = path / inside
        if inside and not folder.is_dir():
            continue
        with os.scandir(folder) as found:
            for one in sorted(found, key=lambda entry: entry.name):
                name = f"{inside}/{one.name}" if inside else one.name
                kept = one.stat(follow_symlinks=False)
                if stat.S_ISDIR(kept.st_mode) and not inside and one.name in _FOLDERS:
                    continue
                if not stat.S_ISREG(kept.st_mode):
                    raise _foreign(name)
                yield name, kept.st_size


@contextmanager
def _opened(path: Path) -> Iterator[Any]:
    handle = os.open(path, os.O_RDONLY | BINARY | getattr(os, "O_NOFOLLOW", 0))
    with os.fdopen(handle, "rb") as file:
        yield file


def _bytes(path: Path, most: int) -> bytes:
    with _opened(path) as file:
        data: bytes = file.read(most + 1)
    if len(data) > most:
        raise NotImported(why=f"the file “{path.name}” is larger than any that is exported.")
    return data


def _index(raw: bytes) -> Mapping[str, Any]:
    """The index, in its one way of writing and of the right types. Raises NotImported."""
    damaged = NotImported(why=f"the file “{INDEX}” is damaged. Copy the whole folder again.")
    foreign = NotImported(why=f"its “{INDEX}” is not that of an exported record. Name the folder that was exported.")
    newer = NotImported(why="a newer version of Hearthside exported it. Update the program, then import again.")
    try:
        body = orjson.loads(raw)
        as_written = canonical(body) == raw
    except (ValueError, TypeError):  # JSON reads deeper nests than it writes, with a TypeError
        raise damaged from None
    if not isinstance(body, dict) or body.get("format") != FORMAT:
        raise foreign
    if body.get("version") != VERSION:
        raise newer
    files = body.get("files")
    if not as_written or not isinstance(files, dict) or INDEX in files:
        raise damaged
    for name, told in files.items():
        if _NAME.fullmatch(name) is None or not _told(told):
            raise damaged
        if told["bytes"] > _LARGEST_FILE:
            raise NotImported(why=f"the file “{name}” is larger than any that is exported.")
    return MappingProxyType(body)


def _told(told: object) -> bool:
    if not isinstance(told, dict) or told.keys() != {"bytes", "sha256"}:
        return False
    length, made = told["bytes"], told["sha256"]
    return (
        type(length) is int
        and length >= 0
        and isinstance(made, str)
        and re.fullmatch(r"[0-9a-f]{64}", made) is not None
    )
