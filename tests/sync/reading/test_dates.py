"""A time from elsewhere keeps its instant, and the day on which it was lived where it was told."""

from __future__ import annotations

import pytest

from forms.people import InfantIdentity
from sync.handoff.reading.dates import another_day, moment_told
from sync.handoff.reading.ours import offers_of_answers
from sync.handoff.reading.shapes import Resources


@pytest.mark.parametrize(("told", "zone", "clock"), [
    ("2026-01-12T00:30:00-05:00", "America/Chicago", "2026-01-12 00:30"),
    ("2026-01-12T00:30:00-05:00", "America/New_York", "2026-01-12 00:30"),
    ("2026-07-12T23:45:00-04:00", "Europe/London", "2026-07-12 23:45"),
    ("2026-01-12T04:30:00Z", "America/New_York", "2026-01-11 23:30"),
    ("2026-01-12T04:30:00+05:30", "America/New_York", "2026-01-11 18:00"),
    ("2026-01-12T00:30:00+13:00", "America/New_York", "2026-01-12 00:30"),
    ("2026-01-12T00:30:00+14:00", "America/New_York", "2026-01-12 00:30"),
    ("2026-01-12T04:30:00+11:00", "Australia/Sydney", "2026-01-12 04:30"),
])  # fmt: skip
def test_a_time_told_by_another_clock_stays_on_the_day_it_was_lived_as_far_as_its_offset_tells(
    told: str, zone: str, clock: str
) -> None:
    moment = moment_told(told, zone)
    assert moment is not None
    assert f"{moment.local():%Y-%m-%d %H:%M}" == clock
    again = moment_told(moment.local().isoformat(), zone)
    assert again is not None
    assert again.at == moment.at


@pytest.mark.parametrize("told", [
    "2026-01-12", "2026-01-12T00:30:00", "2026-01", "noon", None, 7, "0001-01-01T00:00:00+09:00",
    "9999-12-31T23:59:59-12:00",
])  # fmt: skip
def test_what_is_no_time_with_its_offset_is_no_moment(told: object) -> None:
    assert moment_told(told, "America/New_York") is None


@pytest.mark.parametrize(
    "told", ["2026-01-12T00:30:00+05:30", "2026-01-12T00:30:00+09:30", "2026-01-12T00:30:00+00:00"]
)
def test_a_clock_that_cannot_be_kept_is_a_doubt_where_the_day_is_another_here(told: str) -> None:
    moment = moment_told(told, "America/New_York")
    (doubt,) = another_day(told, moment)
    assert "12 Jan" in doubt
    assert "11 Jan" in doubt


@pytest.mark.parametrize("told", ["2026-01-12T12:30:00+05:30", "2026-01-12T00:30:00+11:00", "2026-01-12T00:30:00Z"])
def test_the_same_day_and_a_clock_that_is_kept_are_no_doubt(told: str) -> None:
    assert another_day(told, moment_told(told, "America/New_York")) == ()


def test_a_birth_told_by_such_a_clock_carries_the_doubt_on_its_offer() -> None:
    said = {
        "resourceType": "QuestionnaireResponse",
        "item": [{"linkId": "born", "answer": [{"valueDateTime": "2026-01-12T00:30:00+05:30"}]}],
    }
    (offer,) = offers_of_answers(
        said, InfantIdentity, Resources(()), entry="0", person="baby", author="", zone="America/New_York", why=""
    )
    assert "12 Jan" in offer.doubts[0]
