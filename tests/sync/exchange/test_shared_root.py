"""One root for all devices of a practice: it is known on each, a second device seals under it, and receivers compare once."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import pkcs12

from forms.answers import Moment
from forms.ask import Path as Field
from forms.chart import Place
from forms.known_sender import packed
from forms.own_seal import OwnSeal, own_seal_id
from storage.changes import Begin, Put
from storage.store import Store
from sync.handoff.brought import bring_seal
from sync.handoff.checking import check_bytes
from sync.handoff.known_senders import OWN, known_senders
from sync.handoff.own_seals import (
    Sealing,
    Standing,
    give_up,
    own_roots,
    roots_of,
    seal_under,
    sealing,
    tell_own,
)
from sync.handoff.seals import (
    ROOT,
    NoSealHere,
    RootNotOpened,
    RootOfAnother,
    certify,
    export_root,
    make_seals,
    own_root,
    root_waits,
    seal_of,
)
from sync.handoff.sign import Record, sign_letter
from tests.helpers import checked_papers as papers
from tests.helpers import thornbury as t
from tests.helpers.authorities import WORDS as AUTHORITY_WORDS
from tests.helpers.authorities import key_file_of
from tests.helpers.stores import AUTHOR, new_store
from tests.sync.exchange.conftest import Pair

WORDS = "walnut harbour velvet spoon"
PRACTICE = "Tallow Lane Feeding Visits"
ASH = "a5" * 16


def made(store: Store, author: str, name: str, practice: str = PRACTICE) -> bytes:
    make_seals(store, author, practice=practice, name=name, now=t.NOW)
    tell_own(store, author)
    root = own_root(store)
    assert root is not None
    return root


def taken(store: Store, file: bytes, words: str = WORDS) -> None:
    seal_under(store, ASH, practice=PRACTICE, name="Ash Corbin", now=t.NOW, file=file, passphrase=words)


@dataclass
class Rooted:
    """A practice whose root was made on the laptop and lies in a file; the tablet met the laptop."""

    pair: Pair
    root: bytes
    file: bytes

    @property
    def tablet(self) -> Store:
        return self.pair.tablet

    def meet(self) -> None:
        self.pair.rounds(self.pair.laptop, self.pair.tablet)


@pytest.fixture
def rooted(pair: Pair, tmp_path: Path) -> Rooted:
    root = made(pair.laptop, AUTHOR, "Rowan Vale")
    export_root(pair.laptop, tmp_path / "root.p12", WORDS)
    found = Rooted(pair, root, (tmp_path / "root.p12").read_bytes())
    found.meet()
    return found


def sealed(store: Store, author: str, drawn: bytes) -> bytes:
    seal = seal_of(store, author, name="x", now=t.NOW)
    record = Record("a.txt", "text/plain", b"words")
    return sign_letter(drawn, seal, at=Moment(t.NOW, t.ZONE), who="Somebody, RN", record=record)


def test_a_device_that_joined_knows_the_practices_root_and_is_told_to_seal_under_it(rooted: Rooted) -> None:
    assert sealing(rooted.tablet, ASH, joined=True) == Sealing(Standing.WAITS, rooted.root)
    assert own_roots(rooted.tablet) == (rooted.root,)
    with pytest.raises(NoSealHere, match="no seal on this device"):
        seal_of(rooted.tablet, ASH, name="Ash Corbin", now=t.NOW)


def test_papers_of_both_devices_are_one_sender_to_whoever_compared_once_and_their_own_on_each(
    rooted: Rooted, drawn: bytes
) -> None:
    taken(rooted.tablet, rooted.file)
    rooted.meet()
    assert sealing(rooted.tablet, ASH, joined=True) == Sealing(Standing.FIRST, rooted.root, (), rooted.root)
    both = [sealed(rooted.pair.laptop, AUTHOR, drawn), sealed(rooted.tablet, ASH, drawn)]
    receiver = {rooted.root: "Tallow Lane"}  # compared with the first paper, long ago
    for paper in both:
        found = check_bytes(paper, receiver)
        assert (found.verdict.good, found.verdict.known, found.sender) == (True, True, "Tallow Lane")
        assert found.verdict.root == check_bytes(both[0], receiver).verdict.root
        for store in (rooted.pair.laptop, rooted.tablet):
            assert check_bytes(paper, known_senders(store)).sender == OWN


def test_the_key_of_the_root_stays_in_its_file(rooted: Rooted) -> None:
    taken(rooted.tablet, rooted.file)
    assert rooted.tablet.secret(ROOT) is None
    assert not root_waits(rooted.tablet)
    key, leaf, above = pkcs12.load_key_and_certificates(
        seal_of(rooted.tablet, ASH, name="x", now=t.NOW).p12, None
    )  # fmt: skip
    root = x509.load_der_x509_certificate(rooted.root)
    assert above == [root]
    assert key is not None
    assert leaf is not None
    assert key.public_key() == leaf.public_key() != root.public_key()


@pytest.mark.parametrize(
    "case", ["another practice's", "a wrong passphrase", "no key file", "no root", "one of the same name"]
)
def test_a_file_that_is_not_the_practices_root_changes_nothing_and_says_so_once(
    case: str, rooted: Rooted, tmp_path: Path
) -> None:
    why: type[RootNotOpened] = RootNotOpened
    file, words = rooted.file, WORDS
    if case in ("another practice's", "one of the same name"):
        why = RootOfAnother
        other = new_store(tmp_path / "other").store
        made(other, AUTHOR, "Wren Hale", PRACTICE if case == "one of the same name" else "Elsewhere Visits")
        export_root(other, tmp_path / "other.p12", WORDS)
        other.close()
        file = (tmp_path / "other.p12").read_bytes()
    elif case == "a wrong passphrase":
        words = "another four word phrase"
    elif case == "no root":
        file, words = key_file_of(), AUTHORITY_WORDS
    elif case == "no key file":
        file = b"a shopping list"
    before = rooted.tablet.practice_entries()
    with pytest.raises(why) as refused:
        taken(rooted.tablet, file, words)
    assert refused.value.sentence.endswith("nothing was changed.")
    assert rooted.tablet.practice_entries() == before
    assert own_root(rooted.tablet) is None
    with pytest.raises(NoSealHere):
        seal_of(rooted.tablet, ASH, name="x", now=t.NOW)


@dataclass
class Made:
    """A root that one device made, and by whom."""

    root: bytes
    store: Store
    author: str


def made_apart(pair: Pair) -> tuple[Made, Made]:
    """Both devices made a root before they met; the one that counts as the first comes first, on both the same."""
    one = Made(made(pair.laptop, AUTHOR, "Rowan Vale"), pair.laptop, AUTHOR)
    other = Made(made(pair.tablet, ASH, "Ash Corbin"), pair.tablet, ASH)
    pair.rounds(pair.laptop, pair.tablet)
    assert roots_of(pair.laptop) == roots_of(pair.tablet)
    return (one, other) if roots_of(pair.laptop)[0].certificate == one.root else (other, one)


def test_two_roots_made_apart_are_both_the_practices_own_and_the_later_device_is_told(pair: Pair, drawn: bytes) -> None:
    first, second = made_apart(pair)
    assert sealing(first.store, first.author, joined=False) == Sealing(
        Standing.FIRST, first.root, (second.root,), first.root
    )
    assert sealing(second.store, second.author, joined=True) == Sealing(
        Standing.APART, first.root, (second.root,), second.root
    )
    for store in (pair.laptop, pair.tablet):
        assert set(own_roots(store)) == {first.root, second.root}
        assert store.disputes() == ()
        for paper in (sealed(pair.laptop, AUTHOR, drawn), sealed(pair.tablet, ASH, drawn)):
            assert check_bytes(paper, known_senders(store)).sender == OWN


def test_a_device_with_a_root_of_its_own_comes_under_the_practices_and_what_it_sealed_stays_known(
    rooted: Rooted, drawn: bytes
) -> None:
    second = made(rooted.tablet, ASH, "Ash Corbin")
    older = sealed(rooted.tablet, ASH, drawn)
    assert root_waits(rooted.tablet)
    taken(rooted.tablet, rooted.file)
    assert not root_waits(rooted.tablet)
    rooted.meet()
    for store in (rooted.pair.laptop, rooted.tablet):
        assert [(root.certificate, root.given_up) for root in roots_of(store)] == [
            (rooted.root, False), (second, True),
        ]  # fmt: skip
        assert check_bytes(older, known_senders(store)).sender == OWN
        assert check_bytes(sealed(rooted.tablet, ASH, drawn), known_senders(store)).sender == OWN
    assert sealing(rooted.pair.laptop, AUTHOR, joined=False).others == ()


def test_a_root_whose_file_is_lost_is_given_up_and_taken_up_again_when_the_file_is_found(rooted: Rooted) -> None:
    second = made(rooted.tablet, ASH, "Ash Corbin")
    give_up(rooted.tablet, rooted.root, ASH)
    assert sealing(rooted.tablet, ASH, joined=True) == Sealing(Standing.FIRST, second, (), second)
    rooted.meet()
    assert sealing(rooted.pair.laptop, AUTHOR, joined=False).standing is Standing.APART
    taken(rooted.tablet, rooted.file)
    assert sealing(rooted.tablet, ASH, joined=True) == Sealing(Standing.FIRST, rooted.root, (), rooted.root)


def test_two_devices_that_each_gave_up_the_root_of_the_other_are_told_of_both(pair: Pair) -> None:
    first, second = made_apart(pair)
    give_up(first.store, second.root, first.author)
    give_up(second.store, first.root, second.author)
    pair.rounds(pair.laptop, pair.tablet)
    assert sealing(first.store, first.author, joined=False) == Sealing(
        Standing.FIRST, first.root, (second.root,), first.root
    )
    assert sealing(second.store, second.author, joined=True) == Sealing(
        Standing.APART, first.root, (second.root,), second.root
    )


def test_a_certificate_brought_along_is_the_practices_own_on_each_device_and_its_authority_is_not(
    rooted: Rooted, drawn: bytes
) -> None:
    laptop = rooted.pair.laptop
    bring_seal(laptop, AUTHOR, key_file_of(steps=2), AUTHORITY_WORDS, now=t.NOW)
    tell_own(laptop, AUTHOR)
    rooted.meet()
    paper = sealed(laptop, AUTHOR, drawn)
    assert check_bytes(paper, known_senders(rooted.tablet)).sender == OWN
    assert len(own_roots(rooted.tablet)) == 2
    assert [root.certificate for root in roots_of(rooted.tablet)] == [rooted.root]


def test_two_consultants_of_one_device_each_stay_under_the_root_they_were_certified_by(rooted: Rooted) -> None:
    second = made(rooted.tablet, AUTHOR, "Rowan Vale")
    certify(rooted.tablet, ASH, practice=PRACTICE, name="Ash Corbin", now=t.NOW)
    taken(rooted.tablet, rooted.file)
    assert seal_of(rooted.tablet, ASH, name="x", now=t.NOW).root == rooted.root
    assert seal_of(rooted.tablet, AUTHOR, name="x", now=t.NOW).root == second
    assert sealing(rooted.tablet, AUTHOR, joined=True).standing is Standing.APART


def test_where_the_record_tells_of_no_root_only_a_file_in_the_practices_name_is_taken(
    pair: Pair, tmp_path: Path
) -> None:
    assert sealing(pair.tablet, ASH, joined=True).standing is Standing.UNKNOWN
    files: dict[str, bytes] = {}
    for practice in ("Elsewhere Visits", PRACTICE):
        make_seals(
            pair.laptop, AUTHOR, practice=practice, name="Rowan Vale", now=t.NOW
        )  # by a version that told nobody
        place = tmp_path / f"{len(files)}.p12"
        export_root(pair.laptop, place, WORDS)
        files[practice] = place.read_bytes()
    with pytest.raises(RootOfAnother, match="Elsewhere Visits"):
        taken(pair.tablet, files["Elsewhere Visits"])
    taken(pair.tablet, files[PRACTICE])
    pair.rounds(pair.tablet, pair.laptop)
    assert [root.certificate for root in roots_of(pair.laptop)] == [own_root(pair.tablet)]


def test_what_was_told_is_told_once_and_undo_does_not_take_it_back(rooted: Rooted) -> None:
    entries = rooted.pair.laptop.practice_entries()
    tell_own(rooted.pair.laptop, AUTHOR)
    assert rooted.pair.laptop.practice_entries() == entries
    assert not any("Certificate" in step for step in rooted.pair.laptop.undoable())


def test_an_entry_whose_certificate_was_put_in_place_of_another_makes_nobody_known(rooted: Rooted) -> None:
    stranger = papers.practice().seal.root
    rooted.tablet.write(
        [Put(own_seal_id(rooted.root), Field("certificate"), packed(stranger))], author=ASH
    )  # fmt: skip
    rooted.meet()
    for store in (rooted.pair.laptop, rooted.tablet):
        assert stranger not in own_roots(store)
    assert rooted.root in own_roots(rooted.pair.laptop)  # its own it knows without the record
    tell_own(rooted.pair.laptop, AUTHOR)  # as at its next start
    rooted.meet()
    assert own_roots(rooted.tablet) == (rooted.root,)


def test_an_entry_with_no_certificate_in_it_breaks_nothing(rooted: Rooted) -> None:
    for entity, words in (("9a" * 16, "no base64 at all"), ("9b" * 16, "Tm8gY2VydGlmaWNhdGU=")):
        rooted.tablet.write(
            [Begin(entity, Place(OwnSeal.name)), Put(entity, Field("certificate"), words)], author=ASH
        )  # fmt: skip
    assert own_roots(rooted.tablet) == (rooted.root,)
