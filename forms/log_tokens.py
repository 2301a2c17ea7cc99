"""A typed line of a log cut into numbers, words, quoted words and signs; what stands behind “note” stays as typed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar

from forms.log_vocabulary import PHRASES, UNIT_WORDS, Word
from forms.trouble import Refused

__all__ = ["LONGEST_LINE", "Token", "tokens"]

LONGEST_LINE = 300
"""Characters of one typed line (house bound, no source)."""

_QUOTES = '"“”„«»'
_TOKEN = re.compile(
    rf"[{_QUOTES}](?P<quoted>[^{_QUOTES}]*)[{_QUOTES}]"
    r"|(?P<date>\d{4}-\d{1,2}-\d{1,2})(?!\d)"
    r"|(?P<number>\d+(?:[.:,]\d+)*)"
    r"|(?P<word>[^\W\d_]+(?:[’'][^\W\d_]+)*)"
    r"|(?P<sign>[?+&/\-–—])"
    r"|(?P<other>[^\s,;.])"
)
T = TypeVar("T")
_LONGEST_PHRASE = max(len(phrase) for phrase in (*PHRASES, *UNIT_WORDS))


@dataclass(frozen=True, slots=True)
class Token:
    """One piece of a line: its kind ("number", "date", "quoted", "word", "sign"), as typed, and what a word says.

    `unit` is the unit of a number where one stands behind it. The kind "note" holds all the rest of the line.
    """

    kind: str
    text: str
    word: Word | None = None
    unit: str = ""

    @property
    def plain(self) -> str:
        """The text in small letters."""
        return self.text.casefold()


def tokens(typed: str) -> tuple[Token, ...]:
    """The pieces of a line. Raises Refused for a line too long, a character that is none, or an open quotation."""
    if len(typed) > LONGEST_LINE:
        raise Refused(why=f"A line has at most {LONGEST_LINE} characters. Put longer words into the note of the visit.")
    if any(unicodedata.category(one) in ("Cc", "Cs") and one != "\t" for one in typed):
        raise Refused(why="A broken character from a copied text stands in the line. Delete it and type it again.")
    digits = "".join(str(unicodedata.decimal(one)) if one.isdecimal() else one for one in typed)
    return tuple(_worded(list(_cut(digits, typed))))


def _cut(line: str, typed: str) -> Iterator[Token]:
    at = 0
    while found := _TOKEN.search(line, at):
        kind, at = str(found.lastgroup), found.end()
        if kind == "other":
            why = "Close the quotation mark." if found[0] in _QUOTES else "Take it out, or put it behind “note”."
            raise Refused(why=f"“{found[0]}” says nothing in a line of the log. {why}")
        text = (typed if kind in ("quoted", "word") else line)[found.start(kind) : found.end(kind)]
        word = PHRASES.get((text.casefold(),)) if kind == "word" else None
        if word is not None and word.part == "note":
            rest = typed[at:].removeprefix(":").strip()  # only a colon that is part of "note:" goes
            if not rest:
                raise Refused(why="Nothing stands behind “note”. Type the note, or take the word off.")
            yield Token("note", rest)
            return
        yield Token(kind, text)


def _worded(cut: list[Token]) -> Iterator[Token]:
    """Joins the words of a phrase, and a number with its unit."""
    at = 0
    while at < len(cut):
        token = cut[at]
        if token.kind == "word":
            size, word = _longest(cut, at, PHRASES)
            yield Token("word", " ".join(one.text for one in cut[at : at + size]), word)
            at += size
        elif token.kind == "number":
            size, unit = _longest(cut, at + 1, UNIT_WORDS)
            yield Token("number", token.text, unit=unit or "")
            at += 1 + (size if unit else 0)
        else:
            yield token
            at += 1


def _longest(cut: list[Token], at: int, table: Mapping[tuple[str, ...], T]) -> tuple[int, T | None]:
    """How many tokens from `at` on make the longest phrase of a table, and what it means; (1, None) for none."""
    for size in range(_LONGEST_PHRASE, 0, -1):
        part = cut[at : at + size]
        if len(part) == size and all(one.kind == "word" for one in part):
            found = table.get(tuple(one.plain for one in part))
            if found is not None:
                return size, found
    return 1, None
