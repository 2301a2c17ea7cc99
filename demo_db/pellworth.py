"""The Pellworths: a baby of five days in pounds and ounces, a first visit, fullness and a crack, milk by spoon."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from demo_db.agreed import agree, agree_to
from demo_db.charting import Charting
from demo_db.practice import STUDENT, AddressBook
from demo_db.tapped import sucking, tap
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
from forms.expressing import ExpressingDay
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.oral import OralAssessment
from forms.parent_history import ParentHistory
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.prompted import PromptClosed
from forms.scores import Score
from forms.visit import Jot, Present, Visit
from forms.weight import WeightReading

__all__ = ["Tobin", "begin", "chart_visit"]

DAY = "2026-02-27"
DELPHINE = "Delphine Pellworth"
SCALE: dict[str, Any] = {
    # Set to pounds the same scale shows tenths of an ounce, which is coarser: 2.8 g.
    "source": "seen", "scale_name": "Balance no. 2, set to lb oz", "scale_step": "3 g", "by_whom": "Rowan Vale",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Tobin:
    """Ids of the family's people."""

    family: str
    delphine: str
    tobin: str


def begin(desk: Charting, book: AddressBook) -> Tobin:
    """The family, mother and baby, their providers, and the weight read in the discharge summary."""
    desk.family = desk.fill(
        Family, entity=desk.ids(), family_name="Pellworth", address="17 Ropewalk Lane, Brackwater",
        access="Side door, by the water butt", pets="Two cats", signal="good", units_spoken="us",
    )  # fmt: skip
    people = Tobin(
        family=desk.family,
        delphine=desk.fill(
            ParentIdentity, entity=desk.ids(), full_name=DELPHINE, called_name="Delphine", pronouns="she",
            family_title="Mommy", body_word="breast", feeding_word="nursing", milk_word="breast_milk",
            born_day="1997-10-06", phone="555 0161", safe_to_message=True, language="English", interpreter_need="none",
            roles=("birth_parent",), may_consent=True,
        ),
        tobin=desk.fill(
            InfantIdentity, entity=desk.ids(), legal_name="Tobin Pellworth", called_name="Tobin", tag_shape="diamond",
            sex="m", plurality=1, birth_order=1, born="2026-02-22 05:20", birth_place="Brackwater General",
            gestation_weeks=40, gestation_days=1, birth_weight="6 lb 13 oz", birth_length="19.3 in",
            birth_head="13.3 in",
        ),
    )  # fmt: skip
    desk.fill(CareTeam, people.tobin, primary_provider=book.paediatrician, next_visit_day="2026-03-04",
              other_providers=(book.midwife,), releases_talked_over=True)  # fmt: skip
    desk.fill(CareTeam, people.delphine, primary_provider=book.family_doctor, birth_provider=book.midwife,
              releases_talked_over=True, rest=Absence.NONE)  # fmt: skip
    desk.fill(
        WeightReading, people.tobin, weight="6 lb 5.6 oz", taken="2026-02-24 07:30", state="bare", source="document",
        document="Discharge summary", scale_name="Hospital scale", by_whom="Ward staff",
    )  # fmt: skip
    return people


def chart_visit(desk: Charting, people: Tobin, book: AddressBook) -> str:
    """The first visit, of 27 February, complete; its id."""
    desk.visit = visit = desk.ids()
    desk.fill(
        Visit, entity=visit, kind="home", start=f"{DAY} 09:30", end=f"{DAY} 11:10", place="17 Ropewalk Lane",
        practitioner=desk.author, reason="Very full since yesterday, and a sore right side",
        interpreter="not_needed", rest=Absence.NOT_ASKED,
    )  # fmt: skip
    for name, part in ((DELPHINE, "parent"), ("Barnaby Ostrowe", "partner"), (STUDENT, "student")):
        desk.fill(Present, full_name=name, part=part, hears_all=True, rest=Absence.NOT_ASKED)
    agree(desk, people.delphine, DELPHINE, f"{DAY} 09:34", "breast", "expressing", own=True)
    agree(desk, people.tobin, DELPHINE, f"{DAY} 09:34", "mouth", "body")
    agree_to(desk, people.delphine, DELPHINE, f"{DAY} 09:35", "terms", payer="The family")
    agree_to(desk, people.delphine, DELPHINE, f"{DAY} 09:36", "student_present", student=STUDENT)
    agree_to(desk, people.delphine, DELPHINE, f"{DAY} 09:35", "privacy_notice")
    agree_to(desk, people.delphine, DELPHINE, f"{DAY} 09:36", "text", risks_told=True, numbers="555 0161")
    agree_to(
        desk, people.delphine, DELPHINE, f"{DAY} 09:36", "photo_teaching", agreed="no", region="The right nipple, close"
    )
    jot = desk.fill(Jot, words="Cabbage leaves from a neighbour, not used yet", noted=f"{DAY} 09:52")
    desk.fill(Jot, entity=jot, filed_to="Parent's history, more of the parent's story", filed_at=f"{DAY} 11:02")
    _stories(desk, people, book)
    _look(desk, people)
    feed = _feed(desk, people)
    _conclude(desk, people, feed)
    _plan(desk, people, book)
    return visit


def _stories(desk: Charting, people: Tobin, book: AddressBook) -> None:
    sore = {**PARENT_SIDES, "pain_when": ("latch",), "pain_where": "tip", "pain_kind": ("pinching",),
            "pain_since": "the third night", "milk_in_feel": ("full", "tight")}  # fmt: skip
    desk.fill(
        ParentHistory, people.delphine, rest=Absence.NOT_ASKED,
        left={**sore, "pain_now": 2, "pain_worst": 4}, right={**sore, "pain_now": 3, "pain_worst": 5},
        **{
            **PARENT_STORY, "reason": "I am so full he cannot get hold", "goal": "I want to nurse him until he walks.",
            "goal_importance": 8, "goal_confidence": 7, "fed_before": False, "temperature": "98.6 F",
            "temperature_at": f"{DAY} 09:58", "mood_asked_alone_at": f"{DAY} 10:02",
            "safety_asked_alone_at": f"{DAY} 10:03", "pumps": ("hand_expression",),
            "medicines_checked": "Vitamin looked up in the practice's reference, 27 February 2026",
            "more": "A neighbour offered cabbage leaves; not used so far.",
        },
    )  # fmt: skip
    replace(desk, author=book.student).fill(
        InfantHistory, people.tobin, rest=Absence.NOT_ASKED,
        **{
            **BABY_STORY, "feeds_24h": 10, "longest_gap": "3.5 h", "feed_length": "30 min", "wets_24h": 6,
            "stools_24h": 4, "fed_now": ("at_breast", "own_milk"), "methods": ("spoon",),
            "day_before": ("at_breast", "own", "medicine"),
            "own_milk_each": "0.5 fl oz", "own_milk_times": 3, "supplement_since": "2026-02-25",
            "supplement_advised_by": "The ward", "last_wet": f"{DAY} 08:50", "last_stool": f"{DAY} 07:20",
            "guardians": (people.delphine,), "vitamin_k": "injection", "settled_after": "mostly",
        },
    )  # fmt: skip
    desk.fill(
        ExpressingDay, people.delphine, expresses=True, sessions_24h=3, longest_gap="9 h",
        gap_words="Only for comfort and for the spoon; the night is for nursing.", total_24h="1.5 fl oz",
        night_session=False, supply_in_question=False, cleaning_taught=True, rest=Absence.NOT_ASKED,
    )  # fmt: skip


def _look(desk: Charting, people: Tobin) -> None:
    desk.fill(
        WeightReading, people.tobin, weight="6 lb 9.2 oz", taken=f"{DAY} 10:08", state="bare", repeat="6 lb 9.2 oz",
        **SCALE,
    )  # fmt: skip
    desk.fill(
        InfantAssessment, people.tobin, rest=Absence.NOT_DONE,
        **{
            **BABY_LOOK, "length": "19.6 in", "head": "13.4 in", "temperature": "98.2 F",
            "temperature_at": f"{DAY} 10:05", "temperature_where": "armpit", "temperature_by": "consultant",
            "cord": ("dry",),
        },
    )  # fmt: skip
    desk.fill(OralAssessment, people.tobin, rest=Absence.NOT_DONE, **MOUTH)
    full = {**CHEST_SIDE, "fullness": "firm", "engorgement": "mark_4", "areola_swelling": "some",
            "areola_dent": "slowly", "tender": 3}  # fmt: skip
    desk.fill(
        BreastAssessment, people.delphine, rest=Absence.NOT_DONE, left={**full, "expressed": "drops",
        "expressed_amount": "0.2 fl oz", "expressed_comfort": 8}, right={**full, "damage": ("crack",),
        "trauma_score": "mark_2", "pain_touch": 3}, **CHEST,
    )  # fmt: skip
    desk.fill(
        BreastFinding, people.delphine, entity=desk.ids(), side="right", kind="crack", where="nipple", clock="hour_9",
        longest="3 mm", depth="surface", course="same", rest=Absence.NOT_DONE,
    )  # fmt: skip


def _feed(desk: Charting, people: Tobin) -> str:
    here = {
        **FEED_SIDE, "latch_concerns": ("shallow",), "pain_at_latch": 4, "pain_after_30s": 3, "pain_middle": 2,
        "tries": 2, "help_level": 4, "change_tried": True, "pain_before_change": 4, "pain_after_change": 2,
        "tried": "Areola softened with the fingertips for a minute first: he took more in, and it eased.",
        "swallows_before_change": "few", "swallows_after_change": "many",
    }  # fmt: skip
    feed = desk.fill(
        FeedObservation, people.delphine, people.tobin, entity=desk.ids(), observed="seen", began=f"{DAY} 10:20",
        last_ended=f"{DAY} 07:40", place="Bed, leaned on pillows", baby_state="cueing", helped_by="Rowan Vale",
        devices=("pillow",), baby_signs=("none",), hands=("fists", "opening", "loose"),
        baby_after=("relaxed", "asleep"), supplement=False, bottle_seen=False, feeder_view=8,
        feeder_words="So that is what it should feel like.", rest=Absence.NOT_ASKED,
        left={**here, "latched": f"{DAY} 10:22", "let_go": f"{DAY} 10:36"},
        right={**here, "latched": f"{DAY} 10:41", "let_go": f"{DAY} 10:49", "position": "under_arm"},
    )  # fmt: skip
    tap(
        desk, FeedEvent, feed, f"{DAY} 10:20", ("0:00", "begin", None), ("2:00", "latch", "left"),
        ("2:08", "pain", "left", 4), ("2:40", "pain", "left", 3), ("3:10", "click", "left"), ("3:25", "help", "left"),
        ("3:50", "letdown_felt", "left"), *sucking("left", ("4:00", "sswssw"), ("4:40", "sswsswssw")),
        ("6:00", "pain", "left", 2), *sucking("left", ("6:30", "sswsswsswssw"), ("9:00", "sssswsssw")),
        *sucking("left", ("12:30", "ssssw")), ("16:00", "off_self", "left"), ("21:00", "latch", "right"),
        ("21:09", "pain", "right", 4), ("21:45", "pain", "right", 3), ("22:30", "letdown_seen", "right"),
        *sucking("right", ("22:40", "sswssw"), ("24:00", "sswsswssw")), ("25:00", "pain", "right", 2),
        *sucking("right", ("26:10", "sssswssssw")), ("29:00", "off_self", "right"), ("29:30", "end", None),
        by=(people.delphine, people.tobin),
    )  # fmt: skip
    readings = (
        ("6 lb 11.0 oz", "left", "before", "10:18"), ("6 lb 12.1 oz", "left", "after", "10:38"),
        ("6 lb 12.1 oz", "right", "before", "10:39"), ("6 lb 12.7 oz", "right", "after", "10:51"),
    )  # fmt: skip
    for weight, side, point, minute in readings:
        pair: dict[str, Any] = (
            {} if point == "before" else {"diaper_changed": False, "same_clothes": True, "spit_up": False}
        )
        desk.fill(
            WeightReading, people.tobin, weight=weight, taken=f"{DAY} {minute}", state="clothes", feed=feed,
            feed_side=side, feed_point=point, **pair, **SCALE,
        )  # fmt: skip
    desk.fill(
        Score, people.tobin, entity=desk.ids(), tool="latch", version="1994, the practice's own sheet",
        scored_at=f"{DAY} 10:45", scored_by="Rowan Vale", feeder=people.delphine, latch_l=2, latch_a=2, latch_t=2,
        latch_c=1, latch_h=1, rest=Absence.NOT_DONE,
    )  # fmt: skip
    return feed


def _conclude(desk: Charting, people: Tobin, feed: str) -> None:
    desk.fill(
        Impression, people.tobin, strengths="He wakes by himself and swallows steadily.", kinds=("going_well",),
        findings=(f"{feed}/swallows@left", f"{feed}/swallows@right"),
        words="Gaining since he left the ward, and takes milk well once the areola is soft.", risk="routine",
        rest=Absence.NONE,
    )  # fmt: skip
    desk.fill(
        Impression, people.delphine, strengths="You soften your breast by hand without hurry.", kinds=("pain_shallow",
        "nipple_damage"), findings=(f"{feed}/latch_concerns@right",),
        words="Fullness of the first days, with a shallow latch and a small crack on the right.", risk="watch",
        risk_why="A crack is open skin.", rest=Absence.NONE,
    )  # fmt: skip
    desk.fill(
        Impression, people.delphine, people.tobin, strengths="Together you found a deeper hold within the hour.",
        kinds=("pain_shallow",), findings=(f"{feed}/pain_after_30s@left",),
        words="Pain fell and swallows grew once the areola was softened first.", risk="routine", rest=Absence.NONE,
    )  # fmt: skip
    for person, covers, action, at in (
        (people.tobin, ("infant_supplement_new",), "Written in today's report to Dr Brandreth; weight on Tuesday.",
         f"{DAY} 17:30"),
        (people.delphine, ("parent_nipple_damage",), "Described with its place and size, to look at again on Tuesday.",
         f"{DAY} 11:00"),
    ):  # fmt: skip
        desk.fill(PromptClosed, person, entity=desk.ids(), covers=covers, outcome="done", action=action,
                  by_whom="Rowan Vale", at=at)  # fmt: skip


def _plan(desk: Charting, people: Tobin, book: AddressBook) -> None:
    desk.fill(
        FeedingAmount, people.tobin, extra_milk=True, per_feed="0.5 fl oz", times_per_day=3, milks=("own",),
        method="spoon", origin="consultant", agreed="agreed", agreed_with=book.paediatrician, agreed_at=f"{DAY} 10:58",
        until="The weight on Tuesday", rest=Absence.NOT_ASKED,
    )  # fmt: skip
    desk.fill(
        Plan, goal="I want to nurse him until he walks.",
        went_well="Tobin is gaining again, and the second side hardly hurt.",
        tried_and_kept="Softening the areola with the fingertips before he comes on.",
        expressing="By hand, only until you are comfortable: a few minutes before a feed.",
        comfort_care="Cool for 10 minutes after feeds on the right side, a cloth between.",
        watch_baby=("few_wets", "sleepy", "yellow", "fever", "refuses"),
        watch_parent=("fever", "sore_area", "bleeding", "low"), followup_kind="home", followup_at="2026-03-03 08:30",
        weight_check_by="Rowan Vale, on Tuesday", advice=("safe_sleep", "storage"), teach_back=("said", "shown"),
        teach_back_with="Delphine and Barnaby", language="English", left_how=("printed",), left_with="Delphine",
        left_at=f"{DAY} 11:08", rest=Absence.NOT_ASKED,
    )  # fmt: skip
    tasks = (
        ("Nurse Tobin at least 8 times in a day and a night.", "8 times", "The weight on Tuesday", "Delphine"),
        ("Soften the areola with your fingertips, then bring him on chin first.", "Before every feed",
         "You are less full", "Delphine"),
        ("After 3 of the feeds, give him 0.5 oz of your own milk by spoon.", "3 times a day", "The weight on Tuesday",
         "Barnaby"),
    )  # fmt: skip
    for order, (what, how_often, until, who) in enumerate(tasks, start=1):
        desk.fill(PlanTask, order=order, what=what, how_often=how_often, until=until, who=who, rest=Absence.NOT_ASKED)
