"""The Peñaloza-Ruizes: a first visit without signal; the mother prefers Spanish, an aunt who helps reads English."""

from __future__ import annotations

from dataclasses import dataclass

from demo_db.agreed import agree, agree_to
from demo_db.charting import Charting
from demo_db.practice import AddressBook
from demo_db.usual import BABY_LOOK, BABY_STORY, CHEST, CHEST_SIDE, FEED_SIDE, PARENT_SIDES, PARENT_STORY
from forms.answers import Absence
from forms.breast import BreastAssessment
from forms.family_language import FamilyLanguage, wording_id
from forms.feed import FeedObservation
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.visit import Present, Visit
from forms.weight import WeightReading

__all__ = ["GOAL", "GOAL_IN_SPANISH", "Andres", "begin", "chart_visit"]

DAY = "2026-02-28"
GOAL = "I want to breastfeed without worrying that he gets too little."
GOAL_IN_SPANISH = "Quiero dar pecho sin preocuparme de que le falte leche."
"""Her own words as she said them in Spanish; the consultant charts them in English."""


@dataclass(frozen=True, slots=True)
class Andres:
    """Ids of the family's people."""

    family: str
    lucia: str
    andres: str


def begin(desk: Charting, book: AddressBook) -> Andres:
    """The family, mother and baby, their providers."""
    desk.family = desk.fill(
        Family, entity=desk.ids(), family_name="Peñaloza-Ruiz", address="9 Lamplighter Steps, Brackwater",
        signal="none", units_spoken="metric",
    )  # fmt: skip
    people = Andres(
        family=desk.family,
        lucia=desk.fill(
            ParentIdentity, entity=desk.ids(), full_name="Lucía Peñaloza-Ruiz", called_name="Lucía", pronouns="she",
            body_word="breast", feeding_word="breastfeeding", born_day="1996-11-08", phone="555 0147",
            safe_to_message=True, language="Spanish", interpreter_need="chosen_adult",
            interpreter_name="Marisol Ruiz, her aunt", interpreter_mode="in_person", roles=("birth_parent",),
            may_consent=True,
        ),
        andres=desk.fill(
            InfantIdentity, entity=desk.ids(), legal_name="Andrés Peñaloza-Ruiz", called_name="Andrés",
            tag_shape="circle", sex="m", plurality=1, birth_order=1, born="2026-02-20 09:40",
            birth_place="Brackwater General", gestation_weeks=39, gestation_days=2, birth_weight="3,310 g",
        ),
    )  # fmt: skip
    desk.fill(CareTeam, people.andres, primary_provider=book.paediatrician, next_visit_day="2026-03-06",
              releases_talked_over=True, rest=Absence.NONE)  # fmt: skip
    desk.fill(CareTeam, people.lucia, primary_provider=book.family_doctor, birth_provider=book.midwife,
              releases_talked_over=True, rest=Absence.NONE)  # fmt: skip
    desk.fill(
        WeightReading, people.andres, weight="3,120 g", taken="2026-02-22 10:00", state="bare", source="document",
        document="Discharge summary", scale_name="Hospital scale", by_whom="Ward staff",
    )  # fmt: skip
    return people


def chart_visit(desk: Charting, people: Andres, book: AddressBook) -> str:
    """The visit of 28 February, complete; its id."""
    desk.visit = visit = desk.ids()
    desk.fill(
        Visit, entity=visit, kind="home", start=f"{DAY} 14:10", end=f"{DAY} 15:45", place="9 Lamplighter Steps",
        practitioner=desk.author, reason="Wants to know whether he gets enough", interpreter="family_member",
        interpreter_name="Marisol Ruiz", interpreter_language="Spanish",
        rest=Absence.NOT_ASKED,
    )  # fmt: skip
    desk.fill(Present, full_name="Lucía Peñaloza-Ruiz", part="parent", hears_all=True, person=people.lucia,
              rest=Absence.NOT_ASKED)  # fmt: skip
    desk.fill(Present, full_name="Marisol Ruiz", part="other", hears_all=True, rest=Absence.NOT_ASKED)
    agree(desk, people.lucia, "Lucía Peñaloza-Ruiz", f"{DAY} 14:12", "breast", own=True)
    agree(desk, people.andres, "Lucía Peñaloza-Ruiz", f"{DAY} 14:13", "mouth", "body")
    agree_to(desk, people.lucia, "Lucía Peñaloza-Ruiz", f"{DAY} 14:14", "terms", payer="The family")
    agree_to(desk, people.lucia, "Lucía Peñaloza-Ruiz", f"{DAY} 14:14", "privacy_notice")
    agree_to(
        desk,
        people.lucia,
        "Lucía Peñaloza-Ruiz",
        f"{DAY} 14:15",
        "interpreter",
        how="spoken",
        witness="Rowan Vale",
        interpreter="Marisol Ruiz",
        interpreter_mode="in_room",
        interpreter_is="adult",
    )
    _stories(desk, people)
    _look(desk, people)
    _conclude(desk, people, book, _feed(desk, people))
    return visit


def _stories(desk: Charting, people: Andres) -> None:
    desk.fill(
        ParentHistory, people.lucia, left=PARENT_SIDES, right=PARENT_SIDES, rest=Absence.NOT_ASKED,
        **{
            **PARENT_STORY, "reason": "He feeds often and she worries that it is not enough", "goal": GOAL,
            "goal_importance": 9, "goal_confidence": 6, "would_help": "Seeing what he takes", "fed_before": False,
            "mood_asked_alone_at": f"{DAY} 14:22", "safety_asked_alone_at": f"{DAY} 14:24",
        },
    )  # fmt: skip
    desk.fill(
        InfantHistory, people.andres, rest=Absence.NOT_ASKED,
        **{
            **BABY_STORY, "feeds_24h": 10, "last_wet": f"{DAY} 13:20", "last_stool": f"{DAY} 12:05",
            "guardians": (people.lucia,), "vitamin_k": "injection", "family_conditions": ("none",),
        },
    )  # fmt: skip


def _look(desk: Charting, people: Andres) -> None:
    desk.fill(
        WeightReading, people.andres, weight="3,230 g", taken=f"{DAY} 14:40", state="bare", source="seen",
        scale_name="Balance no. 2", scale_step="2 g", by_whom="Rowan Vale", repeat="3,230 g",
    )  # fmt: skip
    desk.fill(InfantAssessment, people.andres, rest=Absence.NOT_DONE, **BABY_LOOK)
    desk.fill(BreastAssessment, people.lucia, left=CHEST_SIDE, right=CHEST_SIDE, rest=Absence.NOT_DONE, **CHEST)


def _feed(desk: Charting, people: Andres) -> str:
    return desk.fill(
        FeedObservation, people.lucia, people.andres, entity=desk.ids(), observed="seen", began=f"{DAY} 14:50",
        last_ended=f"{DAY} 12:30", place="Armchair", baby_state="cueing", helped_by="Rowan Vale", devices=("none",),
        baby_signs=("none",), baby_after=("asleep",), supplement=False, bottle_seen=False, feeder_view=5,
        feeder_words="She heard him swallow and was glad.", rest=Absence.NOT_ASKED,
        left={**FEED_SIDE, "latched": f"{DAY} 14:51", "let_go": f"{DAY} 15:05", "position": "leaned_back"},
        right={**FEED_SIDE, "latched": f"{DAY} 15:07", "let_go": f"{DAY} 15:17", "position": "leaned_back"},
    )  # fmt: skip


def _conclude(desk: Charting, people: Andres, book: AddressBook, feed: str) -> None:
    found: tuple[tuple[tuple[str, ...], str, str, str], ...] = (
        ((people.andres,), "weight", "Your baby woke by itself and asked for milk.",
         "Gains slowly; wets and stools as expected."),
        ((people.lucia,), "going_well", "You heard your baby swallow.", "Comfortable through the feed, both sides."),
        ((people.lucia, people.andres), "going_well", "The feed did not hurt.",
         "A settled feed with many swallows on both sides."),
    )  # fmt: skip
    for whose, kind, strengths, words in found:
        desk.fill(
            Impression, *whose, strengths=strengths, kinds=(kind,), findings=(f"{feed}/swallows@left",), words=words,
            risk="watch", risk_why="Not back at birth weight on day 8.", rest=Absence.NONE,
        )  # fmt: skip
    desk.fill(
        FeedingAmount, people.andres, extra_milk=True, per_feed="30 mL", times_per_day=4, milks=("own",),
        method="bottle", origin="consultant", agreed="sent", agreed_with=book.paediatrician,
        agreed_at=f"{DAY} 15:30", until="The next weight", rest=Absence.NOT_ASKED,
    )  # fmt: skip
    desk.fill(
        Plan, goal=GOAL, went_well="You heard your baby swallow. The feed did not hurt.",
        tried_and_kept="Offer both sides at each feed.",
        watch_baby=("sleepy", "few_wets", "refuses"), watch_parent=("sore_area", "low"),
        followup_kind="home", followup_at="2026-03-03 10:30", weight_check_by="Rowan Vale, on Tuesday",
        advice=("safe_sleep", "bottle"), teach_back=("said",), teach_back_with="Lucía, and Marisol Ruiz, her aunt",
        language="Spanish", left_how=("printed",), left_with="Lucía and her aunt Marisol", left_at=f"{DAY} 15:40",
        rest=Absence.NOT_ASKED,
    )  # fmt: skip
    tasks = (
        ("Feed your baby at the first signs of hunger: hands to the mouth, a turning head.",
         "At least 8 times in a day and a night", "The next visit", "Lucía"),
        ("Lean back, and let your baby come to you chin first. Squeeze gently when the swallows slow down.",
         "Each feed", "The next visit", "Lucía"),
        ("After 4 feeds each day, give 30 mL (1 oz) of your own milk. Give the bottle slowly, with pauses.",
         "4 times a day", "The next weight", "Lucía and Marisol Ruiz"),
    )  # fmt: skip
    for order, (what, how_often, until, who) in enumerate(tasks, start=1):
        desk.fill(PlanTask, order=order, what=what, how_often=how_often, until=until, who=who, rest=Absence.NOT_ASKED)
    desk.fill(
        FamilyLanguage, entity=wording_id(desk.visit or "", "es", GOAL), language="es", english=GOAL,
        words=GOAL_IN_SPANISH,
    )  # fmt: skip
