"""A table of figures: the twin of a plot, with real rows, columns and headings that a screen reader can walk."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QFont, QPainter, QPalette, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from desktop.controls.words import longest_word, paint_ring, wrapped
from desktop.theme.look import Dressed, look
from desktop.theme.tokens import Role, Size, Space, Stroke, Target

__all__ = ["FigureTable"]

_FLAGS = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeading | Qt.AlignmentFlag.AlignVCenter


class _Cells(QStyledItemDelegate):
    """Paints a cell's words, wrapped and never cut, over a hairline."""

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        now, table = look(), self.parent()
        box: QRect = option.rect
        painter.save()
        painter.setPen(QPen(now.tint(Role.EDGE, Role.CARD, 60), Stroke.HAIR))
        painter.drawLine(box.bottomLeft(), box.bottomRight())
        strong = isinstance(table, FigureTable) and index.column() == table.strong
        painter.setFont(now.font(strong=strong))
        painter.setPen(now.colour(Role.INK))
        painter.drawText(box.adjusted(0, 0, -Space.PAD, 0), _FLAGS, str(index.data()))
        if isinstance(table, QTableWidget) and table.hasFocus() and table.currentIndex() == index:
            paint_ring(painter, box.adjusted(-Space.FINE, 0, -Space.GAP, 0), now)
        painter.restore()


class _Head(QHeaderView):
    """The headings, small and soft, over a line."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setSectionsClickable(False)
        self.setHighlightSections(False)

    def words(self, section: int) -> str:
        """The heading of a column."""
        return str(self.model().headerData(section, Qt.Orientation.Horizontal))

    def paintSection(self, painter: QPainter, rect: QRect, logical_index: int) -> None:
        now = look()
        painter.save()
        painter.fillRect(rect, now.colour(Role.CARD))
        painter.setPen(QPen(now.colour(Role.EDGE), Stroke.HAIR))
        painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        painter.setFont(now.font(Size.SMALL))
        painter.setPen(now.colour(Role.SOFT_INK))
        painter.drawText(rect.adjusted(0, 0, -Space.PAD, 0), _FLAGS, self.words(logical_index))
        painter.restore()


class FigureTable(Dressed, QTableWidget):
    """Rows of words under headings; as high as all its rows. The column `strong` stands out.

    Arrow keys walk its cells, Tab leaves it.
    """

    def __init__(
        self,
        name: str,
        heads: Sequence[str],
        rows: Sequence[Sequence[str]] = (),
        *,
        strong: int = 1,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(0, len(heads), parent)
        self.strong = strong
        self.setAccessibleName(name)
        self.setHorizontalHeader(_Head(self))
        self.setHorizontalHeaderLabels(list(heads))
        self.setItemDelegate(_Cells(self))
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(0)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setTabKeyNavigation(False)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.show_rows(rows)

    def show_rows(self, rows: Sequence[Sequence[str]]) -> None:
        """Show these rows in place of what was there."""
        self.setRowCount(len(rows))
        for row, cells in enumerate(rows):
            for column, words in enumerate(cells):
                self.setItem(row, column, QTableWidgetItem(words))
        if rows and self.currentRow() < 0:
            self.setCurrentCell(0, 0)
        self._fit()

    def rows(self) -> tuple[tuple[str, ...], ...]:
        """The words of each row."""
        return tuple(
            tuple(self._words(row, column) for column in range(self.columnCount())) for row in range(self.rowCount())
        )

    def cut(self) -> list[str]:
        """The words that do not fit into their cell; for a test."""
        found = []
        for column in range(self.columnCount()):
            room = self.columnWidth(column) - Space.PAD
            for row in range(-1, self.rowCount()):
                words, font = self._words(row, column), self._font(row, column)
                tall = self.rowHeight(row) if row >= 0 else self.horizontalHeader().height()
                if longest_word(font, words) > room or wrapped(font, words, room).height() > tall:
                    found.append(words)
        return found

    def _words(self, row: int, column: int) -> str:
        item = self.item(row, column) if row >= 0 else self.horizontalHeaderItem(column)
        return item.text() if item is not None else ""

    def _font(self, row: int, column: int) -> QFont:
        return look().font(Size.SMALL) if row < 0 else look().font(strong=column == self.strong)

    # --- size -------------------------------------------------------------------------------------------------------

    def dress(self) -> None:
        palette = self.palette()
        palette.setColor(QPalette.ColorRole.Base, look().colour(Role.CARD))
        self.setPalette(palette)
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width():
            self._fit()

    def sizeHint(self) -> QSize:
        return QSize(Target.SIDE_PANEL, self.height())

    def minimumSizeHint(self) -> QSize:
        return QSize(sum(least for least, _ in self._needs()), self.height())

    def _needs(self) -> list[tuple[int, int]]:
        """For each column the least width and the width at which nothing wraps."""
        found = []
        for column in range(self.columnCount()):
            texts = [(self._words(row, column), self._font(row, column)) for row in range(-1, self.rowCount())]
            least = max(longest_word(font, words) for words, font in texts)
            whole = max(wrapped(font, words, 1 << 20).width() for words, font in texts)
            found.append((least + Space.PAD + 2, whole + Space.PAD + 2))
        return found

    def _widths(self, room: int) -> list[int]:
        """Each column its longest word, and of what is over more to the longer texts, none more than it needs.

        What is then still over goes to all columns alike, so that the table fills its room.
        """
        needs = self._needs()
        spare = max(room - sum(least for least, _ in needs), 0)
        pulls = [sqrt(whole - least) for least, whole in needs]
        found = [
            min(whole, least + int(spare * pull / (sum(pulls) or 1)))
            for (least, whole), pull in zip(needs, pulls, strict=True)
        ]
        over, wants = max(room - sum(found), 0), [whole - wide for (_, whole), wide in zip(needs, found, strict=True)]
        longest = max(range(len(found)), key=lambda column: wants[column])
        if wants[longest] > 0:
            found[longest] += over
        else:
            found = [wide + over // len(found) for wide in found]
        found[-1] += max(room - sum(found), 0)
        return found

    def _fit(self) -> None:
        """Share the width out, the heights following from it."""
        for column, wide in enumerate(self._widths(max(self.viewport().width(), 1))):
            self.setColumnWidth(column, wide)
        tall = 0
        for row in range(-1, self.rowCount()):
            high = max(
                wrapped(
                    self._font(row, column), self._words(row, column), self.columnWidth(column) - Space.PAD
                ).height()
                for column in range(self.columnCount())
            )
            high = max(high + 2 * Space.GAP, Target.TOUCH if row >= 0 else 0)
            tall += high
            if row >= 0:
                self.setRowHeight(row, high)
            else:
                self.horizontalHeader().setFixedHeight(high)
        self.setFixedHeight(tall + Space.FINE)
