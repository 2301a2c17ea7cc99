"""Files as each version of the format wrote them open for ever. The frozen bytes are never made anew."""

from __future__ import annotations

from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

import orjson
import pytest
from cryptography.hazmat.primitives.asymmetric import mlkem, x25519
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.hpke import MLKEM768X25519PrivateKey

from storage.keys import recovery_pair
from sync.membership.acts import RECOVERY, Found, key_for, read_act, unseal_key
from sync.membership.joining import Code, compared, read_answer, read_code, read_greeting, read_request
from sync.membership.roster import roster
from sync.wire.beat import epoch_of, read_beat
from sync.wire.blob import blob_id, joined
from sync.wire.change_file import opened
from sync.wire.pack_file import COUNT, packed_files

FROZEN = Path(__file__).resolve().parents[2] / "frozen" / "wire-1"
REPOSITORY, CHAIN, EPOCH = bytes.fromhex("ab" * 16), bytes.fromhex("11" * 16), bytes.fromhex("ee" * 16)
KEY, SIGNER = bytes(range(32)), Ed25519PrivateKey.from_private_bytes(bytes(range(32, 64)))
RECEIVER = MLKEM768X25519PrivateKey(
    mlkem.MLKEM768PrivateKey.from_seed_bytes(bytes(range(64))),
    x25519.X25519PrivateKey.from_private_bytes(bytes(range(64, 96))),
)
SHEET = bytes(range(20))
CODE_SECRET = bytes(range(100, 116))
BLOB = b"an invented attachment"
WALL = datetime(2026, 3, 3, 9, tzinfo=UTC)


def frozen(name: str) -> bytes:
    return (FROZEN / name).read_bytes()


def said() -> dict[str, str]:
    """What the frozen files came to when they were written."""
    found: dict[str, str] = orjson.loads(frozen("said.json"))
    return found


def test_a_change_file() -> None:
    header, body = opened(frozen("change"), key=KEY, signer=SIGNER.public_key())
    assert (header.repository, header.chain, header.epoch, header.number) == (REPOSITORY, CHAIN, EPOCH, 7)
    assert header.before == bytes(range(32))
    assert [(one.field, one.value, one.seq) for one in body.operations] == [
        ("called_name", "Ida", 1), ("called_name", "Idå", 2), ("weight", {"q": ["3110", "g", "3110"]}, 3),
    ]  # fmt: skip
    assert body.operations[1].parents == (body.operations[0].hash,)
    assert [one.hash for one in body.operations] == said()["operations"].split()
    assert body.seen == {"22" * 16: (4, "cd" * 32)}
    assert [one.length for one in body.attached] == [len(BLOB)]


def test_a_sign_of_life() -> None:
    raw = frozen("beat")
    assert epoch_of(raw) == EPOCH.hex()
    beat = read_beat(raw, repository=REPOSITORY, chain=CHAIN, key=KEY, signer=SIGNER.public_key())
    assert (beat.number, beat.hash, beat.digest, beat.wall) == (
        7,
        "cd" * 32,
        "",
        WALL.isoformat(),
    )  # its digest is of an older way
    assert beat.seen == {"22" * 16: (4, "cd" * 32)}


def test_an_act() -> None:
    act = read_act(frozen("act"))
    found = roster([act], act.hash)
    assert act.hash == said()["act"]
    assert isinstance(act.change, Found)
    assert found.members[CHAIN.hex()].label == "Laptop"
    for member, private in ((CHAIN.hex(), RECEIVER), (RECOVERY, recovery_pair(SHEET)[1])):
        sealed = key_for(act.change, member)[EPOCH.hex()]
        assert unseal_key(sealed, private, REPOSITORY.hex(), EPOCH.hex()) == KEY


def test_an_attachment() -> None:
    name = blob_id(KEY, sha256(BLOB).hexdigest())
    assert name == said()["blob"]
    assert joined(KEY, name, [frozen("blob")], sha256(BLOB).hexdigest()) == BLOB


def test_a_pack() -> None:
    files = packed_files(frozen("pack"))
    assert len(files) == COUNT
    assert set(files) == {frozen("change")}


def test_the_messages_of_joining() -> None:
    code = read_code(said()["code"])
    assert code is not None
    assert code.secret == CODE_SECRET
    assert [code.name_of(what) for what in ("request", "greeting", "answer")] == said()["names"].split()
    request, greeting = read_request(frozen("request"), code), read_greeting(frozen("greeting"), code)
    assert compared(request, greeting) == said()["digits"]
    given = read_answer(frozen("answer"), request, greeting, RECEIVER)
    assert given.ends == {"22" * 16: (4, "cd" * 32)}
    assert isinstance(code, Code)


@pytest.mark.parametrize("name", ["change", "beat", "act", "blob", "pack", "request", "greeting", "answer"])
def test_the_frozen_bytes_are_those_that_were_written(name: str) -> None:
    assert sha256(frozen(name)).hexdigest() == said()[f"sha256 {name}"]
