"""Codes on a receipt, at the edges of their rules. Sources: ICD-10-CM, tabular notes and titles (S, clinical 12)."""

from __future__ import annotations

import pytest

from forms.clinical.visit_codes import CODES, remarks, tidy

LATER = ("R63.30", "R63.31", "R63.32", "R63.39")


def said(*codes: str, age: int | None = 10, of_baby: bool = True) -> list[str]:
    return [one.words for one in remarks(codes, age, of_baby=of_baby)]


@pytest.mark.parametrize("code", ["P92.1", "P92.2", "P92.3", "P92.4", "P92.5", "P92.8", "P92.9"])
def test_feeding_codes_of_a_newborn_stand_to_day_28_and_warn_from_day_29(code: str) -> None:
    assert said(code, age=28) == []  # S: P92 against R63.3-, "over 28 days old"
    (warned,) = remarks((code,), 29, of_baby=True)
    assert warned.instead == LATER
    assert "29 days" in warned.words


@pytest.mark.parametrize("code", LATER)
def test_feeding_codes_of_an_older_baby_stand_from_day_29_and_warn_to_day_28(code: str) -> None:
    assert said(code, age=29) == []  # S: same note
    (warned,) = remarks((code,), 28, of_baby=True)
    assert "P92.5" in warned.instead


def test_failure_to_thrive_goes_over_from_one_code_to_the_other_after_day_28() -> None:
    assert said("P92.6", age=28) == said("R62.51", age=29) == []  # S: P92.6 against R62.51
    assert [one.instead for one in remarks(("P92.6",), 29, of_baby=True)] == [("R62.51",)]
    assert [one.instead for one in remarks(("R62.51",), 28, of_baby=True)] == [("P92.6",)]


def test_vomiting_after_day_28_offers_no_feeding_code() -> None:
    assert said("P92.01", age=28) == []
    (warned,) = remarks(("P92.01",), 29, of_baby=True)  # S: P92.0 against R11.-
    assert warned.instead == ()
    assert "R11.-" in warned.words


@pytest.mark.parametrize(
    ("code", "fits", "warns", "instead"),
    [("Z00.110", (0, 7), (8,), ("Z00.111",)), ("Z00.111", (8, 28), (7,), ("Z00.110",)), ("Z00.111", (), (29,), ())],
)  # S: "under 8 days old", "8 to 28 days old"
def test_a_newborns_health_examination_goes_by_the_days_of_its_title(
    code: str, fits: tuple[int, ...], warns: tuple[int, ...], instead: tuple[str, ...]
) -> None:
    assert [said(code, age=day) for day in fits] == [[] for _ in fits]
    assert [one.instead for day in warns for one in remarks((code,), day, of_baby=True)] == [instead]


@pytest.mark.parametrize("code", ["P92.5", "R63.30", "P92.6", "R62.51", "Z00.110"])
def test_a_rule_of_age_says_so_where_no_day_of_birth_is_written(code: str) -> None:
    assert ["day of birth is not written" in words for words in said(code, age=None)] == [True]


def test_care_of_a_lactating_mother_and_any_disorder_of_lactation_exclude_each_other() -> None:
    for other in (code for code, kept in CODES.items() if code.startswith("O92") and not kept.heading):
        assert any("exclude each other" in one for one in said("Z39.1", other, of_baby=False)), other  # S: Z39.1
        assert any("exclude each other" in one for one in said(other, "Z39.1", of_baby=False)), other
    assert said("Z39.1", "O91.23", of_baby=False) == []


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("O91.0", "O91.0 needs a 5th character."), ("O92.0", "O92.0 needs a 5th character."),
        ("P92.0", "P92.0 needs a 5th character."), ("R63.3", "R63.3 needs a 5th character."),
        ("P92", "P92 needs a 4th character."), ("Z00.11", "Z00.11 needs a 6th character."),
    ],
)  # fmt: skip
def test_a_heading_says_which_character_it_lacks_and_offers_what_is_under_it(code: str, words: str) -> None:
    found = [one for one in remarks((code,), 10, of_baby=code[0] != "O") if "character" in one.words]
    assert [one.words for one in found] == [words]
    assert found[0].instead
    assert all(one.startswith(code) and not CODES[one].heading for one in found[0].instead)


def test_a_code_the_table_does_not_hold_is_kept_as_typed_with_a_plain_remark() -> None:
    (words,) = said("Q99.9")
    assert words.startswith("Q99.9 is not in this table")
    assert said("soreness")[0].startswith("soreness is not in this table")


def test_codes_of_a_newborn_and_of_who_gave_birth_stay_on_their_own_records() -> None:
    assert any("never for a parent’s" in one for one in said("P92.5", of_baby=False))
    assert any("never for a baby’s" in one for one in said("O92.13"))
    assert any("never for a baby’s" in one for one in said("Z39.1"))


def test_a_code_is_found_with_or_without_its_dot_and_in_small_letters() -> None:
    assert [tidy(one) for one in ("p925", " P92.5 ", "z00110", "P92", "words", "")] == [
        "P92.5", "P92.5", "Z00.110", "P92", "words", "",
    ]  # fmt: skip


def test_a_code_written_twice_is_told_once() -> None:
    assert said("P92.5", "p925") == ["P92.5 stands here more than once."]
