"""What can be wrong with a file that came from somewhere else."""

from __future__ import annotations

from forms.trouble import Trouble

__all__ = ["BadFile", "Stopped"]


class BadFile(Trouble):
    """A file is not what its name says; it is kept aside and never deleted. `newer`: a newer version wrote it."""

    template = "A file from another device cannot be taken in: {why}. It is kept aside, and asked for again."

    def __init__(self, *, why: str, newer: bool = False) -> None:
        super().__init__(why=why)
        self.newer = newer


class Stopped(Trouble):
    """The person ended a round, or a request in it."""

    template = "The round was stopped. What was sent and received stays; the next round goes on from there."
