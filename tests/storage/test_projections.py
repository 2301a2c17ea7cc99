"""The caseload and plain search."""

from __future__ import annotations

from datetime import date

import pytest

from forms.answers import Moment
from forms.chart import Place, entry_id
from forms.plan import Plan
from storage.changes import Begin, Change, StrikeOut
from storage.projections import FamilyLine
from storage.store import Store
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, TWIN, VISIT, moment, put

OTHER, CALL = "e" * 32, "9" * 32


def line(store: Store, family: str = FAMILY) -> FamilyLine:
    return next(one for one in store.caseload() if one.id == family)


def test_a_line_names_the_family_its_babies_and_its_open_visit(store: Store) -> None:
    assert store.caseload() == (
        FamilyLine(
            id=FAMILY,
            name="Quillfeather-Ode",
            babies=((BABY, "Idå"), (TWIN, "Juno")),
            last_visit=moment(3),
            unsigned=(VISIT,),
        ),
    )


def test_a_signed_visit_is_no_longer_open_and_stays_the_last(store: Store) -> None:
    store.sign(VISIT, author=AUTHOR)
    assert line(store).unsigned == ()
    assert line(store).last_visit == moment(3)


def test_a_struck_visit_and_a_struck_baby_do_not_count(store: Store) -> None:
    store.write([StrikeOut(VISIT, "begun twice"), StrikeOut(TWIN, "entered twice")], author=AUTHOR)
    assert line(store).unsigned == ()
    assert line(store).last_visit is None
    assert line(store).babies == ((BABY, "Idå"),)


def test_the_newest_plan_and_later_contacts_give_the_next_follow_up(store: Store) -> None:
    plan, later, second = entry_id(Plan, VISIT), "4" * 32, "6" * 32
    store.write([Begin(plan, Place("plan", FAMILY, VISIT)), put(plan, "followup_at", moment(9))], author=AUTHOR)
    assert line(store).next_follow_up == date(2026, 3, 9)
    store.write(
        [
            Begin(later, Place("contact", FAMILY)),
            put(later, "at", moment(5)),
            put(later, "next_due", date(2026, 3, 7)),
        ],
        author=AUTHOR,
    )
    assert line(store).next_follow_up == date(2026, 3, 7)
    newer = entry_id(Plan, second)
    store.write(
        [
            Begin(second, Place("visit", FAMILY)),
            put(second, "start", moment(8)),
            Begin(newer, Place("plan", FAMILY, second)),
            put(newer, "followup_at", moment(20)),
        ],
        author=AUTHOR,
    )
    assert line(store).next_follow_up == date(2026, 3, 20)
    assert line(store).unsigned == (VISIT, second)


def call(outcome: str, **answers: object) -> list[Change]:
    """An urgent call about one of the twins, made on the 4th."""
    given = {"outcome": outcome, "at": moment(4), **answers}
    return [
        Begin(CALL, Place("urgent_contact", FAMILY, VISIT, (BABY,))), *(put(CALL, name, kept) for name, kept in given.items()),
    ]  # fmt: skip


def test_the_outcome_of_an_urgent_call_is_due_the_day_after_until_it_is_told_or_a_visit_came(store: Store) -> None:
    store.write(call("reached"), author=AUTHOR)
    assert line(store).next_follow_up == date(2026, 3, 5)
    other, later = "7" * 32, "6" * 32
    about: list[Change] = [
        Begin(other, Place("contact", FAMILY)),
        put(other, "at", moment(6)),
        put(other, "concerns", (TWIN,)),
    ]
    store.write(about, author=AUTHOR)
    assert line(store).next_follow_up == date(2026, 3, 5)
    store.write([put(other, "concerns", (TWIN, BABY))], author=AUTHOR)
    assert line(store).next_follow_up is None
    store.write([StrikeOut(other, "another family's")], author=AUTHOR)
    assert line(store).next_follow_up == date(2026, 3, 5)
    store.write([Begin(later, Place("visit", FAMILY)), put(later, "start", moment(9))], author=AUTHOR)
    assert line(store).next_follow_up is None


def test_an_urgent_call_that_reached_nobody_is_due_when_it_is_tried_next_and_the_earlier_day_stands(
    store: Store,
) -> None:
    plan = entry_id(Plan, VISIT)
    store.write([Begin(plan, Place("plan", FAMILY, VISIT)), put(plan, "followup_at", moment(9))], author=AUTHOR)
    store.write(call("tried_not_reached", next_when=moment(12)), author=AUTHOR)
    assert line(store).next_follow_up == date(2026, 3, 9)
    store.write([put(CALL, "next_when", moment(4))], author=AUTHOR)
    assert line(store).next_follow_up == date(2026, 3, 4)
    store.write([put(CALL, "outcome", "family_refused")], author=AUTHOR)
    assert line(store).next_follow_up == date(2026, 3, 9)


def test_a_follow_up_late_in_the_evening_falls_on_the_day_where_it_was_made(store: Store) -> None:
    plan = entry_id(Plan, VISIT)
    from datetime import UTC, datetime

    late = Moment(datetime(2026, 3, 9, 23, 30, tzinfo=UTC), "Pacific/Auckland")
    store.write([Begin(plan, Place("plan", FAMILY, VISIT)), put(plan, "followup_at", late)], author=AUTHOR)
    assert line(store).next_follow_up == date(2026, 3, 10)


def test_a_name_in_conflict_shows_both(store: Store) -> None:
    store.write([put(FAMILY, "family_name", "Quillfeather", replaces=())], author=AUTHOR)
    assert line(store).name == "Quillfeather-Ode / Quillfeather"
    assert line(store).conflicts == 1
    assert [one.id for one in store.search("quillfeather")] == [FAMILY]


@pytest.mark.parametrize(
    "words",
    ["quill", "QUILLFEATHER", "ode", "quillfeather-ode", "maren", "ida", "Idå", "juno quill", "0123", "123", "900 123",
     "+447700900123", "  maren  "],
)  # fmt: skip
def test_search_forgives_case_accents_order_and_punctuation(store: Store, words: str) -> None:
    assert [one.id for one in store.search(words)] == [FAMILY]


@pytest.mark.parametrize("words", ["quilt", "feather", "maren juno x", "23", "99999", "%", "_"])
def test_search_finds_nothing_where_nothing_fits(store: Store, words: str) -> None:
    assert store.search(words) == () or words in {"%", "_"}


def test_an_empty_search_shows_everybody_by_name(store: Store) -> None:
    store.write([Begin(OTHER, Place("family", OTHER)), put(OTHER, "family_name", "Åbystad")], author=AUTHOR)
    assert [one.name for one in store.search("")] == ["Åbystad", "Quillfeather-Ode"]
    assert [one.name for one in store.caseload()] == ["Åbystad", "Quillfeather-Ode"]


def test_a_changed_name_is_found_at_once_and_the_old_one_no_longer(store: Store) -> None:
    store.write([put(FAMILY, "family_name", "Larkspur"), put(PARENT, "phone", "555 0199")], author=AUTHOR)
    assert [one.id for one in store.search("larkspur")] == [FAMILY]
    assert store.search("ode") == ()
    assert [one.id for one in store.search("0199")] == [FAMILY]
    assert store.search("0123") == ()
