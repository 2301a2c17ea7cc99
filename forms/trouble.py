"""The two kinds of failure: trouble in the world, which the user is told, and a bug, which is ours."""

from __future__ import annotations

__all__ = ["Bug", "Refused", "Trouble", "Unresolved"]


class Trouble(Exception):  # noqa: N818 - the word the whole program uses for it
    """Something in the world stands in the way; the user gets one plain sentence that says what to do.

    Subclasses set `template`, a sentence with named blanks, so that it can be translated and asserted on;
    the blanks are filled from keyword arguments. A template never carries a clinical value.
    """

    template = "Something outside the program stopped this. Nothing was changed."

    def __init__(self, **blanks: object) -> None:
        self.blanks = blanks
        super().__init__(self.template.format(**blanks))

    @property
    def sentence(self) -> str:
        """The sentence shown to the user."""
        return self.template.format(**self.blanks)


class Refused(Trouble):
    """An answer cannot be taken as typed; the box keeps what was typed and nothing is written."""

    template = "{why}"


class Unresolved(Trouble):
    """One value was asked of a field that holds more than one."""

    template = "Two values stand for “{label}”; settle which one holds first."


class Bug(Exception):  # noqa: N818 - paired with Trouble
    """The program broke a promise of its own; the draft is kept and a report without clinical text is written."""
