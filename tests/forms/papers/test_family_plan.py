"""The family's plan says what was agreed, in the family's words and numbers, and nothing else."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from forms.answers import Conflicted, Quantity, Variant
from forms.chart import Entry, Place, entry_id
from forms.infant import InfantAssessment
from forms.papers.amounts import milk
from forms.papers.call_now import call_now
from forms.papers.calls import NoEmergencyNumber
from forms.papers.family_plan import TooManyTasks, family_plan
from forms.papers.outline import Alarm, Arrow, Beads, Cups, Outline, Task, words_of
from forms.papers.referral import referral
from forms.people import InfantIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.practice import Practice
from forms.thresholds import Thresholds
from forms.trouble import Unresolved
from tests.helpers import thornbury as t

PLAN = entry_id(Plan, t.VISIT)
PRACTICE = entry_id(Practice)


def made(*changes: object, chart: object = None, **more: object) -> Outline:
    return family_plan(chart or t.whole(), writer=t.WRITER, now=t.NOW, **more)  # type: ignore[arg-type]


def disputed(*values: object) -> Conflicted:
    return Conflicted(tuple(Variant(v, t.WRITER, t.NOW, "d", str(n)) for n, v in enumerate(values)))


def test_the_parts_stand_in_their_order() -> None:
    said = words_of(made())
    parts = ("Your goal", "What went well", "Do these three things", "How much", "Call now if", "What comes next",
             "This plan is about feeding", "Rowan Vale, RN, lactation consultant")  # fmt: skip
    assert [said.index(part) for part in parts] == sorted(said.index(part) for part in parts)


def test_goal_tasks_amounts_times_and_call_lines_are_all_there() -> None:
    said = words_of(made())
    for expected in (
        "Our plan for Ida and Juno", "for Mara and Jonas, Tuesday 3 March 2026",
        "“I want to feed both of them without it hurting.”", "2,680 g (5 lb 14.5 oz)", "2,610 g (5 lb 12.1 oz)",
        "1. Feed each baby when she turns her head", "at least 8 times in a day and a night", "count to 30",
        "30 mL (1 oz)", "4 times", "120 mL (4 oz)", "Dr Amadi, 3 March", "Your own milk, then donor milk.",
        "Call 911 now if Ida or Juno", "38.0 °C (100.4 °F) or more", "Call Dr Amadi, 555 0134, today,",
        "Mara, call Bea Holloway, 555 0177, now", "988", "Friday 6 March, 10:30", "Rowan, on Friday", "555 0190",
    ):  # fmt: skip
        assert expected in said


def test_changing_one_answer_changes_the_paper() -> None:
    changed = t.changed(t.whole(), entry_id(FeedingAmount, t.VISIT, (t.IDA,)), times_per_day=6)
    said = words_of(made(chart=changed))
    assert "6 times" in said
    assert "180 mL (6.1 oz)" not in said
    assert "180 mL (6 oz)" in said


def test_a_family_that_speaks_in_ounces_reads_ounces_first() -> None:
    changed = t.changed(t.whole(), t.FAMILY, units_spoken="us")
    said = words_of(made(chart=changed))
    assert "1 oz (30 mL)" in said
    assert "5 lb 14.5 oz (2,680 g)" in said


@pytest.mark.parametrize(
    ("typed", "unit", "first", "times", "expected"),
    [
        ("30", "mL", "mL", 1, ("30 mL", "1 oz")),
        ("30", "mL", "mL", 4, ("120 mL", "4 oz")),
        ("1", "fl_oz", "fl_oz", 4, ("4 oz", "118 mL")),
        ("45", "mL", "mL", 1, ("45 mL", "1.5 oz")),
        ("10", "mL", "mL", 1, ("10 mL", "0.3 oz")),
        ("1.5", "fl_oz", "fl_oz", 1, ("1.5 oz", "44 mL")),
        ("2.5", "mL", "mL", 1, ("2.5 mL", "0.1 oz")),
    ],
)
def test_amounts_are_whole_numbers_unless_that_would_change_them(
    typed: str, unit: str, first: str, times: int, expected: tuple[str, str]
) -> None:
    assert milk(Quantity(typed, unit, 30), first, times) == expected


def test_an_amount_nobody_agreed_to_says_so() -> None:
    changed = t.changed(
        t.whole(), entry_id(FeedingAmount, t.VISIT, (t.IDA,)), agreed="to_be_agreed", agreed_with=None, agreed_at=None
    )
    assert "agreed with: to be agreed" in words_of(made(chart=changed))


def test_pictures_repeat_the_number_in_the_words() -> None:
    tasks = [block for block in made().blocks if isinstance(block, Task)]
    assert [task.picture for task in tasks] == [Beads(8), Arrow("30", "again"), Cups(4)]


def test_words_without_one_number_get_no_picture() -> None:
    changed = t.changed(t.whole(), "task1", how_often="8-12 times a day")
    tasks = [block for block in made(chart=changed).blocks if isinstance(block, Task)]
    assert tasks[0].picture is None


def test_a_fourth_task_is_refused() -> None:
    with pytest.raises(TooManyTasks, match="three main tasks"):
        made(chart=t.whole(t.entry(PlanTask, named="task4", what="More", order=3)))


def test_without_an_emergency_number_no_paper_leaves_and_the_sentence_says_where_to_set_it() -> None:
    for empty in (None, "", "   "):
        chart = t.changed(t.whole(), PRACTICE, emergency_number=empty)
        with pytest.raises(NoEmergencyNumber, match="Set it under Practice"):
            family_plan(chart, writer=t.WRITER, now=t.NOW)
        with pytest.raises(NoEmergencyNumber, match="Set it under Practice"):
            call_now(chart, writer=t.WRITER, now=t.NOW)
        with pytest.raises(NoEmergencyNumber, match="Set it under Practice"):
            referral(chart, t.LETTER, writer=t.WRITER, now=t.NOW)


def test_two_values_for_an_answer_hold_the_plan_back() -> None:
    with pytest.raises(Unresolved, match="settle which one holds"):
        made(chart=t.changed(t.whole(), PLAN, goal=disputed("this", "that")))
    with pytest.raises(Unresolved):
        made(chart=t.changed(t.whole(), PLAN, comfort_care=disputed("this", "that")))


def test_a_plan_of_an_unsigned_note_says_so_and_a_signed_one_does_not() -> None:
    assert "Given before the note was finished." in words_of(made(chart=t.whole(signed=False)))
    assert "Given before the note was finished." not in words_of(made())


def test_a_sign_that_cannot_wait_stands_first_with_its_number() -> None:
    seen = t.whole(t.entry(InfantAssessment, t.IDA, waking="cannot_be_woken"))
    blocks = made(chart=seen).blocks
    alarm = next(block for block in blocks if isinstance(block, Alarm))
    assert "911" in alarm.act
    assert blocks.index(alarm) == 1
    assert any("Ida" in "".join(span.text for span in line) for line in alarm.seen)
    assert not [block for block in made().blocks if isinstance(block, Alarm)]


def test_an_older_babys_fever_is_a_call_the_same_day() -> None:
    born = t.NOW - timedelta(days=150)
    chart = t.whole()
    for baby in (t.IDA, t.JUNO):
        held = chart.by_id(baby)
        assert held is not None
        assert isinstance(held.answers, InfantIdentity)
        chart = t.changed(chart, baby, born=replace(held.answers.born, at=born))  # type: ignore[type-var]
    said = words_of(made(chart=chart))
    emergency = next(row for row in said.splitlines() if row.startswith("Call 911 now if Ida"))
    assert "38.0" not in emergency
    assert "39.0 °C (102.2 °F) or more" in said


def test_a_stricter_house_limit_of_fever_is_the_one_the_family_is_told() -> None:
    house = Thresholds(fever=Quantity("37.5", "C", 375))
    place = Place(Thresholds.name)
    chart = t.whole().with_entry(Entry(entry_id(Thresholds), place, house, t.WRITER, t.NOW))
    emergency = next(row for row in words_of(made(chart=chart)).splitlines() if row.startswith("Call 911 now if Ida"))
    assert "37.5 °C (99.5 °F) or more" in emergency
    assert "38.0" not in emergency


def test_the_familys_own_words_are_used() -> None:
    chart = t.changed(t.whole(), t.MARA, body_word="chest", milk_word="chest_milk")
    chart = t.changed(chart, "task3", what="Offer 10 mL by a tube at the breast or chest.")
    said = words_of(made(chart=chart))
    assert "tube at the chest." in said
    assert "Your own chest milk" in said


def test_title_pronouns_and_the_words_for_body_feeding_and_milk_stand_on_the_plan() -> None:
    chart = t.changed(
        t.whole(), t.MARA, family_title="Nopa", pronouns="they", body_word="chest", feeding_word="chestfeeding"
    )
    said = words_of(made(chart=chart))
    assert "for Mara (Nopa) and Jonas" in said
    assert "Your goal for chestfeeding" in said
    assert "a hot red leg or chest" in said
    assert "If Mara cannot, call for them." in said


def test_without_pronouns_the_plan_says_the_name_again() -> None:
    assert "If Mara cannot, call for Mara." in words_of(made())


def test_a_task_in_the_familys_own_word_for_feeding_is_pictured_as_feeds() -> None:
    chart = t.changed(t.whole(), t.MARA, feeding_word="other", feeding_word_own="chest time")
    chart = t.changed(chart, "task3", what="Offer chest time.", how_often="8 times")
    assert Task(3, (), Beads(8)).picture in [b.picture for b in made(chart=chart).blocks if isinstance(b, Task)]


def test_a_word_in_dispute_is_settled_before_a_plan_is_made_and_named_on_the_call_now_page() -> None:
    chart = t.changed(t.whole(), t.MARA, body_word=disputed("breast", "chest"))
    with pytest.raises(Unresolved, match="Own word for the body"):
        made(chart=chart)
    page = words_of(call_now(chart, writer=t.WRITER, now=t.NOW))
    assert "Not settled, so plain words stand here: Own word for the body." in page
    assert "a hot red leg or breast" in page


def test_no_plan_calls_anything_a_failure_or_an_illness() -> None:
    said = words_of(made()).lower()
    for word in ("failure", "diagnosis", "disorder", "disease"):
        assert word not in said
