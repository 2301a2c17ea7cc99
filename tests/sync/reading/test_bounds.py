"""Hostile files are each refused with one sentence, quickly and without filling memory."""

from __future__ import annotations

import tracemalloc
import zlib
from decimal import Decimal
from io import BytesIO
from typing import Any

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from forms.ask import Paper
from forms.trouble import Trouble
from sync.handoff.document import record_bytes
from sync.handoff.inside import RECORD
from sync.handoff.reading.bounded import LARGEST, parsed
from sync.handoff.reading.held import HandOver
from sync.handoff.reading.opening import record_inside
from sync.handoff.reading.read import read_file
from sync.handoff.reading.troubles import (
    BadNumber,
    BadText,
    BrokenRecord,
    NoRecordInside,
    NotAHandOver,
    NotReadable,
    PackedTightly,
    SaidTwice,
    TooDeep,
    TooLarge,
    WrongShape,
)
from sync.handoff.verify import NeedsPassword
from tests.helpers import thornbury as t
from tests.helpers.records import record

GOOD = record_bytes(record(t.whole(), Paper.SUMMARY))
HOSTILE = {
    "nested 200,000 lists deep": (b"[" * 200_000, TooDeep),
    "nested 65 objects deep": (b'{"a":' * 65 + b"1" + b"}" * 65, TooDeep),
    "NaN": (b'{"value":NaN}', BadNumber),
    "Infinity": (b'{"value":-Infinity}', BadNumber),
    "one name twice": (b'{"value":3420,"value":3520}', SaidTwice),
    "10,000 digits": (b'{"value":' + b"9" * 10_000 + b"}", BadNumber),
    "1e999999": (b'{"value":1e999999}', BadNumber),
    "1e-999999": (b'{"value":1e-999999}', BadNumber),
    "half a character": (b'{"text":"\\ud83d"}', BadText),
    "half a character as a name": (b'{"\\udc00":1}', BadText),
    "cut off": (GOOD[:-10], BrokenRecord),
    "no UTF-8": (b'{"text":"\xff"}', BrokenRecord),
    "a string without an end": (b'{"' + b'\\"' * 100_000, BrokenRecord),
    "a million empty lists": (b"[" + b"[]," * 1_000_000 + b"[]]", TooLarge),
    "more than 5 MB": (b'{"a":"' + b"a" * LARGEST + b'"}', TooLarge),
    "a list": (b"[]", WrongShape),
    "no bundle": (b'{"resourceType":"Patient"}', WrongShape),
    "entries that are none": (b'{"resourceType":"Bundle","entry":{"resource":{}}}', WrongShape),
    "a resource that is a list": (b'{"resourceType":"Bundle","entry":[{"resource":[]}]}', WrongShape),
    "rules of its own": (b'{"resourceType":"Bundle","implicitRules":"http://x.example"}', WrongShape),
    "nothing": (b"", NotAHandOver),
    "a picture": (b"\x89PNG\r\n", NotAHandOver),
}


def read(data: bytes) -> HandOver:
    return read_file(data, zone=t.ZONE, now=t.NOW)


def pdf_with(raw: bytes, **head: Any) -> bytes:
    """A PDF that carries a record in a stream packed already."""
    pdf = pikepdf.new()
    pdf.add_blank_page()
    stream = pdf.make_stream(b"")
    stream.write(raw, **head)
    stream.Type = pikepdf.Name.EmbeddedFile
    spec = pdf.make_indirect(pikepdf.Dictionary(
        Type=pikepdf.Name.Filespec, F=RECORD, UF=RECORD, EF=pikepdf.Dictionary(F=stream)
    ))  # fmt: skip
    pdf.Root.Names = pikepdf.Dictionary(EmbeddedFiles=pikepdf.Dictionary(Names=pikepdf.Array([RECORD, spec])))
    out = BytesIO()
    pdf.save(out, compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    return out.getvalue()


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_with_a_sentence_of_its_own(name: str) -> None:
    data, why = HOSTILE[name]
    with pytest.raises(NotReadable) as refused:
        read(data)
    assert type(refused.value) is why
    assert refused.value.sentence.endswith(".")


def test_a_bomb_of_200_megabytes_in_a_small_pdf_is_refused_in_flat_memory() -> None:
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(bytes(1_000_000)) for _ in range(200)) + packer.flush()
    bomb = pdf_with(packed, filter=pikepdf.Name.FlateDecode)
    assert len(bomb) < 400_000
    tracemalloc.start()
    try:
        with pytest.raises(TooLarge):
            read(bomb)
        assert tracemalloc.get_traced_memory()[1] < 4 * LARGEST
    finally:
        tracemalloc.stop()


def test_a_record_that_unpacks_to_exactly_the_limit_is_taken_out_and_one_byte_more_is_not() -> None:
    def packed(size: int) -> bytes:
        return pdf_with(zlib.compress(b"a" * size), filter=pikepdf.Name.FlateDecode)

    assert len(record_inside(packed(LARGEST))[0]) == LARGEST
    with pytest.raises(TooLarge):
        record_inside(packed(LARGEST + 1))


def test_a_record_packed_in_any_other_way_is_not_opened() -> None:
    for head in (
        {"filter": pikepdf.Name.LZWDecode},
        {"filter": pikepdf.Array([pikepdf.Name.FlateDecode, pikepdf.Name.FlateDecode])},
        {"filter": pikepdf.Name.FlateDecode, "decode_parms": pikepdf.Dictionary(Predictor=12)},
    ):
        with pytest.raises(PackedTightly):
            record_inside(pdf_with(zlib.compress(GOOD), **head))


def test_a_pdf_without_a_record_is_told_so(sealed: bytes) -> None:
    with pytest.raises(NoRecordInside):
        read(sealed)


def test_xml_with_entities_is_shown_as_text_and_never_parsed() -> None:
    bomb = b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b "ha"><!ENTITY c SYSTEM "file:///etc/hostname">]><a>&b;&c;</a>'
    found = read(bomb)
    assert found.media == "application/xml"
    assert (found.text, found.offers, found.people) == (bomb.decode(), (), ())


def test_numbers_keep_every_digit_as_written() -> None:
    held = parsed(b'{"a":3.50,"b":3420,"c":1e3,"d":"}]","e":[true,null]}')
    assert held == {"a": Decimal("3.50"), "b": 3420, "c": Decimal("1E+3"), "d": "}]", "e": [True, None]}
    assert str(held["a"]) == "3.50"


def test_brackets_inside_words_do_not_count_as_nesting() -> None:
    assert parsed(b'["' + b"[{" * 1_000 + b'\\"["]') == ["[{" * 1_000 + '"[']


_SPLICES = st.sampled_from((
    b"null", b"[]", b"{}", b"true", b'""', b"[[]]", b"-1", b"1e19", b'{"a":1}', b'"\\u0000"', b",", b'"', b"9" * 29,
))  # fmt: skip
_VALUE = [at + 1 for at, byte in enumerate(GOOD) if byte == ord(":") and GOOD[at - 1] == ord('"')]


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(_VALUE), st.integers(0, 30), _SPLICES), min_size=1, max_size=4))
def test_a_mutated_bundle_gives_a_reading_or_a_trouble_and_nothing_else(
    changes: list[tuple[int, int, bytes]],
) -> None:
    data = bytearray(GOOD)
    for at, gone, put in sorted(changes, reverse=True):
        data[at : at + gone] = put
    try:
        assert isinstance(read(bytes(data)), HandOver)
    except Trouble:  # a refusal is the other good end; anything else ends the test
        return


def test_a_locked_pdf_asks_for_its_password_and_is_read_with_it() -> None:
    with pikepdf.open(BytesIO(pdf_with(zlib.compress(GOOD), filter=pikepdf.Name.FlateDecode))) as pdf:
        out = BytesIO()
        pdf.save(out, encryption=pikepdf.Encryption(user="four plain words", owner="x", R=6))
    for password in (None, "another"):
        with pytest.raises(NeedsPassword):
            record_inside(out.getvalue(), password)
    assert record_inside(out.getvalue(), "four plain words")[0] == GOOD
