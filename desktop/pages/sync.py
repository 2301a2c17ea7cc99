"""The meeting with other devices: how it stands, a round by hand, who belongs, and where the devices meet."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from types import MappingProxyType

from PySide6.QtWidgets import QVBoxLayout

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Stack
from desktop.controls.shown import moment_words
from desktop.controls.words import Rule, Title, Words
from desktop.pages.bands import always, home_key
from desktop.pages.decision import Decision
from desktop.pages.groups import GroupsShown
from desktop.pages.page import Page, Spread, band
from desktop.pages.plain import key_row
from desktop.pages.sync_place import PlaceAsked
from desktop.session import Routes, Session
from desktop.sharing import Stage
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from sync.exchange.told import SILENT_AFTER
from sync.exchange.troubles import EmptyTarget

__all__ = ["SyncPage", "grouped"]

_HEADS: Mapping[Stage, str] = MappingProxyType({
    Stage.UNREAD: "Reading how it stands",
    Stage.ALONE: "This record is on this device only",
    Stage.IDLE: "Ready to sync",
    Stage.GOING: "Syncing",
    Stage.DONE: "Synced",
    Stage.STOPPED: "Stopped",
    Stage.OFFLINE: "The place did not answer",
    Stage.REFUSED: "Not synced",
})  # fmt: skip


def grouped(digest: str) -> str:
    """Thirty-two figures in eight groups out of a digest: for two people to read to one another."""
    figures = f"{int(digest, 16) % 10**32:032d}"
    return " ".join(figures[at : at + 4] for at in range(0, 32, 4))


class SyncPage(Page):
    """The page. It follows `session.sharing`; a round goes on when the page is left."""

    def __init__(self, session: Session, routes: Routes) -> None:
        super().__init__()
        self.setObjectName("sync")
        self.session, self.routes, self.sharing = session, routes, session.sharing
        self.head = Title("", size=Size.GREETING)
        self.line = Words("", ink=Role.SOFT_INK)
        self.start = Act("Sync now", kind=ActKind.MAIN, icon=Icon.SYNC)
        self.start.clicked.connect(self._round)
        self.end = Act("Stop")
        self.end.clicked.connect(self.sharing.stop)
        self.fill = Act("Fill it again")
        self.fill.clicked.connect(self._ask_fill)
        self.settle = Act("Settle what differs", icon=Icon.JUMP)
        self.settle.clicked.connect(self._settle)
        self.came = Stack(between=Space.GAP)
        self.others = Stack(between=Space.GAP)
        self.let_in = Act("Let a device in")
        self.let_in.clicked.connect(routes.let_in)
        self.belongs = Act("Who belongs")
        self.belongs.clicked.connect(routes.members)
        self.join = Act("Join devices that are there already")
        self.join.clicked.connect(routes.join)
        self.come_back = Act("Come back with the recovery sheet")
        self.come_back.clicked.connect(routes.come_back)
        self.place = PlaceAsked(self.sharing.set_up, session.folder.parent)
        self._listed: tuple[object, ...] = ()
        main = Stack(between=Space.PAD)
        main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        main.add(self.head, self.line, key_row(self.start, self.end, self.fill, self.settle), self.came, self.place)
        self.devices = Stack(between=Space.SNUG)
        self.devices.add(
            Title("Other devices", size=Size.FIGURE), Rule(strong=True), self.others,
            key_row(self.belongs, self.let_in),
        )  # fmt: skip
        self.elsewhere = Stack(between=Space.SNUG)
        self.elsewhere.add(
            Title("Or is the record somewhere already?", size=Size.FIGURE), Rule(strong=True),
            Words("Nothing was written on this device yet, so it can take in a record that is there."),
            key_row(self.join, self.come_back),
        )  # fmt: skip
        main.add(self.devices, self.elsewhere)
        main.finish()
        self.side = Stack(between=Space.SNUG)
        self._beside()
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(Spread(main, self.side, band((home_key(routes),), always(session, routes))))
        self.sharing.changed.connect(self.refresh)
        self.refresh()
        self.sharing.look()

    def _local(self, at: datetime) -> str:
        return moment_words(Moment(at, self.session.zone))

    # --- beside -----------------------------------------------------------------------------------------------------

    def _beside(self) -> None:
        self.where = Words("")
        self.reached = Words("", ink=Role.SOFT_INK)
        self.change = Link("Meet at another place")
        self.change.clicked.connect(self.place.ask)
        self.about = Link("About this record")
        self.about.clicked.connect(self._tell_about)
        self.about_words = Stack(between=Space.GAP)
        self.side.add(
            Title("Where the devices meet", size=Size.JOT), Rule(strong=True), self.where, self.reached,
            key_row(self.change), Title("About", size=Size.JOT), Rule(strong=True),
            Words(
                "The place holds sealed files only: whoever runs it sees how many devices there are, when and how much "
                "they write, and no word of the record.",
                ink=Role.SOFT_INK,
            ),
            key_row(self.about), self.about_words,
        )  # fmt: skip
        self.side.finish()

    def _tell_about(self) -> None:
        def show(digest: str) -> None:
            self.about_words.clear()
            self.about_words.add(
                Words("Read these figures to one another. On two devices that know the same they are the same."),
                GroupsShown(grouped(digest), across=2, size=Size.JOT),
                Words(
                    "What nobody can see from here: a place that holds back the newest files while every other device "
                    "is silent, or shows two groups two records for good. These figures, compared now and then, tell.",
                    size=Size.SMALL, ink=Role.SOFT_INK,
                ),
            )  # fmt: skip

        self.session.lane.run(lambda store: store.exchange().digest(), show)

    # --- how it stands ----------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show how it stands now; nothing takes the focus."""
        sharing, seen = self.sharing, self.sharing.seen
        alone, going = sharing.stage is Stage.ALONE, sharing.going
        self.head.say(_HEADS[sharing.stage])
        said = f"{sharing.words} …" if going and sharing.words else ""
        if alone:
            said = (
                "Share it with a second device or with colleagues: choose where the devices meet. "
                "They may be apart for weeks."
            )
        elif sharing.stage is Stage.IDLE:
            said = f"Last reached {self._local(seen.reached)}." if seen.reached else "Not synced from this device yet."
        self.line.say(said)
        self.line.setVisible(bool(said))
        self.start.setVisible(bool(seen.place) and not going)
        self.end.setVisible(going)
        self.fill.setVisible(isinstance(sharing.trouble, EmptyTarget) and not going)
        self.settle.setVisible(bool(seen.differ or seen.late))
        self.settle.say("Settle what differs", self._waits())
        self.place.setVisible(alone or self.place.asked)
        self.place.named = alone
        self.place.refresh()
        self.change.setVisible(not alone)
        self.about.setVisible(not alone)
        self.reached.setVisible(not alone)
        self.where.say(seen.place or "No place yet.")
        self.reached.say(f"Last reached {self._local(seen.reached)}." if seen.reached else "Not reached yet.")
        self.devices.setVisible(seen.practice is not None)
        self.let_in.setVisible(seen.owner)
        self.elsewhere.setVisible(alone and seen.empty)
        self._show_came()
        self._show_others()

    def _round(self) -> None:
        self.sharing.round()

    def _settle(self) -> None:
        self.routes.differ()

    def _waits(self) -> str:
        seen = self.sharing.seen
        parts = []
        if seen.differ:
            parts.append("1 answer" if seen.differ == 1 else f"{seen.differ} answers")
        if seen.late:
            parts.append("1 arrived after signing" if seen.late == 1 else f"{seen.late} arrived after signing")
        return ", ".join(parts)

    def _show_came(self) -> None:
        self.came.clear()
        sharing = self.sharing
        if sharing.trouble is not None:
            self.came.add(Words(sharing.trouble.sentence, ink=Role.WELD, strong=True))
        if sharing.told is not None and sharing.stage in (Stage.DONE, Stage.IDLE):
            told = tuple(sharing.told.sentences(self.session.clock()))
            quiet = ("Nothing new", "Sent:", "Received from", "Settled elsewhere")
            for sentence in told:
                watch = not sentence.startswith(quiet)
                self.came.add(Words(sentence, strong=watch, ink=Role.WELD if watch else Role.INK))

    def _show_others(self) -> None:
        """One line for each other device: when it was heard of, and whether it has fallen silent."""
        seen = self.sharing.seen
        practice, now = seen.practice, self.session.clock()
        others = (
            sorted((one.label, chain) for chain, one in practice.roster.members.items() if chain != seen.device)
            if practice is not None
            else []
        )
        shown = tuple((label, seen.heard.get(chain)) for label, chain in others)
        if (practice is not None, shown) == self._listed:
            return
        self._listed = (practice is not None, shown)
        self.others.clear()
        if practice is not None and not others:
            self.others.add(Words("No other device belongs yet.", ink=Role.SOFT_INK))
        for label, heard in shown:
            if heard is None:
                self.others.add(Words(f"{label}: not heard of yet.", ink=Role.SOFT_INK))
            elif now - heard > SILENT_AFTER:
                days = (now - heard).days
                self.others.add(Words(f"{label}: silent for {days} days.", ink=Role.WELD, strong=True))
            else:
                self.others.add(Words(f"{label}: last heard of {self._local(heard)}."))

    def _ask_fill(self) -> None:
        Decision(
            self.window(),
            "Fill the place again?",
            f"“{self.sharing.seen.place}” is empty. If it is the right place, everything this device holds is put "
            "there again, the files of other devices too. Nothing is deleted anywhere.",
            (("Fill it again", lambda: self.sharing.round(refill=True)), ("Leave it empty", lambda: None)),
        )
