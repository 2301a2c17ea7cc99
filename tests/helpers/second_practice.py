"""A second practice that takes a family over: its own consultant, and its own chart of the baby, begun already.

Of Ida it holds some of what the first practice will tell: the same, otherwise, and more.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path as Folder
from typing import Final

from demo_db import providers_told as told
from demo_db import thornquist
from demo_db.build import PASSPHRASE, Leaving, Visited, found, new_store, seal_practice
from demo_db.charting import Charting
from demo_db.ticking import ZONE, SeededIds, TickingClock, at
from forms.answers import Absence
from forms.ask import Paper
from forms.consent import Release
from forms.infant_history import InfantHistory
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.practice import Practice, Practitioner, Provider
from forms.report import ProviderReport
from forms.visit import Visit
from forms.weight import WeightReading
from storage.keys import FLOOR
from storage.store import Store
from storage.vault import set_up
from sync.handoff.leave import make_paper
from sync.handoff.seals import make_seals, seal_of
from sync.handoff.way import Way

__all__ = ["DAY", "OWN_WEIGHT", "SAME_WEIGHT", "Second", "handed_over", "second_practice"]

SAME_WEIGHT: Final = ("2,520 g", "2026-02-03 10:40")
"""A weight that the first practice tells too."""
OWN_WEIGHT: Final = ("3,402 g", "2026-03-19 09:30")
DAY: Final = "2026-03-19"


@dataclass(frozen=True)
class Second:
    """The second practice, open: ids of its consultant, family, people, visit and address book, and its clock."""

    store: Store
    clock: TickingClock
    ids: SeededIds
    author: str
    family: str
    mara: str
    ida: str
    visit: str
    doctor: str

    def paper(self, kind: Paper = Paper.SUMMARY) -> bytes:
        """Its own paper about Ida."""
        return make_paper(
            self.store, self.store.chart(self.family, self.visit), kind, author=self.author, now=self.clock(),
            person=self.ida, way=Way("sent", "care"), ids=self.ids,
        )  # fmt: skip


class _OnePaper(Leaving):
    """Leaves the twins' visit as the demo does, with one paper alone: the report about Ida."""

    made: dict[str, bytes]

    def paper(self, name: str, done: Visited, kind: Paper, **which: object) -> None:
        if name.endswith(("-report-ida", "-summary-ida")):
            self.made[str(kind)] = make_paper(
                self._store, self._store.chart(done.family, done.visit), kind, author=self._author, now=self._clock(),
                way=Way("sent", "care"), ids=self._ids, person=str(which["person"]),
            )  # fmt: skip


def handed_over(folder: Folder) -> tuple[dict[str, bytes], bytes]:
    """What the first practice makes of Ida at the twins' visit, by kind of paper, and its root."""
    store, clock, ids = new_store(folder)
    try:
        author, book = found(store, clock, ids)
        seal_practice(store, author, clock)
        clock.set(at("2026-03-02 12:06"))
        desk = Charting(store, author, ids)
        twins = thornquist.begin(desk, book)
        visit = thornquist.chart_visit(desk, twins, book)
        leaving = _OnePaper(store, author, clock, ids, folder)
        leaving.made = {}
        leaving(desk, Visited(
            "thornquist", twins.family, visit, {"ida": twins.ida, "juno": twins.juno}, told.of_twins(twins, book)
        ))  # fmt: skip
        return leaving.made, seal_of(store, author, name="", now=clock()).root
    finally:
        store.close()


def second_practice(folder: Folder) -> Second:
    """A store of its own in `folder`, opened by the demo's passphrase; Ida's first visit there is begun."""
    clock, ids = TickingClock(at(f"{DAY} 08:30")), SeededIds(77)
    store = set_up(folder, PASSPHRASE, clock=clock, ids=ids, argon=FLOOR).store
    desk = Charting(store, ids(), ids)
    desk.fill(
        Practice, practice_name="Marrow Street Feeding Care", country="us", emergency_number="911", crisis_line="988",
        weight_unit="g", volume_unit="mL", temperature_unit="C", paper_size="letter", time_zone=ZONE, hours="9 to 17",
    )  # fmt: skip
    desk.fill(
        Practitioner, entity=desk.author, full_name="Hazel Brook", credentials="lactation consultant",
        phone="555 0288", practice_role="consultant", licence_role="none",
    )  # fmt: skip
    make_seals(store, desk.author, practice="Marrow Street Feeding Care", name="Hazel Brook", now=clock())
    doctor = desk.fill(Provider, full_name="Dr Ansel Corrigan", profession="primary_infant", phone="555 0244")
    desk.family = desk.fill(Family, entity=ids(), family_name="Thornquist", units_spoken="metric")
    mara = desk.fill(ParentIdentity, entity=ids(), full_name="Mara Thornquist", phone="555 0299", may_consent=True)
    ida = desk.fill(
        InfantIdentity, entity=ids(), legal_name="Ida Thornquist", called_name="Idchen", tag_shape="triangle", sex="f",
        born="2026-01-12 04:20", birth_weight="2,300 g", birth_place="At home, as the mother told it",
    )  # fmt: skip
    for weight, taken in (SAME_WEIGHT, OWN_WEIGHT):
        desk.fill(WeightReading, ida, weight=weight, taken=taken, state="bare", source="seen", by_whom="Hazel Brook")
    desk.visit = desk.fill(
        Visit, entity=ids(), kind="home", start=f"{DAY} 09:15", practitioner=desk.author, reason="A second look"
    )  # fmt: skip
    desk.fill(InfantHistory, ida, medicines="Iron drops since last week", vitamin_k="mouth")
    desk.fill(CareTeam, ida, primary_provider=doctor)
    desk.fill(
        ProviderReport, ida, to=doctor, must_know="She gains.", would_change="A weight that stands still.",
        rest=Absence.NONE,
    )  # fmt: skip
    desk.fill(
        Release, ida, entity=ids(), recipient=doctor, scope=("report",), given_by="Mara Thornquist", relation="parent",
        how="signed", given_at=f"{DAY} 09:20", valid_from=DAY, valid_until="2026-09-30",
    )  # fmt: skip
    return Second(store, clock, ids, desk.author, desk.family, mara, ida, desk.visit, doctor)
