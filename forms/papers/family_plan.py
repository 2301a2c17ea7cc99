"""The family's care plan: goal, what went well, three things to do, amounts, when to call, what comes next, who wrote.

Order, length and type follow the rules for a paper that families use (reading level and three points S:AFP, type size
S:PRINT, saying it back S:AHRQ; order and whole numbers P). It uses the family's own words and names and holds nothing
that was told in private.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime
from typing import Final

from forms.answers import Absence, Absent, Moment, Quantity
from forms.ask import Paper
from forms.chart import Chart, Entry
from forms.days import clock
from forms.form import Form
from forms.impression import Impression
from forms.papers.amounts import milk, unit_first
from forms.papers.calls import alarms, call_box, numbers
from forms.papers.co_signed import for_family, for_family_draft
from forms.papers.outline import (
    Arrow,
    Beads,
    Block,
    Clocks,
    Cups,
    Foot,
    Heading,
    Items,
    Lines,
    Mark,
    Moons,
    Outline,
    Paragraph,
    Picture,
    Table,
    Task,
    TeachBack,
    Title,
    Words,
    join,
    plain,
    strong,
)  # fmt: skip
from forms.papers.said import Said
from forms.papers.scope import scope_line
from forms.papers.tongue import Tongue
from forms.papers.wording import its_words, parent_words
from forms.papers.writer import page_size, printed_name, writer_lines
from forms.people import InfantIdentity, ParentIdentity
from forms.phrases.english import ENGLISH
from forms.phrases.languages import catalogue_of
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.practice import Practice, Practitioner, Provider
from forms.trouble import Trouble
from forms.units import alone
from forms.visit import Visit
from forms.weight import WeightReading, is_around_feed
from forms.words import FamilyWords, Wording, shared_words

__all__ = ["LARGE", "STANDARD", "UNFINISHED", "NoVisit", "TooManyTasks", "family_plan"]

STANDARD: Final = 14
"""Body type in points (S:PRINT: 12 the least, 14 advised)."""
LARGE: Final = 18
LARGE_LEAST: Final = 16
"""The large-print edition, and how far it may shrink to stay on two pages (S:PRINT: 16 to 18)."""
PAGES: Final = 2
URGENT_PAGES: Final = 3
LARGE_PAGES: Final = 4
"""A family gets two pages; one that is told to call now, or that needs large print, may take more (house rule)."""
_MOST_TASKS: Final = 3
UNFINISHED: Final = ENGLISH.sentences["plan.unfinished"].text

_LEFT_OPEN: Final = {
    Absence.NONE: "plan.none",
    Absence.NOT_ASKED: "plan.not_talked",
    Absence.NOT_DONE: "plan.not_talked",
    Absence.DECLINED: "plan.left_open",
}


class NoVisit(Trouble):
    """A plan was asked of a chart that looks at no visit."""

    template = "A plan belongs to a visit. Open the visit it was made at, then print it."


class TooManyTasks(Trouble):
    """More than three main tasks stand in the plan."""

    template = "A plan holds three main tasks and this one has {count}. Strike out the ones that can wait."


def _open_entries(said: Said) -> None:
    """Everything of this visit whose added answers may stand on the plan."""
    chart, visit = said.chart, said.chart.visit
    for form in (Plan, PlanTask, FeedingAmount, Impression):
        for entry in chart.all(form, visit=visit):
            said.opened(entry.answers, said.tongue.row(said.named(person) for person in entry.place.subjects))
    for baby in chart.all(InfantIdentity):
        said.opened(baby.answers, said.called(baby.answers))
    for parent in chart.all(ParentIdentity):
        said.opened(parent.answers, said.called(parent.answers))
    said.opened(chart.person(Visit, visit or ""))
    said.shapes(Visit, "kind", "start", "practitioner")
    said.shapes(InfantIdentity, "tag_shape", "born", "born_day", "legal_name")
    said.wording = its_words(said)
    said.shapes(Plan, "watch_baby", "watch_baby_words", "watch_parent", "watch_parent_words")
    said.shapes(Practice, "practice_name")
    said.shapes(Practitioner, "full_name")
    said.shapes(Provider, "full_name", "practice", "phone")


def _answer(said: Said, answers: Form, field: str) -> str:
    """The answer's words, or in plain words that there is none yet or why."""
    given = said.given(answers, field)
    if isinstance(given, Absent):
        return said.tongue.say(_LEFT_OPEN[given.kind])
    return said.words(answers, field).strip() or said.tongue.say("plan.not_yet")


def _title(said: Said, now: datetime) -> Iterator[Block]:
    tongue = said.tongue
    babies = tongue.row(said.called(baby.answers) for baby in said.chart.all(InfantIdentity))
    parents = tongue.row(_with_title(parent_words(said, parent.id)) for parent in said.chart.all(ParentIdentity))
    start = said.value(said.chart.person(Visit, said.chart.visit or ""), "start")
    when = tongue.day((start.local() if isinstance(start, Moment) else now).date(), weekday=True)
    under = tongue.say("plan.for", parents=parents, when=when) if parents else when
    title = tongue.say("plan.of", babies=babies) if babies else tongue.say("plan")
    yield Title(title, plain(under), Moons(left=True, right=False))


def _with_title(words: FamilyWords) -> str:
    """A parent by name, and what the baby will call them: "Mara (Mama)"."""
    return f"{words.name} ({words.title})" if words.title and words.title != words.name else words.name


def _quoted(words: str) -> str:
    bare = words.strip().strip('"“”')
    return f"“{bare}”"


def _goal(said: Said, plan: Plan) -> Iterator[Block]:
    goal = _answer(said, plan, "goal")
    words = its_words(said)
    tongue = said.tongue
    goal_for = tongue.say("plan.goal_for", feeding=words.feeding)
    yield Heading(goal_for if "feeding" in words.own else tongue.say("plan.goal"))
    yield Paragraph(plain(_quoted(goal) if said.value(plan, "goal") else goal))


def _sentence(words: str) -> str:
    return words if words[-1] in '.!?…”"' else f"{words}."


def _went_well(said: Said, plan: Plan) -> Iterator[Block]:
    yield Heading(said.tongue.say("plan.well"))
    well = _answer(said, plan, "went_well")
    strengths = (said.words(e.answers, "strengths").strip() for e in said.chart.all(Impression, visit=said.chart.visit))
    # One strength is often written of a parent, of a baby and of both; what was said already is not told again.
    told = _sentence(well)
    for words in strengths:
        parts = re.split(r"(?<=[.!?])\s+", _sentence(words)) if words else []
        told = " ".join((told, *(one for one in parts if one not in told)))
    yield Paragraph(plain(told))
    kept = said.words(plan, "tried_and_kept").strip()
    if kept:
        yield Paragraph(said.tongue.words("plan.kept", words=kept))
    weights = tuple(_weight(said, baby) for baby in said.chart.all(InfantIdentity))
    if any(weights):
        yield Lines(tuple(line for line in weights if line))


def _weight(said: Said, baby: Entry[InfantIdentity]) -> Words:
    """The last weight seen on the scale at this visit; none that was taken around a feed or in clothes."""
    start = said.chart.person(Visit, said.chart.visit or "").start
    if not isinstance(start, Moment):
        return ()
    seen = []
    for entry in said.chart.all(WeightReading, baby.id):
        reading = entry.answers
        taken, amount = said.value(reading, "taken"), said.value(reading, "weight")
        if not isinstance(taken, Moment) or not isinstance(amount, Quantity):
            continue
        bare = not is_around_feed(reading) and reading.state != "clothes"
        here = taken.local().date() == start.local().date() and said.value(reading, "source") == "seen"
        if bare and here:
            seen.append((taken.at, amount, taken))
    if not seen:
        return ()
    _, amount, taken = max(seen, key=lambda one: one[0])
    pounds, grams = alone(amount.base, "lb_oz"), alone(amount.base, "g")
    us = unit_first(said.family(), said.chart.one(Practice), "mL") == "fl_oz"
    main, other = (pounds, grams) if us else (grams, pounds)
    name, time = said.called(baby.answers), clock(taken.local())
    return said.tongue.words("plan.weighed", name=name, main=main, other=other, time=time)


def _tasks(said: Said) -> Iterator[Block]:
    entries = said.chart.all(PlanTask, visit=said.chart.visit)
    if len(entries) > _MOST_TASKS:
        raise TooManyTasks(count=len(entries))
    ordered = sorted(entries, key=lambda entry: (said.value(entry.answers, "order") or 99, entry.entered))
    yield Heading(said.tongue.say(f"plan.tasks.{len(ordered)}"))
    if not ordered:
        yield Paragraph(said.tongue.words("plan.not_yet"))
    for number, entry in enumerate(ordered, 1):
        yield _task(said, number, entry.answers)


def _task(said: Said, number: int, task: PlanTask) -> Task:
    """What to do, its first sentence strong; then how often, until when and who, each after its own name."""
    what = its_words(said).fill(_answer(said, task, "what"))
    first, rest = re.match(r"(.+?(?:[.!?](?=\s)|$))(.*)", what, re.DOTALL).groups()  # type: ignore[union-attr]
    facts: list[str] = []
    for key, field in (("plan.often", "how_often"), ("plan.until", "until"), ("plan.who", "who")):
        words = said.words(task, field).strip().rstrip(".")
        if words:
            facts.append(said.tongue.say(key, words=words))
    whom = said.tongue.row(said.named(person) for person in said.value(task, "concerns") or ())
    if whom and whom not in what and len(said.chart.all(InfantIdentity)) > 1:
        facts.insert(0, said.tongue.say("plan.whom", names=whom))
    whole = join(strong(first), rest, *(["\n" + " ".join(facts)] if facts else []))
    return Task(number, whole, _picture(said, task))


_TIMES: Final = re.compile(r"(?<![\d.,–-])(\d{1,2})(?: times| feeds|$)(?! *[–-])")
_COUNT_TO: Final = re.compile(r"\bcount(?:ed)? to (\d{1,3})\b")
_AN_AMOUNT: Final = re.compile(r"\d ?(?:mL|ml|oz)\b")
_A_FEED: Final = re.compile(r"\b(?:feed|nurse|breastfeed|chestfeed)\b", re.IGNORECASE)


def _names_a_feed(what: str, words: Wording) -> bool:
    """Whether a task is about feeding, in the trade's words or the family's own."""
    own = "feeding" in words.own and words.feeding.casefold() in what.casefold()
    return own or _A_FEED.search(what) is not None


def _picture(said: Said, task: PlanTask) -> Picture | None:
    """A picture that repeats a number standing in the words; none where the words give no single number.

    It is read out of the words as she wrote them, so that the plan has the same pictures in every language.
    """
    words = shared_words(said.chart)
    what, often = (str(said.value(task, field) or "").strip() for field in ("what", "how_often"))
    counted = _COUNT_TO.search(what)
    if counted:
        return Arrow(counted.group(1), said.tongue.say("again"))
    found = _TIMES.findall(often)
    if len(found) != 1 or not 1 <= int(found[0]) <= 12:
        return None
    times = int(found[0])
    if _AN_AMOUNT.search(what):
        return Cups(times)
    return Beads(times) if _names_a_feed(what, words) and times > 1 else Clocks(times) if times <= 6 else None


def _amounts(said: Said) -> Iterator[Block]:
    tongue, rows = said.tongue, list[tuple[Words, ...]]()
    below: dict[str, list[str]] = {}
    for entry in said.chart.all(FeedingAmount, visit=said.chart.visit):
        amount = entry.answers
        if amount.extra_milk is not True:
            continue
        name = tongue.row(said.named(person) for person in entry.place.subjects)
        rows.append(_amount_row(said, name, amount))
        milks = said.value(amount, "milks") or ()
        which = ""
        for code in milks:
            one = tongue.option(FeedingAmount, "milks", code) or str(code)
            which = tongue.say("plan.milk.then", first=which, then=one[0].lower() + one[1:]) if which else one
        until = said.words(amount, "until").strip().rstrip(".")
        parts = (which, said.words(amount, "method"), tongue.say("plan.until", words=until) if until else "")
        line = " ".join(f"{part.rstrip('.')}." for part in parts if part)
        if line:
            below.setdefault(its_words(said).fill(line), []).append(name)
    if rows:
        head, columns = tongue.say("plan.amounts"), ("for", "each", "often", "day", "agreed")
        yield Heading(head)
        yield Table(head, tuple(tongue.say(f"plan.amounts.{column}") for column in columns), tuple(rows))
        if below:
            lines = (tongue.words("plan.milk", names=tongue.row(names), line=line) for line, names in below.items())
            yield Lines(tuple(lines))


def _amount_row(said: Said, name: str, amount: FeedingAmount) -> tuple[Words, ...]:
    each, times = said.value(amount, "per_feed"), said.value(amount, "times_per_day")
    first = unit_first(said.family(), said.chart.one(Practice), each.unit if each else "mL")
    missing = said.tongue.words("plan.amounts.missing")

    def cell(over: int) -> Words:
        main, other = milk(each, first, over)
        return join(strong(main), f" ({other})")

    return (
        strong(name),
        cell(1) if each else missing,
        said.tongue.words("plan.times.1" if times == 1 else "plan.times", times=times) if times else missing,
        cell(times) if each and times else missing,
        plain(_agreed(said, amount)),
    )


def _agreed(said: Said, amount: FeedingAmount) -> str:
    """With whom the amount is agreed, and when; an amount nobody has agreed to says so."""
    state, at = said.value(amount, "agreed"), said.value(amount, "agreed_at")
    tongue = said.tongue
    provider = said.words(amount, "agreed_with") or tongue.say("plan.babys_provider")
    when = tongue.day(at.local().date(), year=False) if isinstance(at, Moment) else ""
    if state == "agreed":
        return tongue.say("plan.agreed", provider=provider, when=when) if when else provider
    key = "plan.sent.on" if when else "plan.sent"
    return tongue.say(key, provider=provider, when=when) if state == "sent" else tongue.say("plan.to_be_agreed")


def _next(said: Said, plan: Plan) -> Iterator[Block]:
    tongue = said.tongue
    kind, at = said.words(plan, "followup_kind"), said.value(plan, "followup_at")
    when = tongue.moment(at, year=False, weekday=True) if isinstance(at, Moment) else ""
    if when and kind:
        line = tongue.words("plan.next.at", when=when, what=kind[0].lower() + kind[1:])
    elif when:
        line = tongue.words("plan.next.unknown", when=when)
    else:
        line = plain(f"{kind}.") if kind else tongue.words("plan.not_yet")
    weighs = said.words(plan, "weight_check_by").strip()
    yield Heading(tongue.say("plan.next"))
    yield Lines((line, *((tongue.words("plan.next.weight", words=weighs),) if weighs else ())))
    yield TeachBack(tongue.say("plan.talked"), (tongue.say("plan.said"), tongue.say("plan.shown")))


def _foot(said: Said, lines: tuple[Words, ...]) -> Foot:
    """The scope line, who wrote it, and, until somebody who speaks the language went through it, that nobody did.

    That is said in both languages: to the family, and to whoever helps them in hers.
    """
    tongue = said.tongue
    own = scope_line(said.chart, Paper.FAMILY_PLAN, tongue.catalogue)
    left: tuple[Block, ...] = (*map(Paragraph, for_family(said)), Paragraph(tongue.words("plan.seal")))
    if not tongue.english and tongue.unreviewed:
        name = tongue.catalogue.english_name
        both = (tongue.words("plan.unreviewed"), Tongue(said.chart).words("plan.unreviewed", language=name))
        left = (*left, Lines(both))
    return Foot(own, left, lines)


def family_plan(chart: Chart, *, writer: str, now: datetime, large: bool = False, language: str = "en") -> Outline:
    """The plan of the chart's visit. `writer` is the practitioner's id, `now` the aware time of printing.

    `language` is a BCP 47 tag. Raises NoVisit, NoEmergencyNumber, TooManyTasks, Unresolved when two values stand for
    something it prints, ScopeTooThin for a scope line that says too little, and, in another language than English,
    NoCatalogue, RightToLeft, and WordsMissing when something the consultant wrote has no wording in it.
    """
    if chart.visit is None:
        raise NoVisit
    tongue = Tongue(chart, catalogue_of(language))
    said = Said(chart, Paper.FAMILY_PLAN, tongue=tongue)
    numbers(said)
    _open_entries(said)
    plan = chart.one(Plan)
    marks = (*(() if chart.signed() else (Mark(tongue.say("plan.unfinished")),)), *for_family_draft(said))
    told_now = alarms(said, now)
    body: list[Block] = [
        *_title(said, now), *marks, *told_now, *_goal(said, plan), *_went_well(said, plan), *_tasks(said),
        *_amounts(said),
    ]  # fmt: skip
    ending: list[Block] = [call_box(said, now), *_next(said, plan)]
    lines = writer_lines(said, writer)
    also = said.rest()
    noted: list[Block] = [Heading(tongue.say("plan.also")), Items(also)] if also else []
    tongue.settle()
    title = next(block.text for block in body if isinstance(block, Title))
    return Outline(
        kind=Paper.FAMILY_PLAN, title=title, language=tongue.catalogue.tag,
        blocks=(*body, *noted, *ending, _foot(said, lines)),
        about=said.people(), size=LARGE if large else STANDARD, page=page_size(said),
        writer=printed_name(said, writer), least_size=LARGE_LEAST if large else None, pages_wanted=PAGES,
        most_pages=LARGE_PAGES if large else URGENT_PAGES if told_now else PAGES,
    )  # fmt: skip
