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
from forms.clinical.feed_clock import Reading
from forms.practice import Practice
from storage.changes import Begin, Change, Put
from storage.keys import FLOOR
from storage.store import Store
from storage.vault import set_up

__all__ = ["PASSPHRASE", "ZONE", "Clock", "Ids", "TwinVisit", "twin_visit"]

PASSPHRASE = "moss under the third step"
ZONE = "America/New_York"
ARRIVED = datetime(2026, 3, 3, 15, 42, tzinfo=UTC)


@dataclass
class Clock:
    """A clock that stands still until it is moved."""

    at: datetime = ARRIVED
    steady: timedelta = timedelta(hours=1)

    def __call__(self) -> datetime:
        return self.at

    def pass_by(self, **time: float) -> None:
        """Time goes by, on the wall and on the steady clock."""
        self.at += timedelta(**time)
        self.steady += timedelta(**time)

    def set_wall(self, at: datetime) -> None:
        """Somebody sets the clock; no time goes by."""
        self.at = at

    def reading(self) -> Reading:
        """The steady clock."""
        return Reading("a start of this machine", self.steady // timedelta(microseconds=1) * 1000)


@dataclass
class Ids:
    """Ids in a row, the same on every run."""

    made: int = 0

    def __call__(self) -> str:
        self.made += 1
        return f"{self.made:032x}"


@dataclass
class Written:
    """Changes gathered for one write, which is far quicker than many."""

    changes: list[Change] = field(default_factory=list)

    def put(self, entity: str, place: Place, **answers: Any) -> str:
        """An entry with its answers; the entity's id."""
        self.changes.append(Begin(entity, place))
        self.changes.extend(Put(entity, Path.read(name), value) for name, value in answers.items())
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

    def open(self) -> OpenChart:
        """The family's record, opened for charting."""
        return OpenChart(
            self.lane,
            self.store.chart(self.family, self.visit),
            author=self.author,
            clock=self.clock,
            ids=self.ids,
            zone=ZONE,
            reading=self.clock.reading,
        )

    def at(self, hours: float = 0.0) -> Moment:
        return Moment(ARRIVED + timedelta(hours=hours), ZONE)


def _grams(amount: int) -> Quantity:
    return Quantity(str(amount), "g", amount)


def twin_visit(folder: Folder, clock: Clock | None = None) -> TwinVisit:
    """A new store in `folder` holding the practice, a provider and the twins' family with a visit begun."""
    clock, ids = clock or Clock(), Ids()
    store = set_up(folder, PASSPHRASE, clock=clock, ids=ids, argon=FLOOR).store
    author, w = ids(), Written()
    w.put(
        entry_id(Practice), Place("practice"),
        practice_name="Lantern Lane Feeding Care", country="us", emergency_number="911", crisis_line="988",
        weight_unit="g", volume_unit="mL", paper_size="letter", time_zone=ZONE,
    )  # fmt: skip
    w.put(
        author, Place("practitioner"),
        full_name="Rosalind Achterberg", credentials="IBCLC", phone="555 0142",
    )  # fmt: skip
    dentist = w.put(
        ids(), Place("provider"),
        full_name="Dr Ottoline Marsh", profession="dentist", phone="555 0177",
    )  # fmt: skip
    family = ids()
    w.put(family, Place("family", family), family_name="Thornquist", address="4 Bell Row")
    mara = w.put(
        ids(), Place("parent", family),
        full_name="Mara Thornquist", called_name="Mara", phone="555 0199", roles=("birth_parent",),
    )  # fmt: skip
    babies = [
        w.put(
        ids(), Place("infant", family),
            legal_name=f"{name} Thornquist", called_name=name, tag_shape=shape, plurality=2, birth_order=order,
            born=Moment(datetime(2026, 2, 9, 12, 14, tzinfo=UTC), ZONE), born_day=date(2026, 2, 9),
            gestation_weeks=35, gestation_days=2, birth_weight=_grams(weight),
        )
        for name, shape, order, weight in (("Ida", "circle", 1, 2310), ("Juno", "square", 2, 2145))
    ]  # fmt: skip
    visit = ids()
    w.put(
        visit, Place("visit", family),
        kind="home", start=Moment(ARRIVED, ZONE), practitioner=author,
    )  # fmt: skip
    for baby, days, grams in ((babies[0], 8, 2410), (babies[1], 8, 2240)):
        w.put(
        ids(), Place("weight", family, visit, (baby,)),
            weight=_grams(grams), taken=Moment(ARRIVED - timedelta(days=days), ZONE), state="bare", source="seen",
        )  # fmt: skip
    store.write(w.changes, author=author)
    return TwinVisit(store, StoreLane(store), clock, ids, author, family, visit, mara, babies[0], babies[1], dentist)
