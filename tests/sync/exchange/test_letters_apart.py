"""Two devices of one practice follow one letter apart: what each wrote stands on both, and what differs is told."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from forms.chart import Place
from forms.letters import Letter, letters
from storage.changes import Begin
from storage.store import Store
from sync.handoff.answer_in import answer_file, attached, moved
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, moment, put
from tests.helpers.two_devices import LOCUM, Devices, devices
from tests.sync.test_answer_in import pdf

LETTER, OURS, THEIRS = "7" * 32, "8" * 32, "9" * 32
TODAY = date(2026, 3, 4)


@pytest.fixture
def both(tmp_path: Path) -> Iterator[Devices]:
    found = devices(tmp_path)
    asked = (Begin(LETTER, Place("referral", FAMILY, VISIT, (BABY,))), put(LETTER, "state", "sent"))
    found.laptop.write(asked, author=AUTHOR)
    meet(found)
    yield found
    found.close()


def meet(found: Devices) -> None:
    """Each meets the other's newest."""
    for store in (found.laptop, found.tablet, found.laptop):
        found.meet(store)


def letter(store: Store) -> Letter:
    (one,) = letters(store.chart(FAMILY), TODAY)
    return one


def answered(store: Store, author: str, which: str, outcome: str, words: str) -> None:
    place = Place("letter_answer", FAMILY, None, (BABY,))
    given = {"letter": LETTER, "came": moment(4), "from_whom": "Front desk", "outcome": outcome, "words": words}
    puts = (put(which, name, value) for name, value in given.items())
    store.write((Begin(which, place), *puts), author=author)
    store.write(tuple(moved(letter(store), "answered", "", moment(4))), author=author)


def test_two_answers_written_apart_both_stand_on_both_devices_and_are_told_to_differ(both: Devices) -> None:
    answered(both.laptop, AUTHOR, OURS, "treats", "They will see her on Friday.")
    answered(both.tablet, LOCUM, THEIRS, "declined", "They have no places.")
    meet(both)
    for store in (both.laptop, both.tablet):
        one = letter(store)
        assert {entry.answers.words for entry in one.answers} == {
            "They will see her on Friday.",
            "They have no places.",
        }
        assert one.states == ("answered",)
        assert one.differs.startswith("2 answers stand, and they differ: ")


def test_two_states_written_apart_both_stand_until_one_is_chosen_and_then_on_both_devices(both: Devices) -> None:
    both.laptop.write(tuple(moved(letter(both.laptop), "booked", "", moment(4))), author=AUTHOR)
    both.tablet.write(tuple(moved(letter(both.tablet), "lapsed", "No answer", moment(4))), author=LOCUM)
    meet(both)
    for store in (both.laptop, both.tablet):
        assert set(letter(store).states) == {"booked", "lapsed"}
        assert letter(store).differs.startswith("Two devices say where it stands, and differ: ")
    both.tablet.write(tuple(moved(letter(both.tablet), "booked", "", moment(4))), author=LOCUM)
    both.meet(both.tablet)
    both.meet(both.laptop)
    assert (letter(both.laptop).states, letter(both.laptop).differs) == (("booked",), "")


def test_one_answer_changed_apart_is_not_told_to_the_family_before_one_wording_is_chosen(both: Devices) -> None:
    answered(both.laptop, AUTHOR, OURS, "advice", "Wait.")
    meet(both)
    both.laptop.write((put(OURS, "words", "Wait a week."),), author=AUTHOR)
    both.tablet.write((put(OURS, "words", "Wait a month."),), author=LOCUM)
    meet(both)
    one = letter(both.tablet)
    assert one.differs == "Two devices wrote one answer apart: what they answered. Choose which one holds."


def test_the_file_of_an_answer_arrives_whole_on_the_other_device(both: Devices, tmp_path: Path) -> None:
    answered(both.laptop, AUTHOR, OURS, "advice", "Wait.")
    place = tmp_path / "answer.pdf"
    place.write_bytes(pdf())
    both.laptop.write(tuple(attached(both.laptop, OURS, answer_file(place))), author=AUTHOR)
    meet(both)
    (came,) = letter(both.tablet).answers
    assert isinstance(came.answers.file, str)
    assert both.tablet.attachment(came.answers.file) == pdf()
