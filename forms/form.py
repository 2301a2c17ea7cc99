"""What a form is: a frozen dataclass of questions, whom it is about, and the catalogue of them all."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from typing import Any, ClassVar, TypeVar

from forms.answers import Absent, Conflicted, Given, Moment, Side, Sided, every
from forms.ask import Ask, Path, When, asks, paths
from forms.trouble import Refused

__all__ = [
    "About",
    "Form",
    "catalog",
    "conflicted",
    "declared",
    "disordered",
    "entry_id_parts",
    "in_order",
    "is_open",
    "shown_asks",
    "value_at",
    "with_value",
    "with_values",
]


class About(Enum):
    """Whom an entry of a form belongs to; decides what its entries hang on."""

    PRACTICE = "practice"  # one of its kind, or a list, for the whole practice
    FAMILY = "family"
    PERSON = "person"  # a named parent or baby; not bound to a visit
    VISIT = "visit"
    PERSON_AT_VISIT = "person_at_visit"  # one person, or for an impression also a pair
    PAIR_AT_VISIT = "pair_at_visit"  # one feeder and one baby


@dataclass(frozen=True, slots=True)
class Form:
    """Base of all forms. An instance is one entry's answers as they stand."""

    name: ClassVar[str]
    title: ClassVar[str]
    about: ClassVar[About]
    repeats: ClassVar[bool]


F = TypeVar("F", bound=type[Form])

_CATALOG: dict[str, type[Form]] = {}


def declared(name: str, title: str, about: About, *, repeats: bool = False) -> Callable[[F], F]:
    """Puts a form into the catalogue. `repeats`: a list of entries (weights, feeds), else one per visit and subject."""

    def put(form: F) -> F:
        if name in _CATALOG:
            raise ValueError(f"two forms are called {name}")
        form.name, form.title, form.about, form.repeats = name, title, about, repeats
        _CATALOG[name] = form
        return form

    return put


def catalog() -> Mapping[str, type[Form]]:
    """All forms by name. `import forms.all` first (storage and the window do)."""
    return _CATALOG


def entry_id_parts(form: type[Form], visit: str | None, subjects: tuple[str, ...]) -> str:
    """The text whose hash is the id of an entry that stands once per visit and subject, the same on every device."""
    return "\0".join((form.name, visit or "", *subjects))


def value_at(answers: Form, path: Path) -> Given[Any]:
    """The answer kept at a path."""
    kept = getattr(answers, path.field)
    return kept.on(path.side) if path.side is not None and isinstance(kept, Sided) else kept


def with_value(answers: Form, path: Path, value: Given[Any]) -> Form:
    """The same form with one answer replaced."""
    return with_values(answers, {path: value})


def with_values(answers: Form, values: Mapping[Path, Given[Any]]) -> Form:
    """The same form with these answers replaced, made anew only once however many they are."""
    made: dict[str, Any] = {}
    for path, value in values.items():
        if path.side is None:
            made[path.field] = value
            continue
        kept: Sided[Any] = made.get(path.field) or getattr(answers, path.field)
        made[path.field] = Sided(value, kept.right) if path.side is Side.LEFT else Sided(kept.left, value)
    return replace(answers, **made) if made else answers


def in_order(answers: Form, path: Path, value: Given[Any]) -> None:
    """Raises Refused for a moment that would put an end before its beginning, whichever of the two is typed last."""
    found = asks(type(answers))
    for name, ask in found.items():
        if not ask.not_before or path.field not in (name, ask.not_before):
            continue
        first, last = (
            value if part == path.field else value_at(answers, Path(part, path.side)) for part in (ask.not_before, name)
        )
        if isinstance(first, Moment) and isinstance(last, Moment) and last.at < first.at:
            began, ended = found[ask.not_before].label, ask.label
            raise Refused(why=f"“{ended}” would lie before “{began}”. Check the day and the time of both.")


def disordered(answers: Form) -> tuple[Path, ...]:
    """The ends that lie before their beginning: typed on two devices, each of them could be taken."""
    found = []
    for path in paths(type(answers)):
        first, last = asks(type(answers))[path.field].not_before, value_at(answers, path)
        begins = value_at(answers, Path(first, path.side)) if first else None
        if isinstance(begins, Moment) and isinstance(last, Moment) and last.at < begins.at:
            found.append(path)
    return tuple(found)


def _holds(when: When, given: Given[Any]) -> bool:
    if when.answered:
        return given is not None and not isinstance(given, Absent)
    for value in every(given):
        parts = value if isinstance(value, tuple) else (value,)
        if when.one_of and any(part in when.one_of for part in parts):
            return True
        number = getattr(value, "base", value)
        if not isinstance(number, int):
            continue
        if when.at_least is not None and number >= when.at_least:
            return True
        if when.at_most is not None and number <= when.at_most:
            return True
    return False


def is_open(answers: Form, path: Path) -> bool:
    """Whether a question is asked at all, given the answers so far. A question without a `when` always is."""
    form = type(answers)
    when = asks(form)[path.field].when
    if when is None:
        return True
    trigger_sided = asks(form)[when.field].sides
    sides = (path.side,) if trigger_sided and path.side is not None else tuple(Side) if trigger_sided else (None,)
    triggers = tuple(Path(when.field, side) for side in sides)
    return any(is_open(answers, trigger) and _holds(when, value_at(answers, trigger)) for trigger in triggers)


def shown_asks(answers: Form) -> tuple[tuple[Path, Ask, Given[Any]], ...]:
    """Every question now open, with where it is kept and what stands there, in declared order."""
    form = type(answers)
    return tuple(
        (path, asks(form)[path.field], value_at(answers, path)) for path in paths(form) if is_open(answers, path)
    )


def conflicted(answers: Form) -> tuple[Path, ...]:
    """The places where more than one value stands."""
    return tuple(path for path in paths(type(answers)) if isinstance(value_at(answers, path), Conflicted))
