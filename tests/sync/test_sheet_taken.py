"""Answers of a filled sheet beside a chart: each into its own question, with the sheet as its source in the log."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest

from forms.answers import Moment, Quantity, Side
from forms.chart import Place, entry_id
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.received import STANDINGS, ReceivedFact, ReceivedFile
from storage.changes import Begin, StrikeOut
from storage.store import Store
from storage.taking import taken_from
from sync.handoff.facing import Faced, Way, doubts_of, faced, gathered
from sync.handoff.reading.held import HandOver, Offer, Sender, Standing
from sync.handoff.reading.read import read_file
from sync.handoff.taking import CameIn, answers_of_files, keep_file, since, take, taken_answers
from tests.helpers.filled_sheet import PLACES, filled
from tests.helpers.stores import (
    AUTHOR,
    BABY,
    FAMILY,
    PARENT,
    TWIN,
    VISIT,
    Ids,
    grams,
    moment,
    new_store,
    put,
    small_family,
)

NOW = datetime(2026, 3, 4, 9, tzinfo=UTC)
IDS = Ids(700)
TOLD: dict[str, Any] = {
    "parent.full_name": "Mara Thornquist", "parent.born_day": date(1994, 2, 28), "infant.called_name": "Ida",
    "infant.birth_weight": Quantity("3420 g", "g", 3420), "infant.gestation_weeks": 39, "infant.gestation_days": 2,
    "parent_history.fed_before": True, "parent_history.fed_before_how": "Six weeks, it hurt.",
    "parent_history.pain_now@left": 4, "infant_history.wets_24h": 6, "infant_history.fed_now": ("at_breast", "formula"),
    "infant_history.formula_times": 3, "infant_history.medicines": "Vitamin D drops",
    "infant_history.last_wet": Moment(datetime(2026, 3, 4, 7, 30, tzinfo=UTC), "Europe/London"),
}  # fmt: skip
SOURCE = "the family, on the sheet received 4 March 2026"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = new_store(tmp_path / "store").store
    made.write(small_family(), author=AUTHOR)
    yield made
    made.close()


def read(data: bytes) -> HandOver:
    return read_file(data, zone="Europe/London", now=NOW)


SHEET = filled(TOLD)
FOUND = read(SHEET)


def who_of(offer: Offer) -> str:
    return BABY if offer.form in (InfantIdentity, InfantHistory) else PARENT


def of(key: str, found: HandOver = FOUND) -> Offer:
    return next(one for one in gathered(found) if one.id == key)


def beside(store: Store, key: str, who: str = "") -> Faced:
    offer = of(key)
    return faced(FOUND, offer, store.chart(FAMILY), who or who_of(offer), IDS())


def taken(store: Store, key: str, *, words: bool = False) -> Faced:
    one = beside(store, key)
    store.write(tuple(take(one, FOUND, FAMILY, IDS(), beside=words)), author=AUTHOR)
    return one


def test_every_answer_of_the_sheet_goes_into_its_own_question_and_names_the_sheet_as_its_source(store: Store) -> None:
    for one in gathered(FOUND):
        faced_one = taken(store, one.id)
        assert faced_one.way in (Way.ANSWER, Way.INSTEAD), one.id
        assert beside(store, one.id).way is Way.STANDS, one.id
        assert faced_one.own is not None
        head = store.history(faced_one.own.entity, PLACES[one.id].path)[-1]
        source = taken_from(head.reason)
        assert source is not None
        assert (source.file, source.entry, source.author) == (FOUND.sha256, one.id, SOURCE)
    chart = store.chart(FAMILY, VISIT)
    assert chart.all(ReceivedFact) == ()
    baby, parent = chart.one(InfantHistory, BABY), chart.one(ParentHistory, PARENT)
    assert (baby.wets_24h, baby.fed_now, baby.formula_times) == (6, ("at_breast", "formula"), 3)
    assert (parent.fed_before_how, parent.pain_now.on(Side.LEFT)) == ("Six weeks, it hurt.", 4)
    ida = chart.person(InfantIdentity, BABY)
    assert (ida.birth_weight, ida.gestation_weeks, ida.gestation_days) == (Quantity("3420 g", "g", 3420), 39, 2)
    assert chart.person(ParentIdentity, PARENT).born_day == date(1994, 2, 28)


def test_what_stands_is_shown_beside_the_family_s_answer_and_kept_when_she_says_so(store: Store) -> None:
    store.write([put(BABY, "birth_weight", grams(3400))], author=AUTHOR)
    one = beside(store, "infant.birth_weight")
    assert (one.way, [held.given for held in one.held]) == (Way.INSTEAD, [grams(3400)])
    taken(store, "infant.birth_weight", words=True)
    chart = store.chart(FAMILY)
    assert chart.person(InfantIdentity, BABY).birth_weight == grams(3400)
    (fact,) = chart.all(ReceivedFact, BABY)
    assert (fact.answers.from_whom, fact.answers.place) == (SOURCE, "infant.birth_weight")


def test_a_follow_up_waits_for_the_answer_that_opens_it(store: Store) -> None:
    shut = beside(store, "parent_history.fed_before_how")
    assert (shut.way, bool(shut.why)) == (Way.BESIDE, True)
    taken(store, "parent_history.fed_before")
    assert beside(store, "parent_history.fed_before_how").way is Way.ANSWER


def test_without_one_open_visit_history_waits_and_says_so_while_who_they_are_can_be_taken(store: Store) -> None:
    store.write([Begin("6" * 32, Place("visit", FAMILY)), put("6" * 32, "start", moment(4))], author=AUTHOR)
    history = beside(store, "infant_history.wets_24h")
    assert (history.way, history.why.startswith("It answers a question of one visit.")) == (Way.BESIDE, True)
    assert beside(store, "infant.birth_weight").way is Way.ANSWER


def test_what_was_kept_in_words_for_want_of_a_visit_can_still_go_into_it_and_what_she_kept_beside_an_answer_not(
    store: Store,
) -> None:
    store.write([Begin("6" * 32, Place("visit", FAMILY)), put("6" * 32, "start", moment(4))], author=AUTHOR)
    for key in ("infant_history.wets_24h", "infant_history.medicines"):
        taken(store, key)
        assert beside(store, key).way is Way.KEPT
    store.write([StrikeOut("6" * 32, "begun by mistake")], author=AUTHOR)
    taken(store, "infant_history.wets_24h")
    assert store.chart(FAMILY, VISIT).one(InfantHistory, BABY).wets_24h == 6
    store.write([put(entry_id(InfantHistory, VISIT, (BABY,)), "medicines", "none")], author=AUTHOR)
    assert beside(store, "infant_history.medicines").way is Way.KEPT


def test_a_count_out_of_another_practice_s_file_still_goes_into_no_visit(store: Store) -> None:
    offer = replace(of("infant_history.wets_24h"), for_visit=False)
    assert faced(FOUND, offer, store.chart(FAMILY), BABY, IDS()).way is Way.BESIDE


def test_what_cannot_be_read_is_kept_in_the_family_s_words(store: Store) -> None:
    found = read(filled({"infant_history.medicines": "drops"}).replace(b"(drops)", b"(drop\x07)"))
    (offer,) = found.offers
    one = faced(found, offer, store.chart(FAMILY), BABY, IDS())
    assert (one.way, bool(one.why)) == (Way.BESIDE, True)
    store.write(tuple(take(one, found, FAMILY, IDS())), author=AUTHOR)
    (fact,) = store.chart(FAMILY).all(ReceivedFact, BABY)
    assert (fact.answers.what, fact.answers.value) == (
        "Baby's history: Medicines, drops and vitamins",
        "drop\N{REPLACEMENT CHARACTER}",
    )


def test_a_parent_s_answer_never_becomes_one_about_a_baby_nor_the_other_way_round(store: Store) -> None:
    for key in TOLD:
        if key == "infant.gestation_days":
            continue
        wrong = PARENT if who_of(of(key)) == BABY else BABY
        assert beside(store, key, wrong).way is Way.BESIDE, key


def test_the_sheet_of_one_twin_says_when_the_other_one_bears_its_name_and_goes_to_whom_she_chose(store: Store) -> None:
    chart = store.chart(FAMILY)
    baby = next(one for one in read(filled({"infant.called_name": "Idå"})).people)
    assert doubts_of(baby, chart, BABY) == ()
    assert doubts_of(baby, chart, TWIN) == ("The file says Idå, and here somebody else of this family is called so.",)
    assert doubts_of(replace(baby, names=("Somebody",)), chart, TWIN) == ()
    for who in (BABY, TWIN):
        one = faced(FOUND, of("infant_history.wets_24h"), chart, who, IDS())
        assert one.own is not None
        assert one.own.entity == entry_id(InfantHistory, VISIT, (who,))


def test_every_way_a_file_can_stand_has_its_words_and_its_code() -> None:
    assert {str(one) for one in Standing} == set(STANDINGS)
    assert all(Sender(one).words.endswith(".") for one in Standing)


def test_a_sheet_that_is_kept_keeps_the_day_on_which_it_came_and_how_it_stood(store: Store) -> None:
    came = CameIn(FOUND, SHEET, None, "sheet.pdf")
    store.write(tuple(keep_file(store, came, FAMILY, IDS(), Moment(NOW, "Europe/London"))), author=AUTHOR)
    (kept,) = store.chart(FAMILY).all(ReceivedFile)
    assert (kept.answers.standing, kept.answers.media) == ("sheet", "pdf")
    later = CameIn(read_file(SHEET, zone="Europe/London", now=datetime(2026, 5, 1, tzinfo=UTC)), SHEET)
    assert later.found.author == "the family, on the sheet received 1 May 2026"
    assert since(later, store.chart(FAMILY)).found.author == SOURCE
    taken(store, "infant.birth_weight")
    (one,) = taken_answers(store, answers_of_files(store.chart(FAMILY)))
    assert one.source.words == f"taken from a file of {SOURCE}"
