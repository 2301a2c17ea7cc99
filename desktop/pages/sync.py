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
from desktop.pages.page import Page, Spread, band
from desktop.pages.plain import key_row
from desktop.pages.sync_place import PlaceAsked
from desktop.session import Routes, Session
from desktop.sharing import Stage
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from sync.exchange.troubles import EmptyTarget
from sync.membership.acts import Role as MemberRole

__all__ = ["SyncPage", "grouped"]

_ROLES: Mapping[MemberRole, str] = MappingProxyType({
    MemberRole.OWNER: "Owner: may let devices in and put them out",
    MemberRole.CONSULTANT: "Consultant",
    MemberRole.STUDENT: "Student",
    MemberRole.OFFICE: "Office",
})  # fmt: skip
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
    """Twenty-four figures in fours out of a digest: for two people to read to one another."""
    figures = f"{int(digest, 16) % 10**24:024d}"
    return " ".join(figures[at : at + 4] for at in range(0, 24, 4))


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
        self.members = Stack(between=Space.GAP)
        self.place = PlaceAsked(self.sharing, session.folder.parent)
        self._listed: tuple[object, ...] = ()
        main = Stack(between=Space.PAD)
        main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        main.add(self.head, self.line, key_row(self.start, self.end, self.fill, self.settle), self.came, self.place)
        main.add(self.members)
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
                Words(grouped(digest), size=Size.JOT, strong=True),
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
        self._show_came()
        self._show_members()

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

    # --- who belongs ------------------------------------------------------------------------------------------------

    def _show_members(self) -> None:
        seen, told = self.sharing.seen, self.sharing.told
        heard = dict(told.heard) if told is not None else {}
        practice = seen.practice
        listed = (practice.roster.every, practice.roster.put_out, seen.owner, heard) if practice is not None else ()
        if listed == self._listed:
            return
        self._listed = listed
        self.members.clear()
        if practice is None:
            return
        title = Title("Devices of the practice", size=Size.FIGURE)
        title.setContentsMargins(0, Space.WIDE, 0, 0)
        self.members.add(title, Rule(strong=True))
        for chain, member in sorted(
            practice.roster.every.items(), key=lambda one: (one[0] != seen.device, one[1].label)
        ):
            row = Stack(between=Space.FINE)
            own = ", this device" if chain == seen.device else ""
            row.add(Words(f"{member.label}{own}", size=Size.JOT, strong=True))
            if chain not in practice.roster.members:
                row.add(Words("Put out. What it holds already it keeps.", ink=Role.WELD))
            else:
                row.add(Words(_ROLES[member.role], ink=Role.SOFT_INK))
                if chain in heard:
                    row.add(Words(f"Last heard of {self._local(heard[chain])}.", ink=Role.SOFT_INK))
                if seen.owner and chain != seen.device:
                    link = Link("Put this device out")
                    link.setAccessibleName(f"Put {member.label} out")
                    link.clicked.connect(lambda _on=False, chain=chain, label=member.label: self._ask_out(chain, label))
                    row.add(key_row(link))
            self.members.add(row, Rule())

    def _ask_out(self, chain: str, label: str) -> None:
        Decision(
            self.window(),
            f"Put “{label}” out?",
            "It gets nothing new from now on, and what it writes from now on is kept aside. What it holds already it "
            "keeps: it can go on reading that. All others get a new practice key with their next sync.",
            (("Put it out", lambda: self.sharing.put_out(chain)), ("Leave it in", lambda: None)),
        )

    def _ask_fill(self) -> None:
        Decision(
            self.window(),
            "Fill the place again?",
            f"“{self.sharing.seen.place}” is empty. If it is the right place, everything this device holds is put "
            "there again, the files of other devices too. Nothing is deleted anywhere.",
            (("Fill it again", lambda: self.sharing.round(refill=True)), ("Leave it empty", lambda: None)),
        )
