"""The letter that closes care: why it ends, how each baby is, whether the goal was met, and who owns what is open.

For the family, about everyone whose care ends; or for one person's own provider, about that person alone and under a
release that holds today.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from forms.answers import Moment
from forms.ask import Paper, ask_of
from forms.chart import Chart, Entry
from forms.clinical.evidence import zone_of
from forms.closing import Closing, Loop
from forms.consent import Release
from forms.contact import Contact, UrgentContact
from forms.form import Form, shown_asks
from forms.loops import OpenLoop, loop_rows, open_loops, owned, standing_closing, state_rows
from forms.papers.about_one import cautions
from forms.papers.calls import numbers
from forms.papers.co_signed import closing_draft, closing_line
from forms.papers.letter_parts import answered_items
from forms.papers.outline import (
    SCOPE,
    Block,
    Foot,
    Heading,
    Item,
    Items,
    Lines,
    Mark,
    Outline,
    Paragraph,
    Table,
    Title,
    Words,
    plain,
    strong,
)  # fmt: skip
from forms.papers.provider_report import reader_of, release_under
from forms.papers.report_parts import sentence, told_openly
from forms.papers.said import Said, day_words, moment_words, one_of
from forms.papers.writer import SEAL_NOTE, page_size, printed_name, writer_lines
from forms.people import InfantIdentity, ParentIdentity
from forms.plan import Plan, PlanTask
from forms.practice import Provider
from forms.referral import Referral
from forms.trouble import Trouble

__all__ = ["NotClosing", "closing_letter", "closing_of"]

SIZE: Final = 11
LEAST: Final = 10
_NAMED_BY: Final[dict[type[Form], tuple[str, ...]]] = {
    Referral: ("to", "state"), PlanTask: ("what", "concerns"), Plan: ("followup_kind",),
    UrgentContact: ("outcome",), Contact: ("next_step", "concerns"),
}  # fmt: skip
"""What an open thing is named by (`forms.loops`): each has to be allowed on this letter and settled."""
_IN_THE_HEAD: Final = ("reason", "reason_words", "goal_words", "goal_reached", "covers", "closed_at", "closed_by")


class NotClosing(Trouble):
    """A closing letter was asked for while care goes on."""

    template = "Care of this family is not being closed. Begin closing on the family’s page, then make the letter."


def closing_of(chart: Chart) -> Entry[Closing]:
    """The closing a letter is about: the one begun and not finished, else the newest. Raises NotClosing."""
    held = standing_closing(chart) or max(chart.all(Closing), key=lambda entry: entry.entered, default=None)
    if held is None:
        raise NotClosing
    return held


def _people(said: Said, closing: Closing, person: str) -> tuple[str, ...]:
    covered = said.value(closing, "covers") or ()
    return tuple(one for one in covered if person in ("", one))


def _name(said: Said, person: str) -> str:
    found = said.chart.by_id(person)
    if found is None or not isinstance(found.answers, InfantIdentity | ParentIdentity):
        return ""
    return said.full_name(found.answers)


def _why(said: Said, closing: Closing) -> Iterator[Block]:
    reason = said.or_not_known(closing, "reason")
    more = said.words(closing, "reason_words")
    yield Heading("Why care ends")
    yield Paragraph(plain(f"{reason}." + (f" {more}" if more else "")))
    yield Heading("The goal")
    reached = said.words(closing, "goal_reached")
    scale = ask_of(Closing, "goal_reached")
    ends = f" (0 is {scale.ends[0]}, {scale.high} is {scale.ends[1]} reached)" if reached else ""
    yield Lines((
        plain(said.or_not_known(closing, "goal_words")),
        plain(f"How far it was reached: {reached or 'not known'}{ends}."),
    ))  # fmt: skip


def _states(said: Said, closing: str, people: Iterable[str]) -> Iterator[Block]:
    """How each baby was fed and grew when care ended, as told or measured."""
    for person in people:
        if not _is_baby(said, person):
            continue
        yield Heading(f"{_name(said, person)} at the end of care")
        rows = state_rows(said.chart, closing, person)
        items = tuple(item for row in rows for item in answered_items(said, row.answers))
        yield Items(items) if items else Paragraph(plain("Not written yet."))


def _is_baby(said: Said, person: str) -> bool:
    found = said.chart.by_id(person)
    return found is not None and isinstance(found.answers, InfantIdentity)


def _concerns(said: Said, loop: OpenLoop, person: str) -> bool:
    """Whether an open thing is about this person, or about everyone; any is, in the family's own letter."""
    entry = said.chart.by_id(loop.entry)
    if entry is None or not person:
        return True
    if entry.place.subjects:
        return person in entry.place.subjects
    if isinstance(entry.answers, PlanTask | Contact):
        named = said.value(entry.answers, "concerns") or ()
        return not named or person in named
    return True


def _settled(said: Said, loop: OpenLoop) -> None:
    """Raises Unresolved while two answers stand for what an open thing is named by."""
    entry = said.chart.by_id(loop.entry)
    for field in _NAMED_BY.get(type(entry.answers), ()) if entry is not None else ():
        said.value(entry.answers, field)  # type: ignore[union-attr]


def _open(said: Said, closing: str, person: str) -> Iterator[Block]:
    """Each thing still open, who owns it from now on, and whether they know."""
    yield Heading("Still open, and who sees to it")
    rows: list[tuple[Words, ...]] = []
    unsaid = False
    for loop in open_loops(said.chart):
        if not _concerns(said, loop, person):
            continue
        entry = said.chart.by_id(loop.entry)
        if entry is not None and isinstance(entry.answers, UrgentContact) and not told_openly(entry.answers):
            unsaid = True
            continue
        _settled(said, loop)
        owners: list[Loop | None] = [row.answers for row in loop_rows(said.chart, closing, loop.entry)] or [None]
        rows += [(plain(sentence(loop.words)), *_owner(said, row)) for row in owners]
    if rows:
        yield Table("Still open", ("what is open", "who owns it now", "taken on"), tuple(rows))
    elif not unsaid:
        yield Paragraph(plain("Nothing is open."))
    else:
        yield Paragraph(plain("Ask who wrote this letter what is still open."))


def _owner(said: Said, row: Loop | None) -> tuple[Words, Words]:
    if row is None or said.value(row, "owner") is None:
        return strong("Nobody yet"), plain("no")
    name = said.words(row, "owner_name")
    who = said.words(row, "owner") + (f": {name}" if name else "")
    if row.owner == "settled":
        return plain(who), plain(said.words(row, "settled_how"))
    told = {True: "yes", False: "no"}.get(said.value(row, "told"), "yes" if owned(row) else "not known")
    return plain(who), plain(told)


def _more(said: Said, closing: Closing) -> Iterator[Block]:
    """Everything else of the closing that may be printed: tries, what was given, where it was handed on."""
    items = []
    for path, ask, given in shown_asks(closing):
        if given is None or path.field in _IN_THE_HEAD or not said.may(Closing, path.field):
            continue
        words = _releases(said, closing) if path.field == "release" else said.or_not_known(closing, path.field)
        items.append(Item(said.label(ask), plain(words)))
    if items:
        yield Items(tuple(items))


def _releases(said: Said, closing: Closing) -> str:
    found = (said.chart.by_id(one) for one in said.value(closing, "release") or ())
    held: list[Any] = [entry.answers for entry in found if entry is not None and isinstance(entry.answers, Release)]
    told = (
        f"to {said.named(one.recipient)}" if isinstance(one.recipient, str) and said.named(one.recipient) else "on file"
        for one in held
    )
    return one_of(told) or "none on file"


def closing_letter(chart: Chart, *, writer: str, now: datetime, person: str = "") -> Outline:
    """The letter of the family's closing. `writer` is the practitioner's id, `now` the aware time of printing.

    With `person` it goes to that person's own provider and speaks of nobody else. Raises NotClosing,
    NoEmergencyNumber, NoWriter, Unresolved when two values stand for something it prints, and, for a provider,
    ReportNotReady and NoReportRelease.
    """
    said, held = Said(chart, Paper.CLOSING), closing_of(chart)
    numbers(Said(chart, Paper.FAMILY_PLAN))
    closing, people = held.answers, _people(said, held.answers, person)
    if person:
        release_under(chart, person, now)
        whom = said.words(chart.person(Provider, reader_of(chart, person)), "full_name")
    else:
        whom = one_of(said.called(entry.answers) for entry in chart.all(ParentIdentity)) or "the family"
    names = one_of(_name(said, one) for one in people) or said.words(said.family(), "family_name") or "this family"
    closed = said.value(closing, "closed_at")
    today = now.astimezone(ZoneInfo(zone_of(chart))).date()
    ended = f"care ended {moment_words(closed)}" if isinstance(closed, Moment) else "care is ending"
    body: list[Block] = [
        Title(f"End of care: {names}", plain(f"to {whom}, {day_words(today, weekday=True)}; {ended}")),
        *(() if isinstance(closed, Moment) else (Mark("Written before care was closed."),)),
        *closing_draft(said, held),
        *_why(said, closing), *_states(said, held.id, people), *_open(said, held.id, person), *_more(said, closing),
    ]  # fmt: skip
    caution = (*closing_line(said, held), *cautions(said, writer, "letter", of_visit=False))
    foot = Foot(
        SCOPE[Paper.CLOSING], (Lines(caution),) if caution else (), (*writer_lines(said, writer), plain(SEAL_NOTE))
    )
    return Outline(
        kind=Paper.CLOSING, title=f"End of care: {names}", language="en", blocks=(*body, foot),
        about=people or said.people(), size=SIZE, page=page_size(said), writer=printed_name(said, writer),
        least_size=LEAST, pages_wanted=1,
    )  # fmt: skip
