"""Every page around a visit and every state of it, over a copy of the invented practice, for pictures and for measuring."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtWidgets import QWidget

from demo_db.build import PASSPHRASE
from desktop.pages.address_book import AddressBookPage
from desktop.pages.caseload import CaseloadPage
from desktop.pages.decision import Decision
from desktop.pages.family import FamilyPage
from desktop.pages.feed_lock import FeedLockPage
from desktop.pages.first_launch import FirstLaunchPage
from desktop.pages.first_steps import FirstStepsPage
from desktop.pages.practice import PracticePage
from desktop.pages.unlock import OPENING, UnlockPage
from desktop.theme.look import look
from storage.troubles import DamagedDatabase, DamagedSlot, WrongPassphrase
from tests.helpers.program import Program, Time, demo_store, read, started

__all__ = ["SCREENS", "builder"]

NOW = datetime(2026, 3, 3, 8, 30, tzinfo=UTC)
WORDS = "8HYV P80A 8XWG TASR V6ZR V5C2 NRPB 0SMP FJXT"  # invented, opens nothing

Show = Callable[[Program], object]


def _still(name: str, show: Show, *, store: bool, inside: bool) -> QWidget:
    """The window at one page, with its store put away: what is on screen stays, and nothing is open behind it."""
    worn = look()  # a program that starts puts on what its store remembers
    folder = Path(tempfile.mkdtemp(prefix="hearthside-picture-")) / "store"
    if store:
        demo_store(folder)
    program = started(folder, Time(NOW))
    window = program.app.window
    window.setObjectName(name)
    window.setFixedSize(1280, 800)
    program.app.settings.change(theme=worn.theme.name, text=worn.text)
    if inside:
        program.unlock(PASSPHRASE)
        program.to("caseload")
    show(program)
    program.idle()
    desk = program.app.gate.desk
    if desk is not None:
        desk.session.lane.last_call()
        desk.session.lane.close()
    program.app.idle.rest()
    program.app.errands.close()
    window.may_close = True
    program.app.setParent(window)
    window.resize(1280, 800)
    return window


def _locked(trouble: object = None) -> Show:
    def show(program: Program) -> None:
        page = program.page
        assert isinstance(page, UnlockPage)
        if trouble is not None:
            page.fail(trouble)  # type: ignore[arg-type]

    return show


def _opening(program: Program) -> None:
    page = program.page
    assert isinstance(page, UnlockPage)
    page.busy(OPENING)


def _unsaved(program: Program) -> None:
    why = "You locked it at 14:20. The record is closed and encrypted."
    program.app.window.put(UnlockPage("/home/robin/Hearthside", why=why, unsaved=NOW.replace(hour=14, minute=2)))


def _feed_lock(program: Program) -> None:
    page = FeedLockPage(NOW.replace(minute=13, second=26), lambda: NOW, "911")
    program.app.window.put(page)
    page.say_noted(NOW, 2, on_disk=True)


def _launch(step: int) -> Show:
    def show(program: Program) -> None:
        page = program.page
        assert isinstance(page, FirstLaunchPage)
        page.go(step)

    return show


def _step(step: str) -> Show:
    def show(program: Program) -> None:
        session = program.desk.session
        session.words = WORDS
        program.desk.first_steps("America/New_York")
        page = program.to("first_steps")
        assert isinstance(page, FirstStepsPage)
        page.go(step)

    return show


def _searched(program: Program) -> None:
    page = program.page
    assert isinstance(page, CaseloadPage)
    page.search.setText("th")


def _asked(program: Program) -> None:
    page = program.page
    assert isinstance(page, CaseloadPage)
    page.ask_new()
    page.new.name.setText("   ")
    page.new._take()


def _failed(program: Program) -> None:
    page = program.page
    assert isinstance(page, CaseloadPage)
    page._failed(DamagedDatabase())


def _family(*, person: bool = False, new: bool = False) -> Show:
    def show(program: Program) -> None:
        if new:
            page = program.page
            assert isinstance(page, CaseloadPage)
            page._begin("Quillfeather-Ode")
        else:
            program.desk.family(read(program, lambda store: store.search("thornquist"))[0].id)
        family = program.to("family")
        assert isinstance(family, FamilyPage)
        if person:
            next(iter(family._rows.values())).turn()

    return show


def _book(program: Program) -> None:
    program.desk.address_book()
    page = program.to("address_book")
    assert isinstance(page, AddressBookPage)


def _practice(part: str) -> Show:
    def show(program: Program) -> None:
        program.desk.practice()
        page = program.to("practice")
        assert isinstance(page, PracticePage)
        page.go(part)

    return show


def _warned(program: Program) -> None:
    program.app.window.warn(12)
    program.app.notices.watch("Noted on the lock screen, at a visit that is not known: 14:02, 14:05.")


def _decided(program: Program) -> None:
    Decision(
        program.app.window,
        "Not everything is saved",
        "The disk is full, so what you typed last is only in this window. Make room on the disk and it is saved by itself.",
        (("Keep the window open", lambda: None), ("Close and lose it", lambda: None)),
    )


_OUTSIDE: Mapping[str, Show] = {
    "locked": _locked(),
    "locked-opening": _opening,
    "locked-wrong": _locked(WrongPassphrase()),
    "locked-damaged-key": _locked(DamagedSlot(file="passphrase.slot", other="the recovery sheet")),
    "locked-unsaved": _unsaved,
    "locked-feed": _feed_lock,
    "recovery": lambda program: program.page.recovery_asked.emit(),  # type: ignore[attr-defined]
}
_FIRST: Mapping[str, Show] = {
    "first-greeting": _launch(0),
    "first-kept": _launch(1),
    "first-passphrase": _launch(4),
}
_INSIDE: Mapping[str, Show] = {
    "first-sheet": _step("sheet"),
    "first-print": _step("print"),
    "first-type-back": _step("back"),
    "first-who": _step("who"),
    "first-where": _step("here"),
    "first-root-key": _step("root"),
    "caseload": lambda _program: None,
    "caseload-search": _searched,
    "caseload-new": _asked,
    "caseload-failed": _failed,
    "family": _family(),
    "family-person": _family(person=True),
    "family-new": _family(new=True),
    "address-book": _book,
    "practice-you": _practice("who"),
    "practice-where": _practice("here"),
    "practice-limits": _practice("limits"),
    "practice-scope": _practice("scope"),
    "practice-device": _practice("window"),
    "practice-passphrase": _practice("passphrase"),
    "practice-root-key": _practice("root"),
    "practice-take-out": _practice("out"),
    "warning": _warned,
    "decision": _decided,
}


def builder(name: str, show: Show, *, store: bool, inside: bool) -> tuple[str, Callable[[], QWidget]]:
    """A page over a store of its own: its name, and what makes it."""
    return name, lambda: _still(name, show, store=store, inside=inside)


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    *(builder(name, show, store=True, inside=False) for name, show in _OUTSIDE.items()),
    *(builder(name, show, store=False, inside=False) for name, show in _FIRST.items()),
    *(builder(name, show, store=True, inside=True) for name, show in _INSIDE.items()),
]
