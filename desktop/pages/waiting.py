"""What waits for the consultant, beside the caseload: each a title, a sentence, and where to go."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from desktop.controls.shown import clock, day_words
from desktop.noted import NotedTimes
from desktop.pages.caselines import CaseLine, Caseload, Unfinished
from desktop.session import Routes, Session
from desktop.theme.tokens import Role
from forms.answers import Moment
from forms.practice import is_zone
from sync.handoff.own_seals import Standing
from sync.handoff.seals import Seal

__all__ = ["Waits", "waiting"]


def _nowhere(_routes: Routes, _session: Session) -> None:
    return


def _practice(routes: Routes, _session: Session) -> None:
    routes.practice()


@dataclass(frozen=True, slots=True)
class Waits:
    """One thing that waits. `act` is the word on its link, "" for none; `go` what the link does."""

    title: str
    words: str
    act: str = ""
    go: Callable[[Routes, Session], None] = _nowhere
    ink: Role = Role.INK


def _losses(session: Session) -> list[Waits]:
    return [Waits("Something is missing", told.sentence, ink=Role.WELD) for told in session.told]


def _noted(session: Session) -> list[Waits]:
    if not session.noted_unfiled:
        return []
    said = ", ".join(clock(Moment(at, session.zone).local()) for at in session.noted_unfiled)

    def done(routes: Routes, session: Session) -> None:
        NotedTimes(session.folder).filed()
        session.noted_unfiled = ()
        routes.caseload()

    return [
        Waits(
            "Times noted while locked",
            f"{said}. It is not known at which visit; write them where they belong.",
            "They are written down",
            done,
        )
    ]


def _arrived(session: Session) -> list[Waits]:
    late = session.sharing.seen.late
    if not late:
        return []
    many = "1 entry" if late == 1 else f"{late} entries"
    words = f"{many} came for a visit that is signed: to be added below the note, or left."
    return [Waits("Arrived after signing", words, "Look at it", lambda routes, _s: routes.differ())]


def _of_family(case: CaseLine) -> list[Waits]:
    found = []
    name = case.line.name or "A family without a name"
    if case.line.conflicts:
        many = "2 answers differ" if case.line.conflicts == 1 else f"{case.line.conflicts} answers have two values"
        found.append(
            Waits("Values to settle", f"{name}: {many}.", "Settle them", lambda routes, _s: routes.differ(case.line.id))
        )
    for visit in case.unfinished:
        left = visit.open_places + visit.jots
        found.append(
            Waits(
                f"Finish list, {left}" if left else "Ready to sign",
                f"{name}, {_left(visit)}.",
                "Go on with it" if left else "Read it through and sign",
                lambda routes, _s, visit=visit: routes.visit(case.line.id, visit.visit),  # type: ignore[misc]
            )
        )
    return found


def _left(visit: Unfinished) -> str:
    day = day_words(visit.start.local()) if visit.start is not None else "a visit without a start"
    parts = []
    if visit.open_places:
        parts.append("1 blank" if visit.open_places == 1 else f"{visit.open_places} blanks")
    if visit.jots:
        parts.append("1 jot" if visit.jots == 1 else f"{visit.jots} jots")
    return f"{day}: {', '.join(parts)}" if parts else day


def _ending(seal: Seal, session: Session) -> Waits:
    until = day_words(Moment(seal.not_after, session.zone).local())
    act = "Look under Practice, Seals" if seal.brought else "Renew it under Practice, Seals"
    if session.clock() > seal.not_after:
        return Waits(
            "The seal has ended", f"It held until {until}; no paper is sealed with it.", act, _practice, Role.WELD
        )
    return Waits("The seal ends soon", f"It seals papers until {until}. What it sealed stays good.", act, _practice)


_ROOTS: Mapping[Standing, tuple[str, str, Role]] = {
    Standing.WAITS: (
        "No seal on this device yet",
        "Sealed papers wait: this device does not seal under the practice’s root yet.",
        Role.WELD,
    ),
    Standing.AWAY: (
        "No seal of yours on this device yet",
        "Sealed papers wait: the key of the practice’s root is in the file it was saved to.",
        Role.WELD,
    ),
    Standing.UNKNOWN: (
        "No seal on this device yet",
        "Sealed papers wait: no root of the practice has reached this device.",
        Role.WELD,
    ),
    Standing.APART: (
        "Two roots in the practice",
        "Receivers who know your practice do not know papers sealed on this device.",
        Role.INK,
    ),
}


def _root(caseload: Caseload) -> list[Waits]:
    """What a device lacks that came to the practice later, or made a root while it was apart."""
    standing = caseload.roots.standing
    made_soon = standing is Standing.AWAY and caseload.root_waits  # as soon as both names are there
    if made_soon or standing not in _ROOTS:
        return []
    title, words, ink = _ROOTS[standing]
    return [Waits(title, words, "See to it under Practice, Seals", _practice, ink)]


def waiting(caseload: Caseload, session: Session) -> tuple[Waits, ...]:
    """Everything that waits, what may do harm first."""
    found = [*_losses(session), *_noted(session)]
    if not isinstance(session.practice.emergency_number, str) or not session.practice.emergency_number.strip():
        found.append(
            Waits("No emergency number", "No paper leaves without one.", "Set it under Practice", _practice, Role.WELD)
        )
    if not is_zone(session.practice.time_zone):
        found.append(
            Waits(
                "Time zone not known",
                "Times are typed and shown in UTC.",
                "Set it under Practice",
                _practice,
                Role.WELD,
            )
        )
    seal = caseload.ending
    ended = seal is not None and session.clock() > seal.not_after
    if seal is not None and ended:
        found.append(_ending(seal, session))
    found += _root(caseload)
    found += _arrived(session)
    for case in caseload.first:
        found += _of_family(case)
    if not caseload.sheet_proved:
        found.append(
            Waits(
                "Recovery sheet not checked",
                "It was never typed back, so nobody knows whether it opens the record.",
                "Make a new one under Practice",
                _practice,
            )
        )
    if seal is not None and not ended:
        found.append(_ending(seal, session))
    if caseload.root_waits:
        found.append(
            Waits(
                "Root key still on this device",
                "It belongs on a stick in a drawer, under its own passphrase.",
                "Take it out under Practice",
                _practice,
            )
        )
    return tuple(found)
