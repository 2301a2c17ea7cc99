"""What a student charted at a visit: which answers stand from a student's hand, and which somebody changed since.

Whose an answer is stands with its operation in the log, and nothing of it is kept twice. A visit's signature is made by
a consultant over all that stands, so it is the co-signature of whatever a student charted.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final
from zoneinfo import ZoneInfo

from forms.after_signing import AFTER_SIGNING, LATER_FIELDS
from forms.answers import Given, every
from forms.ask import Path, paths
from forms.chart import Chart, Entry, Hand, Signed
from forms.clinical.evidence import zone_of
from forms.form import Form, value_at
from forms.practice import Practitioner
from forms.referral import PaperIssued
from forms.visit import Jot

__all__ = [
    "Charted", "Differs", "changed_since", "charted", "charted_of", "co_signature", "co_signatures", "is_student",
    "nameless", "students", "undated", "wrote_as_student",
]  # fmt: skip

_NOT_TOLD: Final = (Jot, PaperIssued)
"""Working notes, which stand on no paper, and what the program writes itself."""


@dataclass(frozen=True, slots=True)
class Charted:
    """One answer that stands: its entry and question, and whose hand it is from; `by` is "" for no student's."""

    entry: Entry[Form]
    path: Path
    by: str


@dataclass(frozen=True, slots=True)
class Differs:
    """An answer of a student's that somebody else changed since: what it was; None of a whole entry struck out."""

    entry: Entry[Form]
    path: Path | None
    by: str
    was: Given[Any] = None


def is_student(chart: Chart, person: str) -> bool:
    """Whether a practitioner is a student by any of the values that stand."""
    return "student" in every(chart.person(Practitioner, person).practice_role)


def students(chart: Chart) -> frozenset[str]:
    """Those of the practice who are students, or were, whoever was struck out of it since among them."""
    found = ((entry.id, entry.answers) for entry in chart.entries if isinstance(entry.answers, Practitioner))
    return frozenset(
        one
        for one, answers in found
        if "student" in every(answers.practice_role) or answers.student_until is not None or one in chart.learners
    )


def _left_off(chart: Chart, person: str) -> int | None:
    """When the role of somebody who was a student became another, by the log; None for whoever never was one."""
    if person not in chart.learners:
        return None
    ended, entry = chart.learners[person], chart.by_id(person)
    if ended is None and entry is not None:  # it changed under an open record: by the hand that wrote what stands
        ended = max((hand.millis for hand in entry.hands.get("practice_role", ())), default=None)
    return ended


def wrote_as_student(chart: Chart, hand: Hand) -> bool:
    """Whether whoever wrote then was a student: is one now, or was one on the day until which she says she was.

    While that day is not written down, whatever she wrote before her role became another is a student's, so that no
    paper loses its line to a change of role.
    """
    if is_student(chart, hand.by):
        return True
    until = chart.person(Practitioner, hand.by).student_until
    if until is None:
        ended = _left_off(chart, hand.by)
        return ended is not None and hand.millis < ended
    return any(hand.at.astimezone(ZoneInfo(zone_of(chart))).date() <= day for day in every(until))


def co_signatures(chart: Chart) -> tuple[Signed, ...]:
    """The signatures of all visits that a consultant made; one that a student made stands for nothing."""
    return tuple(one for one in chart.signatures if not wrote_as_student(chart, Hand.then(one.by, one.at)))


def co_signature(chart: Chart) -> Signed | None:
    """The first such signature of the chart's visit."""
    made = (one for one in co_signatures(chart) if chart.visit is not None and one.visit == chart.visit)
    return next(made, None)


def _hand(chart: Chart, entry: Entry[Form], path: Path, known: frozenset[str]) -> str:
    """Which student an answer is from; "" for none, and for what was written after the visit was signed."""
    signed = chart.signed()
    later = entry.place.form in AFTER_SIGNING or path.field in LATER_FIELDS.get(entry.place.form, ())
    for hand in entry.hands.get(str(path), ()):
        if hand.by in known and wrote_as_student(chart, hand) and not (later and signed and hand.at > signed.at):
            return hand.by
    return ""


def _of_visit(chart: Chart) -> Iterator[Entry[Form]]:
    for entry in chart.entries:
        counts = entry.struck is None and not isinstance(entry.answers, _NOT_TOLD)
        if counts and chart.visit is not None and chart.visit in (entry.id, entry.place.visit):
            yield entry


def charted_of(chart: Chart, entries: Iterable[Entry[Form]]) -> tuple[Charted, ...]:
    """Every answer that stands in these entries; nothing where no student was ever in the practice."""
    known = students(chart)
    if not known:
        return ()
    return tuple(
        Charted(entry, path, _hand(chart, entry, path, known))
        for entry in entries
        for path in paths(type(entry.answers))
        if value_at(entry.answers, path) is not None
    )


def charted(chart: Chart, person: str = "") -> tuple[Charted, ...]:
    """Every answer that stands at the chart's visit; of what tells of one person and of nobody, if one is named."""
    here = (e for e in _of_visit(chart) if not person or not e.place.subjects or person in e.place.subjects)
    return charted_of(chart, here)


def _who_charted(chart: Chart) -> Iterable[str]:
    return dict.fromkeys(one.by for one in charted(chart) if one.by)


def nameless(chart: Chart) -> tuple[str, ...]:
    """The students who charted at this visit and whose supervisor is not written down."""
    return tuple(
        one
        for one in _who_charted(chart)
        if not any(name.strip() for name in every(chart.person(Practitioner, one).supervisor))
    )


def undated(chart: Chart) -> tuple[str, ...]:
    """Those who charted at this visit as students, are none any more, and until when they were is not written down."""
    return tuple(
        one
        for one in _who_charted(chart)
        if not is_student(chart, one) and chart.person(Practitioner, one).student_until is None
    )


def _is_another(chart: Chart, differs: Differs, path: Path, known: frozenset[str]) -> bool:
    """Whether another hand wrote something else there; the same again is no difference."""
    stands = value_at(differs.entry.answers, path)
    return not _hand(chart, differs.entry, path, known) and stands != differs.was


def changed_since(chart: Chart, log: Iterable[tuple[str, Entry[Form]]]) -> tuple[Differs, ...]:
    """The answers of students that somebody else changed, cleared or struck out since, in the order of the chart.

    `log` tells everything written, oldest first: the register, and its entry as it stood then.
    """
    known, last = students(chart), dict[tuple[str, str], Differs]()
    for register, then in log:
        entry = chart.by_id(then.id)
        if not known or entry is None or register.startswith("@") or chart.visit not in (then.id, then.place.visit):
            continue
        path = Path.read(register)
        if path.field in type(then.answers).__dataclass_fields__ and (by := _hand(chart, then, path, known)):
            last[then.id, register] = Differs(entry, path, by, value_at(then.answers, path))
    found = dict[tuple[str, Path | None], Differs]()
    for differs in last.values():
        entry, where = differs.entry, differs.path
        if entry.struck is not None and entry.struck.by != differs.by:
            found[entry.id, None] = Differs(entry, None, differs.by)
        elif entry.struck is None and where is not None and _is_another(chart, differs, where, known):
            found[entry.id, where] = differs
    order: Mapping[str, int] = {entry.id: place for place, entry in enumerate(chart.entries)}
    return tuple(sorted(found.values(), key=lambda one: order[one.entry.id]))
