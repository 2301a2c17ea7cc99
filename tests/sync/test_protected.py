"""A locked paper opens with its password in strangers' readers, sealed and with the same record, and not without it."""

from __future__ import annotations

import hashlib
import os
import pty
import subprocess
import sys
from collections.abc import Iterator
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pikepdf
import pytest

from forms.answers import Moment
from forms.ask import Paper
from forms.referral import PaperIssued
from forms.trouble import Bug
from storage.store import Store
from sync.handoff.inside import RECORD
from sync.handoff.leave import LEFT, make_paper
from sync.handoff.password import BETWEEN, BITS, COUNT, LONGEST, WORDS, new_password
from sync.handoff.protected import locked, must_be_locked
from sync.handoff.saved import save_paper
from sync.handoff.seals import Seal, make_seals
from sync.handoff.sign import Record, sign_letter, taken_out
from sync.handoff.verify import NeedsPassword, WrongPassword, verify
from sync.handoff.way import Way
from sync.handoff.what_leaves import what_leaves
from tests.helpers import thornbury as t
from tests.helpers.stores import new_store
from tests.sync.conftest import Read
from tests.sync.test_leave import written

PASSWORD = "maple-otter-nine-cedar-voice"


# --- the words ------------------------------------------------------------------------------------------------------


def test_there_are_1024_words_each_once_of_three_to_five_small_letters() -> None:
    assert len(WORDS) == len(set(WORDS)) == 1024
    assert all(3 <= len(word) <= 5 and word.isascii() and word.isalpha() and word.islower() for word in WORDS)


def test_two_choices_of_words_never_make_the_same_password() -> None:
    assert all(BETWEEN not in word for word in WORDS)
    password = new_password()
    assert BETWEEN.join(password.split(BETWEEN)) == password
    assert len(password.split(BETWEEN)) == COUNT
    assert set(password.split(BETWEEN)) <= set(WORDS)


def test_the_longest_password_is_one_that_every_reader_takes() -> None:
    assert COUNT * max(map(len, WORDS)) + (COUNT - 1) * len(BETWEEN) <= LONGEST


def test_a_password_is_worth_fifty_bits_and_the_systems_randomness_chooses_it(monkeypatch: pytest.MonkeyPatch) -> None:
    assert len(WORDS) ** COUNT == 2**BITS
    assert BITS == 50
    asked: list[int] = []

    def choice(words: tuple[str, ...]) -> str:
        asked.append(len(words))
        return words[len(asked)]

    monkeypatch.setattr("sync.handoff.password.secrets.choice", choice)
    assert new_password() == BETWEEN.join(WORDS[1:6])
    assert asked == [1024] * COUNT


def test_no_two_passwords_of_a_thousand_are_the_same() -> None:
    made = sorted(new_password() for _ in range(1000))
    assert all(one != other for one, other in pairwise(made))


# --- a paper under a password ---------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def protected(drawn: bytes, seal: Seal, record: Record) -> bytes:
    at = Moment(t.NOW, t.ZONE)
    return sign_letter(drawn, seal, at=at, who="Rowan Vale, RN", record=record, password=PASSWORD)


def test_our_own_check_finds_it_whole_and_names_who_sealed_it(protected: bytes, seal: Seal, record: Record) -> None:
    verdict = verify(protected, PASSWORD, roots=(seal.root,))
    assert verdict.good
    assert verdict.known
    assert verdict.signer == "Rowan Vale, RN"
    assert [inside.sha256 for inside in verdict.records] == [hashlib.sha256(record.data).hexdigest()]


def test_strangers_readers_open_it_find_the_seal_valid_and_the_same_words(
    protected: bytes, sealed: bytes, read: Read
) -> None:
    said = read(protected, "pdfsig", "-upw", PASSWORD)
    assert "Signature is Valid." in said
    assert "Total document signed" in said
    assert "algorithm:AES-256" in read(protected, "pdfinfo", "-upw", PASSWORD)
    assert "Form" in read(protected, "pdfinfo", "-struct", "-upw", PASSWORD)
    words = read(protected, "pdftotext", "-upw", PASSWORD, "FILE", "-")
    assert words == read(sealed, "pdftotext", "FILE", "-")
    assert "unchanged since signing" in read(protected, "mutool", "sign", "-v", "-p", PASSWORD, "FILE")


def test_what_it_carries_comes_out_byte_for_byte_with_the_password_and_not_without(
    protected: bytes, record: Record, tmp_path: Path
) -> None:
    paper, out = tmp_path / "paper.pdf", tmp_path / "out.txt"
    paper.write_bytes(protected)
    for password in ("", "maple"):
        taken = subprocess.run(
            ["pdfdetach", "-upw", password, "-save", "1", "-o", out, paper], capture_output=True, check=False
        )
        assert taken.returncode != 0
        assert not out.exists()
    subprocess.run(["pdfdetach", "-upw", PASSWORD, "-save", "1", "-o", out, paper], check=True, capture_output=True)
    assert out.read_bytes() == record.data
    assert taken_out(protected, PASSWORD) == {record.name: record.data}
    assert taken_out(protected) == taken_out(protected, "maple") == {}


def test_without_the_password_nothing_of_it_can_be_read(protected: bytes, sealed: bytes, read: Read) -> None:
    words = {word for word in read(sealed, "pdftotext", "FILE", "-").split() if len(word) > 4 and word.isalpha()}
    assert len(words) > 50
    for command in (("pdftotext", "FILE", "-"), ("pdfinfo",), ("pdftotext", "-upw", "maple", "FILE", "-")):
        assert read(protected, *command) == ""
    title = b"Our plan for Ida and Juno"
    for spelt in (title, title.decode().encode("utf-16-be"), title.hex().encode(), title.hex().upper().encode()):
        assert spelt not in protected
    assert b"family_plan.txt" not in protected
    assert b"<x:xmpmeta" not in protected
    with pytest.raises(NeedsPassword, match="locked with a password"):
        verify(protected)


@pytest.mark.parametrize("wrong", ["maple", PASSWORD.upper(), PASSWORD.replace("-", " "), f"{PASSWORD}s"])
def test_a_wrong_password_is_refused_with_one_sentence(protected: bytes, wrong: str) -> None:
    with pytest.raises(WrongPassword) as refused:
        verify(protected, wrong)
    assert refused.value.sentence.count(".") == 1
    assert wrong not in refused.value.sentence


def test_any_byte_changed_is_found_under_the_password_too(protected: bytes) -> None:
    for at in range(900, len(protected), len(protected) // 60):
        changed = protected[:at] + bytes([protected[at] ^ 1]) + protected[at + 1 :]
        try:
            assert not verify(changed, PASSWORD).good, at
        except NeedsPassword:
            continue


def test_a_password_some_readers_refuse_locks_nothing(drawn: bytes) -> None:
    for refused in ("", "x" * (LONGEST + 1), "größer-als-alle"):
        with pytest.raises(Bug):
            locked(drawn, refused, at=t.NOW)


def test_what_is_not_locked_as_it_should_be_does_not_leave(drawn: bytes) -> None:
    with pytest.raises(Bug):
        must_be_locked(drawn, PASSWORD)
    for cipher in (4, 6):
        weak = BytesIO()
        user = PASSWORD if cipher == 4 else ""
        with pikepdf.open(BytesIO(drawn)) as pdf:
            pdf.save(weak, encryption=pikepdf.Encryption(user=user, owner=PASSWORD, R=cipher))
        with pytest.raises(Bug):
            must_be_locked(weak.getvalue(), PASSWORD)


def _asked(terminal: int, words: bytes) -> str:
    """What a program says on a terminal until it has ended; `words` are typed once it asks."""
    said = b""
    while True:
        try:
            heard = os.read(terminal, 4096)
        except OSError:
            return said.decode()
        if not heard:
            return said.decode()
        said += heard
        if words and b"Password of this paper" in said:
            os.write(terminal, words)
            words = b""


@pytest.mark.parametrize(("typed", "status", "says"), [(PASSWORD, 0, "Whole and unchanged"),
                                                       ("maple", 2, "does not open this PDF")])  # fmt: skip
def test_on_the_command_line_the_password_is_asked_for_and_not_shown(
    protected: bytes, tmp_path: Path, typed: str, status: int, says: str
) -> None:
    paper = tmp_path / "paper.pdf"
    paper.write_bytes(protected)
    process, terminal = pty.fork()
    if process == 0:
        os.execv(sys.executable, [sys.executable, "-m", "desktop", "verify", str(paper)])
    said = _asked(terminal, typed.encode() + b"\n")
    assert os.waitstatus_to_exitcode(os.waitpid(process, 0)[1]) == status
    os.close(terminal)
    assert says in said
    assert typed not in said


def test_where_nobody_can_be_asked_the_command_says_that_it_is_locked(protected: bytes, tmp_path: Path) -> None:
    paper = tmp_path / "paper.pdf"
    paper.write_bytes(protected)

    def asked(*more: str, typed: str = "") -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "desktop", "verify", str(paper), *more]
        return subprocess.run(command, input=typed, capture_output=True, text=True, check=False)

    bare = asked()
    assert (bare.returncode, bare.stdout) == (2, "")
    assert "locked with a password" in bare.stderr
    assert asked("--passphrase-stdin", typed=f"{PASSWORD}\n").returncode == 0


# --- leaving --------------------------------------------------------------------------------------------------------


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = new_store(tmp_path / "store").store
    written(made)
    make_seals(made, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=t.NOW)
    yield made
    made.close()


WAY = Way("password", "care", password=PASSWORD)


def left(store: Store, way: Way, kind: Paper = Paper.REFERRAL) -> bytes:
    referral = t.LETTER if kind is Paper.REFERRAL else ""
    chart = store.chart(t.FAMILY, t.VISIT)
    return make_paper(store, chart, kind, author=t.WRITER, now=t.NOW, referral=referral, way=way)


def test_what_is_filed_and_written_down_is_the_locked_file(store: Store) -> None:
    store.sign(t.VISIT, author=t.WRITER)
    paper = left(store, WAY)
    sha256 = hashlib.sha256(paper).hexdigest()
    assert store.attachment(sha256) == paper
    assert verify(paper, PASSWORD).good
    assert RECORD in taken_out(paper, PASSWORD)
    (entry,) = store.chart(t.FAMILY, t.VISIT).all(PaperIssued)
    row = entry.answers
    assert (row.sha256, row.left_how, row.purpose, row.for_whom) == (sha256, "password", "care", "Dr Sorrel Quince")


def test_the_journal_says_which_paper_to_whom_what_for_how_and_its_hash(store: Store) -> None:
    store.sign(t.VISIT, author=t.WRITER)
    for way in (WAY, Way("plain", "other", "For her own doctor abroad"), Way("printed", "payment")):
        paper = left(store, way)
        line = [line for line in store.journal() if line.kind == LEFT][-1]
        entry = store.chart(t.FAMILY, t.VISIT).by_id(line.about["entry"])
        assert entry is not None
        assert isinstance(entry.answers, PaperIssued)
        assert entry.answers.purpose_words == way.purpose_words
        assert line.about == {
            "entry": entry.id, "paper": "referral", "to": t.THROAT, "purpose": way.purpose, "how": way.how,
            "sha256": hashlib.sha256(paper).hexdigest(),
        }  # fmt: skip
        assert line.by == t.WRITER


def test_the_password_is_nowhere_in_the_store_nor_in_any_text_about_it(store: Store) -> None:
    left(store, WAY, Paper.FAMILY_PLAN)
    everything = repr((store.chart(t.FAMILY, t.VISIT), store.journal(), WAY))
    assert all(word not in everything for word in (PASSWORD, "otter-nine"))
    assert not any("password" in line.about.get("name", "") for line in store.journal())


def test_a_paper_of_an_unsigned_note_is_locked_without_a_seal(store: Store, read: Read) -> None:
    paper = left(store, WAY, Paper.FAMILY_PLAN)
    assert verify(paper, PASSWORD).problems == ("This file carries no seal.",)
    assert "Given before the note was finished." in read(paper, "pdftotext", "-upw", PASSWORD, "FILE", "-")
    assert read(paper, "pdftotext", "FILE", "-") == ""


def test_beside_a_locked_paper_nothing_lies_that_can_be_read(store: Store, tmp_path: Path) -> None:
    store.sign(t.VISIT, author=t.WRITER)
    place = tmp_path / "out" / "letter.pdf"
    place.parent.mkdir()
    beside = save_paper(place, left(store, WAY), PASSWORD)
    for one in beside:
        assert "fhir" not in one.name
        words = one.read_text("utf-8")
        assert not any(told in words for told in ("Ida", "Thornbury", PASSWORD)), one.name
    save_paper(place, left(store, Way("plain", "care")))
    assert place.with_name("letter.fhir.json").is_file()
    save_paper(place, left(store, WAY), PASSWORD)
    assert not place.with_name("letter.fhir.json").exists()


def test_what_would_leave_is_what_leaves(store: Store) -> None:
    chart = store.chart(t.FAMILY, t.VISIT)
    unsealed = what_leaves(store, chart, Paper.FAMILY_PLAN, author=t.WRITER, now=t.NOW)
    assert (unsealed.whom, unsealed.sealed, unsealed.words_inside) == ("Mara and Jonas", False, False)
    store.sign(t.VISIT, author=t.WRITER)
    chart = store.chart(t.FAMILY, t.VISIT)
    told = what_leaves(store, chart, Paper.REFERRAL, author=t.WRITER, now=t.NOW, referral=t.LETTER)
    paper = left(store, WAY)
    with pikepdf.open(BytesIO(paper), password=PASSWORD) as pdf:
        assert len(pdf.pages) == told.pages
    assert (told.whom, told.sealed, told.record_inside, told.words_inside) == ("Dr Sorrel Quince", True, True, False)
    assert len([line for line in store.journal() if line.kind == LEFT]) == 1
