"""The bundled typefaces as ReportLab knows them, and which of them a run of characters is set in.

Import this before anything of `reportlab.lib.styles`: that module reads the base font once, when first imported, and
without one of ours every file would carry an unembedded Helvetica.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from enum import StrEnum
from pathlib import Path
from typing import Any, Final
from xml.sax.saxutils import escape

from reportlab import rl_config
from reportlab.lib.fonts import addMapping
from reportlab.pdfbase.pdfmetrics import Font, getFont, registerFont
from reportlab.pdfbase.ttfonts import TTFont

from forms.papers.outline import Outline, Paragraph, ScopeLine, Span, Words, plain, words_of
from forms.trouble import Trouble

__all__ = [
    "BOLD",
    "FIGURE",
    "FIGURE_BOLD",
    "FOLDER",
    "TEXT",
    "TITLE",
    "NoSuchLetter",
    "clean",
    "legible",
    "marked",
    "runs",
]

FOLDER: Final = Path(__file__).parent / "fonts"
TEXT: Final = "AtkinsonHyperlegibleNext-Regular"
BOLD: Final = "AtkinsonHyperlegibleNext-Bold"
TITLE: Final = "Literata-SemiBold"
FIGURE: Final = "NotoSans-Regular"
FIGURE_BOLD: Final = "NotoSans-Bold"

# Atkinson's zero is slashed and a photocopied 30 can read as 38, so figures are set in the face with a plain zero;
# the same face stands in for letters Atkinson and Literata lack (Greek, Cyrillic).
_STAND_IN: Final = {TEXT: FIGURE, BOLD: FIGURE_BOLD, TITLE: FIGURE_BOLD, FIGURE: TEXT, FIGURE_BOLD: BOLD}

_UNITS: Final = r"mL|fl oz|oz|lb|kg|g|mm|cm|in|°C|°F|%|min|h|d|/10|am|pm"
_FIGURE: Final = re.compile(
    rf"\+?\d(?:[\d.,:/+–-]*\d)?(?: \d[\d-]*\d|(?: \d+(?![\w.,:])))*(?:[ \u00a0]?(?:{_UNITS})(?![A-Za-zÀ-ɏ]))?"
)
_LONGEST_UNBROKEN: Final = 18
DOT: Final = "\u00b7"


class NoSuchLetter(Trouble):
    """A paper holds a character that none of its typefaces can show."""

    template = (
        "The paper’s letters cannot show {character}. If it stands in a name, fill in “Name as printed” for that "
        "person; if it stands in a text, write that text without it. Nothing was printed, and the record keeps it."
    )


def _register() -> None:
    for name in (TEXT, BOLD, TITLE, FIGURE, FIGURE_BOLD):
        registerFont(TTFont(name, str(FOLDER / f"{name}.ttf")))
    for name in (TEXT, BOLD, TITLE, FIGURE, FIGURE_BOLD):
        for bold in (0, 1):
            addMapping(name, bold, 0, name)
            addMapping(name, bold, 1, name)
    rl_config.canvas_basefontname = TEXT


_register()


def _has(face: str, character: str) -> bool:
    found: Font | TTFont = getFont(face)
    return isinstance(found, TTFont) and ord(character) in found.face.charToGlyph


def clean(text: str) -> str:
    """The same words in composed letters, with tabs and odd spaces as plain ones; line ends stay."""
    composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n").replace("\t", " "))
    return "".join(" " if c not in "\n\u00a0" and unicodedata.category(c) == "Zs" else c for c in composed)


def _by_face(text: str, face: str) -> Iterator[tuple[str, str]]:
    """Splits at characters the face lacks; raises NoSuchLetter for one no face has."""
    start, current = 0, face
    for at, character in enumerate(text):
        if character == "\n" or _has(face, character):
            wanted = face
        elif _has(_STAND_IN[face], character):
            wanted = _STAND_IN[face]
        else:
            name = unicodedata.name(character, f"U+{ord(character):04X}").lower()
            raise NoSuchLetter(character=f"“{character}” ({name})" if character.isprintable() else f"({name})")
        if wanted != current:
            if at > start:
                yield current, text[start:at]
            start, current = at, wanted
    if start < len(text):
        yield current, text[start:]


def _unbroken(figure: str) -> str:
    return figure.replace(" ", "\u00a0") if len(figure) <= _LONGEST_UNBROKEN else figure


def runs(text: str, face: str) -> Iterator[tuple[str, str]]:
    """(face, characters) for each stretch of a text: figures with their units in the figure face and unbroken."""
    figures = FIGURE_BOLD if face in (BOLD, TITLE, FIGURE_BOLD) else FIGURE
    words, end = clean(text), 0
    for found in _FIGURE.finditer(words):
        yield from _by_face(words[end : found.start()], face)
        yield from _by_face(_unbroken(found.group()), figures)
        end = found.end()
    yield from _by_face(words[end:], face)


def _shown(text: str) -> str:
    """The text with a dot for every character that no face has."""
    return "".join(c if c == "\n" or any(_has(face, c) for face in (TEXT, FIGURE)) else DOT for c in clean(text))


def _each_text(part: Any) -> Any:
    if isinstance(part, str) and not isinstance(part, StrEnum):
        return _shown(part)
    if isinstance(part, tuple):
        return tuple(_each_text(inner) for inner in part)
    if is_dataclass(part) and not isinstance(part, ScopeLine | type):
        return replace(part, **{f.name: _each_text(getattr(part, f.name)) for f in fields(part)})
    return part


def legible(outline: Outline) -> Outline:
    """The outline with a dot for each character no face has, and a line that says so if there is one."""
    shown = _each_text(outline.blocks)
    if DOT not in words_of(replace(outline, blocks=shown)) or DOT in words_of(outline):
        return outline
    note = Paragraph(plain(f"Letters that this page’s typefaces lack are shown as {DOT}."))
    title = _shown(outline.title)
    return replace(outline, title=title, writer=_shown(outline.writer), blocks=(*shown[:-1], note, shown[-1]))


def marked(words: Words | str, face: str = TEXT) -> str:
    """ReportLab's paragraph markup for some words, each stretch in its own face."""
    spans = (Span(words),) if isinstance(words, str) else words
    made = []
    for span in spans:
        for name, text in runs(span.text, BOLD if span.strong and face == TEXT else face):
            made.append(f'<font name="{name}">{escape(text).replace(chr(10), "<br/>")}</font>')
    return "".join(made)
