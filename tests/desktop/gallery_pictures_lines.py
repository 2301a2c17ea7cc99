"""The pages of the gallery that show pictures of lines: first days, weights, the 24-hour ring, feeds; and on paper."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from types import MappingProxyType

from PySide6.QtCore import QBuffer, QSize
from PySide6.QtGui import QPixmap
from PySide6.QtPdf import QPdfDocument
from PySide6.QtWidgets import QLabel, QWidget

from desktop.controls.layouts import Reach, Stack
from desktop.controls.picture_view import PictureView
from desktop.controls.surfaces import Surface
from forms.chart import Chart
from forms.pictures.all import pictures
from forms.pictures.maker import Maker
from tests.desktop.gallery_pictures import paper_of
from tests.forms.clinical.charted import BABY
from tests.helpers import drawn_babies as babies

__all__ = ["MORE", "PRINTED", "SCREENS"]

DRAWN: Mapping[str, tuple[Callable[[], Chart], str]] = MappingProxyType({
    "first-days": (lambda: babies.baby_of(babies.WREN, *babies.WREN_WEIGHTS), "early_percent"),
    "weight-lines": (lambda: babies.baby_of(babies.WREN, *babies.WREN_WEIGHTS), "weight_lines"),
    "day-round": (lambda: babies.day_of(*babies.DAY), "day_round"),
    "feed-lanes": (lambda: babies.fed_of(*babies.SKETCHED, more=babies.WEIGHED_LEFT), "feed_lanes"),
    "first-days-unresolved": (babies.torn, "early_percent"),
    "weight-lines-corrected": (babies.twin_by_corrected_age, "weight_lines"),
    "feed-lanes-from-memory": (babies.bottle_and_side, "feed_lanes"),
    "feed-lanes-crowded": (babies.many, "feed_lanes"),
})  # fmt: skip


def _made(name: str) -> Maker:
    chart, key = DRAWN[name]
    return next(maker for maker in pictures(chart(), BABY, babies.NOW) if maker.key.startswith(key))


def _shown(name: str) -> QWidget:
    """A picture at the width a page of the visit leaves it."""
    surface, stack = Surface(), Stack()
    stack.setContentsMargins(24, 24, 24, 24)
    stack.add(PictureView(_made(name)))
    stack.finish()
    page = Reach(stack)
    page.setParent(surface)
    page.setGeometry(200, 0, 800, 800)
    return surface


def _printed(name: str) -> QWidget:
    """The first page of the picture's paper."""
    buffer, document = QBuffer(), QPdfDocument()
    buffer.setData(paper_of(_made(name)))
    buffer.open(QBuffer.OpenModeFlag.ReadOnly)
    document.load(buffer)
    size = document.pagePointSize(0)
    image = document.render(0, QSize(round(1600 * size.width() / size.height()), 1600))
    pixmap = QPixmap.fromImage(image)
    pixmap.setDevicePixelRatio(2)
    label = QLabel()
    label.setPixmap(pixmap)
    return label


_FIRST = ("first-days", "weight-lines", "day-round", "feed-lanes")
SCREENS: list[tuple[str, Callable[[], QWidget]]] = [(f"picture-{name}", partial(_shown, name)) for name in _FIRST]
MORE: list[tuple[str, Callable[[], QWidget]]] = [
    (f"picture-{name}", partial(_shown, name)) for name in DRAWN if name not in _FIRST
]
"""Laid out like the first of them, with other marks."""
PRINTED: list[tuple[str, Callable[[], QWidget]]] = [
    (f"picture-{name}-printed", partial(_printed, name)) for name in DRAWN
]
"""Paper is the same in every look, and no screen of the window."""
