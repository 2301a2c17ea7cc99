"""The feed's sheets: whose feed it is, one side at a time, and weights that become a transfer at once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from desktop.controls.buttons import Act
from desktop.pages.visit import VisitPage
from desktop.sheets.feed_head import FeedHead, Feeds, Unchosen, feed_in_view, feeds_of
from desktop.sheets.feed_weights import FeedWeights
from desktop.sheets.in_view import InView
from desktop.sheets.sides import OneSide, side_state
from desktop.theme.halfmoons import MoonState
from forms.answers import Quantity, Side, Sided
from forms.feed import FeedObservation
from forms.weight import WeightReading
from tests.helpers.kept import found, laid, put
from tests.helpers.twins import TwinVisit, twin_visit
from tests.helpers.visits import settled, visit_page_of


@pytest.fixture
def made(tmp_path: Path) -> Iterator[TwinVisit]:
    visit = twin_visit(tmp_path / "store")
    yield visit
    visit.lane.close()


@pytest.fixture
def page(made: TwinVisit, qtbot: object) -> VisitPage:
    shown = visit_page_of(made)
    shown.resize(1280, 800)
    shown.show()
    settled(made)
    return shown


def begun(made: TwinVisit, baby: str, **answers: Any) -> str:
    return put(made, FeedObservation, made.ids(), made.mara, baby, observed="seen", **answers)


def test_an_answer_typed_for_one_twin_never_reaches_the_feed_of_the_other(made: TwinVisit, page: VisitPage) -> None:
    page.go("feed", made.ida, "feed.which")
    laid(page).binding.put("observed", "seen")
    page.go("feed", made.juno, "feed.which")
    laid(page).binding.put("observed", "not_seen")
    page.home.save()
    settled(made)
    chart = made.store.chart(made.family, made.visit)
    kept = {entry.place.subjects: entry.answers.observed for entry in chart.all(FeedObservation)}
    assert kept == {(made.mara, made.ida): "seen", (made.mara, made.juno): "not_seen"}


def test_while_the_parent_of_twins_is_charted_no_answer_is_taken_before_the_baby_is_picked(
    made: TwinVisit, page: VisitPage
) -> None:
    page.go("feed", made.mara, "feed.position")
    binding = feed_in_view(page.home, FeedObservation, made.mara)
    assert isinstance(binding, Unchosen)
    assert binding.sealed()
    binding.put("used@left", "fed")
    page.home.save()
    settled(made)
    assert not made.store.chart(made.family, made.visit).all(FeedObservation)
    assert found(page.middle, FeedHead).words.said() == "Who feeds whom?"


def test_a_feed_that_was_picked_stays_in_view_from_page_to_page(made: TwinVisit, page: VisitPage) -> None:
    first, second = begun(made, made.ida), begun(made, made.ida)
    page.home.reload()
    settled(made)
    page.go("feed", made.ida, "feed.which")
    assert laid(page).binding.entity == second
    InView.of(page.home).show(FeedObservation, made.ida, first, made.mara, made.ida)
    settled(made)
    page.go("feed", made.ida, "feed.latch")
    assert laid(page).binding.entity == first


def test_a_struck_feed_is_not_the_one_in_view(made: TwinVisit, page: VisitPage) -> None:
    first, second = begun(made, made.ida), begun(made, made.ida)
    page.home.reload()
    settled(made)
    page.home.strike(second, "begun twice")
    settled(made)
    page.go("feed", made.ida, "feed.which")
    assert laid(page).binding.entity == first
    assert [entry.id for entry in feeds_of(page.home, made.ida)] == [first]


def test_only_the_questions_of_the_side_in_view_are_shown_and_f4_turns_them(made: TwinVisit, page: VisitPage) -> None:
    begun(made, made.ida, used_at_left="fed", used_at_right="not_offered")
    page.home.reload()
    settled(made)
    page.go("feed", made.ida, "feed.latch")
    question = laid(page).question("feed", "pain_after_30s")
    assert question is not None
    left, right = (slot.isVisibleTo(question) for slot in question.slots())
    assert (left, right) == (True, False)
    InView.of(page.home).other_side()
    settled(made)
    shut = found(page.middle, OneSide)
    assert not question.isVisibleTo(page)
    assert "not offered" in shut._closed.said()


def test_the_half_moon_of_a_side_that_hurt_is_notched() -> None:
    sore = FeedObservation(observed="seen", used=Sided("fed", "fed"), pain_after_30s=Sided(5, 1))
    assert side_state(sore, Side.LEFT) is MoonState.CONCERN
    assert side_state(sore, Side.RIGHT) is MoonState.NOT_DONE


def weigh(made: TwinVisit, page: VisitPage, slot: tuple[str, str], typed: str, **more: object) -> None:
    weights = found(page.middle, FeedWeights)
    weights.turn_to(weights.slots[slot])
    assert weights._opened is not None
    assert weights._opened.page is not None
    binding = weights._opened.page.binding
    binding.put("weight", Quantity(typed, "g", int(typed)))
    for path, value in more.items():
        binding.put(path, value)
    weights.turn_to(weights.slots[slot])
    page.home.save()
    settled(made)


def test_a_weight_before_and_one_after_give_the_transfer_at_once_with_the_step_of_the_scale(
    made: TwinVisit, page: VisitPage
) -> None:
    feed = begun(made, made.ida, used_at_left="fed")
    page.home.reload()
    settled(made)
    page.go("feed", made.ida, "feed.weights")
    step = Quantity("2", "g", 2)
    weigh(made, page, ("left", "before"), "2664", taken=made.at(0.2), state="dry_diaper", scale_step=step)
    weights = found(page.middle, FeedWeights)
    assert weights.total.said() == "a weight before or after is missing" or "missing" in weights._results["left"].said()
    weigh(made, page, ("left", "after"), "2690", taken=made.at(0.4), state="dry_diaper", scale_step=step,
          diaper_changed=False, same_clothes=True)  # fmt: skip
    assert weights._results["left"].said() == "26 g = 26 mL (±2)"
    readings = made.store.chart(made.family, made.visit).all(WeightReading, made.ida)
    tied = {(one.answers.feed_side, one.answers.feed_point) for one in readings if one.answers.feed == feed}
    assert tied == {("left", "before"), ("left", "after")}


def test_a_changed_diaper_voids_the_pair_and_its_numbers_stay(made: TwinVisit, page: VisitPage) -> None:
    begun(made, made.ida, used_at_left="fed")
    page.home.reload()
    settled(made)
    page.go("feed", made.ida, "feed.weights")
    weigh(made, page, ("left", "before"), "2664", taken=made.at(0.2))
    weigh(made, page, ("left", "after"), "2690", taken=made.at(0.4), diaper_changed=True, same_clothes=True)
    weights = found(page.middle, FeedWeights)
    assert "void: diaper changed between (26 g, not counted)" in weights._results["left"].said()
    assert weights.total.said() == "no pair of weights that counts"


def test_opening_the_pad_and_closing_it_again_writes_no_weight(made: TwinVisit, page: VisitPage) -> None:
    begun(made, made.ida, used_at_left="fed")
    page.home.reload()
    settled(made)
    before = len(made.store.chart(made.family, made.visit).all(WeightReading))
    page.go("feed", made.ida, "feed.weights")
    weights = found(page.middle, FeedWeights)
    weights.turn_to(weights.slots["right", "before"])
    weights.turn_to(weights.slots["right", "before"])
    page.home.save()
    settled(made)
    assert len(made.store.chart(made.family, made.visit).all(WeightReading)) == before


def test_the_list_of_feeds_offers_another_one_for_each_baby_of_the_parent(made: TwinVisit, page: VisitPage) -> None:
    page.go("feed", made.mara, "feed.which")
    offered = [act.text() for act in found(page.middle, Feeds).findChildren(Act)]
    assert offered == ["Mara feeding Ida", "Mara feeding Juno"]
