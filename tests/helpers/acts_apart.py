"""Acts of membership as devices make them apart: true signatures, and a place for a sealed key where no one opens it.

Keys follow from names, so that one seed tells one story and the acts every story begins with are signed once.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from functools import cache
from hashlib import sha256

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from storage.keys import recovery_pair, recovery_signer, vouched
from sync.membership.acts import RECOVERY, Act, Add, Change, Found, Member, Revoke, Role, Rotate, SetRole, signed_act
from sync.membership.roster import Roster, roster
from tests.helpers.chains import device_id

__all__ = ["act_by", "begun", "changed_key", "holds", "let_in", "may_ever_act", "put_out"]

REPOSITORY, SHEET = "ab" * 16, bytes(range(20))
NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
ROLES = (Role.OWNER, Role.OWNER, Role.OWNER, Role.CONSULTANT, Role.OWNER, Role.STUDENT)
_SEALED = b"sealed"


@cache
def _signer(chain: str) -> Ed25519PrivateKey:
    return Ed25519PrivateKey.from_private_bytes(sha256(chain.encode()).digest())


@cache
def _member(chain: str, role: Role) -> Member:
    return Member(chain, "a device", role, _signer(chain).public_key().public_bytes_raw(), bytes(1216))


def act_by(
    chain: str, change: Change, acts: Iterable[Act], heads: tuple[str, ...], *, signer: str | None = None
) -> Act:
    """An act of one device on top of those it knows; `signer` is another device, for one that is forged."""
    seq = max((act.seq for act in acts if act.by == chain), default=0) + 1
    return signed_act(
        change, repository=REPOSITORY, by=chain, seq=seq, heads=heads, now=NOW, signer=_signer(signer or chain)
    )


@cache
def begun(count: int) -> tuple[Act, ...]:
    """The founding act by device 0, and the acts by which it let the others in."""
    founder = _member(device_id("device 0"), Role.OWNER)
    change = Found(
        founder, recovery_pair(SHEET)[0], recovery_signer(SHEET).public_key().public_bytes_raw(),
        vouched(SHEET, founder.sign), _epoch("founding"), {founder.chain: _SEALED, RECOVERY: _SEALED},
    )  # fmt: skip
    acts = [act_by(founder.chain, change, (), ())]
    for n in range(1, count):
        added = Add(_member(device_id(f"device {n}"), ROLES[n]), {_epoch("founding"): _SEALED})
        acts.append(act_by(founder.chain, added, acts, (acts[-1].hash,)))
    return tuple(acts)


def _epoch(name: str) -> str:
    return sha256(name.encode()).hexdigest()[:32]


def _for(chains: Iterable[str]) -> dict[str, bytes]:
    return dict.fromkeys((*chains, RECOVERY), _SEALED)


def put_out(now: Roster, chain: str, acts: Iterable[Act], name: str) -> Revoke:
    """The change that puts a member out, as far as its acts are known."""
    known = max((act.seq for act in acts if act.by == chain), default=0)
    return Revoke(chain, 0, "", known, _epoch(name), _for(one for one in now.members if one != chain))


def changed_key(now: Roster, name: str) -> Rotate:
    """The change of the practice key, with every earlier key handed to whoever lacks it."""
    earlier: dict[str, dict[str, bytes]] = {}
    for chain, epoch in now.lacking:
        earlier.setdefault(chain, {})[epoch] = _SEALED
    return Rotate(_epoch(name), _for(now.members), earlier)


def let_in(now: Roster, chain: str) -> Add:
    """The change that lets a new device in as an owner."""
    return Add(_member(chain, Role.OWNER), dict.fromkeys(now.epochs, _SEALED))


def may_ever_act(chain: str, acts: Iterable[Act]) -> bool:
    """Whether any of these acts, counted or not, makes it an owner."""
    for act in acts:
        match act.change:
            case Found(member=member) | Add(member=member) if (member.chain, member.role) == (chain, Role.OWNER):
                return True
            case SetRole(chain=one, role=role) if (one, role) == (chain, Role.OWNER):
                return True
            case _:
                pass
    return False


def holds(acts: list[Act], false: set[str]) -> Roster:
    """What these acts come to: the same in two orders, with nobody inside or acting on whom an act that counts puts out.

    `false` are those that nobody had a right to make; none of them counts.
    """
    founding = begun(1)[0].hash
    now, again = roster(acts, founding), roster(sorted(acts, key=lambda act: act.hash[::-1]), founding)
    assert now == again, "the order of acts changes who belongs"
    counted = [act for act in acts if act.hash not in now.refused]
    assert not {act.hash for act in counted} & false, "an act counts that nobody had a right to make"
    for act in counted:
        if isinstance(act.change, Revoke):
            out, last = act.change.chain, act.change.acts
            assert out not in now.members, "somebody put out is inside"
            assert not any(one.by == out and one.seq > last for one in counted), "somebody put out acts on"
    assert not now.missing
    assert {chain for chain in now.every if chain not in now.members} == set(now.put_out)
    keys = {act.change.epoch for act in counted if isinstance(act.change, Found | Revoke | Rotate)}
    assert keys == set(now.epochs), "a practice key is gone"
    return now
