"""A log in a file: what is read of it, each reason why a row or a file is not, and what is asked about doubles."""

from __future__ import annotations

from contextlib import suppress
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.answers import Moment, Quantity
from forms.ask import ask_of, asks
from forms.feeding_log import LogLine
from forms.log_columns import COLUMNS, REQUIRED, column_help
from forms.log_csv import LARGEST, MOST_ROWS, LogFile, read_file, written_file
from forms.log_taken import Doubled, doubled, kept_words
from forms.log_written import same_line
from forms.trouble import Refused
from tests.helpers.log_lines import MARA, NOW, ZONE, lines, setting

HEADS = "Date,Time began,What it was,Milk,Milk taken (mL),Milk taken (fl oz),Minutes left (min),By whom,Note"


def file_of(*rows: str, heads: str = HEADS, ends: str = "\r\n") -> bytes:
    return ends.join((heads, *rows, "")).encode()


def read(*rows: str, heads: str = HEADS) -> LogFile:
    return read_file(file_of(*rows, heads=heads), setting())


def why(*rows: str, heads: str = HEADS) -> tuple[tuple[int, str, str], ...]:
    found = read(*rows, heads=heads)
    return tuple((cell.row, cell.column, cell.why) for cell in found.bad)


def refusal(data: bytes) -> str:
    with pytest.raises(Refused) as caught:
        read_file(data, setting())
    return caught.value.sentence


GOOD = (
    '2026-03-02,02:10,Feeder\'s left,,,,15,Mara,"asleep, then awake"',
    "2 Mar 2026,4:30 pm,bottle,Formula,60,,,Aunt Bea,",
    ",,cup,,,1.5,,,",
)


def test_every_row_of_a_good_file_is_read_with_what_was_typed_kept() -> None:
    found = read(*GOOD)
    assert found.bad == ()
    assert [row.row for row in found.rows] == [2, 3, 4]
    left, bottle, cup = (row.line for row in found.rows)
    assert left == LogLine(
        kind="left", minutes_left=15, feeder=MARA, note="asleep, then awake", source="file", starts=left.starts
    )
    assert isinstance(left.starts, Moment)
    assert left.starts.local().isoformat() == "2026-03-02T02:10:00-05:00"
    assert (bottle.milk, bottle.amount, bottle.feeder_other) == ("formula", Quantity("60", "mL", 60), "Aunt Bea")
    assert (cup.starts, cup.amount) == (None, Quantity("1.5", "fl_oz", 44))  # 1.5 x 29.5735295625 = 44.36 (M)


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "with a mark"])
@pytest.mark.parametrize("cut", [",", ";"])
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"], ids=["lf", "crlf", "cr"])
def test_comma_and_semicolon_every_line_end_and_the_mark_of_utf_8_give_the_same_rows(
    mark: bytes, cut: str, ends: str
) -> None:
    rows = ("2026-03-02,02:10,left,,,,15,Søren,ünruhig", "2026-03-02,04:30,right,,,,,,")
    data = mark + file_of(*(row.replace(",", cut) for row in rows), heads=HEADS.replace(",", cut), ends=ends)
    assert read_file(data, setting()) == read(*rows)
    assert read(*rows).rows[0].line.feeder_other == "Søren"


def test_a_decimal_comma_is_read_where_semicolons_part_the_columns() -> None:
    heads = "Date;Time began;What it was;Milk taken (fl oz)"
    (row,) = read("2026-03-02;02:10;bottle;1,5", heads=heads).rows
    assert row.line.amount == Quantity("1,5", "fl_oz", 44)


def test_headings_may_stand_in_any_order_and_rows_that_are_empty_are_passed_over_but_counted() -> None:
    found = read("left, 02:10 ,2026-03-02", ",,", "right,04:30,2026-03-02", heads="what IT was,Time  began,DATE")
    assert [(row.row, row.line.kind) for row in found.rows] == [(2, "left"), (4, "right")]


BAD = (
    ("2026-03-02,02:10,,,,,,,", "What it was", "every row needs it"),
    ("2026-03-02,02:10,gulp,,,,,,", "What it was", "“What it was” has no such answer"),
    ("03/04/2026,02:10,left,,,,,,", "Time began", "Day and month could change places here"),
    ("30 Feb 2026,02:10,left,,,,,,", "Time began", "There is no such day in the calendar"),
    ("2026-03-02,2h10,left,,,,,,", "Time began", "Write the time like 02:10"),
    ("2026-03-02,13:10 pm,left,,,,,,", "Time began", "With am or pm the hour runs from 1 to 12."),
    ("2026-03-02,,left,,,,,,", "Time began", "Date and time stand together."),
    ("2026-03-03,10:43,left,,,,,,", "Time began", "This is still to come."),
    ("2026-03-02,02:10,bottle,,900,,,,", "Milk taken (mL)", "“Milk taken” takes from 0 mL"),
    ("2026-03-02,02:10,bottle,,some,,,,", "Milk taken (mL)", "Write this as a number"),
    ("2026-03-02,02:10,bottle,,2 oz,,,,", "Milk taken (mL)", "another unit than its heading"),
    ("2026-03-02,02:10,bottle,,=1+1,,,,", "Milk taken (mL)", "Write this as a number"),
    ("2026-03-02,02:10,bottle,,60,2,,,", "Milk taken (fl oz)", "The same stands in another column"),
    ("2026-03-02,02:10,left,,,,15.5,,", "Minutes left (min)", "takes a whole number"),
    ("2026-03-02,02:10,left,,60,,,,", "What it was", "“Milk taken” does not go with “What it was: Feeder's left”"),
    ('2026-03-02,02:10,left,,,,,,"two\nlines"', "Note", "takes one line"),
    ("2026-03-02,02:10,left,,,,,,bell \x07", "Note", "control character"),
    ("2026-03-02,02:10,left,,,,,," + "x" * 2_001, "Note", "more than 2,000 characters"),
    ("2026-03-02,02:10,left", "the whole row", "It has 3 cells and there are 9 headings."),
)


@pytest.mark.parametrize(("row", "column", "reason"), BAD, ids=[row[:40] for row, _, _ in BAD])
def test_a_bad_row_is_told_by_its_number_its_column_and_a_reason_and_no_other_row_suffers(
    row: str, column: str, reason: str
) -> None:
    ((number, where, said),) = why(GOOD[0], row, GOOD[1])
    assert (number, where) == (3, column)
    assert reason in said
    assert said.endswith(".")
    assert read(GOOD[0], row, GOOD[1]).rows[0].row == 2


def test_every_bad_cell_of_a_row_is_told_at_once_and_the_row_is_counted_once() -> None:
    found = read("2026-03-02,25:10,gulp,,60,,,,")
    assert [(cell.row, cell.column, cell.cell) for cell in found.bad] == [
        (2, "What it was", "gulp"),
        (2, "Time began", "25:10"),
    ]
    assert found.bad_rows == (2,)
    assert found.rows == ()


# In New York the clocks went back on 2 Nov 2025 at 02:00 and forward on 9 Mar 2025 at 02:00.
def test_an_hour_the_clocks_showed_twice_is_told_apart_or_is_a_bad_row() -> None:
    heads = "Date,Time began,What it was"
    ((_, column, said),) = why("2025-11-02,01:30,left", heads=heads)
    assert (column, "showed this time twice" in said) == ("Time began", True)
    rows = read("2025-11-02,01:30 first,left", "2025-11-02,1:30 am second,left", heads=heads).rows
    first, second = (row.line.starts for row in rows)
    assert isinstance(first, Moment)
    assert isinstance(second, Moment)
    assert second.at - first.at == timedelta(hours=1)
    assert "skipped" in why("2025-03-09,02:30,left", heads=heads)[0][2]
    assert "once" in why("2025-03-10,02:30 first,left", heads=heads)[0][2]


def test_an_end_past_midnight_is_the_next_day_and_one_too_far_off_is_a_bad_row() -> None:
    heads = "Date,Time began,Time ended,Date ended,What it was"
    (row,) = read("2026-03-01,23:50,00:10,,left", heads=heads).rows
    assert isinstance(row.line.ends, Moment)
    assert row.line.ends.local().isoformat()[:16] == "2026-03-02T00:10"
    assert "more than 4 h" in why("2026-03-01,23:50,09:10,,left", heads=heads)[0][2]
    assert "lies before the beginning" in why("2026-03-01,23:50,09:10,2026-03-01,left", heads=heads)[0][2]
    assert "with its beginning only" in why(",,09:10,,left", heads=heads)[0][2]


REFUSED = (
    (b"", "The file is empty."),
    (b"\xef\xbb\xbf\r\n", "The file is empty."),
    (b"x" * (LARGEST + 1), "The file is larger than 2 MB."),
    (file_of() + b"\0", "This file is no text in UTF-8."),
    ("Date,Time began,What it was\n".encode("utf-16"), "This file is no text in UTF-8."),
    (file_of() + "2026-03-02,02:10,left,,,,,,ünruhig".encode("latin-1"), "Row 2 holds a character that is not in UTF-8."),
    (file_of() + b"2026-03-02,02:10,left,,,,,,\xed\xa0\x80", "Row 2 holds a character that is not in UTF-8."),
    (b"When,Which\r\n1,2\r\n", "The first row has no heading of a log."),
    (file_of(heads=HEADS + ",Mood"), "Column 10, “Mood”, is none of the log."),
    (file_of(heads=HEADS + ","), "Column 10, without a heading, is none of the log."),
    (file_of(heads=HEADS + ",NOTE"), "The heading “Note” stands there twice."),
    (file_of(heads="Date,Note"), "The file lacks “Time began”, “What it was”."),
    (file_of('2026-03-02,02:10,left,,,,,,"never closed'), "From row 2 on the file cannot be taken apart"),
    (file_of('2026-03-02,02:10,left,,,,,,"a"b'), "From row 2 on the file cannot be taken apart"),
    (file_of("2026-03-02,02:10,left,,,,,," + "x" * 140_000), "From row 2 on the file cannot be taken apart"),
    (file_of("," * 201), "Row 2 has more than 200 columns."),
    (file_of(*(["2026-03-02,02:10,left,,,,,,"] * (MOST_ROWS + 1))), "The file has more than 5,000 rows."),
)  # fmt: skip


@pytest.mark.parametrize(("data", "sentence"), REFUSED, ids=[sentence for _, sentence in REFUSED])
def test_a_file_that_is_no_log_is_refused_whole_in_one_sentence(data: bytes, sentence: str) -> None:
    found = refusal(data)
    assert found.startswith(sentence)
    assert found.endswith(".")


def test_five_thousand_rows_are_read() -> None:
    rows = [f"2026-02-{1 + n % 28:02},{n % 24:02}:{n % 60:02},left,,,,,," for n in range(MOST_ROWS)]
    assert len(read(*rows).rows) == MOST_ROWS


def test_words_that_look_like_a_formula_stay_words_and_are_written_with_a_mark_in_front() -> None:
    line = LogLine(kind="left", starts=NOW, note="=HYPERLINK(1)", source="file")
    data = written_file((line,), {})
    assert b",'=HYPERLINK(1)," in data
    (row,) = read_file(data, setting()).rows
    assert row.line.note == "=HYPERLINK(1)"
    (plain,) = read("2026-03-02,02:10,left,,,,,,=1+1").rows
    assert plain.line.note == "=1+1"


def test_the_blank_file_is_a_log_without_rows_and_every_column_is_column_help_with_its_words() -> None:
    assert read_file(written_file((), {}), setting()) == LogFile((), ())
    told = [column_help(column) for column in COLUMNS]
    assert sum("Needed." in line for line in told) == len(REQUIRED)
    assert {column.field for column in COLUMNS} | {"feeder_other"} == set(asks(LogLine))
    for column, line in zip(COLUMNS, told, strict=True):
        assert all(words in line for words in ask_of(LogLine, column.field).options.values())


@given(st.lists(lines(), max_size=4))
def test_lines_written_to_a_file_come_back_the_same(written: list[LogLine]) -> None:
    data = written_file(written, {MARA: "Mara", "b" * 32: "Joren"})
    found = read_file(data, setting())
    assert found.bad == ()
    for row, line in zip(found.rows, written, strict=True):
        answers = {name: getattr(line, name) for name in asks(LogLine)}
        assert same_line(row.line, LogLine(**answers | {"source": line.source or "file"}))


@given(
    st.one_of(
        st.binary(max_size=300),
        st.text(max_size=300).map(lambda text: (HEADS + "\n" + text).encode("utf-8", "replace")),
    )
)
def test_no_bytes_whatever_bring_more_than_a_refusal(data: bytes) -> None:
    with suppress(Refused):
        found = read_file(data, setting())
        assert all(cell.why for cell in found.bad)


def at(time: str, day: str = "2026-03-02") -> Moment:
    (row,) = read(f"{day},{time},left", heads="Date,Time began,What it was").rows
    assert isinstance(row.line.starts, Moment)
    return row.line.starts


def test_a_row_said_twice_and_a_row_at_the_time_of_a_line_that_stands_are_found_and_a_diaper_beside_a_feed_is_not() -> (
    None
):
    file = read(
        "2026-03-02,02:10,left,,,,15,,", "2026-03-02,02:10,left,,,,15,,", "2026-03-02,04:00,left,,,,20,,",
        "2026-03-02,06:00,right,,,,,,", "2026-03-02,08:00,bottle,,60,,,,",
    )  # fmt: skip
    feed = LogLine(kind="bottle", starts=at("04:10"))  # inside 04:00 to 04:20
    diaper = LogLine(kind="diaper", starts=at("06:00"), wet=True)
    after = LogLine(kind="left", starts=at("07:40"), minutes_left=20)  # ends as row 6 begins
    assert doubled(file.rows, (feed, diaper, after)) == (Doubled(3, as_row=2), Doubled(4, standing=feed))


def test_rows_without_a_time_are_doubles_only_of_lines_that_say_the_same() -> None:
    file = read(",,left,,,,15,,", ",,left,,,,12,,")
    standing = LogLine(kind="left", minutes_left=15, source="notes")
    assert doubled(file.rows, (standing,)) == (Doubled(2, standing=standing),)


def test_what_is_kept_of_a_file_says_how_many_lines_and_every_row_left_out_with_its_reason() -> None:
    file = read(GOOD[0], "2026-03-02,02:10,,,,,,,", GOOD[0])
    twice = doubled(file.rows, ())
    words = kept_words("diary.csv", "Tue 3 Mar 2026 10:42", file, {4}, twice)
    assert words.splitlines() == [
        "diary.csv, Tue 3 Mar 2026 10:42: 1 line taken in.",
        "Row 3 left out, What it was: It is empty. Write what this line was; every row needs it.",
        "Row 4 left out: the same as row 2.",
    ]


def test_the_zone_of_the_place_is_the_zone_of_every_row() -> None:
    assert at("02:10").zone == ZONE
