"""Where the devices meet: a folder, a WebDAV server or an S3 store, asked in place, with what opens it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import TypeAlias

from desktop.controls.buttons import Act, ActKind
from desktop.controls.layouts import Stack
from desktop.controls.segments import Segments
from desktop.controls.typed import Box
from desktop.controls.words import Title, Words
from desktop.files import pick_folder
from desktop.pages.plain import key_row
from desktop.pages.secret import Secret, Told
from desktop.sharing import Place
from desktop.theme.tokens import Role, Size, Space
from forms.trouble import Trouble

__all__ = ["PlaceAsked", "TakePlace"]

_KINDS: Mapping[str, str] = MappingProxyType(
    {"folder": "A folder or a stick", "webdav": "A WebDAV server", "s3": "An S3 store"}
)
_HINTS: Mapping[str, str] = MappingProxyType({
    "folder": "A stick both devices take turns with, or a folder another program carries between them.",
    "webdav": "Its address, as in webdavs://files.example.org/hearthside. The folder has to be there already.",
    "s3": "Its address, as in s3://host.example.org/bucket/folder, and a key for that bucket alone.",
})  # fmt: skip


TakePlace: TypeAlias = Callable[[str, Place, Callable[[Trouble], None], Callable[[], None]], None]
"""What is done with the name of this device and the place, then what with a trouble, and what once it went well."""


class PlaceAsked(Stack):
    """Asks for the place. `named` also asks what to call this device. What was typed stays when it is refused."""

    def __init__(self, take: TakePlace, start: Path, words: str = "Meet there") -> None:
        """`take` does with the name and the place what it says, on a worker; `words` stand on the key for it."""
        super().__init__(between=Space.SNUG)
        self._take_place, self._start = take, start
        self.asked, self.named, self._kind, self._busy = False, False, "folder", False
        self.device = Box(ems=14)
        self.device.setAccessibleName("What to call this device")
        self._device = Stack(between=Space.FINE)
        self._device.add(Words("What to call this device, so that others know it", strong=True), self.device)
        self.kinds = Segments("Where the devices meet", _KINDS)
        self.kinds.picked.connect(self.pick)
        self.hint = Words("", ink=Role.SOFT_INK)
        self.address = Box(ems=24)
        self.folder_key = Act("Choose the folder")
        self.folder_key.clicked.connect(self._choose)
        self.user = Box(ems=14)
        self._user = Stack(between=Space.FINE)
        self.user_words = Words("", strong=True)
        self._user.add(self.user_words, self.user)
        self.secret = Secret("Password, or the secret of the key")
        self.told = Told()
        self.keep = Act(words, kind=ActKind.MAIN)
        self.keep.clicked.connect(self._take)
        self.leave = Act("Leave it as it is", kind=ActKind.BARE)
        self.leave.clicked.connect(self._leave)
        self.add(
            Title("Where the devices meet", size=Size.FIGURE), self._device, self.kinds, self.hint,
            Words("Address", strong=True), self.address, key_row(self.folder_key), self._user, self.secret, self.told,
            key_row(self.keep, self.leave),
        )  # fmt: skip
        self.address.setAccessibleName("Address of the place")
        self.pick("folder")

    def ask(self, *_pressed: object) -> None:
        """Show it, to meet at another place from now on; nothing changes until the new place has answered."""
        self.asked = True
        self.show()
        self.kinds.setFocus()

    def _leave(self) -> None:
        self.asked = False
        self.secret.take()
        self.told.progress("")
        self.setVisible(self.named)

    def pick(self, kind: str) -> None:
        """Ask for another sort of place."""
        self._kind = kind
        self.kinds.show_codes((kind,))
        self.refresh()

    def refresh(self) -> None:
        """What is asked, by the sort of place."""
        self.hint.say(_HINTS[self._kind])
        self._device.setVisible(self.named)
        self.folder_key.setVisible(self._kind == "folder")
        self.user_words.say("Name" if self._kind == "webdav" else "Id of the key")
        self.user.setAccessibleName(self.user_words.said())
        self._user.setVisible(self._kind != "folder")
        self.secret.setVisible(self._kind != "folder")
        self.leave.setVisible(not self.named)
        self.keep.setEnabled(not self._busy)

    def _choose(self) -> None:
        picked = pick_folder(self.window(), "The folder where the devices meet", self._start)
        if picked is not None:
            self.address.setText(str(picked))

    def _take(self) -> None:
        url, label = self.address.text().strip(), self.device.text().strip()
        if self.named and not label:
            self.told.trouble("Say what to call this device first.")
            self.device.setFocus()
            return
        # Only what the chosen sort of place asks for: a password typed for another stays here.
        user, secret = ("", "") if self._kind == "folder" else (self.user.text().strip(), self.secret.take())
        place = Place(url, user, secret)
        try:
            _ = place.label
        except Trouble as trouble:
            self.told.trouble(trouble.sentence)
            self.address.setFocus()
            return
        self._busy = True
        self.told.progress("Asking the place.")
        self.refresh()
        self._take_place(label, place, self._refused, self._done)

    def _refused(self, trouble: Trouble) -> None:
        self._busy = False
        self.told.trouble(trouble.sentence)
        self.refresh()

    def _done(self) -> None:
        self._busy = False
        self.refresh()
        self._leave()
