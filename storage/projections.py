"""What the caseload shows and search looks through: one line for each family, worked out from its entries."""

from __future__ import annotations

import unicodedata
from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

import orjson
from sqlalchemy import Connection, delete, func, insert, select

from forms.answers import Given, Moment, every
from forms.chart import Chart, Entry
from forms.contact import Contact
from forms.form import Form
from forms.loops import awaited
from forms.people import Family, InfantIdentity, ParentIdentity
from forms.plan import Plan
from forms.visit import Visit
from storage.among import among
from storage.charts import entries, of_families, signed_visits
from storage.log import canonical
from storage.schema import entry, family_line, register
from storage.signed_answers import as_signed

__all__ = ["SHOWN_FIELDS", "FamilyLine", "caseload", "folded", "refresh", "search", "shown"]

_SHOWN: Mapping[str, frozenset[str]] = {
    "family": frozenset({"family_name"}),
    "parent": frozenset({"full_name", "called_name", "phone"}),
    "infant": frozenset({"legal_name", "called_name", "earlier_names"}),
    "visit": frozenset({"start"}),
    "plan": frozenset({"followup_at"}),
    "contact": frozenset({"at", "concerns", "next_due"}),
    "urgent_contact": frozenset({"at", "next_when", "outcome"}),
}
"""The forms and fields that a line is made from."""

SHOWN_FIELDS = frozenset[str]().union(*_SHOWN.values())
"""The names of these fields, whatever their form: who takes much in does not ask for the form of each entry."""

_SHORTEST_TAIL = 3
_AT_ONCE = 50


@dataclass(frozen=True, slots=True)
class FamilyLine:
    """One family in the caseload.

    `babies` pairs each baby's id with the name used; `unsigned` are ids of open visits, oldest first; `next_follow_up`
    is the earliest day that a plan, a contact or an urgent call still points to; `conflicts` counts answers for which
    two values stand.
    """

    id: str
    name: str
    babies: tuple[tuple[str, str], ...] = ()
    last_visit: Moment | None = None
    unsigned: tuple[str, ...] = ()
    next_follow_up: date | None = None
    conflicts: int = 0


def shown(form: str, field: str) -> bool:
    """Whether a write to this register changes its family's line; one to any other leaves the line as it is."""
    fields = _SHOWN.get(form)
    return fields is not None and (field.startswith("@") or field in fields)


def folded(text: str) -> str:
    """Text without case, accents or punctuation, as search compares it."""
    spread = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter if letter.isalnum() else " " for letter in spread if not unicodedata.combining(letter))


def _shown(given: Given[str]) -> str:
    """Every value that stands, so that a name in conflict hides neither of the two."""
    return " / ".join(every(given))


def _digits(text: str) -> str:
    return "".join(letter for letter in text if letter.isdigit())


def _visits(standing: tuple[Entry[Form], ...]) -> list[tuple[Moment | None, str]]:
    """Start and id of each visit that counts, by start; one without a start comes last."""
    found = []
    for kept in standing:
        if isinstance(kept.answers, Visit):
            starts = every(kept.answers.start)
            found.append((min(starts, key=lambda moment: moment.at) if starts else None, kept.id))
    return sorted(found, key=lambda visit: (visit[0] is None, visit[0].at if visit[0] else None, visit[1]))


def _follow_up(family: str, standing: tuple[Entry[Form], ...], visits: list[tuple[Moment | None, str]]) -> date | None:
    """The earliest day that something still points to.

    That is the newest plan, a contact since the visit it was made at, or an urgent call: to be tried again, or made
    and its outcome not told.
    """
    order = {visit: at for at, (_, visit) in enumerate(visits)}
    starts = {visit: start for start, visit in visits}
    plans = [kept for kept in standing if isinstance(kept.answers, Plan) and kept.place.visit in order]
    newest = max(plans, key=lambda kept: order[kept.place.visit or ""], default=None)
    days = [loop.due for loop in awaited(Chart(family, None, standing)) if loop.due is not None]
    since: Moment | None = None
    if newest is not None and isinstance(newest.answers, Plan):
        since = starts[newest.place.visit or ""]
        days += [moment.local().date() for moment in every(newest.answers.followup_at)]
    for kept in standing:
        if isinstance(kept.answers, Contact):
            told = every(kept.answers.at)
            if since is None or not told or max(moment.at for moment in told) >= since.at:
                days += every(kept.answers.next_due)
    return min(days, default=None)


def _made(
    family: str, standing: tuple[Entry[Form], ...], signed: Collection[str], conflicts: int
) -> tuple[FamilyLine, str]:
    """The line of a family and what search looks through, from those of its entries that show and are not struck."""
    home = next(one.answers for one in standing if isinstance(one.answers, Family))
    visits = _visits(standing)
    names = [*every(home.family_name)]
    phones: list[str] = []
    babies = []
    for one in standing:
        if isinstance(one.answers, InfantIdentity):
            infant = one.answers
            babies.append((one.id, _shown(infant.called_name) or _shown(infant.legal_name)))
            for given in (infant.legal_name, infant.called_name, infant.earlier_names):
                names += every(given)
        elif isinstance(one.answers, ParentIdentity):
            for given in (one.answers.full_name, one.answers.called_name):
                names += every(given)
            phones += every(one.answers.phone)
    dated = [start for start, _ in visits if start is not None]
    line = FamilyLine(
        id=family,
        name=_shown(home.family_name),
        babies=tuple(babies),
        last_visit=dated[-1] if dated else None,
        unsigned=tuple(visit for _, visit in visits if visit not in signed),
        next_follow_up=_follow_up(family, standing, visits),
        conflicts=conflicts,
    )
    sought = "\n".join([*(folded(name) for name in names), *("#" + _digits(phone) for phone in phones)])
    return line, sought


def _kept(line: FamilyLine) -> bytes:
    last = line.last_visit
    return canonical(
        {
            "name": line.name,
            "babies": [list(baby) for baby in line.babies],
            "last_visit": None if last is None else [last.at.isoformat(), last.zone],
            "unsigned": list(line.unsigned),
            "next_follow_up": line.next_follow_up and line.next_follow_up.isoformat(),
            "conflicts": line.conflicts,
        }
    )


def _read(family: str, kept: bytes) -> FamilyLine:
    body = orjson.loads(kept)
    last, due = body["last_visit"], body["next_follow_up"]
    return FamilyLine(
        id=family,
        name=body["name"],
        babies=tuple((baby, name) for baby, name in body["babies"]),
        last_visit=None if last is None else Moment(datetime.fromisoformat(last[0]), last[1]),
        unsigned=tuple(body["unsigned"]),
        next_follow_up=None if due is None else date.fromisoformat(due),
        conflicts=body["conflicts"],
    )


def refresh(c: Connection, *families: str) -> None:
    """Works the lines of these families out anew, fifty at a time: each question costs more than what it finds."""
    for at in range(0, len(families), _AT_ONCE):
        some = families[at : at + _AT_ONCE]
        of_each: defaultdict[str, list[Entry[Form]]] = defaultdict(list)
        for one in entries(c, of_families(some), _SHOWN):
            if one.struck is None:
                of_each[one.id if one.place.form == "family" else one.place.family or ""].append(one)
        signed, conflicts = signed_visits(c, of_families(some)), _conflicts(c, some)
        c.execute(delete(family_line).where(among(family_line.c.family, some)))
        rows = []
        for family, standing in of_each.items():
            if any(isinstance(one.answers, Family) for one in standing):
                line, sought = _made(family, tuple(standing), signed, conflicts[family])
                rows.append({"family": family, "line": _kept(line), "sought": sought})
        if rows:
            c.execute(insert(family_line), rows)


def _conflicts(c: Connection, families: Iterable[str]) -> Counter[str]:
    """How many answers of each family have two distinct values; of a signed visit as it was signed."""
    several = c.execute(
        select(register.c.entity, register.c.field, func.coalesce(entry.c.family, entry.c.entity).label("family"))
        .join(entry, entry.c.entity == register.c.entity)
        .where(of_families(families), ~register.c.field.startswith("@"))
        .group_by(register.c.entity, register.c.field)
        .having(func.min(register.c.value) != func.max(register.c.value))
    ).all()
    signed = as_signed(c, of_families({row.family for row in several})) if several else {}
    stood = ((row.family, {one.value for one in signed.get((row.entity, row.field), ())}) for row in several)
    return Counter(family for family, values in stood if len(values) != 1)


def _lines(c: Connection, fits: Callable[[str], bool]) -> tuple[FamilyLine, ...]:
    found = [_read(row.family, row.line) for row in c.execute(select(family_line)) if fits(row.sought)]
    return tuple(sorted(found, key=lambda line: (folded(line.name), line.name, line.id)))


def caseload(c: Connection) -> tuple[FamilyLine, ...]:
    """Every family, by name."""
    return _lines(c, lambda _: True)


def search(c: Connection, words: str) -> tuple[FamilyLine, ...]:
    """The families in which each word begins a name, or ends (three digits or more) or stands within a phone number."""
    wanted = folded(words).split()
    number = _digits(words)

    def fits(sought: str) -> bool:
        lines = sought.split("\n")
        names = [name for line in lines if not line.startswith("#") for name in line.split()]
        phones = [line[1:] for line in lines if line.startswith("#")]
        if not any(letter.isalpha() for letter in words) and len(number) >= _SHORTEST_TAIL:
            return any(number in phone for phone in phones)
        return all(any(name.startswith(word) for name in names) for word in wanted)

    return _lines(c, fits)
