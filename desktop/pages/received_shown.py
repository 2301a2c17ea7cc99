"""What is told of a file from elsewhere and is not to be taken: who sent it, and all that nothing is offered from."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from desktop.controls.buttons import Link
from desktop.controls.layouts import Stack
from desktop.controls.shown import moment_words
from desktop.controls.words import Rule, Title, Words
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.received import MEDIA
from sync.handoff.reading.held import HandOver, Standing, Unread
from sync.handoff.taking import MEDIA_CODES, CameIn

__all__ = ["NotOffered", "SenderTold"]

_INK: Final[Mapping[Standing, Role]] = MappingProxyType({
    Standing.KNOWN: Role.ALDER, Standing.STRANGER: Role.INK, Standing.UNSIGNED: Role.INK, Standing.EXPIRED: Role.WELD,
    Standing.CHANGED: Role.WELD, Standing.SHEET: Role.INK,
})  # fmt: skip
_STAY: Final = "Nothing is offered from these parts. They stay in the file, which can be kept."
_EMPTY_SHEET: Final = (
    "No field of this sheet is filled in. If it was filled in by hand, read it as a paper, and chart what you take "
    "from it."
)
_SILENT: Final = "{:,} parts hold no words of their own, such as which questions were asked."
_SILENT_ONE: Final = "One part holds no words of its own, such as which questions were asked."
_AT_ONCE: Final = 20
_LONGEST: Final = 600
"""Characters of a part's words that are shown before it is asked for all."""


class SenderTold(Stack):
    """Which file it is, who sealed or signed it, and what that is worth."""

    def __init__(self, came: CameIn, zone: str) -> None:
        super().__init__(between=Space.FINE)
        found, sender = came.found, came.found.sender
        self.words = Words(sender.words, strong=True, ink=_INK[sender.standing])
        kind = MEDIA[MEDIA_CODES[found.media]]
        at = f", {moment_words(Moment(sender.at, zone))}" if sender.at is not None else ""
        sheet = sender.standing is Standing.SHEET
        said = (
            ", ".join(filter(None, (kind, came.called if found.title else ""))),
            f"From {found.author}" if sheet else f"Written by {found.author}, as the file says" if found.author else "",
            f"Signed by {sender.who}{at}" if sender.who else "",
        )
        self.add(Rule(strong=True), Title(found.title or came.called or kind, size=Size.JOT))
        self.add(Words(". ".join(filter(None, said)) + ".", ink=Role.SOFT_INK), self.words)
        if sender.root and sender.standing is Standing.STRANGER:
            self.add(Words(f"Fingerprint: {sender.root}", size=Size.SMALL, ink=Role.SOFT_INK))


class NotOffered(Stack):
    """Parts of the file that nothing is offered from, in plain words, and the text of a file that is kept unread."""

    def __init__(self, found: HandOver) -> None:
        super().__init__(between=Space.SNUG)
        self._unread = tuple(part for part in found.unread if part.words or part.why)
        self._shown, silent = 0, len(found.unread) - len(self._unread)
        self._listed = Stack(between=Space.SNUG)
        self.more = Link("", size=Size.BASE)
        self.more.clicked.connect(self._show_more)
        if found.unread:
            self.add(
                Rule(strong=True),
                Title("Only to be read", size=Size.JOT),
                Words(_STAY, ink=Role.SOFT_INK),
                self._listed, self.more,
            )  # fmt: skip
            self._show_more()
            if silent:
                self.add(Words(_SILENT_ONE if silent == 1 else _SILENT.format(silent), ink=Role.SOFT_INK))
        if found.text:
            self.add(Rule(strong=True), Title("The text of the file", size=Size.JOT))
            self.add(Words("It is shown as it is and not taken apart.", ink=Role.SOFT_INK), _Cut(found.text))
        if not (found.unread or found.text or found.offers):
            self.add(
                Words(_EMPTY_SHEET if found.sender.standing is Standing.SHEET else "Nothing is offered in this file.")
            )

    def _show_more(self) -> None:
        for part in self._unread[self._shown : self._shown + _AT_ONCE]:
            self._listed.add(_told(part))
        self._shown += _AT_ONCE
        left = len(self._unread) - self._shown
        self.more.setVisible(left > 0)
        self.more.say(f"Show more, {left:,} are left")


def _told(part: Unread) -> Stack:
    told = Stack(between=Space.FINE)
    told.add(Words(part.id.capitalize() if part.kind == "Row" else f"{part.kind}, {part.id}", strong=True))
    if part.why:
        told.add(Words(part.why, ink=Role.WELD))
    told.add(_Cut(part.words or "It says nothing in words."))
    return told


class _Cut(Stack):
    """Words of which the first are shown until all are asked for."""

    def __init__(self, words: str) -> None:
        super().__init__(between=Space.FINE)
        self._all = words
        self.words = Words(words if len(words) <= _LONGEST else f"{words[:_LONGEST]} …", ink=Role.SOFT_INK)
        self.more = Link("Show all of it")
        self.more.clicked.connect(self._show_all)
        self.add(self.words, self.more)
        self.more.setVisible(len(words) > _LONGEST)

    def _show_all(self) -> None:
        self.words.say(self._all)
        self.more.hide()
