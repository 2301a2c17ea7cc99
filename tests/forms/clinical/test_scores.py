"""Published tools: a total when every part stands, never one before; each row names its source."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path as Folder
from typing import Any

import pytest

from forms.answers import Absence, Absent, Conflicted, Variant
from forms.ask import Path, ask_of, asks
from forms.clinical.prompts import Level, prompts
from forms.clinical.scores import highest, kotlow_band, mood, mood_wrong, said, total
from forms.form import with_value
from forms.parent_history import ParentHistory
from forms.reading import read
from forms.scores import ITEMS, TOTALS, Score
from forms.trouble import Refused
from tests.forms.clinical.charted import NOW, charted

NOON = datetime(2026, 3, 3, 12, 0, tzinfo=UTC)


def latch(*parts: Any) -> Score:
    return Score(tool="latch", **dict(zip(ITEMS["latch"], parts, strict=True)))


def ibfat(*parts: Any) -> Score:
    return Score(tool="ibfat", **dict(zip(ITEMS["ibfat"], parts, strict=True)))


def btat(*parts: Any) -> Score:
    return Score(tool="btat", **dict(zip(ITEMS["btat"], parts, strict=True)))


@pytest.mark.parametrize(
    ("score", "added", "band"),
    [
        # Jensen, JOGNN 1994;23:27 (S): five parts of 0 to 2; below 7 look further. The check of the reference: 2 1 2 1 1.
        (latch(2, 1, 2, 1, 1), 7, ""),
        (latch(2, 1, 1, 1, 1), 6, "below 7: look further"),
        (latch(0, 0, 0, 0, 0), 0, "below 7: look further"),
        (latch(2, 2, 2, 2, 2), 10, ""),
        # Matthews, Midwifery 1988;4:154 (S range, M band): four parts of 0 to 3; 10 to 12 effective.
        (ibfat(3, 3, 2, 2), 10, "10 to 12, published as effective"),
        (ibfat(3, 3, 2, 1), 9, ""),
        (ibfat(3, 3, 3, 3), 12, "10 to 12, published as effective"),
        # Ingram, ADC Fetal Neonatal 2015;100:F344 (S); bands published with Int Breastfeed J 2019;14:31 (S).
        (btat(2, 1, 1, 1), 5, "5 or less, published as impaired"),
        (btat(2, 2, 1, 2), 7, "6 to 7, published as borderline"),
        (btat(2, 2, 1, 1), 6, "6 to 7, published as borderline"),
        (btat(2, 2, 2, 2), 8, "8, published as normal"),
        # Typed totals (ranges: Mulford 1992 M, Nyqvist 1996 S, BBAT 2014 S, TABBY 2019 S): no band is shown.
        (Score(tool="mba", mba_total=10), 10, ""),
        (Score(tool="pibbs", pibbs_total=0), 0, ""),
        (Score(tool="bbat", bbat_total=8), 8, ""),
        (Score(tool="tabby", tabby_total=5), 5, ""),
        # Two totals are never added, and its cut-offs differ between papers, so none is shown (Pediatrics 2002, S).
        (Score(tool="atlff", atlff_appearance=8, atlff_function=11), None, ""),
        (Score(tool="kotlow", kotlow_mm=11), None, "class II"),
        (Score(tool="coryllos", coryllos_type="four"), None, ""),
        (Score(), None, ""),
    ],
)
def test_a_total_and_its_published_band(score: Score, added: int | None, band: str) -> None:
    assert (total(score), said(score).band) == (added, band)


@pytest.mark.parametrize("tool", ITEMS)
@pytest.mark.parametrize("gap", [None, Absent(Absence.NOT_DONE, "asleep"), "two", 9, -1])
def test_a_tool_with_any_part_missing_disputed_or_out_of_range_has_no_total(tool: str, gap: Any) -> None:
    ones: Any = dict.fromkeys(ITEMS[tool], 1)
    whole = Score(tool=tool, **ones)
    assert total(whole) == len(ITEMS[tool])
    given = Conflicted((Variant(1, "a", NOON, "one", "op1"), Variant(1, "a", NOON, "two", "op2")))
    for part in ITEMS[tool]:
        short = with_value(whole, Path(part), given if gap == "two" else gap)
        assert isinstance(short, Score)
        assert total(short) is None
        assert said(short).words == f"incomplete, no total: {len(ITEMS[tool]) - 1} of {len(ITEMS[tool])} parts stand"
        assert said(short).band == ""


def test_a_tool_not_begun_says_incomplete_and_shows_no_zero() -> None:
    for tool in (*ITEMS, *TOTALS):
        assert total(Score(tool=tool)) is None
        assert said(Score(tool=tool)).words.startswith("incomplete")
    assert said(Score(tool="kotlow")).words == "incomplete, no length"
    assert said(Score(tool="coryllos")).words == "incomplete, no type"


# Generic description of the classes (S): above 16; I 12 to 16; II 8 to 11; III 3 to 7; IV below 3. Both sides of each edge.
@pytest.mark.parametrize(
    ("millimetres", "band"),
    [(17, "above 16 mm"), (16, "I"), (12, "I"), (11, "II"), (8, "II"), (7, "III"), (3, "III"), (2, "IV"), (0, "IV")],
)
def test_free_tongue_falls_into_its_class_of_whole_millimetres(millimetres: int, band: str) -> None:
    assert kotlow_band(millimetres) == band


def test_no_length_is_below_zero() -> None:
    with pytest.raises(ValueError, match="not below 0"):
        kotlow_band(-1)


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("latch_c", "4", "“C: comfort” takes from 0 to 2; check the number."),
        ("btat_tip", "4", "“Tip shape” takes from 0 to 2; check the number."),
        ("ibfat_root", "4", "“Rooting” takes from 0 to 3; check the number."),
        ("mba_total", "11", "“MBA total” takes from 0 to 10; check the number."),
        ("pibbs_total", "21", "“PIBBS total” takes from 0 to 20; check the number."),
        ("bbat_total", "9", "“BBAT total” takes from 0 to 8; check the number."),
        ("tabby_total", "9", "“TABBY total” takes from 0 to 8; check the number."),
        ("atlff_appearance", "11", "“ATLFF appearance total” takes from 0 to 10; check the number."),
        ("atlff_function", "15", "“ATLFF function total” takes from 0 to 14; check the number."),
        ("kotlow_mm", "11.5", "“Free tongue, whole mm” takes a whole number."),
    ],
)
def test_a_number_a_tool_cannot_have_is_refused_with_one_sentence(field: str, typed: str, sentence: str) -> None:
    with pytest.raises(Refused) as refused:
        read(ask_of(Score, field), typed)
    assert refused.value.sentence == sentence


def test_an_empty_box_of_a_tool_is_a_blank_and_never_zero() -> None:
    names = {name for group in (*ITEMS.values(), *TOTALS.values()) for name in group}
    assert {read(ask_of(Score, name), "") for name in names} == {None}
    assert {read(ask_of(Score, name), "0") for name in names} == {0}


def test_the_ends_of_the_parts_add_up_to_the_published_ends() -> None:
    # LATCH 10, IBFAT 12, BTAT 8 (S); MBA 10 (M), PIBBS 20, BBAT 8, TABBY 8 (S); ATLFF 10 and 14 (S).
    ends = {"latch": 10, "ibfat": 12, "btat": 8, "mba": 10, "pibbs": 20, "bbat": 8, "tabby": 8}
    assert {tool: highest(tool) for tool in ends} == ends
    assert (ask_of(Score, "atlff_appearance").high, ask_of(Score, "atlff_function").high) == (10, 14)


def test_each_number_of_a_tool_opens_with_its_own_tool_and_no_other() -> None:
    opened: dict[str, set[str]] = {}
    for name, ask in asks(Score).items():
        if ask.when is not None:
            for tool in ask.when.one_of:
                opened.setdefault(str(tool), set()).add(name)
    wanted = {tool: set(names) for tool, names in {**ITEMS, **TOTALS}.items()}
    wanted |= {"kotlow": {"kotlow_mm"}, "coryllos": {"coryllos_type"}}
    wanted["other"] |= {"tool_name"}
    assert opened == wanted
    assert set(opened) == set(ask_of(Score, "tool").options)


def test_what_may_be_kept_of_each_tool_and_its_rights_stand_in_the_sources() -> None:
    told = (Folder(__file__).parents[3] / "forms" / "SOURCES.md").read_text("utf-8")
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in told.splitlines() if line.startswith("|")]
    listed = {row[0]: row for row in rows if len(row) == 5 and row[0] in ask_of(Score, "tool").options}
    assert set(listed) == set(ask_of(Score, "tool").options)
    assert all(row[3] and row[4] in ("S", "S2", "M", "P") for row in listed.values())
    for tool in (*ITEMS, *TOTALS):
        if tool not in ("atlff", "other"):
            assert f"0 to {highest(tool)}" in listed[tool][2], tool


def test_a_raters_caution_stands_beside_every_tool_about_the_tongue() -> None:
    scores = (btat(2, 2, 2, 2), btat(2, None, 2, 2), Score(tool="atlff", atlff_appearance=8, atlff_function=11))
    for score in (*scores, Score(tool="kotlow", kotlow_mm=11)):
        assert said(score).caution == "Raters disagree on such tools; findings for the provider’s evaluation."
    assert said(Score(tool="coryllos", coryllos_type="one")).caution.endswith("no measure of severity.")


def test_a_tool_or_type_of_a_newer_version_is_named_and_its_numbers_are_kept() -> None:
    assert said(Score(tool="from_later")).words == "of a newer version; its numbers are kept as they are"
    later = Score(tool="coryllos", coryllos_type="five")
    assert said(later).words == "type a choice of a newer version: five"


# Cox, BJPsych 1987;150:782 (S): 0 to 30, 10 and 13. Kroenke 2003, Arroll 2010 (S): 0 to 6, 3.
@pytest.mark.parametrize(
    ("form", "typed", "tenth", "words", "band"),
    [
        ("epds", 9, 0, "9 of 30", ""),
        ("epds", 10, 0, "10 of 30", "10 or more, published as possible"),
        ("epds", 12, 0, "12 of 30", "10 or more, published as possible"),
        ("epds", 13, 0, "13 of 30", "13 or more, published as likely"),
        ("epds", 30, 3, "30 of 30", "13 or more, published as likely"),
        ("epds", 13, None, "incomplete: the tenth item is blank", ""),
        ("epds", 13, Absent(Absence.DECLINED), "incomplete: the tenth item is blank", ""),
        ("epds", None, 0, "incomplete, no total", ""),
        ("phq_2", 2, None, "2 of 6", ""),
        ("phq_2", 3, None, "3 of 6", "3 or more: a full screen"),
        ("other", 21, None, "21, as typed", ""),
        (None, None, None, "no screen used", ""),
    ],
)
def test_a_mood_screen_in_words(form: Any, typed: Any, tenth: Any, words: str, band: str) -> None:
    told = mood(form, typed, tenth)
    assert (told.words, told.band) == (words, band)


@pytest.mark.parametrize(
    ("form", "typed", "tenth", "wrong"),
    [
        ("epds", 31, 0, "This screen’s total runs from 0 to 30; check it on its sheet"),
        ("phq_2", 7, None, "This screen’s total runs from 0 to 6; check it on its sheet"),
        ("epds", 2, 3, "The tenth item is higher than the total it is part of; check both on the sheet"),
        ("epds", 3, 3, ""),
        ("phq_2", 6, None, ""),
        ("epds", None, 3, ""),
    ],
)
def test_mood_numbers_that_cannot_be_so_are_named(form: Any, typed: Any, tenth: Any, wrong: str) -> None:
    assert mood_wrong(form, typed, tenth) == wrong
    if wrong:
        assert mood(form, typed, tenth).words == wrong


def test_a_mood_total_of_31_and_a_tenth_item_of_4_are_refused_as_typed() -> None:
    with pytest.raises(Refused) as total_refused:
        read(ask_of(ParentHistory, "screen_total"), "31")
    with pytest.raises(Refused) as item_refused:
        read(ask_of(ParentHistory, "screen_item_10"), "4")
    assert total_refused.value.sentence == "“Screen total” takes from 0 to 30; check the number."
    assert item_refused.value.sentence == "“Number of its tenth item” takes from 0 to 3; check the number."


# Cox 1987 (S), item 10 (S/M): the checks of the reference, through the rules themselves.
@pytest.mark.parametrize(
    ("typed", "tenth", "now", "levels"),
    [
        (9, 1, "no", {Level.SAME_DAY}),
        (9, 1, "yes", {Level.EMERGENCY, Level.SAME_DAY}),
        (9, 1, "not_answered", {Level.EMERGENCY, Level.SAME_DAY}),
        (9, 0, None, set()),
        (12, 0, None, {Level.PROMPT}),
        (9, None, None, set()),
    ],
)
def test_a_tenth_item_above_zero_counts_whatever_the_total_and_a_blank_one_is_not_zero(
    typed: int, tenth: int | None, now: str | None, levels: set[Level]
) -> None:
    told = {"screen_form": "epds", "screen_total": typed, "screen_item_10": tenth, "harm_thought_now": now}
    found = {prompt.level for prompt in prompts(charted(parent=told), NOW)}
    assert max(found, default=None) == max(levels, default=None)
