"""An end never lies before its beginning: the answer is refused with one sentence, whichever of the two comes last."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

import forms.all  # noqa: F401 - fills the catalogue
from forms.answers import Absence, Absent, Moment, Side, Sided
from forms.ask import Kind, Path, asks
from forms.feed import FeedObservation
from forms.feeding_log import LogLine
from forms.form import catalog, in_order
from forms.trouble import Refused

AT = Moment(datetime(2026, 3, 10, 8, tzinfo=UTC), "UTC")
SOONER = Moment(AT.at - timedelta(minutes=1), "UTC")


def test_a_feed_that_would_end_before_it_began_is_refused_with_what_to_do() -> None:
    with pytest.raises(Refused) as refused:
        in_order(LogLine(starts=AT), Path("ends"), SOONER)
    assert refused.value.sentence == "“Ended” would lie before “Began”. Check the day and the time of both."
    with pytest.raises(Refused):
        in_order(LogLine(ends=SOONER), Path("starts"), AT)


def test_an_end_at_its_beginning_an_absence_and_an_untouched_beginning_are_taken() -> None:
    in_order(LogLine(starts=AT), Path("ends"), AT)
    in_order(LogLine(), Path("ends"), SOONER)
    in_order(LogLine(starts=AT), Path("ends"), Absent(Absence.NOT_ASKED))
    in_order(LogLine(starts=AT), Path("kind"), "left")


def test_each_side_has_an_order_of_its_own() -> None:
    feed = FeedObservation(latched=Sided(AT, None))
    in_order(feed, Path("let_go", Side.RIGHT), SOONER)
    with pytest.raises(Refused):
        in_order(feed, Path("let_go", Side.LEFT), SOONER)


def test_what_cannot_lie_before_something_names_a_moment_of_its_own_form_with_the_same_sides() -> None:
    for form in catalog().values():
        for ask in asks(form).values():
            if ask.not_before:
                first = asks(form)[ask.not_before]
                assert (ask.kind, first.kind, ask.sides) == (Kind.MOMENT, Kind.MOMENT, first.sides)
