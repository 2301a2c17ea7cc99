"""A file that holds a key under a passphrase: chosen, its passphrase typed, then used for one thing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act
from desktop.controls.layouts import Stack
from desktop.controls.words import Words
from desktop.files import pick_file
from desktop.pages.plain import key_row, main_key
from desktop.pages.secret import Secret, Told
from desktop.session import Session
from desktop.theme.tokens import Role, Space
from forms.trouble import Trouble
from storage.store import Store

__all__ = ["KeyFile"]

_KINDS = "Keys (*.p12 *.pfx *.P12 *.PFX)"


class KeyFile(Stack):
    """Asks for the file and its passphrase. Signal `used()`: what `use` does with them was done."""

    used = Signal()

    def __init__(
        self, session: Session, title: str, words: str, use: Callable[[Store, Path, str], object],
        pick: Callable[..., Path | None] = pick_file, parent: QWidget | None = None,
    ) -> None:  # fmt: skip
        """`title` is asked over the file, `words` are those of the key. `use` runs beside the window; it may raise."""
        super().__init__(parent, between=Space.PAD)
        self._session, self._title, self._use, self._pick = session, title, use, pick
        self.place: Path | None = None
        self.choose = Act("Choose the file")
        self.chosen = Words("No file chosen yet.", ink=Role.SOFT_INK)
        self.secret = Secret("Passphrase of that file")
        self.told, self.key = Told(), main_key(words)
        self.choose.clicked.connect(self._choose)
        self.key.clicked.connect(self._go)
        self.secret.entered.connect(self._go)
        self.add(key_row(self.choose), self.chosen, self.secret, self.told, key_row(self.key))
        self.setFocusProxy(self.choose)

    def _choose(self) -> None:
        place = self._pick(self.window(), self._title, Path.home(), kinds=_KINDS)
        if place is None:
            return
        self.place = place
        self.chosen.say(place.name)
        self.told.progress("")
        self.secret.setFocus()

    def _go(self) -> None:
        if self.place is None:
            self.told.trouble("Choose the file first.")
            self.choose.setFocus()
            return
        place, passphrase, use = self.place, self.secret.box.text(), self._use
        self.key.setEnabled(False)
        self.told.progress("Opening the file and trying what is in it.")
        self._session.lane.run(lambda store: use(store, place, passphrase), self._done, self._refused)

    def _done(self, _made: object) -> None:
        self.secret.take()
        self.used.emit()

    def _refused(self, trouble: Trouble) -> None:
        self.key.setEnabled(True)
        self.told.trouble(trouble.sentence)
        self.secret.setFocus()
