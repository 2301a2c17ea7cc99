"""What every test of the window starts from: the bundled fonts and the Day look."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from desktop.controls.layouts import Reach, Stack
from desktop.controls.question import Question, question_for
from desktop.theme.apply import apply_look
from desktop.theme.look import Look
from desktop.theme.tokens import DAY
from tests.helpers import kit_walk
from tests.helpers.program import Program, Time, demo_store, started
from tests.helpers.sample_kit import SampleBinding


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
