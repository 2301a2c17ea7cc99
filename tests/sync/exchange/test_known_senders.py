"""Whom the practice trusts is the same on each of its devices, and two answers about it never add up to trust."""

from __future__ import annotations

from forms.ask import Path as Field
from forms.chart import Place
from forms.known_sender import KnownSender, packed
from storage.changes import Begin, Put, StrikeOut
from sync.handoff.checking import check_bytes
from sync.handoff.known_senders import known_roots, known_senders
from tests.helpers import checked_papers as papers
from tests.helpers.shelf import meet
from tests.helpers.stores import AUTHOR
from tests.sync.exchange.conftest import Pair

SENDER = "5e4de5" * 5 + "00"
LINDEN, OTHER = papers.practice().seal.root, papers.practice(keys="another").seal.root


def added(pair: Pair) -> None:
    answers = {"called": "Linden Row", "compared": "phone", "root": packed(LINDEN)}
    puts = (Put(SENDER, Field(field), value) for field, value in answers.items())
    pair.laptop.write([Begin(SENDER, Place(KnownSender.name)), *puts], author=AUTHOR)
    round_trip(pair)


def round_trip(pair: Pair) -> None:
    for store in (pair.laptop, pair.tablet, pair.laptop):
        meet(store, pair.shelf)


def test_a_sender_added_on_one_device_is_known_on_the_other_and_struck_out_on_both(pair: Pair) -> None:
    added(pair)
    checked = check_bytes(papers.paper_of(papers.practice()), known_senders(pair.tablet))
    assert (checked.verdict.known, checked.sender) == (True, "Linden Row")
    pair.tablet.write([StrikeOut(SENDER, "they closed")], author=AUTHOR)
    round_trip(pair)
    assert LINDEN not in known_roots(pair.laptop)
    assert LINDEN not in known_roots(pair.tablet)


def test_two_certificates_written_apart_for_one_sender_are_both_kept_and_neither_is_trusted(pair: Pair) -> None:
    added(pair)
    pair.laptop.write([Put(SENDER, Field("root"), packed(LINDEN), reason="again")], author=AUTHOR)
    pair.tablet.write([Put(SENDER, Field("root"), packed(OTHER), reason="another")], author=AUTHOR)
    round_trip(pair)
    for store in (pair.laptop, pair.tablet):
        assert {LINDEN, OTHER}.isdisjoint(known_roots(store))
        assert [e.id for e in store.practice_entries() if isinstance(e.answers, KnownSender)] == [SENDER]


def test_two_names_written_apart_leave_the_sender_known(pair: Pair) -> None:
    added(pair)
    pair.laptop.write([Put(SENDER, Field("called"), "Linden Row, Kit")], author=AUTHOR)
    pair.tablet.write([Put(SENDER, Field("called"), "The clinic")], author=AUTHOR)
    round_trip(pair)
    for store in (pair.laptop, pair.tablet):
        checked = check_bytes(papers.paper_of(papers.practice()), known_senders(store))
        assert checked.verdict.known
        assert checked.sender == papers.practice().root  # two names: the fingerprint stands in
