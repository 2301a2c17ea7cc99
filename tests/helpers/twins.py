"""A real store with the twins' family, its visit begun, for tests and pictures of the window."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path as Folder
from typing import Any

import forms.all  # noqa: F401 - fills the catalogue
from desktop.notices import Notices
from desktop.open_chart import OpenChart
from desktop.work import StoreLane
from forms.answers import Moment, Quantity
from forms.ask import Path
from forms.chart import Place, entry_id
from forms.form import Form
from forms.people import Family, InfantIdentity, ParentIdentity
from forms.practice import Practice, Practitioner, Provider
from forms.visit import Visit
from forms.weight import WeightReading
from storage.changes import Begin, Change, Put
from storage.keys import FLOOR
from storage.store import Store
from storage.vault import set_up

__all__ = ["PASSPHRASE", "ZONE", "Clock", "Ids", "TwinVisit", "put_entry", "twin_visit"]

PASSPHRASE = "moss under the third step"
ZONE = "America/New_York"
ARRIVED = datetime(2026, 3, 3, 15, 42, tzinfo=UTC)


@dataclass
class Clock:
    """A clock that stands still until it is moved."""

    at: datetime = ARRIVED

    def __call__(self) -> datetime:
        return self.at

    def pass_by(self, **time: float) -> None:
        self.at += timedelta(**time)


@dataclass
class Ids:
    """Ids in a row, the same on every run."""

    made: int = 0

    def __call__(self) -> str:
        self.made += 1
        return f"{self.made:032x}"


def put_entry(store: Store, form: type[Form], entity: str, place: Place, author: str, **answers: Any) -> str:
    """Write an entry with its answers; "pain@left" is given as pain_at_left. The entity's id."""
    changes: list[Change] = [Begin(entity, place)]
    for name, value in answers.items():
        changes.append(Put(entity, Path.read(name.replace("_at_left", "@left").replace("_at_right", "@right")), value))
    store.write(changes, author=author)
    return entity


@dataclass
class TwinVisit:
    """An open store with the twins' second visit: Mara and her babies Ida and Juno."""

    store: Store
    lane: StoreLane
    clock: Clock
    ids: Ids
    author: str
    family: str
    visit: str
    mara: str
    ida: str
    juno: str
    dentist: str
    notices: Notices = field(default_factory=Notices)

    def put(self, form: type[Form], entity: str, *subjects: str, **answers: Any) -> str:
        """Write an entry of this visit."""
        place = Place(form.name, self.family, self.visit, subjects)
        return put_entry(self.store, form, entity, place, self.author, **answers)

    def put_one(self, form: type[Form], *subjects: str, **answers: Any) -> str:
        """Write answers into the one entry of `form` for these people at this visit."""
        return self.put(form, entry_id(form, self.visit, subjects), *subjects, **answers)

    def open(self) -> OpenChart:
        """The family's record, opened for charting."""
        return OpenChart(
            self.lane,
            self.store.chart(self.family, self.visit),
            author=self.author,
            clock=self.clock,
            ids=self.ids,
            zone=ZONE,
        )

    def at(self, hours: float = 0.0) -> Moment:
        return Moment(ARRIVED + timedelta(hours=hours), ZONE)


def _grams(amount: int) -> Quantity:
    return Quantity(str(amount), "g", amount)


def twin_visit(folder: Folder, clock: Clock | None = None) -> TwinVisit:
    """A new store in `folder` holding the practice, a provider and the twins' family with a visit begun."""
    clock, ids = clock or Clock(), Ids()
    store = set_up(folder, PASSPHRASE, clock=clock, ids=ids, argon=FLOOR).store
    author = ids()
    practice = Place("practice")
    put_entry(
        store, Practice, entry_id(Practice), practice, author,
        practice_name="Lantern Lane Feeding Care", country="us", emergency_number="911", crisis_line="988",
        weight_unit="g", volume_unit="mL", paper_size="letter", time_zone=ZONE,
    )  # fmt: skip
    put_entry(
        store, Practitioner, author, Place("practitioner"), author,
        full_name="Rosalind Achterberg", credentials="IBCLC", phone="555 0142",
    )  # fmt: skip
    dentist = put_entry(
        store, Provider, ids(), Place("provider"), author,
        full_name="Dr Ottoline Marsh", profession="dentist", phone="555 0177",
    )  # fmt: skip
    family = ids()
    put_entry(store, Family, family, Place("family", family), author, family_name="Thornquist", address="4 Bell Row")
    person = Place("parent", family)
    mara = put_entry(
        store, ParentIdentity, ids(), person, author,
        full_name="Mara Thornquist", called_name="Mara", phone="555 0199", roles=("birth_parent",),
    )  # fmt: skip
    babies = [
        put_entry(
            store, InfantIdentity, ids(), Place("infant", family), author,
            legal_name=f"{name} Thornquist", called_name=name, tag_shape=shape, plurality=2, birth_order=order,
            born=Moment(datetime(2026, 2, 9, 12, 14, tzinfo=UTC), ZONE), born_day=date(2026, 2, 9),
            gestation_weeks=35, gestation_days=2, birth_weight=_grams(weight),
        )
        for name, shape, order, weight in (("Ida", "circle", 1, 2310), ("Juno", "square", 2, 2145))
    ]  # fmt: skip
    visit = ids()
    put_entry(
        store, Visit, visit, Place("visit", family), author,
        kind="home", start=Moment(ARRIVED, ZONE), practitioner=author,
    )  # fmt: skip
    made = TwinVisit(store, StoreLane(store), clock, ids, author, family, visit, mara, *babies, dentist)
    for baby, days, grams in ((babies[0], 8, 2410), (babies[1], 8, 2240)):
        put_entry(
            store, WeightReading, ids(), Place("weight", family, visit, (baby,)), author,
            weight=_grams(grams), taken=Moment(ARRIVED - timedelta(days=days), ZONE), state="bare", source="seen",
        )  # fmt: skip
    return made
