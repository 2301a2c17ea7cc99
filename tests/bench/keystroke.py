"""From the key that keeps a weight, figures and signs worked out anew, to the frame that shows it, against a bare box."""

from __future__ import annotations

import os
from dataclasses import dataclass
from itertools import cycle
from pathlib import Path
from statistics import median
from time import perf_counter

from PySide6.QtCore import QCoreApplication, QEvent, QEventLoop, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

from desktop.controls.numbers import QuantityField
from desktop.controls.typed import Box
from desktop.theme.apply import apply_look
from desktop.theme.look import Look
from desktop.theme.tokens import DAY
from forms.weight import WeightReading
from tests.helpers.twins import twin_visit
from tests.helpers.visits import settled, visit_page_of

__all__ = ["Frames", "Painted", "keystroke", "to_paint"]

_WEIGHTS = ("2,500", "2,520", "2,290", "2,060")  # grams: each moves every figure, the last two bring signs up


class Painted(QWidget):
    """Hears of every paint in a window."""

    def __init__(self, window: QWidget) -> None:
        super().__init__()
        self.painted = False
        window.installEventFilter(self)

    def eventFilter(self, watched: object, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        self.painted = self.painted or event.type() in (QEvent.Type.UpdateRequest, QEvent.Type.Paint)
        return False


def to_paint(box: QWidget, key: Qt.Key, frames: Painted) -> float:
    """Milliseconds from the key to the end of the frame that it asks for."""
    frames.painted = False
    start = perf_counter()
    QTest.keyClick(box, key)
    while not frames.painted and perf_counter() - start < 1:
        QCoreApplication.processEvents(QEventLoop.ProcessEventsFlag.ExcludeSocketNotifiers)
    return (perf_counter() - start) * 1000


@dataclass(frozen=True, slots=True)
class Frames:
    """Milliseconds from key to frame, ours and the bare box's, in the order they were taken."""

    ours: tuple[float, ...]
    bare: tuple[float, ...]

    def line(self) -> str:
        """One printed line: the 99th centiles and their ratio, and the ratio of the medians."""
        thing, other = (sorted(times)[-max(1, len(times) // 100)] for times in (self.ours, self.bare))
        return (
            f"the key that keeps a weight to its frame, p99: {thing / other:.2f} x an empty text field "
            f"({thing:.1f} ms and {other:.1f} ms; medians {median(self.ours):.1f} ms and {median(self.bare):.1f} ms)"
        )


def keystroke(folder: Path, rounds: int = 400) -> Frames:
    """In turn Enter after a weight, which works all figures and signs out anew, and a letter in an empty text field.

    Half a number says another thing, so a weight is read when it is finished and not at each of its figures.
    """
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    apply_look(app, Look(DAY))
    made = twin_visit(folder / "store")
    page = visit_page_of(made)
    page.resize(1280, 800)
    page.show()
    page.go("weigh", made.ida)
    binding = page.home.begin(WeightReading, made.ida)
    binding.put("taken", made.at())
    assert page.middle.page is not None
    page.middle.page.show_entry("weight", binding.entity)
    box = page.middle.page.findChildren(QuantityField)[0].box
    assert isinstance(box, Box)
    bare = QLineEdit()
    bare.show()
    settled(made)
    ours, theirs = Painted(page), Painted(bare)
    times: list[tuple[float, float]] = []
    for weight, _ in zip(cycle(_WEIGHTS), range(rounds), strict=False):
        box.setFocus()
        box.setText(weight)
        QCoreApplication.processEvents()
        one = to_paint(box, Qt.Key.Key_Return, ours)
        bare.setFocus()
        bare.clear()
        QCoreApplication.processEvents()
        times.append((one, to_paint(bare, Qt.Key.Key_A, theirs)))
    page.home.save()
    settled(made)
    page.close()
    bare.close()
    made.lane.close()
    return Frames(tuple(one for one, _ in times), tuple(two for _, two in times))
