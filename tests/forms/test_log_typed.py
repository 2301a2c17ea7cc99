"""A typed line of a family's log: what it says, what it asks, what it refuses, and that nothing typed is dropped."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.answers import Absence, Absent, Moment, Quantity
from forms.ask import asks
from forms.feeding_log import LINE_SOURCE, LogLine
from forms.infant import STOOL_COLOURS
from forms.log_typed import read_line
from forms.log_vocabulary import EXAMPLES, GROUPS, PHRASES
from forms.log_written import same_line, written
from forms.trouble import Refused
from tests.helpers.log_lines import MARA, lines, setting


def mL(typed: str, base: int | None = None) -> Quantity:  # noqa: N802 - the unit as it is written
    return Quantity(typed, "mL", int(typed) if base is None else base)


def said(typed: str, **more: Any) -> dict[str, Any]:
    """The answers of a line without its times."""
    line = read_line(typed, setting(**more)).line
    return {
        name: value
        for name in asks(LogLine)
        if (value := getattr(line, name)) is not None and name not in ("starts", "ends")
    }


def time_of(given: object) -> str:
    assert isinstance(given, Moment)
    return given.local().isoformat()[:16].replace("T", " ")


def refusal(typed: str, **more: Any) -> str:
    with pytest.raises(Refused) as caught:
        read_line(typed, setting(**more))
    return caught.value.sentence


BOTH = {"kind": "both"}
LINES: tuple[tuple[str, dict[str, Any]], ...] = (
    ("0210 l 15", {"kind": "left", "minutes_left": 15}),
    ("2:10 left 15 min", {"kind": "left", "minutes_left": 15}),
    ("15 min left 0210", {"kind": "left", "minutes_left": 15}),
    ("0210 l15", {"kind": "left", "minutes_left": 15}),
    ("0210 l", {"kind": "left"}),
    ("0210 l ?", {"kind": "left"}),
    ("6.15 r 10 wet", {"kind": "right", "minutes_right": 10, "wet": True}),
    ("2:10 l 15 r 10", BOTH | {"minutes_left": 15, "minutes_right": 10}),
    ("2:10 l 15, r ?", BOTH | {"minutes_left": 15}),
    ("2pm both 20 spit", BOTH | {"minutes_together": 20, "brought_up": "little"}),
    ("0210 l+r 20", BOTH | {"minutes_together": 20}),
    ("0210 lr 20 each", BOTH | {"minutes_left": 20, "minutes_right": 20}),
    ("0430 bottle own 60", {"kind": "bottle", "milk": "own", "amount": mL("60")}),
    ("0430 60ml own bottle", {"kind": "bottle", "milk": "own", "amount": mL("60")}),
    # 2 x 29.5735295625 = 59.147 mL and 1.5 x 29.5735295625 = 44.36 mL (exact definition of the US fluid ounce)
    ("0430 bo f 2 oz", {"kind": "bottle", "milk": "formula", "amount": Quantity("2", "fl_oz", 59)}),
    ("0430 bo f 1,5 fl oz", {"kind": "bottle", "milk": "formula", "amount": Quantity("1,5", "fl_oz", 44)}),
    ("0430 bo f ?", {"kind": "bottle", "milk": "formula"}),
    ("0430 feeding tube donor 15", {"kind": "feeding_tube", "milk": "donor", "amount": mL("15")}),
    ("0430 tb l 20 formula 15", {"kind": "tube_breast", "milk": "formula", "amount": mL("15"), "minutes_left": 20}),
    ("0500 p l 40 r 25", {"kind": "pumped", "pumped_left": mL("40"), "pumped_right": mL("25")}),
    ("0500 pumped 65", {"kind": "pumped", "pumped_together": mL("65")}),
    ("0800 wet stool yellow", {"kind": "diaper", "wet": True, "stool": "yellow"}),
    ("0800 dry yellow stool small", {"kind": "diaper", "wet": False, "stool": "yellow", "stool_small": True}),
    ("0800 d w no stool", {"kind": "diaper", "wet": True, "stool": "none"}),
    ("0800 s", {"kind": "diaper", "stool": "not_seen"}),
    ("0800 s dg", {"kind": "diaper", "stool": "dark_green"}),
    ("0800 l spit green", {"kind": "left", "brought_up": "green"}),
    ("0800 l no spit", {"kind": "left", "brought_up": "none"}),
    ("0800 l spit stool green", {"kind": "left", "brought_up": "little", "stool": "green"}),
    ("0800 l spit blood stool green", {"kind": "left", "brought_up": "blood", "stool": "green"}),
    ("0800 l by mara slept 90 min pain 3",
     {"kind": "left", "feeder": MARA, "slept": Quantity("90", "min", 90), "discomfort": 3}),
    ("0800 cup own 9 by “Aunt Bea”", {"kind": "cup", "milk": "own", "amount": mL("9"), "feeder_other": "Aunt Bea"}),
    ("0800 other “bath, no feed”", {"kind": "other", "kind_words": "bath, no feed"}),
    ("0800 l 5 note Fell asleep at once; 60 ml later?",
     {"kind": "left", "minutes_left": 5, "note": "Fell asleep at once; 60 ml later?"}),
    ("0800 l told", {"kind": "left", "source": "memory"}),
    ("? r 10", {"kind": "right", "minutes_right": 10}),
    ("٠٨٠٠ l ١٥", {"kind": "left", "minutes_left": 15}),
)  # fmt: skip


@pytest.mark.parametrize(("typed", "answers"), LINES, ids=[typed for typed, _ in LINES])
def test_a_line_gives_the_answers_that_it_says(typed: str, answers: dict[str, Any]) -> None:
    assert said(typed) == answers


@pytest.mark.parametrize("typed", [line for line, _ in EXAMPLES])
def test_every_example_of_the_help_is_a_line_that_can_be_typed(typed: str) -> None:
    assert said(typed)["kind"]


@pytest.mark.parametrize(
    ("typed", "before", "began", "asks_first"),
    [
        ("0930 l", "2026-03-03 08:00", "2026-03-03 09:30", False),
        ("0800 l", "2026-03-03 08:00", "2026-03-03 08:00", False),
        ("2pm l", "", "2026-03-02 14:00", True),  # the last 14:00 before Tue 10:42
        ("0210 l", "", "2026-03-03 02:10", True),
        ("12 am l", "2026-03-02 23:40", "2026-03-03 00:00", True),
        ("midnight l", "2026-03-02 23:40", "2026-03-03 00:00", True),
        ("noon l", "2026-03-02 11:00", "2026-03-02 12:00", False),
        ("next 0210 l", "2026-03-02 23:40", "2026-03-03 02:10", False),
        ("mon 0210 l", "2026-03-02 23:40", "2026-03-02 02:10", False),
        ("yesterday 0210 l", "", "2026-03-02 02:10", False),
        ("28 feb 9:05 pm l", "", "2026-02-28 21:05", False),
        ("2026-02-28 2105 l", "", "2026-02-28 21:05", False),
        ("tue 0210 l", "2026-03-02 09:00", "2026-03-03 02:10", False),
    ],
)
def test_a_line_is_put_at_or_after_the_one_before_and_a_day_not_typed_is_asked(
    typed: str, before: str, began: str, asks_first: bool
) -> None:
    found = read_line(typed, setting(before))
    assert (time_of(found.line.starts), bool(found.question)) == (began, asks_first)


@pytest.mark.parametrize(
    ("typed", "ends"),
    [
        ("tue 0210 to 0225 l", "2026-03-03 02:25"),
        ("mon 2340-0010 l", "2026-03-03 00:10"),
        ("mon 2340 l 15 until 12:05am", "2026-03-03 00:05"),
    ],
)
def test_an_end_is_the_first_such_time_after_the_beginning(typed: str, ends: str) -> None:
    assert time_of(read_line(typed, setting()).line.ends) == ends


REFUSED = (
    ("l 15", "", "Begin with the time, like 0210 or 2:10 pm, or with ? if it is not known."),
    ("0210", "", "Nothing says what this line was. Write l, r, both, bottle, pumped, diaper, or other with words."),
    ("0210 b 60", "", "“b” could be both or bottle. Write both, or bo for a bottle."),
    ("0210 blottle 60", "", "Perhaps “bottle”"),
    ("0210 l 15 bottle 60", "", "A side and another way to feed are two things."),
    ("0210 bottle cup 60", "", "two things of the same kind"),
    ("0210 l r 20", "", "Say which minutes are of which side"),
    ("0210 15 l 10 r", "", "Write each number behind its side"),
    ("0210 l 15 20", "", "Two numbers stand for “Minutes, feeder's left”"),
    ("0210 0215 l", "", "Two times stand in the line."),
    ("0210 l 300", "", "“Minutes, feeder's left” takes from 0 to 240; check the number."),
    ("0210 l 60 ml", "", "is not taken in that unit"),
    ("0210 bottle 60 min", "", "belongs to nothing here"),
    ("0210 bottle 600", "", "“Milk taken” takes from 0 mL"),
    ("0210 wet yellow", "", "write stool in front of the colour"),
    ("0210 l blood", "", "write spit blood"),
    ("0210 wet dry", "", "wet and not wet"),
    ("0210 l no 15", "", "“no” goes before wet, stool or spit."),
    ("0210 l slept", "", "A number stands behind “slept”"),
    ("0210 l slept 90", "", "Say which unit this is in"),
    ("0210 l diaper", "", "Say what was in the diaper"),
    ("0210 p l", "", "Here a side is kept with its number only"),
    ("0210 bottle pain 3", "", "does not go with “What it was: Bottle”"),
    ("0210 l ? ?", "", "“?” stands for a time, minutes or an amount not known."),
    ("0210 l by mara by joren", "", "Two people fed"),
    ("0210 l note", "", "Nothing stands behind “note”."),
    ("0210 other “bath", "", "Close the quotation mark."),
    ("2510 l", "", "There is no such time of day"),
    ("13 pm l", "", "With am or pm the hour runs from 1 to 12."),
    ("0210 to 0900 l", "", "The end would lie more than 4 h after the beginning."),
    ("? to 0225 l", "", "An end is kept with its beginning only."),
    ("today 2300 l", "", "is still to come"),
    ("0900 l", "2026-03-02 10:00", "09:00 is before 10:00 of the line before."),  # 23 h later is no next line
    ("0900 l", "2026-03-03 10:00", "09:00 is before 10:00 of the line before."),  # tomorrow is still to come
    ("mon l", "", "A day or “to” stands without its time."),
    ("30 feb 0210 l", "", "There is no such day in the calendar"),
    ("0210 l \x07", "", "A broken character from a copied text stands in the line."),
    ("0210 l note \ud800", "", "A broken character from a copied text stands in the line."),
    ("0210 l note " + "x" * 300, "", "A line has at most 300 characters."),
)  # fmt: skip


@pytest.mark.parametrize(("typed", "before", "sentence"), REFUSED, ids=[repr(typed[:24]) for typed, _, _ in REFUSED])
def test_what_cannot_be_read_is_refused_in_one_sentence_that_says_what_to_type(
    typed: str, before: str, sentence: str
) -> None:
    found = refusal(typed, before=before)
    assert sentence in found
    assert found.endswith(".")


def test_a_number_alone_is_refused_where_no_unit_is_set_and_taken_in_the_unit_that_is() -> None:
    assert "Say which unit" in refusal("0210 bottle 60", volume="")
    assert said("0210 bottle 2", volume="fl_oz")["amount"] == Quantity("2", "fl_oz", 59)


def test_a_side_is_of_the_feeder_set_and_a_bottle_is_of_nobody_until_one_is_named() -> None:
    assert said("0210 l", feeder=MARA)["feeder"] == MARA
    assert "feeder" not in said("0210 bo 60", feeder=MARA)
    assert "feeder" not in said("0210 l by ?", feeder=MARA)
    assert said("0210 l by Nan", feeder=MARA) == {"kind": "left", "feeder_other": "Nan"}


def test_an_hour_the_clocks_showed_twice_is_told_apart_or_refused_and_a_skipped_one_is_refused() -> None:
    # In New York the clocks went back on 2 Nov 2025 at 02:00 and forward on 9 Mar 2025 at 02:00.
    assert "showed this time twice" in refusal("2025-11-02 0130 l")
    first = read_line("2025-11-02 0130 first l", setting()).line.starts
    second = read_line("2025-11-02 0130 second l", setting()).line.starts
    assert isinstance(first, Moment)
    assert isinstance(second, Moment)
    assert (second.at - first.at).total_seconds() == 3_600
    assert "skipped this time" in refusal("2025-03-09 0230 l")


def test_every_word_fills_a_part_that_a_line_has_and_no_spelling_is_given_twice() -> None:
    spellings = [spelling for group in GROUPS for word in group.words for spelling in word.spellings]
    assert len(spellings) == len(set(spellings)) == len(PHRASES)
    by_part: dict[str, set[str]] = {}
    for word in PHRASES.values():
        by_part.setdefault(word.part, set()).add(word.code)
    options = {name: set(ask.options) for name, ask in asks(LogLine).items()}
    assert by_part["milk"] == options["milk"]
    assert by_part["kind"] | by_part["side"] | {"other"} == options["kind"]
    assert by_part["colour"] == set(STOOL_COLOURS) - {"not_seen"}
    assert by_part["source"] == set(LINE_SOURCE)
    assert by_part["manner"] | {"none", "green"} == options["brought_up"]


@given(lines())
def test_a_line_written_in_words_reads_back_as_the_same_line(line: LogLine) -> None:
    text = written(line, setting())
    assert text
    assert same_line(read_line(text, setting()).line, line)


def test_a_line_that_no_words_can_say_is_written_as_nothing_rather_than_in_part() -> None:
    assert written(LogLine(kind=Absent(Absence.NOT_ASKED)), setting()) == ""
    assert written(LogLine(kind="left", note="two\nlines"), setting()) == ""
    assert written(LogLine(kind="cup", feeder="c" * 32), setting()) == ""
    assert written(LogLine(), setting()) == ""


_PIECES = st.sampled_from([" ".join(phrase) for phrase in PHRASES] + ["0210", "2:10", "15", "60", "oz", "ml", "?", "-"])


@given(st.one_of(st.text(max_size=80), st.lists(_PIECES, max_size=9).map(" ".join)))
def test_no_characters_whatever_bring_more_than_a_refusal(typed: str) -> None:
    line = None
    with suppress(Refused):
        line = read_line(typed, setting("2026-03-02 23:40")).line
    assert line is None or line.kind
