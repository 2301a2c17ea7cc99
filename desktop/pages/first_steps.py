"""The first launch from the recovery sheet on: what papers need to know, and where the root key goes.

What is typed here is autosaved like any answer; whoever is interrupted finds the rest on the practice's own page.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtWidgets import QVBoxLayout

from desktop.begins import Begins
from desktop.controls.buttons import Link
from desktop.controls.layouts import Stack
from desktop.controls.words import Title, Words
from desktop.open_chart import OpenChart
from desktop.pages.charted import ChartPage
from desktop.pages.local_facts import FollowsCountry, ZoneTold
from desktop.pages.page import Ground
from desktop.pages.plain import PlainColumn, focus_soon, key_row, main_key
from desktop.pages.recovery_sheet import PrintSheet, SheetShown, SheetTyped
from desktop.pages.root_key import RootKey
from desktop.seals import ensure_seals
from desktop.session import Routes, Session
from desktop.sheets.laid import lay
from desktop.sheets.practice import HERE, ON_PAPER, WHO
from desktop.sheets.sheet import Section
from desktop.theme.tokens import Role, Size, Space
from forms.practice import Practice, Practitioner

__all__ = ["SHEET_PROVED", "FirstStepsPage"]

SHEET_PROVED = "recovery sheet typed back"
"""Name of the kept secret that says when the sheet was typed back; without it the reminder stays."""


class FirstStepsPage(ChartPage):
    """Steps by name: sheet, print, back (typing it back), who, paper, here, root."""

    def __init__(self, session: Session, routes: Routes, home: OpenChart, zone: str) -> None:
        super().__init__(session, routes, home)
        self.setObjectName("first_steps")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        plain = PlainColumn()
        outer.addWidget(plain)
        foot = Ground(Role.PAGE)
        inner = QVBoxLayout(foot)
        inner.setContentsMargins(Space.FAR, Space.FINE, Space.FAR, Space.GAP)
        inner.addWidget(self.saved)
        outer.addWidget(foot)
        self.column = plain.column
        self._steps: Mapping[str, Callable[[], None]] = {
            "sheet": self._sheet,
            "print": self._print,
            "back": self._type_back,
            "who": lambda: self._facts(1, WHO, session.author, "paper", ""),
            "paper": lambda: self._facts(2, ON_PAPER, "", "here", "who"),
            "here": self._here,
            "root": self._root,
        }
        self.step = ""
        self._follows = FollowsCountry(home, zone, self)
        self.go("sheet" if session.words else "who")

    def go(self, step: str) -> None:
        """To a step."""
        self.home.save()
        self.step = step
        self.column.clear()
        self._steps[step]()
        self.column.finish()

    def _put(self, stack: Stack) -> None:
        self.column.add(stack)
        self.setFocusProxy(stack)
        focus_soon(stack)

    # --- the recovery sheet -----------------------------------------------------------------------------------------

    def _sheet(self) -> None:
        shown = SheetShown(self.session.words)
        shown.copied.connect(lambda: self.go("back"))
        shown.print_asked.connect(lambda: self.go("print"))
        self._put(shown)

    def _print(self) -> None:
        printed = PrintSheet(self.session.words)
        printed.printed.connect(lambda: self.go("back"))
        printed.back_asked.connect(lambda: self.go("sheet"))
        self._put(printed)

    def _typed_back(self) -> None:
        self.session.words = ""
        at = self.session.clock().isoformat(timespec="seconds").encode()
        self.session.lane.run(lambda store: store.keep_secret(SHEET_PROVED, at))
        if self.session.begins is Begins.JOIN:
            self.routes.join()
        else:
            self.go("who")

    def _type_back(self) -> None:
        typed = SheetTyped(self.session.folder, self.session.errands)
        typed.proved.connect(self._typed_back)
        typed.back_asked.connect(lambda: self.go("sheet"))
        self._put(typed)

    # --- what papers need -------------------------------------------------------------------------------------------

    def _here(self) -> None:
        self._facts(3, HERE, "", "root", "paper")
        self.column.add(
            ZoneTold(self.home),
            Words(
                "Numbers, units and paper follow the country and are only offered: look at each, and change what is "
                "different where you work. No paper leaves without an emergency number.",
                ink=Role.SOFT_INK,
            ),
        )

    def _facts(self, number: int, section: Section, who: str, onward: str, back: str) -> None:
        self.column.add(
            Words(f"What papers need, {number} of 3", size=Size.SMALL, ink=Role.SOFT_INK),
            Title(section.headed(""), size=Size.GREETING),
            lay(section, self.home, who),
        )
        key = main_key("Go on")
        key.clicked.connect(lambda: self.go(onward))
        link = Link("Back", size=Size.BASE)
        link.clicked.connect(lambda: self.go(back))
        self.column.add(key_row(key, link) if back else key_row(key))

    # --- the root key -----------------------------------------------------------------------------------------------

    def _root(self) -> None:
        name = self.home.binding(Practitioner, entity=self.session.author).value("full_name")
        facts = self.home.binding(Practice).answers()
        assert isinstance(facts, Practice)
        self.session.practice = facts
        ensure_seals(self.session, name if isinstance(name, str) else "")
        root = RootKey(self.session)
        root.saved.connect(self._finished)
        root.later.connect(self._finished)
        self._put(root)

    def _finished(self) -> None:
        self.session.notices.news("Everything is set up. Add a family to begin.")
        self.routes.caseload()
