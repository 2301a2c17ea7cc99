"""A page over an open chart: what it types is autosaved, and whether it is saved stands in view."""

from __future__ import annotations

from datetime import datetime

from desktop.controls.shown import clock
from desktop.controls.words import Words
from desktop.open_chart import OpenChart
from desktop.pages.page import Page
from desktop.pages.sync_key import met_words
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
        self._written = ""
        session.sharing.changed.connect(self._met)

    def _local(self, at: datetime) -> datetime:
        return Moment(at, self.session.zone).local()

    def _saved(self, at: datetime) -> None:
        self.saved.take_ink(Role.SOFT_INK)
        self._written = f"saved {clock(self._local(at))}"
        self._met()

    def _unsaved(self, trouble: Trouble) -> None:
        since = self.home.unsaved_since
        self.saved.take_ink(Role.WELD)
        self._written = f"Not saved since {clock(self._local(since))}" if since is not None else "Not saved"
        self._met()
        self.session.notices.trouble(trouble)

    def _met(self) -> None:
        """The line of what is saved, and beside it when other devices were met last."""
        said = (self._written, met_words(self.session).lower())
        self.saved.say(", ".join(part for part in said if part))

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
