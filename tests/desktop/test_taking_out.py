"""The whole record leaves from the practice's page: said what it holds, asked what for, and proved who asks."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from demo_db.build import PASSPHRASE as DEMO
from desktop.pages.taking_out import TakeOut
from storage.journal import Line
from storage.store import Store
from storage.taking_out import EVENT
from storage.whole import checked
from storage.whole_folder import Proved
from tests.helpers.program import Program, read, wait_for


def exports(store: Store) -> tuple[Line, ...]:
    return tuple(line for line in store.journal() if line.kind == EVENT)


@pytest.fixture
def out(program: Program, tmp_path: Path) -> Iterator[TakeOut]:
    """The part of the page, with a place picked."""
    made = TakeOut(program.desk.session, pick=lambda *_where: tmp_path / "stick" / "record")
    made.show()
    yield made
    made.hide()
    made.deleteLater()


def test_it_writes_the_whole_record_where_she_picked_and_the_journal_says_so(
    out: TakeOut, program: Program, tmp_path: Path
) -> None:
    out.purpose.picked.emit("move")
    out.secret.box.setText(DEMO)
    out.key.click()
    wait_for(lambda: "Everything is in" in out.told.said())
    found = checked(Proved.read(tmp_path / "stick" / "record"))
    assert found.digest == read(program, lambda store: store.exchange().digest())
    (line,) = read(program, exports)
    assert (line.by, line.about["purpose"]) == (program.desk.session.author, "move")
    assert out.secret.box.text() == ""


def test_without_a_purpose_or_the_passphrase_nothing_is_written(out: TakeOut, program: Program, tmp_path: Path) -> None:
    out.key.click()
    assert out.told.said().startswith("Pick what it is for.")
    out.purpose.picked.emit("copy")
    out.key.click()
    assert out.told.said().startswith("Type the passphrase of this record.")
    out.secret.box.setText("not the passphrase of it")
    out.key.click()
    wait_for(lambda: out.key.isEnabled() and "does not open this store" in out.told.said())
    assert not (tmp_path / "stick").exists()
    assert read(program, exports) == ()


def test_a_folder_that_is_there_is_told_and_left_alone(out: TakeOut, program: Program, tmp_path: Path) -> None:
    (tmp_path / "stick" / "record").mkdir(parents=True)
    out.purpose.picked.emit("copy")
    out.secret.box.setText(DEMO)
    out.key.click()
    wait_for(lambda: out.key.isEnabled() and "is there already" in out.told.said())
    assert list((tmp_path / "stick").iterdir()) == [tmp_path / "stick" / "record"]
    assert read(program, exports) == ()
