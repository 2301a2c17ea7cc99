"""The log read as what it left behind, and the trace of prompts that follows from it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from forms.answers import Conflicted, Quantity
from forms.ask import Path as At
from forms.chart import Chart, Place, entry_id
from forms.clinical.prompt_trace import followed
from forms.clinical.prompts import fired, prompts
from forms.form import About
from forms.infant import InfantAssessment
from forms.thresholds import Thresholds
from storage.changes import Begin, Restore, StrikeOut
from storage.store import Store
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, grams, moment, put

LOOKED = entry_id(InfantAssessment, VISIT, (BABY,))
HEAVY, LIGHT = "6" * 32, "7" * 32


def degrees(tenths: int) -> Quantity:
    return Quantity(str(tenths / 10), "C", tenths)


def look(store: Store, tenths: int, **more: object) -> None:
    place = Place("infant_assessment", FAMILY, VISIT, (BABY,))
    store.write([Begin(LOOKED, place), put(LOOKED, "temperature", degrees(tenths), **more)], author=AUTHOR)


def weigh(store: Store, entity: str, amount: int, day: int) -> None:
    place = Place("weight", FAMILY, VISIT, (BABY,))
    weight, taken = put(entity, "weight", grams(amount)), put(entity, "taken", moment(day))
    store.write([Begin(entity, place), weight, taken], author=AUTHOR)


def test_what_the_log_left_behind_is_what_stands_with_conflicts_and_strike_outs(store: Store) -> None:
    look(store, 384)
    seen = tuple(head.operation for head in store.heads(LOOKED, At("temperature")))
    look(store, 369, replaces=seen)
    look(store, 372, replaces=seen)
    weigh(store, HEAVY, 3900, 3)
    store.write([StrikeOut(HEAVY, "another baby")], author=AUTHOR)
    last = {one.entry.id: one.entry for one in store.written(FAMILY)}
    chart = store.chart(FAMILY, VISIT)
    assert isinstance(chart.one(InfantAssessment, BABY).temperature, Conflicted)
    for entry in chart.entries:
        if entry.place.family == FAMILY or entry.id == FAMILY:
            assert replace(last[entry.id], heads={}) == replace(entry, heads={})
    assert last[HEAVY].struck is not None


def test_a_prompt_that_was_corrected_away_yesterday_is_told_from_the_log(store: Store) -> None:
    store.write([put(BABY, "born", moment(1))], author=AUTHOR)
    look(store, 384)
    look(store, 369)
    trace = followed(Chart(FAMILY, VISIT, ()), store.written(FAMILY))
    (line,) = [one for one in trace.lines(BABY) if one.prompt.rule == "infant_fever_28"]
    assert line.words("UTC", line.since) == "No longer fires since 14:02: Temperature was changed."
    tomorrow = line.since + timedelta(days=1)
    assert line.words("UTC", tomorrow) == "No longer fires since 3 Mar 2026, 14:02: Temperature was changed."


def test_a_limit_of_the_practice_that_was_set_back_is_told_from_the_log(store: Store) -> None:
    house = entry_id(Thresholds)
    store.write([put(BABY, "born", moment(1))], author=AUTHOR)
    store.write([Begin(house, Place("thresholds")), put(house, "fever", degrees(375))], author=AUTHOR)
    look(store, 377)
    store.write([put(house, "fever", None)], author=AUTHOR)
    assert Thresholds.about is About.PRACTICE
    lines = followed(Chart(FAMILY, VISIT, ()), store.written(FAMILY)).lines(BABY)
    assert ["Fever of a baby was cleared" in one.words("UTC", one.since) for one in lines] == [True]


acts = st.lists(
    st.one_of(
        st.tuples(st.just("look"), st.sampled_from((359, 369, 384))),
        st.tuples(st.just("weigh"), st.sampled_from((2900, 3590, 3990))),
        st.tuples(st.just("strike"), st.just(0)),
        st.tuples(st.just("restore"), st.just(0)),
        st.tuples(st.just("undo"), st.just(0)),
    ),
    min_size=2,
    max_size=8,
)


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(acts)
def test_whatever_was_written_struck_or_taken_back_every_prompt_stands_or_has_its_line(
    store: Store, done: list[tuple[str, int]]
) -> None:
    store.write([put(BABY, "born", moment(1)), put(BABY, "birth_weight", grams(4000))], author=AUTHOR)
    ever = set()
    for act, value in done:
        match act:
            case "look":
                look(store, value)
            case "weigh":
                weigh(store, LIGHT, value, 3)
            case "strike" | "restore" if store.entry(LIGHT) is not None:
                store.write([(StrikeOut if act == "strike" else Restore)(LIGHT, "a slip")], author=AUTHOR)
            case "undo":
                store.undo(AUTHOR, family=FAMILY)
        chart, at = store.chart(FAMILY, VISIT), store.since()
        assert at is not None
        ever |= {prompt.key for prompt in prompts(chart, at)}
        trace = followed(Chart(FAMILY, VISIT, ()), store.written(FAMILY))
        standing = {prompt.key for prompt in fired(chart, at)[1]}
        assert ever <= set(trace.seen)
        assert {key for key in ever if key not in standing} == {key for key in trace.gone if key in ever}
        assert all(line.because for line in trace.gone.values())
