"""What a signature freezes."""

from __future__ import annotations

import orjson
import pytest

from forms import student
from forms.ask import Path
from forms.chart import Place, entry_id
from forms.infant import InfantAssessment
from forms.plan import Plan
from forms.trouble import Bug
from storage.changes import Begin, Change, Restore, StrikeOut
from storage.log import canonical, digest
from storage.signing import as_kept
from storage.store import Store
from storage.troubles import ConflictAtSigning, StudentSignsNot, VisitSigned
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, TWIN, VISIT, grams, moment, opened, put
from tests.storage.conftest import Made

PLAN = entry_id(Plan, VISIT)
FEED, REFERRAL, WEIGHT = "7" * 32, "8" * 32, "9" * 32


def visit() -> list[Change]:
    seen = {person: entry_id(InfantAssessment, VISIT, (person,)) for person in (BABY, TWIN)}
    return [
        Begin(PLAN, Place("plan", FAMILY, VISIT)),
        put(PLAN, "goal", "Less sore by Sunday"),
        *[Begin(seen[one], Place("infant_assessment", FAMILY, VISIT, (one,))) for one in (BABY, TWIN)],
        Begin(FEED, Place("feed", FAMILY, VISIT, (PARENT, BABY))),
        put(FEED, "feeder_words", "It pinches"),
        Begin(REFERRAL, Place("referral", FAMILY, VISIT, (BABY,))),
        put(REFERRAL, "question", "May the tongue be looked at?"),
        Begin(WEIGHT, Place("weight", FAMILY, VISIT, (BABY,))),
        put(WEIGHT, "weight", grams(3210)),
    ]


@pytest.fixture
def charted(store: Store) -> Store:
    store.write(visit(), author=AUTHOR)
    return store


def test_a_signature_holds_a_digest_for_the_visit_each_person_and_each_pair(charted: Store) -> None:
    signed = charted.sign(VISIT, author=AUTHOR)
    assert set(signed.notes) == {"visit", BABY, TWIN, f"{PARENT}+{BABY}"}
    assert len({signed.digest, *signed.notes.values()}) == 5
    assert charted.chart(FAMILY, VISIT).signed() == signed
    assert charted.signatures(FAMILY) == (signed,)
    assert charted.recheck(VISIT) == ()
    assert charted.check() == ()


@pytest.mark.parametrize(
    ("changed", "note"),
    [(PLAN, "visit"), (FEED, f"{PARENT}+{BABY}"), (WEIGHT, BABY), (VISIT, "visit")],
)
def test_a_digest_changes_with_any_answer_of_its_note_and_with_no_other(closed: Made, changed: str, note: str) -> None:
    notes = []
    path = {PLAN: "goal", FEED: "feeder_words", WEIGHT: "weight", VISIT: "place"}[changed]
    for value in ("one", "two"):
        store = opened(closed.folder)
        if value == "one":
            store.write(visit(), author=AUTHOR)
        else:
            store.write([put(changed, path, grams(3220) if path == "weight" else value)], author=AUTHOR)
        with store._db.transaction() as c:
            notes.append(as_kept(c, VISIT)["notes"])
        store.close()
    assert {name for name in notes[0] if notes[0][name] != notes[1][name]} == {note}


def test_a_signed_visit_refuses_every_further_write(charted: Store) -> None:
    charted.sign(VISIT, author=AUTHOR)
    before = charted.chart(FAMILY, VISIT)
    refused: list[Change] = [
        put(PLAN, "goal", "Something else"),
        put(FEED, "feeder_words", "It does not pinch"),
        put(WEIGHT, "weight", grams(3300)),
        put(VISIT, "place", "Elsewhere"),
        put(REFERRAL, "question", "Another question?"),
        StrikeOut(FEED, "wrong baby"),
        Begin("6" * 32, Place("feed", FAMILY, VISIT, (PARENT, TWIN))),
        Begin("6" * 32, Place("jot", FAMILY, VISIT)),
    ]
    for change in refused:
        with pytest.raises(VisitSigned, match="addendum"):
            charted.write([change], author=AUTHOR)
    with pytest.raises(VisitSigned):
        charted.sign(VISIT, author=AUTHOR)
    assert charted.chart(FAMILY, VISIT) == before
    assert charted.check() == ()


def test_what_comes_after_a_visit_may_still_be_written_and_leaves_the_signature_whole(charted: Store) -> None:
    charted.sign(VISIT, author=AUTHOR)
    charted.write(
        [
            Begin("6" * 32, Place("addendum", FAMILY, VISIT)),
            put("6" * 32, "words", "The weight was read by a student."),
            Begin("0" * 32, Place("contact", FAMILY)),
            put("0" * 32, "said", "Feeding well."),
            Begin("c" * 32, Place("urgent_contact", FAMILY, VISIT, (BABY,))),
            put("c" * 32, "outcome", "reached"),
            Begin("d" * 32, Place("paper_issued", FAMILY, VISIT)),
            put("d" * 32, "paper", "family_plan"),
            put(REFERRAL, "state", "sent"),
            put(REFERRAL, "sent_at", moment(4)),
            put(FAMILY, "pets", "A cat"),
            put(BABY, "called_name", "Ida"),
        ],
        author=AUTHOR,
    )
    assert charted.recheck(VISIT) == ()
    assert charted.check() == ()


def test_a_contact_that_was_written_before_the_signature_stays_as_it_was_signed(charted: Store) -> None:
    before, after = "c" * 32, "d" * 32
    place = Place("urgent_contact", FAMILY, VISIT, (BABY,))
    charted.write([Begin(before, place), put(before, "outcome", "reached")], author=AUTHOR)
    charted.sign(VISIT, author=AUTHOR)
    for change in (put(before, "outcome", "override"), StrikeOut(before, "not so")):
        with pytest.raises(VisitSigned):
            charted.write([change], author=AUTHOR)
    charted.write([Begin(after, place), put(after, "outcome", "reached")], author=AUTHOR)
    charted.write([put(after, "who", "Dr Marsh"), StrikeOut(after, "wrong baby")], author=AUTHOR)
    assert charted.recheck(VISIT) == ()


def test_a_visit_with_two_values_for_one_answer_is_not_signed(charted: Store) -> None:
    charted.write([put(PLAN, "goal", "Another goal", replaces=())], author=AUTHOR)
    with pytest.raises(ConflictAtSigning, match="goal"):
        charted.sign(VISIT, author=AUTHOR)
    charted.write([put(PLAN, "goal", "The goal")], author=AUTHOR)
    charted.sign(VISIT, author=AUTHOR)


def test_two_values_in_a_struck_entry_do_not_hold_a_signature_back(charted: Store) -> None:
    charted.write([put(WEIGHT, "weight", grams(1), replaces=()), StrikeOut(WEIGHT, "not this baby")], author=AUTHOR)
    signed = charted.sign(VISIT, author=AUTHOR)
    assert charted.recheck(VISIT) == ()
    assert signed.notes[BABY]


def test_a_restored_entry_with_two_values_holds_it_back_again(charted: Store) -> None:
    charted.write([put(WEIGHT, "weight", grams(1), replaces=()), StrikeOut(WEIGHT, "not this baby")], author=AUTHOR)
    charted.write([Restore(WEIGHT, "it was")], author=AUTHOR)
    with pytest.raises(ConflictAtSigning):
        charted.sign(VISIT, author=AUTHOR)


def test_only_a_visit_can_be_signed(charted: Store) -> None:
    with pytest.raises(Bug):
        charted.sign(PLAN, author=AUTHOR)


def test_a_record_changed_behind_the_signature_is_told(charted: Store) -> None:
    signed = charted.sign(VISIT, author=AUTHOR)
    with charted._db.transaction() as c:  # past every refusal, as only a tampering program would
        raw = bytes(c.exec_driver_sql("SELECT bytes FROM operation WHERE field = 'goal'").scalar_one())
        forged = canonical(orjson.loads(raw) | {"value": "Some other goal"})
        c.exec_driver_sql(
            "UPDATE operation SET bytes = ?, hash = ? WHERE hash = ?", (forged, digest(forged), digest(raw))
        )
    assert "visit" in charted.recheck(VISIT)
    assert any("no longer agrees with its signature" in problem for problem in charted.check())
    assert charted.chart(FAMILY, VISIT).signed() == signed


def test_signing_stands_in_the_audit_journal(charted: Store) -> None:
    signed = charted.sign(VISIT, author=AUTHOR)
    line = charted.journal()[-1]
    assert (line.kind, line.by, line.about) == ("signed", AUTHOR, {"visit": VISIT, "digest": signed.digest})


def test_heads_named_by_the_chart_are_those_that_stand(charted: Store) -> None:
    entry = charted.chart(FAMILY, VISIT).by_id(PLAN)
    assert entry is not None
    assert entry.heads["goal"] == tuple(head.operation for head in charted.heads(PLAN, Path("goal")))


def test_a_student_signs_nothing_and_a_consultants_signature_covers_what_the_student_charted(charted: Store) -> None:
    tam, other = "e5" * 16, "e6" * 16
    charted.write(
        [Begin(tam, Place("practitioner")), put(tam, "full_name", "Tam Orrel"), put(tam, "practice_role", "student"),
         Begin(other, Place("practitioner")), put(other, "practice_role", "consultant")],
        author=AUTHOR,
    )  # fmt: skip
    charted.write([put(PLAN, "went_well", "She woke by herself")], author=tam)
    before = charted.chart(FAMILY, VISIT)
    with pytest.raises(StudentSignsNot):
        charted.sign(VISIT, author=tam)
    assert charted.chart(FAMILY, VISIT) == before
    plan = before.by_id(PLAN)
    assert plan is not None
    assert [hand.by for hand in plan.hands["went_well"]] == [tam]
    assert [hand.by for hand in plan.hands["goal"]] == [AUTHOR]
    signed = charted.sign(VISIT, author=other)
    assert (signed.by, charted.recheck(VISIT)) == (other, ())


def test_the_record_knows_who_was_a_student_and_when_the_role_became_another(charted: Store) -> None:
    tam, other = "e5" * 16, "e6" * 16
    charted.write(
        [Begin(tam, Place("practitioner")), put(tam, "practice_role", "student"),
         Begin(other, Place("practitioner")), put(other, "practice_role", "consultant")],
        author=AUTHOR,
    )  # fmt: skip
    assert charted.chart(FAMILY, VISIT).learners == {tam: None}
    charted.write([put(PLAN, "went_well", "She woke by herself")], author=tam)
    charted.write([put(tam, "practice_role", "locum")], author=AUTHOR)
    charted.write([put(PLAN, "expressing", "Three times")], author=tam)
    charted.write([put(tam, "practice_role", "consultant")], author=AUTHOR)
    chart = charted.chart(FAMILY, VISIT)
    plan, ended = chart.by_id(PLAN), chart.learners[tam]
    assert plan is not None
    assert ended is not None
    assert plan.hands["went_well"][0].millis < ended < plan.hands["expressing"][0].millis
    assert [(str(one.path), one.by) for one in student.charted(chart) if one.by] == [("went_well", tam)]
