"""A fact goes out with the one it is about, whenever it was seen, and is offered once, however often a file tells it."""

from __future__ import annotations

import json
from typing import Any

import pytest

from forms.chart import Chart
from forms.closing import Closing, Loop
from forms.contact import Contact
from forms.papers.visit_summary import visit_summary
from forms.weight import WeightReading
from sync.handoff.document import record_bytes, visit_bundle
from sync.handoff.reading.held import HandOver, Offer
from sync.handoff.reading.read import read_file
from tests.helpers import thornbury as t
from tests.helpers.handed_over import observed

Bundle = dict[str, Any]


def summary_of(who: str, *entries: Any) -> Bundle:
    chart: Chart = t.whole(*entries)
    outline = visit_summary(chart, who, writer=t.WRITER, now=t.NOW)
    bundle = visit_bundle(chart, paper=outline.kind, writer=t.WRITER, now=t.NOW, about=outline.about)
    return json.loads(record_bytes(bundle))  # type: ignore[no-any-return]


def read(bundle: Bundle) -> HandOver:
    return read_file(json.dumps(bundle).encode(), zone=t.ZONE, now=t.NOW)


def of(found: HandOver, form: str) -> dict[str, Offer]:
    return {str(one.path): one for one in found.offers if one.form is not None and one.form.name == form}


def call(**more: Any) -> Any:
    return t.entry(
        Contact, named="call", visit=None, channel="phone", at=t.local(4, 9), said="All goes well at home.",
        told_weight=t.grams(2700), told_wets=7, **more,
    )  # fmt: skip


@pytest.mark.parametrize(("concerns", "about", "of_ida", "of_juno"), [
    ((), t.JUNO, {"channel", "at", "said"}, {"channel", "at", "said", "told_about", "told_weight", "told_wets"}),
    ((t.IDA,), t.JUNO, {"channel", "at", "said", "concerns"}, {"at", "told_about", "told_weight", "told_wets"}),
    ((t.JUNO,), t.JUNO, set(), {"channel", "at", "said", "concerns", "told_about", "told_weight", "told_wets"}),
])  # fmt: skip
def test_numbers_told_in_a_call_about_one_twin_never_arrive_as_the_others(
    concerns: tuple[str, ...], about: str, of_ida: set[str], of_juno: set[str]
) -> None:
    told = call(concerns=concerns, told_about=about)
    assert set(of(read(summary_of(t.IDA, told)), "contact")) == of_ida
    assert set(of(read(summary_of(t.JUNO, told)), "contact")) == of_juno


def test_what_care_left_open_for_one_twin_does_not_go_out_with_the_other() -> None:
    closing = t.entry(Closing, named="end", visit=None, goal_words="Juno feeds well.", covers=(t.JUNO,))
    open_task = t.entry(Loop, named="loop", visit=None, closing="end", of="task3", owner="family")
    for who, forms in ((t.IDA, set()), (t.JUNO, {"closing"}), (t.MARA, set())):
        found = read(summary_of(who, closing, open_task))
        assert {name for name in ("closing", "loop") if of(found, name)} == forms, who
    both = t.entry(Closing, named="end", visit=None, goal_words="Both feed well.", covers=(t.IDA, t.JUNO))
    found = read(summary_of(t.IDA, both, open_task))
    assert {name for name in ("closing", "loop") if of(found, name)} == {"closing", "loop"}


def test_a_babys_weights_of_every_visit_arrive_and_those_around_an_earlier_feed_do_not() -> None:
    before = t.entry(
        WeightReading, t.IDA, named="w8", visit="an earlier visit", weight=t.grams(2600), taken=t.local(20, 9, 0, 2),
        source="seen",
    )  # fmt: skip
    around = t.entry(
        WeightReading, t.IDA, named="w9", visit="an earlier visit", weight=t.grams(2611), taken=t.local(20, 9, 30, 2),
        source="seen", feed="a feed of then", feed_point="after",
    )  # fmt: skip
    found = read(summary_of(t.IDA, before, around))
    weights = sorted(one.words for one in found.offers if one.form is WeightReading and str(one.path) == "weight")
    assert weights == ["2520 g", "2600 g", "2680 g"]


def test_what_was_seen_of_a_pair_arrives_with_either_as_it_stands_on_their_pages() -> None:
    for who in (t.MARA, t.IDA):
        assert of(read(summary_of(who)), "feed")["pain_at_latch@left"].value == 6
    assert of(read(summary_of(t.JUNO)), "feed") == {}


def weighed(bundle: Bundle) -> Bundle:
    """The observation of the weight of the visit."""
    return next(
        one["resource"] for one in bundle["entry"] if one["resource"].get("valueQuantity", {}).get("value") == 2680
    )


def plain(found: HandOver) -> list[str]:
    return [one.words for one in found.offers if "Observation" in one.entry]


def test_a_measurement_that_says_which_answer_it_repeats_and_differs_from_it_is_offered_beside_it() -> None:
    bundle = summary_of(t.IDA)
    assert plain(read(bundle)) == []
    weighed(bundle)["valueQuantity"]["value"] = 2860
    assert plain(read(bundle)) == ["2860 g"]
    weighed_again = summary_of(t.IDA)
    weighed(weighed_again)["status"] = "entered-in-error"
    assert [one.barred for one in read(weighed_again).offers if "Observation" in one.entry] == [True]


def test_two_weights_that_are_equal_and_of_other_days_are_two_facts() -> None:
    bundle = summary_of(t.IDA)
    same = weighed(bundle)
    for at, told in (("2026-03-09T08:00:00-04:00", ["2680 g"]), (same["effectiveDateTime"], [])):
        more = observed("29463-7", 2680, "g", effectiveDateTime=at, subject=same["subject"])
        entry = [*bundle["entry"], {"fullUrl": "urn:uuid:more", "resource": more}]
        assert plain(read({**bundle, "entry": entry})) == told
