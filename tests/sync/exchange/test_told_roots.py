"""Which told roots count as the practice's own: those of devices that may sign, the founder's first, none that breaks a reader."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from desktop.seals import sealing_here
from forms.ask import Path as Field
from forms.chart import Place
from forms.known_sender import KnownSender, packed
from forms.own_seal import OwnSeal, own_seal_id
from storage.changes import Begin, Change, Put, StrikeOut
from storage.store import Store
from storage.troubles import WritesNot
from sync.exchange.practice import made_by, practice_of
from sync.handoff.checking import check_bytes
from sync.handoff.detached import sign_beside
from sync.handoff.known_senders import OWN, known_senders
from sync.handoff.own_seals import Root, Standing, give_up, own_roots, roots_of, seal_under, sealing, tell_own
from sync.handoff.reading.held import Standing as Found
from sync.handoff.reading.sender import sender_beside
from sync.handoff.seals import Seal, export_root, make_seals, own_root, seal_of
from sync.handoff.verify import State, verify
from sync.membership.acts import Role, SetRole
from tests.helpers import checked_papers as papers
from tests.helpers import thornbury as t
from tests.helpers.odd_roots import of_no_version, root_made, unreadable_constraints
from tests.helpers.shelf import device, joined, meet
from tests.helpers.stores import AUTHOR, Clock
from tests.sync.exchange.conftest import Pair

WORDS = "walnut harbour velvet spoon"
PRACTICE = "Tallow Lane Feeding Visits"
ASH = "a5" * 16
ODD = pytest.mark.parametrize("odd", [of_no_version, unreadable_constraints])


def told(store: Store, certificate: bytes, author: str = ASH) -> None:
    """What a device writes that tells a certificate, its role forgotten here as by a program that knows of none."""
    entity, role = own_seal_id(certificate), store.exchange().fact("role")
    store.exchange().tell({"role": ""})
    changes: list[Change] = [
        Begin(entity, Place(OwnSeal.name)),
        Put(entity, Field("certificate"), packed(certificate)),
    ]
    store.write(changes, author=author)
    store.exchange().tell({"role": role})


def made(store: Store, author: str = AUTHOR, *, now: datetime = t.NOW) -> bytes:
    make_seals(store, author, practice=PRACTICE, name="Rowan Vale", now=now)
    tell_own(store, author)
    root = own_root(store)
    assert root is not None
    return root


@pytest.fixture
def beside(pair: Pair, tmp_path: Path) -> Iterator[Callable[[Role], Store]]:
    """Lets one more device of a role in."""
    opened: list[Store] = []

    def let(role: Role) -> Store:
        store = device(tmp_path, str(role)).store
        opened.append(store)
        joined(pair.laptop, store, role.label, role)
        pair.rounds(pair.laptop, store)
        return store

    yield let
    for store in opened:
        store.close()


@ODD
def test_a_told_certificate_that_breaks_a_reader_is_nobodys_and_stops_nothing(
    pair: Pair, odd: Callable[[], bytes]
) -> None:
    root, strange = made(pair.laptop), odd()
    told(pair.tablet, strange)
    pair.rounds(pair.tablet, pair.laptop)
    for store in (pair.laptop, pair.tablet):
        assert own_roots(store) == (root,)
        assert [one.certificate for one in roots_of(store)] == [root]
        assert known_senders(store) == {root: OWN}
    assert sealing(pair.laptop, AUTHOR, joined=False).standing is Standing.FIRST
    tell_own(pair.laptop, AUTHOR)


@ODD
def test_a_sender_whose_certificate_breaks_a_reader_is_not_known_and_stops_nothing(
    pair: Pair, odd: Callable[[], bytes]
) -> None:
    root, sender = made(pair.laptop), "5e" * 16
    answers = {"called": "Linden Row", "root": packed(odd())}
    puts = (Put(sender, Field(field), value) for field, value in answers.items())
    pair.laptop.write([Begin(sender, Place(KnownSender.name)), *puts], author=AUTHOR)
    assert known_senders(pair.laptop) == {root: OWN}


@ODD
def test_a_certificate_that_breaks_a_reader_spoils_no_genuine_paper(odd: Callable[[], bytes]) -> None:
    genuine, strange, data = papers.practice(), odd(), b'{"resourceType": "Bundle"}'
    seal: Seal = genuine.seal
    alone = verify(papers.paper_of(genuine), roots=(strange,))
    assert (alone.state, alone.known) == (State.WHOLE, False)
    assert verify(papers.paper_of(genuine), roots=(strange, seal.root)).known
    assert sender_beside(data, sign_beside(data, seal), (strange,)).standing is Found.STRANGER
    assert sender_beside(data, sign_beside(data, seal), (strange, seal.root)).standing is Found.KNOWN


@pytest.mark.parametrize("role", [Role.OFFICE, Role.STUDENT])
def test_a_root_told_by_a_device_that_may_not_sign_makes_nobody_the_practices_own(
    role: Role, pair: Pair, beside: Callable[[Role], Store]
) -> None:
    other, root, stranger = beside(role), made(pair.laptop), papers.practice()
    told(other, stranger.seal.root)
    pair.rounds(other, pair.laptop, pair.tablet)
    for store in (pair.laptop, pair.tablet, other):
        assert store.entry(own_seal_id(stranger.seal.root)) is not None  # what was written stays
        assert own_roots(store) == (root,)
        assert roots_of(store) == (Root(root),)
        assert check_bytes(papers.paper_of(stranger), known_senders(store)).sender == ""


@pytest.mark.parametrize("role", [Role.OFFICE, Role.STUDENT])
def test_such_a_device_neither_gives_the_practices_root_up_nor_takes_its_word_away(
    role: Role, pair: Pair, beside: Callable[[Role], Store]
) -> None:
    root, other = made(pair.laptop), beside(role)
    entity = own_seal_id(root)
    with pytest.raises(WritesNot, match="nothing was changed"):
        give_up(other, root, ASH)
    other.exchange().tell({"role": ""})
    other.write(
        [Put(entity, Field("certificate"), "another"), Put(entity, Field("given_up"), True), StrikeOut(entity, "gone")],
        author=ASH,
    )  # fmt: skip
    other.exchange().tell({"role": str(role)})
    pair.rounds(other, pair.laptop, pair.tablet)
    assert roots_of(pair.tablet) == (Root(root),)
    give_up(pair.laptop, root, AUTHOR)  # of a device that may, it is taken although the other said so before
    pair.rounds(pair.laptop, pair.tablet)
    assert roots_of(pair.tablet) == (Root(root, given_up=True),)


@pytest.mark.parametrize("before", [False, True], ids=["", "told by a version before"])
@pytest.mark.parametrize("role", [Role.OFFICE, Role.STUDENT])
def test_such_a_device_seals_and_tells_nobody_until_its_role_lets_it(
    role: Role, before: bool, pair: Pair, beside: Callable[[Role], Store]
) -> None:
    root, other = made(pair.laptop), beside(role)
    mine = made(other, ASH)
    assert other.entry(own_seal_id(mine)) is None
    if before:
        told(other, mine)
    assert set(own_roots(other)) == {root, mine}  # on this device alone
    assert (sealing_here(other, ASH).standing, sealing_here(other, ASH).tells) == (Standing.APART, False)
    practice = practice_of(pair.laptop)
    assert practice is not None
    made_by(pair.laptop, practice, SetRole(other.device, Role.CONSULTANT), Clock(datetime(2026, 3, 2, tzinfo=UTC)))
    pair.rounds(pair.laptop, other)
    tell_own(other, ASH)
    pair.rounds(other, pair.laptop)
    assert own_roots(pair.laptop) == (root, mine)
    assert sealing_here(other, ASH).tells


def test_an_office_device_comes_under_the_practices_root_and_writes_nothing(
    pair: Pair, beside: Callable[[Role], Store], tmp_path: Path
) -> None:
    root, office = made(pair.laptop), beside(Role.OFFICE)
    give_up(pair.laptop, root, AUTHOR)
    export_root(pair.laptop, tmp_path / "root.p12", WORDS)
    pair.rounds(pair.laptop, office)
    made(office, ASH)
    before = office.practice_entries()
    file = (tmp_path / "root.p12").read_bytes()
    seal_under(office, ASH, practice=PRACTICE, name="Ash", now=t.NOW, file=file, passphrase=WORDS)
    assert seal_of(office, ASH, name="Ash", now=t.NOW).root == root
    assert office.practice_entries() == before


def test_what_a_device_told_while_it_could_sign_stays_the_practices_own(pair: Pair) -> None:
    root, second = made(pair.laptop), made(pair.tablet, ASH)
    pair.rounds(pair.tablet, pair.laptop)
    practice = practice_of(pair.laptop)
    assert practice is not None
    later = Clock(datetime(2026, 4, 1, tzinfo=UTC))
    made_by(pair.laptop, practice, SetRole(pair.tablet.device, Role.OFFICE), later)
    pair.rounds(pair.laptop, pair.tablet)
    assert own_roots(pair.laptop) == (root, second)


def test_the_root_of_the_device_that_founded_the_practice_is_first_whoever_told_of_theirs_first(pair: Pair) -> None:
    second = made(pair.tablet, ASH, now=t.NOW - timedelta(days=90))  # an older root, and told before
    pair.rounds(pair.tablet, pair.laptop)
    root = made(pair.laptop)
    pair.rounds(pair.laptop, pair.tablet)
    for store in (pair.laptop, pair.tablet):
        assert [one.certificate for one in roots_of(store)] == [root, second]
    assert sealing_here(pair.laptop, AUTHOR).standing is Standing.FIRST
    assert sealing_here(pair.tablet, ASH).standing is Standing.APART


def test_of_other_devices_the_root_that_was_made_first_comes_first_whoever_told_of_theirs_first(pair: Pair) -> None:
    late, early = root_made(PRACTICE, since=t.NOW), root_made(PRACTICE, since=t.NOW - timedelta(days=1))
    told(pair.tablet, late)
    told(pair.tablet, early)
    pair.rounds(pair.tablet, pair.laptop)
    for store in (pair.laptop, pair.tablet):
        assert [one.certificate for one in roots_of(store)] == [early, late]
    meet(pair.laptop, pair.shelf)
