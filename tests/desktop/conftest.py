"""What every test of the window starts from: the bundled fonts and the Day look."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from demo_db.build import PASSPHRASE as DEMO
from desktop.controls.layouts import Reach, Stack
from desktop.controls.question import Question, question_for
from desktop.pages.visit import VisitPage
from desktop.theme.apply import apply_look
from desktop.theme.look import Look
from desktop.theme.tokens import DAY
from tests.helpers import kit_walk
from tests.helpers.kept import whole_in_store
from tests.helpers.program import Program, Time, demo_store, started
from tests.helpers.sample_kit import SampleBinding
from tests.helpers.twins import Clock, TwinVisit, twin_visit
from tests.helpers.visits import settled, visit_page_of


@pytest.fixture(autouse=True)
def swept(qapp: QApplication) -> Iterator[None]:
    """Windows a test leaves behind go with it: each one left makes every later change of look slower."""
    before = {id(widget): widget for widget in qapp.topLevelWidgets()}
    yield
    for widget in qapp.topLevelWidgets():
        if id(widget) not in before:
            widget.hide()
            widget.deleteLater()
    kit_walk.settle()


@pytest.fixture(autouse=True)
def day(qapp: QApplication) -> Iterator[None]:
    apply_look(qapp, Look(DAY))
    yield
    apply_look(qapp, Look(DAY))


@pytest.fixture
def wear(qapp: QApplication) -> Callable[[Look], None]:
    """Puts another look in force for one test."""
    return lambda look: apply_look(qapp, look)


@pytest.fixture
def ask(qtbot: QtBot) -> Iterator[Callable[..., Question]]:
    """Shows the question of a field in a window of its own."""
    windows: list[QWidget] = []

    def show(binding: SampleBinding, field: str) -> Question:
        page = Stack()
        question = question_for(binding, field)
        page.add(question)
        page.finish()
        binding.setParent(page)
        window = Reach(page)
        windows.append(window)
        window.resize(800, 700)
        window.show()
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        kit_walk.settle()
        return question

    yield show
    for window in windows:
        window.close()
        window.deleteLater()
    kit_walk.settle()


@pytest.fixture
def start(qtbot: QtBot) -> Iterator[Callable[..., Program]]:
    """Starts the real program on a folder; no bug may have come up by the end of the test."""
    programs: list[Program] = []

    def begin(folder: Path, time: Time | None = None) -> Program:
        programs.append(started(folder, time))
        return programs[-1]

    yield begin
    for program in programs:
        program.close()
        for failure in program.broken:
            raise failure


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """A copy of the invented practice's store."""
    return demo_store(tmp_path / "store")


@pytest.fixture
def program(start: Callable[..., Program], demo: Path) -> Program:
    """The real program over the invented practice's store, unlocked, at the caseload."""
    made = start(demo)
    made.unlock(DEMO)
    made.to("caseload")
    return made


@pytest.fixture
def twins(tmp_path: Path, qtbot: QtBot) -> Iterator[TwinVisit]:
    """An open store with the twins' visit."""
    made = twin_visit(tmp_path / "store", Clock())
    yield made
    settled(made)
    made.lane.close()


@pytest.fixture
def made(tmp_path: Path) -> Iterator[TwinVisit]:
    """An open store with a visit in which every question that must be answered is."""
    visit = whole_in_store(tmp_path / "store")
    yield visit
    settled(visit)
    visit.lane.close()


@pytest.fixture
def opened(twins: TwinVisit, qtbot: QtBot) -> Callable[[], VisitPage]:
    """Opens the page of that visit, as often as asked."""

    def close(page: VisitPage) -> None:
        page.home.save()
        settled(twins)

    def show() -> VisitPage:
        page = visit_page_of(twins)
        qtbot.addWidget(page, before_close_func=close)
        page.resize(1280, 800)
        page.show()
        page.activateWindow()
        qtbot.waitUntil(page.isActiveWindow)
        settled(twins)
        return page

    return show


@pytest.fixture
def page(opened: Callable[[], VisitPage]) -> VisitPage:
    """The page of that visit."""
    return opened()
