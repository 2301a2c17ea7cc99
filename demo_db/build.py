"""The whole job on invented families: a store is set up, three visits are charted, two signed, and papers are written."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from demo_db import finch, lindqvist, thornquist
from demo_db.charting import Charting
from demo_db.practice import found_practice
from demo_db.ticking import SeededIds, TickingClock, at
from forms.ask import Paper
from forms.clinical.prompts import open_prompts
from forms.note import ready_to_sign
from forms.trouble import Bug
from storage.keys import FLOOR
from storage.store import Store
from storage.vault import set_up
from sync.handoff.leave import make_paper, save_paper
from sync.handoff.seals import make_seals

__all__ = ["PASSPHRASE", "Built", "Charted", "build", "chart_all", "new_store", "seal_practice"]

PASSPHRASE = "linen walnut weld and madder"
"""Of the invented store only; printed by the demo so that anyone can open it."""


@dataclass(frozen=True, slots=True)
class Charted:
    """What stands in the invented store, by id."""

    author: str
    twins: thornquist.Twins
    bram: lindqvist.Bram
    arlo: finch.Arlo
    twins_visit: str
    bram_visit: str
    arlo_visit: str
    referral: str


@dataclass(frozen=True, slots=True)
class Built:
    """What the demo wrote."""

    store: Path
    paths: tuple[Path, ...]
    told: tuple[str, ...]


def chart_all(store: Store, clock: TickingClock, ids: SeededIds) -> Charted:
    """Write the practice and its three families into a new store; nothing is signed yet."""
    author = ids()
    desk = Charting(store, author, ids)
    clock.set(at("2026-02-10 10:00"))
    book = found_practice(desk)
    twins = thornquist.begin(desk, book)
    clock.set(at("2026-03-02 12:06"))
    twins_visit = thornquist.chart_visit(desk, twins, book)
    desk = Charting(store, author, ids)
    clock.set(at("2026-03-02 14:51"))
    bram = lindqvist.begin(desk, book)
    bram_visit, referral = lindqvist.chart_visit(desk, bram, book)
    desk = Charting(store, author, ids)
    clock.set(at("2026-03-02 16:11"))
    arlo = finch.begin(desk, book)
    arlo_visit = finch.chart_visit(desk, arlo, book)
    return Charted(author, twins, bram, arlo, twins_visit, bram_visit, arlo_visit, referral)


def new_store(folder: Path) -> tuple[Store, TickingClock, SeededIds]:
    """An empty invented store with the demo's clock and ids."""
    clock, ids = TickingClock(at("2026-02-10 09:00")), SeededIds()
    made = set_up(folder, PASSPHRASE, clock=clock, ids=ids, argon=FLOOR)
    return made.store, clock, ids


def seal_practice(store: Store, charted: Charted, clock: TickingClock) -> None:
    """Make the practice's root and the consultant's certificate, as set-up does."""
    make_seals(store, charted.author, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=clock())


def _leave(store: Store, charted: Charted, clock: TickingClock, ids: SeededIds, papers: Path) -> list[Path]:
    """Sign the two finished visits and write every paper: sealed ones of them, the call-now page of the third."""
    written: list[Path] = []

    def leave(name: str, family: str, visit: str, kind: Paper, referral: str = "") -> None:
        made = make_paper(
            store, store.chart(family, visit), kind, author=charted.author, now=clock(), referral=referral,
            left_how="printed" if kind is not Paper.REFERRAL else "sent", ids=ids,
        )  # fmt: skip
        save_paper(papers / name, made)
        written.append(papers / name)

    twins, bram, arlo = charted.twins, charted.bram, charted.arlo
    clock.set(at("2026-03-02 16:14"))
    leave("finch-adeyemi-call-now.pdf", arlo.family, charted.arlo_visit, Paper.CALL_NOW)
    clock.set(at("2026-03-02 18:00"))
    store.sign(charted.twins_visit, author=charted.author)
    leave("thornquist-plan.pdf", twins.family, charted.twins_visit, Paper.FAMILY_PLAN)
    store.sign(charted.bram_visit, author=charted.author)
    leave("lindqvist-osei-plan.pdf", bram.family, charted.bram_visit, Paper.FAMILY_PLAN)
    leave("lindqvist-osei-referral.pdf", bram.family, charted.bram_visit, Paper.REFERRAL, charted.referral)
    return written


def _must_be_complete(store: Store, charted: Charted, clock: TickingClock) -> None:
    """The demo signs what the window would let her sign; raises Bug when an invented note is not complete."""
    for family, visit in (
        (charted.twins.family, charted.twins_visit),
        (charted.bram.family, charted.bram_visit),
    ):
        chart = store.chart(family, visit)
        if not ready_to_sign(chart) or open_prompts(chart, clock()):
            raise Bug("an invented note that is to be signed is not complete")


def build(folder: Path) -> Built:
    """Do the whole job in `folder`: stores/laptop and papers/. Raises Trouble when a step cannot be done."""
    laptop, papers = folder / "stores" / "laptop", folder / "papers"
    papers.mkdir(parents=True, exist_ok=True)
    store, clock, ids = new_store(laptop)
    try:
        charted = chart_all(store, clock, ids)
        seal_practice(store, charted, clock)
        _must_be_complete(store, charted, clock)
        written = _leave(store, charted, clock, ids, papers)
    finally:
        store.close()
    told = (
        "Three invented families are charted; two visits are signed, one waits for a call that cannot wait.",
        "The second device is not part of this version yet; there is one store, and nothing is merged.",
    )
    return Built(laptop, (laptop, *written), told)
