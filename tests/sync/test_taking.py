"""Facts of a hand-over beside a chart, and what taking them writes into a real store."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from forms.answers import Conflicted, Moment, Quantity
from forms.ask import Paper
from forms.ask import Path as At
from forms.chart import Place, entry_id
from forms.infant_history import InfantHistory
from forms.people import InfantIdentity
from forms.received import ReceivedFact, ReceivedFile, fact_words, source_words
from forms.trouble import Bug
from forms.weight import WeightReading
from storage.changes import Begin
from storage.store import Store
from storage.taking import taken_from
from sync.handoff.document import record_bytes
from sync.handoff.facing import Faced, Way, doubts_of, faced, gathered, label_of
from sync.handoff.reading.held import HandOver, Offer
from sync.handoff.reading.read import read_file
from sync.handoff.taking import CameIn, answers_of_files, file_kept, keep_file, take, taken_answers
from tests.helpers import thornbury as t
from tests.helpers.handed_over import elsewhere_record, observed
from tests.helpers.records import record
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, VISIT, Ids, grams, moment, new_store, put, small_family

NOW = datetime(2026, 3, 4, 9, tzinfo=UTC)
IDS = Ids(500)
GIVEN = elsewhere_record(
    observed("8339-4", 3420, "g"), observed("11884-4", 275, "d"), observed("29463-7", 3300, "g"),
    observed("8310-5", 37.1, "Cel"),
)  # fmt: skip


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = new_store(tmp_path / "store").store
    made.write(small_family(), author=AUTHOR)
    yield made
    made.close()


def read(data: bytes = GIVEN) -> HandOver:
    return read_file(data, zone="Europe/London", now=NOW)


def beside(store: Store, found: HandOver, offer: Offer, who: str = BABY) -> Faced:
    return faced(found, offer, store.chart(FAMILY), who, IDS())


def of(found: HandOver, question: str) -> Offer:
    return next(one for one in gathered(found) if one.path == At(question) or question in one.label)


def taken(store: Store, found: HandOver, question: str, *, words: bool = False, who: str = BABY) -> Faced:
    one = beside(store, found, of(found, question), who)
    store.write(tuple(take(one, found, FAMILY, IDS(), beside=words)), author=AUTHOR)
    return one


def baby(store: Store) -> InfantIdentity:
    return store.chart(FAMILY).person(InfantIdentity, BABY)


def test_a_fact_goes_into_its_own_question_when_that_is_empty_and_says_from_where(store: Store) -> None:
    found = read()
    assert taken(store, found, "birth_weight").way is Way.ANSWER
    assert baby(store).birth_weight == Quantity("3420", "g", 3420)
    head = store.history(BABY, At("birth_weight"))[-1]
    source = taken_from(head.reason)
    assert source is not None
    assert (source.file, source.at) == (found.sha256, "2026-01-14T08:00:00-05:00")
    assert "Observation/8339-4" in source.entry
    assert beside(store, found, of(found, "birth_weight")).way is Way.STANDS
    store.undo(AUTHOR)
    assert baby(store).birth_weight is None


def test_what_goes_together_is_taken_in_one_step_and_taken_back_in_one(store: Store) -> None:
    taken(store, read(), "gestation_weeks")
    assert (baby(store).gestation_weeks, baby(store).gestation_days) == (39, 2)
    store.undo(AUTHOR)
    assert (baby(store).gestation_weeks, baby(store).gestation_days) == (None, None)


def test_weeks_without_days_are_never_put_beside_days_that_stand(store: Store) -> None:
    store.write([put(BABY, "gestation_weeks", 37), put(BABY, "gestation_days", 3)], author=AUTHOR)
    found = read()
    whole = of(found, "gestation_weeks")
    assert beside(store, found, whole).way is Way.INSTEAD
    assert beside(store, found, replace(whole, also=())).way is Way.BESIDE


def test_what_stands_is_shown_and_replaced_only_when_she_says_so(store: Store) -> None:
    store.write([put(BABY, "birth_weight", grams(3400))], author=AUTHOR)
    one = beside(store, read(), of(read(), "birth_weight"))
    assert (one.way, [held.given for held in one.held]) == (Way.INSTEAD, [grams(3400)])
    taken(store, read(), "birth_weight", words=True)
    assert baby(store).birth_weight == grams(3400)
    (fact,) = store.chart(FAMILY).all(ReceivedFact, BABY)
    assert fact_words(fact.answers) == "Birth weight: 3420 g"
    assert beside(store, read(), of(read(), "birth_weight")).way is Way.KEPT


def test_an_answer_written_after_she_looked_is_not_replaced_both_stand(store: Store) -> None:
    store.write([put(BABY, "birth_weight", grams(3400))], author=AUTHOR)
    found = read()
    one = beside(store, found, of(found, "birth_weight"))
    store.write([put(BABY, "birth_weight", grams(3410))], author=AUTHOR)
    store.write(tuple(take(one, found, FAMILY, IDS())), author=AUTHOR)
    given = baby(store).birth_weight
    assert isinstance(given, Conflicted)
    assert {variant.value.base for variant in given.variants} == {3410, 3420}


def test_an_empty_question_answered_meanwhile_is_not_written_over(store: Store) -> None:
    found = read()
    one = beside(store, found, of(found, "birth_weight"))
    store.write([put(BABY, "birth_weight", grams(3410))], author=AUTHOR)
    store.write(tuple(take(one, found, FAMILY, IDS())), author=AUTHOR)
    assert isinstance(baby(store).birth_weight, Conflicted)


@pytest.mark.parametrize(("day", "way"), [(12, Way.STANDS), (11, Way.BESIDE)])
def test_a_day_of_birth_is_never_written_beside_a_time_of_birth(store: Store, day: int, way: Way) -> None:
    store.write([put(BABY, "born", Moment(datetime(2026, 1, day, 8, tzinfo=UTC), "Europe/London"))], author=AUTHOR)
    one = beside(store, read(), of(read(), "born_day"))
    assert (one.way, [held.path for held in one.held]) == (way, [At("born")])


def test_where_two_answers_stand_both_are_shown_and_taking_in_their_place_settles_them(store: Store) -> None:
    for base in (3400, 3410):
        store.write([put(BABY, "birth_weight", grams(base), replaces=())], author=AUTHOR)
    found = read()
    one = beside(store, found, of(found, "birth_weight"))
    assert one.way is Way.INSTEAD
    assert isinstance(one.held[0].given, Conflicted)
    store.write(tuple(take(one, found, FAMILY, IDS())), author=AUTHOR)
    assert baby(store).birth_weight == Quantity("3420", "g", 3420)
    store.undo(AUTHOR)
    assert isinstance(baby(store).birth_weight, Conflicted)


def test_a_weight_joins_the_others_as_read_in_a_document_and_the_same_is_not_offered_twice(store: Store) -> None:
    found = read()
    taken(store, found, "weight")
    (weight,) = store.chart(FAMILY).all(WeightReading, BABY)
    assert (weight.answers.weight, weight.answers.source) == (Quantity("3300", "g", 3300), "document")
    assert beside(store, found, of(found, "weight")).way is Way.STANDS


def test_a_fact_no_question_asks_for_is_kept_in_the_senders_words_with_its_source(store: Store) -> None:
    found = read()
    assert taken(store, found, "8310-5").way is Way.BESIDE
    (fact,) = store.chart(FAMILY).all(ReceivedFact, BABY)
    assert (fact.answers.value, fact.answers.unit, fact.answers.file) == ("37.1", "Cel", found.sha256)
    assert source_words(fact.answers) == "2026-01-14T08:00:00-05:00, from somebody the file does not name"
    store.undo(AUTHOR)
    assert store.chart(FAMILY).all(ReceivedFact, BABY) == ()


@pytest.mark.parametrize("resource", [
    observed("8339-4", 120, ("oz",)), observed("8339-4", 3420, "g", status="entered-in-error"),
    observed("8310-5", 37, "Cel", modifierExtension=[{"url": "http://mark.example", "valueBoolean": True}]),
])  # fmt: skip
def test_what_must_not_be_used_can_be_taken_in_no_way(store: Store, resource: dict[str, Any]) -> None:
    found = read(elsewhere_record(resource))
    one = beside(store, found, next(one for one in found.offers if "Observation" in one.entry))
    assert (one.way, bool(one.why)) == (Way.SHOWN, True)
    with pytest.raises(Bug):
        list(take(one, found, FAMILY, IDS()))


def test_a_baby_s_fact_never_becomes_an_answer_about_a_parent(store: Store) -> None:
    assert beside(store, read(), of(read(), "birth_weight"), PARENT).way is Way.BESIDE
    assert beside(store, read(), of(read(), "weight"), PARENT).way is Way.BESIDE


def test_an_amount_outside_what_the_question_takes_is_kept_in_words_only(store: Store) -> None:
    found = read(elsewhere_record(observed("8339-4", 90, "kg")))
    one = beside(store, found, of(found, "birth_weight"))
    assert one.way is Way.BESIDE
    assert one.offer.doubts


# --- our own record ---------------------------------------------------------------------------------------------------


def ours(*entries: Any) -> HandOver:
    return read_file(record_bytes(record(t.whole(*entries), Paper.SUMMARY)), zone=t.ZONE, now=t.NOW)


def about_ida(found: HandOver) -> tuple[Offer, ...]:
    ida = next(person.id for person in found.people if "Ida" in person.names)
    return tuple(one for one in gathered(found) if one.person == ida)


def test_history_that_is_told_once_goes_into_the_open_visit_and_what_was_seen_there_into_words(store: Store) -> None:
    found = ours()
    by_name = {(one.form.name, str(one.path)): one for one in about_ida(found) if one.form is not None}
    history = beside(store, found, by_name["infant_history", "medicines"])
    assert history.way is Way.ANSWER
    assert beside(store, found, by_name["infant_history", "wets_24h"]).way is Way.BESIDE
    assert beside(store, found, by_name["oral_assessment", "more"]).way is Way.BESIDE
    store.write(tuple(take(history, found, FAMILY, IDS())), author=AUTHOR)
    assert store.chart(FAMILY, VISIT).one(InfantHistory, BABY).medicines == "Vitamin D drops"
    assert store.entry(entry_id(InfantHistory, VISIT, (BABY,))) is not None


def test_with_two_visits_open_or_none_history_is_kept_in_words(store: Store) -> None:
    found = ours()
    offer = next(one for one in about_ida(found) if one.path == At("medicines"))
    store.write([Begin("6" * 32, Place("visit", FAMILY)), put("6" * 32, "start", moment(4))], author=AUTHOR)
    assert beside(store, found, offer).way is Way.BESIDE


def test_a_weight_of_our_own_record_is_one_fact_with_its_time_and_how_it_was_known_there(store: Store) -> None:
    found = ours()
    weights = [one for one in about_ida(found) if one.form is WeightReading]
    assert sorted(one.words for one in weights) == ["2520 g", "2680 g"]
    for one in weights:
        store.write(tuple(take(beside(store, found, one), found, FAMILY, IDS())), author=AUTHOR)
    kept = {entry.answers.weight.base: entry.answers for entry in store.chart(FAMILY).all(WeightReading, BABY)}  # type: ignore[union-attr]
    assert {base: weight.taken for base, weight in kept.items()} == {
        2520: t.local(3, 10, 0, 2), 2680: t.local(3, 10, 5)
    }  # fmt: skip
    assert all(weight.source == "document" for weight in kept.values())
    assert "Seen on the scale" in str(kept[2680].document)


def test_weeks_and_days_of_our_own_record_are_one_fact(store: Store) -> None:
    found = ours()
    of_ida = [one for one in about_ida(found) if one.path is not None and one.path.field.startswith("gestation")]
    (one,) = of_ida
    given = next(one for one in t.whole().all(InfantIdentity) if one.id == t.IDA).answers
    store.write(tuple(take(beside(store, found, one), found, FAMILY, IDS())), author=AUTHOR)
    assert (baby(store).gestation_weeks, baby(store).gestation_days) == (given.gestation_weeks, given.gestation_days)
    assert baby(store).gestation_days is not None


def test_a_weight_around_a_feed_never_joins_the_weights_of_the_body(store: Store) -> None:
    around = t.entry(
        WeightReading, t.IDA, named="w9", weight=t.grams(2700), taken=t.local(3, 10, 40), source="seen", feed="feed1",
        feed_point="after",
    )  # fmt: skip
    found = ours(around)
    one = beside(store, found, next(one for one in about_ida(found) if one.words == "2700 g"))
    assert one.way is Way.BESIDE
    assert "around a feed" in one.why


# --- whom, the file, and what nothing is taken from -----------------------------------------------------------------


@pytest.mark.parametrize(("born", "doubted"), [
    (None, 0), (Moment(datetime(2026, 1, 12, 8, tzinfo=UTC), "Europe/London"), 0),
    (Moment(datetime(2026, 1, 11, 8, tzinfo=UTC), "Europe/London"), 1),
])  # fmt: skip
def test_another_birth_day_speaks_against_the_same_person_and_a_name_for_nothing(
    store: Store, born: Moment | None, doubted: int
) -> None:
    store.write([put(BABY, "born", born)], author=AUTHOR)
    (person,) = read().people
    assert len(doubts_of(person, store.chart(FAMILY), BABY)) == doubted


def test_a_month_of_birth_meets_every_day_of_it(store: Store) -> None:
    store.write([put(BABY, "born", Moment(datetime(2026, 1, 30, 8, tzinfo=UTC), "Europe/London"))], author=AUTHOR)
    (person,) = read(elsewhere_record(born="2026-01")).people
    assert doubts_of(person, store.chart(FAMILY), BABY) == ()


def test_the_whole_file_and_its_signature_are_kept_byte_for_byte(store: Store) -> None:
    came = CameIn(read(), GIVEN, b"a signature", "discharge.json")
    store.write(tuple(keep_file(store, came, FAMILY, IDS(), Moment(NOW, "Europe/London"))), author=AUTHOR)
    assert file_kept(store.chart(FAMILY), came.found.sha256)
    (kept,) = store.chart(FAMILY).all(ReceivedFile)
    answers = kept.answers
    assert store.attachment(str(answers.file)) == GIVEN
    assert store.attachment(str(answers.beside)) == b"a signature"
    assert (answers.media, answers.standing, answers.called) == ("fhir", "unsigned", "discharge.json")


def test_nothing_is_taken_from_a_file_that_was_changed(store: Store) -> None:
    found = read()
    changed = replace(found, sender=read_file(GIVEN, zone="UTC", now=NOW, signature=b"no signature").sender)
    assert {beside(store, changed, one).way for one in changed.offers} == {Way.SHOWN}


@pytest.fixture
def table(store: Store) -> Callable[[str], HandOver]:
    return lambda rows: read(rows.encode())


def test_rows_of_a_table_are_kept_as_they_are_written(store: Store, table: Callable[[str], HandOver]) -> None:
    found = table("What;Value;Unit;When;By\nBilirubin;180,5;umol/L;2026-03;ward\n")
    taken(store, found, "Bilirubin")
    (fact,) = store.chart(FAMILY).all(ReceivedFact, BABY)
    answers = fact.answers
    assert (answers.what, answers.value, answers.unit, answers.at) == ("Bilirubin", "180,5", "umol/L", "2026-03")
    assert answers.doubt == "Beside it stands by: ward."


def test_which_standing_answers_came_from_a_file_is_read_back_and_ends_with_what_replaces_them(store: Store) -> None:
    found = read()
    came = CameIn(found, GIVEN)
    store.write(tuple(keep_file(store, came, FAMILY, IDS(), Moment(NOW, "Europe/London"))), author=AUTHOR)
    taken(store, found, "birth_weight")
    (one,) = taken_answers(store, answers_of_files(store.chart(FAMILY)))
    assert (one.entity, one.path, one.source.file) == (BABY, At("birth_weight"), found.sha256)
    store.write([put(BABY, "birth_weight", grams(3400))], author=AUTHOR)
    assert taken_answers(store, answers_of_files(store.chart(FAMILY))) == ()


def test_a_bare_code_is_no_name_the_sender_has_for_a_question(store: Store) -> None:
    found = read()
    assert label_of(of(found, "birth_weight")) == "Birth weight"
