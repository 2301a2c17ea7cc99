"""What may go out of the record for one person, to whom, and under what: the rules of a release package (trade D7).

A provider needs a release of the whole record that holds today. A parent asks for the own record, or for a baby's if it
is written down that this parent may consent for the baby. What goes is a choice among papers that are about that one
person: the summary of each signed visit, made anew, and reports, letters and closing letters that left before.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from forms.answers import Conflicted, every
from forms.ask import Paper
from forms.chart import Chart, Entry, Signed
from forms.consent import Release, release_for
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Provider
from forms.referral import PaperIssued
from forms.student import co_signatures
from forms.trouble import Trouble
from forms.visit import Visit

__all__ = [
    "LEFT_BEFORE", "AskerMissing", "MayGo", "MayNotAsk", "NoPackageRelease", "NothingSigned", "PackageWithdrawn",
    "askers", "has_limits", "may_go", "may_insist", "under_which", "visits_about",
]  # fmt: skip

LEFT_BEFORE = (Paper.REPORT, Paper.REFERRAL, Paper.CLOSING)
"""Papers that left before and may go along as they were sealed: about one person, each of them."""


class NoPackageRelease(Trouble):
    """No release of the whole record to that provider holds today."""

    template = (
        "There is no release of the whole record to {to} that holds today. Write one down at a visit, then make the "
        "package."
    )


class PackageWithdrawn(Trouble):
    """The newest word about releasing anything to that provider is a withdrawal."""

    template = "The release to {to} was withdrawn. Nothing goes there until a new one is written down at a visit."


class MayNotAsk(Trouble):
    """A parent of whom it is not written down that the parent may consent for the baby."""

    template = (
        "It is not written down that {to} may consent to the babies’ care. Write it down on the family’s page first."
    )


class AskerMissing(Trouble):
    """Nobody, or somebody of another record, was named as the one who asks."""

    template = "Pick who asks for it; nothing leaves without that."


class NothingSigned(Trouble):
    """No visit about this person was signed, so nothing can carry the seal."""

    template = "No visit about {who} is signed yet, so there is nothing to give out. Sign the visit, then come back."


@dataclass(frozen=True, slots=True)
class MayGo:
    """One paper that may go along.

    `visit` is its visit. `sha256` names the bytes of a paper that left before; "" for a summary, which is made anew.
    """

    key: str
    kind: Paper
    visit: str
    day: date | None
    sha256: str = ""


def askers(chart: Chart, person: str) -> tuple[str, ...]:
    """Who may come asking for this person's record: a parent, then each provider any release of this person names."""
    found = chart.by_id(person)
    baby = found is not None and isinstance(found.answers, InfantIdentity)
    parents = tuple(entry.id for entry in chart.all(ParentIdentity) if baby or entry.id == person)
    named = dict.fromkeys(one for entry in chart.all(Release, person) for one in every(entry.answers.recipient))
    return (*parents, *(one for one in named if _is_provider(chart, one)))


def _is_provider(chart: Chart, one: str) -> bool:
    found = chart.by_id(one)
    return found is not None and found.struck is None and isinstance(found.answers, Provider)


def may_insist(chart: Chart, asker: str) -> bool:
    """Whether somebody may have a package open, on their own insistence after a warning: a parent, and no provider."""
    return any(entry.id == asker for entry in chart.all(ParentIdentity))


def under_which(chart: Chart, person: str, asker: str, today: date, *, called: str) -> Entry[Release] | None:
    """The release a package goes under on a day; None for a parent, who needs none. `called` is the asker's name.

    A withdrawal that was written after the release holds, even of a narrower one, is heard before it: whoever took
    something back is asked again. Raises AskerMissing, MayNotAsk, PackageWithdrawn and NoPackageRelease.
    """
    if asker not in askers(chart, person):
        raise AskerMissing
    if not _is_provider(chart, asker):
        if asker != person and chart.person(ParentIdentity, asker).may_consent is not True:
            raise MayNotAsk(to=called)
        return None
    held = release_for(chart, person, asker, "whole", today)
    of_asker = [entry for entry in chart.all(Release, person) if asker in every(entry.answers.recipient)]
    # A withdrawal stands on the row of its release, which may have been begun long before what was taken back.
    withdrawn = [max(entry.entered, at.at) for entry in of_asker for at in every(entry.answers.withdrawn_at)]
    if withdrawn and (held is None or max(withdrawn) >= held.entered):
        raise PackageWithdrawn(to=called)
    if held is None:
        raise NoPackageRelease(to=called)
    return held


def has_limits(release: Entry[Release] | None) -> bool:
    """Whether a release names, in words, what may not be sent; so does one whose words are in dispute."""
    if release is None:
        return False
    limits = release.answers.limits
    return isinstance(limits, Conflicted) or any(words.strip() for words in every(limits))


def visits_about(chart: Chart, person: str) -> tuple[Signed, ...]:
    """The visits with a note about this person that a consultant signed, oldest first."""
    about: dict[str, Signed] = {}
    for one in co_signatures(chart):  # two devices that were apart can have signed one visit
        if any(person in note.split("+") for note in one.notes):
            about.setdefault(one.visit, one)
    return tuple(sorted(about.values(), key=lambda one: (_day(chart, one.visit) or one.at.date(), one.at)))


def _day(chart: Chart, visit: str) -> date | None:
    starts = every(chart.person(Visit, visit).start)
    return min((start.local().date() for start in starts), default=None)


def may_go(chart: Chart, person: str) -> tuple[MayGo, ...]:
    """Every paper that may be picked for this person, oldest visit first, a visit's summary before what left of it.

    Raises NothingSigned while no visit about this person is signed.
    """
    visits = visits_about(chart, person)
    if not visits:
        raise NothingSigned(who=_called(chart, person))
    return tuple(one for signed in visits for one in _of_visit(chart, person, signed.visit))


def _called(chart: Chart, person: str) -> str:
    found = chart.by_id(person)
    answers = found.answers if found is not None else None
    names = every(answers.called_name) if isinstance(answers, ParentIdentity | InfantIdentity) else ()
    return next(iter(names), "this person")


def _of_visit(chart: Chart, person: str, visit: str) -> Iterator[MayGo]:
    yield MayGo(f"summary:{visit}", Paper.SUMMARY, visit, _day(chart, visit))
    for entry in chart.all(PaperIssued, visit=visit):
        kept = entry.answers
        if (
            kept.concerns == person
            and kept.paper in LEFT_BEFORE
            and kept.before_finished is False
            and isinstance(kept.left_how, str)
            and kept.left_how != "password"  # what was locked for one reader opens for no other
            and isinstance(kept.sha256, str)
        ):
            left = next(iter(every(kept.at)), None)
            day = left.local().date() if left is not None else None
            yield MayGo(f"paper:{kept.sha256}", Paper(kept.paper), visit, day, kept.sha256)
