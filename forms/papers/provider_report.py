"""The report of a visit to one person's own provider: one page in ISBAR order, the urgent line first.

Identification, situation, background, assessment, recommendation: a structure that improves communication, though the
studies are mostly cross-sectional (S:ISBAR25, S:SBAR18). What has no room on the page goes, least needed first, to
optional detail on a second one, and the page names what went there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from forms.answers import Absent
from forms.ask import Paper
from forms.chart import Chart, Entry
from forms.clinical.age import age_in_days
from forms.clinical.evidence import time_of, zone_of
from forms.clinical.growth import CorrectedAge, corrected_age, gestation
from forms.clinical.prompts import prompts
from forms.clinical.rule import Level, Prompt
from forms.consent import Release, release_for
from forms.impression import URGENT, Impression
from forms.papers.about_one import cautions, impressions_of, who_baby, who_parent
from forms.papers.calls import numbers
from forms.papers.co_signed import draft
from forms.papers.outline import (
    SCOPE,
    Alarm,
    Block,
    Foot,
    Heading,
    Lines,
    Mark,
    Outline,
    Paragraph,
    Title,
    Words,
    join,
    plain,
    strong,
)  # fmt: skip
from forms.papers.referral import NoRelease, NotReady
from forms.papers.report_parts import Row, assessment, background, recommendation, sentence, situation
from forms.papers.said import Said, day_words, one_of
from forms.papers.wording import asked_for, words_line
from forms.papers.writer import SEAL_NOTE, page_size, printed_name, writer_lines
from forms.people import CareTeam, InfantIdentity, ParentIdentity
from forms.plan import Plan
from forms.practice import Provider
from forms.report import ProviderReport
from forms.trouble import Bug, Trouble
from forms.visit import Visit

__all__ = ["NoReportRelease", "ReportNotReady", "ReportTooLong", "provider_report", "reader_of", "release_under"]

SIZE: Final = 10
"""Body type in points: the least that stays legible on a print and a fine fax (house rule)."""
_NEEDED: Final = {
    "must_know": "the one thing the reader must know", "asked": "what is asked of the reader", "asked_by": "by when",
    "would_change": "what would change the plan",
}  # fmt: skip
_PARTS: Final = ("S – Situation", "B – Background", "A – Assessment", "R – Recommendation")
_ALSO: Final = "Also noted"
_NOTED: Final = 9
"""How soon what was placed nowhere else leaves the first page: before anything."""
DETAIL: Final = "Optional detail"
_LINE: Final = 106
"""Characters that fit one line of the page for certain; shorter rows that follow each other share one."""

Fits = Callable[[Outline], bool]


class ReportNotReady(NotReady):
    """A report lacks what every report needs."""

    template = "The report still needs: {missing}. Fill these in on the report, then print it."


class NoReportRelease(NoRelease):
    """Nobody has allowed this person's report to go to this provider, or the leave does not hold today."""

    template = (
        "There is no release to {recipient} for visit reports that holds today. Record one under Consent, then print "
        "again."
    )


class ReportTooLong(Trouble):
    """What has to stand on the first page does not fit there."""

    template = (
        "The report about {name} does not fit on one page even without its optional detail. Shorten what must be "
        "known, what is asked, the tasks or the impression, then print it."
    )


def reader_of(chart: Chart, person: str) -> str:
    """The id of the provider a report about a person goes to: the one chosen, else the person's own; "" for none."""
    chosen = chart.one(ProviderReport, person).to
    if isinstance(chosen, str):
        return chosen
    team = chart.one(CareTeam, person)
    held = chart.by_id(person)
    parent = held is not None and isinstance(held.answers, ParentIdentity)
    order = (team.birth_provider, team.primary_provider) if parent else (team.primary_provider,)
    return next((one for one in order if isinstance(one, str)), "")


def release_under(chart: Chart, person: str, now: datetime) -> Entry[Release]:
    """The release under which a report, or a closing letter, goes to that person's own provider today.

    Raises ReportNotReady when no provider is known, and NoReportRelease when no release holds.
    """
    said = Said(chart, Paper.REPORT)
    said.value(chart.one(ProviderReport, person), "to")  # two recipients hold it back, and neither is guessed
    reader = reader_of(chart, person)
    provider = chart.by_id(reader)
    if provider is None or not isinstance(provider.answers, Provider):
        raise ReportNotReady(missing="to whom it goes")
    today = now.astimezone(ZoneInfo(zone_of(chart))).date()
    held = release_for(chart, person, reader, ProviderReport.name, today)
    if held is None:
        raise NoReportRelease(recipient=said.words(provider.answers, "full_name") or "this provider")
    return held


def _ready(said: Said, report: ProviderReport) -> None:
    """Raises ReportNotReady for what is not written; nothing to ask needs no day."""
    nothing = isinstance(report.asked, Absent)
    missing = [
        words
        for field, words in _NEEDED.items()
        if not (field == "asked_by" and nothing)
        and not isinstance(given := said.given(report, field), Absent)
        and (given is None or (isinstance(given, str) and not given.strip()))
    ]
    if missing:
        raise ReportNotReady(missing=one_of(missing))


def _identity(chart: Chart, person: str) -> InfantIdentity | ParentIdentity:
    found = chart.by_id(person)
    if found is None or not isinstance(found.answers, InfantIdentity | ParentIdentity):
        raise Bug("a report is about a parent or a baby")
    return found.answers


def _urgent(said: Said, person: str, now: datetime) -> Block:
    """The line that stands first: how urgent, and what was seen that makes it so."""
    seen = [p for p in prompts(said.chart, now) if p.person == person and p.urgent and not p.private]
    risks = [i.answers for i in impressions_of(said, person) if said.value(i.answers, "risk") in URGENT]
    emergency = any(p.level is Level.EMERGENCY for p in seen) or any(one.risk == "emergency" for one in risks)
    if not seen and not risks:
        return Lines((strong("Not urgent."),))
    why = dict.fromkeys(filter(None, (said.words(one, "risk_why") for one in risks)))
    lines = (*_rungs(seen), *(plain(words) for words in why))
    return Alarm("Urgent: emergency, act now" if emergency else "Urgent: the same day", lines)


def _rungs(seen: list[Prompt]) -> Iterator[Words]:
    """What was seen, one line for each rung of the ladder, the highest first."""
    for level in sorted({prompt.level for prompt in seen}, reverse=True):
        told = (f"{p.seen[:1].lower()}{p.seen[1:].rstrip('.')}" for p in seen if p.level is level)
        yield join(strong(f"{level.words}: "), f"{'; '.join(told)}.")


def _who(said: Said, person: str, release: Release, writer: str, now: datetime) -> Iterator[Row]:
    identity, visit = _identity(said.chart, person), said.chart.person(Visit, said.chart.visit or "")
    at = time_of(said.chart, now)
    if isinstance(identity, InfantIdentity):
        who = who_baby(said, identity, at)
        days = age_in_days(identity.born, identity.born_day, at, zone_of(said.chart))
        weeks, over = said.value(identity, "gestation_weeks"), said.value(identity, "gestation_days")
        corrected = corrected_age(gestation(weeks, over), days)
        if isinstance(corrected, CorrectedAge):
            who = f"{who}; {corrected.text}"
    else:
        who = who_parent(said, identity)
    yield Row("About", plain(f"{who}."))
    seen = ", ".join(filter(None, (said.words(visit, "kind").lower(), said.words(visit, "start"))))
    yield Row("Seen", plain(f"{seen[:1].upper()}{seen[1:]}." if seen else "Not known when."))
    given, until = said.words(release, "given_at"), said.words(release, "valid_until")
    yield Row("Release", plain(f"On file{f', given {given}' if given else ''}, until {until}."))
    yield Row("Written by", plain(f"{', '.join(line[0].text for line in writer_lines(said, writer))}."))
    said.shapes(Release, "recipient", "valid_from", "withdrawn_at")


def _open_entries(said: Said, person: str, identity: InfantIdentity | ParentIdentity, report: ProviderReport) -> None:
    for answers in (report, identity, said.chart.one(CareTeam, person), said.chart.one(Plan)):
        said.opened(answers)
    for impression in impressions_of(said, person):
        said.opened(impression.answers, "" if len(impression.place.subjects) == 1 else "Together")
    said.opened(said.chart.person(Visit, said.chart.visit or ""))
    said.shapes(ProviderReport, "to", *_NEEDED)
    said.shapes(InfantIdentity, "tag_shape", "called_name", "legal_name", "name_as_printed", "born", "born_day")
    said.shapes(InfantIdentity, "birth_order")
    said.shapes(ParentIdentity, "called_name")
    said.shapes(CareTeam, "primary_provider", "birth_provider")
    said.shapes(Visit, "start", "kind", "practitioner", "reason")
    said.shapes(Impression, "strengths", "kinds", "words")


def _lines(rows: Iterable[Row]) -> Lines:
    """Each row after its label; short ones that follow each other share a line."""
    lines: list[Words] = []
    wide = _LINE
    for row in rows:
        told = join(strong(f"{row.label}  "), row.words) if row.label else row.words
        long = sum(len(span.text) for span in told)
        if wide + long <= _LINE:
            lines[-1] = join(lines[-1], "   ", told)
            wide += long + 3
        else:
            lines.append(told)
            wide = long
    return Lines(tuple(lines))


def _other_notes(gone: Iterable[Row]) -> Iterator[str]:
    if any(row.cut == _NOTED for row in gone):
        yield "what was also noted"


def _laid(head: tuple[Block, ...], parts: dict[str, list[Row]], cut: list[tuple[str, Row]], foot: Foot) -> list[Block]:
    """The page without the rows that were cut, and then, on a page of its own, those that were."""
    gone = [row for _, row in cut]
    blocks: list[Block] = list(head)
    for part, rows in parts.items():
        kept = [row for row in rows if row not in gone]
        if kept:
            blocks += [Heading(part), _lines(kept)]
    if cut:
        named = one_of((*dict.fromkeys(row.label for row in gone if row.cut < _NOTED), *_other_notes(gone)))
        blocks.append(Paragraph(plain(f"{DETAIL} on the next page: {named}."), small=True))
        blocks.append(Heading(DETAIL, page=True))
        order = [row for rows in parts.values() for row in rows]
        blocks.append(_lines(row for _, row in sorted(cut, key=lambda one: order.index(one[1]))))
    return [*blocks, foot]


def provider_report(chart: Chart, person: str, *, writer: str, now: datetime, fits: Fits) -> Outline:
    """The report about one person. `writer` is the practitioner's id, `now` the aware time of printing.

    `fits` says whether an outline takes one page. Raises NoEmergencyNumber, ReportNotReady, NoReportRelease,
    ReportTooLong, and Unresolved when two values stand for something it prints; Bug for nobody of this family.
    """
    said, identity = Said(chart, Paper.REPORT), _identity(chart, person)
    numbers(Said(chart, Paper.FAMILY_PLAN))
    report, release = chart.one(ProviderReport, person), release_under(chart, person, now).answers
    _ready(said, report)
    said.wording = asked_for(said, person)
    asked = words_line(said.wording) if said.wording is not None else ()
    name, urgent = said.full_name(identity), _urgent(said, person, now)
    parts = dict(
        zip(
            _PARTS,
            (
                situation(said, person, identity, report), background(said, person, identity),
                assessment(said, person, identity), recommendation(said, person, report),
            ),
            strict=True,
        )
    )  # fmt: skip
    head = _head(said, person, release, urgent, name, writer, now)
    head += (Lines((asked,)),) if asked else ()
    _open_entries(said, person, identity, report)
    parts[_ALSO] = []
    for item in said.rest():
        parts[_ALSO].append(Row(item.label, plain(sentence("".join(span.text for span in item.words))), _NOTED))
    caution = cautions(said, writer, "report", person=person)
    left: tuple[Block, ...] = (Lines(caution),) if caution else ()
    foot = Foot(SCOPE[Paper.REPORT], left, (*writer_lines(said, writer), plain(SEAL_NOTE)))
    title, printed = f"Report: {name}", printed_name(said, writer)

    def made(cut: list[tuple[str, Row]], pages: int) -> Outline:
        return Outline(
            kind=Paper.REPORT, title=title, language="en", blocks=tuple(_laid(head, parts, cut, foot)),
            about=(person,), size=SIZE, page=page_size(said), writer=printed, pages_wanted=pages,
        )  # fmt: skip

    return _cut_to_fit(parts, made, fits, name)


def _head(
    said: Said, person: str, release: Release, urgent: Block, name: str, writer: str, now: datetime
) -> tuple[Block, ...]:
    provider = said.chart.person(Provider, reader_of(said.chart, person))
    whom = ", ".join(filter(None, (said.words(provider, f) for f in ("full_name", "profession", "practice"))))
    today: date = now.astimezone(ZoneInfo(zone_of(said.chart))).date()
    first = "Urgent report" if isinstance(urgent, Alarm) else "Report"
    early = () if said.chart.signed() else (Mark("Written before the note was signed."),)
    mark = (*early, *draft(said, person))
    return (
        Title(f"{first}: {name}", plain(f"to {whom}, {day_words(today, weekday=True)}")), urgent, *mark,
        Heading("I – Identification"), _lines(_who(said, person, release, writer, now)),
    )  # fmt: skip


def _cut_to_fit(
    parts: dict[str, list[Row]], made: Callable[[list[tuple[str, Row]], int], Outline], fits: Fits, name: str
) -> Outline:
    """The report on one page, or with as little as needed moved to a second. Raises ReportTooLong."""
    whole = made([], 1)
    if fits(whole):
        return whole
    may_go = sorted(
        ((part, row) for part, rows in parts.items() for row in rows if row.cut), key=lambda one: -one[1].cut
    )
    for many in range(1, len(may_go) + 1):
        going = may_go[:many]
        outline = made(going, 2)
        if fits(outline):
            return outline
    raise ReportTooLong(name=name)
