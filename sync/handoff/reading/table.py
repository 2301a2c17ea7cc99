"""Facts out of a CSV: rows of what, value, unit and when, or the lines of a feeding log in the layout we write.

Each row is one fact in its own words and stands as no answer; a row that cannot be read says why. Bounds are those of
a log's file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from forms.answers import Moment
from forms.log_columns import COLUMNS, heading_key
from forms.log_csv import MOST_ROWS, plain, read_file, records_in, text_in
from forms.log_typed import Setting
from forms.log_words import what_was
from forms.trouble import Refused
from sync.handoff.reading.elsewhere import in_the_future
from sync.handoff.reading.held import Offer, Unread
from sync.handoff.reading.troubles import BadTable, NoTable

__all__ = ["HEADINGS", "is_table", "rows_of_table"]

HEADINGS: Final = ("what", "value", "unit", "when")
_CUTS: Final = (",", ";")
_WIDE: Final = (b"\xff\xfe", b"\xfe\xff")
_FIRST_LINE: Final = 4_096  # bytes
_LOG: Final = frozenset(heading_key(column.heading) for column in COLUMNS)
_DATED: Final = re.compile(r"\d{4}(-\d{2}){0,2}")
_IN_WORDS: Final = "No question here takes a row of a CSV by itself."


def is_table(data: bytes) -> bool:
    """Whether the bytes begin as a CSV does: one line of text with a comma or a semicolon in it."""
    if data.startswith(_WIDE):
        return True  # refused by `rows_of_table`, which says how to save it
    line = re.split(rb"[\r\n]", data[:_FIRST_LINE], maxsplit=1)[0]
    return b"\0" not in line and (b"," in line or b";" in line)


def rows_of_table(data: bytes, *, author: str, zone: str, now: datetime) -> Iterator[Offer | Unread]:
    """Every row, as a fact or as unread. Raises NoTable and BadTable; then nothing of the file was read."""
    try:
        text = text_in(data)
        for cut in _CUTS:
            headings = [heading_key(cell) for cell in next(records_in(text, cut), (1, []))[1]]
            if {"what", "value"} <= set(headings):
                yield from _facts(text, cut, headings, author, now.astimezone(ZoneInfo(zone)))
                return
            if len(_LOG & set(headings)) > 1:
                yield from _log(data, text, cut, author, Setting(zone, Moment(now, zone)))
                return
    except Refused as refused:
        raise BadTable(why=refused.sentence) from refused
    raise NoTable


def _facts(text: str, cut: str, headings: Sequence[str], author: str, now: datetime) -> Iterator[Offer | Unread]:
    if len(set(headings)) != len(headings):
        raise Refused(why="Two columns of this CSV have the same heading. Rename one of them.")
    for number, cells in records_in(text, cut):
        if number == 1 or not any(cell.strip() for cell in cells):
            continue
        if number > MOST_ROWS + 1:
            raise Refused(why=f"The file has more than {MOST_ROWS:,} rows. Cut it into smaller files.")
        entry, row = f"row {number}", dict(zip(headings, (cell.strip() for cell in cells), strict=False))
        why = _unreadable(row, len(cells), len(headings))
        if why:
            yield Unread("Row", entry, why, cut.join(cells))
            continue
        at, unit = row.get("when", ""), row.get("unit", "")
        words = " ".join(filter(None, (row["value"], unit)))
        besides = "; ".join(f"{name}: {cell}" for name, cell in row.items() if name not in HEADINGS and cell)
        doubts = in_the_future(at, now.date()) if _DATED.match(at) else ()
        yield Offer(
            entry, entry, "", None, None, None, row["what"], words, at, author,
            doubts=(*doubts, *((f"Beside it stands {besides}.",) if besides else ())), only_shown=_IN_WORDS, unit=unit,
        )  # fmt: skip


def _unreadable(row: Mapping[str, str], cells: int, headings: int) -> str:
    if cells > headings:
        return "It has more cells than there are headings."
    for cell in row.values():
        try:
            plain(cell)
        except Refused as refused:
            return refused.sentence
    return "" if row.get("what") and row.get("value") else "It does not say what it is, or gives no value."


def _log(data: bytes, text: str, cut: str, author: str, setting: Setting) -> Iterator[Offer | Unread]:
    read = read_file(data, setting)
    rows = dict(records_in(text, cut))
    headings, bad = rows[1], {cell.row: cell for cell in reversed(read.bad)}
    for row in read.rows:
        told = "; ".join(
            f"{head.strip()}: {cell.strip()}" for head, cell in zip(headings, rows[row.row], strict=False)
            if cell.strip()
        )  # fmt: skip
        at = row.line.starts.local().strftime("%Y-%m-%d %H:%M") if isinstance(row.line.starts, Moment) else ""
        entry = f"row {row.row}"
        yield Offer(
            entry, entry, "", None, None, None, f"Feeding log, {what_was(row.line, lambda person: person)}", told, at,
            author, only_shown=_IN_WORDS,
        )  # fmt: skip
    for number, cell in bad.items():
        yield Unread("Row", f"row {number}", f"{cell.column}: {cell.why}", cut.join(rows[number]))
