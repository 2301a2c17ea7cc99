"""The vocabulary in which every question is declared, once.

A form is a frozen dataclass. Each field is made by one of the functions below (`choice`, `many`, `scale`, ...), which
attach an `Ask` to it. Storage, merge, screen control, accessible name, printed line, hand-over and demo data all read
that `Ask`; none of them repeats what it says.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from enum import Enum, StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from forms.answers import Side, Sided

if TYPE_CHECKING:
    from forms.form import Form

__all__ = [
    "Ask", "Coded", "Kind", "Need", "NotCoded", "NotPrinted", "Paper", "Path", "Printed", "When",
    "ask_of", "asks", "choice", "codes", "count", "day", "line", "many", "moment", "paths", "quantity", "ref", "refs",
    "scale", "summary", "text", "yes_no",
]  # fmt: skip


class Kind(Enum):
    """What sort of answer a question takes."""

    CHOICE = "choice"  # str: one code of `options`
    MANY = "many"  # tuple[str, ...]: codes of `options`, in declared order
    SCALE = "scale"  # int, 0 to 10 unless `low`/`high` say otherwise
    COUNT = "count"  # int: a whole number of things or minutes
    QUANTITY = "quantity"  # Quantity: a measure with a unit
    MOMENT = "moment"  # Moment: a date and time with its zone
    DAY = "day"  # datetime.date
    LINE = "line"  # str, one line
    TEXT = "text"  # str, as long as she likes
    YES_NO = "yes_no"  # bool
    REF = "ref"  # str: the id of another entry (a person, a provider, a feed)
    REFS = "refs"  # tuple[str, ...]: ids of other entries


class Need(StrEnum):
    """Whether a complete note needs an answer; one of the four absence answers counts as one."""

    MUST = "must"
    WHEN_OPEN = "when_open"  # must, once the answer that opens it has been given
    FREE = "free"


class Paper(StrEnum):
    """The papers an answer can stand on."""

    FAMILY_PLAN = "family_plan"
    REFERRAL = "referral"
    CALL_NOW = "call_now"
    REPORT = "report"
    SUMMARY = "summary"
    CLOSING = "closing"
    RECEIPT = "receipt"
    PACKAGE = "package"
    FIGURES = "figures"


@dataclass(frozen=True, slots=True)
class Printed:
    """The answer may stand on these papers."""

    on: tuple[Paper, ...]


@dataclass(frozen=True, slots=True)
class NotPrinted:
    """The answer stands on no paper, for this reason."""

    why: str


@dataclass(frozen=True, slots=True)
class Coded:
    """The answer has a code in an open code system."""

    system: str
    code: str


@dataclass(frozen=True, slots=True)
class NotCoded:
    """The answer has no code, for this reason; it is handed over as text inside its form."""

    why: str


@dataclass(frozen=True, slots=True)
class When:
    """Opens a follow-up in place, by what `field` of the same form holds.

    It must hold one of `one_of`, or at least `at_least`, or at most `at_most`, or any answer at all (`answered`). For a
    field with sides the follow-up opens on the side that fired.
    """

    field: str
    one_of: tuple[str | bool, ...] = ()
    at_least: int | None = None
    at_most: int | None = None
    answered: bool = False


@dataclass(frozen=True, slots=True)
class Ask:
    """One question: everything the program knows about it.

    `low` and `high` are inclusive house bounds in base units (grams, mL, mm, minutes, tenths of a degree, counts).
    `options` maps the code that is kept to the words shown. `alone` lists codes that exclude all others.
    `private` answers sit behind a tap, are hidden in shared view and stand on no paper. `claims` makes the question a
    summary answer: it writes to each of these fields the code that says nothing of note was seen, and keeps, as its
    own answer, the fields to which it did (`forms.summaries`).
    """

    label: str
    kind: Kind
    paper: Printed | NotPrinted
    code: Coded | NotCoded
    need: Need = Need.FREE
    sides: bool = False
    options: Mapping[str, str] = field(default_factory=dict)
    alone: tuple[str, ...] = ()
    units: tuple[str, ...] = ()
    low: int | None = None
    high: int | None = None
    help: str = ""
    source: str = ""
    when: When | None = None
    private: bool = False
    of: tuple[str, ...] = ()  # for REF and REFS: the names of the forms whose entries may be chosen
    ends: tuple[str, str] = ("", "")  # for SCALE: the words at its two ends
    claims: Mapping[str, str] = field(default_factory=dict)
    not_before: str = ""  # for MOMENT: the field of the same form that it cannot lie before
    lately: bool = False  # for MOMENT: a time of day typed alone is the last such time, not one still to come


def _made(ask: Ask) -> Any:
    empty: Any = Sided(None, None) if ask.sides else None
    return field(default=empty, metadata={"ask": ask})


def codes(**words: str) -> Mapping[str, str]:
    """The options of a question: each code that is kept, with the words shown for it, in this order."""
    return MappingProxyType(words)


def choice(label: str, options: Mapping[str, str], **more: Any) -> Any:
    """One of several."""
    return _made(Ask(label, Kind.CHOICE, options=options, **more))


def many(label: str, options: Mapping[str, str], **more: Any) -> Any:
    """Any number of several, in no ranked order."""
    return _made(Ask(label, Kind.MANY, options=options, **more))


def summary(label: str, claims: Mapping[str, str], **more: Any) -> Any:
    """Which of `claims` (fields, each with its plain code) were written by one act, "seen, no concern"."""
    return _made(Ask(label, Kind.MANY, claims=claims, **more))


def scale(label: str, *, low: int = 0, high: int = 10, **more: Any) -> Any:
    """A whole number on a short scale with words at both ends."""
    return _made(Ask(label, Kind.SCALE, low=low, high=high, **more))


def count(label: str, *, low: int = 0, high: int, **more: Any) -> Any:
    """A whole number of things, minutes or times."""
    return _made(Ask(label, Kind.COUNT, low=low, high=high, **more))


def quantity(label: str, units: tuple[str, ...], *, low: int, high: int, **more: Any) -> Any:
    """A measure in one of `units` (names of `forms.units`), bounded in base units."""
    return _made(Ask(label, Kind.QUANTITY, units=units, low=low, high=high, **more))


def moment(label: str, **more: Any) -> Any:
    """A date and time of day."""
    return _made(Ask(label, Kind.MOMENT, **more))


def day(label: str, **more: Any) -> Any:
    """A calendar day."""
    return _made(Ask(label, Kind.DAY, **more))


def line(label: str, **more: Any) -> Any:
    """A few words."""
    return _made(Ask(label, Kind.LINE, **more))


def text(label: str, **more: Any) -> Any:
    """As many words as she likes."""
    return _made(Ask(label, Kind.TEXT, **more))


def yes_no(label: str, **more: Any) -> Any:
    """Yes or no."""
    return _made(Ask(label, Kind.YES_NO, **more))


def ref(label: str, of: tuple[str, ...], **more: Any) -> Any:
    """Another entry: a person, a provider, a feed."""
    return _made(Ask(label, Kind.REF, of=of, **more))


def refs(label: str, of: tuple[str, ...], **more: Any) -> Any:
    """Several other entries."""
    return _made(Ask(label, Kind.REFS, of=of, **more))


@dataclass(frozen=True, slots=True)
class Path:
    """Where one value of a form is kept: a field, and a side if it has sides. Written "pain" or "pain@left"."""

    field: str
    side: Side | None = None

    def __str__(self) -> str:
        """The register name."""
        return self.field if self.side is None else f"{self.field}@{self.side}"

    @classmethod
    def read(cls, name: str) -> Path:
        """The path that a register name stands for."""
        bare, _, side = name.partition("@")
        return cls(bare, Side(side) if side else None)


_ASKS: dict[Any, Mapping[str, Ask]] = {}


def asks(form: type[Form]) -> Mapping[str, Ask]:
    """Each field of a form with its question, in declared order."""
    found = _ASKS.get(form)
    if found is None:
        found = _ASKS[form] = _named({f.name: f.metadata["ask"] for f in fields(form)})
    return found


def _named(found: Mapping[str, Ask]) -> Mapping[str, Ask]:
    """The same questions; the options of a summary answer are the fields it claims, under their own labels."""
    return {
        name: replace(ask, options=codes(**{claimed: found[claimed].label for claimed in ask.claims}))
        if ask.claims
        else ask
        for name, ask in found.items()
    }


def ask_of(form: type[Form], name: str) -> Ask:
    """The question of one field; raises KeyError for a field the form has not."""
    return asks(form)[name]


def paths(form: type[Form]) -> Iterator[Path]:
    """Every place of a form where a value is kept."""
    for name, ask in asks(form).items():
        if ask.sides:
            yield Path(name, Side.LEFT)
            yield Path(name, Side.RIGHT)
        else:
            yield Path(name)
