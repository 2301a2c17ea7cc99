"""The log as lines of a file, and back: every line looked at before anything is written.

A line is an operation's own bytes, so that its hash is worked out from the file alone. One whose bytes hold a line
break, as no version of this program writes them, stands as a JSON text inside `{"bytes": ...}`.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import datetime
from itertools import pairwise
from typing import Any, Final

import orjson

from storage.log import OP_VERSION, Operation, canonical
from storage.whole_folder import NotImported

__all__ = ["Links", "gaps", "line_of", "one_device", "read_lines"]

_FIELDS: Final = frozenset({
    "v", "entity", "field", "value", "parents", "author", "chain", "seq", "prev", "hlc", "wall", "reason",
})  # fmt: skip
_ID: Final = re.compile(r"[0-9a-f]{32}")
_HASH: Final = re.compile(r"[0-9a-f]{64}")
_FIELD: Final = re.compile(r"@?[^@\s]+(?:@left|@right)?")
_MOST: Final = 1 << 53
_LAST_INSTANT: Final = 253_402_300_799_999  # the end of the year 9999 in milliseconds since 1970


def line_of(one: Operation) -> bytes:
    """An operation as it stands in the file, with the line's end."""
    if _broken_in_two(one.raw):
        return canonical({"bytes": one.raw.decode()}) + b"\n"
    return one.raw + b"\n"


def _broken_in_two(raw: bytes) -> bool:
    return b"\n" in raw or b"\r" in raw


def read_lines(data: bytes, orphans: Collection[str]) -> tuple[Operation, ...]:
    """The operations of a file. Raises NotImported unless each is one, stands once, in order, and follows another.

    `orphans`: those that are told to follow one that was not there.
    """
    if data and not data.endswith(b"\n"):
        raise _broken(data.count(b"\n") + 1)
    found = tuple(_read(number, line) for number, line in enumerate(data.split(b"\n")[:-1], start=1))
    order = [(one.chain, one.seq, one.hash) for one in found]
    for number, (before, after) in enumerate(pairwise(order), start=2):
        if before == after:
            raise NotImported(why=f"the log holds one operation twice, in line {number}. Export the record again.")
        if before > after:
            raise _broken(number)
    links = Links()
    for one in found:
        if (one.seq == 1) != (one.prev == "") or (not links.add(one) and one.hash not in orphans):
            raise _torn(one)
    return found


class Links:
    """Which operations, given by device and number, follow one that was given.

    One that does not has a predecessor that is missing; or its device was copied, and its branch is here in part.
    """

    def __init__(self) -> None:
        self._here: dict[tuple[str, int], set[str]] = {}
        self.orphans: list[str] = []

    def add(self, one: Operation) -> bool:
        """One more; whether it follows one that is here, or is the first."""
        self._here.setdefault((one.chain, one.seq), set()).add(one.hash)
        follows = one.seq == 1 or one.prev in self._here.get((one.chain, one.seq - 1), ())
        if not follows:
            self.orphans.append(one.hash)
        return follows


def _broken(number: int) -> NotImported:
    return NotImported(why=f"line {number} of the log is no operation in its place. Export the record again.")


def _read(number: int, line: bytes) -> Operation:
    try:
        body: Any = orjson.loads(line)
        if isinstance(body, dict) and body.keys() == {"bytes"}:
            if line != canonical(body) or not _broken_in_two(line := body["bytes"].encode()):
                raise _broken(number)
            body = orjson.loads(line)
        one = Operation.read(line)
        whole = body.keys() >= _FIELDS and _typed(body) and _valued(one)
    except (ValueError, KeyError, TypeError, AttributeError, IndexError):
        whole = False
    if not whole:
        raise _broken(number)
    return one


def _typed(body: Mapping[str, Any]) -> bool:
    """Whether every part but the value is of its type and within its bounds."""
    clock, parents = body["hlc"], body["parents"]
    return (
        type(body["v"]) is int
        and (body["v"] > OP_VERSION or (body["v"] == OP_VERSION and body.keys() == _FIELDS))
        and all(isinstance(body[name], str) for name in ("author", "reason"))
        and all(_ID.fullmatch(body[name]) is not None for name in ("entity", "chain"))
        and _FIELD.fullmatch(body["field"]) is not None
        and isinstance(parents, list)
        and all(_HASH.fullmatch(one) is not None for one in parents)
        and parents == sorted(set(parents))
        and type(body["seq"]) is int
        and 1 <= body["seq"] < _MOST
        and (body["prev"] == "" or _HASH.fullmatch(body["prev"]) is not None)
        and isinstance(clock, list)
        and [type(part) for part in clock] == [int, int]
        and 0 <= clock[0] <= _LAST_INSTANT
        and 0 <= clock[1] < _MOST
        and datetime.fromisoformat(body["wall"]).tzinfo is not None
    )


def _valued(one: Operation) -> bool:
    """Whether a value of the store's own registers is of the build that reading the record rests on.

    Any other only has to be one that can be written again: JSON reads deeper nests than it writes, with a TypeError.
    """
    value = one.value
    canonical(value)
    match one.field:
        case "@place":
            return (
                isinstance(value, dict)
                and value.keys() == {"form", "family", "visit", "subjects"}
                and isinstance(value["form"], str)
                and all(value[name] is None or _ID.fullmatch(value[name]) for name in ("family", "visit"))
                and isinstance(value["subjects"], list)
                and all(_ID.fullmatch(person) is not None for person in value["subjects"])
            )
        case "@struck":
            return value is None or (isinstance(value, dict) and isinstance(value["reason"], str))
        case "@signed":
            return (
                isinstance(value, dict)
                and isinstance(value["digest"], str)
                and _all(value["notes"], str)
                and _all(value["seen"], int)
                and _all(value.get("at", {}), list)
                and _all(value.get("beyond", {}), list)
            )
    return True


def _all(kept: object, kind: type) -> bool:
    return isinstance(kept, dict) and all(isinstance(part, kind) for part in kept.values())


def _torn(one: Operation) -> NotImported:
    return NotImported(
        why=f"the log of the device {one.chain[:8]} is broken at its operation {one.seq}. Export the record again."
    )


def gaps(chains: Mapping[str, Iterable[int]]) -> dict[str, list[list[int]]]:
    """The numbers up to the last that are not here, by device, as first and last of each stretch."""
    found = {chain: list(_stretches(sorted(numbers))) for chain, numbers in sorted(chains.items())}
    return {chain: missing for chain, missing in found.items() if missing}


def _stretches(numbers: list[int]) -> Iterator[list[int]]:
    last = 0
    for number in numbers:
        if number > last + 1:
            yield [last + 1, number - 1]
        last = number


def one_device(found: Iterable[Operation]) -> str:
    """The device that wrote all of it, number by number; "" where there are several, or one whose log has a hole."""
    chain, last = "", 0
    for one in found:
        if (chain and one.chain != chain) or one.seq != last + 1:
            return ""
        chain, last = one.chain, one.seq
    return chain
