"""Ten thousand spoilt files of each kind: each is refused in a sentence, or means what a true one of its name means.

Change files and snapshots have theirs beside their other tests; here change files meet other names, other practices and
packs. All of it goes through what a round itself reads with.
"""

from __future__ import annotations

import random
import tracemalloc
from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from hashlib import sha256

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from forms.trouble import Trouble
from sync.exchange.round import repository_in
from sync.membership.acts import Act, Role, SetRole, read_act
from sync.membership.joining import (
    Code,
    Given,
    answer,
    compared,
    greeting,
    new_code,
    read_answer,
    read_greeting,
    read_request,
    request,
)
from sync.membership.roster import genuine
from sync.wire import blob, pack_file
from sync.wire.beat import Beat, epoch_of, read_beat, sealed_beat
from sync.wire.change_file import ChangeFile, opened, sealed
from sync.wire.pack_file import pack_of, packed_files
from sync.wire.troubles import BadFile
from tests.helpers.chains import Writer, device_id
from tests.helpers.practice_group import Owner, founded

COUNT = 10_000
MOST_MEMORY = 128 * 1024 * 1024
"""Bytes that reading a file may take beside the file itself."""

KEY, SIGNER = bytes(range(32)), Ed25519PrivateKey.from_private_bytes(bytes(range(32, 64)))
REPOSITORY, FOREIGN, EPOCH = b"r" * 16, b"f" * 16, b"e" * 16
CHAIN = bytes.fromhex(device_id("laptop"))
NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)

Read = Callable[[int, bytes], Hashable]


@dataclass(frozen=True)
class Kind:
    """True files of one kind, each under its own name; others that lie nowhere by right; and what reading gives.

    `old` are true files that lay under the first name before: where a name is written over, such a one means what it
    meant then, and what rests on it only ever grows.
    """

    true: Sequence[bytes]
    strange: Sequence[bytes]
    read: Read
    old: Sequence[bytes] = ()


def change_of(number: int, repository: bytes = REPOSITORY, key: bytes = KEY) -> bytes:
    device = Writer("laptop")
    for at in range(6):
        device.put("x" * 32, f"field {at}", f"{number} {at}")
    return sealed(
        ChangeFile(tuple(device.written), {}), repository=repository, chain=CHAIN, number=number, before=bytes(32),
        epoch=EPOCH, key=key, signer=SIGNER,
    )  # fmt: skip


@cache
def change_read(number: int, raw: bytes) -> Hashable:
    header, body = opened(raw, key=KEY, signer=SIGNER.public_key())
    if (header.repository, header.chain, header.number) != (REPOSITORY, CHAIN, number):
        raise BadFile(why="its name is not what it holds")
    return tuple(one.hash for one in body.operations)


def changes() -> Kind:
    return Kind(
        [change_of(number) for number in (1, 2, 3)], [change_of(1, FOREIGN), change_of(1, key=bytes(32))],
        lambda at, raw: change_read(at + 1, raw),
    )  # fmt: skip


def packs() -> Kind:
    files = [change_of(number) for number in range(1, 7)]
    foreign = [change_of(number, FOREIGN) for number in (1, 2, 3)]
    made = [pack_of(files[:3]), pack_of(files[3:]), pack_of(foreign)]
    first, second, third = (one for one in made if one is not None)

    def read(at: int, raw: bytes) -> Hashable:
        """What is proved of it; the rest is asked for alone, under its own name."""
        found = {}
        for place, one in enumerate(packed_files(raw)):
            try:
                found[place] = change_read(at * 3 + place + 1, one)
            except BadFile:
                continue
        true = [change_read(at * 3 + place + 1, files[at * 3 + place]) for place in range(3)]
        assert all(found[place] == true[place] for place in found)
        return tuple(true)

    return Kind([first, second], [third], read)


def beat_of(number: int, chain: bytes = CHAIN, repository: bytes = REPOSITORY) -> bytes:
    beat = Beat(number, "cd" * 32, {"22" * 16: (number, "ab" * 32)}, "ef" * 32, NOW.isoformat())
    return sealed_beat(beat, repository=repository, chain=chain, epoch=EPOCH, key=KEY, signer=SIGNER)


def beats() -> Kind:
    chains = [CHAIN, b"2" * 16, b"3" * 16]

    def read(at: int, raw: bytes) -> Hashable:
        if epoch_of(raw) != EPOCH.hex():
            raise BadFile(why="it is sealed under a practice key that has not come yet")
        return repr(read_beat(raw, repository=REPOSITORY, chain=chains[at], key=KEY, signer=SIGNER.public_key()))

    strange = [beat_of(9, CHAIN, FOREIGN)]
    return Kind([beat_of(7 + at, chain) for at, chain in enumerate(chains)], strange, read, [beat_of(6)])


def acts() -> Kind:
    laptop, phone = founded(), Owner("phone", Role.STUDENT)
    laptop.add(phone)
    laptop.rotate()
    laptop.act(SetRole(phone.chain, Role.OFFICE))
    true = sorted(laptop.acts.values(), key=lambda act: act.seq)
    host = founded()  # under the laptop's own name, with keys of its own
    host.rotate()
    strange = [act.raw for act in sorted(host.acts.values(), key=lambda act: act.seq)]

    def read(at: int, raw: bytes) -> Hashable:
        act = read_act(raw)
        if (act.by, act.seq) != (laptop.chain, at + 1):
            raise BadFile(why="its name is not what it holds")
        known: list[Act] = true[:at]
        found, _changed = genuine([act], known, laptop.founding)
        if not found:
            raise BadFile(why="it is not signed by whom it names")
        return found[0].hash

    return Kind([act.raw for act in true], strange, read)


def attachments() -> Kind:
    rng = random.Random(4)
    first, second = rng.randbytes(250), rng.randbytes(260)
    name, made = blob.blob_id(KEY, sha256(first).hexdigest()), sha256(first).hexdigest()
    parts = blob.sealed_parts(KEY, first)
    strange = [*blob.sealed_parts(KEY, second), *blob.sealed_parts(bytes(32), first)]

    def read(at: int, raw: bytes) -> Hashable:
        return blob.joined(KEY, name, [*parts[:at], raw, *parts[at + 1 :]], made)

    return Kind(parts, strange, read)


@dataclass(frozen=True)
class Pairing:
    """The three messages of one new device, and the code they rest on."""

    new: Owner
    code: Code
    request: bytes
    greeting: bytes
    answer: bytes


def pairing(name: str, owner: Owner, repository: str) -> Pairing:
    from cryptography.hazmat.primitives.hpke import MLKEM768X25519PrivateKey

    new = Owner(name)
    code = new_code(new.member)
    asked, met = request(new.member, code, NOW), greeting(owner.member, repository, "ab" * 32, code)
    given = Given(repository, "ab" * 32, ("cd" * 32,), {owner.chain: (4, "ef" * 32)})
    raw = answer(given, asked, met, owner.signer)
    assert read_answer(raw, asked, met, MLKEM768X25519PrivateKey(new.kem, new.curve)) == given
    return Pairing(new, code, asked.raw, met.raw, raw)


@cache
def pairings() -> tuple[Pairing, Pairing, Pairing]:
    owner, host = Owner("laptop"), Owner("laptop")
    return pairing("phone", owner, "11" * 16), pairing("tablet", owner, "11" * 16), pairing("phone", host, "22" * 16)


def requests() -> Kind:
    first, second, foreign = pairings()
    codes = [first.code, second.code]
    return Kind(
        [first.request, second.request], [foreign.request, first.greeting],
        lambda at, raw: repr(read_request(raw, codes[at]).member),
    )  # fmt: skip


def greetings() -> Kind:
    first, second, foreign = pairings()
    codes, asked = [first.code, second.code], [first.request, second.request]
    return Kind(
        [first.greeting, second.greeting], [foreign.greeting, first.request],
        lambda at, raw: compared(read_request(asked[at], codes[at]), read_greeting(raw, codes[at])),
    )  # fmt: skip


def answers() -> Kind:
    from cryptography.hazmat.primitives.hpke import MLKEM768X25519PrivateKey

    first, second, foreign = pairings()
    both = [first, second]

    def read(at: int, raw: bytes) -> Hashable:
        one = both[at]
        asked, met = read_request(one.request, one.code), read_greeting(one.greeting, one.code)
        return repr(read_answer(raw, asked, met, MLKEM768X25519PrivateKey(one.new.kem, one.new.curve)))

    return Kind([first.answer, second.answer], [foreign.answer, first.greeting], read)


def repositories() -> Kind:
    ours, theirs = (b'{"id":"%s","format":1}' % (id_ * 16) for id_ in (b"11", b"22"))

    def read(_at: int, raw: bytes) -> Hashable:
        """Another id is another practice's, and refused as such; what says none is asked about."""
        found = repository_in(raw)
        if found is None or found[0] != "11" * 16 or found[1] > 1:
            raise BadFile(why="it is another practice's, or none")
        return found[0]

    return Kind([ours], [theirs, b"", b"[]", b'{"id":[],"format":{}}'], read)


KINDS: dict[str, Callable[[], Kind]] = {
    "change": changes, "pack": packs, "sign of life": beats, "act": acts, "attachment": attachments,
    "request": requests, "greeting": greetings, "answer": answers, "repository": repositories,
}  # fmt: skip


@pytest.fixture(autouse=True)
def small_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(blob, "PART", 100)
    monkeypatch.setattr(pack_file, "COUNT", 3)


def spoilt(kind: Kind, rng: random.Random) -> Iterator[tuple[int, bytes]]:
    """Name and bytes, each way of spoiling in turn."""
    every = [*kind.true, *kind.strange, *kind.old]
    for turn in range(COUNT):
        at = rng.randrange(len(kind.true))
        true, other = kind.true[at], rng.choice(every)
        changed = bytearray(true)
        match turn % 6:
            case 0:
                changed[rng.randrange(len(true))] ^= 1 << rng.randrange(8)
            case 1:
                del changed[rng.randrange(len(true)) :]
            case 2:
                changed += rng.choice([rng.randbytes(rng.randrange(1, 40)), bytes(rng.randrange(1, 9)), b" ", other])
            case 3:  # a stretch of another file of the kind, a practice's of strangers among them
                cut, length = rng.randrange(len(true)), rng.randrange(1, 400)
                changed[cut : cut + length] = other[cut : cut + length]
            case 4:  # whole, under a name that is not its own
                changed = bytearray(other)
            case _:  # one front, another back
                changed[rng.randrange(len(true)) :] = other[rng.randrange(len(other) + 1) :]
        yield at, bytes(changed)


@pytest.mark.parametrize("name", KINDS)
def test_ten_thousand_spoilt_files_are_refused_or_mean_what_a_true_one_means(name: str) -> None:
    kind, refused, same = KINDS[name](), 0, 0
    meant = [{kind.read(at, raw)} for at, raw in enumerate(kind.true)]
    meant[0] |= {kind.read(0, raw) for raw in kind.old}
    for at, raw in spoilt(kind, random.Random(f"spoilt {name}")):
        try:
            found = kind.read(at, raw)
        except Trouble as trouble:
            refused += trouble.sentence.endswith(".")
        else:
            assert found in meant[at]
            same += 1
    print(f"{name}: {refused} of {COUNT} refused, {same} mean the same")
    assert refused + same == COUNT
    assert refused > COUNT // 4


@pytest.mark.parametrize("name", KINDS)
def test_a_bomb_takes_no_more_memory_than_is_stated(name: str) -> None:
    kind = KINDS[name]()
    bombs = [
        bomb
        for size in (60 * 1024 * 1024, 4 * 1024 * 1024 - 200)
        for bomb in (
            bytes(size), b"[" * size, b"[" + b"[]," * (size // 3), kind.true[0][:8] + b"\xff" * size,
            kind.true[0][:8] + bytes(size), kind.true[0] + b"\1" * size, b'{"v":1,"id":' + b"1," * (size // 2),
        )
    ]  # fmt: skip
    for bomb in bombs:
        tracemalloc.start()
        try:
            with pytest.raises(Trouble):
                kind.read(0, bomb)
            _now, most = tracemalloc.get_traced_memory()
        finally:
            tracemalloc.stop()
        assert most <= MOST_MEMORY, f"{most // 1024**2} MiB"
