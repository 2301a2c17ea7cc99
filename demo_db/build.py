"""The whole job on invented families: a store is set up, visits are charted, all but one signed, papers written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import TypeAlias

from demo_db import finch, hesper, lindqvist, pellworth, penaloza, sorrelby, thornquist, vantreece
from demo_db.charting import Charting
from demo_db.practice import AddressBook, found_practice
from demo_db.ticking import SeededIds, TickingClock, at
from forms.ask import Paper
from forms.clinical.prompts import open_prompts
from forms.note import ready_to_sign
from forms.trouble import Bug
from storage.keys import FLOOR
from storage.store import Store
from storage.vault import set_up
from sync.handoff.leave import make_paper
from sync.handoff.saved import save_paper
from sync.handoff.seals import make_seals
from sync.handoff.way import Way

__all__ = [
    "PASSPHRASE", "Built", "Charted", "Leaving", "Visited", "build", "chart_all", "chart_families", "found", "new_store",
    "seal_practice",
]  # fmt: skip

PASSPHRASE = "linen walnut weld and madder"
"""Of the invented store only; printed by the demo so that anyone can open it."""


@dataclass(frozen=True, slots=True)
class Charted:
    """What stands in the invented store, by id."""

    author: str
    twins: thornquist.Twins
    bram: lindqvist.Bram
    arlo: finch.Arlo
    linnet: hesper.Linnet
    tobin: pellworth.Tobin
    fenna: sorrelby.Fenna
    andres: penaloza.Andres
    oswin: vantreece.Oswin
    twins_visit: str
    bram_visit: str
    arlo_visit: str
    linnet_visit: str
    tobin_visit: str
    fenna_visit: str
    andres_visit: str
    oswin_visit: str
    referral: str


@dataclass(frozen=True, slots=True)
class Visited:
    """A visit that was just charted: how its papers are called, its family, and the id of a letter begun at it.

    `languages` are the tags in which its plan is also left, beside English.
    """

    name: str
    family: str
    visit: str
    referral: str = ""
    languages: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Built:
    """What the demo wrote."""

    store: Path
    paths: tuple[Path, ...]
    told: tuple[str, ...]


AtTheDoor: TypeAlias = Callable[[Visited], None]
"""What is done at the end of each visit, when the visit is charted: nothing, or signing and papers."""


def found(store: Store, clock: TickingClock, ids: SeededIds) -> tuple[str, AddressBook]:
    """Write the practice into a new store: the consultant's id, and the address book."""
    author = ids()
    clock.set(at("2026-02-10 10:00"))
    return author, found_practice(Charting(store, author, ids))


def chart_all(store: Store, clock: TickingClock, ids: SeededIds) -> Charted:
    """Write the practice and its families into a new store; nothing is signed."""
    author, book = found(store, clock, ids)
    return chart_families(store, clock, ids, author, book, lambda _: None)


def chart_families(
    store: Store, clock: TickingClock, ids: SeededIds, author: str, book: AddressBook, leave: AtTheDoor
) -> Charted:
    """Chart every family's visit in the order of their days, each with what is done at the door."""

    def arrive(when: str) -> Charting:
        clock.set(at(when))
        return Charting(store, author, ids)

    desk = arrive("2026-02-24 10:36")
    oswin = vantreece.begin(desk, book)
    oswin_visit = vantreece.chart_visit(desk, oswin, book)
    leave(Visited("", oswin.family, oswin_visit))
    vantreece.close(desk, oswin, oswin_visit)
    desk = arrive("2026-02-26 14:56")
    linnet = hesper.begin(desk, book)
    linnet_visit = hesper.chart_visit(desk, linnet, book)
    leave(Visited("hesper-tavish", linnet.family, linnet_visit))
    desk = arrive("2026-02-27 11:11")
    tobin = pellworth.begin(desk, book)
    tobin_visit = pellworth.chart_visit(desk, tobin, book)
    leave(Visited("pellworth", tobin.family, tobin_visit))
    desk = arrive("2026-02-27 15:31")
    fenna = sorrelby.begin(desk, book)
    fenna_visit = sorrelby.chart_visit(desk, fenna, book)
    leave(Visited("sorrelby", fenna.family, fenna_visit))
    desk = arrive("2026-02-28 15:46")
    andres = penaloza.begin(desk, book)
    andres_visit = penaloza.chart_visit(desk, andres, book)
    leave(Visited("penaloza-ruiz", andres.family, andres_visit, languages=("es",)))
    desk = arrive("2026-03-02 12:06")
    twins = thornquist.begin(desk, book)
    twins_visit = thornquist.chart_visit(desk, twins, book)
    leave(Visited("thornquist", twins.family, twins_visit))
    desk = arrive("2026-03-02 14:51")
    bram = lindqvist.begin(desk, book)
    bram_visit, referral = lindqvist.chart_visit(desk, bram, book)
    leave(Visited("lindqvist-osei", bram.family, bram_visit, referral))
    desk = arrive("2026-03-02 16:11")
    arlo = finch.begin(desk, book)
    arlo_visit = finch.chart_visit(desk, arlo, book)
    return Charted(
        author, twins, bram, arlo, linnet, tobin, fenna, andres, oswin, twins_visit, bram_visit, arlo_visit, linnet_visit,
        tobin_visit, fenna_visit, andres_visit, oswin_visit, referral,
    )  # fmt: skip


def new_store(folder: Path) -> tuple[Store, TickingClock, SeededIds]:
    """An empty invented store with the demo's clock and ids."""
    clock, ids = TickingClock(at("2026-02-10 09:00")), SeededIds()
    made = set_up(folder, PASSPHRASE, clock=clock, ids=ids, argon=FLOOR)
    return made.store, clock, ids


def seal_practice(store: Store, author: str, clock: TickingClock) -> None:
    """Make the practice's root and the consultant's certificate, as set-up does."""
    make_seals(store, author, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=clock())


_GIVEN = Way("printed", "family")
_WAYS = MappingProxyType({Paper.REFERRAL: Way("sent", "care"), Paper.CALL_NOW: Way("printed", "urgent")})


class Leaving:
    """Signs each finished visit as the window would let her sign it, and writes its papers into a folder."""

    def __init__(self, store: Store, author: str, clock: TickingClock, ids: SeededIds, papers: Path) -> None:
        self._store, self._author, self._clock, self._ids, self._papers = store, author, clock, ids, papers
        self.written: list[Path] = []

    def __call__(self, done: Visited) -> None:
        """Sign, and write the plan of a family that has papers, and its letter. Raises Bug for an unfinished note."""
        chart = self._store.chart(done.family, done.visit)
        if not ready_to_sign(chart) or open_prompts(chart, self._clock()):
            raise Bug("an invented note that is to be signed is not complete")
        self._store.sign(done.visit, author=self._author)
        if done.name:
            self.paper(f"{done.name}-plan.pdf", done.family, done.visit, Paper.FAMILY_PLAN)
        for tag in done.languages:
            name = f"{done.name}-plan-{tag}.pdf"
            self.paper(name, done.family, done.visit, Paper.FAMILY_PLAN, language=tag)
        if done.referral:
            self.paper(f"{done.name}-referral.pdf", done.family, done.visit, Paper.REFERRAL, done.referral)

    def paper(self, name: str, family: str, visit: str, kind: Paper, referral: str = "", language: str = "en") -> None:
        """Write one paper of a visit."""
        made = make_paper(
            self._store, self._store.chart(family, visit), kind, author=self._author, now=self._clock(),
            referral=referral, language=language, way=_WAYS.get(kind, _GIVEN), ids=self._ids,
        )  # fmt: skip
        save_paper(self._papers / name, made)
        self.written.append(self._papers / name)


def build(folder: Path) -> Built:
    """Do the whole job in `folder`: stores/laptop and papers/. Raises Trouble when a step cannot be done."""
    laptop, papers = folder / "stores" / "laptop", folder / "papers"
    papers.mkdir(parents=True, exist_ok=True)
    store, clock, ids = new_store(laptop)
    try:
        author, book = found(store, clock, ids)
        seal_practice(store, author, clock)
        leaving = Leaving(store, author, clock, ids, papers)
        charted = chart_families(store, clock, ids, author, book, leaving)
        clock.set(at("2026-03-02 16:14"))
        leaving.paper("finch-adeyemi-call-now.pdf", charted.arlo.family, charted.arlo_visit, Paper.CALL_NOW)
    finally:
        store.close()
    told = (
        "Eight invented families are charted; seven visits are signed, and one waits for a call that cannot wait.",
        "Care of one family is closed.",
        "The second device is not part of this version yet; there is one store, and nothing is merged.",
    )
    return Built(laptop, (laptop, *leaving.written), told)
