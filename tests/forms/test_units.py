"""Units: exact both ways, and nothing guessed."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.answers import Quantity
from forms.trouble import Refused
from forms.units import UNITS, alone, decimal, exact, shown, to_base, to_exact, unit_typed

# Check rows of the unit definitions (exact by agreement, definitions from memory M; arithmetic computed C).
TYPED = [
    ("7 lb 8 oz", "lb_oz", 3402, Fraction("3401.942775")),
    ("6 lb 4.5 oz", "lb_oz", 2849, Fraction("2849.1270740625")),
    ("7 8.5", "lb_oz", 3416, None),
    ("7 lb 8,5 oz", "lb_oz", 3416, None),
    ("7lb8.5oz", "lb_oz", 3416, None),
    ("7 lb", "lb_oz", 3175, None),
    ("120 oz", "lb_oz", 3402, None),
    ("3.110", "kg", 3110, None),
    ("3,110", "kg", 3110, None),
    ("3.4 kg", "kg", 3400, None),
    ("3,110", "g", 3110, None),
    ("3110 g", "g", 3110, None),
    ("60", "mL", 60, None),
    ("2", "fl_oz", 59, Fraction("59.147059125")),
    ("2 oz", "fl_oz", 59, None),
    ("38.0", "C", 380, None),
    ("38,0 °C", "C", 380, None),
    ("100.4", "F", 380, Fraction(380)),
    ("100.3", "F", 379, None),
    ("1", "in", 25, Fraction("25.4")),
    ("50.5", "cm", 505, None),
    ("1.5", "h", 90, None),
    ("٣٤٠٠", "g", 3400, None),
]


@pytest.mark.parametrize(("typed", "unit", "base", "unrounded"), TYPED)
def test_what_is_typed_becomes_the_exact_base_amount(
    typed: str, unit: str, base: int, unrounded: Fraction | None
) -> None:
    assert to_base(typed, unit) == base
    if unrounded is not None:
        assert to_exact(typed, unit) == unrounded


SHOWN = [
    (3402, "g", "3,402 g (7 lb 8.0 oz)"),
    (3300, "lb_oz", "7 lb 4.4 oz (3,300 g)"),
    (3250, "lb_oz", "7 lb 2.6 oz (3,250 g)"),
    (60, "mL", "60 mL (2.03 fl oz)"),
    (to_exact("2", "fl_oz"), "fl_oz", "2.00 fl oz (59 mL)"),
    (380, "C", "38.0 °C (100.4 °F)"),
    (380, "F", "100.4 °F (38.0 °C)"),
    (to_exact("7 lb 15.97 oz", "lb_oz"), "lb_oz", "8 lb 0.0 oz (3,628 g)"),
    (3110, "kg", "3.110 kg (6 lb 13.7 oz)"),
    (4, "mm", "4 mm"),
    (500, "cm", "50.0 cm (19.69 in)"),
    (90, "h", "1 h 30 min"),
    (45, "min", "45 min"),
    (-2, "g", "−2 g (−0 lb 0.1 oz)"),
]


@pytest.mark.parametrize(("base", "unit", "text"), SHOWN)
def test_an_amount_is_shown_with_its_other_unit(base: int | Fraction, unit: str, text: str) -> None:
    assert shown(base, unit) == text


def test_two_fluid_ounces_are_59_1_millilitres() -> None:
    assert decimal(to_exact("2", "fl_oz"), 1) == "59.1"


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("abc", "g"),
        ("", "g"),
        ("3.4.5", "kg"),
        ("7 lb 16 oz", "lb_oz"),
        ("7", "lb_oz"),
        ("7.5 lb 3 oz", "lb_oz"),
        ("1,000", "mL"),
        ("-", "C"),
        ("12 13", "mL"),
        ("1e3", "g"),
        ("½", "kg"),
    ],
)
def test_text_that_is_no_amount_is_refused_with_one_sentence(typed: str, unit: str) -> None:
    with pytest.raises(Refused) as refused:
        to_base(typed, unit)
    assert refused.value.sentence.endswith(".")


def test_the_unit_typed_after_the_number_is_found_and_a_stray_one_refused() -> None:
    weights = ("g", "kg", "lb_oz")
    assert unit_typed("3.4 kg", weights) == "kg"
    assert unit_typed("3,400 g", weights) == "g"
    assert unit_typed("7 lb 8 oz", weights) == "lb_oz"
    assert unit_typed("7 8.5", weights) is None
    assert unit_typed("3400", weights) is None
    with pytest.raises(Refused):
        unit_typed("34 stone", weights)


def test_a_kept_quantity_whose_characters_say_nothing_counts_as_its_base() -> None:
    assert exact(Quantity("about 3", "kg", 3000)) == 3000
    assert exact(Quantity("100.4", "F", 380)) == 380


@given(st.integers(300, 25_000))
def test_grams_survive_a_trip_through_pounds_and_ounces_within_a_tenth_of_an_ounce(grams: int) -> None:
    there = to_exact(alone(grams, "lb_oz"), "lb_oz")
    assert abs(there - grams) <= UNITS["lb_oz"].per / 20


@given(st.integers(0, 25_000))
def test_grams_survive_a_trip_through_kilograms_exactly(grams: int) -> None:
    assert to_base(alone(grams, "kg").replace(",", ""), "kg") == grams


@given(st.integers(300, 450))
def test_a_tenth_of_a_degree_survives_a_trip_through_fahrenheit(tenths: int) -> None:
    assert to_base(alone(tenths, "F"), "F") == tenths


@given(st.integers(0, 8000))
def test_tenths_of_an_ounce_survive_a_trip_through_grams_unrounded(tenths: int) -> None:
    typed = alone(UNITS["lb_oz"].per * tenths / 10, "lb_oz")
    assert to_exact(typed, "lb_oz") == UNITS["lb_oz"].per * tenths / 10
