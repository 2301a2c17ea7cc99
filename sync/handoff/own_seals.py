"""The roots of the practice as the record tells them: which there are, and under which of them a consultant seals here.

Each device that makes a root, or is brought a certificate, writes the public half into the record, so every device
counts what was sealed under any of them as the practice's own. The private half of a root is never written there.
"""

from __future__ import annotations

from base64 import b64decode
from binascii import Error
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import Enum, auto
from typing import TYPE_CHECKING, Any

from cryptography.x509 import load_der_x509_certificate
from cryptography.x509.oid import NameOID

from forms.answers import Conflicted, every
from forms.ask import Path
from forms.chart import Chart, Entry, Place
from forms.known_sender import packed
from forms.own_seal import OwnSeal, own_seal_id
from storage.changes import Begin, Change, Put
from sync.handoff.chain import LONGEST_PART, is_practice_root
from sync.handoff.seals import brought_ever, certify, kept_seal, own_root
from sync.handoff.verify import breaks

if TYPE_CHECKING:
    from storage.store import Store

__all__ = ["Root", "Sealing", "Standing", "give_up", "own_roots", "roots_of", "seal_under", "sealing", "tell_own"]

_GIVEN_UP = Path("given_up")


@dataclass(frozen=True, slots=True)
class Root:
    """One root of the practice: its certificate (DER), since when the record tells it, and whether it is given up."""

    certificate: bytes
    told: datetime
    given_up: bool = False


class Standing(Enum):
    """Under which root a consultant seals on this device, beside what the practice has."""

    FIRST = auto()  # under the practice's root, or nothing was made anywhere yet
    WAITS = auto()  # no seal here; the practice has a root, made elsewhere
    UNKNOWN = auto()  # no seal here; this device came later, and no root has reached it
    APART = auto()  # under another root than the practice's


@dataclass(frozen=True, slots=True)
class Sealing:
    """What is to be known of the roots here.

    `practice` is the practice's root: the first told that is not given up. `others` are further ones not given up.
    `here` is the root this consultant's seal stands under, or that of this device where she has none; all are
    certificates (DER), None where there is none.
    """

    standing: Standing
    practice: bytes | None = None
    others: tuple[bytes, ...] = ()
    here: bytes | None = None


def _certificate(entry: Entry[Any]) -> bytes | None:
    """The certificate an entry keeps; None where it is none, or not the one for which the entry was begun."""
    kept = getattr(entry.answers, "certificate", None)
    try:
        found = b64decode(kept, validate=True) if isinstance(kept, str) else b""
        load_der_x509_certificate(found)
    except (Error, ValueError):
        return None
    return found if own_seal_id(found) == entry.id else None


def _told(store: Store) -> Iterator[tuple[bytes, Entry[OwnSeal]]]:
    for entry in Chart("", None, store.practice_entries()).all(OwnSeal):
        found = _certificate(entry)
        if found is not None:
            yield found, entry


def own_roots(store: Store) -> tuple[bytes, ...]:
    """Every certificate (DER) by which this practice's papers are told: its roots, and those brought along, ever.

    Of this device and of every other that told its own.
    """
    root, told = own_root(store), (found for found, _ in _told(store))
    return tuple(dict.fromkeys((*((root,) if root is not None else ()), *brought_ever(store), *told)))


def roots_of(store: Store) -> tuple[Root, ...]:
    """The practice's roots that the record tells, the first told first."""
    found = []
    for certificate, entry in _told(store):
        if _is_root(certificate):
            up = entry.answers.given_up
            found.append(Root(certificate, entry.entered, not isinstance(up, Conflicted) and up is True))
    return tuple(found)


def _is_root(certificate: bytes) -> bool:
    from asn1crypto import x509

    try:
        return is_practice_root(x509.Certificate.load(certificate))
    except breaks():
        return False


def tell_own(store: Store, author: str) -> None:
    """Writes into the record what is kept here alone: this device's root, and certificates brought along.

    Nothing is written where it is told already, as at every start but the first. What was put in its place is replaced.
    """
    root, changes = own_root(store), list[Change]()
    for certificate in (*((root,) if root is not None else ()), *brought_ever(store)):
        entity = own_seal_id(certificate)
        kept = store.entry(entity)
        if kept is None or (kept.struck is None and _certificate(kept) != certificate):
            changes += [Begin(entity, Place(OwnSeal.name)), Put(entity, Path("certificate"), packed(certificate))]
    if changes:
        store.write(changes, author=author)


def sealing(store: Store, practitioner: str, *, joined: bool) -> Sealing:
    """Under which root a consultant seals here. `joined`: this device came to a practice that was there before it."""
    seal, roots = kept_seal(store, practitioner), roots_of(store)
    # Two devices that were apart can each give up the other's root: then both count again, and it is told.
    living = [root.certificate for root in roots if not root.given_up] or [root.certificate for root in roots]
    here = (seal.root if seal is not None and not seal.brought else None) or own_root(store)
    first, others = (living[0], tuple(living[1:])) if living else (None, ())
    if seal is None:
        standing = Standing.WAITS if first is not None else Standing.UNKNOWN if joined else Standing.FIRST
        return Sealing(standing, first, others, here)
    if seal.brought or first is None or here == first:
        return Sealing(Standing.FIRST, first, others, here)
    return Sealing(Standing.APART, first, others, here)


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
        return root in ours or (ours == {None} and _is_root(root) and _bears(root, practice))

    certify(
        store, practitioner, practice=practice, name=name, now=now, root=file, passphrase=passphrase, allowed=allowed
    )
    tell_own(store, practitioner)
    after = own_root(store)
    if after is not None:
        _mark(store, practitioner, after, given_up=False)
    if before is not None and before != after and _made_here(store, before):
        _mark(store, practitioner, before, given_up=True)


def give_up(store: Store, root: bytes, author: str) -> None:
    """Says that nothing more is sealed under a root, as its file is lost. What it sealed stays known."""
    _mark(store, author, root, given_up=True)


def _mark(store: Store, author: str, root: bytes, *, given_up: bool) -> None:
    entry = store.entry(own_seal_id(root))
    answers = entry.answers if entry is not None else None
    if isinstance(answers, OwnSeal) and (True in every(answers.given_up)) != given_up:
        store.write([Put(own_seal_id(root), _GIVEN_UP, given_up)], author=author)


def _made_here(store: Store, root: bytes) -> bool:
    return any(head.device == store.device for head in store.heads(own_seal_id(root), Path("certificate")))


def _bears(root: bytes, practice: str) -> bool:
    said = load_der_x509_certificate(root).subject.get_attributes_for_oid(NameOID.ORGANIZATION_NAME)
    return [one.value for one in said] == [practice[:LONGEST_PART]]
