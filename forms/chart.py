"""One family's record as the rest of the program reads it: entries of forms, each with where it stands.

Everything kept is an entry of a declared form: the practice, a provider, a person, a visit, a weight, a feed, a
contact. Prompts, papers, figures and the finish list all read a `Chart`; storage makes one from its registers.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from functools import cached_property
from hashlib import sha256
from typing import Generic, NamedTuple, TypeVar

from forms.answers import Json
from forms.form import About, Form, entry_id_parts
from forms.role import Role

__all__ = ["Carried", "Chart", "Entry", "Hand", "Place", "Signed", "Struck", "entry_id"]

F = TypeVar("F", bound=Form)


@dataclass(frozen=True, slots=True)
class Place:
    """Where an entry stands: the name of its form, and the family, visit and people it belongs to.

    `subjects` holds ids of person entries: one person, or (feeder, baby) for a pair, or nothing.
    """

    form: str
    family: str | None = None
    visit: str | None = None
    subjects: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Struck:
    """An entry struck out: still there and readable, and never counted."""

    by: str
    at: datetime
    reason: str


@dataclass(frozen=True, slots=True)
class Carried:
    """Where an answer was brought forward from: the earlier entry and the operation that wrote it there.

    `still_so`: she went through it at this visit and kept it; until then it does not count as said today.
    """

    entry: str
    operation: str
    still_so: bool = False


class Hand(NamedTuple):
    """Who wrote a value that stands (the id of a Practitioner entry), and when, in milliseconds since 1970."""

    by: str
    millis: int

    @property
    def at(self) -> datetime:
        """When it was written, in UTC."""
        return datetime.fromtimestamp(self.millis / 1000, UTC)

    @classmethod
    def then(cls, by: str, at: datetime) -> Hand:
        """The hand of somebody who wrote at an instant."""
        return cls(by, round(at.timestamp() * 1000))


@dataclass(frozen=True, slots=True)
class Entry(Generic[F]):
    """One entry with its answers as they stand.

    `entered` is when its first answer was written and `author` who wrote it (the id of a Practitioner entry).
    `unknown` are values of fields this version does not know: kept, shown and passed on. `heads` names, by register,
    the operations whose values stand: what a draft opened now would replace; `hands`, in the same order, whose they
    are. `carried` tells, by register, of each standing answer that was brought forward from an earlier visit.
    """

    id: str
    place: Place
    answers: F
    author: str
    entered: datetime
    struck: Struck | None = None
    unknown: Mapping[str, Json] = field(default_factory=dict)
    heads: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    carried: Mapping[str, Carried] = field(default_factory=dict)
    hands: Mapping[str, tuple[Hand, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Signed:
    """A visit's signature: the digest of each note ("person id", or "feeder id+baby id", or "visit") and over them."""

    visit: str
    by: str
    at: datetime
    digest: str
    notes: Mapping[str, str]
    operation: str


def entry_id(form: type[Form], visit: str | None = None, subjects: tuple[str, ...] = ()) -> str:
    """The id (32 hex digits) of the one entry of `form` for these subjects at this visit; equal on every device."""
    return sha256(entry_id_parts(form, visit, subjects).encode()).hexdigest()[:32]


def _by_form(
    entries: Iterable[Entry[Form]], only: Collection[type[Form]] | None = None
) -> dict[type[Form], tuple[Entry[Form], ...]]:
    """The entries that are not struck out, by their form; of some forms only, if named, and those none left too."""
    found: dict[type[Form], list[Entry[Form]]] = {form: [] for form in only or ()}
    for e in entries:
        if e.struck is None and (only is None or type(e.answers) in only):
            found.setdefault(type(e.answers), []).append(e)
    return {form: tuple(kept) for form, kept in found.items()}


def _in_place(kept: tuple[Entry[Form], ...], before: Entry[Form], now: Entry[Form]) -> tuple[Entry[Form], ...] | None:
    """The entries of a form with one of them as it is now; None where it came, went, or was of another form."""
    if before.struck is not None or now.struck is not None or type(before.answers) is not type(now.answers):
        return None
    for place in range(len(kept) - 1, -1, -1):  # what is written again is nearly always one of the newest
        if kept[place].id == now.id:
            return (*kept[:place], now, *kept[place + 1 :])
    return None


@dataclass(frozen=True)
class Chart:
    """One family at one visit (or between visits), with the practice's own entries.

    `entries` holds every entry of the family, all visits, struck ones too, and those of the practice; `visit` is the
    visit being looked at. `role` is that of the device that reads it; None where the record is shared with nobody.
    `learners` are the practitioners (entry ids) whom the log ever wrote down as students, each with when, in
    milliseconds since 1970, the role became another; None for those whose role still is that.
    """

    family: str
    visit: str | None
    entries: tuple[Entry[Form], ...]
    signatures: tuple[Signed, ...] = ()
    role: Role | None = None
    learners: Mapping[str, int | None] = field(default_factory=dict)

    @cached_property
    def _at(self) -> Mapping[str, int]:
        """Where each entry stands among the others, by its id."""
        return {e.id: place for place, e in enumerate(self.entries)}

    @cached_property
    def _of_form(self) -> Mapping[type[Form], tuple[Entry[Form], ...]]:
        """The entries of each form that are not struck out; a feed may have thousands of events."""
        return _by_form(self.entries)

    def by_id(self, entry: str) -> Entry[Form] | None:
        """The entry with that id, or None."""
        place = self._at.get(entry)
        return None if place is None else self.entries[place]

    def all(self, form: type[F], *subjects: str, visit: str | None = None) -> tuple[Entry[F], ...]:
        """Every entry of a form that is not struck out, oldest first; narrowed to subjects and to a visit if given."""
        return tuple(
            e  # type: ignore[misc]  # the filter on type makes it Entry[F]
            for e in self._of_form.get(form, ())
            if (not subjects or e.place.subjects == subjects) and (visit is None or e.place.visit == visit)
        )

    def one(self, form: type[F], *subjects: str) -> F:
        """The answers of the one entry of `form` for these subjects at this chart's visit; the empty form if none.

        An entry that is struck out answers nothing.
        """
        bound = form.about in (About.VISIT, About.PERSON_AT_VISIT, About.PAIR_AT_VISIT)
        found = self.by_id(entry_id(form, self.visit if bound else None, subjects))
        if found is None or found.struck is not None or not isinstance(found.answers, form):
            return form()
        return found.answers

    def person(self, form: type[F], person: str) -> F:
        """The identity form of a person, whose entry id is the person's id; the empty form if none."""
        found = self.by_id(person)
        return found.answers if found is not None and isinstance(found.answers, form) else form()

    def with_entry(self, entry: Entry[Form]) -> Chart:
        """The same chart with one entry put in, or in place of the one with its id."""
        return self.with_entries((entry,))

    def with_entries(self, entries: Iterable[Entry[Form]]) -> Chart:
        """The same chart with these put in, each in place of the one with its id, new ones at the end.

        What was worked out of this chart goes on to the new one: one more event costs a copy, not a new reading.
        """
        at, standing = dict(self._at), list(self.entries)
        of_form, anew = dict(self._of_form), set[type[Form]]()
        for one in entries:
            place = at.setdefault(one.id, len(standing))
            if place == len(standing):
                standing.append(one)
                if one.struck is None:
                    of_form[type(one.answers)] = (*of_form.get(type(one.answers), ()), one)
                continue
            before, standing[place] = standing[place], one
            kept = _in_place(of_form.get(type(one.answers), ()), before, one)
            if kept is None:
                anew |= {type(before.answers), type(one.answers)}
            else:
                of_form[type(one.answers)] = kept
        made = replace(self, entries=tuple(standing))
        made.__dict__["_at"] = at
        made.__dict__["_of_form"] = {**of_form, **_by_form(standing, anew)} if anew else of_form
        return made

    def signed(self, visit: str | None = None) -> Signed | None:
        """The signature of a visit (default: this chart's), or None while it is open."""
        return next((s for s in self.signatures if s.visit == (visit or self.visit)), None)
