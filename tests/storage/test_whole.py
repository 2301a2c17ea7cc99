"""A whole record goes out into plain files and comes back equal byte by byte."""

from __future__ import annotations

import csv
import errno
import io
import os
import random
import shutil
import stat
import subprocess
import sys
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from forms.chart import Place
from forms.role import Role
from storage import whole_folder
from storage.changes import Begin
from storage.folder import flush_folder
from storage.log import PLACE, SIGNED, Operation, canonical
from storage.store import Store
from storage.whole_folder import INDEX, NotExported, NotImported, part_of
from storage.whole_tables import Standing, Tables
from tests.helpers.chains import Writer
from tests.helpers.exported import WEIGHT, bring_in, index_of, lines_of, read_out
from tests.helpers.schedules import Story
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, TWIN, VISIT, files_of, put
from tests.storage.conftest import open_with


def rows(exported: Path, name: str = "answers") -> list[dict[str, str]]:
    data = (exported / "tables" / f"{name}.csv").read_bytes().decode("utf-8")
    return list(csv.DictReader(io.StringIO(data, newline="")))


def receive(store: Store, operations: list[Operation]) -> None:
    store.exchange().receive((), operations)


def disputed(store: Store) -> set[tuple[str, str, str, frozenset[str]]]:
    """What is to be settled; which of two written in the same instant is told first is not part of the record."""
    found = store.disputes()
    return {(one.kind, one.entity, str(one.path), frozenset(head.operation for head in one.heads)) for one in found}


# --- equal ----------------------------------------------------------------------------------------------------------


def test_what_went_out_and_came_in_goes_out_equal_byte_by_byte(
    filled: Store, exported: Path, empty: Store, tmp_path: Path
) -> None:
    bring_in(exported, empty)
    read_out(empty, tmp_path / "again")
    assert files_of(tmp_path / "again") == files_of(exported)
    assert empty.exchange().digest() == filled.exchange().digest()
    assert empty.chart(FAMILY, VISIT) == filled.chart(FAMILY, VISIT)
    assert empty.caseload() == filled.caseload()
    assert (empty.check(), empty.differences()) == ((), ())


def test_a_store_that_holds_nothing_goes_out_and_comes_in_too(
    empty: Store, bare: tuple[Path, bytes], tmp_path: Path
) -> None:
    read_out(empty, tmp_path / "out")
    other = open_with(Path(shutil.copytree(bare[0], tmp_path / "other")), bare[1])
    bring_in(tmp_path / "out", other)
    read_out(other, tmp_path / "again")
    other.close()
    assert files_of(tmp_path / "again") == files_of(tmp_path / "out")


@pytest.mark.parametrize("seed", range(8))
def test_what_several_devices_wrote_apart_comes_back_equal_with_holes_forks_and_disputes(
    seed: int, empty: Store, bare: tuple[Path, bytes], tmp_path: Path
) -> None:
    rng = random.Random(seed)
    story = Story(rng.randrange, 3)
    for _ in range(60):
        story.step()
    written = [one for one in story.written.values() if one.field != SIGNED]  # a signature is made by a store alone
    kept = [one for one in written if one.field == PLACE or rng.randrange(8)]
    rng.shuffle(kept)
    receive(empty, kept)
    done = read_out(empty, tmp_path / "out")
    other = open_with(Path(shutil.copytree(bare[0], tmp_path / "other")), bare[1])
    bring_in(tmp_path / "out", other)
    read_out(other, tmp_path / "again")
    assert files_of(tmp_path / "again") == files_of(tmp_path / "out")
    assert other.exchange().digest() == empty.exchange().digest()
    assert disputed(other) == disputed(empty)
    assert other.differences() == ()
    known = {(one.chain, one.seq) for one in kept}
    newest = {chain: max(seq for of, seq in known if of == chain) for chain in {chain for chain, _ in known}}
    assert done.operations_missing == sum(newest.values()) - len(known)
    other.close()


def test_a_signature_that_does_not_count_still_does_not_count(filled: Store, empty: Store, tmp_path: Path) -> None:
    (signed,) = filled.signatures(FAMILY)
    filled.exchange().note_not_signed({signed.operation}, ())
    read_out(filled, tmp_path / "out")
    assert [row["signature_counts"] for row in rows(tmp_path / "out", "entries") if row["signature"]] == ["no"]
    bring_in(tmp_path / "out", empty)
    assert empty.signatures(FAMILY) == ()
    read_out(empty, tmp_path / "again")
    assert files_of(tmp_path / "again") == files_of(tmp_path / "out")


def test_a_record_of_one_device_goes_on_as_that_device(filled: Store, exported: Path, empty: Store) -> None:
    bring_in(exported, empty)
    assert empty.device == filled.device
    empty.write([put(PARENT, "phone", "+44 7700 900999")], author=AUTHOR)
    found = empty.exchange().unsent(10_000)
    assert [one.seq for one in found] == list(range(1, len(found) + 1))
    assert empty.check() == ()


def test_what_went_on_after_coming_in_is_there_when_the_store_opens_again(
    exported: Path, empty: Store, bare: tuple[Path, bytes]
) -> None:
    bring_in(exported, empty)
    empty.write([put(PARENT, "phone", "+44 7700 900999")], author=AUTHOR)
    device, where = empty.device, empty.folder
    empty.close()
    again = open_with(where, bare[1])
    assert (again.device, again.told, again.check()) == (device, (), ())
    again.close()


def test_a_record_of_two_devices_keeps_the_new_device_apart(filled: Store, empty: Store, tmp_path: Path) -> None:
    receive(filled, [Writer("tablet").put(BABY, "called_name", "Ida May")])
    read_out(filled, tmp_path / "out")
    before = empty.device
    bring_in(tmp_path / "out", empty)
    assert empty.device == before
    assert len(empty.disputes(FAMILY)) == len(filled.disputes(FAMILY)) == 1


# --- what is in it --------------------------------------------------------------------------------------------------


def test_the_log_stands_as_its_own_bytes_by_device_and_number(filled: Store, exported: Path) -> None:
    with filled._db.transaction() as c:
        kept = {sha256(row[0]).hexdigest() for row in c.exec_driver_sql("SELECT bytes FROM operation")}
    found = [Operation.read(line) for line in lines_of(exported)]
    assert {one.hash for one in found} == kept
    assert [(one.chain, one.seq) for one in found] == sorted((one.chain, one.seq) for one in found)


def test_the_index_tells_the_hash_and_length_of_every_file_and_is_written_in_one_way(exported: Path) -> None:
    index = index_of(exported)
    there = {
        name: {"bytes": len(data), "sha256": sha256(data).hexdigest()} for name, data in files_of(exported).items()
    }
    del there[INDEX]
    assert index["files"] == there
    assert canonical(index) == (exported / INDEX).read_bytes()
    assert index["counts"]["operations"] == len(lines_of(exported))
    assert index["counts"]["answers"] == len(rows(exported))
    assert index["holds_private_notes"] is True


def test_files_are_readable_by_their_owner_alone(exported: Path) -> None:
    assert stat.S_IMODE(exported.stat().st_mode) == 0o700
    for path in exported.rglob("*"):
        assert stat.S_IMODE(path.stat().st_mode) == (0o700 if path.is_dir() else 0o600), path


def test_the_answers_say_whose_which_what_in_which_unit_when_and_by_whom(exported: Path) -> None:
    def one(entry: str, field: str) -> dict[str, str]:
        (found,) = (row for row in rows(exported) if (row["entry"], row["field"]) == (entry, field))
        return found

    weight = one(BABY, "birth_weight")
    assert [weight[name] for name in ("value", "unit", "base", "base_unit")] == ["7 lb 6.5", "lb_oz", "3359", "g"]
    assert (weight["family"], weight["person"], weight["person_name"]) == (FAMILY, BABY, "Ida Quillfeather")
    assert (weight["written_by"], datetime.fromisoformat(weight["written_at"]).tzinfo) == (AUTHOR, UTC)
    start = one(VISIT, "start")
    assert (start["visit"], start["value"], start["zone"]) == (VISIT, "2026-03-03T10:00:00+00:00", "Europe/London")
    assert (one(WEIGHT, "weight")["person"], one(WEIGHT, "weight")["visit"]) == (BABY, VISIT)
    asked = one(PARENT, "language")
    assert (asked["answered"], asked["value"], asked["words"]) == ("not_asked", "", "slept")
    assert one(PARENT, "safe_to_message")["value"] == "no"
    assert [row["item"] + row["value"] for row in rows(exported) if row["field"] == "roles"] == [
        "1birth_parent",
        "2other",
    ]
    assert one(PARENT, "birth_parent_of")["item"] == "0"
    assert one(TWIN, "called_name")["struck"] == "yes"
    assert one(PARENT, "contact_rules")["private"] == "yes"
    assert not any(
        row["field"] == "legal_name" and row["entry"] == TWIN for row in rows(exported)
    )  # nobody answered it


def test_two_answers_that_stand_have_a_row_each_and_say_so(filled: Store, tmp_path: Path) -> None:
    receive(filled, [Writer("tablet").put(BABY, "called_name", "Ida May")])
    read_out(filled, tmp_path / "out")
    found = [row for row in rows(tmp_path / "out") if (row["entry"], row["field"]) == (BABY, "called_name")]
    assert {row["value"] for row in found} == {"Ida", "Ida May"}
    assert {row["conflict"] for row in found} == {"yes"}
    assert {row["after_signing"] for row in found if row["value"] == "Ida May"} == {"no"}  # who she is is of no visit


def test_each_field_and_each_code_of_the_answers_stands_in_the_dictionary(exported: Path) -> None:
    fields = {(row["form"], row["field"]): row for row in rows(exported, "dictionary")}
    codes = {(row["form"], row["field"], row["code"]) for row in rows(exported, "choices")}
    assert fields["infant", "birth_weight"]["label"] == "Birth weight"
    assert fields["infant", "birth_weight"]["units"] == "g kg lb_oz"
    for row in rows(exported):
        told = fields[row["form"], row["field"]]
        if told["kind"] in ("choice", "many") and row["value"]:
            assert (row["form"], row["field"], row["value"]) in codes


@given(st.lists(st.text(st.characters(codec="utf-8")), min_size=1, max_size=6))
@settings(max_examples=150)
def test_any_text_comes_out_of_the_table_as_it_was_typed(texts: list[str]) -> None:
    writer, standing = Writer("laptop"), Standing()
    standing.add(writer.begin("1" * 32, "parent", family=FAMILY))
    standing.add(writer.put("1" * 32, "other_names", {"many": texts}))
    table = Tables(standing).files()["answers.csv"].decode("utf-8")
    read = list(csv.DictReader(io.StringIO(table, newline="")))
    assert [row["value"] for row in read] == texts


def test_cells_that_look_like_formulas_stay_as_they_are_and_are_counted(filled: Store, tmp_path: Path) -> None:
    done = read_out(filled, tmp_path / "out")
    (address,) = (row["value"] for row in rows(tmp_path / "out") if row["field"] == "address")
    assert address == "=1+1"
    assert done.formulas == index_of(tmp_path / "out")["cells_like_formulas"] >= 1


def test_an_attachment_that_an_answer_names_and_that_is_not_here_is_told(filled: Store, tmp_path: Path) -> None:
    photo, gone = "8" * 32, "c" * 64
    filled.write([Begin(photo, Place("photo", FAMILY, None, (BABY,))), put(photo, "picture", gone)], author=AUTHOR)
    assert read_out(filled, tmp_path / "out").attachments_missing == 1
    assert index_of(tmp_path / "out")["attachments_missing"] == [gone]


# --- where it may not go --------------------------------------------------------------------------------------------


def test_a_device_that_does_not_sign_does_not_export_the_whole_record(filled: Store, tmp_path: Path) -> None:
    for role in (Role.STUDENT, Role.OFFICE):
        filled.exchange().tell({"role": str(role)})
        with pytest.raises(NotExported, match=f"the role of this device is {role.label}"):
            read_out(filled, tmp_path / "out")
        assert not list(tmp_path.glob("out*"))


def test_nothing_that_is_there_is_written_over(filled: Store, tmp_path: Path) -> None:
    for taken in ("out", "out.part"):
        (tmp_path / taken).mkdir()
        with pytest.raises(NotExported, match=r"there already|left of an export"):
            read_out(filled, tmp_path / "out")
        assert list((tmp_path / taken).iterdir()) == []
        (tmp_path / taken).rmdir()
    with pytest.raises(NotExported, match="folder of the store"):
        read_out(filled, filled.folder / "out")
    assert not list(filled.folder.glob("out*"))


def test_what_breaks_off_leaves_nothing_readable_behind(filled: Store, tmp_path: Path) -> None:
    def stopped() -> None:
        with part_of(tmp_path / "out", filled.folder) as part:
            filled.whole().write(part)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        stopped()
    assert not list(tmp_path.glob("out*"))


def test_a_folder_whose_name_cannot_be_kept_by_the_disk_does_not_stay_either(
    filled: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(folder: Path) -> None:
        if folder == tmp_path:
            assert (tmp_path / "out" / INDEX).exists()  # it has its name already
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        flush_folder(folder)

    monkeypatch.setattr(whole_folder, "flush_folder", refused)
    with pytest.raises(NotExported, match="cannot be written"):
        read_out(filled, tmp_path / "out")
    assert not list(tmp_path.glob("out*"))


def test_what_somebody_else_put_there_meanwhile_stays(filled: Store, tmp_path: Path) -> None:
    def meanwhile() -> None:
        with part_of(tmp_path / "out", filled.folder) as part:
            filled.whole().write(part)
            (tmp_path / "out").mkdir()
            (tmp_path / "out" / "hers").write_text("x")

    with pytest.raises(NotExported, match="cannot be written"):
        meanwhile()
    assert files_of(tmp_path / "out") == {"hers": b"x"}
    assert not (tmp_path / "out.part").exists()


def test_a_whole_disk_is_no_folder_to_export_into(filled: Store) -> None:
    with pytest.raises(NotExported, match="name a folder, not a whole disk"):
        read_out(filled, Path(filled.folder.anchor))


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() != 0, reason="needs root to mount a small disk")
def test_a_disk_that_fills_up_gets_a_sentence_and_keeps_nothing(filled: Store, tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=32k", "tmpfs", disk], check=False).returncode:
        pytest.skip("no mount here")
    try:
        with pytest.raises(NotExported, match="no space left"):
            read_out(filled, disk / "out")
        assert list(disk.iterdir()) == []
    finally:
        subprocess.run(["umount", disk], check=True)
    assert filled.check() == ()


def test_a_damaged_attachment_keeps_the_export_from_being_made(filled: Store, tmp_path: Path) -> None:
    with filled._db.transaction() as c:
        c.exec_driver_sql("UPDATE attachment SET data = x'00'")
    with pytest.raises(Exception, match="damaged"):
        read_out(filled, tmp_path / "out")
    assert not list(tmp_path.glob("out*"))


def test_only_an_empty_store_takes_a_record_in(exported: Path, filled: Store) -> None:
    before = filled.exchange().digest(), filled.journal()
    with pytest.raises(NotImported, match="already holds something"):
        bring_in(exported, filled)
    assert (filled.exchange().digest(), filled.journal()) == before


def test_a_store_that_is_shared_takes_none_in(exported: Path, empty: Store) -> None:
    empty.exchange().tell({"repository": "x"})
    with pytest.raises(NotImported, match="already holds something"):
        bring_in(exported, empty)
