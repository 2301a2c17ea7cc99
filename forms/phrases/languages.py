"""The languages a family's plan can be made in, and which of them a parent was said to speak.

Letters that run from right to left are refused: the words of a line came out in the wrong order when it was tried, and
nobody who reads such a language has looked at a page yet.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from forms.phrases.catalogue import Catalogue
from forms.phrases.english import ENGLISH
from forms.phrases.spanish import SPANISH
from forms.trouble import Trouble

__all__ = ["CATALOGUES", "RIGHT_TO_LEFT", "NoCatalogue", "RightToLeft", "catalogue_of", "language_name", "spoken"]

CATALOGUES: Final[Mapping[str, Catalogue]] = MappingProxyType({one.tag: one for one in (ENGLISH, SPANISH)})
"""Every language there is a catalogue of, by its tag."""

RIGHT_TO_LEFT: Final[Mapping[str, str]] = MappingProxyType({
    "ar": "Arabic", "dv": "Dhivehi", "fa": "Persian", "he": "Hebrew", "ps": "Pashto", "ur": "Urdu", "yi": "Yiddish",
})  # fmt: skip
"""Languages written from right to left, by their tag."""

_OTHER_NAMES: Final[Mapping[str, str]] = MappingProxyType({
    "castellano": "es", "castilian": "es", "dari": "fa", "farsi": "fa", "العربية": "ar", "עברית": "he", "فارسی": "fa",
    "اردو": "ur",
})  # fmt: skip


class NoCatalogue(Trouble):
    """A plan was asked for in a language that has no catalogue."""

    template = "No plan can be made in that language yet. Print it in English, and talk it through with an interpreter."


class RightToLeft(Trouble):
    """A plan was asked for in a language that is written from right to left."""

    template = (
        "A plan in {language} cannot be made yet: pages written from right to left have not been tried with somebody "
        "who reads them. Print it in English, and talk it through with an interpreter."
    )


def catalogue_of(tag: str) -> Catalogue:
    """The catalogue of a language by its BCP 47 tag. Raises RightToLeft, or NoCatalogue for any other without one."""
    main = tag.strip().casefold().partition("-")[0]
    if main in RIGHT_TO_LEFT:
        raise RightToLeft(language=RIGHT_TO_LEFT[main])
    if main not in CATALOGUES:
        raise NoCatalogue
    return CATALOGUES[main]


def language_name(tag: str) -> str:
    """A language by its English name; the tag itself for one not known here."""
    return CATALOGUES[tag].english_name if tag in CATALOGUES else RIGHT_TO_LEFT.get(tag, tag)


def spoken(told: str) -> tuple[str, ...]:
    """The tags of the languages named in what was written of a parent: ("es", "en") for "Español, some English".

    A language that is not known here is left out.
    """
    names: dict[str, str] = dict(_OTHER_NAMES)
    for tag, one in CATALOGUES.items():
        names |= dict.fromkeys((tag, one.english_name.casefold(), one.own_name.casefold()), tag)
    for tag, name in RIGHT_TO_LEFT.items():
        names |= dict.fromkeys((tag, name.casefold()), tag)
    words = re.findall(r"[^\W\d_]+", told.casefold())
    return tuple(dict.fromkeys(names[word] for word in words if word in names))
