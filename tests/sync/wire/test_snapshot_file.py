"""A snapshot gives back what went in, byte for byte; anything else is refused in a sentence."""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import cache

import pytest
import zstandard
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from hypothesis import given
from hypothesis import strategies as st

from storage.log import PLACE, Operation, canonical
from sync.wire import names, snapshot_file
from sync.wire.body import packed
from sync.wire.snapshot_file import PART, End, Head, Snapshot, epoch_of, opened_head, opened_part, sealed
from sync.wire.troubles import BadFile
from tests.helpers.chains import Writer, device_id
from tests.sync.wire.test_change_file import values, words

KEY, SIGNER = bytes(range(32)), Ed25519PrivateKey.from_private_bytes(bytes(range(32, 64)))
REPOSITORY, EPOCH, CHAIN = b"r" * 16, b"e" * 16, bytes.fromhex(device_id("laptop"))
ENDS = {device_id("laptop"): End(12, "ab" * 32, 4_000), device_id("tablet"): End(3, "cd" * 32, 1_900)}


def said(operations: Sequence[Operation], known: int = 7_777) -> Snapshot:
    return Snapshot("ef" * 32, ENDS, known, len(operations))


def of(
    operations: Sequence[Operation], *, known: int = 7_777, salt: bytes | None = None
) -> tuple[bytes, tuple[bytes, ...]]:
    return sealed(
        said(operations, known), operations, repository=REPOSITORY, chain=CHAIN, epoch=EPOCH, key=KEY, signer=SIGNER,
        salt=salt,
    )  # fmt: skip


def head_of(data: bytes, number: int = 7, key: bytes = KEY) -> Head:
    return opened_head(data, repository=REPOSITORY, chain=CHAIN, number=number, key=key, signer=SIGNER.public_key())


def read(data: bytes, parts: Sequence[bytes]) -> tuple[Operation, ...]:
    head = head_of(data)
    return tuple(one for at, part in enumerate(parts) for one in opened_part(head, at, part))


@cache
def written() -> tuple[Operation, ...]:
    device = Writer("laptop")
    device.begin("x" * 32, "feed", family="f" * 32)
    for at in range(60):
        device.put("x" * 32, f"field {at}", {"q": [str(at), "g", at]})
    return tuple(device.written)


@cache
def whole() -> tuple[bytes, tuple[bytes, ...]]:
    return of(written())


@given(st.lists(st.tuples(st.sampled_from("xyz"), words, values), max_size=12), st.integers(0, 10**9), st.data())
def test_what_is_sealed_is_opened_again(puts: list[tuple[str, str, object]], known: int, data: st.DataObject) -> None:
    device = Writer("laptop")
    for entity, field, value in puts:
        device.put(entity, field, value, tuple({one.hash for one in device.written[-1:]}))
    plain = data.draw(st.sampled_from([600, 16 * 1024 * 1024]))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(snapshot_file, "_PLAIN", plain)  # several parts out of few operations
        raw, parts = of(device.written, known=known)
    head = head_of(raw, known // 1000)
    assert head.said == said(device.written, known)
    assert len(head.parts) == len(parts)
    assert [one.raw for at, part in enumerate(parts) for one in opened_part(head, at, part)] == [
        one.raw for one in device.written
    ]


def test_every_single_flip_of_head_and_part_is_refused() -> None:
    raw, parts = whole()
    for data in (raw, parts[0]):
        for at in range(len(data)):
            bad = data[:at] + bytes([data[at] ^ 1 << at % 8]) + data[at + 1 :]
            with pytest.raises(BadFile):
                read(bad, parts) if data is raw else read(raw, [bad])


def test_ten_thousand_truncations_extensions_and_swaps_are_refused() -> None:
    (raw, parts), rng = whole(), random.Random(2026)
    other, others = of(written()[:-1])
    for turn in range(10_000):
        data, twin = (raw, other) if turn % 2 else (parts[0], others[0])
        changed = bytearray(data)
        if turn % 3 == 0:
            del changed[rng.randrange(len(data)) :]
        elif turn % 3 == 1:
            changed += rng.randbytes(rng.randrange(1, 40))
        else:
            at = rng.randrange(min(len(data), len(twin)) - 8)
            changed[at : at + 8] = twin[at : at + 8] if twin[at : at + 8] != data[at : at + 8] else rng.randbytes(8)
        with pytest.raises(BadFile):
            read(bytes(changed), parts) if turn % 2 else read(raw, [bytes(changed)])


def test_parts_are_bound_to_their_head_and_to_one_another(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(snapshot_file, "_PLAIN", 4_000)
    raw, parts = of(written())
    assert len(parts) > 2
    assert [one.raw for one in read(raw, parts)] == [one.raw for one in written()]
    with pytest.raises(BadFile, match="not the one it names"):
        read(raw, [parts[1], parts[0], *parts[2:]])
    with pytest.raises(BadFile, match="not the one it names"):
        read(raw, [of(written())[1][0], *parts[1:]])


def test_another_signer_key_name_and_repository_are_refused() -> None:
    raw, _parts = whole()
    stranger = Ed25519PrivateKey.generate().public_key()
    with pytest.raises(BadFile, match="not signed by the device"):
        opened_head(raw, repository=REPOSITORY, chain=CHAIN, number=7, key=KEY, signer=stranger)
    with pytest.raises(BadFile, match="another key"):
        head_of(raw, key=bytes(32))
    with pytest.raises(BadFile, match="not what it holds"):
        head_of(raw, number=8)
    for repository, chain in ((b"o" * 16, CHAIN), (REPOSITORY, b"o" * 16)):
        with pytest.raises(BadFile, match="not what it holds"):
            opened_head(raw, repository=repository, chain=chain, number=7, key=KEY, signer=SIGNER.public_key())


def test_a_snapshot_of_another_version_is_told_as_one() -> None:
    raw, _parts = whole()
    for at, byte in ((8, 2), (8, 0), (9, 9), (67, 2)):
        with pytest.raises(BadFile) as bad:
            epoch_of(raw[:at] + bytes([byte]) + raw[at + 1 :])
        assert bad.value.newer
    assert epoch_of(raw) == EPOCH.hex()


def test_a_name_tells_thousands_and_a_head_that_tells_others_is_refused() -> None:
    assert [said((), known).number for known in (999, 5_000, 12_999)] == [0, 5, 12]
    raw, _parts = of(written(), known=12_999)
    with pytest.raises(BadFile):
        head_of(raw, number=13)


@pytest.mark.parametrize(
    "changed",
    [{"seq": "1"}, {"seq": -1}, {"entity": 4}, {"parents": [1]}, {"hlc": [1]}, {"hlc": ["1", 1]}, {"field": PLACE},
     {"field": PLACE, "value": {"form": "feed", "family": 4, "visit": None, "subjects": []}}],
)  # fmt: skip
def test_an_operation_that_has_not_the_shape_of_one_is_refused(changed: dict[str, object]) -> None:
    import orjson

    good = written()[5]
    bad = good.__class__(
        **{name: getattr(good, name) for name in good.__slots__ if name != "raw"},
        raw=canonical(orjson.loads(good.raw) | changed),
    )
    with pytest.raises(BadFile, match="does not read"):
        read(*of([bad]))


def test_a_part_that_unpacks_to_more_than_is_ever_written_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    bomb = zstandard.ZstdCompressor(write_content_size=True).compress(bytes(80 * 1024 * 1024))
    raw, _parts = of(written())

    def bombed(plain: bytes) -> bytes:
        return packed(plain) if plain.startswith(b'{"digest"') else len(bomb).to_bytes(4, "big") + bomb

    monkeypatch.setattr(snapshot_file, "packed", bombed)
    raw, parts = of(written())
    with pytest.raises(BadFile, match="larger than any"):
        read(raw, parts)


def test_a_part_is_never_longer_than_places_take() -> None:
    rng, device = random.Random(5), Writer("laptop")
    for at in range(40):
        device.put("x", f"note {at}", rng.randbytes(400_000).hex())
    raw, parts = of(device.written)
    assert len(parts) > 2
    assert max(map(len, parts)) <= PART
    assert len(read(raw, parts)) == 40
    with pytest.raises(ValueError, match="larger than a part"):
        of([device.put("x", "note", rng.randbytes(9_000_000).hex())])


def test_two_snapshots_never_share_a_key() -> None:
    assert of(written())[0][68:100] != of(written())[0][68:100]


def test_names_of_heads_and_parts_are_ours_and_told_apart() -> None:
    chain = CHAIN.hex()
    head, part = names.snapshot(chain, 105), names.snapshot(chain, 105, 3)
    assert (head, part) == (f"s/{chain}/00000105", f"s/{chain}/00000105.0003")
    assert names.is_ours(head)
    assert names.is_ours(part)
    assert names.is_folder(names.folder_of_snapshots(chain))
    assert (names.snapshot_numbered(head), names.snapshot_numbered(part)) == (105, None)
    assert not names.is_ours(head + ".3")
    assert not names.is_ours(head + ".00003")
