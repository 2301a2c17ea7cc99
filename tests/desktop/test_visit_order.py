"""What stands first in a visit: the tabs of a full moment, the strip beside the page, and the words beside a title."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint

from desktop.controls.segments import Tabs
from desktop.controls.strip import Figure
from desktop.pages.visit import VisitPage
from desktop.theme.look import Look
from desktop.theme.tokens import DAY
from forms.answers import Quantity
from forms.breast import BreastAssessment
from forms.feeding_log import LogLine
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from tests.helpers import kit_walk
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import kept, said, settled

SECOND_ROWS = {
    ("story", "mara"): "story.names",
    ("story", "ida"): "story.who",
    ("feed", "ida"): "feed.tried",
    ("look", "mara"): "look.drawing",
    ("look", "ida"): "look.before",
    ("plan", "ida"): "plan.goal",
}


def top(tabs: Tabs, code: str) -> int:
    return tabs.button(code).geometry().top()


@pytest.mark.parametrize(("moment", "who"), SECOND_ROWS)
def test_the_tabs_of_a_full_moment_take_two_rows_each_of_what_belongs_together(
    page: VisitPage, twins: TwinVisit, moment: str, who: str
) -> None:
    page.go(moment, getattr(twins, who))
    kit_walk.settle()
    tabs = page.middle.tabs
    assert tabs is not None
    codes, turn = tabs.options(), SECOND_ROWS[moment, who]
    at = codes.index(turn)
    first, second = {top(tabs, code) for code in codes[:at]}, {top(tabs, code) for code in codes[at:]}
    assert (len(first), len(second)) == (1, 1)
    assert max(first) < min(second)


def test_few_tabs_stand_in_one_row(page: VisitPage, twins: TwinVisit) -> None:
    page.go("weigh", twins.ida)
    kit_walk.settle()
    assert page.middle.tabs is not None
    assert len({top(page.middle.tabs, code) for code in page.middle.tabs.options()}) == 1


def test_in_the_story_the_figures_of_the_log_stand_first(page: VisitPage, twins: TwinVisit) -> None:
    line = page.home.begin(LogLine, twins.ida)
    line.put("starts", twins.at(-2))
    line.put("kind", "left")
    kept(twins, page)
    page.go("story", twins.ida, "story.log")
    labels = [figure.label.said() for figure in page.aside.figures.findChildren(Figure)]
    assert labels.index("Feeds in the log") < labels.index("Age")
    page.go("look", twins.ida)
    labels = [figure.label.said() for figure in page.aside.figures.findChildren(Figure)]
    assert labels.index("Age") < labels.index("Feeds in the log")


def test_what_fires_no_longer_stands_below_the_line_for_jots_and_what_fires_above_it(
    page: VisitPage, twins: TwinVisit
) -> None:
    told = {who: page.home.binding(InfantHistory, who) for who in (twins.ida, twins.juno)}
    for who, wets in ((twins.ida, 5), (twins.juno, 5)):
        told[who].put("wets_24h", wets)
    kept(twins, page)
    told[twins.ida].put("wets_24h", 7)
    kept(twins, page)
    aside = page.aside
    assert "No longer fires" in said(aside.gone)
    assert "No longer fires" not in said(aside.calm)

    downs = [part.mapTo(aside, QPoint(0, 0)).y() for part in (aside.calm, aside.jots, aside.gone, aside.figures)]
    assert downs == sorted(set(downs))


@pytest.mark.parametrize("percent", [100, 200])
def test_the_line_for_jots_comes_into_view_by_its_key_under_many_prompts(
    page: VisitPage, twins: TwinVisit, wear: Callable[[Look], None], percent: int
) -> None:
    wear(Look(DAY, percent))
    seen = page.home.binding(InfantAssessment, twins.ida)
    for name, value in (("waking", "hard_to_wake"), ("temperature", Quantity("38.4", "C", 384)), ("colour", ("pale",))):
        seen.put(name, value)
    for baby in (twins.ida, twins.juno):
        page.home.binding(InfantHistory, baby).put("wets_24h", 5)
    settled(twins)
    kit_walk.settle()
    page.jot()
    kit_walk.settle()
    entry = page.aside.jots.entry
    assert page.window().focusWidget() is entry
    assert entry.visibleRegion().boundingRect().height() == entry.height()


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ("look_touch", "consent given now, to look and to touch"),
        ("stopped", "consent given, then asked to stop"),
        ("told", "not looked at: described by the parent"),
        (None, "touch not asked yet"),
    ],
)
def test_beside_the_title_of_a_look_at_a_parent_stands_what_was_said_to_that_look(
    page: VisitPage, twins: TwinVisit, given: str | None, words: str
) -> None:
    if given is not None:
        page.home.binding(BreastAssessment, twins.mara).put("consent", given)
    page.go("look", twins.mara)
    settled(twins)
    assert page.middle.beside.said() == words
