"""Fields of a form inside a PDF that any reader can fill: boxes for words, single choices and marks.

Each widget is shown black on white by a drawing of its own, and typed words by a whole embedded typeface, so that
nothing depends on what the reader's machine has. No script, no action and no address is in them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from io import BytesIO
from typing import Any, Final

from sync.handoff.faces import FIGURE, FOLDER

__all__ = ["Fillable", "Takes", "with_widgets"]

_FONT: Final = "HearthsideFigure"
_SEVERAL_LINES: Final = 1 << 12
_ONE_OF: Final = 1 << 15
_PRINTED: Final = 4
_FIRST, _LAST = 32, 255


class Takes(Enum):
    """What a field takes."""

    WORDS = "words"
    ONE = "one"  # one of several, told apart by `code`
    MARK = "mark"  # a mark of its own


@dataclass(frozen=True, slots=True)
class Fillable:
    """One widget: its page (from 0), rectangle in points (left, bottom, right, top), the field's name, and its words.

    The part of `name` before the first full stop groups fields. Widgets of one name that take ONE are one field.
    """

    page: int
    box: tuple[float, float, float, float]
    name: str
    takes: Takes
    tip: str
    code: str = "yes"
    several_lines: bool = False
    size: float = 12.0


def _typeface(pdf: Any) -> Any:
    """The figure face whole, as a font a reader can set what is typed in."""
    from pikepdf import Array, Dictionary, Name
    from reportlab.pdfbase.pdfmetrics import getFont

    face: Any = getFont(FIGURE)
    face = face.face
    letters = [bytes([code]).decode("cp1252", "replace") for code in range(_FIRST, _LAST + 1)]
    widths = Array([round(face.charWidths.get(ord(one), face.defaultWidth)) for one in letters])
    base = Name(f"/{FIGURE}")
    whole = pdf.make_stream((FOLDER / f"{FIGURE}.ttf").read_bytes())
    told = Dictionary(
        Type=Name.FontDescriptor, FontName=base, Flags=32, FontBBox=Array([round(edge) for edge in face.bbox]),
        ItalicAngle=0, Ascent=round(face.ascent), Descent=round(face.descent), CapHeight=round(face.capHeight),
        StemV=round(face.stemV), FontFile2=whole,
    )  # fmt: skip
    return pdf.make_indirect(
        Dictionary(
            Type=Name.Font, Subtype=Name.TrueType, BaseFont=base, Encoding=Name.WinAnsiEncoding, FirstChar=_FIRST,
            LastChar=_LAST, Widths=widths, FontDescriptor=pdf.make_indirect(told),
        )
    )  # fmt: skip


def _look(pdf: Any, one: Fillable, drawn: str) -> Any:
    from pikepdf import Array, Dictionary, Name

    left, bottom, right, top = one.box
    seen = pdf.make_stream(drawn.encode("ascii"))
    seen.Type, seen.Subtype = Name.XObject, Name.Form
    seen.BBox = Array([0, 0, round(right - left, 2), round(top - bottom, 2)])
    seen.Resources = Dictionary()
    return seen


def _cross(one: Fillable) -> str:
    """A cross from corner to corner of the box."""
    wide, tall = one.box[2] - one.box[0], one.box[3] - one.box[1]
    inner = (round(wide * 0.2, 2), round(tall * 0.2, 2), round(wide * 0.8, 2), round(tall * 0.8, 2))
    left, low, right, high = inner
    return f"q 0 G 1.6 w 1 J {left} {low} m {right} {high} l S {left} {high} m {right} {low} l S Q"


def _widget(pdf: Any, one: Fillable, key: int) -> Any:
    from pikepdf import Array, Dictionary, Name

    made = Dictionary(
        Type=Name.Annot, Subtype=Name.Widget, Rect=Array([round(edge, 2) for edge in one.box]), F=_PRINTED,
        P=pdf.pages[one.page].obj, StructParent=key,
    )  # fmt: skip
    if one.takes is Takes.WORDS:
        made.AP = Dictionary(N=_look(pdf, one, "/Tx BMC q Q EMC"))
    else:
        on = Name(f"/{one.code}")
        seen = Dictionary(Off=_look(pdf, one, "q Q"))
        seen[on] = _look(pdf, one, _cross(one))
        made.AP, made.AS = Dictionary(N=seen), Name.Off
    return pdf.make_indirect(made)


def _field(pdf: Any, name: str, several: Sequence[tuple[Fillable, Any]], group: Any) -> Any:
    """The field of one name over its widgets."""
    from pikepdf import Array, Dictionary, Name, String

    first = several[0][0]
    told = Dictionary(T=String(name), TU=String(first.tip), Parent=group)
    if first.takes is Takes.WORDS:
        told.FT, told.DA = Name.Tx, String(f"/{_FONT} {first.size:g} Tf 0 g")
        told.Ff = _SEVERAL_LINES if first.several_lines else 0
    else:
        told.FT, told.V = Name.Btn, Name.Off
        told.Ff = _ONE_OF if first.takes is Takes.ONE else 0
    if first.takes is not Takes.ONE:
        widget = several[0][1]
        for part in told.keys():  # noqa: SIM118 - a PDF dictionary gives its names only so
            widget[part] = told[part]
        return widget
    made = pdf.make_indirect(told)
    made.Kids = Array()
    for one, widget in several:
        widget.Parent, widget.TU = made, String(one.tip)
        made.Kids.append(widget)
    return made


def _places(pdf: Any) -> Iterable[Any]:
    """The empty Form elements of the structure, in reading order: one is waiting for each widget."""
    from pikepdf import Dictionary, Name

    def below(element: Any) -> Iterable[Any]:
        for kid in element.K:
            if isinstance(kid, Dictionary) and Name.S in kid:
                if Name.Form == kid.S and not len(kid.K):
                    yield kid
                yield from below(kid)

    return below(pdf.Root.StructTreeRoot)


def with_widgets(paper: bytes, fields: Sequence[Fillable]) -> bytes:
    """The tagged paper with these widgets, each hung under the empty Form element that was drawn in its turn."""
    import pikepdf
    from pikepdf import Array, Dictionary, Name, String

    with pikepdf.open(BytesIO(paper)) as pdf:
        tree = pdf.Root.StructTreeRoot
        places, key = list(_places(pdf)), int(tree.ParentTreeNextKey)
        named: dict[str, list[tuple[Fillable, Any]]] = {}
        for one, place in zip(fields, places, strict=True):
            widget = _widget(pdf, one, key)
            page = pdf.pages[one.page].obj
            if Name.Annots not in page:
                page.Annots = Array()
            page.Annots.append(widget)
            place.K.append(Dictionary(Type=Name.OBJR, Pg=page, Obj=widget))
            tree.ParentTree.Nums.append(key)
            tree.ParentTree.Nums.append(place)
            named.setdefault(one.name, []).append((one, widget))
            key += 1
        tree.ParentTreeNextKey = key
        groups: dict[str, Any] = {}
        for name, several in named.items():
            form, _, rest = name.partition(".")
            if form not in groups:
                groups[form] = pdf.make_indirect(Dictionary(T=String(form), Kids=Array()))
            groups[form].Kids.append(_field(pdf, rest, several, groups[form]))
        fonts = Dictionary({f"/{_FONT}": _typeface(pdf)})
        pdf.Root.AcroForm = Dictionary(
            Fields=Array(list(groups.values())), DR=Dictionary(Font=fonts), DA=String(f"/{_FONT} 12 Tf 0 g")
        )
        out = BytesIO()
        pdf.save(out, min_version="1.7", deterministic_id=True)
    return out.getvalue()
