"""Answers are written down and read back unchanged."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.answers import (
    Absence,
    Absent,
    Conflicted,
    Moment,
    Quantity,
    Side,
    Sided,
    Variant,
    decode,
    encode,
    every,
    known,
)
from forms.trouble import Unresolved

# Hypothesis takes its bounds without a zone.
EARLIEST, LATEST = datetime(1900, 1, 1), datetime(2100, 1, 1)  # noqa: DTZ001
text = st.text(st.characters(codec="utf-8"), max_size=40)
moments = st.builds(
    Moment,
    st.datetimes(EARLIEST, LATEST, timezones=st.just(UTC)),
    st.sampled_from(["UTC", "Europe/London", "Pacific/Auckland", "America/St_Johns"]),
)
single = st.one_of(
    st.booleans(),
    st.integers(-(2**40), 2**40),
    text,
    st.dates(),
    moments,
    st.builds(Quantity, text, st.sampled_from(["g", "kg", "lb_oz", "mL"]), st.integers(-(2**40), 2**40)),
    st.builds(Absent, st.sampled_from(Absence), text),
)
answers = st.one_of(st.none(), single, st.lists(single, max_size=5).map(tuple))


@given(answers)
def test_every_answer_comes_back_from_what_is_written_down(answer: object) -> None:
    written = encode(answer)
    assert decode(written) == answer
    assert type(decode(written)) is type(answer)
    assert decode(json.loads(json.dumps(written))) == answer


@given(answers, answers)
def test_different_answers_are_written_down_differently(one: object, other: object) -> None:
    if (type(one), one) != (type(other), other):
        assert json.dumps(encode(one)) != json.dumps(encode(other)) or one == other


@pytest.mark.parametrize("value", [1.5, datetime(2026, 3, 3, tzinfo=UTC), {"a": 1}, object(), Sided(1, 2)])
def test_what_is_no_answer_is_not_written_down(value: object) -> None:
    with pytest.raises(TypeError):
        encode(value)


@pytest.mark.parametrize("kept", [{"shade": "pale"}, [1, 2], {"nested": {"x": 1}}])
def test_a_shape_of_a_newer_version_comes_back_untouched(kept: object) -> None:
    assert decode(kept) == kept


@given(moments)
def test_a_moment_keeps_its_instant_and_shows_its_own_clock(moment: Moment) -> None:
    assert moment.at.tzinfo is UTC
    assert moment.local() == moment.at
    assert moment.local().tzinfo == ZoneInfo(moment.zone)


def test_a_moment_in_another_zone_is_the_same_instant() -> None:
    west = datetime(2026, 3, 3, 9, tzinfo=timezone(timedelta(hours=-5)))
    assert Moment(west, "UTC") == Moment(datetime(2026, 3, 3, 14, tzinfo=UTC), "UTC")
    with pytest.raises(ValueError, match="zone"):
        Moment(datetime(2026, 3, 3), "UTC")  # noqa: DTZ001 - a time without a zone is what is refused


def test_nothing_and_absence_are_no_value_and_a_conflict_gives_none_by_accident() -> None:
    variants = tuple(
        Variant(value, "a", datetime(2026, 3, 3, tzinfo=UTC), "d", "o") for value in (3, Absent(Absence.DECLINED), 4)
    )
    assert known(None) is None
    assert known(Absent(Absence.NONE)) is None
    assert known(0) == 0
    with pytest.raises(Unresolved):
        known(Conflicted(variants))
    assert every(Conflicted(variants)) == (3, 4)
    assert every(None) == every(Absent(Absence.NOT_DONE)) == ()
    assert every(0) == (0,)
    assert Sided(1, 2).on(Side.LEFT) == 1
    assert encode(date(2026, 3, 3)) == {"date": "2026-03-03"}
