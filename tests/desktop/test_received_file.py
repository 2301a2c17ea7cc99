"""The file something is taken from is kept with it in one step, in the real window: never the fact without the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from desktop.pages.received import ReceivedPage
from forms.received import ReceivedFact, ReceivedFile
from storage.store import Store
from storage.troubles import DiskFull
from tests.desktop.test_received import answers_of, chart_of, family_of, ida_of, press, row_of, settle
from tests.helpers.program import Program, read


@pytest.fixture
def page(program: Program, tmp_path: Path) -> ReceivedPage:
    """A table of a ward, open to be taken from."""
    program.desk.received(family_of(program))
    page = program.to("received")
    assert isinstance(page, ReceivedPage)
    place = tmp_path / "ward.csv"
    place.write_bytes(b"what,value\nBilirubin,180 umol/L\n")
    page.read(place)
    settle(program)
    return page


@pytest.mark.parametrize("kept_first", [False, True])
def test_a_fact_is_not_taken_while_its_file_cannot_be_kept(
    program: Program, page: ReceivedPage, monkeypatch: pytest.MonkeyPatch, kept_first: bool
) -> None:
    shown, before = ida_of(page), answers_of(chart_of(program))
    row = row_of(shown, "Bilirubin")

    def full(*_given: object) -> str:
        raise DiskFull

    with monkeypatch.context() as during:
        during.setattr(Store, "attach", full)
        if kept_first:
            page.keep.click()
        press(program, row.take)
    assert answers_of(chart_of(program)) == before
    assert page.trouble.said() == f"{DiskFull().sentence} Nothing was taken."
    assert not page.undo.isVisible()
    press(program, row.take)
    (fact,) = chart_of(program).all(ReceivedFact, shown.who)
    assert read(program, lambda store: store.attachment(str(fact.answers.file))).startswith(b"what,value")


def test_a_file_kept_and_taken_from_in_a_hurry_is_kept_once_and_taken_back_step_by_step(
    program: Program, page: ReceivedPage
) -> None:
    shown, before = ida_of(page), answers_of(chart_of(program))
    page.keep.click()
    page.keep.click()
    press(program, row_of(shown, "Bilirubin").take)
    assert len(chart_of(program).all(ReceivedFile)) == 1
    press(program, page.undo)
    assert (len(chart_of(program).all(ReceivedFile)), chart_of(program).all(ReceivedFact, shown.who)) == (1, ())
    press(program, page.undo)
    assert answers_of(chart_of(program)) == before
    assert not page.undo.isVisible()
