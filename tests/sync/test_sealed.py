"""A sealed paper is valid to strangers' readers, and any change to it is found."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from datetime import timedelta
from io import BytesIO
from pathlib import Path
from subprocess import run
from typing import Any

import pikepdf
import pytest
from pyhanko.pdf_utils.embed import EmbeddedFileObject, FileSpec, embed_file
from pyhanko.pdf_utils.generic import DictionaryObject, pdf_name, pdf_string
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

from forms.answers import Moment
from forms.trouble import Bug
from sync.handoff.seals import Seal
from sync.handoff.sign import Record, sign_letter
from sync.handoff.verify import NeedsPassword, NotAPaper, fingerprint, verify
from tests.helpers import thornbury as t
from tests.sync.conftest import Read, shelf_seal

BOTH = ("Signature is Valid.", "Total document signed")
UNCHANGED = "The document is unchanged since signing."


def test_a_strangers_reader_says_both_sentences(sealed: bytes, read: Read) -> None:
    said = read(sealed, "pdfsig")
    assert all(sentence in said for sentence in BOTH)
    assert "Signer Certificate Common Name: Rowan Vale" in said
    assert "ETSI.CAdES.detached" in said
    assert "SHA-256" in said


def test_a_second_strangers_reader_says_it_is_unchanged(sealed: bytes, read: Read) -> None:
    assert UNCHANGED in read(sealed, "mutool", "sign", "-v", "FILE")


def test_verify_says_who_when_with_which_certificate_and_what_is_inside(
    sealed: bytes, seal: Seal, record: Record
) -> None:
    verdict = verify(sealed, roots=(seal.root,))
    assert verdict.good
    assert verdict.known
    assert verdict.signer == "Rowan Vale, RN"
    assert verdict.at == t.NOW
    assert verdict.certificate is not None
    assert verdict.certificate.subject == "Rowan Vale, Tallow Lane Feeding Visits"
    assert verdict.root == fingerprint(seal.root)
    assert [(inside.name, inside.size) for inside in verdict.records] == [("family_plan.txt", len(record.data))]
    assert "every byte is as it was sealed" in verdict.words()
    assert json.loads(json.dumps(verdict.as_json()))["good"] is True


def test_an_unknown_root_is_whole_and_said_to_be_unknown(sealed: bytes) -> None:
    for roots in ((), (shelf_seal().root,)):
        verdict = verify(sealed, roots=roots)
        assert verdict.good
        assert not verdict.known
        assert "not known here" in verdict.words()


def test_the_words_inside_come_out_byte_for_byte(sealed: bytes, record: Record, tmp_path: Path) -> None:
    paper, out = tmp_path / "paper.pdf", tmp_path / "out.txt"
    paper.write_bytes(sealed)
    run(["pdfdetach", "-save", "1", "-o", str(out), str(paper)], check=True, capture_output=True)
    assert out.read_bytes() == record.data


def test_the_seal_is_seen_named_and_tagged(sealed: bytes, read: Read) -> None:
    page = read(sealed, "pdftotext", "FILE", "-")
    assert "Sealed by Rowan Vale, RN" in page
    assert "3 March 2026, 12:00 EST" in page
    assert "Form" in read(sealed, "pdfinfo", "-struct", "FILE")
    fonts = read(sealed, "pdffonts")
    assert "Helvetica" not in fonts
    with pikepdf.open(BytesIO(sealed)) as pdf:
        assert str(pdf.Root.AcroForm.Fields[0].TU) == "Seal of Rowan Vale, RN, lactation consultant"


def _flip(data: bytes, at: int) -> bytes:
    return data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :]


def _stream_at(data: bytes, marker: bytes) -> int:
    """A place inside the stream of the object in which the marker stands."""
    return data.index(b"stream", data.index(marker)) + 40


def flip_in_the_page(data: bytes) -> bytes:
    with pikepdf.open(BytesIO(data)) as pdf:
        number = pdf.pages[0].obj.Contents.objgen[0]
    return _flip(data, _stream_at(data, b"\n%d 0 obj" % number))


def flip_in_the_record(data: bytes) -> bytes:
    return _flip(data, _stream_at(data, b"/EmbeddedFile"))


def _appended(data: bytes, change: Callable[[Any], None]) -> bytes:
    writer: Any = IncrementalPdfFileWriter(BytesIO(data))
    out = BytesIO()
    change(writer)
    writer.write(out)
    return out.getvalue()


def white_box_over_the_page(data: bytes) -> bytes:
    from pyhanko.pdf_utils.generic import StreamObject

    def change(writer: Any) -> None:
        cover = writer.add_object(StreamObject(stream_data=b"1 g 0 0 600 790 re f"))
        writer.add_stream_to_page(0, cover)

    return _appended(data, change)


def second_attachment(data: bytes) -> bytes:
    def change(writer: Any) -> None:
        file = EmbeddedFileObject.from_file_data(writer, data=b"other", mime_type="text/plain")
        embed_file(writer, FileSpec(file_spec_string="b.txt", file_name="b.txt", embedded_data=file))

    return _appended(data, change)


def new_title(data: bytes) -> bytes:
    def change(writer: Any) -> None:
        made: Any = DictionaryObject
        info = made({pdf_name("/Title"): pdf_string("Another plan")})
        writer.set_info(writer.add_object(info))

    return _appended(data, change)


def comment_line(data: bytes) -> bytes:
    return data + b"\n% a line more\n"


def saved_again(data: bytes) -> bytes:
    out = BytesIO()
    with pikepdf.open(BytesIO(data)) as pdf:
        pdf.save(out)
    return out.getvalue()


TAMPERS = (flip_in_the_page, flip_in_the_record, white_box_over_the_page, second_attachment, new_title, comment_line,
           saved_again)  # fmt: skip


@pytest.mark.parametrize("tamper", TAMPERS)
def test_each_tamper_is_refused_by_us_and_never_passes_either_strangers_reader(
    tamper: Callable[[bytes], bytes], sealed: bytes, seal: Seal, read: Read
) -> None:
    changed = tamper(sealed)
    assert changed != sealed
    verdict = verify(changed, roots=(seal.root,))
    assert not verdict.good
    assert verdict.problems
    assert verdict.words().startswith("Do not rely on this file.")
    said = read(changed, "pdfsig")
    assert not all(sentence in said for sentence in BOTH)
    # Its exit code is 0 for a broken paper too, so only its words tell.
    told = read(changed, "mutool", "sign", "-v", "FILE")
    assert "Verifying signature" in told
    assert UNCHANGED not in told


def test_a_bit_flipped_anywhere_is_found(sealed: bytes, seal: Seal) -> None:
    container = sealed.index(b"<308")
    everywhere = range(3, len(sealed), len(sealed) // 41)
    within = range(container, container + 9000, 307)
    for at in (*everywhere, *within):
        assert not verify(_flip(sealed, at), roots=(seal.root,)).good, at


def _sentence(data: bytes) -> str:
    try:
        return verify(data).words()
    except NotAPaper as refused:
        return refused.sentence


def test_a_paper_torn_in_any_way_is_refused_in_a_sentence(sealed: bytes) -> None:
    dice = random.Random(7)
    for _ in range(80):
        torn = bytearray(sealed)
        for _ in range(dice.choice((1, 5, 60))):
            at, length = dice.randrange(len(torn)), dice.randrange(1, 200)
            match dice.randrange(3):
                case 0:
                    torn[at] = torn[at] ^ dice.randrange(1, 256)
                case 1:
                    del torn[at : at + length]
                case _:
                    torn[at:at] = torn[:length]
        assert _sentence(bytes(torn)).startswith(("Do not rely on this file.", "This file cannot be read"))


def test_a_paper_cut_short_is_found(sealed: bytes) -> None:
    assert not verify(sealed[:-1]).good
    assert not verify(sealed[: sealed.index(b"/ByteRange") + 200]).good
    with pytest.raises(NotAPaper):
        verify(sealed[: len(sealed) // 2])


def test_a_root_of_the_same_name_is_not_taken_for_the_known_one(drawn: bytes, seal: Seal, record: Record) -> None:
    forged = shelf_seal()
    paper = sign_letter(drawn, forged, at=Moment(t.NOW, t.ZONE), who="Rowan Vale, RN", record=record)
    verdict = verify(paper, roots=(seal.root,))
    assert verdict.good
    assert not verdict.known
    assert verdict.root == fingerprint(forged.root) != fingerprint(seal.root)


def test_a_seal_made_after_its_certificate_ended_does_not_leave(drawn: bytes, seal: Seal, record: Record) -> None:
    late = Moment(t.NOW + timedelta(days=800), t.ZONE)
    with pytest.raises(Bug):
        sign_letter(drawn, seal, at=late, who="Rowan Vale, RN", record=record)


def test_a_file_signed_again_by_somebody_else_is_refused(drawn: bytes, sealed: bytes) -> None:
    del drawn
    from pyhanko.sign import SimpleSigner
    from pyhanko.sign.signers.pdf_signer import PdfSignatureMetadata, PdfSigner

    other = SimpleSigner.load_pkcs12_data(shelf_seal().p12, other_certs=[], passphrase=None)
    out = BytesIO()
    writer = IncrementalPdfFileWriter(BytesIO(sealed))

    class Forger(PdfSigner):
        def _enforce_certification_constraints(self, reader: object) -> None:
            """A forger's program does not ask whether changes are allowed."""

    Forger(PdfSignatureMetadata(field_name="Other"), signer=other).sign_pdf(writer, output=out)
    assert not verify(out.getvalue()).good


def test_a_paper_without_a_seal_says_so(drawn: bytes) -> None:
    verdict = verify(drawn)
    assert not verdict.good
    assert verdict.problems == ("This file carries no seal.",)


@pytest.mark.parametrize("data", [b"", b"hello", b"%PDF-1.7\nnothing more", b"\x00" * 2000])
def test_what_is_no_pdf_is_not_judged(data: bytes) -> None:
    with pytest.raises(NotAPaper, match="cannot be read as a PDF"):
        verify(data)


def test_a_locked_paper_asks_for_its_password_and_is_judged_with_it(drawn: bytes) -> None:
    out = BytesIO()
    with pikepdf.open(BytesIO(drawn)) as pdf:
        pdf.save(out, encryption=pikepdf.Encryption(user="four plain words", owner="another"))
    for wrong in (None, "no"):
        with pytest.raises(NeedsPassword):
            verify(out.getvalue(), wrong)
    assert verify(out.getvalue(), "four plain words").problems == ("This file carries no seal.",)
