"""Where each question stands: on which section of which moment. What the finish list and the thread go by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from desktop.sheets.moments import every_section, moment_of
from desktop.sheets.sheet import Placed
from forms.form import catalog

__all__ = ["Stand", "Stands"]


@dataclass(frozen=True, slots=True)
class Stand:
    """The moment and the section that a question stands on."""

    moment: str
    section: str


class Stands:
    """Every question's place, worked out once from the sections themselves."""

    def __init__(self) -> None:
        self._fields: dict[tuple[str, str], Stand] = {}
        self._forms: dict[str, Stand] = {}
        for section in every_section():
            stand = Stand(moment_of(section), section.key)
            for form, field in Placed.by(section).fields:
                self._fields.setdefault((form.name, field), stand)
                self._forms.setdefault(form.name, stand)

    def of(self, form: str, field: str | None = None) -> Stand | None:
        """Where a field stands, or the first section of its form; None for a form that no sheet asks."""
        return self._fields.get((form, field or ""), self._forms.get(form))

    def forms_of(self, moment: str) -> frozenset[str]:
        """The names of the forms of which no other moment asks more."""
        asked: dict[str, dict[str, int]] = {}
        for (form, _), stand in self._fields.items():
            counts = asked.setdefault(form, {})
            counts[stand.moment] = counts.get(stand.moment, 0) + 1
        return frozenset(form for form, counts in asked.items() if counts.get(moment, 0) == max(counts.values()))

    def fields_of(self, moment: str) -> Mapping[str, frozenset[str]]:
        """The fields that stand in a moment, by the name of their form."""
        found: dict[str, set[str]] = {}
        for (form, field), stand in self._fields.items():
            if stand.moment == moment and form in catalog():
                found.setdefault(form, set()).add(field)
        return {form: frozenset(fields) for form, fields in found.items()}
