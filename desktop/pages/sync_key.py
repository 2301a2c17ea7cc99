"""The key to the meeting with other devices, and the one quiet line that says when they were met."""

from __future__ import annotations

from desktop.controls.buttons import Act
from desktop.controls.shown import clock, day_words
from desktop.session import Routes, Session
from desktop.sharing import Stage
from desktop.theme.icons import Icon
from forms.answers import Moment

__all__ = ["SyncKey", "differ_words", "met_words"]


def differ_words(count: int) -> str:
    """How many answers wait to be settled, in words; "" for none."""
    return {0: "", 1: "1 answer differs"}.get(count, f"{count} answers differ")


def met_words(session: Session) -> str:
    """When the place was last reached: "Synced 14:02", with its day where that is not today; "" where none is set."""
    reached = session.sharing.seen.reached
    if reached is None:
        return ""
    at, now = Moment(reached, session.zone).local(), Moment(session.clock(), session.zone).local()
    day = "" if at.date() == now.date() else f"{day_words(at)}, "
    return f"Synced {day}{clock(at)}"


def _line(session: Session) -> str:
    sharing = session.sharing
    if sharing.going:
        return "under way"
    torn = differ_words(sharing.seen.differ)
    state = {Stage.OFFLINE: "no answer", Stage.REFUSED: "look at this", Stage.STOPPED: "stopped"}.get(sharing.stage, "")
    return torn or state or met_words(session)


class SyncKey(Act):
    """The key, with the line under its word; it follows what is known and never takes the focus."""

    def __init__(self, session: Session, routes: Routes) -> None:
        super().__init__("Sync", icon=Icon.SYNC, small=_line(session))
        self._session, self._routes = session, routes
        self.clicked.connect(self._go)
        session.sharing.changed.connect(self._follow)

    def _go(self, *_pressed: object) -> None:
        self._routes.sync()

    def _follow(self) -> None:
        self.say("Sync", _line(self._session))
