"""Who charts on this device, and for what its record was begun: kept in the store, so that a lock loses neither."""

from __future__ import annotations

from forms.ask import Path
from forms.chart import Entry, Place
from forms.form import Form
from forms.practice import Practitioner
from forms.role import Role
from storage.changes import Begin, ChangeSet, Put
from storage.store import Store

__all__ = ["AUTHOR", "BEGINS", "chart_as", "charting", "practitioners", "somebody_new"]

BEGINS = "how this record begins"
"""The kept secret that says what a first launch was chosen for, until that is done."""

AUTHOR = "who charts here"
"""The kept secret with the id of the Practitioner entry who charts on this device."""


def practitioners(entries: tuple[Entry[Form], ...]) -> tuple[Entry[Practitioner], ...]:
    """The people of the practice who chart, without those struck out."""
    return tuple(e for e in entries if isinstance(e.answers, Practitioner) and e.struck is None)  # type: ignore[misc]


def charting(store: Store, people: tuple[Entry[Practitioner], ...]) -> str:
    """Who charts on this device: who was said to, else whoever was written first; "" when nobody is written yet."""
    kept = (store.secret(AUTHOR) or b"").decode()
    if any(person.id == kept for person in people):
        return kept
    return people[0].id if people else ""


def chart_as(store: Store, author: str) -> ChangeSet | None:
    """Say who charts on this device; how it began is over with that.

    Whoever begins to chart on a student's device and has no role in the practice yet is a student, or no paper would
    ever tell. A role that is written down stays, and who wrote anything before is not made a student by one press: the
    finish list asks. Gives what was written.
    """
    chart = store.chart("")
    known, said = chart.by_id(author) is not None, chart.person(Practitioner, author).practice_role
    made = None
    if known and said is None and chart.role is Role.STUDENT and not store.exchange().has_written(author):
        made = store.write([Put(author, Path.read("practice_role"), "student")], author=author)
    store.keep_secret(AUTHOR, author.encode())
    store.drop_secret(BEGINS)
    return made


def somebody_new(author: str, name: str) -> tuple[Begin | Put, ...]:
    """The changes that write a practitioner who was not there."""
    return Begin(author, Place("practitioner")), Put(author, Path.read("full_name"), name)
