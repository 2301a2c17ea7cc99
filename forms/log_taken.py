"""What is asked before the rows of a file join a log that stands, and what is kept of it: what was left out and why."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from forms.answers import Moment
from forms.ask import asks
from forms.feeding_log import AT_BREAST, GIVEN_OTHERWISE, LogLine
from forms.log_csv import LogFile, Row

__all__ = ["Doubled", "doubled", "kept_words"]


@dataclass(frozen=True, slots=True)
class Doubled:
    """A row that is perhaps there already: `as_row` says the same in the file, or `standing` lies at the same time."""

    row: int
    as_row: int | None = None
    standing: LogLine | None = None


def doubled(rows: Sequence[Row], standing: Sequence[LogLine]) -> tuple[Doubled, ...]:
    """Rows that say what an earlier row says, and rows of a time at which the log has a line of the same sort.

    A diaper beside a feed is no double. A line without a time is one only of a row that says the same.
    """
    first: dict[LogLine, int] = {}
    spans = [(_sort(line), _span(line), line) for line in standing]
    found = []
    for row in rows:
        earlier = first.setdefault(row.line, row.row)
        if earlier != row.row:
            found.append(Doubled(row.row, as_row=earlier))
            continue
        sort, span = _sort(row.line), _span(row.line)
        meets = (line for other, at, line in spans if other == sort and _meet(span, at) and _same(span, row.line, line))
        line = next(meets, None)
        if line is not None:
            found.append(Doubled(row.row, standing=line))
    return tuple(found)


def _sort(line: LogLine) -> str:
    kind = line.kind if isinstance(line.kind, str) else ""
    return "feed" if kind in (*AT_BREAST, *GIVEN_OTHERWISE) else kind


_Span = tuple[datetime, datetime] | None


def _span(line: LogLine) -> _Span:
    """From its beginning to its end, or to the end of the minutes written; None without a time."""
    if not isinstance(line.starts, Moment):
        return None
    began = line.starts.at.replace(second=0, microsecond=0)
    if isinstance(line.ends, Moment):
        return began, max(line.ends.at, began)
    written = (line.minutes_left, line.minutes_right, line.minutes_together)
    return began, began + timedelta(minutes=sum(minutes for minutes in written if isinstance(minutes, int)))


def _meet(one: _Span, other: _Span) -> bool:
    if one is None or other is None:
        return one is other
    return one[0] == other[0] or (one[0] < other[1] and other[0] < one[1])


def _same(span: _Span, one: LogLine, other: LogLine) -> bool:
    """Lines without a time meet only where they say the same, whatever they are known from."""
    names = [name for name in asks(LogLine) if name != "source"]
    return span is not None or all(getattr(one, name) == getattr(other, name) for name in names)


def kept_words(name: str, when: str, file: LogFile, left: Collection[int], twice: Sequence[Doubled]) -> str:
    """What is kept with the log of a file that was taken in: how many lines, and each row left out with its reason."""
    taken = sum(1 for row in file.rows if row.row not in left)
    lines = [f"{name}, {when}: {taken} {'line' if taken == 1 else 'lines'} taken in."]
    for bad in file.bad:
        stands = f" “{bad.cell}”" if bad.cell else ""
        lines.append(f"Row {bad.row} left out, {bad.column}{stands}: {bad.why}")
    lines += list(_doubles(left, twice))
    return "\n".join(lines)


def _doubles(left: Collection[int], twice: Sequence[Doubled]) -> Iterator[str]:
    for one in twice:
        if one.row in left:
            why = f"the same as row {one.as_row}" if one.as_row is not None else "the log has a line at its time"
            yield f"Row {one.row} left out: {why}."
