"""Setting a store up, unlocking it, and getting in again with the recovery sheet."""

from __future__ import annotations

import secrets
import shutil
from collections.abc import Callable
from contextlib import ExitStack, suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric import mlkem, x25519
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from sqlalchemy import insert

from storage import keys
from storage.engine import Database, telling
from storage.folder import Folder, Lock
from storage.keys import Argon, derived
from storage.opening import opened
from storage.passphrases import must_be_strong
from storage.schema import SCHEMA, device_key, setting
from storage.store import CLERK, Store
from storage.tail import FRESH, TailFile
from storage.troubles import FolderTaken, SheetShared
from storage.upgrade import upgrade

__all__ = [
    "SetUp", "change_passphrase", "new_recovery_sheet", "prove_passphrase", "prove_recovery", "recover",
    "recovery_member", "renewed_sheet", "set_up", "unlock",
]  # fmt: skip


def _now() -> datetime:
    return datetime.now(UTC)


def _id() -> str:
    return secrets.token_hex(16)


@dataclass(frozen=True, slots=True, repr=False)
class SetUp:
    """A new store, open, and the words of its recovery sheet, which are kept nowhere else."""

    store: Store
    recovery_words: str


def set_up(
    folder: Path,
    passphrase: str,
    *,
    clock: Callable[[], datetime] = _now,
    ids: Callable[[], str] = _id,
    argon: Argon | None = None,
    words: str | None = None,
) -> SetUp:
    """Makes a store in a new or empty folder. `argon`: figures to use; measured on this machine when left out.

    `words`: those of a recovery sheet that exists and shall open this store too; a new one is made when left out.
    Raises RecoveryMistyped, PassphraseRefused, FolderTaken, NoRights, DiskFull, DiskTrouble or NotEnoughMemory, and
    then leaves the folder as it was.
    """
    must_be_strong(passphrase)
    sheet = secrets.token_bytes(keys.RECOVERY_BYTES) if words is None else keys.read_words(words)
    files = Folder(folder)
    with telling(folder):
        existed = folder.exists()
        if existed and (not folder.is_dir() or (any(folder.iterdir()) and not files.mark.exists())):
            raise FolderTaken(folder=folder)
    figures = argon or keys.calibrated()
    try:
        with telling(folder):
            return _made(files, passphrase, figures, sheet, clock, ids)
    except BaseException:
        with suppress(OSError):  # what stopped the set-up may stop the tidying too; the first trouble is the one told
            _cleared(files)
            files.mark.unlink(missing_ok=True)
            if not existed and folder.is_dir():
                folder.rmdir()
        raise


def _cleared(files: Folder) -> None:
    """Takes away what an unfinished set-up left. Only ever called on a folder that held nothing else."""
    for part in (files.keys, files.copies):
        shutil.rmtree(part, ignore_errors=True)
    for file in (*files.path.glob("record.*"), files.lock):
        file.unlink(missing_ok=True)


def _made(
    files: Folder, passphrase: str, figures: Argon, sheet: bytes, clock: Callable[[], datetime], ids: Callable[[], str]
) -> SetUp:
    files.path.mkdir(mode=0o700, parents=True, exist_ok=True)
    files.mark.touch(mode=0o600)
    _cleared(files)
    files.make()
    master = secrets.token_bytes(keys.KEY_BYTES)
    database = Database(files.database, derived(master, "database"))
    try:
        upgrade(database, files, clock())
        _keep_keys(database, derived(master, "device keys"), sheet, ids())
        database.checkpoint()
    finally:
        database.close()
    TailFile.made(files.tail, derived(master, "tail"), replace(FRESH, schema=SCHEMA)).close()
    keys.write_recovery_slot(files.recovery_slot, master, sheet)
    keys.write_passphrase_slot(files.passphrase_slot, master, passphrase, figures)
    store = _open(files, lambda: master, clock, ids, "set up")
    files.mark.unlink()
    return SetUp(store, keys.words_of(sheet))


def _keep_keys(database: Database, local: bytes, sheet: bytes, device: str) -> None:
    """Makes this device's chain id and key pairs, and keeps what is public of the recovery member."""
    sign = Ed25519PrivateKey.generate()
    kem, curve = mlkem.MLKEM768PrivateKey.generate(), x25519.X25519PrivateKey.generate()
    receive = kem.public_key().public_bytes_raw() + curve.public_key().public_bytes_raw()
    own = sign.public_key().public_bytes_raw()
    rows: list[tuple[str, bytes, bytes | None]] = [
        ("sign", own, keys.seal(local, sign.private_bytes_raw(), "sign")),
        ("receive", receive, keys.seal(local, kem.private_bytes_raw() + curve.private_bytes_raw(), "receive")),
        *((name, public, None) for name, public in recovery_member(sheet, own).items()),
    ]
    with database.transaction() as c:
        c.execute(insert(setting).values(name="device", value=device))
        for name, public, sealed in rows:
            c.execute(insert(device_key).values(name=name, public=public, sealed=sealed))


def recovery_member(sheet: bytes, device: bytes) -> dict[str, bytes]:
    """What is public of the recovery member, by name: its two keys, and its word for a device's signing key."""
    return {
        "recovery": keys.recovery_pair(sheet)[0],
        "recovery sign": keys.recovery_signer(sheet).public_key().public_bytes_raw(),
        "recovery vouch": keys.vouched(sheet, device),
    }


def _open(
    files: Folder,
    master: Callable[[], bytes],
    clock: Callable[[], datetime],
    ids: Callable[[], str],
    event: str,
    about: dict[str, str] | None = None,
) -> Store:
    """Takes the lock, then the key, then opens; lets the lock go when either does not work."""
    with ExitStack() as undo:
        with telling(files.path):
            lock = Lock(files.lock)
        undo.callback(lock.release)
        store = opened(files, lock, master(), clock=clock, ids=ids, event=event, about=about or {})
        undo.pop_all()
    return store


def unlock(
    folder: Path,
    passphrase: str,
    *,
    clock: Callable[[], datetime] = _now,
    ids: Callable[[], str] = _id,
    failed_before: int = 0,
) -> Store:
    """Opens a store. `failed_before`: wrong tries just before this one, for the audit journal.

    Raises NotAStore, AlreadyOpen, DamagedSlot, WrongPassphrase, NotEnoughMemory, NewerSchema, DamagedDatabase,
    NoRights, DiskFull or DiskTrouble, with nothing changed. What was found missing stands in `Store.told`.
    """
    files = Folder(folder)
    files.must_be_store()
    return _open(
        files,
        lambda: _by_passphrase(files, passphrase),
        clock,
        ids,
        "unlocked",
        {"failed before": str(failed_before)} if failed_before else {},
    )


def _by_passphrase(files: Folder, passphrase: str) -> bytes:
    with telling(files.path):
        return keys.passphrase_slot_opened(files.passphrase_slot, passphrase)


def prove_passphrase(folder: Path, passphrase: str) -> None:
    """Makes sure that a typed passphrase opens this store; raises WrongPassphrase, DamagedSlot or NotEnoughMemory."""
    files = Folder(folder)
    files.must_be_store()
    _by_passphrase(files, passphrase)


def prove_recovery(folder: Path, words: str) -> None:
    """Makes sure that typed words open this store; raises RecoveryMistyped, WrongRecoverySheet or DamagedSlot."""
    files = Folder(folder)
    files.must_be_store()
    with telling(folder):
        keys.recovery_slot_opened(files.recovery_slot, keys.read_words(words))


def recover(
    folder: Path,
    words: str,
    passphrase: str,
    *,
    clock: Callable[[], datetime] = _now,
    ids: Callable[[], str] = _id,
    argon: Argon | None = None,
) -> Store:
    """Opens a store with its recovery sheet and gives it a new passphrase; the old one no longer opens it.

    Raises what `unlock` raises, RecoveryMistyped, WrongRecoverySheet and PassphraseRefused.
    """
    must_be_strong(passphrase)
    sheet = keys.read_words(words)
    files = Folder(folder)
    files.must_be_store()
    with telling(folder):
        master = keys.recovery_slot_opened(files.recovery_slot, sheet)
    store = _open(files, lambda: master, clock, ids, "recovered with the sheet")
    try:
        with telling(folder):
            keys.write_passphrase_slot(files.passphrase_slot, master, passphrase, argon or keys.calibrated())
        store.note("passphrase changed", by=CLERK)
    except BaseException:
        store.close()
        raise
    return store


def change_passphrase(store: Store, old: str, new: str, *, argon: Argon | None = None) -> None:
    """Wraps the master key of an open store under another passphrase. Backups made before keep the old one.

    Raises PassphraseRefused, WrongPassphrase, DamagedSlot, DiskFull or NoRights; the old passphrase then still works.
    """
    must_be_strong(new)
    files = Folder(store.folder)
    master = _by_passphrase(files, old)
    with telling(files.path):
        keys.write_passphrase_slot(files.passphrase_slot, master, new, argon or keys.calibrated())
    store.note("passphrase changed", by=CLERK)


def new_recovery_sheet(store: Store, passphrase: str) -> str:
    """Words of a new recovery sheet; the old one no longer opens the store.

    Raises what `change_passphrase` raises, and SheetShared while the sheet is also that of a shared record.
    """
    if store.exchange().facts().get("sheet"):
        raise SheetShared
    return keys.words_of(renewed_sheet(store, passphrase))


def renewed_sheet(store: Store, passphrase: str) -> bytes:
    """The 160 bits of a new sheet that opens this store from now on, whatever else the old one opens."""
    files = Folder(store.folder)
    master = _by_passphrase(files, passphrase)
    sheet = secrets.token_bytes(keys.RECOVERY_BYTES)
    with telling(files.path):
        keys.write_recovery_slot(files.recovery_slot, master, sheet)
    store.new_recovery_member(recovery_member(sheet, store.public_keys()["sign"]))
    return sheet
