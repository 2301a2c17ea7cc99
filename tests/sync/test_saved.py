"""A sealed paper for a provider carries its open record, lies beside it when saved, and is whole or not there."""

from __future__ import annotations

import errno
import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from forms.answers import Quantity
from forms.ask import Paper
from forms.chart import Chart
from forms.closing import Closing
from forms.consent import Release
from forms.papers.referral import NoRelease
from forms.report import ProviderReport
from forms.trouble import Unresolved
from storage.store import Store
from sync.handoff.document import NoRecord
from sync.handoff.how_to_check import guide_beside
from sync.handoff.inside import RECORD, SIGNATURE, beside
from sync.handoff.leave import make_paper
from sync.handoff.saved import NotSaved, save_paper
from sync.handoff.seals import make_seals, seal_of
from tests.forms.papers.test_family_plan import disputed
from tests.helpers import thornbury as t
from tests.helpers.records import carried_inside, openssl_takes
from tests.helpers.stores import new_store
from tests.sync.test_leave import issued, written

FOR_PROVIDERS = [
    (Paper.REFERRAL, {"referral": t.LETTER}), (Paper.REPORT, {"person": t.IDA}), (Paper.SUMMARY, {"person": t.IDA}),
    (Paper.SUMMARY, {"person": t.MARA}),
]  # fmt: skip


def reported() -> Chart:
    return t.whole(
        t.entry(ProviderReport, t.IDA, must_know="Slow weight gain.", asked="Please weigh her again.",
                asked_by=date(2026, 3, 5), would_change="Less than 20 g a day."),
        t.entry(Release, t.IDA, named="reports", visit=None, recipient=t.DOCTOR, scope=("report",),
                given_at=t.local(3, 11), valid_from=date(2026, 3, 3), valid_until=date(2026, 9, 3)),
    )  # fmt: skip


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    made = new_store(tmp_path_factory.mktemp("signed") / "store").store
    written(made, reported())
    make_seals(made, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=t.NOW)
    made.sign(t.VISIT, author=t.WRITER)
    yield made
    made.close()


def made(store: Store, kind: Paper, chart: Chart | None = None, **more: str) -> bytes:
    chart = chart or store.chart(t.FAMILY, t.VISIT)
    return make_paper(store, chart, kind, author=t.WRITER, now=t.NOW, **more)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def letter(store: Store) -> bytes:
    return made(store, Paper.REFERRAL, referral=t.LETTER)


@pytest.mark.parametrize(("kind", "more"), FOR_PROVIDERS)
def test_pdfdetach_takes_out_the_record_that_lies_beside_and_openssl_holds_its_signature_true_until_a_byte_is_changed(
    store: Store, kind: Paper, more: dict[str, Any], tmp_path: Path
) -> None:
    paper = made(store, kind, **more)
    place = tmp_path / "paper.pdf"
    laid = save_paper(place, paper)
    inside = carried_inside(paper, tmp_path / "inside")
    assert inside == {RECORD: laid[0].read_bytes(), SIGNATURE: laid[1].read_bytes()}
    data, signature = inside[RECORD], inside[SIGNATURE]
    assert openssl_takes(data, signature, tmp_path)
    at = data.index(b"Thornbury")
    assert not openssl_takes(data[:at] + b"t" + data[at + 1 :], signature, tmp_path)
    bundle = json.loads(data)
    assert (bundle["resourceType"], bundle["type"]) == ("Bundle", "document")
    assert place.read_bytes() == paper


def test_the_root_that_comes_with_the_signature_is_the_practices_own(store: Store, letter: bytes) -> None:
    from cryptography.hazmat.primitives.serialization import Encoding
    from cryptography.hazmat.primitives.serialization.pkcs7 import load_der_pkcs7_certificates

    signature = beside(Path("letter.pdf"), letter)[Path("letter.fhir.json.p7s")]
    kept = seal_of(store, t.WRITER, name="Rowan Vale", now=t.NOW).root
    assert kept in [one.public_bytes(Encoding.DER) for one in load_der_pkcs7_certificates(signature)]


def test_a_conflicted_answer_stops_the_paper_and_nothing_is_filed(store: Store) -> None:
    two = disputed(Quantity("2680", "g", 2680), Quantity("2690", "g", 2690))
    chart = t.changed(store.chart(t.FAMILY, t.VISIT), "w2", weight=two)
    before = len(issued(store))
    for kind, more in FOR_PROVIDERS[:3]:
        with pytest.raises(Unresolved):
            made(store, kind, chart, **more)
    assert len(issued(store)) == before


def test_a_conflict_that_no_page_prints_but_the_record_tells_stops_the_paper_too(store: Store) -> None:
    """The clothes of a weight stand in the record alone."""
    two = disputed("bare", "clothes")
    chart = t.changed(store.chart(t.FAMILY, t.VISIT), "w2", state=two)
    before = len(issued(store))
    with pytest.raises(Unresolved):
        made(store, Paper.REFERRAL, chart, referral=t.LETTER)
    assert len(issued(store)) == before


def test_a_record_with_a_fault_lets_nothing_leave(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sync.handoff.document.problems", lambda _: ("entry 3: a reference leads nowhere",))
    before = len(issued(store))
    with pytest.raises(NoRecord, match="leads nowhere"):
        made(store, Paper.SUMMARY, person=t.IDA)
    assert len(issued(store)) == before


def test_a_familys_plan_carries_its_words_and_only_how_to_check_it_lies_beside(store: Store, tmp_path: Path) -> None:
    paper = made(store, Paper.FAMILY_PLAN)
    assert save_paper(tmp_path / "plan.pdf", paper) == (tmp_path / "plan.how-to-check.txt",)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["plan.how-to-check.txt", "plan.pdf"]
    assert set(carried_inside(paper, tmp_path / "inside")) == {"family_plan.txt"}


def _held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


@pytest.mark.parametrize("replaced", [1, 2, 3, 4])
@pytest.mark.parametrize("older", [True, False])
def test_a_fault_at_any_of_the_four_files_leaves_the_place_as_it_was(
    store: Store, letter: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, replaced: int, older: bool
) -> None:
    place = tmp_path / "letter.pdf"
    if older:
        save_paper(place, made(store, Paper.SUMMARY, person=t.IDA))
    before, count, real = _held(tmp_path), 0, Path.replace

    def full(part: Path, target: Path) -> Path:
        nonlocal count
        count += 1
        if count == replaced:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(part, target)

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(NotSaved, match="No space left on device"):
        save_paper(place, letter)
    assert _held(tmp_path) == before


def test_another_file_of_the_records_name_is_not_replaced_and_she_is_told(letter: bytes, tmp_path: Path) -> None:
    (tmp_path / "letter.fhir.json").write_text("mine")
    with pytest.raises(NotSaved, match=r"letter\.fhir\.json is there already\. Choose another place"):
        save_paper(tmp_path / "letter.pdf", letter)
    assert _held(tmp_path) == {"letter.fhir.json": b"mine"}


def test_a_paper_saved_over_another_takes_the_others_record_away(store: Store, letter: bytes, tmp_path: Path) -> None:
    place = tmp_path / "letter.pdf"
    save_paper(place, letter)
    newer = made(store, Paper.SUMMARY, person=t.MARA)
    laid = save_paper(place, newer)
    assert {path: path.read_bytes() for path in laid} == {**beside(place, newer), **guide_beside(place, newer)}
    save_paper(place, b"%PDF-1.7 without a record")
    assert [path.name for path in tmp_path.iterdir()] == ["letter.pdf"]


def test_only_the_owner_can_read_what_is_laid_beside(letter: bytes, tmp_path: Path) -> None:
    for path in save_paper(tmp_path / "letter.pdf", letter):
        assert path.stat().st_mode & 0o777 == 0o600


def test_a_release_withdrawn_blocks_letter_report_and_closing_letter_and_their_records(store: Store) -> None:
    chart = store.chart(t.FAMILY, t.VISIT)
    for kind, more, name in (
        (Paper.REFERRAL, {"referral": t.LETTER}, "release"),
        (Paper.REPORT, {"person": t.IDA}, "reports"),
        (Paper.CLOSING, {"person": t.IDA}, "reports"),
    ):
        ended = t.entry(Closing, named="ends", visit=None, reason="goal_met", covers=(t.MARA, t.IDA), goal_words="Met.")
        withdrawn = t.changed(chart.with_entry(ended), name, withdrawn_at=t.local(3, 11, 30))
        before = len(issued(store))
        with pytest.raises(NoRelease, match="There is no release to"):
            made(store, kind, withdrawn, **more)
        assert len(issued(store)) == before
