"""Charting as the window does it: typed text read by the form's own rules, put into drafts, written as operations."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from demo_db.ticking import ZONE
from forms.answers import Absence, Absent, Quantity
from forms.ask import Kind, Need, Path, asks
from forms.chart import Place, entry_id
from forms.form import About, Form, shown_asks
from forms.reading import read
from forms.trouble import Bug
from storage.drafts import Draft
from storage.store import Store

__all__ = ["Charting"]

VISIT_BOUND = (About.VISIT, About.PERSON_AT_VISIT, About.PAIR_AT_VISIT)


@dataclass(slots=True)
class Charting:
    """Someone charting in one family at one visit."""

    store: Store
    author: str
    ids: Callable[[], str]
    family: str | None = None
    visit: str | None = None

    def _place(self, form: type[Form], subjects: tuple[str, ...]) -> Place:
        if form.about is About.PRACTICE:
            return Place(form.name)
        bound = form.about in VISIT_BOUND or form.name == "weight"
        return Place(form.name, self.family, self.visit if bound else None, subjects)

    def _draft(self, form: type[Form], subjects: tuple[str, ...], entity: str | None) -> Draft:
        visit = self.visit if form.about in VISIT_BOUND else None
        one = entity or (self.ids() if form.repeats else entry_id(form, visit, subjects))
        return Draft.opened(self.store, one, self._place(form, subjects), form)

    def fill(
        self,
        form: type[Form],
        *subjects: str,
        entity: str | None = None,
        left: Mapping[str, Any] | None = None,
        right: Mapping[str, Any] | None = None,
        rest: Absence | None = None,
        **typed: Any,
    ) -> str:
        """Type answers into one entry and write them; the entry's id.

        Text is read as typed into the box: "2,310 g", "2026-03-03 10:30", a code for a choice, a tuple of codes for
        several. `left` and `right` hold answers of that side. `rest` marks every must-field still open and untouched
        with that absence answer: the demo's way of pressing "No answer" on each.
        """
        draft = self._draft(form, subjects, entity)
        for side, answers in ((None, typed), ("left", left or {}), ("right", right or {})):
            for name, value in answers.items():
                path = Path.read(name if side is None else f"{name}@{side}")
                draft.put(path, self._value(form, path, value))
        if rest is not None:
            self._close(draft, rest)
        draft.save(self.store, author=self.author)
        return draft.entity

    def _value(self, form: type[Form], path: Path, value: Any) -> Any:
        ask = asks(form)[path.field]
        if isinstance(value, bool | int | Absent | Quantity) or value is None:
            return value
        if ask.kind in (Kind.CHOICE, Kind.MANY, Kind.REF, Kind.REFS) or not isinstance(value, str):
            codes = value if isinstance(value, tuple) else (value,)
            unknown = [code for code in codes if ask.options and code not in ask.options]
            if unknown:
                raise Bug(f"{form.name}.{path} has no option {unknown}")
            return value
        return read(ask, value, zone=ZONE)

    def _close(self, draft: Draft, absence: Absence) -> None:
        # An answer can open further questions, so this goes round until none is left.
        for _round in range(5):
            open_now = [
                path
                for path, ask, given in shown_asks(draft.answers)
                if given is None and ask.need in (Need.MUST, Need.WHEN_OPEN)
            ]
            if not open_now:
                return
            for path in open_now:
                draft.put(path, Absent(absence, "not part of this visit" if absence is Absence.NOT_DONE else ""))
