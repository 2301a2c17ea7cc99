"""The recovery sheet: shown to be copied by hand, printed from our own page, typed back once. Never a file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QMarginsF, QRectF, Qt, Signal
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter, QPrinterInfo
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Stack
from desktop.controls.segments import Segments
from desktop.controls.typed import NoteBox
from desktop.controls.words import Title, Words
from desktop.errands import Errands
from desktop.pages.groups import GroupsShown
from desktop.pages.plain import key_row
from desktop.pages.secret import Told
from desktop.theme.look import look
from desktop.theme.tokens import Role, Size, Space
from forms.trouble import Trouble
from storage.vault import prove_recovery

__all__ = ["PrintSheet", "SheetShown", "SheetTyped", "paint_sheet"]

_PRINT_MARGIN_MM = 20.0
_LINES = (
    "These words open the record if the passphrase is lost. Whoever holds this sheet can open it.",
    "Keep it in another place than the device. Letters and digits only; there is no letter I, L, O or U in it.",
    "Once a newer sheet is made, only that one holds. Destroy this one then.",
)


class SheetShown(Stack):
    """The words in nine groups, large. Signals: `copied()`: they are on paper now; `print_asked()`."""

    copied = Signal()
    print_asked = Signal()

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.PAD)
        self.add(
            Title("Your recovery sheet", size=Size.GREETING),
            Words(
                "Copy these nine groups onto paper, with today’s date. They are shown only now and kept nowhere else."
            ),
        )
        self.add(GroupsShown(words, across=3), Words(" ".join(_LINES), ink=Role.SOFT_INK))
        done = Act("It is on paper", kind=ActKind.MAIN)
        done.clicked.connect(self.copied)
        printed = Link("Print it instead", size=Size.BASE)
        printed.clicked.connect(self.print_asked)
        self.add(key_row(done, printed))
        self.setFocusProxy(done)


class SheetTyped(Stack):
    """Typing the sheet back once, so that a slip is found while the words can still be shown.

    Signals: `proved()`: what was typed opens the store; `back_asked()`: show the words again.
    """

    proved = Signal()
    back_asked = Signal()

    def __init__(self, folder: Path, errands: Errands, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.PAD)
        self._folder, self._errands = folder, errands
        self.words = NoteBox(size=Size.JOT, lines=2)
        self.words.setAccessibleName("Recovery words, from the paper")
        self.told = Told()
        self.check = Act("Check it", kind=ActKind.MAIN)
        self.check.clicked.connect(self._check)
        back = Link("Show the words again", size=Size.BASE)
        back.clicked.connect(self.back_asked)
        self.add(
            Title("Type it back from the paper", size=Size.GREETING),
            Words(
                "A slip of the pen is found now, while the words can still be shown. Spaces and capitals do not matter."
            ),
            self.words,
            self.told,
            key_row(self.check, back),
        )
        self.setFocusProxy(self.words)

    def _check(self) -> None:
        typed, folder = self.words.toPlainText(), self._folder
        self.check.setEnabled(False)
        self.told.progress("Checking.")
        self._errands.run(lambda: prove_recovery(folder, typed), lambda _none: self.proved.emit(), self._refused)

    def _refused(self, trouble: Trouble) -> None:
        self.check.setEnabled(True)
        self.told.trouble(trouble.sentence)
        self.words.setFocus()


def paint_sheet(painter: QPainter, page: QRectF, words: str) -> None:
    """Draws the sheet in black on white, in the units of `page`: title, nine groups, and what to do with it."""
    now = look()
    unit = page.height() / 60
    font = now.font(Size.BASE, title=True)
    font.setPixelSize(round(2 * unit))
    painter.setPen(Qt.GlobalColor.black)
    painter.setFont(font)
    painter.drawText(page, Qt.AlignmentFlag.AlignTop, "Hearthside recovery sheet")
    font = now.font(Size.BASE, strong=True)
    font.setPixelSize(round(2.2 * unit))
    painter.setFont(font)
    for at, group in enumerate(words.split()):
        box = QRectF(
            page.left() + (at % 3) * page.width() / 3, page.top() + (6 + at // 3 * 4) * unit, page.width(), 4 * unit
        )
        painter.drawText(box, Qt.AlignmentFlag.AlignTop, group)
    font = now.font(Size.BASE)
    font.setPixelSize(round(unit))
    painter.setFont(font)
    below = QRectF(page.left(), page.top() + 20 * unit, page.width(), 20 * unit)
    painter.drawText(below, Qt.TextFlag.TextWordWrap, "\n\n".join((*_LINES, "Made on: ____________________")))


class PrintSheet(Stack):
    """Our own page for printing: which printer, and print. Signals: `printed()`, `back_asked()`."""

    printed = Signal()
    back_asked = Signal()

    def __init__(
        self,
        words: str,
        printers: Callable[[], list[str]] = QPrinterInfo.availablePrinterNames,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent, between=Space.PAD)
        self._words = words
        self.add(Title("Print the recovery sheet", size=Size.GREETING))
        names = printers()
        self.told = Told()
        keys: list[QWidget] = []
        if names:
            self.add(
                Words("Printing sends the words through this device’s print queue, which may keep a copy for a while.")
            )
            self.names = Segments("Printer", {name: name for name in names})
            self.names.show_codes((names[0],))
            self.names.picked.connect(lambda name: self.names.show_codes((name,)))
            self.key = Act("Print", kind=ActKind.MAIN)
            self.key.clicked.connect(self._print)
            self.add(self.names, self.told)
            keys.append(self.key)
        else:
            self.add(
                Words("No printer is set up on this device. Copy the words by hand; that is the safest way anyway.")
            )
        back = Link("Back to the words", size=Size.BASE)
        back.clicked.connect(self.back_asked)
        self.add(key_row(*keys, back))

    def _print(self) -> None:
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setPrinterName(self.names.codes()[0])
        printer.setDocName("Recovery sheet")
        printer.setPageLayout(
            QPageLayout(
                QPageSize(printer.pageLayout().pageSize()),
                QPageLayout.Orientation.Portrait,
                QMarginsF(*[_PRINT_MARGIN_MM] * 4),
                QPageLayout.Unit.Millimeter,
            )
        )
        painter = QPainter()
        if not printer.isValid() or not painter.begin(printer):
            self.told.trouble("The printer did not take the sheet. Check that it is on, or copy the words by hand.")
            return
        paint_sheet(painter, QRectF(painter.viewport()), self._words)
        painter.end()
        self.printed.emit()
