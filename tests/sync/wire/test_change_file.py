"""A change file gives back what went in, byte for byte, and anything else is refused in a sentence."""

from __future__ import annotations

import random
import secrets
from functools import cache

import orjson
import pytest
import zstandard
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from hypothesis import given
from hypothesis import strategies as st

from storage.log import Operation
from sync.wire.body import padded
from sync.wire.change_file import Attached, ChangeFile, opened, read_header, sealed, verified
from sync.wire.packed import pack, unpack
from sync.wire.troubles import BadFile
from tests.helpers.chains import Writer, device_id

KEY, SIGNER = bytes(range(32)), Ed25519PrivateKey.from_private_bytes(bytes(range(32, 64)))
PHOTO = Attached("cd" * 32, "ab" * 32, "image/jpeg", 4_000_000, "65" * 16)
REPOSITORY, EPOCH = b"r" * 16, b"e" * 16
CHAIN = bytes.fromhex(device_id("laptop"))
words = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
values = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | words,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(words, inner, max_size=3),
    max_leaves=6,
)


def a_visit(count: int = 200) -> tuple[Operation, ...]:
    """A visit as it is charted: entries begun, answers put, some of them over others."""
    rng, device = random.Random(count), Writer("laptop")
    family, heads = secrets.token_hex(16), dict[tuple[str, str], str]()
    entries = [rng.randbytes(16).hex() for _ in range(max(1, count // 14))]
    for entity in entries:
        device.begin(entity, "feed", family=family, visit=entries[0])
    while len(device.written) < count:
        register = rng.choice(entries), rng.choice(["used@left", "position@right", "began", "swallows@left"])
        value = rng.choice(["fed", "cradle", {"utc": "2026-03-02T09:00:00.000000Z", "zone": "UTC"}, 4, None])
        heads[register] = device.put(*register, value, (heads[register],) if register in heads else ()).hash
    return tuple(device.written)


def file_of(body: ChangeFile, number: int = 1, before: bytes = bytes(32), salt: bytes | None = None) -> bytes:
    return sealed(
        body, repository=REPOSITORY, chain=CHAIN, number=number, before=before, epoch=EPOCH, key=KEY, signer=SIGNER,
        salt=salt,
    )  # fmt: skip


@cache
def whole() -> bytes:
    return file_of(ChangeFile(a_visit(60), {device_id("tablet"): (3, "ab" * 32)}, (PHOTO,)))


@given(st.lists(st.tuples(st.sampled_from("xyz"), words, values, st.lists(st.integers(0, 9), max_size=3)), min_size=1))
def test_a_packed_stretch_unpacks_to_the_same_operations(puts: list[tuple[str, str, object, list[int]]]) -> None:
    device = Writer("laptop")
    for entity, field, value, back in puts:
        parents = tuple({device.written[-1 - at].hash for at in back if at < len(device.written)})
        device.put(entity, field, value, parents)
    read = unpack(orjson.loads(orjson.dumps(pack(device.written))))
    assert [one.raw for one in read] == [one.raw for one in device.written]


def test_an_operation_of_a_newer_version_travels_whole() -> None:
    first, second, third = (Writer("laptop").put("x", "f", 1) for _ in range(3))
    newer = Operation.read(orjson.dumps(orjson.loads(first.raw) | {"v": 2, "kind": "new"}, option=orjson.OPT_SORT_KEYS))
    assert [one.raw for one in unpack(pack([newer]))] == [newer.raw]
    assert b"kind" not in second.raw + third.raw


def test_a_stretch_with_a_hole_is_not_packed() -> None:
    written = a_visit(20)
    with pytest.raises(ValueError, match="without holes"):
        pack([*written[:5], *written[6:]])


def test_what_is_sealed_is_opened_again() -> None:
    body = ChangeFile(a_visit(30), {device_id("tablet"): (3, "ab" * 32)}, (PHOTO,), {"later": [1]})
    header, again = opened(file_of(body, 7, b"p" * 32), key=KEY, signer=SIGNER.public_key())
    assert again == body
    assert (header.repository, header.chain, header.number, header.before) == (REPOSITORY, CHAIN, 7, b"p" * 32)


def test_a_file_without_operations_carries_what_its_writer_had_seen() -> None:
    body = ChangeFile((), {device_id("tablet"): (3, "ab" * 32)})
    assert opened(file_of(body), key=KEY, signer=SIGNER.public_key())[1] == body


def test_two_files_never_share_a_key() -> None:
    body = ChangeFile(a_visit(5), {})
    assert read_header(file_of(body)).salt != read_header(file_of(body)).salt


def test_every_single_flip_is_refused() -> None:
    data = whole()
    for at in range(len(data)):
        changed = bytearray(data)
        changed[at] ^= 1 << (at % 8)
        with pytest.raises(BadFile):
            opened(bytes(changed), key=KEY, signer=SIGNER.public_key())


def test_ten_thousand_flips_truncations_extensions_and_swaps_are_refused() -> None:
    data, rng = whole(), random.Random(2026)
    other = file_of(ChangeFile(a_visit(61), {}), 2, b"q" * 32)
    for turn in range(10_000):
        changed = bytearray(data)
        if turn % 4 == 0:
            changed[rng.randrange(len(data))] ^= rng.randrange(1, 256)
        elif turn % 4 == 1:
            del changed[rng.randrange(len(data)) :]
        elif turn % 4 == 2:
            changed += rng.randbytes(rng.randrange(1, 40))
        else:
            at = rng.randrange(len(data) - 8)
            changed[at : at + 8] = other[at : at + 8] if other[at : at + 8] != data[at : at + 8] else rng.randbytes(8)
        with pytest.raises(BadFile):
            opened(bytes(changed), key=KEY, signer=SIGNER.public_key())


def test_another_signer_another_key_and_another_commitment_are_refused() -> None:
    stranger = Ed25519PrivateKey.generate()
    with pytest.raises(BadFile, match="not signed by the device"):
        verified(whole(), stranger.public_key())
    with pytest.raises(BadFile, match="another key"):
        opened(whole(), key=bytes(32), signer=SIGNER.public_key())


def test_a_signed_body_of_another_chain_is_refused() -> None:
    body = ChangeFile(a_visit(5), {})
    data = sealed(
        body, repository=REPOSITORY, chain=b"x" * 16, number=1, before=bytes(32), epoch=EPOCH, key=KEY, signer=SIGNER
    )
    with pytest.raises(BadFile, match="another device wrote"):
        opened(data, key=KEY, signer=SIGNER.public_key())


def test_a_body_that_unpacks_to_more_than_is_ever_written_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    bomb = zstandard.ZstdCompressor(write_content_size=True).compress(bytes(80 * 1024 * 1024))

    class Bombs:
        def __init__(self, **_asked: object) -> None:
            pass

        def compress(self, _data: bytes) -> bytes:
            return bomb

    monkeypatch.setattr("sync.wire.body.zstandard.ZstdCompressor", Bombs)
    data = file_of(ChangeFile((), {}))
    with pytest.raises(BadFile, match="larger than any"):
        opened(data, key=KEY, signer=SIGNER.public_key())


def test_padding_adds_at_most_an_eighth_and_hides_the_exact_length() -> None:
    for length in (2, 9, 100, 1_000, 4_097, 100_000, 1_000_001):
        assert length <= padded(length) <= length * 9 // 8 + 2
    assert len({padded(length) for length in range(4_096, 8_192)}) < 40


def test_an_operation_costs_at_most_42_bytes_at_two_hundred_a_file_and_70_at_twenty() -> None:
    for count, most in ((200, 42), (20, 70)):
        size = len(file_of(ChangeFile(a_visit(count), {})))
        print(f"{count} operations: {size / count:.1f} bytes each")
        assert size / count <= most
