"""The Hesper-Tavishes: two who feed one baby of six weeks; Rune gave birth, Ottilie's milk was induced."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from demo_db.agreed import agree, agree_to
from demo_db.charting import Charting
from demo_db.practice import AddressBook
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
from forms.breast import BreastAssessment
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
from forms.visit import Present, Visit
from forms.weight import WeightReading

__all__ = ["Linnet", "begin", "chart_visit"]

DAY = "2026-02-26"
RUNE, OTTILIE = "Rune Hesper", "Ottilie Tavish"
SCALE: dict[str, Any] = {
    "source": "seen", "scale_name": "Balance no. 2", "scale_step": "2 g", "by_whom": "Rowan Vale"
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Linnet:
    """Ids of the family's people."""

    family: str
    rune: str
    ottilie: str
    linnet: str


def begin(desk: Charting, book: AddressBook) -> Linnet:
    """The family, both parents in their own words, the baby, their providers, and the weight told so far."""
    desk.family = desk.fill(
        Family, entity=desk.ids(), family_name="Hesper-Tavish", address="Flat 3, 52 Tideway, Brackwater",
        access="Code at the gate, then the green door", pets="None", signal="good", units_spoken="metric",
    )  # fmt: skip
    people = Linnet(
        family=desk.family,
        rune=desk.fill(
            ParentIdentity, entity=desk.ids(), full_name=RUNE, called_name="Rune", pronouns="they",
            family_title="Baba", body_word="chest", feeding_word="chestfeeding", milk_word="other",
            milk_word_own="nest milk", words_in_letters=True, born_day="1992-12-01", phone="555 0171",
            safe_to_message=True, language="English", interpreter_need="none", roles=("birth_parent",),
            may_consent=True,
        ),
        ottilie=desk.fill(
            ParentIdentity, entity=desk.ids(), full_name=OTTILIE, called_name="Ottilie", pronouns="she",
            family_title="Mummy", body_word="breast", feeding_word="nursing", milk_word="milk", born_day="1990-07-14",
            phone="555 0172", safe_to_message=True, language="English", interpreter_need="none",
            roles=("non_birth_parent", "co_feeder"), may_consent=True,
        ),
        linnet=desk.fill(
            InfantIdentity, entity=desk.ids(), legal_name="Linnet Hesper-Tavish", called_name="Linnet",
            tag_shape="circle", sex="f", plurality=1, birth_order=1, born="2026-01-15 09:40",
            birth_place="Brackwater birth house", gestation_weeks=39, gestation_days=2, birth_weight="3,010 g",
            birth_length="48 cm", birth_head="33 cm",
        ),
    )  # fmt: skip
    desk.fill(CareTeam, people.linnet, primary_provider=book.paediatrician, next_visit_day="2026-03-12",
              other_providers=(book.midwife,), releases_talked_over=True)  # fmt: skip
    for parent in (people.rune, people.ottilie):
        desk.fill(CareTeam, parent, primary_provider=book.family_doctor, birth_provider=book.midwife,
                  releases_talked_over=True, rest=Absence.NONE)  # fmt: skip
    desk.fill(
        WeightReading, people.linnet, weight="3,560 g", taken="2026-02-05 09:20", state="bare", source="document",
        document="Midwife's card", scale_name="Midwife's scale", by_whom="Solveig Marsh",
    )  # fmt: skip
    return people


def chart_visit(desk: Charting, people: Linnet, book: AddressBook) -> str:
    """The first visit, of 26 February, complete; its id."""
    del book
    desk.visit = visit = desk.ids()
    desk.fill(
        Visit, entity=visit, kind="home", start=f"{DAY} 13:00", end=f"{DAY} 14:55", place="Flat 3, 52 Tideway",
        practitioner=desk.author, reason="To share the feeds of one baby between two, so that both keep their milk",
        interpreter="not_needed", rest=Absence.NOT_ASKED,
    )  # fmt: skip
    for name in (RUNE, OTTILIE):
        desk.fill(Present, full_name=name, part="parent", hears_all=True, rest=Absence.NOT_ASKED)
    agree(desk, people.rune, RUNE, f"{DAY} 13:05", "breast", own=True)
    agree(desk, people.ottilie, OTTILIE, f"{DAY} 13:06", "breast", own=True)
    agree(desk, people.linnet, RUNE, f"{DAY} 13:07", "mouth", "body", shared=True)
    for parent, name in ((people.rune, RUNE), (people.ottilie, OTTILIE)):
        agree_to(desk, parent, name, f"{DAY} 13:08", "terms", payer="The family")
        agree_to(desk, parent, name, f"{DAY} 13:08", "privacy_notice")
    agree_to(desk, people.rune, RUNE, f"{DAY} 13:09", "photo_record", agreed="no", region="The chest, from the front")
    _stories(desk, people)
    _look(desk, people)
    _feeds(desk, people)
    _conclude(desk, people)
    _plan(desk, people)
    return visit


def _stories(desk: Charting, people: Linnet) -> None:
    painless = {"pain_worst": 0}
    for_both: dict[str, Any] = {
        "goal": "We want both of us to feed Linnet, for as long as Linnet likes.",
        "goal_importance": 9,
    }
    checked = "Looked up in the practice's reference, 26 February 2026"
    desk.fill(
        ParentHistory, people.rune, left={**PARENT_SIDES, **painless, "binding": "before", "binding_how": "Until the "
        "fourth month; comfortable, no lumps"}, right={**PARENT_SIDES, **painless, "binding": "before",
        "binding_how": "As on the left"}, rest=Absence.NOT_ASKED,
        **{
            **PARENT_STORY, **for_both, "reason": "How do we share, without my milk going down?", "fed_before": False,
            "goal_confidence": 7, "conception_help": ("insemination",), "mood_asked_alone_at": f"{DAY} 13:40",
            "safety_asked_alone_at": f"{DAY} 13:41", "medicines_checked": checked,
        },
    )  # fmt: skip
    side = {"surgery": ("none",), "pain_when": ("none",), "pain_now": 0, "pain_worst": 0, "flange": "21 mm"}
    born_of = ("gave_birth", "size_change", "labour", "labour_length", "drip_fluids", "pain_relief", "birth",
               "skin_to_skin", "separated", "after_birth")  # fmt: skip
    desk.fill(
        ParentHistory, people.ottilie, left={**side, "pump_volume": "60 mL"}, right={**side, "pump_volume": "55 mL"},
        rest=Absence.NOT_ASKED,
        **{
            **{key: told for key, told in PARENT_STORY.items() if key not in born_of}, **for_both,
            "reason": "Is what I make enough to be worth the pumping?", "fed_before": False, "gave_birth": False,
            "goal_confidence": 6, "milk_begun": "induced", "begun_on": "2025-11-20",
            "begun_how": "Pump and hand, from eight weeks before the birth", "begun_medicines": "None",
            "pump_sessions": 5, "pumps": ("own_electric", "hand_expression"), "medicines": "None",
            "medicines_checked": checked, "mood_asked_alone_at": f"{DAY} 13:48",
            "safety_asked_alone_at": f"{DAY} 13:49",
        },
    )  # fmt: skip
    desk.fill(
        InfantHistory, people.linnet, rest=Absence.NOT_ASKED,
        **{
            **BABY_STORY, "fed_now": ("at_breast", "own_milk"), "day_before": ("at_breast", "own", "medicine"), "methods": ("bottle",), "own_milk_each": "55 mL",
            "own_milk_times": 2, "supplement_since": "2026-01-29", "supplement_advised_by": "The family's own wish",
            "sides_per_feed": "varies", "last_wet": f"{DAY} 12:15", "last_stool": f"{DAY} 10:40",
            "guardians": (people.rune, people.ottilie),
        },
    )  # fmt: skip
    desk.fill(ExpressingDay, people.rune, expresses=False)
    desk.fill(
        ExpressingDay, people.ottilie, expresses=True, sessions_24h=5, longest_gap="6 h", total_24h="115 mL",
        left={"each_side_24h": "60 mL"}, right={"each_side_24h": "55 mL"}, night_session=False, minutes_24h=100,
        supply_in_question=False, cleaning_taught=True, more="What is expressed goes into the evening bottles.",
        rest=Absence.NOT_ASKED,
    )  # fmt: skip


def _look(desk: Charting, people: Linnet) -> None:
    desk.fill(WeightReading, people.linnet, weight="4,266 g", taken=f"{DAY} 13:20", state="bare", repeat="4,266 g",
              **SCALE)  # fmt: skip
    desk.fill(InfantAssessment, people.linnet, rest=Absence.NOT_DONE,
              **{**BABY_LOOK, "length": "54.2 cm", "head": "36.7 cm"})  # fmt: skip
    desk.fill(OralAssessment, people.linnet, rest=Absence.NOT_DONE, **MOUTH)
    soft = {key: seen for key, seen in CHEST_SIDE.items() if key != "engorgement"} | {"fullness": "soft"}
    for parent, looked in ((people.rune, CHEST_SIDE), (people.ottilie, soft)):
        desk.fill(BreastAssessment, parent, left=looked, right=looked, rest=Absence.NOT_DONE, **CHEST)


def _feeds(desk: Charting, people: Linnet) -> None:
    """Each of the two feeds Linnet once, each on one side of their own, weighed before and after."""
    easy = {**FEED_SIDE, "pain_at_latch": 0, "pain_after_30s": 0}
    slow = {**easy, "swallows": "some", "sucks_early": 3, "sucks_late": 6, "flow": "slow", "let_down": "neither",
            "ended_by": "asleep", "breast_after": "little"}  # fmt: skip
    for feeder, side, here, began, ended, weighed, again, before, after, last, words in (
        (people.rune, "left", easy, "13:52", "14:06", "13:50", "14:08", "4,398 g", "4,452 g", f"{DAY} 11:15",
         "Linnet comes to my chest like coming home."),
        (people.ottilie, "right", slow, "14:14", "14:25", "14:12", "14:27", "4,452 g", "4,470 g", f"{DAY} 14:06",
         "I had no idea it was that much."),
    ):  # fmt: skip
        other = "right" if side == "left" else "left"
        sides = {side: {**here, "latched": f"{DAY} {began}", "let_go": f"{DAY} {ended}"},
                 other: {"used": "not_offered"}}  # fmt: skip
        feed = desk.fill(
            FeedObservation, feeder, people.linnet, entity=desk.ids(), observed="seen", began=f"{DAY} {began}",
            last_ended=last, place="Sofa", baby_state="cueing" if side == "left" else "quiet", helped_by="Rowan Vale",
            devices=("none",), baby_signs=("none",), hands=("fists", "opening", "loose"),
            baby_after=("content",) if side == "left" else ("asleep",), supplement=False, bottle_seen=False,
            feeder_view=9, feeder_words=words, rest=Absence.NOT_ASKED, **sides,
        )  # fmt: skip
        runs = (("0:50", "sswsswssw"), ("2:10", "sswsswsswssw"), ("6:00", "sswssw")) if side == "left" else (
            ("1:40", "sssw"), ("4:00", "ssssssw"), ("7:10", "sssssssw"))  # fmt: skip
        tap(
            desk, FeedEvent, feed, f"{DAY} {began}", ("0:00", "begin", None), ("0:00", "latch", side),
            ("0:15", "pain", side, 0), *((("0:45", "letdown_felt", side),) if side == "left" else ()),
            *sucking(side, *runs), *((("10:30", "asleep", side),) if side == "right" else ()),
            ("14:00" if side == "left" else "11:00", "off_self" if side == "left" else "taken_off", side),
            ("14:10" if side == "left" else "11:10", "end", None), by=(feeder, people.linnet),
        )  # fmt: skip
        around: dict[str, Any] = {"state": "clothes", "feed": feed, "feed_side": side, **SCALE}
        desk.fill(WeightReading, people.linnet, weight=before, taken=f"{DAY} {weighed}", feed_point="before", **around)
        desk.fill(WeightReading, people.linnet, weight=after, taken=f"{DAY} {again}", feed_point="after",
                  diaper_changed=False, same_clothes=True, spit_up=False, **around)  # fmt: skip


def _conclude(desk: Charting, people: Linnet) -> None:
    for people_of, strengths, words in (
        ((people.linnet,), "Linnet settles with either of you.", "Gains well on milk from two."),
        ((people.rune,), "Rune reads Linnet's early signs at a glance.", "Chest comfortable, skin whole, milk flows."),
        ((people.ottilie,), "Ottilie has kept to five sessions a day since November.",
         "Milk begun without a birth; a measured part of a feed comes from her."),
        ((people.rune, people.linnet), "Rune and Linnet find a deep, quiet latch.", "54 g at one feed from the left, without pain."),
        ((people.ottilie, people.linnet), "Linnet waits with Ottilie while milk comes slowly.",
         "18 g at one feed from the right, after a feed with Rune; swallows some."),
    ):  # fmt: skip
        desk.fill(Impression, *people_of, strengths=strengths, kinds=("going_well",), words=words, risk="routine",
                  rest=Absence.NONE)  # fmt: skip
    desk.fill(
        PromptClosed, people.linnet, entity=desk.ids(), covers=("infant_supplement_new",), outcome="override",
        override_reason="The bottles hold a parent's own milk, by the family's wish; Linnet gains well.",
    )  # fmt: skip


def _plan(desk: Charting, people: Linnet) -> None:
    desk.fill(FeedingAmount, people.linnet, extra_milk=False, rest=Absence.NONE)
    desk.fill(
        Plan, goal="We want both of us to feed Linnet, for as long as Linnet likes.",
        went_well="Linnet fed from both of you within the hour, and nobody hurt.",
        tried_and_kept="Rune first while Linnet is hungriest, then Ottilie.",
        expressing="Ottilie: 5 times a day, both sides, whenever Rune feeds alone.",
        watch_baby=("few_wets", "fever", "refuses"), watch_parent=("fever", "sore_area", "low"),
        followup_kind="video", followup_at="2026-03-12 10:00", weight_check_by="Dr Brandreth, on 12 March",
        advice=("safe_sleep", "storage"), teach_back=("said",), teach_back_with="Rune and Ottilie",
        language="English", left_how=("printed",), left_with="Rune and Ottilie", left_at=f"{DAY} 14:50",
        rest=Absence.NOT_ASKED,
    )  # fmt: skip
    tasks = (
        ("Feed Linnet at least 8 times in a day and a night. Rune begins each feed.", "8 times", "The call in two weeks",
         "Rune and Ottilie"),
        ("After 4 of the feeds, Ottilie offers her breast as well.", "4 times a day", "The call in two weeks",
         "Ottilie"),
        ("Write down who fed, and when, so that both of you can see the day.", "For three days", "Sunday",
         "Whoever fed"),
    )  # fmt: skip
    for order, (what, how_often, until, who) in enumerate(tasks, start=1):
        desk.fill(PlanTask, order=order, what=what, how_often=how_often, until=until, who=who, rest=Absence.NOT_ASKED)
