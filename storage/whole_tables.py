"""The answers of a record as plain tables, so that a program that knows nothing of ours can read them.

Everything is worked out from the operations alone and in an order that follows from them, so that the same record gives
the same bytes on every device. Cells hold values exactly as they are kept, also those that a spreadsheet would take for
a formula: nothing is put before them or taken from them. `Tables.formulas` counts those instead, for a warning.
"""

from __future__ import annotations

import csv
import io
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from types import MappingProxyType
from typing import Any, Final, NamedTuple

import forms.all  # noqa: F401 - fills the catalogue that answers are named by
from forms.answers import Absent, Json, Moment, Quantity
from forms.ask import Ask, Coded, Kind, asks
from forms.form import Form, catalog
from forms.units import UNITS, Dimension
from storage.carrying import carried_by
from storage.log import PLACE, SIGNED, STRUCK, Operation, canonical
from storage.registers import readable

__all__ = ["ANSWERS", "Picked", "Standing", "Tables", "dictionary"]

Picked = Callable[[str, str], bool]
"""Whether the answers of an entry (its id) at a register may stand in the tables."""

ANSWERS: Final = (
    "family", "visit", "person", "person_name", "entry", "form", "field", "side", "item", "answered", "value", "words",
    "unit", "base", "base_unit", "zone", "written_at", "written_by", "written_by_name", "device", "operation", "reason",
    "conflict", "struck", "private", "brought_forward", "after_signing",
)  # fmt: skip
"""The columns of answers.csv: one row for each value that stands, and for each item of a list."""

_ENTRIES: Final = (
    "entry", "form", "title", "family", "visit", "person", "person_name", "begun_at", "begun_by", "begun_by_name",
    "device", "struck", "struck_reason", "signed_at", "signed_by", "signed_by_name", "signature", "signature_counts",
)  # fmt: skip
_DICTIONARY: Final = (
    "form", "form_title", "about", "repeats", "field", "label", "kind", "sides", "need", "units", "base_unit", "low",
    "high", "refers_to", "asked_when", "private", "code_system", "code", "help", "source",
)  # fmt: skip
_CHOICES: Final = ("form", "field", "code", "words")
_NAMES: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType({
    "parent": ("full_name", "called_name"), "infant": ("legal_name", "called_name"), "provider": ("full_name",),
    "practitioner": ("full_name",), "family": ("family_name",),
})  # fmt: skip
_BASES: Final[Mapping[Dimension, str]] = MappingProxyType({
    Dimension.MASS: "g", Dimension.VOLUME: "mL", Dimension.TEMPERATURE: "0.1 Cel", Dimension.LENGTH: "mm",
    Dimension.TIME: "min", Dimension.SHARE: "0.1 %",
})  # fmt: skip
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")


class _Cell(NamedTuple):
    """One value, or one item of a list, in the order of the columns."""

    item: str = ""
    answered: str = "value"
    value: str = ""
    words: str = ""
    unit: str = ""
    base: str = ""
    base_unit: str = ""
    zone: str = ""


@dataclass
class Standing:
    """What stands, from the operations alone: where each entry is, and the heads of each of its registers."""

    places: dict[str, Operation] = field(default_factory=dict)
    chains: defaultdict[str, set[int]] = field(default_factory=lambda: defaultdict(set))
    _heads: defaultdict[tuple[str, str], dict[str, Operation]] = field(default_factory=lambda: defaultdict(dict))
    _gone: defaultdict[tuple[str, str], set[str]] = field(default_factory=lambda: defaultdict(set))

    def add(self, one: Operation) -> None:
        """One more operation, whatever came before."""
        where = one.entity, one.field
        self.chains[one.chain].add(one.seq)
        self._gone[where].update(one.parents)
        for parent in one.parents:
            self._heads[where].pop(parent, None)
        if one.hash not in self._gone[where]:
            self._heads[where][one.hash] = one
        if one.field == PLACE:
            known = self.places.get(one.entity)
            self.places[one.entity] = one if known is None else min(known, one, key=_clock)

    def heads(self, entity: str, name: str) -> tuple[Operation, ...]:
        """The operations that stand for a register, oldest first."""
        return tuple(sorted(self._heads.get((entity, name), {}).values(), key=_clock))

    def registers(self, entity: str) -> tuple[str, ...]:
        """The registers of an entry's answers, in the order in which its form asks for them; unknown ones last."""
        return self._registers.get(entity, ())

    @cached_property
    def _registers(self) -> Mapping[str, tuple[str, ...]]:
        found: defaultdict[str, list[str]] = defaultdict(list)
        for (entity, name), heads in self._heads.items():
            if heads and not name.startswith("@"):
                found[entity].append(name)
        return {entity: tuple(sorted(names, key=self._asked(entity))) for entity, names in found.items()}

    def _asked(self, entity: str) -> Callable[[str], tuple[int, str]]:
        known = list(asks(self.form(entity) or Form))
        return lambda name: (known.index(bare) if (bare := _bare(name)) in known else len(known), name)

    def form(self, entity: str) -> type[Form] | None:
        """The form of an entry; None for one of a newer version, or one whose beginning has not come."""
        place = self.places.get(entity)
        return None if place is None else catalog().get(place.value["form"])

    def entities(self) -> tuple[str, ...]:
        """Every entry whose place is known: the practice's first, then family by family, each as it was begun."""
        return tuple(sorted(self.places, key=lambda one: (self.place(one)["family"] or "", *_clock(self.places[one]))))

    def place(self, entity: str) -> Json:
        """Where an entry stands, as it is kept."""
        return self.places[entity].value

    def struck(self, entity: str) -> str | None:
        """Why an entry is struck out, or None: every head has to say so."""
        return why_struck(self.heads(entity, STRUCK))


def why_struck(marks: Sequence[Operation]) -> str | None:
    """The newest reason of these marks, or None where one of them says that the entry counts."""
    if not marks or any(one.value is None for one in marks):
        return None
    return str(marks[-1].value["reason"])


def _clock(one: Operation) -> tuple[int, int, str]:
    return one.millis, one.tick, one.hash


def _bare(name: str) -> str:
    return name.partition("@")[0]


@dataclass(frozen=True)
class Tables:
    """The tables of what stands. `late` and `uncounted` name operations: too late for a signature, or not counted.

    `names_of` are the entries whose names may be told beside their ids; None for all. `reasons`: whether the reasons
    that were typed for a change are told. `signed`: what was signed, for each register of a signed visit for which more
    arrived afterwards; it then stands as the answer, as on screen and paper, and what arrived stands beside it.
    """

    standing: Standing
    late: frozenset[str] = frozenset()
    uncounted: frozenset[str] = frozenset()
    picked: Picked | None = None
    picked_items: Callable[[str], bool] | None = None
    entries: frozenset[str] | None = None
    names_of: frozenset[str] | None = None
    reasons: bool = True
    signed: Mapping[tuple[str, str], Sequence[Operation]] = field(default_factory=dict)

    def files(self) -> Mapping[str, bytes]:
        """Each table by the name of its file."""
        return {
            "answers.csv": table(ANSWERS, self.answers), "entries.csv": table(_ENTRIES, self._entry_rows()),
            **dictionary(),
        }  # fmt: skip

    @property
    def formulas(self) -> int:
        """How many rows hold a cell that begins as a formula of a spreadsheet does."""
        return sum(any(cell.startswith(_FORMULA) for cell in row) for row in self.answers)

    @cached_property
    def answers(self) -> tuple[Sequence[str], ...]:
        """The rows of answers.csv."""
        return tuple(row for entity in self._told() for row in self._of_entry(entity))

    def _told(self) -> Iterator[str]:
        return (one for one in self.standing.entities() if self.entries is None or one in self.entries)

    def _of_entry(self, entity: str) -> Iterator[Sequence[str]]:
        place, form = self.standing.place(entity), self.standing.form(entity)
        people = place["subjects"] or ([entity] if place["form"] in ("parent", "infant") else [])
        begins = (
            place["family"] or (entity if place["form"] == "family" else ""),
            place["visit"] or (entity if place["form"] == "visit" else ""), "+".join(people), self._named(people),
            entity, place["form"],
        )  # fmt: skip
        struck = _yes(self._struck(entity) is not None)
        for name in self.standing.registers(entity):
            if self.picked is not None and not self.picked(entity, name):
                continue
            ask = asks(form).get(_bare(name)) if form is not None else None
            for one, disputed in self._shown(entity, name):
                private = "" if ask is None else _yes(ask.private)
                ends = (
                    _instant(one), one.author, self._named([one.author]), one.chain, one.hash,
                    one.reason if self.reasons else "", _yes(disputed), struck, private, _brought(one.reason),
                    _yes(one.hash in self.late),
                )  # fmt: skip
                for cell in self._cells(ask, one.value):
                    yield (*begins, _bare(name), name.partition("@")[2], *cell, *ends)

    def _shown(self, entity: str, name: str) -> Iterator[tuple[Operation, bool]]:
        """What is told for a register, each with whether another one contradicts it; what was signed comes first."""
        heads, signed = self.standing.heads(entity, name), self.signed.get((entity, name), ())
        stands = _distinct(signed or heads)
        if not (len(stands) == 1 and stands[0].value is None):  # taken back: nothing is answered
            yield from ((one, len(stands) > 1) for one in stands)
        later = _distinct(one for one in heads if one.hash in self.late) if signed else ()
        yield from ((one, len(later) > 1) for one in later)  # never a rival of what was signed, also when taken back

    def _struck(self, entity: str) -> str | None:
        return why_struck(self.signed.get((entity, STRUCK)) or self.standing.heads(entity, STRUCK))

    def _cells(self, ask: Ask | None, kept: Json) -> Iterator[_Cell]:
        value = readable(kept)
        match value:
            case None:
                yield _Cell(answered="empty")
            case Absent():
                yield _Cell(answered=str(value.kind), words=value.why)
            case tuple():
                if not value:
                    yield _Cell(item="0")
                for number, part in enumerate(value, start=1):
                    names = ask is not None and ask.kind is Kind.REFS
                    if self.picked_items is None or not names or self.picked_items(part):
                        yield self._one(ask, part, str(number))
            case _:
                yield self._one(ask, value, "")

    def _one(self, ask: Ask | None, value: Any, item: str) -> _Cell:
        match value:
            case bool():
                return _Cell(item, value=_yes(value))
            case int():
                return _Cell(item, value=str(value))
            case Quantity():
                unit = UNITS.get(value.unit)
                base_unit = "" if unit is None else _BASES[unit.dimension]
                return _Cell(
                    item, value=str(value.typed), unit=str(value.unit), base=str(value.base), base_unit=base_unit
                )
            case Moment():
                return _Cell(item, value=value.at.isoformat(), words=_local(value), zone=value.zone)
            case date():
                return _Cell(item, value=value.isoformat())
            case str():
                return _Cell(item, value=value, words=self._words(ask, value))
        return _Cell(item, answered="of a newer version", value=canonical(value).decode())

    def _words(self, ask: Ask | None, value: str) -> str:
        if ask is None:
            return ""
        return self._named([value]) if ask.kind in (Kind.REF, Kind.REFS) else ask.options.get(value, "")

    def _named(self, entities: Iterable[str]) -> str:
        return " + ".join(filter(None, map(self._name, entities)))

    def _name(self, entity: str) -> str:
        if entity not in self.standing.places or (self.names_of is not None and entity not in self.names_of):
            return ""
        for name in _NAMES.get(self.standing.place(entity)["form"], ()):
            told = [one.value for one in self.standing.heads(entity, name) if isinstance(one.value, str) and one.value]
            if told:
                return " / ".join(dict.fromkeys(told))
        return ""

    def _entry_rows(self) -> Iterator[Sequence[str]]:
        for entity in self._told():
            begun, place, why = self.standing.places[entity], self.standing.place(entity), self._struck(entity)
            form, signed = self.standing.form(entity), self.standing.heads(entity, SIGNED)
            row = (
                entity, place["form"], "" if form is None else form.title, place["family"] or "", place["visit"] or "",
                "+".join(place["subjects"]), self._named(place["subjects"]), _instant(begun), begun.author,
                self._named([begun.author]), begun.chain, _yes(why is not None), why or "" if self.reasons else "",
            )  # fmt: skip
            for one in signed or (None,):
                yield (*row, *(("",) * 5 if one is None else self._signature(one)))

    def _signature(self, one: Operation) -> Sequence[str]:
        return (
            _instant(one), one.author, self._named([one.author]), str(one.value["digest"]),
            _yes(one.hash not in self.uncounted),
        )  # fmt: skip


def _distinct(operations: Iterable[Operation]) -> tuple[Operation, ...]:
    """One operation for each value."""
    found: dict[bytes, Operation] = {}
    for one in operations:
        found.setdefault(canonical(one.value), one)
    return tuple(found.values())


def _yes(holds: bool) -> str:
    return "yes" if holds else "no"


def _instant(one: Operation) -> str:
    return one.at.isoformat()


def _local(value: Moment) -> str:
    try:
        return value.local().isoformat()
    except (ValueError, OSError):
        return ""  # a zone that this machine does not know; instant and name of the zone stand beside it


def _brought(reason: str) -> str:
    found = carried_by(reason)
    if found is None:
        return ""
    return "gone through" if found.still_so else "not gone through"


def dictionary() -> Mapping[str, bytes]:
    """The tables that say what the fields and the codes of answers.csv mean."""
    # By name: the catalogue's own order is that in which modules happened to be imported.
    named = [(form, name, ask) for _, form in sorted(catalog().items()) for name, ask in asks(form).items()]
    choices = ((form.name, name, code, words) for form, name, ask in named for code, words in ask.options.items())
    described = (_described(*one) for one in named)
    return {"dictionary.csv": table(_DICTIONARY, described), "choices.csv": table(_CHOICES, choices)}


def _described(form: type[Form], name: str, ask: Ask) -> Sequence[str]:
    base = sorted({_BASES[UNITS[unit].dimension] for unit in ask.units})
    code = (ask.code.system, ask.code.code) if isinstance(ask.code, Coded) else ("", "")
    return (
        form.name, form.title, form.about.value, _yes(form.repeats), name, ask.label, ask.kind.value, _yes(ask.sides),
        str(ask.need), " ".join(ask.units), " ".join(base), *("" if n is None else str(n) for n in (ask.low, ask.high)),
        " ".join(ask.of), "" if ask.when is None else ask.when.field, _yes(ask.private), *code, ask.help, ask.source,
    )  # fmt: skip


def table(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """Rows under their headings as CSV: UTF-8 without a mark, comma, quotation marks where needed, CRLF (RFC 4180)."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows(rows)
    return out.getvalue().encode("utf-8")
