"""Taking the practice's root key out of the store: a passphrase-protected file at a place she picks, or later."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Stack
from desktop.controls.words import Title, Words
from desktop.files import pick_place
from desktop.pages.plain import key_row
from desktop.pages.secret import Secret, Told
from desktop.session import Session
from desktop.theme.tokens import Role, Size, Space
from forms.trouble import Trouble
from storage.passphrases import SHORTEST, must_be_strong
from storage.troubles import PassphraseRefused
from sync.handoff.seals import export_root

__all__ = ["RootKey"]

_NAME = "hearthside-root-key.p12"


class RootKey(Stack):
    """Signals: `saved()`: the key is in its file and no longer in the store; `later()`: put off."""

    saved = Signal()
    later = Signal()

    def __init__(
        self,
        session: Session,
        pick: Callable[[QWidget, str, Path, str], Path | None] = pick_place,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent, between=Space.PAD)
        self._session, self._pick = session, pick
        self.add(
            Title("Take the practice’s root key out", size=Size.GREETING),
            Words(
                "Your papers carry a seal, and the root key is what made it. It is needed again only when a seal "
                "ends or a colleague joins, so it is safest on a stick in a drawer, under a passphrase, and not on "
                "this device."
            ),
        )
        self.secret = Secret(f"Passphrase for that file, at least {SHORTEST} characters")
        self.told = Told()
        self.key = Act("Choose where, and save", kind=ActKind.MAIN)
        self.key.clicked.connect(self._save)
        self.secret.entered.connect(self._save)
        put_off = Link("Later", size=Size.BASE)
        put_off.clicked.connect(self.later)
        self.add(
            self.secret,
            self.told,
            key_row(self.key, put_off),
            Words("Put off, it stays sealed inside the record, and the list of what waits says so.", ink=Role.SOFT_INK),
        )
        self.setFocusProxy(self.secret)

    def _save(self) -> None:
        passphrase = self.secret.box.text()
        try:
            must_be_strong(passphrase)
        except PassphraseRefused as refused:
            self.told.trouble(refused.sentence)
            self.secret.setFocus()
            return
        place = self._pick(self.window(), "Where the root key goes", Path.home(), _NAME)
        if place is None:
            return
        self.key.setEnabled(False)
        self.told.progress("Writing the file and reading it back.")
        self._session.lane.run(
            lambda store: export_root(store, place, passphrase), lambda _none: self._saved(), self._refused
        )

    def _saved(self) -> None:
        self.secret.take()
        self.saved.emit()

    def _refused(self, trouble: Trouble) -> None:
        self.key.setEnabled(True)
        self.told.trouble(trouble.sentence)
