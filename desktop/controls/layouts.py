"""Layouts that keep every word on screen: rows that wrap, an answer with something beside it, a page that scrolls."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QMargins, QObject, QPoint, QRect, QSize, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QLayout,
    QLayoutItem,
    QScrollArea,
    QScroller,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from desktop.theme.look import look
from desktop.theme.tokens import Space, Target

__all__ = ["Beside", "Flow", "Pair", "Reach", "Stack", "spaced"]


def spaced(layout: QLayout, between: Space = Space.GAP, around: Space = Space.NONE) -> QLayout:
    """The layout with spaces from the scale."""
    layout.setSpacing(between)
    layout.setContentsMargins(around, around, around, around)
    return layout


class _Wrapping(QLayout):
    """What `Flow` and `Beside` share: a list of items, and a height that follows from the width."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self.setContentsMargins(QMargins())

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)
        self.invalidate()

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        if 0 <= index < len(self._items):
            taken = self._items.pop(index)
            self.invalidate()
            return taken
        return None

    def expandingDirections(self) -> Qt.Orientation:
        return Qt.Orientation.Horizontal

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._place(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        self._place(rect, move=True)

    def _shown(self) -> list[QLayoutItem]:
        return [item for item in self._items if not item.isEmpty()]

    def minimumSize(self) -> QSize:
        widest = max((item.minimumSize().width() for item in self._shown()), default=0)
        tallest = max((item.minimumSize().height() for item in self._shown()), default=0)
        margins = self.contentsMargins()
        return QSize(widest + margins.left() + margins.right(), tallest + margins.top() + margins.bottom())

    def _place(self, rect: QRect, *, move: bool) -> int:
        raise NotImplementedError


def _height(item: QLayoutItem, width: int) -> int:
    if item.hasHeightForWidth():
        return max(item.heightForWidth(width), item.minimumSize().height())
    return max(item.sizeHint().height(), item.minimumSize().height())


class Flow(_Wrapping):
    """Items side by side, going on in the next row when the width is used up. `gap` and `row_gap` from the scale.

    With `even` all items are as wide as the widest (digits); items never grow wider than what is there.
    """

    def __init__(
        self,
        parent: QWidget | None = None,
        *,
        gap: Space = Space.GAP,
        row_gap: Space = Space.GAP,
        even: bool = False,
    ) -> None:
        super().__init__(parent)
        self._gap, self._row_gap, self._even = gap, row_gap, even
        self._turn = 0

    def turn_at(self, place: int) -> None:
        """Begin the second row with the item at this place, if all do not fit in one row and each half does in its."""
        self._turn = place
        self.invalidate()

    def _turns(self, shown: Sequence[QLayoutItem], room: int) -> bool:
        """Whether the second row begins where it was asked to: else every row is filled and the next one begun."""

        def wide(items: Sequence[QLayoutItem]) -> int:
            return sum(item.sizeHint().width() + self._gap for item in items) - self._gap

        halves = (shown[: self._turn], shown[self._turn :])
        return wide(shown) > room and all(half and wide(half) <= room for half in halves)

    def sizeHint(self) -> QSize:
        shown = self._shown()
        wide = sum(item.sizeHint().width() for item in shown) + self._gap * max(0, len(shown) - 1)
        tall = max((item.sizeHint().height() for item in shown), default=0)
        margins = self.contentsMargins()
        return QSize(wide + margins.left() + margins.right(), tall + margins.top() + margins.bottom())

    def _place(self, rect: QRect, *, move: bool) -> int:
        inner = rect.marginsRemoved(self.contentsMargins())
        mirrored = QGuiApplication.layoutDirection() is Qt.LayoutDirection.RightToLeft
        shown = self._shown()
        widest = max((item.sizeHint().width() for item in shown), default=0)
        turn = shown[self._turn] if self._turn and self._turns(shown, inner.width()) else None
        x, y, row, placed = 0, inner.top(), 0, []
        for item in shown:
            width = min(widest if self._even else item.sizeHint().width(), max(inner.width(), 1))
            if x and (item is turn or x + width > inner.width()):
                y += row + self._row_gap
                x, row = 0, 0
            height = _height(item, width)
            placed.append((item, x, y, width, height))
            x += width + self._gap
            row = max(row, height)
        if move:
            rows: dict[int, int] = {}
            for _, _, top, _, height in placed:
                rows[top] = max(rows.get(top, 0), height)
            for item, left, top, width, _ in placed:
                at = inner.right() + 1 - left - width if mirrored else inner.left() + left
                item.setGeometry(QRect(QPoint(at, top), QSize(width, rows[top])))
        margins = self.contentsMargins()
        return y + row - rect.top() + margins.bottom()


class Beside(_Wrapping):
    """A main item with a small one at its far side; below it instead, where the main item would get too narrow.

    Both stand at the top; with `low` the small one stands at the foot of the main one, with `middle` both are centred.
    """

    def __init__(
        self, parent: QWidget | None = None, *, gap: Space = Space.PAD, low: bool = False, middle: bool = False
    ) -> None:
        super().__init__(parent)
        self._gap, self._low, self._middle = gap, low, middle

    def sizeHint(self) -> QSize:
        shown = self._shown()
        wide = sum(item.sizeHint().width() for item in shown) + self._gap * max(0, len(shown) - 1)
        return QSize(wide, max((item.sizeHint().height() for item in shown), default=0))

    def _place(self, rect: QRect, *, move: bool) -> int:
        shown = self._shown()
        if not shown:
            return 0
        main = shown[0]
        if len(shown) == 1:
            return self._below(rect, main, None, move=move)
        side = shown[1]
        side_width = min(side.sizeHint().width(), rect.width())
        left = rect.width() - side_width - self._gap
        if left < max(main.minimumSize().width(), look().px(Target.READING * Space.SNUG)):
            return self._below(rect, main, side, move=move)
        main_height, side_height = _height(main, left), _height(side, side_width)
        height = max(main_height, side_height)
        if move:
            mirrored = QGuiApplication.layoutDirection() is Qt.LayoutDirection.RightToLeft
            main_x = rect.left() + (side_width + self._gap if mirrored else 0)
            side_x = rect.left() if mirrored else rect.left() + left + self._gap
            share = 2 if self._middle else 1 if self._low else 0
            main_down = (height - main_height) // 2 if self._middle else 0
            side_down = (height - side_height) // share if share else 0
            main.setGeometry(QRect(main_x, rect.top() + main_down, left, main_height))
            side.setGeometry(QRect(side_x, rect.top() + side_down, side_width, side_height))
        return height

    def _below(self, rect: QRect, main: QLayoutItem, side: QLayoutItem | None, *, move: bool) -> int:
        """Place the main item over the whole width, and the small one under it; the height of both."""
        height = _height(main, rect.width())
        if move:
            main.setGeometry(QRect(rect.topLeft(), QSize(rect.width(), height)))
        if side is None:
            return height
        side_width = min(side.sizeHint().width(), rect.width())
        side_height = _height(side, side_width)
        if move:
            below = QPoint(rect.left(), rect.top() + height + Space.GAP)
            side.setGeometry(QRect(below, QSize(side_width, side_height)))
        return height + Space.GAP + side_height


class Stack(QWidget):
    """A plain column: what is added stands below what came before, as wide as there is room."""

    def __init__(
        self, parent: QWidget | None = None, *, between: Space = Space.GAP, around: Space = Space.NONE
    ) -> None:
        super().__init__(parent)
        self._column = QVBoxLayout(self)
        spaced(self._column, between, around)

    def add(self, *widgets: QWidget) -> None:
        """Adds widgets at the foot."""
        for widget in widgets:
            self._column.addWidget(widget)

    def insert(self, at: int, widget: QWidget) -> None:
        """Puts a widget at a place in the column."""
        self._column.insertWidget(at, widget)

    def arrange(self, widgets: Sequence[QWidget]) -> None:
        """Put these at the top in this order; those that stand so already are not touched."""
        for at, widget in enumerate(widgets):
            if self._column.indexOf(widget) != at:
                self._column.removeWidget(widget)
                self._column.insertWidget(at, widget)

    def setContentsMargins(self, left: int, top: int, right: int, bottom: int) -> None:  # type: ignore[override]
        """Room round the column."""
        self._column.setContentsMargins(left, top, right, bottom)

    def finish(self) -> None:
        """Leaves the room that is over at the foot."""
        self._column.addStretch(1)

    def clear(self) -> None:
        """Takes everything out and away."""
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.setParent(None)
                widget.deleteLater()


class Reach(QScrollArea):
    """A page that scrolls down only, by wheel, key, finger or bar, and brings what has the focus into view."""

    def __init__(self, content: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        content.setProperty("reach", True)
        self.setWidget(content)
        QScroller.grabGesture(self.viewport(), QScroller.ScrollerGestureType.TouchGesture)
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.timeout.connect(self._bring_late)
        app = QGuiApplication.instance()
        if isinstance(app, QGuiApplication):
            app.focusObjectChanged.connect(self._bring)

    def _bring(self, focused: QObject | None) -> None:
        """Scroll so far that the focused control and its ring are wholly in view."""
        content = self.widget()
        if isinstance(focused, QWidget) and content is not None and content.isAncestorOf(focused):
            self._show_whole(focused)
            self.bring_later()  # a page just laid comes to rest only after this

    @staticmethod
    def again(inside: QWidget) -> None:
        """Something was laid anew on the page of a widget: what has the focus there comes into view once more."""
        above = inside.parentWidget()
        while above is not None and not isinstance(above, Reach):
            above = above.parentWidget()
        if above is not None:
            above.bring_later()

    def bring_later(self) -> None:
        """Bring what has the focus into view once the page has come to rest."""
        self._late.start()

    def _bring_late(self) -> None:
        focused, content = QApplication.focusWidget(), self.widget()
        if focused is not None and content is not None and content.isAncestorOf(focused):
            self._show_whole(focused)

    def _show_whole(self, widget: QWidget) -> None:
        tall, top = self.viewport().height(), widget.mapTo(self.viewport(), QPoint()).y()
        if widget.height() <= tall:
            self.ensureWidgetVisible(widget, Space.WIDE, Space.FAR)
        elif min(top + widget.height(), tall) - max(top, 0) < tall / 2:
            # The library would show the middle of what is too tall to be shown whole; it is read from its top.
            self.verticalScrollBar().setValue(self.verticalScrollBar().value() + top)
        bar = self.horizontalScrollBar()
        bar.setValue(bar.minimum())

    def minimumSizeHint(self) -> QSize:
        content = self.widget()
        wide = content.minimumSizeHint().width() if content is not None else 0
        return QSize(wide + self.verticalScrollBar().sizeHint().width(), Target.TOUCH)


class Pair(_Wrapping):
    """Two items side by side in equal halves where both fit so, else the second below the first; left stays left.

    Used for the two sides of the body, which do not mirror in right-to-left languages.
    """

    def __init__(self, parent: QWidget | None = None, *, gap: Space = Space.PAD) -> None:
        super().__init__(parent)
        self._gap = gap

    def sizeHint(self) -> QSize:
        shown = self._shown()
        wide = max((item.sizeHint().width() for item in shown), default=0)
        return QSize(wide, max((item.sizeHint().height() for item in shown), default=0))

    def _place(self, rect: QRect, *, move: bool) -> int:
        shown = self._shown()
        half = (rect.width() - self._gap) // 2
        abreast = len(shown) == 2 and all(item.sizeHint().width() <= half for item in shown)
        if abreast:
            height = max(_height(item, half) for item in shown)
            if move:
                for place, item in enumerate(shown):
                    at = rect.left() + place * (half + self._gap)
                    item.setGeometry(QRect(at, rect.top(), half, height))
            return height
        y = 0
        for item in shown:
            height = _height(item, rect.width())
            if move:
                item.setGeometry(QRect(rect.left(), rect.top() + y, rect.width(), height))
            y += height + Space.SNUG
        return max(0, y - Space.SNUG)
