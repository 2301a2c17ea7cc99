"""What every journey starts from: a quiet machine, a store to copy, and somebody at the window."""

from __future__ import annotations

import errno
import logging
import shutil
import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from demo_db.build import chart_all, new_store, seal_practice
from demo_db.charting import Charting
from demo_db.practice import found_practice
from demo_db.ticking import at
from sync.handoff.seals import make_seals
from tests.helpers.charting import Charter
from tests.helpers.person import Machine

AFTERNOON = "2026-03-02 16:30"


@pytest.fixture(autouse=True)
def quiet(caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """No journey may leave a warning in a log."""
    yield
    loud = [
        f"{one.name}: {one.getMessage()}"
        for when in ("setup", "call")
        for one in caplog.get_records(when)
        if one.levelno >= logging.WARNING
    ]
    assert loud == []


@pytest.fixture(scope="session")
def invented(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with the practice and its three families, charted and not signed; to be copied, not opened."""
    folder = tmp_path_factory.mktemp("invented") / "store"
    store, clock, ids = new_store(folder)
    charted = chart_all(store, clock, ids)
    seal_practice(store, charted, clock)
    store.close()
    return folder


@pytest.fixture
def machine() -> Machine:
    """A machine on the afternoon after the invented visits."""
    return Machine(at(AFTERNOON))


@pytest.fixture
def store(invented: Path, tmp_path: Path) -> Path:
    """A copy of the invented store."""
    return Path(shutil.copytree(invented, tmp_path / "store"))


@pytest.fixture
def sit_down(machine: Machine, qtbot: QtBot) -> Iterator[Callable[[Path], Charter]]:
    """Opens the window over a folder with somebody before it."""
    there: list[Charter] = []

    def sit(folder: Path) -> Charter:
        person = Charter(folder, machine)
        there.append(person)
        person.come()
        return person

    yield sit
    with ExitStack() as all_of_them:
        for person in there:
            all_of_them.callback(person.go_home)
    assert [one.name for one in threading.enumerate() if one.name.startswith(("store", "errand"))] == []


@pytest.fixture(scope="session")
def founded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with the invented practice, its address book and its seals, and no family; to be copied, not opened."""
    folder = tmp_path_factory.mktemp("founded") / "store"
    store, clock, ids = new_store(folder)
    desk = Charting(store, ids(), ids)
    clock.set(at("2026-02-10 10:00"))
    found_practice(desk)
    make_seals(store, desk.author, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=clock())
    store.close()
    return folder


@pytest.fixture
def office(founded: Path, tmp_path: Path) -> Path:
    """A copy of the store without families."""
    return Path(shutil.copytree(founded, tmp_path / "office"))


@pytest.fixture
def no_network(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[str]]:
    """The network is off: whoever asks for a name or a connection gets none, and stands in the list."""
    asked: list[str] = []

    def refuse(*what: object, **_more: object) -> None:
        asked.append(str(what[-1]))
        raise OSError(errno.ENETUNREACH, "the network is off")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket.socket, "connect_ex", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    monkeypatch.setattr(socket, "create_connection", refuse)
    yield asked
    assert asked == []
