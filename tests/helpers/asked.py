"""What is asked before a paper leaves, answered as a person would."""

from __future__ import annotations

from desktop.pages.papers import Papers
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["let_leave"]


def let_leave(made: TwinVisit, papers: Papers, how: str, purpose: str = "care", words: str = "") -> None:
    """Asks for the paper in view as a file, picks a way and what for, and lets it leave."""
    papers.save_key.click()
    settled(made)
    asked = papers.asked
    assert asked is not None, papers.told.said()
    asked.ways.button(how).click()
    asked.purpose.button(purpose).click()
    asked.words.setText(words)
    asked.key.click()
    settled(made)
