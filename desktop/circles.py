"""Objects that hold one another in a circle are let go of on the GUI thread alone.

Python looks for such circles on whichever thread happens to allocate. One that holds a widget would then be taken down
on the store's thread, which waits for Python's lock with a lock of Qt in hand, while the GUI thread waits for that lock
of Qt with Python's in hand: the window would stand still for good.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QCoreApplication, QObject, QTimer

__all__ = ["Circles", "let_go_here"]

LOOK_MS = 500
"""How often the GUI thread looks whether there is enough to let go of: house bound, no source."""


class Circles(QObject):
    """Looks for circles in Python's stead, now and then, as soon as as much was made as Python itself waits for."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        gc.disable()
        timer = QTimer(self)
        timer.timeout.connect(self.look)
        timer.start(LOOK_MS)

    def look(self) -> None:
        """Lets go of what is due, the oldest generation that is due and those younger."""
        counts, enough = gc.get_count(), gc.get_threshold()
        for generation in (2, 1, 0):
            if counts[generation] > enough[generation]:
                gc.collect(generation)
                return


def let_go_here() -> None:
    """From now on circles are let go of here; called on the GUI thread by whoever starts another. Once is enough."""
    app = QCoreApplication.instance()
    if app is not None and app.findChild(Circles) is None:
        Circles(app)
