"""The whole job on invented families: a store is set up, visits are charted, all but one signed, papers written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final, TypeAlias

from demo_db import finch, hesper, lindqvist, pellworth, penaloza, sorrelby, thornquist, vantreece
from demo_db import providers_told as told
from demo_db.charting import Charting
from demo_db.given_out import PASSWORD, lay_sheet, leave_figures, leave_package
from demo_db.handing_on import HandedOn, bill_from, bill_to, hand_on
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
from sync.handoff.own_seals import tell_own
from sync.handoff.saved import save_paper
from sync.handoff.seals import make_seals
from sync.handoff.way import Way

__all__ = [
    "PASSPHRASE", "Built", "Charted", "Leaving", "Visited", "build", "chart_all", "chart_families", "found", "new_store",
    "seal_practice",
]  # fmt: skip

_GIVEN: Final = Way("printed", "family")
_WAYS: Final = MappingProxyType({
    Paper.REPORT: Way("sent", "care"), Paper.REFERRAL: Way("sent", "care"), Paper.CALL_NOW: Way("printed", "urgent"),
    Paper.RECEIPT: Way("printed", "payment"),
})  # fmt: skip
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
    """A visit that was just charted: how its papers are called, its family, and what goes to others.

    `people` are those whose visit is summed up, by the name in the file; `languages` and `large` are the tags in which
    its plan is also left, in 14 and in 18 points; `referral` is a letter begun at the visit itself, `insured` and
    `doctor` what a receipt names. `called`: the note waits for a call; `closed`: care was ended since.
    """

    name: str
    family: str
    visit: str
    people: Mapping[str, str]
    handed: HandedOn
    referral: str = ""
    languages: tuple[str, ...] = ()
    large: tuple[str, ...] = ()
    insured: str = ""
    doctor: str = ""
    called: bool = False
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Built:
    """What the demo wrote."""

    store: Path
    paths: tuple[Path, ...]
    told: tuple[str, ...]


AtTheDoor: TypeAlias = Callable[[Charting, Visited], None]
"""What is done at the end of each visit, when the visit is charted: nothing, or signing and papers."""


def found(store: Store, clock: TickingClock, ids: SeededIds) -> tuple[str, AddressBook]:
    """Write the practice into a new store: the consultant's id, and the address book."""
    author = ids()
    clock.set(at("2026-02-10 10:00"))
    return author, found_practice(Charting(store, author, ids))


def chart_all(store: Store, clock: TickingClock, ids: SeededIds) -> Charted:
    """Write the practice and its families into a new store; nothing is signed."""
    author, book = found(store, clock, ids)
    return chart_families(store, clock, ids, author, book, lambda *_: None)


def chart_families(
    store: Store, clock: TickingClock, ids: SeededIds, author: str, book: AddressBook, leave: AtTheDoor
) -> Charted:
    """Chart every family's visit in the order of their days, each with what is done at the door."""

    def arrive(when: str) -> Charting:
        clock.set(at(when))
        return Charting(store, author, ids)

    oswin, oswin_visit = _last_talk(arrive("2026-02-24 10:36"), book, leave)
    desk = arrive("2026-02-26 14:56")
    linnet = hesper.begin(desk, book)
    linnet_visit = hesper.chart_visit(desk, linnet, book)
    leave(desk, Visited(
        "hesper-tavish", linnet.family, linnet_visit, {"linnet": linnet.linnet}, told.of_linnet(linnet, book)
    ))  # fmt: skip
    desk = arrive("2026-02-27 11:11")
    tobin = pellworth.begin(desk, book)
    tobin_visit = pellworth.chart_visit(desk, tobin, book)
    leave(desk, Visited(
        "pellworth", tobin.family, tobin_visit, {"tobin": tobin.tobin, "delphine": tobin.delphine},
        told.of_tobin(tobin, book), insured=tobin.delphine, doctor=book.paediatrician,
    ))  # fmt: skip
    desk = arrive("2026-02-27 15:31")
    fenna = sorrelby.begin(desk, book)
    fenna_visit = sorrelby.chart_visit(desk, fenna, book)
    leave(desk, Visited(
        "sorrelby", fenna.family, fenna_visit, {"fenna": fenna.fenna}, told.of_fenna(fenna, book), large=("en",),
    ))  # fmt: skip
    desk = arrive("2026-02-28 15:46")
    andres = penaloza.begin(desk, book)
    andres_visit = penaloza.chart_visit(desk, andres, book)
    leave(desk, Visited(
        "penaloza-ruiz", andres.family, andres_visit, {"andres": andres.andres}, told.of_andres(andres, book),
        languages=("es",), large=("es",),
    ))  # fmt: skip
    desk = arrive("2026-03-02 12:06")
    twins = thornquist.begin(desk, book)
    twins_visit = thornquist.chart_visit(desk, twins, book)
    leave(desk, Visited(
        "thornquist", twins.family, twins_visit, {"ida": twins.ida, "juno": twins.juno}, told.of_twins(twins, book)
    ))  # fmt: skip
    desk = arrive("2026-03-02 14:51")
    bram = lindqvist.begin(desk, book)
    bram_visit, referral = lindqvist.chart_visit(desk, bram, book)
    leave(desk, Visited(
        "lindqvist-osei", bram.family, bram_visit, {"bram": bram.bram}, told.of_bram(bram, book), referral
    ))  # fmt: skip
    arlo, arlo_visit = _unfinished(arrive("2026-03-02 16:11"), book, leave)
    return Charted(
        author, twins, bram, arlo, linnet, tobin, fenna, andres, oswin, twins_visit, bram_visit, arlo_visit, linnet_visit,
        tobin_visit, fenna_visit, andres_visit, oswin_visit, referral,
    )  # fmt: skip


def _last_talk(desk: Charting, book: AddressBook, leave: AtTheDoor) -> tuple[vantreece.Oswin, str]:
    """Oswin's last visit, after which care is closed: his ids, and the visit's."""
    people = vantreece.begin(desk, book)
    visit = vantreece.chart_visit(desk, people, book)
    last = Visited("vantreece", people.family, visit, {"oswin": people.oswin}, told.of_oswin(people, book))
    leave(desk, last)
    vantreece.close(desk, people, visit)
    leave(desk, replace(last, closed=True))
    return people, visit


def _unfinished(desk: Charting, book: AddressBook, leave: AtTheDoor) -> tuple[finch.Arlo, str]:
    """Arlo's visit, which waits for a call: his ids, and the visit's."""
    people = finch.begin(desk, book)
    visit = finch.chart_visit(desk, people, book)
    handed = told.of_arlo(people, book)
    leave(desk, Visited("finch-adeyemi", people.family, visit, {"arlo": people.arlo}, handed, called=True))
    return people, visit


def new_store(folder: Path) -> tuple[Store, TickingClock, SeededIds]:
    """An empty invented store with the demo's clock and ids."""
    clock, ids = TickingClock(at("2026-02-10 09:00")), SeededIds()
    made = set_up(folder, PASSPHRASE, clock=clock, ids=ids, argon=FLOOR)
    return made.store, clock, ids


def seal_practice(store: Store, author: str, clock: TickingClock) -> None:
    """Make the practice's root and the consultant's certificate, as set-up does."""
    make_seals(store, author, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=clock())
    tell_own(store, author)


class Leaving:
    """Signs each finished visit as the window would let her sign it, and writes its papers into a folder."""

    def __init__(self, store: Store, author: str, clock: TickingClock, ids: SeededIds, papers: Path) -> None:
        self._store, self._author, self._clock, self._ids, self._papers = store, author, clock, ids, papers
        self.written: list[Path] = []

    def __call__(self, desk: Charting, done: Visited) -> None:
        """Write what goes to others, sign, and write every paper. Raises Bug for an unfinished note."""
        if done.closed:
            self.paper(f"{done.name}-closing", done, Paper.CLOSING)
            for name, person in done.people.items():
                self.paper(f"{done.name}-closing-{name}", done, Paper.CLOSING, person=person)
            return
        letters = hand_on(desk, done.handed)
        if done.called:
            self.paper(f"{done.name}-call-now", done, Paper.CALL_NOW)
            self._reports(done)
            return
        if done.handed.billed:
            bill_to(desk, done.handed.billed, done.insured, done.doctor, done.handed.at.split()[0])
        self._sign(done)
        self._plans(done)
        self._reports(done)
        for name, person in done.people.items():
            self.paper(f"{done.name}-summary-{name}", done, Paper.SUMMARY, person=person)
        for letter in filter(None, (done.referral, *letters)):
            self.paper(f"{done.name}-referral", done, Paper.REFERRAL, referral=letter)
        if done.handed.billed:
            self.paper(f"{done.name}-receipt", done, Paper.RECEIPT, person=done.handed.billed)

    def _sign(self, done: Visited) -> None:
        chart = self._store.chart(done.family, done.visit)
        if not ready_to_sign(chart) or open_prompts(chart, self._clock()):
            raise Bug("an invented note that is to be signed is not complete")
        self._store.sign(done.visit, author=self._author)

    def _reports(self, done: Visited) -> None:
        named = {person: name for name, person in done.people.items()}
        for report in done.handed.reports:
            self.paper(f"{done.name}-report-{named[report.person]}", done, Paper.REPORT, person=report.person)

    def _plans(self, done: Visited) -> None:
        self.paper(f"{done.name}-plan", done, Paper.FAMILY_PLAN)
        for tag in done.languages:
            self.paper(f"{done.name}-plan-{tag}", done, Paper.FAMILY_PLAN, language=tag)
        for tag in done.large:
            self.paper(f"{done.name}-plan-large-{tag}", done, Paper.FAMILY_PLAN, language=tag, large=True)

    def paper(self, name: str, done: Visited, kind: Paper, **which: Any) -> None:
        """Write one paper of a visit, with the record beside it where one belongs; `which` are words of `make_paper`."""
        made = make_paper(
            self._store, self._store.chart(done.family, done.visit), kind, author=self._author, now=self._clock(),
            way=_WAYS.get(kind, _GIVEN), ids=self._ids, **which,
        )  # fmt: skip
        path = self._papers / f"{name}.pdf"
        self.written += [path, *save_paper(path, made)]


def build(folder: Path) -> Built:
    """Do the whole job in `folder`: stores/laptop, papers/ and others/. Raises Trouble when a step cannot be done."""
    laptop, papers, others = folder / "stores" / "laptop", folder / "papers", folder / "others"
    for one in (papers, others):
        one.mkdir(parents=True, exist_ok=True)
    store, clock, ids = new_store(laptop)
    try:
        author, book = found(store, clock, ids)
        seal_practice(store, author, clock)
        leaving = Leaving(store, author, clock, ids, papers)
        bill_from(Charting(store, author, ids))
        done = chart_families(store, clock, ids, author, book, leaving)
        written = (
            *lay_sheet(store, done.arlo.family, others, author=author, now=clock()),
            *leave_package(store, done.bram, others, author=author, now=clock(), ids=ids),
            *leave_figures(store, others, author=author, now=clock()),
        )
    finally:
        store.close()
    told = (
        "Eight invented families are charted; seven visits are signed, and one waits for a call that cannot wait.",
        "Care of one family is closed. Each paper lies in papers/, and beside one for a provider its open record.",
        "In others/ lie a baby’s record given out in one locked file, the practice’s figures, a sheet for before a visit.",
        f"Password of the invented record given out: {PASSWORD}",
        "The second device is not part of this version yet; there is one store, and nothing is merged.",
    )
    return Built(laptop, (laptop, *leaving.written, *written), told)
