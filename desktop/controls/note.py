"""A note of any length: the box that grows, and the practice's phrases, put in with their blanks to fill."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QTextCursor
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.buttons import Link
from desktop.controls.finder import Finder, Found
from desktop.controls.layouts import Beside, spaced
from desktop.controls.typed import NoteBox, Typed
from desktop.controls.words import Words
from desktop.theme.tokens import Role, Size, Space
from forms.phrase import blank_spans, takes_phrases

__all__ = ["Note"]

_PREVIEW = 72


class Note(Typed):
    """As many words as she likes; they are kept while one types on, like those of a line.

    Where the practice keeps phrases that fit, "Phrases" opens them in place. A phrase goes in where the cursor is, its
    first blank marked; Tab goes to the next blank and, past the last, on to the next question as always.
    """

    waits_for_a_pause = False
    box: NoteBox

    def _build(self) -> None:
        column = QVBoxLayout(self)
        spaced(column, Space.FINE)
        self.box = NoteBox()
        row = QWidget()
        beside = Beside(row)
        beside.addWidget(self.box)
        self.opener = Link("Phrases")
        self.opener.setAccessibleName(f"Phrases for {self.name}")
        self.opener.clicked.connect(self._toggle)
        beside.addWidget(self.opener)
        self.left = Words("", size=Size.SMALL, ink=Role.WELD)
        self.finder: Finder | None = None
        self._column = column
        column.addWidget(row)
        column.addWidget(self.left)
        self.box.textChanged.connect(self._count)
        self.opener.setVisible(False)
        self.left.hide()

    def refresh(self) -> None:
        super().refresh()
        self._offer()
        self._count()

    def _offer(self) -> None:
        found = [Found(str(at), label, _preview(words)) for at, (label, words) in enumerate(self._phrases())]
        self.opener.setVisible(bool(found))
        if self.finder is not None:
            self.finder.offer(found)

    def _phrases(self) -> tuple[tuple[str, str], ...]:
        return self.binding.phrases(str(self.path))

    def _toggle(self, *_pressed: object) -> None:
        if self.finder is None:
            self.finder = Finder(f"Find a phrase for {self.name}")
            self.finder.box.setPlaceholderText("Find a phrase")
            self.finder.picked.connect(lambda key: self.put_in(self._phrases()[int(key)][1]))
            self.finder.closed.connect(self._close)
            self.finder.setContentsMargins(Space.NONE, Space.FINE, Space.NONE, Space.NONE)
            self.finder.hide()
            self._column.addWidget(self.finder)
            QWidget.setTabOrder(self.opener, self.finder.box)
        if not self.finder.isHidden():
            self._close()
            return
        self._offer()
        self.finder.show()
        self.finder.begin()

    def _close(self) -> None:
        if self.finder is not None:
            self.finder.hide()
        self.box.setFocus(Qt.FocusReason.OtherFocusReason)

    def put_in(self, words: str) -> None:
        """Put a phrase in where the cursor is (at the end of a text not yet touched), and mark its first blank.

        What stands is never replaced, not even what is marked.
        """
        cursor = self.box.textCursor()
        cursor.setPosition(cursor.selectionEnd())
        if cursor.position() == 0:
            cursor.movePosition(QTextCursor.MoveOperation.End)
        before = self.text()[: _letters(self.text(), cursor.position())]
        start = cursor.position() + (1 if before and not before[-1].isspace() else 0)
        cursor.insertText((" " if start != cursor.position() else "") + words)
        self.box.setTextCursor(cursor)
        self._close()
        cursor.setPosition(start)
        self.box.setTextCursor(cursor)
        if not self._to_blank(forward=True):
            cursor.setPosition(start + _units(words, len(words)))
            self.box.setTextCursor(cursor)

    def _blanks(self) -> tuple[tuple[int, int], ...]:
        """The blanks to fill; a phrase being written holds its blanks for good."""
        return blank_spans(self.text()) if takes_phrases(self.binding.form, self.ask) else ()

    def _to_blank(self, *, forward: bool) -> bool:
        """Mark the next blank from the cursor on, or the one before it; whether there is one."""
        text, cursor = self.text(), self.box.textCursor()
        spans = [(_units(text, start), _units(text, end)) for start, end in self._blanks()]
        if forward:
            found = next((span for span in spans if span[0] >= cursor.selectionEnd()), None)
        else:
            found = next((span for span in reversed(spans) if span[1] <= cursor.selectionStart()), None)
        if found is None:
            return False
        cursor.setPosition(found[0])
        cursor.setPosition(found[1], QTextCursor.MoveMode.KeepAnchor)
        self.box.setTextCursor(cursor)
        return True

    def _count(self) -> None:
        left = len(self._blanks())
        words = "1 blank to fill" if left == 1 else f"{left} blanks to fill"
        self.left.say(f"{words}. Tab goes to the next." if left else "")
        self.left.setVisible(bool(left))

    def _key(self, event: QKeyEvent) -> bool:
        plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier)
        if plain and event.key() == Qt.Key.Key_Tab and self._to_blank(forward=True):
            return True
        if plain and event.key() == Qt.Key.Key_Backtab and self._to_blank(forward=False):
            return True
        return super()._key(event)


def _preview(words: str) -> str:
    """The beginning of a phrase in one line."""
    one = " ".join(words.split())
    return one if len(one) <= _PREVIEW else f"{one[:_PREVIEW].rpartition(' ')[0]} …"


def _units(text: str, letters: int) -> int:
    """The place in a document (UTF-16 units) of a place in a text (letters)."""
    return len(text[:letters].encode("utf-16-le")) // 2


def _letters(text: str, units: int) -> int:
    """The place in a text (letters) of a place in a document (UTF-16 units)."""
    return len(text.encode("utf-16-le")[: 2 * units].decode("utf-16-le", "ignore"))
