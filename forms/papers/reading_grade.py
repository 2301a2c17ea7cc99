"""How hard a family's paper is to read: one figure, and its three hardest sentences. A target for whoever writes it.

English: Flesch-Kincaid grade, 0.39 x words a sentence + 11.8 x syllables a word - 15.59 (M); at or below grade 6
(S:AFP). Spanish: Szigriszt-Pazos, 206.835 - 62.3 x syllables a word - words a sentence (M), higher is easier; 65 and
more is "fairly easy" on the scale that goes with it (M). Syllables are counted by simple rules, so that a figure may be
some tenths off; nothing is ever held back for it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from forms.papers.outline import Alarm, CallBox, Foot, Lines, Outline, Paragraph, Task, Words
from forms.units import decimal

__all__ = ["Grade", "grade_of", "grade_of_text", "syllables"]

_HARDEST: Final = 3
_EASY_ENGLISH: Final = 6
_EASY_SPANISH: Final = 65

_WORD: Final = re.compile(r"[^\W\d_]+(?:[’'-][^\W\d_]+)*|\d[\d.,:/–-]*")
_ENGLISH_NUCLEUS: Final = re.compile(r"[aeiouy]+")
_SPANISH_NUCLEUS: Final = re.compile(
    r"[iuü]?[aeoáéó][iuyü]?(?![aeoáéóíú])|[iuü]?[aeoáéó]|[iuü][iuü]|[íú]|[iuüy]"
)  # two strong vowels, and a strong beside an accented weak one, are two syllables
_SILENT_U: Final = re.compile(r"(?<=[gq])u(?=[eiéí])")
_END: Final = re.compile(r"(?<=[.!?…])\s+|(?<=[.!?…][”’\"])\s+")
_TELLING: Final = 4
"""Words from which on a sentence can be one of the hardest; below it is a label."""


@dataclass(frozen=True, slots=True)
class Grade:
    """The figure of a whole paper, whether it is within the target, both in words, and its hardest sentences.

    The figure is of the whole paper; `hardest` looks only at what can be written in other words, since the lines on
    when to call stay as they are.
    """

    value: Fraction
    easy: bool
    told: str
    hardest: tuple[str, ...]


def _english(word: str) -> int:
    bare = word.casefold()
    if bare.endswith("e") and not bare.endswith(("le", "ee")):
        bare = bare[:-1]
    elif bare.endswith("ed") and not bare.endswith(("ted", "ded")):
        bare = bare[:-2]
    return max(len(_ENGLISH_NUCLEUS.findall(bare)), 1)


def _spanish(word: str) -> int:
    return max(len(_SPANISH_NUCLEUS.findall(_SILENT_U.sub("", word.casefold()))), 1)


_COUNTED: Final[Mapping[str, Callable[[str], int]]] = MappingProxyType({"en": _english, "es": _spanish})


def syllables(word: str, language: str) -> int:
    """Syllables of one word by a simple rule; a figure counts as one."""
    return 1 if word[0].isdigit() else _COUNTED[language](word)


def _sentences(text: str) -> list[str]:
    return [part.strip() for part in _END.split(text) if part and _WORD.search(part)]


def _figure(parts: list[str], language: str) -> Fraction:
    words = [word for part in parts for word in _WORD.findall(part)]
    a_word = Fraction(sum(syllables(word, language) for word in words), len(words))
    a_sentence = Fraction(len(words), len(parts))
    if language == "es":
        return Fraction("206.835") - Fraction("62.3") * a_word - a_sentence
    return Fraction("0.39") * a_sentence + Fraction("11.8") * a_word - Fraction("15.59")


def grade_of_text(text: str, language: str) -> Fraction:
    """The figure of some sentences; for Spanish higher is easier. Raises ValueError where there is not one word."""
    parts = _sentences(text)
    if not parts:
        raise ValueError("no words to read")
    return _figure(parts, language)


def _running(outline: Outline) -> Iterator[str]:
    """The words a family reads as sentences; names, tables, headings and who wrote it are left out."""
    yield from _changeable(outline)
    for block in outline.blocks:
        match block:
            case Alarm():
                yield from (block.act, *map(_told, block.seen))
            case CallBox():
                yield from map(_told, block.entries)
            case Foot():
                yield block.scope.text


def _changeable(outline: Outline) -> Iterator[str]:
    """Of these, the parts that whoever writes the plan can put in other words."""
    for block in outline.blocks:
        match block:
            case Paragraph() | Task():
                yield _told(block.words)
            case Lines():
                yield from map(_told, block.lines)


def _told(words: Words) -> str:
    return "".join(span.text for span in words)


def _parts(texts: Iterable[str]) -> list[str]:
    return [one for text in texts for line in text.split("\n") for one in _sentences(line)]


def grade_of(outline: Outline) -> Grade | None:
    """How hard a paper is; None for a language that has no formula here, and for a paper without sentences."""
    if outline.language not in _COUNTED:
        return None
    parts = _parts(_running(outline))
    if not parts:
        return None
    spanish = outline.language == "es"
    value = _figure(parts, outline.language)
    long = [one for one in dict.fromkeys(_parts(_changeable(outline))) if len(_WORD.findall(one)) >= _TELLING]
    hard = sorted(long, key=lambda one: _figure([one], outline.language), reverse=not spanish)
    if spanish:
        told = f"Reading ease in Spanish {decimal(value, 0)}, where 65 or more is easy"
    else:
        told = f"Reading grade {decimal(value, 1)}, where grade 6 or below is the aim"
    easy = value >= _EASY_SPANISH if spanish else value <= _EASY_ENGLISH
    return Grade(value, easy, told, tuple(hard[:_HARDEST]))
