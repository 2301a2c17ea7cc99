"""What stands over a visit's page all the while: signed, an answer that stands twice, what was declined, shared."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.banner import Banner
from desktop.controls.buttons import Link
from desktop.open_chart import OpenChart
from desktop.pages.visit_words import conflicts, consents_refused, signed_words, touch_refused

__all__ = ["Told"]


class Told(QWidget):
    """The bars over the page; none while there is nothing to say. Signal `settle_asked()`: go to what stands twice."""

    settle_asked = Signal()

    def __init__(self, home: OpenChart) -> None:
        super().__init__()
        self._home = home
        self._said: tuple[tuple[str, bool], ...] = ()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)

    def show_shared(self, saved: str, *, waits: bool) -> None:
        """Only that the view is shared, whether something waits for the consultant, and whether all is saved."""
        said = " ".join(part for part in ("Shared view.", "Something waits for you." if waits else "", saved) if part)
        self._show(((said, False),), settle="")

    def show_person(self, who: str) -> None:
        """Everything that is to be known while this person is charted."""
        torn = _torn_words(len(conflicts(self._home.chart)))
        wanted = (
            (signed_words(self._home), False),
            (torn, True),
            (touch_refused(self._home, who), True),
            (consents_refused(self._home, who), True),
        )
        self._show(tuple(line for line in wanted if line[0]), settle=torn)

    def _show(self, said: tuple[tuple[str, bool], ...], *, settle: str) -> None:
        if said == self._said:
            return
        self._said = said
        while (item := self._column.takeAt(0)) is not None:
            gone = item.widget()
            if gone is not None:
                gone.hide()
                gone.deleteLater()
        for words, watch in said:
            self._column.addWidget(Banner(words, (self._key(),) if settle and words == settle else (), watch=watch))

    def _key(self) -> Link:
        link = Link("Show the first")
        link.clicked.connect(self._ask)
        return link

    def _ask(self, *_pressed: object) -> None:
        self.settle_asked.emit()


def _torn_words(count: int) -> str:
    return {0: "", 1: "One answer stands twice; pick which holds."}.get(
        count, f"{count} answers stand twice; pick which hold."
    )
