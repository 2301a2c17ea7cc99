"""The first launch up to the passphrase: a greeting, three screens of what is kept where, and making the store."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.begins import Begins
from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.typed import NoteBox
from desktop.controls.words import Rule, Title, Words
from desktop.errands import Errands
from desktop.pages.plain import PlainPage, focus_soon, key_row
from desktop.pages.secret import Emblem, Secret, Told
from desktop.theme.halfmoons import MoonState
from desktop.theme.tokens import Role, Size
from forms.trouble import Trouble
from storage.passphrases import SHORTEST, must_be_strong
from storage.troubles import PassphraseRefused

if TYPE_CHECKING:
    from desktop.app import Means
    from storage.vault import SetUp

__all__ = ["FirstLaunchPage"]

_SCREENS = (
    (
        "Kept on this device",
        (
            "Everything you chart stays in one folder on this device, encrypted. No account, no server, no signal "
            "needed. Whoever finds the device finds a folder that cannot be read."
        ),
        (
            "While it is unlocked, anyone who holds the device can read it. It locks by itself after a few minutes, "
            "and at once with Ctrl+L."
        ),
    ),
    (
        "Opened by two things only",
        (
            "A passphrase you keep in your head, and a recovery sheet you keep on paper, somewhere else. Either one "
            "opens the record; nothing else does."
        ),
        "Nobody can reset them for you. With both gone the record is gone, so the next steps go slowly.",
    ),
    (
        "What leaves, leaves by your hand",
        (
            "Papers for families and letters to providers are saved or printed when you say so, and each is sealed so "
            "that a changed word shows."
        ),
        (
            "Nothing is sent anywhere unless you share the record with other devices; then sealed files go to a place "
            "you choose. A copy of the record on another disk is yours to make, and worth making."
        ),
    ),
)
_LAST = len(_SCREENS) + 1


class FirstLaunchPage(PlainPage):
    """Signals: `made(SetUp, Begins)`: the store is open; `invented_made(folder, passphrase)`: an invented one is there.

    The main way is a record of its own; two links lead to a record that is there already, from the greeting.
    """

    made = Signal(object, object)
    invented_made = Signal(object, str)

    def __init__(self, folder: Path, means: Means, errands: Errands) -> None:
        super().__init__()
        self.setObjectName("first_launch")
        self._folder, self._means, self._errands = folder, means, errands
        self._step, self._begins = 0, Begins.ALONE
        self._show()

    # --- steps ------------------------------------------------------------------------------------------------------

    def go(self, step: int) -> None:
        """To a step: 0 the greeting, 1 to 3 what is kept where, 4 the passphrase."""
        self._step = step
        self._show()

    def _show(self) -> None:
        self.column.clear()
        if self._step == 0:
            self._greeting()
        elif self._step <= len(_SCREENS):
            self._screen(*_SCREENS[self._step - 1])
        else:
            self._passphrase()
        self.column.finish()

    def _keys(self, *keys: QWidget) -> None:
        self.column.add(key_row(*keys))

    def _onward(self, words: str = "Go on", small: str = "") -> Act:
        key = Act(words, kind=ActKind.MAIN, small=small)
        key.clicked.connect(lambda: self.go(self._step + 1))
        self.setFocusProxy(key)
        focus_soon(key)
        return key

    def _back(self) -> Link:
        link = Link("Back", size=Size.BASE)
        link.clicked.connect(lambda: self.go(0 if self._begins is Begins.COME_BACK else self._step - 1))
        return link

    def _greeting(self) -> None:
        self.column.add(
            Emblem(MoonState.NOT_DONE, MoonState.NOT_DONE),
            Title("Welcome to Hearthside", size=Size.GREETING),
            Words(
                "For charting a feeding visit in someone’s living room: one free hand, no signal, a family looking on.",
                size=Size.JOT,
            ),
            Words("Setting up takes about ten minutes. Have paper and a pen at hand.", ink=Role.SOFT_INK),
        )
        invented = Link("Look around an invented practice first", size=Size.BASE)
        invented.clicked.connect(lambda: self._invent(invented))
        self.told = Told()
        self.column.add(self.told)
        self._begins = Begins.ALONE
        self._keys(self._onward("Begin", "with this device alone"), invented)
        join = Link("Join devices that are there already", size=Size.BASE)
        join.clicked.connect(lambda: self._for(Begins.JOIN, 1))
        back = Link("Everything is lost: come back with the recovery sheet", size=Size.BASE)
        back.clicked.connect(lambda: self._for(Begins.COME_BACK, _LAST))
        self.column.add(Rule(), Words("Is the record somewhere already?", strong=True))
        self._keys(join, back)

    def _for(self, begins: Begins, step: int) -> None:
        self._begins = begins
        self.go(step)

    def _invent(self, link: Link) -> None:
        """Make the invented practice beside the place of the real one, or find the one made before."""
        from demo_db.build import PASSPHRASE, build  # a world of its own, seldom asked for

        folder = self._folder.with_name(f"{self._folder.name}-invented")
        store = folder / "stores" / "laptop"
        link.setEnabled(False)
        self.told.progress("Writing the invented families. This takes some seconds.")
        self._errands.run(
            lambda: store if store.is_dir() else build(folder).store,
            lambda made: self.invented_made.emit(made, PASSPHRASE),
            self._not_invented,
        )

    def _not_invented(self, trouble: Trouble) -> None:
        self.told.trouble(trouble.sentence)

    def _screen(self, title: str, first: str, then: str) -> None:
        self.column.add(
            Words(f"{self._step} of {len(_SCREENS)}", size=Size.SMALL, ink=Role.SOFT_INK),
            Title(title, size=Size.GREETING),
            Words(first, size=Size.JOT),
            Words(then, ink=Role.SOFT_INK),
        )
        self._keys(self._onward(), self._back())

    def _passphrase(self) -> None:
        self.sheet = NoteBox(size=Size.JOT, lines=2)
        self.sheet.setAccessibleName("Recovery words")
        if self._begins is Begins.COME_BACK:
            self.column.add(
                Title("The words, and a passphrase for this device", size=Size.GREETING),
                Words("Recovery words, from the sheet of the device that set sharing up", strong=True),
                self.sheet,
                Words("Spaces and capitals do not matter. The sheet stays good, and opens this device too."),
            )
        else:
            self.column.add(
                Emblem(MoonState.NOT_DONE, MoonState.NOT_DONE), Title("Choose a passphrase", size=Size.GREETING)
            )
        self.column.add(
            Words(
                f"At least {SHORTEST} characters. Four or five words that have nothing to do with each other are easy "
                "to keep and hard to guess. Spaces count; pasting is fine."
            ),
        )
        self.secret, self.again = Secret("Passphrase"), Secret("Once more")
        self.again.entered.connect(self._make)
        self.secret.entered.connect(self.again.setFocus)
        self.told = Told()
        self.make_key = Act("Make the record", kind=ActKind.MAIN)
        self.make_key.clicked.connect(self._make)
        self.column.add(
            self.secret,
            self.again,
            self.told,
            Words(f"The record will be kept in {self._folder}", size=Size.SMALL, ink=Role.SOFT_INK),
        )
        self._keys(self.make_key, self._back())
        first = self.sheet if self._begins is Begins.COME_BACK else self.secret
        self.setFocusProxy(first)
        focus_soon(first)

    # --- making the store -------------------------------------------------------------------------------------------

    def _make(self) -> None:
        passphrase, begins = self.secret.box.text(), self._begins
        words = self.sheet.toPlainText() if begins is Begins.COME_BACK else None
        if words is not None and not words.strip():
            self.told.trouble("Type the words of the recovery sheet first.")
            self.sheet.setFocus()
            return
        try:
            must_be_strong(passphrase)
        except PassphraseRefused as refused:
            self.told.trouble(refused.sentence)
            self.secret.setFocus()
            return
        if passphrase != self.again.box.text():
            self.told.trouble("The two do not match. Show both and compare, or type the second one again.")
            self.again.setFocus()
            return
        self._enable(on=False)
        self.told.progress("Measuring this device and making the keys. This takes a few seconds.")
        from storage.vault import set_up  # the greeting does not need the store

        folder, means = self._folder, self._means
        self._errands.run(
            lambda: set_up(folder, passphrase, clock=means.clock, ids=means.ids, argon=means.argon, words=words),
            self._made,
            self._refused,
        )

    def _made(self, made: SetUp) -> None:
        self.secret.take()
        self.again.take()
        self.sheet.clear()
        self.made.emit(made, self._begins)

    def _refused(self, trouble: Trouble) -> None:
        self._enable(on=True)
        self.told.trouble(trouble.sentence)

    def _enable(self, *, on: bool) -> None:
        for widget in (self.secret, self.again, self.make_key, self.sheet):
            widget.setEnabled(on)
