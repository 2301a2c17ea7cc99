"""A page over an open chart: what it types is autosaved, and whether it is saved stands in view."""

from __future__ import annotations

from datetime import datetime

from desktop.controls.shown import clock
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.pages.page import Page
from desktop.session import Routes, Session
from desktop.theme.tokens import Role, Size
from forms.answers import Moment
from forms.trouble import Trouble
from storage.drafts import Draft

__all__ = ["ChartPage"]


class ChartPage(Page):
    """A page that owns the open chart `home`; `saved` is the line that says when it was last written."""

    def __init__(self, session: Session, routes: Routes, home: OpenChart) -> None:
        super().__init__()
        self.session, self.routes, self.home = session, routes, home
        home.setParent(self)
        self.saved = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        home.saved.connect(self._saved)
        home.unsaved.connect(self._unsaved)

    def _local(self, at: datetime) -> datetime:
        return Moment(at, self.session.zone).local()

    def _saved(self, at: datetime) -> None:
        self.saved.take_ink(Role.SOFT_INK)
        self.saved.say(f"saved {clock(self._local(at))}")

    def _unsaved(self, trouble: Trouble) -> None:
        since = self.home.unsaved_since
        self.saved.take_ink(Role.WELD)
        self.saved.say(f"Not saved since {clock(self._local(since))}" if since is not None else "Not saved")
        self.session.notices.trouble(trouble)

    def leave(self) -> None:
        """Write everything typed."""
        self.home.save()

    def pending(self) -> tuple[Draft, ...]:
        """Drafts that hold something not yet on disk."""
        return self.home.pending()

    def unsaved_since(self) -> datetime | None:
        """When the oldest answer was typed that is not on disk, or None."""
        return self.home.unsaved_since

    def adopt(self, drafts: tuple[Draft, ...], since: datetime | None) -> tuple[Draft, ...]:
        """Take up the drafts of this family, or on a page of the practice those of the practice."""
        own = self.home.chart.family
        mine = tuple(d for d in drafts if own == (d.entity if d.place.form == "family" else d.place.family or ""))
        self.home.adopt(mine, since)
        return tuple(d for d in drafts if d not in mine)
