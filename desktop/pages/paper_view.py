"""A paper shown inside the window: pages drawn from memory, in the card's own light, never brighter than it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QSize, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent, QPen, qRgb
from PySide6.QtPdf import QPdfDocument
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from desktop.controls.layouts import spaced
from desktop.theme.look import Dressed, Look, look
from desktop.theme.tokens import Role, Space, Stroke

__all__ = ["PaperPage", "PaperPages", "in_light_of", "page_image"]

_MOST_WIDE = 1_000
_DIM = 256


def page_image(document: QPdfDocument, page: int, size: QSize) -> QImage:
    """A page on white, as a printer would have it."""
    image = QImage(size, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    painter.drawImage(0, 0, document.render(page, size))
    painter.end()
    return image


def in_light_of(image: QImage, now: Look) -> QImage:
    """The page multiplied by the card's colour, its black in the theme's ink: white paper is as light as the card."""
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    table = _shades(now.colour(Role.INK), now.colour(Role.CARD))
    lit = QImage(grey.constBits(), grey.width(), grey.height(), grey.bytesPerLine(), QImage.Format.Format_Indexed8)
    lit.setColorTable(table)
    return lit.convertToFormat(QImage.Format.Format_RGB32)


def _shades(ink: QColor, card: QColor) -> list[int]:
    def mixed(low: int, high: int, at: int) -> int:
        return low + (high - low) * at // (_DIM - 1)

    return [
        qRgb(
            mixed(ink.red(), card.red(), at), mixed(ink.green(), card.green(), at), mixed(ink.blue(), card.blue(), at)
        )
        for at in range(_DIM)
    ]  # fmt: skip


class PaperPage(Dressed, QWidget):
    """One page, as wide as there is room, with a thin edge."""

    def __init__(self, document: QPdfDocument, page: int, words: str) -> None:
        super().__init__()
        self._document, self._page = document, page
        self._drawn: tuple[QSize, Look] | None = None
        self._image = QImage()
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setMaximumWidth(_MOST_WIDE)
        self.setAccessibleName(f"Page {page + 1} of {document.pageCount()}")
        self.setAccessibleDescription(words)

    def heightForWidth(self, width: int) -> int:
        points = self._document.pagePointSize(self._page)
        return round(min(width, _MOST_WIDE) * points.height() / max(points.width(), 1))

    def sizeHint(self) -> QSize:
        return QSize(_MOST_WIDE // 2, self.heightForWidth(_MOST_WIDE // 2))

    def minimumSizeHint(self) -> QSize:
        return QSize(look().px(Space.FAR), look().px(Space.FAR))

    def image(self) -> QImage:
        """The page as it is shown now."""
        ratio = self.devicePixelRatioF()
        size = QSize(round(self.width() * ratio), round(self.heightForWidth(self.width()) * ratio))
        if self._drawn != (size, look()):
            self._image = in_light_of(page_image(self._document, self._page, size), look())
            self._image.setDevicePixelRatio(ratio)
            self._drawn = (size, look())
        return self._image

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.drawImage(0, 0, self.image())
        painter.setPen(QPen(look().colour(Role.EDGE), Stroke.HAIR))
        painter.drawRect(0, 0, self.width() - 1, self.heightForWidth(self.width()) - 1)


class PaperPages(QWidget):
    """Every page of a paper, one under another. The bytes stay in memory; nothing is written anywhere."""

    def __init__(self, paper: bytes, words: Sequence[str] = (), parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bytes = QByteArray(paper)
        self._buffer = QBuffer(self._bytes, self)
        self._buffer.open(QIODevice.OpenModeFlag.ReadOnly)
        self.document = QPdfDocument(self)
        self.document.load(self._buffer)
        column = QVBoxLayout(self)
        spaced(column, Space.PAD)
        self.pages: list[PaperPage] = []
        for page in range(self.document.pageCount()):
            said = words[page] if page < len(words) else self.document.getAllText(page).text()
            made = PaperPage(self.document, page, said)
            self.pages.append(made)
            column.addWidget(made)
