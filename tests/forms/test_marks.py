"""Marks on outlines: one sentence for each, one place however it is given, and nothing lost on papers."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.answers import Absence, Absent, Conflicted, Quantity, Sided, Variant
from forms.ask import Path, Printed, asks
from forms.body_mark import KINDS, OUTLINES, BodyMark
from forms.breast import BreastAssessment
from forms.chart import Chart, Entry, Place, Struck, entry_id
from forms.form import is_open
from forms.look_due import lumps_without_a_place
from forms.mark_place import pointed, spots, told
from forms.mark_words import IN_THE_SENTENCE, direction, mark_words, spoken_mark
from forms.pictures.drawing import Line, Weave, Word
from forms.pictures.mark_signs import sign_of
from forms.pictures.marked import COLUMNS, marked, numbered, on_outline
from forms.pictures.outlines import OF_BABY, Spot, chest_spot, outline_of

NOW = datetime(2026, 3, 3, 15, 42, tzinfo=UTC)
MM4 = Quantity("4", "mm", 4)


def torn(*values: Any) -> Conflicted:
    return Conflicted(tuple(Variant(v, f"author {n}", NOW, f"device {n}", f"{n}") for n, v in enumerate(values)))


def crack(**more: Any) -> BodyMark:
    answers: dict[str, Any] = {
        "outline": "chest", "side": "right", "clock": "hour_3", "on_chest": "nipple", "kind": "crack", "longest": MM4,
    }  # fmt: skip
    return BodyMark(**{**answers, **more})


def test_a_mark_is_said_with_whose_side_the_hour_its_direction_what_it_is_and_its_size() -> None:
    assert mark_words(crack(), "Mara") == "Mara’s right nipple, 3 o'clock, toward the breastbone, crack, 4 mm"
    assert mark_words(crack(on_chest=None), "Mara") == "Mara’s right, 3 o'clock, toward the breastbone, crack, 4 mm"
    assert mark_words(crack(side="left"), "Mara") == "Mara’s left nipple, 3 o'clock, outer side, crack, 4 mm"


def test_a_screen_reader_says_a_mark_with_its_units_in_words() -> None:
    assert spoken_mark(crack()) == "Right nipple, damage, crack, 3 o'clock, 4 millimetres"
    one = Quantity("1", "mm", 1)
    assert spoken_mark(crack(longest=one)).endswith("1 millimetre")
    lump = crack(kind="lump", on_chest="breast", from_nipple=Quantity("4.5", "cm", 45), placed="told", longest=None)
    assert spoken_mark(lump) == "Right breast or chest, lump, 3 o'clock, 4.5 centimetres from the nipple"


def test_a_distance_read_off_the_outline_is_said_to_be_about_and_one_given_is_not() -> None:
    away = Quantity("4", "cm", 40)
    assert "about 4 cm from the nipple" in mark_words(crack(on_chest="breast", from_nipple=away, placed="pointed"))
    assert "about" not in mark_words(crack(on_chest="breast", from_nipple=away, placed="told"))


def test_a_baby_is_named_before_its_own_side() -> None:
    thigh = BodyMark(outline="body_front", on_body="thigh_left", kind="bruise")
    assert mark_words(thigh, "Ida") == "Ida’s left thigh, bruise"
    assert mark_words(replace(thigh, on_body=None), "Ida") == "Ida’s body, front, bruise"
    under = BodyMark(outline="tongue_lifted", on_mouth="under_tip", kind="frenulum")
    assert mark_words(under, "Ida") == "Ida, under the tip of the tongue, where the frenulum meets"


def test_where_two_answers_stand_the_sentence_says_so_and_takes_neither() -> None:
    for field, first, second in (
        ("kind", "crack", "graze"), ("clock", "hour_3", "hour_9"), ("side", "left", "right"),
        ("longest", MM4, Quantity("9", "mm", 9)), ("outline", "chest", "body_front"), ("tender", 3, 7),
    ):  # fmt: skip
        for words in (
            mark_words(crack(**{field: torn(first, second)}), "Mara"),
            spoken_mark(crack(**{field: torn(first, second)})),
        ):
            assert "two answers stand" in words, field
    assert "4 mm" not in mark_words(crack(longest=torn(MM4, Quantity("9", "mm", 9))))
    body = BodyMark(outline="body_front", on_body=torn("belly", "navel"), kind="rash")
    assert mark_words(body, "Ida") == "Ida’s body, front, where: two answers stand, rash"


def test_a_mark_of_which_nothing_was_said_is_still_a_sentence() -> None:
    assert mark_words(BodyMark()) == "Not said what"
    assert mark_words(BodyMark(outline="chest"), "Mara") == "Mara’s side not said, not said what"


@pytest.mark.parametrize(("side", "hour", "words"), [
    ("right", 12, "above"), ("right", 3, "toward the breastbone"), ("right", 6, "below"), ("right", 9, "outer side"),
    ("left", 3, "outer side"), ("left", 9, "toward the breastbone"), ("left", 1, "above, outer side"),
    ("right", 1, "above, toward the breastbone"), ("left", 7, "below, toward the breastbone"),
])  # fmt: skip
def test_the_direction_of_an_hour_is_that_of_the_side(side: str, hour: int, words: str) -> None:
    assert direction(side, f"hour_{hour}") == words


@given(st.sampled_from(("left", "right")), st.integers(1, 12))
def test_the_words_of_an_hour_agree_with_where_it_is_drawn(side: str, hour: int) -> None:
    spot = chest_spot(side, hour, from_nipple=60)
    assert spot is not None
    outline = outline_of("chest", side)
    x, nipple = outline.at(spot)[0], outline.middle[0]
    toward = (x > nipple) if side == "right" else (x < nipple)
    said = direction(side, f"hour_{hour}")
    if abs(x - nipple) > 0.5:
        assert ("breastbone" in said) == toward
        assert ("outer" in said) != toward


def placed(mark: BodyMark, **fields: Any) -> BodyMark:
    """A mark after its place was given in words, one answer after another."""
    for field, value in fields.items():
        mark = replace(mark, **told(mark, field, value))
    return mark


def pointed_at(outline: str, side: str, spot: Spot) -> BodyMark:
    values = pointed(outline, side, spot)
    assert values is not None
    return BodyMark(**values)


@given(st.sampled_from(("left", "right")), st.integers(1, 12), st.integers(6, 24))
def test_an_hour_and_a_distance_typed_give_the_entry_that_a_touch_there_gives(
    side: str, hour: int, halves: int
) -> None:
    away = Quantity(f"{halves / 2:g}", "cm", halves * 5)
    typed = placed(BodyMark(outline="chest", side=side), clock=f"hour_{hour}", from_nipple=away)
    (spot,) = spots(typed)
    assert replace(typed, placed="pointed") == pointed_at("chest", side, spot)
    assert typed.placed == "told", "only this says which of the two was given"


@given(st.sampled_from(OF_BABY), st.data())
def test_a_part_picked_from_the_list_gives_the_entry_that_a_touch_on_its_middle_gives(
    outline: str, data: st.DataObject
) -> None:
    region = data.draw(st.sampled_from(outline_of(outline).regions))
    field = {"mouth": "on_mouth", "tongu": "on_mouth", "body_": "on_body", "head_": "on_head"}[outline[:5]]
    typed = placed(BodyMark(outline=outline), **{field: region.code})
    (spot,) = spots(typed)
    assert replace(typed, placed="pointed") == pointed_at(outline, "", spot)


@given(st.sampled_from(("left", "right")), st.integers(0, 1000), st.integers(0, 1000))
def test_a_touch_answers_every_question_about_the_place_that_a_note_needs(side: str, x: int, y: int) -> None:
    mark = pointed_at("chest", side, Spot(x, y))
    assert (mark.x, mark.y, mark.side) == (x, y, side)
    for name in ("clock", "on_chest", "from_nipple"):
        opened = is_open(mark, Path(name))
        assert (getattr(mark, name) is not None) == opened, name


def test_an_hour_corrected_by_hand_takes_the_drawn_place_with_it() -> None:
    mark = pointed_at("chest", "right", Spot(736, 556))
    assert mark.clock == "hour_3"
    after = placed(mark, clock="hour_9")
    assert (after.from_nipple, after.y) == (mark.from_nipple, mark.y)
    assert isinstance(after.x, int)
    assert after.x < 523, "on the other side of the nipple"


def test_taking_an_answer_back_leaves_the_drawn_place_and_a_place_no_longer_known_is_taken_back() -> None:
    mark = pointed_at("chest", "right", Spot(736, 556))
    assert told(mark, "clock", None) == {"clock": None}
    assert told(mark, "clock", Absent(Absence.NOT_ASKED)) == {"clock": Absent(Absence.NOT_ASKED)}
    moved = placed(mark, outline="body_front")
    assert (moved.x, moved.y) == (None, None)
    assert moved.clock == "hour_3", "nothing else is taken"


def test_a_touch_beside_the_baby_marks_nothing() -> None:
    assert pointed("body_front", "", Spot(0, 0)) is None
    assert pointed("photo", "", Spot(0, 0)) == {"outline": "photo", "x": 0, "y": 0}


def test_both_places_of_a_conflict_stand_and_are_paired_by_who_put_them() -> None:
    mark = BodyMark(outline="body_front", x=torn(100, 200), y=torn(300, 400))
    assert spots(mark) == (Spot(100, 300), Spot(200, 400))
    assert spots(replace(mark, y=350)) == (Spot(100, 350), Spot(200, 350))
    assert spots(BodyMark()) == ()


# --- drawn ---------------------------------------------------------------------------------------------------------


def chart_of(*marks: BodyMark, struck: int | None = None) -> Chart:
    put = Place("body_mark", "f", "v", ("p",))
    gone = Struck("a", NOW, "a slip")
    return Chart("f", "v", tuple(
        Entry(f"m{n}", put, mark, "a", NOW, struck=gone if n == struck else None) for n, mark in enumerate(marks, 1)
    ))  # fmt: skip


def test_numbers_stay_when_another_mark_is_struck_out() -> None:
    marks = numbered(chart_of(crack(), crack(kind="lump"), crack(kind="scab"), struck=2), "p")
    assert [(one.number, one.entry.answers.kind) for one in marks] == [(1, "crack"), (3, "scab")]


def test_every_mark_on_an_outline_has_its_number_on_the_picture_and_its_sentence_in_the_table() -> None:
    drawn = [replace(placed(crack(), clock=f"hour_{hour}")) for hour in range(1, 13)]
    marks = numbered(chart_of(*drawn), "p")
    for wide in (90.0, 180.0):
        picture = marked(marks, "chest", "Mara", wide)
        assert picture.table.columns == COLUMNS
        assert [row[0] for row in picture.table.rows] == [str(n) for n in range(1, 13)]
        words = [
            part.text for part in picture.parts if getattr(part, "row", None) is not None and hasattr(part, "text")
        ]
        assert sorted(words, key=int) == [str(n) for n in range(1, 13)]
        assert {part.row for part in picture.parts if part.row is not None} == set(range(12))
        assert {"Mara’s right", "Mara’s left"} <= set(picture.words())


def test_on_a_wide_picture_the_parents_right_stands_on_the_left() -> None:
    picture = marked((), "chest", "Mara", 180.0)
    at = {part.text: part.x for part in picture.parts if isinstance(part, Word)}
    assert at["Mara’s right"] < 90 < at["Mara’s left"]
    assert picture.sentence == "Nothing is drawn on this outline."


def test_a_mark_in_conflict_is_drawn_hollow_at_both_places() -> None:
    mark = BodyMark(outline="body_front", x=torn(400, 600), y=torn(520, 520), kind="rash", on_body="belly")
    picture = marked(numbered(chart_of(mark), "p"), "body_front", "Ida", 100.0)
    rings = [part for part in picture.parts if isinstance(part, Line) and part.weave is Weave.DASHED]
    assert len(rings) == 2
    assert "2 places stand" in picture.table.rows[0][1]


def test_a_mark_without_a_place_keeps_its_row() -> None:
    picture = marked(
        numbered(chart_of(BodyMark(outline="head_above", kind="swelling")), "p"), "head_above", "Ida", 100.0
    )
    assert picture.table.rows == (("1", "Ida’s head, from above, swelling; no place on the outline yet"),)


def test_each_kind_has_a_sign_of_its_own() -> None:
    signs = {kind: sign_of(kind)(0.0, 0.0) for kind in KINDS}
    assert len(set(signs.values())) == len(KINDS)
    assert sign_of(None)(0.0, 0.0) not in signs.values()


def test_a_mark_whose_outline_is_in_conflict_stands_on_both() -> None:
    marks = numbered(chart_of(crack(outline=torn("chest", "body_front"))), "p")
    assert on_outline(marks, "chest", "right") == on_outline(marks, "body_front") == marks
    assert set(OUTLINES) == {"chest", *OF_BABY, "photo"}


def test_a_lump_that_is_drawn_needs_no_second_place() -> None:
    looked: Entry[Any] = Entry("b", Place("breast_assessment", "f", "v", ("p",)), BreastAssessment(), "a", NOW)
    answers = BreastAssessment(consent="look", lump=Sided("felt", None))
    looked = replace(looked, id=entry_id(BreastAssessment, "v", ("p",)), answers=answers)
    chart = chart_of(crack(kind="lump", side="right")).with_entry(looked)
    assert lumps_without_a_place(chart, "p") == ("left",)
    assert lumps_without_a_place(chart_of(crack(kind="lump", side="left")).with_entry(looked), "p") == ()


def test_every_question_of_a_mark_that_may_be_printed_is_in_its_sentence() -> None:
    assert {name for name, ask in asks(BodyMark).items() if isinstance(ask.paper, Printed)} <= set(IN_THE_SENTENCE)


def test_places_that_one_author_wrote_twice_on_one_device_are_both_kept() -> None:
    def twice(*values: int) -> Conflicted:
        return Conflicted(tuple(Variant(v, "author", NOW, "device", f"{v}") for v in values))

    assert len(spots(BodyMark(x=twice(100, 200), y=twice(300, 400)))) == 2
    assert len(spots(BodyMark(x=twice(100, 200), y=torn(300, 400)))) == 4, "unpaired, every combination is shown"


def test_a_mark_whose_side_was_taken_back_is_not_drawn_and_keeps_its_row() -> None:
    picture = marked(numbered(chart_of(crack(side=None)), "p"), "chest", "Mara", 180.0)
    assert picture.table.rows[0][1].endswith("no place on the outline yet")
    assert not [part for part in picture.parts if part.row is not None]


def test_the_rows_of_a_chest_stand_in_the_order_of_their_numbers_whichever_side_they_are_on() -> None:
    left = placed(crack(side="left"), clock="hour_1")
    picture = marked(numbered(chart_of(left, placed(crack(), clock="hour_2"), left), "p"), "chest", "Mara", 180.0)
    assert [row[0] for row in picture.table.rows] == ["1", "2", "3"]
    for part in picture.parts:
        if isinstance(part, Word) and part.row is not None:
            assert picture.table.rows[part.row][0] == part.text, "a number on the picture is that of its row"
