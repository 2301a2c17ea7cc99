"""Who belongs follows from signed acts alone, and is the same whatever arrived first."""

from __future__ import annotations

import random
from datetime import UTC, datetime
from itertools import permutations

import pytest

from storage.keys import recovery_pair
from sync.membership.acts import (
    RECOVERY,
    Act,
    Add,
    Found,
    Role,
    Rotate,
    SetRole,
    key_for,
    new_epoch,
    read_act,
    seal_key,
    signed_act,
    unseal_key,
)
from sync.membership.roster import genuine, roster
from sync.wire.troubles import BadFile
from tests.helpers.practice_group import REPOSITORY, SHEET, Owner, founded, recovery_act


def three() -> tuple[Owner, Owner, Owner]:
    """An owner, a second owner and a student, who all know one another."""
    laptop, tablet, phone = founded(), Owner("tablet"), Owner("phone", Role.STUDENT)
    laptop.add(tablet)
    laptop.add(phone)
    tablet.learn(list(laptop.acts.values()))
    return laptop, tablet, phone


def test_a_founder_is_an_owner_and_the_recovery_sheet_opens_the_key() -> None:
    laptop = founded()
    found = laptop.roster()
    assert found.owners() == (laptop.chain,)
    (act,) = laptop.acts.values()
    sealed = key_for(act.change, RECOVERY)[found.epoch]
    assert unseal_key(sealed, recovery_pair(SHEET)[1], REPOSITORY, found.epoch) == laptop.keys[found.epoch]


def test_a_new_member_can_open_every_practice_key_there_was() -> None:
    laptop, tablet = founded(), Owner("tablet")
    laptop.rotate()
    laptop.add(tablet)
    assert tablet.keys == laptop.keys
    assert len(tablet.keys) == 2


def test_whoever_is_put_out_cannot_open_the_next_key_and_everybody_else_can() -> None:
    laptop, tablet, phone = three()
    made = laptop.put_out(phone)
    tablet.learn([made])
    phone.learn([made])
    found = tablet.roster()
    assert phone.chain not in found.members
    assert found.put_out[phone.chain].number == 3
    assert found.epoch in tablet.keys
    assert found.epoch not in phone.keys
    assert not found.rotation_owed


def test_a_student_can_neither_add_nor_put_out() -> None:
    laptop, tablet, phone = three()
    stranger = Owner("stranger")
    phone.add(stranger)
    phone.put_out(laptop)
    found = roster([*phone.acts.values()], laptop.founding)
    assert set(found.members) == {laptop.chain, tablet.chain, phone.chain}
    assert set(found.refused.values()) == {"its maker was no owner"}


def test_acts_with_a_strangers_signature_under_an_owners_name_do_not_count() -> None:
    laptop, tablet, phone = three()
    forger = Owner("laptop")
    forger.acts, forger.founding, forger.keys, forger.seq = dict(laptop.acts), laptop.founding, {}, 90
    made = forger.act(SetRole(phone.chain, Role.OWNER))
    found = roster([*laptop.acts.values(), made], laptop.founding)
    assert found.members[phone.chain].role is Role.STUDENT
    assert found.refused[made.hash] == "it is not signed by whom it names"
    assert tablet.chain in found.members


def test_a_stolen_device_cannot_act_on_beside_the_act_that_puts_it_out() -> None:
    laptop, tablet, _phone = three()
    out, thief = laptop.put_out(tablet), Owner("thief")
    before = tablet.roster()
    tablet.add(thief)  # it has not seen that it is out, or says so
    tablet.put_out(laptop)
    found = roster([*tablet.acts.values(), out], laptop.founding)
    assert thief.chain in before.every or thief.chain not in found.members
    assert found.owners() == (laptop.chain,)
    assert set(found.refused.values()) == {"its maker was put out before"}


def test_of_two_owners_who_put_one_another_out_the_one_who_belongs_longer_is_believed() -> None:
    laptop, tablet, _phone = three()
    one, other = laptop.put_out(tablet), tablet.put_out(laptop)
    for acts in permutations([one, other]):
        found = roster([*laptop.acts.values(), *acts], laptop.founding)
        assert found.owners() == (laptop.chain,)


def test_of_owners_who_put_one_another_out_in_a_circle_the_one_who_belongs_longest_is_believed() -> None:
    laptop, tablet, _phone = three()
    desktop = Owner("desktop")
    laptop.add(desktop)
    for one in (tablet, desktop):
        one.learn(list(laptop.acts.values()))
    made = [laptop.put_out(desktop), desktop.put_out(tablet), tablet.put_out(laptop)]
    for acts in permutations(made):
        found = roster([*laptop.acts.values(), *acts], laptop.founding)
        assert found.owners() == tuple(sorted((laptop.chain, tablet.chain)))
        assert found.refused == {
            made[1].hash: "its maker was put out before",
            made[2].hash: "whoever it puts out belongs longer",
        }


def test_an_act_of_a_third_owner_that_nobody_can_undo_ends_the_quarrel_of_two() -> None:
    laptop, tablet, _phone = three()
    desktop = Owner("desktop")
    laptop.add(desktop)
    for one in (tablet, desktop):
        one.learn(list(laptop.acts.values()))
    made = [laptop.put_out(tablet), tablet.put_out(laptop), desktop.put_out(laptop)]
    for acts in permutations(made):
        found = roster([*laptop.acts.values(), *acts], laptop.founding)
        assert found.owners() == tuple(sorted((desktop.chain, tablet.chain)))


def test_two_keys_made_apart_stay_readable_and_a_new_one_is_owed() -> None:
    laptop, tablet, _phone = three()
    laptop.rotate()
    tablet.rotate()
    both = [*laptop.acts.values(), *tablet.acts.values()]
    laptop.learn(both)
    tablet.learn(both)
    assert laptop.roster().rotation_owed
    assert laptop.keys == tablet.keys
    laptop.rotate()
    assert not laptop.roster().rotation_owed


def test_a_key_sealed_for_somebody_put_out_meanwhile_is_owed_anew() -> None:
    laptop, tablet, phone = three()
    out = laptop.put_out(phone)
    rotated = tablet.rotate()
    found = roster([*laptop.acts.values(), out, rotated], laptop.founding)
    assert found.rotation_owed


def test_the_order_in_which_acts_arrive_changes_nothing() -> None:
    laptop, tablet, phone = three()
    laptop.put_out(phone)
    tablet.rotate()
    acts: list[Act] = list({act.hash: act for one in (laptop, tablet) for act in one.acts.values()}.values())
    rng, found = random.Random(5), set()
    for _ in range(40):
        rng.shuffle(acts)
        made = roster(acts, laptop.founding)
        found.add((tuple(made.members), tuple(made.epochs), made.heads, made.rotation_owed))
    assert len(found) == 1


def test_an_act_that_names_one_that_is_not_here_waits_and_says_so() -> None:
    laptop, tablet, _phone = three()
    first, last = laptop.rotate(), laptop.rotate()
    found = roster([act for act in laptop.acts.values() if act.hash != first.hash], laptop.founding)
    assert found.missing == {first.hash}
    assert found.epoch != key_epoch(last)
    assert tablet.chain in found.members


def key_epoch(act: Act) -> str:
    return next(iter(key_for(act.change, RECOVERY)))


def test_every_single_flip_of_an_act_is_refused_or_not_signed() -> None:
    laptop = founded()
    (act,) = laptop.acts.values()
    for at in range(0, len(act.raw), 3):
        changed = bytearray(act.raw)
        changed[at] ^= 1 << (at % 8)
        try:
            read = read_act(bytes(changed))
        except BadFile:
            continue
        assert not read.signed_by(laptop.member.sign)


def test_a_practice_without_its_founding_act_is_none() -> None:
    laptop = founded()
    laptop.rotate()
    with pytest.raises(ValueError, match="founding act"):
        roster(list(laptop.acts.values())[1:], laptop.founding)


def test_the_recovery_sheet_lets_one_device_in_as_owner() -> None:
    laptop, new = founded(), Owner("new")
    made = recovery_act(laptop, Add(new.member, {}))
    laptop.learn([made])
    found = laptop.roster()
    assert new.chain in found.owners()
    assert found.refused == {}


def test_the_recovery_sheet_does_nothing_else_and_no_other_sheet_does_that() -> None:
    laptop, tablet, _phone = three()
    bad = [
        recovery_act(laptop, SetRole(tablet.chain, Role.STUDENT)),
        recovery_act(laptop, laptop.put_out(tablet).change, seq=2),
        recovery_act(laptop, Add(Owner("new").member, {}), seq=3, sheet=bytes(20)),
        recovery_act(laptop, Add(tablet.member, {}), seq=4),
    ]
    laptop.learn(bad)
    assert set(laptop.roster().refused) == {act.hash for act in bad}


def test_a_founding_act_is_none_when_the_sheet_does_not_vouch_for_its_founder() -> None:
    """A host knows the sheet's public keys, yet cannot found a practice of its own under them."""
    laptop, host = founded(), Owner("host")
    true = laptop.acts[laptop.founding].change
    assert isinstance(true, Found)
    for vouch in (true.vouch, bytes(64), b""):
        false = Found(host.member, true.recovery, true.recovery_sign, vouch, true.epoch, {})
        made = signed_act(
            false, repository=REPOSITORY, by=host.chain, seq=1, heads=(), now=datetime(2026, 3, 2, tzinfo=UTC),
            signer=host.signer,
        )  # fmt: skip
        with pytest.raises(ValueError, match="founding"):
            roster([made], made.hash)


def test_a_key_made_while_a_device_was_let_in_is_owed_to_it_and_handed_on() -> None:
    laptop, desktop, tablet = founded(), Owner("desktop"), Owner("tablet")
    laptop.add(desktop)
    missed = desktop.rotate()
    laptop.add(tablet)
    for one in (laptop, desktop, tablet):
        one.learn([*laptop.acts.values(), *desktop.acts.values()])
    assert isinstance(missed.change, Rotate)
    epoch = missed.change.epoch
    assert laptop.roster().lacking == {(tablet.chain, epoch)}
    assert laptop.roster().rotation_owed
    newer, key = new_epoch()
    sealed = seal_key(desktop.keys[epoch], tablet.member.receive, REPOSITORY, epoch)
    handed = {tablet.chain: {epoch: sealed}}
    made = desktop.act(Rotate(newer, desktop.sealed_for(list(desktop.roster().members.values()), newer, key), handed))
    assert read_act(made.raw).change == made.change
    tablet.learn([made])
    assert tablet.keys[epoch] == desktop.keys[epoch]
    assert (tablet.roster().lacking, tablet.roster().rotation_owed) == (frozenset(), False)


def test_only_acts_signed_by_whom_they_name_are_learned_whatever_arrived_first() -> None:
    laptop, tablet, _phone = three()
    tablet.rotate()
    laptop.learn(list(tablet.acts.values()))
    acts = list(laptop.acts.values())
    for order in permutations(acts):
        true, changed = genuine(order)
        assert {act.hash for act in true} == {act.hash for act in acts}
        assert changed == ()
    first = next(act for act in acts if act.by == laptop.chain and act.seq == 2)
    spoiled = read_act(first.raw[:-1] + bytes([first.raw[-1] ^ 1]))
    true, changed = genuine([spoiled if act is first else act for act in acts])
    assert spoiled in changed
    assert {act.seq for act in true if act.by == laptop.chain} == {1}
