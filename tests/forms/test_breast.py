"""A look at breasts or chest: what opens on which side, what a declined look closes, how a place is said."""

from __future__ import annotations

from typing import Any

import pytest

from forms.answers import Absence, Absent, Conflicted, Quantity, Side, Variant
from forms.ask import Need, Path, asks
from forms.blank import Level, Why
from forms.breast import BreastAssessment, BreastFinding
from forms.breast_codes import CLOCK, ENGORGEMENT, STAGE, TRAUMA
from forms.breast_seen import of_concern, place_words
from forms.chart import Chart, Entry
from forms.feed import FeedObservation
from forms.form import is_open, shown_asks, with_value
from forms.note import blanks, ready_to_sign
from forms.parent_history import ParentHistory
from forms.visit import Visit
from tests.helpers.whole_visit import IDA, MARA, START, add, at, entry, put, whole, without

LOOKED = BreastAssessment(consent="look_touch", feed_timing="after")


def looked(**given: Any) -> BreastAssessment:
    """A look with these answers; a side is named by its path, "damage@right" written damage_at_right."""
    answers: Any = LOOKED
    for name, value in given.items():
        answers = with_value(
            answers, Path.read(name.replace("_at_left", "@left").replace("_at_right", "@right")), value
        )
    made: BreastAssessment = answers
    return made


def two(*values: object) -> Conflicted:
    return Conflicted(tuple(Variant(v, "author", START, "device", f"op{n}") for n, v in enumerate(values)))


def musts(chart: Chart) -> set[tuple[str, str]]:
    return {(b.form, str(b.path or "")) for b in blanks(chart) if b.level is Level.MUST}


@pytest.mark.parametrize("consent", [None, "declined", "not_asked", Absent(Absence.DECLINED)])
def test_without_consent_given_now_only_the_first_question_and_the_words_are_asked(consent: object) -> None:
    assert [path.field for path, _, _ in shown_asks(BreastAssessment(consent=consent))] == ["consent", "more"]  # type: ignore[arg-type]


@pytest.mark.parametrize("consent", ["look_touch", "look", "stopped", "told"])
def test_a_look_that_was_agreed_to_asks_every_must_line_on_both_sides(consent: str) -> None:
    asked = {str(path) for path, ask, _ in shown_asks(BreastAssessment(consent=consent)) if ask.need is not Need.FREE}
    lines = ("shape", "surface", "fullness", "areola_swelling", "armpit", "skin", "lump", "tender", "nipple", "damage",
             "pain_rest", "pain_touch")  # fmt: skip
    sided = {f"{name}@{side}" for name in lines for side in Side}
    assert asked == {"consent", "feed_timing", "since_milk", "evenness", "spacing", *sided}


@pytest.mark.parametrize(
    ("path", "value", "opens"),
    [
        ("damage", ("crack",), {"trauma_score", "trauma_stage"}),
        ("skin", ("wedge",), {"skin_where", "skin_size", "skin_since", "skin_course"}),
        ("skin", ("warm",), {"skin_where", "skin_since", "skin_course"}),
        ("fullness", "firm", {"engorgement"}),
        ("areola_swelling", "much", {"areola_dent"}),
        ("nipple", ("inverted",), {"nipple_comes_out"}),
        ("colour_changes", ("white", "burning"), {"colour_when", "colour_minutes", "colour_course"}),
        ("discharge", ("blood",), {"discharge_ducts"}),
        ("expressed", "drops", {"expressed_amount", "expressed_comfort"}),
        ("marks", ("scar",), {"marks_where"}),
    ],
)
def test_a_follow_up_opens_in_place_on_the_side_that_fired_and_on_no_other(
    path: str, value: object, opens: set[str]
) -> None:
    before = {p for p, _, _ in shown_asks(LOOKED)}
    after = {p for p, _, _ in shown_asks(looked(**{f"{path}_at_right": value}))}
    assert after - before == {Path(name, Side.RIGHT) for name in opens}


@pytest.mark.parametrize(
    ("path", "value"), [("damage", ("none",)), ("skin", ("usual",)), ("fullness", "soft"), ("discharge", ("milk",))]
)
def test_the_plain_answer_opens_nothing(path: str, value: object) -> None:
    assert len(shown_asks(looked(**{f"{path}_at_left": value}))) == len(shown_asks(LOOKED))


def test_the_shape_after_a_feed_is_asked_only_after_one() -> None:
    assert is_open(looked(), Path("shape_after", Side.LEFT))
    assert not is_open(looked(feed_timing="before"), Path("shape_after", Side.LEFT))


def test_a_published_scale_keeps_every_mark_it_has_and_no_other() -> None:
    # Nipple Trauma Score 0 to 5, Abou-Dakn 2011 (tool S, levels M); four stages (1 to 3 S2, 4 M);
    # six-point rating 1 to 6, Hill and Humenick 1994 (range S, levels M).
    assert [words.split(":")[0] for words in TRAUMA.values()] == ["0", "1", "2", "3", "4", "5"]
    assert [words.split(":")[0] for words in STAGE.values()] == ["1", "2", "3", "4"]
    assert [words.split(":")[0] for words in ENGORGEMENT.values()] == ["1", "2", "3", "4", "5", "6"]
    for scale in (TRAUMA, STAGE, ENGORGEMENT):
        assert all(code.endswith(f"_{words.split(':')[0]}") for code, words in scale.items())


def test_skin_colour_has_words_beyond_red() -> None:
    assert {"darker", "pink", "purple", "brown", "paler"} <= set(asks(BreastAssessment)["skin"].options)


def test_a_place_is_said_in_one_breath() -> None:
    crack = BreastFinding(
        side="right", where="nipple", kind="crack", clock="hour_3", longest=Quantity("4", "mm", 4), depth="shallow"
    )
    assert place_words(crack) == "Right nipple, crack, 3 o'clock, 4 mm, shallow"
    lump = BreastFinding(
        side="left", where="breast", kind="lump", clock="hour_10", from_nipple=Quantity("30", "mm", 30),
        longest=Quantity("20", "mm", 20), across=Quantity("15", "mm", 15), feel="firm",
    )  # fmt: skip
    assert place_words(lump) == (
        "Left breast or chest, lump, 10 o'clock, 30 mm from the nipple, 20 mm by 15 mm, firm to the touch"
    )


def test_a_place_with_gaps_and_disputes_says_so_and_guesses_nothing() -> None:
    assert place_words(BreastFinding()) == "Side not said, not said what"
    assert "two answers stand" in place_words(BreastFinding(side="left", kind="lump", clock=two("hour_1", "hour_2")))
    assert "hour_77" in place_words(BreastFinding(side="left", kind="lump", clock="hour_77"))


def test_the_clock_has_twelve_hours() -> None:
    assert list(CLOCK.values()) == [f"{hour} o'clock" for hour in range(1, 13)]


@pytest.mark.parametrize(
    ("path", "value", "notched"),
    [
        ("damage_at_left", ("crack",), True),
        ("damage_at_left", ("none",), False),
        ("pain_touch_at_left", 4, True),  # 4 of 10: clinical reference, parent (M)
        ("pain_touch_at_left", 3, False),
        ("engorgement_at_left", "mark_5", False),  # closed while the fullness is not firm
        ("discharge_at_left", ("milk",), False),
        ("lump_at_left", two("none", "felt"), True),
        ("damage_at_left", Absent(Absence.DECLINED), False),
    ],
)
def test_a_side_is_notched_by_anything_of_note_and_by_nothing_else(path: str, value: object, notched: bool) -> None:
    answers = looked(**{path: value})
    assert of_concern(answers, Side.LEFT) is notched
    assert not of_concern(answers, Side.RIGHT)


def test_a_declined_look_is_whole_by_that_one_answer() -> None:
    chart = add(without(whole(), BreastAssessment), entry(BreastAssessment, MARA, consent="declined"))
    assert ready_to_sign(chart)
    assert [path.field for path, _, _ in shown_asks(chart.one(BreastAssessment, MARA))] == ["consent", "more"]


def test_a_first_visit_with_a_feed_misses_the_look() -> None:
    assert musts(without(whole(), BreastAssessment)) == {("breast_assessment", "consent")}


def test_a_first_visit_without_feed_or_pain_only_offers_it() -> None:
    chart = without(whole(), BreastAssessment)
    chart = put(chart, FeedObservation, "observed", "not_seen", MARA, IDA)
    for path, value in (("used@left", None), ("used@right", None)):
        chart = put(chart, FeedObservation, path, value, MARA, IDA)
    for side in Side:
        chart = put(chart, ParentHistory, f"pain_when@{side}", ("none",), MARA)
        for number in ("pain_now", "pain_worst"):
            chart = put(chart, ParentHistory, f"{number}@{side}", 0, MARA)
    assert ("breast_assessment", "consent") not in musts(chart)
    assert [b.level for b in blanks(chart) if b.form == "breast_assessment"] == [Level.SHOULD]
    sore = put(chart, ParentHistory, "pain_now@right", 1, MARA)
    assert ("breast_assessment", "consent") in musts(sore)


def test_a_later_visit_only_offers_it() -> None:
    before = entry(Visit, visit=None, named="before", start=at(-48), end=at(-47))
    chart = add(without(whole(), BreastAssessment), before)
    assert [b.level for b in blanks(chart) if b.form == "breast_assessment"] == [Level.SHOULD]


def test_a_lump_needs_its_place_on_its_own_side() -> None:
    chart = put(whole(), BreastAssessment, "lump@left", "felt", MARA)
    assert ("breast_finding", "") in musts(chart)

    def lump(side: str) -> Entry[Any]:
        return entry(BreastFinding, MARA, side=side, kind="lump")

    assert ("breast_finding", "") in musts(add(chart, lump("right")))
    assert ready_to_sign(add(chart, lump("left")))
    assert [b.why for b in blanks(chart)] == [Why.MISSING]


def test_a_side_answered_two_ways_keeps_the_note_open() -> None:
    chart = put(whole(), BreastAssessment, "damage@left", two(("none",), ("crack",)), MARA)
    assert ("breast_assessment", "damage@left") in musts(chart)
