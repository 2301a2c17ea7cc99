"""A group practice over years, scaled down: `python -m tests.bench.simulate [--consultants 50 --devices 100 --years 10]`.

Real stores write and meet over real files. Only a part of the visits and of the devices is run (`--scale`, `--run`); each
figure is measured at three lengths of history and three numbers of devices, and the way from one to the next tells how it
grows. What is printed for the whole practice is extrapolated and says so.
"""

from __future__ import annotations

import argparse
import random
import tempfile
from dataclasses import dataclass
from math import log
from pathlib import Path
from time import process_time

from forms.chart import Place
from storage.changes import Begin, Change
from storage.store import Store
from sync.exchange.practice import found_practice
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, Clock, grams, put

__all__ = ["Point", "run"]

VISITS_A_YEAR, OPERATIONS = 1_000, 200
"""Of one consultant: five visits on two hundred days, two hundred operations each (assumed, no source)."""
BENDS = 1.15
"""A figure that grows with a higher power than this is named (house bound)."""
FIGURES = ("store MB", "place MB", "files at the place", "join s of processor", "requests of an idle round")


@dataclass(frozen=True, slots=True)
class Point:
    """What was measured for one number of devices and of visits, in the order of FIGURES."""

    devices: int
    visits: int
    figures: tuple[float, ...]


def _visit(store: Store, draw: random.Random) -> None:
    """One family seen once, in as many operations as a visit has."""
    family, visit, baby = (f"{draw.getrandbits(128):032x}" for _ in range(3))
    changes: list[Change] = [
        Begin(family, Place("family", family)),
        put(family, "family_name", f"Thistle {family[:6]}"),
        Begin(baby, Place("infant", family)),
        put(baby, "called_name", "Wren"),
        Begin(visit, Place("visit", family)),
        put(visit, "kind", "home"),
    ]
    while len(changes) < OPERATIONS:
        weight = f"{draw.getrandbits(128):032x}"
        changes += [
            Begin(weight, Place("weight", family, visit, (baby,))),
            put(weight, "weight", grams(3000 + draw.randrange(900))),
        ]
    store.write(changes, author=AUTHOR)


def run(folder: Path, devices: int, visits: int, seed: int) -> Point:
    """So many devices of one practice, which see families in turn and meet after each visit; then one more joins."""
    draw, shelf = random.Random(seed), Shelf()
    stores = [device(folder, f"device {n}").store for n in range(devices)]
    found_practice(stores[0], "Device 0", Clock())
    for n, store in enumerate(stores[1:], start=1):
        joined(stores[0], store, f"Device {n}")
    for n in range(visits):
        _visit(stores[n % devices], draw)
        meet(stores[n % devices], shelf)
    for store in (*stores, *stores):
        meet(store, shelf)
    requests = meet(stores[0], shelf).requests
    new = device(folder, "new").store
    joined(stores[0], new, "New")
    meet(stores[0], shelf)
    began = process_time()
    meet(new, shelf)
    took = process_time() - began
    assert new.exchange().digest() == stores[0].exchange().digest(), "whoever joins must know all"
    for store in (*stores, new):
        store.close()
    size = sum(path.stat().st_size for path in (folder / "device 0").rglob("*") if path.is_file())
    place = sum(map(len, shelf.held.values()))
    return Point(devices, visits, (size / 1e6, place / 1e6, len(shelf.held), took, requests))


def _power(low: float, high: float, times: float) -> float:
    return log(max(high, 1e-9) / max(low, 1e-9)) / log(times)


def main() -> None:
    """Run, print each point, the powers, what bends, and the whole practice by those powers."""
    ask = argparse.ArgumentParser()
    ask.add_argument("--consultants", type=int, default=50)
    ask.add_argument("--devices", type=int, default=100)
    ask.add_argument("--years", type=int, default=10)
    ask.add_argument("--scale", type=float, default=1 / 12_500, help="the part of the visits that is run")
    ask.add_argument("--run", type=int, default=8, help="the devices that are run")
    ask.add_argument("--seed", type=int, default=1)
    told = ask.parse_args()
    whole = told.consultants * told.years * VISITS_A_YEAR
    visits = max(16, round(whole * told.scale))
    print(
        f"on paper: {told.consultants} consultants, {told.devices} devices, {told.years} years, {whole:,} visits of "
        f"{OPERATIONS} operations; run: {told.run} devices, {visits} visits, seed {told.seed}"
    )
    shapes = [(told.run, visits // 4), (told.run, visits // 2), (told.run, visits),
              (told.run // 4, visits // 4), (told.run // 2, visits // 4)]  # fmt: skip
    points: list[Point] = []
    for devices, count in shapes:
        with tempfile.TemporaryDirectory() as folder:
            points.append(run(Path(folder), devices, count, told.seed))
        figures = ", ".join(f"{name} {one:,.2f}" for name, one in zip(FIGURES, points[-1].figures, strict=True))
        print(f"measured: {devices} devices, {count} visits: {figures}", flush=True)
    first, middle, last, fewest, fewer = points
    for n, name in enumerate(FIGURES):
        by_visits = _power(middle.figures[n], last.figures[n], last.visits / middle.visits)
        by_devices = _power(fewer.figures[n], first.figures[n], first.devices / fewer.devices)
        earlier = (
            _power(first.figures[n], middle.figures[n], middle.visits / first.visits),
            _power(fewest.figures[n], fewer.figures[n], fewer.devices / fewest.devices),
        )
        bends = "; BENDS" if by_visits > BENDS or by_devices > BENDS else ""
        # Beyond what was run each figure goes on by the slope of the last step, not by its power: a start-up share
        # that is the same for ever would make a power too small.
        per_visit = (last.figures[n] - middle.figures[n]) / (last.visits - middle.visits)
        per_device = (first.figures[n] - fewer.figures[n]) / (first.devices - fewer.devices)
        far = last.figures[n] + per_visit * (whole - last.visits) + per_device * (told.devices - last.devices)
        whole_told = f"{far:,.0f}" if far >= last.figures[n] else "does not grow beyond what was run"
        print(
            f"{name}: grows with history to the power {by_visits:.2f} (before: {earlier[0]:.2f}), with devices to the "
            f"power {by_devices:.2f} (before: {earlier[1]:.2f}){bends}; extrapolated in a straight line: {whole_told}"
        )


if __name__ == "__main__":
    main()
