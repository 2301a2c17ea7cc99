"""Kills at every lasting step, and between them, of what is done with nobody: taking facts, an export, a package.

After each the store opens whole and holds all that was acknowledged, nothing that broke off bears its final name, and
the same thing can be done again.
"""

from __future__ import annotations

import random
import shutil
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from forms.ask import Paper
from forms.ask import Path as At
from forms.people import InfantIdentity
from forms.received import ReceivedFact, ReceivedFile
from forms.referral import PaperIssued
from forms.weight import WeightReading
from storage.changes import Put
from storage.keys import passphrase_slot_opened
from storage.store import Store
from storage.taking_out import EVENT, take_out
from storage.whole import checked
from storage.whole_folder import NotExported, Proved
from sync.handoff.leave import LEFT
from sync.handoff.package import give_locked, give_open
from sync.handoff.seals import make_seals
from sync.handoff.sign import taken_out
from sync.handoff.verify import State, verify
from tests.helpers import thornbury as t
from tests.helpers.handed_over import elsewhere_record, observed
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PASSPHRASE, Clock, new_store, small_family
from tests.helpers.storms import PASSWORD, asked_of, reopened, taking
from tests.sync.exchange.test_kill_storms import Heard, Moment, Storm, known
from tests.sync.test_leave import written

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="forks and kills as POSIX does")

MOST, LAST, BETWEEN = 20, 8, 4
GIVEN = elsewhere_record(
    observed("8339-4", 3420, "g"), observed("11884-4", 275, "d"), observed("29463-7", 3300, "g"),
    observed("8310-5", 37.1, "Cel"),
)  # fmt: skip


class Laid:
    """A store that was closed, and a place beside it, both laid out anew before each kill."""

    def __init__(self, folder: Path, key: bytes) -> None:
        self.kept, self.key = folder / "kept", key
        self.store, self.place = folder / "now" / "store", folder / "now" / "place"

    def anew(self) -> None:
        shutil.rmtree(self.store.parent, ignore_errors=True)
        shutil.copytree(self.kept, self.store)
        self.place.mkdir()
        (self.place / "sent.json").write_bytes(GIVEN)

    def opened(self) -> Store:
        store = reopened(self.store, self.key)
        assert store.told == ()
        assert store.check() == ()
        return store


def laid(folder: Path) -> Laid:
    return Laid(folder, passphrase_slot_opened(folder / "kept" / "keys" / "passphrase.slot", PASSPHRASE))


@pytest.fixture(scope="module")
def storm() -> Iterator[Storm]:
    made = Storm()
    yield made
    made.end()


@pytest.fixture
def family(tmp_path: Path) -> Laid:
    """A small family that is charted already."""
    store = new_store(tmp_path / "kept").store
    store.write(small_family(), author=AUTHOR)
    store.close()
    return laid(tmp_path)


@pytest.fixture
def signed(tmp_path: Path) -> Laid:
    """The family at Tallow Lane, its visit signed."""
    store = new_store(tmp_path / "kept").store
    written(store)
    make_seals(store, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=t.NOW)
    store.write([Put(t.MARA, At("may_consent"), True)], author=t.WRITER)
    store.sign(t.VISIT, author=t.WRITER)
    store.close()
    return laid(tmp_path)


def moments(whole: Heard, work: str, most: int) -> Iterator[Moment]:
    """At each lasting step once, or at so many of them and all the last ones, and a few times in between."""
    chance, steps = random.Random(f"kills of {work}"), range(len(whole.steps))
    stops = {*chance.sample(steps, min(most, len(steps))), *steps[-LAST:]}
    for stop in sorted(stops):
        yield {"stop": stop}
    for _ in range(BETWEEN):
        yield {"after": chance.choice(steps), "pause": chance.random() * 0.02}


def killed(storm: Storm, work: str, at: Laid, most: int = MOST) -> Iterator[tuple[Heard, Store]]:
    """The store opened again after each kill, and what had been said."""
    at.anew()
    whole = storm.strike(work, at.store, at.key, at.place)
    assert whole.done, "undisturbed it does not end"
    in_the_middle = 0
    for moment in moments(whole, work, most):
        at.anew()
        heard = storm.strike(work, at.store, at.key, at.place, **moment)
        in_the_middle += not heard.done
        store = at.opened()
        yield heard, store
        assert store.check() == ()
        store.close()
    assert in_the_middle > most // 2, "too few were killed in mid-work"


def test_no_kill_takes_a_fact_in_half_or_twice_or_without_the_file_it_came_from(storm: Storm, family: Laid) -> None:
    family.anew()
    untouched = family.opened()
    before = untouched.chart(FAMILY).person(InfantIdentity, BABY)
    untouched.close()
    for heard, store in killed(storm, "take", family):
        assert known(store) >= heard.all_of("wrote")
        chart = store.chart(FAMILY)
        baby, files = chart.person(InfantIdentity, BABY), chart.all(ReceivedFile)
        came = baby != before or bool(chart.all(WeightReading, BABY)) or bool(chart.all(ReceivedFact, BABY))
        assert len(files) == (1 if came else 0)
        assert (baby.gestation_weeks is None) is (baby.gestation_days is None), "a gestation was torn"
        for weight in chart.all(WeightReading, BABY):
            assert None not in (weight.answers.weight, weight.answers.taken, weight.answers.source), "half a weight"
        for file in files:
            assert store.attachment(str(file.answers.file)) == GIVEN
        tuple(taking(store, family.place))
        chart = store.chart(FAMILY)
        assert Counter(e.place.form for e in chart.entries if e.place.form.startswith("received")) == {
            "received_file": 1, "received_fact": 1
        }  # fmt: skip
        assert len(chart.all(WeightReading, BABY)) == 1
        baby = chart.person(InfantIdentity, BABY)
        assert (baby.gestation_weeks, baby.gestation_days, str(baby.born_day)) == (39, 2, "2026-01-12")
        assert tuple(taking(store, family.place)) == (), "what stands was taken again"


def journal(store: Store, kind: str) -> int:
    return sum(line.kind == kind for line in store.journal())


def test_no_kill_leaves_half_an_export_under_its_name(storm: Storm, family: Laid) -> None:
    dest = family.place / "out"
    for _heard, store in killed(storm, "export", family):
        lines = journal(store, EVENT)
        if dest.exists():
            assert lines == 1, "it has its name and nothing says that it left"
            checked(Proved.read(dest))
            shutil.rmtree(dest)
        part = next((one for one in family.place.iterdir() if one.is_dir()), None)
        if part is not None:
            with pytest.raises(NotExported, match="is left of an export that broke off"):
                take_out(store, dest, purpose="copy", by=AUTHOR, now=Clock()())
            shutil.rmtree(part)
        take_out(store, dest, purpose="copy", by=AUTHOR, now=Clock()())
        checked(Proved.read(dest))
        assert journal(store, EVENT) == lines + 1


def issued(store: Store) -> int:
    chart = store.chart(t.FAMILY, t.VISIT)
    return sum(entry.answers.paper == str(Paper.PACKAGE) for entry in chart.all(PaperIssued))


def whole_folder(dest: Path) -> None:
    index = (dest / "index.pdf").read_bytes()
    assert verify(index).state is State.WHOLE
    assert list((dest / "papers").glob("*.pdf"))
    assert (dest / "record" / "tables" / "answers.csv").is_file()


def test_no_kill_leaves_half_a_package_under_its_name_nor_one_that_nothing_tells_of(storm: Storm, signed: Laid) -> None:
    dest = signed.place / "out"
    for number, (_heard, store) in enumerate(killed(storm, "package", signed, 6)):
        assert issued(store) == journal(store, LEFT) <= 1
        if dest.exists():
            assert issued(store) == 1, "it has its name and nothing says that it left"
            whole_folder(dest)
            shutil.rmtree(dest)
        for part in (one for one in signed.place.iterdir() if one.is_dir()):
            shutil.rmtree(part)
        if number % 3:
            continue
        give_open(store, asked_of(store, insisted=True), dest, author=t.WRITER, now=t.NOW)
        whole_folder(dest)


def test_no_kill_leaves_half_a_locked_package_and_it_can_be_saved_again_under_the_same_name(
    storm: Storm, signed: Laid
) -> None:
    place = signed.place / "out.pdf"
    for number, (_heard, store) in enumerate(killed(storm, "locked package", signed, 4)):
        assert issued(store) == journal(store, LEFT) <= 1
        if place.exists():
            assert issued(store) == 1, "it has its name and nothing says that it left"
            assert taken_out(place.read_bytes(), PASSWORD)
        if number % 2:
            continue
        asked = asked_of(store, insisted=False)
        give_locked(store, asked, place, PASSWORD, author=t.WRITER, now=t.NOW)
        assert taken_out(place.read_bytes(), PASSWORD)
        assert [one.name for one in signed.place.iterdir() if one.name.endswith(".part")] == []
