"""The referral letter: one question about one person to one provider, with fifteen content items or "not known".

The items and their order are those of a published letter tool (S:REF-TOOL); the checks before it may leave are house
rules (P). Observations only: it names no illness and gives no order.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from forms.ask import Paper, Path
from forms.body_mark import BodyMark
from forms.chart import Chart, Entry
from forms.clinical.age import Age, age
from forms.clinical.evidence import zone_of
from forms.clinical.prompts import prompts
from forms.clinical.result import NoFigure
from forms.clinical.weight import edges, percent_from_birth
from forms.consent import Release, release_for
from forms.form import Form
from forms.impression import Impression
from forms.infant_history import InfantHistory
from forms.papers.calls import numbers
from forms.papers.letter_parts import answered_items, dressed_words, mark_said, sections, weights_in_order
from forms.papers.outline import (
    SCOPE,
    Alarm,
    Block,
    Foot,
    Heading,
    Item,
    Items,
    Lines,
    Mark,
    Outline,
    Query,
    Title,
    Words,
    join,
    plain,
    strong,
)  # fmt: skip
from forms.papers.said import Said, day_words, moment_words, one_of
from forms.papers.wording import asked_for, words_line
from forms.papers.writer import SEAL_NOTE, page_size, printed_name, writer_lines
from forms.parent_history import ParentHistory
from forms.people import CareTeam, InfantIdentity, ParentIdentity
from forms.practice import Practice, Practitioner, Provider
from forms.referral import Referral
from forms.thresholds import limits
from forms.trouble import Bug, Trouble
from forms.units import shown
from forms.visit import REMOTE, Visit

__all__ = ["NoRelease", "NotAQuestion", "NotReady", "referral", "release_under"]

SIZE: Final = 11
"""Body type in points: a fax at 200 dots an inch keeps it (10.5 the least, from memory)."""
NOT_KNOWN: Final = "not known"

_MEDICAL: Final = {
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
_SURGICAL: Final = {
    InfantHistory: ("operations", "earlier_care", "earlier_care_what"),
    ParentHistory: ("surgery", "surgery_when", "surgery_cut", "surgery_why"),
}
_OBVIOUS: Final = ("Operations",)
"""Labels that repeat the item's own name."""
_LICENCES: Final = {"nurse", "midwife", "dietitian", "physician", "therapist", "other"}


class NoRelease(Trouble):
    """Nobody has allowed this letter to go to this recipient, or the leave does not hold today."""

    template = (
        "There is no release to {recipient} for referral letters that holds today. Record one under Consent, then "
        "print the letter."
    )


class NotReady(Trouble):
    """A letter lacks what every letter needs."""

    template = "The letter still needs: {missing}. Fill these in on the referral, then print it."


class NotAQuestion(Trouble):
    """The question is no single question."""

    template = "Ask the reader one question, with one question mark at its end, then print the letter."


def _provider(said: Said, letter: Referral) -> Provider:
    entry = said.chart.by_id(said.value(letter, "to") or "")
    if entry is None or not isinstance(entry.answers, Provider):
        raise NotReady(missing="to whom it goes")
    return entry.answers


def _checked(said: Said, entry: Entry[Referral], today: date) -> Entry[Release]:
    """The release the letter leaves under. Raises NotReady, NotAQuestion or NoRelease."""
    letter, person = entry.answers, entry.place.subjects[0]
    needed = {"question": "the question", "urgency": "how soon", "reply_by": "by when an answer is hoped for",
              "reply_to": "where the answer goes"}  # fmt: skip
    missing = [words for field, words in needed.items() if not said.value(letter, field)]
    if missing:
        raise NotReady(missing=one_of(missing))
    question = said.words(letter, "question").strip()
    if not question.endswith("?") or question.count("?") != 1:
        raise NotAQuestion
    recipient = said.words(_provider(said, letter), "full_name")
    held = release_for(said.chart, person, said.value(letter, "to"), "referral", today)
    if held is None:
        raise NoRelease(recipient=recipient or "this recipient")
    return held


def _joined(said: Said, answers: Form, fields: tuple[str, ...]) -> str:
    """Some answers of a form in one run: "Vitamin K: By injection. Conditions: None."."""
    items = answered_items(said, answers, only=fields)
    if len(items) == 1 and items[0].label in _OBVIOUS:
        return items[0].words[0].text
    return " ".join(f"{item.label}: {item.words[0].text.rstrip('.')}." for item in items)


def _baby(said: Said, baby: InfantIdentity, now: datetime) -> str:
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


def _parent(said: Said, parent: ParentIdentity) -> str:
    babies = (
        f"{said.called(b.answers)} (born {said.words(b.answers, 'born') or said.words(b.answers, 'born_day')})"
        for b in said.chart.all(InfantIdentity)
    )
    parts = (
        said.full_name(parent), f"born {said.words(parent, 'born_day')}" if said.words(parent, "born_day") else "",
        said.words(parent, "phone"), f"feeding {one_of(babies)}",
    )  # fmt: skip
    return "; ".join(part for part in parts if part)


def _impressions(said: Said, person: str) -> tuple[Entry[Impression], ...]:
    return tuple(e for e in said.chart.all(Impression, visit=said.chart.visit) if person in e.place.subjects)


def _findings(said: Said, person: str) -> str:
    """The answers picked as findings that matter, and a baby's last weight; nothing private, nobody else's."""
    parts = []
    for impression in _impressions(said, person):
        for pick in said.value(impression.answers, "findings") or ():
            name, _, register = str(pick).partition("/")
            entry, path = said.chart.by_id(name), Path.read(register)
            if entry is None or person not in entry.place.subjects:
                continue
            if isinstance(entry.answers, BodyMark):
                parts.append(mark_said(said, entry.answers, said.named(person)))
            elif path.field in type(entry.answers).__dataclass_fields__ and said.may(type(entry.answers), path.field):
                pair = len(entry.place.subjects) == 2
                parts.append(said.labelled(entry.answers, path, said.named(entry.place.subjects[0]) if pair else ""))
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


def _fifteen(said: Said, entry: Entry[Referral], now: datetime) -> Items:
    letter, person = entry.answers, entry.place.subjects[0]
    found = said.chart.by_id(person)
    identity = found.answers if found is not None else InfantIdentity()
    history: InfantHistory | ParentHistory
    if isinstance(identity, ParentIdentity):
        history = said.chart.one(ParentHistory, person)
        who, complaint = _parent(said, identity), said.or_not_known(history, "reason")
    elif isinstance(identity, InfantIdentity):
        history = said.chart.one(InfantHistory, person)
        who = _baby(said, identity, now)
        complaint = said.or_not_known(said.chart.person(Visit, said.chart.visit or ""), "reason")
    else:
        raise Bug("a referral is about a parent or a baby")
    said.opened(history)
    impressions = _impressions(said, person)
    thought = " ".join(filter(None, (said.words(i.answers, "words") for i in impressions)))
    short = ". ".join(filter(None, (said.words(i.answers, "kinds") for i in impressions)))
    contents = (
        ("Who", who),
        ("Reason", said.or_not_known(letter, "opening_reason")),
        ("Complaint", complaint),
        ("With it", said.or_not_known(letter, "associated_symptoms")),
        ("Told by others", said.or_not_known(letter, "collateral_history")),
        ("Medical history", _joined(said, history, _MEDICAL[type(history)])),
        ("Operations", _joined(said, history, _SURGICAL[type(history)])),
        ("Home and support", said.or_not_known(letter, "psychosocial")),
        ("Medicines", said.or_not_known(history, "medicines")),
        ("Allergies", said.or_not_known(history, "allergies")),
        ("Findings", _findings(said, person)),
        ("Results", said.or_not_known(letter, "results")),
        ("Done so far", said.or_not_known(letter, "management_so_far")),
        ("Impression", " ".join(filter(None, (thought, f"{short}." if short else "")))),
        ("What is asked", said.or_not_known(letter, "expected")),
    )
    return Items(tuple(Item(label, plain(words or NOT_KNOWN)) for label, words in contents), numbered=True)


def _head(said: Said, entry: Entry[Referral], now: datetime) -> Iterator[Block]:
    letter, person = entry.answers, entry.place.subjects[0]
    provider, about = _provider(said, letter), said.chart.by_id(person)
    whom = ", ".join(filter(None, (said.words(provider, f) for f in ("full_name", "profession", "practice"))))
    ways = (("phone", "phone"), ("fax", "fax"), ("secure_route", "secure route"))
    reach = ", ".join(f"{name} {said.words(provider, field)}" for field, name in ways if said.words(provider, field))
    name = said.full_name(about.answers) if about and isinstance(about.answers, InfantIdentity | ParentIdentity) else ""
    local = now.astimezone(ZoneInfo(zone_of(said.chart)))
    yield Title(f"Referral: {name}", plain(f"to {whom}"))
    yield Lines(tuple(plain(line) for line in (reach, day_words(local.date(), weekday=True)) if line))
    urgency, why = said.words(letter, "urgency"), said.words(letter, "urgency_why")
    seen = tuple(
        plain(p.seen) for p in prompts(said.chart, now) if p.person == person and p.urgent and not p.private
    )  # fmt: skip
    if said.value(letter, "urgency") in ("emergency", "same_day"):
        yield Alarm(f"Urgent: {urgency.lower()}", ((plain(why or "See the findings below.")), *seen))
    else:
        yield Lines((join("How soon: ", strong(urgency)), *seen))
    yield Query(said.words(letter, "question").strip())
    by, where = said.words(letter, "reply_by"), said.words(letter, "reply_to")
    yield Lines((join("Answer hoped for by ", strong(by), f", to {where}."),))


def _sent_with(said: Said, letter: Referral, release: Release) -> tuple[Words, ...]:
    kinds = said.words(letter, "attachments") or NOT_KNOWN
    other = said.words(letter, "attachments_words")
    given, until = said.words(release, "given_at"), said.words(release, "valid_until")
    copy = {True: "yes", False: "no"}.get(said.value(letter, "parent_has_copy"), NOT_KNOWN)
    said.shapes(Release, "recipient", "valid_from")
    return (
        join("Sent with it: ", kinds, f" ({other})" if other else "", "."),
        plain(f"The parent has a copy: {copy}. Release on file{f', given {given}' if given else ''}, until {until}."),
    )


def _caution(said: Said, writer: str) -> tuple[Words, ...]:
    """Lines the reader must know: seen from afar, a student, a licence beside the certification."""
    who = said.chart.person(Practitioner, writer)
    lines = []
    if said.value(said.chart.person(Visit, said.chart.visit or ""), "kind") in REMOTE:
        lines.append("Seen by phone or video only: no hands-on check was made.")
    if said.value(who, "practice_role") == "student":
        lines.append(f"Written by a student under supervision of {said.words(who, 'supervisor') or NOT_KNOWN}.")
    if said.value(who, "licence_role") in _LICENCES:
        held = said.words(who, "licence_role").lower()
        lines.append(f"Licence also held: {held}. This letter was written in the role of lactation consultant.")
    return tuple(plain(line) for line in lines)


def _open_entries(said: Said, entry: Entry[Referral]) -> None:
    person = entry.place.subjects[0]
    found = said.chart.by_id(person)
    for answers in (entry.answers, found.answers if found else None, said.chart.one(CareTeam, person)):
        if answers is not None:
            said.opened(answers)
    for impression in _impressions(said, person):
        said.opened(impression.answers, "" if len(impression.place.subjects) == 1 else "Together")
    said.opened(said.chart.person(Visit, said.chart.visit or ""))
    said.shapes(InfantIdentity, "tag_shape", "called_name", "legal_name", "name_as_printed", "born", "born_day")
    said.shapes(ParentIdentity, "called_name")
    said.shapes(Visit, "start", "practitioner", "visit_order")
    said.shapes(Practice, "practice_name")


def _letter(chart: Chart, entry: str) -> Entry[Referral]:
    found = chart.by_id(entry)
    if found is None or not isinstance(found.answers, Referral) or found.struck:
        raise Bug("a letter was asked of an entry that is no referral")
    return Entry(found.id, found.place, found.answers, found.author, found.entered)


def release_under(chart: Chart, entry: str, now: datetime) -> Entry[Release]:
    """The release a letter leaves under today. Raises NotReady, NotAQuestion or NoRelease."""
    today = now.astimezone(ZoneInfo(zone_of(chart))).date()
    return _checked(Said(chart, Paper.REFERRAL), _letter(chart, entry), today)


def referral(chart: Chart, entry: str, *, writer: str, now: datetime) -> Outline:
    """The letter of a Referral entry. `writer` is the practitioner's id, `now` the aware time of printing.

    Raises NoEmergencyNumber, NotReady, NotAQuestion, NoRelease, and Unresolved when two values stand for something it
    prints; Bug when the entry is no referral of this chart.
    """
    letter, said = _letter(chart, entry), Said(chart, Paper.REFERRAL)
    numbers(Said(chart, Paper.FAMILY_PLAN))
    release, person = release_under(chart, entry, now).answers, letter.place.subjects[0]
    _open_entries(said, letter)
    said.wording = asked_for(said, person)
    asked = words_line(said.wording) if said.wording is not None else ()
    name = printed_name(said, writer)
    body: list[Block] = [
        *_head(said, letter, now),
        *((Lines((asked,)),) if asked else ()),
        _fifteen(said, letter, now),
        Lines(_sent_with(said, letter.answers, release)),
    ]
    if not chart.signed():
        body.insert(1, Mark("Written before the note was signed."))
    sent = said.value(letter.answers, "attachments") or ()
    attached = list(sections(said, person, sent))
    rest = said.rest(only_free=True)
    also: list[Block] = [Heading("Also noted"), Items(rest)] if rest else []
    caution = _caution(said, writer)
    lines = (*writer_lines(said, writer), plain(SEAL_NOTE))
    foot = Foot(SCOPE[Paper.REFERRAL], (Lines(caution),) if caution else (), lines)
    title = next(block.text for block in body if isinstance(block, Title))
    return Outline(
        kind=Paper.REFERRAL, title=title, language="en", blocks=(*body, *also, *attached, foot), about=(person,),
        size=SIZE, page=page_size(said), writer=name,
    )  # fmt: skip
