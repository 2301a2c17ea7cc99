"""A snapshot as the first version of its format wrote it opens for ever. The frozen bytes are never made anew."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

import orjson
import pytest

from sync.wire.snapshot_file import End, epoch_of, opened_head, opened_part
from tests.sync.wire.test_frozen import CHAIN, EPOCH, KEY, REPOSITORY, SIGNER

FROZEN = Path(__file__).resolve().parents[2] / "frozen" / "wire-2"


def frozen(name: str) -> bytes:
    return (FROZEN / name).read_bytes()


def test_a_snapshot() -> None:
    said = orjson.loads(frozen("said.json"))
    assert epoch_of(frozen("snapshot")) == EPOCH.hex()
    head = opened_head(
        frozen("snapshot"), repository=REPOSITORY, chain=CHAIN, number=5, key=KEY, signer=SIGNER.public_key()
    )
    assert (head.said.operations, head.said.standing, head.said.digest) == (5_432, 2, "ef" * 32)
    assert head.said.ends == {CHAIN.hex(): End(7, "cd" * 32, 3)}
    operations = opened_part(head, 0, frozen("snapshot.0000"))
    assert [(one.field, one.value, one.seq) for one in operations] == [
        ("called_name", "Idå", 2), ("weight", {"q": ["3110", "g", "3110"]}, 3),
    ]  # fmt: skip
    assert [one.hash for one in operations] == said["operations"].split()


@pytest.mark.parametrize("name", ["snapshot", "snapshot.0000"])
def test_the_frozen_bytes_are_those_that_were_written(name: str) -> None:
    assert sha256(frozen(name)).hexdigest() == orjson.loads(frozen("said.json"))[f"sha256 {name}"]
