"""A locked package opens in strangers' readers with its password, holds every file as its index tells, or is not there.

What is read back is read by poppler and by qpdf (through pikepdf), which know nothing of our code.
"""

from __future__ import annotations

import errno
import os
import re
import shutil
import signal
import stat
import subprocess
from collections.abc import Callable, Iterator
from hashlib import sha256
from pathlib import Path

import pikepdf
import pytest

from forms.chart import entry_id
from forms.practice import Practice
from forms.referral import PaperIssued
from storage.store import Store
from storage.whole_held import HoldsNoMore
from sync.handoff.checking import LARGEST_CHECKED, check_file
from sync.handoff.leave import LEFT, STAYED
from sync.handoff.package import MOST, NotGiven, give_locked
from sync.handoff.package_inside import Asked
from sync.handoff.seals import make_seals
from sync.handoff.untold import is_told, kept_password, untold_password
from sync.handoff.verify import LARGEST, NeedsPassword, verify
from tests.helpers import thornbury as t
from tests.helpers.durable import watching
from tests.helpers.stamping import Authority, serving
from tests.helpers.stores import new_store, opened, put
from tests.sync.test_leave import written
from tests.sync.test_release_package import PAPER, PASSWORD, asked, issued, released

FILE = "ida.pdf"
GUIDE = "ida.how-to-check.txt"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with a signed visit and a release, closed."""
    place = tmp_path_factory.mktemp("kept") / "store"
    made = new_store(place).store
    written(made)
    make_seals(made, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=t.NOW)
    released(made)
    made.sign(t.VISIT, author=t.WRITER)
    made.close()
    return place


@pytest.fixture
def store(folder: Path, tmp_path: Path) -> Iterator[Store]:
    shutil.copytree(folder, tmp_path / "store")
    made = opened(tmp_path / "store")
    yield made
    made.close()


def give(store: Store, place: Path, what: Asked | None = None, *, most: int = MOST) -> bytes:
    give_locked(store, what or asked(store), place, PASSWORD, author=t.WRITER, now=t.NOW, most=most)
    return place.read_bytes()


def poppler_takes_out(file: Path, into: Path) -> dict[str, bytes]:
    into.mkdir()
    subprocess.run(["pdfdetach", "-upw", PASSWORD, "-saveall", "-o", into, file], check=True, capture_output=True)
    return {one.name: one.read_bytes() for one in into.iterdir()}


def read(*command: object) -> str:
    done = subprocess.run([str(word) for word in command], capture_output=True, text=True, check=False)
    return done.stdout + done.stderr


def test_two_strangers_readers_take_out_the_same_bytes_and_the_index_names_each_with_its_hash_and_pages(
    store: Store, tmp_path: Path
) -> None:
    place = tmp_path / FILE
    give(store, place)
    held = poppler_takes_out(place, tmp_path / "out")
    with pikepdf.open(place, password=PASSWORD) as pdf:
        assert {name: spec.get_file().read_bytes() for name, spec in pdf.attachments.items()} == held
        relations = {str(spec.obj.AFRelationship) for spec in pdf.attachments.values()}
    assert relations == {"/Data"}
    assert {
        f"{PAPER}.pdf", f"{PAPER}.fhir.json", f"{PAPER}.fhir.json.p7s", f"{PAPER}.how-to-check.txt", "README.txt",
        "index.json", "tables-answers.csv", "tables-entries.csv", "tables-dictionary.csv", "tables-choices.csv",
    } == set(held)  # fmt: skip
    index = read("pdftotext", "-upw", PASSWORD, "-layout", place, "-")
    bare = re.sub(r"\s+", "", index)
    for name, data in held.items():
        assert f"{name}:" in bare, name
        assert sha256(data).hexdigest() in bare, name
    (tmp_path / "paper.pdf").write_bytes(held[f"{PAPER}.pdf"])
    assert verify(held[f"{PAPER}.pdf"]).good
    pages = int(read("pdfinfo", tmp_path / "paper.pdf").split("Pages:")[1].split()[0])
    assert ("page 1" if pages == 1 else f"pages 1 to {pages}") in " ".join(index.split())


def test_strangers_readers_open_it_with_the_password_alone_and_find_its_seal_valid(
    store: Store, tmp_path: Path
) -> None:
    place = tmp_path / FILE
    data = give(store, place)
    assert verify(data, PASSWORD).good
    with pytest.raises(NeedsPassword):
        verify(data)
    seal = read("pdfsig", "-upw", PASSWORD, place)
    assert "Signature is Valid." in seal
    assert "Total document signed" in seal
    about = read("pdfinfo", "-upw", PASSWORD, place)
    assert "algorithm:AES-256" in about
    assert re.search(r"Tagged: +yes", about)
    assert "Release package: Ida Thornbury-Reyes" in about
    assert "Release package" in read("mutool", "draw", "-q", "-p", PASSWORD, "-F", "txt", place)
    for refused in (
        read("pdftotext", place, "-"), read("pdfdetach", "-list", place), read("mutool", "draw", "-F", "txt", place),
    ):  # fmt: skip
        assert not re.search("Ida|summary|answers", refused)
        assert "password" in refused.lower()


def test_nothing_of_it_stands_open_in_the_file_or_beside_it(store: Store, tmp_path: Path) -> None:
    place = tmp_path / "out" / FILE
    place.parent.mkdir()
    data = give(store, place)
    assert sorted(one.name for one in place.parent.iterdir()) == [GUIDE, FILE]
    told = (place.parent / GUIDE).read_bytes()
    for mark in (b"Thornbury", b"Quince", b"answers.csv", b"01-summary", PASSWORD.encode()):
        assert mark not in data, mark
        assert mark not in told, mark
    assert b"%PDF-" not in data[1:]  # no paper lies in it as it was
    assert {stat.S_IMODE(one.stat().st_mode) for one in place.parent.iterdir()} == {0o600}


def test_the_password_waits_sealed_until_it_is_told_and_then_is_nowhere_in_the_store(
    store: Store, tmp_path: Path
) -> None:
    give(store, tmp_path / FILE)
    assert not any(word in repr((store.journal(), issued(store))) for word in (PASSWORD, "otter-nine"))
    kept = [one.read_bytes() for one in store.folder.rglob("*") if one.is_file()]
    assert not any(word in data for word in (PASSWORD.encode(), b"otter-nine") for data in kept)
    entry = next(line.about["entry"] for line in store.journal() if line.kind == LEFT)
    assert untold_password(store, entry) == PASSWORD
    is_told(store, entry)
    assert (untold_password(store, entry), kept_password(store, entry)) == (None, None)


def test_more_than_one_file_holds_is_refused_in_one_sentence_of_what_to_do_and_nothing_leaves(
    store: Store, tmp_path: Path
) -> None:
    papers_alone = asked(store, tables=False)
    give(store, tmp_path / "papers.pdf", papers_alone)
    length = sum(map(len, poppler_takes_out(tmp_path / "papers.pdf", tmp_path / "papers").values()))
    before = len(issued(store))
    for what, most in ((papers_alone, length - 20_000), (asked(store), length + 20_000)):
        with pytest.raises(HoldsNoMore, match="Leave the tables or some papers out") as told:
            give(store, tmp_path / FILE, what, most=most)
        assert told.value.sentence.startswith(f"This is more than the {most // 1_000_000} MB")
    assert not (tmp_path / FILE).exists()
    assert len(issued(store)) == before


@pytest.mark.parametrize("step", ["write", "flush", "rename"])
def test_a_full_disk_at_any_step_leaves_no_file_and_no_entry_and_the_journal_says_that_it_stayed(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    place = tmp_path / "out" / FILE
    place.parent.mkdir()
    full = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def refuse_flush(handle: int, real: Callable[[int], None] = os.fsync) -> None:
        if str(tmp_path / "out") in str(Path(f"/proc/self/fd/{handle}").readlink()):
            raise full
        real(handle)

    def refuse_name(part: Path, target: Path, real: Callable[[Path, Path], Path] = Path.replace) -> Path:
        if target.name == FILE:
            raise full
        return real(part, target)

    def refuse_write(part: Path, data: bytes) -> None:
        part.write_bytes(data[:100])
        part.unlink()
        raise full

    if step == "write":
        monkeypatch.setattr("sync.handoff.saved._write", refuse_write)
    elif step == "flush":
        monkeypatch.setattr(os, "fsync", refuse_flush)
    else:
        monkeypatch.setattr(Path, "replace", refuse_name)
    with pytest.raises(NotGiven, match=r"No space left on device\. Choose another place; nothing has left"):
        give(store, place)
    monkeypatch.undo()
    assert list(place.parent.iterdir()) == []
    assert issued(store) == []
    lines = [line for line in store.journal() if line.kind in (LEFT, STAYED)]
    assert lines[-1].kind == STAYED
    assert untold_password(store, lines[-1].about["entry"]) is None
    assert verify(give(store, place), PASSWORD).good  # and once there is room, the same request is met


def _killed_at(folder: Path, place: Path, number: int) -> list[str]:
    """The steps a process did that gave the package out and was ended at a step; all of them where there are fewer."""
    out, told = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(out)
        done = 0

        def step(name: str) -> None:
            nonlocal done
            os.write(told, f"{name}\n".encode())
            done += 1
            if done > number:
                os.kill(os.getpid(), signal.SIGKILL)

        try:
            store = opened(folder)
            with watching(step):
                give(store, place, Asked(t.FAMILY, t.IDA, t.THROAT, (), True, "care"))
        finally:
            os._exit(0)
    os.close(told)
    with os.fdopen(out, "rb") as lines:
        said = lines.read().decode().splitlines()
    os.waitpid(child, 0)
    return said


def test_a_process_ended_at_any_step_leaves_either_the_whole_file_or_none_of_that_name(
    folder: Path, tmp_path: Path
) -> None:
    def ended(number: int) -> tuple[list[str], Path]:
        here = tmp_path / str(number)
        shutil.copytree(folder, here / "store")
        (here / "out").mkdir()
        return _killed_at(here / "store", here / "out" / FILE, number), here

    steps, whole = ended(10**6)
    assert verify((whole / "out" / FILE).read_bytes(), PASSWORD).good
    last = steps.index(f"rename .{FILE}.part to {FILE}")
    assert last > 4
    for number in range(last + 1):
        _said, here = ended(number)
        assert not (here / "out" / FILE).exists(), steps[number]
        store = opened(here / "store")
        try:
            left = [one for one in store.chart(t.FAMILY, t.VISIT).all(PaperIssued) if one.answers.paper == "package"]
            lines = [one.about["entry"] for one in store.journal() if one.kind == LEFT]
            assert [one.id for one in left] == lines, steps[number]  # both or neither: written as one
            if number == last:  # before the file has its name its password is where it can be told from
                assert [untold_password(store, one) for one in lines] == [PASSWORD]
        finally:
            store.close()


def test_where_a_service_for_time_stamps_is_set_the_outermost_seal_alone_asks_it_and_holds_all_the_rest(
    store: Store, tmp_path: Path
) -> None:
    (tmp_path / "clock").mkdir()
    with serving(Authority(tmp_path / "clock").stamp) as service:
        store.write([put(entry_id(Practice), "time_stamp_address", service.address)], author=t.WRITER)
        paper = give(store, tmp_path / FILE)
        assert len(service.asked) == 1
    verdict = verify(paper, PASSWORD)
    assert verdict.good
    assert verdict.stamp is not None
    what, place = asked(store), tmp_path / "again.pdf"
    given = give_locked(store, what, place, PASSWORD, author=t.WRITER, now=t.NOW)  # the service is gone by now
    assert given.unstamped == "Sealed without a time stamp: the service did not answer."
    assert verify(place.read_bytes(), PASSWORD).good


def test_another_practice_can_check_it_whole_as_large_as_it_may_be_and_is_told_what_lies_in_it(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert min(LARGEST, LARGEST_CHECKED) > MOST + 4_000_000  # room for the pages, their letters and the seal
    place = tmp_path / FILE
    give(store, place)
    checked = check_file(place, {}, PASSWORD)
    assert checked.verdict.good
    assert all(one.fits for one in checked.inside)
    told = {one.name: one.what for one in checked.inside}
    assert told[f"{PAPER}.pdf"] == "a paper of its own; save it, and check it by itself"
    assert told["tables-answers.csv"] == "a table, for other programs"
    monkeypatch.setattr("sync.handoff.verify.LARGEST", 30_000)
    looked_at = [one for one in check_file(place, {}, PASSWORD).inside if one.fits]
    assert 0 < len(looked_at) < len(checked.inside)
    assert sum(one.size for one in looked_at) <= 30_000
