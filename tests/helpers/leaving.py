"""The twins' visit charted to its end, with one urgent sign and a letter, and ways to each page of it, for tests and pictures."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

from desktop.pages.visit import VisitPage
from desktop.sheets.in_view import InView
from forms.answers import Moment, Quantity, Side
from forms.consent import Release, TouchConsent
from forms.feed import FeedObservation
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.oral import OralAssessment
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.referral import Referral
from forms.weight import WeightReading
from tests.helpers.kept import put, put_one
from tests.helpers.twins import TwinVisit

__all__ = ["SPOTS", "fill"]


def _grams(amount: int) -> Quantity:
    return Quantity(str(amount), "g", amount)


def fill(made: TwinVisit) -> None:
    """Chart what is seen of Ida, her feed, and the plan."""
    feed = put(made, FeedObservation, made.ids(), made.mara, made.ida, observed="seen", began=made.at(0.2), baby_state="cueing",
        helped_by="Rosalind", devices=("pillow",), used_at_left="fed", used_at_right="fed", position_at_left="cross_cradle",
        body_at_left=("facing", "close"), latched_by_at_left="feeder", tries_at_left=2, minutes_to_latch_at_left=3,
        help_level_at_left=4, latched_at_left=made.at(0.25), let_go_at_left=made.at(0.42),
        attachment_at_left=("wide", "lips_out"), latch_concerns_at_left=("clicking",), pain_at_latch_at_left=6,
        pain_after_30s_at_left=5, pain_middle_at_left=3, pain_at_end_at_left=2, rhythm_at_left="settled",
        swallows_at_left="some", swallows_known_at_left=("heard",), sucks_early_at_left=2, sucks_late_at_left=4,
        change_tried_at_left=True, tried_at_left="Deeper latch, chin first. The pinch was gone.",
        pain_before_change_at_left=5, pain_after_change_at_left=2, swallows_before_change_at_left="few",
        swallows_after_change_at_left="some", nipple_after_at_left="round", ended_by_at_left="baby",
        breast_after_at_left="softer", baby_after=("relaxed",), supplement=False, bottle_seen=False, feeder_view=7,
    )  # fmt: skip
    for point, grams, hours in (("before", 2664, 0.22), ("after", 2690, 0.44)):
        put(made, WeightReading, made.ids(), made.ida, weight=_grams(grams), taken=made.at(hours), state="dry_diaper",
            source="seen", scale_name="Practice scale", scale_step=_grams(2), by_whom="Rosalind", feed=feed,
            feed_side="left", feed_point=point,
            **({"diaper_changed": False, "same_clothes": True, "spit_up": False} if point == "after" else {}),
        )  # fmt: skip
    put_one(made, TouchConsent, made.ida, agreed="yes", given_by="Mara", given_at=made.at())
    put_one(made, OralAssessment, made.ida, consent="given", gloved=True, state="quiet_alert", tongue_reach=("over_lip",),
        tongue_lift=("edges_curl",), tongue_rest=("floor",), movement="held_back",
    )  # fmt: skip
    put_one(made, InfantAssessment, made.ida, seen_how="seen", state_on_arrival="quiet_alert", waking="hard_to_wake",
        tone=("usual",), colour=("yellow",), yellow_extent=("face", "chest"), cues=("early",),
    )  # fmt: skip
    lift, pain = "tongue_lift", "pain_after_30s@left"
    oral = made.open().binding(OralAssessment, made.ida).entity
    put_one(made, Impression, made.ida, findings=(f"{oral}/{lift}", f"{feed}/{pain}"), strengths="Roots and opens wide.",
        kinds=("pain_shallow", "mouth_movement"), words="Signs consistent with a shallow latch; transfer 26 g at the left.",
        risk="watch", risk_why="Weight regained late.",
    )  # fmt: skip
    put_one(made, Plan, goal="I want to feed both of them without it hurting.",
        went_well="Ida let go by herself and her hands were loose.", tried_and_kept="Chin first, nose to nipple.",
        watch_baby=("sleepy", "few_wets"), watch_parent=("fever",), followup_kind="home", followup_at=made.at(72),
        weight_check_by="Rosalind, Friday", teach_back=("said",), language="English",
    )  # fmt: skip
    for order, what in (
        (1, "Feed Ida at least 8 times in a day and a night."),
        (2, "If it still hurts after you count to 30, take her off and begin again."),
    ):
        put(made, PlanTask, made.ids(), order=order, what=what, how_often="every feed", until="Friday", who="Mara")
    put_one(made, FeedingAmount, made.ida, extra_milk=True, per_feed=Quantity("30", "mL", 30), times_per_day=4, milks=("own",),
        method="bottle", origin="consultant", agreed="to_be_agreed", until="Friday",
    )  # fmt: skip
    put(made, Referral, made.ids(), made.ida, to=made.dentist, question="Does the limited lift need a closer look?",
        urgency="two_weeks", reply_by=date(2026, 3, 20), reply_to="555 0142", opening_reason="Limited lift with sore feeding.",
        state="drafted",
    )  # fmt: skip
    put_release(made)


def put_release(made: TwinVisit) -> str:
    """A release of Ida's record to the dentist that holds today."""
    return put(made, Release, made.ids(), made.ida, recipient=made.dentist, scope=("referral",), both_ways=True, given_by="Mara",
        relation="parent", how="signed", given_at=Moment(made.clock(), "America/New_York"), valid_from=date(2026, 3, 3),
        valid_until=date(2026, 6, 3),
    )  # fmt: skip


Way = Callable[[TwinVisit, VisitPage], None]


def _at(moment: str, section: str, who: str = "ida", side: Side | None = None) -> Way:
    def go(made: TwinVisit, page: VisitPage) -> None:
        if side is not None:
            InView.of(page.home).turn(side)
        page.go(moment, getattr(made, who), section)

    return go


SPOTS: Mapping[str, Way] = {
    "feed-which": _at("feed", "feed.which"),
    "feed-parent": _at("feed", "feed.which", "mara"),
    "feed-position": _at("feed", "feed.position"),
    "feed-latch": _at("feed", "feed.latch"),
    "feed-latch-right": _at("feed", "feed.latch", side=Side.RIGHT),
    "feed-weights": _at("feed", "feed.weights"),
    "feed-tried": _at("feed", "feed.tried", side=Side.LEFT),
    "look-tongue": _at("look", "look.tongue"),
    "look-state": _at("look", "look.state"),
    "look-parent": _at("look", "", "mara"),
    "plan-findings": _at("plan", "plan.findings"),
    "plan-impression": _at("plan", "plan.impression"),
    "plan-urgent": _at("plan", "plan.urgent"),
    "plan-tasks": _at("plan", "plan.tasks"),
    "plan-amounts": _at("plan", "plan.amounts"),
    "leave-finish": _at("leave", "leave.finish"),
    "leave-letter": _at("leave", "leave.letter"),
    "leave-sign": _at("leave", "leave.sign"),
    "leave-papers": _at("leave", "leave.papers"),
}
"""Ways to the pages worth a picture."""
