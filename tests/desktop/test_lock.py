"""The lock: when it comes, what it shows, and that nothing typed is lost by it."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtDBus import QDBusConnection, QDBusMessage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from demo_db.build import PASSPHRASE as DEMO
from desktop.controls.buttons import Act
from desktop.controls.typed import Line
from desktop.locking import Idle, SleepWatch
from desktop.pages.decision import Decision
from desktop.pages.family import FamilyPage
from forms.ask import Path as At
from forms.people import Family
from storage.store import Store
from storage.troubles import DiskFull
from tests.helpers.locks import locked, press_lock, said_anywhere
from tests.helpers.program import Program, child, read, wait_for


def family_page(program: Program) -> FamilyPage:
    line = read(program, lambda store: store.search("lindqvist"))[0]
    program.desk.family(line.id)
    page = program.to("family")
    assert isinstance(page, FamilyPage)
    return page


def test_ctrl_l_locks_at_once_and_unlocking_goes_on_where_she_was(program: Program) -> None:
    family = family_page(program).home.chart.family
    press_lock(program)
    assert program.page.objectName() == "unlock"
    assert program.app.gate.session is None
    locked(program)
    program.unlock(DEMO)
    page = program.to("family")
    assert isinstance(page, FamilyPage)
    assert page.home.chart.family == family


def test_nothing_of_the_record_is_left_in_the_window_after_the_lock(program: Program) -> None:
    family_page(program)
    assert "Lindqvist" in said_anywhere(program.app.window)
    press_lock(program)
    locked(program)
    assert "Lindqvist" not in said_anywhere(program.app.window)
    held = [w.text() for w in program.app.window.findChildren(QLabel)]
    assert not any("Lindqvist" in text for text in held)


def test_a_word_typed_in_the_moment_of_the_lock_is_on_disk(program: Program) -> None:
    page = family_page(program)
    page._turn_home()
    box = next(line.box for line in page.findChildren(Line) if line.name == "Pets")
    box.setFocus()
    box.clear()
    QTest.keyClicks(box, "one small dog")
    family = page.home.chart.family
    press_lock(program)
    locked(program)
    program.unlock(DEMO)
    program.to("family")
    kept = read(program, lambda store: store.chart(family).person(Family, family))
    assert kept.pets == "one small dog"


def test_a_page_that_was_being_read_is_not_shown_over_the_lock(program: Program) -> None:
    line = read(program, lambda store: store.search("lindqvist"))[0]
    program.desk.family(line.id)
    press_lock(program)
    locked(program)
    program.idle()
    assert program.page.objectName() == "unlock"


def test_five_minutes_without_a_touch_warn_for_twenty_seconds_and_then_lock(program: Program) -> None:
    idle, time = program.app.idle, program.time
    idle.touch()
    time.pass_by(50)
    for _ in range(4):
        idle.tick()
        time.pass_by(55)
    idle.tick()
    assert "Locks in" not in said_anywhere(program.app.window)
    time.pass_by(20)
    idle.tick()
    assert "Locks in 10 s. Any key or touch keeps it open." in said_anywhere(program.app.window)
    time.pass_by(10)
    idle.tick()
    assert "It locked by itself" in said_anywhere(locked(program))


@pytest.mark.parametrize("how", ["key", "touch"])
def test_any_key_or_touch_in_the_warning_keeps_it_open(program: Program, how: str) -> None:
    idle, time = program.app.idle, program.time
    idle.touch()
    for _ in range(5):
        time.pass_by(57)
        idle.tick()
    assert "Locks in" in said_anywhere(program.app.window)
    if how == "key":
        QTest.keyClick(program.app.window, Qt.Key.Key_Shift)
    else:
        QTest.mouseClick(program.page, Qt.MouseButton.LeftButton)
    assert "Locks in" not in said_anywhere(program.app.window)
    time.pass_by(50)
    idle.tick()
    assert program.page.objectName() == "caseload"


@pytest.mark.parametrize("minutes", [1, 5, 15])
def test_the_lock_waits_as_many_minutes_as_are_set_and_half_an_hour_for_a_feed(minutes: int) -> None:
    idle = Idle(minutes, 100.0)
    assert idle.left(100.0 + minutes * 60, feeding=False) == 0
    assert idle.left(100.0 + 30 * 60, feeding=True) == 0
    idle.touch(200.0)
    assert idle.left(200.0, feeding=False) == minutes * 60


def test_a_machine_that_slept_without_a_word_is_locked_on_waking(program: Program) -> None:
    program.app.idle.tick()
    program.time.at = program.time.at.replace(hour=18)
    program.app.idle.tick()
    locked(program)


@pytest.fixture
def buses() -> Iterator[tuple[QDBusConnection, QDBusConnection]]:
    daemon = subprocess.Popen(
        ["dbus-daemon", "--session", "--nofork", "--print-address=1"],
        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
    )  # fmt: skip
    assert daemon.stdout is not None
    address = daemon.stdout.readline().strip()
    yield QDBusConnection.connectToBus(address, "hears"), QDBusConnection.connectToBus(address, "says")
    for name in ("hears", "says"):
        QDBusConnection.disconnectFromBus(name)
    daemon.terminate()
    daemon.wait()
    daemon.stdout.close()


LOGIN = "org.freedesktop.login1"


@pytest.mark.parametrize(
    ("service", "path", "interface", "name", "arguments"),
    [
        (LOGIN, "/org/freedesktop/login1", f"{LOGIN}.Manager", "PrepareForSleep", [True]),
        (LOGIN, "/org/freedesktop/login1/session/c2", f"{LOGIN}.Session", "Lock", []),
        ("org.gnome.ScreenSaver", "/org/gnome/ScreenSaver", "org.gnome.ScreenSaver", "ActiveChanged", [True]),
        (
            "org.freedesktop.UPower", "/org/freedesktop/UPower", "org.freedesktop.DBus.Properties",
            "PropertiesChanged", ["org.freedesktop.UPower", {"LidIsClosed": True}, []],
        ),
    ],
)  # fmt: skip
def test_the_machine_going_to_sleep_its_lid_or_its_own_lock_is_heard_on_the_bus(
    qtbot: QtBot,
    buses: tuple[QDBusConnection, QDBusConnection],
    service: str,
    path: str,
    interface: str,
    name: str,
    arguments: list[object],
) -> None:
    hears, says = buses
    watch = SleepWatch()
    assert watch.listen(hears, hears)
    assert says.registerService(service)
    signal = QDBusMessage.createSignal(path, interface, name)
    signal.setArguments(arguments)
    with qtbot.waitSignal(watch.asleep):
        says.send(signal)


def test_a_machine_without_a_message_bus_opens_all_the_same(qtbot: QtBot) -> None:
    nowhere = QDBusConnection("no such bus")
    assert not SleepWatch().listen(nowhere, nowhere)


def test_what_a_full_disk_kept_from_being_written_survives_the_lock(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = family_page(program)
    family = page.home.chart.family
    write = Store.write

    def full(self: Store, changes: object, *, author: str) -> object:
        raise DiskFull

    monkeypatch.setattr(Store, "write", full)
    page.home.binding(Family, entity=family).put("pets", "two cats")
    press_lock(program)
    told = said_anywhere(locked(program))
    assert "Not saved since" in told
    program.unlock(DEMO)
    again = program.to("family")
    assert isinstance(again, FamilyPage)
    assert again.home.chart.person(Family, family).pets == "two cats"
    monkeypatch.setattr(Store, "write", write)
    again.home.save()
    program.idle()
    assert read(program, lambda store: store.chart(family).person(Family, family)).pets == "two cats"


def test_what_a_full_disk_kept_from_being_written_goes_along_to_another_page_and_is_saved_there(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = family_page(program)
    family = page.home.chart.family
    write = Store.write

    def full(self: Store, changes: object, *, author: str) -> object:
        raise DiskFull

    monkeypatch.setattr(Store, "write", full)
    page.home.binding(Family, entity=family).put("pets", "two cats")
    program.desk.practice()
    program.to("practice")
    assert [draft.value(At("pets")) for draft in program.desk.unsaved().drafts] == ["two cats"]
    program.desk.family(family)
    again = program.to("family")
    assert isinstance(again, FamilyPage)
    assert again.home.binding(Family, entity=family).value("pets") == "two cats"
    again.home.binding(Family, entity=family).put("access", "by the mill")
    monkeypatch.setattr(Store, "write", write)
    again.home.save()
    program.idle()
    kept = read(program, lambda store: store.chart(family).person(Family, family))
    assert (kept.pets, kept.access) == ("two cats", "by the mill")
    assert not program.desk.unsaved().drafts


def test_after_a_full_disk_an_answer_is_again_written_within_two_seconds(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = family_page(program)
    binding = page.home.binding(Family, entity=page.home.chart.family)
    with monkeypatch.context() as no_room:
        no_room.setattr(Store, "write", _no_room)
        binding.put("pets", "two cats")
        page.home.save()
        program.idle()
    page.home.save()
    program.idle()
    assert not page.pending()
    binding.put("pets", "three cats")
    assert page.home._timer.interval() <= 1_000


def _no_room(self: Store, changes: object, *, author: str) -> object:
    raise DiskFull


def test_a_question_over_the_page_goes_with_it_when_the_window_locks(program: Program) -> None:
    family_page(program)
    answered: list[str] = []
    ways = (("Sign", lambda: answered.append("signed")), ("Not yet", lambda: None))
    Decision(program.app.window, "Sign this visit?", "It is frozen as it stands.", ways)
    program.app.gate.lock_idle()
    locked(program)
    program.idle()
    assert "Sign this visit?" not in said_anywhere(program.app.window)
    assert not program.app.window.findChildren(Decision)
    assert answered == []


def test_closing_asks_first_while_something_is_not_on_disk(program: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    page = family_page(program)
    family = page.home.chart.family
    write = Store.write

    def full(self: Store, changes: object, *, author: str) -> object:
        raise DiskFull

    monkeypatch.setattr(Store, "write", full)
    page.home.binding(Family, entity=family).put("pets", "two cats")
    program.app.window.close()
    wait_for(lambda: bool(program.app.window.findChildren(Decision)))
    assert program.app.window.isVisible()
    child(program.app.window, Act, "Keep the window open").click()
    monkeypatch.setattr(Store, "write", write)
    page.home.save()
    program.idle()
    assert read(program, lambda store: store.chart(family).person(Family, family)).pets == "two cats"
