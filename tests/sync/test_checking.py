"""What is told of a paper from anywhere: each state by a real file, never more trust than was earned."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from forms.ask import Path as Field
from forms.chart import Place
from forms.known_sender import KnownSender, packed
from storage.changes import Begin, Put, StrikeOut
from storage.store import Store
from sync.handoff.checking import Checked, PaperTooLarge, PaperUnread, check_bytes, check_file
from sync.handoff.known_senders import OWN, known_roots, known_senders
from sync.handoff.seals import make_seals, own_root
from sync.handoff.verify import NeedsPassword, NotAPaper, State
from tests.helpers import checked_papers as papers
from tests.helpers import thornbury as t
from tests.helpers.stores import new_store

LINDEN = papers.practice()
TRUSTED = {LINDEN.seal.root: "Linden Row"}
NOBODY: dict[bytes, str] = {}


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    kept = new_store(tmp_path / "store").store
    make_seals(kept, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=t.NOW)
    yield kept
    kept.close()


def add(store: Store, entity: str, root: bytes, called: str = "Linden Row") -> None:
    answers = {"called": called, "compared": "phone", "root": packed(root)}
    store.write(
        [
            Begin(entity, Place(KnownSender.name)),
            *(Put(entity, Field(field), value) for field, value in answers.items()),
        ],
        author=t.WRITER,
    )


def misfits(checked: Checked) -> set[str]:
    return {one.why for one in checked.inside if not one.fits}


def test_the_own_root_is_always_known(store: Store) -> None:
    paper = papers.own_paper(store, t.WRITER, t.NOW)
    checked = check_bytes(paper, known_senders(store))
    assert (checked.verdict.state, checked.verdict.known, checked.sender) == (State.WHOLE, True, OWN)
    assert known_roots(store) == (own_root(store),)


def test_a_second_practice_is_unknown_until_it_is_added_and_unknown_again_once_it_is_struck_out(store: Store) -> None:
    paper = papers.paper_of(LINDEN)
    before = check_bytes(paper, known_senders(store))
    assert before.verdict.good
    assert not before.verdict.known
    assert before.sender == ""
    assert before.can_be_added
    add(store, "5e4de5" * 5 + "00", before.verdict.issuer)
    after = check_bytes(paper, known_senders(store))
    assert (after.verdict.known, after.sender, after.can_be_added) == (True, "Linden Row", False)
    assert set(known_roots(store)) == {own_root(store), LINDEN.seal.root}
    store.write([StrikeOut("5e4de5" * 5 + "00", "they closed")], author=t.WRITER)
    assert not check_bytes(paper, known_senders(store)).verdict.known
    kept = [e for e in store.practice_entries() if isinstance(e.answers, KnownSender)]
    assert [e.struck.reason for e in kept if e.struck is not None] == ["they closed"]


def test_a_sender_whose_certificate_no_reader_takes_is_not_trusted_and_stops_nothing(store: Store) -> None:
    add(store, "badbad" * 5 + "00", b"no certificate at all", called="Broken")
    checked = check_bytes(papers.paper_of(LINDEN), known_senders(store))
    assert checked.verdict.good
    assert not checked.verdict.known


def test_a_stranger_with_the_very_names_of_a_known_sender_is_unknown_and_told_apart() -> None:
    paper = papers.paper_of(papers.practice(keys="another"))
    checked = check_bytes(paper, TRUSTED)
    assert checked.verdict.good
    assert not checked.verdict.known
    assert (checked.sender, checked.namesake) == ("", "Linden Row")
    assert "Take care" in checked.words()


@pytest.mark.parametrize("how", ["flipped", "appended"])
def test_a_changed_paper_of_a_known_sender_is_changed_and_nothing_inside_is_called_fitting(how: str) -> None:
    checked = check_bytes(papers.spoiled(papers.paper_of(LINDEN), how), TRUSTED)
    assert checked.verdict.state is State.CHANGED
    assert not checked.can_be_added
    assert checked.namesake == ""
    assert not any(one.fits for one in checked.inside)


@pytest.mark.parametrize("how", ["cut", "blanked"])
def test_a_paper_whose_seal_is_broken_is_damaged_and_not_called_unsealed(how: str) -> None:
    assert check_bytes(papers.spoiled(papers.paper_of(LINDEN), how), TRUSTED).verdict.state is State.DAMAGED


def test_a_paper_sealed_after_its_certificate_ended_is_told_apart_from_a_changed_one() -> None:
    checked = check_bytes(papers.expired(), TRUSTED)
    assert checked.verdict.state is State.EXPIRED
    assert not checked.can_be_added
    assert checked.namesake == ""
    assert all(one.fits for one in checked.inside)


def test_an_unsealed_paper_is_that_and_no_more() -> None:
    checked = check_bytes(papers.unsealed(), TRUSTED)
    assert checked.verdict.state is State.UNSEALED
    assert checked.inside == ()


def test_a_record_that_fits_is_said_to_fit_and_each_other_is_not() -> None:
    seal, other = LINDEN.seal, papers.practice(keys="another").seal
    fitting = check_bytes(papers.paper_of(LINDEN), TRUSTED)
    assert [(one.name, one.fits) for one in fitting.inside] == [
        ("record.fhir.json", True),
        ("record.fhir.json.p7s", True),
    ]
    assert fitting.inside[0].size > 10_000
    by_other = check_bytes(papers.sealed_by(seal, record_seal=other), TRUSTED)
    assert misfits(by_other) == {"The record was signed by somebody else than the paper."}
    older = papers.sealed_by(seal, record=b'{"resourceType": "Bundle", "timestamp": "2026-03-02T12:00:00-05:00"}')
    assert misfits(check_bytes(older, TRUSTED)) == {"The record is not of the same time as the paper."}
    twice = papers.sealed_by(seal, record=b'{"timestamp": "a", "timestamp": "b"}')
    assert "two values under one name" in next(iter(misfits(check_bytes(twice, TRUSTED))))


def test_a_paper_without_its_root_is_whole_and_offers_nobody_to_be_added() -> None:
    checked = check_bytes(papers.without_root(), NOBODY)
    assert checked.verdict.good
    assert not checked.verdict.known
    assert not checked.can_be_added
    assert check_bytes(papers.without_root(), TRUSTED).verdict.known


def test_a_locked_paper_asks_for_its_password_and_is_told_with_it() -> None:
    with pytest.raises(NeedsPassword):
        check_bytes(papers.locked_paper(), TRUSTED)
    with pytest.raises(NeedsPassword):
        check_bytes(papers.locked_paper(), TRUSTED, "another-one")
    checked = check_bytes(papers.locked_paper(), TRUSTED, papers.PASSWORD)
    assert (checked.verdict.good, checked.sender) == (True, "Linden Row")
    assert all(one.fits for one in checked.inside)


def test_49_mb_a_folder_a_pipe_and_a_file_that_is_not_there_are_one_sentence_each(tmp_path: Path) -> None:
    large, text = tmp_path / "large.pdf", tmp_path / "list.pdf"
    large.write_bytes(papers.paper_of(LINDEN) + b"\0" * 49_000_000)
    text.write_text("a shopping list")
    with pytest.raises(PaperTooLarge, match=r"large\.pdf is larger than 48 MB"):
        check_file(large, TRUSTED)
    with pytest.raises(NotAPaper):
        check_file(text, TRUSTED)
    os.mkfifo(tmp_path / "pipe.pdf")
    for place in (tmp_path, tmp_path / "gone.pdf", tmp_path / "pipe.pdf"):
        with pytest.raises(PaperUnread, match="could not be read"):
            check_file(place, TRUSTED)


def test_what_a_stranger_wrote_into_names_stays_on_one_line_and_turns_no_letters() -> None:
    from tests.sync.conftest import shelf_seal

    seal = shelf_seal("Linden\nRow \u202eecived", "Hazel")
    checked = check_bytes(papers.sealed_by(seal), TRUSTED)
    assert checked.verdict.certificate is not None
    told = checked.verdict.certificate.subject
    assert "\n" not in told
    assert "\u202e" not in told
