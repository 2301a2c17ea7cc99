"""Time stamps in the gallery: the address the practice sets, a letter before and after it left, a stamped paper."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtWidgets import QScrollArea, QWidget

from desktop.pages.practice import PracticePage
from desktop.pages.visit import VisitPage
from forms.chart import entry_id
from forms.practice import Practice
from tests.desktop.gallery_checking import checked
from tests.desktop.gallery_leaves import framed, letter_in_view
from tests.desktop.gallery_shell import builder
from tests.helpers.asked import let_leave
from tests.helpers.program import Program
from tests.helpers.stamping import serving, stamped_paper
from tests.helpers.stores import put
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["PAGES", "SCREENS", "address", "serve"]


def address(program: Program, typed: str) -> PracticePage:
    """The part of the practice where the address of the service stands, with that address."""
    program.desk.practice()
    page = program.to("practice")
    assert isinstance(page, PracticePage)
    page.go("paper")
    page.home.binding(Practice).put("time_stamp_address", typed or None)
    program.idle()
    return page


def _to_address(program: Program, typed: str) -> None:
    """The same, scrolled to it."""
    page = address(program, typed)
    page.window().resize(1280, 800)  # as large as the picture, so that nothing is laid anew then
    program.idle()
    for area in page.findChildren(QScrollArea):
        area.verticalScrollBar().setValue(area.verticalScrollBar().maximum())


def serve(made: TwinVisit, typed: str) -> None:
    """Set the address of the service in the store of a visit."""
    made.store.write([put(entry_id(Practice), "time_stamp_address", typed)], author=made.author)


def _asked(page: VisitPage, made: TwinVisit) -> None:
    serve(made, "https://stamps.example.org/")
    papers = letter_in_view(page, made)
    papers.save_key.click()
    settled(made)


def _unstamped(page: VisitPage, made: TwinVisit) -> None:
    """A letter that left without a stamp, because the service had only an error to give."""
    with serving(lambda _query: b"", status=500) as service, TemporaryDirectory(prefix="gallery-") as folder:
        serve(made, service.address)
        papers = letter_in_view(page, made)
        papers._pick = lambda *_asked: Path(folder) / "letter-2026-03-03.pdf"
        let_leave(made, papers, "plain")


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("leave-asked-stamp", framed(_asked)),
    ("leave-unstamped", framed(_unstamped)),
]
PAGES: list[tuple[str, Callable[[], QWidget]]] = [
    builder("check-stamped", lambda program: checked(program, stamped_paper()), store=True, inside=True),
    builder("practice-stamp-off", partial(_to_address, typed=""), store=True, inside=True),
    builder("practice-stamp-no-address", partial(_to_address, typed="stamps.example"), store=True, inside=True),
]
