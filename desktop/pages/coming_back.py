"""Coming back with the recovery sheet and the place, when every device may be gone; the lost ones are then put out."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from desktop.begins import Begins
from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Beside, Stack
from desktop.controls.shown import moment_words
from desktop.controls.typed import NoteBox
from desktop.controls.words import Rule, Title, Words
from desktop.pages.first_round import FirstRound, WhoCharts
from desktop.pages.plain import PlainPage, focus_soon, key_row, main_key
from desktop.pages.sync_place import PlaceAsked
from desktop.session import Routes, Session
from desktop.sharing import PLACE, Place, Stage
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.trouble import Trouble
from storage.store import Store
from storage.troubles import RecoveryMistyped
from sync.exchange.recovery import come_back

__all__ = ["ComeBackPage"]


class ComeBackPage(PlainPage):
    """Words and place, then the record, then the devices that are lost, then who charts here."""

    def __init__(self, session: Session, routes: Routes) -> None:
        super().__init__()
        self.setObjectName("come_back")
        self.session, self.routes, self.sharing = session, routes, session.sharing
        self.words = NoteBox(size=Size.JOT, lines=2)
        self.words.setAccessibleName("Recovery words")
        self.place = PlaceAsked(self._take, session.folder.parent, "Bring the record back")
        self.place.named = True
        self._put_out: set[str] = set()
        self._lost_shown = self._asks = False
        self.sharing.look(self._begin)

    def _begin(self) -> None:
        if self.sharing.seen.practice is None:
            self._ask()
            return
        self._arriving()
        if self.sharing.seen.reached is None and not self.sharing.going:
            self.sharing.round()

    def leave(self) -> None:
        """The words do not wait in a window that is left."""
        if self._asks:
            self.words.clear()

    # --- words and place --------------------------------------------------------------------------------------------

    def _ask(self) -> None:
        self.column.clear()
        self._asks, known = True, bool(self.session.words)
        self.place.refresh()
        self.column.add(
            Title("Come back with the recovery sheet", size=Size.GREETING),
            Words(
                "The sheet and the place where the devices met are enough. Everything that was sent there comes back; "
                "what a lost device had not sent is gone with it."
            ),
        )
        if not known:
            self.column.add(
                Words("Recovery words, from the sheet of the device that set sharing up", strong=True), self.words
            )
        out = Link("Use this device alone instead" if self.session.begins else "Back to Sync", size=Size.BASE)
        out.clicked.connect(self._out)
        self.column.add(self.place, key_row(out))
        self.column.finish()
        focus = self.place.device if known else self.words
        self.setFocusProxy(focus)
        focus_soon(focus)

    def _out(self, *_pressed: object) -> None:
        self.words.clear()
        if self.session.begins is Begins.COME_BACK:
            self.session.alone(self.routes.first_steps)
        else:
            self.routes.sync()

    def _take(
        self, label: str, place: Place, refused: Callable[[Trouble], None], then: Callable[[], None]
    ) -> None:  # what `PlaceAsked` takes
        words = self.session.words or self.words.toPlainText()
        if not words.strip():
            refused(RecoveryMistyped())
            self.words.setFocus()
            return

        def work(store: Store) -> None:
            come_back(store, self.sharing.open(place, store.device), words, label, self.session.clock)
            store.keep_secret(PLACE, place.kept())

        def back(_none: None) -> None:
            then()
            self.session.words = ""
            self.leave()
            self._asks = False
            self.sharing.begin()
            self._arriving()

        def not_back(trouble: Trouble) -> None:
            refused(trouble)
            if isinstance(trouble, RecoveryMistyped):
                self.words.setFocus()

        self.session.lane.apart(work, back, not_back)

    # --- the record, and what is lost -------------------------------------------------------------------------------

    def _arriving(self) -> None:
        self.column.clear()
        if self.sharing.stage is Stage.DONE:
            self._lost()
            return
        coming = FirstRound(self.session, "The sheet is right; the record is coming back")
        coming.arrived.connect(partial(QTimer.singleShot, 0, self, self._look_for_lost))
        self.column.add(coming)
        self.column.finish()

    def _look_for_lost(self) -> None:
        self.sharing.look(self._lost)

    def _lost(self) -> None:
        """The other devices, each to be put out or left in."""
        practice, seen = self.sharing.seen.practice, self.sharing.seen
        members = practice.roster.members if practice is not None else {}
        others = {chain: one for chain, one in members.items() if chain != seen.device}
        if not others and not self._lost_shown:
            self._who()
            return
        self._lost_shown = True
        self.column.clear()
        rows: list[QWidget] = []
        for chain, member in sorted(others.items(), key=lambda one: one[1].label):
            row, who = QWidget(), Stack(between=Space.FINE)
            heard = seen.heard.get(chain)
            at = f"Last heard of {moment_words(Moment(heard, self.session.zone))}." if heard else "Not heard of yet."
            out = Act("Put it out")
            out.setAccessibleName(f"Put {member.label} out")
            out.clicked.connect(lambda _on=False, chain=chain, label=member.label: self._out_with(chain, label))
            who.add(Title(member.label, size=Size.JOT), Words(at, ink=Role.SOFT_INK))
            beside = Beside(row, gap=Space.WIDE)
            beside.addWidget(who)
            beside.addWidget(out)
            rows += [Rule(), row]
        go = main_key("Go on")
        go.clicked.connect(self._who)
        gone = ", ".join(sorted(self._put_out))
        self.column.add(
            Title("The record is back. Which devices are lost?", size=Size.GREETING),
            Words("Put out what is lost or stolen: it gets nothing new, and what it writes is kept aside. What it has "
                  "read it keeps. A device that is still in use is left in."),
            *([Words(f"Put out: {gone}.", strong=True)] if gone else []), *rows, key_row(go),
        )  # fmt: skip
        self.column.finish()
        self.setFocusProxy(go)
        focus_soon(go)

    def _out_with(self, chain: str, label: str) -> None:
        self._put_out.add(f"“{label}”")
        self.sharing.put_out(chain)
        self.sharing.look(self._lost)

    def _who(self, *_pressed: object) -> None:
        self.column.clear()
        who = WhoCharts(self.session)
        who.said.connect(self.routes.caseload)
        self.column.add(who)
        self.column.finish()
