"""Published scored tools on a letter: the numbers as they stand, a published band if it may be shown, the caution."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from forms.answers import every
from forms.clinical.scores import said as score_said
from forms.form import shown_asks
from forms.papers.outline import Block, Item, Items, Paragraph, plain
from forms.papers.said import Said
from forms.scores import Score

__all__ = ["scored_at_feed", "scored_in_mouth"]

_AT_FEED: Final = frozenset({"latch", "ibfat", "mba", "pibbs", "bbat"})
"""Tools that score a feed; every other one, of a newer version too, goes with the look into the mouth."""


def scored_at_feed(said: Said, person: str) -> Iterator[Block]:
    """The tools that scored a feed of this baby at this visit."""
    yield from _scored(said, person, at_feed=True)


def scored_in_mouth(said: Said, person: str) -> Iterator[Block]:
    """Every other scored tool used for this baby at this visit."""
    yield from _scored(said, person, at_feed=False)


def _scored(said: Said, person: str, *, at_feed: bool) -> Iterator[Block]:
    for entry in said.chart.all(Score, person, visit=said.chart.visit):
        score = entry.answers
        if (set(every(score.tool)) <= _AT_FEED and bool(every(score.tool))) is not at_feed:
            continue
        tool = said.words(score, "tool")
        told = score_said(score)
        summed = f"{told.words}; {told.band} ({told.source})" if told.band else told.words
        parts = tuple(
            Item(said.label(ask), plain(said.or_not_known(score, path.field)))
            for path, ask, given in shown_asks(score)
            if given is not None and path.field != "tool" and said.may(Score, path.field)
        )
        yield Items((Item(f"Scored tool: {tool.partition(',')[0] or 'not chosen'}", plain(f"{summed}.")), *parts))
        if told.caution:
            yield Paragraph(plain(told.caution), small=True)
