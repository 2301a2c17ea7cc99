"""Nothing readable lies in any file of a store, nor in what is logged or printed."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from storage.changes import Begin
from storage.store import Store
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, PASSPHRASE, files_of, grams, opened, put

from forms.chart import Place  # isort: skip

from tests.storage.conftest import Made

MARKED = ("Zzyxwonder Pellucid", "Ωmegafield", "3217", "marked note 48213")
WEIGHT = "9" * 32


def _written(store: Store) -> None:
    store.write(
        [
            put(FAMILY, "family_name", MARKED[0]),
            put(PARENT, "full_name", MARKED[1]),
            Begin(WEIGHT, Place("weight", FAMILY, None, (BABY,))),
            put(WEIGHT, "weight", grams(3217)),
            put(FAMILY, "access", MARKED[3] * 500),
        ],
        author=AUTHOR,
    )
    store.attach(MARKED[3].encode() * 100, "text/plain")
    store.keep_secret("practice root", MARKED[3].encode())


def _found(files: dict[str, bytes]) -> list[tuple[str, str]]:
    marks = [
        (text, text.encode(code)) for text in MARKED if len(text) > 4 for code in ("utf-8", "utf-16-le", "utf-16-be")
    ]
    marks += [("passphrase", PASSPHRASE.encode(code)) for code in ("utf-8", "utf-16-le")]
    marks += [("sql", b"CREATE TABLE"), ("sqlite", b"SQLite format 3"), ("field", b"family_name"), ("form", b"infant")]
    marks += [("weight", b'"typed":"3217"'), ("person", BABY.encode()), ("person", bytes.fromhex(BABY))]
    return [(name, text) for name, data in files.items() for text, mark in marks if mark in data]


def test_no_file_of_a_store_holds_anything_readable_open_killed_or_closed(closed: Made, tmp_path: Path) -> None:
    store = opened(closed.folder)
    _written(store)
    assert len((closed.folder / "record.db-wal").read_bytes()) > 0
    assert _found(files_of(closed.folder)) == []
    shutil.copytree(closed.folder, tmp_path / "killed")
    again = opened(tmp_path / "killed")  # makes a copy aside
    again.settle()
    assert any(name.startswith("copies/unclean-") for name in files_of(tmp_path / "killed"))
    assert _found(files_of(tmp_path / "killed")) == []
    again.close()
    store.close()
    assert _found(files_of(closed.folder)) == []


def test_a_planted_leak_makes_the_search_fail(closed: Made) -> None:
    (closed.folder / "leak.txt").write_bytes("Note: Zzyxwonder Pellucid".encode("utf-16-le"))
    assert _found(files_of(closed.folder)) == [("leak.txt", MARKED[0])] * 2  # the two byte orders, one beside the other


def test_no_file_appears_outside_the_store_and_nothing_is_printed_or_logged(
    closed: Made, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str],
    caplog: pytest.LogCaptureFixture,
) -> None:  # fmt: skip
    elsewhere = tmp_path / "temporary"
    elsewhere.mkdir()
    for name in ("TMPDIR", "TEMP", "TMP", "SQLITE_TMPDIR"):
        monkeypatch.setenv(name, str(elsewhere))
    before = {name for name in files_of(tmp_path) if not name.startswith("store/")}
    store = opened(closed.folder)
    _written(store)
    store.check()
    store.rebuild()
    store.close()
    damaged = bytearray((closed.folder / "record.db").read_bytes())
    damaged[9000] ^= 1
    (closed.folder / "record.db").write_bytes(damaged)
    from storage.troubles import DamagedDatabase

    with pytest.raises(DamagedDatabase):
        opened(closed.folder)
    assert {name for name in files_of(tmp_path) if not name.startswith("store/")} == before
    out, err = capfd.readouterr()
    assert (out, err, caplog.text) == ("", "", "")


def test_a_secret_is_sealed_once_more_inside_the_database(store: Store) -> None:
    store.keep_secret("practice root", b"the private half of the root")
    with store._db.transaction() as c:
        sealed = bytes(c.exec_driver_sql("SELECT sealed FROM secret").scalar_one())
    assert b"private half" not in sealed
    assert store.secret("practice root") == b"the private half of the root"


def test_the_journal_holds_ids_counts_and_hashes_and_no_answer(store: Store) -> None:
    _written(store)
    text = repr(store.journal())
    assert all(mark not in text for mark in MARKED)
    assert "Quillfeather" not in text


def test_keys_and_recovery_words_do_not_show_when_printed(closed: Made) -> None:
    from tests.helpers.stores import new_store

    made = new_store(closed.folder.parent / "another")
    assert made.recovery_words not in repr(made)
    assert "b'" not in repr(made.store._keys)
    made.store.close()
