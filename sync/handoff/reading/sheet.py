"""A sheet for before the visit that came back filled in: each answered question as a fact on offer.

It is known by its questions alone. No mark in the file is asked, since anybody could put one there, and the sheet
carries nothing that says which family it was made for: whom it is about is asked of whoever opens it. What was typed
is read as if it were typed in the window; what cannot be read so is offered in its own words and stands as no answer.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from types import MappingProxyType
from typing import Any, Final
from zoneinfo import ZoneInfo

from forms.answers import Moment, Quantity
from forms.ask import Kind, Path
from forms.infant_history import InfantHistory
from forms.papers.intake import PARTS, Asked, asked
from forms.papers.said import day_words
from forms.people import InfantIdentity, ParentIdentity
from forms.reading import read
from forms.trouble import Refused
from sync.handoff.reading.elsewhere import in_the_future, unusual_birth_weight
from sync.handoff.reading.fields import Filled, Filling
from sync.handoff.reading.held import HandOver, Offer, Person, Sender, Standing, Unread

__all__ = ["is_sheet", "received_on", "sheet_read"]

_TITLE: Final = "Sheet for before the visit"
_YES: Final = frozenset({"yes", "on"})
_LONGEST_NAME: Final = 100
"""Characters of a name that are told above its answers; the answer itself has all of them."""
_TURNED: Final = "\N{RIGHT-TO-LEFT OVERRIDE}"
_PARENT, _BABY = "parent", "baby"
_BABY_FORMS: Final = (InfantIdentity, InfantHistory)
_NO_QUESTION: Final = "It is no question of this sheet."
_NOT_READ: Final = "It is no answer as it stands."
_HIDDEN: Final = "It holds a character that does not show; ask the family what they meant."
_SEVERAL: Final = "The sheet gives more than one answer here. Ask which of them holds."
_STRANGE_MARK: Final = "It is marked in a way that is not known here. Ask the family what they meant."
_FALSE_DAY: Final = "This lies after today. Ask the family about it."
_LEFT_ALONE: Final[Mapping[str, tuple[str, str]]] = MappingProxyType({
    "second_form": (
        "A second form (XFA)", "It was left alone; an answer that stands only there is not offered here.",
    ),
    "script": ("A script", "It was not run."),
    "signature": ("A signature", "It was not looked at, and says nothing here of who filled in the sheet."),
})  # fmt: skip


def _places() -> Mapping[str, Asked]:
    return {one.key: one for part in PARTS for one in asked(part)}


def _question(name: str, places: Mapping[str, Asked]) -> tuple[Asked, str] | None:
    """The question a field belongs to, and the code it marks; None for no question of the sheet."""
    key, _, code = name.partition(":")
    one = places.get(key)
    return None if one is None or (code and one.ask.kind is not Kind.MANY) else (one, code)


def is_sheet(filling: Filling) -> bool:
    """Whether most of the questions of the sheet have their field here, answered or not."""
    places = _places()
    found = {question[0].key for one in filling.fields if (question := _question(one.name, places)) is not None}
    return 2 * len(found) > len(places)


def sheet_read(filling: Filling, *, sha256: str, zone: str, now: datetime) -> HandOver:
    """What a sheet says of one parent and one baby; `now` is when it is read, and counts as when it came."""
    places, today = _places(), now.astimezone(ZoneInfo(zone)).date()
    by_question: dict[str, list[tuple[str, Filled]]] = {}
    unread = [
        Unread("On the sheet", named, why, "") for part, (named, why) in _LEFT_ALONE.items() if getattr(filling, part)
    ]
    for field in filling.fields:
        question = _question(field.name, places)
        if question is None:
            unread.append(Unread("Field", _plain(field.name), _NO_QUESTION, _plain(", ".join(field.values))))
        else:
            by_question.setdefault(question[0].key, []).append((question[1], field))
    offers = tuple(
        offer for key, one in places.items()
        if key in by_question and (offer := _offer(one, by_question[key], zone, today)) is not None
    )  # fmt: skip
    made = HandOver(
        sha256, "application/pdf", Sender(Standing.SHEET), _TITLE, people=tuple(_people(offers)), offers=offers,
        unread=tuple(unread),
    )  # fmt: skip
    return received_on(made, today)


def received_on(found: HandOver, day: date) -> HandOver:
    """The same with the day on which the sheet came; any other hand-over says itself when it was written."""
    if found.sender.standing is not Standing.SHEET:
        return found
    return replace(found, author=f"the family, on the sheet received {day_words(day)}")


def _plain(words: str) -> str:
    """Words that can be shown: a character that does not show is told by the mark for one."""
    return "".join("\N{REPLACEMENT CHARACTER}" if _hidden(one) else one for one in words)


def _hidden(letter: str) -> bool:
    return letter == _TURNED or (letter not in "\n\t" and unicodedata.category(letter) in ("Cc", "Cs"))


@dataclass(frozen=True, slots=True)
class _Told:
    """What the fields of one question say: what to read as typed or chosen, its words, why it is no answer."""

    typed: str | tuple[str, ...]
    words: str
    why: str = ""


def _chosen(one: Asked, fields: Sequence[tuple[str, Filled]]) -> _Told | None:
    """The marks of a question that takes several."""
    marked: dict[str, str] = {}
    for code, field in fields:
        for value in field.values:
            if not code:
                marked[value] = ""
            elif value.casefold() in _YES or value in field.states or value == code:
                marked.setdefault(code, "")
            else:
                marked[f"{code}: {value}"] = _STRANGE_MARK
    if not marked:
        return None
    words = ", ".join(one.ask.options.get(code, code) for code in marked)
    return _Told(tuple(marked), words, next(filter(None, marked.values()), ""))


def _typed(one: Asked, fields: Sequence[tuple[str, Filled]]) -> _Told | None:
    """The one thing that was typed or chosen."""
    written = [value for _, field in fields for value in field.values]
    if one.ask.kind is not Kind.TEXT:  # a line break after all of it is the reader's, not the family's
        written = [value.strip("\n") for value in written]
    values = tuple(dict.fromkeys(written))
    if not values:
        return None
    named = one.ask.options or {"yes": "Yes", "no": "No"} if one.ask.kind in (Kind.CHOICE, Kind.YES_NO) else {}
    words = ", ".join(named.get(value, value) for value in values)
    return _Told(values[0], words, _SEVERAL if len(values) > 1 else "")


def _offer(one: Asked, fields: Sequence[tuple[str, Filled]], zone: str, today: date) -> Offer | None:
    """The fact of one question, None where nothing is filled in."""
    told = (_chosen if one.ask.kind is Kind.MANY else _typed)(one, fields)
    why = next((field.why for _, field in fields if field.why), "")
    if told is None:
        return None
    value, why = None, why or told.why or (_HIDDEN if any(map(_hidden, told.words)) else "")
    if not why:
        try:
            value = read(one.ask, told.typed, None, zone)
        except Refused as refused:
            why = f"{_NOT_READ} {refused.sentence}"
    doubts = (field.doubt for _, field in fields if field.doubt)
    return Offer(
        one.key, one.form.name, _BABY if one.form in _BABY_FORMS else _PARENT, one.form, one.path, value,
        one.ask.label, _plain(told.words), doubts=(*dict.fromkeys(doubts), *_doubts(one, value, today)),
        only_shown=why, for_visit=True,
    )  # fmt: skip


def _doubts(one: Asked, value: Any, today: date) -> Iterator[str]:
    """What to look at twice."""
    if one.path == Path("birth_weight") and isinstance(value, Quantity):
        yield from unusual_birth_weight(value)
    if isinstance(value, Moment) and value.local().date() > today:
        yield _FALSE_DAY
    if one.path == Path("born_day") and isinstance(value, date) and in_the_future(value.isoformat(), today):
        yield _FALSE_DAY


def _people(offers: Sequence[Offer]) -> Iterator[Person]:
    """The parent and the baby of the sheet, as far as anything is said of them."""
    for person, form, born in ((_PARENT, ParentIdentity, "born_day"), (_BABY, InfantIdentity, "born")):
        mine = [one for one in offers if one.person == person]
        own = {str(one.path): one for one in mine if one.form is form}
        named = [own[name] for name in ("full_name", "legal_name", "called_name") if name in own]
        names = [one.words[:_LONGEST_NAME] for one in named if one.is_answer]
        day = own[born].value if born in own else None
        told = day.local().date() if isinstance(day, Moment) else day
        if mine:
            told_day = told.isoformat() if isinstance(told, date) else ""
            yield Person(person, tuple(dict.fromkeys(names)), told_day, "", form)
