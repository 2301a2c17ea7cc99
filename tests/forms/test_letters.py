"""Each state of a letter and each move between states; the day an answer was hoped for; releases; answers apart."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Any

import pytest

from forms.answers import Absence, Absent, Conflicted, Moment, Variant
from forms.ask import ask_of
from forms.chart import Chart, Entry, Place, Struck
from forms.consent import Release
from forms.letter_answer import LetterAnswer
from forms.letters import AWAITED, FINISHED, NEXT, SAYS, Due, Letter, due_on, letters, why_not_yet
from forms.practice import Provider
from forms.referral import Referral
from tests.helpers.whole_visit import FAMILY, IDA, START, add, at, entry, whole

DOCTOR, DUE = "doctor", date(2026, 3, 16)
STATES = tuple(ask_of(Referral, "state").options)


def apart(*values: Any) -> Conflicted:
    return Conflicted(tuple(Variant(v, "a", START, f"device {n}", f"op{n}") for n, v in enumerate(values)))


def release(**given: Any) -> Entry[Any]:
    asked: dict[str, Any] = {
        "recipient": DOCTOR, "scope": ("referral",), "valid_from": date(2026, 3, 1), "valid_until": date(2026, 12, 31),
        "withdrawn_at": None,
    } | given  # fmt: skip
    return Entry("release", Place("release", FAMILY, None, (IDA,)), Release(**asked), "author", START)


def came(named: str = "answer", **given: Any) -> Entry[Any]:
    asked: dict[str, Any] = {
        "letter": "letter", "came": at(30), "from_whom": "Dr Aud", "outcome": "advice", "words": "Wait a week.",
    } | given  # fmt: skip
    return Entry(named, Place("letter_answer", FAMILY, None, (IDA,)), LetterAnswer(**asked), "author", START)


def chart(state: Any = "sent", *more: Entry[Any], released: bool = True, **given: Any) -> Chart:
    asked: dict[str, Any] = {"to": DOCTOR, "reply_by": DUE, "state": state} | given
    letter = entry(Referral, IDA, named="letter")
    letter = replace(letter, answers=replace(letter.answers, **asked))
    doctor = Entry(DOCTOR, Place("provider"), Provider(full_name="Dr Aud"), "author", START)
    return add(whole(IDA), doctor, letter, *((release(),) if released else ()), *more)


def one(made: Chart, today: date = DUE) -> Letter:
    (found,) = letters(made, today)
    return found


@pytest.mark.parametrize("state", STATES)
def test_each_state_says_where_it_goes_from_there_and_in_its_own_words(state: str) -> None:
    letter = one(chart(state, came(told_at=at(40))))
    assert letter.says == ask_of(Referral, "state").options[state]
    assert letter.moves == NEXT[state]
    assert [why_not_yet(letter, to) for to in NEXT[state]] == [""] * len(NEXT[state])
    assert all(why_not_yet(letter, to) for to in STATES if to not in NEXT[state])
    assert letter.finished is (state in FINISHED)


def test_the_whole_loop_can_be_walked_one_step_at_a_time() -> None:
    walk = ("drafted", "sent", "received", "booked", "seen", "answered", "told_family", "closed")
    assert all(after in NEXT[before] for before, after in pairwise(walk))
    assert set(NEXT) == set(STATES)
    assert {to for steps in NEXT.values() for to in steps} | {"drafted"} == set(STATES)


def test_an_ending_without_an_answer_says_why_and_what_was_sent_says_how() -> None:
    said = {state: field for state, (_, field) in SAYS.items()}
    assert said == {
        "sent": "sent_how", "told_family": "told_whom", "declined": "state_why", "lapsed": "state_why",
        "family_chose_not": "state_why",
    }  # fmt: skip


@pytest.mark.parametrize(("days", "standing"), [(-1, Due.LATER), (0, Due.TODAY), (1, Due.OVERDUE)])
def test_an_answer_is_late_on_the_day_after_and_not_on_the_day_itself(days: int, standing: Due) -> None:
    assert one(chart(), DUE + timedelta(days=days)).standing is standing


@pytest.mark.parametrize("state", STATES)
def test_only_a_letter_whose_answer_is_still_hoped_for_is_late(state: str) -> None:
    letter = one(chart(state), DUE + timedelta(days=40))
    assert letter.standing is (Due.OVERDUE if state in AWAITED else Due.NOT_AWAITED)


def test_a_letter_without_a_day_is_never_called_in_time() -> None:
    assert one(chart(reply_by=Absent(Absence.NOT_ASKED)), date(2030, 1, 1)).standing is Due.NO_DAY


def test_with_two_days_the_earlier_counts_and_with_two_states_one_that_waits_is_enough() -> None:
    two = chart(apart("closed", "sent"), reply_by=apart(DUE, DUE + timedelta(days=9)))
    assert due_on(one(two).entry.answers, DUE + timedelta(days=1)) == (DUE, Due.OVERDUE)


def test_a_state_of_a_newer_version_is_named_waited_for_and_goes_nowhere() -> None:
    letter = one(chart("a new state"), DUE + timedelta(days=1))
    assert "newer version" in letter.says
    assert (letter.moves, letter.standing, letter.finished) == ((), Due.OVERDUE, False)


def test_a_letter_nobody_said_anything_of_is_not_taken_for_drafted() -> None:
    letter = one(chart(None))
    assert letter.says == "Not said where it stands"
    assert letter.moves == ("drafted", "sent")
    assert not letter.finished


def test_overdue_letters_come_first_and_the_longest_overdue_before_them() -> None:
    made = chart("sent", reply_by=date(2026, 3, 20))
    late = replace(entry(Referral, IDA, named="late", to=DOCTOR, reply_by=date(2026, 3, 9), state="booked"))
    later = replace(entry(Referral, IDA, named="later", to=DOCTOR, reply_by=date(2026, 3, 12), state="sent"))
    done = replace(entry(Referral, IDA, named="done", to=DOCTOR, reply_by=date(2026, 3, 1), state="closed"))
    found = letters(add(made, later, done, late), date(2026, 3, 14))
    assert [each.entry.id for each in found] == ["late", "later", "letter", "done"]


def test_a_struck_letter_is_followed_no_more() -> None:
    made = chart()
    letter = made.by_id("letter")
    assert letter is not None
    assert letters(made.with_entry(replace(letter, struck=Struck("author", START, "slip"))), DUE) == ()


def test_a_withdrawn_release_is_told_and_keeps_the_letter_from_going_out() -> None:
    gone = release(withdrawn_at=Moment(datetime(2026, 3, 2, 9, tzinfo=START.tzinfo), "Europe/London"))
    letter = one(chart("drafted", gone, released=False))
    assert "was withdrawn" in letter.release
    assert why_not_yet(letter, "sent") == letter.release
    assert why_not_yet(letter, "lapsed") == ""


def test_a_release_that_ended_or_was_never_given_is_told_too() -> None:
    for rows in ((), (release(valid_until=date(2026, 3, 15)),), (release(scope=("plan",)),)):
        letter = one(chart("drafted", *rows, released=False))
        assert letter.release == "No release to Dr Aud holds today. Ask for one before anything more is sent."


def test_a_letter_to_two_providers_is_sent_to_neither() -> None:
    letter = one(chart("drafted", to=apart(DOCTOR, "other")))
    assert why_not_yet(letter, "sent") == "No recipient is certain, so no release can be looked for."


def test_the_answer_is_in_once_it_is_written_down_and_told_once_it_is_whole() -> None:
    assert why_not_yet(one(chart("sent")), "answered") == "Write the answer down first."
    assert why_not_yet(one(chart("answered")), "told_family") == "Write the answer down first."
    half = one(chart("answered", came(words=None)))
    assert why_not_yet(half, "told_family") == "Write down what came of it and what they answered first."
    assert why_not_yet(one(chart("answered", came())), "told_family") == ""


@pytest.mark.parametrize("state", sorted(FINISHED))
def test_one_more_answer_after_the_end_opens_the_letter_again_until_the_family_knows_it(state: str) -> None:
    letter = one(chart(state, came(told_at=at(40)), came("later")))
    assert not letter.finished
    assert letter.moves == ("answered", *NEXT[state])
    assert why_not_yet(letter, "answered") == ""
    assert one(chart(state, came(told_at=at(40)), came("later", told_at=at(50)))).finished


def test_an_answer_to_another_letter_or_one_struck_out_answers_nothing() -> None:
    struck = replace(came("struck"), struck=Struck("author", START, "wrong letter"))
    assert one(chart("sent", came(letter="another"), struck)).answers == ()


def test_two_devices_that_say_different_states_are_asked_which_holds() -> None:
    letter = one(chart(apart("booked", "declined"), came()))
    assert letter.differs.startswith("Two devices say where it stands, and differ: Booked or Declined by the provider.")
    assert letter.moves == ("booked", "declined")
    assert not letter.finished


def test_two_answers_that_differ_both_stand_and_say_so() -> None:
    letter = one(chart("answered", came(), came("other", outcome="treats", words="Seen on Friday.")))
    assert [each.id for each in letter.answers] == ["answer", "other"]
    assert (
        "2 answers stand, and they differ: advice for us and the family or they treat or take over." in letter.differs
    )
    assert one(chart("answered", came(), came("other"))).differs == ""


def test_one_answer_written_apart_names_what_stands_twice_and_is_not_told() -> None:
    letter = one(chart("answered", came(words=apart("Wait.", "Come on Friday."))))
    assert letter.differs == "Two devices wrote one answer apart: what they answered. Choose which one holds."
    assert why_not_yet(letter, "told_family").startswith("Write down what came of it")
