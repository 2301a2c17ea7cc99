"""Whom and what a visit concerns: its babies, the parents with a note of their own, and how old the babies are."""

from __future__ import annotations

from datetime import date, timedelta

from forms.answers import Moment, every
from forms.chart import Chart, Entry
from forms.consent import TOLD_ONCE, CareConsent, Consent, TouchConsent, consent_for
from forms.expressing import ExpressingDay, Expression
from forms.feed import FeedObservation
from forms.impression import Impression
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.visit import REMOTE, Present, Visit

__all__ = [
    "age_in_days", "babies", "consents_missing", "earlier_visits", "head_of", "is_remote", "noted_parents",
    "pairs_seen", "visit_day", "watched_as",
]  # fmt: skip

# Who feeds at the breast or chest by these roles has a note of their own at each visit: common practice, no source.
FEEDING_ROLES = ("birth_parent", "co_feeder")
OWN_FORMS = (ExpressingDay, Expression, ParentHistory, Impression, CareConsent, TouchConsent)


def head_of(chart: Chart) -> Visit:
    """The head of the chart's visit; the empty form if there is none."""
    return chart.person(Visit, chart.visit) if chart.visit else Visit()


def is_remote(chart: Chart) -> bool:
    """Whether nobody's hands were on the baby: every kind that stands is phone or video."""
    kinds = every(head_of(chart).kind)
    return bool(kinds) and all(kind in REMOTE for kind in kinds)


def watched_as(chart: Chart) -> str | None:
    """How a feed that is watched at this visit is watched: "seen" in the room, or by "video".

    None where the kind of visit does not say it: not written, in two minds, or by phone. Then it is asked, not guessed.
    """
    kinds = set(every(head_of(chart).kind))
    if not kinds or "phone" in kinds or ("video" in kinds and len(kinds) > 1):
        return None
    return "video" if "video" in kinds else "seen"


def _begun(visit: Entry[Visit]) -> tuple[bool, object]:
    start = visit.answers.start
    return (True, start.at) if isinstance(start, Moment) else (False, visit.entered)


def earlier_visits(chart: Chart) -> tuple[str, ...]:
    """The ids of the family's visits that began before this one, by their start, or by their entry if it is unknown."""
    visits = {entry.id: entry for entry in chart.all(Visit)}
    here = visits.get(chart.visit or "")
    if here is None:
        return ()
    known, at = _begun(here)
    return tuple(
        other.id
        for other in visits.values()
        if other.id != here.id
        and (_begun(other)[1] < at if known and _begun(other)[0] else other.entered < here.entered)  # type: ignore[operator]
    )


def visit_day(chart: Chart) -> date | None:
    """The local day on which the visit began, or None while its start is unknown or disputed."""
    start = head_of(chart).start
    return start.local().date() if isinstance(start, Moment) else None


def babies(chart: Chart) -> tuple[str, ...]:
    """Every baby of the family, oldest entry first: no baby is left out of a note because nobody named it."""
    return tuple(entry.id for entry in chart.all(InfantIdentity))


def noted_parents(chart: Chart) -> tuple[str, ...]:
    """The parents of whom this visit makes a note: who feeds, by role or at this visit, or has a form begun here.

    If nobody does, every parent of the family, so that no visit is without a note of an adult.
    """
    parents = tuple(entry.id for entry in chart.all(ParentIdentity))
    feeders = {who for entry in chart.all(FeedObservation, visit=chart.visit) for who in entry.place.subjects[:1]}
    begun = {
        entry.place.subjects[0]
        for form in OWN_FORMS
        for entry in chart.all(form, visit=chart.visit)
        if len(entry.place.subjects) == 1
    }
    by_role = {
        parent
        for parent in parents
        if any(role in FEEDING_ROLES for roles in every(chart.person(ParentIdentity, parent).roles) for role in roles)
    }
    noted = tuple(parent for parent in parents if parent in feeders | begun | by_role)
    return noted or parents


def pairs_seen(chart: Chart) -> tuple[tuple[str, ...], ...]:
    """Each (feeder, baby) of whom a feed was watched at this visit, once."""
    watched = (
        entry.place.subjects
        for entry in chart.all(FeedObservation, visit=chart.visit)
        if any(how in ("seen", "video") for how in every(entry.answers.observed))
    )
    return tuple(dict.fromkeys(watched))


def age_in_days(chart: Chart, baby: str) -> int | None:
    """Whole calendar days from the day of birth to the day of the visit, or None if either is unknown or disputed."""
    identity, today = chart.person(InfantIdentity, baby), visit_day(chart)
    born: object = identity.born
    day = born.local().date() if isinstance(born, Moment) else identity.born_day
    if today is None or not isinstance(day, date):
        return None
    return (today - day) // timedelta(days=1)


def consents_missing(chart: Chart) -> tuple[str, ...]:
    """The purposes (codes of `forms.consent.PURPOSES`) for which no parent with a note certainly agrees at this visit.

    Those that the visit itself brings up come first: talking by phone or video, an interpreter of the family's own, a
    student in the room (trade line C15). Then those of `TOLD_ONCE` of which nothing was ever written down.
    """
    today, parents = visit_day(chart), noted_parents(chart)
    if today is None or not parents:
        return ()
    told = {purpose for entry in chart.all(Consent) for purpose in every(entry.answers.purpose)}
    return (
        *(due for due in _brought_up(chart) if not any(consent_for(chart, who, due, today) for who in parents)),
        *(once for once in TOLD_ONCE if once not in told),
    )


def _brought_up(chart: Chart) -> tuple[str, ...]:
    head = head_of(chart)
    student = any("student" in every(entry.answers.part) for entry in chart.all(Present, visit=chart.visit))
    return (
        *(kind for kind in every(head.kind) if kind in REMOTE),
        *("interpreter" for chosen in every(head.interpreter) if chosen == "family_member"),
        *("student_present" for _ in range(student)),
    )
