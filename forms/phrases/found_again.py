"""A ready sentence found again in what was written, with its figures, and said in another language.

Nothing is translated here: an answer is either one of the ready sentences, figure by figure, or it is not.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from functools import cache
from types import MappingProxyType
from typing import Final

from forms.phrases.catalogue import Catalogue
from forms.phrases.english import ENGLISH

__all__ = ["in_other_words", "offered_for"]

_UNIT: Final = r"(?: ?(?:mL|oz|g|min|h|%))?"
_FIGURE: Final = rf"\d[\d.,/]*(?:[–-]\d[\d.,/]*)?{_UNIT}(?: \(\d[\d.,]*{_UNIT}\))?"
"""What fills a blank: a figure, perhaps with a unit and its twin in brackets, "30 mL (1 oz)". It reads the same in all
languages here, so it is carried over character for character."""

_FOR: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType({
    "plan_task.what": ("task.",),
    "plan.expressing": ("care.pump",),
    "plan.comfort_care": ("care.cool", "care.own_milk"),
    "plan.went_well": ("well.",),
    "plan.tried_and_kept": ("task.",),
})  # fmt: skip
"""At which questions for running words ready sentences are offered."""


_NAME: Final = r"[^\W\d][^\d,]*"
_BLANKS: Final[Mapping[str, str]] = MappingProxyType({"who": _NAME, "day": "|".join(ENGLISH.days)})
"""What fills a blank that is no figure: a name, which stays as it is, and a day of the week."""


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    made = []
    for key, kept in ENGLISH.library().items():
        parts = re.split(r"\{(\w+)\}", kept.text.rstrip("."))
        shape = "".join(
            rf"(?P<{part}>{_BLANKS.get(part, _FIGURE)})" if at % 2 else re.escape(part) for at, part in enumerate(parts)
        )
        made.append((key, re.compile(shape + r"\.?", re.IGNORECASE)))
    return tuple(made)


def _day(named: str, catalogue: Catalogue) -> str | None:
    days = [day.casefold() for day in ENGLISH.days]
    return catalogue.days[days.index(named.casefold())] if named.casefold() in days else None


def _one(text: str, catalogue: Catalogue, names: Collection[str]) -> str | None:
    bare = " ".join(text.split())
    for key, pattern in _patterns():
        found = pattern.fullmatch(bare)
        if not found or key not in catalogue.sentences:
            continue
        blanks = found.groupdict()
        if "who" in blanks and blanks["who"].casefold() not in names:
            continue
        if "day" in blanks:
            blanks["day"] = _day(blanks["day"], catalogue)
        told = catalogue.sentences[key].text.format(**blanks)
        return f"{told}." if bare.endswith(".") and not told.endswith(".") else told
    return _day(bare.rstrip("."), catalogue)


def in_other_words(text: str, catalogue: Catalogue, names: Collection[str] = frozenset()) -> str | None:
    """What was written, in the language of a catalogue, if all of it is ready sentences; else None.

    `names` are those that may stand in one as they are, in small letters.
    """
    whole = _one(text, catalogue, names)
    if whole is not None:
        return whole
    parts = [_one(part, catalogue, names) for part in re.split(r"(?<=[.!?])\s+", text.strip())]
    told = [part for part in parts if part is not None]
    return " ".join(told) if len(told) == len(parts) else None


def offered_for(question: str) -> tuple[str, ...]:
    """The ready sentences for a question ("plan_task.what"), in English, each figure a blank to fill."""
    beginnings = _FOR.get(question, ())
    ready = (kept.text for key, kept in ENGLISH.library().items() if beginnings and key.startswith(beginnings))
    return tuple(re.sub(r"\{(\w+)\}", r"[? \1]", text) for text in ready)
