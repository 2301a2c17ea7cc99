"""Before a paper leaves: which way, what for, and what leaves with it. Only the way she came by is picked for her."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from types import MappingProxyType

from PySide6.QtCore import Signal
from shiboken6 import isValid

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Stack
from desktop.controls.segments import Segments
from desktop.controls.typed import Box
from desktop.controls.words import Rule, Words
from desktop.open_chart import OpenChart
from desktop.pages.paper_in_hand import Question
from desktop.pages.paper_kinds import Offered
from desktop.pages.paper_leaves import preview
from desktop.pages.paper_print import PrinterAsked
from desktop.pages.plain import key_row
from desktop.pages.secret import Told
from desktop.theme.tokens import Role, Size, Space
from forms.ask import ask_of
from forms.referral import PURPOSES_OF_LEAVING, PaperIssued
from forms.trouble import Trouble
from sync.handoff.way import Way
from sync.handoff.what_leaves import Leaves

__all__ = ["LeavingAsked", "told_of"]

_WAYS: Mapping[str, str] = MappingProxyType(
    {"printed": "Print", "password": "Lock with a password", "plain": "Leave open"}
)
_SAID: Mapping[str, str] = MappingProxyType({
    "printed": "Printing sends the paper through this device’s print queue, which may keep a copy for a while.",
    "password": "Nobody opens the file without a password of five words. It is made as the file is saved, and told by "
    "phone or in person, never by the way the file goes.",
    "plain": "Whoever gets the file can read it. This is for a way that is secure itself: the doctor’s own secure "
    "mailbox, or a stick put into a hand.",
})  # fmt: skip
_GO: Mapping[str, str] = MappingProxyType(
    {"printed": "Print it", "password": "Choose where, and lock it", "plain": "Choose where, and save it"}
)


def told_of(leaves: Leaves, how: str) -> tuple[str, ...]:
    """What leaves, in sentences: the paper, for whom, and what is in it and beside it."""
    pages = "1 page" if leaves.pages == 1 else f"{leaves.pages} pages"
    seal = "with the seal of this practice" if leaves.sealed else "without a seal, since the visit is not signed"
    lines = [f"“{leaves.title}”, {pages}, {seal}.", f"For {leaves.whom}."]
    if leaves.stamp_asked:
        lines.append(
            "A time stamp is asked for, which takes a moment; the service learns a hash, nothing of the paper."
        )
    if how == "printed":
        of_paper = ", and its seal cannot be checked on paper" if leaves.sealed else ""
        return (*lines, f"Nothing goes with it: a print carries no record{of_paper}.")
    if leaves.record_inside:
        lines.append("Inside: all that it tells as an open record, for a program to read, and that record’s signature.")
    elif leaves.words_inside:
        lines.append("Inside: its words once more, as plain text.")
    if how == "password":
        lines.append("Beside it: how to check it, on a page that tells nothing of what is inside.")
        if leaves.sealed:
            lines.append("Without the password one can still see who sealed it, of which practice, and when.")
    elif leaves.record_inside:
        lines.append("Beside it: that record and its signature once more, and a page on how to check them.")
    else:
        lines.append("Beside it: a page on how to check it.")
    return tuple(lines)


class LeavingAsked(Stack):
    """Asks how and what for, and shows what leaves.

    Signals: `go(Way, printer)`: let it leave; `stays()`: it does not.
    """

    go = Signal(object, str)
    stays = Signal()

    def __init__(
        self, home: OpenChart, paper: Offered, question: Question, *, large: bool, printers: Callable[[], list[str]]
    ) -> None:
        super().__init__(between=Space.SNUG)
        self._home, self._paper, self._question, self._large = home, paper, question, large
        self._asked = 0
        self._leaves: Leaves | None = None
        self.ways = Segments("How it leaves", _WAYS)
        self.ways.picked.connect(self._take_way)
        self.said = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.printer = PrinterAsked(printers)
        self.purpose = Segments(ask_of(PaperIssued, "purpose").label, PURPOSES_OF_LEAVING)
        self.purpose.picked.connect(self._take_purpose)
        self.words = Box(ems=24)
        self.words.setAccessibleName(ask_of(PaperIssued, "purpose_words").label)
        self.words.setPlaceholderText("In a few words")
        self.words.setText(question.words)
        self.words.textChanged.connect(self._take_words)
        self.words.returnPressed.connect(self._press)
        self.preview = Stack(between=Space.FINE)
        self.told = Told()
        self.key = Act("", kind=ActKind.MAIN)
        self.key.clicked.connect(self._press)
        stay = Link("It does not leave", size=Size.BASE)
        stay.clicked.connect(self.stays)
        self.add(
            Rule(strong=True), Words("How does it leave?", strong=True), self.ways, self.said, self.printer,
            Words(ask_of(PaperIssued, "purpose").label + "?", strong=True), self.purpose, self.words,
            Words("What leaves", strong=True), self.preview, self.told, key_row(self.key, stay), Rule(strong=True),
        )  # fmt: skip
        self._take_way(question.how)
        self._show_purpose()
        self.look()

    @property
    def how(self) -> str:
        """The way picked, a code of PaperIssued."""
        return self.ways.codes()[0]

    def look(self) -> None:
        """Work out anew what would leave; until that is known nothing can."""
        self._asked += 1
        self.key.setEnabled(False)
        if self._leaves is None:
            self.told.progress("Looking at what would leave.")
        self._home.lane.run(
            preview(self._home, self._paper, large=self._large), partial(self._show, self._asked),
            partial(self._held_back, self._asked),
        )  # fmt: skip

    def _show(self, asked: int, leaves: Leaves) -> None:
        if not isValid(self) or asked != self._asked:
            return
        if self._leaves is None:
            self.told.progress("")
        self._leaves = leaves
        self.key.setEnabled(self.how != "printed" or self.printer.name is not None)
        self._tell()

    def _held_back(self, asked: int, trouble: Trouble) -> None:
        if not isValid(self) or asked != self._asked:
            return
        self._leaves = None
        self.preview.clear()
        self.told.trouble(trouble.sentence)

    def _tell(self) -> None:
        self.preview.clear()
        if self._leaves is not None:
            self.preview.add(*(Words(line) for line in told_of(self._leaves, self.how)))

    def _take_way(self, how: str) -> None:
        self._question.how = how
        self.ways.show_codes((how,))
        self.said.say(_SAID[how])
        self.printer.setVisible(how == "printed")
        self.key.say(_GO[how])
        self.key.setEnabled(self._leaves is not None and (how != "printed" or self.printer.name is not None))
        self._tell()

    def _take_purpose(self, code: str) -> None:
        self._question.purpose = "" if code == self._question.purpose else code
        self._show_purpose()
        if self._question.purpose == "other":
            self.words.setFocus()
        if self._leaves is not None:
            self.told.progress("")

    def _show_purpose(self) -> None:
        self.purpose.show_codes((self._question.purpose,))
        self.words.setVisible(self._question.purpose == "other")

    def _take_words(self, words: str) -> None:
        self._question.words = words

    def _press(self) -> None:
        if not self.key.isEnabled():
            return
        purpose, words = self._question.purpose, " ".join(self._question.words.split())
        if not purpose:
            self.told.trouble("Pick what it leaves for; it is written down beside whom it went to.")
            return
        if purpose == "other" and not words:
            self.told.trouble("Say in a few words what it leaves for.")
            self.words.setFocus()
            return
        way = Way(self.how, purpose, words if purpose == "other" else None)
        self.go.emit(way, self.printer.name or "")
