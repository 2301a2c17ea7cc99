"""What leaves beside the papers of visits: a locked release package, the practice's figures, a sheet for before a visit."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Final
from zoneinfo import ZoneInfo

from demo_db.lindqvist import Bram
from demo_db.ticking import ZONE
from forms.chart import Chart
from forms.papers.intake import intake
from forms.practice_figures import Period
from forms.release_package import may_go
from storage.store import Store
from sync.handoff.figures_out import figures_out
from sync.handoff.how_to_check import guide_place
from sync.handoff.intake_sheet import write_intake
from sync.handoff.package import give_locked
from sync.handoff.package_inside import Asked
from sync.handoff.saved import save_sheet

__all__ = ["PASSWORD", "YEAR", "asked_for", "lay_sheet", "leave_figures", "leave_package"]

PASSWORD: Final = "maple-otter-cider-lamp-quilt"
"""Of the invented package only; printed by the demo so that anyone can open it. Any other is drawn by chance."""
YEAR: Final = Period(date(2026, 1, 1), date(2026, 12, 31))


def asked_for(chart: Chart, people: Bram) -> Asked:
    """Signe asks for all of Bram's record that may go."""
    papers = tuple(one.key for one in may_go(chart, people.bram))
    return Asked(people.family, people.bram, people.signe, papers, tables=True, purpose="request")


def leave_package(
    store: Store, people: Bram, folder: Path, *, author: str, now: datetime, ids: Callable[[], str]
) -> tuple[Path, ...]:
    """Give Bram's record out to Signe, locked; the files written."""
    place = folder / "lindqvist-osei-package.pdf"
    asked = asked_for(store.chart(people.family), people)
    give_locked(store, asked, place, PASSWORD, author=author, now=now, ids=ids)
    return place, guide_place(place)


def leave_figures(store: Store, folder: Path, *, author: str, now: datetime) -> tuple[Path, ...]:
    """Save the sheet of the practice's figures of the year; the files written."""
    place = folder / "practice-figures-2026.pdf"
    return place, *figures_out(store, YEAR, place, author=author, now=now.astimezone(ZoneInfo(ZONE)))


def lay_sheet(store: Store, family: str, folder: Path, *, author: str, now: datetime) -> tuple[Path, ...]:
    """Save the sheet for before a family's visit; the file written."""
    place = folder / "before-the-visit.pdf"
    save_sheet(place, write_intake(intake(store.chart(family), author), at=now))
    return (place,)
