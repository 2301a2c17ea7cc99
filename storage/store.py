"""The open store: everything the rest of the program may do with the record."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path as FilePath
from threading import RLock

from cryptography.hazmat.primitives.asymmetric import mlkem, x25519
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.hpke import MLKEM768X25519PrivateKey
from sqlalchemy import Connection, delete, select, update
from sqlalchemy.dialects.sqlite import insert as insert_or

from forms.ask import Path
from forms.chart import Chart, Entry, Signed
from forms.clinical.prompt_trace import Written
from forms.form import Form
from forms.trouble import Bug, Trouble
from storage import charts, checks, disputes, journal, projections, rebuilding, registers, signing, steps
from storage.changes import Change, ChangeSet, Head
from storage.disputes import Dispute, Late
from storage.engine import Database
from storage.exchange import Exchange, Kept, keep_files, own_unsent
from storage.folder import Folder, Lock
from storage.journal import Line
from storage.keys import derived, seal, unseal
from storage.log import Operation, instant
from storage.projections import FamilyLine
from storage.schema import SCHEMA, attachment, device_key, secret, setting
from storage.tail import Tail, TailFile
from storage.troubles import AttachmentMissing, DiskFull
from storage.whole import Whole
from storage.writing import Writing
from storage.written import written

__all__ = ["Store", "StoreKeys"]

CLERK = "store"
"""Who the journal names for what the program does by itself."""


@dataclass(frozen=True, slots=True, repr=False)
class StoreKeys:
    """The subkeys an open store needs beside the database's own: for device keys, and for secrets."""

    local: bytes
    secrets: bytes


class Store:
    """An unlocked store. Any thread may call it; calls follow one another.

    Every call may raise DiskFull, NoRights, DiskTrouble or DamagedDatabase, and StoreClosed after `close`; a write that
    raises has changed nothing. `told` holds what was found missing when it was opened, to be shown to the user.
    """

    def __init__(
        self, folder: Folder, lock: Lock, database: Database, tail: TailFile, keys: StoreKeys, *,
        device: str, clock: Callable[[], datetime], ids: Callable[[], str],
    ) -> None:  # fmt: skip
        self.folder: FilePath = folder.path
        self.device = device
        self.told: tuple[Trouble, ...] = ()
        self._files, self._lock, self._db, self._tail, self._keys = folder, lock, database, tail, keys
        self._clock, self._ids = clock, ids
        self._turn = RLock()
        self._owed = False
        self._late: list[tuple[str, dict[str, str]]] = []
        self._read_ends()

    def _read_ends(self) -> None:
        with self._db.transaction() as c:
            self._chain = registers.chain_of(c, self.device)
            self._journal = journal.end_of(c)

    # --- writing ----------------------------------------------------------------------------------------------------

    @contextmanager
    def _writing(self) -> Iterator[Writing]:
        """One transaction; at its end the tail is written, and only then does the caller hear that it is saved."""
        with self._turn:
            try:
                with self._db.transaction() as c:
                    writing = Writing(c, self._chain, self._journal, self._clock())
                    for kind, about in self._late:
                        writing.note(kind, CLERK, about)
                    yield writing
            except Trouble:
                with suppress(Trouble):
                    self._read_ends()  # whatever the disk did with a failed commit, go on from what it holds
                raise
            self._late = []
            if (writing.chain, writing.journal) != (self._chain, self._journal) or self._owed:
                self._chain, self._journal = writing.chain, writing.journal
                self._prove(clean=False)

    def _prove(self, *, clean: bool) -> None:
        self._owed = True
        self._tail.put(
            Tail(
                generation=0,
                schema=SCHEMA,
                clean=clean,
                operations=self._chain.count,
                answers=self._chain.answers,
                last_operation=self._chain.newest,
                lines=self._journal.count,
                last_line=self._journal.last,
                millis=int(self._clock().timestamp() * 1000),
            )
        )
        self._owed = False

    def write(
        self, changes: Iterable[Change], *, author: str, note: tuple[str, dict[str, str]] | None = None
    ) -> ChangeSet:
        """Writes all of the changes or none, as one step that undo takes back. On return they are on disk.

        `note` is a line of the audit journal written with them: its kind, and ids, counts or hashes.
        Raises VisitSigned for an entry that a signature froze, WritesNot for what the role of this device does not
        allow, and CannotBeKept for text that is no text.
        """
        with self._writing() as writing:
            writing.changes(changes, author)
            if note is not None:
                writing.note(note[0], author, note[1])
            return writing.result()

    def undo(self, author: str, *, family: str | None = None) -> ChangeSet | None:
        """Takes the newest step back by writing its reverse; None when none of the last twenty can be taken back.

        With `family`, the newest step of that family.
        """
        with self._writing() as writing:
            if not writing.take_back(author, family):
                return None
            return writing.result()

    def undoable(self, *, family: str | None = None) -> tuple[str, ...]:
        """The steps that undo would take back, newest first, in words that hold no answer."""
        with self._turn, self._db.transaction() as c:
            return tuple(steps.described(c, made) for _, made in steps.reversible(c, family))

    def sign(self, visit: str, *, author: str) -> Signed:
        """Freezes the visit. Raises VisitSigned, SignsNot, StudentSignsNot, ConflictAtSigning, or NothingToSign."""
        with self._writing() as writing:
            writing.sign(visit, author)
            made = writing.result().operations[-1]
            place = registers.place_of(writing.c, visit)
            found = charts.signatures(writing.c, place.family or "" if place else "")
        return next(signed for signed in found if signed.operation == made)

    # --- reading ----------------------------------------------------------------------------------------------------

    def heads(self, entity: str, path: Path) -> tuple[Head, ...]:
        """The operations that stand for a register, oldest first."""
        with self._turn, self._db.transaction() as c:
            return registers.heads(c, entity, str(path))

    def history(self, entity: str, path: Path) -> tuple[Head, ...]:
        """Every operation ever written to a register, oldest first."""
        with self._turn, self._db.transaction() as c:
            return registers.history(c, entity, str(path))

    def written(self, family: str) -> tuple[Written, ...]:
        """Everything ever written about the family and to the practice's settings, oldest first."""
        with self._turn, self._db.transaction() as c:
            return tuple(written(c, family))

    def entry(self, entity: str) -> Entry[Form] | None:
        """One entry, or None."""
        with self._turn, self._db.transaction() as c:
            return charts.one(c, entity)

    def entries(self, entities: Collection[str]) -> tuple[Entry[Form], ...]:
        """The entries with these ids, oldest first; those that are not there are left out."""
        with self._turn, self._db.transaction() as c:
            return charts.named(c, entities)

    def chart(self, family: str, visit: str | None = None) -> Chart:
        """Every entry of the family, and the practice's own."""
        with self._turn, self._db.transaction() as c:
            return charts.chart(c, family, visit)

    def practice_entries(self) -> tuple[Entry[Form], ...]:
        """The practice, its practitioners and its address book, oldest first."""
        with self._turn, self._db.transaction() as c:
            return charts.entries(c, charts.of_practice())

    def caseload(self) -> tuple[FamilyLine, ...]:
        """Every family, by name."""
        with self._turn, self._db.transaction() as c:
            return projections.caseload(c)

    def search(self, words: str) -> tuple[FamilyLine, ...]:
        """The families that fit words typed without care for case or accents, or the end of a phone number."""
        with self._turn, self._db.transaction() as c:
            return projections.search(c, words)

    def signatures(self, family: str) -> tuple[Signed, ...]:
        """Every signature of the family's visits, oldest first."""
        with self._turn, self._db.transaction() as c:
            return charts.signatures(c, family)

    def disputes(self, family: str | None = None) -> tuple[Dispute, ...]:
        """What devices wrote apart and a person has to settle, of one family or of the whole practice."""
        with self._turn, self._db.transaction() as c:
            return disputes.disputes(c, self.device, family)

    def late_arrivals(self, done: Collection[str] = ()) -> tuple[Late, ...]:
        """What arrived for signed visits after their signatures; `done` are operations that were seen to here."""
        with self._turn, self._db.transaction() as c:
            return disputes.late_arrivals(c, done)

    def recheck(self, visit: str) -> tuple[str, ...]:
        """The notes of a signed visit that disagree with its signature, worked out from the log; none is good."""
        with self._turn, self._db.transaction() as c:
            return signing.recheck(c, visit)

    # --- beside the record ------------------------------------------------------------------------------------------

    def note(self, kind: str, *, by: str, about: dict[str, str] | None = None) -> None:
        """Adds a line to the audit journal: what happened, and ids, counts or hashes. Never a clinical value."""
        with self._writing() as writing:
            writing.note(kind, by, about or {})

    def begin_notes(self, kind: str, about: dict[str, str]) -> None:
        """Writes the journal's first line after an opening; on a full disk the line waits for the first write.

        So a record can still be read when nothing can be written, and `told` says that the disk is full.
        """
        try:
            with self._writing() as writing:
                writing.note(kind, CLERK, about)
        except DiskFull as trouble:
            self._late = [(kind, about)]
            self.told = (*self.told, trouble)

    def journal(self) -> tuple[Line, ...]:
        """The audit journal, oldest first."""
        with self._turn, self._db.transaction() as c:
            return tuple(journal.lines(c))

    def attach(self, data: bytes, kind: str) -> str:
        """Files bytes of a kind (a media type) with the record and gives their SHA-256, by which they are known."""
        name = sha256(data).hexdigest()
        with self._writing() as writing:
            put = insert_or(attachment).values(sha256=name, kind=kind, data=data).on_conflict_do_nothing()
            if writing.c.execute(put).rowcount:
                writing.note("attached", CLERK, {"sha256": name, "kind": kind})
        return name

    def attachment(self, name: str) -> bytes:
        """The bytes filed under a SHA-256; raises AttachmentMissing, or DamagedDatabase when they no longer fit it."""
        with self._turn, self._db.transaction() as c:
            data = c.execute(select(attachment.c.data).where(attachment.c.sha256 == name)).scalar()
        if data is None:
            raise AttachmentMissing
        return checks.whole(name, bytes(data))

    def keep_secret(self, name: str, data: bytes) -> None:
        """Keeps a small secret, sealed under a key of its own; replaces one of that name."""
        sealed = seal(self._secret_key(name), data, name)
        with self._writing() as writing:
            put = insert_or(secret).values(name=name, sealed=sealed)
            writing.c.execute(put.on_conflict_do_update(index_elements=["name"], set_={"sealed": sealed}))
            writing.note("secret kept", CLERK, {"name": name})

    def secret(self, name: str) -> bytes | None:
        """A kept secret, or None."""
        with self._turn, self._db.transaction() as c:
            sealed = c.execute(select(secret.c.sealed).where(secret.c.name == name)).scalar()
        return None if sealed is None else unseal(self._secret_key(name), bytes(sealed), name)

    def drop_secret(self, name: str) -> None:
        """Forgets a secret; nothing happens when there is none."""
        with self._writing() as writing:
            if writing.c.execute(delete(secret).where(secret.c.name == name)).rowcount:
                writing.note("secret dropped", CLERK, {"name": name})

    def _secret_key(self, name: str) -> bytes:
        return derived(self._keys.secrets, f"secret {name}")

    def public_keys(self) -> dict[str, bytes]:
        """Public halves: "sign" (Ed25519), "receive" and "recovery" (ML-KEM-768, then X25519), "recovery sign".

        "recovery vouch" is the recovery member's word for "sign". The last two are missing beside a sheet that an
        older version made.
        """
        with self._turn, self._db.transaction() as c:
            return {row.name: bytes(row.public) for row in c.execute(select(device_key))}

    def signing_key(self) -> Ed25519PrivateKey:
        """The signing key of this device."""
        return Ed25519PrivateKey.from_private_bytes(self._device_key("sign"))

    def receiving_key(self) -> MLKEM768X25519PrivateKey:
        """The key to which others seal what this device may read."""
        kept = self._device_key("receive")
        return MLKEM768X25519PrivateKey(
            mlkem.MLKEM768PrivateKey.from_seed_bytes(kept[:64]), x25519.X25519PrivateKey.from_private_bytes(kept[64:])
        )

    def new_recovery_member(self, public: Mapping[str, bytes]) -> None:
        """Replaces what is public of the recovery member, after a new sheet was made."""
        with self._writing() as writing:
            for name, held in public.items():
                put = insert_or(device_key).values(name=name, public=held)
                writing.c.execute(put.on_conflict_do_update(index_elements=["name"], set_={"public": held}))
            writing.note("recovery sheet replaced", CLERK, {})

    def _device_key(self, name: str) -> bytes:
        with self._turn, self._db.transaction() as c:
            sealed = c.execute(select(device_key.c.sealed).where(device_key.c.name == name)).scalar()
        if sealed is None:
            raise Bug(f"the store was made without its {name} key")
        return unseal(self._keys.local, bytes(sealed), name)

    # --- other devices ----------------------------------------------------------------------------------------------

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with self._turn, self._db.transaction() as c:
            yield c

    def exchange(self) -> Exchange:
        """The side of the store that faces other devices."""
        return Exchange(self.device, self._keys.local, self._reading, self._writing)

    def whole(self) -> Whole:
        """The side of the store through which a whole record goes out to a folder, or comes in from one."""
        return Whole(self._reading, self._writing, self._go_on_as)

    def _go_on_as(self, device: str) -> None:
        self.device = device

    def go_on_anew(self, files: Iterable[Kept], operations: Iterable[Operation], published: int) -> ChangeSet:
        """Goes on under a new name after a copy of this device wrote under the old one; takes in what that wrote.

        `published` is the number of the last file of its own that others can have.
        """
        device = self._ids()
        with self._writing() as writing:
            unsent = own_unsent(writing.c, self.device, -1, published)
            writing.go_on_anew(device, unsent, operations)
            keep_files(writing.c, files)
            writing.c.execute(update(setting).where(setting.c.name == "device").values(value=device))
            writing.note("went on under a new name", CLERK, {"before": self.device, "now": device})
            done = writing.result()
        self.device = device
        return done

    # --- care of the store ------------------------------------------------------------------------------------------

    def settle(self) -> None:
        """Moves everything into the database file and empties the write-ahead log; call within 60 s of a write."""
        with self._turn:
            self._db.checkpoint()

    def check(self) -> tuple[str, ...]:
        """Everything that is wrong with this store, each in a sentence; nothing when all is well."""
        with self._turn:
            return checks.problems(self._db, self._tail, self.device)

    def differences(self) -> tuple[str, ...]:
        """Where registers and caseload differ from what the log gives; nothing when all is well. Changes nothing."""
        with self._turn:
            return rebuilding.differences(self._db)

    def rebuild(self) -> None:
        """Works registers, entries and caseload out anew from the log."""
        with self._turn, self._db.transaction() as c:
            rebuilding.rebuild(c)

    def since(self) -> datetime | None:
        """When the last operation was written, or None for an empty log."""
        return instant(self._chain.millis) if self._chain.seq else None

    def close(self) -> None:
        """Locks the store: everything is moved into the database file, the file closed, the lock released.

        Never raises; what could not be tidied up is tidied on the next opening. Closing twice does nothing.
        """
        with self._turn:
            if self._lock.released:
                return
            with suppress(Trouble):
                with self._writing() as writing:
                    writing.note("locked", CLERK, {})
                clean = self._db.checkpoint()
                self._db.close()
                self._prove(clean=clean)
            self._db.close()
            self._tail.close()
            self._lock.release()
