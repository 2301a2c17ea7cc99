"""The Thornquists: late-preterm twins at seven weeks, second visit, gaining; one plan for both."""

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
from forms.breast import BreastAssessment
from forms.consent import CareConsent, TouchConsent
from forms.expressing import ExpressingDay
from forms.feed import FeedObservation
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.oral import OralAssessment
from forms.parent_history import ParentHistory
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.visit import Jot, Present, Visit
from forms.weight import WeightReading

__all__ = ["Twins", "begin", "chart_visit"]

DAY = "2026-03-02"


@dataclass(frozen=True, slots=True)
class Twins:
    """Ids of the family's people."""

    family: str
    mara: str
    jonas: str
    ida: str
    juno: str


def begin(desk: Charting, book: AddressBook) -> Twins:
    """The family, its four people, their providers, and the weights told so far."""
    desk.family = desk.fill(
        Family, entity=desk.ids(), family_name="Thornquist", address="8 Curlew Steps, Brackwater",
        access="Two flights up", pets="A small dog", signal="weak", units_spoken="metric",
    )  # fmt: skip
    born: dict[str, Any] = {"birth_place": "Brackwater General", "plurality": 2}
    twins = Twins(
        family=desk.family,
        mara=desk.fill(
            ParentIdentity, entity=desk.ids(), full_name="Mara Thornquist", called_name="Mara", pronouns="she",
            body_word="breast", feeding_word="breastfeeding", born_day="1993-05-04", phone="555 0111",
            safe_to_message=True, language="English", interpreter_need="none", roles=("birth_parent",),
            may_consent=True,
        ),
        jonas=desk.fill(
            ParentIdentity, entity=desk.ids(), full_name="Jonas Thornquist", called_name="Jonas", pronouns="he",
            born_day="1991-11-19", phone="555 0112", safe_to_message=True, language="English",
            interpreter_need="none", roles=("non_birth_parent",), may_consent=True,
        ),
        ida=desk.fill(
            InfantIdentity, entity=desk.ids(), legal_name="Ida Thornquist", called_name="Ida", tag_shape="circle",
            sex="f", birth_order=1, gestation_weeks=35, gestation_days=2, birth_weight="2,310 g",
            born="2026-01-12 04:20", **born,
        ),
        juno=desk.fill(
            InfantIdentity, entity=desk.ids(), legal_name="Juno Thornquist", called_name="Juno", tag_shape="square",
            sex="f", birth_order=2, gestation_weeks=35, gestation_days=2, birth_weight="2,145 g",
            born="2026-01-12 04:31", **born,
        ),
    )  # fmt: skip
    for baby in (twins.ida, twins.juno):
        desk.fill(
            CareTeam, baby, primary_provider=book.paediatrician, next_visit_day="2026-03-09",
            other_providers=(book.midwife,), releases_talked_over=True,
        )  # fmt: skip
    desk.fill(CareTeam, twins.mara, primary_provider=book.family_doctor, birth_provider=book.midwife,
              releases_talked_over=True, rest=Absence.NONE)  # fmt: skip
    desk.fill(CareTeam, twins.jonas, primary_provider=book.family_doctor, rest=Absence.NONE)
    for baby, weights in ((twins.ida, ("2,520 g", "2,680 g")), (twins.juno, ("2,500 g", "2,610 g"))):
        for day, weight in zip(("2026-02-03 10:40", "2026-02-10 10:40"), weights, strict=True):
            desk.fill(
                WeightReading, baby, weight=weight, taken=day, state="bare", source="seen",
                scale_name="Balance no. 2", scale_step="2 g", by_whom="Rowan Vale",
            )  # fmt: skip
    return twins


def chart_visit(desk: Charting, twins: Twins, book: AddressBook) -> str:
    """The visit of 2 March, complete; its id."""
    visit = desk.ids()
    desk.visit = visit
    desk.fill(
        Visit, entity=visit, kind="home", start=f"{DAY} 10:30", end=f"{DAY} 12:05", place="8 Curlew Steps",
        practitioner=desk.author, reason="Weights of both, and sore nipples since Friday", interpreter="not_needed",
        rest=Absence.NOT_ASKED,
    )  # fmt: skip
    for name, part in (("Mara Thornquist", "parent"), ("Jonas Thornquist", "parent")):
        desk.fill(Present, full_name=name, part=part, hears_all=True, rest=Absence.NOT_ASKED)
    jot = desk.fill(Jot, words="Ida prefers her head to her left", noted=f"{DAY} 10:44")
    desk.fill(Jot, entity=jot, filed_to="Look at the baby, more about the baby today", filed_at=f"{DAY} 12:20")
    _consents(desk, twins)
    _stories(desk, twins)
    _look(desk, twins)
    _feeds(desk, twins)
    _conclude(desk, twins, book)
    return visit


def _consents(desk: Charting, twins: Twins) -> None:
    for person in (twins.mara, twins.ida, twins.juno):
        own = person == twins.mara
        for_baby: dict[str, Any] = {} if own else {"may_consent": "shared"}
        desk.fill(
            CareConsent, person, agreed="yes", given_by="Mara Thornquist", relation="self" if own else "parent",
            how="spoken", witness="Rowan Vale", given_at=f"{DAY} 10:36", rest=Absence.NONE if own else None,
            **for_baby,
        )  # fmt: skip
        desk.fill(
            TouchConsent, person, agreed="yes", scope=("breast",) if own else ("mouth", "body"),
            given_by="Mara Thornquist", how="spoken", witness="Rowan Vale", given_at=f"{DAY} 10:37",
        )  # fmt: skip


def _stories(desk: Charting, twins: Twins) -> None:
    desk.fill(
        ParentHistory, twins.mara,
        left={**PARENT_SIDES, "pain_when": ("latch",), "pain_now": 3, "pain_worst": 5, "pain_kind": ("pinching",),
              "pain_since": "Friday morning", "pain_where": "tip"},
        right={**PARENT_SIDES, "pain_when": ("latch",), "pain_now": 2, "pain_worst": 4, "pain_kind": ("pinching",),
               "pain_since": "Friday morning", "pain_where": "tip"},
        rest=Absence.NOT_ASKED,
        **{
            **PARENT_STORY, "reason": "They gain, but it hurts again", "birth": ("caesarean_unplanned",),
            "goal": "I want to feed both of them without it hurting.", "goal_importance": 9, "goal_confidence": 6,
            "fed_before": False, "mood_asked_alone_at": f"{DAY} 11:50", "safety_asked_alone_at": f"{DAY} 11:52",
        },
    )  # fmt: skip
    for baby, bottles in ((twins.ida, "30 mL"), (twins.juno, "30 mL")):
        desk.fill(
            InfantHistory, baby, rest=Absence.NOT_ASKED,
            **{
                **BABY_STORY, "neonatal_unit": True, "neonatal_days": 9, "neonatal_why": "Learning to feed, kept warm",
                "neonatal_tube": True, "neonatal_breathing": ("none",), "jaundice_told": "treated",
                "jaundice_onset": "after_24_h", "light_treatment": True, "fed_now": ("at_breast", "own_milk"),
                "day_before": ("at_breast", "own", "medicine"),
                "methods": ("bottle",), "own_milk_each": bottles, "own_milk_times": 4,
                "supplement_since": "2026-01-14", "supplement_advised_by": "The neonatal unit",
                "last_wet": f"{DAY} 09:40", "last_stool": f"{DAY} 08:15", "guardians": (twins.mara, twins.jonas),
            },
        )  # fmt: skip
    desk.fill(ExpressingDay, twins.mara, expresses=True, sessions_24h=6, longest_gap="6 h", rest=Absence.NOT_ASKED)


def _look(desk: Charting, twins: Twins) -> None:
    for baby, weight in ((twins.ida, "3,240 g"), (twins.juno, "3,050 g")):
        desk.fill(
            WeightReading, baby, weight=weight, taken=f"{DAY} 10:50", state="bare", source="seen",
            scale_name="Balance no. 2", scale_step="2 g", by_whom="Rowan Vale", repeat=weight,
        )  # fmt: skip
    desk.fill(
        InfantAssessment, twins.ida, rest=Absence.NOT_DONE,
        **{**BABY_LOOK, "more": "Prefers her head to her left; turns both ways when led."},
    )  # fmt: skip
    desk.fill(InfantAssessment, twins.juno, rest=Absence.NOT_DONE, **BABY_LOOK)
    for baby in (twins.ida, twins.juno):
        desk.fill(OralAssessment, baby, rest=Absence.NOT_DONE, **MOUTH)
    desk.fill(
        BreastAssessment, twins.mara, left={**CHEST_SIDE, "damage": ("red",), "trauma_score": "mark_1", "pain_touch": 3},
        right={**CHEST_SIDE, "damage": ("red",), "trauma_score": "mark_1", "pain_touch": 2}, rest=Absence.NOT_DONE,
        **CHEST,
    )  # fmt: skip


def _feeds(desk: Charting, twins: Twins) -> None:
    for baby, side, before, after, weighed, began, ended, again in (
        (twins.ida, "left", "3,300 g", "3,326 g", "10:56", "10:58", "11:12", "11:14"),
        (twins.juno, "right", "3,108 g", "3,130 g", "11:18", "11:20", "11:34", "11:36"),
    ):
        here = {
            **FEED_SIDE, "pain_at_latch": 5, "pain_after_30s": 4, "pain_middle": 2, "pain_at_end": 1,
            "latch_concerns": ("shallow", "clicking"), "change_tried": True, "pain_before_change": 5,
            "tried": "Taken off with a clean finger, brought on again chin first: deeper, no more clicking.",
            "pain_after_change": 2, "swallows_before_change": "some", "swallows_after_change": "many",
            "latched": f"{DAY} {began}", "let_go": f"{DAY} {ended}",
        }  # fmt: skip
        feed = desk.fill(
            FeedObservation, twins.mara, baby, entity=desk.ids(), observed="seen", began=f"{DAY} {began}",
            last_ended=f"{DAY} 08:30", place="Armchair by the window", baby_state="cueing", helped_by="Rowan Vale",
            devices=("pillow",), baby_signs=("none",), baby_after=("relaxed", "content"), supplement=False,
            bottle_seen=False, feeder_view=7, feeder_words="That was the first one today that did not pinch.",
            left=here if side == "left" else {"used": "not_offered"},
            right=here if side == "right" else {"used": "not_offered"}, rest=Absence.NOT_ASKED,
        )  # fmt: skip
        around: dict[str, Any] = {
            "state": "clothes", "source": "seen", "scale_name": "Balance no. 2", "scale_step": "2 g",
            "by_whom": "Rowan Vale", "feed": feed, "feed_side": side,
        }  # fmt: skip
        desk.fill(WeightReading, baby, weight=before, taken=f"{DAY} {weighed}", feed_point="before", **around)
        desk.fill(
            WeightReading, baby, weight=after, taken=f"{DAY} {again}", feed_point="after", diaper_changed=False,
            same_clothes=True, spit_up=False, **around,
        )  # fmt: skip


def _conclude(desk: Charting, twins: Twins, book: AddressBook) -> None:
    for baby, name in ((twins.ida, "Ida"), (twins.juno, "Juno")):
        desk.fill(
            Impression, baby, strengths=f"{name} lets go when she has had enough.",
            kinds=("going_well",), words=f"{name}'s gain is within what is hoped for at her corrected age.",
            risk="routine", rest=Absence.NONE,
        )  # fmt: skip
        desk.fill(Impression, twins.mara, baby, strengths="Found a deeper latch.",
                  kinds=("pain_shallow",), words="Pain at latch with a shallow latch, eased by coming on chin first.",
                  risk="routine", rest=Absence.NONE)  # fmt: skip
        desk.fill(
            FeedingAmount, baby, extra_milk=True, per_feed="30 mL", times_per_day=4, milks=("own",), method="bottle",
            origin="provider", agreed="agreed", agreed_with=book.paediatrician, agreed_at=f"{DAY} 11:40",
            until="The weight on Monday", rest=Absence.NOT_ASKED,
        )  # fmt: skip
    desk.fill(
        Impression, twins.mara, strengths="Quick to notice early signs.", kinds=("pain_shallow",),
        words="Nipples whole; pain at latch only.", risk="routine", rest=Absence.NONE,
    )  # fmt: skip
    desk.fill(
        Plan, goal="I want to feed both of them without it hurting.",
        went_well="Ida took 26 mL and Juno 22 mL at the breast.",
        tried_and_kept="Chin first, head free, a deeper latch on both sides.",
        watch_baby=("few_wets", "refuses"), watch_parent=("sore_area", "pain"), followup_kind="home", followup_at="2026-03-06 10:30",
        weight_check_by="Rowan Vale, on Friday", advice=("safe_sleep", "storage"), teach_back=("said", "shown"),
        teach_back_with="Mara and Jonas", language="English", left_how=("printed",), left_with="Mara and Jonas",
        left_at=f"{DAY} 12:00", rest=Absence.NOT_ASKED,
    )  # fmt: skip
    tasks = (
        ("Feed each baby at least 8 times in a day and a night.", "8 times", "Friday's visit", "Mara and Jonas"),
        ("If it still hurts after you count to 30, take her off with a clean finger and try again.",
         "Every feed", "It stops hurting", "Mara"),
        ("After 4 of the feeds, give each baby 30 mL of your own milk by bottle.", "4 times a day", "The weight on Monday", "Jonas"),
    )  # fmt: skip
    for order, (what, how_often, until, who) in enumerate(tasks, start=1):
        desk.fill(PlanTask, order=order, what=what, how_often=how_often, until=until, who=who, rest=Absence.NOT_ASKED)
