"""Taking the whole record out into open files, from the practice's own page."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind
from desktop.controls.layouts import Stack
from desktop.controls.segments import Segments
from desktop.controls.words import Title, Words
from desktop.files import pick_place
from desktop.pages.plain import key_row
from desktop.pages.secret import Secret, Told
from desktop.session import Session
from desktop.theme.tokens import Role, Size, Space
from forms.trouble import Trouble
from storage.store import Store
from storage.taking_out import take_out
from storage.vault import prove_passphrase
from storage.whole import PURPOSES, Exported

__all__ = ["TakeOut"]

_NAME = "hearthside-whole-record"
_FOR_WHAT = "What it is for"


class TakeOut(Stack):
    """What it holds, what it is for, the passphrase once more, and where it goes."""

    def __init__(
        self,
        session: Session,
        pick: Callable[[QWidget, str, Path, str], Path | None] = pick_place,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent, between=Space.PAD)
        self._session, self._pick, self._purpose = session, pick, ""
        self.purpose = Segments(_FOR_WHAT, PURPOSES)
        self.purpose.picked.connect(self._chosen)
        self.secret = Secret("Passphrase of this record")
        self.secret.entered.connect(self._take)
        self.told = Told()
        self.key = Act("Choose where, and write it", kind=ActKind.MAIN)
        self.key.clicked.connect(self._take)
        self.add(
            Title("Take everything out", size=Size.GREETING),
            Words(
                "Writes a folder with everything charted, of every family: tables for other programs, papers, photos, "
                "and the log from which a new store can be made that is equal to this one."
            ),
            Words(
                "Nothing in it is encrypted, and what was told in confidence is in it. It is the practice’s own: put "
                "it on an encrypted disk, and give it to nobody.",
                strong=True,
            ),
            Words(_FOR_WHAT, strong=True),
            self.purpose,
            self.secret,
            self.told,
            key_row(self.key),
            Words(
                "The audit journal keeps that it was made, when, by whom and what for. For one person, without what "
                "is private: “hearthside export --person”.",
                ink=Role.SOFT_INK,
            ),
        )

    def _chosen(self, code: str) -> None:
        self._purpose = code
        self.purpose.show_codes((code,))

    def _take(self) -> None:
        if not self._purpose:
            self.told.trouble("Pick what it is for. Nothing was written.")
            return
        if not self.secret.box.text():
            self.told.trouble("Type the passphrase of this record. Nothing was written.")
            self.secret.setFocus()
            return
        place = self._pick(self.window(), "Where the folder goes", Path.home(), _NAME)
        if place is None:
            return
        self.key.setEnabled(False)
        self.told.progress("Writing the folder. This can take a minute.")
        typed, purpose, author, now = self.secret.take(), self._purpose, self._session.author, self._session.clock()
        self._session.lane.run(
            lambda store: _taken_out(store, place, typed, purpose, author, now),
            lambda done: self._done(place, done),
            self._refused,
        )

    def _done(self, place: Path, done: Exported) -> None:
        self.key.setEnabled(True)
        missing = done.operations_missing + done.attachments_missing
        lacks = f" {missing:,} parts have not reached this device and are not in it; sync, then write it again."
        self.told.progress(f"Everything is in {place}.{lacks if missing else ''}")

    def _refused(self, trouble: Trouble) -> None:
        self.key.setEnabled(True)
        self.told.trouble(trouble.sentence)


def _taken_out(store: Store, place: Path, passphrase: str, purpose: str, author: str, now: datetime) -> Exported:
    prove_passphrase(store.folder, passphrase)
    return take_out(store, place, purpose=purpose, by=author, now=now)
