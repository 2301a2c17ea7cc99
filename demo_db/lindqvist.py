"""The Lindqvist-Oseis: a term baby of twelve days, sore feeding on both sides, and a referral about his tongue."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from demo_db.charting import Charting
from demo_db.practice import AddressBook
from demo_db.usual import (
    BABY_LOOK,
    BABY_STORY,
    CHEST,
    CHEST_SIDE,
    FEED_SIDE,
    MOUTH,
    PARENT_SIDES,
    PARENT_STORY,
)
from forms.answers import Absence
from forms.breast import BreastAssessment, BreastFinding
from forms.consent import CareConsent, Release, TouchConsent
from forms.feed import FeedObservation
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.oral import OralAssessment
from forms.parent_history import ParentHistory
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.referral import Referral
from forms.visit import Present, Visit
from forms.weight import WeightReading

__all__ = ["Bram", "begin", "chart_visit"]

DAY = "2026-03-02"


@dataclass(frozen=True, slots=True)
class Bram:
    """Ids of the family's people and of its referral."""

    family: str
    signe: str
    bram: str


def begin(desk: Charting, book: AddressBook) -> Bram:
    """The family, mother and baby, their providers."""
    desk.family = desk.fill(
        Family, entity=desk.ids(), family_name="Lindqvist-Osei", address="31 Sawpit Row, Brackwater",
        access="Ring twice", pets="None", signal="none", units_spoken="metric",
    )  # fmt: skip
    people = Bram(
        family=desk.family,
        signe=desk.fill(
            ParentIdentity, entity=desk.ids(), full_name="Signe Lindqvist-Osei", called_name="Signe", pronouns="she",
            body_word="breast", feeding_word="nursing", born_day="1995-08-21", phone="555 0121", safe_to_message=True,
            language="English", interpreter_need="none", roles=("birth_parent",), may_consent=True,
        ),
        bram=desk.fill(
            InfantIdentity, entity=desk.ids(), legal_name="Bram Lindqvist-Osei", called_name="Bram", tag_shape="square",
            sex="m", plurality=1, birth_order=1, born="2026-02-18 04:12", birth_place="Brackwater General",
            gestation_weeks=39, gestation_days=6, birth_weight="3,480 g", birth_length="51 cm", birth_head="35 cm",
        ),
    )  # fmt: skip
    desk.fill(CareTeam, people.bram, primary_provider=book.paediatrician, next_visit_day="2026-03-05",
              other_providers=(book.midwife, book.throat), releases_talked_over=True)  # fmt: skip
    desk.fill(CareTeam, people.signe, primary_provider=book.family_doctor, birth_provider=book.midwife,
              releases_talked_over=True, rest=Absence.NONE)  # fmt: skip
    desk.fill(
        WeightReading, people.bram, weight="3,260 g", taken="2026-02-21 09:00", state="bare", source="document",
        document="Discharge summary", scale_name="Hospital scale", by_whom="Ward staff",
    )  # fmt: skip
    return people


def chart_visit(desk: Charting, people: Bram, book: AddressBook) -> tuple[str, str]:
    """The visit of 2 March, complete with its referral: the visit's id and the referral's."""
    desk.visit = visit = desk.ids()
    desk.fill(
        Visit, entity=visit, kind="home", start=f"{DAY} 13:15", end=f"{DAY} 14:50", place="31 Sawpit Row",
        practitioner=desk.author, reason="Sore on both sides since the first week", interpreter="not_needed",
        rest=Absence.NOT_ASKED,
    )  # fmt: skip
    desk.fill(Present, full_name="Signe Lindqvist-Osei", part="parent", hears_all=True, rest=Absence.NOT_ASKED)
    for person, relation in ((people.signe, "self"), (people.bram, "parent")):
        for_baby: dict[str, Any] = {} if relation == "self" else {"may_consent": "yes"}
        desk.fill(
            CareConsent, person, agreed="yes", given_by="Signe Lindqvist-Osei", relation=relation, how="signed",
            given_at=f"{DAY} 13:20", rest=Absence.NONE, **for_baby,
        )  # fmt: skip
        desk.fill(
            TouchConsent, person, agreed="yes", scope=("breast",) if relation == "self" else ("mouth", "body"),
            given_by="Signe Lindqvist-Osei", how="spoken", witness="Rowan Vale", given_at=f"{DAY} 13:21",
        )  # fmt: skip
    _stories(desk, people)
    _look(desk, people)
    feed = _feed(desk, people)
    _conclude(desk, people, book, feed)
    return visit, _refer(desk, people, book)


def _stories(desk: Charting, people: Bram) -> None:
    sore = {
        **PARENT_SIDES, "pain_when": ("latch", "through"), "pain_now": 5, "pain_worst": 8, "pain_where": "tip",
        "pain_kind": ("pinching", "burning"), "pain_since": "the second night at home",
    }  # fmt: skip
    desk.fill(
        ParentHistory, people.signe, left=sore, right={**sore, "pain_worst": 7}, rest=Absence.NOT_ASKED,
        **{
            **PARENT_STORY, "reason": "It hurts the whole feed, both sides, and he falls off",
            "goal": "I want to nurse him without dreading it.", "goal_importance": 10, "goal_confidence": 4,
            "would_help": "Knowing it will get better", "fed_before": False,
            "mood_asked_alone_at": f"{DAY} 13:34", "safety_asked_alone_at": f"{DAY} 13:36",
        },
    )  # fmt: skip
    desk.fill(
        InfantHistory, people.bram, rest=Absence.NOT_ASKED,
        **{
            **BABY_STORY, "feeds_24h": 12, "feed_length": "50 min", "wets_24h": 6, "stools_24h": 4,
            "settled_after": "sometimes", "feed_signs": ("tires",), "last_wet": f"{DAY} 12:10",
            "last_stool": f"{DAY} 10:30", "guardians": (people.signe,), "vitamin_k": "injection",
            "mouth_referral": True, "family_conditions": ("none",),
        },
    )  # fmt: skip


def _look(desk: Charting, people: Bram) -> None:
    desk.fill(
        WeightReading, people.bram, weight="3,430 g", taken=f"{DAY} 13:48", state="bare", source="seen",
        scale_name="Balance no. 2", scale_step="2 g", by_whom="Rowan Vale", repeat="3,430 g",
    )  # fmt: skip
    desk.fill(InfantAssessment, people.bram, rest=Absence.NOT_DONE, **BABY_LOOK)
    desk.fill(
        OralAssessment, people.bram, rest=Absence.NOT_DONE,
        **{
            **MOUTH, "tongue_tip": ("notch",), "tongue_reach": ("inside_gum", "tip_draws_in"),
            "tongue_lift": ("edges_curl", "middle_stays"), "tongue_cupping": ("edges",), "tongue_wave": ("part",),
            "tongue_snap": ("when_tired",), "movement": "held_back", "frenulum_on_tongue": ("behind_tip",),
            "frenulum_on_floor": ("gum_behind",), "frenulum_stretch": ("pulls_tip", "cord"),
            "frenulum_thickness": ("thin",), "suck_strength": 5, "suck_rhythm": "uneven", "suck_seal": "breaks",
            "suck_bursts": "short", "suck_signs": ("clicks", "tires"),
            "more": "Tires after about a minute, then clamps.",
        },
    )  # fmt: skip
    cracked = {**CHEST_SIDE, "damage": ("red", "crack"), "trauma_score": "mark_2", "pain_rest": 2, "pain_touch": 5}
    desk.fill(
        BreastAssessment, people.signe, left={**CHEST_SIDE, "damage": ("red",), "trauma_score": "mark_1",
        "pain_touch": 4}, right=cracked, rest=Absence.NOT_DONE, **CHEST,
    )  # fmt: skip
    desk.fill(
        BreastFinding, people.signe, entity=desk.ids(), side="right", kind="crack", where="nipple", clock="hour_3",
        longest="4 mm", depth="surface", course="same", rest=Absence.NOT_DONE,
    )  # fmt: skip


def _feed(desk: Charting, people: Bram) -> str:
    sore = {
        **FEED_SIDE, "latch_concerns": ("shallow", "clicking", "slipping"), "pain_at_latch": 7, "pain_after_30s": 6,
        "pain_middle": 5, "pain_at_end": 5, "rhythm": "bursts", "sucks_late": 6, "swallows": "some",
        "ended_by": "asleep", "breast_after": "little", "nipple_after": "creased", "tries": 3, "help_level": 6,
        "change_tried": True, "tried": "Leaned back, chin first, breast shaped: a little deeper, still slides off.",
        "pain_before_change": 7, "pain_after_change": 5, "swallows_before_change": "few",
        "swallows_after_change": "some",
    }  # fmt: skip
    feed = desk.fill(
        FeedObservation, people.signe, people.bram, entity=desk.ids(), observed="seen", began=f"{DAY} 14:02",
        last_ended=f"{DAY} 11:40", place="Sofa", baby_state="cueing", helped_by="Rowan Vale", devices=("none",),
        baby_signs=("none",), baby_after=("asleep",), supplement=False, bottle_seen=False, feeder_view=3,
        feeder_words="Better than yesterday, still sharp.", rest=Absence.NOT_ASKED,
        left={**sore, "latched": f"{DAY} 14:03", "let_go": f"{DAY} 14:17"},
        right={**sore, "latched": f"{DAY} 14:22", "let_go": f"{DAY} 14:33", "position": "leaned_back"},
    )  # fmt: skip
    readings = (
        ("3,492 g", "left", "before", "14:01"), ("3,520 g", "left", "after", "14:19"),
        ("3,520 g", "right", "before", "14:20"), ("3,534 g", "right", "after", "14:35"),
    )  # fmt: skip
    for weight, side, point, minute in readings:
        pair: dict[str, Any] = (
            {} if point == "before" else {"diaper_changed": False, "same_clothes": True, "spit_up": False}
        )
        desk.fill(
            WeightReading, people.bram, weight=weight, taken=f"{DAY} {minute}", state="clothes", source="seen",
            scale_name="Balance no. 2", scale_step="2 g", by_whom="Rowan Vale", feed=feed, feed_side=side,
            feed_point=point, **pair,
        )  # fmt: skip
    return feed


def _conclude(desk: Charting, people: Bram, book: AddressBook, feed: str) -> None:
    desk.fill(
        Impression, people.bram, strengths="Wakes by himself and asks early.", kinds=("mouth_movement", "transfer_low"),
        findings=(f"{feed}/latch_concerns@left", f"{feed}/swallows@left"),
        words="Limited tongue movement seen, with pain for his mother and a modest transfer that help improved only a"
        " little.", risk="watch", risk_why="Not back at birth weight on day 12.", rest=Absence.NONE,
    )  # fmt: skip
    desk.fill(
        Impression, people.signe, strengths="Keeps going with patience and knows his signs well.",
        kinds=("pain_shallow",), findings=(f"{feed}/nipple_after@left",),
        words="Pain through the feed with creased nipples, consistent with a shallow latch.", risk="watch",
        risk_why="Pain 7 at latch.", rest=Absence.NONE,
    )  # fmt: skip
    desk.fill(
        Impression, people.signe, people.bram, strengths="Deeper when leaned back.",
        kinds=("pain_shallow", "transfer_low"), findings=(f"{feed}/pain_after_30s@left",),
        words="42 g over both sides at this one feed, with slipping and clicking.", risk="watch",
        risk_why="One feed is one sample; weight again in three days.", rest=Absence.NONE,
    )  # fmt: skip
    desk.fill(
        FeedingAmount, people.bram, extra_milk=True, per_feed="20 mL", times_per_day=6, milks=("own",), method="cup",
        origin="consultant", agreed="to_be_agreed", agreed_with=book.paediatrician, until="The weight on Thursday",
        rest=Absence.NOT_ASKED,
    )  # fmt: skip
    desk.fill(
        Plan, goal="I want to nurse him without dreading it.",
        went_well="Bram took 42 mL at this feed. Leaning back made it hurt less.",
        tried_and_kept="Leaned back, chin first, breast shaped with the hand.",
        watch_baby=("sleepy", "few_wets", "yellow", "fever", "refuses"),
        watch_parent=("fever", "sore_area", "low", "pain"), followup_kind="home", followup_at="2026-03-05 09:30",
        weight_check_by="Rowan Vale, on Thursday", advice=("safe_sleep",), teach_back=("said", "shown"),
        teach_back_with="Signe", language="English", left_how=("printed",), left_with="Signe",
        left_at=f"{DAY} 14:45", rest=Absence.NOT_ASKED,
    )  # fmt: skip
    tasks = (
        ("Lean back to nurse, and bring him on chin first.", "Every feed", "Thursday's visit", "Signe"),
        (("If it still hurts after you count to 30, slip a clean finger into the corner of his mouth, take him off, and"
         " try again."), "Every feed", "It stops hurting", "Signe"),
        ("After 6 of the feeds, give him 20 mL of your own milk by cup.", "6 times a day", "The weight on Thursday",
         "Signe"),
    )  # fmt: skip
    for order, (what, how_often, until, who) in enumerate(tasks, start=1):
        desk.fill(PlanTask, order=order, what=what, how_often=how_often, until=until, who=who, rest=Absence.NOT_ASKED)


def _refer(desk: Charting, people: Bram, book: AddressBook) -> str:
    desk.fill(
        Release, people.bram, recipient=book.throat, scope=("referral", "weights"), both_ways=True,
        given_by="Signe Lindqvist-Osei", relation="parent", how="signed", given_at=f"{DAY} 14:40",
        valid_from=DAY, valid_until="2026-09-02", rest=Absence.NONE,
    )  # fmt: skip
    return desk.fill(
        Referral, people.bram, entity=desk.ids(), to=book.throat, urgency="two_weeks", reply_by="2026-03-16",
        question="Would you please look at the movement of his tongue and say whether anything should be done?",
        reply_to="555 0190", opening_reason="Tongue movement limited, with pain and modest transfer after feeding help.",
        associated_symptoms="Clicks and slides off; tires after about a minute.",
        collateral_history="His mother reports the same at every feed since day 3.",
        psychosocial="First baby; good help at home.", results=None,
        management_so_far="Leaned back, chin first, breast shaped: pain 7 to 5, still slides off.",
        expected="A look at the tongue, and a note of what was found.", attachments=("weights", "feed", "oral"),
        parent_has_copy=True, state="drafted", rest=Absence.NOT_ASKED,
    )  # fmt: skip
