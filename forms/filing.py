"""How a jot goes into an answer: its words with the time they were noted, behind what stands there already."""

from __future__ import annotations

from datetime import date

from forms.answers import Absent, Conflicted, Given, Moment
from forms.days import clock, short_day
from forms.trouble import Refused
from forms.visit import Jot

__all__ = ["IN_NONE", "behind", "timed_words"]

IN_NONE = "In no form: "
"""How `filed_to` begins for a jot that stands in no form; the reason follows."""


def timed_words(jot: Jot, today: date) -> str:
    """The jot's words with the time they were noted: "14:02: ...", with the day before it when that is not `today`.

    Raises Refused for a jot without words, or one on which two wordings or times stand.
    """
    if isinstance(jot.words, Conflicted) or isinstance(jot.noted, Conflicted):
        raise Refused(why="Two wordings of this jot stand. Settle which one holds, then file it.")
    if not isinstance(jot.words, str) or not jot.words.strip():
        raise Refused(why="This jot has no words to file.")
    if not isinstance(jot.noted, Moment):
        return jot.words.strip()
    local = jot.noted.local()
    when = clock(local) if local.date() == today else f"{short_day(local.date())}, {clock(local)}"
    return f"{when}: {jot.words.strip()}"


def behind(standing: Given[str], words: str) -> str:
    """What stands, with these words in a line of their own behind it; nothing that stands is ever replaced.

    Raises Refused where an absence or two answers stand: those are taken back or settled by hand first.
    """
    if isinstance(standing, Absent):
        raise Refused(why="That question is marked as having no answer. Take the mark off, then file the jot there.")
    if isinstance(standing, Conflicted):
        raise Refused(why="Two answers stand for that question. Settle which one holds, then file the jot there.")
    return f"{standing.rstrip()}\n{words}" if standing is not None and standing.strip() else words
