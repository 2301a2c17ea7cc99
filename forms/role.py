"""Roles of the devices of a practice: what each may do, in one table, and which questions the office keeps.

Encryption bounds what a role can mean. There is one practice key, so every device of the practice can read every
family, whatever its role; only what a device *writes* can be told apart, since each signs its own. A role is therefore
kept twice: the device refuses what its own role does not allow, and every other device tells what came all the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final

__all__ = ["EVERYONE_READS", "KEPT_BY_OFFICE", "RIGHTS", "WHOLE", "Part", "Rights", "Role", "part_of"]

EVERYONE_READS: Final = "Every device of the practice can read every family. A role only says what it may write."


class Part(StrEnum):
    """What a write is part of, for the question whether a role allows it."""

    CLINICAL = "clinical"  # what was told, seen, measured, judged and planned
    REGISTRY = "registry"  # who people are, where they live, how they are reached, when a visit is
    SIGNATURE = "signature"


class Role(StrEnum):
    """What a device may do. All of them read everything: one key seals the record of the whole practice."""

    OWNER = "owner"
    CONSULTANT = "consultant"
    STUDENT = "student"
    OFFICE = "office"

    @property
    def rights(self) -> Rights:
        """Its line in the table."""
        return RIGHTS[self]

    @property
    def label(self) -> str:
        """One word for it."""
        return self.rights.label

    @property
    def explained(self) -> str:
        """What it may do, in one line."""
        return self.rights.explained

    def may_write(self, part: Part) -> bool:
        """Whether its device may write this."""
        return part in self.rights.writes


@dataclass(frozen=True, slots=True)
class Rights:
    """One line of the table. `lets_in`: lets devices in, changes roles, puts devices out, replaces the sheet."""

    label: str
    explained: str
    lets_in: bool
    writes: frozenset[Part]


_ALL = frozenset(Part)

RIGHTS: Final[Mapping[Role, Rights]] = MappingProxyType({
    Role.OWNER: Rights("Owner", "Charts and signs, lets devices in and puts them out.", True, _ALL),
    Role.CONSULTANT: Rights("Consultant", "Charts and signs.", False, _ALL),
    Role.STUDENT: Rights(
        "Student", "Charts. A consultant signs.", False, _ALL - {Part.SIGNATURE}
    ),
    Role.OFFICE: Rights(
        "Office", "Keeps names, addresses, appointments and papers; charts nothing.", False, frozenset({Part.REGISTRY})
    ),
})  # fmt: skip
"""Who may do what."""

WHOLE: Final = frozenset({"family", "parent", "care_team", "practitioner", "provider", "paper_issued"})
"""Forms of which the office keeps every question."""

KEPT_BY_OFFICE: Final[Mapping[str, frozenset[str]]] = MappingProxyType({
    "infant": frozenset({
        "legal_name", "called_name", "name_as_printed", "earlier_names", "tag_shape", "plurality", "birth_order",
        "born", "born_day", "birth_place",
    }),
    "visit": frozenset({
        "kind", "start", "place", "practitioner", "interpreter", "interpreter_name", "interpreter_language",
    }),
    "practice": frozenset({
        "practice_name", "address", "country", "locality", "emergency_number", "crisis_line", "weight_unit",
        "volume_unit", "temperature_unit", "paper_size", "time_zone", "hours", "tax_number", "provider_number",
        "taxonomy_code", "currency",
    }),
})  # fmt: skip
"""Forms of which it keeps some questions. A question of any other kind is clinical until it is put here."""


def part_of(form: str, field: str) -> Part:
    """What a write to a field of a form is part of; `field` is a question, or one of the marks of an entry.

    Striking out is clinical where a family's record would lose sight of something by it.
    """
    if field == "@signed":
        return Part.SIGNATURE
    if form not in WHOLE and form not in KEPT_BY_OFFICE:
        return Part.CLINICAL
    if field == "@place":
        return Part.REGISTRY
    if field == "@struck":
        return Part.REGISTRY if form in ("practitioner", "provider") else Part.CLINICAL
    return Part.REGISTRY if form in WHOLE or field in KEPT_BY_OFFICE[form] else Part.CLINICAL
