"""Adding a known sender: the whole fingerprint is compared, line by line, with somebody of that practice."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act
from desktop.controls.layouts import Pair, Stack
from desktop.controls.segments import Segments
from desktop.controls.typed import Box
from desktop.controls.words import Title, Words
from desktop.pages.paper_found import in_lines
from desktop.pages.plain import key_row, main_key
from desktop.pages.secret import Told
from desktop.theme.tokens import Size, Space
from forms.known_sender import COMPARED

__all__ = ["CompareSender"]

_SAME, _OPEN = "the same", "not compared yet"


class CompareSender(Stack):
    """Asks for each line of the fingerprint, how it was compared, and a name.

    Signals: `compared(str, str)` with the name and the code of `COMPARED`; `put_off()`.
    """

    compared = Signal(str, str)
    put_off = Signal()

    def __init__(self, fingerprint: str, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.PAD)
        self._how = ""
        self.add(
            Title("Compare the whole fingerprint", size=Size.JOT),
            Words(
                "Ring the practice at a number you have from elsewhere, never from this paper, or meet them. Have them "
                "read their fingerprint to you, and press each line that is the same to the last letter."
            ),
        )
        self.lines: list[Act] = []
        lines = in_lines(fingerprint, 4)
        for at in range(0, len(lines), 2):
            holder = QWidget()
            pair = Pair(holder)
            for groups in lines[at : at + 2]:
                line = Act(groups, small=_OPEN)
                line.setCheckable(True)
                line.toggled.connect(lambda on, line=line: line.say(line.text(), _SAME if on else _OPEN))
                pair.addWidget(line)
                self.lines.append(line)
            self.add(holder)
        self.how = Segments("How the fingerprint was compared", COMPARED)
        self.how.picked.connect(self._pick)
        self.name = Box(ems=16)
        self.name.setAccessibleName("Your name for this sender")
        self.name.returnPressed.connect(self._add)
        self.told = Told()
        key, differs, later = main_key("Add this sender"), Act("They are not the same"), Act("Not now")
        key.clicked.connect(self._add)
        differs.clicked.connect(self._differs)
        later.clicked.connect(self.put_off)
        self.add(
            Words("How it was compared", strong=True), self.how, Words("Your name for this sender", strong=True),
            self.name, self.told, key_row(key, differs, later),
        )  # fmt: skip
        self.setFocusProxy(self.lines[0])

    def _pick(self, code: str) -> None:
        self._how = code
        self.how.show_codes((code,))

    def _add(self) -> None:
        name = self.name.text().strip()
        if not all(line.isChecked() for line in self.lines):
            self.told.trouble("Not every line is compared yet: press each one that is the same. Nothing was added.")
        elif not self._how:
            self.told.trouble("Say how it was compared. Nothing was added yet.")
        elif not name:
            self.told.trouble("Write the name you know this sender by. Nothing was added yet.")
            self.name.setFocus()
        else:
            self.compared.emit(name, self._how)

    def _differs(self) -> None:
        for line in self.lines:
            line.setChecked(False)
        self.told.trouble(
            "Then this paper was not sealed by that practice. Nothing was added. Do not rely on it, and tell them."
        )
