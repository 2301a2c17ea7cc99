"""Slots, recovery words and the figures of the key derivation."""

from __future__ import annotations

from pathlib import Path

import orjson
import pytest
from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.hpke import AEAD, KDF, KEM, Suite
from hypothesis import given
from hypothesis import strategies as st

from storage import keys
from storage.keys import DEFAULT, FLOOR, Argon, calibrated
from storage.troubles import DamagedSlot, NotEnoughMemory, RecoveryMistyped, WrongPassphrase, WrongRecoverySheet

MASTER = bytes(range(32))
SHEET = bytes(range(20))


@pytest.fixture
def slot(tmp_path: Path) -> Path:
    path = tmp_path / "passphrase.slot"
    keys.write_passphrase_slot(path, MASTER, "orchard lantern kettle nine", FLOOR)
    return path


def test_a_slot_gives_the_master_key_to_its_passphrase_only(slot: Path) -> None:
    assert keys.passphrase_slot_opened(slot, "orchard lantern kettle nine") == MASTER
    with pytest.raises(WrongPassphrase):
        keys.passphrase_slot_opened(slot, "orchard lantern kettle ten")


def test_each_slot_has_its_own_salt(tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    for path in (one, two):
        keys.write_recovery_slot(path, MASTER, SHEET)
    assert one.read_bytes() != two.read_bytes()


def test_any_flipped_bit_of_a_slot_is_damage_and_never_a_wrong_passphrase(slot: Path) -> None:
    whole = slot.read_bytes()
    for at in range(len(whole)):
        slot.write_bytes(whole[:at] + bytes([whole[at] ^ 1 << at % 8]) + whole[at + 1 :])
        with pytest.raises(DamagedSlot):
            keys.passphrase_slot_opened(slot, "orchard lantern kettle nine")
    for cut in range(0, len(whole), 7):
        slot.write_bytes(whole[:cut])
        with pytest.raises(DamagedSlot):
            keys.passphrase_slot_opened(slot, "orchard lantern kettle nine")


@pytest.mark.parametrize(
    "figures",
    [
        {"memory": 64 * 1024 - 1},
        {"memory": 1024 * 1024 + 1},
        {"passes": 2},
        {"passes": 11},
        {"lanes": 3},
        {"lanes": 9},
        {"memory": -1},
        {"passes": "many"},
    ],
)
def test_figures_outside_the_bounds_are_damage_and_never_run(
    slot: Path, figures: dict[str, object], monkeypatch: pytest.MonkeyPatch
) -> None:
    body = orjson.loads(slot.read_bytes()[:-32]) | figures
    keys._write_slot(slot, body)  # with a good sum, as a forger would
    monkeypatch.setattr(keys, "Argon2id", lambda **_: pytest.fail("was run"))
    with pytest.raises(DamagedSlot):
        keys.passphrase_slot_opened(slot, "orchard lantern kettle nine")


def test_recovery_words_open_their_slot_and_no_other(tmp_path: Path) -> None:
    path = tmp_path / "recovery.slot"
    keys.write_recovery_slot(path, MASTER, SHEET)
    assert keys.recovery_slot_opened(path, keys.read_words(keys.words_of(SHEET))) == MASTER
    with pytest.raises(WrongRecoverySheet):
        keys.recovery_slot_opened(path, bytes(20))


@given(st.binary(min_size=20, max_size=20))
def test_recovery_words_read_back_however_they_are_written(sheet: bytes) -> None:
    words = keys.words_of(sheet)
    assert len(words.split()) == 9
    assert keys.read_words(words) == sheet
    assert keys.read_words(words.lower().replace(" ", "-")) == sheet
    assert keys.read_words(words.replace("0", "O").replace("1", "l")) == sheet


@given(st.binary(min_size=20, max_size=20), st.integers(0, 35), st.integers(1, 31))
def test_one_wrong_letter_of_the_sheet_is_noticed(sheet: bytes, at: int, by: int) -> None:
    letters = keys.words_of(sheet).replace(" ", "")
    other = keys._SHEET[(keys._SHEET.index(letters[at]) + by) % 32]
    with pytest.raises(RecoveryMistyped):
        keys.read_words(letters[:at] + other + letters[at + 1 :])


@pytest.mark.parametrize("typed", ["", "ABCD", "U" * 36, "words that are no code at all", "é" * 36])
def test_what_is_no_recovery_sheet_is_refused(typed: str) -> None:
    with pytest.raises(RecoveryMistyped):
        keys.read_words(typed)


def test_the_recovery_member_is_made_again_from_the_sheet_alone() -> None:
    suite = Suite(KEM.MLKEM768_X25519, KDF.HKDF_SHA256, AEAD.AES_256_GCM)
    public, first = keys.recovery_pair(SHEET)
    again, second = keys.recovery_pair(SHEET)
    assert public == again
    assert len(public) == 1184 + 32  # ML-KEM-768 (FIPS 203), then X25519
    sealed = suite.encrypt(b"epoch key", first.public_key(), b"for recovery")
    assert suite.decrypt(sealed, second, b"for recovery") == b"epoch key"


def test_calibration_keeps_the_default_where_it_takes_half_a_second_to_one() -> None:
    for took in (0.5, 0.75, 1.0):
        assert calibrated(lambda _, took=took: took) == DEFAULT  # type: ignore[misc]


def test_calibration_lowers_memory_on_a_slow_machine_but_never_below_the_floor() -> None:
    assert calibrated(lambda _: 1.5) == Argon(128 * 1024, 3, 4)
    assert calibrated(lambda _: 60.0) == FLOOR


def test_calibration_adds_passes_on_a_quick_machine_and_stays_within_the_ceiling() -> None:
    assert calibrated(lambda _: 0.25) == Argon(256 * 1024, 9, 4)
    assert calibrated(lambda _: 0.01) == Argon(256 * 1024, 10, 4)
    assert calibrated(lambda _: 0.01).allowed()


def test_calibration_takes_the_floor_where_the_default_finds_no_memory() -> None:
    def refuses(_: Argon) -> float:
        raise NotEnoughMemory

    assert calibrated(refuses) == FLOOR


def test_each_purpose_has_its_own_key() -> None:
    made = {keys.derived(MASTER, purpose) for purpose in ("database", "device keys", "tail", "secrets")}
    assert len(made) == 4


def test_a_sealed_secret_is_bound_to_its_name() -> None:
    sealed = keys.seal(MASTER, b"value", "one name")
    assert keys.unseal(MASTER, sealed, "one name") == b"value"
    with pytest.raises(InvalidTag):
        keys.unseal(MASTER, sealed, "another name")
