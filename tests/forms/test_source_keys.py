"""No number of a clinical module stands without its source: beside it in the code, and in SOURCES.md."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.forms.source_keys import listed_numbers, numbers, unlisted, unmarked

ROOT = Path(__file__).parents[2]
SOURCES = (ROOT / "forms" / "SOURCES.md").read_text("utf-8")
MODULES = {
    path.relative_to(ROOT).as_posix(): path.read_text("utf-8")
    for path in sorted([*(ROOT / "forms" / "clinical").glob("*.py"), *(ROOT / "forms").glob("figures*.py")])
}


def test_every_number_of_a_clinical_module_has_the_mark_of_its_source_beside_it() -> None:
    assert unmarked(MODULES) == []


def test_every_number_of_a_clinical_constant_or_table_stands_in_a_section_that_names_its_module() -> None:
    assert unlisted(MODULES, SOURCES) == []


def test_every_clinical_module_with_numbers_is_named_in_the_sources() -> None:
    named = listed_numbers(SOURCES)
    assert [path for path, text in MODULES.items() if list(numbers(text)) and path not in named] == []


def test_the_numbers_looked_at_are_many() -> None:
    found = {path: len(list(numbers(text))) for path, text in MODULES.items()}
    print(f"{sum(found.values())} numbers in {sum(1 for count in found.values() if count)} clinical modules")
    assert found["forms/clinical/velocity.py"] >= 36
    assert sum(found.values()) >= 150


@pytest.mark.parametrize(
    "text",
    [
        "LIMIT = 42\n",
        "LIMIT = 42  # hours\n",
        'LIMIT = Fraction("12.5")\n',
        "TABLE = {1: (30, 40)}\n",
        "OTHER = 5  # read in the guideline (S)\nLIMIT = 42\n",
        "# Read in the guideline (S).\nOTHER = 5\n\nLIMIT = 42\n",
        'def low(hours: int) -> bool:\n    """Whether it is low."""\n    return hours < 42\n',
        'RULES = (Rule("a", lambda baby: baby.hours > 42, "why"),)\n',
        "class Weighed:\n    def low(self) -> bool:\n        return self.grams < 42\n",
    ],
)
def test_a_number_without_a_mark_is_found(text: str) -> None:
    assert len(unmarked({"forms/clinical/new.py": text})) >= 1


@pytest.mark.parametrize(
    "text",
    [
        "LIMIT = 42  # hours (house rule, P)\n",
        "# Hours, read in the guideline (S).\nLIMIT = 42\n",
        "# Spaces by place at birth (S2).\nLOW = 4\nHIGH = 5\n",
        'LIMIT = 42\n"""Hours: protocol 3, from memory (M)."""\n',
        "LIMIT = 42  # house bound, no source\n",
        'def low(hours: int) -> bool:\n    """Whether it is low: under 42 h (NICE NG75, S)."""\n    return hours < 42\n',
        'def low(hours: int) -> bool:\n    """Whether."""\n    return hours < 42  # NICE NG75 (S)\n',
        'def seen(b: Baby) -> bool:\n    return b.hours > 42\n\nRULES = (Rule("a", seen, "why", "NICE NG143", "S"),)\n',
    ],
)
def test_a_number_with_a_mark_beside_it_passes(text: str) -> None:
    assert unmarked({"forms/clinical/new.py": text}) == []


@pytest.mark.parametrize(
    ("path", "before", "after"),
    [
        ("forms/clinical/velocity.py", "agree, S2)", "agree)"),
        ("forms/clinical/growth.py", "convention, from memory, M)", "convention)"),
        ("forms/clinical/who.py", "by day of age (S)", "by day of age"),
    ],
)
def test_taking_the_mark_from_a_real_module_is_noticed(path: str, before: str, after: str) -> None:
    text = MODULES[path]
    assert before in text
    assert unmarked({path: text}) == []
    assert unmarked({path: text.replace(before, after)}) != []


@pytest.mark.parametrize(
    ("path", "before", "after"),
    [
        ("forms/clinical/faltering.py", "FROM_DAY: Final = 14", "FROM_DAY: Final = 16"),
        ("forms/clinical/velocity.py", "SHIFT: Final = 400", "SHIFT: Final = 600"),
        ("forms/clinical/velocity.py", '"1423.0783"', '"1423.0738"'),
        ("forms/clinical/who.py", "1856", "1857"),
        ("forms/clinical/weight.py", '"12.5"', '"12.6"'),
    ],
)
def test_changing_a_number_away_from_its_source_is_noticed(path: str, before: str, after: str) -> None:
    text = MODULES[path]
    assert before in text
    assert unlisted({path: text}, SOURCES) == []
    assert unlisted({path: text.replace(before, after)}, SOURCES) != []
