"""Which passphrases are taken: long ones that nobody would try first. No rules about kinds of characters."""

from __future__ import annotations

import unicodedata
from functools import cache
from importlib import resources

from storage.troubles import PassphraseRefused

__all__ = ["SHORTEST", "must_be_strong", "normal"]

SHORTEST = 15
"""Characters; NIST SP 800-63B-4 for a secret that stands alone (S, read in draft)."""

_FEWEST_DIFFERENT = 6
_RUNS = (
    "abcdefghijklmnopqrstuvwxyz", "qwertyuiopasdfghjklzxcvbnm", "qwertzuiopasdfghjklyxcvbnm",
    "azertyuiopqsdfghjklmwxcvbn", "01234567890", "12345678901234567890", "1qaz2wsx3edc4rfv5tgb6yhn7ujm8ik9ol0p",
    "1q2w3e4r5t6y7u8i9o0p",
)  # fmt: skip


def normal(text: str) -> str:
    """The same passphrase however it was typed: Unicode NFKC."""
    return unicodedata.normalize("NFKC", text)


def _bare(text: str) -> str:
    return "".join(letter for letter in normal(text).casefold() if letter.isalnum())


@cache
def _blocked() -> frozenset[str]:
    listed = resources.files("storage").joinpath("blocklist.txt").read_text("utf-8")
    return frozenset(_bare(line) for line in listed.splitlines() if line and not line.startswith("#"))


def _repeats(bare: str) -> bool:
    """Whether the whole is one short piece over and over."""
    return any((bare[:size] * len(bare))[: len(bare)] == bare for size in range(1, len(bare) // 2 + 1))


def _runs(bare: str) -> bool:
    """Whether the whole, less digits at its end, is one stretch along the alphabet or a keyboard."""
    for text in {bare, bare.rstrip("0123456789") or bare}:
        doubled = [run + run for run in _RUNS]
        if any(text in run or text[::-1] in run for run in doubled):
            return True
    return False


def must_be_strong(passphrase: str) -> None:
    """Raises PassphraseRefused, which says what to do, for one that is short, well known or a pattern."""
    typed = normal(passphrase)
    if len(typed) < SHORTEST:
        raise PassphraseRefused(
            why=f"The passphrase needs at least {SHORTEST} characters; four or five unrelated words are easy to keep."
        )
    bare = _bare(typed)
    stem = bare.strip("0123456789")
    if bare in _blocked() or stem in _blocked():
        raise PassphraseRefused(why="That passphrase is on the list that guessers try first; choose unrelated words.")
    if len(set(bare)) < _FEWEST_DIFFERENT or _repeats(bare) or _runs(bare):
        raise PassphraseRefused(why="That passphrase follows a simple pattern; choose four or five unrelated words.")
