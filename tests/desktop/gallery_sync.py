"""The page on which devices meet and the desk for what differs, each in its states, over real stores."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from PySide6.QtWidgets import QWidget

from desktop.pages.differ import DifferPage
from desktop.pages.differ_block import DifferBlock
from desktop.pages.sync import SyncPage
from desktop.session import Session
from desktop.sharing import Stage
from forms.chart import Place
from forms.trouble import Trouble
from storage.changes import Begin
from sync.exchange.told import Told
from sync.exchange.troubles import Continued, ForeignTarget, NotMember
from sync.merge.replica import Gap
from sync.transport.troubles import Full
from sync.wire.troubles import Stopped
from tests.helpers.program import wait_for
from tests.helpers.shelf import device
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, put
from tests.helpers.two_devices import LOCUM, Devices, devices, session_over, settled_all, ways

__all__ = ["SCREENS"]


def _folder() -> Path:
    return Path(tempfile.mkdtemp(prefix="hearthside-picture-"))


def _put_away(session: Session) -> None:
    """What is on screen stays, and nothing is open behind it."""
    settled_all(session)
    session.lane.last_call()
    session.lane.close()
    session.errands.close()
    if session.sharing._again is not None:
        session.sharing._again.stop()


def _alone(show: Callable[[SyncPage], None] = lambda _page: None) -> QWidget:
    session = session_over(device(_folder(), "alone").store)
    page = SyncPage(session, ways())
    settled_all(session)
    show(page)
    _put_away(session)
    return page


def _server(page: SyncPage) -> None:
    page.place.pick("webdav")
    page.place.device.setText("Laptop")
    page.place.address.setText("https://files.example.org/hearthside")
    page.place._take()


def _met(show: Callable[[Devices, Session, SyncPage], None]) -> QWidget:
    pair = devices(_folder())
    session = pair.window(pair.laptop)
    page = SyncPage(session, ways())
    show(pair, session, page)
    _put_away(session)
    pair.tablet.close()
    return page


def _round(session: Session) -> None:
    session.sharing.round()
    wait_for(lambda: not session.sharing.going)
    settled_all(session)


def _done(pair: Devices, session: Session, _page: SyncPage) -> None:
    pair.laptop.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    pair.tablet.write([put(BABY, "called_name", "Idi"), put(VISIT, "kind", "clinic")], author=LOCUM)
    pair.meet(pair.tablet)
    _round(session)


def _under_way(_pair: Devices, session: Session, page: SyncPage) -> None:
    settled_all(session)
    session.sharing.stage, session.sharing.words = Stage.GOING, "Receiving"
    page.refresh()
    session.sharing.stage = Stage.IDLE  # the page keeps what it shows; nothing is under way behind it


def _with(trouble: Trouble, stage: Stage = Stage.REFUSED) -> Callable[[Devices, Session, SyncPage], None]:
    def show(_pair: Devices, session: Session, _page: SyncPage) -> None:
        session.sharing._ended(trouble)
        session.sharing.stage = stage

    return show


def _empty(pair: Devices, session: Session, _page: SyncPage) -> None:
    shutil.rmtree(pair.folder)
    pair.folder.mkdir()
    _round(session)


def _offline(pair: Devices, session: Session, _page: SyncPage) -> None:
    shutil.rmtree(pair.folder)
    _round(session)


def _odd(pair: Devices, session: Session, _page: SyncPage) -> None:
    """A round in which much was odd: missing, held, kept aside, silent, newer."""
    laptop, tablet = pair.laptop.device, pair.tablet.device
    told = Told({laptop: "Laptop", tablet: "Tablet"}, sent=3, received={tablet: 41}, late=1, waiting=1)
    told.held, told.gaps = [Gap(tablet, 9, 9)], [Gap(tablet, 5, 6)]
    told.aside = [(f"c/{tablet}/00000/00000004", "its signature does not fit")]
    told.newer, told.heard = {tablet}, {tablet: session.clock() - timedelta(days=5)}
    session.sharing._done(told)


def _out(pair: Devices, session: Session, _page: SyncPage) -> None:
    session.sharing.put_out(pair.tablet.device)
    wait_for(lambda: session.sharing.stage is Stage.DONE)


def _about(_pair: Devices, session: Session, page: SyncPage) -> None:
    page._tell_about()


def _desk(show: Callable[[DifferPage], None] = lambda _page: None, *, nothing: bool = False) -> QWidget:
    pair = devices(_folder())
    if not nothing:
        jot = "7" * 32
        said = "Latched on the left at once, sleepy after a while."
        pair.laptop.write([Begin(jot, Place("jot", FAMILY, VISIT)), put(jot, "words", said)], author=AUTHOR)
        for store in (pair.laptop, pair.tablet):
            pair.meet(store)
        pair.laptop.write([put(jot, "words", said.replace("sleepy", "drowsy"))], author=AUTHOR)
        pair.tablet.write([put(jot, "words", said.replace("at once", "at the second try"))], author=LOCUM)
        pair.laptop.write([put(BABY, "called_name", "Ida"), put(VISIT, "kind", "video")], author=AUTHOR)
        pair.tablet.write([put(BABY, "called_name", "Idi"), put(VISIT, "kind", "clinic")], author=LOCUM)
        pair.meet(pair.tablet)
        pair.meet(pair.laptop)
    session = pair.window(pair.laptop)
    page = DifferPage(session, ways())
    settled_all(session)
    show(page)
    _put_away(session)
    pair.tablet.close()
    return page


def _late() -> QWidget:
    pair = devices(_folder())
    pair.tablet.write([put(VISIT, "kind", "clinic"), put(BABY, "called_name", "Idi")], author=LOCUM)
    pair.laptop.sign(VISIT, author=AUTHOR)
    pair.meet(pair.tablet)
    pair.meet(pair.laptop)
    session = pair.window(pair.laptop)
    page = DifferPage(session, ways())
    _put_away(session)
    pair.tablet.close()
    return page


def _signed_twice() -> QWidget:
    pair = devices(_folder())
    for store, place, who in ((pair.tablet, "Upstairs", LOCUM), (pair.laptop, "The kitchen", AUTHOR)):
        store.write([put(VISIT, "place", place)], author=who)
        store.sign(VISIT, author=who)
    pair.meet(pair.tablet)
    pair.meet(pair.laptop)
    session = pair.window(pair.laptop)
    page = DifferPage(session, ways())
    _put_away(session)
    pair.tablet.close()
    return page


def _picked(page: DifferPage) -> None:
    block = next(one for one in page.blocks.values() if isinstance(one, DifferBlock) and one.own is not None)
    block.picks[-1].click()
    block.keep.click()


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("sync-alone", _alone),
    ("sync-alone-server", lambda: _alone(_server)),
    ("sync-idle", lambda: _met(lambda _pair, _session, _page: None)),
    ("sync-under-way", lambda: _met(_under_way)),
    ("sync-done", lambda: _met(_done)),
    ("sync-odd", lambda: _met(_odd)),
    ("sync-stopped", lambda: _met(_with(Stopped(), Stage.STOPPED))),
    ("sync-empty", lambda: _met(_empty)),
    ("sync-offline", lambda: _met(_offline)),
    ("sync-foreign", lambda: _met(_with(ForeignTarget(place="/media/stick")))),
    ("sync-not-member", lambda: _met(_with(NotMember()))),
    ("sync-continued", lambda: _met(_with(Continued()))),
    ("sync-full", lambda: _met(_with(Full(place="/media/stick")))),
    ("sync-out", lambda: _met(_out)),
    ("sync-about", lambda: _met(_about)),
    ("differ", _desk),
    ("differ-picked", lambda: _desk(_picked)),
    ("differ-late", _late),
    ("differ-signed-twice", _signed_twice),
    ("differ-none", lambda: _desk(nothing=True)),
]
