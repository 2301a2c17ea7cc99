"""Setting up, unlocking, locking, and getting in again."""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from forms.trouble import Trouble
from storage.schema import SCHEMA
from storage.store import Store
from storage.troubles import (
    AlreadyOpen,
    DamagedDatabase,
    DamagedSlot,
    FolderTaken,
    NewerSchema,
    NoRights,
    NotAStore,
    PassphraseRefused,
    RecoveryMistyped,
    StoreClosed,
    WrongPassphrase,
    WrongRecoverySheet,
)
from storage.vault import change_passphrase, new_recovery_sheet, prove_recovery, recover, set_up, unlock
from tests.helpers.stores import AUTHOR, FAMILY, PASSPHRASE, Clock, Ids, answers, files_of, new_store, opened, put
from tests.storage.conftest import Made


def _unlock(folder: Path, passphrase: str = PASSPHRASE) -> Store:
    return unlock(folder, passphrase, clock=Clock(), ids=Ids())


def test_what_was_written_is_there_after_lock_and_unlock(closed: Made) -> None:
    store = _unlock(closed.folder)
    assert answers(store, FAMILY).family_name == "Quillfeather-Ode"
    assert store.check() == ()
    assert store.told == ()
    store.close()


def test_a_wrong_passphrase_changes_no_byte(closed: Made) -> None:
    before = files_of(closed.folder)
    with pytest.raises(WrongPassphrase, match="does not open this store"):
        _unlock(closed.folder, "orchard lantern kettle ten")
    assert files_of(closed.folder) == before


def test_the_files_of_a_store_are_for_their_owner_only(store: Store) -> None:
    store.write([put(FAMILY, "pets", "One cat")], author=AUTHOR)
    for path in [store.folder, *store.folder.rglob("*")]:
        mode = stat.S_IMODE(path.stat().st_mode)
        assert mode == (0o700 if path.is_dir() else 0o600), path
    assert (store.folder / "record.db-wal").exists()


def test_a_second_window_on_one_store_is_refused(store: Store) -> None:
    with pytest.raises(AlreadyOpen, match="already open in another window"):
        _unlock(store.folder)


def test_another_process_on_one_store_is_refused(store: Store) -> None:
    code = (
        "import sys; from pathlib import Path; from storage.vault import unlock\n"
        "from storage.troubles import AlreadyOpen\n"
        "try: unlock(Path(sys.argv[1]), sys.stdin.readline().strip())\n"
        "except AlreadyOpen: sys.exit(3)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code, str(store.folder)], input=PASSPHRASE, text=True, check=False, cwd=Path.cwd()
    )
    assert ran.returncode == 3


def test_a_locked_store_can_be_opened_again_and_the_old_handle_says_it_is_locked(store: Store) -> None:
    store.close()
    store.close()
    again = opened(store.folder)
    with pytest.raises(StoreClosed):
        store.chart(FAMILY)
    with pytest.raises(StoreClosed):
        store.write([put(FAMILY, "pets", "One cat")], author=AUTHOR)
    again.close()


@pytest.mark.parametrize("name", ["paper.pdf", "empty", "nothing"])
def test_what_is_no_store_is_refused_and_left_alone(tmp_path: Path, name: str) -> None:
    (tmp_path / "paper.pdf").write_bytes(b"%PDF-1.7\n...")
    (tmp_path / "empty").mkdir()
    before = files_of(tmp_path)
    with pytest.raises(NotAStore, match="not a Hearthside store"):
        _unlock(tmp_path / name)
    assert files_of(tmp_path) == before


def test_set_up_refuses_a_folder_that_holds_something(closed: Made, tmp_path: Path) -> None:
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "a.txt").write_text("mine")
    (tmp_path / "file").write_text("mine")
    before = files_of(tmp_path)
    for taken in ("letters", "file", "store"):
        with pytest.raises(FolderTaken):
            new_store(tmp_path / taken)
    assert files_of(tmp_path) == before


def test_set_up_refuses_a_weak_passphrase_before_it_makes_anything(tmp_path: Path) -> None:
    with pytest.raises(PassphraseRefused):
        set_up(tmp_path / "store", "correct horse battery staple")
    assert not (tmp_path / "store").exists()


def test_a_set_up_that_was_cut_off_is_no_store_and_can_be_begun_again(closed: Made) -> None:
    (closed.folder / "setting-up").touch()
    with pytest.raises(NotAStore):
        _unlock(closed.folder)
    made = new_store(closed.folder)
    assert made.store.caseload() == ()
    assert made.store.check() == ()
    made.store.close()


def test_a_failed_set_up_leaves_the_folder_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object) -> None:
        raise OSError(28, "No space left on device")

    (tmp_path / "there").mkdir()
    monkeypatch.setattr("storage.keys.write_passphrase_slot", fails)
    for name in ("there", "new"):
        with pytest.raises(Trouble, match="disk is full"):
            new_store(tmp_path / name)
    assert files_of(tmp_path) == {}
    assert not (tmp_path / "new").exists()


def test_the_recovery_sheet_opens_the_store_and_gives_it_a_new_passphrase(closed: Made) -> None:
    prove_recovery(closed.folder, closed.words.lower())
    from storage.keys import FLOOR

    store = recover(closed.folder, closed.words, "pebble harbour thimble six", clock=Clock(), ids=Ids(), argon=FLOOR)
    assert len(store.caseload()) == 1
    store.close()
    with pytest.raises(WrongPassphrase):
        _unlock(closed.folder)
    _unlock(closed.folder, "pebble harbour thimble six").close()


def test_recovery_words_with_a_slip_or_of_another_store_change_nothing(closed: Made, tmp_path: Path) -> None:
    other = new_store(tmp_path / "other")
    other.store.close()
    before = files_of(closed.folder)
    with pytest.raises(RecoveryMistyped):
        prove_recovery(closed.folder, closed.words[:-1])
    for attempt in (prove_recovery, lambda folder, words: recover(folder, words, "pebble harbour thimble six")):
        with pytest.raises(WrongRecoverySheet):
            attempt(closed.folder, other.recovery_words)
    with pytest.raises(PassphraseRefused):
        recover(closed.folder, closed.words, "short")
    assert files_of(closed.folder) == before


def test_a_changed_passphrase_opens_and_the_old_one_does_not(store: Store) -> None:
    from storage.keys import FLOOR

    with pytest.raises(WrongPassphrase):
        change_passphrase(store, "orchard lantern kettle ten", "pebble harbour thimble six", argon=FLOOR)
    change_passphrase(store, PASSPHRASE, "pebble harbour thimble six", argon=FLOOR)
    store.close()
    with pytest.raises(WrongPassphrase):
        _unlock(store.folder)
    again = _unlock(store.folder, "pebble harbour thimble six")
    assert again.check() == ()
    again.close()


def test_a_new_recovery_sheet_takes_the_place_of_the_old_one(closed: Made) -> None:
    store = opened(closed.folder)
    before = store.public_keys()["recovery"]
    words = new_recovery_sheet(store, PASSPHRASE)
    assert store.public_keys()["recovery"] != before
    prove_recovery(closed.folder, words)
    with pytest.raises(WrongRecoverySheet):
        prove_recovery(closed.folder, closed.words)
    store.close()


def test_a_missing_or_damaged_slot_leaves_the_other_way_in(closed: Made) -> None:
    from storage.keys import FLOOR

    slot = closed.folder / "keys" / "passphrase.slot"
    slot.unlink()
    before = files_of(closed.folder)
    with pytest.raises(DamagedSlot, match="recovery sheet"):
        _unlock(closed.folder)
    assert files_of(closed.folder) == before
    recover(closed.folder, closed.words, PASSPHRASE, clock=Clock(), ids=Ids(), argon=FLOOR).close()
    (closed.folder / "keys" / "recovery.slot").write_bytes(b"x")
    with pytest.raises(DamagedSlot, match="passphrase"):
        prove_recovery(closed.folder, closed.words)
    _unlock(closed.folder).close()


def test_a_store_of_a_newer_version_is_refused_and_left_alone(closed: Made, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("storage.store.SCHEMA", SCHEMA + 1)
    opened(closed.folder).close()
    monkeypatch.undo()
    before = files_of(closed.folder)
    with pytest.raises(NewerSchema, match="newer version"):
        _unlock(closed.folder)
    assert files_of(closed.folder) == before


def test_a_database_of_a_newer_version_is_refused_even_when_its_proof_does_not_say_so(closed: Made) -> None:
    store = opened(closed.folder)
    with store._db.transaction() as c:
        c.exec_driver_sql(f"UPDATE alembic_version SET version_num = '{SCHEMA + 1:04}'")
    store.close()
    with pytest.raises(NewerSchema):
        _unlock(closed.folder)


@pytest.mark.parametrize("content", [None, b"", b"SQLite format 3\0" + bytes(4080), b"%PDF-1.7\n" * 1000])
def test_a_database_that_is_none_is_told_as_damage_and_left_alone(closed: Made, content: bytes | None) -> None:
    database = closed.folder / "record.db"
    if content is None:
        database.unlink()
    else:
        database.write_bytes(content)
    before = files_of(closed.folder)
    with pytest.raises(DamagedDatabase, match="restore a backup"):
        _unlock(closed.folder)
    assert files_of(closed.folder) == before


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() != 0, reason="needs root to become somebody else")
def test_a_folder_without_rights_is_refused_in_a_sentence_and_left_alone(closed: Made, tmp_path: Path) -> None:
    for path in [closed.folder, *closed.folder.rglob("*")]:
        path.chmod(0o555 if path.is_dir() else 0o444)
    bare = tmp_path / "bare"
    bare.mkdir(mode=0o555)
    before = files_of(tmp_path)
    code = (
        "import sys; from pathlib import Path; from storage.vault import set_up, unlock\n"
        "from storage.keys import FLOOR; from storage.troubles import NoRights\n"
        "from storage.passphrases import must_be_strong; must_be_strong(sys.argv[3])\n"  # loads what root alone may read
        "import os; os.setgid(65534); os.setuid(65534)\n"
        "said = []\n"
        "for attempt in (lambda: unlock(Path(sys.argv[1]), sys.argv[3]),\n"
        "                lambda: set_up(Path(sys.argv[2]), sys.argv[3], argon=FLOOR),\n"
        "                lambda: set_up(Path(sys.argv[2]) / 'new', sys.argv[3], argon=FLOOR)):\n"
        "    try: attempt()\n"
        "    except NoRights as trouble: said.append(trouble.sentence)\n"
        "print(len(said)); print(*said, sep='\\n')"
    )
    for parent in tmp_path.parents:
        if parent != Path("/") and parent != Path("/tmp"):
            parent.chmod(parent.stat().st_mode | 0o055)
    tmp_path.chmod(0o755)
    ran = subprocess.run(
        [sys.executable, "-c", code, str(closed.folder), str(bare), PASSPHRASE],
        capture_output=True, text=True, check=False, cwd=Path.cwd(),
    )  # fmt: skip
    assert ran.stdout.startswith("3\n"), ran.stderr
    assert "cannot be written to" in ran.stdout
    assert files_of(tmp_path) == before


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() != 0, reason="needs root to mount")
def test_a_store_on_a_read_only_disk_is_refused_in_a_sentence(closed: Made, tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=8m", "tmpfs", disk], check=False).returncode:
        pytest.skip("no mount here")
    try:
        shutil.copytree(closed.folder, disk / "store")
        subprocess.run(["mount", "-o", "remount,ro", disk], check=True)
        before = files_of(disk)
        with pytest.raises(NoRights):
            _unlock(disk / "store")
        with pytest.raises(NoRights):
            new_store(disk / "new")
        assert files_of(disk) == before
    finally:
        subprocess.run(["umount", disk], check=True)


def test_the_device_has_its_own_keys_and_keeps_them_sealed(store: Store) -> None:
    public = store.public_keys()
    assert set(public) == {"sign", "receive", "recovery", "recovery sign", "recovery vouch"}
    assert store.signing_key().public_key().public_bytes_raw() == public["sign"]
    with store._db.transaction() as c:
        rows = {row.name: row for row in c.exec_driver_sql("SELECT name, sealed FROM device_key")}
    assert store.signing_key().private_bytes_raw() not in rows["sign"].sealed
    assert rows["recovery"].sealed is None
    from cryptography.hazmat.primitives.hpke import AEAD, KDF, KEM, Suite

    suite = Suite(KEM.MLKEM768_X25519, KDF.HKDF_SHA256, AEAD.AES_256_GCM)
    key = store.receiving_key()
    assert suite.decrypt(suite.encrypt(b"x", key.public_key()), key) == b"x"


def test_the_store_may_be_used_from_another_thread(store: Store) -> None:
    from concurrent.futures import ThreadPoolExecutor

    with ThreadPoolExecutor(4) as pool:
        wrote = [pool.submit(store.write, [put(FAMILY, "pets", f"{n} cats")], author=AUTHOR) for n in range(40)]
        assert all(one.result().operations for one in wrote)
    assert store.check() == ()


def test_failed_tries_stand_in_the_journal_after_the_next_unlock(closed: Made) -> None:
    store = unlock(closed.folder, PASSPHRASE, clock=Clock(), ids=Ids(), failed_before=3)
    assert store.journal()[-1].about == {"failed before": "3"}
    store.close()
