"""A device that joined makes no root unasked: it says what is missing, seals under the practice's root, or its own on request."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desktop.beginning import chart_as, somebody_new
from desktop.controls.words import Words
from desktop.pages.caselines import Caseload
from desktop.pages.caseload import CaseloadPage
from desktop.pages.practice import PracticePage
from desktop.pages.seals import Seals
from desktop.pages.waiting import waiting
from desktop.seals import ensure_seals
from forms.ask import Path as Field
from forms.chart import Place, entry_id
from forms.practice import Practice
from forms.role import Role
from storage.changes import Begin, Put
from sync.exchange.practice import found_practice
from sync.exchange.recovery import recover_into
from sync.handoff.known_senders import OWN, known_senders
from sync.handoff.own_seals import Sealing, Standing, own_roots, roots_of, tell_own
from sync.handoff.seals import export_root, kept_seal, make_seals, own_root, root_waits
from sync.handoff.verify import fingerprint
from tests.desktop.gallery_seals import ROOT_WORDS, another, apart, elsewhere, root_place, seals, second, under
from tests.helpers import thornbury as t
from tests.helpers.pairing import At, at
from tests.helpers.program import Program, read, wait_for
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, Clock

NAME = "Tallow Lane Feeding Visits"


def words(page: Seals) -> str:
    return "\n".join(each.said() for each in page.findChildren(Words))


@pytest.fixture
def tablet(tmp_path: Path, qtbot: QtBot) -> Iterator[At]:
    """A device that joined a practice whose root was made on the laptop."""
    laptop, new, shelf = device(tmp_path, "laptop").store, device(tmp_path, "tablet").store, Shelf()
    found_practice(laptop, "Laptop", Clock())
    facts = entry_id(Practice)
    laptop.write(
        [
            *somebody_new(AUTHOR, "Rowan Vale"),
            Begin(facts, Place("practice")),
            Put(facts, Field("practice_name"), NAME),
        ],
        author=AUTHOR,
    )
    make_seals(laptop, AUTHOR, practice=NAME, name="Rowan Vale", now=t.NOW)
    tell_own(laptop, AUTHOR)
    export_root(laptop, tmp_path / "root.p12", ROOT_WORDS)
    joined(laptop, new, "Tablet")
    for store in (laptop, new):
        meet(store, shelf)
    laptop.close()
    chart_as(new, AUTHOR)
    made = at(new)
    made.session.author = AUTHOR
    made.session.refresh_practice()
    wait_for(lambda: made.session.practice.practice_name == NAME)
    yield made
    made.close()


def asked(tablet: At) -> None:
    """What is asked at each start."""
    done: list[bool] = []
    ensure_seals(tablet.session, "Rowan Vale", lambda: done.append(True))
    wait_for(lambda: bool(done))


def page_of(tablet: At) -> Seals:
    tablet.desk.practice()
    wait_for(lambda: isinstance(tablet.window.page, PracticePage))
    page = tablet.page
    assert isinstance(page, PracticePage)
    page.go("seals")
    found = page.main.findChild(Seals)
    assert found is not None
    wait_for(lambda: "Looking what" not in words(found))
    return found


def test_a_device_that_joined_makes_no_root_at_its_start_and_seals_under_the_practices_from_its_file(
    tablet: At, tmp_path: Path
) -> None:
    asked(tablet)
    assert own_root(tablet.store) is None
    page = page_of(tablet)
    assert "No seal on this device yet" in words(page)
    under(page, tmp_path / "root.p12", ROOT_WORDS)
    wait_for(lambda: "The practice’s own" in words(page))
    assert "No seal on this device yet" not in words(page)
    seal = kept_seal(tablet.store, AUTHOR)
    assert seal is not None
    assert own_roots(tablet.store) == (seal.root,)
    assert not root_waits(tablet.store)
    asked(tablet)
    assert len(roots_of(tablet.store)) == 1


def test_a_device_that_joined_before_any_root_reached_it_makes_none_either(tmp_path: Path, qtbot: QtBot) -> None:
    laptop, new, shelf = device(tmp_path, "laptop").store, device(tmp_path, "tablet").store, Shelf()
    found_practice(laptop, "Laptop", Clock())
    laptop.write(somebody_new(AUTHOR, "Rowan Vale"), author=AUTHOR)
    joined(laptop, new, "Tablet")
    for store in (laptop, new):
        meet(store, shelf)
    for store in (new, laptop):  # each is opened, its practice named, and asked as at a start
        one = at(store)
        one.session.author, one.session.practice = AUTHOR, Practice(practice_name=NAME)
        asked(one)
        assert (own_root(store) is not None) == (store is laptop)
        assert len(roots_of(store)) == (store is laptop)
        if store is new:
            assert "no root of the practice has reached" in words(page_of(one)).lower()
        one.close()


def test_a_root_of_a_version_that_told_nobody_is_told_at_the_next_start(tmp_path: Path, qtbot: QtBot) -> None:
    store = device(tmp_path, "laptop").store
    store.write(somebody_new(AUTHOR, "Rowan Vale"), author=AUTHOR)
    make_seals(store, AUTHOR, practice=NAME, name="Rowan Vale", now=t.NOW)
    assert roots_of(store) == ()
    one = at(store)
    one.session.author = AUTHOR
    asked(one)
    assert [root.certificate for root in roots_of(store)] == [own_root(store)]
    one.close()


def test_a_device_that_came_back_with_the_recovery_sheet_seals_under_the_root_it_had(
    tmp_path: Path, qtbot: QtBot
) -> None:
    lost, shelf = device(tmp_path, "lost"), Shelf()
    found_practice(lost.store, "Laptop", Clock())
    facts = entry_id(Practice)
    lost.store.write(
        [
            *somebody_new(AUTHOR, "Rowan Vale"),
            Begin(facts, Place("practice")),
            Put(facts, Field("practice_name"), NAME),
        ],
        author=AUTHOR,
    )
    make_seals(lost.store, AUTHOR, practice=NAME, name="Rowan Vale", now=t.NOW)
    tell_own(lost.store, AUTHOR)
    root = own_root(lost.store)
    export_root(lost.store, tmp_path / "root.p12", ROOT_WORDS)
    meet(lost.store, shelf)
    lost.store.close()
    back = device(tmp_path, "back").store
    recover_into(back, shelf, lost.recovery_words, "New laptop", Clock())
    one = at(back)
    one.session.author, one.session.practice = AUTHOR, Practice(practice_name=NAME)
    asked(one)
    assert own_root(back) is None
    under(page_of(one), tmp_path / "root.p12", ROOT_WORDS)
    wait_for(lambda: own_root(back) == root)
    seal = kept_seal(back, AUTHOR)
    assert seal is not None
    assert seal.root == root
    one.close()


def test_a_second_consultant_on_the_device_where_the_root_waits_is_sealed_under_it_unasked(
    tmp_path: Path, qtbot: QtBot
) -> None:
    store, second = device(tmp_path, "laptop").store, "a5" * 16
    store.write([*somebody_new(AUTHOR, "Rowan Vale"), *somebody_new(second, "Ash Corbin")], author=AUTHOR)
    make_seals(store, AUTHOR, practice=NAME, name="Rowan Vale", now=t.NOW)
    tell_own(store, AUTHOR)
    one = at(store)
    one.session.author, one.session.practice = second, Practice(practice_name=NAME)
    asked(one)
    seal = kept_seal(store, second)
    assert seal is not None
    assert seal.root == own_root(store)
    one.close()


def test_without_the_file_she_can_leave_papers_today_and_is_told_what_that_means(program: Program) -> None:
    page = apart(program)
    said = program.said[-1]
    assert said.startswith("This device seals under a root of its own now. Receivers who know your practice compare")
    assert "This device seals under another root than the practice’s" in words(page)
    before = read(program, own_root)
    assert len(read(program, roots_of)) == 2
    under(page, root_place(program), ROOT_WORDS)
    wait_for(lambda: "Two roots in the practice" not in words(page))
    after = read(program, known_senders)
    assert before is not None
    assert after[before] == OWN
    assert [root.given_up for root in read(program, roots_of)] == [False, True]


def test_a_wrong_passphrase_is_one_sentence_and_changes_nothing(program: Program) -> None:
    page = elsewhere(program)
    under(page, root_place(program), "not that phrase")
    assert page.shared.file.told.said().startswith("This file and passphrase do not open a practice root")
    assert read(program, own_root) is None


def test_a_root_whose_file_is_lost_is_given_up_and_nothing_is_asked_any_more(program: Program) -> None:
    page = apart(program)
    before = read(program, own_root)
    first = next(one.certificate for one in read(program, roots_of) if one.certificate != before)
    asked = page.shared.lost[0]
    asked.key.click()
    assert asked.question.isVisibleTo(page)
    assert fingerprint(first)[:19] in "\n".join(each.said() for each in asked.question.findChildren(Words))
    asked.keep.click()
    assert not asked.question.isVisibleTo(page)
    assert not any(root.given_up for root in read(program, roots_of))
    asked.key.click()
    asked.sure.click()
    wait_for(lambda: "Two roots in the practice" not in words(page))
    assert [root.given_up for root in read(program, roots_of)] == [True, False]


def test_where_the_root_was_made_another_one_is_told_with_its_fingerprint(program: Program) -> None:
    page = another(program)
    assert "Another device of the practice seals under another root" in words(page)
    assert "The other root" in words(page)


def test_where_the_practices_root_is_the_root_of_a_lost_device_is_given_up(program: Program) -> None:
    page = another(program)
    other = read(program, roots_of)[1].certificate
    asked = page.shared.lost[0]
    asked.key.click()
    assert fingerprint(other)[:19] in "\n".join(each.said() for each in asked.question.findChildren(Words))
    asked.sure.click()
    wait_for(lambda: "Two roots in the practice" not in words(page))
    assert [root.given_up for root in read(program, roots_of)] == [False, True]
    assert read(program, known_senders)[other] == OWN


def test_what_waits_says_that_this_device_has_no_seal_or_another_root(program: Program) -> None:
    def titles() -> list[str]:
        program.desk.caseload()
        page = program.to("caseload")
        assert isinstance(page, CaseloadPage)
        program.idle()
        wanted = ("No seal on this device yet", "Two roots in the practice")
        return [each.said() for each in page.findChildren(Words) if each.said() in wanted]

    assert titles() == []
    elsewhere(program)
    assert titles() == ["No seal on this device yet"]
    page = seals(program)
    page.shared.own.click()
    wait_for(lambda: "Two roots in the practice" in words(page))
    assert titles() == ["Two roots in the practice"]


def test_what_waits_says_so_in_words_that_are_true_of_each_standing(program: Program) -> None:
    def told(standing: Standing, *, root_waits: bool = False) -> list[str]:
        caseload = Caseload((), (), root_waits, None, True, Sealing(standing))
        return [each.words for each in waiting(caseload, program.desk.session) if "seal" in each.words.lower()]

    every = {standing: told(standing) for standing in Standing}
    assert every.pop(Standing.FIRST) == []
    assert len({words for (words,) in every.values()}) == len(every) == 4
    assert not any("made on another device" in words for (words,) in every.values())
    assert "no root of the practice has reached" in every[Standing.UNKNOWN][0]
    assert told(Standing.AWAY, root_waits=True) == []  # it is made as soon as both names are there


def test_a_second_consultant_is_told_that_the_key_of_this_devices_root_is_in_its_file(program: Program) -> None:
    page = second(program)
    assert "No seal of yours on this device yet" in words(page)
    assert "another device" not in words(page)
    under(page, root_place(program), ROOT_WORDS)
    wait_for(lambda: "The practice’s own" in words(page))
    assert len(read(program, roots_of)) == 1


def test_a_second_consultant_is_not_sealed_unasked_under_a_root_that_is_not_the_practices(tablet: At) -> None:
    make_seals(tablet.store, AUTHOR, practice=NAME, name="Rowan Vale", now=t.NOW)
    tell_own(tablet.store, AUTHOR)
    assert root_waits(tablet.store)
    tablet.session.author = "a5" * 16
    asked(tablet)
    assert kept_seal(tablet.store, "a5" * 16) is None


def test_an_office_device_is_started_quietly_and_offered_only_what_its_role_lets_it_do(tablet: At) -> None:
    tablet.store.exchange().tell({"role": str(Role.OFFICE)})
    asked(tablet)
    page = page_of(tablet)
    assert "this device does not sign" in words(page)
    before = page.shared
    before.own.click()
    wait_for(lambda: page.shared is not before)
    assert "This device seals under another root than the practice’s" in words(page)
    assert page.shared.lost == []
    assert len(roots_of(tablet.store)) == 1
    asked(tablet)
