"""JSON from a stranger, within bounds: refused quickly, and never more in memory than a multiple of itself.

The standard parser takes NaN, names given twice and halves of characters, and ends the program on deep nesting; here
each is refused. Numbers keep the digits as written.
"""

from __future__ import annotations

import json
import re
from decimal import Decimal
from typing import Any, Final, NoReturn

from sync.handoff.reading.troubles import BadNumber, BadText, BrokenRecord, SaidTwice, TooDeep, TooLarge

__all__ = ["LARGEST", "parsed"]

LARGEST: Final = 5_000_000
"""Bytes of a record: a trial document of a whole visit had 22,000."""
DEEPEST: Final = 64
MOST_PARTS: Final = 200_000
"""Lists and objects; a bound on memory, since an empty one takes two bytes of a file and some sixty of memory."""
LONGEST_NUMBER: Final = 30
LARGEST_EXPONENT: Final = 20

# A string is taken in one piece, even one without an end, so that no file makes this look at anything twice.
_TOKEN: Final = re.compile(rb'"(?:[^"\\]|\\.)*+(?:"|\\?\Z)|[\[\]{}]', re.DOTALL)


def _within_bounds(data: bytes) -> None:
    depth = parts = 0
    for found in _TOKEN.finditer(data):
        token = found[0]
        if token in (b"[", b"{"):
            depth, parts = depth + 1, parts + 1
            if depth > DEEPEST:
                raise TooDeep
            if parts > MOST_PARTS:
                raise TooLarge
        elif token in (b"]", b"}"):
            depth -= 1


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    held = dict(pairs)
    if len(held) != len(pairs):
        raise SaidTwice
    return held


def _whole(digits: str) -> int:
    if len(digits) > LONGEST_NUMBER:
        raise BadNumber
    return int(digits)


def _decimal(digits: str) -> Decimal:
    exponent = re.search(r"[eE]([+-]?\d+)$", digits)
    if len(digits) > LONGEST_NUMBER or (exponent and abs(int(exponent[1])) > LARGEST_EXPONENT):
        raise BadNumber
    return Decimal(digits)


def _no_number(_name: str) -> NoReturn:
    raise BadNumber


def parsed(data: bytes) -> Any:
    """The value that JSON in UTF-8 stands for; decimals as Decimal with their digits, whole numbers as int.

    Raises TooLarge over LARGEST bytes, TooDeep beyond 64 levels, SaidTwice, BadNumber for NaN, Infinity, more than 30
    characters or an exponent beyond 20, BadText for half a character, BrokenRecord for anything that is no JSON.
    """
    if len(data) > LARGEST:
        raise TooLarge
    _within_bounds(data)
    try:
        value = json.loads(
            data.decode("utf-8-sig"), parse_int=_whole, parse_float=_decimal, parse_constant=_no_number,
            object_pairs_hook=_once,
        )  # fmt: skip
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError) as damage:
        raise BrokenRecord from damage
    _can_be_kept(value)
    return value


def _can_be_kept(value: Any) -> None:
    """Raises BadText for a string that has no UTF-8."""
    if isinstance(value, str):
        try:
            value.encode()
        except UnicodeEncodeError as half:
            raise BadText from half
    elif isinstance(value, dict):
        for name, inner in value.items():
            _can_be_kept(name)
            _can_be_kept(inner)
    elif isinstance(value, list):
        for inner in value:
            _can_be_kept(inner)
