"""What holds itself in a circle is let go of on the GUI thread, whatever other threads allocate."""

from __future__ import annotations

import gc
import threading
import weakref
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QObject
from pytestqt.qtbot import QtBot

from desktop.circles import Circles
from desktop.errands import Errands
from desktop.work import StoreLane
from storage.store import Store
from tests.helpers.twins import twin_visit

MANY = 200_000
"""More containers than any generation of Python's collector waits for."""


def circle(ended: list[int]) -> None:
    """An object of Qt that only a circle holds; where it ends is told by the number of its thread."""
    thing: dict[str, object] = {"widget": QObject()}
    thing["itself"] = thing
    weakref.finalize(thing["widget"], lambda: ended.append(threading.get_ident()))


def allocate(_store: Store | None = None) -> int:
    """Enough for a collection of every generation, were one to come here."""
    return len([[[number]] for number in range(MANY)])


def test_a_widget_in_a_circle_is_never_taken_down_on_the_threads_of_the_store_or_of_errands(
    qtbot: QtBot, tmp_path: Path
) -> None:
    made = twin_visit(tmp_path)
    lane, errands, ended = StoreLane(made.store), Errands(), list[int]()
    for _ in range(50):
        circle(ended)
    done: list[int] = []
    lane.run(allocate, done.append)
    lane.beside(allocate, done.append)
    errands.run(allocate, done.append)
    qtbot.waitUntil(lambda: len(done) == 3)
    assert set(ended) <= {threading.get_ident()}
    held = [[number] for number in range(2_000)]  # what was let go of by itself counts for nothing
    qtbot.waitUntil(lambda: len(ended) == 50)
    assert len(held) == 2_000
    assert set(ended) == {threading.get_ident()}
    lane.close()


def test_python_looks_for_circles_by_itself_no_more_and_one_of_us_does(qtbot: QtBot, tmp_path: Path) -> None:
    made = twin_visit(tmp_path)
    lanes = StoreLane(made.store), Errands(), Errands()
    app = QCoreApplication.instance()
    assert app is not None
    assert not gc.isenabled()
    assert len(app.findChildren(Circles)) == 1
    lanes[0].close()
