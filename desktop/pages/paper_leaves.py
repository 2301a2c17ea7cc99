"""How a paper leaves the window: made and sealed by the store's worker, then printed or written where she chose."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from desktop.open_chart import OpenChart
from desktop.pages.paper_kinds import Offered
from forms.ask import Paper
from forms.trouble import Trouble
from storage.changes import StrikeOut
from storage.store import Store
from storage.troubles import DiskFull, DiskTrouble, NoRights
from sync.handoff.leave import NOT_LEFT, STAYED, draw_paper, make_paper, stamping_for
from sync.handoff.protected import locked
from sync.handoff.saved import save_paper
from sync.handoff.untold import hold, is_told
from sync.handoff.way import Way
from sync.handoff.what_leaves import Leaves, what_leaves

__all__ = ["STAYED", "Left", "leave_by_printer", "leave_to_file", "preview"]


@dataclass(frozen=True, slots=True)
class Left:
    """A paper made: its bytes, how it left, the entry that says so, whether that could be written, what lies beside.

    `unstamped` says why it carries no time stamp though one was asked for, "" otherwise.
    """

    kind: Paper
    pages: bytes
    way: Way
    entry: str
    written: bool = True
    place: str = ""
    beside: tuple[Path, ...] = ()
    unstamped: str = ""

    def strike_out(self, store: Store, author: str) -> None:
        """Take back the entry that says it left; the journal tells that it stayed."""
        if self.written:
            about = {"entry": self.entry, "sha256": hashlib.sha256(self.pages).hexdigest()}
            store.write((StrikeOut(self.entry, NOT_LEFT),), author=author, note=(STAYED, about))

    def take_back(self, home: OpenChart) -> None:
        """The same, from the window."""
        home.lane.run(lambda store: self.strike_out(store, home.author))


def _which(paper: Offered, *, large: bool) -> dict[str, Any]:
    """The words by which a paper is asked for."""
    return {
        "referral": paper.referral, "large": large and paper.kind is Paper.FAMILY_PLAN, "picture": paper.picture,
        "person": paper.person, "language": paper.language,
    }  # fmt: skip


def preview(home: OpenChart, paper: Offered, *, large: bool) -> Callable[[Store], Leaves]:
    """What the lane does to tell what would leave now."""
    chart, now, author = home.chart, home.clock(), home.author
    return lambda store: what_leaves(store, chart, paper.kind, author=author, now=now, **_which(paper, large=large))


def _made(home: OpenChart, paper: Offered, way: Way, *, large: bool) -> Callable[[Store], Left]:
    """The store's work: make the paper, write down that it leaves. No disk holds back the call-now page.

    A time stamp is waited for here as well, four seconds at most: what is typed meanwhile is written right after.
    """
    chart, now, author, entity = home.chart, home.clock(), home.author, home.ids()
    stamping = stamping_for(chart, paper.kind)

    def work(store: Store) -> Left:
        try:
            pages = make_paper(
                store, chart, paper.kind, author=author, now=now, way=way, ids=lambda: entity,
                stamping=stamping, **_which(paper, large=large),
            )  # fmt: skip
        except (DiskFull, DiskTrouble, NoRights):
            if paper.kind is not Paper.CALL_NOW:
                raise
            drawn = draw_paper(chart, paper.kind, author=author, now=now)
            pages = drawn if way.password is None else locked(drawn, way.password, at=now)
            return Left(paper.kind, pages, way, entity, written=False)
        return Left(paper.kind, pages, way, entity, unstamped=stamping.missed)

    return work


def leave_by_printer(home: OpenChart, paper: Offered, way: Way, *, large: bool) -> Callable[[Store], Left]:
    """What the lane does before the pages go to a printer."""
    return _made(home, paper, way, large=large)


def leave_to_file(home: OpenChart, paper: Offered, way: Way, place: Path, *, large: bool) -> Callable[[Store], Left]:
    """What the lane does to leave a paper as a file; a paper that could not be saved is struck out again.

    The password of a locked one is held on this device before the file has its name, until it is told.
    """
    made, author = _made(home, paper, way, large=large), home.author

    def work(store: Store) -> Left:
        left = made(store)
        try:
            _hold(store, left)
            beside = save_paper(place, left.pages, way.password)
        except Trouble:
            left.strike_out(store, author)
            if left.written and way.password is not None:
                is_told(store, left.entry)
            raise
        return replace(left, place=str(place), beside=beside)

    return work


def _hold(store: Store, left: Left) -> None:
    """Its password waits on this device until it is told; only the call-now page leaves where no disk takes that."""
    if left.way.password is None or not left.written:
        return
    try:
        hold(store, left.entry, left.way.password)
    except (DiskFull, DiskTrouble, NoRights):
        if left.kind is not Paper.CALL_NOW:
            raise
