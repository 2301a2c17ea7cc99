"""Who belongs: the devices of the practice, what each may do, when it was heard of, and putting one out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Beside, Pair, Stack
from desktop.controls.shown import moment_words
from desktop.controls.words import Rule, Title, Words
from desktop.pages.bands import always, home_key
from desktop.pages.page import Page, Spread, band
from desktop.pages.plain import focus_soon, key_row, main_key
from desktop.pages.roles import RolePick
from desktop.session import Routes, Session
from desktop.theme.icons import Icon
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.role import EVERYONE_READS
from forms.role import Role as WhatItMay
from sync.exchange.practice import Practice
from sync.exchange.told import SILENT_AFTER
from sync.membership.acts import Add, Found, Member, Revoke

__all__ = ["MembersPage"]


@dataclass(frozen=True, slots=True)
class _Times:
    """When each device came in, and when each was put out."""

    since: Mapping[str, datetime]
    out: Mapping[str, datetime]

    @classmethod
    def read(cls, practice: Practice) -> _Times:
        since, out = dict[str, datetime](), dict[str, datetime]()
        for act in sorted(practice.acts, key=lambda one: one.wall):
            at = datetime.fromisoformat(act.wall)
            if act.hash in practice.roster.refused:
                continue
            match act.change:
                case Found() | Add():
                    since.setdefault(act.change.member.chain, at)
                case Revoke():
                    out.setdefault(act.change.chain, at)
                case _:
                    pass
        return cls(since, out)


class MembersPage(Page):
    """The list; or, asked for, what one device may do, or what putting it out does and does not do."""

    def __init__(self, session: Session, routes: Routes) -> None:
        super().__init__()
        self.setObjectName("members")
        self.session, self.routes, self.sharing = session, routes, session.sharing
        self.main = Stack(between=Space.PAD)
        self.main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        self.side = Stack(between=Space.SNUG)
        self.asked = ""  # the device that is to be put out
        self.changing = ""  # the device whose role is being changed
        self._listed: tuple[object, ...] = ()
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        back = Act("Sync", icon=Icon.SYNC)
        back.clicked.connect(routes.sync)
        outer.addWidget(Spread(self.main, self.side, band((home_key(routes), back), always(session, routes))))
        self.sharing.changed.connect(self.refresh)
        self.refresh()
        self.sharing.look()

    def _local(self, at: datetime) -> str:
        return moment_words(Moment(at, self.session.zone))

    def _member(self, chain: str) -> Member | None:
        practice = self.sharing.seen.practice
        return practice.roster.members.get(chain) if practice is not None else None

    def refresh(self) -> None:
        """Show who belongs now; a page that is being decided on stays while its device belongs."""
        seen = self.sharing.seen
        practice = seen.practice
        if self._member(self.asked) is None:
            self.asked = ""
        if self._member(self.changing) is None:
            self.changing = ""
        shown = (
            (practice.roster, dict(seen.heard), seen.owner, self.asked, self.changing) if practice is not None else ()
        )
        if shown == self._listed and practice is not None:
            return
        self._listed = shown
        self.main.clear()
        if practice is None:
            self._alone()
        elif self.asked:
            self._ask_out(practice.roster.members[self.asked])
        elif self.changing:
            self._ask_role(practice.roster.members[self.changing])
        else:
            self._list(practice)
        self.main.finish()
        self._beside(practice)

    # --- the list ---------------------------------------------------------------------------------------------------

    def _alone(self) -> None:
        self.main.add(
            Title("Nobody else belongs", size=Size.GREETING),
            Words("This record is on this device only. Share it on the Sync page, then let other devices in."),
        )

    def _list(self, practice: Practice) -> None:
        members = practice.roster.members
        count = "1 device belongs" if len(members) == 1 else f"{len(members)} devices belong"
        self.main.add(Title(count, size=Size.GREETING))
        seen, times = self.sharing.seen, _Times.read(practice)
        let_in = main_key("Let a device in")
        let_in.clicked.connect(self.routes.let_in)
        if seen.owner:
            self.main.add(key_row(let_in))
            self.setFocusProxy(let_in)
        own_first = sorted(practice.roster.every.items(), key=lambda one: (one[0] != seen.device, one[1].label))
        for chain, member in sorted(own_first, key=lambda one: one[0] not in members):
            out = chain not in members
            self.main.add(Rule(), self._out_row(member, times) if out else self._row(member, times))

    def _row(self, member: Member, times: _Times) -> QWidget:
        seen, chain = self.sharing.seen, member.chain
        own = chain == seen.device
        row, who = QWidget(), Stack(between=Space.FINE)
        who.add(Title(f"{member.label}, this device" if own else member.label, size=Size.JOT))
        who.add(Words(f"{member.role.label}. {member.role.explained}"))
        told = [f"Belongs since {self._local(times.since[chain])}."] if chain in times.since else []
        heard = seen.heard.get(chain)
        silent = heard is not None and self.session.clock() - heard > SILENT_AFTER
        if not own and heard is None:
            told.append("Not heard of yet.")
        elif not own and heard is not None and not silent:
            told.append(f"Last heard of {self._local(heard)}.")
        who.add(Words(" ".join(told), ink=Role.SOFT_INK))
        if silent and heard is not None:
            days = (self.session.clock() - heard).days
            who.add(Words(f"Silent for {days} days, since {self._local(heard)}.", ink=Role.WELD, strong=True))
        beside = Beside(row, gap=Space.WIDE)
        beside.addWidget(who)
        if seen.owner:
            beside.addWidget(self._acts(member, own=own))
        return row

    def _acts(self, member: Member, *, own: bool) -> QWidget:
        change = Link("Change what it may do")
        change.setAccessibleName(f"Change what {member.label} may do")
        change.clicked.connect(lambda _on=False: self._open(changing=member.chain))
        if own:
            return change
        out = Link("Put it out")
        out.setAccessibleName(f"Put {member.label} out")
        out.clicked.connect(lambda _on=False: self._open(asked=member.chain))
        acts = Stack(between=Space.GAP)
        acts.add(change, out)
        return acts

    def _out_row(self, member: Member, times: _Times) -> QWidget:
        who = Stack(between=Space.FINE)
        when = f" {self._local(times.out[member.chain])}" if member.chain in times.out else ""
        who.add(Title(member.label, size=Size.JOT))
        who.add(Words(f"Put out{when}. What it holds already it keeps.", ink=Role.WELD))
        return who

    def _open(self, *, asked: str = "", changing: str = "") -> None:
        self.asked, self.changing = asked, changing
        self.refresh()

    # --- what is decided on -----------------------------------------------------------------------------------------

    def _leave_key(self, words: str) -> Act:
        key = Act(words)
        key.clicked.connect(lambda _on=False: self._open())
        return key

    def _ask_role(self, member: Member) -> None:
        practice = self.sharing.seen.practice
        last = practice is not None and practice.roster.owners() == (member.chain,)
        self.main.add(Title(f"What may “{member.label}” do?", size=Size.GREETING))
        if last:
            leave = self._leave_key("Leave it as it is")
            self.main.add(
                Words("It is the only owner. Make another device an owner first, so that somebody can let devices in "
                      "and put them out."), key_row(leave),
            )  # fmt: skip
            focus_soon(leave)
            return
        pick = RolePick(member.role)
        keep = main_key("Keep this")
        keep.clicked.connect(lambda _on=False: self._keep_role(member, pick.role))
        self.main.add(
            Words(f"{EVERYONE_READS} The others learn of a change with their next sync."),
            pick, key_row(keep, self._leave_key("Leave it as it is")),
        )  # fmt: skip
        focus_soon(pick)

    def _keep_role(self, member: Member, role: WhatItMay | None) -> None:
        if role is not None and role is not member.role:
            self.sharing.set_role(member.chain, role)
            self.session.notices.news(f"“{member.label}”: {role.label.lower()} from now on.")
        self._open()

    def _ask_out(self, member: Member) -> None:
        out = main_key("Put it out now")
        out.clicked.connect(lambda _on=False: self._put_out(member))
        leave = self._leave_key("Leave it in")
        holder = QWidget()
        row = Pair(holder, gap=Space.BROAD)
        for title, lines in (("What it does", _DOES), ("What it cannot do", _CANNOT)):
            half = Stack(between=Space.SNUG)
            half.add(Title(title, size=Size.JOT), Rule(strong=True), *(Words(line) for line in lines))
            half.finish()
            row.addWidget(half)
        self.main.add(
            Title(f"Put “{member.label}” out", size=Size.GREETING),
            Words("For a device that was lost or stolen, or whose person has left.", ink=Role.SOFT_INK),
            holder, key_row(out, leave),
        )  # fmt: skip
        focus_soon(leave)

    def _put_out(self, member: Member) -> None:
        self.sharing.put_out(member.chain)
        self.session.notices.news(f"“{member.label}” is put out. The others learn of it with their next sync.")
        self._open()

    # --- beside -----------------------------------------------------------------------------------------------------

    def _beside(self, practice: Practice | None) -> None:
        self.side.clear()
        notes: list[QWidget] = []
        if practice is not None:
            notes = [Title("Look at this", size=Size.JOT), Rule(strong=True)] if self._advice(practice) else []
            notes += [Words(said, strong=True, ink=Role.WELD) for said in self._advice(practice)]
        self.side.add(
            *notes, Title("Who belongs", size=Size.JOT), Rule(strong=True),
            Words("Each device is let in by an owner, with a code and figures that two people compare. Whoever runs "
                  "the place can let nobody in.", ink=Role.SOFT_INK),
        )  # fmt: skip
        if practice is not None and not self.sharing.seen.owner:
            self.side.add(Words("Letting in and putting out is done on an owner’s device.", ink=Role.SOFT_INK))
        self.side.finish()

    def _advice(self, practice: Practice) -> tuple[str, ...]:
        said = []
        owners = practice.roster.owners()
        if practice.roster.rotation_owed:
            said.append("The practice key is to be changed once more. The next sync of an owner’s device does it.")
        if len(owners) == 1:
            lone = practice.roster.members[owners[0]].label
            said.append(
                f"“{lone}” is the only owner. If it is lost, only the recovery sheet helps. "
                "Make a second device an owner."
            )
        return tuple(said)


_DOES = (
    "It gets nothing new from now on: all others seal what they write with a new practice key.",
    "What it writes from now on is kept aside and told; it changes nothing in the record.",
    "It cannot let anybody in, and does not come back under its old name.",
)
_CANNOT = (
    "It cannot take back what the device has read. Its record stays on it, under its passphrase.",
    "It does not erase the device, and does not reach it while it is off.",
    "If a stranger may know the passphrase, tell the families whose records it held, as your rules ask.",
)
