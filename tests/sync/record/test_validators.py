"""Every fault is refused between our check and two readers of other authors, and what we write is taken by each."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from demo_db.build import chart_all, new_store
from forms.ask import Paper
from forms.chart import Chart
from sync.handoff.check import problems
from sync.handoff.document import visit_bundle
from tests.helpers import thornbury as t
from tests.helpers.records import google_fhir, letter_record, pyrofile, written_to
from tests.sync.record.spoiled import FAULTS, spoiled

OURS = frozenset({
    "month thirteen", "30 February", "dangling reference", "unit grams", "number as text", "no Composition first",
    "reference to the wrong type", "LOINC typo", "script in narrative", "value and absent reason", "time without zone",
    "id with a space", "empty list", "document without timestamp",
})  # fmt: skip
"""What our own check refuses by itself; structure is left to readers that know all of R4."""


def small_letter() -> Chart:
    """The letter about Ida with her weights and nothing else, so that readers are quick."""
    chart = t.changed(t.whole(), t.LETTER, attachments=("weights",))
    return t.without(chart, "feed1")


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Mapping[str, list[str]]]:
    """What each reader says of each spoiled document and of the good one."""
    good = letter_record(small_letter())
    bundles = {"good": good, **spoiled(good)}
    files = written_to(tmp_path_factory.mktemp("spoiled"), bundles)
    told = {
        "ours": [list(problems(bundle)) for bundle in bundles.values()],
        "google": google_fhir(files),
        "pyrofile": pyrofile(files),
    }
    return {reader: dict(zip(bundles, found, strict=True)) for reader, found in told.items()}


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, Any]]:
    """The summary of each invented family's visit, and the letter of the one that has a letter."""
    store, clock, ids = new_store(tmp_path_factory.mktemp("demo") / "store")
    try:
        charted = chart_all(store, clock, ids)
        made = {}
        for name in ("twins", "bram", "linnet", "tobin", "fenna", "andres", "oswin", "arlo"):
            visit = getattr(charted, f"{name}_visit")
            chart = store.chart(getattr(charted, name).family, visit)
            made[name] = visit_bundle(chart, paper=Paper.SUMMARY, writer=charted.author, now=clock())
        letter = store.chart(charted.bram.family, charted.bram_visit)
        made["letter"] = visit_bundle(
            letter, paper=Paper.REFERRAL, writer=charted.author, now=clock(), referral=charted.referral
        )
    finally:
        store.close()
    return made


def test_the_good_document_is_taken_by_all_three(judged: Mapping[str, Mapping[str, list[str]]]) -> None:
    assert {reader: found["good"] for reader, found in judged.items()} == {"ours": [], "google": [], "pyrofile": []}


@pytest.mark.parametrize("fault", FAULTS)
def test_each_fault_is_refused_by_one_of_the_three(fault: str, judged: Mapping[str, Mapping[str, list[str]]]) -> None:
    assert [reader for reader, found in judged.items() if found[fault]]


def test_each_reader_refuses_as_many_as_is_written_down(judged: Mapping[str, Mapping[str, list[str]]]) -> None:
    caught = {reader: {fault for fault in FAULTS if found[fault]} for reader, found in judged.items()}
    assert len(FAULTS) == 20
    assert caught["ours"] == OURS
    assert {reader: len(found) for reader, found in caught.items()} == {"ours": 14, "google": 10, "pyrofile": 13}


def test_the_record_of_every_invented_family_is_taken_by_each(demo: dict[str, dict[str, Any]], tmp_path: Path) -> None:
    files = written_to(tmp_path, demo)
    assert [problems(bundle) for bundle in demo.values()] == [()] * len(files)
    assert google_fhir(files) == [[]] * len(files)
