"""The page on which devices meet: set up, a round by hand and by itself, every state in words, who belongs."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from threading import Event

import pytest
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from desktop.network import Reach
from desktop.pages.decision import Decision
from desktop.pages.sync import SyncPage, grouped
from desktop.session import Session
from desktop.sharing import PLACE, Place, Stage, open_place
from forms.people import InfantIdentity
from storage.store import Store
from sync.exchange.practice import practice_of
from sync.transport.port import Target
from tests.helpers.program import wait_for
from tests.helpers.shelf import device
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, put
from tests.helpers.two_devices import LOCUM, Devices, devices, put_away, session_over, settled_all, ways
from tests.helpers.visits import key_named, said


@pytest.fixture
def pair(tmp_path: Path, qtbot: QtBot) -> Iterator[Devices]:
    made = devices(tmp_path)
    yield made
    made.close()


def shown(session: Session, qtbot: QtBot) -> SyncPage:
    page = SyncPage(session, ways())
    qtbot.addWidget(page)
    page.resize(1280, 800)
    page.show()
    settled_all(session)
    return page


@pytest.fixture
def page(pair: Devices, qtbot: QtBot) -> SyncPage:
    return shown(pair.window(pair.laptop), qtbot)


def synced(page: SyncPage) -> str:
    page.start.click()
    wait_for(lambda: not page.sharing.going)
    settled_all(page.session)
    return said(page)


def test_a_round_by_hand_says_what_came_and_what_differs(pair: Devices, page: SyncPage) -> None:
    pair.tablet.write([put(BABY, "called_name", "Idi")], author=LOCUM)
    pair.laptop.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    pair.meet(pair.tablet)
    words = synced(page)
    assert "Sent: 1 answer." in words
    assert "Received from Tablet: 1 answer." in words
    assert "Two values now stand for 1 answer" in words
    assert page.settle.isVisible()
    page.settle.click()
    assert ("differ", "") in page.routes.gone  # type: ignore[attr-defined]


def test_what_is_received_is_told_like_any_change(pair: Devices, page: SyncPage) -> None:
    told: list[frozenset[str]] = []
    page.session.lane.changed.connect(lambda changes: told.append(changes.families))
    pair.tablet.write([put(BABY, "called_name", "Idi")], author=LOCUM)
    pair.meet(pair.tablet)
    synced(page)
    assert told == [frozenset({FAMILY})]


def test_a_draft_that_was_open_when_a_change_came_in_makes_a_conflict_and_keeps_the_focus(
    pair: Devices, page: SyncPage, qtbot: QtBot
) -> None:
    session = page.session
    home = session.open(pair.laptop.chart(FAMILY, VISIT))
    binding = home.binding(InfantIdentity, entity=BABY)
    binding.put("called_name", "Ida")
    pair.tablet.write([put(BABY, "called_name", "Idi")], author=LOCUM)
    pair.meet(pair.tablet)
    box = QLineEdit()
    qtbot.addWidget(box)
    box.show()
    box.activateWindow()
    qtbot.waitUntil(box.isActiveWindow)
    box.setFocus()
    synced(page)
    assert box.hasFocus()
    assert binding.value("called_name") == "Ida"
    home.save()
    settled_all(session)
    values = {head.value for head in pair.laptop.heads(BABY, put(BABY, "called_name", "x").path)}
    assert values == {"Ida", "Idi"}
    home.deleteLater()


def test_an_empty_place_is_asked_about_before_it_is_filled_again(pair: Devices, page: SyncPage) -> None:
    shutil.rmtree(pair.folder)
    pair.folder.mkdir()
    assert "is empty, though this practice was kept there" in synced(page)
    assert page.sharing.stage is Stage.REFUSED
    page.fill.click()
    (asked,) = page.window().findChildren(Decision)
    assert list(pair.folder.iterdir()) == []
    key_named(asked, "Fill it again").click()
    wait_for(lambda: page.sharing.stage is Stage.DONE)
    settled_all(page.session)
    assert (pair.folder / "repo.json").exists()


def test_a_stick_that_is_not_there_is_waited_for(pair: Devices, page: SyncPage) -> None:
    pair.folder.rename(pair.folder.with_name("away"))
    assert "is not there" in synced(page)
    assert page.sharing.stage is Stage.OFFLINE
    again = page.sharing._again
    assert again is not None
    assert again.isActive()
    pair.folder.with_name("away").rename(pair.folder)
    again.timeout.emit()
    wait_for(lambda: page.sharing.stage is Stage.DONE)


def test_another_practices_place_is_refused_in_words(pair: Devices, page: SyncPage) -> None:
    (pair.folder / "repo.json").write_text('{"id": "%s", "format": 1}' % ("0" * 32))
    assert "holds another practice’s record" in synced(page)


def test_the_page_leads_to_who_belongs_and_an_owner_to_letting_a_device_in(pair: Devices, page: SyncPage) -> None:
    assert "Tablet: last heard of" in synced(page)
    page.belongs.click()
    page.let_in.click()
    assert page.routes.gone[-2:] == [("members",), ("let_in",)]  # type: ignore[attr-defined]


def test_a_device_that_is_no_owner_is_not_offered_to_let_others_in(pair: Devices, qtbot: QtBot) -> None:
    page = shown(pair.window(pair.tablet, LOCUM), qtbot)
    assert page.belongs.isVisible()
    assert not page.let_in.isVisible()


def test_a_round_begins_when_the_network_is_back_and_none_while_it_is_away_or_was_stopped(
    pair: Devices, page: SyncPage
) -> None:
    pair.folder.rename(pair.folder.with_name("away"))
    synced(page)
    assert page.sharing.stage is Stage.OFFLINE
    pair.folder.with_name("away").rename(pair.folder)
    network = page.sharing._network
    assert network is not None
    network.reaches(Reach.Disconnected)
    assert not network._settle.isActive()
    network.reaches(Reach.Online)
    assert network._settle.isActive()
    network._settle.timeout.emit()
    wait_for(lambda: page.sharing.stage is Stage.DONE)
    settled_all(page.session)
    page.sharing.stage = Stage.STOPPED
    network.back.emit()
    assert not page.sharing.going
    page.session.lane.ending.set()  # as the lock does first of all
    page.sharing.stage = Stage.OFFLINE
    network.back.emit()
    assert not page.sharing.going
    page.session.lane.ending.clear()


class Slow:
    """The place, waiting at its first file until it is let go on."""

    def __init__(self, place: Target, begun: Event, on: Event) -> None:
        self._place, self._begun, self._on = place, begun, on
        self.label = place.label

    def __getattr__(self, name: str) -> object:
        return getattr(self._place, name)

    def get(self, name: str) -> bytes | None:
        self._begun.set()
        assert self._on.wait(30)
        return self._place.get(name)


def _slowed(session: Session) -> tuple[Event, Event]:
    begun, on = Event(), Event()
    session.sharing.open = lambda place, own: Slow(open_place(place, own), begun, on)  # type: ignore[assignment, return-value]
    return begun, on


def test_a_round_can_be_stopped_and_the_record_can_be_written_meanwhile(pair: Devices, page: SyncPage) -> None:
    begun, on = _slowed(page.session)
    page.start.click()
    wait_for(begun.is_set)
    assert "Syncing" in said(page)
    wrote: list[object] = []
    page.session.lane.run(lambda store: store.write([put(VISIT, "kind", "clinic")], author=AUTHOR), wrote.append)
    wait_for(lambda: bool(wrote))  # while the place still keeps the round waiting
    assert page.sharing.going
    page.end.click()
    on.set()
    wait_for(lambda: not page.sharing.going)
    settled_all(page.session)
    assert "The round was stopped" in said(page)


def test_the_lock_does_not_wait_for_the_place(pair: Devices, tmp_path: Path, qtbot: QtBot) -> None:
    session = session_over(pair.tablet, LOCUM)
    session.sharing.look()
    wait_for(lambda: session.sharing.stage is Stage.IDLE)
    begun, on = _slowed(session)
    session.sharing.round()
    wait_for(begun.is_set)
    session.lane.last_call()
    session.lane.close()  # returns although the place does not answer
    on.set()
    wait_for(lambda: not session.sharing.going)
    assert session.sharing.stage in (Stage.STOPPED, Stage.REFUSED)
    QCoreApplication.processEvents()
    session.errands.close()
    put_away(session)


def _alone(tmp_path: Path) -> Store:
    return device(tmp_path, "alone").store


def test_setting_up_asks_what_it_needs_refuses_a_wrong_place_and_then_meets_there(tmp_path: Path, qtbot: QtBot) -> None:
    store = _alone(tmp_path)
    session = session_over(store)
    page = shown(session, qtbot)
    assert "This record is on this device only" in said(page)
    page.place.keep.click()
    assert "Say what to call this device first." in said(page)
    page.place.device.setText("Laptop")
    page.place.address.setText(str(tmp_path / "nowhere"))
    page.place.keep.click()
    wait_for(lambda: not page.place._busy)
    assert "is not there" in said(page)
    assert practice_of(store) is None
    (tmp_path / "stick").mkdir()
    page.place.address.setText(str(tmp_path / "stick"))
    page.place.keep.click()
    wait_for(lambda: page.sharing.stage is Stage.DONE)
    settled_all(session)
    assert "No other device belongs yet." in said(page)
    session.lane.last_call()
    session.lane.close()
    session.errands.close()
    put_away(session)


def test_a_password_is_kept_as_a_secret_and_never_shown(tmp_path: Path, qtbot: QtBot) -> None:
    store = _alone(tmp_path)
    session = session_over(store)
    page = shown(session, qtbot)
    page.place.pick("webdav")
    page.place.device.setText("Laptop")
    page.place.user.setText("rosalind")
    page.place.secret.box.setText("very hidden words")
    opened: list[Place] = []

    def place(given: Place, _own: str) -> Target:
        opened.append(given)
        return open_place(Place(str(tmp_path)), _own)

    session.sharing.open = place
    page.place.address.setText("webdavs://files.example.org/meet")
    page.place.keep.click()
    wait_for(lambda: bool(store.secret(PLACE)))
    wait_for(lambda: page.sharing.stage in (Stage.DONE, Stage.REFUSED))
    settled_all(session)
    assert opened[0].secret == "very hidden words"
    assert "very hidden words" not in said(page)
    assert "very hidden words" not in repr(opened[0])
    assert all("very hidden" not in box.text() for box in page.findChildren(QLineEdit))
    session.lane.last_call()
    session.lane.close()
    session.errands.close()
    put_away(session)


def test_two_devices_that_know_the_same_show_the_same_figures(pair: Devices) -> None:
    for store in (pair.laptop, pair.tablet):
        pair.meet(store)
    figures = {grouped(store.exchange().digest()) for store in (pair.laptop, pair.tablet)}
    assert len(figures) == 1
    assert [len(group) for group in figures.pop().split()] == [4] * 8
