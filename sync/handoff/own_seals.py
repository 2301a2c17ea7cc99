"""The roots of the practice as the record tells them: which there are, and under which of them a consultant seals here.

Each device that makes a root, or is brought a certificate, writes the public half into the record, so every device
counts what was sealed under any of them as the practice's own. The private half of a root is never written there.
"""

from __future__ import annotations

from base64 import b64decode
from binascii import Error
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import Enum, auto
from typing import TYPE_CHECKING

from cryptography.x509 import load_der_x509_certificate
from cryptography.x509.oid import NameOID

from forms.ask import Path
from forms.chart import Place
from forms.known_sender import packed
from forms.own_seal import OwnSeal, own_seal_id
from forms.role import Part, Role
from storage.changes import Begin, Change, Head, Put
from storage.log import STRUCK
from storage.troubles import WritesNot
from sync.exchange.practice import Practice, practice_of
from sync.exchange.roles import could_sign
from sync.handoff.chain import LONGEST_PART, is_practice_root, read_certificate
from sync.handoff.seals import brought_ever, certify, kept_seal, own_root

if TYPE_CHECKING:
    from storage.store import Store

__all__ = [
    "Root", "Sealing", "Standing", "give_up", "may_tell", "own_roots", "roots_of", "seal_under", "sealing", "tell_own",
]  # fmt: skip

_CERTIFICATE, _GIVEN_UP = Path("certificate"), Path("given_up")
_AGAIN = "told by a device that may sign"
"""Why the same is written over what a device wrote whose word does not count; without a reason it would be left out."""


@dataclass(frozen=True, slots=True)
class Root:
    """One root of the practice: its certificate (DER), and whether it is given up."""

    certificate: bytes
    given_up: bool = False


class Standing(Enum):
    """Under which root a consultant seals on this device, beside what the practice has."""

    FIRST = auto()  # under the practice's root, or nothing was made anywhere yet
    WAITS = auto()  # no seal here; the practice has a root, under which nobody seals on this device
    AWAY = auto()  # no seal of hers here; the practice's root is that of this device
    UNKNOWN = auto()  # no seal here; this device came later, and no root has reached it
    APART = auto()  # under another root than the practice's


@dataclass(frozen=True, slots=True)
class Sealing:
    """What is to be known of the roots here.

    `practice` is the practice's root: the first of `roots_of` that is not given up. `others` are further ones not given
    up. `here` is the root this consultant's seal stands under, or that of this device where she has none; all are
    certificates (DER), None where there is none. `tells`: what this device tells of roots counts on the others.
    """

    standing: Standing
    practice: bytes | None = None
    others: tuple[bytes, ...] = ()
    here: bytes | None = None
    tells: bool = True


def _certificate(kept: object, entity: str) -> bytes | None:
    """The certificate a value keeps; None where it is none that is read, or not that for which `entity` was begun."""
    try:
        found = b64decode(kept, validate=True) if isinstance(kept, str) else b""
    except (Error, ValueError):
        return None
    return found if own_seal_id(found) == entity and read_certificate(found) is not None else None


@dataclass(frozen=True, slots=True)
class _Told:
    """A certificate that the record tells, by which devices (their chains), and each mark that says it is given up."""

    certificate: bytes
    by: frozenset[str]
    marks: frozenset[bool]

    @property
    def given_up(self) -> bool:
        """Whether all that was said of it says so."""
        return self.marks == {True}


def _told(store: Store, practice: Practice | None) -> Iterator[_Told]:
    """What is told by devices that may sign: what another one wrote, whatever role it had heard of, counts for nothing.

    All that was ever told counts, not only what stands: the id follows from the certificate, so nothing written over
    it can be another one, and nobody can take it back by writing.
    """

    def counted(heads: Iterable[Head]) -> list[Head]:
        return [one for one in heads if practice is None or could_sign(one.device, one.at, practice.roster)]

    for entry in store.practice_entries():
        struck = entry.struck is not None and counted(store.heads(entry.id, Path(STRUCK)))
        if struck or not isinstance(entry.answers, OwnSeal):
            continue
        every = counted((*store.heads(entry.id, _CERTIFICATE), *store.history(entry.id, _CERTIFICATE)))
        found = {head.device: held for head in every if (held := _certificate(head.value, entry.id)) is not None}
        if found:
            up = counted(store.heads(entry.id, _GIVEN_UP)) or counted(store.history(entry.id, _GIVEN_UP))[-1:]
            marks = frozenset(head.value is True for head in up)
            yield _Told(next(iter(found.values())), frozenset(found), marks)


def own_roots(store: Store) -> tuple[bytes, ...]:
    """Every certificate (DER) by which this practice's papers are told: its roots, and those brought along, ever.

    Of this device, and of every other that told its own and may sign.
    """
    root, told = own_root(store), (one.certificate for one in _told(store, practice_of(store)))
    return tuple(dict.fromkeys((*((root,) if root is not None else ()), *brought_ever(store), *told)))


def roots_of(store: Store) -> tuple[Root, ...]:
    """The practice's roots that the record tells: that of the device that founded it first, then the older ones first.

    Older by what their certificates say, which is the same on every device, whoever told of them when.
    """
    practice = practice_of(store)
    founder = next((act.by for act in practice.acts if act.hash == practice.founding), "") if practice else ""

    def order(one: _Told) -> tuple[bool, datetime, bytes]:
        return founder not in one.by, load_der_x509_certificate(one.certificate).not_valid_before_utc, one.certificate

    found = (one for one in _told(store, practice) if is_practice_root(read_certificate(one.certificate)))
    return tuple(Root(one.certificate, one.given_up) for one in sorted(found, key=order))


def may_tell(store: Store) -> bool:
    """Whether what this device tells of roots counts on the others, by its role now."""
    role = store.exchange().fact("role")
    return not role or Role(role).may_write(Part.SIGNATURE)


def tell_own(store: Store, author: str) -> None:
    """Writes into the record what is kept here alone: this device's root, and certificates brought along.

    Nothing is written where it is told already, as at every start but the first, and nothing on a device that may not
    sign: there what is made stays known on that device alone. What was put in its place is replaced.
    """
    if not may_tell(store):
        return
    root, changes = own_root(store), list[Change]()
    told = {one.certificate for one in _told(store, practice_of(store))}
    for certificate in (*((root,) if root is not None else ()), *brought_ever(store)):
        entity = own_seal_id(certificate)
        kept = store.entry(entity)
        if read_certificate(certificate) is None:
            continue  # it would count nowhere, and be written at every start
        whole = kept is not None and _certificate(getattr(kept.answers, "certificate", None), entity) is not None
        if kept is None or (kept.struck is None and not (whole and certificate in told)):
            put = Put(entity, _CERTIFICATE, packed(certificate), reason=_AGAIN if kept is not None else "")
            changes += [Begin(entity, Place(OwnSeal.name)), put]
    if changes:
        store.write(changes, author=author)


def sealing(store: Store, practitioner: str, *, joined: bool) -> Sealing:
    """Under which root a consultant seals here. `joined`: this device came to a practice that was there before it."""
    seal, roots = kept_seal(store, practitioner), roots_of(store)
    # Two devices that were apart can each give up the other's root: then both count again, and it is told.
    living = [root.certificate for root in roots if not root.given_up] or [root.certificate for root in roots]
    here = (seal.root if seal is not None and not seal.brought else None) or own_root(store)
    first, others, tells = living[0] if living else None, tuple(living[1:]), may_tell(store)
    if seal is None:
        standing = Standing.UNKNOWN if joined else Standing.FIRST
        if first is not None:
            standing = Standing.AWAY if here == first else Standing.WAITS
    else:
        standing = Standing.FIRST if seal.brought or first is None or here == first else Standing.APART
    return Sealing(standing, first, others, here, tells)


def seal_under(
    store: Store, practitioner: str, *, practice: str, name: str, now: datetime, file: bytes, passphrase: str
) -> None:
    """Certifies a consultant on this device under the practice's root, from the file it was saved to.

    The root's private half is not kept. A root this device made itself before is given up by that: what it sealed
    stays known, and its private half goes too if it still waited here. While the record tells of no root, one that
    bears the practice's name is taken for its own. Raises RootNotOpened and RootOfAnother, and then changes nothing.
    """
    seal = kept_seal(store, practitioner)
    before = seal.root if seal is not None and not seal.brought else own_root(store)
    ours = {root.certificate for root in roots_of(store)} | {before}

    def allowed(root: bytes) -> bool:
        return root in ours or (ours == {None} and is_practice_root(read_certificate(root)) and _bears(root, practice))

    certify(
        store, practitioner, practice=practice, name=name, now=now, root=file, passphrase=passphrase, allowed=allowed
    )
    tell_own(store, practitioner)
    after = own_root(store)
    if not may_tell(store):
        return
    if after is not None:
        _mark(store, practitioner, after, given_up=False)
    if before is not None and before != after and _made_here(store, before):
        _mark(store, practitioner, before, given_up=True)


def give_up(store: Store, root: bytes, author: str) -> None:
    """Says that nothing more is sealed under a root, as its file is lost. What it sealed stays known.

    Raises WritesNot on a device that may not sign, since the others would not count it.
    """
    if not may_tell(store):
        role = Role(store.exchange().fact("role")).label
        raise WritesNot(role=role, what=OwnSeal.title, who="an owner or consultant")
    _mark(store, author, root, given_up=True)


def _mark(store: Store, author: str, root: bytes, *, given_up: bool) -> None:
    told = next((one for one in _told(store, practice_of(store)) if one.certificate == root), None)
    if told is not None and (told.marks or frozenset({False})) != {given_up}:
        store.write([Put(own_seal_id(root), _GIVEN_UP, given_up, reason=_AGAIN)], author=author)


def _made_here(store: Store, root: bytes) -> bool:
    return any(head.device == store.device for head in store.heads(own_seal_id(root), _CERTIFICATE))


def _bears(root: bytes, practice: str) -> bool:
    said = load_der_x509_certificate(root).subject.get_attributes_for_oid(NameOID.ORGANIZATION_NAME)
    return [one.value for one in said] == [practice[:LONGEST_PART]]
