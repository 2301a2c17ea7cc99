"""What a journey's visit holds besides its own story: everything a note needs, put down as nothing remarkable."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from demo_db.usual import BABY_LOOK, BABY_STORY, FEED_SIDE, MOUTH, PARENT_SIDES, PARENT_STORY
from forms.answers import Absence, Absent
from forms.consent import CareConsent, TouchConsent
from forms.feed import FeedObservation
from forms.form import catalog
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.note import Level, Why, blanks
from forms.oral import OralAssessment
from forms.parent_history import ParentHistory
from forms.people import CareTeam, InfantIdentity, ParentIdentity
from forms.plan import Plan
from forms.visit import Present, Visit
from tests.helpers.charting import Charter

__all__ = ["add_family", "begin_visit", "fill_feed", "fill_the_rest", "weigh"]

_LOCAL = "%Y-%m-%d %H:%M"


def fill_feed(person: Charter, feeder: str, baby: str) -> str:
    """A feed watched on both sides, nothing remarkable."""
    now = person.machine.at.astimezone(person.home.binding(Visit, entity=person.home.chart.visit).now().local().tzinfo)
    at = now.strftime(_LOCAL)
    return person.bulk(
        FeedObservation, feeder, baby, observed="seen", began=at, baby_state="cueing", devices=("none",),
        baby_signs=("none",), baby_after=("relaxed",), supplement=False, bottle_seen=False,
        left={**FEED_SIDE, "latched": at, "let_go": at}, right={**FEED_SIDE, "latched": at, "let_go": at},
        rest=Absence.NOT_ASKED,
    )  # fmt: skip


def fill_the_rest(
    person: Charter,
    parent: str,
    baby: str,
    *,
    story: Mapping[str, Any] | None = None,
    look: Mapping[str, Any] | None = None,
    feed: bool = True,
) -> None:
    """Answer all that the visit of one parent and one baby still needs and that its story does not tell.

    Answers that stand are left alone. `story` and `look` differ from the usual answers about the baby.
    """
    home = person.home
    visit = home.chart.visit
    assert visit is not None
    now = home.binding(Visit, entity=visit).now().local().strftime(_LOCAL)
    given = home.names(parent)
    person.bulk(Visit, entity=visit, kind="home", reason="Feeding visit", end=now, rest=Absence.NOT_ASKED)
    person.bulk(Present, full_name=given, part="parent", hears_all=True, rest=Absence.NOT_ASKED)
    for one, relation in ((parent, "self"), (baby, "parent")):
        person.bulk(CareTeam, one, rest=Absence.NONE)
        person.bulk(
            CareConsent, one, agreed="yes", given_by=given, relation=relation, how="signed", given_at=now,
            rest=Absence.NOT_ASKED,
        )  # fmt: skip
        person.bulk(TouchConsent, one, agreed="yes", given_by=given, how="spoken", given_at=now, rest=Absence.NOT_ASKED)
    person.bulk(ParentIdentity, entity=parent, rest=Absence.NOT_ASKED)
    person.bulk(InfantIdentity, entity=baby, rest=Absence.NOT_ASKED)
    stories = {**PARENT_STORY, "mood_asked_alone_at": now, "safety_asked_alone_at": now}
    person.bulk(ParentHistory, parent, left=PARENT_SIDES, right=PARENT_SIDES, rest=Absence.NOT_ASKED, **stories)
    person.bulk(InfantHistory, baby, rest=Absence.NOT_ASKED, **{**BABY_STORY, **(story or {})})
    person.bulk(InfantAssessment, baby, rest=Absence.NOT_DONE, **{**BABY_LOOK, **(look or {})})
    person.bulk(OralAssessment, baby, rest=Absence.NOT_DONE, **MOUTH)
    if feed:
        fill_feed(person, parent, baby)
    pairs: tuple[tuple[str, ...], ...] = ((parent,), (baby,), (parent, baby))
    for people in pairs if feed else pairs[:2]:
        person.bulk(Impression, *people, strengths="Keen and calm.", rest=Absence.NONE)
    person.bulk(Plan, rest=Absence.NOT_ASKED)
    for blank in blanks(home.chart):
        if blank.level is Level.MUST and blank.entry is not None and blank.path is not None and blank.why is Why.BLANK:
            binding = home.binding(catalog()[blank.form], *blank.subjects, entity=blank.entry)
            binding.put(str(blank.path), Absent(Absence.NOT_ASKED))


def add_family(person: Charter, name: str, parent: str, *babies: str, born: str, weight: str = "3,420 g") -> None:
    """A family with one parent and its babies, each typed on the family's own page; the page stays in view."""
    person.press("New family")
    person.write("Family name", name)
    person.press("Begin")
    person.until_page("family")
    person.press("Add a parent or carer")
    person.until(lambda: len(person.home.parents()) == 1, "the parent")
    person.answer("parent.full_name", parent)
    person.answer("parent.phone", "555 0155")
    person.press(f"Close {parent}")
    for count, baby in enumerate(babies, start=1):
        person.press("Add a baby")
        person.until(lambda count=count: len(person.home.infants()) == count, "the baby")  # type: ignore[misc]
        person.answer("infant.legal_name", baby)
        person.answer("infant.called_name", baby.split()[0])
        person.answer("infant.born", born)
        person.answer("infant.birth_weight", weight)
        person.press(f"Close {baby}")
    person.saved()


def begin_visit(person: Charter) -> None:
    """Begin a visit from the family's page."""
    person.press("Begin a visit")
    person.until_page("visit")
    person.until_idle()


def weigh(person: Charter, baby: str, weight: str, taken: str, *, told: bool = False) -> None:
    """Write a weight down: seen on the scale, or told or read."""
    person.section("weigh.scale", baby)
    person.press("A weight told or read" if told else "On the scale now")
    person.answer("weight.weight", weight)
    person.answer("weight.taken", taken)
    person.answer("weight.state", "bare")
    if told:
        person.answer("weight.source", "document")
