"""What was signed stands as it was signed, whatever arrives afterwards and whatever became of the device."""

from __future__ import annotations

import secrets
from pathlib import Path

import pytest

from forms.people import InfantIdentity
from forms.visit import Visit
from storage.disputes import Kind
from storage.store import Store
from storage.vault import unlock
from sync.exchange.troubles import Continued
from tests.helpers.shelf import copied, joined, meet
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PASSPHRASE, VISIT, Clock, put
from tests.sync.exchange.conftest import Pair


def kind(store: Store) -> object:
    (visit,) = [one for one in store.chart(FAMILY, VISIT).entries if one.id == VISIT]
    assert isinstance(visit.answers, Visit)
    return visit.answers.kind


@pytest.mark.parametrize("over", [True, False], ids=["written over", "written apart"])
def test_an_answer_that_arrives_later_never_takes_the_place_of_the_signed_one(pair: Pair, over: bool) -> None:
    pair.laptop.write([put(VISIT, "kind", "home")], author=AUTHOR)
    if over:
        pair.rounds(pair.laptop, pair.tablet)
    standing = tuple(head.operation for head in pair.tablet.heads(VISIT, put(VISIT, "kind", "").path))
    pair.tablet.write([put(VISIT, "kind", "clinic", replaces=standing)], author="b" * 32)
    pair.laptop.sign(VISIT, author=AUTHOR)
    pair.rounds(pair.tablet, pair.laptop)
    for store in (pair.laptop, pair.tablet):
        assert kind(store) == "home"
        assert [one.arrived[0][1].value for one in store.late_arrivals()] == ["clinic"]
        assert store.disputes() == ()
        assert store.check() == ()
        assert [line.conflicts for line in store.caseload()] == [0]
    assert pair.laptop.exchange().digest() == pair.tablet.exchange().digest()


def test_an_answer_nobody_had_given_before_the_signature_shows_and_is_told_as_later(pair: Pair) -> None:
    pair.tablet.write([put(VISIT, "place", "The kitchen")], author="b" * 32)
    pair.laptop.sign(VISIT, author=AUTHOR)
    pair.rounds(pair.tablet, pair.laptop)
    (visit,) = [one for one in pair.laptop.chart(FAMILY, VISIT).entries if one.id == VISIT]
    assert isinstance(visit.answers, Visit)
    assert visit.answers.place == "The kitchen"
    assert len(pair.laptop.late_arrivals()) == 1


def test_two_signatures_over_different_answers_leave_both_for_a_person(pair: Pair) -> None:
    for store, value in ((pair.laptop, "The kitchen"), (pair.tablet, "Upstairs")):
        store.write([put(VISIT, "place", value)], author=AUTHOR)
        store.sign(VISIT, author=AUTHOR)
    pair.rounds(pair.tablet, pair.laptop)
    assert {one.kind for one in pair.laptop.disputes()} == {Kind.ANSWER, Kind.SIGNED}
    assert pair.laptop.check() == ()


def test_a_visit_signed_and_not_yet_sent_stays_signed_when_its_device_goes_on_under_a_new_name(
    pair: Pair, tmp_path: Path
) -> None:
    pair.tablet.settle()
    twin = unlock(
        copied(pair.tablet.folder, tmp_path / "twin"), PASSPHRASE, clock=Clock(), ids=lambda: secrets.token_hex(16)
    )
    twin.write([put(VISIT, "kind", "clinic")], author=AUTHOR)
    twin.write([put(FAMILY, "pets", "two hens")], author=AUTHOR)
    twin.write([put(FAMILY, "pets", "three hens")], author=AUTHOR)
    meet(twin, pair.shelf)
    pair.tablet.write([put(VISIT, "kind", "home")], author=AUTHOR)
    pair.tablet.sign(VISIT, author=AUTHOR)
    _again(pair)
    pair.rounds(pair.tablet, pair.laptop, twin)
    for store in (pair.laptop, pair.tablet, twin):
        assert store.check() == ()
        assert store.recheck(VISIT) == ()
        assert kind(store) == "home"
        assert store.chart(FAMILY, VISIT).signed() is not None
        assert [one.arrived[0][1].value for one in store.late_arrivals()] == ["clinic"]
    assert len({store.exchange().digest() for store in (pair.laptop, pair.tablet, twin)}) == 1
    assert isinstance(pair.laptop.chart(FAMILY).person(InfantIdentity, BABY), InfantIdentity)
    twin.close()


def _again(pair: Pair) -> None:
    """The tablet learns that a copy wrote under its name, and is let in under a new one."""
    with pytest.raises(Continued):
        meet(pair.tablet, pair.shelf)
    joined(pair.laptop, pair.tablet, "Tablet once more")
