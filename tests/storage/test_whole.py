"""A whole record goes out into plain files and comes back equal byte by byte; a spoiled folder changes nothing."""

from __future__ import annotations

import csv
import io
import random
import shutil
import stat
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

import orjson
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from forms.answers import Absence, Absent, Quantity
from forms.chart import Place
from forms.role import Role
from storage.changes import Begin, StrikeOut
from storage.folder import Folder
from storage.keys import passphrase_slot_opened
from storage.log import PLACE, SIGNED, Operation, canonical
from storage.store import Store
from storage.whole_folder import ACTS, INDEX, OPERATIONS, NotExported, NotImported, part_of
from storage.whole_tables import Standing, Tables
from tests.helpers.chains import Writer
from tests.helpers.exported import bring_in, index_of, lines_of, put_index, read_out, with_lines
from tests.helpers.schedules import Story
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, PASSPHRASE, TWIN, VISIT, files_of, grams, new_store, put
from tests.storage.conftest import open_with

HARD = ("=1+1", "@now", "-3", '"quoted", with\r\nlines', "Zoë \N{SNOWMAN} \0 end", " spaces ", "'", "")
WEIGHT = "7" * 32


@pytest.fixture(scope="session")
def bare(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, bytes]:
    """A closed store that holds nothing, and its master key."""
    folder = tmp_path_factory.mktemp("bare") / "store"
    new_store(folder).store.close()
    return folder, passphrase_slot_opened(Folder(folder).passphrase_slot, PASSPHRASE)


@pytest.fixture
def empty(bare: tuple[Path, bytes], tmp_path: Path) -> Iterator[Store]:
    """An open store that holds nothing."""
    made = open_with(Path(shutil.copytree(bare[0], tmp_path / "empty")), bare[1])
    yield made
    made.close()


def fill(store: Store) -> None:
    """Every kind of answer, a strike-out, a change, an undo, a signature, papers, and texts that are hard to carry."""
    store.write(
        [
            put(FAMILY, "address", HARD[0]), put(FAMILY, "access", HARD[3]), put(FAMILY, "pets", HARD[4]),
            put(PARENT, "born_day", datetime(1994, 5, 6, tzinfo=UTC).date()), put(PARENT, "roles", ("birth_parent", "other")),
            put(PARENT, "birth_parent_of", ()), put(PARENT, "safe_to_message", False),
            put(PARENT, "contact_rules", "Only after six, and never the blue phone."),
            put(PARENT, "language", Absent(Absence.NOT_ASKED, "slept")), put(BABY, "gestation_weeks", 39),
            put(BABY, "birth_weight", Quantity("7 lb 6.5", "lb_oz", 3359)),
            Begin(WEIGHT, Place("weight", FAMILY, VISIT, (BABY,))), put(WEIGHT, "weight", grams(3210)),
        ],
        author=AUTHOR,
    )  # fmt: skip
    store.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    store.write([put(PARENT, "phone", "1")], author=AUTHOR)
    store.undo(AUTHOR)
    store.write([StrikeOut(TWIN, "entered twice")], author=AUTHOR)
    store.attach(b"%PDF-1.7 not really", "application/pdf")
    store.attach(b"something else", "application/octet-stream")
    store.sign(VISIT, author=AUTHOR)


@pytest.fixture
def full(store: Store) -> Store:
    fill(store)
    return store


@pytest.fixture
def folder(full: Store, tmp_path: Path) -> Path:
    read_out(full, tmp_path / "out")
    return tmp_path / "out"


def rows(folder: Path, name: str = "answers") -> list[dict[str, str]]:
    data = (folder / "tables" / f"{name}.csv").read_bytes().decode("utf-8")
    return list(csv.DictReader(io.StringIO(data, newline="")))


def receive(store: Store, operations: list[Operation]) -> None:
    store.exchange().receive((), operations)


def disputed(store: Store) -> set[tuple[str, str, str, frozenset[str]]]:
    """What is to be settled; which of two written in the same instant is told first is not part of the record."""
    found = store.disputes()
    return {(one.kind, one.entity, str(one.path), frozenset(head.operation for head in one.heads)) for one in found}


# --- equal ----------------------------------------------------------------------------------------------------------


def test_what_went_out_and_came_in_goes_out_equal_byte_by_byte(
    full: Store, folder: Path, empty: Store, tmp_path: Path
) -> None:
    bring_in(folder, empty)
    read_out(empty, tmp_path / "again")
    assert files_of(tmp_path / "again") == files_of(folder)
    assert empty.exchange().digest() == full.exchange().digest()
    assert empty.chart(FAMILY, VISIT) == full.chart(FAMILY, VISIT)
    assert empty.caseload() == full.caseload()
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


def test_a_signature_that_does_not_count_still_does_not_count(full: Store, empty: Store, tmp_path: Path) -> None:
    (signed,) = full.signatures(FAMILY)
    full.exchange().note_not_signed({signed.operation}, ())
    read_out(full, tmp_path / "out")
    assert [row["signature_counts"] for row in rows(tmp_path / "out", "entries") if row["signature"]] == ["no"]
    bring_in(tmp_path / "out", empty)
    assert empty.signatures(FAMILY) == ()
    read_out(empty, tmp_path / "again")
    assert files_of(tmp_path / "again") == files_of(tmp_path / "out")


def test_a_record_of_one_device_goes_on_as_that_device(full: Store, folder: Path, empty: Store) -> None:
    bring_in(folder, empty)
    assert empty.device == full.device
    empty.write([put(PARENT, "phone", "+44 7700 900999")], author=AUTHOR)
    found = empty.exchange().unsent(10_000)
    assert [one.seq for one in found] == list(range(1, len(found) + 1))
    assert empty.check() == ()


def test_what_went_on_after_coming_in_is_there_when_the_store_opens_again(
    folder: Path, empty: Store, bare: tuple[Path, bytes]
) -> None:
    bring_in(folder, empty)
    empty.write([put(PARENT, "phone", "+44 7700 900999")], author=AUTHOR)
    device, where = empty.device, empty.folder
    empty.close()
    again = open_with(where, bare[1])
    assert (again.device, again.told, again.check()) == (device, (), ())
    again.close()


def test_a_record_of_two_devices_keeps_the_new_device_apart(full: Store, empty: Store, tmp_path: Path) -> None:
    receive(full, [Writer("tablet").put(BABY, "called_name", "Ida May")])
    read_out(full, tmp_path / "out")
    before = empty.device
    bring_in(tmp_path / "out", empty)
    assert empty.device == before
    assert len(empty.disputes(FAMILY)) == len(full.disputes(FAMILY)) == 1


# --- what is in it --------------------------------------------------------------------------------------------------


def test_the_log_stands_as_its_own_bytes_by_device_and_number(full: Store, folder: Path) -> None:
    with full._db.transaction() as c:
        kept = {sha256(row[0]).hexdigest() for row in c.exec_driver_sql("SELECT bytes FROM operation")}
    found = [Operation.read(line) for line in lines_of(folder)]
    assert {one.hash for one in found} == kept
    assert [(one.chain, one.seq) for one in found] == sorted((one.chain, one.seq) for one in found)


def test_the_index_tells_the_hash_and_length_of_every_file_and_is_written_in_one_way(folder: Path) -> None:
    index = index_of(folder)
    there = {name: {"bytes": len(data), "sha256": sha256(data).hexdigest()} for name, data in files_of(folder).items()}
    del there[INDEX]
    assert index["files"] == there
    assert canonical(index) == (folder / INDEX).read_bytes()
    assert index["counts"]["operations"] == len(lines_of(folder))
    assert index["counts"]["answers"] == len(rows(folder))
    assert index["holds_private_notes"] is True


def test_files_are_readable_by_their_owner_alone(folder: Path) -> None:
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    for path in folder.rglob("*"):
        assert stat.S_IMODE(path.stat().st_mode) == (0o700 if path.is_dir() else 0o600), path


def test_the_answers_say_whose_which_what_in_which_unit_when_and_by_whom(folder: Path) -> None:
    def one(entry: str, field: str) -> dict[str, str]:
        (found,) = (row for row in rows(folder) if (row["entry"], row["field"]) == (entry, field))
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
    assert [row["item"] + row["value"] for row in rows(folder) if row["field"] == "roles"] == [
        "1birth_parent",
        "2other",
    ]
    assert one(PARENT, "birth_parent_of")["item"] == "0"
    assert one(TWIN, "called_name")["struck"] == "yes"
    assert one(PARENT, "contact_rules")["private"] == "yes"
    assert not any(row["field"] == "legal_name" and row["entry"] == TWIN for row in rows(folder))  # nobody answered it


def test_two_answers_that_stand_have_a_row_each_and_say_so(full: Store, tmp_path: Path) -> None:
    receive(full, [Writer("tablet").put(BABY, "called_name", "Ida May")])
    read_out(full, tmp_path / "out")
    found = [row for row in rows(tmp_path / "out") if (row["entry"], row["field"]) == (BABY, "called_name")]
    assert {row["value"] for row in found} == {"Ida", "Ida May"}
    assert {row["conflict"] for row in found} == {"yes"}
    assert {row["after_signing"] for row in found if row["value"] == "Ida May"} == {"no"}  # who she is is of no visit


def test_each_field_and_each_code_of_the_answers_stands_in_the_dictionary(folder: Path) -> None:
    fields = {(row["form"], row["field"]): row for row in rows(folder, "dictionary")}
    codes = {(row["form"], row["field"], row["code"]) for row in rows(folder, "choices")}
    assert fields["infant", "birth_weight"]["label"] == "Birth weight"
    assert fields["infant", "birth_weight"]["units"] == "g kg lb_oz"
    for row in rows(folder):
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


def test_cells_that_look_like_formulas_stay_as_they_are_and_are_counted(full: Store, tmp_path: Path) -> None:
    done = read_out(full, tmp_path / "out")
    (address,) = (row["value"] for row in rows(tmp_path / "out") if row["field"] == "address")
    assert address == "=1+1"
    assert done.formulas == index_of(tmp_path / "out")["cells_like_formulas"] >= 1


def test_an_attachment_that_an_answer_names_and_that_is_not_here_is_told(full: Store, tmp_path: Path) -> None:
    photo, gone = "8" * 32, "c" * 64
    full.write([Begin(photo, Place("photo", FAMILY, None, (BABY,))), put(photo, "picture", gone)], author=AUTHOR)
    assert read_out(full, tmp_path / "out").attachments_missing == 1
    assert index_of(tmp_path / "out")["attachments_missing"] == [gone]


# --- where it may not go --------------------------------------------------------------------------------------------


def test_a_device_that_does_not_sign_does_not_export_the_whole_record(full: Store, tmp_path: Path) -> None:
    for role in (Role.STUDENT, Role.OFFICE):
        full.exchange().tell({"role": str(role)})
        with pytest.raises(NotExported, match=f"the role of this device is {role.label}"):
            read_out(full, tmp_path / "out")
        assert not list(tmp_path.glob("out*"))


def test_nothing_that_is_there_is_written_over(full: Store, tmp_path: Path) -> None:
    for taken in ("out", "out.part"):
        (tmp_path / taken).mkdir()
        with pytest.raises(NotExported, match=r"there already|left of an export"):
            read_out(full, tmp_path / "out")
        assert list((tmp_path / taken).iterdir()) == []
        (tmp_path / taken).rmdir()
    with pytest.raises(NotExported, match="folder of the store"):
        read_out(full, full.folder / "out")
    assert not list(full.folder.glob("out*"))


def test_what_breaks_off_leaves_nothing_readable_behind(full: Store, tmp_path: Path) -> None:
    def stopped() -> None:
        with part_of(tmp_path / "out", full.folder) as part:
            full.whole().write(part)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        stopped()
    assert not list(tmp_path.glob("out*"))


def test_a_damaged_attachment_keeps_the_export_from_being_made(full: Store, tmp_path: Path) -> None:
    with full._db.transaction() as c:
        c.exec_driver_sql("UPDATE attachment SET data = x'00'")
    with pytest.raises(Exception, match="damaged"):
        read_out(full, tmp_path / "out")
    assert not list(tmp_path.glob("out*"))


def test_only_an_empty_store_takes_a_record_in(folder: Path, full: Store) -> None:
    before = full.exchange().digest(), full.journal()
    with pytest.raises(NotImported, match="already holds something"):
        bring_in(folder, full)
    assert (full.exchange().digest(), full.journal()) == before


def test_a_store_that_is_shared_takes_none_in(folder: Path, empty: Store) -> None:
    empty.exchange().tell({"repository": "x"})
    with pytest.raises(NotImported, match="already holds something"):
        bring_in(folder, empty)


# --- spoiled folders ------------------------------------------------------------------------------------------------


def _line(folder: Path, at: int, **change: Any) -> None:
    """Another value at a place of one operation, as good bytes under their own hash."""
    lines = lines_of(folder)
    lines[at] = canonical(orjson.loads(lines[at]) | change)
    with_lines(folder, lines)


def _some_attachment(folder: Path) -> Path:
    return next((folder / "attachments").iterdir())


def _longer(path: Path) -> None:
    path.write_bytes(path.read_bytes() + b" ")


def _flipped(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)


def _linked(path: Path) -> None:
    path.rename(path.parent.parent.parent / "elsewhere")
    path.symlink_to(path.parent.parent.parent / "elsewhere")


def _folder_linked(folder: Path) -> None:
    (folder / "record").rename(folder.parent / "record elsewhere")
    (folder / "record").symlink_to(folder.parent / "record elsewhere")


SPOILED: dict[str, tuple[Callable[[Path], object], str]] = {
    "no index": (lambda f: (f / INDEX).unlink(), "holds no index.json"),
    "a file gone": (lambda f: (f / OPERATIONS).unlink(), "is missing"),
    "an attachment gone": (lambda f: _some_attachment(f).unlink(), "is missing"),
    "a table gone": (lambda f: (f / "tables" / "answers.csv").unlink(), "is missing"),
    "a file more": (lambda f: (f / "notes.txt").write_text("x"), "does not belong"),
    "a hidden file more": (lambda f: (f / "record" / ".x").write_text("x"), "does not belong"),
    "a name of no letters": (lambda f: (f / "a\nb\x1b").write_text("x"), "“a?b?” does not belong"),
    "a folder more": (lambda f: (f / "more").mkdir(), "does not belong"),
    "a folder in a folder": (lambda f: (f / "attachments" / "more").mkdir(), "does not belong"),
    "a byte more": (lambda f: _longer(f / OPERATIONS), "not as it was exported"),
    "a bit in the log": (lambda f: _flipped(f / OPERATIONS), "not as it was exported"),
    "a bit in an attachment": (lambda f: _flipped(_some_attachment(f)), "not as it was exported"),
    "a bit in a table": (lambda f: _flipped(f / "tables" / "answers.csv"), "not as it was exported"),
    "a link for a file": (lambda f: _linked(f / OPERATIONS), "does not belong"),
    "a link for a folder": (_folder_linked, "does not belong"),
    "an index of no JSON": (lambda f: (f / INDEX).write_bytes(b"\x00{"), "index.json” is damaged"),
    "an index nested deep": (lambda f: (f / INDEX).write_bytes(b"[" * 9_000), "index.json” is damaged"),
    "an index in another hand": (lambda f: _longer(f / INDEX), "index.json” is damaged"),
    "another index": (lambda f: (f / INDEX).write_bytes(b'{"format":"x"}'), "not that of an exported record"),
    "an index of a list": (lambda f: (f / INDEX).write_bytes(b"[]"), "not that of an exported record"),
    "a newer index": (lambda f: put_index(f, lambda i: i.update(version=2)), "newer version"),
    "a name that climbs": (
        lambda f: put_index(f, lambda i: i["files"].update({"record/../../x": {"bytes": 1, "sha256": "0" * 64}})),
        "index.json” is damaged",
    ),
    "a name from the root": (
        lambda f: put_index(f, lambda i: i["files"].update({"/etc/passwd": {"bytes": 1, "sha256": "0" * 64}})),
        "index.json” is damaged",
    ),
    "a length in words": (
        lambda f: put_index(f, lambda i: i["files"][OPERATIONS].update(bytes="9")), "index.json” is damaged",
    ),
    "a length of true": (
        lambda f: put_index(f, lambda i: i["files"][OPERATIONS].update(bytes=True)), "index.json” is damaged",
    ),
    "a length beyond any": (
        lambda f: put_index(f, lambda i: i["files"][OPERATIONS].update(bytes=1 << 50)), "larger than any",
    ),
    "files of no map": (lambda f: put_index(f, lambda i: i.update(files=[])), "index.json” is damaged"),
    "attachments of no map": (lambda f: put_index(f, lambda i: i.update(attachments=[])), "does not fit"),
    "an attachment untold": (lambda f: put_index(f, lambda i: i["attachments"].popitem()), "does not fit"),
    "an attachment of another name": (
        lambda f: put_index(f, lambda i: i["attachments"].update({"../x": "text/plain"})), "does not fit",
    ),
    "signatures unknown": (
        lambda f: put_index(f, lambda i: i.update(signatures_not_counted=["0" * 64])), "does not fit",
    ),
    "signatures of maps": (lambda f: put_index(f, lambda i: i.update(signatures_not_counted=[{}])), "does not fit"),
    "no digest": (lambda f: put_index(f, lambda i: i.pop("digest")), "does not fit"),
    "one person’s answers": (lambda f: put_index(f, lambda i: i.update(scope="one person")), "concerns one person"),
    "acts of no Base64": (lambda f: with_lines(f, [b"!!"], ACTS), "does not fit"),
    "acts twice": (lambda f: with_lines(f, [b"eA==", b"eA=="], ACTS), "does not fit"),
    "an operation twice": (lambda f: with_lines(f, [lines_of(f)[0], *lines_of(f)]), "one operation twice, in line 2"),
    "operations out of order": (lambda f: with_lines(f, lines_of(f)[::-1]), "line 2 of the log"),
    "an operation of no JSON": (lambda f: with_lines(f, [b"x"]), "line 1 of the log"),
    "an operation of a list": (lambda f: with_lines(f, [b"[]"]), "line 1 of the log"),
    "an operation nested deep": (lambda f: with_lines(f, [b'{"v":' + b"[" * 9_000]), "line 1 of the log"),
    "an empty line": (lambda f: with_lines(f, [b"", *lines_of(f)]), "line 1 of the log"),
    "a line without its end": (
        lambda f: (with_lines(f, [*lines_of(f)[:-1], lines_of(f)[-1] + b"x"])), "of the log is no operation",
    ),
    "an older version": (lambda f: _line(f, -1, v=0), "of the log is no operation"),
    "a version of true": (lambda f: _line(f, -1, v=True), "of the log is no operation"),
    "a field more": (lambda f: _line(f, -1, more=1), "of the log is no operation"),
    "an entry of another kind": (lambda f: _line(f, -1, entity=7), "of the log is no operation"),
    "an entry that climbs": (lambda f: _line(f, -1, entity="../../" + "a" * 26), "of the log is no operation"),
    "a register of two sides": (lambda f: _line(f, -1, field="pain@up"), "of the log is no operation"),
    "a number of true": (lambda f: _line(f, 0, seq=True), "of the log is no operation"),
    "a number beyond any": (lambda f: _line(f, -1, seq=1 << 60), "of the log is no operation"),
    "a clock beyond any": (lambda f: _line(f, -1, hlc=[1 << 52, 0]), "of the log is no operation"),
    "a clock of texts": (lambda f: _line(f, -1, hlc=["1", "2"]), "of the log is no operation"),
    "a wall clock of no zone": (lambda f: _line(f, -1, wall="2026-03-03T10:00:00"), "of the log is no operation"),
    "parents of no hashes": (lambda f: _line(f, -1, parents=["x"]), "of the log is no operation"),
    "a place of no form": (lambda f: _line(f, -1, field="@place", value={"form": 1}), "of the log is no operation"),
    "a strike of a number": (lambda f: _line(f, -1, field="@struck", value=3), "of the log is no operation"),
    "a signature of nothing": (lambda f: _line(f, -1, field="@signed", value={}), "of the log is no operation"),
    "a changed answer in the middle": (lambda f: _line(f, 3, value="Somebody Else"), "is broken at its operation 5"),
    "an operation gone": (lambda f: with_lines(f, [*lines_of(f)[:1], *lines_of(f)[2:]]), "is broken at its operation 3"),
    "a hole that is not told": (lambda f: with_lines(f, lines_of(f)[1:]), "is broken at its operation 2"),
    "orphans of no list": (
        lambda f: put_index(f, lambda i: i.update(operations_without_predecessor={})), "does not fit",
    ),
}  # fmt: skip


@pytest.mark.parametrize("how", SPOILED)
def test_a_spoiled_folder_gets_one_plain_sentence_and_changes_nothing(how: str, folder: Path, empty: Store) -> None:
    spoil, says = SPOILED[how]
    spoil(folder)
    before = empty.journal(), empty.device
    with pytest.raises(NotImported) as caught:
        bring_in(folder, empty)
    sentence = caught.value.sentence
    assert sentence.startswith("Nothing was imported: ")
    assert sentence.isprintable()
    assert says in sentence
    assert (empty.journal(), empty.device) == before
    empty.whole().must_be_empty()
    assert empty.exchange().attachments() == frozenset()


def test_a_file_is_no_folder_and_neither_is_what_is_not_there(tmp_path: Path, empty: Store) -> None:
    (tmp_path / "file").write_bytes(b"x")
    for named in ("file", "nowhere"):
        with pytest.raises(NotImported, match="is no folder"):
            bring_in(tmp_path / named, empty)


def test_a_log_that_does_not_come_to_the_record_it_tells_of_is_taken_back_whole(folder: Path, empty: Store) -> None:
    put_index(folder, lambda index: index.update(digest="0" * 64))
    before = empty.journal()
    with pytest.raises(NotImported, match="does not come to the record"):
        bring_in(folder, empty)
    assert empty.journal() == before
    empty.whole().must_be_empty()
    assert empty.check() == ()


def test_an_attachment_that_changes_while_it_is_taken_in_takes_everything_back(folder: Path, empty: Store) -> None:
    from storage.whole import checked
    from storage.whole_folder import Proved

    found = checked(Proved.read(folder))
    _flipped(_some_attachment(folder))
    with pytest.raises(NotImported, match="not as it was exported"):
        empty.whole().take(found, "store")
    empty.whole().must_be_empty()
    assert empty.check() == ()
