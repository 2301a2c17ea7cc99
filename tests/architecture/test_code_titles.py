"""The table of codes that ships is the official one, and the package it was read from stays out of the program."""

from __future__ import annotations

import ast
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from forms.clinical import code_table
from tests.architecture.code_titles import CODES, EDITION, TABLE, written

ROOT = Path(__file__).parents[2]
PACKAGE = "simple_icd_10_cm"


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *arguments], cwd=ROOT, capture_output=True, text=True, check=False)


def test_the_table_that_ships_is_what_the_pinned_package_says() -> None:
    told = run("-m", "tests.architecture.code_titles")  # a process of its own: the package takes 190 MB
    assert (told.returncode, told.stdout.strip()) == (0, "The table is as the official file has it."), told.stderr


def test_the_build_command_writes_the_very_file_that_ships() -> None:
    assert TABLE.read_text(encoding="utf-8") == written(code_table.ROWS, date.fromisoformat(code_table.READ))
    assert code_table.EDITION == EDITION
    assert date(2026, 4, 1) <= date.fromisoformat(code_table.READ)


def test_every_code_of_the_list_stands_in_the_table_and_none_of_them_is_a_heading() -> None:
    found = {code: heading for code, _title, heading in code_table.ROWS}
    assert [code for code in CODES if found.get(code, True)] == []


@pytest.mark.parametrize("package", ["forms", "storage", "sync", "desktop", "demo_db"])
def test_the_program_never_imports_the_package_of_the_whole_classification(package: str) -> None:
    for path in (ROOT / package).rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [one.name for one in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert not any(name.split(".")[0] == PACKAGE for name in names), path


def test_a_program_that_has_every_form_and_paper_at_hand_has_not_loaded_it() -> None:
    told = run(
        "-c",
        f"import sys, desktop.command, forms.all, sync.handoff.leave, forms.clinical.visit_codes; print({PACKAGE!r} in sys.modules)",
    )
    assert (told.returncode, told.stdout.strip()) == (0, "False"), told.stderr
