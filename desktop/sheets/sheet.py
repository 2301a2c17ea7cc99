"""What a sheet is: sections, each composed by hand of five to nine questions about one body region or one moment.

A section says which questions stand where and says nothing of how they look: it speaks to a `Compose`. The window
lays it out (`desktop.sheets.laid`); `Placed` only writes down what was placed, so that a test proves, with no window,
that each field of each form stands on its sheet exactly once. A follow-up is opened in place by the question that
opens it and is placed with it; where there are too many of them, `alone` leaves them to be placed by hand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING, Any, Protocol, TypeAlias, runtime_checkable

from forms.ask import asks
from forms.chart import Entry
from forms.form import About, Form
from forms.people import Family, InfantIdentity, ParentIdentity
from forms.visit import Visit

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from desktop.controls.question import Question
    from desktop.draft import EntryBinding
    from desktop.open_chart import OpenChart
    from desktop.sheets.listing import Listing

__all__ = [
    "MOMENTS", "Bind", "Build", "Compose", "Crafted", "Guard", "Here", "Listed", "Offer", "Opens", "Placed", "Section",
    "Shares", "about", "follow_ups", "nobody", "opened_by",
]  # fmt: skip

MOMENTS = ("arrive", "story", "weigh", "feed", "look", "plan", "leave")
"""The moments of a visit, in the order of the thread; they may be done in any order."""


class Guard(Enum):
    """Who may see a section while others look at the screen."""

    OPEN = "open"
    NOT_SHARED = "not_shared"  # phones, mood, letters, who may hear what: the tab itself is gone in shared view


@dataclass(frozen=True, slots=True)
class Here:
    """Where something is being built: the open chart, the person charted, and the entry whose answers it shows."""

    home: OpenChart
    who: str
    binding: EntryBinding


Build: TypeAlias = "Callable[[Compose], None]"
Folds: TypeAlias = "Callable[[OpenChart, str], bool]"
Told: TypeAlias = "Callable[[OpenChart, str], tuple[str, str]]"
Bind: TypeAlias = "Callable[[OpenChart, type[Form], str], EntryBinding]"
Crafted: TypeAlias = "Callable[[OpenChart, type[Form], str, Build, Listed], Listing]"


@dataclass(frozen=True, slots=True)
class Offer:
    """A new entry of a list that one tap begins: the words on the key, and the answers it begins with."""

    words: str
    answers: Mapping[str, Any]


def nothing_more(home: OpenChart, entry: Entry[Any]) -> str:
    """No second line."""
    del home, entry
    return ""


def nobody(home: OpenChart) -> tuple[Offer, ...]:
    """No offers."""
    del home
    return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A list of entries of a form that repeats: the words around it and the one line each entry closes to.

    `line` makes that line from the entry and the name the chart has for an id. `concerns` narrows the list to the
    person charted; without it the whole visit's entries are listed. `offers` are likely entries, begun by one tap;
    without words to `add` only they begin one. `more` is a small second line under an entry's first; `crafted` makes a
    list drawn in its own way.
    """

    add: str
    empty: str
    line: Callable[[Entry[Any], Callable[[str], str]], str]
    concerns: bool = False
    offers: Callable[[OpenChart], tuple[Offer, ...]] = nobody
    more: Callable[[OpenChart, Entry[Any]], str] = nothing_more
    crafted: Crafted | None = None


class Opens(Protocol):
    """Something crafted that lays out entries of a form, `opens` its name: a jump is taken to one of them by it."""

    opens: str

    def begin(self) -> None:
        """Begin a new entry, open."""

    def open(self, entity: str) -> None:
        """Open an entry; an id that is not here opens nothing."""

    def question(self, form: str, field: str) -> Question | None:
        """The question of a field in the entry that is open, or None."""

    def commit(self) -> None:
        """Keep what is still only on screen."""


@runtime_checkable
class Shares(Protocol):
    """Something on a page that hides what is private while others look on."""

    def set_shared(self, on: bool) -> None:
        """Take what is private off the screen, or give it back."""


class Compose(Protocol):
    """What a section is composed with, from the top of the page down."""

    def ask(self, *fields: str) -> None:
        """Questions of the section's form, one under another. Their follow-ups come with them."""

    def alone(self, field: str) -> None:
        """A question whose follow-ups are too many for one page: each of them is placed by hand, on other pages."""

    def row(self, *fields: str) -> None:
        """Short questions side by side, as long as there is room for them."""

    def heading(self, words: str) -> None:
        """A heading inside the page."""

    def note(self, words: str) -> None:
        """A quiet sentence that helps with what follows."""

    def veil(self, title: str, build: Build, stamp: str = "") -> None:
        """Private questions behind a tap; `stamp` says whether she was asked alone, and comes first."""

    def part(self, form: type[Form], build: Build) -> None:
        """Questions of another form about the same person."""

    def by_side(self, build: Build) -> None:
        """Questions with sides, asked of one side at a time under the two half-moons that switch between them."""

    def entries(self, form: type[Form], build: Build, listed: Listed) -> None:
        """A list of entries of a form that repeats, each composed by `build` when it is opened."""

    def widget(self, make: Callable[[Here], QWidget], *fields: str) -> None:
        """Something crafted, which shows or takes the named fields itself."""


def about(home: OpenChart, form: type[Form], who: str) -> EntryBinding:
    """The one entry of `form` that a section about `who` shows: the usual binding of a section."""
    if form is Visit:
        return home.binding(form, entity=home.chart.visit)
    if form is Family:
        return home.binding(form, entity=home.chart.family)
    if form in (ParentIdentity, InfantIdentity):
        return home.binding(form, entity=who)
    if form.about in (About.PERSON, About.PERSON_AT_VISIT):
        return home.binding(form, who)
    return home.binding(form)


@dataclass(frozen=True, slots=True)
class Section:
    """One page of a moment: a key that names it for ever, the word on its tab, its form, and how it is composed.

    `heading` is the title over the page, with `{name}` for the person charted and `{own}` for "Ida’s"; without one the
    tab's word is the title. `bind` finds the entry it writes to. `told` makes the title, and the words beside it, from
    the chart instead; `folds` says whether the page needs the room of the tabs, which then open by a link.
    """

    key: str
    title: str
    form: type[Form]
    build: Build
    heading: str = ""
    guard: Guard = Guard.OPEN
    bind: Bind = about
    told: Told | None = None
    folds: Folds | None = None

    def headed(self, name: str) -> str:
        """The title over the page for a person of that name."""
        return (self.heading or self.title).format(name=name, own=f"{name}’s")


def opened_by(form: type[Form], name: str) -> tuple[str, ...]:
    """The questions that one question opens under itself, in declared order."""
    return tuple(field for field, ask in asks(form).items() if ask.when is not None and ask.when.field == name)


def follow_ups(form: type[Form], name: str) -> Iterator[str]:
    """All questions that come with one question: those it opens, those they open, and so on."""
    for opened in opened_by(form, name):
        yield opened
        yield from follow_ups(form, opened)


@dataclass
class Placed:
    """A composer without a window: writes down each field of each form that is placed, follow-ups included."""

    form: type[Form]
    fields: list[tuple[type[Form], str]] = field(default_factory=list)
    veiled: set[tuple[type[Form], str]] = field(default_factory=set)
    listed: set[tuple[type[Form], str]] = field(default_factory=set)

    @classmethod
    def by(cls, section: Section) -> Placed:
        """What a section places."""
        placed = cls(section.form)
        section.build(placed)
        return placed

    def ask(self, *fields: str) -> None:
        """Writes down the questions and all they open."""
        for name in fields:
            self.fields.append((self.form, name))
            self.fields.extend((self.form, opened) for opened in follow_ups(self.form, name))

    def alone(self, field: str) -> None:
        """Writes down the question only."""
        self.fields.append((self.form, field))

    def row(self, *fields: str) -> None:
        """Writes down the questions and all they open."""
        self.ask(*fields)

    def heading(self, words: str) -> None:
        """Words place nothing."""

    def note(self, words: str) -> None:
        """Words place nothing."""

    def veil(self, title: str, build: Build, stamp: str = "") -> None:
        """Writes down what the veil covers, and that it does."""
        before = len(self.fields)
        if stamp:
            self.ask(stamp)
        build(self)
        self.veiled.update(self.fields[before:])

    def part(self, form: type[Form], build: Build) -> None:
        """Writes down what the part places of its form."""
        build(Placed(form, self.fields, self.veiled, self.listed))

    def by_side(self, build: Build) -> None:
        """Writes down the questions; the switch places nothing."""
        build(self)

    def entries(self, form: type[Form], build: Build, listed: Listed) -> None:
        """Writes down what one entry of the list places, and that it stands in a list."""
        before = len(self.fields)
        self.part(form, build)
        self.listed.update(self.fields[before:])

    def widget(self, make: Callable[[Here], QWidget], *fields: str) -> None:
        """Writes down the fields the crafted thing says it takes."""
        self.fields.extend((self.form, name) for name in fields)
