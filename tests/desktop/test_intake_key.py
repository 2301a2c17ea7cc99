"""The sheet for before the visit is saved from a family's page, before there is any visit."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pikepdf
import pytest

from desktop.pages.family import FamilyPage
from forms.ask import Path as Field
from forms.chart import entry_id
from forms.papers.calls import NoEmergencyNumber
from forms.practice import Practice
from storage.changes import Put
from tests.helpers.program import Program, read


def family(program: Program) -> FamilyPage:
    program.desk.family(read(program, lambda store: store.search("finch"))[0].id)
    page = program.to("family")
    assert isinstance(page, FamilyPage)
    return page


def saved(program: Program, page: FamilyPage, size: str, place: Path | None) -> str:
    page.intake.pick = lambda *_asked: place
    page.intake.keys[size].click()
    program.idle()
    program.idle()
    return page.intake.told.said()


@pytest.mark.parametrize(("size", "wide"), [("letter", 612), ("a4", 595)])
def test_a_sheet_is_saved_in_the_size_of_the_key(program: Program, tmp_path: Path, size: str, wide: int) -> None:
    page, place = family(program), tmp_path / "sheet.pdf"
    assert saved(program, page, size, place) == f"Saved to {place}."
    with pikepdf.open(BytesIO(place.read_bytes())) as pdf:
        assert int(pdf.pages[0].mediabox[2]) == wide
        assert len(pdf.Root.AcroForm.Fields) == 4
    assert [one.name for one in tmp_path.iterdir() if one.is_file()] == ["sheet.pdf"]


def test_a_place_that_takes_nothing_is_told_and_another_one_can_be_chosen(program: Program, tmp_path: Path) -> None:
    page, gone = family(program), tmp_path / "gone" / "sheet.pdf"
    assert saved(program, page, "a4", gone).startswith(f"The sheet was not saved to {gone}: ")
    assert page.intake.keys["a4"].isEnabled()
    place = tmp_path / "sheet.pdf"
    assert saved(program, page, "a4", place) == f"Saved to {place}."


def test_nothing_is_made_when_no_place_was_chosen(program: Program) -> None:
    page = family(program)
    assert saved(program, page, "a4", None) == ""


def test_without_an_emergency_number_no_sheet_leaves(program: Program, tmp_path: Path) -> None:
    bare, author = Put(entry_id(Practice), Field("emergency_number"), None), program.desk.session.author
    read(program, lambda store: store.write((bare,), author=author))
    page, place = family(program), tmp_path / "sheet.pdf"
    assert saved(program, page, "letter", place) == NoEmergencyNumber().sentence
    assert not place.exists()
