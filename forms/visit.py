"""The visit itself: head, who was in the room, jots, and what was added after signing (trade line C11)."""

from __future__ import annotations

from dataclasses import dataclass

from forms.answers import Given, Moment
from forms.ask import Need, NotCoded, NotPrinted, Paper, Printed, When, choice, line, moment, ref, text, yes_no
from forms.form import About, Form, declared

__all__ = ["REMOTE", "Addendum", "Jot", "Present", "Visit"]

REMOTE = ("phone", "video")
"""Kinds of visit at which nobody's hands were on the baby."""

HEAD = Printed((Paper.FAMILY_PLAN, Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY, Paper.RECEIPT))
CLINICAL = Printed((Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY))
RECORD = Printed((Paper.SUMMARY,))
BILLED = Printed((Paper.SUMMARY, Paper.RECEIPT))
KEPT = NotPrinted("a working note, never part of a paper until it is filed in a form")
PART = NotCoded("part of the encounter, handed over with it")
OWN = NotCoded("a working note, not handed over")


@declared("visit", "Visit", About.FAMILY, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Visit(Form):
    """One visit to one family. The id of this entry is the visit id that other entries stand under."""

    kind: Given[str] = choice(
        "Kind of visit",
        {"home": "At home", "clinic": "Clinic", "video": "Video", "phone": "Phone", "group": "Group"},
        need=Need.MUST, paper=HEAD, code=PART,
    )  # fmt: skip
    start: Given[Moment] = moment("Started", need=Need.MUST, paper=HEAD, code=PART)
    end: Given[Moment] = moment("Ended", need=Need.MUST, paper=BILLED, code=PART)
    place: Given[str] = line("Place", need=Need.MUST, paper=RECORD, code=PART)
    practitioner: Given[str] = ref("Consultant", ("practitioner",), need=Need.MUST, paper=HEAD, code=PART)
    reason: Given[str] = text("Why this visit, in the consultant's words", need=Need.MUST, paper=CLINICAL, code=PART)
    interpreter: Given[str] = choice(
        "Interpreter",
        {
            "not_needed": "Not needed",
            "in_room": "In the room",
            "phone": "By phone",
            "video": "By video",
            "family_member": "A family member, by the parent's choice",
        },
        need=Need.MUST, paper=CLINICAL, code=PART, help="Never a child.",
    )  # fmt: skip
    interpreter_name: Given[str] = line(
        "Interpreter's name or number", need=Need.WHEN_OPEN, paper=CLINICAL, code=PART,
        when=When("interpreter", one_of=("in_room", "phone", "video", "family_member")),
    )  # fmt: skip
    interpreter_language: Given[str] = line(
        "Language interpreted", need=Need.WHEN_OPEN, paper=CLINICAL, code=PART,
        when=When("interpreter", one_of=("in_room", "phone", "video", "family_member")),
    )  # fmt: skip
    kept_after_asking: Given[str] = text("Asked about a time; the answer", paper=KEPT, code=OWN)


@declared("present", "Who was in the room", About.VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Present(Form):
    """One person present at the visit, and whether everything may be said in front of them."""

    full_name: Given[str] = line("Name", need=Need.MUST, paper=RECORD, code=PART)
    person: Given[str] = ref("Someone of this family", ("parent", "infant"), paper=RECORD, code=PART)
    part: Given[str] = choice(
        "Who they are",
        {
            "parent": "Parent",
            "baby": "Baby",
            "partner": "Partner",
            "grandparent": "Grandparent",
            "sibling": "Sibling",
            "friend": "Friend or helper",
            "interpreter": "Interpreter",
            "student": "Student",
            "colleague": "Colleague",
            "other": "Someone else",
        },
        need=Need.MUST, paper=RECORD, code=PART,
    )  # fmt: skip
    hears_all: Given[bool] = yes_no(
        "May hear everything", need=Need.MUST, paper=NotPrinted("guards the family's privacy in the room"), code=PART
    )


@declared("jot", "Jot", About.VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Jot(Form):
    """One line noted in passing. It is filed when `filed_to` names the entry it went to, or says it is done with."""

    words: Given[str] = text("Jot", paper=KEPT, code=OWN)
    noted: Given[Moment] = moment("Noted at", paper=KEPT, code=OWN)
    filed_to: Given[str] = line(
        "Filed to", paper=KEPT, code=OWN, help="The form and question it now stands in, or why it stands in none."
    )
    filed_at: Given[Moment] = moment("Filed at", paper=KEPT, code=OWN)


@declared("addendum", "Addendum", About.VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Addendum(Form):
    """Words added to a signed note, which itself stays as it was signed."""

    note: Given[str] = line(
        "To which note", need=Need.MUST, paper=RECORD, code=PART,
        help="A person's id, feeder and baby for a pair, or the visit.",
    )  # fmt: skip
    kind: Given[str] = choice(
        "What it is",
        {
            "addendum": "Addendum by the author",
            "amendment": "Amendment the family asked for",
            "correction": "Correction of a wrong entry",
            "received": "Received after signing",
        },
        need=Need.MUST, paper=RECORD, code=PART,
    )  # fmt: skip
    words: Given[str] = text("What is added", need=Need.MUST, paper=RECORD, code=PART)
    why: Given[str] = text("Why", need=Need.MUST, paper=RECORD, code=PART)
    asked_by: Given[str] = line(
        "Who asked", need=Need.WHEN_OPEN, when=When("kind", one_of=("amendment",)), paper=RECORD, code=PART
    )
