"""A second practice takes over what the first one hands it of a baby it charts already, fact by fact."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path as Folder
from typing import Any

import pytest

from forms.answers import Moment
from forms.ask import Paper, Path, paths
from forms.chart import Chart
from forms.form import value_at
from forms.people import InfantIdentity
from forms.received import ReceivedFact, ReceivedFile
from forms.weight import WeightReading
from storage.steps import UNDO_STEPS
from storage.taking import taken_from
from sync.handoff.facing import Faced, Way, faced, gathered
from sync.handoff.inside import RECORD
from sync.handoff.reading.held import HandOver
from sync.handoff.reading.read import read_file
from sync.handoff.sign import taken_out
from sync.handoff.taking import CameIn, keep_file, take
from tests.helpers.second_practice import OWN_WEIGHT, Second, handed_over, second_practice

ZONE = "America/New_York"


@dataclass(frozen=True)
class Taken:
    """The second practice after it took all it could: its charts before and after, what was read, and each step."""

    second: Second
    found: HandOver
    before: Chart
    after: Chart
    steps: tuple[tuple[Faced, bool], ...]
    shown: tuple[Faced, ...]
    operations: Mapping[str, tuple[str, ...]]


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, bytes], bytes]:
    return handed_over(tmp_path_factory.mktemp("first") / "store")


@pytest.fixture(scope="module")
def taken(papers: tuple[dict[str, bytes], bytes], tmp_path_factory: pytest.TempPathFactory) -> Iterator[Taken]:
    """Every fact on offer about Ida is taken, each after a look at what stands by then; of conflicts every other one

    is kept beside.
    """
    second = second_practice(tmp_path_factory.mktemp("second") / "store")
    store, data = second.store, papers[0][Paper.SUMMARY]
    found = read_file(data, zone=ZONE, now=second.clock(), roots=(papers[1],))
    before = store.chart(second.family, second.visit)
    kept = keep_file(
        store, CameIn(found, data, called="ida.pdf"), second.family, second.ids(), Moment(second.clock(), ZONE)
    )
    store.write(tuple(kept), author=second.author)
    steps: list[tuple[Faced, bool]] = []
    shown: list[Faced] = []
    operations: dict[str, tuple[str, ...]] = {}
    for offer in gathered(found):
        chart = store.chart(second.family, second.visit)
        one = faced(found, offer, chart, second.ida, second.ids())
        if one.way in (Way.SHOWN, Way.STANDS, Way.KEPT):
            shown.append(one)
            continue
        beside = one.way is Way.INSTEAD and sum(step.way is Way.INSTEAD for step, _ in steps) % 2 == 1
        changes = tuple(take(one, found, second.family, second.ids(), beside=beside))
        operations[offer.id] = tuple(store.write(changes, author=second.author).operations)
        steps.append((one, beside))
    after = store.chart(second.family, second.visit)
    yield Taken(second, found, before, after, tuple(steps), tuple(shown), operations)
    store.close()


def answers(chart: Chart) -> Iterator[tuple[str, str, Any]]:
    """Every answer that stands: entry, place and value."""
    for entry in chart.entries:
        if entry.struck is None:
            for path in paths(type(entry.answers)):
                given = value_at(entry.answers, path)
                if given is not None:
                    yield entry.id, str(path), given


def into_questions(taken: Taken) -> list[Faced]:
    return [one for one, beside in taken.steps if one.own is not None and not beside]


def test_every_way_of_taking_was_gone(taken: Taken) -> None:
    ways = Counter(one.way for one, _ in taken.steps) + Counter(one.way for one in taken.shown)
    assert ways[Way.ANSWER] > 15
    assert ways[Way.INSTEAD] >= 4
    assert ways[Way.BESIDE] > 150
    assert ways[Way.STANDS] >= 4, "what is equal is told to stand"
    assert ways[Way.SHOWN] >= 0


def test_nothing_of_its_own_was_lost(taken: Taken) -> None:
    stands = {(entry, path): given for entry, path, given in answers(taken.after)}
    replaced = {
        (one.own.entity, str(path)) for one in into_questions(taken) if one.own is not None
        for path, _, _ in one.own.puts if one.way is Way.INSTEAD
    }  # fmt: skip
    assert replaced
    for entry, path, given in answers(taken.before):
        if (entry, path) in replaced:
            heads = taken.second.store.history(entry, Path.read(path))
            assert len(heads) == 2, path
            assert taken_from(heads[0].reason) is None
            continue
        assert stands[entry, path] == given, path
    kept = {e.id: e for e in taken.after.all(WeightReading, taken.second.ida)}
    assert {e.id for e in taken.before.all(WeightReading, taken.second.ida)} < set(kept)
    assert OWN_WEIGHT[0] in {str(e.answers.weight.typed) for e in kept.values()}  # type: ignore[union-attr]


def test_each_taken_answer_names_the_file_the_author_and_the_time_and_nothing_else_came(taken: Taken) -> None:
    ids = {one.offer.id for one in into_questions(taken)}
    written = 0
    for one in into_questions(taken):
        assert one.own is not None
        for path, value, _seen in one.own.puts:
            head = taken.second.store.history(one.own.entity, path)[-1]
            source = taken_from(head.reason)
            assert source is not None, path
            assert (source.file, source.entry, source.at) == (taken.found.sha256, one.offer.id, one.offer.at)
            assert source.author.startswith("Rowan Vale")
            assert head.operation in taken.operations[one.offer.id]
            entry = taken.after.by_id(one.own.entity)
            assert entry is not None
            assert value_at(entry.answers, path) == value, path
            written += 1
    new = {(entry, path) for entry, path, _ in answers(taken.after)} - {
        (entry, path) for entry, path, _ in answers(taken.before)
    }
    own = {(one.own.entity, str(path)) for one in into_questions(taken) if one.own for path, _, _ in one.own.puts}
    facts = {e.id for e in taken.after.all(ReceivedFact)} | {e.id for e in taken.after.all(ReceivedFile)}
    assert {entry for entry, path in new - own} <= facts
    assert written >= len(ids) > 15


def test_the_rest_stands_as_received_facts_in_the_senders_own_words(taken: Taken) -> None:
    beside = {one.offer.id: one for one, kept in taken.steps if one.own is None or kept}
    facts = {str(e.answers.place): e.answers for e in taken.after.all(ReceivedFact, taken.second.ida)}
    assert set(facts) == set(beside)
    for place, fact in facts.items():
        offer = beside[place].offer
        assert fact.file == taken.found.sha256
        assert str(fact.from_whom).startswith("Rowan Vale")
        assert fact.at == offer.at
        assert " ".join(filter(None, (str(fact.value), str(fact.unit or "")))) == (offer.words or "No words"), place


def test_a_value_is_taken_exactly_and_what_is_the_same_is_not_written_again(taken: Taken) -> None:
    ida = taken.after.person(InfantIdentity, taken.second.ida)
    told = {(one.form, str(one.path)): one for one in gathered(taken.found) if one.form is not None}
    assert ida.birth_weight == told[InfantIdentity, "birth_weight"].value
    assert (ida.gestation_weeks, ida.gestation_days) == (35, 2)
    assert ida.tag_shape == "triangle", "a practice's own mark is not another's to change"
    assert {one.offer.path for one in taken.shown if one.way is Way.STANDS} >= {
        Path("legal_name"), Path("sex"), Path("born"),
    }  # fmt: skip
    weights = Counter(e.answers.taken.at for e in taken.after.all(WeightReading, taken.second.ida))  # type: ignore[union-attr]
    assert set(weights.values()) == {1}, "a weight that stands was taken once more"
    assert len(weights) == 4


def test_undo_takes_out_step_after_step_and_what_was_its_own_stands_again(
    papers: tuple[dict[str, bytes], bytes], tmp_path: Folder
) -> None:
    second = second_practice(tmp_path / "store")
    store = second.store
    before = sorted(map(repr, answers(store.chart(second.family, second.visit))))
    found = read_file(papers[0][Paper.REPORT], zone=ZONE, now=second.clock(), roots=(papers[1],))
    steps = 0
    for offer in gathered(found):
        if steps == UNDO_STEPS:
            break
        one = faced(found, offer, store.chart(second.family, second.visit), second.ida, second.ids())
        if one.way in (Way.ANSWER, Way.INSTEAD, Way.BESIDE):
            store.write(tuple(take(one, found, second.family, second.ids())), author=second.author)
            steps += 1
    assert steps == UNDO_STEPS
    assert sorted(map(repr, answers(store.chart(second.family, second.visit)))) != before
    for _ in range(steps):
        store.undo(second.author)
    assert sorted(map(repr, answers(store.chart(second.family, second.visit)))) == before
    store.close()


def test_its_own_paper_does_not_give_the_first_practices_words_for_its_own(taken: Taken) -> None:
    """Last of the tests that share what was taken: the visit is signed here."""
    second = taken.second
    second.store.sign(second.visit, author=second.author)
    adopted = {(one.offer.form, str(path)) for one in into_questions(taken) if one.own for path, _, _ in one.own.puts}
    in_words = {
        str(one.offer.value) for one, kept in taken.steps
        if (one.own is None or kept) and isinstance(one.offer.value, str) and " " in one.offer.value
    }  # fmt: skip
    in_words -= {str(value) for _, _, value in answers(taken.before)}
    puts = [value for one in into_questions(taken) if one.own for _, value, _ in one.own.puts]
    named = " ".join((taken.found.author, *map(str, puts)))
    in_words = {words for words in in_words if words not in named}
    assert len(in_words) > 10
    for kind in (Paper.SUMMARY, Paper.REPORT):
        paper = second.paper(kind)
        record, found = taken_out(paper)[RECORD].decode(), read_file(paper, zone=ZONE, now=second.clock())
        assert found.author == "Hazel Brook"
        assert [words for words in in_words if words in record] == []
        theirs = {(one.form, str(one.path)) for one in found.offers if one.author.startswith("Rowan Vale")}
        ours = [one for one in found.offers if one.author == "Hazel Brook"]
        assert len(theirs) > 10
        assert theirs <= adopted
        assert len(ours) + sum(one.author.startswith("Rowan Vale") for one in found.offers) == len(found.offers)
        own = {(form, path) for form, path in adopted if form is not WeightReading}
        assert own & {(one.form, str(one.path)) for one in ours} == set()
        for one in found.offers:
            if one.path == Path("gestation_weeks"):
                assert one.at == next(step.offer.at for step in into_questions(taken) if step.offer.path == one.path)
