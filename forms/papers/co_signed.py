"""What a paper says of the part of a visit that a student charted: whose, under whom, and who signed for it.

The signature of a visit is made by a consultant over everything that stands, so a paper of a signed visit is co-signed;
before that it says of itself that it is a draft (trade D5, E8). A signature from a student's hand is no co-signature:
it was made before that role was written down, or by a version that did not refuse it.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from types import MappingProxyType
from typing import Final

from forms.ask import Path
from forms.blank import Step
from forms.chart import Entry, Hand
from forms.closing import Closing, Loop, StateAtEnd
from forms.form import Form
from forms.note import step_of
from forms.papers.outline import Mark, Words, plain
from forms.papers.said import Said, one_of
from forms.practice import Practitioner
from forms.student import Charted, charted, charted_of, co_signature, wrote_as_student

__all__ = [
    "DRAFT", "NO_SUPERVISOR", "added_by", "closing_draft", "closing_line", "draft", "for_family", "for_family_draft",
    "line", "who",
]  # fmt: skip

DRAFT: Final = "Draft, not co-signed."
NO_SUPERVISOR: Final = "supervisor not written down"
_PARTS: Final = MappingProxyType({
    Step.ARRIVE: "arrival", Step.STORY: "history", Step.WEIGH: "weights", Step.FEED: "feeds",
    Step.LOOK: "what was seen", Step.PLAN: "plan", Step.LEAVE: "leaving",
})  # fmt: skip


def _name(said: Said, practitioner: str) -> str:
    return said.words(said.chart.person(Practitioner, practitioner), "full_name")


def who(said: Said, student: str) -> str:
    """A student with whom she learns under: "T. Orrel, student under supervision of R. Vale"."""
    supervisor = said.words(said.chart.person(Practitioner, student), "supervisor").strip()
    role = f"student under supervision of {supervisor}" if supervisor else f"student, {NO_SUPERVISOR}"
    return ", ".join(filter(None, (_name(said, student), role)))


def added_by(said: Said, practitioner: str, at: datetime) -> str:
    """Whoever added something after the signature, which no signature covers: a student's stays "not co-signed"."""
    if wrote_as_student(said.chart, Hand.then(practitioner, at)):
        return f"{who(said, practitioner)}, not co-signed"
    return _name(said, practitioner)


def _students(found: Iterable[Charted]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.by for one in found if one.by))


def _steps(found: Iterable[Charted]) -> list[Step]:
    """The moments of the visit in which a student charted something, in their order."""
    here = {step_of(one.entry, one.path) for one in found if one.by}
    return [step for step in Step if step in here]


def _told(said: Said, found: tuple[Charted, ...], parts: Iterable[str] = ()) -> str:
    """Which part is from whose hand; "" where none is a student's."""
    by = _students(found)
    if not by:
        return ""
    which = f" in part ({', '.join(parts)})" if parts else " in part"
    charted_how = "Charted" if all(one.by for one in found) else f"Charted{which}"
    return f"{charted_how} by {one_of(who(said, student) for student in by)}"


def _signed_by_student(said: Said) -> str:
    """What is told of a signature from a student's hand over answers of which none is a student's."""
    signed = said.chart.signed()
    if signed is None or co_signature(said.chart) is not None:
        return ""
    return f"Signed by {who(said, signed.by)}"


def line(said: Said, person: str = "", *, parts: bool = True) -> tuple[Words, ...]:
    """The line of a letter or a receipt; none where neither an answer that stands nor the signature is a student's.

    `person` is whom the paper is about: what tells of others alone is not counted. `parts`: which moments of the visit
    it was is told too, which is no business of a payer's.
    """
    found = charted(said.chart, person)
    told = _told(said, found, [_PARTS[step] for step in _steps(found)] if parts else ()) or _signed_by_student(said)
    if not told:
        return ()
    signed = co_signature(said.chart)
    return (plain(f"{told}; {f'signed by {_name(said, signed.by)}' if signed is not None else 'not co-signed yet'}."),)


def draft(said: Said, person: str = "") -> tuple[Mark, ...]:
    """The mark of a paper that leaves before a consultant signed for what a student charted or signed."""
    unsigned = co_signature(said.chart) is None
    theirs = unsigned and (_students(charted(said.chart, person)) or said.chart.signed() is not None)
    return (Mark(DRAFT),) if theirs else ()


def for_family(said: Said) -> tuple[Words, ...]:
    """The same line in plain words, in the family's language."""
    found, tongue = charted(said.chart), said.tongue
    by, signed = _students(found), co_signature(said.chart)
    if not by:
        return ()
    people = []
    for student in by:
        supervisor = said.words(said.chart.person(Practitioner, student), "supervisor").strip()
        key = "plan.student.with" if supervisor else "plan.student.alone"
        people.append(tongue.say(key, name=_name(said, student), supervisor=supervisor))
    row = tongue.row(people)
    if all(one.by for one in found):
        told = tongue.say("plan.student.all", who=row)
    else:
        parts = tongue.row(tongue.say(f"plan.student.{step}") for step in _steps(found))
        told = tongue.say("plan.student.part", parts=parts, who=row)
    ends = tongue.say("plan.student.signed", name=_name(said, signed.by)) if signed is not None else ""
    return (plain(f"{told} {ends}".strip()),)


def for_family_draft(said: Said) -> tuple[Mark, ...]:
    """The mark of a family's paper before a consultant signed for what a student charted."""
    return (Mark(said.tongue.say("plan.student.draft")),) if draft(said) else ()


# --- the letter that ends care, which no visit's signature covers ----------------------------------------------------


def _of_closing(said: Said, held: Entry[Closing]) -> tuple[Charted, ...]:
    rows: list[Entry[Form]] = [held]  # type: ignore[list-item]  # an entry of one form is an entry of a form
    for form in (StateAtEnd, Loop):
        rows += [one for one in said.chart.all(form) if one.answers.closing == held.id]  # type: ignore[attr-defined]
    return charted_of(said.chart, rows)


def _closed_by_student(found: Iterable[Charted]) -> bool:
    return all(one.by for one in found if one.path == Path("closed_at"))


def closing_line(said: Said, held: Entry[Closing]) -> tuple[Words, ...]:
    """The line of a closing letter. Who writes when care was closed stands for the whole of it."""
    found = _of_closing(said, held)
    told = _told(said, found)
    if not told:
        return ()
    if _closed_by_student(found):
        return (plain(f"{told}; not co-signed yet."),)
    hand = next(iter(held.hands.get("closed_at", ())), None)
    return (plain(f"{told}; closed by {_name(said, hand.by)}." if hand is not None else f"{told}."),)


def closing_draft(said: Said, held: Entry[Closing]) -> tuple[Mark, ...]:
    """The mark of a closing letter in which a student charted and no consultant closed."""
    found = _of_closing(said, held)
    return (Mark(DRAFT),) if _students(found) and _closed_by_student(found) else ()
