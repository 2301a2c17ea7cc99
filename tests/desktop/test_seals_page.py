"""The consultant chooses what her papers are sealed with."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from demo_db.build import PASSPHRASE as DEMO
from desktop.controls.words import Words
from desktop.pages.seals import Seals
from sync.handoff.seals import Seal, seal_of
from tests.desktop.gallery_seals import bringing, seals
from tests.helpers.authorities import key_file_of
from tests.helpers.program import Program, read, wait_for

Start = Callable[..., Program]


@pytest.fixture
def program(start: Start, demo: Path) -> Program:
    program = start(demo)
    program.unlock(DEMO)
    program.to("caseload")
    return program


def seal(program: Program) -> Seal:
    session = program.desk.session
    return read(program, lambda store: seal_of(store, session.author, name="", now=session.clock()))


def words(page: Seals) -> str:
    return "\n".join(each.said() for each in page.findChildren(Words))


def test_a_certificate_she_owns_seals_until_she_goes_back(program: Program) -> None:
    before = seal(program)
    page = bringing(program, key_file_of())
    assert seal(program).brought
    assert "Rowan Vale, issued by Larkmere Authority 1" in words(page)
    page.back.click()
    wait_for(lambda: "The practice’s own" in words(page))
    assert seal(program) == before


def test_a_wrong_passphrase_is_told_and_can_be_typed_again(program: Program) -> None:
    before = seal(program)
    page = bringing(program, key_file_of(), "another phrase")
    assert page.bring.told.said().startswith("This passphrase does not open the file")
    assert page.bring.secret.box.text() == "another phrase"
    assert seal(program) == before


def test_nothing_is_done_without_a_file(program: Program) -> None:
    page = seals(program)
    page.bring.key.click()
    assert page.bring.told.said() == "Choose the file first."
