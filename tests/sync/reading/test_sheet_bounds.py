"""Hostile sheets are each refused with one sentence, or bounded, in flat memory and without looking at anything twice."""

from __future__ import annotations

import tracemalloc
import zlib
from collections.abc import Callable
from io import BytesIO
from typing import Any

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pikepdf import Array, Dictionary, Name, String

from forms.trouble import Trouble
from sync.handoff.reading.fields import LARGEST_FORM, LONGEST_VALUE, MOST_FIELDS, fields_of
from sync.handoff.reading.held import HandOver, Standing
from sync.handoff.reading.pdf_bounds import within_bounds
from sync.handoff.reading.read import read_file
from sync.handoff.reading.troubles import (
    NoRecordInside,
    NotReadable,
    PackedTightly,
    TangledForm,
    TooLarge,
    TooManyFields,
)
from sync.handoff.verify import NeedsPassword
from tests.helpers import thornbury as t
from tests.helpers.filled_sheet import blank, fields_in, filled, saved


def read(data: bytes, password: str | None = None) -> HandOver:
    return read_file(data, zone=t.ZONE, now=t.NOW, password=password)


def changed(change: Callable[[pikepdf.Pdf, Any], object]) -> bytes:
    """A filled sheet after somebody laid hands on its form."""
    with pikepdf.open(BytesIO(filled({"parent.phone": "555 0100"}))) as pdf:
        change(pdf, pdf.Root.AcroForm)
        return saved(pdf, stream_decode_level=pikepdf.StreamDecodeLevel.none, compress_streams=False)


def in_a_circle(pdf: pikepdf.Pdf, form: Any) -> None:
    group = form.Fields[0]
    group.Kids.append(group)


def through_another(pdf: pikepdf.Pdf, form: Any) -> None:
    one, other = (pdf.make_indirect(Dictionary(T=String(name))) for name in "ab")
    one.Kids, other.Kids = Array([other]), Array([one])
    form.Fields.append(one)


def twice_the_same(pdf: pikepdf.Pdf, form: Any) -> None:
    form.Fields.append(form.Fields[0])


def deep(pdf: pikepdf.Pdf, form: Any) -> None:
    node = pdf.make_indirect(Dictionary(FT=Name.Tx, T=String("a"), V=String("1")))
    for _ in range(40):
        node = pdf.make_indirect(Dictionary(T=String("a"), Kids=Array([node])))
    form.Fields.append(node)


def many(pdf: pikepdf.Pdf, form: Any) -> None:
    form.Fields = Array([Dictionary(FT=Name.Tx, T=String("parent.phone"), V=String("1"))] * (MOST_FIELDS + 1))


def many_below(pdf: pikepdf.Pdf, form: Any) -> None:
    for _ in range(8):
        kids = Array([Dictionary(T=String("x"))] * 300)
        form.Fields.append(pdf.make_indirect(Dictionary(T=String("g"), Kids=kids)))


def many_widgets(pdf: pikepdf.Pdf, form: Any) -> None:
    for _ in range(8):
        kids = Array([Dictionary(Subtype=Name.Widget)] * 300)
        form.Fields.append(pdf.make_indirect(Dictionary(FT=Name.Btn, T=String("g"), Kids=kids)))


def many_values(pdf: pikepdf.Pdf, form: Any) -> None:
    fields_in(pdf)["parent.phone"].V = Array([String("1")] * 60_000)


def many_looks(pdf: pikepdf.Pdf, form: Any) -> None:
    seen = fields_in(pdf)["infant_history.fed_now:formula"].AP.N
    for number in range(200):
        seen[f"/look{number}"] = seen["/Off"]


def packed_value(pdf: pikepdf.Pdf, form: Any) -> None:
    packer = zlib.compressobj(9)
    stream = pdf.make_stream(b"")
    stream.write(
        b"".join(packer.compress(b"a" * 1_000_000) for _ in range(200)) + packer.flush(), filter=Name.FlateDecode
    )
    fields_in(pdf)["parent.phone"].V = stream


HOSTILE: dict[str, tuple[Callable[[pikepdf.Pdf, Any], object], type[NotReadable]]] = {
    "a group inside itself": (in_a_circle, TangledForm),
    "two fields inside each other": (through_another, TangledForm),
    "one group twice": (twice_the_same, TangledForm),
    "forty groups inside each other": (deep, TangledForm),
    "too many fields": (many, TooManyFields),
    "too many fields in groups": (many_below, TooManyFields),
    "too many boxes": (many_widgets, TooManyFields),
    "a list of sixty thousand values": (many_values, TooManyFields),
    "a box with two hundred looks": (many_looks, TooManyFields),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_sheet_is_refused_with_a_sentence_of_its_own(name: str) -> None:
    change, why = HOSTILE[name]
    data = changed(change)
    tracemalloc.start()
    try:
        with pytest.raises(NotReadable) as refused:
            read(data)
        assert tracemalloc.get_traced_memory()[1] < 60_000_000
    finally:
        tracemalloc.stop()
    assert type(refused.value) is why
    assert refused.value.sentence.endswith(".")


def test_an_answer_that_unpacks_to_200_megabytes_is_no_answer_and_takes_no_memory() -> None:
    data = changed(packed_value)
    tracemalloc.start()
    try:
        (one,) = read(data).offers
        assert tracemalloc.get_traced_memory()[1] < 20_000_000
    finally:
        tracemalloc.stop()
    assert (one.value, one.words) == (None, "")
    assert "all of it is in the file" in one.only_shown


def bomb(megabytes: int, more: bytes = b"", ends: bytes = b"stream\n") -> bytes:
    """A PDF whose own parts lie in a packed stream that comes to so much: nothing can be opened without unpacking it."""
    packer = zlib.compressobj(9)
    inner = b"1 0 2 40 " + b"<</Type/Catalog/Pages 2 0 R>>".ljust(40) + b"<</Type/Pages/Kids[]/Count 0>>"
    data = (
        packer.compress(inner) + b"".join(packer.compress(b" " * 1_000_000) for _ in range(megabytes)) + packer.flush()
    )
    out = BytesIO()
    out.write(b"%PDF-1.7\n")
    first = out.tell()
    out.write(b"3 0 obj\n<</Type/ObjStm/N 2/First 9/Filter/FlateDecode/Length %d%s>>%s" % (len(data), more, ends))
    out.write(data + b"\nendstream\nendobj\n")
    last = out.tell()
    rows = [(0, 0, 0), (2, 3, 0), (2, 3, 1), (1, first, 0), (1, last, 0)]
    table = b"".join(bytes([kind]) + at.to_bytes(3) + bytes([which]) for kind, at, which in rows)
    out.write(b"4 0 obj\n<</Type/XRef/Size 5/W[1 3 1]/Root 1 0 R/Length %d>>stream\n" % len(table))
    out.write(table + b"\nendstream\nendobj\nstartxref\n%d\n%%%%EOF\n" % last)
    return out.getvalue()


def test_a_pdf_whose_own_parts_unpack_to_hundreds_of_megabytes_is_not_opened() -> None:
    with pytest.raises(NoRecordInside):
        read(bomb(1))
    assert len(bomb(150)) < 200_000
    with pytest.raises(TooLarge):
        read(bomb(150))


@pytest.mark.parametrize("ends", [b"stream\n", b"stream\r", b"stream \n", b"stream   \r\n"])
@pytest.mark.parametrize("more", [b"", b"/X/obj", b"/X" + b" " * 5_000 + b"/obj", b"/X(4 0 obj)"])
def test_no_way_of_writing_it_hides_a_stream_of_packed_parts(more: bytes, ends: bytes) -> None:
    with pytest.raises(TooLarge):
        within_bounds(bomb(20, more, ends))


def test_a_pdf_whose_table_of_parts_is_lost_is_refused() -> None:
    whole = filled({"parent.phone": "555 0100"})
    with pytest.raises(NotReadable):
        read(whole.replace(b"startxref", b"startxxxx"))


def body(inner: bytes) -> bytes:
    """A PDF whose table of parts is lost, so that a reader would go through all of it."""
    return b"%PDF-1.7\n" + inner


PACKED = zlib.compress(b"[]" * 250_000, 9)


@pytest.mark.parametrize(("inner", "why"), [
    (b"1 0 obj\n<</A[" + b"[]" * 500_000 + b"]>>endobj\n", TooLarge),
    (b"1 0 obj\n" + b"<<" * 500_000, TooLarge),
    (b"1 0 obj<</First 1>>stream\n" + PACKED + b"\nendstream endobj\n" + b"2 0 obj<</#46irst 1>>stream\n" + PACKED, TooLarge),
    (b"stream\n" * 60_000, TooLarge),
    (b"1 0 obj<</First 1/Filter/LZWDecode>>stream\n", PackedTightly),
])  # fmt: skip
def test_a_pdf_of_more_parts_than_any_paper_is_refused_before_it_is_opened(inner: bytes, why: type[Trouble]) -> None:
    with pytest.raises(Trouble) as refused:
        read(body(inner))
    assert type(refused.value) is why


def test_a_large_picture_or_attachment_is_no_packed_part_and_counts_for_nothing() -> None:
    with pikepdf.open(BytesIO(filled({"parent.phone": "555 0100"}))) as pdf:
        pdf.Root.Seen = pdf.make_stream(bytes(30_000_000), Subtype=Name("/image/raw"))
        (one,) = read(saved(pdf)).offers
    assert one.value == "555 0100"


def test_reading_leaves_the_bounds_of_the_library_as_they_were() -> None:
    before = pikepdf.settings.get_qpdf_limits()
    for data in (blank(), bomb(1), b"%PDF-1.7\n"):
        try:
            read(data)
        except Trouble:  # what is left behind counts here, also by a refusal
            continue
    assert pikepdf.settings.get_qpdf_limits() == before


def test_a_sheet_that_is_locked_asks_for_its_password_and_opens_with_it() -> None:
    with pikepdf.open(BytesIO(filled({"parent.phone": "555 0100"}))) as pdf:
        locked = saved(pdf, encryption=pikepdf.Encryption(user="four plain words", owner="x", R=6))
    with pytest.raises(NeedsPassword):
        read(locked)
    with pytest.raises(NeedsPassword):
        read(locked, "another")
    (one,) = read(locked, "four plain words").offers
    assert one.value == "555 0100"


def test_a_pdf_over_the_bound_is_not_searched_for_fields() -> None:
    with pikepdf.open(BytesIO(blank())) as pdf:
        pdf.Root.Seen = pdf.make_stream(b"\n%" + b" " * LARGEST_FORM)
        large = saved(pdf, stream_decode_level=pikepdf.StreamDecodeLevel.none, compress_streams=False)
    with pytest.raises(NoRecordInside):
        read(large)
    with pytest.raises(TooLarge):
        fields_of(large)


def odd_types(pdf: pikepdf.Pdf, form: Any) -> None:
    held = fields_in(pdf)
    held["parent.phone"].V = Dictionary(A=1)
    held["parent.full_name"].V = True
    held["parent.language"].V = Array([Array([String("x")])])
    held["infant_history.wets_24h"].V = 6
    held["parent_history.labour"].V = Array([Name.induced, Name.none])
    held["parent_history.medicines"].V = pdf.make_stream(b"drops")
    packed = held["parent_history.goal"].V = pdf.make_stream(b"")
    packed.write(b"\x80\x0b\x60", filter=Name.LZWDecode)
    held["infant_history.fed_now:formula"].AP = String("none")
    held["infant_history.fed_now:formula"].AS = 3


def test_values_of_kinds_no_field_has_are_told_in_words_only_and_a_number_or_a_long_text_is_read() -> None:
    found = {one.id: one for one in read(changed(odd_types)).offers}
    assert len(found) == 8
    assert {key: one.value for key, one in found.items() if one.is_answer} == {
        "infant_history.wets_24h": 6, "parent_history.medicines": "drops",
    }  # fmt: skip
    assert all(one.only_shown for key, one in found.items() if not one.is_answer)


def odd_tree(pdf: pikepdf.Pdf, form: Any) -> None:
    form.Fields.append(String("a"))
    form.Fields.append(Dictionary())
    form.Fields.append(Dictionary(T=7, Kids=String("x")))
    form.Fields.append(Dictionary(T=String("n" * 100_000), V=String("x"), FT=3))
    form.Fields[0].Kids.append(Dictionary(Subtype=Name.Widget))


def test_a_tree_with_parts_that_are_none_is_read_around_them() -> None:
    found = read(changed(odd_tree))
    assert [one.value for one in found.offers] == ["555 0100"]
    assert max(len(one.id) for one in found.unread) <= 201


@pytest.mark.parametrize("given_", [None, String("x"), Array([]), Dictionary()])
def test_fields_that_are_no_list_of_fields_make_no_sheet(given_: Any) -> None:
    def change(_pdf: pikepdf.Pdf, form: Any) -> None:
        if given_ is None:
            del form["/Fields"]
        else:
            form["/Fields"] = given_

    with pytest.raises(NoRecordInside):
        read(changed(change))


_SPOILT = filled({"parent.phone": "555 0100", "infant_history.fed_now": ("formula",)})


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, len(_SPOILT) - 1), st.binary(min_size=1, max_size=6)), min_size=1, max_size=12)
)
def test_a_sheet_spoilt_anywhere_is_read_or_refused_in_a_sentence(spots: list[tuple[int, bytes]]) -> None:
    spoilt = bytearray(_SPOILT)
    for at, some in spots:
        spoilt[at : at + len(some)] = some
    try:
        assert read(bytes(spoilt)).sender.standing is Standing.SHEET
    except Trouble:  # a refusal is the other good end; anything else ends the test
        return


_TOKENS = st.binary(max_size=60).map(String) | st.sampled_from([Name.Off, Name.yes, Name("/-"), 0, -3, True, Array([])])


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(st.sampled_from(sorted(["parent.phone", "infant.born", "parent_history.labour",
    "infant_history.fed_now:formula", "infant_history.wets_24h", "parent_history.medicines"])), _TOKENS))  # fmt: skip
def test_any_value_in_a_field_is_an_answer_words_or_nothing_and_can_be_kept(values: dict[str, Any]) -> None:
    def change(pdf: pikepdf.Pdf, _form: Any) -> None:
        for name, value in values.items():
            fields_in(pdf)[name].V = value

    for one in read(changed(change)).offers:
        one.words.encode()
        assert one.is_answer is (not one.only_shown)
        assert len(one.words) <= LONGEST_VALUE
