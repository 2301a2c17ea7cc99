"""The password of a locked paper: shown large to be read out until it is told, then kept only if she says so."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Flow, Stack
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.pages.plain import ReadOut, key_row
from desktop.pages.secret import Told
from desktop.theme.tokens import Role, Size, Space
from forms.trouble import Trouble
from sync.handoff.password import BETWEEN
from sync.handoff.untold import is_told, keep

__all__ = ["PasswordShown"]

_HOW_TO_TELL = (
    "Tell it by phone or in person, never by the way the file goes. All letters are small, with a hyphen between the "
    "words."
)
_UNTIL_TOLD = "Until you say that it is told it waits here, sealed on this device; then it is forgotten. "
_ONLY_NOW = "It is shown only now. "
_WITHOUT = (
    "Without it nobody can open the file, nor the copy that is filed with the record; the record "
    "itself stays as it is, and the paper can leave again under new words."
)


class _Large(ReadOut):
    """The words on a card, in one line or broken after a hyphen.

    It has the focus first, so that it is read out and in view, and no key is pressed by an Enter too many.
    """

    def __init__(self, password: str) -> None:
        super().__init__()
        flow = Flow(self, gap=Space.NONE, row_gap=Space.FINE)
        flow.setContentsMargins(Space.WIDE, Space.PAD, Space.WIDE, Space.PAD)
        words = password.split(BETWEEN)
        for at, word in enumerate(words, 1):
            shown = word if at == len(words) else f"{word}{BETWEEN}"
            flow.addWidget(Words(shown, size=Size.WEIGHT, strong=True, wrap=False))
        self.setAccessibleName(", hyphen, ".join(words))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)


class PasswordShown(Stack):
    """The password of a paper that just left, or one that was kept. Signals: `told()`: it need not be seen any more.

    `kept()`: it is kept with the record now.
    """

    told = Signal()
    kept = Signal()

    def __init__(self, home: OpenChart, password: str, entry: str, *, once: bool) -> None:
        """`entry` says that the paper left, "" if that could not be written; `once`: it is to be told yet, not kept."""
        super().__init__(between=Space.SNUG)
        self._home, self._password, self._entry = home, password, entry
        large = _Large(password)
        self.add(Words("The password of the file", strong=True), large, Words(_HOW_TO_TELL))
        self.once = Words((_UNTIL_TOLD if entry else _ONLY_NOW) + _WITHOUT, ink=Role.SOFT_INK)
        self.failed = Told()
        done = Act("It is told" if once else "Put it away", kind=ActKind.MAIN)
        done.clicked.connect(self._told)
        keys: list[QWidget] = [done]
        self.keep = Link("Keep it with the record, on this device", size=Size.BASE)
        self.keep.clicked.connect(self._keep)
        if once:
            self.add(self.once)
            keys += [self.keep] if entry else []
        self.add(self.failed, key_row(*keys))
        self.setFocusProxy(large)

    def _told(self) -> None:
        if self._entry:  # one that is kept stays: what is forgotten is that it waits
            self._home.lane.run(partial(is_told, entry=self._entry), None, lambda _trouble: None)
        self.told.emit()

    def _keep(self) -> None:
        self.keep.setEnabled(False)
        work = partial(keep, entry=self._entry, password=self._password)
        self._home.lane.run(work, lambda _none: self._is_kept(), self._not_kept)

    def _is_kept(self) -> None:
        self.keep.hide()
        self.once.say("It is kept sealed on this device and stands below, at the paper that left.")
        self.kept.emit()

    def _not_kept(self, trouble: Trouble) -> None:
        self.keep.setEnabled(True)
        self.failed.trouble(trouble.sentence)
