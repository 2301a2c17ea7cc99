"""Which passphrases are taken."""

from __future__ import annotations

import pytest

from storage.passphrases import must_be_strong, normal
from storage.troubles import PassphraseRefused


@pytest.mark.parametrize(
    "passphrase",
    [
        "orchard lantern",  # exactly 15
        "orchard lantern kettle nine",
        "gæsalöpp í fjörunni við Skarð",
        "kettle\tlantern\tnine",
        "ключ под старой грушей",
        "x" + "orchard lantern kettle" * 40,
    ],
)
def test_a_long_passphrase_of_any_script_is_taken(passphrase: str) -> None:
    must_be_strong(passphrase)


@pytest.mark.parametrize("passphrase", ["", "short", "fourteen chars", "14 characters!"])
def test_fewer_than_fifteen_characters_are_refused(passphrase: str) -> None:
    with pytest.raises(PassphraseRefused, match="at least 15 characters"):
        must_be_strong(passphrase)


@pytest.mark.parametrize(
    "passphrase",
    [
        "correct horse battery staple",
        "Correct-Horse-Battery-Staple",
        "CORRECT HORSE BATTERY STAPLE 2026",
        "passwordpassword",
        "Breastfeeding is best!!",
        "hearthside hearthside",
    ],
)
def test_a_well_known_passphrase_is_refused_however_it_is_dressed(passphrase: str) -> None:
    with pytest.raises(PassphraseRefused, match="list that guessers"):
        must_be_strong(passphrase)


@pytest.mark.parametrize(
    "passphrase",
    ["aaaaaaaaaaaaaaaa", "abababababababab", "orchardorchardorchard", "qwertyuiopasdfghj", "1234567890123456",
     "zyxwvutsrqponmlkji", "1qaz2wsx3edc4rfv", "lantern lantern lantern"],
)  # fmt: skip
def test_a_pattern_is_refused(passphrase: str) -> None:
    with pytest.raises(PassphraseRefused, match="pattern"):
        must_be_strong(passphrase)


def test_the_same_letters_typed_in_two_ways_are_one_passphrase() -> None:
    assert normal("ﬁsh and Å") == normal("fish and Å")
