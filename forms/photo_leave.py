"""Whether a photo of a person may be taken, kept in view and shown now: as the consents stand, and not as they stood.

A photo is for the record first, so the row that decides is the newest one for that purpose (trade line C15); teaching
and publication are asked for beside it and never follow from it. Anything untouched, disputed or absent that decides
it does not allow it. A photo whose leave is gone is kept and not shown: nothing clinical is deleted without a word.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Final
from zoneinfo import ZoneInfo

from forms.answers import Absent, Conflicted, Moment, every
from forms.ask import ask_of
from forms.chart import Chart, Entry
from forms.consent import PHOTO_PARTS, Consent, consent_for, stands_on
from forms.days import clock, short_day
from forms.photo import Photo

__all__ = ["FOR_RECORD", "Leave", "Standing", "leave", "leave_of", "leave_words", "parts_allowed", "uses_words"]

FOR_RECORD: Final = "photo_record"
_FURTHER: Final = {"photo_teaching": "teaching", "photo_publication": "publication"}


class Standing(StrEnum):
    """How the consent stands."""

    GIVEN = "given"
    NOT_ASKED = "not_asked"
    UNFINISHED = "unfinished"
    UNSETTLED = "unsettled"
    DECLINED = "declined"
    WITHDRAWN = "withdrawn"
    ENDED = "ended"
    NOT_THIS_PART = "not_this_part"
    NOT_RECOGNISABLE = "not_recognisable"


@dataclass(frozen=True, slots=True)
class Leave:
    """What one person's consent says, and the row that says it (None where nobody was asked)."""

    person: str
    standing: Standing
    row: Entry[Consent] | None = None

    @property
    def given(self) -> bool:
        """Whether it certainly is a yes now."""
        return self.standing is Standing.GIVEN


def leave(chart: Chart, person: str, now: datetime, *, part: str = "", recognisable: bool = False) -> Leave:
    """Whether a photo of that person may be taken, kept and shown at a moment.

    `part` is a code of `PHOTO_PARTS`; without one it is enough that any part may be shown. `recognisable`: the photo
    shows who it is. `now` is a time with its zone; days end at midnight in that zone.
    """
    rows = (entry for entry in chart.all(Consent, person) if FOR_RECORD in every(entry.answers.purpose))
    in_order = sorted(rows, key=lambda entry: entry.entered)
    if not in_order:
        return Leave(person, Standing.NOT_ASKED)
    row = in_order[-1]  # of two written at the same moment the one behind
    return Leave(person, _standing(row.answers, now.date(), part=part, recognisable=recognisable), row)


def _standing(row: Consent, today: date, *, part: str, recognisable: bool) -> Standing:
    if every(row.withdrawn_at):
        return Standing.WITHDRAWN
    if "no" in every(row.agreed) or isinstance(row.agreed, Absent):
        return Standing.DECLINED
    deciding = (row.purpose, row.agreed, row.given_at, row.valid_until, row.withdrawn_at, row.regions)
    if any(isinstance(given, Conflicted) for given in deciding):
        return Standing.UNSETTLED
    if not stands_on(row, today):
        return Standing.ENDED if row.agreed is not None and isinstance(row.given_at, Moment) else Standing.UNFINISHED
    if not isinstance(row.regions, tuple) or not row.regions:
        return Standing.UNFINISHED
    if part and part not in row.regions:
        return Standing.NOT_THIS_PART
    if recognisable and row.recognisable is not True:
        return Standing.NOT_RECOGNISABLE
    return Standing.GIVEN


def leave_of(chart: Chart, photo: Entry[Photo], now: datetime) -> Leave:
    """Whether a kept photo may be shown now: the leave of the first person in it who does not certainly agree.

    Everybody seen in it is asked for, and every value of an answer in dispute.
    """
    kept = photo.answers
    people = dict.fromkeys((*photo.place.subjects, *(who for several in every(kept.also_shows) for who in several)))
    found = [
        leave(chart, who, now, part=part, recognisable=True in every(kept.recognisable))
        for who in people
        for part in every(kept.region) or ("",)
    ]
    return next((one for one in found if not one.given), found[0])


def parts_allowed(chart: Chart, person: str, now: datetime) -> tuple[str, ...]:
    """The parts (codes of `PHOTO_PARTS`) of which a photo of that person may be added now."""
    return tuple(part for part in PHOTO_PARTS if leave(chart, person, now, part=part).given)


def uses_words(chart: Chart, photo: Entry[Photo], now: datetime) -> str:
    """What the photo may be used for now: "For the record. Not for teaching, not for publication."."""
    people = (*photo.place.subjects, *(who for several in every(photo.answers.also_shows) for who in several))

    def allowed(purpose: str) -> bool:
        rows = [consent_for(chart, who, purpose, now.date()) for who in people]
        return all(row is not None and _covers(row.answers, photo.answers) for row in rows)

    yes = [words for purpose, words in _FURTHER.items() if allowed(purpose)]
    no = [words for words in _FURTHER.values() if words not in yes]
    said = " and for ".join(("the record", *yes))
    return f"For {said}." + (f" Not for {', not for '.join(no)}." if no else "")


def _covers(row: Consent, photo: Photo) -> bool:
    parts = row.regions if isinstance(row.regions, tuple) else ()
    seen = every(photo.region)
    known = bool(seen) and all(part in parts for part in seen)
    return known and (True not in every(photo.recognisable) or row.recognisable is True)


def leave_words(found: Leave, name: str, zone: str, now: datetime, *, part: str = "") -> str:
    """Why no photo may be added or shown, in a sentence that says how the consent stands; "" where it is given."""
    shown = ask_of(Photo, "region").options.get(part, "this part").lower()
    match found.standing:
        case Standing.GIVEN:
            return ""
        case Standing.NOT_ASKED:
            return f"Nobody has asked yet whether {name} may be photographed for the record."
        case Standing.UNFINISHED:
            return f"{name}’s photo consent is not finished: who agrees, when, and which parts may be shown."
        case Standing.UNSETTLED:
            return f"Two answers stand in {name}’s photo consent. Settle which one holds."
        case Standing.DECLINED:
            return f"Photos of {name} were declined."
        case Standing.WITHDRAWN:
            return f"Consent to photos of {name} withdrawn {_when(found.row, zone, now)}."
        case Standing.ENDED:
            return f"The consent to photos of {name} does not hold today. Ask again."
        case Standing.NOT_THIS_PART:
            return f"{name}’s consent does not cover {shown}."
        case Standing.NOT_RECOGNISABLE:
            return f"{name}’s consent does not cover a photo in which somebody can be recognised."


def _when(row: Entry[Consent] | None, zone: str, now: datetime) -> str:
    """When it was withdrawn, as a time of today or a day before it; the earliest where two times stand."""
    times = sorted(moment.at for moment in every(row.answers.withdrawn_at)) if row is not None else []
    if not times:
        return "already"
    at = times[0].astimezone(ZoneInfo(zone))
    return clock(at) if at.date() == now.astimezone(ZoneInfo(zone)).date() else f"on {short_day(at.date())}"
