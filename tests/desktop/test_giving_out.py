"""A release package is made from the family's page: picked, looked at, and given, or held back with a sentence."""

from __future__ import annotations

from pathlib import Path

import pikepdf
import pytest

from desktop.controls.buttons import Act, Link
from desktop.controls.words import Words
from desktop.pages.giving_out import GivingOut
from desktop.pages.paper_password import PasswordShown
from desktop.pages.plain import ReadOut
from forms.answers import Moment
from forms.people import ParentIdentity
from forms.referral import PaperIssued
from sync.handoff.package import INDEX
from sync.handoff.untold import kept_password, untold_password
from tests.desktop.gallery_giving_out import opened, release
from tests.helpers.kept import found
from tests.helpers.program import Program, read, wait_for


@pytest.fixture
def out(program: Program, tmp_path: Path) -> GivingOut:
    """The part of a page of a family with a signed visit, with a place picked."""
    made = opened(program)
    (tmp_path / "stick").mkdir()
    made._pick = lambda _window, _title, _start, name: tmp_path / "stick" / name
    return made


def pick(out: GivingOut, asker: str, *papers: int, purpose: str = "care") -> None:
    out.who.picked.emit(asker)
    codes = [segment.code for segment in out.what._segments]
    for at in papers:
        out.what.picked.emit(codes[at])
    if purpose:
        out.purpose_strip.picked.emit(purpose)


def ready(out: GivingOut, program: Program) -> str:
    """Everything picked for a provider with a release; the baby's id."""
    baby = out._home.infants()[0]
    provider = release(out, baby)
    program.idle()
    out.people.picked.emit(baby)
    pick(out, provider, 0, -1)
    return baby


def insisting(out: GivingOut, program: Program) -> str:
    """Everything picked for a parent, who may ask for the baby's record; the parent's name."""
    baby, parent = out._home.infants()[0], out._home.parents()[0]
    out._home.binding(ParentIdentity, entity=parent).put("may_consent", True)
    out._home.save()
    program.idle()
    out.people.picked.emit(baby)
    pick(out, parent, 0, -1, purpose="request")
    return out._home.names(parent)


def shown(out: GivingOut) -> PasswordShown:
    (one,) = out.left.findChildren(PasswordShown)
    return one


def opened_with(file: Path, password: str) -> set[str]:
    with pikepdf.open(file, password=password) as pdf:
        return set(pdf.attachments)


def test_what_was_picked_is_looked_at_then_locked_and_its_password_is_told_once(
    out: GivingOut, program: Program, tmp_path: Path
) -> None:
    ready(out, program)
    assert out.stands.said().startswith("Under the release given by Ana, valid until")
    assert out.how.ways.isHidden()
    assert "To a provider it always goes locked." in out.how.said.said()
    out.look_key.click()
    wait_for(lambda: out.shown is not None)
    assert not list((tmp_path / "stick").iterdir())
    out.give_key.click()
    wait_for(lambda: bool(out.left.findChildren(PasswordShown)))
    card = found(shown(out), ReadOut)
    wait_for(card.hasFocus)
    wait_for(lambda: card.visibleRegion().boundingRect().height() == card.height())  # read out without scrolling
    file = tmp_path / "stick" / "release-package.pdf"
    password = shown(out)._password
    names = opened_with(file, password)
    assert {"tables-answers.csv", "README.txt"} < names
    assert any(name.startswith("01-summary-") for name in names)
    with pytest.raises(pikepdf.PasswordError):
        opened_with(file, "")
    assert password not in file.with_name("release-package.how-to-check.txt").read_text("utf-8")
    wait_for(lambda: any(one.answers.paper == "package" for one in out._home.chart.all(PaperIssued)))
    program.idle()
    lines = [one.said() for one in out.left.findChildren(Words)]
    assert any("as a file locked with a password: care by whoever reads it" in line for line in lines), lines
    assert out.body.isHidden()
    found(shown(out), Act).click()
    program.idle()
    assert not out.left.findChildren(PasswordShown)
    entry = next(one for one in out._home.chart.all(PaperIssued) if one.answers.paper == "package")
    assert read(program, lambda store: kept_password(store, entry.id)) is None
    assert read(program, lambda store: untold_password(store, entry.id)) is None


def test_a_password_that_is_kept_can_be_shown_again_below(out: GivingOut, program: Program, tmp_path: Path) -> None:
    ready(out, program)
    out.give_key.click()
    wait_for(lambda: bool(out.left.findChildren(PasswordShown)))
    password = shown(out)._password
    shown(out).keep.click()
    wait_for(lambda: any(one.accessibleName() == "Show its password" for one in out.left.findChildren(Link)))
    found(shown(out), Act).click()
    program.idle()
    (link,) = [one for one in out.left.findChildren(Link) if one.accessibleName() == "Show its password"]
    link.click()
    wait_for(lambda: bool(out.left.findChildren(PasswordShown)))
    assert shown(out)._password == password


def test_a_page_laid_anew_still_shows_the_password_that_waits(out: GivingOut, program: Program) -> None:
    ready(out, program)
    out.give_key.click()
    wait_for(lambda: bool(out.left.findChildren(PasswordShown)))
    again = GivingOut(out._home)
    assert shown(again)._password == shown(out)._password
    again.deleteLater()


def test_a_password_made_after_she_left_the_page_is_shown_again_there_and_no_other_package_leaves_before(
    out: GivingOut, program: Program, tmp_path: Path
) -> None:
    ready(out, program)
    family = out._home.chart.family
    out.give_key.click()
    program.desk.caseload()  # before the file is written
    program.to("caseload")
    program.desk.family(family)
    again = found(program.to("family"), GivingOut)
    assert again is not out
    wait_for(lambda: bool(again.left.findChildren(PasswordShown)))
    assert opened_with(tmp_path / "stick" / "release-package.pdf", shown(again)._password)
    assert any("is not told yet. About" in one.said() for one in again.left.findChildren(Words))
    again.turn()
    assert not again.give_key.isEnabled()
    assert not again.first.isHidden()
    found(shown(again), Act).click()
    program.idle()
    assert again.give_key.isEnabled()
    assert again.first.isHidden()
    assert not again.left.findChildren(PasswordShown)
    last = GivingOut(again._home)
    program.idle()
    assert not last.left.findChildren(PasswordShown)
    last.deleteLater()


def test_a_password_that_was_kept_waits_no_more(out: GivingOut, program: Program) -> None:
    ready(out, program)
    out.give_key.click()
    wait_for(lambda: bool(out.left.findChildren(PasswordShown)))
    entry = shown(out)._entry
    assert read(program, lambda store: untold_password(store, entry)) == shown(out)._password
    shown(out).keep.click()
    program.idle()
    assert read(program, lambda store: untold_password(store, entry)) is None
    assert read(program, lambda store: kept_password(store, entry)) == shown(out)._password


def test_open_it_leaves_only_after_the_warning_is_answered_and_that_is_written_down(
    out: GivingOut, program: Program, tmp_path: Path
) -> None:
    name = insisting(out, program)
    assert not out.how.ways.isHidden()
    assert out.how.ways.codes() == ("password",)
    out.how.ways.picked.emit("insisted")
    assert out.how.warning.question.said() == f"Was {name} told this, and does {name} still ask for it open?"
    assert not out.give_key.isEnabled()
    assert not out.look_key.isEnabled()
    out.how.warning.told.click()
    assert out.how.warning.isHidden()
    assert f"because {name} was told who might read it and insists" in out.how.said.said()
    out.give_key.click()
    wait_for(lambda: "files are in" in out.told.said())
    assert (tmp_path / "stick" / "release-package" / INDEX).is_file()
    wait_for(lambda: any(one.answers.left_how == "insisted" for one in out._home.chart.all(PaperIssued)))
    assert not out.left.findChildren(PasswordShown)
    assert not out.asked().insisted  # and the next one is asked anew
    assert out.how.ways.codes() == ("password",)


def test_what_was_answered_about_one_record_is_asked_anew_about_another(out: GivingOut, program: Program) -> None:
    insisting(out, program)
    parent = out.asker
    out.how.ways.picked.emit("insisted")
    out.how.warning.told.click()
    assert out.asked().insisted
    out.people.picked.emit(parent)
    assert out.how.how == "password"
    out.who.picked.emit(parent)
    assert not out.asked().insisted


def test_the_record_it_is_about_decides_whether_the_warning_is_asked_again(out: GivingOut) -> None:
    how = out.how
    assert how.offer("ida", "ana", "Ana", parent=True)
    how.ways.picked.emit("insisted")
    how.warning.told.click()
    assert not how.offer("ida", "ana", "Ana", parent=True)
    assert how.insisted
    assert how.offer("oskar", "ana", "Ana", parent=True)
    assert not how.insisted


def test_a_parent_who_does_not_insist_gets_it_locked_and_each_asker_is_asked_anew(
    out: GivingOut, program: Program
) -> None:
    insisting(out, program)
    out.how.ways.picked.emit("insisted")
    out.how.warning.lock.click()
    assert out.how.ways.codes() == ("password",)
    assert out.give_key.isEnabled()
    out.how.ways.picked.emit("insisted")
    out.how.warning.told.click()
    provider = release(out, out.person)
    program.idle()
    out.who.picked.emit(provider)
    assert not out.asked().insisted
    assert out.how.ways.isHidden()


def test_a_place_that_cannot_be_written_is_told_and_nothing_is_said_to_have_left(
    out: GivingOut, program: Program, tmp_path: Path
) -> None:
    ready(out, program)
    out._pick = lambda *_where: tmp_path / "nowhere" / "package.pdf"
    out.give_key.click()
    assert not out.give_key.isEnabled()
    assert not out.look_key.isEnabled()
    wait_for(lambda: "nothing has left" in out.told.said())
    wait_for(out.give_key.hasFocus)  # so that the sentence above it is in view
    assert not out.left.findChildren(PasswordShown)
    assert not any(one.answers.paper == "package" for one in out._home.chart.all(PaperIssued) if one.struck is None)


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
    assert not list((tmp_path / "stick").iterdir())


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
