"""A practice of any size as it lies at a place, built without a round: visits, rewrites by a second device, signatures.

One device charts the visits and signs them; a second rewrites about half of the answers first. Each file of the first
holds two visits and the signatures of the two before; each of the second what it rewrote in those two.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from itertools import islice
from pathlib import Path

from forms.answers import Json, encode
from forms.ask import asks
from forms.chart import Place
from forms.form import catalog
from storage.log import SIGNED, Chain, Operation, canonical, digest
from storage.registers import place_kept
from storage.state_sum import digest_of
from storage.store import Store
from sync.exchange.practice import Practice, found_practice, practice_of
from sync.wire import names
from sync.wire.beat import Beat, Lacks, sealed_beat
from sync.wire.change_file import ChangeFile, sealed
from sync.wire.pack_file import COUNT, pack_of
from sync.wire.snapshot_file import End, Snapshot
from sync.wire.snapshot_file import sealed as sealed_snapshot
from tests.helpers.chains import Writer
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import Clock, moment

__all__ = ["PER_VISIT", "LargePractice", "large_practice"]

PER_VISIT = 100
"""Operations of a visit, its rewrites and its signature; a family adds two, for every fourth visit."""

_FORMS = ("breast_assessment", "feed", "infant_assessment", "oral_assessment", "expression")
_FIELDS, _REWRITTEN, _TOGETHER, _VISITS_OF_A_FAMILY = 12, 31, 2, 4


@dataclass
class LargePractice:
    """The two devices that wrote it, and what lies at the place: with a snapshot of everything, and without."""

    laptop: Store
    tablet: Store
    practice: Practice
    operations: int = 0
    held: dict[str, bytes] = field(default_factory=dict)
    snapshot: dict[str, bytes] = field(default_factory=dict)
    digest: str = ""

    def shelf(self, *, snapshot: bool) -> Shelf:
        """A place of one's own that holds it."""
        return Shelf(held={**self.held, **(self.snapshot if snapshot else {})})

    def newcomer(self, folder: Path, name: str) -> Store:
        """A device that was just let in and knows nothing yet."""
        made = device(folder, name).store
        joined(self.laptop, made, name)
        return made

    def files(self, store: Store) -> Iterator[bytes]:
        """The change files of one of the two, in order."""
        number = 1
        while (raw := self.held.get(names.change(store.device, number))) is not None:
            yield raw
            number += 1

    def close(self) -> None:
        """Lock both."""
        self.laptop.close()
        self.tablet.close()


@dataclass
class _Chain:
    """One device's writing, and the files that carry it."""

    store: Store
    writer: Writer
    number: int = 0
    hash: str = ""

    @property
    def seen(self) -> dict[str, tuple[int, str]]:
        return {self.store.device: (self.number, self.hash)} if self.number else {}


def large_practice(folder: Path, visits: int) -> LargePractice:
    """So many visits, a hundred operations each."""
    laptop, tablet, shelf = device(folder, "laptop").store, device(folder, "tablet").store, Shelf()
    found_practice(laptop, "Laptop", Clock())
    joined(laptop, tablet, "Tablet")
    meet(laptop, shelf)
    meet(tablet, shelf)
    practice = practice_of(laptop)
    assert practice is not None
    made = LargePractice(laptop, tablet, practice, held=shelf.held)
    charts, rewrites = (_Chain(store, _writer(store)) for store in (laptop, tablet))
    standing: dict[str, Operation] = {}
    owed: list[tuple[str, Json]] = []
    for first in range(0, visits, _TOGETHER):
        signed = [charts.writer.put(visit, SIGNED, kept) for visit, kept in owed]
        each = [_charted(charts.writer, number) for number in range(first, min(first + _TOGETHER, visits))]
        _file(made, charts, [*signed, *(one for charted in each for one in charted)], rewrites.seen)
        rewritten = [list(_rewritten(rewrites.writer, charted)) for charted in each]
        _file(made, rewrites, [one for some in rewritten for one in some], charts.seen)
        owed = [_signature(*both, charts, rewrites) for both in zip(each, rewritten, strict=True)]
        for one in (*signed, *(one for some in (*each, *rewritten) for one in some)):
            for parent in one.parents:
                standing.pop(parent)
            standing[one.hash] = one
    last = [charts.writer.put(visit, SIGNED, kept) for visit, kept in owed]
    _file(made, charts, last, rewrites.seen)
    standing |= {one.hash: one for one in last}
    made.operations = charts.writer.chain.seq + rewrites.writer.chain.seq
    made.digest = digest_of((one.entity, one.field, one.hash) for one in standing.values())
    _packed(made)
    for own, other in ((charts, rewrites), (rewrites, charts)):
        _sign_of_life(made, own, other.seen)
    _snapshot(made, tuple(standing.values()), (charts, rewrites))
    return made


def _charted(writer: Writer, number: int) -> list[Operation]:
    """One visit: sixty answers in five entries, begun; the first of a family begins that too."""
    family, visit = _id(f"family {number // _VISITS_OF_A_FAMILY}"), _id(f"visit {number}")
    found: list[Operation] = []

    def begin(entity: str, place: Place) -> None:
        found.append(writer.put(entity, "@place", place_kept(place)))

    if number % _VISITS_OF_A_FAMILY == 0:
        begin(family, Place("family", family))
        found.append(writer.put(family, "family_name", f"Thistle {number}"))
    begin(visit, Place("visit", family))
    found.append(writer.put(visit, "kind", "home"))
    found.append(writer.put(visit, "start", encode(moment(1 + number % 28))))
    for form in _FORMS:
        entity = _id(f"{form} {number}")
        begin(entity, Place(form, family, visit))
        for name in islice(asks(catalog()[form]), _FIELDS):
            made = writer.put(entity, name, f"an invented answer, number {number} of {name}")
            found.append(made)
    return found


def _rewritten(writer: Writer, charted: list[Operation]) -> Iterator[Operation]:
    """The first half of the answers once more, by who knew them."""
    answers = [one for one in charted if isinstance(one.value, str) and one.value.startswith("an invented")]
    for one in answers[:_REWRITTEN]:
        yield writer.put(one.entity, one.field, f"{one.value}, corrected", (one.hash,), author="b" * 32)


def _signature(
    charted: list[Operation], rewritten: list[Operation], charts: _Chain, rewrites: _Chain
) -> tuple[str, Json]:
    """A visit and what is kept when it is signed by who has seen both chains so far."""
    visit = next(one.entity for one in charted if one.field == "@place" and one.value["form"] == "visit")
    gone = {parent for one in rewritten for parent in one.parents}
    of_visit = {one.entity for one in charted if one.field == "@place" and (one.value["visit"] or one.entity) == visit}
    registers = sorted(
        [one.entity, one.field, [one.hash]]
        for one in (*charted, *rewritten)
        if one.entity in of_visit and one.hash not in gone
    )
    notes = {"visit": digest(canonical(registers))}
    whole = digest(canonical({"visit": visit, "notes": notes}))
    ends = {chain.store.device: chain.writer.chain for chain in (charts, rewrites)}
    seen, at = {name: end.seq for name, end in ends.items()}, {name: [end.last] for name, end in ends.items()}
    return visit, {"digest": whole, "notes": notes, "seen": seen, "at": at}


def _writer(store: Store) -> Writer:
    made = Writer("")
    made.chain = Chain(store.device)
    return made


def _id(words: str) -> str:
    return sha256(words.encode()).hexdigest()[:32]


def _file(made: LargePractice, of: _Chain, operations: list[Operation], seen: Mapping[str, tuple[int, str]]) -> None:
    epoch = made.practice.roster.epoch
    raw = sealed(
        ChangeFile(tuple(operations), seen), repository=made.practice.repository,
        chain=bytes.fromhex(of.store.device), number=of.number + 1, before=bytes.fromhex(of.hash) or bytes(32),
        epoch=bytes.fromhex(epoch), key=made.practice.keys[epoch], signer=of.store.signing_key(),
    )  # fmt: skip
    of.number, of.hash = of.number + 1, sha256(raw).hexdigest()
    made.held[names.change(of.store.device, of.number)] = raw


def _packed(made: LargePractice) -> None:
    for store in (made.laptop, made.tablet):
        files = list(made.files(store))
        for at in range(0, len(files) - COUNT + 1, COUNT):
            data = pack_of(files[at : at + COUNT])
            if data is not None:
                made.held[names.pack(store.device, at + 1, at + COUNT)] = data


def _sign_of_life(made: LargePractice, own: _Chain, seen: Mapping[str, tuple[int, str]]) -> None:
    epoch = made.practice.roster.epoch
    beat = Beat(own.number, own.hash, seen, made.digest, Clock()().isoformat(), Lacks())
    made.held[names.beat(own.store.device)] = sealed_beat(
        beat, repository=made.practice.repository, chain=bytes.fromhex(own.store.device), epoch=bytes.fromhex(epoch),
        key=made.practice.keys[epoch], signer=own.store.signing_key(),
    )  # fmt: skip


def _snapshot(made: LargePractice, standing: tuple[Operation, ...], chains: tuple[_Chain, ...]) -> None:
    epoch, device_ = made.practice.roster.epoch, made.laptop.device
    ends = {one.store.device: End(one.number, one.hash, one.writer.chain.seq) for one in chains}
    said = Snapshot(made.digest, ends, made.operations, len(standing))
    ordered = sorted(standing, key=lambda one: (one.entity, one.field, one.hash))
    head, parts = sealed_snapshot(
        said, ordered, repository=made.practice.repository, chain=bytes.fromhex(device_), epoch=bytes.fromhex(epoch),
        key=made.practice.keys[epoch], signer=made.laptop.signing_key(),
    )  # fmt: skip
    for at, part in enumerate(parts):
        made.snapshot[names.snapshot(device_, said.number, at)] = part
    made.snapshot[names.snapshot(device_, said.number)] = head
