"""How a paper leaves the window: made and sealed by the store's worker, then printed or written where she chose."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from desktop.open_chart import OpenChart
from desktop.pages.paper_kinds import Offered
from forms.ask import Paper
from storage.changes import StrikeOut
from storage.store import Store
from storage.troubles import DiskFull, DiskTrouble, NoRights
from sync.handoff.leave import draw_paper, make_paper
from sync.handoff.saved import NotSaved, save_paper
from sync.handoff.way import Way

__all__ = ["Left", "leave_by_printer", "leave_to_file"]

_NOT_LEFT = "It did not leave after all"


@dataclass(frozen=True, slots=True)
class Left:
    """A paper made: its bytes, the entry that says it left, whether that could be written, and what lies beside it."""

    kind: Paper
    pages: bytes
    entry: str
    written: bool = True
    place: str = ""
    beside: tuple[Path, ...] = ()

    def take_back(self, home: OpenChart) -> None:
        """Strike out the entry that says it left."""
        if self.written:
            home.lane.run(lambda store: store.write((StrikeOut(self.entry, _NOT_LEFT),), author=home.author))


def _made(home: OpenChart, paper: Offered, *, large: bool, how: str) -> Callable[[Store], Left]:
    """The store's work: make the paper, write down that it leaves. No disk holds back the call-now page."""
    chart, now, author, entity = home.chart, home.clock(), home.author, home.ids()
    wide = large and paper.kind is Paper.FAMILY_PLAN

    def work(store: Store) -> Left:
        try:
            pages = make_paper(
                store, chart, paper.kind, author=author, now=now, referral=paper.referral, large=wide,
                picture=paper.picture, person=paper.person, language=paper.language, way=Way(how), ids=lambda: entity,
            )  # fmt: skip
        except (DiskFull, DiskTrouble, NoRights):
            if paper.kind is not Paper.CALL_NOW:
                raise
            return Left(paper.kind, draw_paper(chart, paper.kind, author=author, now=now), entity, written=False)
        return Left(paper.kind, pages, entity)

    return work


def leave_by_printer(home: OpenChart, paper: Offered, *, large: bool) -> Callable[[Store], Left]:
    """What the lane does before the pages go to a printer."""
    return _made(home, paper, large=large, how="printed")


def leave_to_file(home: OpenChart, paper: Offered, place: Path, *, large: bool) -> Callable[[Store], Left]:
    """What the lane does to leave a paper as a file; a paper that could not be saved is struck out again."""
    made, author = _made(home, paper, large=large, how="file"), home.author

    def work(store: Store) -> Left:
        left = made(store)
        try:
            beside = save_paper(place, left.pages)
        except NotSaved:
            if left.written:
                store.write((StrikeOut(left.entry, _NOT_LEFT),), author=author)
            raise
        return Left(left.kind, left.pages, left.entry, left.written, str(place), beside)

    return work
