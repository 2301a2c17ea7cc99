"""The papers of a visit: shown inside the window, printed, saved as a file, or shown in large words to copy by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtPrintSupport import QPrinter, QPrinterInfo
from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Flow, Stack
from desktop.controls.segments import Tabs
from desktop.controls.words import Words
from desktop.files import pick_place
from desktop.pages.paper_asked import LeavingAsked
from desktop.pages.paper_grade import ReadingGrade
from desktop.pages.paper_in_hand import InHand, Question
from desktop.pages.paper_issued import IssuedPapers
from desktop.pages.paper_kinds import Drawn, Offered, draw, offered, way_out
from desktop.pages.paper_leaves import Left, leave_by_printer, leave_to_file
from desktop.pages.paper_password import PasswordShown
from desktop.pages.paper_plan_left import PlanLeft
from desktop.pages.paper_print import NotPrinted, print_pages
from desktop.pages.paper_view import PaperPages
from desktop.pages.paper_words import WordsWanted
from desktop.sheets.in_view import InView
from desktop.sheets.sheet import Here
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.ask import Paper
from forms.papers.tongue import WordsMissing
from forms.phrases.english import ENGLISH
from forms.referral import PaperIssued
from forms.student import co_signature
from forms.trouble import Trouble
from sync.handoff.password import new_password
from sync.handoff.way import Way

__all__ = ["Papers"]

_PRINTED = Way("printed")

_SETTLE_MS = 400

PickPlace = Callable[[QWidget, str, Path, str], Path | None]


class Papers(Stack):
    """One paper in view, with the ways it can leave. `set_shared`: only what the family may look on at."""

    def __init__(
        self,
        here: Here,
        *,
        printers: Callable[[], list[str]] = QPrinterInfo.availablePrinterNames,
        pick: PickPlace = pick_place,
    ) -> None:
        super().__init__(between=Space.PAD)
        self.home, self.who = here.home, here.who
        self._view = InView.of(here.home)
        self._hand = InHand.of(here.home)
        self._printers, self._pick, self._shared = printers, pick, False
        self._asked, self._large = 0, False
        self._drawn: Drawn | None = None
        self.tabs: Tabs | None = None
        self._titles: dict[str, str] = {}
        self._tabs = Stack()
        self.state = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.told = Words("", strong=True)
        self._way = Stack()
        self.asked: LeavingAsked | None = None
        self._leaving = Stack()  # what is asked before a paper leaves, or the password of one that just left
        self._pages = Stack()
        self.shown: PaperPages | None = None
        self.copying = Words("", size=Size.FIGURE)
        self.copying.hide()
        self._issued = IssuedPapers(here.home)
        self.wanted: WordsWanted | None = None
        self.grade = ReadingGrade()
        self.add(self._tabs, self.state, self._keys(), self.told, self._leaving, self._way)
        self.add(self.grade, self._pages, self.copying, self._issued)
        self.told.hide()
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(_SETTLE_MS)
        self._settle.timeout.connect(self.refresh)
        here.home.changed.connect(self._settle.start)
        self._hand.waits.connect(self._password_waits)
        self._offer()
        self._take_up()

    def _keys(self) -> QWidget:
        row = QWidget()
        flow = Flow(row, gap=Space.PAD)
        self.print_key = Act("Print", icon=Icon.PAPER, kind=ActKind.MAIN)
        self.print_key.clicked.connect(lambda: self._ask("printed"))
        self.save_key = Act("Save as a file")
        self.save_key.clicked.connect(lambda: self._ask("password"))
        self.copy_key = Link("Large words to copy by hand", size=Size.BASE)
        self.copy_key.clicked.connect(self._copy)
        self.large_key = Link("Large print", size=Size.BASE)
        self.large_key.clicked.connect(self._larger)
        for key in (self.print_key, self.save_key, self.copy_key, self.large_key):
            flow.addWidget(key)
        return row

    # --- which paper ------------------------------------------------------------------------------------------------

    def _offered(self) -> tuple[Offered, ...]:
        found = offered(self.home, self.who, self._picked())
        return tuple(one for one in found if one.for_family or not self._shared)

    def _picked(self) -> str:
        return next(iter(self._view.shown(PaperIssued, "")), "")

    @property
    def paper(self) -> Offered:
        """The paper in view; the plan if none was picked."""
        found = self._offered()
        return next((one for one in found if one.key == self._picked()), found[0])

    def _offer(self) -> None:
        found = {one.key: one.words for one in self._offered()}
        if self.tabs is None or found != self._titles:
            self._titles = found
            self._tabs.clear()
            self.tabs = Tabs("Papers", found)
            self.tabs.chosen.connect(self._choose)
            self._tabs.add(self.tabs)
        self.tabs.show_codes((self.paper.key,))

    def _choose(self, key: str) -> None:
        self._view.keep(PaperIssued, "", key)
        self._put_away()
        self.refresh()

    def set_shared(self, on: bool) -> None:
        """Shared view: letters go from the page."""
        if on != self._shared:
            self._shared = on
            self._stop_asking()
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._drawn is None:
            self.refresh()

    # --- drawing ----------------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Draw the paper in view from what stands now; off this thread, in memory."""
        self._offer()
        paper, chart, now = self.paper, self.home.chart, self.home.clock()
        self._asked += 1
        asked, large, author = self._asked, self._large and paper.kind is Paper.FAMILY_PLAN, self.home.author
        self.large_key.setVisible(paper.kind is Paper.FAMILY_PLAN)
        self.large_key.say("Usual print" if self._large else "Large print")
        if chart.signed() is None:
            self.state.say("The visit is not signed: the paper carries no seal, and says so where it must.")
        elif co_signature(chart) is None:
            self.state.say("The visit is signed by a student alone: the paper carries no seal, and says so.")
        else:
            self.state.say("The visit is signed: the paper leaves with the seal of this practice.")
        if self._drawn is None and self.told.isHidden():
            self._say("Drawing the pages.")
        self._issued.refresh(shared=self._shared)
        if self.asked is not None:
            self.asked.look()
        self.home.lane.run(
            lambda _store: draw(chart, paper, author=author, now=now, large=large),
            partial(self._show, asked),
            partial(self._fail, asked),
        )

    def _show(self, asked: int, drawn: Drawn) -> None:
        if not isValid(self) or asked != self._asked:
            return
        if self._drawn is None:
            self._clear_way()
            self._say("")
            self._say_waiting()
        self.grade.tell(None if self._shared else drawn.grade)
        if self._drawn != drawn:
            self._drawn = drawn
            self._pages.clear()
            self.shown = PaperPages(drawn.pages)
            self._pages.add(self.shown)
            self.copying.say(drawn.words)
        self._may_leave(may=True)

    def _fail(self, asked: int, trouble: Trouble) -> None:
        if not isValid(self) or asked != self._asked:
            return
        self._drawn, self.shown = None, None
        self._pages.clear()
        self.copying.hide()
        self._stop_asking()
        self._may_leave(may=False)
        self._say(trouble.sentence, watch=True)
        self.grade.tell(None)
        if isinstance(trouble, WordsMissing) and self.wanted is not None and self.wanted.holds(trouble):
            return
        self._clear_way()
        if isinstance(trouble, WordsMissing) and not self._shared:
            self.wanted = WordsWanted(self.home, trouble)
            self._way.add(self.wanted)
        way = way_out(trouble, self.who)
        if way is not None:
            words, jump = way
            act = Act(words, icon=Icon.JUMP)
            act.clicked.connect(lambda: self._view.jumped.emit(jump))
            row = QWidget()
            Flow(row).addWidget(act)
            self._way.add(row)

    def _clear_way(self) -> None:
        self.wanted = None
        self._way.clear()

    def _may_leave(self, *, may: bool) -> None:
        for key in (self.print_key, self.save_key, self.copy_key, self.large_key):
            key.setEnabled(may)

    def _say(self, words: str, *, watch: bool = False) -> None:
        self.told.take_ink(Role.WELD if watch else Role.INK)
        self.told.say(words)
        self.told.setVisible(bool(words))

    def _copy(self) -> None:
        on = self.copying.isHidden()
        self.copying.setVisible(on)
        self._pages.setVisible(not on)
        self.copy_key.say("Show the pages" if on else "Large words to copy by hand")

    def _larger(self) -> None:
        self._large = not self._large
        self.refresh()

    # --- leaving ----------------------------------------------------------------------------------------------------

    def _ask(self, how: str) -> None:
        """Ask which way and what for, above the pages; what leaves is shown there."""
        self._put_away()
        self._hand.question = Question(self.paper.key, how)
        self._take_up()
        if self.asked is not None:
            self.asked.ways.button(how).setFocus()

    def _take_up(self) -> None:
        """Show what is under way for the paper in view: what is asked, or the password that waits to be told."""
        question, left = self._hand.question, self._hand.waiting(self.paper.key)
        if question is not None and question.key == self.paper.key:
            self.asked = LeavingAsked(self.home, self.paper, question, large=self._large, printers=self._printers)
            self.asked.go.connect(self._go)
            self.asked.stays.connect(self._stay)
            self._leaving.add(self.asked)
        elif left is not None and left.way.password is not None:
            entry = left.entry if left.written else ""
            shown = PasswordShown(self.home, left.way.password, entry, once=not self._hand.kept)
            shown.told.connect(self._told)
            shown.told.connect(self.save_key.setFocus)
            shown.kept.connect(self._kept)
            self._leaving.add(shown)
            self._say_waiting()

    def _password_waits(self) -> None:
        """A locked paper left, asked for here or on this page as it was laid before."""
        self._leaving.clear()
        self._take_up()
        for shown in self._leaving.findChildren(PasswordShown):
            shown.setFocus()

    def _told(self) -> None:
        if not self._hand.kept and self._hand.waiting(self.paper.key) is not None:
            self._issued.refresh(shared=self._shared)  # what was asked for before would still offer its password
        self._hand.put_away()
        self._leaving.clear()

    def _kept(self) -> None:
        self._hand.kept = True
        self._issued.refresh(shared=self._shared)

    def _stay(self) -> None:
        self._stop_asking()
        self.print_key.setFocus()

    def _put_away(self) -> None:
        """Take away what belongs to a paper that was left or asked about before, a password with it."""
        self._stop_asking()
        self._told()
        self._clear_way()
        self._say("")

    def _stop_asking(self) -> None:
        self._hand.question = None
        if self.asked is not None:
            self.asked = None
            self._leaving.clear()

    def _go(self, way: Way, printer: str) -> None:
        if way.how == "printed":
            self.print_on(QPrinter(QPrinterInfo.printerInfo(printer), QPrinter.PrinterMode.HighResolution), way)
        else:
            self._save(way)

    def print_on(self, printer: QPrinter, way: Way = _PRINTED) -> None:
        """Make the paper and print it; what the printer did not take is struck out again."""
        self._stop_asking()
        self._busy("Printing.")
        paper, home = self.paper, self.home

        def done(left: Left) -> None:
            paper_pages = PaperPages(left.pages)  # it owns the document for as long as the printing takes
            if print_pages(paper_pages.document, printer):
                self._gone(paper.key, left)
                return
            left.take_back(home)
            self._not_gone(NotPrinted(name=printer.printerName() or "here"))

        home.save()
        home.lane.run(leave_by_printer(home, paper, way, large=self._large), done, self._not_gone)

    def _save(self, way: Way) -> None:
        day = Moment(self.home.clock(), self.home.zone).local().date()
        tongue = "" if self.paper.language == ENGLISH.tag else f"-{self.paper.language}"
        name = f"{self.paper.file}{tongue}-{day.isoformat()}.pdf"
        place = self._pick(self, "Save the paper", Path.home(), name)
        if place is None:
            return
        if place.suffix.lower() != ".pdf":
            place = place.with_name(f"{place.name}.pdf")
            if place.exists():  # nobody was asked about a file of that longer name
                self._say(f"{place} is there already. Save the paper under another name.", watch=True)
                return
        self._stop_asking()
        self._busy("Saving.")
        self.home.save()
        chosen = replace(way, password=new_password()) if way.how == "password" else way
        work = leave_to_file(self.home, self.paper, chosen, place, large=self._large)
        self.home.lane.run(work, partial(self._gone, self.paper.key), self._not_gone)

    def _busy(self, words: str) -> None:
        self._say(words)
        self._may_leave(may=False)

    def _gone(self, key: str, left: Left) -> None:
        self.home.reload()
        if left.way.password is not None and isValid(self._hand):
            self._hand.wait(left, key)  # first: this page may have been laid anew, and the password goes to the new one
        if not isValid(self):
            return
        self._may_leave(may=True)
        self._clear_way()
        self._say_left(left)
        plan = PlanLeft(self.home, left)
        plan.written.connect(self._plan_is_left)
        self._way.add(plan)

    def _say_waiting(self) -> None:
        left = self._hand.waiting(self.paper.key)
        if left is not None:
            self._say_left(left)

    def _say_left(self, left: Left) -> None:
        done = "Printed" if left.way.how == "printed" else f"Saved as {left.place}"
        lock = " and locked" if left.way.password is not None else ""
        beside = f" Beside it: {', '.join(path.name for path in left.beside)}." if left.beside else ""
        unwritten = "" if left.written else " The disk is full, so that it left is not written down; make room."
        unstamped = f" {left.unstamped}" if left.unstamped else ""
        self._say(f"{done}{lock}.{beside}{unstamped}{unwritten}", watch=not left.written)

    def _plan_is_left(self) -> None:
        self._clear_way()
        self._say("Written down. With whom it is left stands under “Said back”.")

    def _not_gone(self, trouble: Trouble) -> None:
        self.home.reload()
        if isValid(self):
            self._may_leave(may=self._drawn is not None)
            self._say(trouble.sentence, watch=True)
