"""A chart with entries put in is the chart that would have been read with them in it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from forms.chart import Chart, Entry, Place, Struck
from forms.feed import FeedObservation
from forms.feed_event import FeedEvent
from forms.form import Form

NOW = datetime(2026, 3, 3, 15, 42, tzinfo=UTC)
FORMS: tuple[Form, ...] = (FeedEvent(what="swallow"), FeedEvent(what="click"), FeedObservation(observed="seen"))

one = st.builds(
    lambda number, answers, struck: Entry(
        f"{number:032x}",
        Place("feed_event", "f", "v"),
        answers,
        "a",
        NOW + timedelta(seconds=number),
        Struck("a", NOW, "test") if struck else None,
    ),
    st.integers(0, 12),
    st.sampled_from(FORMS),
    st.booleans(),
)


@given(st.lists(one, max_size=10, unique_by=lambda e: e.id), st.lists(st.lists(one, max_size=4), max_size=4))
def test_a_chart_with_entries_put_in_answers_as_one_read_anew(
    first: list[Entry[Form]], more: list[list[Entry[Form]]]
) -> None:
    chart = Chart("f", "v", tuple(first))
    for entries in more:
        chart = chart.with_entries(entries)
    anew = Chart("f", "v", chart.entries)
    assert len({e.id for e in chart.entries}) == len(chart.entries)
    assert all(chart.all(form) == anew.all(form) for form in (FeedEvent, FeedObservation))
    assert all(chart.by_id(e.id) is e for e in chart.entries)
    last = {e.id: e for entries in (first, *more) for e in entries}
    assert {e.id: e for e in chart.entries} == last
