"""The twins' visit before this one: what was told then, some of which may be brought forward."""

from __future__ import annotations

from datetime import UTC, datetime

from forms.answers import Moment, Quantity
from forms.chart import Place, entry_id
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.plan import Plan
from tests.helpers.twins import ZONE, TwinVisit, Written

__all__ = ["with_an_earlier_visit"]


def with_an_earlier_visit(made: TwinVisit) -> TwinVisit:
    """The same store with a visit of 20 February: Mara's story, Ida's, and the plan."""
    w, visit = Written(), made.ids()
    w.put(
        visit, Place("visit", made.family), kind="home", practitioner=made.author,
        start=Moment(datetime(2026, 2, 20, 15, 0, tzinfo=UTC), ZONE),
    )  # fmt: skip
    w.put(
        entry_id(ParentHistory, visit, (made.mara,)), Place("parent_history", made.family, visit, (made.mara,)),
        taken="in_full", goal="Feed both at the breast by Easter", reason="Sore", medicines="Iron, 65 mg each morning",
        milk_makers="Fenugreek tea", allergies="Latex: rash", conditions=("anaemia",),
        hormones=("polycystic", "thyroid"), unwell=("fever",), mood_told="Low some mornings",
        **{"pain_now@left": 6, "pain_now@right": 2},
    )  # fmt: skip
    w.put(
        entry_id(InfantHistory, visit, (made.ida,)), Place("infant_history", made.family, visit, (made.ida,)),
        taken="in_full", vitamin_k="injection", operations="None so far", wets_24h=5,
        longest_gap=Quantity("3", "h", 180),
    )  # fmt: skip
    w.put(
        entry_id(Plan, visit), Place("plan", made.family, visit), goal="Both at the breast by Easter",
        went_well="Ida woke by herself", expressing="After three feeds, 15 minutes", comfort_care="Cool after feeds",
        weight_check_by="Friday, here",
    )  # fmt: skip
    made.store.write(w.changes, author=made.author)
    return made
