"""What the tests of the kit and of every screen measure: targets, gaps, names, and whether words are cut."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QRect
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QLabel, QLineEdit, QPlainTextEdit, QScrollArea, QWidget

__all__ = ["clipped", "inputs", "named", "seen", "settle", "targets", "too_close"]

Input = QAbstractButton | QLineEdit | QPlainTextEdit


def settle() -> None:
    """Let layouts and deferred work come to rest."""
    for _ in range(4):
        QCoreApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def seen(root: QWidget) -> Iterator[QWidget]:
    """Every widget of the page that is on screen or can be scrolled to."""
    for widget in (root, *root.findChildren(QWidget)):
        if widget.isVisible():
            yield widget


def inputs(root: QWidget) -> list[Input]:
    """What can be tapped or typed into."""
    return [each for each in seen(root) if isinstance(each, QAbstractButton | QLineEdit | QPlainTextEdit)]


def _target(widget: Input, root: QWidget) -> QRect:
    """Where a tap counts, in the coordinates of `root`."""
    box = widget.rect()
    if isinstance(widget, QAbstractButton):
        while box.height() > 1 and not widget.hitButton(QPoint(box.center().x(), box.top())):
            box.setTop(box.top() + 1)
        while box.height() > 1 and not widget.hitButton(QPoint(box.center().x(), box.bottom())):
            box.setBottom(box.bottom() - 1)
    return QRect(widget.mapTo(root, box.topLeft()), box.size())


def targets(root: QWidget) -> list[tuple[str, QRect]]:
    """Each target by its accessible name."""
    return [(each.accessibleName(), _target(each, root)) for each in inputs(root)]


def _page(widget: QWidget) -> QWidget | None:
    """The scrolled page a widget is on, if any: what is scrolled away lies under nothing else."""
    above = widget.parentWidget()
    while above is not None and not isinstance(above, QScrollArea):
        above = above.parentWidget()
    return above


def too_close(root: QWidget, gap: int) -> list[str]:
    """Pairs of targets of one page nearer to each other than `gap`."""
    found = []
    for first, second in combinations(inputs(root), 2):
        if _page(first) is not _page(second):
            continue
        (one, a), (other, b) = (
            (each.accessibleName() or type(each).__name__, _target(each, root)) for each in (first, second)
        )
        across = max(a.left() - b.right(), b.left() - a.right()) - 1
        down = max(a.top() - b.bottom(), b.top() - a.bottom()) - 1
        if max(across, down) < gap:
            found.append(f"{one} / {other}: {max(across, down)}")
    return found


def named(root: QWidget) -> list[str]:
    """Inputs for which a screen reader has no name or no role, by class."""
    found = []
    for widget in inputs(root):
        spoken = QAccessible.queryAccessibleInterface(widget)
        if not spoken or not spoken.text(QAccessible.Text.Name).strip() or spoken.role() is QAccessible.Role.NoRole:
            found.append(type(widget).__name__)
    return found


def cut_at_rest(root: QWidget) -> list[str]:
    """What is cut once the layout has come to rest; a page that never does is still cut when the wait ends."""
    found = clipped(root)
    for _ in range(500):
        if not found:
            break
        QTest.qWait(20)
        found = clipped(root)
    return found


def clipped(root: QWidget) -> list[str]:
    """Widgets whose words do not fit into them, and pages wider than where they are shown."""
    found = []
    for widget in seen(root):
        who = f"{type(widget).__name__} {widget.accessibleName()!r} {widget.width()}x{widget.height()}"
        if isinstance(widget, QLabel):
            if not widget.text():
                continue
            wide = widget.minimumSizeHint().width() if widget.wordWrap() else widget.sizeHint().width()
            tall = widget.heightForWidth(widget.width()) if widget.wordWrap() else widget.fontMetrics().height()
            if wide > widget.width() or tall > widget.height():
                found.append(f"{who} needs {wide}x{tall}")
        elif isinstance(widget, QAbstractButton):
            wide = widget.minimumSizeHint().width()
            tall = widget.heightForWidth(widget.width()) if widget.hasHeightForWidth() else widget.sizeHint().height()
            if wide > widget.width() or tall > widget.height():
                found.append(f"{who} needs {wide}x{tall}")
        elif isinstance(widget, QLineEdit | QPlainTextEdit):
            if widget.minimumSizeHint().width() > widget.width() or widget.minimumSizeHint().height() > widget.height():
                found.append(f"{who} needs {widget.minimumSizeHint()}")
        elif isinstance(widget, QScrollArea):
            content = widget.widget()
            if content is not None and content.width() > widget.viewport().width():
                found.append(f"{who} shows {content.width()} in {widget.viewport().width()}")
        parent = widget.parentWidget()
        if widget is not root and parent is not None and not isinstance(parent.parentWidget(), QScrollArea):
            box = widget.geometry()
            if box.right() > parent.width() or box.bottom() > parent.height():
                found.append(f"{who} leaves its parent {type(parent).__name__} {parent.width()}x{parent.height()}")
    return found
