"""Filing the times that were noted on the lock screen, once the store is open again."""

from __future__ import annotations

import orjson

from desktop.controls.shown import clock
from desktop.noted import NotedTimes, jots_of
from desktop.session import Session
from forms.answers import Moment
from forms.trouble import Trouble
from storage.changes import ChangeSet

__all__ = ["LOCKED_DURING", "WORDS", "file_noted"]

LOCKED_DURING = "visit open when the window was locked"
"""Name of the kept secret that says to which visit a time noted on the lock screen belongs, so that a kill does not
lose it. It is sealed in the store; the file of noted times holds nothing but times."""

WORDS = "Time noted on the lock screen"


def file_noted(session: Session, noted: NotedTimes, during: bytes | None) -> None:
    """File the noted times as jots of the visit named in `during` (JSON: family, visit), then drop their file.

    Without a known visit, or when the visit takes no more jots, they stay in their file and stand on the list of what
    waits: nobody guesses where they belong.
    """
    if during is not None:
        # What an earlier lock said must never answer for a later one.
        session.lane.run(lambda store: store.drop_secret(LOCKED_DURING))
    times, spoilt = noted.times()
    if spoilt:
        session.notices.watch(f"{spoilt} of the times noted on the lock screen cannot be read any more.")
    if not times:
        return
    kept = orjson.loads(during) if during else {}
    family, visit = kept.get("family", ""), kept.get("visit", "")
    said = ", ".join(clock(Moment(at, session.zone).local()) for at in times)
    if not visit:
        session.noted_unfiled = times
        session.notices.watch(f"Noted on the lock screen, at a visit that is not known: {said}.")
        return
    changes = jots_of(times, family=family, visit=visit, zone=session.zone, words=lambda _at: WORDS)

    def filed(_done: ChangeSet) -> None:
        noted.filed()
        session.notices.news(f"Noted on the lock screen and filed as jots: {said}.")

    def refused(trouble: Trouble) -> None:
        session.noted_unfiled = times
        session.notices.watch(f"Noted on the lock screen and not filed: {said}. {trouble.sentence}")

    session.lane.run(lambda store: store.write(changes, author=session.author), filed, refused)
