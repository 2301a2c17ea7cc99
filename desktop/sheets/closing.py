"""Closing or handing over an episode of care: why, each baby at the end, and who owns what is still open."""

from __future__ import annotations

from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.sheet import Compose, Section
from forms.closing import Closing, Loop, StateAtEnd
from forms.form import Form

__all__ = ["CLOSING", "KEPT", "OWNER", "STATE", "WRITTEN"]

WRITTEN = frozenset({
    (Closing, "closed_at"), (Closing, "closed_by"), (StateAtEnd, "closing"), (Loop, "closing"), (Loop, "of"),
})  # fmt: skip
"""What the program writes itself: what belongs together, and who closed care when."""


def _named(home: OpenChart, form: type[Form], which: str) -> EntryBinding:
    """The entry whose id is given."""
    return home.binding(form, entity=which)


def _why(c: Compose) -> None:
    c.ask("reason", "covers", "goal_words", "goal_reached", "given_family")


def _kept(c: Compose) -> None:
    c.ask("kept")


def _state(c: Compose) -> None:
    c.ask("recall_day", "recall", "weight", "pain", "supplement")


def _owner(c: Compose) -> None:
    c.ask("owner")


CLOSING = Section("closing.why", "Why", Closing, _why, "Why, and what came of it", bind=_named)
KEPT = Section("closing.kept", "Records", Closing, _kept, "How long the records are kept", bind=_named)
STATE = Section("closing.state", "At the end", StateAtEnd, _state, "{name} at the end of care", bind=_named)
OWNER = Section("closing.owner", "Owner", Loop, _owner, "Who owns it now", bind=_named)
