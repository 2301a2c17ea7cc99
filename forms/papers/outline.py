"""What a paper says, block by block, before anybody draws it.

An outline is frozen and knows nothing of pages, points or files. The same outline is drawn as a signed PDF, shown as
text, and later handed over as a document in an open standard. Lengths of time, amounts and names are already words.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from forms.ask import Paper
from forms.papers.scope import SCOPE, ScopeLine, holds
from forms.pictures.drawing import Drawing
from forms.trouble import Bug

__all__ = [
    "SCOPE", "Alarm", "Arrow", "Beads", "Block", "CallBox", "Clocks", "Cups", "Foot", "Heading", "Item", "Items",
    "Lines", "Mark", "Moons", "Outline", "Paragraph", "Picture", "Query", "ScopeLine", "Shown", "Span", "Table",
    "Task", "TeachBack", "Title", "Words", "join", "plain", "strong", "words_of",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Span:
    """A run of words, strong or not. Figures are found and set in their own face by whoever draws."""

    text: str
    strong: bool = False


Words: TypeAlias = tuple[Span, ...]
"""A line or paragraph of spans."""


def plain(text: str) -> Words:
    """Words with no stress."""
    return (Span(text),)


def strong(text: str) -> Words:
    """Words that stand out."""
    return (Span(text, strong=True),)


def join(*parts: str | Words) -> Words:
    """One run of words out of several; a bare string is plain."""
    return tuple(span for part in parts for span in ((Span(part),) if isinstance(part, str) else part))


@dataclass(frozen=True, slots=True)
class Beads:
    """So many feeds strung over a day and a night."""

    times: int


@dataclass(frozen=True, slots=True)
class Cups:
    """So many small cups in a day and a night."""

    times: int


@dataclass(frozen=True, slots=True)
class Arrow:
    """From a number to what is done next: "30 -> again"."""

    start: str
    then: str


@dataclass(frozen=True, slots=True)
class Clocks:
    """So many times a day, as small clock faces; for anything that is neither a feed nor a cup."""

    times: int


@dataclass(frozen=True, slots=True)
class Moons:
    """Two half-moons, the left one the parent's own left; `left` and `right` say which are filled."""

    left: bool
    right: bool


Picture: TypeAlias = Beads | Cups | Arrow | Clocks | Moons


@dataclass(frozen=True, slots=True)
class Title:
    """The paper's name, the line under it, and its mark if it has one."""

    text: str
    under: Words
    mark: Moons | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """A line that says how far the paper can be relied on: "given before the note was finished"."""

    text: str


@dataclass(frozen=True, slots=True)
class Heading:
    """The name of a part; `page`: it begins a page of its own; `inner`: of a part within a part."""

    text: str
    page: bool = False
    inner: bool = False


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running words."""

    words: Words
    small: bool = False


@dataclass(frozen=True, slots=True)
class Lines:
    """Short lines one under another, each a thought of its own."""

    lines: tuple[Words, ...]
    small: bool = False


@dataclass(frozen=True, slots=True)
class Task:
    """One of the three things to do, its number in the margin, and a picture that says the same as its words."""

    number: int
    words: Words
    picture: Picture | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """A few rows under column names; `title` is what a screen reader announces."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Words, ...], ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """A picture under its title, with its sentence and sources; with `table` its twin follows too.

    As text it is its sentence and its table, whether or not the pages have the table.
    """

    drawing: Drawing
    table: bool = False


@dataclass(frozen=True, slots=True)
class Alarm:
    """Something seen today that cannot wait: whom to call or where to go, what was seen, and why."""

    act: str
    seen: tuple[Words, ...]


@dataclass(frozen=True, slots=True)
class CallBox:
    """Whom to call and when, inside one frame, most urgent first."""

    title: str
    entries: tuple[Words, ...]


@dataclass(frozen=True, slots=True)
class Item:
    """One content item of a referral: its name and what is known, or "not known"."""

    label: str
    words: Words


@dataclass(frozen=True, slots=True)
class Items:
    """Content items in their fixed order; `numbered` when a reader counts them."""

    items: tuple[Item, ...]
    numbered: bool = False


@dataclass(frozen=True, slots=True)
class Query:
    """The one question asked of the reader."""

    text: str

    def __post_init__(self) -> None:
        """Raises Bug when the question is none; the maker asks for the mark before it gets here."""
        if not self.text.rstrip().endswith("?"):
            raise Bug("a referral's question ends in a question mark")


@dataclass(frozen=True, slots=True)
class TeachBack:
    """Empty boxes ticked by hand on the printed page."""

    lead: str
    boxes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Foot:
    """The last block: the scope line and the next visit on the left, the writer on the right."""

    scope: ScopeLine
    left: tuple[Block, ...]
    writer: tuple[Words, ...]


Block: TypeAlias = (
    Title
    | Mark
    | Heading
    | Paragraph
    | Lines
    | Task
    | Table
    | Shown
    | Alarm
    | CallBox
    | Items
    | Query
    | TeachBack
    | Foot
)


@dataclass(frozen=True, slots=True)
class Outline:
    """One paper.

    `about` holds the person ids it speaks of, `page` "letter" or "a4", `language` a BCP 47 tag, `writer` the name as
    printed. `size` is the body type in points; down to `least_size` it may shrink to keep to `pages_wanted`, or without
    these to save a page; over `most_pages` the paper is refused. Raises Bug when the scope line of its kind is missing
    or says too little.
    """

    kind: Paper
    title: str
    language: str
    blocks: tuple[Block, ...]
    about: tuple[str, ...]
    size: int
    page: str
    writer: str
    least_size: int | None = None
    pages_wanted: int | None = None
    most_pages: int | None = None

    def __post_init__(self) -> None:
        """The scope line cannot be left out, moved off the foot or said twice."""
        feet = [block for block in self.blocks if isinstance(block, Foot)]
        if len(feet) != 1 or self.blocks[-1] is not feet[0] or not holds(self.kind, self.language, feet[0].scope):
            raise Bug(f"a {self.kind} ends in a foot with its own scope line")


def _said(words: Words) -> str:
    return "".join(span.text for span in words)


def _block_words(block: Block) -> Iterator[str]:
    match block:
        case Title():
            yield from (block.text, _said(block.under))
        case Mark() | Heading() | Query():
            yield block.text
        case Paragraph():
            yield _said(block.words)
        case Lines():
            yield from map(_said, block.lines)
        case Task():
            yield f"{block.number}. {_said(block.words)}"
        case Table():
            yield block.title
            yield from (
                "; ".join(f"{n}: {_said(c)}" for n, c in zip(block.columns, r, strict=True)) for r in block.rows
            )
        case Shown():
            told = block.drawing
            yield from (told.title, told.sentence)
            yield from (
                "; ".join(f"{n}: {c}" for n, c in zip(told.table.columns, r, strict=True)) for r in told.table.rows
            )
            yield from told.sources
        case Alarm():
            yield from (block.act, *map(_said, block.seen))
        case CallBox():
            yield from (block.title, *map(_said, block.entries))
        case Items():
            yield from (
                f"{n}. " * block.numbered + f"{item.label}: {_said(item.words)}"
                for n, item in enumerate(block.items, 1)
            )
        case TeachBack():
            yield f"{block.lead} {' '.join(f'[ ] {box}' for box in block.boxes)}"
        case Foot():
            for inner in block.left:
                yield from _block_words(inner)
            yield from (block.scope.text, *map(_said, block.writer))


def words_of(outline: Outline) -> str:
    """All the paper's words as plain text, one thought a line; what a reader without the pages gets."""
    return "\n".join(line for block in outline.blocks for line in _block_words(block)) + "\n"
