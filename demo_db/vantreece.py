"""The Vantreeces: a baby of six months, the last talk by phone, the goal met, care closed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from demo_db.agreed import agree_to
from demo_db.charting import Charting
from demo_db.practice import AddressBook
from demo_db.usual import BABY_LOOK, BABY_STORY, PARENT_SIDES, PARENT_STORY
from forms.answers import Absence
from forms.closing import Closing, Loop, StateAtEnd
from forms.consent import CareConsent
from forms.feed import FeedObservation
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.loops import open_loops
from forms.parent_history import ParentHistory
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.visit import Present, Visit
from forms.weight import WeightReading

__all__ = ["Oswin", "begin", "chart_visit", "close"]

DAY = "2026-02-24"
MAUDE = "Maude Vantreece"
GOAL = "I want him to come to solid food while I still nurse."
SAID: dict[str, Any] = {"given_by": MAUDE, "how": "spoken", "witness": "Rowan Vale", "given_at": f"{DAY} 10:02"}


@dataclass(frozen=True, slots=True)
class Oswin:
    """Ids of the family's people."""

    family: str
    maude: str
    oswin: str


def begin(desk: Charting, book: AddressBook) -> Oswin:
    """The family, mother and baby, their providers, and the weights read in the practice's letters."""
    desk.family = desk.fill(
        Family, entity=desk.ids(), family_name="Vantreece", address="3 Glover's Yard, Brackwater", signal="good",
        units_spoken="metric",
    )  # fmt: skip
    people = Oswin(
        family=desk.family,
        maude=desk.fill(
            ParentIdentity, entity=desk.ids(), full_name=MAUDE, called_name="Maude", pronouns="she",
            body_word="breast", feeding_word="nursing", born_day="1986-02-11", phone="555 0199", safe_to_message=True,
            language="English", interpreter_need="none", roles=("birth_parent",), may_consent=True,
        ),
        oswin=desk.fill(
            InfantIdentity, entity=desk.ids(), legal_name="Oswin Vantreece", called_name="Oswin", tag_shape="square",
            sex="m", plurality=1, birth_order=1, born="2025-08-20 18:45", birth_place="Brackwater General",
            gestation_weeks=39, gestation_days=0, birth_weight="3,120 g",
        ),
    )  # fmt: skip
    desk.fill(CareTeam, people.oswin, primary_provider=book.paediatrician, next_visit_day="2026-05-20",
              releases_talked_over=True, rest=Absence.NONE)  # fmt: skip
    desk.fill(CareTeam, people.maude, primary_provider=book.family_doctor, releases_talked_over=True,
              rest=Absence.NONE)  # fmt: skip
    for weight, taken in (("5,480 g", "2025-10-29 10:00"), ("7,390 g", "2026-02-20 09:30")):
        desk.fill(WeightReading, people.oswin, weight=weight, taken=taken, state="bare", source="document",
                  document="Letter of the children's practice", scale_name="The children's practice's scale",
                  by_whom="The practice's nurse")  # fmt: skip
    return people


def chart_visit(desk: Charting, people: Oswin, book: AddressBook) -> str:
    """The talk by phone of 24 February, complete; its id."""
    del book
    desk.visit = visit = desk.ids()
    desk.fill(
        Visit, entity=visit, kind="phone", start=f"{DAY} 10:00", end=f"{DAY} 10:35", place="Her kitchen, on the telephone",
        practitioner=desk.author, reason="Solid food begun; a last talk before care ends", interpreter="not_needed",
        rest=Absence.NOT_ASKED,
    )  # fmt: skip
    desk.fill(Present, full_name=MAUDE, part="parent", hears_all=True, rest=Absence.NOT_ASKED)
    desk.fill(CareConsent, people.maude, agreed="yes", relation="self", rest=Absence.NONE, **SAID)
    desk.fill(CareConsent, people.oswin, agreed="yes", relation="parent", may_consent="yes", rest=Absence.NONE, **SAID)
    for purpose, answers in (("phone", {"risks_told": True, "numbers": "555 0199"}),
                             ("terms", {"payer": "The family"}), ("privacy_notice", {})):  # fmt: skip
        agree_to(desk, people.maude, MAUDE, f"{DAY} 10:03", purpose, how="spoken", witness="Rowan Vale", **answers)
    side = {**PARENT_SIDES, "pain_worst": 0}
    desk.fill(
        ParentHistory, people.maude, left=side, right=side, rest=Absence.NOT_ASKED,
        **{
            **PARENT_STORY, "reason": "He eats, and I wonder how often to nurse now", "goal": GOAL,
            "goal_importance": 7, "goal_confidence": 9, "fed_before": False, "work_return": "2026-01-12",
            "medicines": "None", "medicines_checked": "Nothing to look up, 24 February 2026",
            "mood_asked_alone_at": f"{DAY} 10:14", "safety_asked_alone_at": f"{DAY} 10:15",
        },
    )  # fmt: skip
    desk.fill(
        InfantHistory, people.oswin, rest=Absence.NOT_ASKED,
        **{
            **BABY_STORY, "feeds_24h": 6, "feeds_night": 1, "longest_gap": "7 h", "feed_length": "12 min",
            "wets_24h": 6, "stools_24h": 1, "stool_colour": ("brown",), "last_wet": f"{DAY} 08:30",
            "last_stool": f"{DAY} 07:10", "vomit": ("none",), "solids": "tastes", "day_before": ("at_breast", "solids", "medicine"), "solids_since": "2026-02-15",
            "teeth": 2, "milestones": "Sits with a hand on the floor; passes a spoon from hand to hand.",
            "guardians": (people.maude,),
        },
    )  # fmt: skip
    desk.fill(
        InfantAssessment, people.oswin, rest=Absence.NOT_DONE,
        **{key: BABY_LOOK[key] for key in ("state_on_arrival", "waking", "tone", "colour", "mouth_moisture", "cry",
           "alarm_signs", "skin", "cord", "cues", "settles")},
        seen_how="reported", weight_not_taken="remote",
    )  # fmt: skip
    desk.fill(FeedObservation, people.maude, people.oswin, entity=desk.ids(), observed="not_seen",
              not_observed_because="remote")  # fmt: skip
    _conclude(desk, people)
    return visit


def _conclude(desk: Charting, people: Oswin) -> None:
    desk.fill(Impression, people.oswin, strengths="Curious about every spoon.", kinds=("going_well",),
              words="By what is told, feeding goes well beside the first solid food.", risk="routine",
              rest=Absence.NONE)  # fmt: skip
    desk.fill(Impression, people.maude, strengths="Follows his signs, not the clock.", kinds=("going_well",),
              words="No complaint told.", risk="routine", rest=Absence.NONE)  # fmt: skip
    desk.fill(FeedingAmount, people.oswin, extra_milk=False, rest=Absence.NONE)
    desk.fill(
        Plan, goal=GOAL, went_well="Oswin tastes with joy and still nurses six times.",
        tried_and_kept="Nursing first, then the spoon.", watch_baby=("few_wets", "refuses"),
        watch_parent=("fever", "sore_area"), followup_kind="none", weight_check_by="Dr Brandreth, on 20 May",
        advice=("safe_sleep",), teach_back=("said",), teach_back_with="Maude", language="English",
        left_how=("read_out",), left_with="Maude", left_at=f"{DAY} 10:33", rest=Absence.NOT_ASKED,
    )  # fmt: skip
    desk.fill(PlanTask, order=1, what="Nurse first, then offer the spoon.", how_often="At two meals a day",
              until="He asks for more", who="Maude", rest=Absence.NOT_ASKED)  # fmt: skip


def close(desk: Charting, people: Oswin, visit: str) -> str:
    """Close the episode, each open thing with its owner, as the window does; the closing's id."""
    desk.visit = None
    closing = desk.fill(
        Closing, entity=desk.ids(), reason="goal_met", goal_reached=10, covers=(people.maude, people.oswin),
        goal_words="He eats and I still nurse; that is what I wanted.", given_family=("numbers", "come_back"),
        kept="longer", kept_until="2050-08-20",
        kept_why="Until Oswin is 25; the practice has not set its rule yet.",
    )  # fmt: skip
    desk.fill(
        StateAtEnd, people.oswin, entity=desk.ids(), closing=closing, recall_day="2026-02-23",
        recall=("at_breast", "solids", "medicine"), weight="7,390 g", weighed_at="2026-02-20 09:30", supplement=False,
        pain=0,
    )  # fmt: skip
    for loop in open_loops(desk.store.chart(people.family, visit)):
        desk.fill(Loop, entity=desk.ids(), closing=closing, of=loop.entry, owner="family", told=True)
    desk.fill(Closing, entity=closing, closed_at=f"{DAY} 10:50", closed_by=desk.author)
    return closing
