"""Closing care: what is open, who owns it, and what keeps care from being closed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from forms.answers import Absence, Absent, Conflicted, Moment, Variant
from forms.ask import Need, Path, asks
from forms.chart import Chart, Entry, Place, Struck, entry_id
from forms.closing import OWNERS, Closing, Loop, StateAtEnd
from forms.contact import Contact, UrgentContact
from forms.form import with_value
from forms.loops import WRITTEN_BY_PROGRAM, closable, open_loops, owned, standing_closing
from forms.plan import Plan, PlanTask
from forms.practice import Practice, Provider
from forms.referral import Referral
from forms.retention import Keeping, keeping
from forms.visit import Visit
from tests.helpers.whole_visit import FAMILY, IDA, JUNO, MARA, START, ZONE, add, at, entry, put, whole

DOCTOR = "doctor"
CLOSING = "closing"
ENDED = date(2026, 3, 3)


def practice(**given: Any) -> Entry[Any]:
    return Entry(entry_id(Practice), Place("practice"), Practice(**given), "author", START)


def letter(state: Any = "sent", named: str = "letter", **more: Any) -> Entry[Any]:
    return entry(Referral, IDA, named=named, to=DOCTOR, state=state, **more)


def loop(of: str, owner: str = "family", **more: Any) -> Entry[Any]:
    return entry(Loop, visit=None, named=f"loop-{of}", closing=CLOSING, of=of, owner=owner, **({"told": True} | more))


def ending(*people: str, **given: Any) -> Chart:
    """A whole visit, and a closing of these people's care with everything answered and every loop owned."""
    asked = {"reason": "goal_met", "covers": people, "kept": "rule", "given_family": ("summary",)} | given
    closing = entry(Closing, visit=None, named=CLOSING, **asked)
    bare = Closing(
        **{name: getattr(closing.answers, name) for name in asks(Closing) if name not in ("closed_at", "closed_by")}
    )
    chart = add(
        whole(IDA, JUNO), practice(keep_rule="Rule of this place", keep_years=10),
        Entry(DOCTOR, Place("provider"), Provider(full_name="Dr Aud"), "author", START),
        replace(closing, answers=bare),
        *(entry(StateAtEnd, who, visit=None, named=f"state-{who}", closing=CLOSING) for who in people if who != MARA),
    )  # fmt: skip
    return replace(add(chart, *(loop(one.entry) for one in open_loops(chart))), visit=None)


def test_care_with_everything_answered_and_owned_can_be_closed() -> None:
    assert closable(ending(MARA, IDA, JUNO), CLOSING) == ()


def test_a_closing_never_begun_cannot_be_closed() -> None:
    assert closable(whole(), CLOSING) == ("This closing has not been begun.",)


def test_each_open_thing_without_an_owner_keeps_care_from_being_closed() -> None:
    chart = ending(MARA, IDA)
    rows = chart.all(Loop)
    assert len(rows) == len(open_loops(chart)) == 2  # the task and what comes next
    for row in rows:
        bare = replace(chart, entries=tuple(e for e in chart.entries if e is not row))
        (reason,) = closable(bare, CLOSING)
        assert reason.startswith("Nobody owns this yet. ")
        struck: Entry[Any] = replace(row, struck=Struck("author", START, "slip"))
        assert closable(chart.with_entry(struck), CLOSING) == (reason,)
    assert {closable(replace(chart, entries=tuple(e for e in chart.entries if e is not row)), CLOSING) for row in rows} == {
        ("Nobody owns this yet. Task: as told",), ("Nobody owns this yet. Comes next: a visit at home",),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("owner", "more", "is_owned"),
    [
        ("family", {"told": True}, True),
        ("family", {"told": False}, False),
        ("family", {"told": None}, False),
        ("provider", {"told": True, "owner_name": "Dr Aud"}, True),
        ("provider", {"told": True, "owner_name": None}, False),
        ("provider", {"told": False, "owner_name": "Dr Aud"}, False),
        ("next_consultant", {"told": True, "owner_name": "Robin"}, True),
        ("next_consultant", {"told": True, "owner_name": "  "}, False),
        ("practice", {"owner_name": "Rowan"}, True),
        ("practice", {"owner_name": None}, False),
        ("settled", {"settled_how": "answer came"}, True),
        ("settled", {"settled_how": None}, False),
        (None, {}, False),
        (Absent(Absence.NOT_ASKED), {}, False),
        (
            Conflicted((Variant("family", "a", START, "one", "op1"), Variant("practice", "a", START, "two", "op2"))),
            {},
            False,
        ),
    ],
)
def test_a_loop_is_owned_by_somebody_named_who_knows_it(owner: Any, more: dict[str, Any], is_owned: bool) -> None:
    assert owned(Loop(closing=CLOSING, of="letter", owner=owner, **more)) is is_owned
    assert set(OWNERS) == {"family", "provider", "next_consultant", "practice", "settled"}


@pytest.mark.parametrize(
    ("state", "is_open"),
    [
        ("drafted", True), ("sent", True), ("received", True), ("booked", True), ("seen", True), ("answered", True),
        ("declined", True), ("lapsed", True), ("told_family", False), ("closed", False), ("family_chose_not", False),
        (None, True), ("a code of a newer version", True),
    ],
)  # fmt: skip
def test_a_letter_is_open_until_its_answer_is_back_and_the_family_knows_it(state: Any, is_open: bool) -> None:
    chart = ending(MARA, IDA)
    chart = add(chart, replace(letter(), answers=replace(letter().answers, state=state)))
    found = [one.words for one in open_loops(chart) if one.entry == "letter"]
    assert bool(found) is is_open
    if is_open:
        assert found[0].startswith("Letter about ")
        assert "to Dr Aud" in found[0]
        assert closable(chart, CLOSING) == (f"Nobody owns this yet. {found[0]}",)


def test_a_letter_whose_end_is_disputed_is_open() -> None:
    torn = Conflicted((Variant("closed", "a", START, "one", "op1"), Variant("sent", "a", START, "two", "op2")))
    chart = add(ending(MARA, IDA), replace(letter(), answers=replace(letter().answers, state=torn)))
    assert "letter" in {one.entry for one in open_loops(chart)}


def test_somebody_not_reached_is_open_until_a_later_contact_about_that_person_comes_to_an_end() -> None:
    tried = entry(UrgentContact, IDA, named="tried", outcome="tried_not_reached")
    chart = add(ending(MARA, IDA), tried)
    assert "tried" in {one.entry for one in open_loops(chart)}
    for outcome, who, still in (("reached", IDA, False), ("reached", JUNO, True), ("tried_not_reached", IDA, True)):
        later = replace(entry(UrgentContact, who, named="later", outcome=outcome), entered=START + timedelta(hours=1))
        assert ("tried" in {one.entry for one in open_loops(add(chart, later))}) is still, (outcome, who)


def test_the_outcome_of_a_call_is_due_the_next_day_until_a_contact_or_a_visit_after_it() -> None:
    reached = entry(UrgentContact, IDA, named="reached", outcome="reached", at=at(1))
    chart = add(ending(MARA, IDA), reached)
    (loop,) = (one for one in open_loops(chart) if one.entry == "reached")
    assert loop.words == "Outcome of the call about as told"
    assert loop.due == at(1).local().date() + timedelta(days=1)
    for hours, who, still in ((2, (IDA,), False), (2, (), False), (2, (JUNO,), True), (0.5, (IDA,), True)):
        told = entry(Contact, visit=None, named="told", at=at(hours), concerns=who)
        assert ("reached" in {one.entry for one in open_loops(add(chart, told))}) is still, (hours, who)
    later = Entry("later", Place("visit", FAMILY), Visit(kind="home", start=at(24)), "author", START)
    assert "reached" not in {one.entry for one in open_loops(add(chart, later))}


def test_a_try_is_due_when_the_next_one_is() -> None:
    tried = entry(UrgentContact, IDA, named="tried", outcome="tried_not_reached", next_when=at(30))
    (loop,) = (one for one in open_loops(add(ending(MARA, IDA), tried)) if one.entry == "tried")
    assert loop.due == at(30).local().date()


def test_the_newest_plan_counts_and_an_older_one_is_followed_by_it() -> None:
    chart = ending(MARA, IDA)
    head = Visit(kind="home", start=at(24 * 7), end=at(24 * 7 + 1))
    later = Entry("later", Place("visit", FAMILY), head, "author", START + timedelta(days=7))
    after = add(chart, later)
    assert {one.words for one in open_loops(after)} == {"Task: as told"}  # no tasks were made since
    newer = add(after, entry(PlanTask, visit="later", named="newer", order=1, what="Pump at night"))
    assert {one.words for one in open_loops(newer)} == {"Task: Pump at night"}
    assert not open_loops(
        put(
            replace(chart, entries=tuple(e for e in chart.entries if not isinstance(e.answers, PlanTask))),
            Plan,
            "followup_kind",
            "none",
        )
    )


def test_the_next_step_of_a_call_since_the_newest_visit_is_open() -> None:
    call = entry(Contact, visit=None, named="call", at=at(48), next_step="Weigh on Friday")
    chart = add(ending(MARA, IDA), call)
    assert "Next step after a call or message: Weigh on Friday" in {one.words for one in open_loops(chart)}
    before = replace(call, answers=replace(call.answers, at=at(-48)))
    assert "call" not in {one.entry for one in open_loops(chart.with_entry(before))}
    empty = replace(call, answers=replace(call.answers, next_step=Absent(Absence.NONE)))
    assert "call" not in {one.entry for one in open_loops(chart.with_entry(empty))}


def test_each_unanswered_question_is_named_and_a_deliberate_absence_answers_it() -> None:
    chart = ending(MARA, IDA)
    for name, ask in asks(Closing).items():
        if ask.need is not Need.MUST or name in WRITTEN_BY_PROGRAM or name == "covers":
            continue
        reasons = closable(put(chart, Closing, name, None), CLOSING)
        assert f"“{ask.label}” is not answered." in reasons, name
    assert closable(put(chart, Closing, "goal_reached", Absent(Absence.DECLINED)), CLOSING) == ()
    assert closable(put(chart, StateAtEnd, "weight", Absent(Absence.NOT_DONE)), CLOSING)
    assert closable(put(chart, StateAtEnd, "weight", Absent(Absence.NOT_DONE, "scale broken")), CLOSING) == ()


def test_each_baby_whose_care_ends_needs_its_own_state() -> None:
    chart = put(ending(MARA, IDA), Closing, "covers", (MARA, IDA, JUNO))
    assert len([one for one in closable(chart, CLOSING) if "at the end of care is not written." in one]) == 1
    assert closable(put(chart, Closing, "covers", (MARA, IDA)), CLOSING) == ()


def test_no_answer_with_a_risk_still_open_asks_whether_a_provider_was_told() -> None:
    chart = ending(MARA, IDA, reason="no_answer", tries=3, risk_open=True, provider_told="Dr Aud, 2 March")
    assert closable(chart, CLOSING) == ()
    assert closable(put(chart, Closing, "provider_told", None), CLOSING) == (
        "“Provider told: who, when” is not answered.",
    )
    assert closable(put(put(chart, Closing, "provider_told", None), Closing, "risk_open", False), CLOSING) == ()


def test_handing_over_asks_for_the_next_consultant_the_release_and_the_receipt() -> None:
    moved = ending(MARA, IDA, reason="moved")
    assert closable(moved, CLOSING) == ()
    for name in ("next_consultant", "release", "bundle_sent", "receipt"):
        assert len(closable(put(moved, Closing, name, None), CLOSING)) == 1, name


def test_a_disputed_answer_keeps_care_from_being_closed() -> None:
    torn = Conflicted((Variant("moved", "a", START, "one", "op1"), Variant("goal_met", "a", START, "two", "op2")))
    reasons = closable(put(ending(MARA, IDA), Closing, "reason", torn), CLOSING)
    assert "“Why care ends” has two answers; settle which one holds." in reasons


def test_the_closing_that_stands_is_the_newest_that_is_not_finished() -> None:
    chart = ending(MARA, IDA)
    held: Any = chart.by_id(CLOSING)
    assert held is not None
    assert standing_closing(chart) == held
    done: Entry[Any] = replace(held, answers=with_value(held.answers, Path("closed_at"), at()))
    assert standing_closing(chart.with_entry(done)) is None


# Which years hold is the law of the place (England: to the 25th birthday, S:RET-UK; other places otherwise), so the
# years here are the practice's own, as the test sets them.
def test_a_child_s_record_is_kept_by_the_longer_of_the_practice_s_two_rules() -> None:
    def kept(**rule: Any) -> Keeping:
        return keeping(add(whole(), practice(keep_rule="Rule of this place", **rule)), IDA, ENDED)

    born = date(2026, 2, 21)  # ten days before the visit
    assert kept(keep_child_age=25) == Keeping(
        date(2051, 2, 21), "Rule of this place", "until the child is 25 years old"
    )
    assert kept(keep_years=10).until == date(2036, 3, 3)
    assert kept(keep_child_age=25, keep_years=10).until == born.replace(year=2051)
    assert kept(keep_child_age=5, keep_years=10) == Keeping(
        date(2036, 3, 3), "Rule of this place", "10 years after care ended"
    )
    assert kept(keep_child_age=0).until == born


def test_a_parent_s_record_can_be_kept_as_long_as_the_child_s() -> None:
    chart = whole()
    own = keeping(add(chart, practice(keep_years=8, keep_child_age=25)), MARA, ENDED)
    assert (own.until, own.how) == (date(2034, 3, 3), "8 years after care ended")
    rule = practice(keep_years=8, keep_child_age=25, keep_parent_with_child=True)
    assert keeping(add(chart, rule), MARA, ENDED).until == date(2051, 2, 21)
    only_child = keeping(add(chart, practice(keep_child_age=25)), MARA, ENDED)
    assert only_child.until is None
    assert only_child.how == "The rule that is set says nothing of this person: add years after care ends."


def test_without_a_rule_no_date_is_made_up_and_the_practice_is_asked_to_set_one() -> None:
    found = keeping(whole(), IDA, ENDED)
    assert found.until is None
    assert found.how == "No rule is set yet: set the years under Practice, Keeping records."
    chart = ending(MARA, IDA)
    bare = replace(chart, entries=tuple(e for e in chart.entries if not isinstance(e.answers, Practice)))
    assert len(closable(bare, CLOSING)) == 2
    assert closable(put(put(bare, Closing, "kept", "hold"), Closing, "kept_why", "asked by a court"), CLOSING) == ()


def test_a_birth_date_that_is_missing_is_named_and_never_guessed() -> None:
    from forms.people import InfantIdentity

    chart = add(put(whole(), InfantIdentity, "born", None), practice(keep_years=10, keep_child_age=25))
    chart = put(chart, InfantIdentity, "born_day", None)
    found = keeping(chart, IDA, ENDED)
    assert (found.until, found.how) == (
        None, "The birth date of the child is not written, so the years of age cannot be counted.",
    )  # fmt: skip


def test_the_29th_of_february_is_kept_no_day_too_short() -> None:
    from forms.people import InfantIdentity

    born = Moment.of(START.replace(year=2024, month=2, day=29, tzinfo=None), ZONE)
    chart = add(put(whole(), InfantIdentity, "born", born), practice(keep_child_age=25))
    assert keeping(chart, IDA, ENDED).until == date(2049, 3, 1)
    assert keeping(add(whole(), practice(keep_years=4)), IDA, date(2024, 2, 29)).until == date(2028, 2, 29)
