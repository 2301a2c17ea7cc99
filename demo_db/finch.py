"""The Finch-Adeyemis: a baby of five days who is hard to wake. The note is unfinished; the call-now page is given."""

from __future__ import annotations

from dataclasses import dataclass, replace

from demo_db.charting import Charting
from demo_db.practice import STUDENT, AddressBook
from demo_db.usual import BABY_LOOK, BABY_STORY, PARENT_SIDES, PARENT_STORY
from forms.answers import Absence
from forms.consent import CareConsent, TouchConsent
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.visit import Jot, Present, Visit
from forms.weight import WeightReading

__all__ = ["Arlo", "begin", "chart_visit"]

DAY = "2026-03-02"


@dataclass(frozen=True, slots=True)
class Arlo:
    """Ids of the family's people."""

    family: str
    kemi: str
    arlo: str


def begin(desk: Charting, book: AddressBook) -> Arlo:
    """The family, mother and baby, their providers."""
    desk.family = desk.fill(
        Family, entity=desk.ids(), family_name="Finch-Adeyemi", address="5 Osier Court, Brackwater", signal="weak",
        units_spoken="us",
    )  # fmt: skip
    people = Arlo(
        family=desk.family,
        kemi=desk.fill(
            ParentIdentity, entity=desk.ids(), full_name="Kemi Finch-Adeyemi", called_name="Kemi", pronouns="she",
            body_word="breast", feeding_word="breastfeeding", born_day="1989-01-30", phone="555 0141",
            safe_to_message=True, language="English", interpreter_need="none", roles=("birth_parent",), may_consent=True,
        ),
        arlo=desk.fill(
            InfantIdentity, entity=desk.ids(), legal_name="Arlo Finch-Adeyemi", called_name="Arlo",
            tag_shape="triangle", sex="m", plurality=1, birth_order=1, born="2026-02-25 12:00",
            birth_place="Brackwater General", gestation_weeks=38, gestation_days=1, birth_weight="3,260 g",
        ),
    )  # fmt: skip
    desk.fill(CareTeam, people.arlo, primary_provider=book.paediatrician, next_visit_day="2026-03-11",
              rest=Absence.NONE)  # fmt: skip
    desk.fill(CareTeam, people.kemi, primary_provider=book.family_doctor, birth_provider=book.midwife,
              rest=Absence.NONE)  # fmt: skip
    return people


def chart_visit(desk: Charting, people: Arlo, book: AddressBook) -> str:
    """The visit of 2 March as far as it got before the call; its id."""
    desk.visit = visit = desk.ids()
    desk.fill(
        Visit, entity=visit, kind="home", start=f"{DAY} 16:00", place="5 Osier Court", practitioner=desk.author,
        reason="Sleepy at feeds since yesterday", interpreter="not_needed",
    )  # fmt: skip
    for name, part in (("Kemi Finch-Adeyemi", "parent"), (STUDENT, "student")):
        desk.fill(Present, full_name=name, part=part, hears_all=True)
    for person, relation in ((people.kemi, "self"), (people.arlo, "parent")):
        desk.fill(
            CareConsent, person, agreed="yes", given_by="Kemi Finch-Adeyemi", relation=relation, how="spoken",
            witness="Rowan Vale", given_at=f"{DAY} 16:02",
        )  # fmt: skip
    desk.fill(TouchConsent, people.arlo, agreed="yes", scope=("mouth", "body"), given_by="Kemi Finch-Adeyemi",
              how="spoken", witness="Rowan Vale", given_at=f"{DAY} 16:02")  # fmt: skip
    desk.fill(
        ParentHistory, people.kemi, taken="in_full", reason="He sleeps all the time and will not feed",
        goal="I want him to wake up and eat.", left=PARENT_SIDES, right=PARENT_SIDES,
        **{key: PARENT_STORY[key] for key in ("unwell", "warning_signs", "medicines", "allergies", "gave_birth")},
    )  # fmt: skip
    replace(desk, author=book.student).fill(
        InfantHistory, people.arlo,
        **{
            **BABY_STORY, "feeds_24h": 5, "longest_gap": "7 h", "wets_24h": 2, "wet_heaviness": "light",
            "urine_colour": ("urates",), "stools_24h": 0, "stool_colour": ("black",), "stool_size": "none",
            "last_wet": f"{DAY} 07:30", "last_stool": "2026-02-26 15:00", "wakes_to_feed": "woken",
            "sleepy_feeds": 3, "feeding_vigour": "poor", "settled_after": "rarely", "crying": ("little",),
            "feed_signs": ("tires",), "jaundice_told": "seen", "jaundice_onset": "after_24_h",
        },
    )  # fmt: skip
    desk.fill(InfantHistory, people.arlo, sleepy_feeds=4)  # the student had counted one less
    desk.fill(
        InfantAssessment, people.arlo,
        **{
            **BABY_LOOK, "state_on_arrival": "deep_sleep", "waking": "hard_to_wake", "tone": ("low",),
            "colour": ("yellow",), "yellow_extent": ("face", "chest", "belly", "legs"), "yellow_onset": "after_24_h",
            "yellow_course": "spreading", "mouth_moisture": "sticky", "cord": ("dry",), "cues": ("none",),
            "settles": ("not_settled",), "rooting": "weak", "sucking": "weak",
        },
    )  # fmt: skip
    desk.fill(
        WeightReading, people.arlo, weight="2,931 g", taken=f"{DAY} 16:08", state="bare", source="seen",
        scale_name="Balance no. 2", scale_step="2 g", by_whom="Rowan Vale", repeat="2,930 g",
    )  # fmt: skip
    desk.fill(Jot, words="Calling the children's practice now", noted=f"{DAY} 16:10")
    return visit
