"""Controls into which one types: the base they share, their boxes, and one line.

What is typed is read and kept on leaving the box, on Enter, and after a pause (words even without one). What cannot be
read stays on screen exactly as typed, is held by the binding, and a sentence says what to do; nothing is written then.
"""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QEvent, QObject, QSize, Qt, QTimer
from PySide6.QtGui import QHideEvent, QKeyEvent
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QSizePolicy, QVBoxLayout, QWidget

from desktop.controls.binding import Binding
from desktop.controls.control import Control
from desktop.controls.layouts import spaced
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Size, Space, Stroke, Target
from forms.reading import read
from forms.trouble import Refused

__all__ = ["Box", "Line", "NoteBox", "Typed"]

_PAUSE_MS = 700  # well under the two seconds within which a draft is on disk


class Box(Dressed, QLineEdit):
    """A line to type in, as tall as a target and as wide as `ems` digits at least."""

    def __init__(self, *, size: Size = Size.BASE, ems: int = 0, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._size, self._ems = size, ems
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.dress()

    def dress(self) -> None:
        self.setFont(look().font(self._size, strong=self._size >= Size.FIGURE))

    def _hint(self, digits: int) -> QSize:
        metrics = self.fontMetrics()
        around = 2 * (Space.SNUG + Stroke.LINE) + Space.FINE
        tall = metrics.height() + 2 * (Space.FINE + Stroke.LINE) + Space.FINE
        return QSize(metrics.horizontalAdvance("0") * digits + around, max(Target.TOUCH, tall))

    def sizeHint(self) -> QSize:
        return self._hint(self._ems or 24)

    def minimumSizeHint(self) -> QSize:
        return self._hint(self._ems or 8)


class NoteBox(Dressed, QPlainTextEdit):
    """A box for running text that grows with it, up to a limit, and then scrolls down inside."""

    def __init__(self, *, size: Size = Size.BASE, lines: int = 2, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._size, self._lines = size, lines
        self.setTabChangesFocus(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.document().documentLayout().documentSizeChanged.connect(lambda _size: self.updateGeometry())
        self.dress()

    def dress(self) -> None:
        self.setFont(look().font(self._size))
        self.document().setDocumentMargin(Space.NONE)

    def sizeHint(self) -> QSize:
        lines = min(max(int(self.document().size().height()), self._lines), Target.NOTE_LINES)
        tall = lines * self.fontMetrics().lineSpacing() + 2 * (Space.FINE + Stroke.LINE) + Space.FINE
        return QSize(self.fontMetrics().horizontalAdvance("0") * 40, max(Target.TOUCH, tall))

    def minimumSizeHint(self) -> QSize:
        return QSize(self.fontMetrics().horizontalAdvance("0") * 12, self.sizeHint().height())


class Typed(Control):
    """What all typed answers share. A subclass makes `box` in `_build` and says how a value is written in it."""

    box: Box | NoteBox
    waits_for_a_pause = True
    """Whether what is typed is read only once no key was pressed for a while: half a number says another thing."""

    def __init__(self, binding: Binding, path: str, parent: QWidget | None = None) -> None:
        super().__init__(binding, path, parent)
        self._dirty = False
        self.sentence = ""
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(_PAUSE_MS)
        self._pause.timeout.connect(lambda: self._keep(aloud=False))
        self._build()
        self.box.setAccessibleName(self.name)
        self.box.installEventFilter(self)
        self.box.textChanged.connect(self._typing)
        self.setFocusProxy(self.box)
        self._seal()
        self.refresh()
        self._take_up()

    def _build(self) -> None:
        raise NotImplementedError

    def _written(self, value: Any) -> str:
        """The text that stands in the box for a kept value."""
        return str(value)

    def _read(self, text: str) -> Any:
        """The value for what was typed; raises Refused."""
        return read(self.ask, text, None, self.binding.zone())

    def text(self) -> str:
        """What is in the box."""
        return self.box.text() if isinstance(self.box, QLineEdit) else self.box.toPlainText()

    def type(self, text: str) -> None:
        """Put text into the box as if it had been typed."""
        if isinstance(self.box, QLineEdit):
            self.box.setText(text)
        else:
            self.box.setPlainText(text)

    def _take_up(self) -> None:
        """Text that was refused when this question was last on screen is still there."""
        held = self.binding.typed(str(self.path))
        if held is not None and held != self.text():
            self.type(held)
            self._keep(aloud=True)

    def refresh(self) -> None:
        self._show(typing=self.box.hasFocus())

    def _show(self, *, typing: bool) -> None:
        """Show what stands; while one is typing, the box is left alone if it already means that."""
        if self._dirty or self.sentence:
            return
        known = self.known()
        text = "" if known is None else self._written(known)
        if text != self.text() and not (typing and self._same(known)):
            self.box.blockSignals(True)
            self.type(text)
            self.box.blockSignals(False)
            self.box.updateGeometry()
        self._after_refresh(known)

    def _same(self, known: Any) -> bool:
        """Whether what is in the box already means the value that stands; then typing is not disturbed."""
        try:
            return bool(self._read(self.text()) == known)
        except Refused:
            return False

    def _after_refresh(self, known: Any) -> None:
        """For controls that show more than the box."""

    def _typing(self) -> None:
        self._dirty = True
        if self.waits_for_a_pause or not self._pause.isActive():
            self._pause.start()

    def commit(self) -> None:
        self._keep(aloud=True)

    def _keep(self, *, aloud: bool) -> None:
        """Read what is in the box and keep it. Silent (a pause in typing): a refusal waits until the box is left."""
        self._pause.stop()
        if not self._dirty and not self.sentence:
            return
        text = self.text()
        try:
            value = self._read(text)
        except Refused as refused:
            self.binding.keep_typed(str(self.path), text)
            if aloud or self.sentence:
                self._tell(refused.sentence)
            return
        self._dirty = False
        self.binding.keep_typed(str(self.path), None)
        self._tell("")
        if value is not None or self.known() is not None:
            self.put(value)
        self._after_refresh(self.known())

    def _tell(self, sentence: str) -> None:
        if sentence == self.sentence:
            return
        self.sentence = sentence
        self.box.setProperty("trouble", bool(sentence))
        self.box.style().unpolish(self.box)
        self.box.style().polish(self.box)
        self.box.setAccessibleDescription(sentence)
        self.troubled.emit(sentence)

    def show_grey(self, *, grey: bool) -> None:
        if bool(self.box.property("grey")) != grey:
            self.box.setProperty("grey", grey)
            self.box.style().unpolish(self.box)
            self.box.style().polish(self.box)

    def _give_back(self) -> None:
        """Show again what is kept, in place of what was typed."""
        self._pause.stop()
        self._dirty = False
        self.binding.keep_typed(str(self.path), None)
        self._tell("")
        known = self.known()
        self.box.blockSignals(True)
        self.type("" if known is None else self._written(known))
        self.box.blockSignals(False)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.box:
            if event.type() == QEvent.Type.FocusOut:
                self._keep(aloud=True)
                self._show(typing=False)
            elif isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
                return self._key(event)
        return super().eventFilter(watched, event)

    def _key(self, event: QKeyEvent) -> bool:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and isinstance(self.box, QLineEdit):
            self._keep(aloud=True)
            self._show(typing=False)
            return True
        if event.key() == Qt.Key.Key_Escape and (self._dirty or self.sentence):
            self._give_back()
            return True
        return False

    def hideEvent(self, event: QHideEvent) -> None:
        """Leaving the page leaves the box."""
        self._keep(aloud=True)
        super().hideEvent(event)


class Line(Typed):
    """A few words. They are kept while one types on, so that a kill takes no more than the last of them."""

    waits_for_a_pause = False

    def _build(self) -> None:
        column = QVBoxLayout(self)
        spaced(column)
        self.box = Box()
        column.addWidget(self.box)
