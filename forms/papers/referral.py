"""The referral letter: one question about one person to one provider, with fifteen content items or "not known".

The items and their order are those of a published letter tool (S:REF-TOOL); the checks before it may leave are house
rules (P). Observations only: it names no illness and gives no order.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from forms.ask import Paper
from forms.chart import Chart, Entry
from forms.clinical.evidence import zone_of
from forms.clinical.prompts import prompts
from forms.consent import Release, release_for
from forms.infant_history import InfantHistory
from forms.papers.about_one import (
    MEDICAL,
    NOT_KNOWN,
    SURGICAL,
    cautions,
    findings_said,
    impressions_of,
    joined,
    who_baby,
    who_parent,
)  # fmt: skip
from forms.papers.calls import numbers
from forms.papers.co_signed import draft
from forms.papers.letter_parts import sections
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
from forms.papers.said import Said, day_words, one_of
from forms.papers.wording import asked_for, words_line
from forms.papers.writer import SEAL_NOTE, page_size, printed_name, writer_lines
from forms.parent_history import ParentHistory
from forms.people import CareTeam, InfantIdentity, ParentIdentity
from forms.practice import Practice, Provider
from forms.referral import Referral
from forms.trouble import Bug, Trouble
from forms.visit import Visit

__all__ = ["NoRelease", "NotAQuestion", "NotReady", "referral", "release_under"]

SIZE: Final = 11
LEAST: Final = 10
"""A letter with much to send along is set a little smaller where that saves a page."""
"""Body type in points: a fax at 200 dots an inch keeps it (10.5 the least, from memory)."""


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


def _fifteen(said: Said, entry: Entry[Referral], now: datetime) -> Items:
    letter, person = entry.answers, entry.place.subjects[0]
    found = said.chart.by_id(person)
    identity = found.answers if found is not None else InfantIdentity()
    history: InfantHistory | ParentHistory
    if isinstance(identity, ParentIdentity):
        history = said.chart.one(ParentHistory, person)
        who, complaint = who_parent(said, identity), said.or_not_known(history, "reason")
    elif isinstance(identity, InfantIdentity):
        history = said.chart.one(InfantHistory, person)
        who = who_baby(said, identity, now)
        complaint = said.or_not_known(said.chart.person(Visit, said.chart.visit or ""), "reason")
    else:
        raise Bug("a referral is about a parent or a baby")
    said.opened(history)
    impressions = impressions_of(said, person)
    thought = " ".join(filter(None, (said.words(i.answers, "words") for i in impressions)))
    short = ". ".join(filter(None, (said.words(i.answers, "kinds") for i in impressions)))
    contents = (
        ("Who", who),
        ("Reason", said.or_not_known(letter, "opening_reason")),
        ("Complaint", complaint),
        ("With it", said.or_not_known(letter, "associated_symptoms")),
        ("Told by others", said.or_not_known(letter, "collateral_history")),
        ("Medical history", joined(said, history, MEDICAL[type(history)])),
        ("Operations", joined(said, history, SURGICAL[type(history)])),
        ("Home and support", said.or_not_known(letter, "psychosocial")),
        ("Medicines", said.or_not_known(history, "medicines")),
        ("Allergies", said.or_not_known(history, "allergies")),
        ("Findings", findings_said(said, person)),
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


def _open_entries(said: Said, entry: Entry[Referral]) -> None:
    person = entry.place.subjects[0]
    found = said.chart.by_id(person)
    for answers in (entry.answers, found.answers if found else None, said.chart.one(CareTeam, person)):
        if answers is not None:
            said.opened(answers)
    for impression in impressions_of(said, person):
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
    early = () if chart.signed() else (Mark("Written before the note was signed."),)
    body[1:1] = [*early, *draft(said, person)]
    sent = said.value(letter.answers, "attachments") or ()
    attached = list(sections(said, person, sent))
    rest = said.rest(only_free=True)
    also: list[Block] = [Heading("Also noted"), Items(rest)] if rest else []
    caution = cautions(said, writer, "letter", person=person)
    lines = (*writer_lines(said, writer), plain(SEAL_NOTE))
    foot = Foot(SCOPE[Paper.REFERRAL], (Lines(caution),) if caution else (), lines)
    title = next(block.text for block in body if isinstance(block, Title))
    return Outline(
        kind=Paper.REFERRAL, title=title, language="en", blocks=(*body, *also, *attached, foot), about=(person,),
        size=SIZE, least_size=LEAST, page=page_size(said), writer=name,
    )  # fmt: skip
