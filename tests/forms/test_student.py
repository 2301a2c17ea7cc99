"""Which answers stand from a student's hand, and which were changed since: by the operations, on invented visits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from forms.answers import Conflicted, Variant
from forms.ask import Path
from forms.chart import Chart, Entry, Hand, Place, Struck
from forms.infant_history import InfantHistory
from forms.plan import Plan
from forms.practice import Practitioner
from forms.referral import PaperIssued, Referral
from forms.student import Differs, changed_since, charted, co_signature, nameless, students, undated
from forms.visit import Addendum, Jot, Visit
from tests.helpers.thornbury import IDA, JUNO, LETTER, NOW, START, VISIT, WRITER, changed, entry, whole

TAM = "tam"
LATER = NOW + timedelta(hours=3)


def student(**more: Any) -> Entry[Any]:
    given: dict[str, Any] = {"full_name": "Tam Orrel", "practice_role": "student", "supervisor": "Rowan Vale", **more}
    return Entry(TAM, Place("practitioner"), Practitioner(**given), WRITER, START)


def by(who: str, made: Entry[Any], *fields: str, at: Any = START) -> Entry[Any]:
    """The entry with these answers from that hand."""
    hand = Hand(who, int(at.timestamp() * 1000))
    return replace(made, hands={**made.hands, **dict.fromkeys(fields, (hand,))})


def story(**given: Any) -> Entry[Any]:
    return entry(InfantHistory, IDA, **{"feeds_24h": 9, "wets_24h": 7, "operations": "None so far", **given})


def theirs(chart: Chart, person: str = "") -> list[tuple[str, str]]:
    return [(str(one.path), one.by) for one in charted(chart, person) if one.by]


def test_an_answer_is_a_students_while_the_operation_that_stands_is() -> None:
    chart = whole(student(), by(WRITER, by(TAM, story(), "feeds_24h", "wets_24h"), "wets_24h"))
    assert students(chart) == {TAM}
    assert theirs(chart) == [("feeds_24h", TAM)]
    assert theirs(whole(student(), by(WRITER, story(), "feeds_24h"))) == []
    assert theirs(whole(by(TAM, story(), "feeds_24h"))) == []


def test_an_answer_that_was_cleared_and_an_entry_that_was_struck_out_are_no_answers() -> None:
    gone = replace(by(TAM, story(), "feeds_24h"), struck=Struck(WRITER, NOW, "the other baby"))
    assert theirs(whole(student(), by(TAM, story(feeds_24h=None), "feeds_24h"))) == []
    assert theirs(whole(student(), gone)) == []


def test_where_two_devices_wrote_apart_one_of_them_a_students_it_counts() -> None:
    torn = Conflicted((Variant(8, TAM, START, "a", "1"), Variant(9, WRITER, START, "b", "2")))
    made = story(feeds_24h=torn)
    hands: Mapping[str, tuple[Hand, ...]] = {"feeds_24h": (Hand(WRITER, 1), Hand(TAM, 2))}
    assert theirs(whole(student(), replace(made, hands=hands))) == [("feeds_24h", TAM)]


def test_what_tells_of_another_person_alone_is_not_counted_for_one_and_the_visit_is() -> None:
    plan = by(TAM, entry(Plan, goal="Less sore."), "goal")
    chart = whole(student(), by(TAM, story(), "feeds_24h"), plan)
    assert theirs(chart, IDA) == [("feeds_24h", TAM), ("goal", TAM)]
    assert theirs(chart, JUNO) == [("goal", TAM)]


def test_working_notes_and_what_the_program_writes_are_no_part_of_the_visit() -> None:
    jot = by(TAM, entry(Jot, named="jot", words="ask again"), "words")
    issued = by(TAM, entry(PaperIssued, named="issued", paper="call_now"), "paper")
    assert theirs(whole(student(), jot, issued)) == []


def test_what_was_written_after_the_signature_is_not_said_to_be_signed() -> None:
    note = by(TAM, entry(Addendum, named="added", words="Called back."), "words", at=LATER)
    assert theirs(whole(student(), note)) == []
    assert theirs(whole(student(), note, signed=False)) == [("words", TAM)]
    letter = next(one for one in whole().entries if one.id == LETTER)
    assert isinstance(letter.answers, Referral)
    sent = replace(by(TAM, letter, "state", at=LATER), answers=replace(letter.answers, state="sent"))
    assert theirs(whole(student(), sent)) == []
    assert theirs(whole(student(), by(TAM, sent, "urgency", at=LATER))) == [("urgency", TAM)]


def test_who_is_no_student_any_more_was_one_until_the_day_written_down() -> None:
    qualified = student(practice_role="consultant", student_until=date(2026, 3, 3))
    chart = whole(qualified, by(TAM, by(TAM, story(), "feeds_24h"), "wets_24h", at=START + timedelta(days=1)))
    assert theirs(chart) == [("feeds_24h", TAM)]
    assert theirs(whole(student(practice_role="consultant"), by(TAM, story(), "feeds_24h"))) == []


def test_until_that_day_is_written_down_what_was_written_before_the_role_became_another_is_a_students() -> None:
    ended = START + timedelta(hours=1)
    made = by(TAM, by(TAM, story(), "feeds_24h"), "wets_24h", at=LATER)
    chart = replace(whole(student(practice_role="consultant"), made), learners={TAM: int(ended.timestamp() * 1000)})
    assert theirs(chart) == [("feeds_24h", TAM)]
    assert undated(chart) == (TAM,)
    for until, told in ((date(2026, 3, 3), ["feeds_24h", "wets_24h"]), (date(2026, 3, 2), [])):
        dated = chart.with_entry(student(practice_role="consultant", student_until=until))
        assert [field for field, _by in theirs(dated)] == told
        assert undated(dated) == ()
    assert undated(whole(student(), made)) == ()


def test_a_role_that_becomes_another_under_an_open_record_takes_no_line_from_it() -> None:
    chart = replace(whole(student(), by(TAM, story(), "feeds_24h")), learners={TAM: None})
    changed_role = by(WRITER, student(practice_role="consultant"), "practice_role", at=LATER)
    assert theirs(chart.with_entry(changed_role)) == [("feeds_24h", TAM)]


def test_a_student_who_was_struck_out_of_the_practice_charted_as_one_all_the_same() -> None:
    gone = replace(student(), struck=Struck(WRITER, LATER, "left"))
    assert theirs(whole(gone, by(TAM, story(), "feeds_24h"))) == [("feeds_24h", TAM)]


def test_a_students_signature_is_no_co_signature_and_a_consultants_beside_it_is() -> None:
    chart = whole(student(), signed=False)
    (consultants,) = whole().signatures
    students_own = replace(consultants, by=TAM)
    assert co_signature(chart) is None
    assert co_signature(replace(chart, signatures=(students_own,))) is None
    assert co_signature(replace(chart, signatures=(students_own, consultants))) == consultants
    qualified = student(practice_role="consultant", student_until=date(2026, 3, 2))
    assert co_signature(replace(whole(qualified), signatures=(students_own,))) == students_own


def test_a_student_without_a_supervisor_is_asked_about_once_something_is_charted() -> None:
    made = by(TAM, story(), "feeds_24h")
    assert nameless(whole(student(supervisor=None), made)) == (TAM,)
    assert nameless(whole(student(supervisor="  "), made)) == (TAM,)
    assert nameless(whole(student(), made)) == ()
    assert nameless(whole(student(supervisor=None))) == ()


def test_what_somebody_changed_is_told_with_what_it_was_and_the_same_again_is_none() -> None:
    first = by(TAM, story(), "feeds_24h", "wets_24h", "operations")
    then = by(TAM, replace(first, answers=replace(first.answers, feeds_24h=8)), "feeds_24h")
    last = by(WRITER, replace(then, answers=replace(then.answers, feeds_24h=10, operations=None)),
              "feeds_24h", "wets_24h", "operations")  # fmt: skip
    chart = whole(student(), last)
    log = [(name, first) for name in ("feeds_24h", "wets_24h", "operations")] + [("feeds_24h", then)]
    log += [(name, last) for name in ("feeds_24h", "wets_24h", "operations")]
    assert changed_since(chart, log) == (
        Differs(last, Path("feeds_24h"), TAM, 8), Differs(last, Path("operations"), TAM, "None so far"),
    )  # fmt: skip
    assert changed_since(whole(student(), first), log[:3]) == ()
    again = by(TAM, last, "feeds_24h", "operations")
    assert changed_since(whole(student(), again), [*log, ("feeds_24h", again)]) == ()


def test_what_was_struck_out_is_told_once_unless_the_student_did_it() -> None:
    first = by(TAM, story(), "feeds_24h", "wets_24h")
    log = [("feeds_24h", first), ("wets_24h", first)]
    struck = replace(first, struck=Struck(WRITER, NOW, "the other baby"))
    assert changed_since(whole(student(), struck), log) == (Differs(struck, None, TAM),)
    own = replace(first, struck=Struck(TAM, NOW, "the other baby"))
    assert changed_since(whole(student(), own), log) == ()


def test_what_was_written_at_another_visit_is_none_of_this_one() -> None:
    earlier = by(TAM, replace(story(), place=Place("infant_history", "family", "before", (IDA,))), "feeds_24h")
    assert changed_since(whole(student(), earlier), [("feeds_24h", earlier)]) == ()
    assert theirs(changed(whole(student()), VISIT)) == []
    head = next(one for one in whole().entries if one.id == VISIT)
    assert isinstance(head.answers, Visit)
    assert theirs(whole(student(), by(TAM, head, "reason"))) == [("reason", TAM)]
