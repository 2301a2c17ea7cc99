"""The sheets: lists that strike out and never delete, doubts asked once, follow-ups placed by hand, weights read back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from desktop.controls.buttons import Act, Link
from desktop.controls.numbers import QuantityField
from desktop.controls.typed import Typed
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.sheets.doubt import DoubtAsked
from desktop.sheets.laid import Laid, lay
from desktop.sheets.listing import Listing
from desktop.sheets.moments import every_section
from forms.answers import Quantity
from forms.parent_history import ParentHistory
from forms.visit import Present, Visit
from forms.weight import WeightReading
from tests.helpers import kit_walk
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled


@pytest.fixture
def home(twins: TwinVisit) -> Iterator[OpenChart]:
    chart = twins.open()
    yield chart
    chart.save()
    settled(twins)


def laid(home: OpenChart, qtbot: QtBot, key: str, who: str) -> Laid:
    section = next(one for one in every_section() if one.key == key)
    page = lay(section, home, who)
    qtbot.addWidget(page)
    page.resize(760, 900)
    page.show()
    kit_walk.settle()
    return page


def said(root: QWidget) -> str:
    kit_walk.settle()
    return "\n".join(each.said() for each in root.findChildren(Words) if each.isVisible())


def press(root: QWidget, words: str) -> None:
    kit_walk.settle()
    keys = [*root.findChildren(Act), *root.findChildren(Link)]
    next(key for key in keys if key.isVisible() and key.text() == words).click()
    kit_walk.settle()


def listing(page: Laid) -> Listing:
    return page.findChildren(Listing)[0]


def weights(home: OpenChart, baby: str) -> list[int]:
    found = [entry.answers.weight for entry in home.chart.all(WeightReading, baby)]
    return [weight.base for weight in found if isinstance(weight, Quantity)]


def test_an_empty_list_says_so_and_offers_the_familys_own_people(
    home: OpenChart, qtbot: QtBot, twins: TwinVisit
) -> None:
    page = laid(home, qtbot, "arrive.room", twins.mara)
    assert "Nobody is written down yet." in said(page)
    press(page, "Mara is here")
    assert "Mara, parent" in said(page)
    assert "Nobody is written down yet." not in said(page)
    assert [entry.answers.person for entry in home.chart.all(Present)] == [twins.mara]
    assert home.chart.all(Present)[0].answers.hears_all is None


def test_an_entry_begun_by_nobodys_answer_is_kept_nowhere(home: OpenChart, qtbot: QtBot, twins: TwinVisit) -> None:
    page = laid(home, qtbot, "arrive.room", twins.mara)
    press(page, "Someone else is here")
    home.save()
    settled(twins)
    assert home.chart.all(Present) == ()


def test_the_line_of_a_new_entry_stays_the_same_while_it_is_typed(
    home: OpenChart, qtbot: QtBot, twins: TwinVisit
) -> None:
    page = laid(home, qtbot, "arrive.room", twins.mara)
    press(page, "Someone else is here")
    line = next(iter(listing(page).lines.values()))
    name = page.question("present", "full_name")
    assert name is not None
    box = name.controls()[0]
    assert isinstance(box, Typed)
    box.type("Aunt Odile")
    box.commit()
    home.save()
    settled(twins)
    assert next(iter(listing(page).lines.values())) is line
    assert line.page is not None
    assert "Aunt Odile" in said(page)


def test_an_entry_is_struck_out_with_a_reason_only_and_can_be_put_back(
    home: OpenChart, qtbot: QtBot, twins: TwinVisit
) -> None:
    page = laid(home, qtbot, "weigh.scale", twins.ida)
    line = next(iter(listing(page).lines.values()))
    press(line, "Strike out")
    assert line.why is not None
    line.why.strike()
    assert "Write why first" in said(page)
    assert weights(home, twins.ida) == [2410]
    line.why.reason.setText("typed for the wrong day")
    line.why.strike()
    settled(twins)
    home.reload()
    settled(twins)
    assert weights(home, twins.ida) == []
    assert "Struck out: typed for the wrong day" in said(page)
    assert "2,410 g" in said(page)
    press(page, "Put back")
    settled(twins)
    home.reload()
    settled(twins)
    assert weights(home, twins.ida) == [2410]


def test_a_weight_repeats_the_name_and_works_the_percent_out_as_it_is_typed(
    home: OpenChart, qtbot: QtBot, twins: TwinVisit
) -> None:
    page = laid(home, qtbot, "weigh.scale", twins.ida)
    press(page, "On the scale now")
    assert "Ida Thornquist" in said(page)
    field = next(one for one in page.findChildren(QuantityField) if one.isVisible())
    assert field.pad.isVisible()
    field.units.picked.emit("g")
    for figure in "2079":
        field.pad.key(figure).click()
    field.commit()
    # (2079 - 2310) / 2310 = -10.00 % exactly; arithmetic (C), as in the second acceptance story.
    assert "−10.0 % (−10.00 %) from birth" in said(page)
    assert weights(home, twins.ida)[-1] == 2079


def test_a_weight_around_a_feed_has_no_percent_from_birth_on_the_weighing_page(
    home: OpenChart, qtbot: QtBot, twins: TwinVisit
) -> None:
    before = home.begin(WeightReading, twins.ida)
    for path, value in (("feed", "c" * 32), ("feed_side", "left"), ("feed_point", "before")):
        before.put(path, value)
    before.put("weight", Quantity("2664", "g", 2664))
    page = laid(home, qtbot, "weigh.scale", twins.ida)
    listing(page).open(before.entity)
    shown = said(page)
    assert "Around a feed, before, the feeder's left." in shown
    assert "Taken around a feed" in shown
    assert "15.3 %" not in shown  # (2664 - 2310) / 2310, arithmetic (C)


def test_a_weight_that_jumps_is_asked_about_once_and_then_kept_as_typed_with_the_answer(
    home: OpenChart, qtbot: QtBot, twins: TwinVisit
) -> None:
    page = laid(home, qtbot, "weigh.scale", twins.ida)
    press(page, "On the scale now")
    entity = next(reversed(listing(page).lines))
    binding = home.binding(WeightReading, twins.ida, entity=entity)
    binding.put("taken", twins.at(-24 * 7))
    binding.put("weight", Quantity("3410", "g", 3410))
    asked = next(one for one in page.findChildren(DoubtAsked))
    assert "would move by more than 15 % or 400 g" in asked.question.said()
    assert weights(home, twins.ida)[-1] == 3410
    asked.words.setText("weighed twice")
    asked.answer()
    assert asked.question.isHidden()
    kept = binding.value("kept_after_asking")
    assert isinstance(kept, str)
    assert "3,410 g" in kept
    assert "As typed, weighed twice." in kept
    binding.put("weight", Quantity("3411", "g", 3411))
    assert not asked.question.isHidden()


def test_a_visit_that_begins_in_the_future_is_asked_about(home: OpenChart, qtbot: QtBot, twins: TwinVisit) -> None:
    page = laid(home, qtbot, "arrive.visit", twins.mara)
    home.binding(Visit, entity=twins.visit).put("start", twins.at(5))
    assert "Is this device's clock right" in said(page)
    press(page, "Yes, as typed")
    assert home.chart.person(Visit, twins.visit).start == twins.at(5)
    assert "As typed." in said(page)


def test_a_time_in_the_future_on_a_form_without_a_place_for_the_answer_is_asked_about_under_it(
    home: OpenChart, qtbot: QtBot, twins: TwinVisit
) -> None:
    page = laid(home, qtbot, "story.diapers", twins.ida)
    page.binding.put("last_wet", twins.at(3))
    assert "This time is still to come" in said(page)
    page.binding.put("last_wet", twins.at(-3))
    assert "This time is still to come" not in said(page)


def test_follow_ups_placed_on_a_page_of_their_own_wait_for_the_answer_that_opens_them(
    home: OpenChart, qtbot: QtBot, twins: TwinVisit
) -> None:
    page = laid(home, qtbot, "story.pregnancy", twins.mara)
    labour = page.question("parent_history", "labour")
    assert labour is not None
    assert not labour.isVisible()
    page.binding.put("gave_birth", value=True)
    assert labour.isVisible()
    assert home.chart.one(ParentHistory, twins.mara).gave_birth is True


def test_private_questions_show_only_behind_the_veil(home: OpenChart, qtbot: QtBot, twins: TwinVisit) -> None:
    page = laid(home, qtbot, "story.private", twins.mara)
    signs = page.question("parent_history", "mood_signs")
    assert signs is not None
    assert not signs.isVisible()
    press(page, "Mood")
    assert signs.isVisible()
    page.set_shared(True)
    assert not signs.isVisible()
    page.set_shared(False)
    assert not signs.isVisible()
