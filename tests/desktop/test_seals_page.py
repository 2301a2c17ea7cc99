"""The consultant chooses what her papers are sealed with."""

from __future__ import annotations

from datetime import timedelta

from desktop.controls.words import Words
from desktop.pages.caseload import CaseloadPage
from desktop.pages.practice import PracticePage
from desktop.pages.seals import Seals
from sync.handoff.seals import Seal, seal_of
from tests.desktop.gallery_seals import ROOT_WORDS, bringing, ending, root_place, seals
from tests.helpers.authorities import key_file_of
from tests.helpers.program import Program, read, wait_for


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


def test_two_months_before_its_end_the_seal_is_spoken_of_and_not_earlier(program: Program) -> None:
    ends = seal(program).not_after
    for before, told in ((61, ""), (59, "The seal ends soon"), (-1, "The seal has ended")):
        program.time.at = ends - timedelta(days=before)
        program.desk.caseload()
        page = program.to("caseload")
        assert isinstance(page, CaseloadPage)
        program.idle()
        said = [each.said() for each in page.findChildren(Words)]
        assert [words for words in said if words.startswith("The seal ")] == ([told] if told else [])


def test_it_is_renewed_under_the_same_root_where_that_waits_in_the_record(program: Program) -> None:
    before = seal(program)
    page = ending(program)
    page.renew.click()
    wait_for(lambda: seal(program) != before)
    after = seal(program)
    assert after.root == before.root
    assert (after.not_after - program.time.at).days >= 729
    wait_for(lambda: "Renew the seal" not in words(page))


def test_where_the_root_has_left_its_file_and_passphrase_renew_it_and_a_wrong_one_is_told(program: Program) -> None:
    before = seal(program)
    page = ending(program, root_away=True, days=800)
    asked = page.root_file
    asked._pick = lambda *_where, **_kinds: root_place(program)
    asked.choose.click()
    asked.secret.box.setText("not that phrase")
    asked.key.click()
    wait_for(asked.key.isEnabled)
    assert asked.told.said().startswith("This file and passphrase do not open a practice root")
    asked.secret.box.setText(ROOT_WORDS)
    asked.key.click()
    wait_for(lambda: "Renew the seal" not in words(page))
    assert seal(program).root == before.root


def test_leaving_the_part_while_it_still_looks_breaks_nothing(program: Program) -> None:
    program.desk.practice()
    page = program.to("practice")
    assert isinstance(page, PracticePage)
    for part in ("seals", "window", "seals", "root"):
        page.go(part)
    program.idle()
    assert not page.main.findChildren(Seals)
