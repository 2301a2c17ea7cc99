"""A round with real stores: what one device wrote stands on the others, and what is odd is told, never lost."""

from __future__ import annotations

import secrets
from pathlib import Path

import pytest

from forms.answers import Conflicted
from forms.chart import Place
from forms.people import InfantIdentity
from storage.changes import Begin
from storage.store import Store
from storage.vault import unlock
from sync.exchange.practice import found_practice, practice_of, put_out
from sync.exchange.troubles import EmptyTarget, ForeignTarget, NotFounded, NotMember
from tests.helpers.shelf import copied, device, meet
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PASSPHRASE, VISIT, Clock, grams, put
from tests.sync.exchange.conftest import Pair


def baby(store: Store) -> InfantIdentity:
    return store.chart(FAMILY, VISIT).person(InfantIdentity, BABY)


def same(*stores: Store) -> None:
    assert len({store.exchange().digest() for store in stores}) == 1
    for store in stores:
        assert store.check() == ()


def test_what_one_device_wrote_stands_on_the_other(pair: Pair) -> None:
    assert baby(pair.tablet).called_name == "Idå"
    same(pair.laptop, pair.tablet)


def test_a_third_round_changes_nothing_and_says_so(pair: Pair) -> None:
    told = meet(pair.laptop, pair.shelf)
    before = dict(pair.shelf.held)
    assert told.complete
    told = meet(pair.laptop, pair.shelf)
    assert (told.sent, told.received, told.conflicts) == (0, {}, 0)
    assert {n for n in before if before[n] != pair.shelf.held[n]} <= {f"h/{pair.laptop.device}"}


@pytest.mark.parametrize("first", ["laptop", "tablet"])
def test_an_answer_written_apart_stands_twice_until_it_is_settled(pair: Pair, first: str) -> None:
    pair.laptop.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    pair.tablet.write([put(BABY, "called_name", "Idi")], author="b" * 32)
    one, other = (pair.laptop, pair.tablet) if first == "laptop" else (pair.tablet, pair.laptop)
    meet(one, pair.shelf)
    assert meet(other, pair.shelf).conflicts == 1
    meet(one, pair.shelf)
    for store in (one, other):
        standing = baby(store).called_name
        assert isinstance(standing, Conflicted)
        assert {variant.value for variant in standing.variants} == {"Ida", "Idi"}
    same(pair.laptop, pair.tablet)
    other.write([put(BABY, "called_name", "Ida", reason="asked her")], author=AUTHOR)
    meet(other, pair.shelf)
    assert meet(one, pair.shelf).settled == 1
    assert baby(one).called_name == "Ida"
    path = put(BABY, "called_name", "x").path
    assert "Idi" in {head.value for head in one.history(BABY, path)}
    same(pair.laptop, pair.tablet)


def test_entries_of_a_list_written_apart_both_count(pair: Pair) -> None:
    for store, grams_ in ((pair.laptop, 3110), (pair.tablet, 4010)):
        weight = secrets.token_hex(16)
        store.write(
            [Begin(weight, Place("weight", FAMILY, VISIT, (BABY,))), put(weight, "weight", grams(grams_))],
            author=AUTHOR,
        )
    for store in (pair.laptop, pair.tablet, pair.laptop):
        meet(store, pair.shelf)
    same(pair.laptop, pair.tablet)
    assert len([e for e in pair.tablet.chart(FAMILY, VISIT).entries if e.place.form == "weight"]) == 2


def test_what_arrives_after_a_signature_is_told_and_the_signature_holds(pair: Pair) -> None:
    pair.tablet.write([put(BABY, "called_name", "Idi")], author=AUTHOR)
    pair.tablet.write([put(VISIT, "kind", "clinic")], author=AUTHOR)
    pair.laptop.sign(VISIT, author=AUTHOR)
    meet(pair.tablet, pair.shelf)
    told = meet(pair.laptop, pair.shelf)
    assert told.late == 1
    assert pair.laptop.recheck(VISIT) == ()
    assert any("Received after signing: 1 answer" in words for words in told.sentences(Clock()()))


def test_attachments_reach_the_other_device_whole(pair: Pair) -> None:
    small, large = b"%PDF-1.7 invented", secrets.token_bytes(7_000_000)
    names = [pair.laptop.attach(data, "application/pdf") for data in (small, large)]
    meet(pair.laptop, pair.shelf)
    meet(pair.tablet, pair.shelf)
    assert [pair.tablet.attachment(name) for name in names] == [small, large]
    assert max(len(data) for name, data in pair.shelf.held.items() if name.startswith("b/")) <= 4 * 1024 * 1024


def test_the_place_holds_no_word_of_the_record(pair: Pair) -> None:
    pair.laptop.attach(b"Quillfeather on a photo", "image/jpeg")
    meet(pair.laptop, pair.shelf)
    for name, data in pair.shelf.held.items():
        for word in (b"Quillfeather", b"Maren", b"called_name", b"Tablet", FAMILY.encode(), bytes.fromhex(FAMILY)):
            if name.startswith("m/") and word == b"Tablet":
                continue  # an act names the device it lets in
            assert word not in data, f"{word!r} stands in {name}"


def test_a_lost_file_is_held_for_one_round_then_told_and_gone_around(pair: Pair) -> None:
    for kind in ("clinic", "video", "phone"):
        pair.laptop.write([put(VISIT, "kind", kind)], author=AUTHOR)
        meet(pair.laptop, pair.shelf)
    lost = f"c/{pair.laptop.device}/00000/00000003"
    bytes_lost = pair.shelf.held.pop(lost)
    first = meet(pair.tablet, pair.shelf)
    assert [(gap.first, gap.last) for gap in first.held] == [(3, 4)]
    second = meet(pair.tablet, pair.shelf)
    assert [(gap.first, gap.last) for gap in second.gaps] == [(3, 3)]
    around = pair.tablet.heads(VISIT, put(VISIT, "kind", "x").path)
    assert {head.value for head in around} == {"clinic", "phone"}  # what joins the two is in the lost file
    pair.shelf.held[lost] = bytes_lost
    assert meet(pair.tablet, pair.shelf).complete
    same(pair.laptop, pair.tablet)


@pytest.mark.parametrize("bad", [b"", b"x", b"HSCHANGE" + bytes(400)])
def test_a_torn_or_foreign_file_is_never_taken_in(pair: Pair, bad: bytes) -> None:
    pair.laptop.write([put(VISIT, "kind", "clinic")], author=AUTHOR)
    meet(pair.laptop, pair.shelf)
    name = f"c/{pair.laptop.device}/00000/00000002"
    good = pair.shelf.held[name]
    pair.shelf.held[name] = bad
    told = meet(pair.tablet, pair.shelf)
    assert not told.complete
    assert (told.aside != []) == bool(bad)
    pair.shelf.held[name] = good
    meet(pair.tablet, pair.shelf)
    same(pair.laptop, pair.tablet)


def test_an_empty_place_is_no_deletion_and_is_filled_again_when_asked(pair: Pair) -> None:
    was = {name: data for name, data in pair.shelf.held.items() if not name.startswith("h/")}
    pair.shelf.held.clear()
    with pytest.raises(EmptyTarget):
        meet(pair.tablet, pair.shelf)
    assert baby(pair.tablet).called_name == "Idå"
    told = meet(pair.tablet, pair.shelf, refill=True)
    assert told.refilled == len(was) - 1
    assert {name: data for name, data in pair.shelf.held.items() if not name.startswith("h/")} == was


def test_another_practices_place_is_refused(pair: Pair, tmp_path: Path) -> None:
    stranger = device(tmp_path, "stranger").store
    with pytest.raises(NotFounded):
        meet(stranger, pair.shelf)
    found_practice(stranger, "Stranger", Clock())
    before = dict(pair.shelf.held)
    with pytest.raises(ForeignTarget):
        meet(stranger, pair.shelf)
    assert pair.shelf.held == before
    stranger.close()


def test_whoever_was_put_out_is_told_and_what_it_writes_after_is_kept_aside(pair: Pair) -> None:
    practice = practice_of(pair.laptop)
    assert practice is not None
    put_out(pair.laptop, practice, pair.tablet.device, Clock())
    pair.tablet.write([put(VISIT, "kind", "clinic")], author="b" * 32)
    meet(pair.tablet, pair.shelf)  # it has not heard yet
    told = meet(pair.laptop, pair.shelf)
    assert [why for _name, why in told.aside] == ["it was written after the device was put out"]
    assert pair.laptop.exchange().asides()
    with pytest.raises(NotMember):
        meet(pair.tablet, pair.shelf)
    pair.laptop.write([put(VISIT, "kind", "video")], author=AUTHOR)
    meet(pair.laptop, pair.shelf)
    found = practice_of(pair.tablet)
    assert found is not None
    assert found.roster.epoch not in found.keys


def test_a_device_put_back_from_an_old_copy_takes_in_what_it_had_written_and_goes_on_anew(
    pair: Pair, tmp_path: Path
) -> None:
    pair.laptop.settle()
    copied(pair.laptop.folder, tmp_path / "old")
    for kind in ("clinic", "video"):
        pair.laptop.write([put(VISIT, "kind", kind)], author=AUTHOR)
        meet(pair.laptop, pair.shelf)
    name = pair.laptop.device
    (tmp_path / "old" / "lock").touch()
    restored = unlock(tmp_path / "old", PASSPHRASE, clock=Clock(), ids=lambda: secrets.token_hex(16))
    restored.write([put(BABY, "called_name", "Idi")], author=AUTHOR)
    told = meet(restored, pair.shelf)
    assert told.continued
    assert restored.device != name
    again = meet(restored, pair.shelf)
    assert not again.continued
    meet(pair.tablet, pair.shelf)
    meet(restored, pair.shelf)
    same(restored, pair.tablet)
    assert baby(pair.tablet).called_name == "Idi"
    entry = restored.entry(VISIT)
    assert entry is not None
    assert entry.answers.kind == "video"  # type: ignore[attr-defined]
    restored.close()


def test_an_idle_round_asks_for_a_few_names_only(pair: Pair) -> None:
    meet(pair.laptop, pair.shelf)
    pair.shelf.requests = 0
    meet(pair.laptop, pair.shelf)
    assert pair.shelf.requests <= 10
