"""A release package is made from the family's page: picked, looked at, and given, or held back with a sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from desktop.controls.words import Words
from desktop.pages.giving_out import GivingOut
from forms.answers import Moment
from forms.referral import PaperIssued
from sync.handoff.package import INDEX
from tests.desktop.gallery_giving_out import opened, release
from tests.helpers.program import Program, wait_for


@pytest.fixture
def out(program: Program, tmp_path: Path) -> GivingOut:
    """The part of a page of a family with a signed visit, with a place picked."""
    made = opened(program)
    made._pick = lambda *_where: tmp_path / "stick" / "package"
    return made


def pick(out: GivingOut, asker: str, *papers: int, purpose: str = "care") -> None:
    out.who.picked.emit(asker)
    codes = [segment.code for segment in out.what._segments]
    for at in papers:
        out.what.picked.emit(codes[at])
    if purpose:
        out.purpose_strip.picked.emit(purpose)


def test_what_was_picked_is_looked_at_then_written_and_told(out: GivingOut, program: Program, tmp_path: Path) -> None:
    baby = out._home.infants()[0]
    provider = release(out, baby)
    program.idle()
    out.people.picked.emit(baby)
    pick(out, provider, 0, -1)
    assert out.stands.said().startswith("Under the release given by Ana, valid until")
    out.look_key.click()
    wait_for(lambda: out.shown is not None)
    assert not (tmp_path / "stick").exists()
    out.give_key.click()
    wait_for(lambda: "files are in" in out.told.said())
    assert (tmp_path / "stick" / "package" / INDEX).is_file()
    wait_for(lambda: any(one.answers.paper == "package" for one in out._home.chart.all(PaperIssued)))
    program.idle()
    lines = [one.said() for one in out._left.findChildren(Words)]
    assert any(line.startswith("About ") and "care by whoever reads it" in line.lower() for line in lines), lines


def test_a_withdrawn_release_holds_it_back_before_anything_can_be_picked(out: GivingOut, program: Program) -> None:
    baby = out._home.infants()[0]
    provider = release(out, baby, withdrawn_at=Moment(out._home.clock(), out._home.zone))
    program.idle()
    out.people.picked.emit(baby)
    out.who.picked.emit(provider)
    assert "was withdrawn" in out.stands.said()
    assert out._rest.isHidden()


def test_a_release_with_limits_shows_them_and_offers_no_tables(out: GivingOut, program: Program) -> None:
    baby = out._home.infants()[0]
    provider = release(out, baby, limits="Nothing about the birth.")
    program.idle()
    out.people.picked.emit(baby)
    out.who.picked.emit(provider)
    assert "It excludes: Nothing about the birth." in out.stands.said()
    assert "tables" not in [segment.code for segment in out.what._segments]


def test_without_a_purpose_or_a_pick_it_says_what_is_missing_and_writes_nothing(
    out: GivingOut, program: Program, tmp_path: Path
) -> None:
    baby = out._home.infants()[0]
    provider = release(out, baby)
    program.idle()
    out.people.picked.emit(baby)
    pick(out, provider, 0, purpose="")
    out.give_key.click()
    wait_for(lambda: out.told.said().startswith("Pick what it leaves for"))
    out.what.picked.emit(out.picked[0])
    out.purpose_strip.picked.emit("care")
    out.look_key.click()
    wait_for(lambda: out.told.said().startswith("Pick at least one paper"))
    assert not (tmp_path / "stick").exists()


def test_a_new_pick_takes_the_shown_index_away(out: GivingOut, program: Program) -> None:
    baby = out._home.infants()[0]
    provider = release(out, baby)
    program.idle()
    out.people.picked.emit(baby)
    pick(out, provider, 0, -1)
    out.look_key.click()
    wait_for(lambda: out.shown is not None)
    out.what.picked.emit("tables")
    assert out.shown is None


def test_a_family_nobody_signed_for_is_told_so(program: Program) -> None:
    out = opened(program, "finch", signed=False)
    baby = out._home.infants()[0]
    out.people.picked.emit(baby)
    assert "is signed yet, so there is nothing to give out" in out.stands.said()
