"""Photos out of the record while one family's chart is open: read when they are looked at, and let go with the chart.

The bytes are read on the store's lane and decoded beside it. Only small pictures are remembered, and no more of them
than a page shows; nothing of a photo is written anywhere.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QObject
from PySide6.QtGui import QImage

from desktop.controls.photo_view import decoded
from desktop.open_chart import OpenChart
from forms.trouble import Trouble

__all__ = ["SMALL", "PhotoShelf"]

SMALL: Final = 320
"""The longer side of a small picture, in pixels of the screen: enough for a list at 200 %."""
_KEPT: Final = 24


class PhotoUnreadable(Trouble):
    """The bytes are those that were kept, and this machine's library makes no picture of them."""

    template = "This photo cannot be shown on this machine. It is kept as it is."


class PhotoShelf(QObject):
    """The pictures of an open chart."""

    def __init__(self, home: OpenChart) -> None:
        super().__init__(home)
        self._home = home
        self._small: OrderedDict[str, QImage] = OrderedDict()

    @classmethod
    def of(cls, home: OpenChart) -> PhotoShelf:
        """The one of an open chart; made when first asked for."""
        return home.findChild(cls) or cls(home)

    def held(self) -> int:
        """How many small pictures are in memory."""
        return len(self._small)

    def forget(self) -> None:
        """Let go of every picture."""
        self._small.clear()

    def small(self, name: str, then: Callable[[QImage], None], trouble: Callable[[Trouble], None]) -> None:
        """Give `then` a small picture of the bytes of that SHA-256, at once where it is remembered."""
        found = self._small.get(name)
        if found is not None:
            self._small.move_to_end(name)
            then(found)
            return

        def keep(image: QImage) -> None:
            self._small[name] = image
            while len(self._small) > _KEPT:
                self._small.popitem(last=False)
            then(image)

        self._read(name, SMALL, keep, trouble)

    def large(
        self, name: str, longest: int, then: Callable[[QImage], None], trouble: Callable[[Trouble], None]
    ) -> None:
        """Give `then` the picture at most `longest` pixels long. It is not remembered."""
        self._read(name, longest, then, trouble)

    def _read(
        self, name: str, longest: int, then: Callable[[QImage], None], trouble: Callable[[Trouble], None]
    ) -> None:
        lane = self._home.lane

        def show(image: QImage) -> None:
            if image.isNull():
                trouble(PhotoUnreadable())
            else:
                then(image)

        lane.run(
            lambda store: store.attachment(name),
            lambda data: lane.beside(lambda: decoded(data, longest), show, trouble),
            trouble,
        )
