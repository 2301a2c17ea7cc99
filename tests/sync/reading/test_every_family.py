"""Every paper with a record, of every invented family, as a second practice reads it: each fact once, and no other."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from functools import cache
from typing import Any

import pytest

from forms.answers import Absent, Moment, Quantity
from forms.ask import Paper
from forms.units import exact
from sync.handoff.reading.held import HandOver, Offer, Standing
from sync.handoff.reading.read import read_file
from sync.handoff.verify import NeedsPassword
from tests.helpers.two_practices import PASSWORD, WITH_RECORD, Made, Owed, first_practice, owed, withheld

ELSEWHERE = "Europe/London"
NOW = datetime(2026, 4, 1, 9, tzinfo=UTC)
FAMILIES = (
    "vantreece", "hesper-tavish", "pellworth", "sorrelby", "penaloza-ruiz", "thornquist", "lindqvist-osei",
)  # fmt: skip
"""Those of whom a visit was signed; the eighth waits for a call and hands nothing over that is sealed."""

Handed = tuple[tuple[Made, ...], bytes]


@pytest.fixture(scope="module")
def handed(tmp_path_factory: pytest.TempPathFactory) -> Handed:
    return first_practice(tmp_path_factory.mktemp("first"))


@cache
def read(data: bytes, root: bytes, *, signature: bytes | None = None, password: str | None = None) -> HandOver:
    return read_file(data, zone=ELSEWHERE, now=NOW, signature=signature, roots=(root,), password=password)


def plain(value: Any) -> Any:
    """A value by its exact size and the unit it was given in, or its instant."""
    match value:
        case Quantity():
            return "amount", value.unit, exact(value), value.base
        case Moment():
            return "moment", value.at
        case Absent():
            return "no answer", value.kind, value.why
    return type(value).__name__, value


def told(one: Owed) -> tuple[Any, ...]:
    value = ("points", len(one.points)) if one.points else plain(one.given)
    return one.form, one.path, value, one.author, one.entered


def arrived(offers: Iterable[Offer]) -> Iterator[tuple[Any, ...]]:
    for one in offers:
        assert one.form is not None, one
        value = ("points", len(one.points)) if one.points else plain(one.value)
        yield one.form.name, str(one.path), value, one.author, datetime.fromisoformat(one.at)


def family(handed: Handed, name: str) -> tuple[Made, ...]:
    return tuple(made for made in handed[0] if made.family == name)


def missing_and_more(made: Made, found: HandOver) -> tuple[list[Any], list[Any]]:
    wanted, came = Counter(map(repr, map(told, owed(made)))), Counter(map(repr, arrived(found.offers)))
    return sorted((wanted - came).elements()), sorted((came - wanted).elements())


def one_person(made: Made, found: HandOver) -> None:
    """Everything is about the one person, who is told apart by name and day of birth."""
    (person,) = found.people
    called = {made.who.legal_name} if hasattr(made.who, "legal_name") else {made.who.full_name}
    assert called <= set(person.names), made.name
    born = getattr(made.who, "born", None)
    day = born.local().date() if isinstance(born, Moment) else made.who.born_day
    assert person.born == str(day or ""), made.name
    assert {one.person for one in found.offers} == {person.id}
    born_at = [one.value for one in found.offers if str(one.path) == "born"]
    days = {str(one.local().date()) for one in born_at if isinstance(one, Moment)}
    assert days <= {person.born}, "read in another zone, the day of birth became another"


@pytest.mark.parametrize("name", FAMILIES)
def test_each_answer_that_may_be_carried_is_offered_once_with_value_person_author_and_time_and_nothing_else_is(
    handed: Handed, name: str
) -> None:
    papers, facts = family(handed, name), 0
    assert {Paper.SUMMARY, Paper.REPORT} <= {made.kind for made in papers}
    for made in papers:
        found = read(made.paper, handed[1])
        assert found.sender.standing is Standing.KNOWN
        assert missing_and_more(made, found) == ([], []), made.name
        one_person(made, found)
        facts += len(found.offers)
        assert len(found.offers) > 80, made.name
        assert len({one.id for one in found.offers}) == len(found.offers)
    assert facts > 200, "an empty hand-over proves nothing"


def test_every_kind_of_paper_that_carries_a_record_is_among_them(handed: Handed) -> None:
    assert {made.kind for made in handed[0]} == set(WITH_RECORD)
    assert {made.kind for made in handed[0] if made.locked is not None} == set(WITH_RECORD)
    assert len([made for made in handed[0] if made.kind is Paper.REFERRAL]) == 2


@pytest.mark.parametrize("name", FAMILIES)
def test_an_answer_is_shown_and_not_taken_only_where_it_names_somebody_of_the_senders_own(
    handed: Handed, name: str
) -> None:
    for made in family(handed, name):
        for one in read(made.paper, handed[1]).offers:
            assert bool(one.only_shown) is bool(one.points), one
            assert one.is_answer is not bool(one.points), one
            assert not one.doubts, one


@pytest.mark.parametrize("name", FAMILIES)
def test_a_locked_copy_offers_the_same_with_its_password_and_nothing_without(handed: Handed, name: str) -> None:
    for made in family(handed, name):
        if made.locked is None:
            continue
        with pytest.raises(NeedsPassword):
            read(made.locked, handed[1])
        found = read(made.locked, handed[1], password=PASSWORD)
        assert found.sender.standing is Standing.KNOWN
        assert found.offers == read(made.paper, handed[1]).offers


@pytest.mark.parametrize("name", FAMILIES)
def test_the_record_beside_a_paper_offers_the_same_and_its_signature_names_the_same_sender(
    handed: Handed, name: str
) -> None:
    for made in family(handed, name):
        assert made.record is not None
        found, inside = read(made.record, handed[1], signature=made.signature), read(made.paper, handed[1])
        assert found.offers == inside.offers
        assert (found.people, found.title, found.author, found.at) == (
            inside.people, inside.title, inside.author, inside.at
        )  # fmt: skip
        assert found.sender.root == inside.sender.root
        assert read(made.record.replace(b"2026", b"2025", 1), handed[1], signature=made.signature).sender.standing is (
            Standing.CHANGED
        )


@pytest.mark.parametrize("name", FAMILIES)
def test_what_is_withheld_is_private_or_not_for_this_paper_or_somebody_elses_and_is_nowhere_in_the_record(
    handed: Handed, name: str
) -> None:
    kept_back: Counter[str] = Counter()
    for made in family(handed, name):
        assert made.record is not None
        found = read(made.paper, handed[1])
        owing = {one.given for one in owed(made) if isinstance(one.given, str)}
        words = made.record.decode() + "".join(one.words for one in found.unread)
        for form, given, why in withheld(made):
            kept_back[why] += 1
            if why == "private":
                assert given not in words, f"{made.name}: {form}"
            assert given in owing or given not in {one.value for one in found.offers}, f"{made.name}: {form}"
    assert kept_back["private"] > 0
    assert kept_back["not on this paper"] > 0
    assert kept_back["somebody else's"] > 0
