"""A release package: what was asked for of one person's record, all or none, and nothing of anybody else."""

from __future__ import annotations

import csv
import io
import stat
import subprocess
from collections.abc import Iterator
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from forms.ask import Kind, Paper, asks
from forms.ask import Path as At
from forms.chart import Place, entry_id
from forms.consent import Release
from forms.form import About, catalog
from forms.people import ParentIdentity
from forms.referral import PaperIssued
from forms.release_package import MayNotAsk, NoPackageRelease, NothingSigned, PackageWithdrawn, may_go
from forms.trouble import Trouble
from storage.changes import Begin, Change, Put
from storage.folder import flush_folder
from storage.store import Store
from storage.whole_folder import NotExported
from sync.handoff.leave import LEFT, STAYED, make_paper
from sync.handoff.package import INDEX, NotWarned, give_locked, give_open, look_at
from sync.handoff.package_inside import Asked, LimitsNamed, NoPurpose, NotForThem, NothingPicked
from sync.handoff.seals import make_seals
from sync.handoff.verify import verify
from sync.handoff.way import Way
from tests.helpers import thornbury as t
from tests.helpers.stores import new_store
from tests.sync.test_leave import written

CONFIDENCE = "told in confidence 4711"
OTHERS = "for Juno alone 4712"
DRAFTED = "jotted down 4713"
GAVE = "whole-release"
PASSWORD = "maple-otter-nine-cedar-voice"
PAPER = "01-summary-2026-03-03"


def put(store: Store, form: str, *subjects: str, entity: str = "", visit: str | None = None, **answers: Any) -> None:
    declared = catalog()[form]
    named = entity or entry_id(declared, visit, subjects)
    changes: list[Change] = [Begin(named, Place(form, t.FAMILY, visit, subjects))]
    changes += [Put(named, At.read(field), value) for field, value in answers.items()]
    store.write(changes, author=t.WRITER)


def confide(store: Store) -> int:
    """A marked answer to every private question in words about anybody of the family, and to the home's; how many."""
    count = 0
    for form in catalog().values():
        private = [
            name for name, ask in asks(form).items() if ask.private and ask.kind in (Kind.TEXT, Kind.LINE) and not ask.sides
        ]  # fmt: skip
        for field in private:
            subjects = {About.PERSON: (t.IDA,), About.PERSON_AT_VISIT: (t.IDA,), About.PAIR_AT_VISIT: (t.MARA, t.IDA)}
            visit = None if form.about in (About.PERSON, About.FAMILY) else t.VISIT
            if form.name == "family":
                store.write([Put(t.FAMILY, At(field), CONFIDENCE)], author=t.WRITER)
            elif form is ParentIdentity:
                store.write([Put(t.MARA, At(field), CONFIDENCE)], author=t.WRITER)
            else:
                put(store, form.name, *subjects.get(form.about, ()), visit=visit, **{field: CONFIDENCE})
            count += 1
    return count


def released(store: Store, entity: str = GAVE, **more: Any) -> None:
    given = {
        "recipient": t.THROAT, "scope": ("whole",), "given_by": "Mara", "relation": "parent", "given_at": t.local(3, 9),
        "valid_from": date(2026, 3, 3), "valid_until": date(2026, 9, 3), **more,
    }  # fmt: skip
    put(store, Release.name, t.IDA, entity=entity, **given)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = new_store(tmp_path / "store").store
    written(made)
    make_seals(made, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=t.NOW)
    yield made
    made.close()


@pytest.fixture
def signed(store: Store) -> Store:
    assert confide(store) > 3
    put(store, "infant_history", t.JUNO, visit=t.VISIT, medicines=OTHERS)
    put(store, "jot", entity="jot", visit=t.VISIT, words=DRAFTED)
    released(store)
    store.sign(t.VISIT, author=t.WRITER)
    return store


def asked(store: Store, *, by: str = t.THROAT, who: str = t.IDA, **more: Any) -> Asked:
    papers = tuple(one.key for one in may_go(store.chart(t.FAMILY), who))
    return Asked(**{"family": t.FAMILY, "person": who, "asker": by, "papers": papers, "tables": True,
                       "purpose": "care", **more})  # fmt: skip


def give(store: Store, dest: Path, what: Asked) -> None:
    """Gives it out and lays what it holds into `dest` under the names it has there, the index as an open paper."""
    if what.insisted:
        give_open(store, what, dest, author=t.WRITER, now=t.NOW)
        return
    file = dest.with_name(f"{dest.name}.pdf")
    give_locked(store, what, file, PASSWORD, author=t.WRITER, now=t.NOW)
    dest.mkdir(exist_ok=True)
    subprocess.run(["pdfdetach", "-upw", PASSWORD, "-saveall", "-o", dest, file], check=True, capture_output=True)
    with pikepdf.open(file, password=PASSWORD) as opened:
        for name in list(opened.attachments):
            del opened.attachments[name]
        opened.save(dest / INDEX)


def insists(store: Store, **more: Any) -> Asked:
    """Mara may consent for Ida, was warned, and insists on an open folder."""
    store.write([Put(t.MARA, At("may_consent"), True)], author=t.WRITER)
    return asked(store, by=t.MARA, **{"purpose": "request", "insisted": True, **more})


def said(path: Path) -> str:
    """The words of a paper, one space between them."""
    told = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True)
    return " ".join(told.stdout.split())


def everything(folder: Path) -> str:
    """Every word in the folder: of tables, records, papers, and what the papers carry inside."""
    words = []
    for file in sorted(one for one in folder.rglob("*") if one.is_file()):
        if file.suffix != ".pdf":
            words.append(file.read_bytes().decode("utf-8", "replace"))
            continue
        words.append(said(file))
        with pikepdf.open(file) as opened:
            words += [one.get_file().read_bytes().decode("utf-8", "replace") for one in opened.attachments.values()]
    return "\n".join(words)


def issued(store: Store) -> list[PaperIssued]:
    return [entry.answers for entry in store.chart(t.FAMILY, t.VISIT).all(PaperIssued)]


@pytest.mark.parametrize("insisted", [False, True])
def test_the_index_tells_who_asked_under_what_how_it_leaves_and_every_file_with_its_fingerprint(
    signed: Store, tmp_path: Path, insisted: bool
) -> None:
    dest = tmp_path / "ida"
    give(signed, dest, insists(signed) if insisted else asked(signed))
    index = said(dest / INDEX)
    expected = (
        ("Mara Thornbury", "A request to see the record", "The request of a parent who may consent", "insists on it")
        if insisted
        else ("Dr Sorrel Quince", "Care by whoever reads it", "Release of the whole record, given by Mara",
              "As one locked file. Its password of five words is told by another way")
    )  # fmt: skip
    for words in (
        "Release package: Ida Thornbury-Reyes", *expected, "What was left out, and why", "told in confidence: it stands on",
    ):  # fmt: skip
        assert words in index, words
    files = {one.relative_to(dest).as_posix(): one for one in dest.rglob("*") if one.is_file()}
    own = {INDEX, "index.how-to-check.txt"}
    papers, tables = ("papers/", "record/tables/") if insisted else ("", "tables-")
    paper = f"{papers}{PAPER}"
    assert {f"{paper}.pdf", f"{paper}.fhir.json", f"{paper}.fhir.json.p7s", f"{tables}answers.csv"} < set(files)
    bare = index.replace(" ", "")
    for name in set(files) - own:
        assert name.replace(" ", "") in bare, name
        assert sha256(files[name].read_bytes()).hexdigest() in bare, name
    with pikepdf.open(files[f"{paper}.pdf"]) as opened:
        pages = len(opened.pages)
    assert ("page 1" if pages == 1 else f"pages 1 to {pages}") in index


def test_index_and_papers_are_sealed_and_the_record_beside_is_the_one_inside(signed: Store, tmp_path: Path) -> None:
    give(signed, tmp_path / "ida", insists(signed))
    for pdf in (tmp_path / "ida").rglob("*.pdf"):
        assert verify(pdf.read_bytes()).good, pdf.name
    paper = tmp_path / "ida" / "papers" / f"{PAPER}.pdf"
    with pikepdf.open(paper) as opened:
        inside = opened.attachments["record.fhir.json"].get_file().read_bytes()
    assert paper.with_suffix(".fhir.json").read_bytes() == inside


def test_nothing_told_in_confidence_of_others_or_in_a_jot_is_anywhere_in_it(signed: Store, tmp_path: Path) -> None:
    give(signed, tmp_path / "ida", asked(signed))
    told = everything(tmp_path / "ida")
    for mark in (CONFIDENCE, OTHERS, DRAFTED, "Juno"):
        assert mark not in told, mark
    assert "Vitamin D drops" in told  # what is hers is there, so that the search would have found the rest


def test_the_other_twins_package_holds_what_is_hers(signed: Store, tmp_path: Path) -> None:
    signed.write([Put(t.MARA, At("may_consent"), True)], author=t.WRITER)
    give(signed, tmp_path / "juno", asked(signed, by=t.MARA, who=t.JUNO, purpose="family"))
    told = everything(tmp_path / "juno")
    assert OTHERS in told
    assert "Vitamin D drops" not in told
    assert CONFIDENCE not in told
    assert "The request of a parent who may consent" in told


def test_it_is_written_down_whom_it_went_to_and_the_journal_says_so_without_names(
    signed: Store, tmp_path: Path
) -> None:
    give(signed, tmp_path / "ida", asked(signed))
    summary, package = issued(signed)
    assert (summary.paper, package.paper) == ("summary", "package")
    for row in (summary, package):
        assert (row.for_whom, row.concerns, row.release) == ("Dr Sorrel Quince", t.IDA, GAVE)
        assert (row.purpose, row.left_how, row.before_finished) == ("care", "password", False)
    assert signed.attachment(str(package.sha256)) == (tmp_path / "ida.pdf").read_bytes()
    line = [one for one in signed.journal() if one.kind == LEFT][-1]
    assert (line.about["paper"], line.about["to"], line.about["how"]) == ("package", t.THROAT, "password")
    assert (line.about["papers"], line.about["tables"]) == (summary.sha256, "yes")
    assert "Quince" not in str(line.about)
    assert "Ida" not in str(line.about)


def test_of_an_open_one_it_is_written_down_that_the_person_insisted(signed: Store, tmp_path: Path) -> None:
    give(signed, tmp_path / "ida", insists(signed))
    for row in issued(signed):
        assert (row.for_whom, row.left_how) == ("Mara Thornbury", "insisted")
    assert signed.attachment(str(issued(signed)[-1].sha256)) == (tmp_path / "ida" / INDEX).read_bytes()
    assert [one for one in signed.journal() if one.kind == LEFT][-1].about["how"] == "insisted"


def test_open_it_goes_only_to_a_parent_who_was_warned_and_insists(signed: Store, tmp_path: Path) -> None:
    with pytest.raises(NotForThem, match="nobody but a parent who insists"):
        give(signed, tmp_path / "ida", asked(signed, insisted=True))
    with pytest.raises(NotWarned):
        give_open(signed, insists(signed, insisted=False), tmp_path / "ida", author=t.WRITER, now=t.NOW)
    assert not (tmp_path / "ida").exists()
    assert issued(signed) == []


def test_only_its_owner_can_read_it(signed: Store, tmp_path: Path) -> None:
    give(signed, tmp_path / "ida", insists(signed))
    for one in (tmp_path / "ida", *(tmp_path / "ida").rglob("*")):
        assert stat.S_IMODE(one.stat().st_mode) == (0o700 if one.is_dir() else 0o600), one


def test_a_letter_that_left_before_goes_along_byte_for_byte(signed: Store, tmp_path: Path) -> None:
    chart = signed.chart(t.FAMILY, t.VISIT)
    letter = make_paper(signed, chart, Paper.REFERRAL, author=t.WRITER, now=t.NOW, referral=t.LETTER)
    make_paper(signed, chart, Paper.FAMILY_PLAN, author=t.WRITER, now=t.NOW)
    make_paper(signed, chart, Paper.REFERRAL, author=t.WRITER, now=t.NOW, referral=t.LETTER,
               way=Way("password", "care", password="six words that nobody says aloud"))  # fmt: skip
    give(signed, tmp_path / "ida", asked(signed))
    names = sorted(one.name for one in (tmp_path / "ida").glob("0*.pdf"))
    assert names == ["01-summary-2026-03-03.pdf", "02-referral-2026-03-03.pdf"]
    assert (tmp_path / "ida" / names[1]).read_bytes() == letter


@pytest.mark.parametrize(
    ("more", "trouble", "words"),
    [
        ({"scope": ("report",)}, NoPackageRelease, "no release of the whole record to Dr Sorrel Quince"),
        ({"valid_until": date(2026, 3, 2), "valid_from": date(2026, 3, 1)}, NoPackageRelease, "holds today"),
        ({"withdrawn_at": t.local(3, 10)}, PackageWithdrawn, "was withdrawn"),
    ],
)
def test_a_missing_an_ended_or_a_withdrawn_release_blocks_with_one_sentence(
    store: Store, tmp_path: Path, more: dict[str, Any], trouble: type[Trouble], words: str
) -> None:
    released(store, **more)
    store.sign(t.VISIT, author=t.WRITER)
    with pytest.raises(trouble, match=words) as told:
        give(store, tmp_path / "ida", asked(store))
    assert told.value.sentence.count(". ") <= 1
    assert list(tmp_path.iterdir()) == [tmp_path / "store"]
    assert issued(store) == []


def test_a_withdrawal_written_later_is_heard_before_an_older_release_that_would_hold(
    signed: Store, tmp_path: Path
) -> None:
    released(signed, "later", scope=("report",), withdrawn_at=t.local(3, 9))
    with pytest.raises(PackageWithdrawn):
        give(signed, tmp_path / "ida", asked(signed))
    released(signed, "anew")
    give(signed, tmp_path / "ida", asked(signed))
    assert (tmp_path / "ida" / INDEX).is_file()


def test_a_parent_asks_for_a_baby_only_where_it_is_written_that_she_may(signed: Store, tmp_path: Path) -> None:
    with pytest.raises(MayNotAsk, match="Mara Thornbury may consent"):
        give(signed, tmp_path / "ida", asked(signed, by=t.MARA))
    signed.write([Put(t.MARA, At("may_consent"), True)], author=t.WRITER)
    give(signed, tmp_path / "ida", asked(signed, by=t.MARA, purpose="request"))
    assert "A request to see the record" in said(tmp_path / "ida" / INDEX)


def test_a_parents_own_record_is_given_to_that_parent_alone(signed: Store, tmp_path: Path) -> None:
    give(signed, tmp_path / "mara", asked(signed, by=t.MARA, who=t.MARA, purpose="request"))
    assert "The person’s own request" in said(tmp_path / "mara" / INDEX)
    assert CONFIDENCE not in everything(tmp_path / "mara")
    with pytest.raises(Trouble, match="Pick who asks"):
        give(signed, tmp_path / "jonas", asked(signed, by=t.JONAS, who=t.MARA))


def test_limits_in_words_keep_the_tables_back_and_stand_on_the_index(store: Store, tmp_path: Path) -> None:
    released(store, limits="Nothing about the birth.")
    store.sign(t.VISIT, author=t.WRITER)
    with pytest.raises(LimitsNamed):
        give(store, tmp_path / "ida", asked(store))
    give(store, tmp_path / "ida", asked(store, tables=False))
    assert "Nothing about the birth." in said(tmp_path / "ida" / INDEX)
    assert not list((tmp_path / "ida").glob("tables-*"))


def test_without_a_signed_visit_a_purpose_or_a_pick_nothing_goes(store: Store, tmp_path: Path) -> None:
    released(store)
    none = Asked(t.FAMILY, t.IDA, t.THROAT, (), True, "care")
    with pytest.raises(NothingSigned, match="No visit about Ida is signed yet"):
        give(store, tmp_path / "ida", none)
    store.sign(t.VISIT, author=t.WRITER)
    with pytest.raises(NothingPicked):
        give(store, tmp_path / "ida", asked(store, papers=(), tables=False))
    with pytest.raises(NoPurpose):
        give(store, tmp_path / "ida", asked(store, purpose=""))
    assert not (tmp_path / "ida.pdf").exists()


def test_a_folder_that_is_there_is_left_alone(signed: Store, tmp_path: Path) -> None:
    (tmp_path / "ida").mkdir()
    with pytest.raises(NotExported, match="there already"):
        give(signed, tmp_path / "ida", insists(signed))
    assert list((tmp_path / "ida").iterdir()) == []
    assert issued(signed) == []


def test_when_the_name_cannot_be_put_there_is_no_folder_and_no_entry_stands(
    signed: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "out" / "ida"

    def taken(path: Path) -> None:
        """Somebody takes the name while the last files are flushed."""
        flush_folder(path)
        if path.name.endswith(".part"):
            (place / "theirs").mkdir(parents=True, exist_ok=True)

    monkeypatch.setattr("storage.whole_folder.flush_folder", taken)
    with pytest.raises(NotExported, match="cannot be written"):
        give(signed, place, insists(signed))
    assert [one.name for one in place.parent.iterdir()] == ["ida"]
    assert [one.name for one in place.iterdir()] == ["theirs"]
    assert issued(signed) == []
    assert signed.journal()[-1].kind == STAYED


def test_looking_at_it_files_and_writes_nothing(signed: Store, tmp_path: Path) -> None:
    before = (signed.journal(), issued(signed))
    (tmp_path / "look.pdf").write_bytes(look_at(signed, asked(signed), author=t.WRITER, now=t.NOW))
    words = said(tmp_path / "look.pdf")
    assert "01-summary-2026-03-03.pdf" in words
    assert "the answers as tables (CSV)" in words
    assert (signed.journal(), issued(signed)) == before


def test_the_tables_say_how_much_is_in_them(signed: Store, tmp_path: Path) -> None:
    give(signed, tmp_path / "ida", asked(signed))
    answers = (tmp_path / "ida" / "tables-answers.csv").read_text("utf-8")
    rows = list(csv.reader(io.StringIO(answers)))
    assert len(rows) > 20
