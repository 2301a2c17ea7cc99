"""The act that replaces a recovery sheet, as it was first written, reads for ever. The bytes are never made anew."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

import orjson

from storage.keys import recovery_pair
from sync.membership.acts import Found, Sheet, key_for, read_act, unseal_key
from sync.membership.roster import roster

FROZEN = Path(__file__).resolve().parents[2] / "frozen"
KEY, EPOCH, NEW_SHEET = bytes(range(32)), "ee" * 16, bytes(range(20, 40))


def test_the_act_that_replaces_a_recovery_sheet() -> None:
    said = orjson.loads((FROZEN / "sheet-1" / "said.json").read_bytes())
    raw = (FROZEN / "sheet-1" / "act").read_bytes()
    assert sha256(raw).hexdigest() == said["sha256 act"]
    root, act = read_act((FROZEN / "wire-1" / "act").read_bytes()), read_act(raw)
    assert isinstance(root.change, Found)
    assert isinstance(act.change, Sheet)
    assert (act.hash, act.change.recovery_chain) == (said["act"], said["chain"])
    found = roster([root, act], root.hash)
    assert found.refused == {}
    assert (set(found.sheets), set(found.sheets_ended)) == ({said["chain"]}, {root.change.recovery_chain})
    assert found.rotation_owed
    sealed = key_for(act.change, found.sheets[said["chain"]].name)[EPOCH]
    assert unseal_key(sealed, recovery_pair(NEW_SHEET)[1], root.repository, EPOCH) == KEY
