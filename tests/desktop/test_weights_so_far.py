"""The weights of a baby on the family's page: the line, and beside it what is no weight of the line."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from pytestqt.qtbot import QtBot

from desktop.pages.caselines import traces_of
from desktop.pages.trace import trace_words
from desktop.pages.weights_so_far import WeightsSoFar
from forms.chart import Chart, Struck
from forms.weight import WeightReading
from tests.forms.clinical.charted import BABY, NOW, ZONE, charted, entry, grams, weight
from tests.helpers.visits import said

HOUR = timedelta(hours=1)


def three_kinds() -> Chart:
    """A bare weight, one in clothes around a feed, one struck out, and one whose time is not written."""
    around = weight(3740, NOW - HOUR, state="clothes", feed="c" * 32, feed_side="left", feed_point="before")
    slip = replace(weight(6300, NOW - 2 * HOUR), struck=Struck("author", NOW, "typing slip"))
    return charted(weight(3600, NOW - 3 * HOUR), around, slip, entry("9" * 32, WeightReading(weight=grams(3610)), BABY))


def test_a_weight_around_a_feed_and_a_struck_one_are_no_points_of_the_line() -> None:
    (trace,) = traces_of(three_kinds())
    assert [point.grams for point in trace.points] == [4000, 3600]
    assert [(one.grams, one.words) for one in trace.beside] == [
        (6300, "struck out: typing slip"),
        (3740, "around a feed, before, the feeder's left"),
    ]
    assert trace_words((trace,)) == "Baby: 2 weights, 4,000 g to 3,600 g"


def test_they_are_shown_beside_the_line_for_what_they_are(qtbot: QtBot) -> None:
    shown = WeightsSoFar(ZONE)
    qtbot.addWidget(shown)
    shown.show_traces(traces_of(three_kinds()))
    shown.show()
    words = said(shown)
    for expected in ("3,600 g", "Not in the line", "3,740 g", "around a feed, before", "struck out: typing slip",
                     "One weight is not shown: the time is not written yet."):  # fmt: skip
        assert expected in words


def test_a_weight_in_clothes_says_so_in_the_list(qtbot: QtBot) -> None:
    shown = WeightsSoFar(ZONE)
    qtbot.addWidget(shown)
    shown.show_traces(traces_of(charted(weight(3700, NOW - HOUR, state="clothes", source="seen"))))
    shown.show()
    assert "seen on the scale, in clothes" in said(shown)
