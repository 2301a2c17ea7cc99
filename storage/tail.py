"""The tail file: proof, outside the database, of how long the log and the journal are.

SQLite takes a damaged frame of its write-ahead log for the end of the log and drops every later commit without a word.
So after each commit, before anything is called saved, the counts and last hashes are written here under a MAC and
flushed. Two records take turns, so that a write torn by a power cut leaves the one before it readable.
"""

from __future__ import annotations

import hmac
import os
import struct
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

from storage.engine import telling
from storage.folder import BINARY, FILE_MODE, flush_folder

__all__ = ["FRESH", "Tail", "TailFile"]

_MAGIC = b"HSTAIL01"
_BODY = struct.Struct(">8sQIBQQ32sQ32sQ")
_SECOND_AT = 4096
_SIZE = _SECOND_AT + 512
_MAC_BYTES = 32


@dataclass(frozen=True, slots=True)
class Tail:
    """Where log and journal ended: counts, last hashes (hex), the clock at that moment, the schema, and a clean end."""

    generation: int
    schema: int
    clean: bool
    operations: int
    answers: int
    last_operation: str
    lines: int
    last_line: str
    millis: int

    def packed(self, key: bytes) -> bytes:
        """The record's bytes, ending in their HMAC-SHA256."""
        body = _BODY.pack(
            _MAGIC,
            self.generation,
            self.schema,
            self.clean,
            self.operations,
            self.answers,
            bytes.fromhex(self.last_operation).rjust(32, b"\0"),
            self.lines,
            bytes.fromhex(self.last_line).rjust(32, b"\0"),
            self.millis,
        )
        return body + hmac.digest(key, body, sha256)

    @classmethod
    def unpacked(cls, data: bytes, key: bytes) -> Tail | None:
        """The record of these bytes, or None when they are damaged."""
        body, mac = data[: _BODY.size], data[_BODY.size : _BODY.size + _MAC_BYTES]
        if len(body) != _BODY.size or not hmac.compare_digest(hmac.digest(key, body, sha256), mac):
            return None
        magic, generation, schema, clean, operations, answers, last, lines, last_line, millis = _BODY.unpack(body)
        if magic != _MAGIC:
            return None
        return cls(generation, schema, bool(clean), operations, answers, _hex(last), lines, _hex(last_line), millis)


FRESH = Tail(0, 0, True, 0, 0, "", 0, "", 0)


def _hex(data: bytes) -> str:
    return "" if data == bytes(32) else data.hex()


class TailFile:
    """The tail file of an open store. `standing` is the newest whole record, `whole` whether both could be read."""

    def __init__(self, path: Path, key: bytes) -> None:
        self._path, self._key = path, key
        data = path.read_bytes() if path.exists() else b""
        both = [Tail.unpacked(data[at:], key) for at in (0, _SECOND_AT)]
        found = [tail for tail in both if tail is not None]
        self.standing: Tail | None = max(found, key=lambda tail: tail.generation, default=None)
        self.whole = len(found) == 2
        self._next = 0 if both[0] is None or self.standing is not both[0] else 1
        self._file: int | None = None

    @classmethod
    def made(cls, path: Path, key: bytes, first: Tail) -> TailFile:
        """A new file holding `first` twice."""
        file = os.open(path, os.O_RDWR | os.O_CREAT | os.O_TRUNC | BINARY, FILE_MODE)
        try:
            packed = first.packed(key)
            data = packed.ljust(_SECOND_AT, b"\0") + replace(first, generation=first.generation + 1).packed(key)
            os.write(file, data.ljust(_SIZE, b"\0"))
            os.fsync(file)
        finally:
            os.close(file)
        flush_folder(path.parent)
        return cls(path, key)

    def put(self, tail: Tail) -> None:
        """Writes the next record over the older of the two and flushes it; raises DiskFull, NoRights or DiskTrouble.

        Where neither could be read, both are written.
        """
        with telling(self._path.parent):
            if self._file is None:
                self._file = os.open(self._path, os.O_RDWR | os.O_CREAT | BINARY, FILE_MODE)
            for _ in range(1 if self.standing is not None else 2):
                self._write(self._file, tail)
            self.whole = True

    def _write(self, file: int, tail: Tail) -> None:
        fresh = replace(tail, generation=self.standing.generation + 1 if self.standing else 1)
        os.lseek(file, _SECOND_AT * self._next, os.SEEK_SET)
        os.write(file, fresh.packed(self._key))
        os.fsync(file)
        self.standing, self._next = fresh, 1 - self._next

    def close(self) -> None:
        """Lets go of the file."""
        if self._file is not None:
            os.close(self._file)
            self._file = None
