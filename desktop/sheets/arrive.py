"""Arriving: the visit's head, who is in the room, and what each person agrees to."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from desktop.controls.shown import day_words
from desktop.open_chart import OpenChart
from desktop.sheets.doubt import asked_about
from desktop.sheets.sheet import Compose, Guard, Listed, Offer, Section
from forms.answers import Moment
from forms.ask import ask_of
from forms.chart import Entry
from forms.consent import PURPOSES, CareConsent, Consent, Release, TouchConsent
from forms.newer import choice_words
from forms.people import Family
from forms.taking_part import consents_missing
from forms.visit import Present, Visit

__all__ = ["VISIT_END", "arrive"]


def _visit(c: Compose) -> None:
    c.ask("kind", "start")
    c.widget(asked_about("start"), "kept_after_asking")
    c.ask("place", "practitioner", "reason", "interpreter")


def _home(c: Compose) -> None:
    c.ask("family_name", "address", "access")
    c.row("pets", "signal")
    c.ask("units_spoken", "second_address")
    c.veil("Safety of the visitor", lambda inner: inner.ask("visit_safety"))


def _visit_end(c: Compose) -> None:
    c.ask("end")
    c.widget(asked_about("end"))


def _present(c: Compose) -> None:
    c.ask("person", "full_name", "part", "hears_all")


def _room(c: Compose) -> None:
    c.note("Private questions wait until everyone here may hear everything, or until the parent is alone.")
    c.entries(
        Present,
        _present,
        Listed(add="Someone else is here", empty="Nobody is written down yet.", line=_who, offers=_family_here),
    )


def _family_here(home: OpenChart) -> tuple[Offer, ...]:
    """The family's own people who are not yet on the list."""
    listed = {entry.answers.person for entry in home.chart.all(Present, visit=home.chart.visit)}
    own = [(one, "parent") for one in home.parents()] + [(one, "baby") for one in home.infants()]
    return tuple(
        Offer(f"{home.names(one)} is here", {"person": one, "full_name": home.names(one), "part": part})
        for one, part in own
        if one not in listed
    )


def _who(entry: Entry[Present], name: Callable[[str], str]) -> str:
    kept = entry.answers
    who = kept.full_name if isinstance(kept.full_name, str) else ""
    if not who and isinstance(kept.person, str):
        who = name(kept.person)
    part = ask_of(Present, "part").options.get(kept.part, "") if isinstance(kept.part, str) else ""
    hears = {True: "hears everything", False: "not everything in front of them"}.get(kept.hears_all)  # type: ignore[arg-type]
    return ", ".join(said for said in (who or "Name not written yet", part.lower(), hears) if said)


def _care(c: Compose) -> None:
    c.ask("agreed", "given_by", "relation", "how", "given_at")
    c.row("valid_until", "withdrawn_at")


def _touch(c: Compose) -> None:
    c.note("Asked again at every visit; it ends with the visit.")
    c.ask("agreed", "given_by", "how", "given_at", "withdrawn_at")


def _release(c: Compose) -> None:
    c.ask("recipient", "scope", "limits", "both_ways", "given_by", "relation", "how", "given_at")
    c.row("valid_from", "valid_until")
    c.ask("withdrawn_at")


def _releases(c: Compose) -> None:
    c.note("Without a release that holds today, no letter or report about this person leaves the practice.")
    c.entries(
        Release,
        _release,
        Listed(add="A release", empty="Nothing may be sent to anyone yet.", line=_to_whom, concerns=True),
    )


def _to_whom(entry: Entry[Release], name: Callable[[str], str]) -> str:
    kept = entry.answers
    to = name(kept.recipient) if isinstance(kept.recipient, str) else "Recipient not chosen yet"
    until = f"until {day_words(kept.valid_until)}" if isinstance(kept.valid_until, date) else "no end written"
    return f"{to}, {'withdrawn' if kept.withdrawn_at is not None else until}"


def _consent(c: Compose) -> None:
    c.ask("purpose", "agreed")
    c.row("given_by", "relation")
    c.ask("how")
    c.row("given_at", "valid_until")
    c.ask("withdrawn_at")


def _consents(c: Compose) -> None:
    c.note("One row for each purpose. A new answer is a new row; the newest holds.")
    c.entries(
        Consent,
        _consent,
        Listed(
            add="Another purpose", empty="None written down yet.", line=_for_what, concerns=True, offers=_purposes_due
        ),
    )


def _for_what(entry: Entry[Consent], name: Callable[[str], str]) -> str:
    del name  # a consent says itself who gave it
    kept = entry.answers
    what = choice_words(ask_of(Consent, "purpose"), kept.purpose) if isinstance(kept.purpose, str) else ""
    agreed = choice_words(ask_of(Consent, "agreed"), kept.agreed) if isinstance(kept.agreed, str) else "not answered"
    ended = "withdrawn" if isinstance(kept.withdrawn_at, Moment) else ""
    until = f"until {day_words(kept.valid_until)}" if isinstance(kept.valid_until, date) and not ended else ""
    reason = kept.minor_why if isinstance(kept.minor_why, str) else ""
    void = "does not hold without a reason" if kept.interpreter_is == "minor" and not reason.strip() else ""
    return ", ".join(
        said for said in (f"{what or 'Purpose not chosen yet'}: {agreed.lower()}", void, ended or until) if said
    )


def _purposes_due(home: OpenChart) -> tuple[Offer, ...]:
    """What this visit brings up and nobody agreed to yet, and what every family is told once."""
    return tuple(Offer(PURPOSES[purpose], {"purpose": purpose}) for purpose in consents_missing(home.chart))


VISIT_END = Section("leave.end", "The end", Visit, _visit_end, "When the visit ended")
"""The last line of the visit's head; it stands with leaving, not with arriving."""


def arrive() -> tuple[Section, ...]:
    """The sections of arriving, the same for a parent and for a baby."""
    return (
        Section("arrive.visit", "The visit", Visit, _visit, "Arriving"),
        Section("arrive.room", "In the room", Present, _room, "Who is in the room", Guard.NOT_SHARED),
        Section("arrive.care", "Care", CareConsent, _care, "{own} care: who agrees"),
        Section("arrive.touch", "Touch", TouchConsent, _touch, "Touching {name} today"),
        Section("arrive.consents", "Consents", Consent, _consents, "What {name} agrees to", Guard.NOT_SHARED),
        Section("arrive.home", "Home", Family, _home, "This home", Guard.NOT_SHARED),
        Section("arrive.release", "Release", Release, _releases, "Whom {own} record may go to", Guard.NOT_SHARED),
    )
