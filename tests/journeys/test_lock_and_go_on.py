"""Locking in the middle of a visit and going on where one was: what is typed, where one stands, and the feed clock."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from demo_db.build import PASSPHRASE
from desktop.locking import WARNING_SECONDS
from forms.visit import Jot
from tests.helpers.charting import Charter
from tests.helpers.person import K, Machine, said

SitDown = Callable[[Path], Charter]


@pytest.fixture
def visiting(sit_down: SitDown, store: Path) -> Charter:
    """At the unfinished visit of the Lindqvist-Oseis."""
    person = sit_down(store)
    person.unlock(PASSPHRASE)
    person.press_beside("Go on", "Lindqvist-Osei, Bram")
    person.until_page("visit")
    person.until_idle()
    return person


def test_after_the_lock_one_stands_at_the_same_question_and_the_draft_is_kept(visiting: Charter) -> None:
    person = visiting
    person.go_to("infant_history.more", "Bram")
    box = person.question("infant_history.more").controls()[0]
    person.click(box)
    person.keys("Smiles at his brother")
    person.lock()
    assert not person.sees("Bram")
    assert not person.sees("Smiles")
    person.unlock(PASSPHRASE)
    person.until_page("visit")
    person.until(lambda: person.visit.spot.moment == "story", "the story")
    assert person.sees("Bram’s days")
    assert person.focused() == ("infant_history", "more")
    assert person.value("infant_history.more") == "Smiles at his brother"
    person.control(K.Key_End)
    person.keys(", and at me")
    person.key(K.Key_Tab)
    person.saved()
    assert person.value("infant_history.more") == "Smiles at his brother, and at me"


def test_text_that_cannot_be_read_yet_stays_after_another_page_and_changes_nothing(visiting: Charter) -> None:
    person = visiting
    before = person.value("infant_history.wets_24h", "Bram")
    person.answer("infant_history.wets_24h", "six or so", "Bram")
    person.section("story.waking")
    question = person.go_to("infant_history.wets_24h")
    assert person.sees("six or so", question)
    assert person.sentence("infant_history.wets_24h").startswith("Write this as a number in digits")
    assert question.binding.value("wets_24h") == before


def test_the_clock_of_a_feed_runs_on_the_lock_screen_and_a_noted_time_is_a_jot_afterwards(
    visiting: Charter, machine: Machine
) -> None:
    person = visiting
    person.section("feed.which", "Bram")
    person.press("Another feed: Signe feeding Bram")
    person.key(K.Key_F2)
    person.saved()
    assert person.visit.middle.title.said() == "Signe feeding Bram"
    machine.pass_by(minutes=7, seconds=5)
    person.lock()
    assert person.page.objectName() == "feed_lock"
    shown = said(person.window)
    for words in ("7:05", "Emergency: 911", "Note this time"):
        assert words in shown
    for words in ("Bram", "Signe", "Lindqvist", "left", "right"):
        assert words not in shown
    machine.pass_by(minutes=2)
    person.press("Note this time")
    person.until_sees("1 time noted")
    person.press("Unlock")
    person.unlock(PASSPHRASE)
    person.until_page("visit")
    person.until_sees("16:39 Time noted on the lock screen")
    jots = person.home.chart.all(Jot, visit=person.home.chart.visit)
    assert [jot.answers.noted.local().strftime("%H:%M") for jot in jots] == ["16:39"]  # type: ignore[union-attr]
    assert not (person.folder / "noted-times").exists()


def test_before_it_locks_by_itself_it_warns_and_any_key_puts_the_lock_off(visiting: Charter, machine: Machine) -> None:
    person = visiting
    idle = person.program.idle

    def pass_untouched(seconds: int) -> None:
        for _each in range(0, seconds, 50):
            machine.pass_by(seconds=min(50, seconds))
            idle.tick()

    idle.touch()
    pass_untouched(300 - WARNING_SECONDS - 30)
    machine.pass_by(seconds=25)
    idle.tick()
    assert not person.sees("Locks in")
    machine.pass_by(seconds=10)
    idle.tick()
    assert person.sees("Any key or touch keeps it open")
    person.key(K.Key_Shift)
    assert not person.sees("Locks in")
    pass_untouched(250)
    assert person.program.gate.session is not None
    machine.pass_by(seconds=40)
    idle.tick()
    assert person.sees("Locks in 10 s")
    machine.pass_by(seconds=10)
    idle.tick()
    person.until(lambda: person.program.gate.session is None, "the lock")
    person.until_page("unlock")
    assert person.sees("It locked by itself")


def test_while_a_feed_is_watched_it_waits_half_an_hour_before_it_locks(visiting: Charter, machine: Machine) -> None:
    person = visiting
    person.section("feed.which", "Bram")
    person.press("Another feed: Signe feeding Bram")
    person.key(K.Key_F2)
    idle = person.program.idle
    for _each in range(35):
        machine.pass_by(seconds=50)
        idle.tick()
    assert person.program.gate.session is not None
    assert not person.sees("Locks in")
    machine.pass_by(seconds=50)
    idle.tick()
    machine.pass_by(seconds=5)
    idle.tick()
    person.until(lambda: person.program.gate.session is None, "the lock")
    assert person.page.objectName() == "feed_lock"


def test_a_machine_that_slept_is_locked_when_it_wakes(visiting: Charter, machine: Machine) -> None:
    person = visiting
    machine.at = machine.at.replace(hour=(machine.at.hour + 1) % 24)
    person.program.idle.tick()
    person.until(lambda: person.program.gate.session is None, "the lock")
