"""The fields of a form inside a PDF from a stranger, within bounds: what was typed or marked in each, and nothing run.

Readers write the same answer in different ways: text in three codings, a choice as a name, a text or a list, a mark
with or without the picture that belongs to it. All of them are read here, and none is corrected.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from sync.handoff.reading.opening import bounded_stream
from sync.handoff.reading.pdf_bounds import opened
from sync.handoff.reading.troubles import NotReadable, PackedTightly, TangledForm, TooLarge, TooManyFields
from sync.handoff.verify import NeedsPassword

__all__ = ["LARGEST_FORM", "LONGEST_VALUE", "MOST_FIELDS", "Filled", "Filling", "fields_of"]

LARGEST_FORM: Final = 5_000_000
"""Bytes of a PDF whose fields are read: a sheet of ours has some 600,000, most of them its typeface."""
MOST_FIELDS: Final = 2_000
"""Fields and widgets together; a sheet of ours has some 200."""
LONGEST_VALUE: Final = 10_000
"""Characters of one answer; a longer one is cut, and says so."""
_DEEPEST: Final = 8
_LONGEST_NAME: Final = 200
_MOST_IN_LIST: Final = 50
_CODINGS: Final = ((b"\xfe\xff", "utf-16-be"), (b"\xff\xfe", "utf-16-le"), (b"\xef\xbb\xbf", "utf-8"))
_OFF: Final = "Off"
_BROKEN: Final = "Some of its letters cannot be read."
_NO_TEXT: Final = "It is kept in a way that is no text."
_LONG: Final = f"It is longer than {LONGEST_VALUE:,} characters and was cut; all of it is in the file."
_TWICE_CODED: Final = "Its letters may have been mixed up by the program it was filled in with."


@dataclass(frozen=True, slots=True)
class Filled:
    """One field: its whole name, the values in it, the marks it knows. `why` says what cannot be read; `doubt` warns.

    A box that is not ticked and a field that is empty have no values.
    """

    name: str
    values: tuple[str, ...]
    states: frozenset[str] = frozenset()
    why: str = ""
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class Filling:
    """The fields of a PDF in their order, and what in it was left alone: a second form, scripts, a signature."""

    fields: tuple[Filled, ...]
    second_form: bool = False
    script: bool = False
    signature: bool = False


@dataclass(slots=True)
class _Text:
    words: str
    why: str = ""
    doubt: str = ""


def _read_text(raw: bytes) -> _Text:
    """A text as PDF writes it: UTF-16 or UTF-8 behind a mark, else its own coding of one byte a letter."""
    mark, coding = next(((mark, coding) for mark, coding in _CODINGS if raw.startswith(mark)), (b"", "pdfdoc"))
    body, why, doubt = raw[len(mark) :], "", ""
    if len(body) > 4 * LONGEST_VALUE:
        body, why = body[: 4 * LONGEST_VALUE], _LONG
    try:
        words = body.decode(coding)
    except UnicodeDecodeError:
        words, why = body.decode(coding, "replace"), why or _BROKEN
    if not mark and not body.isascii():
        doubt = _TWICE_CODED if _is_utf8(body) else ""
    if len(words) > LONGEST_VALUE:
        words, why = words[:LONGEST_VALUE], _LONG
    return _Text(words.replace("\r\n", "\n").replace("\r", "\n"), why, doubt)


def _is_utf8(body: bytes) -> bool:
    try:
        body.decode()
    except UnicodeDecodeError:
        return False
    return True


def _read_stream(stream: Any) -> _Text:
    try:
        return _read_text(bounded_stream(stream, 4 * LONGEST_VALUE))
    except PackedTightly:
        return _Text("", _NO_TEXT)
    except TooLarge:
        return _Text("", _LONG)


def _texts(value: Any) -> Iterator[_Text]:
    """The values a field holds, whichever way they are written."""
    from pikepdf import Array, Name, Stream, String

    if value is None:
        return
    if isinstance(value, String):
        yield _read_text(bytes(value))
    elif isinstance(value, Name):
        yield _Text(str(value)[1:])
    elif isinstance(value, Stream):
        yield _read_stream(value)
    elif isinstance(value, Array):
        if len(value) > _MOST_IN_LIST:
            raise TooManyFields
        for one in value:
            yield _Text("", _NO_TEXT) if isinstance(one, Array) else next(_texts(one), _Text(""))
    elif isinstance(value, int | Decimal) and not isinstance(value, bool):
        yield _Text(str(value)[:LONGEST_VALUE])
    else:
        yield _Text("", _NO_TEXT)


def _states(widget: Any) -> Iterator[str]:
    """The marks a widget can show, but the empty one."""
    from pikepdf import Dictionary

    looks = widget.get("/AP")
    shown = looks.get("/N") if isinstance(looks, Dictionary) else None
    if isinstance(shown, Dictionary):
        if len(shown) > _MOST_IN_LIST:
            raise TooManyFields
        yield from (name[1:] for name in shown.keys() if name[1:] != _OFF)  # noqa: SIM118 - a PDF dictionary


def _exported(value: str, options: Any) -> str:
    """A mark that is only the number of an option, as the option."""
    from pikepdf import Array, String

    if isinstance(options, Array) and value.isascii() and value.isdecimal() and len(value) < 4:
        at = int(value)
        if at < len(options) and isinstance(options[at], String):
            return _read_text(bytes(options[at])).words
    return value


def _filled(name: str, kind: str, value: Any, options: Any, widgets: list[Any]) -> Filled:
    states: frozenset[str] = frozenset()
    texts = [*_texts(value), *(one for widget in widgets for one in _texts(widget.get("/V")))]
    if kind == "/Btn":
        states = frozenset(one for widget in widgets for one in _states(widget))
        # What a box shows counts as well: some readers only turn its picture on.
        texts += [one for widget in widgets for one in _texts(widget.get("/AS"))]
        texts = [one for one in texts if one.words.removeprefix("/") != _OFF]
        for one in texts:  # some write the name of a mark as a text, with the stroke that names begin with
            one.words = _exported(one.words.removeprefix("/"), options)
    held = [one for one in texts if one.words.strip() or one.why]
    why = next((one.why for one in held if one.why), "")
    doubt = next((one.doubt for one in held if one.doubt), "")
    return Filled(name, tuple(dict.fromkeys(one.words for one in held)), states, why, doubt)


@dataclass(slots=True)
class _Node:
    """A node of the tree of fields that waits to be read, with what it inherits."""

    held: Any
    above: str
    depth: int
    kind: Any = None
    value: Any = None
    options: Any = None


def _walk(fields: Any) -> Iterator[tuple[str, str, Any, Any, list[Any]]]:
    """Each field that holds a value of its own: name, type, value, options, widgets. Raises TangledForm."""
    from pikepdf import Array, Dictionary

    seen: set[tuple[int, int]] = set()
    left = MOST_FIELDS

    def below(kids: Any, above: str, depth: int, **inherited: Any) -> list[_Node]:
        if not isinstance(kids, Array):
            return []
        if len(kids) > left:
            raise TooManyFields
        return [_Node(kid, above, depth, **inherited) for kid in reversed(list(kids))]

    waiting = below(fields, "", 0)
    while waiting:
        node = waiting.pop()
        held, left = node.held, left - 1
        if left < 0:
            raise TooManyFields
        if not isinstance(held, Dictionary):
            continue
        if held.is_indirect:
            if held.objgen in seen:
                raise TangledForm
            seen.add(held.objgen)
        if node.depth > _DEEPEST:
            raise TangledForm
        told = next(_texts(held.get("/T")), _Text("")).words
        name = ".".join(filter(None, (node.above, told)))[: _LONGEST_NAME + 1]
        mine = {
            part: held.get(key) if held.get(key) is not None else above
            for part, key, above in (
                ("kind", "/FT", node.kind), ("value", "/V", node.value), ("options", "/Opt", node.options),
            )
        }  # fmt: skip
        kids = below(held.get("/Kids"), name, node.depth + 1, **mine)
        fields_below = [one for one in kids if isinstance(one.held, Dictionary) and "/T" in one.held]
        waiting += fields_below
        widgets = [one.held for one in kids if isinstance(one.held, Dictionary) and "/T" not in one.held]
        left -= len(widgets)
        if name and (widgets or not fields_below):
            yield name, str(mine["kind"]), mine["value"], mine["options"], widgets or [held]


def _has_script(pdf: Any, form: Any) -> bool:
    """Whether anything in it would run by itself or at a touch of a field; it is told, and never run here."""
    from pikepdf import Dictionary

    names = pdf.Root.get("/Names")
    return (
        "/OpenAction" in pdf.Root
        or "/AA" in pdf.Root
        or (isinstance(names, Dictionary) and "/JavaScript" in names)
        or "/CO" in form
    )


def fields_of(paper: bytes, password: str | None = None) -> Filling | None:
    """What was typed and marked in a PDF; None where it has no fields.

    Raises TooLarge, TooManyFields, TangledForm for fields inside themselves or nested deeper than any form, NotReadable
    for a PDF that is damaged, NeedsPassword for one that stays locked.
    """
    import pikepdf
    from pikepdf import Dictionary

    if len(paper) > LARGEST_FORM:
        raise TooLarge
    try:
        with opened(paper, password) as pdf:
            form = pdf.Root.get("/AcroForm")
            if not isinstance(form, Dictionary):
                return None
            made, signature, script = [], False, _has_script(pdf, form)
            for name, kind, value, options, widgets in _walk(form.get("/Fields")):
                script = script or any("/AA" in one or "/A" in one for one in widgets)
                if kind == "/Sig":
                    signature = signature or value is not None
                    continue
                made.append(_filled(name, kind, value, options, widgets))
            return Filling(tuple(made), "/XFA" in form, script, signature)
    except pikepdf.PasswordError as locked:
        raise NeedsPassword from locked
    except (
        pikepdf.PdfError, zlib.error, ValueError, TypeError, LookupError, AttributeError, RuntimeError
    ) as damage:  # fmt: skip
        raise NotReadable from damage
