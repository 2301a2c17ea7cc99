"""Scored tools and consents by purpose on their sheets, and what a newer version wrote, as they stand on screen."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from pytestqt.qtbot import QtBot

from desktop.controls.choice import ChoiceStrip
from desktop.controls.question import Question
from desktop.controls.segments import Segments
from desktop.controls.typed import Box, Typed
from desktop.open_chart import OpenChart
from desktop.pages.visit import VisitPage
from desktop.sheets.laid import Laid
from desktop.sheets.newer import NewerAnswers, NewerEntries
from forms.answers import Absence, Absent, Moment
from forms.consent import Consent, TouchConsent
from forms.infant import InfantAssessment
from forms.scores import ITEMS, Score
from forms.visit import Present, Visit
from storage.log import PLACE
from storage.registers import append
from storage.store import Store
from tests.desktop.test_sheets import laid, listing, press, said
from tests.helpers import kit_walk
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import said as told
from tests.helpers.visits import settled


@pytest.fixture
def home(twins: TwinVisit) -> Iterator[OpenChart]:
    chart = twins.open()
    yield chart
    chart.save()
    settled(twins)


def question(page: Laid, form: str, field: str) -> Question:
    kit_walk.settle()
    found = page.question(form, field)
    assert found is not None, field
    return found


def strip(page: Laid, form: str, field: str) -> Segments:
    return question(page, form, field).findChildren(Segments)[0]


def put(home: OpenChart, form: Any, who: str, **given: Any) -> str:
    binding = home.begin(form, who)
    for field, value in given.items():
        binding.put(field, value)
    return binding.entity


def test_picking_a_tool_opens_its_own_numbers_and_the_line_says_what_stands(
    home: OpenChart, twins: TwinVisit, qtbot: QtBot
) -> None:
    page = laid(home, qtbot, "look.scores", twins.ida)
    assert "None used." in said(page)
    press(page, "A scored tool")
    strip(page, "score", "tool").button("latch").click()
    kit_walk.settle()
    for name, number in zip(ITEMS["latch"], (2, 1, 2, 1), strict=False):
        strip(page, "score", name).button(str(number)).click()
    assert "LATCH: incomplete, no total: 4 of 5 parts stand" in said(page)
    strip(page, "score", "latch_h").button("1").click()
    # 2 + 1 + 2 + 1 + 1 = 7: no flag (Jensen, JOGNN 1994;23:27, S).
    assert "LATCH: 7 of 10" in said(page)
    assert "look further" not in said(page)
    assert "A score alone sends nobody on" in said(page)
    strip(page, "score", "latch_h").button("0").click()
    assert "LATCH: 6 of 10" in said(page)
    assert "below 7: look further." in said(page)
    assert page.question("score", "btat_tip") is None
    strip(page, "score", "latch_h").button("0").click()
    assert "incomplete" in said(page), "taking an answer back leaves a blank, never a 0"


def test_a_typed_total_out_of_range_is_refused_in_place_and_nothing_is_kept(
    home: OpenChart, twins: TwinVisit, qtbot: QtBot
) -> None:
    page = laid(home, qtbot, "look.scores", twins.ida)
    press(page, "A scored tool")
    strip(page, "score", "tool").button("tabby").click()
    kit_walk.settle()
    box = question(page, "score", "tabby_total").findChildren(Typed)[0]
    assert isinstance(box.box, Box)
    box.box.setText("9")
    box.commit()
    assert "“TABBY total” takes from 0 to 8; check the number." in said(page)
    assert "TABBY: incomplete, no total" in said(page)
    box.box.setText("0")
    box.commit()
    assert "TABBY: 0 of 8, as typed" in said(page)


def test_the_visit_offers_the_consents_it_brings_up_and_stops_once_they_are_given(
    home: OpenChart, twins: TwinVisit, qtbot: QtBot
) -> None:
    head = home.binding(Visit, entity=home.chart.visit)
    head.put("kind", "video")
    head.put("interpreter", "family_member")
    put_present = home.begin(Present)
    put_present.put("part", "student")
    page = laid(home, qtbot, "arrive.consents", twins.mara)
    offered = set(listing(page)._offered or ())
    assert {"Talking by video", "An interpreter", "A student in the room", "Privacy notice given"} <= offered
    press(page, "Talking by video")
    row = next(entry for entry in home.chart.all(Consent, twins.mara))
    assert row.answers.purpose == "video"
    binding = home.binding(Consent, twins.mara, entity=row.id)
    binding.put("agreed", "yes")
    binding.put("given_at", Moment(home.clock(), home.zone))
    kit_walk.settle()
    assert "Talking by video" not in (listing(page)._offered or ())
    assert "Talking by video: yes" in said(page)


def test_a_minor_who_interprets_is_asked_why_in_place(home: OpenChart, twins: TwinVisit, qtbot: QtBot) -> None:
    entity = put(home, Consent, twins.mara, purpose="interpreter", agreed="yes")
    page = laid(home, qtbot, "arrive.consents", twins.mara)
    page.show_entry("consent", entity)
    strip(page, "consent", "interpreter_is").button("minor").click()
    kit_walk.settle()
    assert question(page, "consent", "minor_why").isVisible()
    strip(page, "consent", "interpreter_is").button("adult").click()
    kit_walk.settle()
    assert not question(page, "consent", "minor_why").isVisible()


@pytest.mark.parametrize(
    ("touch", "words"),
    [
        ({"agreed": "no"}, "Touch is declined for"),
        ({"agreed": Absent(Absence.DECLINED)}, "Touch is declined for"),
        ({"agreed": "yes", "withdrawn_at": "now"}, "Touch was withdrawn for"),
        ({"agreed": "yes"}, ""),
        ({"agreed": Absent(Absence.NOT_ASKED)}, ""),
    ],
)
def test_touch_that_was_declined_or_taken_back_stands_over_every_page(
    page: VisitPage, twins: TwinVisit, touch: dict[str, Any], words: str
) -> None:
    binding = page.home.binding(TouchConsent, twins.ida)
    for field, value in touch.items():
        binding.put(field, Moment(page.home.clock(), page.home.zone) if value == "now" else value)
    page.go("look", twins.ida)
    kit_walk.settle()
    assert (words in told(page)) if words else ("Touch " not in told(page).partition("What needs hands")[0])


def test_what_else_was_declined_or_taken_back_stands_over_every_page_and_not_in_shared_view(
    page: VisitPage, twins: TwinVisit
) -> None:
    put(page.home, Consent, twins.mara, purpose="photo_teaching", agreed="no")
    put(
        page.home,
        Consent,
        twins.mara,
        purpose="text",
        agreed="yes",
        withdrawn_at=Moment(page.home.clock(), page.home.zone),
    )
    page.go("story", twins.mara)
    kit_walk.settle()
    assert "photo or drawing for teaching; text messages." in told(page)
    page.toggle_shared()
    kit_walk.settle()
    assert "text messages" not in told(page)


def _newer(store: Store, entity: str, author: str, **fields: Any) -> None:
    with store._writing() as writing:
        for field, value in fields.items():
            made, writing.chain = writing.chain.next(
                entity, PLACE if field == "place" else field, value, (), author, writing.now, ""
            )
            append(writing.c, made, writing.chain.count, None)


def test_a_choice_of_a_newer_version_stands_picked_and_named_among_the_known_ones(
    home: OpenChart, twins: TwinVisit, qtbot: QtBot
) -> None:
    entity = put(home, Score, twins.ida, tool="xyz")
    page = laid(home, qtbot, "look.scores", twins.ida)
    assert "a choice of a newer version: xyz: of a newer version; its numbers are kept as they are" in said(page)
    page.show_entry("score", entity)
    tool = strip(page, "score", "tool")
    assert tool.button("xyz").text() == "a choice of a newer version: xyz"
    assert tool.button("xyz").isChecked()
    tool.button("btat").click()
    kit_walk.settle()
    assert tool.codes() == ("btat",)
    tool.button("xyz").click()
    assert home.binding(Score, twins.ida, entity=entity).value("tool") == "xyz", "it can be taken back"


def test_of_several_choices_the_strange_one_stands_among_them(home: OpenChart, twins: TwinVisit, qtbot: QtBot) -> None:
    home.binding(InfantAssessment, twins.ida).put("colour", ("pink", "from_later"))
    page = laid(home, qtbot, "look.colour", twins.ida)
    control = question(page, "infant_assessment", "colour").findChildren(ChoiceStrip)[0]
    assert control.strip.button("from_later").text() == "a choice of a newer version: from_later"
    assert control.strip.button("from_later").isChecked()


def test_answers_and_entries_of_a_newer_version_are_shown_as_they_stand_and_hidden_in_shared_view(
    twins: TwinVisit, qtbot: QtBot
) -> None:
    home = twins.open()
    entity = put(home, Score, twins.ida, tool="tabby")
    home.save()
    settled(twins)
    strange = "57" * 16
    place = {"form": "lullaby", "family": home.chart.family, "visit": home.chart.visit, "subjects": [twins.ida]}
    twins.lane.run(lambda store: _newer(store, entity, twins.author, second_rater={"total": 6}))
    twins.lane.run(lambda store: _newer(store, strange, twins.author, place=place, verses=3))
    settled(twins)
    again = twins.open()
    page = laid(again, qtbot, "look.scores", twins.ida)
    page.show_entry("score", entity)
    kit_walk.settle()
    (shown,) = (one for one in page.findChildren(NewerAnswers) if one.said())
    assert shown.said() == ("second rater: total 6",)
    assert "Written by a newer version of Hearthside." in said(page)
    page.set_shared(True)
    assert "second rater" not in said(page)
    page.set_shared(False)
    assert "second rater" in said(page)
    entries = NewerEntries(again)
    qtbot.addWidget(entries)
    entries.show()
    assert entries.said() == ("lullaby: verses: 3",)
