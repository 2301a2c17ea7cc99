"""The practice's page counts over days she picks, and saves a sealed sheet that the journal tells of."""

from __future__ import annotations

import subprocess
from datetime import date
from pathlib import Path

import pytest

from desktop.pages.figures import PracticeFigures, periods
from forms.practice_figures import Period
from storage.journal import Line
from storage.store import Store
from sync.handoff.leave import LEFT, STAYED
from sync.handoff.verify import verify
from tests.desktop.gallery_figures_of_practice import figures_of
from tests.helpers.program import Program, read, wait_for


@pytest.fixture
def out(program: Program) -> PracticeFigures:
    return figures_of(program)


def last(store: Store) -> Line:
    return store.journal()[-1]


def row(out: PracticeFigures, label: str) -> tuple[str, ...]:
    assert out.table is not None
    return next(row for row in out.table.rows() if row[0] == label)


def test_it_counts_the_families_of_the_record_and_says_what_is_missing(out: PracticeFigures) -> None:
    assert row(out, "Visits")[1:3] == ("8", "0 missing")
    assert row(out, "Families seen")[1:3] == ("8", "0 missing")
    assert row(out, "Languages")[1:3] == ("English 7, Spanish 1, of 8", "0 missing")
    assert row(out, "Human milk only at the first visit")[1:3] == ("7 of 9", "0 missing")
    assert row(out, "Nobody was there")[1:3] == ("0 of 8", "0 missing")
    assert row(out, "Visits")[3] == "Visits begun in the period, signed or not."


def test_days_without_a_visit_have_nothing_to_count(out: PracticeFigures) -> None:
    out.days.picked.emit("last_year")
    wait_for(lambda: out.table is not None)
    assert row(out, "Visits")[1] == "0"
    assert row(out, "Notes signed within 24 hours")[1] == "none to count"


def test_days_that_are_none_are_told_and_nothing_is_counted(out: PracticeFigures) -> None:
    out.days.picked.emit("own")
    for first, until in (("2026-03-31", "2026-03-01"), ("March", "2026-03-01"), ("2026-02-30", "2026-03-01")):
        out.first.setText(first)
        out.last.setText(until)
        out.count()
        assert out.told.said().startswith("Type both days"), first
        assert out.table is None
        assert not out.save_key.isEnabled()
    out.first.setText("2026-03-02")
    out.last.setText("2026-03-02")
    out.count()
    wait_for(lambda: out.table is not None)
    assert out.save_key.isEnabled()


def test_the_sheet_is_sealed_two_pages_without_small_numbers_or_names(
    out: PracticeFigures, program: Program, tmp_path: Path
) -> None:
    place = tmp_path / "figures.pdf"
    out._pick = lambda *_where: place
    out.save_key.click()
    wait_for(lambda: out.told.said().startswith("Saved as"))
    assert verify(place.read_bytes()).good
    told = subprocess.run(["pdftotext", "-layout", place, "-"], capture_output=True, text=True, check=True).stdout
    assert told.count("\f") == 2
    words = " ".join(told.split())
    assert "Practice figures, 1 January 2026 to 31 December 2026" in words
    assert "fewer than 5" in words
    for family in read(program, lambda store: store.caseload()):
        for name in (family.name, *(called for _id, called in family.babies)):
            assert name not in words, name
    line = read(program, last)
    assert (line.kind, line.about["paper"], line.about["from"]) == (LEFT, "figures", "2026-01-01")
    assert read(program, lambda store: store.attachment(line.about["sha256"])) == place.read_bytes()


def test_a_place_that_cannot_be_written_is_told_and_the_journal_says_it_stayed(
    out: PracticeFigures, program: Program, tmp_path: Path
) -> None:
    out._pick = lambda *_where: tmp_path / "not there" / "figures.pdf"
    out.save_key.click()
    wait_for(lambda: out.told.said().startswith("The paper was not saved"))
    assert read(program, last).kind == STAYED
    assert out.save_key.isEnabled()


def test_showing_the_sheet_writes_nothing_down(out: PracticeFigures, program: Program) -> None:
    before = read(program, last)
    out.show_key.click()
    wait_for(lambda: out.shown is not None)
    assert read(program, last) == before


def test_the_periods_are_whole_months_and_years_also_in_january() -> None:
    found = periods(date(2027, 1, 15))
    assert found["last_month"] == Period(date(2026, 12, 1), date(2026, 12, 31))
    assert found["last_year"] == Period(date(2026, 1, 1), date(2026, 12, 31))
    assert periods(date(2028, 3, 1))["last_month"] == Period(date(2028, 2, 1), date(2028, 2, 29))
