"""The whole job on invented families: a store is set up, three visits are charted, two signed, and papers are written."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from demo_db import finch, lindqvist, thornquist
from demo_db.charting import Charting
from demo_db.practice import found_practice
from demo_db.ticking import SeededIds, TickingClock, at
from storage.keys import FLOOR
from storage.store import Store
from storage.vault import set_up

__all__ = ["PASSPHRASE", "Built", "Charted", "build", "chart_all"]

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


def build(folder: Path) -> Built:
    """Do the whole job in `folder`: stores/laptop and papers/. Raises Trouble when a step cannot be done."""
    laptop = folder / "stores" / "laptop"
    store, clock, ids = new_store(laptop)
    try:
        chart_all(store, clock, ids)
    finally:
        store.close()
    return Built(laptop, (laptop,), ())
