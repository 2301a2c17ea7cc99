"""A CSV is read row by row within bounds: ours of a feeding log, or what, value, unit and when; any other is refused."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from forms.answers import Quantity
from forms.feeding_log import LogLine
from forms.log_csv import LARGEST, MOST_ROWS, written_file
from forms.trouble import Trouble
from sync.handoff.reading.held import HandOver, Standing
from sync.handoff.reading.read import read_file
from sync.handoff.reading.troubles import BadTable, NoTable, NotAHandOver
from tests.helpers import thornbury as t


def read(rows: str | bytes) -> HandOver:
    return read_file(rows.encode() if isinstance(rows, str) else rows, zone=t.ZONE, now=t.NOW)


def test_each_row_is_one_fact_in_its_own_words() -> None:
    found = read('when,what,value,unit\n2026-03-01,Temperature,"37.10",Cel\n2026-03,Bilirubin,"180,5",umol/L\n\n')
    assert (found.media, found.sender.standing, found.unread) == ("text/csv", Standing.UNSIGNED, ())
    assert [(one.label, one.words, one.unit, one.at) for one in found.offers] == [
        ("Temperature", "37.10 Cel", "Cel", "2026-03-01"), ("Bilirubin", "180,5 umol/L", "umol/L", "2026-03"),
    ]  # fmt: skip
    assert not any(one.is_answer or one.barred for one in found.offers)


def test_a_row_still_to_come_is_doubted_and_other_columns_are_told_beside_it() -> None:
    (one,) = read("what;value;when;ward\nWeight;3400 g;2027-01-01;North\n").offers
    assert one.doubts == ("The file says 1 Jan 2027, which has not come yet.", "Beside it stands ward: North.")


def test_a_row_without_a_value_with_too_many_cells_or_a_control_character_is_left_unread_with_its_reason() -> None:
    found = read("what,value\nWeight,\nLength,50 cm,more\nHead,35\x07 cm\nTemperature,37\n")
    assert [one.label for one in found.offers] == ["Temperature"]
    assert [one.id for one in found.unread] == ["row 2", "row 3", "row 4"]
    assert all(one.why for one in found.unread)


def test_a_feeding_log_in_our_layout_gives_a_fact_for_each_line_with_all_its_cells() -> None:
    lines = (
        LogLine(kind="bottle", milk="own", amount=Quantity("60", "mL", 60), starts=t.local(3, 2, 10), wet=False),
        LogLine(kind="left", minutes_left=12, starts=t.local(3, 5, 0), note="sleepy, then awake"),
    )  # fmt: skip
    found = read(written_file(lines, {}))
    assert [one.at for one in found.offers] == ["2026-03-03 02:10", "2026-03-03 05:00"]
    assert "60 mL" in found.offers[0].label
    assert "Wet diaper: no" in found.offers[0].words
    assert "Note: sleepy, then awake" in found.offers[1].words


def test_a_line_of_a_log_that_cannot_be_read_is_told_with_its_column() -> None:
    found = read("Date,Time began,What it was\n2026-03-03,02:10,Bottle\n2026-03-03,25:61,Bottle\n")
    assert [one.id for one in found.unread] == ["row 3"]
    assert found.unread[0].why.startswith("Time began: ")


@pytest.mark.parametrize(("rows", "why"), [
    ("name,amount\nWeight,3400\n", NoTable),
    ("what,unit\nWeight,g\n", NoTable),
    ('what,value\n"Weight,3400\n', BadTable),
    ("what,value,value\nWeight,3400,3500\n", BadTable),
    (b"what,value\nWeight,3400 \xff\n", BadTable),
    (b"\xff\xfew\0h\0a\0t\0,\0", BadTable),
    ("what,value\n" + "Weight,1\n" * (MOST_ROWS + 1), BadTable),
    ("what,value\n" + "Weight," + "9" * LARGEST, BadTable),
    ("a line of words without any column", NotAHandOver),
])  # fmt: skip
def test_any_other_table_is_refused_in_one_sentence(rows: str | bytes, why: type[Trouble]) -> None:
    with pytest.raises(Trouble) as refused:
        read(rows)
    assert type(refused.value) is why
    assert refused.value.sentence.endswith(".")


@settings(max_examples=200, deadline=None)
@given(
    st.binary(max_size=60), st.sampled_from([b"what,value\n", b"what;value;when\n", b"Date,Time began,What it was\n"])
)
def test_any_bytes_under_known_headings_are_read_or_refused(rest: bytes, head: bytes) -> None:
    try:
        assert isinstance(read(head + rest), HandOver)
    except Trouble:  # a refusal is the other good end; anything else ends the test
        return


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(
    st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Z")), min_size=1, max_size=12),
    st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Z")), min_size=1, max_size=12),
), max_size=8))  # fmt: skip
def test_no_row_of_a_table_is_lost(rows: list[tuple[str, str]]) -> None:
    def cell(words: str) -> str:
        return f'"{words.replace(chr(34), chr(34) * 2)}"'

    text = "what,value\n" + "".join(f"{cell(what)},{cell(value)}\n" for what, value in rows)
    assert [(one.label, one.words) for one in read(text).offers] == rows
