"""A photo kept with the record (C3 line 18; photo row of C15): its bytes, when, by whom, what it shows, by whose leave.

The picture is kept as it was made clean (`sync.photo`) and known by its SHA-256. Marks on it are entries of their own
(`forms.body_mark`) and are never drawn into it. Whether it may be looked at is not written here: it follows from the
consents as they stand (`forms.photo_leave`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from forms.answers import Given, Moment
from forms.ask import Need, NotCoded, NotPrinted, When, choice, codes, count, line, moment, ref, refs, text, yes_no
from forms.consent import PHOTO_PARTS
from forms.form import About, Form, declared

__all__ = ["OF_THE_FILE", "WITH_SIDES", "Photo"]

HOUSE_BOUND: Final = "house bound, no source"

NEVER_BY_ITSELF: Final[Mapping[str, Any]] = {
    "paper": NotPrinted("a photo leaves the record only when somebody picks it for a paper, and never by itself"),
    "code": NotCoded("told in words beside the picture"),
}
WITH_IT: Final[Mapping[str, Any]] = {**NEVER_BY_ITSELF, "need": Need.WHEN_OPEN, "when": When("picture", answered=True)}
OF_THE_FILE: Final = ("picture", "media", "wide", "tall", "consent")
"""What the program writes itself when a picture is added; nobody types it."""
WITH_SIDES: Final = ("breast", "nipple", "latch")

SIDES = codes(left="Own left", right="Own right", both="Both")


@declared("photo", "Photo", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Photo(Form):
    """One photo of one person at one visit."""

    picture: Given[str] = line("Picture", need=Need.MUST, **NEVER_BY_ITSELF)  # the SHA-256 of its bytes
    media: Given[str] = choice("Kept as", {"jpeg": "JPEG", "png": "PNG, without loss"}, **WITH_IT)
    # A side of at most 65,500 pixels is what JPEG can hold; 50 million in all: house bound, no source.
    wide: Given[int] = count("Pixels across", low=1, high=65_500, source=HOUSE_BOUND, **WITH_IT)
    tall: Given[int] = count("Pixels down", low=1, high=65_500, source=HOUSE_BOUND, **WITH_IT)
    consent: Given[str] = ref("By which consent it was added", ("consent",), **WITH_IT)
    region: Given[str] = choice("What it shows", PHOTO_PARTS, need=Need.MUST, **NEVER_BY_ITSELF)
    side: Given[str] = choice(
        "Which side", SIDES, need=Need.WHEN_OPEN, when=When("region", one_of=WITH_SIDES), help="The person’s own.",
        **NEVER_BY_ITSELF,
    )  # fmt: skip
    also_shows: Given[tuple[str, ...]] = refs(
        "Who else can be seen in it", ("parent", "infant"), help="Each of them needs a consent as well.",
        **NEVER_BY_ITSELF,
    )  # fmt: skip
    recognisable: Given[bool] = yes_no("Somebody can be recognised", need=Need.MUST, **NEVER_BY_ITSELF)
    with_scale: Given[bool] = yes_no("With a scale and a patch of colours", need=Need.MUST, **NEVER_BY_ITSELF)
    taken: Given[Moment] = moment("Taken", need=Need.MUST, lately=True, **NEVER_BY_ITSELF)
    taken_by: Given[str] = line("Taken by", need=Need.MUST, **NEVER_BY_ITSELF)
    words: Given[str] = text(
        "What can be seen, in words", need=Need.MUST, help="Read aloud in place of the picture.", **NEVER_BY_ITSELF
    )  # fmt: skip
