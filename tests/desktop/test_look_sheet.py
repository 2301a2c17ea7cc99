"""Looking at breasts or chest in the window: one side at a time, a look declined or stopped, and the summary answer."""

from __future__ import annotations

from typing import Any

import pytest

from desktop.pages.visit import VisitPage
from desktop.sheets.findings import answers_of
from desktop.sheets.in_view import InView
from desktop.sheets.listing import Listing
from desktop.sheets.rest_declined import RestDeclined
from desktop.sheets.seen_no_concern import SeenNoConcern
from desktop.sheets.sides import OneSide, looked_state
from desktop.theme.halfmoons import MoonState
from forms.answers import Absence, Absent, Conflicted, Quantity, Side, Sided
from forms.ask import Path
from forms.breast import BreastAssessment, BreastFinding
from forms.chart import entry_id
from forms.infant import InfantAssessment
from forms.oral import OralAssessment
from forms.summaries import is_summary
from storage.changes import Put
from tests.helpers.kept import found, laid, put_one
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import key_named, said, settled

LEFT = Side.LEFT


def looked(page: VisitPage, twins: TwinVisit, section: str, **answers: Any) -> None:
    """A look that was agreed to stands in the store, and its section is in view."""
    put_one(twins, BreastAssessment, twins.mara, **{"consent": "look_touch", "feed_timing": "before", **answers})
    page.home.reload()
    settled(twins)
    page.go("look", twins.mara, section)
    settled(twins)


def now(page: VisitPage, twins: TwinVisit) -> BreastAssessment:
    return page.home.chart.one(BreastAssessment, twins.mara)


def stored(twins: TwinVisit) -> BreastAssessment:
    return twins.store.chart(twins.family, twins.visit).one(BreastAssessment, twins.mara)


def plain(page: VisitPage) -> SeenNoConcern:
    return found(page.middle, SeenNoConcern)


def test_the_sides_are_asked_one_at_a_time_and_turned_under_the_half_moons(page: VisitPage, twins: TwinVisit) -> None:
    looked(page, twins, "look.nipple")
    question = laid(page).question("breast_assessment", "damage")
    assert question is not None
    assert [slot.isVisibleTo(question) for slot in question.slots()] == [True, False]
    InView.of(page.home).other_side()
    assert [slot.isVisibleTo(question) for slot in question.slots()] == [False, True]


def test_a_page_of_a_declined_look_says_so_and_asks_nothing(page: VisitPage, twins: TwinVisit) -> None:
    looked(page, twins, "look.nipple", consent="declined")
    sides = found(page.middle, OneSide)
    assert "Not done: declined." in said(sides)
    question = laid(page).question("breast_assessment", "damage")
    assert question is not None
    assert not question.isVisibleTo(page)
    assert sides.keys[LEFT].accessibleName().endswith("declined")


def test_before_consent_the_page_says_where_it_is_asked(page: VisitPage, twins: TwinVisit) -> None:
    page.go("look", twins.mara, "look.nipple")
    settled(twins)
    assert "First say under “Before” what was agreed to" in said(found(page.middle, OneSide))


def test_the_half_moon_of_a_damaged_side_is_notched_on_its_own_page() -> None:
    hurt = BreastAssessment(consent="look", damage=Sided(("crack",), ("none",)), nipple=Sided(None, ("everted",)))
    assert looked_state(hurt, LEFT, {"damage", "nipple"}) is MoonState.CONCERN
    assert looked_state(hurt, Side.RIGHT, {"damage", "nipple"}) is MoonState.DONE
    assert looked_state(hurt, LEFT, {"fullness"}) is MoonState.NOT_DONE


def test_a_look_that_was_stopped_writes_the_rest_as_declined_by_one_act_and_one_undo(
    page: VisitPage, twins: TwinVisit
) -> None:
    looked(page, twins, "look.consent", damage_at_left=("crack",))
    rest = found(page.middle, RestDeclined)
    assert not rest.isVisibleTo(page)
    page.home.binding(BreastAssessment, twins.mara).put("consent", "stopped")
    assert rest.isVisibleTo(page)
    rest.write.click()
    settled(twins)
    kept = stored(twins)
    assert kept.damage == Sided(("crack",), Absent(Absence.DECLINED))
    assert kept.pain_rest == Sided(Absent(Absence.DECLINED), Absent(Absence.DECLINED))
    assert kept.size == Sided(None, None), "what a note does not need stays untouched"
    page.home.take_back()
    settled(twins)
    assert stored(twins).damage == Sided(("crack",), None)
    assert stored(twins).pain_rest == Sided(None, None)
    assert stored(twins).consent == "stopped"


def test_a_place_begun_from_its_key_is_said_in_a_line(page: VisitPage, twins: TwinVisit) -> None:
    looked(page, twins, "look.places")
    key_named(page.middle, "Right nipple").click()
    (entity,) = found(page.middle, Listing).lines
    binding = page.home.binding(BreastFinding, twins.mara, entity=entity)
    for name, value in (("kind", "crack"), ("clock", "hour_3"), ("longest", Quantity("4", "mm", 4))):
        binding.put(name, value)
    page.home.save()
    settled(twins)
    assert "Right nipple, crack, 3 o'clock, 4 mm" in said(found(page.middle, Listing))


def test_no_summary_answer_is_written_before_its_region_and_side_were_opened(page: VisitPage, twins: TwinVisit) -> None:
    looked(page, twins, "look.chest_skin")
    summary = plain(page)
    assert not summary.write.isVisibleTo(page)
    summary.put()
    assert now(page, twins).skin == Sided(None, None)
    summary.opener.click()
    assert summary.write.isVisibleTo(page)
    assert now(page, twins).skin == Sided(None, None), "opening writes nothing"
    InView.of(page.home).other_side()
    assert not summary.write.isVisibleTo(page), "the other side was not opened"
    summary.put()
    assert now(page, twins).skin == Sided(None, None)


def test_it_shows_each_line_before_it_writes_it_and_says_afterwards_that_it_was_a_summary(
    page: VisitPage, twins: TwinVisit
) -> None:
    looked(page, twins, "look.chest_skin", lump_at_left="felt")
    summary = plain(page)
    summary.opener.click()
    assert summary.lines.said().splitlines() == ["Skin: As usual for this skin", "Lump: stays Felt"]
    assert summary.write.text() == "Write this answer"
    summary.write.click()
    settled(twins)
    kept = stored(twins)
    assert kept.skin == Sided(("usual",), None)
    assert kept.lump == Sided("felt", None)
    assert is_summary(kept, Path("skin", LEFT))
    assert not is_summary(kept, Path("lump", LEFT))
    assert "Summary answer, Mara’s left: seen, no concern" in said(plain(page))


def test_one_undo_takes_all_of_it_back_and_nothing_else(page: VisitPage, twins: TwinVisit) -> None:
    looked(page, twins, "look.nipple")
    page.home.binding(BreastAssessment, twins.mara).put("nipple_width@left", Quantity("17", "mm", 17))
    plain(page).opener.click()
    plain(page).write.click()
    settled(twins)
    assert stored(twins).damage == Sided(("none",), None)
    page.home.take_back()
    settled(twins)
    kept = stored(twins)
    assert (kept.nipple, kept.damage, kept.nipple_plain) == (Sided(None, None),) * 3
    assert kept.nipple_width.left == Quantity("17", "mm", 17), "what was typed just before is a step of its own"


def test_its_own_key_takes_back_what_still_stands_as_it_was_written(page: VisitPage, twins: TwinVisit) -> None:
    looked(page, twins, "look.nipple")
    plain(page).opener.click()
    plain(page).write.click()
    settled(twins)
    page.home.binding(BreastAssessment, twins.mara).put("damage@left", ("graze",))
    plain(page).take_back.click()
    settled(twins)
    kept = stored(twins)
    assert kept.nipple == Sided(None, None)
    assert kept.damage == Sided(("graze",), None)
    assert kept.nipple_plain == Sided(None, None)


def disputed(twins: TwinVisit, path: Path, *values: object) -> None:
    """Two devices that did not know of each other answered."""
    entity = entry_id(BreastAssessment, twins.visit, (twins.mara,))
    for value in values:
        twins.store.write((Put(entity, path, value, replaces=()),), author=twins.author)


def test_a_disputed_line_is_left_alone_and_says_so(page: VisitPage, twins: TwinVisit) -> None:
    looked(page, twins, "look.chest_skin")
    disputed(twins, Path("skin", LEFT), ("red",), ("pink",))
    page.home.reload()
    settled(twins)
    summary = plain(page)
    summary.opener.click()
    assert "Skin: two answers stand there, so it is left alone" in summary.lines.said()
    summary.write.click()
    settled(twins)
    kept = stored(twins)
    assert isinstance(kept.skin.left, Conflicted)
    assert kept.lump == Sided("none", None)


def test_a_disputed_summary_answer_writes_nothing_more_until_one_is_picked(page: VisitPage, twins: TwinVisit) -> None:
    looked(page, twins, "look.chest_skin", skin_at_left=("usual",))
    disputed(twins, Path("skin_plain", LEFT), ("skin",), ("lump",))
    page.home.reload()
    settled(twins)
    summary = plain(page)
    assert "Two devices wrote a summary answer here." in said(summary)
    summary.opener.click()
    assert not summary.write.isVisibleTo(page)
    summary.put()
    settled(twins)
    assert stored(twins).lump == Sided(None, None)


def test_under_a_signature_it_can_be_read_and_not_written(page: VisitPage, twins: TwinVisit) -> None:
    looked(page, twins, "look.chest_skin")
    plain(page).opener.click()
    plain(page).write.click()
    settled(twins)
    twins.store.sign(twins.visit, author=twins.author)
    page.home.reload()
    settled(twins)
    summary = plain(page)
    assert "Summary answer" in said(summary)
    assert not summary.write.isVisibleTo(page)
    assert not summary.take_back.isVisibleTo(page)
    summary.undo()
    settled(twins)
    assert stored(twins).skin == Sided(("usual",), None)


@pytest.mark.parametrize(
    ("section", "form", "field", "value"),
    [
        ("look.colour", InfantAssessment, "fontanelle", "flat"),
        ("look.breathing", InfantAssessment, "cry", ("usual",)),
        ("look.body", InfantAssessment, "grasp", "strong"),
        ("look.face", OralAssessment, "lips", ("nothing",)),
        ("look.palate", OralAssessment, "uvula", "single"),
        ("look.suck", OralAssessment, "suck_seal", "holds"),
        ("look.patches", OralAssessment, "patches", ("none",)),
    ],
)
def test_each_region_of_the_baby_has_its_own_and_asks_nothing_of_the_other_twin(
    page: VisitPage, twins: TwinVisit, section: str, form: Any, field: str, value: object
) -> None:
    put_one(twins, OralAssessment, twins.ida, consent="given")
    page.home.reload()
    settled(twins)
    page.go("look", twins.ida, section)
    settled(twins)
    plain(page).opener.click()
    plain(page).write.click()
    settled(twins)
    chart = twins.store.chart(twins.family, twins.visit)
    assert getattr(chart.one(form, twins.ida), field) == value
    assert is_summary(chart.one(form, twins.ida), Path(field))
    assert chart.one(form, twins.juno) == form()


def test_a_mouth_without_consent_offers_no_summary_answer(page: VisitPage, twins: TwinVisit) -> None:
    page.go("look", twins.ida, "look.face")
    settled(twins)
    assert not plain(page).isVisibleTo(page)


def test_nothing_is_offered_where_each_line_is_answered(page: VisitPage, twins: TwinVisit) -> None:
    looked(page, twins, "look.chest_skin", skin_at_left=("red",), lump_at_left="none")
    assert not plain(page).isVisibleTo(page)


def test_a_line_it_wrote_can_be_picked_as_a_finding_and_says_what_it_was(page: VisitPage, twins: TwinVisit) -> None:
    looked(page, twins, "look.chest_skin")
    plain(page).opener.click()
    plain(page).write.click()
    settled(twins)
    given = [one.words for group in answers_of(page.home, (twins.mara,)).values() for one in group]
    assert "Mara’s left, skin: As usual for this skin (summary answer)" in given
    assert not [words for words in given if "no concern" in words]
