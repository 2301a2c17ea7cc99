"""Damage to any file of a store: told in a sentence, never a shorter record without a word."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from forms.chart import Place
from forms.trouble import Trouble
from forms.weight import WeightReading
from storage.changes import Begin
from storage.store import Store
from storage.troubles import DamagedDatabase, LostAnswers, LostJournal, UnprovenRecord
from tests.helpers.stores import AUTHOR, BABY, FAMILY, files_of, grams, opened, put
from tests.storage.conftest import Made, open_with

ANSWERS = 40
FLIPS = 40


def _weights(store: Store) -> int:
    return len(store.chart(FAMILY).all(WeightReading))


@pytest.fixture
def killed(closed: Made, tmp_path: Path) -> Path:
    """The folder as a kill would leave it: forty answers in the write-ahead log, nothing tidied."""
    store = opened(closed.folder)
    for n in range(ANSWERS):
        one = f"{n:032x}"
        store.write(
            [Begin(one, Place("weight", FAMILY, None, (BABY,))), put(one, "weight", grams(3000 + n))], author=AUTHOR
        )
    shutil.copytree(store.folder, tmp_path / "killed")
    store.close()
    return tmp_path / "killed"


def _flipped(file: Path, chance: random.Random) -> None:
    data = bytearray(file.read_bytes())
    data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    file.write_bytes(data)


def _each_flip(killed: Path, tmp_path: Path, name: str, look: Callable[[Path], None]) -> None:
    chance = random.Random(7)
    for _ in range(FLIPS):
        folder = tmp_path / "flipped"
        shutil.copytree(killed, folder)
        _flipped(folder / name, chance)
        look(folder)
        shutil.rmtree(folder)


def test_a_kill_leaves_everything_and_nothing_to_tell(killed: Path, master: bytes) -> None:
    assert (killed / "record.db-wal").stat().st_size > 0
    store = open_with(killed, master)
    assert store.told == ()
    assert _weights(store) == ANSWERS
    assert store.check() == ()
    store.close()


def test_a_flipped_bit_of_the_write_ahead_log_is_told_and_a_copy_is_kept(
    killed: Path, master: bytes, tmp_path: Path
) -> None:
    lost = []

    def look(folder: Path) -> None:
        damaged = (folder / "record.db-wal").read_bytes()
        try:
            store = open_with(folder, master)
        except DamagedDatabase:
            return
        missing = ANSWERS - _weights(store)
        if missing:
            (told,) = store.told
            assert isinstance(told, LostAnswers)
            assert told.blanks["count"] in (missing, missing - 1)  # the entry of one may be there without its value
            assert "are damaged; a copy is kept" in told.sentence
            copy = folder / str(told.blanks["copy"])
            assert (copy / "record.db-wal").read_bytes() == damaged
            assert told.sentence in store.check()
            lost.append(missing)
        else:
            assert store.told == () or isinstance(store.told[0], LostJournal)
        store.close()
        if missing:
            again = open_with(folder, master)
            assert again.check() == (told.sentence,)  # it stays listed
            again.close()

    _each_flip(killed, tmp_path, "record.db-wal", look)
    assert len(lost) > FLIPS // 2


def test_a_store_that_lost_answers_works_on_and_keeps_saying_so(killed: Path, master: bytes) -> None:
    (killed / "record.db-wal").unlink()
    store = open_with(killed, master)
    assert isinstance(store.told[0], LostAnswers)
    assert store.told[0].blanks["count"] == ANSWERS
    store.write([put(FAMILY, "pets", "A hen")], author=AUTHOR)
    store.close()
    for _ in range(5):
        again = open_with(killed, master)
        again.close()
    again = open_with(killed, master)
    assert len(again.check()) == 1
    assert (killed / str(store.told[0].blanks["copy"]) / "record.db").exists()
    again.close()


def test_a_flipped_bit_of_the_database_is_told_on_opening(killed: Path, master: bytes, tmp_path: Path) -> None:
    open_with(killed, master).close()  # everything moves into the database file

    def look(folder: Path) -> None:
        before = files_of(folder)
        with pytest.raises(DamagedDatabase, match="damaged"):
            open_with(folder, master)
        assert files_of(folder) == before

    _each_flip(killed, tmp_path, "record.db", look)


def test_a_flipped_bit_of_the_tail_loses_nothing_and_is_told_when_it_leaves_no_proof(
    killed: Path, master: bytes, tmp_path: Path
) -> None:
    def look(folder: Path) -> None:
        store = open_with(folder, master)
        assert store.told == ()
        assert _weights(store) == ANSWERS
        assert store.check() == ()
        store.close()

    _each_flip(killed, tmp_path, "record.tail", look)
    for spoiled in (None, bytes(4608), b"short"):
        folder = tmp_path / "spoiled"
        shutil.copytree(killed, folder)
        (folder / "record.tail").unlink()
        if spoiled is not None:
            (folder / "record.tail").write_bytes(spoiled)
        store = open_with(folder, master)
        assert isinstance(store.told[0], UnprovenRecord)
        assert _weights(store) == ANSWERS
        assert store.check() == (store.told[0].sentence,)
        store.close()
        shutil.rmtree(folder)


def test_an_older_database_put_back_is_told(closed: Made, master: bytes) -> None:
    older = (closed.folder / "record.db").read_bytes()
    store = open_with(closed.folder, master)
    store.write([put(FAMILY, "pets", "A hen")], author=AUTHOR)
    store.close()
    (closed.folder / "record.db").write_bytes(older)
    again = open_with(closed.folder, master)
    assert isinstance(again.told[0], LostAnswers)
    again.close()


def test_an_older_tail_put_back_does_not_hide_a_shorter_log_of_the_same_age(closed: Made, master: bytes) -> None:
    tail = (closed.folder / "record.tail").read_bytes()
    store = open_with(closed.folder, master)
    store.write([put(FAMILY, "pets", "A hen")], author=AUTHOR)
    store.close()
    (closed.folder / "record.tail").write_bytes(tail)
    again = open_with(closed.folder, master)
    assert again.told == ()  # a log longer than its proof lacks nothing
    assert again.chart(FAMILY).by_id(FAMILY) is not None
    again.close()


def test_another_log_under_this_proof_is_told(closed: Made, master: bytes) -> None:
    store = open_with(closed.folder, master)
    with store._db.transaction() as c:
        c.exec_driver_sql("UPDATE operation SET hash = 'x' WHERE position = (SELECT max(position) FROM operation)")
    store.close()
    again = open_with(closed.folder, master)
    assert isinstance(again.told[0], UnprovenRecord)
    assert any("does not hold together" in problem for problem in again.check())
    again.close()


def test_lost_lines_of_the_journal_are_told(closed: Made, master: bytes) -> None:
    store = open_with(closed.folder, master)
    store.note("paper issued", by=AUTHOR, about={"sha256": "0" * 64})
    with store._db.transaction() as c:
        c.exec_driver_sql("DELETE FROM journal WHERE number = (SELECT max(number) FROM journal)")
    store._lock.release()
    store._db.close()
    again = open_with(closed.folder, master)
    assert isinstance(again.told[0], LostJournal)
    again.close()


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        ("UPDATE operation SET bytes = CAST(replace(bytes, 'hens', 'cows') AS BLOB)", "does not hold together"),
        ("UPDATE operation SET entity = 'x' WHERE field = 'pets'", "does not hold together"),
        ("DELETE FROM operation WHERE position = 3", "does not hold together"),
        ("DELETE FROM operation WHERE field = 'pets'", "do not agree"),  # the last one
        ("DELETE FROM journal WHERE number = (SELECT max(number) FROM journal)", "do not agree"),
        ("UPDATE register SET value = '\"two cows\"' WHERE field = 'pets'", "differ from the log"),
        ("DELETE FROM register WHERE field = 'pets'", "differ from the log"),
        ("DELETE FROM entry WHERE form = 'infant'", "differ from the log"),
        ("UPDATE family_line SET sought = ''", "differ from the log"),
        ("UPDATE journal SET bytes = CAST(replace(bytes, 'locked', 'looked') AS BLOB)", "audit journal"),
        ("DELETE FROM journal WHERE number = 2", "audit journal"),
        ("UPDATE attachment SET data = x'00'", "attachment"),
        ("DELETE FROM attachment", "is missing"),
    ],
)
def test_check_says_what_was_changed_inside_the_database(store: Store, spoil: str, said: str) -> None:
    store.write([put(FAMILY, "pets", "Two hens")], author=AUTHOR)
    store.attach(b"a picture", "image/png")
    assert store.check() == ()
    with store._db.transaction() as c:
        c.exec_driver_sql(spoil)
    problems = store.check()
    assert any(said in problem for problem in problems), problems


def test_rebuild_mends_what_follows_from_the_log(store: Store) -> None:
    before = store.chart(FAMILY)
    with store._db.transaction() as c:
        c.exec_driver_sql("DELETE FROM register")
        c.exec_driver_sql("DELETE FROM family_line")
    assert store.differences()
    store.rebuild()
    assert store.differences() == ()
    assert store.chart(FAMILY) == before


def test_no_trouble_sentence_shows_python() -> None:
    from storage import troubles

    for name in troubles.__all__:
        kind = getattr(troubles, name)
        assert issubclass(kind, Trouble)
        assert kind.template[0].isupper() or kind.template[0] in "“{"
        assert kind.template.endswith((".", "}"))
