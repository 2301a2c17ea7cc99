"""The Sorrelbys: all milk by pump for a baby of eighteen days; a day's log, two sessions, an amount worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from demo_db.agreed import agree, agree_to
from demo_db.charting import Charting
from demo_db.practice import AddressBook
from demo_db.tapped import tap
from demo_db.usual import BABY_LOOK, BABY_STORY, CHEST, CHEST_SIDE, PARENT_SIDES, PARENT_STORY
from forms.answers import Absence
from forms.breast import BreastAssessment
from forms.expressing import ExpressingDay, Expression
from forms.feed import FeedObservation
from forms.feed_event import ExpressionEvent
from forms.feeding_log import FeedingLog, LogLine
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.prompted import PromptClosed
from forms.visit import Present, Visit
from forms.weight import WeightReading

__all__ = ["Fenna", "begin", "chart_visit"]

EVE, DAY = "2026-02-26", "2026-02-27"
INGRITH = "Ingrith Sorrelby"

BOTTLES: tuple[tuple[str, str, str, str, Mapping[str, Any]], ...] = (
    (f"{EVE} 13:30", f"{EVE} 13:50", "own", "65 mL", {"wet": True, "stool": "yellow"}),
    (f"{EVE} 16:40", f"{EVE} 17:00", "own", "65 mL", {"wet": True, "stool": "none"}),
    (f"{EVE} 19:30", f"{EVE} 19:55", "own", "70 mL", {"wet": True, "stool": "yellow", "brought_up": "little"}),
    (f"{EVE} 22:45", f"{EVE} 23:05", "formula", "60 mL", {"wet": True, "stool": "none", "slept": "3.5 h"}),
    (f"{DAY} 02:50", f"{DAY} 03:10", "own", "70 mL", {"wet": True, "stool": "none"}),
    (f"{DAY} 05:45", f"{DAY} 06:05", "own", "65 mL", {"wet": True, "stool": "yellow"}),
    (f"{DAY} 08:40", f"{DAY} 09:00", "own", "65 mL", {"wet": True, "stool": "none"}),
    (f"{DAY} 11:30", f"{DAY} 11:50", "own", "65 mL", {"wet": True, "stool": "yellow"}),
)
"""The day's bottles: began, ended, which milk, how much, and the diaper changed at that feed."""
PUMPED = (
    (f"{EVE} 14:10", "30 mL", "35 mL"),
    (f"{EVE} 17:15", "30 mL", "35 mL"),
    (f"{EVE} 20:10", "28 mL", "32 mL"),
    (f"{EVE} 23:20", "32 mL", "38 mL"),
    (f"{DAY} 03:30", "45 mL", "50 mL"),
    (f"{DAY} 06:30", "34 mL", "40 mL"),
    (f"{DAY} 09:30", "28 mL", "32 mL"),
)
"""The day's sessions with the pump: began, and how much from Ingrith's left and right."""


@dataclass(frozen=True, slots=True)
class Fenna:
    """Ids of the family's people."""

    family: str
    ingrith: str
    fenna: str


def begin(desk: Charting, book: AddressBook) -> Fenna:
    """The family, mother and baby, their providers, and the weights read in documents."""
    desk.family = desk.fill(
        Family, entity=desk.ids(), family_name="Sorrelby", address="40 Kiln Terrace, Brackwater",
        access="Ground floor", pets="None", signal="weak", units_spoken="metric",
    )  # fmt: skip
    people = Fenna(
        family=desk.family,
        ingrith=desk.fill(
            ParentIdentity, entity=desk.ids(), full_name=INGRITH, called_name="Ingrith", pronouns="she",
            body_word="breast", feeding_word="other", feeding_word_own="pumping", milk_word="breast_milk",
            born_day="1988-04-17", phone="555 0181", safe_to_message=True, language="English",
            interpreter_need="none", roles=("birth_parent",), may_consent=True,
        ),
        fenna=desk.fill(
            InfantIdentity, entity=desk.ids(), legal_name="Fenna Sorrelby", called_name="Fenna", tag_shape="triangle",
            sex="f", plurality=1, birth_order=1, born="2026-02-09 06:30", birth_place="Brackwater General",
            gestation_weeks=38, gestation_days=4, birth_weight="2,960 g", birth_length="48 cm", birth_head="33 cm",
        ),
    )  # fmt: skip
    desk.fill(CareTeam, people.fenna, primary_provider=book.paediatrician, next_visit_day="2026-03-09",
              other_providers=(book.midwife,), releases_talked_over=True)  # fmt: skip
    desk.fill(CareTeam, people.ingrith, primary_provider=book.family_doctor, birth_provider=book.midwife,
              releases_talked_over=True, rest=Absence.NONE)  # fmt: skip
    for weight, taken, document, scale_name, by in (
        ("2,790 g", "2026-02-12 08:00", "Discharge summary", "Hospital scale", "Ward staff"),
        ("3,170 g", "2026-02-20 10:15", "Midwife's card", "Midwife's scale", "Solveig Marsh"),
    ):
        desk.fill(WeightReading, people.fenna, weight=weight, taken=taken, state="bare", source="document",
                  document=document, scale_name=scale_name, by_whom=by)  # fmt: skip
    return people


def chart_visit(desk: Charting, people: Fenna, book: AddressBook) -> str:
    """The first visit, of 27 February, complete; its id."""
    desk.visit = visit = desk.ids()
    desk.fill(
        Visit, entity=visit, kind="home", start=f"{DAY} 14:00", end=f"{DAY} 15:30", place="40 Kiln Terrace",
        practitioner=desk.author, reason="All milk by pump: is it enough, and does the flange fit",
        interpreter="not_needed", rest=Absence.NOT_ASKED,
    )  # fmt: skip
    desk.fill(Present, full_name=INGRITH, part="parent", hears_all=True, rest=Absence.NOT_ASKED)
    agree(desk, people.ingrith, INGRITH, f"{DAY} 14:04", own=True)  # looked at, not touched
    agree(desk, people.fenna, INGRITH, f"{DAY} 14:05", "body")
    agree_to(desk, people.ingrith, INGRITH, f"{DAY} 14:06", "terms", payer="The family")
    agree_to(desk, people.ingrith, INGRITH, f"{DAY} 14:06", "privacy_notice")
    agree_to(desk, people.ingrith, INGRITH, f"{DAY} 14:07", "video", risks_told=True, numbers="555 0181")
    _stories(desk, people)
    _log(desk, people)
    _sessions(desk, people)
    _look(desk, people)
    _conclude(desk, people)
    _plan(desk, people, book)
    return visit


def _stories(desk: Charting, people: Fenna) -> None:
    side = {**PARENT_SIDES, "pain_worst": 0}
    desk.fill(
        ParentHistory, people.ingrith, left={**side, "flange": "24 mm"}, right={**side, "flange": "24 mm"},
        rest=Absence.NOT_ASKED,
        **{
            **PARENT_STORY, "reason": "I pump around the clock and never know whether it is enough",
            "goal": "I want her to have my milk until summer, and I want to sleep.", "goal_importance": 8,
            "goal_confidence": 5, "fed_before": True, "fed_before_how": "First child five months, by pump from week 3",
            "fed_before_stopped": ("work",), "mood_asked_alone_at": f"{DAY} 14:20",
            "safety_asked_alone_at": f"{DAY} 14:21", "pumps": ("hired",),
            "medicines_checked": "Vitamin looked up in the practice's reference, 27 February 2026",
        },
    )  # fmt: skip
    desk.fill(
        InfantHistory, people.fenna, rest=Absence.NOT_ASKED,
        **{
            **BABY_STORY, "feeds_24h": 8, "feeds_night": 3, "longest_gap": "4 h", "feed_length": "20 min",
            "sides_per_feed": "none", "fed_now": ("own_milk", "formula"), "day_before": ("own", "formula", "medicine"), "methods": ("bottle",),
            "own_milk_each": "65 mL", "own_milk_times": 7, "formula_each": "60 mL", "formula_times": 1,
            "supplement_since": "2026-02-11", "supplement_advised_by": "Her own choice", "wets_24h": 8, "stools_24h": 4,
            "last_wet": f"{DAY} 11:30", "last_stool": f"{DAY} 11:30", "guardians": (people.ingrith,),
        },
    )  # fmt: skip
    desk.fill(
        ExpressingDay, people.ingrith, expresses=True, sessions_24h=7, longest_gap="4 h", total_24h="489 mL",
        left={"each_side_24h": "227 mL"}, right={"each_side_24h": "262 mL"}, night_session=True, minutes_24h=150,
        first_expressed="4 h", supply_in_question=False, cleaning_taught=True, rest=Absence.NOT_ASKED,
    )  # fmt: skip


def _log(desk: Charting, people: Fenna) -> None:
    """The day before the visit from Ingrith's own notebook, line by line."""
    desk.fill(FeedingLog, people.fenna, source="notes", kept_by=INGRITH, window_start=f"{EVE} 13:00", complete="yes")
    for starts, ends, milk, amount, diaper in BOTTLES:
        desk.fill(LogLine, people.fenna, kind="bottle", milk=milk, amount=amount, feeder=people.ingrith,
                  starts=starts, ends=ends, source="notes", **diaper)  # fmt: skip
    for starts, left, right in PUMPED:
        desk.fill(LogLine, people.fenna, kind="pumped", pumped_left=left, pumped_right=right, feeder=people.ingrith,
                  starts=starts, discomfort=1, source="notes")  # fmt: skip


def _sessions(desk: Charting, people: Fenna) -> None:
    """One session told from the notebook, and one watched, with the flange fitted again."""
    side: dict[str, Any] = {"way": "electric", "discomfort": 1, "nipple_after": ("longer",), "breast_after": "softer",
                            "nipple_width": "17 mm", "let_downs": 2}  # fmt: skip
    pump: dict[str, Any] = {"together": "double", "pump_class": "hired", "pump_settings": "As set by the hirer"}
    desk.fill(
        Expression, people.ingrith, entity=desk.ids(), source="told", began=f"{DAY} 09:30", ended=f"{DAY} 09:50",
        left={**side, "amount": "28 mL", "flange": "24 mm", "fit": ("not_seen",)},
        right={**side, "amount": "32 mL", "flange": "24 mm", "fit": ("not_seen",)}, helped=("none",), use=("given",),
        rest=Absence.NOT_ASKED, **pump,
    )  # fmt: skip
    refit = "Changed to 19 mm after two minutes: the areola stays out, and it pulls less."
    seen = desk.fill(
        Expression, people.ingrith, entity=desk.ids(), source="seen", began=f"{DAY} 14:35", ended=f"{DAY} 14:53",
        left={**side, "amount": "43 mL", "flange": "24 mm", "fit": ("areola_in",), "refit": refit, "first_drops": 2},
        right={**side, "amount": "46 mL", "flange": "24 mm", "fit": ("areola_in",), "refit": refit, "first_drops": 2},
        helped=("massage", "hand_after"), use=("fridge",), kept_for="term_home",
        note="More than at any daytime session of the log; one session is one session.", rest=Absence.NOT_ASKED, **pump,
    )  # fmt: skip
    tap(
        desk, ExpressionEvent, seen, f"{DAY} 14:35", ("0:00", "latch", "left"), ("0:00", "latch", "right"),
        ("0:40", "pain", "left", 1), ("0:45", "pain", "right", 1), ("2:05", "drops", "left"), ("2:20", "drops", "right"),
        ("3:30", "letdown_seen", "left"), ("3:31", "letdown_seen", "right"), ("9:00", "amount", "left", "24 mL"),
        ("9:05", "amount", "right", "27 mL"), ("11:15", "letdown_seen", "left"), ("11:17", "letdown_seen", "right"),
        ("17:55", "amount", "left", "43 mL"), ("17:58", "amount", "right", "46 mL"), ("18:00", "end", "left"),
        ("18:00", "end", "right"), by=(people.ingrith,),
    )  # fmt: skip


def _look(desk: Charting, people: Fenna) -> None:
    desk.fill(
        WeightReading, people.fenna, weight="3,448 g", taken=f"{DAY} 14:14", state="bare", source="seen",
        scale_name="Balance no. 2", scale_step="2 g", by_whom="Rowan Vale", repeat="3,448 g",
    )  # fmt: skip
    desk.fill(InfantAssessment, people.fenna, rest=Absence.NOT_DONE,
              **{**BABY_LOOK, "length": "51 cm", "head": "35 cm"})  # fmt: skip
    desk.fill(
        BreastAssessment, people.ingrith, left=CHEST_SIDE, right=CHEST_SIDE, rest=Absence.NOT_DONE,
        **{**CHEST, "consent": "look", "since_milk": "5 h"},
    )  # fmt: skip
    desk.fill(
        FeedObservation, people.ingrith, people.fenna, entity=desk.ids(), observed="not_seen",
        not_observed_because="not_at_breast",
    )  # fmt: skip


def _conclude(desk: Charting, people: Fenna) -> None:
    desk.fill(
        Impression, people.fenna, strengths="Fenna takes her bottles calmly, with pauses of her own.", kinds=("going_well",),
        words="Gains well on her mother's milk and one bottle of formula a day.", risk="routine", rest=Absence.NONE,
    )  # fmt: skip
    desk.fill(
        Impression, people.ingrith, strengths="Every amount is written down to the millilitre.",
        kinds=("going_well",), words="A milk supply held by the pump alone; a flange that was too wide.", risk="routine",
        rest=Absence.NONE,
    )  # fmt: skip
    desk.fill(
        PromptClosed, people.fenna, entity=desk.ids(), covers=("infant_supplement_new",), outcome="done",
        action="Written in today's report to Dr Brandreth, with the log of the day.", by_whom="Rowan Vale",
        at=f"{DAY} 17:45",
    )  # fmt: skip


def _plan(desk: Charting, people: Fenna, book: AddressBook) -> None:
    desk.fill(
        FeedingAmount, people.fenna, extra_milk=True, per_feed="65 mL", times_per_day=8, milks=("own", "formula"),
        method="bottle", origin="provider", agreed="agreed", agreed_with=book.paediatrician, agreed_at=f"{DAY} 15:05",
        until="The weight on 9 March", per_kg=150, per_kg_origin="provider", per_kg_from="Dr Brandreth, 27 February",
        feeds_per_day=8, rest=Absence.NOT_ASKED,
    )  # fmt: skip
    desk.fill(
        Plan, goal="I want her to have my milk until summer, and I want to sleep.",
        went_well="Seven sessions every day, and Fenna grows on your milk.",
        tried_and_kept="The 19 mm flange, light massage while the pump runs, and a few minutes by hand afterwards.",
        expressing="7 times in a day and a night, 15 to 20 minutes, one of them between 1 and 5 at night. "
        "Hand expression for 3 minutes before each pump session, both sides.",
        watch_baby=("few_wets", "sleepy", "fever", "refuses"), watch_parent=("fever", "sore_area", "low", "pain"),
        followup_kind="video", followup_at="2026-03-06 11:00", weight_check_by="Dr Brandreth, on 9 March",
        advice=("safe_sleep", "storage", "bottle"), teach_back=("said", "shown"), teach_back_with="Ingrith",
        language="English", left_how=("printed",), left_with="Ingrith", left_at=f"{DAY} 15:25", rest=Absence.NOT_ASKED,
    )  # fmt: skip
    tasks = (
        ("Pump both sides together with the 19 mm flange.", "7 times in a day and a night", "The call on Friday",
         "Ingrith"),
        ("Feed Fenna 65 mL by bottle, slowly, with pauses: your own milk first.", "8 times", "The weight on 9 March",
         "Whoever holds her"),
        ("Sleep one stretch of 4 hours while somebody else gives the bottle.", "Every night", "The call on Friday",
         "Ingrith"),
    )  # fmt: skip
    for order, (what, how_often, until, who) in enumerate(tasks, start=1):
        desk.fill(PlanTask, order=order, what=what, how_often=how_often, until=until, who=who, rest=Absence.NOT_ASKED)
