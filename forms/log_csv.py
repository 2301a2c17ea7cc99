"""A family's log in a file of our own layout: every row read, or told by number, column and reason; nothing half in.

The bytes are only ever read as text: nothing in them is run, and what is no text, too large or torn is refused whole.
Bounds are house choices without a source (see SOURCES.md).
"""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from forms.answers import Moment
from forms.ask import Kind, ask_of
from forms.feeding_log import LogLine
from forms.log_columns import COLUMNS, REQUIRED, Column, heading_key
from forms.log_times import Spoken, ended
from forms.log_typed import Setting, closed
from forms.reading import read, read_day
from forms.trouble import Refused

__all__ = [
    "LARGEST", "MOST_COLUMNS", "MOST_ROWS", "BadCell", "LogFile", "Row", "plain", "read_file",
    "records_in", "text_in", "written_file",
]  # fmt: skip

# House bounds, no source; nothing clinical.
LARGEST: Final = 2_000_000  # bytes
MOST_ROWS: Final = 5_000
MOST_COLUMNS: Final = 200
LONGEST_CELL: Final = 2_000  # characters
_CELL_SHOWN = 60

_KNOWN: Mapping[str, Column] = {heading_key(column.heading): column for column in COLUMNS}
_WIDE_MARKS = (b"\xff\xfe", b"\xfe\xff")
_BOM = b"\xef\xbb\xbf"
_TIME = re.compile(r"(\d{1,2})[:.](\d{2})(?:\s*(am|pm))?(?:\s+(first|second))?", re.IGNORECASE)
_LEADS = re.compile(r"'*[=+\-@\t]")  # what a spreadsheet might take for a formula: written with ' in front
_TEXTS = ("kind_words", "feeder", "note")
_RETURN = "Save it once more as “CSV UTF-8” and choose it again."


@dataclass(frozen=True, slots=True)
class Row:
    """A row that was read: its number in the file (the headings are row 1) and its answers."""

    row: int
    line: LogLine


@dataclass(frozen=True, slots=True)
class BadCell:
    """What keeps a row from being read: its number, the heading of the column, what to do, and what stands there."""

    row: int
    column: str
    why: str
    cell: str = ""


@dataclass(frozen=True, slots=True)
class LogFile:
    """All rows of a file: those that were read, and every reason why another was not."""

    rows: tuple[Row, ...]
    bad: tuple[BadCell, ...]

    @property
    def bad_rows(self) -> tuple[int, ...]:
        """The numbers of the rows that could not be read, each once."""
        return tuple(dict.fromkeys(cell.row for cell in self.bad))


def read_file(data: bytes, setting: Setting) -> LogFile:
    """Every row of a file. Raises Refused for a file that is no log of this layout; then nothing of it was read."""
    text = text_in(data)
    cut = _separated(text)
    rows = records_in(text, cut)
    headings = next(rows, (1, []))[1]
    columns = _columns(headings)
    good: list[Row] = []
    bad: list[BadCell] = []
    for number, cells in rows:
        if number > MOST_ROWS + 1:
            raise Refused(why=f"The file has more than {MOST_ROWS:,} rows. Cut it into smaller files.")
        if not any(cell.strip() for cell in cells):
            continue
        wrong, line = _row(columns, cells, setting)
        written = {column.heading: _shown(cell) for column, cell in zip(columns, cells, strict=False)}
        bad += [BadCell(number, column, why, written.get(column, "")) for column, why in wrong]
        if line is not None:
            good.append(Row(number, line))
    return LogFile(tuple(good), tuple(bad))


def text_in(data: bytes) -> str:
    """The words of a file, UTF-8 within bounds; raises Refused for any other."""
    if len(data) > LARGEST:
        raise Refused(why=f"The file is larger than {LARGEST // 1_000_000} MB. Cut it into smaller files.")
    if data.startswith(_WIDE_MARKS) or b"\0" in data:
        raise Refused(why=f"This file is no text in UTF-8. {_RETURN}")
    try:
        text = data.removeprefix(_BOM).decode("utf-8")
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        raise Refused(why=f"Row {line} holds a character that is not in UTF-8. {_RETURN}") from None
    if not text.strip():
        raise Refused(why="The file is empty. Choose another, or save the blank file and fill it in.")
    return text


def _separated(text: str) -> str:
    """Comma or semicolon, whichever makes headings of this layout of the first row; raises Refused if neither does."""

    def known(mark: str) -> int:
        return sum(heading_key(cell) in _KNOWN for cell in next(records_in(text, mark), (1, []))[1])

    comma, semicolon = known(","), known(";")
    if not comma and not semicolon:
        raise Refused(
            why="The first row has no heading of a log. Save the blank file and put your columns under its headings."
        )
    return "," if comma >= semicolon else ";"


def records_in(text: str, cut: str) -> Iterator[tuple[int, list[str]]]:
    """The rows with their numbers. Raises Refused where quotation marks do not close, or for far too wide a row."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=cut, strict=True)
    number = 0
    while True:
        number += 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error:
            raise Refused(
                why=f"From row {number} on the file cannot be taken apart: a quotation mark is not closed, or a cell "
                f"has no end. {_RETURN}"
            ) from None
        if len(cells) > MOST_COLUMNS:
            raise Refused(why=f"Row {number} has more than {MOST_COLUMNS} columns. Take out those not of the log.")
        yield number, cells


def _columns(headings: Sequence[str]) -> tuple[Column, ...]:
    keys = [heading_key(heading) for heading in headings]
    for at, key in enumerate(keys, 1):
        if key not in _KNOWN:
            shown = f"“{headings[at - 1].strip()[:40]}”" if key else "without a heading"
            raise Refused(why=f"Column {at}, {shown}, is none of the log. Take it out, or give it a heading that is.")
    twice = next((key for key, times in Counter(keys).items() if times > 1), None)
    if twice is not None:
        raise Refused(why=f"The heading “{_KNOWN[twice].heading}” stands there twice. Leave one of the columns.")
    missing = [heading for heading in REQUIRED if heading_key(heading) not in keys]
    if missing:
        told = ", ".join(f"“{heading}”" for heading in missing)
        raise Refused(why=f"The file lacks {told}. Put that heading over its column; it may stay empty below.")
    return tuple(_KNOWN[key] for key in keys)


def _row(
    columns: Sequence[Column], cells: Sequence[str], setting: Setting
) -> tuple[list[tuple[str, str]], LogLine | None]:
    """What is wrong with a row, as (heading, reason), or the line it says."""
    if len(cells) != len(columns):
        has = f"{len(cells)} {'cell' if len(cells) == 1 else 'cells'}"
        return [("the whole row", f"It has {has} and there are {len(columns)} headings. Check its commas.")], None
    wrong: list[tuple[str, str]] = []
    answers: dict[str, Any] = {}
    times: dict[tuple[str, str], str] = {}
    for column, cell in zip(columns, cells, strict=True):
        words = cell.strip()
        try:
            plain(words)
            if column.part:
                times[column.field, column.part] = words
            elif words:
                _answer(answers, column, words, setting)
        except Refused as refused:
            wrong.append((column.heading, refused.sentence))
    wrong += _timed(answers, times, setting)
    if "kind" not in answers and not any(heading == "What it was" for heading, _ in wrong):
        wrong.append(("What it was", "It is empty. Write what this line was; every row needs it."))
    if wrong:
        return wrong, None
    line = LogLine(**{"source": "file"} | answers)
    if why := closed(line):
        return [("What it was", why)], None
    return [], line


def _shown(cell: str) -> str:
    """What stands in a cell as it can be shown: one line, not too long, without characters that are none."""
    plain = " ".join("".join(" " if unicodedata.category(one) == "Cc" else one for one in cell).split())
    return plain if len(plain) <= _CELL_SHOWN else f"{plain[: _CELL_SHOWN - 1]}…"


def plain(words: str) -> None:
    """Raises Refused for a cell that is too long or holds characters that are none."""
    if len(words) > LONGEST_CELL:
        raise Refused(why=f"It has more than {LONGEST_CELL:,} characters. Shorten it.")
    if any(unicodedata.category(one) == "Cc" and one not in "\r\n" for one in words):
        raise Refused(why="It holds a control character from a copied text. Delete it and type the cell again.")


def _answer(answers: dict[str, Any], column: Column, words: str, setting: Setting) -> None:
    """Puts the answer of one cell to the others; raises Refused."""
    field = column.field
    if field in _TEXTS and re.match(r"'+[=+\-@\t]", words):
        words = words[1:]
    if field == "feeder":
        person = setting.people.get(words.casefold())
        if person is None:
            field = "feeder_other"
    else:
        person = None
    if field in answers:
        raise Refused(why="The same stands in another column in another unit. Leave one of the two empty.")
    ask = ask_of(LogLine, field)
    if person is not None:
        answers[field] = person
    elif ask.kind is Kind.QUANTITY:
        answers[field] = read(ask, words, column.unit)
        if answers[field].unit != column.unit:
            del answers[field]
            raise Refused(why=f"The number stands in another unit than its heading, {column.heading}. Leave the unit.")
    else:
        answers[field] = read(ask, words, None, setting.zone)


def _timed(
    answers: dict[str, Any], times: Mapping[tuple[str, str], str], setting: Setting
) -> Iterator[tuple[str, str]]:
    """Puts beginning and end to the answers; what is wrong with them, as (heading, reason)."""
    for field, heading, place in (("starts", "Time began", _began), ("ends", "Time ended", _end)):
        try:
            place(answers, times.get((field, "date"), ""), times.get((field, "time"), ""), setting)
        except Refused as refused:
            yield heading, refused.sentence


def _began(answers: dict[str, Any], day: str, time: str, setting: Setting) -> None:
    if bool(day) != bool(time):
        raise Refused(why="Date and time stand together. Write both, or leave both empty if not known.")
    if day:
        answers["starts"] = _past(_spoken(time).on(read_day(day), setting.zone), setting)


def _past(at: Moment, setting: Setting) -> Moment:
    if at.at > setting.now.at:
        raise Refused(why="This is still to come. Check the day and the time.")
    return at


def _end(answers: dict[str, Any], day: str, time: str, setting: Setting) -> None:
    if not day and not time:
        return
    if not time:
        raise Refused(why="A day stands without its time. Write the time it ended, or leave both empty.")
    if "starts" not in answers:
        raise Refused(why="An end is kept with its beginning only. Write both, or leave both empty.")
    said = _spoken(time)
    if day:
        said = Spoken(said.hour, said.minute, read_day(day), said.which)
    answers["ends"] = _past(ended(said, setting.zone, answers["starts"]), setting)


def _spoken(time: str) -> Spoken:
    found = _TIME.fullmatch(time)
    if found is None:
        raise Refused(
            why="Write the time like 02:10 or 2:10 pm; behind a time the clocks showed twice, first or second."
        )
    hour, half = int(found[1]), (found[3] or "").casefold()
    if half and not 1 <= hour <= 12:
        raise Refused(why="With am or pm the hour runs from 1 to 12.")
    hour = hour % 12 + (12 if half == "pm" else 0) if half else hour
    return Spoken(hour, int(found[2]), None, (found[4] or "").casefold())


# --- written ----------------------------------------------------------------------------------------------------------


def written_file(lines: Sequence[LogLine], people: Mapping[str, str]) -> bytes:
    """The lines as a file of this layout, UTF-8 with a mark; without lines the blank file. `people`: names by id."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([column.heading for column in COLUMNS])
    for line in lines:
        writer.writerow([_cell(line, column, people) for column in COLUMNS])
    return _BOM + out.getvalue().encode("utf-8")


def _cell(line: LogLine, column: Column, people: Mapping[str, str]) -> str:
    value = getattr(line, column.field)
    if column.field == "feeder":
        value = people.get(value, "") if isinstance(value, str) else line.feeder_other
    if value is None:
        return ""
    ask = ask_of(LogLine, column.field)
    match value:
        case Moment():
            return _clock(value, column.part)
        case bool():
            return "yes" if value else "no"
        case int():
            return str(value)
        case str() if ask.options:
            return ask.options[value]
        case str():
            return f"'{value}" if _LEADS.match(value) else value
    return str(value.typed) if value.unit == column.unit else ""


def _clock(at: Moment, part: str) -> str:
    local = at.local()
    if part == "date":
        return local.date().isoformat()
    twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    which = (" second" if local.fold else " first") if twice else ""
    return f"{local.hour:02}:{local.minute:02}{which}"
