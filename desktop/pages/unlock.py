"""The locked window: the passphrase, what stands in the way of opening, and the way in by the recovery sheet."""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import Signal

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.shown import clock
from desktop.controls.typed import NoteBox
from desktop.controls.words import Title, Words
from desktop.pages.plain import PlainPage, key_row
from desktop.pages.secret import Emblem, Secret, Told
from desktop.theme.tokens import Role, Size
from forms.trouble import Trouble
from storage.passphrases import SHORTEST, must_be_strong
from storage.troubles import AlreadyOpen, DamagedSlot, PassphraseRefused, RecoveryMistyped

__all__ = ["RecoveryPage", "UnlockPage"]

OPENING = "Checking the passphrase. This takes about a second, on purpose."
READING = "Opening the record and checking that nothing is missing."
PUTTING_AWAY = "Putting the record away. The passphrase can be typed in a moment."


class UnlockPage(PlainPage):
    """Signals: `unlock_asked(passphrase)`, `recovery_asked()`, `other_asked()` for another store's folder."""

    unlock_asked = Signal(str)
    recovery_asked = Signal()
    other_asked = Signal()

    def __init__(self, folder: str, *, why: str = "", unsaved: datetime | None = None) -> None:
        """`why` says when and why it locked; `unsaved` is the local time since when answers wait for room on disk."""
        super().__init__()
        self.setObjectName("unlock")
        self.column.add(Emblem(), Title("Locked", size=Size.GREETING))
        self.column.add(Words(why or "The record on this device is closed and encrypted.", ink=Role.SOFT_INK))
        if unsaved is not None:
            self.column.add(
                Words(
                    f"Not saved since {clock(unsaved)}. What you typed is kept in this window; leave it open, make "
                    "room on the disk, and unlock.",
                    strong=True,
                    ink=Role.WELD,
                )
            )
        self.secret = Secret("Passphrase")
        self.secret.entered.connect(self._ask)
        self.told = Told()
        self.open_key = Act("Unlock", kind=ActKind.MAIN)
        self.open_key.clicked.connect(self._ask)
        self.recover_link = Link("Use the recovery sheet", size=Size.BASE)
        self.recover_link.clicked.connect(self.recovery_asked)
        self.other_link = Link("Open another store", size=Size.BASE)
        self.other_link.clicked.connect(self.other_asked)
        self.column.add(self.secret, self.told, key_row(self.open_key, self.recover_link, self.other_link))
        self.column.add(Words(f"Kept in {folder}", size=Size.SMALL, ink=Role.SOFT_INK))
        self.column.finish()
        self.setFocusProxy(self.secret)

    def _ask(self) -> None:
        if not self.open_key.isEnabled():
            return
        typed = self.secret.take()
        if not typed:
            self.told.trouble("Type the passphrase first.")
            self.secret.setFocus()
            return
        self.busy(OPENING)
        self.unlock_asked.emit(typed)

    def busy(self, words: str) -> None:
        """Something is under way: nothing can be asked meanwhile."""
        self.told.progress(words)
        self._enable(on=False)

    def ready(self) -> None:
        """The passphrase can be typed."""
        self.told.progress("")
        self._enable(on=True)
        self.secret.setFocus()

    def fail(self, trouble: Trouble) -> None:
        """Say what stands in the way; a damaged key file leads to the recovery sheet."""
        self._enable(on=True)
        self.told.trouble(trouble.sentence)
        if isinstance(trouble, AlreadyOpen):
            self.open_key.say("Try again")
        if isinstance(trouble, DamagedSlot):
            self.recover_link.setFocus()
        else:
            self.secret.setFocus()

    def _enable(self, *, on: bool) -> None:
        for widget in (self.secret, self.open_key, self.recover_link, self.other_link):
            widget.setEnabled(on)


class RecoveryPage(PlainPage):
    """Opening with the recovery sheet, and a new passphrase in place of the lost one.

    Signals: `recover_asked(words, passphrase)`, `back_asked()`.
    """

    recover_asked = Signal(str, str)
    back_asked = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("recovery")
        self.column.add(Emblem(), Title("Open with the recovery sheet", size=Size.GREETING))
        self.column.add(
            Words(
                "Type the groups from the sheet; spaces and capitals do not matter. Then choose a new passphrase. "
                "The sheet stays good.",
                ink=Role.SOFT_INK,
            ),
            Words("Recovery words", strong=True),
        )
        self.words = NoteBox(size=Size.JOT, lines=2)
        self.words.setAccessibleName("Recovery words")
        self.secret = Secret(f"New passphrase, at least {SHORTEST} characters")
        self.secret.entered.connect(self._ask)
        self.told = Told()
        self.open_key = Act("Open and set the new passphrase", kind=ActKind.MAIN)
        self.open_key.clicked.connect(self._ask)
        back = Link("Back to the passphrase", size=Size.BASE)
        back.clicked.connect(self.back_asked)
        self.column.add(self.words, self.secret, self.told, key_row(self.open_key, back))
        self.column.finish()
        self.setFocusProxy(self.words)

    def _ask(self) -> None:
        if not self.words.toPlainText().strip():
            self.told.trouble("Type the words of the recovery sheet first.")
            self.words.setFocus()
            return
        try:
            must_be_strong(self.secret.box.text())
        except PassphraseRefused as refused:
            self.told.trouble(refused.sentence)
            self.secret.setFocus()
            return
        self.open_key.setEnabled(False)
        self.told.progress("Checking the sheet and setting the new passphrase. This takes a second or two.")
        self.recover_asked.emit(self.words.toPlainText(), self.secret.box.text())

    def fail(self, trouble: Trouble) -> None:
        """Say what stands in the way. The words stay, to be compared with the sheet."""
        self.open_key.setEnabled(True)
        self.told.trouble(trouble.sentence)
        if isinstance(trouble, RecoveryMistyped):
            self.words.setFocus()
