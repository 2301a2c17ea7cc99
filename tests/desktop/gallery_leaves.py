"""What is asked before a paper leaves, in the gallery: each way, what holds it back, the password, and what has left."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from PySide6.QtWidgets import QWidget

from desktop.pages.paper_asked import LeavingAsked
from desktop.pages.paper_password import PasswordShown
from desktop.pages.papers import Papers
from desktop.pages.visit import VisitPage
from desktop.sheets.in_view import InView
from forms.referral import PaperIssued
from sync.handoff.seals import make_seals
from tests.desktop.gallery_visit import Framed
from tests.desktop.test_leaving import letter, release
from tests.helpers.asked import let_leave
from tests.helpers.kept import found, whole_in_store
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["SCREENS", "framed", "letter_in_view"]


def letter_in_view(page: VisitPage, made: TwinVisit, *, seals: bool = True, signed: bool = True) -> Papers:
    """A letter under its release, in view among the papers."""
    page.window().resize(1280, 800)  # as wide as the picture, so that nothing is laid anew and worked out again then
    page.window().show()
    written = letter(made)
    release(made)
    if seals:
        make_seals(made.store, made.author, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=made.clock())
    if signed:
        made.store.sign(made.visit, author=made.author)
    page.home.reload()
    settled(made)
    InView.of(page.home).keep(PaperIssued, "", written)
    page.go("leave", made.ida, "leave.papers")
    papers = found(page.middle, Papers)
    papers.refresh()
    settled(made)
    return papers


def _asked(how: str, page: VisitPage, made: TwinVisit) -> None:
    papers = letter_in_view(page, made)
    papers._printers = lambda: ["Office printer", "Front room"]
    papers.print_key.click()
    settled(made)
    asked = found(papers, LeavingAsked)
    asked.ways.button(how).click()
    asked.purpose.button("care").click()


def _in_own_words(page: VisitPage, made: TwinVisit) -> None:
    """No printer, a purpose of her own that is not said yet."""
    papers = letter_in_view(page, made, signed=False)
    papers._printers = list
    papers.print_key.click()
    settled(made)
    asked = found(papers, LeavingAsked)
    asked.purpose.button("other").click()


def _held_back(page: VisitPage, made: TwinVisit) -> None:
    """The visit is signed and there is no seal: the letter waits, and the page says why."""
    papers = letter_in_view(page, made, seals=False)
    papers.save_key.click()
    settled(made)


def _left(state: str, page: VisitPage, made: TwinVisit) -> None:
    papers = letter_in_view(page, made)
    with TemporaryDirectory(prefix="gallery-") as folder:
        place = Path(folder) / "letter-2026-03-03.pdf"
        papers._pick = lambda *_asked: place
        let_leave(made, papers, "plain")
        let_leave(made, papers, "password", "other", "A second opinion the mother asked for")
    if state == "kept":
        found(papers, PasswordShown).keep.click()
        settled(made)
        found(papers, PasswordShown).told.emit()
    papers.refresh()
    settled(made)


def framed(show: Callable[[VisitPage, TwinVisit], None]) -> Callable[[], QWidget]:
    return partial(Framed, show, whole_in_store)


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    *((f"leave-asked-{how}", framed(partial(_asked, how))) for how in ("printed", "password", "plain")),
    ("leave-asked-own-words", framed(_in_own_words)),
    ("leave-asked-held-back", framed(_held_back)),
    ("leave-password", framed(partial(_left, "shown"))),
    ("leave-password-kept", framed(partial(_left, "kept"))),
]
