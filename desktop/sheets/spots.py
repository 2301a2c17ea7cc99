"""Every question of the visit that takes words, each with the entry it is kept in: where a jot can be filed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from desktop.controls.finder import Found
from desktop.open_chart import VISIT_BOUND, OpenChart
from desktop.sheets.doubt import KEPT
from desktop.sheets.moments import sections
from desktop.sheets.sheet import MOMENTS, Placed
from forms.answers import Side
from forms.ask import Kind, Path, ask_of
from forms.chart import Place, entry_id
from forms.form import About, Form, is_open
from forms.people import Family, InfantIdentity, ParentIdentity
from forms.visit import Addendum, Jot, Visit

__all__ = ["Spot", "spots"]

_NEVER = (Jot, Addendum)
_BY_ID = (Visit, Family, ParentIdentity, InfantIdentity)


@dataclass(frozen=True, slots=True)
class Spot:
    """One open question for words: the entry (begun or not), where in it, and how it is named."""

    entity: str
    place: Place
    path: Path
    label: str
    whose: str

    @property
    def key(self) -> str:
        """What names it."""
        return f"{self.entity}/{self.path}"

    @property
    def named(self) -> str:
        """The form, the person and the question, as a filed jot keeps them."""
        return f"{self.whose}: {self.label}"

    def found(self, sought: str) -> Found:
        """The line by which it is picked."""
        return Found(self.key, self.label, self.whose, sought)


def _entries(home: OpenChart, form: type[Form], who: str) -> Iterator[tuple[str, Place, Form]]:
    """What a sheet about this person shows of a form: the one entry there is, begun or not, or those of a list."""
    chart = home.chart
    if not form.repeats or form in _BY_ID:
        subjects: tuple[str, ...] = (
            (who,) if form.about in (About.PERSON, About.PERSON_AT_VISIT) and form not in _BY_ID else ()
        )
        named = {Visit: chart.visit, Family: chart.family}.get(form, who) if form in _BY_ID else None
        entity = named or entry_id(form, chart.visit if form.about in VISIT_BOUND else None, subjects)
        held = chart.by_id(entity)
        if held is None:
            yield entity, home.place(form, *subjects), form()
        elif held.struck is None:
            yield entity, held.place, held.answers
    for entry in chart.all(form, visit=chart.visit):
        subjects = entry.place.subjects
        if form not in _BY_ID and (form.repeats or len(subjects) > 1) and (not subjects or who in subjects):
            yield entry.id, entry.place, entry.answers


def _whose(home: OpenChart, form: type[Form], place: Place, entity: str) -> str:
    people = place.subjects or ((entity,) if form in (ParentIdentity, InfantIdentity) else ())
    return ", ".join(filter(None, (form.title, " and ".join(home.names(one) for one in people))))


def _of(home: OpenChart, form: type[Form], field: str, who: str) -> Iterator[Spot]:
    """One question about one person, in each entry and on each side on which it is open."""
    ask = ask_of(form, field)
    if ask.kind is not Kind.TEXT or form in _NEVER or field == KEPT:
        return
    sides: tuple[Side | None, ...] = tuple(Side) if ask.sides else (None,)
    for entity, place, answers in _entries(home, form, who):
        for side in sides:
            if is_open(answers, Path(field, side)):
                label = f"{ask.label}, {side}" if side else ask.label
                yield Spot(entity, place, Path(field, side), label, _whose(home, form, place, entity))


def spots(home: OpenChart) -> dict[str, tuple[Spot, Found]]:
    """Every question for words that is open at this visit, by its key, in the order of the thread."""
    found: dict[str, tuple[Spot, Found]] = {}
    for moment in MOMENTS:
        for who in (*home.infants(), *home.parents()):
            for section in sections(moment, home, who):
                for form, field in Placed.by(section).fields:
                    for spot in _of(home, form, field, who):
                        found.setdefault(spot.key, (spot, spot.found(section.title)))
    return found
