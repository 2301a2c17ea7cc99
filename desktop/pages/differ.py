"""The desk where what devices wrote apart is settled: every value, what both started from, and a person who decides."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout

from desktop.controls.layouts import Stack
from desktop.controls.words import Rule, Title, Words
from desktop.differing import Differing, Gone, read_differing
from desktop.pages.bands import always, home_key
from desktop.pages.differ_block import DifferBlock, LateBlock
from desktop.pages.page import Page, Spread, band
from desktop.pages.sync_key import differ_words
from desktop.session import Routes, Session
from desktop.theme.tokens import Role, Size, Space
from forms.trouble import Trouble
from storage.changes import ChangeSet

__all__ = ["DifferPage"]


class DifferPage(Page):
    """The desk, of one family or of all. A block that is being decided on stays as it is while others come and go."""

    def __init__(self, session: Session, routes: Routes, family: str = "") -> None:
        super().__init__()
        self.setObjectName("differ")
        self.session, self.routes, self._family = session, routes, family
        self.head = Title("Reading what differs", size=Size.GREETING)
        self.line = Words("", ink=Role.SOFT_INK)
        self.list = Stack(between=Space.WIDE)
        self.blocks: dict[str, DifferBlock | LateBlock] = {}
        main = Stack(between=Space.PAD)
        main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        main.add(self.head, self.line, self.list)
        main.finish()
        side = Stack(between=Space.SNUG)
        side.add(
            Title("What happens here", size=Size.JOT), Rule(strong=True),
            Words("Two devices answered one question while they were apart. Both answers are kept. Pick the one that "
                  "holds and say why; the other stays in the record and can be read below it.", ink=Role.SOFT_INK),
            Words("Until then figures that rest on it say “unresolved”, and its visit cannot be signed or go on "
                  "paper.", ink=Role.SOFT_INK),
        )  # fmt: skip
        side.finish()
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(Spread(main, side, band((home_key(routes),), always(session, routes))))
        session.lane.changed.connect(self._changed)
        self.refresh()

    def _changed(self, _changes: ChangeSet) -> None:
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Read what differs again."""
        self.session.lane.run(read_differing(self._family, self.session.zone), self._show, self._failed)

    def _failed(self, trouble: Trouble) -> None:
        self.head.say("What differs could not be read")
        self.line.say(trouble.sentence)

    def _show(self, found: tuple[tuple[Differing, ...], tuple[Gone, ...]]) -> None:
        differing, gone = found
        torn = differ_words(len(differing))
        came = {0: "", 1: "1 entry arrived after signing"}.get(len(gone), f"{len(gone)} entries arrived after signing")
        self.head.say(torn or came or "Nothing differs")
        said = f"{came}; further down." if torn and came else ""
        self.line.say(said or ("" if torn or came else "Every device that was met agrees with this one."))
        self.line.setVisible(bool(self.line.said()))
        wanted: dict[str, DifferBlock | LateBlock] = {}
        for one in differing:
            heads = "+".join(head.operation for head in one.dispute.heads)
            key = f"{one.dispute.entity} {one.dispute.path} {heads}"
            wanted[key] = self.blocks.get(key) or DifferBlock(self.session, self.routes, one)
        for late in gone:
            key = f"late {late.late.addendum}"
            wanted[key] = self.blocks.get(key) or LateBlock(self.session, late, self.refresh)
        for key, block in self.blocks.items():
            if key not in wanted:
                block.hide()
                block.deleteLater()
        self.blocks = wanted
        self.list.arrange(tuple(wanted.values()))
        self.session.sharing.look()
