"""Marked words typed all through a visit are found in no file but the paper that was saved, and in no log."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.helpers.apart import apart_in
from tests.helpers.marked_visit import MARKS
from tests.helpers.marks import found_in, inside_pdf

HOW_TO_CHECK = "saved/plan.how-to-check.txt"


@pytest.fixture(scope="module")
def visited(invented: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home folder of its own in which the visit was made: its store, its saved paper, its log, and all it left."""
    here = tmp_path_factory.mktemp("leaks")
    shutil.copytree(invented, here / "store")
    (here / "saved").mkdir()
    done = subprocess.run(
        [sys.executable, "-m", "tests.helpers.marked_visit", here / "store", here / "saved" / "plan.pdf", here / "log"],
        cwd=here / "work",
        env=apart_in(here),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert not list(found_in((done.stdout + done.stderr).encode(), MARKS.values()))
    return here


def test_no_file_is_left_outside_the_store_but_the_paper_she_saved_and_how_to_check_it(visited: Path) -> None:
    left = {str(file.relative_to(visited)) for file in visited.rglob("*") if file.is_file()}
    assert {name for name in left if not name.startswith("store/")} == {"saved/plan.pdf", HOW_TO_CHECK, "log"}


def test_the_page_on_how_to_check_shows_no_marked_word(visited: Path) -> None:
    assert list(found_in((visited / HOW_TO_CHECK).read_bytes(), MARKS.values())) == []


def test_no_file_of_the_store_shows_a_marked_word(visited: Path) -> None:
    files = [file for file in (visited / "store").rglob("*") if file.is_file()]
    assert any(file.name == "reports.txt" for file in files)
    for file in files:
        assert list(found_in(file.read_bytes(), MARKS.values())) == [], file.name


def test_no_log_record_shows_a_marked_word(visited: Path) -> None:
    log = (visited / "log").read_bytes()
    assert list(found_in(log, MARKS.values())) == []


def test_the_saved_paper_does_show_what_belongs_on_it_so_that_a_leak_would_be_found(visited: Path) -> None:
    shown = list(found_in(inside_pdf(visited / "saved" / "plan.pdf"), MARKS.values()))
    assert MARKS["goal"] in shown
    assert MARKS["pasted"] in shown
    assert not {MARKS["jot"], MARKS["note"], MARKS["refused"], MARKS["passphrase"]} & set(shown)
