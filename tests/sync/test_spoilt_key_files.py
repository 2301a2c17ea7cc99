"""A spoilt key file is refused in one sentence or opens; nothing else comes of it, whatever the parsers below make of it.

Each spoiling follows from its seed and counts places from the end of the file, where the guard of the whole lies, so
that a seed does the same to every file of this shape, although keys and signatures differ in each run.
"""

from __future__ import annotations

import random
from functools import cache
from typing import Any

import pytest
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, pkcs12

from sync.handoff import key_file
from sync.handoff.brought import SealRefused, bring_seal
from sync.handoff.key_file import opening_rounds
from sync.handoff.seals import ROOT, RootNotOpened, certify, make_seals
from tests.helpers import thornbury as t
from tests.helpers.authorities import WORDS, key_file_of
from tests.sync.conftest import Shelf

REACHES = (902, 1018, 1414)
"""Seeds under which the ASN.1 library ends in an AttributeError: the tag of the count of rounds becomes another."""
SEEDS = (*range(400), *REACHES)


def spoilt(data: bytes, seed: int) -> bytes:
    """The file with one or two places changed."""
    dice, made = random.Random(seed), bytearray(data)
    for _ in range(dice.choice((1, 1, 2))):
        at = len(made) - 1 - dice.randrange(len(made) if dice.random() < 0.5 else 24)
        match dice.randrange(6):
            case 0:
                made[at] = dice.randrange(256)
            case 1:
                del made[at : at + dice.randint(1, 9)]
            case 2:
                made[at:at] = dice.randbytes(dice.randint(1, 9))
            case _:
                made[at] ^= 1 << dice.randrange(8)
    return bytes(made)


@cache
def root_file() -> bytes:
    """A practice's root as it is exported, but locked with few rounds."""
    shelf: Any = Shelf()
    make_seals(shelf, t.WRITER, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=t.NOW)
    key, certificate, _ = pkcs12.load_key_and_certificates(shelf[ROOT], None)
    lock = BestAvailableEncryption(WORDS.encode())
    return pkcs12.serialize_key_and_certificates(b"practice root", key, certificate, None, lock)  # type: ignore[arg-type]


@pytest.mark.parametrize("seed", REACHES)
def test_the_seeds_named_reach_what_the_parser_does_not_say_it_raises(seed: int) -> None:
    for data in (key_file_of(), root_file()):
        with pytest.raises(AttributeError):
            key_file._rounds(spoilt(data, seed))
        assert opening_rounds(spoilt(data, seed)) is None


def test_a_spoilt_certificate_of_her_own_is_refused_in_one_sentence_or_opens() -> None:
    data, opened, changed, told = key_file_of(), 0, 0, set[str]()
    for seed in SEEDS:
        shelf: Any = Shelf()
        try:
            bring_seal(shelf, t.WRITER, spoilt(data, seed), WORDS, now=t.NOW)
            opened += 1
        except SealRefused as refused:
            told.add(refused.sentence)
            changed += bool(shelf)
    assert changed == 0
    assert len(told) >= 2
    assert all(sentence.endswith("Nothing was changed.") for sentence in told)
    assert opened < len(SEEDS) / 4


def test_a_spoilt_root_file_is_refused_in_one_sentence_or_opens() -> None:
    data, refused, changed = root_file(), 0, 0
    for seed in SEEDS:
        shelf: Any = Shelf()
        try:
            certify(
                shelf, t.WRITER, practice="Tallow Lane", name="Rowan Vale", now=t.NOW, root=spoilt(data, seed),
                passphrase=WORDS, allowed=lambda _root: True,
            )  # fmt: skip
        except RootNotOpened:
            refused += 1
            changed += bool(shelf)
    assert changed == 0
    assert refused > len(SEEDS) * 3 / 4
