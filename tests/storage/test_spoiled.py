"""Thousands of spoilt files of a store: key slots, tail and database; told in a sentence, or nothing is lost by them."""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from forms.trouble import Trouble
from storage import keys
from storage.keys import FLOOR
from storage.tail import FRESH, Tail, TailFile
from storage.troubles import DamagedSlot, WrongPassphrase, WrongRecoverySheet
from tests.helpers.stores import AUTHOR, FAMILY, put
from tests.storage.conftest import Made, open_with

COUNT = 10_000
OF_PAGES = 300
WITH_ARGON = 12
PAGE = 4096
MASTER, OTHERS_MASTER = bytes(range(32)), bytes(range(32, 64))
SHEET, OTHERS_SHEET = bytes(range(20)), bytes(range(20, 40))
PASSPHRASE = "orchard lantern kettle nine"


def spoilt(true: bytes, strange: Sequence[bytes], rng: random.Random, count: int) -> Iterator[bytes]:
    """Flips, cuts, additions, stretches of other files, other files whole, and one's front with another's back."""
    for turn in range(count):
        changed, other = bytearray(true), rng.choice(strange)
        match turn % 6:
            case 0:
                changed[rng.randrange(len(true))] ^= 1 << rng.randrange(8)
            case 1:
                del changed[rng.randrange(len(true)) :]
            case 2:
                changed += rng.choice([rng.randbytes(rng.randrange(1, 40)), bytes(rng.randrange(1, 9)), other])
            case 3:
                cut, length = rng.randrange(len(true)), rng.randrange(1, 400)
                changed[cut : cut + length] = other[cut : cut + length]
            case 4:
                changed = bytearray(other)
            case _:
                changed[rng.randrange(len(true)) :] = other[rng.randrange(len(other) + 1) :]
        yield bytes(changed)


def slot_of(path: Path, master: bytes, secret: bytes | str) -> bytes:
    if isinstance(secret, str):
        keys.write_passphrase_slot(path, master, secret, FLOOR)
    else:
        keys.write_recovery_slot(path, master, secret)
    return path.read_bytes()


def test_ten_thousand_spoilt_recovery_slots_are_damage_or_open_the_same_store(tmp_path: Path) -> None:
    path, refused = tmp_path / "recovery.slot", 0
    true, older = slot_of(path, MASTER, SHEET), slot_of(path, MASTER, SHEET)
    strange = [older, slot_of(path, OTHERS_MASTER, OTHERS_SHEET), slot_of(path, MASTER, PASSPHRASE), b""]
    for raw in spoilt(true, strange, random.Random("recovery"), COUNT):
        path.write_bytes(raw)
        try:
            found = keys.recovery_slot_opened(path, SHEET)
        except (DamagedSlot, WrongRecoverySheet):
            refused += 1
        else:
            assert found == MASTER
            assert raw in (true, older)
    print(f"{refused} of {COUNT} refused")
    assert refused > COUNT // 2


def test_ten_thousand_spoilt_passphrase_slots_are_damage_before_anything_slow_is_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, refused = tmp_path / "passphrase.slot", 0
    true = slot_of(path, MASTER, PASSPHRASE)
    strange = [slot_of(path, OTHERS_MASTER, "another sentence of four"), slot_of(path, MASTER, SHEET), b""]
    monkeypatch.setattr(keys, "Argon2id", lambda **_: pytest.fail("was run"))
    for raw in spoilt(true, strange, random.Random("passphrase"), COUNT):
        if raw in (true, strange[0]):
            continue  # whole by its sum: the next test
        path.write_bytes(raw)
        with pytest.raises(DamagedSlot):
            keys.passphrase_slot_opened(path, PASSPHRASE)
        refused += 1
    print(f"{refused} of {COUNT} refused, the others were whole files")
    assert refused > COUNT * 3 // 4


def test_a_dozen_slots_with_a_good_sum_and_bad_contents_open_nothing(tmp_path: Path) -> None:
    path, rng = tmp_path / "passphrase.slot", random.Random("sums")
    slot_of(path, OTHERS_MASTER, "another sentence of four")
    with pytest.raises(WrongPassphrase):
        keys.passphrase_slot_opened(path, PASSPHRASE)
    slot_of(path, MASTER, PASSPHRASE)
    slot = keys._read_slot(path, "passphrase", "")
    for _ in range(WITH_ARGON):
        name = rng.choice(["salt", "wrapped"])
        changed = bytearray(slot[name])
        changed[rng.randrange(len(changed))] ^= 1 << rng.randrange(8)
        if rng.randrange(3) == 0:
            del changed[rng.randrange(len(changed)) :]
        kept = {**slot, "salt": slot["salt"].hex(), "wrapped": slot["wrapped"].hex(), name: bytes(changed).hex()}
        keys._write_slot(path, kept)
        with pytest.raises((DamagedSlot, WrongPassphrase)):
            keys.passphrase_slot_opened(path, PASSPHRASE)


def tail_of(path: Path, key: bytes, commits: int) -> bytes:
    made = TailFile.made(path, key, FRESH)
    for count in range(1, commits + 1):
        made.put(replace(FRESH, operations=count, last_operation=f"{count:064x}"))
    made.close()
    return path.read_bytes()


def test_ten_thousand_spoilt_tails_prove_what_was_written_or_nothing(tmp_path: Path) -> None:
    path, key, nothing = tmp_path / "record.tail", b"k" * 32, 0
    true, older = tail_of(path, key, 7), tail_of(path, key, 3)
    written = {FRESH.operations, *range(1, 8)}
    for raw in spoilt(true, [older, tail_of(path, b"s" * 32, 9), b""], random.Random("tail"), COUNT):
        path.write_bytes(raw)
        standing = TailFile(path, key).standing
        if standing is None:
            nothing += 1
            continue
        assert standing.operations in written
        assert standing == replace(
            FRESH, generation=standing.generation, operations=standing.operations,
            last_operation=f"{standing.operations:064x}" if standing.operations else "",
        )  # fmt: skip
    print(f"{nothing} of {COUNT} prove nothing, the others what was written once")
    assert nothing
    assert isinstance(standing, Tail | None)


def pages_spoilt(true: bytes, older: bytes, strange: bytes, rng: random.Random) -> Iterator[tuple[str, bytes]]:
    """A page flipped, swapped with another, cut off, added, zeroed, an older one, one of strangers."""
    count = len(true) // PAGE
    for turn in range(OF_PAGES):
        changed, at, other = bytearray(true), rng.randrange(count), rng.randrange(count)
        here, there = slice(at * PAGE, (at + 1) * PAGE), slice(other * PAGE, (other + 1) * PAGE)
        match turn % 7:
            case 0:
                what = "flipped"
                changed[at * PAGE + rng.randrange(PAGE)] ^= 1 << rng.randrange(8)
            case 1:
                what = "swapped"
                changed[here], changed[there] = true[there], true[here]
            case 2:
                what = "cut"
                del changed[rng.randrange(1, len(true)) :]
            case 3:
                what = "longer"
                changed += rng.randbytes(rng.randrange(1, 2 * PAGE))
            case 4:
                what = "zeroed"
                changed[here] = bytes(PAGE)
            case 5:
                what = "older"
                changed[here] = older[here] or true[here]
            case _:
                what = "strange"
                changed[here] = strange[here] or true[here]
        yield what, bytes(changed)


def test_three_hundred_spoilt_databases_are_told_or_hold_the_same_record(
    closed: Made, master: bytes, tmp_path: Path
) -> None:
    database = closed.folder / "record.db"
    older = database.read_bytes()
    store = open_with(closed.folder, master)
    for count in range(20):
        store.write([put(FAMILY, "pets", f"{count} hens")], author=AUTHOR)
    digest = store.exchange().digest()
    store.close()
    true, strange = database.read_bytes(), random.Random(1).randbytes(len(older))
    told, same = dict[str, int](), dict[str, int]()
    for what, raw in pages_spoilt(true, older, strange, random.Random("pages")):
        folder = tmp_path / "spoilt"
        shutil.copytree(closed.folder, folder)
        (folder / "record.db").write_bytes(raw)
        try:
            again = open_with(folder, master)
        except Trouble as trouble:
            told[what] = told.get(what, 0) + bool(trouble.sentence)
        else:
            try:
                problems = (*again.told, *again.check())
                held = again.exchange().digest()
            except Trouble as trouble:
                problems, held = (trouble,), ""
            again.close()
            assert problems or held == digest, what
            kept = told if problems else same
            kept[what] = kept.get(what, 0) + 1
        shutil.rmtree(folder)
    print(f"told: {told}; the same record: {same}")
    assert set(told) >= {"flipped", "swapped", "cut", "zeroed", "strange"}
