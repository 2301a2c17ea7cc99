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

from demo_db.build import PASSPHRASE, chart_all, new_store, seal_practice
from demo_db.charting import Charting
from demo_db.practice import found_practice
from demo_db.ticking import SeededIds, TickingClock, at
from forms.people import Family, InfantIdentity, ParentIdentity
from forms.practice import Practitioner
from forms.visit import Visit
from storage.vault import unlock
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
    """A store with the practice and its families, charted and not signed; to be copied, not opened."""
    folder = tmp_path_factory.mktemp("invented") / "store"
    store, clock, ids = new_store(folder)
    charted = chart_all(store, clock, ids)
    seal_practice(store, charted.author, clock)
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
    for one in threading.enumerate():
        if one.name.startswith("store-apart"):
            one.join(timeout=20)  # a lock does not wait for a round under way, which ends by itself
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


@pytest.fixture(scope="session")
def begun(founded: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """That store with the Fennimores, Bea and her baby Gil, and a visit begun on 9 March at 10:00; nothing answered."""
    folder = Path(shutil.copytree(founded, tmp_path_factory.mktemp("begun") / "store"))
    clock, ids = TickingClock(at("2026-03-09 09:59")), SeededIds(9)
    opened = unlock(folder, PASSPHRASE, clock=clock, ids=ids)
    author = next(entry.id for entry in opened.practice_entries() if isinstance(entry.answers, Practitioner))
    desk = Charting(opened, author, ids)
    desk.family = desk.fill(Family, entity=ids(), family_name="Fennimore")
    desk.fill(ParentIdentity, entity=ids(), full_name="Bea Fennimore", phone="555 0155")
    desk.fill(
        InfantIdentity, entity=ids(), legal_name="Gil Fennimore", called_name="Gil", tag_shape="circle",
        born="2026-03-02 06:10", birth_weight="3,420 g",
    )  # fmt: skip
    desk.fill(Visit, entity=ids(), start="2026-03-09 10:00", practitioner=author)
    opened.close()
    return folder


@pytest.fixture
def visiting(begun: Path, tmp_path: Path, sit_down: Callable[[Path], Charter], machine: Machine) -> Charter:
    """At the Fennimores' first visit, nothing answered yet."""
    machine.at = at("2026-03-09 10:00")
    person = sit_down(Path(shutil.copytree(begun, tmp_path / "store")))
    person.unlock(PASSPHRASE)
    person.press("Go on")
    person.until_page("visit")
    person.until_idle()
    return person


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
