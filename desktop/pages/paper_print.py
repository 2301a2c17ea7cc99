"""Printing a paper from memory: which printer, asked in our own place, and the pages drawn on it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRect, QSizeF
from PySide6.QtGui import QPageSize, QPainter
from PySide6.QtPdf import QPdfDocument
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QWidget

from desktop.controls.layouts import Stack
from desktop.controls.segments import Segments
from desktop.controls.words import Words
from desktop.pages.paper_view import page_image
from desktop.theme.tokens import Space
from forms.trouble import Trouble

__all__ = ["NotPrinted", "PrinterAsked", "print_pages"]

_DPI = 300  # dots an inch: sharp for 9-point type, and a page still fits the memory of a small printer


class NotPrinted(Trouble):
    """The printer did not take the pages."""

    template = "The printer {name} did not take the paper. Check that it is on and has paper, then print again."


def print_pages(document: QPdfDocument, printer: QPrinter) -> bool:
    """Draws every page on the printer, black on white; whether the printer took them."""
    points = document.pagePointSize(0)
    printer.setFullPage(True)
    printer.setResolution(_DPI)
    printer.setPageSize(QPageSize(QSizeF(points), QPageSize.Unit.Point))
    painter = QPainter()
    if not painter.begin(printer):
        return False
    for page in range(document.pageCount()):
        if page and not printer.newPage():
            painter.end()
            return False
        whole: QRect = printer.pageLayout().fullRectPixels(_DPI)
        painter.drawImage(whole, page_image(document, page, whole.size()))
    return bool(painter.end())


class PrinterAsked(Stack):
    """Which printer; `name` is the one picked, None where there is none."""

    def __init__(self, printers: Callable[[], list[str]], parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.SNUG)
        names = printers()
        self._strip = Segments("Printer", {name: name for name in names})
        if names:
            self._strip.show_codes((names[0],))
            self._strip.picked.connect(lambda name: self._strip.show_codes((name,)))
            self.add(self._strip)
        else:
            self._strip.setParent(self)
            self._strip.hide()
            self.add(
                Words(
                    "No printer is set up on this device. Save the paper as a file, or show it in large words to copy."
                )
            )

    @property
    def name(self) -> str | None:
        """The printer picked."""
        return next(iter(self._strip.codes()), None)
