"""Reading what was typed: an answer, or one sentence and nothing changed."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest

from forms.answers import Moment, Quantity
from forms.ask import Ask, Kind, NotCoded, NotPrinted
from forms.reading import read, read_day
from forms.trouble import Refused


def ask(kind: Kind, **more: Any) -> Ask:
    return Ask("Answer", kind, NotPrinted("a test"), NotCoded("a test"), **more)


# House bounds, no source: 300 to 25,000 g.
WEIGHT = ask(Kind.QUANTITY, units=("g", "kg", "lb_oz"), low=300, high=25_000)
MINUTES = ask(Kind.COUNT, low=0, high=60)
NEW_YORK = "America/New_York"


@pytest.mark.parametrize(
    ("typed", "unit", "kept"),
    [
        ("3110", "g", Quantity("3110", "g", 3110)),
        ("3.110", "kg", Quantity("3.110", "kg", 3110)),
        ("3,110", "kg", Quantity("3,110", "kg", 3110)),
        ("7 lb 8.5 oz", None, Quantity("7 lb 8.5 oz", "lb_oz", 3416)),
        ("7 8.5", "lb_oz", Quantity("7 8.5", "lb_oz", 3416)),
        ("3.4 kg", "g", Quantity("3.4 kg", "kg", 3400)),
        ("300", "g", Quantity("300", "g", 300)),
        ("25000", "g", Quantity("25000", "g", 25_000)),
    ],
)
def test_a_weight_is_kept_with_its_typed_characters(typed: str, unit: str | None, kept: Quantity) -> None:
    assert read(WEIGHT, typed, unit) == kept


@pytest.mark.parametrize(
    ("typed", "unit", "says"),
    [
        ("3400", None, "which unit"),
        ("7 8.5", None, "which unit"),
        ("3.4", "g", "from 300 g"),
        ("34000", "g", "to 25,000 g"),
        ("299", "g", "from 300 g"),
        ("25001", "g", "25,000 g"),
        ("heavy", "g", "number"),
        ("heavy", None, "number"),
        ("3400 stone", "g", "g or kg"),
        ("60", "mL", "not taken in that unit"),
    ],
)
def test_a_weight_out_of_bounds_or_without_a_unit_is_refused(typed: str, unit: str | None, says: str) -> None:
    with pytest.raises(Refused, match=says):
        read(WEIGHT, typed, unit)


@pytest.mark.parametrize("typed", ["61", "-1", "12.5", "soon", "1,000", "5 5"])
def test_a_minutes_box_refuses_what_is_no_minute_count(typed: str) -> None:
    with pytest.raises(Refused):
        read(MINUTES, typed)


def test_a_minutes_box_takes_both_of_its_edges() -> None:
    assert (read(MINUTES, "0"), read(MINUTES, "60")) == (0, 60)


def test_a_scale_takes_whole_numbers_from_its_low_to_its_high_end() -> None:
    pain = ask(Kind.SCALE, low=0, high=10)
    assert [read(pain, str(n)) for n in (0, 10)] == [0, 10]
    for typed in ("11", "4.5"):
        with pytest.raises(Refused):
            read(pain, typed)


def test_an_empty_box_is_no_answer_and_never_a_zero() -> None:
    for each in Kind:
        units = ("g",) if each is Kind.QUANTITY else ()
        assert read(ask(each, units=units, low=0, high=9), "") is None


def test_long_text_emoji_and_arabic_names_are_kept_whole() -> None:
    long = "ب👶🏽’ " * 25_000
    assert read(ask(Kind.TEXT), long) == long
    for name in ("نور الهدى", "O’Shea-N'Dour", "Sukarno", " spaced "):
        assert read(ask(Kind.LINE), name) == name


@pytest.mark.parametrize("typed", [" ", "\t ", "\u00a0\u2003"])
def test_a_family_name_of_only_spaces_is_refused(typed: str) -> None:
    with pytest.raises(Refused, match="only spaces"):
        read(ask(Kind.LINE), typed)


@pytest.mark.parametrize("typed", ["two\nlines", "nul\0", "half \ud83d emoji"])
def test_a_line_that_cannot_be_kept_whole_is_refused(typed: str) -> None:
    with pytest.raises(Refused):
        read(ask(Kind.LINE), typed)


def test_a_choice_is_read_from_its_code_or_its_words() -> None:
    state = ask(Kind.CHOICE, options={"asleep": "Fast asleep", "awake": "Awake"})
    assert read(state, "asleep") == read(state, "fast asleep") == read(state, ("asleep",)) == "asleep"
    with pytest.raises(Refused):
        read(state, "drowsy")
    with pytest.raises(Refused):
        read(state, ("asleep", "awake"))


def test_several_answers_come_in_declared_order_and_one_that_stands_alone_stands_alone() -> None:
    signs = ask(Kind.MANY, options={"red": "Red", "crack": "Crack", "none": "None seen"}, alone=("none",))
    assert read(signs, ("crack", "red", "crack")) == ("red", "crack")
    assert read(signs, "none") == ("none",)
    with pytest.raises(Refused, match="stands alone"):
        read(signs, ("none", "red"))


def test_yes_and_no_are_read_and_nothing_else() -> None:
    assert (read(ask(Kind.YES_NO), "Yes"), read(ask(Kind.YES_NO), "no")) == (True, False)
    with pytest.raises(Refused):
        read(ask(Kind.YES_NO), "maybe")


def test_a_reference_is_an_entry_id() -> None:
    assert read(ask(Kind.REF), "a" * 32) == "a" * 32
    assert read(ask(Kind.REFS), ("a" * 32, "b" * 32, "a" * 32)) == ("a" * 32, "b" * 32)
    with pytest.raises(Refused):
        read(ask(Kind.REF), "Mara")


@pytest.mark.parametrize(
    "typed", ["2026-03-02", "2 Mar 2026", "2 March 2026", "Mar 2, 2026", "Mon 2 Mar 2026", "02.03.2026", "3/2/2026"]
)
def test_a_day_is_read_when_it_can_be_read_one_way(typed: str) -> None:
    if "." in typed or "/" in typed:
        with pytest.raises(Refused, match="month as a word"):
            read_day(typed)
    else:
        assert read_day(typed) == date(2026, 3, 2)


def test_figures_that_can_only_be_one_day_are_read() -> None:
    assert read_day("31/03/2026") == read_day("3/31/2026") == date(2026, 3, 31)


@pytest.mark.parametrize("typed", ["30 Feb 2026", "2026-13-01", "yesterday", "32/13/2026"])
def test_a_day_that_is_not_in_the_calendar_is_refused(typed: str) -> None:
    with pytest.raises(Refused):
        read(ask(Kind.DAY), typed)


@pytest.mark.parametrize("typed", ["2026-03-05 14:00", "5 Mar 2026 2:00 pm", "2026-03-05T14:00", "5 Mar 2026, 14.00"])
def test_a_date_with_a_time_is_an_instant_in_its_zone(typed: str) -> None:
    assert read(ask(Kind.MOMENT), typed, zone=NEW_YORK) == Moment(datetime(2026, 3, 5, 19, tzinfo=UTC), NEW_YORK)


def test_a_time_the_clocks_skipped_is_refused() -> None:
    with pytest.raises(Refused, match="skipped"):
        read(ask(Kind.MOMENT), "8 Mar 2026 02:30", zone=NEW_YORK)


def test_a_time_the_clocks_showed_twice_asks_which() -> None:
    twice = ask(Kind.MOMENT)
    with pytest.raises(Refused, match="twice"):
        read(twice, "1 Nov 2026 01:30", zone=NEW_YORK)
    first = read(twice, "1 Nov 2026 01:30 first", zone=NEW_YORK)
    second = read(twice, "1 Nov 2026 01:30 second", zone=NEW_YORK)
    assert (second.at - first.at).total_seconds() == 3600


@pytest.mark.parametrize(
    ("typed", "zone"),
    [
        ("5 Mar 2026", NEW_YORK),
        ("5 Mar 2026 24:10", NEW_YORK),
        ("5 Mar 2026 13:00 pm", NEW_YORK),
        ("5 Mar 2026 14:00", None),
        ("5 Mar 2026 14:00", "Nowhere/Here"),
        ("5 Mar 2026 14:00 second", NEW_YORK),
    ],
)
def test_a_time_that_says_too_little_is_refused(typed: str, zone: str | None) -> None:
    with pytest.raises(Refused):
        read(ask(Kind.MOMENT), typed, zone=zone)
