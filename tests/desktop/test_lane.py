"""The road to the store: what happens to an answer whose asker is gone when it comes."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QObject, Signal
from pytestqt.qtbot import QtBot
from shiboken6 import delete

from desktop.work import StoreLane
from forms.trouble import Trouble
from storage.changes import ChangeSet
from storage.store import Store
from tests.helpers.stores import AUTHOR, put
from tests.helpers.twins import twin_visit


class Asker(QObject):
    """A page that takes answers and tells of them."""

    told = Signal()

    def take(self, _answer: object) -> None:
        """An answer came."""
        self.told.emit()


class Refused(Trouble):
    """A trouble of the test."""

    template = "It was refused. Try once more."


def test_an_answer_for_a_page_that_is_gone_goes_nowhere_and_what_was_written_is_still_told(
    qtbot: QtBot, tmp_path: Path
) -> None:
    made = twin_visit(tmp_path)
    lane, asker = StoreLane(made.store), Asker()
    with qtbot.waitSignal(lane.changed) as told, qtbot.assertNotEmitted(lane.broke):
        lane.run(lambda store: store.write([put(made.family, "pets", "two cats")], author=AUTHOR), asker.take)
        delete(asker)
    assert isinstance(told.args[0], ChangeSet)
    lane.close()


def test_a_trouble_of_a_page_that_is_gone_is_told_by_the_window(qtbot: QtBot, tmp_path: Path) -> None:
    made = twin_visit(tmp_path)
    lane, asker = StoreLane(made.store), Asker()

    def refused(_store: Store) -> None:
        raise Refused

    with qtbot.waitSignal(lane.troubled) as told:
        lane.run(refused, None, asker.take)
        delete(asker)
    assert isinstance(told.args[0], Refused)
    lane.close()


@pytest.mark.parametrize("gone", [True, False])
def test_only_who_is_still_there_gets_the_answer(qtbot: QtBot, tmp_path: Path, *, gone: bool) -> None:
    made, heard = twin_visit(tmp_path), list[str]()
    lane, asker = StoreLane(made.store), Asker()
    asker.told.connect(lambda: heard.append("told"))
    lane.run(lambda store: store.device, asker.take)
    if gone:
        delete(asker)
    qtbot.waitUntil(lambda: not lane.busy)
    assert heard == ([] if gone else ["told"])
    lane.close()
