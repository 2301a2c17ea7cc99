"""A paper that leaves is filed byte for byte and written down; nothing else is written anywhere."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path

import pytest

from forms.answers import Side, Sided
from forms.ask import Paper, asks
from forms.ask import Path as At
from forms.chart import Chart, Place, entry_id
from forms.papers.calls import NoEmergencyNumber
from forms.papers.outline import SCOPE
from forms.papers.pictured import NoPictureLeft
from forms.papers.referral import NoRelease
from forms.pictures.all import pictures
from forms.plan import Plan
from forms.practice import Practice
from forms.referral import PaperIssued
from storage.changes import Begin, Change, Put, StrikeOut
from storage.store import Store
from storage.troubles import StudentSignsNot
from sync.handoff.leave import draw_paper, make_paper
from sync.handoff.saved import NotSaved, save_paper
from sync.handoff.seals import NoSeal, make_seals
from sync.handoff.verify import verify
from sync.handoff.way import Way
from tests.helpers import thornbury as t
from tests.helpers.stores import new_store
from tests.sync.conftest import Read


def written(store: Store, chart: Chart | None = None) -> None:
    changes: list[Change] = []
    for entry in (chart or t.whole()).entries:
        changes.append(Begin(entry.id, entry.place))
        for field in fields(entry.answers):
            value = getattr(entry.answers, field.name)
            if asks(type(entry.answers))[field.name].sides:
                assert isinstance(value, Sided)
                sides = ((Side.LEFT, value.left), (Side.RIGHT, value.right))
                changes += [Put(entry.id, At(field.name, side), one) for side, one in sides if one is not None]
            elif value is not None:
                changes.append(Put(entry.id, At(field.name), value))
    store.write(changes, author=t.WRITER)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = new_store(tmp_path / "store").store
    written(made)
    make_seals(made, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=t.NOW)
    yield made
    made.close()


def made(store: Store, kind: Paper, **more: str | tuple[str, str] | Way) -> bytes:
    chart = store.chart(t.FAMILY, t.VISIT)
    return make_paper(store, chart, kind, author=t.WRITER, now=t.NOW, **more)  # type: ignore[arg-type]


def test_a_picture_leaves_for_the_record_with_its_table_and_is_written_down(store: Store, read: Read) -> None:
    chart = store.chart(t.FAMILY, t.VISIT)
    maker = pictures(chart, t.IDA, t.NOW)[0]
    paper = made(store, Paper.SUMMARY, picture=(t.IDA, maker.key), way=Way("printed", "family"))
    text = " ".join(read(paper, "pdftotext", "FILE", "-").split())
    drawn = maker.draw(180)
    for words in (maker.title, SCOPE[Paper.SUMMARY].text, "Drawn before the note was signed.", *drawn.table.columns):
        assert words in text, words
    (left,) = issued(store)
    assert (left.paper, left.concerns, left.left_how) == ("summary", t.IDA, "printed")
    assert left.for_whom == f"the record, as a picture: {maker.title}"
    assert left.release is None


def test_a_picture_that_has_gone_makes_no_paper_and_writes_nothing(store: Store) -> None:
    with pytest.raises(NoPictureLeft, match="pick another"):
        made(store, Paper.SUMMARY, picture=(t.IDA, "gone"))
    assert issued(store) == []


def issued(store: Store) -> list[PaperIssued]:
    return [entry.answers for entry in store.chart(t.FAMILY, t.VISIT).all(PaperIssued)]


@pytest.mark.parametrize(("kind", "more"), [(Paper.FAMILY_PLAN, {}), (Paper.REFERRAL, {"referral": t.LETTER}),
                                            (Paper.CALL_NOW, {})])  # fmt: skip
def test_a_signed_notes_paper_is_sealed_filed_and_written_down(
    store: Store, kind: Paper, more: dict[str, str], read: Read
) -> None:
    store.sign(t.VISIT, author=t.WRITER)
    paper = made(store, kind, way=Way("printed", "family"), **more)
    said = read(paper, "pdfsig")
    assert "Signature is Valid." in said
    assert "Total document signed" in said
    assert verify(paper).good
    row = issued(store)[0]
    assert row.sha256 == hashlib.sha256(paper).hexdigest()
    assert store.attachment(str(row.sha256)) == paper
    assert (row.paper, row.left_how, row.before_finished) == (str(kind), "printed", False)
    assert row.for_whom == ("Dr Sorrel Quince" if kind is Paper.REFERRAL else "Mara and Jonas")
    if kind is Paper.REFERRAL:
        assert (row.concerns, row.referral, row.release) == (t.IDA, t.LETTER, "release")


def test_a_paper_of_an_unsigned_note_has_no_seal_and_says_so(store: Store, read: Read) -> None:
    paper = made(store, Paper.FAMILY_PLAN)
    assert verify(paper).problems == ("This file carries no seal.",)
    assert "Given before the note was finished." in read(paper, "pdftotext", "FILE", "-")
    assert issued(store)[0].before_finished is True


def test_what_a_student_charted_is_sealed_only_once_a_consultant_has_signed_it(store: Store, read: Read) -> None:
    changes: list[Change] = [Begin("tam", Place("practitioner"))]
    for field, value in (("full_name", "Tam Orrel"), ("practice_role", "student"), ("supervisor", "Rowan Vale")):
        changes.append(Put("tam", At(field), value))
    store.write(changes, author=t.WRITER)
    store.write([Put(entry_id(Plan, t.VISIT), At("went_well"), "She woke by herself.")], author="tam")
    for _try in range(2):
        paper = made(store, Paper.FAMILY_PLAN)
        assert verify(paper).problems == ("This file carries no seal.",)
        assert "Draft, not co-signed." in read(paper, "pdftotext", "FILE", "-")
        with pytest.raises(StudentSignsNot):
            store.sign(t.VISIT, author="tam")
    store.sign(t.VISIT, author=t.WRITER)
    paper = made(store, Paper.FAMILY_PLAN)
    told = " ".join(read(paper, "pdftotext", "FILE", "-").split())
    assert verify(paper).good
    assert "Draft" not in told
    assert "Part of this visit (the plan) was written down by Tam Orrel, a student who learns with Rowan Vale." in told
    assert "Rowan Vale checked it and signed." in told


def test_a_visit_that_was_signed_before_its_signer_was_written_down_as_a_student_carries_no_seal(
    store: Store, read: Read
) -> None:
    store.write([Begin("tam", Place("practitioner")), Put("tam", At("full_name"), "Tam Orrel")], author=t.WRITER)
    store.sign(t.VISIT, author="tam")
    store.write([Put("tam", At("practice_role"), "student")], author=t.WRITER)
    for paper in (made(store, Paper.FAMILY_PLAN), made(store, Paper.CALL_NOW)):
        assert verify(paper).problems == ("This file carries no seal.",)
        assert "Draft, not co-signed." in read(paper, "pdftotext", "FILE", "-")


def test_the_call_now_page_leaves_even_without_a_seal(tmp_path: Path) -> None:
    bare = new_store(tmp_path / "bare").store
    written(bare)
    bare.sign(t.VISIT, author=t.WRITER)
    assert made(bare, Paper.CALL_NOW)
    with pytest.raises(NoSeal):
        made(bare, Paper.FAMILY_PLAN)
    assert [row.paper for row in issued(bare)] == ["call_now"]
    bare.close()


def test_the_call_now_page_leaves_between_visits_and_is_in_the_journal(store: Store) -> None:
    paper = make_paper(store, store.chart(t.FAMILY), Paper.CALL_NOW, author=t.WRITER, now=t.NOW)
    assert any(line.kind == "paper issued" for line in store.journal())
    assert store.attachment(hashlib.sha256(paper).hexdigest()) == paper


def test_a_referral_without_its_release_leaves_no_trace(store: Store) -> None:
    store.write([StrikeOut("release", "withdrawn")], author=t.WRITER)
    with pytest.raises(NoRelease):
        made(store, Paper.REFERRAL, referral=t.LETTER)
    assert not issued(store)


def test_no_paper_leaves_without_an_emergency_number_and_nothing_is_written(store: Store) -> None:
    practice = next(entry for entry in store.practice_entries() if isinstance(entry.answers, Practice))
    store.write([Put(practice.id, At("emergency_number"), None)], author=t.WRITER)
    for kind in (Paper.FAMILY_PLAN, Paper.CALL_NOW):
        with pytest.raises(NoEmergencyNumber):
            made(store, kind)
    assert not issued(store)


def test_a_preview_files_nothing(store: Store) -> None:
    chart = store.chart(t.FAMILY, t.VISIT)
    assert draw_paper(chart, Paper.FAMILY_PLAN, author=t.WRITER, now=t.NOW).startswith(b"%PDF-1.7")
    assert not issued(store)


def test_changing_one_answer_in_the_store_changes_the_paper(store: Store, read: Read) -> None:
    before = read(made(store, Paper.FAMILY_PLAN), "pdftotext", "FILE", "-")
    store.write([Put("task2", At("what"), "Rest with both babies skin to skin.")], author=t.WRITER)
    after = read(made(store, Paper.FAMILY_PLAN), "pdftotext", "FILE", "-")
    assert "skin to skin" not in before
    assert "skin to skin" in after


def test_making_papers_writes_no_file_outside_the_store(store: Store, tmp_path: Path) -> None:
    store.sign(t.VISIT, author=t.WRITER)
    outside = {path for path in tmp_path.rglob("*") if "store" not in path.parts[len(tmp_path.parts)]}
    made(store, Paper.FAMILY_PLAN)
    assert {path for path in tmp_path.rglob("*") if "store" not in path.parts[len(tmp_path.parts)]} == outside


def test_a_paper_is_saved_whole_where_she_chose_or_not_at_all(tmp_path: Path) -> None:
    place = tmp_path / "plan.pdf"
    save_paper(place, b"first")
    save_paper(place, b"second")
    assert place.read_bytes() == b"second"
    assert place.stat().st_mode & 0o777 == 0o600
    with pytest.raises(NotSaved, match="a copy is kept"):
        save_paper(tmp_path / "gone" / "plan.pdf", b"x")
    assert [path.name for path in tmp_path.iterdir()] == ["plan.pdf"]
