"""What a letter to a provider says of the one person it is about: who that is, the history, and what was found."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Final

from forms.ask import Path
from forms.body_mark import BodyMark
from forms.chart import Entry
from forms.clinical.age import Age, age
from forms.clinical.result import NoFigure
from forms.clinical.weight import edges, percent_from_birth
from forms.form import Form
from forms.impression import Impression
from forms.infant_history import InfantHistory
from forms.papers import co_signed
from forms.papers.letter_parts import answered_items, dressed_words, mark_said, weights_in_order
from forms.papers.outline import Words, plain
from forms.papers.said import Said, moment_words, one_of
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Practitioner
from forms.thresholds import limits
from forms.units import shown
from forms.visit import REMOTE, Visit

__all__ = [
    "MEDICAL", "NOT_KNOWN", "SURGICAL", "cautions", "findings_said", "impressions_of", "joined", "picked_findings",
    "who_baby", "who_parent",
]  # fmt: skip

NOT_KNOWN: Final = "not known"

MEDICAL: Final = {
    InfantHistory: (
        "birth_help", "birth_injury", "birth_injury_where", "neonatal_unit", "neonatal_days", "neonatal_why",
        "blood_sugar", "jaundice_told", "bilirubin_highest", "light_treatment", "vitamin_k", "conditions",
        "conditions_which", "cleared_to_feed", "family_conditions",
    ),
    ParentHistory: (
        "conditions", "conditions_which", "hormones", "hormones_managed", "pregnancy", "birth", "after_birth",
        "warning_signs", "warning_told", "unwell", "temperature", "systolic", "diastolic",
    ),
}  # fmt: skip
SURGICAL: Final = {
    InfantHistory: ("operations", "earlier_care", "earlier_care_what"),
    ParentHistory: ("surgery", "surgery_when", "surgery_cut", "surgery_why"),
}
_OBVIOUS: Final = ("Operations",)
"""Labels that repeat the item's own name."""
_LICENCES: Final = {"nurse", "midwife", "dietitian", "physician", "therapist", "other"}


def joined(said: Said, answers: Form, fields: tuple[str, ...]) -> str:
    """Some answers of a form in one run: "Vitamin K: By injection. Conditions: None."."""
    items = answered_items(said, answers, only=fields)
    if len(items) == 1 and items[0].label in _OBVIOUS:
        return items[0].words[0].text
    return " ".join(f"{item.label}: {item.words[0].text.rstrip('.')}." for item in items)


def who_baby(said: Said, baby: InfantIdentity, now: datetime) -> str:
    """Who a baby is: names, birth, age, gestation, and how the parents are reached."""
    parts = [said.full_name(baby), said.words(baby, "sex")]
    born = said.words(baby, "born") or said.words(baby, "born_day")
    parts.append(f"born {born}" if born else "birth time not known")
    old = age(baby.born, now)
    if isinstance(old, Age):
        parts.append(f"{old.words} old")
    weeks, days = said.value(baby, "gestation_weeks"), said.value(baby, "gestation_days")
    if weeks is not None:
        parts.append(f"born at {weeks}+{days} weeks" if days is not None else f"born at {weeks} weeks")
    if (said.value(baby, "plurality") or 1) > 1:
        parts.append(f"number {said.words(baby, 'birth_order') or '?'} of {said.words(baby, 'plurality')}")
    reach = [
        ", ".join(filter(None, (said.full_name(p.answers), said.words(p.answers, "phone"))))
        for p in said.chart.all(ParentIdentity)
    ]
    return "; ".join(filter(None, (*parts, f"parents: {one_of(reach)}" if any(reach) else "")))


def who_parent(said: Said, parent: ParentIdentity) -> str:
    """Who a parent is, and whom that parent feeds."""
    babies = (
        f"{said.called(b.answers)} (born {said.words(b.answers, 'born') or said.words(b.answers, 'born_day')})"
        for b in said.chart.all(InfantIdentity)
    )
    parts = (
        said.full_name(parent), f"born {said.words(parent, 'born_day')}" if said.words(parent, "born_day") else "",
        said.words(parent, "phone"), f"feeding {one_of(babies)}",
    )  # fmt: skip
    return "; ".join(part for part in parts if part)


def impressions_of(said: Said, person: str) -> tuple[Entry[Impression], ...]:
    """The impressions of this visit in which a person takes part."""
    return tuple(e for e in said.chart.all(Impression, visit=said.chart.visit) if person in e.place.subjects)


def picked_findings(said: Said, person: str, impressions: Iterable[Impression]) -> list[str]:
    """The answers picked as findings that matter, each after its label; nothing private, nobody else's."""
    parts = []
    for impression in impressions:
        for pick in said.value(impression, "findings") or ():
            name, _, register = str(pick).partition("/")
            entry, path = said.chart.by_id(name), Path.read(register)
            if entry is None or person not in entry.place.subjects:
                continue
            if isinstance(entry.answers, BodyMark):
                parts.append(mark_said(said, entry.answers, said.named(person)))
            elif path.field in type(entry.answers).__dataclass_fields__ and said.may(type(entry.answers), path.field):
                pair = len(entry.place.subjects) == 2
                parts.append(said.labelled(entry.answers, path, said.named(entry.place.subjects[0]) if pair else ""))
    return parts


def findings_said(said: Said, person: str) -> str:
    """The answers picked as findings that matter, and a baby's last weight; nothing private, nobody else's."""
    parts = picked_findings(said, person, (found.answers for found in impressions_of(said, person)))
    identity = said.chart.by_id(person)
    if identity is not None and isinstance(identity.answers, InfantIdentity):
        weighed = weights_in_order(said, person)
        if weighed:
            taken, weight, reading = weighed[-1]
            change = percent_from_birth(identity.answers.birth_weight, weight, edges(limits(said.chart)))
            since = "" if isinstance(change, NoFigure) else f", {change.text} from birth"
            said.given(identity.answers, "birth_weight")
            dressed = dressed_words(said, reading)
            parts.insert(0, f"Weight {shown(weight.base, weight.unit)} on {moment_words(taken)}{since}{dressed}")
    return " ".join(f"{part.rstrip('.')}." for part in dict.fromkeys(filter(None, parts)))


def cautions(said: Said, writer: str, paper: str, *, of_visit: bool = True, person: str = "") -> tuple[Words, ...]:
    """Lines the reader must know: seen from afar, a student, a licence beside the certification.

    `paper` is what the paper calls itself; `of_visit` whether it tells of this visit, and `person`
    whom it is about: what a student charted of that person is told then.
    """
    who = said.chart.person(Practitioner, writer)
    lines = []
    if of_visit and said.value(said.chart.person(Visit, said.chart.visit or ""), "kind") in REMOTE:
        lines.append("Seen by phone or video only: no hands-on check was made.")
    if said.value(who, "practice_role") == "student":
        supervisor = said.words(who, "supervisor")
        under = f" under supervision of {supervisor}" if supervisor else f", {co_signed.NO_SUPERVISOR}"
        lines.append(f"Written by a student{under}.")
    if said.value(who, "licence_role") in _LICENCES:
        held = said.words(who, "licence_role").lower()
        lines.append(f"Licence also held: {held}. This {paper} was written in the role of lactation consultant.")
    return (*(co_signed.line(said, person) if of_visit else ()), *(plain(line) for line in lines))
