"""The record lies in the sealed paper byte for byte, and its signature holds for a reader that knows nothing of us."""

from __future__ import annotations

import subprocess
from pathlib import Path

from forms.answers import Moment
from forms.papers.referral import referral
from sync.handoff.detached import sign_beside
from sync.handoff.document import record_bytes
from sync.handoff.inside import RECORD, SIGNATURE, beside, carried_by
from sync.handoff.letter import write_letter
from sync.handoff.seals import Seal
from sync.handoff.sign import sign_letter
from tests.helpers import thornbury as t
from tests.helpers.records import letter_record, openssl_takes


def test_openssl_takes_the_signature_and_refuses_one_changed_digit(seal: Seal, tmp_path: Path) -> None:
    data = record_bytes(letter_record(t.whole()))
    signature = sign_beside(data, seal)
    assert openssl_takes(data, signature, tmp_path, seal.root)
    assert data.count(b"2680")
    assert not openssl_takes(data.replace(b"2680", b"2690", 1), signature, tmp_path, seal.root)


def test_another_program_takes_the_record_out_of_the_paper_byte_for_byte(seal: Seal, tmp_path: Path) -> None:
    chart = t.whole()
    outline = referral(chart, t.LETTER, writer=t.WRITER, now=t.NOW)
    carried = carried_by(chart, outline, seal, author=t.WRITER, now=t.NOW, referral=t.LETTER)
    pages = write_letter(outline, made=t.NOW, sealed=True)
    paper = sign_letter(pages, seal, at=Moment(t.NOW, t.ZONE), who=outline.writer, record=carried)
    place = tmp_path / "letter.pdf"
    place.write_bytes(paper)
    subprocess.run(["pdfdetach", "-saveall", "-o", str(tmp_path), str(place)], check=True)
    for one in carried:
        assert (tmp_path / one.name).read_bytes() == one.data
    assert [one.name for one in carried] == [RECORD, SIGNATURE]
    laid = beside(place, paper)
    assert {path.name for path in laid} == {"letter.fhir.json", "letter.fhir.json.p7s"}
    assert list(laid.values()) == [one.data for one in carried]


def test_the_same_chart_at_the_same_moment_gives_the_same_bytes() -> None:
    assert record_bytes(letter_record(t.whole())) == record_bytes(letter_record(t.whole()))
