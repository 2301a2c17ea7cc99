"""Checking a paper: a PDF is dropped or chosen, and who sealed it, when and whether it was changed is told in words."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QDragEnterEvent, QDragLeaveEvent, QDropEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.buttons import Act, ActKind
from desktop.controls.drop import DropArea, one_file
from desktop.controls.layouts import Stack
from desktop.controls.words import Title, Words
from desktop.files import pick_file
from desktop.open_chart import OpenChart
from desktop.pages.bands import always, home_key
from desktop.pages.charted import ChartPage
from desktop.pages.known_senders import OneSender, SenderList, senders, struck_words
from desktop.pages.page import Spread, band
from desktop.pages.paper_found import Found
from desktop.pages.plain import focus_soon, key_row, main_key
from desktop.pages.secret import Secret, Told
from desktop.pages.sender_compare import CompareSender
from desktop.session import Routes, Session
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.ask import Path as Field
from forms.chart import Place
from forms.known_sender import KnownSender, packed
from forms.trouble import Trouble
from storage.changes import Begin, Put
from storage.store import Store

if TYPE_CHECKING:
    from sync.handoff.checking import Checked
    from sync.handoff.known_senders import KnownRoots

__all__ = ["CheckPaperPage"]

_KINDS = "Papers (*.pdf *.PDF)"
_TELLS = (
    "Any sealed PDF can be checked, yours or another practice’s. It is only looked at: nothing of it is kept, and "
    "nothing leaves this device."
)


class CheckPaperPage(ChartPage):
    """The paper in the middle, the known senders at the side. A file may be dropped anywhere on the page."""

    def __init__(
        self,
        session: Session,
        routes: Routes,
        home: OpenChart,
        pick: Callable[..., Path | None] = pick_file,
    ) -> None:
        super().__init__(session, routes, home)
        self.setObjectName("check_paper")
        self.setAcceptDrops(True)
        self._pick, self._asked = pick, 0
        self._again: Callable[[], None] = lambda: None
        self._one: OneSender | None = None
        self.found: Found | None = None
        self.compare: CompareSender | None = None
        self.main = Stack(between=Space.PAD)
        self.main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        self.list = SenderList(home, self.show_sender)
        side = Stack(between=Space.SNUG)
        side.add(Title("Known senders", size=Size.JOT), self.list)
        side.finish()
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        foot = band((home_key(routes), self.saved), always(session, routes))
        self._spread = Spread(self.main, side, foot)
        outer.addWidget(self._spread)
        home.changed.connect(self.list.refresh)
        home.reloaded.connect(self._came_or_went)
        self.show_paper()

    # --- dropping and choosing --------------------------------------------------------------------------------------

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if event.mimeData().hasUrls():
            event.setDropAction(Qt.DropAction.CopyAction)
            event.accept()
            self.area.hold(held=True)

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        self.area.hold(held=False)

    def dropEvent(self, event: QDropEvent) -> None:
        """The file is read where it lies; it is never moved."""
        event.setDropAction(Qt.DropAction.CopyAction)
        event.accept()
        found = one_file(event.mimeData())
        if isinstance(found, Path):
            self.check(found)
        else:
            self.show_paper()
            self.told.trouble(found)

    def _choose(self) -> None:
        place = self._pick(self.window(), "Which paper", Path.home(), kinds=_KINDS)
        if place is not None:
            self.check(place)

    # --- one paper --------------------------------------------------------------------------------------------------

    def show_paper(self, *parts: QWidget) -> None:
        """Show the place to drop a paper, and below it what is known of one."""
        if self._one is not None and self._one.page is not None:
            self._one.page.commit()
        self.home.save()
        self._one = self.found = self.compare = None
        self.main.clear()
        self.choose = Act("Choose a file", icon=Icon.PAPER, kind=ActKind.PLAIN if parts else ActKind.MAIN)
        self.choose.clicked.connect(self._choose)
        self.area = DropArea("Drop another PDF here." if parts else "Drop a PDF here.", self.choose)
        self.told = Told()
        self.main.add(Title("Check a paper", size=Size.GREETING))
        if not parts:
            self.main.add(Words(_TELLS))
        self.main.add(self.area, self.told, *parts)
        self.main.finish()
        self.setFocusProxy(self.choose)

    def check(self, place: Path, password: str | None = None) -> None:
        """Look at a file off the GUI thread and show what was found; one asked for later overtakes it."""
        from sync.handoff.checking import check_file
        from sync.handoff.known_senders import known_senders

        self._asked += 1
        asked = self._asked
        self._again = lambda: self.check(place, password)
        self.show_paper()
        self.told.progress(f"Looking at {place.name}.")

        def known(roots: KnownRoots) -> None:
            self.session.lane.beside(lambda: check_file(place, roots, password), show, fail)

        def show(checked: Checked) -> None:
            if asked == self._asked:
                self._show_found(checked, place)

        def fail(trouble: Trouble) -> None:
            if asked == self._asked:
                self._failed(trouble, place)

        self.session.lane.run(known_senders, known, fail)

    def _failed(self, trouble: Trouble, place: Path) -> None:
        from sync.handoff.verify import NeedsPassword

        if not isinstance(trouble, NeedsPassword):
            self.show_paper()
            named = place.name in trouble.sentence
            self.told.trouble(trouble.sentence if named else f"{place.name}: {trouble.sentence}")
            self.choose.setFocus()
            return
        secret, key = Secret(f"Password of {place.name}"), main_key("Open and check it")
        told = Words(trouble.sentence, ink=Role.WELD, strong=True)
        self.show_paper(told, secret, key_row(key))

        def entered() -> None:
            self.check(place, secret.take())

        key.clicked.connect(entered)
        secret.entered.connect(entered)
        focus_soon(secret)

    def _show_found(self, checked: Checked, place: Path) -> None:
        struck = "" if checked.verdict.known else struck_words(self.home, checked.verdict.issuer)
        found = Found(checked, place.name, self.session.zone, struck)
        self.show_paper(found)
        self.found = found
        if checked.can_be_added:
            add = Act("Add to known senders", kind=ActKind.PLAIN if found.doubtful else ActKind.MAIN)
            add.clicked.connect(self._compare)
            found.more.add(key_row(add))
            found.more.show()
        found.head.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        focus_soon(found.head)  # a screen reader reads the finding at once

    # --- adding a sender --------------------------------------------------------------------------------------------

    def _compare(self) -> None:
        if self.found is None:
            return
        found = self.found
        found.more.clear()
        self.compare = CompareSender(found.checked.verdict.root)
        self.compare.compared.connect(self._add)
        self.compare.put_off.connect(self._again)
        found.more.add(self.compare)
        focus_soon(self.compare)

    def _add(self, name: str, how: str) -> None:
        if self.found is None:
            return
        entity, root = self.home.ids(), packed(self.found.checked.verdict.issuer)

        def make(_store: Store) -> tuple[Begin | Put, ...]:
            place = Place(KnownSender.name)
            answers = {"called": name, "compared": how, "root": root}
            return (Begin(entity, place), *(Put(entity, Field(field), value) for field, value in answers.items()))

        self.home.write(make, lambda _written: self.home.reload(self._added), self._not_added)

    def _added(self) -> None:
        self.list.refresh()
        self._again()

    def _not_added(self, trouble: Trouble) -> None:
        if self.compare is not None:
            self.compare.told.trouble(trouble.sentence)

    # --- one sender -------------------------------------------------------------------------------------------------

    def show_sender(self, entity: str) -> None:
        """Show one known sender, with the way back to checking."""
        entry = next((one for one in senders(self.home) if one.id == entity), None)
        if entry is None:
            return
        self._asked += 1  # what is still being looked at does not come over it
        self.show_paper()
        self.main.clear()
        self._one = OneSender(self.home, entry)
        back = Act("Check a paper", icon=Icon.PAPER)
        back.clicked.connect(lambda _on=False: self.show_paper())
        self.main.add(self._one, key_row(back))
        self.main.finish()
        self._spread.to_main()
        self._shown = entity
        focus_soon(self._one)

    def _came_or_went(self) -> None:
        self.list.refresh()
        if self._one is not None:
            self.show_sender(self._shown)

    def leave(self) -> None:
        """Write what is typed."""
        if self._one is not None and self._one.page is not None:
            self._one.page.commit()
        super().leave()
