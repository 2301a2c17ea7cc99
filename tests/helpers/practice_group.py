"""A practice of several devices, each with real keys, which make acts of membership from what they know."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime

from cryptography.hazmat.primitives.asymmetric import mlkem, x25519
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.hpke import MLKEM768X25519PrivateKey

from storage.keys import recovery_pair, recovery_signer, vouched
from sync.membership.acts import (
    RECOVERY,
    Act,
    Add,
    Change,
    Found,
    Member,
    Revoke,
    Role,
    Rotate,
    Sheet,
    key_for,
    new_epoch,
    seal_key,
    sheet_word,
    signed_act,
    unseal_key,
)
from sync.membership.roster import Roster, roster
from tests.helpers.chains import device_id

__all__ = ["REPOSITORY", "SHEET", "Owner", "founded", "recovery_act"]

REPOSITORY, SHEET = "ab" * 16, bytes(range(20))
NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


@dataclass
class Owner:
    """One device: its keys, the acts it knows, and the practice keys it could open."""

    name: str
    role: Role = Role.OWNER
    acts: dict[str, Act] = field(default_factory=dict)
    founding: str = ""
    seq: int = 0

    def __post_init__(self) -> None:
        """Make its keys."""
        self.chain = device_id(self.name)
        self.signer = Ed25519PrivateKey.generate()
        self.kem, self.curve = mlkem.MLKEM768PrivateKey.generate(), x25519.X25519PrivateKey.generate()
        self.keys: dict[str, bytes] = {}

    @property
    def member(self) -> Member:
        """Its public side."""
        receive = self.kem.public_key().public_bytes_raw() + self.curve.public_key().public_bytes_raw()
        return Member(self.chain, self.name, self.role, self.signer.public_key().public_bytes_raw(), receive)

    def roster(self) -> Roster:
        """The practice as this device knows it."""
        return roster(self.acts.values(), self.founding)

    def act(self, change: Change, heads: tuple[str, ...] | None = None) -> Act:
        """Make an act on top of what it knows."""
        self.seq += 1
        made = signed_act(
            change, repository=REPOSITORY, by=self.chain, seq=self.seq,
            heads=heads if heads is not None else (self.roster().heads if self.founding else ()),
            now=NOW, signer=self.signer,
        )  # fmt: skip
        self.learn([made])
        return made

    def learn(self, acts: list[Act]) -> None:
        """Take acts in, and open the practice keys sealed for it."""
        private = MLKEM768X25519PrivateKey(self.kem, self.curve)
        for act in acts:
            self.acts[act.hash] = act
            for epoch, sealed in key_for(act.change, self.chain).items():
                self.keys[epoch] = unseal_key(sealed, private, REPOSITORY, epoch)

    def sealed_for(self, members: list[Member], epoch: str, key: bytes) -> dict[str, bytes]:
        """A new key for these members and the recovery sheets that hold."""
        found = {one.chain: seal_key(key, one.receive, REPOSITORY, epoch) for one in members}
        sheets = {one.name: one.receive for one in self.roster().sheets.values()} if self.founding else {
            RECOVERY: recovery_pair(SHEET)[0]
        }  # fmt: skip
        return found | {name: seal_key(key, receive, REPOSITORY, epoch) for name, receive in sheets.items()}

    def add(self, other: Owner) -> Act:
        """Let another device in; it learns all this one knows."""
        keys = {epoch: seal_key(key, other.member.receive, REPOSITORY, epoch) for epoch, key in self.keys.items()}
        made = self.act(Add(other.member, keys))
        other.founding = self.founding
        other.learn(list(self.acts.values()))
        return made

    def put_out(self, other: Owner, *, acts: int | None = None) -> Act:
        """Put another device out; the key changes with it."""
        epoch, key = new_epoch()
        stay = [one for one in self.roster().members.values() if one.chain != other.chain]
        known = max((act.seq for act in self.acts.values() if act.by == other.chain), default=0)
        sealed = self.sealed_for(stay, epoch, key)
        return self.act(Revoke(other.chain, 3, "f" * 64, known if acts is None else acts, epoch, sealed))

    def replace_sheet(self, sheet: bytes) -> Act:
        """Give the practice another recovery sheet in the place of those that hold."""
        receive, signer = recovery_pair(sheet)[0], recovery_signer(sheet)
        ended = {
            chain: max((act.seq for act in self.acts.values() if act.by == chain), default=0)
            for chain in self.roster().sheets
        }
        keys = {epoch: seal_key(key, receive, REPOSITORY, epoch) for epoch, key in self.keys.items()}
        word = sheet_word(signer, self.founding, receive)
        return self.act(Sheet(receive, signer.public_key().public_bytes_raw(), word, ended, keys))

    def rotate(self) -> Act:
        """Change the practice key."""
        epoch, key = new_epoch()
        return self.act(Rotate(epoch, self.sealed_for(list(self.roster().members.values()), epoch, key)))


def recovery_act(
    owner: Owner, change: Change, *, seq: int = 1, sheet: bytes = SHEET, chain: str = "", heads: tuple[str, ...] = ()
) -> Act:
    """An act that the holder of the sheet makes on top of what a device knows, or of some heads it names."""
    root = owner.acts[owner.founding].change
    assert isinstance(root, Found)
    return signed_act(
        change, repository=REPOSITORY, by=chain or root.recovery_chain, seq=seq,
        heads=heads or owner.roster().heads, now=NOW, signer=recovery_signer(sheet),
    )  # fmt: skip


def founded(name: str = "laptop") -> Owner:
    """A device that founded a practice."""
    owner = Owner(name)
    epoch, key = new_epoch()
    change = Found(
        owner.member, recovery_pair(SHEET)[0], recovery_signer(SHEET).public_key().public_bytes_raw(),
        vouched(SHEET, owner.member.sign), epoch, owner.sealed_for([owner.member], epoch, key),
    )  # fmt: skip
    made = owner.act(change, heads=())
    owner.founding = made.hash
    return owner
