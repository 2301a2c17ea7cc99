"""What is thought, wanted, planned, asked of another provider and allowed; and who wrote it when.

An impression stays within the consultant's scope: words and short kinds as a ClinicalImpression, never a Condition.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Moment
from forms.ask import Paper
from forms.chart import Entry
from forms.consent import Release
from forms.impression import Impression
from forms.papers.referral import release_under
from forms.people import InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.referral import Referral
from forms.trouble import Bug
from sync.handoff.record.codes import TERMS
from sync.handoff.record.people import patient_id
from sync.handoff.record.plain import Resource, codeable, concept, made, points_to, when
from sync.handoff.record.telling import Telling

__all__ = ["consent", "encounter", "impressions", "plan", "provenance", "service_request"]

_CLASS: Final[Mapping[str, tuple[str, str]]] = MappingProxyType({
    "home": ("HH", "home health"), "clinic": ("AMB", "ambulatory"), "group": ("AMB", "ambulatory"),
    "video": ("VR", "virtual"), "phone": ("VR", "virtual"),
})  # fmt: skip
_PRIORITY: Final[Mapping[str, str]] = MappingProxyType({
    "emergency": "stat", "same_day": "asap", "this_week": "urgent", "two_weeks": "routine", "routine": "routine",
})  # fmt: skip


def _patient(person: str) -> Resource:
    return {"reference": f"urn:uuid:{patient_id(person)}"}


def encounter(telling: Telling, writer: Resource | None) -> Resource | None:
    """The visit; None for a record that is of no visit or whose kind of visit is not known."""
    kind = telling.value(telling.visit, "kind")
    if telling.chart.visit is None or kind not in _CLASS:
        return None
    code, display = _CLASS[kind]
    end = telling.value(telling.visit, "end")
    period = {
        "start": when(telling.begun) if telling.begun else None, "end": when(end) if isinstance(end, Moment) else None
    }  # fmt: skip
    reason = telling.words(telling.visit, "reason")
    return made(
        "Encounter", telling.chart.visit, status="finished" if telling.chart.signed() else "in-progress",
        class_={"system": f"{TERMS}/v3-ActCode", "code": code, "display": display}, subject=_patient(telling.chief),
        participant=[{"individual": points_to(writer)}] if writer else [], period=period,
        reasonCode=[concept(reason)] if reason else [],
    )  # fmt: skip


def impressions(telling: Telling, here: Resource | None) -> Iterator[Resource]:
    """What the findings add up to, in the consultant's own words."""
    for entry in telling.of(Impression):
        summary = telling.words(entry.answers, "words")
        kinds = [part for part in telling.words(entry.answers, "kinds").split(", ") if part]
        if not summary and not kinds:
            continue
        told_on = telling.begun
        yield made(
            "ClinicalImpression", entry.id, status="completed" if telling.chart.signed() else "in-progress",
            subject=_patient(telling.subject(entry)), encounter=points_to(here) if here else None,
            effectiveDateTime=when(told_on) if told_on else None, summary=summary,
            finding=[{"itemCodeableConcept": concept(kind)} for kind in kinds],
        )  # fmt: skip


def _amount_words(telling: Telling, entry: Entry[FeedingAmount]) -> str:
    """Milk given beside feeding, in one line; "" where none is part of the plan."""
    said = {f: telling.words(entry.answers, f) for f in ("per_feed", "times_per_day", "milks", "method", "until")}
    if not said["per_feed"]:
        return ""
    baby = telling.chart.person(InfantIdentity, entry.place.subjects[0])
    times = f"{said['times_per_day']} times in a day and a night" if said["times_per_day"] else ""
    until = f"until {said['until']}" if said["until"] else ""
    told = (said["per_feed"], times, said["milks"], said["method"], until)
    return f"{telling.said.called(baby)}: {', '.join(part for part in told if part)}"


def _activities(telling: Telling) -> list[str]:
    tasks = sorted(telling.of(PlanTask), key=lambda e: telling.value(e.answers, "order") or 0)
    told = [
        ", ".join(filter(None, (telling.words(e.answers, f) for f in ("what", "how_often", "until", "who"))))
        for e in tasks
    ]
    return [line for line in (*told, *(_amount_words(telling, e) for e in telling.of(FeedingAmount))) if line]


def plan(telling: Telling, here: Resource | None, writer: Resource | None) -> Iterator[Resource]:
    """The family's goal and the plan made for it."""
    found = telling.of(Plan)
    goals = []
    for entry in found:
        goal = telling.words(entry.answers, "goal")
        if goal:
            goals.append(made(
                "Goal", entry.id, lifecycleStatus="active", description=concept(goal), subject=_patient(telling.chief)
            ))  # fmt: skip
    yield from goals
    activities = _activities(telling)
    if not activities and not goals:
        return
    details = [{"detail": {"status": "not-started", "description": line}} for line in activities]
    begun = telling.begun
    yield made(
        "CarePlan", telling.chart.visit or telling.chart.family, status="active", intent="plan",
        subject=_patient(telling.chief), encounter=points_to(here) if here else None,
        created=when(begun) if begun else None, author=points_to(writer) if writer else None,
        goal=[points_to(goal) for goal in goals], activity=details,
    )  # fmt: skip


def _letter(telling: Telling) -> Entry[Referral] | None:
    found = telling.chart.by_id(telling.referral) if telling.paper is Paper.REFERRAL else None
    if found is None:
        return None
    if not isinstance(found.answers, Referral):
        raise Bug("a letter's record was asked of an entry that is no referral")
    return Entry(found.id, found.place, found.answers, found.author, found.entered)


def service_request(
    telling: Telling, here: Resource | None, writer: Resource | None, at: Mapping[str, str], looked: list[Resource]
) -> Resource | None:
    """What a letter asks of its reader; `at` names resources by entry, `looked` are the looks it rests on."""
    entry = _letter(telling)
    if entry is None:
        return None
    letter = entry.answers
    to, by = at.get(telling.value(letter, "to") or ""), telling.value(letter, "reply_by")
    reason, question = telling.words(letter, "opening_reason"), telling.words(letter, "question")
    until = f"An answer is hoped for by {when(by)}." if isinstance(by, date) else ""
    return made(
        "ServiceRequest", entry.id, status="active", intent="proposal",
        priority=_PRIORITY.get(telling.value(letter, "urgency") or ""), code=concept("Referral"),
        subject=_patient(telling.chief), encounter=points_to(here) if here else None,
        authoredOn=telling.now.isoformat(), requester=points_to(writer) if writer else None,
        performer=[{"reference": f"urn:uuid:{to}"}] if to else [], reasonCode=[concept(reason)] if reason else [],
        supportingInfo=[points_to(one) for one in looked], note=[{"text": line} for line in (question, until) if line],
    )  # fmt: skip


def consent(telling: Telling, kin: Mapping[str, Resource], at: Mapping[str, str]) -> Resource | None:
    """The release a letter leaves under, with whoever of the family gave it."""
    entry = _letter(telling)
    if entry is None:
        return None
    held = release_under(telling.chart, entry.id, telling.now)
    release: Release = held.answers
    given, start, end = (telling.value(release, f) for f in ("given_at", "valid_from", "valid_until"))
    giver = _giver(telling, release, kin)
    to = at.get(telling.value(release, "recipient") or "")
    actor = [{
        "role": {"coding": [{"system": f"{TERMS}/v3-ParticipationType", "code": "IRCP",
                             "display": "information recipient"}]},
        "reference": {"reference": f"urn:uuid:{to}"},
    }] if to else []  # fmt: skip
    period = {"start": when(start) if start else None, "end": when(end) if end else None}
    scope = {"system": f"{TERMS}/consentscope", "code": "patient-privacy", "display": "Privacy Consent"}
    return made(
        "Consent", held.id, status="active", scope={"coding": [scope]}, category=[codeable("59284-0")],
        patient=_patient(telling.chief), dateTime=when(given) if isinstance(given, Moment) else None,
        performer=[points_to(giver)] if giver else [],
        policyRule=concept("Leave of the family to send this letter to its recipient"),
        provision={"type": "permit", "period": period, "actor": actor},
    )  # fmt: skip


def _giver(telling: Telling, release: Release, kin: Mapping[str, Resource]) -> Resource | None:
    """The one of the family who gave a release, if the record may say so and names exactly one by that name."""
    name = telling.words(release, "given_by")
    named = [
        e.id for e in telling.chart.all(ParentIdentity)
        if name and name in (telling.words(e.answers, "full_name"), telling.words(e.answers, "called_name"))
    ]  # fmt: skip
    return kin.get(named[0]) if len(named) == 1 else None


def provenance(telling: Telling, targets: list[Resource], writer: Resource | None) -> Resource | None:
    """Who wrote the document, and when it was signed; no signature of its own, that lies beside the file."""
    if writer is None:
        return None
    signed = telling.chart.signed()
    agent: dict[str, Any] = {"who": points_to(writer)}
    return made(
        "Provenance", telling.chart.visit or telling.chart.family, str(telling.paper), telling.now.isoformat(),
        target=[points_to(one) for one in targets],
        recorded=(signed.at if signed else telling.now).isoformat(), agent=[agent],
    )  # fmt: skip
