"""Which baby has a WHO score, at which age, and why another has none."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from forms.answers import Absence, Absent, Quantity
from forms.clinical.growth import GrowthAge, growth_age
from forms.clinical.growth_score import GrowthScore, birth_score, growth_score, table_sex
from forms.clinical.result import NoFigure
from tests.forms.clinical.charted import conflict, grams
from tests.forms.clinical.test_who import witness


def cm(tenths: int) -> Quantity:
    return Quantity(str(tenths), "mm", tenths)


def score(
    base: int, sex: Any = "f", weeks: Any = 39, days: Any = 4, age: int | NoFigure = 14
) -> GrowthScore | NoFigure:
    return growth_score("weight", grams(base), sex, weeks, days, age)


def why(found: GrowthScore | NoFigure) -> str:
    assert isinstance(found, NoFigure)
    return found.why


# Worked out apart from this program (C). Ida and Juno: 35 weeks 2 days, 49 d old, corrected 16 d; at birth age Ida would
# be -2.89 and Juno -3.30, which is wrong.
@pytest.mark.parametrize(
    ("base", "weeks", "days", "age", "z", "words"),
    [
        (3420, 39, 4, 0, "0.40", "+0.40 (66th centile)"),
        (3430, 39, 4, 14, "-0.28", "−0.28 (39th centile)"),
        (3240, 35, 2, 49, "-0.81", "−0.81 (21st centile)"),
        (3050, 35, 2, 49, "-1.22", "−1.22 (11th centile)"),
    ],
)
def test_the_story_babies_score_as_worked_out(base: int, weeks: int, days: int, age: int, z: str, words: str) -> None:
    found = score(base, "f", weeks, days, age)
    assert isinstance(found, GrowthScore)
    assert round(found.z, 2) == Decimal(z)
    assert found.text == words


def test_the_age_used_is_said_with_the_real_one_beside_a_corrected_one() -> None:
    corrected, real = score(3240, "f", 35, 2, 49), score(3430)
    assert isinstance(corrected, GrowthScore)
    assert isinstance(real, GrowthScore)
    assert corrected.age == GrowthAge(16, 49, corrected=True)
    assert corrected.age.words == "corrected day 16 (49 d since birth)"
    assert real.age.words == "day 14 of age"


# AAP and NICE convention, from memory (M): below 37 weeks 0 days, until 24 months of 30.4375 days.
@pytest.mark.parametrize(
    ("weeks", "days", "age", "day"),
    [(36, 6, 30, 8), (37, 0, 30, 30), (37, None, 30, 30), (30, 0, 730, 660), (30, 0, 731, 731), (None, None, 731, 731)],
)
def test_the_day_read_in_the_tables_is_corrected_only_below_37_weeks_and_until_24_months(
    weeks: int | None, days: int | None, age: int, day: int
) -> None:
    found = growth_age(weeks, days, age)
    assert isinstance(found, GrowthAge)
    assert found.day == day


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"sex": None}, "the sex for the growth table is not set"),
        ({"sex": "not_set"}, "the sex for the growth table is not set"),
        ({"sex": Absent(Absence.DECLINED)}, "the sex for the growth table is not set"),
        ({"weeks": None}, "the gestation in weeks is not known"),
        ({"weeks": Absent(Absence.NOT_ASKED), "days": None}, "the gestation in weeks is not known"),
        ({"weeks": 36, "days": None}, "the days over the gestation's weeks is not known"),
        ({"weeks": 35, "days": 2, "age": 29}, "before the term date (−4 d to term date)"),
        ({"weeks": 36, "days": 6, "age": 14}, "before the term date (−8 d to term date)"),
        ({"age": NoFigure("the birth date is not known")}, "the birth date is not known"),
        ({"age": 1857}, "the WHO tables end before this age"),
    ],
)
def test_without_what_a_score_needs_there_is_a_reason_in_its_place(given: dict[str, Any], said: str) -> None:
    assert why(score(3000, **given)).startswith(said)


@pytest.mark.parametrize(
    "given",
    [{"sex": conflict("f", "m")}, {"weeks": conflict(35, 39)}, {"weeks": 35, "days": conflict(1, 2), "age": 60}],
)
def test_an_unresolved_input_leaves_the_score_unresolved(given: dict[str, Any]) -> None:
    found = score(3000, **given)
    assert isinstance(found, NoFigure)
    assert found.unresolved
    assert "two values stand" in found.why


def test_two_weights_leave_the_score_unresolved() -> None:
    found = growth_score("weight", conflict(grams(3000), grams(3100)), "f", 39, 4, 14)
    assert isinstance(found, NoFigure)
    assert found.unresolved


def test_a_baby_born_before_37_weeks_has_no_score_at_birth() -> None:
    assert why(birth_score("weight", grams(2310), "f", 35, 2)).startswith("before the term date")
    assert isinstance(birth_score("weight", grams(3420), "f", 39, 4), GrowthScore)


def test_an_implausible_score_asks_for_the_entry_to_be_checked_and_is_still_given() -> None:
    found = score(900)
    assert isinstance(found, GrowthScore)
    assert found.check_entry
    assert found.z < -6
    usual = score(3430)
    assert isinstance(usual, GrowthScore)
    assert not usual.check_entry


@pytest.mark.parametrize("age", [729, 730, 731, 800])
def test_a_lying_length_is_read_as_one_when_the_tables_turn_to_standing_height(age: int) -> None:
    found = growth_score("length", cm(870), "m", 39, 4, age)
    assert isinstance(found, GrowthScore)
    assert abs(found.z - witness("length", "male", age, Decimal(870))) < Decimal("0.0005")


def test_the_sex_of_the_table_is_the_one_set_for_it() -> None:
    assert (table_sex("f"), table_sex("m")) == ("female", "male")
