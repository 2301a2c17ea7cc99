"""The pictures of the gallery: each as a page shows it, as its table, with none, and as it is printed."""

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
from desktop.pages.visit import VisitPage
from forms.ask import Paper
from forms.papers.outline import SCOPE, Block, Foot, Outline, Shown, Title, plain
from forms.pictures.diapers import diapers
from forms.pictures.maker import WIDEST, Maker
from forms.pictures.milk_sides import milk_sides
from forms.pictures.pain import pain
from forms.pictures.supplement_share import supplement_share
from sync.handoff.letter import write_letter
from tests.desktop.gallery_milk import write_log
from tests.desktop.gallery_visit import Framed
from tests.helpers import pictured, thornbury
from tests.helpers.twins import TwinVisit

__all__ = ["MAKERS", "PRINTED", "SCREENS", "made", "paper_of"]

MAKERS: Mapping[str, tuple[Callable[..., Maker | None], str]] = MappingProxyType({
    "diapers": (diapers, thornbury.IDA),
    "supplement-share": (supplement_share, thornbury.IDA),
    "milk-sides": (milk_sides, thornbury.MARA),
    "pain": (pain, thornbury.MARA),
})  # fmt: skip


def made(name: str) -> Maker:
    """One picture of the invented family."""
    make, who = MAKERS[name]
    found = make(pictured.chart(), who, pictured.NOW)
    assert found is not None
    return found


def paper_of(*makers: Maker, table: bool = True) -> bytes:
    """Pictures on the pages of a paper, each with its sentence, its sources and its table."""
    foot = Foot(SCOPE[Paper.FAMILY_PLAN], (), (plain("Rowan Vale"),))
    blocks: tuple[Block, ...] = (
        Title("Pictures", plain("Thornbury-Reyes")),
        *(Shown(one.draw(WIDEST), table) for one in makers),
        foot,
    )
    outline = Outline(
        Paper.FAMILY_PLAN, "Pictures", "en", blocks, (thornbury.IDA,), size=12, page="a4", writer="Rowan Vale"
    )
    return write_letter(outline, made=pictured.NOW, sealed=False)


def _shown(name: str, *, table: bool = False) -> QWidget:
    """A picture, or its table, at the width a page of the visit leaves it."""
    surface, stack = Surface(), Stack()
    stack.setContentsMargins(24, 24, 24, 24)
    stack.add(PictureView(made(name), table=table))
    stack.finish()
    page = Reach(stack)
    page.setParent(surface)
    page.setGeometry(200, 0, 800, 800)
    return surface


def _printed(name: str) -> QWidget:
    """The first page of the picture's paper."""
    buffer, document = QBuffer(), QPdfDocument()
    buffer.setData(paper_of(made(name)))
    buffer.open(QBuffer.OpenModeFlag.ReadOnly)
    document.load(buffer)
    size = document.pagePointSize(0)
    tall = 800
    image = document.render(0, QSize(round(tall * size.width() / size.height()), tall) * 2)
    pixmap = QPixmap.fromImage(image)
    pixmap.setDevicePixelRatio(2)
    label = QLabel()
    label.setPixmap(pixmap)
    return label


def _page(page: VisitPage, family: TwinVisit) -> None:
    write_log(page.home, family, family.ida)
    page.go("plan", family.ida, "plan.pictures")


def _empty(page: VisitPage, family: TwinVisit) -> None:
    page.go("plan", family.mara, "plan.pictures")


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    *((f"picture-{name}", partial(_shown, name)) for name in MAKERS),
    ("picture-table", partial(_shown, "milk-sides", table=True)),
    ("pictures-page", lambda: Framed(_page)),
    ("pictures-none", lambda: Framed(_empty)),
]
PRINTED: list[tuple[str, Callable[[], QWidget]]] = [
    (f"picture-{name}-printed", partial(_printed, name)) for name in MAKERS
]
"""Paper is the same in every look, and no screen of the window."""
