"""The end of care on a family's page: whether it was closed, and the way to close it or to take that back."""

from __future__ import annotations

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Stack
from desktop.controls.shown import day_words
from desktop.controls.words import Title, Words
from desktop.open_chart import OpenChart
from desktop.pages.giving_out import GivingOut
from desktop.pages.plain import key_row
from desktop.session import Routes, Session
from desktop.sheets.listing import StrikeAsked
from desktop.theme.tokens import Role, Size, Space
from forms.answers import every
from forms.ask import ask_of
from forms.chart import Chart, Entry
from forms.closing import Closing
from forms.loops import standing_closing
from forms.newer import choice_words
from forms.visit import Visit

__all__ = ["CareEnd", "closed"]


def closed(chart: Chart) -> Entry[Closing] | None:
    """The newest finished closing, unless a visit has begun since: that began a new episode of care."""
    finished = [(at.at, entry) for entry in chart.all(Closing) for at in every(entry.answers.closed_at)]
    if not finished:
        return None
    at, newest = max(finished, key=lambda one: one[0])
    starts = (start.at for visit in chart.all(Visit) for start in every(visit.answers.start))
    return None if any(start > at for start in starts) else newest


class CareEnd(Stack):
    """One line and one key; a closing can be taken back with a reason, like any entry."""

    def __init__(self, session: Session, routes: Routes, home: OpenChart) -> None:
        super().__init__(between=Space.SNUG)
        self._home = home
        title = Title("The end of care", size=Size.JOT)
        title.setContentsMargins(0, Space.WIDE, 0, 0)
        self.line = Words("", ink=Role.SOFT_INK)
        self.key = Act("Close or hand over care")
        self.key.clicked.connect(lambda: routes.closing(home.chart.family))
        self.goes_on = Link("Care goes on after all")
        self.goes_on.clicked.connect(self._ask_why)
        self._why: StrikeAsked | None = None
        self.giving_out = GivingOut(home)
        self.add(title, self.line, key_row(self.key, self.goes_on), self.giving_out)
        self.zone = session.zone
        self.refresh()

    def refresh(self) -> None:
        """Say how it stands."""
        self.giving_out.refresh()
        chart = self._home.chart
        done, begun = closed(chart), standing_closing(chart)
        self.key.setVisible(done is None)
        self.goes_on.setVisible(done is not None)
        if done is not None:
            days = " or ".join(day_words(at.local()) for at in every(done.answers.closed_at))
            why = " or ".join(choice_words(ask_of(Closing, "reason"), reason) for reason in every(done.answers.reason))
            self.line.say(f"Care was closed on {days}{f': {why[:1].lower()}{why[1:]}' if why else ''}.")
        else:
            self.line.say("A closing was begun and waits to be finished." if begun is not None else "Care is going on.")

    def _ask_why(self) -> None:
        done = closed(self._home.chart)
        if done is not None and self._why is None:
            self._why = StrikeAsked(self._home, done.id)
            self.layout().insertWidget(self.layout().indexOf(self.giving_out), self._why)  # type: ignore[union-attr]
            self._why.reason.setFocus()
