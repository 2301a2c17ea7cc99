"""A visit page over a real store, for tests and pictures."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act
from desktop.controls.control import Control
from desktop.controls.words import Words
from desktop.errands import Errands
from desktop.pages.visit import VisitPage
from desktop.session import Routes, Session
from desktop.settings import DeviceSettings
from forms.practice import Practice
from tests.helpers import kit_walk
from tests.helpers.twins import ZONE, TwinVisit

__all__ = ["Ways", "control", "kept", "key_named", "said", "settled", "visit_page_of"]


class Ways:
    """Routes that only write down where they were asked to go."""

    def __init__(self) -> None:
        self.gone: list[tuple[str, ...]] = []

    def caseload(self) -> None:
        self.gone.append(("caseload",))

    def family(self, family: str) -> None:
        self.gone.append(("family", family))

    def visit(self, family: str, visit: str) -> None:
        self.gone.append(("visit", family, visit))

    def check_paper(self) -> None:
        self.gone.append(("check_paper",))

    def address_book(self) -> None:
        self.gone.append(("address_book",))

    def practice(self) -> None:
        self.gone.append(("practice",))

    def closing(self, family: str) -> None:
        self.gone.append(("closing", family))

    def lock(self) -> None:
        self.gone.append(("lock",))


def session_of(made: TwinVisit) -> Session:
    """The session of an open test store."""
    folder = made.store.folder
    return Session(
        folder=folder,
        lane=made.lane,
        errands=Errands(),
        notices=made.notices,
        settings=DeviceSettings(folder),
        clock=made.clock,
        ids=made.ids,
        author=made.author,
        practice=Practice(time_zone=ZONE),
        reading=made.clock.reading,
    )


def visit_page_of(made: TwinVisit, ways: Ways | None = None) -> VisitPage:
    """The page of the twins' visit."""
    page = VisitPage(session_of(made), cast("Routes", ways or Ways()), made.open())
    settled(made)
    return page


def settled(made: TwinVisit) -> None:
    """Let everything given to the store be answered, and what follows on the GUI thread be done."""
    while True:
        QCoreApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        if not made.lane.busy:
            return


def said(root: QWidget) -> str:
    """All the words on screen."""
    kit_walk.settle()
    shown = [each for each in root.findChildren(Words) if each.isVisible()]
    return "\n".join(each.said() for each in shown)


def key_named(root: QWidget, words: str) -> Act:
    return next(act for act in root.findChildren(Act) if act.isVisible() and act.text() == words)


def control(page: VisitPage, form: str, field: str) -> Control:
    assert page.middle.page is not None
    question = page.middle.page.question(form, field)
    assert question is not None, f"{form}.{field} is not on screen"
    return question.controls()[0]


def kept(twins: TwinVisit, page: VisitPage) -> None:
    page.home.save()
    settled(twins)
