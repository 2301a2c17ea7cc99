"""A text written on two devices apart, joined word by word: a proposal that a person edits and keeps, or not."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

__all__ = ["Proposal", "proposed"]

_WORDS = re.compile(r"\S+\s*|\s+")


@dataclass(frozen=True, slots=True)
class Proposal:
    """The joined words. `open` counts places that both changed: there both stand in brackets, [one | other]."""

    words: str
    open: int


def proposed(start: str, one: str, other: str) -> Proposal:
    """What both changed of `start`, joined: a change of one alone is taken, one of both is left open."""
    base, ours, theirs = (_WORDS.findall(text) for text in (start, one, other))
    parts, torn = list[str](), 0
    for same, mine, hers, before in _chunks(base, ours, theirs):
        if same or mine == hers:
            parts += mine
        elif mine == before:
            parts += hers
        elif hers == before:
            parts += mine
        else:
            torn += 1
            parts.append(f"[{''.join(mine).strip()} | {''.join(hers).strip()}] ")
    return Proposal("".join(parts).strip(), torn)


def _kept(base: Sequence[str], now: Sequence[str]) -> dict[int, int]:
    """Which words of the start are still there: their places, before and now."""
    blocks = SequenceMatcher(None, [w.strip() for w in base], [w.strip() for w in now], autojunk=False)
    return {block.a + i: block.b + i for block in blocks.get_matching_blocks() for i in range(block.size)}


def _chunks(
    base: Sequence[str], ours: Sequence[str], theirs: Sequence[str]
) -> Iterator[tuple[bool, list[str], list[str], list[str]]]:
    """Runs that both kept, and between them what each made of the rest."""
    mine, hers = _kept(base, ours), _kept(base, theirs)
    at = a = b = 0
    for place in range(len(base)):
        if place not in mine or place not in hers:
            continue
        yield False, list(ours[a : mine[place]]), list(theirs[b : hers[place]]), list(base[at:place])
        yield True, [ours[mine[place]]], [theirs[hers[place]]], [base[place]]
        at, a, b = place + 1, mine[place] + 1, hers[place] + 1
    yield False, list(ours[a:]), list(theirs[b:]), list(base[at:])
