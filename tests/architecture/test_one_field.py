"""A field is declared once: on a copy of the project one is added with one declaration and one placement."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PARTS = ("forms", "storage", "sync", "desktop", "demo_db", "tests", "pyproject.toml")
WORDS = "The chair by the stove"
DECLARATION = (
    '    quiet_corner: Given[str] = text("A quiet corner to feed in", paper=EVERYWHERE, code=PART)\n'
    "    comfort_care: Given[str] ="
)
PLACEMENT = 'c.ask("quiet_corner", "expressing",'


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """The project as it stands, with the one field added."""
    project = tmp_path / "project"
    project.mkdir()
    for part in PARTS:
        whole = ROOT / part
        if whole.is_dir():
            shutil.copytree(whole, project / part, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(whole, project / part)
    for name, before, after in (
        ("forms/plan.py", "    comfort_care: Given[str] =", DECLARATION),
        ("desktop/sheets/plan.py", 'c.ask("expressing",', PLACEMENT),
    ):
        source = (project / name).read_text("utf-8")
        assert source.count(before) == 1
        (project / name).write_text(source.replace(before, after), "utf-8")
    return project


def run(project: Path, *command: str, stdin: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *command],
        cwd=project,
        input=stdin,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(project), "QT_QPA_PLATFORM": "offscreen", "PYTHONDONTWRITEBYTECODE": "1"},
    )


def test_one_declaration_and_one_placement_put_a_field_on_screen_in_the_store_and_on_paper(
    copy: Path, tmp_path: Path
) -> None:
    ledger = run(copy, "-m", "tests.architecture.ledger", "--add")
    assert ledger.returncode == 0, ledger.stderr
    found = run(copy, "tests/architecture/add_one_field.py", str(tmp_path), stdin=WORDS)
    assert found.returncode == 0, found.stderr
    assert "on screen: " in found.stdout
    assert "quiet corner" in found.stdout.split("on screen: ")[1].splitlines()[0]
    assert f"in the store: {WORDS}" in found.stdout
    assert WORDS in found.stdout.split("on paper: ")[1]
    guards = run(
        copy, "-m", "pytest", "-q", "tests/architecture/test_placement.py", "tests/architecture/test_ledger.py",
        "tests/forms/test_declarations.py",
    )  # fmt: skip
    assert guards.returncode == 0, guards.stdout[-3000:]


def test_a_field_that_nobody_placed_fails_the_placement_guard(copy: Path) -> None:
    sheet = copy / "desktop/sheets/plan.py"
    sheet.write_text(sheet.read_text("utf-8").replace(PLACEMENT, 'c.ask("expressing",'), "utf-8")
    guard = run(copy, "-m", "pytest", "-q", "tests/architecture/test_placement.py")
    assert guard.returncode == 1
    assert "quiet_corner" in guard.stdout
