"""The deliberate non-answer: one box beside a question that opens the four absence answers in place."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRect, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QEnterEvent, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QPushButton, QSizePolicy, QVBoxLayout, QWidget

from desktop.controls.binding import Binding
from desktop.controls.layouts import spaced
from desktop.controls.segments import Segments
from desktop.controls.shown import ABSENCE_WORDS, field_name
from desktop.controls.typed import Box
from desktop.controls.words import Snug, Words, longest_word, paint_ring, wrapped
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Radius, Role, Size, Space, Stroke, Target
from forms.answers import Absence, Absent, Side
from forms.ask import Path

__all__ = ["AbsencePanel", "NoAnswer"]

_WORDS = "No answer"
_PAUSE_MS = 700


class NoAnswer(Snug, Dressed, QPushButton):
    """The dashed box. Says "No answer", or which non-answer stands; opens and closes its panel.

    Checked while the panel is open.
    """

    def __init__(self, whose: str, parent: QWidget | None = None) -> None:
        super().__init__(_WORDS, parent)
        self._whose = whose
        self._standing = ""
        self.setCheckable(True)
        policy = QSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.stand("")

    def stand(self, words: str) -> None:
        """Say which non-answer stands; "" for none."""
        self._standing = words
        self.setText(words or _WORDS)
        self.setAccessibleName(f"{self._whose}: {words or _WORDS.lower()}")
        self.updateGeometry()
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
            return
        super().keyPressEvent(event)

    def enterEvent(self, event: QEnterEvent) -> None:
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self.update()

    def natural_width(self) -> int:
        font = look().font(strong=True)
        return max(wrapped(font, _WORDS, 1 << 20).width() + Space.FINE, longest_word(font, self.text())) + 2 * Space.PAD

    def heightForWidth(self, width: int) -> int:
        text = wrapped(look().font(strong=bool(self._standing)), self.text(), width - 2 * Space.SNUG)
        return max(Target.TOUCH, text.height() + 2 * Space.GAP)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        now = look()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        solid = bool(self._standing) or self.isChecked()
        pen = QPen(now.colour(Role.INK if self._standing else Role.EDGE), Stroke.HAIR)
        if not solid:
            pen.setDashPattern([4, 3])
        painter.setPen(pen)
        pointed = self.underMouse() or self.isChecked()
        painter.setBrush(now.tint(Role.WELL, Role.CARD, 70) if pointed else Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), Radius.VEIL, Radius.VEIL)
        painter.setFont(now.font(strong=bool(self._standing)))
        painter.setPen(now.colour(Role.INK if self._standing else Role.SOFT_INK))
        inner: QRect = self.rect().adjusted(Space.SNUG, 0, -Space.SNUG, 0)
        painter.drawText(
            inner, Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeading, self.text()
        )
        if self.hasFocus():
            paint_ring(painter, self.rect(), now, radius=Radius.VEIL)


class _Absences(QWidget):
    """The four answers for one path, and the why of "not done"."""

    closed = Signal()

    def __init__(self, binding: Binding, path: str, heading: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._binding, self._path = binding, path
        self.path = path
        name = field_name(binding, Path.read(path))
        column = QVBoxLayout(self)
        spaced(column, Space.FINE)
        if heading:
            column.addWidget(Words(heading, size=Size.SMALL, ink=Role.SOFT_INK))
        self.strip = Segments(f"No answer to {name}", {str(kind): words for kind, words in ABSENCE_WORDS.items()})
        self.strip.picked.connect(self._pick)
        column.addWidget(self.strip)
        self.why_words = Words("Why", size=Size.SMALL, ink=Role.SOFT_INK)
        self.why = Box()
        self.why.setAccessibleName(f"Why there is no answer to {name}")
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(_PAUSE_MS)
        self._pause.timeout.connect(self._keep_why)
        self.why.textEdited.connect(lambda _text: self._pause.start())
        self.why.editingFinished.connect(self._keep_why)
        column.addWidget(self.why_words)
        column.addWidget(self.why)
        binding.changed.connect(self._hear)  # a method, so that it is let go with the widget
        self.refresh()

    def _hear(self, path: str) -> None:
        if path == self._path:
            self.refresh()

    def _pick(self, code: str) -> None:
        if code in self.strip.codes():
            self._binding.put(self._path, None)
            return
        kind = Absence(code)
        self._binding.put(self._path, Absent(kind, self.why.text() if kind is Absence.NOT_DONE else ""))
        self.refresh()
        if kind is Absence.NOT_DONE:
            self.why.setFocus()
        else:
            self.closed.emit()

    def _keep_why(self) -> None:
        self._pause.stop()
        given = self._binding.value(self._path)
        if isinstance(given, Absent) and given.why != self.why.text():
            self._binding.put(self._path, Absent(given.kind, self.why.text()))

    def refresh(self) -> None:
        """Show what stands."""
        given = self._binding.value(self._path)
        absent = given if isinstance(given, Absent) else None
        self.strip.show_codes((str(absent.kind),) if absent else ())
        asked = absent is not None and (absent.kind is Absence.NOT_DONE or bool(absent.why))
        self.why_words.setVisible(asked)
        self.why.setVisible(asked)
        if absent and absent.why != self.why.text() and not self.why.hasFocus():
            self.why.setText(absent.why)


class AbsencePanel(QWidget):
    """What opens under the question: the four answers, once per side for a question with sides.

    Signal `closed()`: an answer was picked that needs no more words.
    """

    closed = Signal()

    def __init__(self, binding: Binding, paths: tuple[str, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        spaced(column, Space.SNUG)
        self.parts: list[_Absences] = []
        for path in paths:
            side = Path.read(path).side
            left, right = binding.person_words() if side else ("", "")
            part = _Absences(binding, path, left if side is Side.LEFT else right)
            part.closed.connect(self.closed)
            self.parts.append(part)
            column.addWidget(part)

    def show_sides(self, sides: tuple[Side, ...]) -> None:
        """Narrow it to these sides; a question without sides keeps its one part."""
        for part in self.parts:
            side = Path.read(part.path).side
            part.setVisible(side is None or side in sides)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.closed.emit()
            return
        super().keyPressEvent(event)
