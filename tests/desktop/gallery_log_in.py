"""The pages of the gallery on which a family's log comes in: typed line by line, and from a file in its states."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from desktop.pages.visit import VisitPage
from desktop.sheets.log_fast import LogFast
from desktop.sheets.log_in import LogIn
from forms.feeding_log import LogLine
from forms.log_columns import COLUMNS
from tests.desktop.gallery_milk import write, write_log
from tests.desktop.gallery_visit import Framed
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["SCREENS", "fast_of", "log_file", "log_in_of", "type_line"]

HEADS = ",".join(column.heading for column in COLUMNS[:10])
ROWS = (
    "2026-03-02,11:12,,,Feeder's left,,,,,15", "2026-03-02,13:40,,14:05,Both sides,,,,,",
    "2026-03-02,16:10,,,Bottle,,Own milk expressed,45,,", "2026-03-02,18:00,,,Bottle,,Formula,some,,",
    "2026-03-02,20:15,,,Milk expressed,,,,,", "2026-03-02,23:50,,00:10,Feeder's right,,,,,",
    "2026-03-03,02:30,,,Bottle,,Donor milk,,1.5,", "2026-03-03,02:30,,,Bottle,,Donor milk,,1.5,",
    "2026-03-03,25:10,,,Feeder's left,,,,,12", "2026-03-03,08:00,,,Feeder's left,,,,,12",
)  # fmt: skip
"""Ten rows: row 5 has an amount in words, row 10 an hour there is not, row 9 says what row 8 says."""


def log_file(*rows: str) -> bytes:
    """A file of these rows under the first ten headings."""
    lines = (HEADS, *(row.replace("Own milk expressed", '"Own milk, expressed"') for row in rows or ROWS))
    return "\r\n".join((*lines, "")).encode()


def fast_of(page: VisitPage, made: TwinVisit) -> LogFast:
    """The line in which the log is typed."""
    page.go("story", made.ida, "story.log")
    assert page.middle.page is not None
    found = page.middle.page.findChild(LogFast)
    assert found is not None
    return found


def log_in_of(page: VisitPage, made: TwinVisit) -> LogIn:
    """The page of a log from a file."""
    page.go("story", made.ida, "story.file")
    assert page.middle.page is not None
    found = page.middle.page.findChild(LogIn)
    assert found is not None
    return found


def type_line(fast: LogFast, text: str) -> None:
    """A line typed and kept, its question answered by a second Enter."""
    fast.box.setText(text)
    fast.take()
    if fast.box.text():
        fast.take()


def _chosen(page: VisitPage, made: TwinVisit, data: bytes) -> LogIn:
    found = log_in_of(page, made)
    file = made.store.folder.parent / "diary.csv"
    file.write_bytes(data)
    found.read(file)
    settled(made)
    return found


def _typed(page: VisitPage, made: TwinVisit) -> None:
    fast = fast_of(page, made)
    for line in ("mon 2250 l 15", "2340 bo own 45 ml wet", "0210 r 10 l 12"):
        type_line(fast, line)
    fast.box.setText("0430 bottle own 60 wet stool yellow")


def _refused(page: VisitPage, made: TwinVisit) -> None:
    fast = fast_of(page, made)
    type_line(fast, "tue 0210 l 15")
    fast.box.setText("0430 bottle 60 ml l 10")
    fast.take()


def _help(page: VisitPage, made: TwinVisit) -> None:
    fast_of(page, made).help.setChecked(True)


def _empty(page: VisitPage, made: TwinVisit) -> None:
    log_in_of(page, made)


def _bad(page: VisitPage, made: TwinVisit) -> None:
    write(page.home, LogLine, made.ida, kind="left", starts=made.at(-2.7))
    _chosen(page, made, log_file())


def _left_out(page: VisitPage, made: TwinVisit) -> None:
    found = _chosen(page, made, log_file())
    assert found.preview is not None
    found.preview.leave_bad.click()
    found.preview.leave_twice.click()


def _no_log(page: VisitPage, made: TwinVisit) -> None:
    _chosen(page, made, log_file() + b"\xff")


def _taken(page: VisitPage, made: TwinVisit) -> None:
    write_log(page.home, made, made.ida)
    found = _chosen(page, made, log_file(ROWS[0], ROWS[1]))
    assert found.preview is not None
    found.preview.take_twice.click()
    found.preview.take.click()
    settled(made)


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("log-typed", lambda: Framed(_typed)),
    ("log-typed-refused", lambda: Framed(_refused)),
    ("log-typed-help", lambda: Framed(_help)),
    ("log-file", lambda: Framed(_empty)),
    ("log-file-bad", lambda: Framed(_bad)),
    ("log-file-left-out", lambda: Framed(_left_out)),
    ("log-file-no-log", lambda: Framed(_no_log)),
    ("log-file-taken", lambda: Framed(_taken)),
]
