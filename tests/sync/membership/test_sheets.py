"""A recovery sheet is replaced by an act of an owner: the old one lets nobody in any more and opens no later key."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import permutations

import pytest

from storage.keys import recovery_pair, recovery_signer
from sync.membership.acts import (
    Act,
    Add,
    Revoke,
    Role,
    SetRole,
    Sheet,
    key_for,
    read_act,
    recovery_chain_of,
    sheet_word,
    unseal_key,
)
from sync.membership.roster import genuine, roster
from sync.wire.troubles import BadFile
from tests.helpers.practice_group import REPOSITORY, SHEET, Owner, founded, recovery_act

SECOND, THIRD = bytes(range(20, 40)), bytes(range(40, 60))


def chain_of(sheet: bytes) -> str:
    return recovery_chain_of(recovery_signer(sheet).public_key().public_bytes_raw())


def opens(sheet: bytes, acts: list[Act], name: str) -> set[str]:
    """The practice keys that a sheet opens in some acts."""
    found = set()
    for act in acts:
        for epoch, sealed in key_for(act.change, name).items():
            try:
                unseal_key(sealed, recovery_pair(sheet)[1], REPOSITORY, epoch)
            except BadFile:
                continue
            found.add(epoch)
    return found


def two() -> tuple[Owner, Owner]:
    laptop, tablet = founded(), Owner("tablet")
    laptop.add(tablet)
    return laptop, tablet


def test_a_new_sheet_opens_every_key_and_the_old_one_none_that_is_made_later() -> None:
    laptop = founded()
    laptop.rotate()
    made = laptop.replace_sheet(SECOND)
    assert read_act(made.raw).change == made.change
    assert laptop.roster().rotation_owed
    laptop.rotate()
    found, acts = laptop.roster(), list(laptop.acts.values())
    assert not found.rotation_owed
    assert opens(SECOND, acts, chain_of(SECOND)) == set(found.epochs)
    assert opens(SHEET, acts, "recovery") == set(found.epochs[:2])
    assert (set(found.sheets), set(found.sheets_ended)) == ({chain_of(SECOND)}, {chain_of(SHEET)})
    assert found.lacking == frozenset()


def test_the_old_sheet_lets_nobody_in_whatever_it_says_it_had_seen_and_the_new_one_does() -> None:
    laptop = founded()
    before = laptop.roster().heads
    laptop.replace_sheet(SECOND)
    thief, second, new = Owner("thief"), Owner("second"), Owner("new")
    laptop.learn([
        recovery_act(laptop, Add(thief.member, {}), heads=before),
        recovery_act(laptop, Add(second.member, {}), seq=2),
        recovery_act(laptop, Add(new.member, {}), sheet=SECOND, chain=chain_of(SECOND)),
    ])  # fmt: skip
    found = laptop.roster()
    assert set(found.refused.values()) == {"its recovery sheet was replaced before"}
    assert set(found.owners()) == {laptop.chain, new.chain}


def test_who_came_back_with_the_old_sheet_before_it_was_replaced_stays() -> None:
    laptop, back = founded(), Owner("back")
    laptop.learn([recovery_act(laptop, Add(back.member, {}))])
    laptop.replace_sheet(SECOND)
    assert set(laptop.roster().owners()) == {laptop.chain, back.chain}


def test_whoever_stole_the_old_sheet_cannot_put_out_the_owner_who_replaced_it() -> None:
    laptop, thief = founded(), Owner("thief")
    before = dict(laptop.acts)
    laptop.replace_sheet(SECOND)
    thief.acts, thief.founding = before, laptop.founding
    thief.learn([recovery_act(thief, Add(thief.member, {}))])
    thief.put_out(laptop)
    for order in permutations([*laptop.acts.values(), *(act for act in thief.acts.values() if act.hash not in before)]):
        found = roster(order, laptop.founding)
        assert found.owners() == (laptop.chain,)
        assert set(found.sheets) == {chain_of(SECOND)}


def test_only_an_owner_replaces_the_sheet_and_only_with_one_that_vouches_for_this_practice() -> None:
    laptop, student, other = founded(), Owner("student", Role.STUDENT), founded("another practice")
    laptop.add(student)
    student.replace_sheet(SECOND)
    receive, signer = recovery_pair(SECOND)[0], recovery_signer(SECOND)
    sign = signer.public_key().public_bytes_raw()
    old = recovery_signer(SHEET)
    wrong = [
        Sheet(receive, sign, sheet_word(signer, other.founding, receive), {}, {}),
        Sheet(receive, sign, bytes(64), {}, {}),
        Sheet(recovery_pair(THIRD)[0], sign, sheet_word(signer, laptop.founding, receive), {}, {}),
        Sheet(receive, old.public_key().public_bytes_raw(), sheet_word(old, laptop.founding, receive), {}, {}),
        Sheet(receive, sign, sheet_word(signer, laptop.founding, receive), {chain_of(SECOND): 0}, {}),
    ]
    made = [laptop.act(change) for change in wrong]
    laptop.learn(list(student.acts.values()))
    found = laptop.roster()
    assert {act.hash for act in made} < set(found.refused)
    assert set(found.refused.values()) == {
        "its maker was no owner", "the new sheet did not give its word", "this sheet is known already",
    }  # fmt: skip
    assert (set(found.sheets), found.rotation_owed) == ({chain_of(SHEET)}, False)


def test_sheets_made_apart_both_hold_until_a_third_takes_the_place_of_both() -> None:
    laptop, tablet = two()
    laptop.replace_sheet(SECOND)
    tablet.replace_sheet(THIRD)
    for one, other in ((laptop, tablet), (tablet, laptop)):
        one.learn(list(other.acts.values()))
    found = laptop.roster()
    assert set(found.sheets) == {chain_of(SECOND), chain_of(THIRD)}
    laptop.rotate()
    acts = list(laptop.acts.values())
    assert opens(SECOND, acts, chain_of(SECOND)) == opens(THIRD, acts, chain_of(THIRD)) == set(laptop.roster().epochs)
    fourth = bytes(range(60, 80))
    laptop.replace_sheet(fourth)
    assert set(laptop.roster().sheets) == {chain_of(fourth)}
    assert laptop.roster().rotation_owed


def test_a_key_made_by_who_had_not_heard_of_the_new_sheet_is_owed_to_it() -> None:
    laptop, tablet = two()
    laptop.replace_sheet(SECOND)
    missed = tablet.rotate()
    laptop.learn([missed])
    found = laptop.roster()
    assert found.rotation_owed
    assert {name for name, _epoch in found.lacking} == {chain_of(SECOND)}


def test_acts_of_a_new_sheet_are_learned_only_when_the_act_that_brings_it_is_genuine() -> None:
    laptop, new = founded(), Owner("new")
    made = laptop.replace_sheet(SECOND)
    let_in = recovery_act(laptop, Add(new.member, {}), sheet=SECOND, chain=chain_of(SECOND))
    laptop.learn([let_in])
    acts = list(laptop.acts.values())
    for order in permutations(acts):
        assert {act.hash for act in genuine(order)[0]} == {act.hash for act in acts}
    spoiled = read_act(made.raw[:-1] + bytes([made.raw[-1] ^ 1]))
    true, _changed = genuine([spoiled if act is made else act for act in acts])
    assert let_in not in true


@pytest.mark.parametrize("kind", ["seal", "Sheet", ""])
def test_an_act_of_a_kind_that_is_not_known_was_written_by_a_newer_version(kind: str) -> None:
    raw = founded().replace_sheet(SECOND).raw
    with pytest.raises(BadFile, match="newer version") as told:
        read_act(raw.replace(b'"kind":"sheet"', f'"kind":"{kind}"'.encode()))
    assert told.value.newer


@pytest.mark.parametrize("seed", range(40))
def test_any_history_made_apart_comes_to_the_same_in_every_order_and_nothing_ended_counts(seed: int) -> None:
    rng = random.Random(seed)
    laptop = founded()
    devices, sheets, used = [laptop], [SHEET], dict[bytes, int]()
    for at in range(rng.randrange(6, 14)):
        one, other = rng.choice(devices), rng.choice(devices)
        match rng.choice(["add", "out", "rotate", "sheet", "back", "role", "hear", "hear"]):
            case "add" | "back" as how:
                new, sheet = Owner(f"device {at}"), rng.choice(sheets)
                if how == "add":
                    one.add(new)
                else:
                    used[sheet] = used.get(sheet, 0) + 1
                    made = recovery_act(one, Add(new.member, {}), seq=used[sheet], sheet=sheet, chain=chain_of(sheet))
                    new.founding, new.acts = laptop.founding, {**one.acts, made.hash: made}
                devices.append(new)
            case "out":
                one.put_out(other)
            case "rotate":
                one.rotate()
            case "sheet":
                sheets.append(rng.randbytes(20))
                one.replace_sheet(sheets[-1])
            case "role":
                one.act(SetRole(other.chain, rng.choice(list(Role))))
            case _:
                one.acts |= other.acts
    acts = list({act.hash: act for one in devices for act in one.acts.values()}.values())
    first = roster(acts, laptop.founding)
    for _ in range(5):
        rng.shuffle(acts)
        assert replace(roster(acts, laptop.founding), roles=first.roles) == first
    counted = [act for act in acts if act.hash not in first.refused]
    for act in counted:
        if isinstance(act.change, Revoke):
            gone = act.change
            assert not [one for one in counted if one != act and one.by == gone.chain and one.seq > gone.acts]
        if isinstance(act.change, Sheet):
            ended = act.change.ended
            assert not [one for one in counted if one.by in ended and one.seq > ended[one.by]]
    assert first.sheets
    assert not {*first.sheets} & {*first.sheets_ended}
