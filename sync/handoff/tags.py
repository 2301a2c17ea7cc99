"""The structure of a paper for those who hear it: what is heading, paragraph, table, picture, and in which order.

ReportLab writes no structure, so each piece is drawn between marks of its own (`Tags.leaf`), the tree is remembered,
and `finish` hangs it into the file, with title, language, and the empty field a signature will fill. The files are
called tagged; conformance to PDF/UA has not been checked and is not claimed.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from io import BytesIO
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["FIELD", "About", "Element", "Leaf", "Tags", "finish"]

FIELD: Final = "Seal"
"""The name of the signature field."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """Marked content number `mcid` of page `page` (counted from 0)."""

    page: int
    mcid: int


@dataclass(slots=True)
class Element:
    """One structure element; `alt` says a picture in words, `scope` is for a table heading."""

    role: str
    alt: str = ""
    scope: str = ""
    kids: list[Element | Leaf] = field(default_factory=list)


class Tags:
    """Marks what is being drawn on a canvas and remembers the tree."""

    def __init__(self, canvas: Canvas) -> None:
        self.canvas = canvas
        self.root = Element("Document")
        self._open = [self.root]
        self._page = 0
        self._next = 0

    def turned(self) -> None:
        """The next thing drawn stands on a new page."""
        self._page, self._next = self._page + 1, 0

    @contextmanager
    def inside(self, role: str, *, alt: str = "", scope: str = "") -> Iterator[None]:
        """What is drawn within belongs to an element of that role."""
        element = Element(role, alt, scope)
        self._open[-1].kids.append(element)
        self._open.append(element)
        yield
        self._open.pop()

    @contextmanager
    def under(self, element: Element) -> Iterator[None]:
        """What is drawn within belongs to an element that several pieces share, such as a table over two pages."""
        if not element.kids:
            self._open[-1].kids.append(element)
        self._open.append(element)
        yield
        self._open.pop()

    @contextmanager
    def leaf(self, role: str, *, alt: str = "", scope: str = "") -> Iterator[None]:
        """What is drawn within is the content of one element of that role."""
        with self.inside(role, alt=alt, scope=scope):
            self._open[-1].kids.append(Leaf(self._page, self._next))
            self.canvas.addLiteral(f"/{role} <</MCID {self._next}>> BDC")
            self._next += 1
            yield
            self.canvas.addLiteral("EMC")

    @contextmanager
    def artifact(self) -> Iterator[None]:
        """What is drawn within is ornament: rules, frames, page numbers."""
        self.canvas.addLiteral("/Artifact BMC")
        yield
        self.canvas.addLiteral("EMC")


@dataclass(frozen=True, slots=True)
class About:
    """What the file says of itself; `made` is aware."""

    title: str
    author: str
    language: str
    made: datetime


def _hang(pdf: Any, element: Element, parent: Any, parents: dict[int, dict[int, Any]]) -> Any:
    """The element and all below it as PDF objects; fills `parents` (page -> mark -> element)."""
    from pikepdf import Array, Dictionary, Name, String

    made = pdf.make_indirect(Dictionary(Type=Name.StructElem, S=Name(f"/{element.role}"), P=parent, K=Array()))
    if element.alt:
        made.Alt = String(element.alt)
    if element.scope:
        made.A = Dictionary(O=Name.Table, Scope=Name(f"/{element.scope}"))
    for kid in element.kids:
        if isinstance(kid, Leaf):
            page = pdf.pages[kid.page].obj
            made.K.append(Dictionary(Type=Name.MCR, Pg=page, MCID=kid.mcid))
            parents.setdefault(kid.page, {})[kid.mcid] = made
        else:
            made.K.append(_hang(pdf, kid, made, parents))
    return made


def _field(pdf: Any, box: tuple[float, float, float, float], document: Any, tip: str, key: int) -> Any:
    """Adds the empty signature field on the last page and its Form element; returns that element."""
    from pikepdf import Array, Dictionary, Name, String

    page = pdf.pages[-1].obj
    widget = pdf.make_indirect(
        Dictionary(
            Type=Name.Annot, Subtype=Name.Widget, FT=Name.Sig, T=String(FIELD), TU=String(tip), F=132,
            Rect=Array([round(edge, 2) for edge in box]), P=page, StructParent=key,
        )
    )  # fmt: skip
    page.Annots = Array([widget])
    pdf.Root.AcroForm = Dictionary(Fields=Array([widget]), SigFlags=0)
    form = pdf.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Form, P=document, K=Array(), Alt=String(tip)))
    form.K.append(Dictionary(Type=Name.OBJR, Pg=page, Obj=widget))
    document.K.append(form)
    return form


def finish(
    drawn: bytes, root: Element, about: About, *, seal: tuple[float, float, float, float] | None, tip: str = ""
) -> bytes:
    """The drawn file with its structure, title and language, and an empty signature field where `seal` says.

    `seal` is (left, bottom, right, top) in points on the last page, or None for a paper that is not to be signed.
    """
    import pikepdf
    from pikepdf import Array, Dictionary, Name

    with pikepdf.open(BytesIO(drawn)) as pdf:
        tree = pdf.make_indirect(Dictionary(Type=Name.StructTreeRoot, K=Array()))
        parents: dict[int, dict[int, Any]] = {}
        document = _hang(pdf, root, tree, parents)
        tree.K.append(document)
        numbers = Array()
        for at, page in enumerate(pdf.pages):
            marks = parents.get(at, {})
            page.obj.StructParents = at
            page.obj.Tabs = Name.S
            numbers.append(at)
            numbers.append(pdf.make_indirect(Array([marks[mcid] for mcid in sorted(marks)])))
        key = len(pdf.pages)
        if seal is not None:
            numbers.append(key)
            numbers.append(_field(pdf, seal, document, tip, key))
        tree.ParentTree = pdf.make_indirect(Dictionary(Nums=numbers))
        tree.ParentTreeNextKey = key + 1
        pdf.Root.StructTreeRoot = tree
        pdf.Root.MarkInfo = Dictionary(Marked=True)
        pdf.Root.Lang = pikepdf.String(about.language)
        pdf.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
        _describe(pdf, about)
        out = BytesIO()
        pdf.save(out, min_version="1.7", deterministic_id=True)
    return out.getvalue()


def _describe(pdf: Any, about: About) -> None:
    """Title, author and time, in both places where readers look; ReportLab's own names go."""
    from pikepdf import Dictionary, String

    stamp = about.made.astimezone(UTC).strftime("D:%Y%m%d%H%M%SZ")
    pdf.docinfo = pdf.make_indirect(
        Dictionary(
            Title=String(about.title), Author=String(about.author), Producer=String("Hearthside"),
            Creator=String("Hearthside"), CreationDate=String(stamp), ModDate=String(stamp),
        )
    )  # fmt: skip
    with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as meta:
        meta.load_from_docinfo(pdf.docinfo)
        meta["dc:language"] = {about.language}
