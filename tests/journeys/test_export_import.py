"""The whole practice moves: out of one store, into another, out again equal; and one person gets what concerns her."""

from __future__ import annotations

import csv
import errno
import json
import os
import shutil
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from subprocess import CompletedProcess

import pytest

from demo_db.build import PASSPHRASE, build
from desktop import command_whole
from desktop.command_whole import PURPOSE_CODES
from forms.answers import every
from forms.ask import Kind, NotPrinted, asks
from forms.chart import Chart
from forms.people import InfantIdentity, ParentIdentity
from forms.weight import WeightReading
from storage.store import Store
from storage.troubles import NoRights
from storage.vault import unlock
from storage.whole import PURPOSES
from tests.helpers.marks import found_in, marks_of
from tests.helpers.stores import files_of
from tests.journeys.test_headless_job import hearthside

NEW = "weld madder and a new passphrase"


def run(*arguments: object, passphrase: str = PASSPHRASE) -> CompletedProcess[str]:
    done = hearthside(*arguments, "--passphrase-stdin", stdin=passphrase + "\n")
    assert "Traceback" not in done.stderr
    assert passphrase not in done.stdout + done.stderr
    return done


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The invented practice, its visits signed and its papers filed; to be copied, not opened."""
    return build(tmp_path_factory.mktemp("practice")).store


@pytest.fixture(scope="module")
def practice(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copytree(built, tmp_path_factory.mktemp("copy") / "store"))


@pytest.fixture(scope="module")
def everything(practice: Path) -> tuple[Path, str]:
    """The whole practice in a folder, and what the command said."""
    dest = practice.parent / "everything"
    done = run("export", practice, dest, "--purpose", "move")
    assert (done.returncode, done.stderr) == (0, "")
    return dest, done.stdout


@pytest.fixture(scope="module")
def opened(built: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    store = unlock(Path(shutil.copytree(built, tmp_path_factory.mktemp("looked at") / "store")), PASSPHRASE)
    yield store
    store.close()


@pytest.fixture(scope="module")
def charts(opened: Store) -> tuple[Chart, ...]:
    return tuple(opened.chart(line.id) for line in opened.caseload())


def rows(folder: Path, name: str = "answers") -> list[dict[str, str]]:
    with (folder / "tables" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_the_practice_moves_to_a_new_store_and_goes_out_of_it_equal_byte_by_byte(
    everything: tuple[Path, str], tmp_path: Path, opened: Store, charts: tuple[Chart, ...]
) -> None:
    moved = run("import", everything[0], tmp_path / "moved", passphrase=NEW)
    assert (moved.returncode, moved.stderr) == (0, "")
    assert "Recovery sheet" in moved.stdout
    assert "checks out" in moved.stdout
    again = run("export", tmp_path / "moved", tmp_path / "again", "--purpose", "copy", passphrase=NEW)
    assert again.returncode == 0, again.stderr
    assert files_of(tmp_path / "again") == files_of(everything[0])
    assert not list(tmp_path.glob("*.part"))
    store = unlock(tmp_path / "moved", NEW)
    try:
        assert store.exchange().digest() == opened.exchange().digest()
        assert tuple(store.chart(line.id) for line in store.caseload()) == charts
    finally:
        store.close()


def test_what_the_command_says_is_in_the_folder(everything: tuple[Path, str], charts: tuple[Chart, ...]) -> None:
    folder, said = everything
    index = json.loads((folder / "index.json").read_text("utf-8"))
    assert index["counts"]["families"] == len(charts)
    assert index["counts"]["attachments"] == len(list((folder / "attachments").iterdir())) > 10
    for name, count in index["counts"].items():
        assert f"{name} {count:,}" in said
    assert "private notes" in said
    assert "nothing in it is encrypted" in said


def test_another_program_finds_every_weight_in_the_tables(
    everything: tuple[Path, str], charts: tuple[Chart, ...]
) -> None:
    found = {(row["entry"], row["value"], row["unit"], row["base"]) for row in rows(everything[0])}
    weighed = [
        (entry.id, one.typed, one.unit, str(one.base))
        for chart in charts
        for entry in chart.entries
        for name, ask in asks(type(entry.answers)).items()
        if ask.kind is Kind.QUANTITY and not ask.sides
        for one in every(getattr(entry.answers, name))
    ]
    assert len(weighed) > 100
    assert [one for one in weighed if one not in found] == []


def test_each_typed_word_of_every_family_is_in_the_tables(
    everything: tuple[Path, str], charts: tuple[Chart, ...]
) -> None:
    values = {row["value"] for row in rows(everything[0])}
    for chart in charts:
        for entry in chart.entries:
            for name, ask in asks(type(entry.answers)).items():
                if ask.kind in (Kind.LINE, Kind.TEXT) and not ask.sides:
                    assert not set(every(getattr(entry.answers, name))) - values, f"{entry.place.form}.{name}"


def test_the_audit_journal_tells_what_left_for_what_and_which_index(
    practice: Path, everything: tuple[Path, str], tmp_path: Path
) -> None:
    store = unlock(Path(shutil.copytree(practice, tmp_path / "looked")), PASSPHRASE)
    try:
        (line,) = [
            one for one in store.journal() if one.kind == "record exported" and one.about["what"] == "everything"
        ]
        charts_here = {entry.id for entry in store.practice_entries() if entry.place.form == "practitioner"}
    finally:
        store.close()
    assert line.about["purpose"] == "move"
    assert line.by in charts_here
    assert line.about["index"] == sha256((everything[0] / "index.json").read_bytes()).hexdigest()


def test_the_purposes_the_command_offers_are_those_of_the_store() -> None:
    assert tuple(PURPOSES) == PURPOSE_CODES


def test_without_a_purpose_nothing_leaves(practice: Path, tmp_path: Path) -> None:
    done = run("export", practice, tmp_path / "out")
    assert (done.returncode, done.stderr.strip()) == (2, "Say with --purpose what the export is for.")
    assert list(tmp_path.iterdir()) == []


# --- one person -----------------------------------------------------------------------------------------------------


def _kept_back(chart: Chart) -> set[str]:
    """Words typed in confidence or for the practice's own work, long enough to be nobody else's."""
    found: set[str] = set()
    for entry in chart.entries:
        for name, ask in asks(type(entry.answers)).items():
            if (ask.private or isinstance(ask.paper, NotPrinted)) and ask.kind in (Kind.LINE, Kind.TEXT):
                given = getattr(entry.answers, name)
                sides = (given.left, given.right) if ask.sides else (given,)
                found |= {one for side in sides for one in every(side) if len(one) > 12}
    return found


def _people(chart: Chart) -> tuple[str, ...]:
    parents, babies = chart.all(ParentIdentity), chart.all(InfantIdentity)
    return (*(one.id for one in parents), *(one.id for one in babies))


def test_what_concerns_one_person_holds_nothing_private_and_nothing_of_others(
    practice: Path, charts: tuple[Chart, ...], tmp_path: Path
) -> None:
    twins = next(chart for chart in charts if len(chart.all(InfantIdentity)) > 1 and chart.signatures)
    kept_back = set[str]().union(*map(_kept_back, charts))
    assert len(kept_back) > 10
    for person in _people(twins):
        dest = tmp_path / person
        done = run("export", practice, dest, "--person", person, "--purpose", "request")
        assert (done.returncode, done.stderr) == (0, "")
        told = rows(dest)
        assert len([row for row in told if row["person"] == person]) > 10
        assert {row["private"] for row in told} == {"no"}
        assert not {row["value"] for row in told} & kept_back
        for row in rows(dest, "entries"):
            subjects = set(filter(None, row["person"].split("+")))
            assert not subjects or person in subjects
            assert row["entry"] == person or row["entry"] not in _people(twins)
        told_at_all = b"".join((dest / "tables" / name).read_bytes() for name in ("answers.csv", "entries.csv"))
        ours = b"".join((dest / "tables" / name).read_bytes() for name in ("dictionary.csv", "choices.csv"))
        ours += "\n".join(marks_of(twins)).encode()
        for other in (chart for chart in charts if chart.family != twins.family):
            foreign = marks_of(other) - set(found_in(ours, marks_of(other)))
            assert list(found_in(told_at_all, foreign)) == []


def test_of_twins_each_gets_her_own_weights_and_not_the_other_ones(
    practice: Path, charts: tuple[Chart, ...], tmp_path: Path
) -> None:
    twins = next(chart for chart in charts if len(chart.all(InfantIdentity)) > 1 and chart.signatures)
    one, other = (baby.id for baby in twins.all(InfantIdentity))
    run("export", practice, tmp_path / "out", "--person", one, "--purpose", "request")
    told = {row["entry"] for row in rows(tmp_path / "out")}
    weighed = {baby: {entry.id for entry in twins.all(WeightReading, baby)} for baby in (one, other)}
    assert weighed[one] <= told
    assert weighed[other]
    assert not weighed[other] & told


def test_a_visit_that_is_not_signed_is_left_out_and_said_so(
    practice: Path, charts: tuple[Chart, ...], tmp_path: Path
) -> None:
    (chart,) = (c for c in charts if not c.signatures)
    (baby,) = chart.all(InfantIdentity)
    done = run("export", practice, tmp_path / "out", "--person", baby.id, "--purpose", "request")
    assert "not signed yet: 1" in done.stdout
    assert {row["visit"] for row in rows(tmp_path / "out")} == {""}


def test_people_lists_each_parent_and_baby_with_the_id(practice: Path, charts: tuple[Chart, ...]) -> None:
    done = run("people", practice)
    listed = {line.split("\t")[0] for line in done.stdout.splitlines()}
    assert listed == {person for chart in charts for person in _people(chart)}


def test_an_empty_id_is_nobody_and_never_everything(practice: Path, tmp_path: Path) -> None:
    done = run("export", practice, tmp_path / "out", "--person", "", "--purpose", "request")
    assert "no parent and no baby" in one_sentence(done)
    assert list(tmp_path.iterdir()) == []


def test_nobody_of_that_id_gets_a_sentence_and_no_folder(practice: Path, tmp_path: Path) -> None:
    done = run("export", practice, tmp_path / "out", "--person", "0" * 32, "--purpose", "request")
    assert done.returncode == 1
    assert done.stderr.strip() == (
        "Nothing was exported: no parent and no baby of this record has that id. “hearthside people” lists the ids."
    )
    assert list(tmp_path.iterdir()) == []


# --- refused --------------------------------------------------------------------------------------------------------


def one_sentence(done: CompletedProcess[str]) -> str:
    assert done.returncode in (1, 2)
    assert done.stdout == ""
    assert len(done.stderr.strip().splitlines()) == 1, done.stderr
    return done.stderr.strip()


def test_a_damaged_folder_makes_no_store(everything: tuple[Path, str], tmp_path: Path) -> None:
    shutil.copytree(everything[0], tmp_path / "damaged")
    log = tmp_path / "damaged" / "record" / "operations.jsonl"
    data = bytearray(log.read_bytes())
    data[len(data) // 3] ^= 4
    log.write_bytes(data)
    done = run("import", tmp_path / "damaged", tmp_path / "new", passphrase=NEW)
    assert "“record/operations.jsonl” is not as it was exported" in one_sentence(done)
    assert [one.name for one in tmp_path.iterdir()] == ["damaged"]


def test_a_weak_passphrase_makes_no_store(everything: tuple[Path, str], tmp_path: Path) -> None:
    one_sentence(hearthside("import", everything[0], tmp_path / "new", "--passphrase-stdin", stdin="short\n"))
    assert list(tmp_path.iterdir()) == []


def test_a_store_that_holds_a_record_takes_no_other_in(
    everything: tuple[Path, str], built: Path, tmp_path: Path
) -> None:
    shutil.copytree(built, tmp_path / "store")
    done = run("import", everything[0], tmp_path / "store")
    assert "already holds something" in one_sentence(done)


def test_a_whole_disk_is_made_no_store(everything: tuple[Path, str]) -> None:
    done = run("import", everything[0], Path(everything[0].anchor), passphrase=NEW)
    assert one_sentence(done) == "Nothing was imported: name a folder, not a whole disk."


def test_a_store_whose_name_cannot_be_kept_by_the_disk_does_not_stay(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def made() -> None:
        with command_whole._new_store(tmp_path / "new") as part:
            part.mkdir()
            (part / "kept").write_bytes(b"x")

    def refused(_folder: Path) -> None:
        assert (tmp_path / "new" / "kept").exists()  # it has its name already
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr("storage.folder.flush_folder", refused)
    with pytest.raises(NoRights):
        made()
    assert list(tmp_path.iterdir()) == []


def test_a_folder_with_something_else_in_it_is_not_made_a_store(everything: tuple[Path, str], tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "one.jpg").write_bytes(b"x")
    done = run("import", everything[0], tmp_path / "photos", passphrase=NEW)
    assert "already holds something" in one_sentence(done)
    assert files_of(tmp_path) == {"photos/one.jpg": b"x"}


def test_what_was_written_for_one_person_is_not_imported(
    practice: Path, charts: tuple[Chart, ...], tmp_path: Path
) -> None:
    (baby, *_rest) = charts[0].all(InfantIdentity)
    run("export", practice, tmp_path / "one", "--person", baby.id, "--purpose", "request")
    done = run("import", tmp_path / "one", tmp_path / "new", passphrase=NEW)
    assert "concerns one person, not a whole record" in one_sentence(done)
    assert [one.name for one in tmp_path.iterdir() if one.name.startswith("new")] == []
