"""An owner with a record and an empty device, each with a real window, and the folder where they meet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QAbstractButton

from desktop.beginning import somebody_new
from desktop.desk import Desk
from desktop.pages.page import Page
from desktop.session import Session
from desktop.sharing import PLACE, Place, Stage
from desktop.where import Held
from desktop.window import Window
from storage.store import Store
from sync.exchange.practice import found_practice
from sync.exchange.round import sync_round
from sync.transport.opening import open_target
from tests.helpers.program import wait_for
from tests.helpers.shelf import device
from tests.helpers.stores import AUTHOR, Clock, small_family
from tests.helpers.two_devices import put_away, session_over, settled_all
from tests.helpers.visits import said

__all__ = ["At", "Pair", "a_pair", "at"]


@dataclass
class At:
    """Somebody at one device: its store, its session, its window."""

    store: Store
    session: Session
    window: Window
    desk: Desk
    broken: list[Exception] = field(default_factory=list)

    @property
    def page(self) -> Page:
        assert self.window.page is not None
        return self.window.page

    @property
    def words(self) -> str:
        """Everything that is on screen."""
        return said(self.page)

    def key(self, words: str) -> QAbstractButton:
        """The key or link on screen with these words, or with this accessible name."""
        found = self._keys(words)
        assert len(found) == 1, f"{len(found)} keys say {words!r}: {self.words}"
        return found[0]

    def _keys(self, words: str) -> list[QAbstractButton]:
        return [
            one for one in self.page.findChildren(QAbstractButton)
            if one.isVisible() and words in (one.text(), one.accessibleName())
        ]  # fmt: skip

    def press(self, words: str) -> None:
        """Press a key, once it is there and can be pressed."""
        wait_for(lambda: self.offers(words))
        self.key(words).click()

    def offers(self, words: str) -> bool:
        """Whether a key with these words is there and can be pressed."""
        return any(one.isEnabled() for one in self._keys(words))

    def until(self, words: str) -> None:
        """Wait until the words are on screen."""
        wait_for(lambda: words in self.words)

    def close(self) -> None:
        """Put the device away."""
        settled_all(self.session)
        self.desk.leave()
        self.session.lane.last_call()
        self.session.lane.close()
        self.session.errands.close()
        self.desk.let_go()
        self.window.may_close = True
        self.window.close()
        self.window.deleteLater()
        put_away(self.session)
        self.store.close()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        for failure in self.broken:
            raise failure


@dataclass
class Pair:
    """The owner's laptop, the new device, where they meet, and the words of the laptop's recovery sheet."""

    owner: At
    new: At
    place: Path
    words: str

    def close(self) -> None:
        for one in (self.owner, self.new):
            one.close()


def at(store: Store, clock: Callable[[], object] | None = None) -> At:
    """A window over an open store; its sharing is read, no round is begun."""
    session = session_over(store)
    if clock is not None:
        session.clock = session.sharing._clock = clock  # type: ignore[assignment]
    window = Window(session.settings, session.notices)
    made = At(store, session, window, Desk(window, session, Held()))
    session.lane.broke.connect(made.broken.append)
    session.sharing.look()
    wait_for(lambda: session.sharing.stage is not Stage.UNREAD)
    window.show()
    return made


def a_pair(folder: Path) -> Pair:
    """The laptop founded the practice, charted a family and sent it; the new device is empty."""
    place = folder / "stick"
    place.mkdir()
    made, new = device(folder, "laptop"), device(folder, "tablet").store
    found_practice(made.store, "Laptop", Clock())
    made.store.write([*somebody_new(AUTHOR, "Rosalind Achterberg"), *small_family()], author=AUTHOR)
    made.store.keep_secret(PLACE, Place(str(place)).kept())
    sync_round(made.store, open_target(str(place), own=made.store.device), clock=Clock())
    return Pair(at(made.store), at(new), place, made.recovery_words)
