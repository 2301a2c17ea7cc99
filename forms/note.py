"""The complete-note rule: what still stands between an open visit and its signature.

A must-field counts as answered when it holds one value or one deliberate absence; a field with two values, an untouched
field and an empty one do not. What is listed here is what the finish list shows, each line a place to go to.
Urgent signs are the rule of `forms.clinical.prompts`; here stands only the urgent level the consultant chose herself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, date, datetime
from types import MappingProxyType
from typing import Any

from forms.answers import Absence, Absent, Conflicted, Given, Side, every
from forms.ask import Ask, Need, Path, ask_of
from forms.blank import Blank, Level, Step, Why
from forms.body_mark import BodyMark
from forms.breast import BreastAssessment, BreastFinding
from forms.carried import not_gone_through
from forms.chart import Chart, Entry, Place, entry_id
from forms.consent import PURPOSES, TOLD_ONCE, CareConsent, Consent, Release, TouchConsent
from forms.contact import UrgentContact
from forms.expressing import ExpressingDay, Expression
from forms.family_language import FamilyLanguage
from forms.feed import FeedObservation, trouble_seen
from forms.feed_event import ExpressionEvent, FeedEvent
from forms.feeding_log import FeedingLog, LogLine
from forms.form import About, Form, shown_asks, value_at
from forms.impossible import impossible
from forms.impression import URGENT, Impression
from forms.infant import InfantAssessment
from forms.infant_history import DUE_AT_AGE, InfantHistory
from forms.look_due import look_level, lumps_without_a_place
from forms.milk_due import expressing_level, log_level
from forms.oral import OralAssessment
from forms.parent_history import DUE_SINCE_BIRTH, ParentHistory
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.photo import Photo
from forms.phrase import blank_spans
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.prompted import PromptClosed
from forms.receipt import Receipt, ReceiptCode, ReceiptLine, ReceiptPayment
from forms.referral import PaperIssued, Referral
from forms.report import ProviderReport
from forms.scores import Score
from forms.taking_part import (
    age_in_days,
    babies,
    consents_missing,
    earlier_visits,
    is_remote,
    noted_parents,
    pairs_seen,
    visit_day,
)
from forms.visit import Addendum, Jot, Present, Visit
from forms.weight import WeightReading, is_around_feed

__all__ = ["AFTERWARDS", "Blank", "Level", "Step", "Why", "answered", "blanks", "ready_to_sign", "step_of"]


STEPS: Mapping[type[Form], Step] = MappingProxyType({
    Visit: Step.ARRIVE, Present: Step.ARRIVE, Family: Step.ARRIVE, ParentIdentity: Step.ARRIVE,
    InfantIdentity: Step.ARRIVE, CareTeam: Step.ARRIVE, CareConsent: Step.ARRIVE, TouchConsent: Step.ARRIVE,
    Consent: Step.ARRIVE, ParentHistory: Step.STORY, InfantHistory: Step.STORY, ExpressingDay: Step.STORY,
    Expression: Step.STORY, FeedingLog: Step.STORY, LogLine: Step.STORY, WeightReading: Step.WEIGH,
    FeedObservation: Step.FEED, FeedEvent: Step.FEED, ExpressionEvent: Step.STORY,
    InfantAssessment: Step.LOOK, OralAssessment: Step.LOOK, Score: Step.LOOK,
    BreastAssessment: Step.LOOK, BreastFinding: Step.LOOK, BodyMark: Step.LOOK, Photo: Step.LOOK,
    Impression: Step.PLAN, Plan: Step.PLAN,
    PlanTask: Step.PLAN, FeedingAmount: Step.PLAN, UrgentContact: Step.PLAN, PromptClosed: Step.PLAN,
    Referral: Step.LEAVE, ProviderReport: Step.LEAVE, Jot: Step.LEAVE, FamilyLanguage: Step.LEAVE,
    Release: Step.LEAVE, Addendum: Step.LEAVE, PaperIssued: Step.LEAVE, Receipt: Step.LEAVE,
    ReceiptCode: Step.LEAVE, ReceiptLine: Step.LEAVE, ReceiptPayment: Step.LEAVE,
})  # fmt: skip
AT_THE_DOOR = frozenset({
    ("visit", "end"), ("plan", "teach_back"), ("plan", "teach_back_with"), ("plan", "language"), ("plan", "left_how"),
    ("plan", "left_with"), ("plan", "followup_kind"), ("plan", "followup_at"),
})  # fmt: skip
# A letter or a report may be finished after the note; it cannot leave unfinished, which is checked where it leaves. A
# prompt below SAME DAY keeps nothing back, and neither does its closing half written.
AFTERWARDS: tuple[type[Form], ...] = (
    Referral, ProviderReport, Release, Addendum, PaperIssued, PromptClosed, Receipt, ReceiptCode, ReceiptLine,
    ReceiptPayment,
)  # fmt: skip

# Asked anew at a later visit although the history is unchanged, since urgent signs are read from them: a house rule.
TODAY: Mapping[type[Form], frozenset[str]] = MappingProxyType({
    InfantHistory: frozenset({
        "feeds_24h", "longest_gap", "fed_now", "wets_24h", "last_wet", "urine_colour", "stools_24h", "last_stool",
        "stool_colour", "wakes_to_feed", "sleepy_feeds", "feeding_vigour", "vomit", "feed_signs",
    }),
    ParentHistory: frozenset({"pain_now", "unwell", "mood_asked", "mood_signs", "warning_signs"}),
})  # fmt: skip
DUE: Mapping[type[Form], Mapping[str, tuple[int, int | None]]] = MappingProxyType(
    {InfantHistory: DUE_AT_AGE, ParentHistory: DUE_SINCE_BIRTH}
)

_NEVER = datetime.min.replace(tzinfo=UTC)


def answered(given: Given[Any]) -> bool:
    """Whether a field holds one real value or one deliberate absence; "not done" without its reason is neither."""
    if given is None or isinstance(given, Conflicted):
        return False
    if isinstance(given, Absent):
        return given.kind is not Absence.NOT_DONE or bool(given.why.strip())
    if isinstance(given, str):
        return bool(given.strip())
    return bool(given) if isinstance(given, tuple) else True


def blanks(chart: Chart) -> tuple[Blank, ...]:
    """Everything still open at the chart's visit, in the order of the thread; nothing without a visit."""
    if chart.visit is None:
        return ()
    found = (
        *(blank for form, subjects, level in _forms_due(chart) for blank in _of_the_one(chart, form, subjects, level)),
        *_of_begun(chart),
        *_missing(chart),
        *_of_pairs_and_jots(chart),
        *(_line(entry, path, label, Level.MUST, Why.WRONG) for entry, path, label in impossible(chart)),
    )
    order = list(Step)
    return tuple(sorted(found, key=lambda blank: order.index(blank.step)))


def ready_to_sign(chart: Chart) -> bool:
    """Whether no must-line is left. Urgent signs are checked beside it, by `forms.clinical.prompts`."""
    return chart.visit is not None and not any(blank.level is Level.MUST for blank in blanks(chart))


def _forms_due(chart: Chart) -> Iterator[tuple[type[Form], tuple[str, ...], Level]]:
    """The forms that stand once, which this visit needs whether or not they were begun."""
    parents, infants, remote = noted_parents(chart), babies(chart), is_remote(chart)
    yield Plan, (), Level.MUST
    for person in (*parents, *infants):
        yield CareTeam, (person,), Level.MUST
        if not _care_stands(chart, person):
            yield CareConsent, (person,), Level.MUST
        if not remote:
            yield TouchConsent, (person,), Level.MUST
        yield Impression, (person,), Level.MUST
    for parent in parents:
        yield ParentHistory, (parent,), Level.MUST
        yield BreastAssessment, (parent,), look_level(chart, parent)
        if (level := expressing_level(chart, parent)) is not None:
            yield ExpressingDay, (parent,), level
    for baby in infants:
        yield InfantHistory, (baby,), Level.MUST
        yield InfantAssessment, (baby,), Level.MUST
        yield FeedingAmount, (baby,), Level.MUST if _gets_more_milk(chart, baby) else Level.SHOULD
        if (level := log_level(chart, baby)) is not None:
            yield FeedingLog, (baby,), level
    for pair in pairs_seen(chart):
        yield Impression, pair, Level.MUST


def _care_stands(chart: Chart, person: str) -> bool:
    """Whether consent to care from another visit certainly still holds, so that it need not be asked again."""
    today = visit_day(chart)
    return any(
        entry.place.visit != chart.visit
        and entry.answers.agreed in ("yes", "limited")
        and (entry.answers.withdrawn_at is None or isinstance(entry.answers.withdrawn_at, Absent))
        and (
            entry.answers.valid_until is None
            or isinstance(entry.answers.valid_until, Absent)
            or (
                today is not None and isinstance(entry.answers.valid_until, date) and today <= entry.answers.valid_until
            )
        )
        for entry in chart.all(CareConsent, person)
    )


def _gets_more_milk(chart: Chart, baby: str) -> bool:
    feeds = (entry for entry in chart.all(FeedObservation, visit=chart.visit) if entry.place.subjects[-1:] == (baby,))
    return any(True in every(entry.answers.supplement) for entry in feeds)


def _of_the_one(chart: Chart, form: type[Form], subjects: tuple[str, ...], level: Level) -> Iterator[Blank]:
    """The blanks of a form that stands once; one not begun is listed question by question, ready to be answered."""
    bound = form.about in (About.VISIT, About.PERSON_AT_VISIT, About.PAIR_AT_VISIT)
    visit = chart.visit if bound else None
    found = chart.by_id(entry_id(form, visit, subjects))
    if found is not None and found.struck is None:
        yield from _open_questions(chart, found, Level.MUST)
    else:
        place = Place(form.name, chart.family, visit, subjects)
        yield from _open_questions(chart, Entry(entry_id(form, visit, subjects), place, form(), "", _NEVER), level)


def _of_begun(chart: Chart) -> Iterator[Blank]:
    """The blanks of the people's own entries and of every entry begun at this visit that is not due by itself."""
    due = {(form.name, subjects) for form, subjects, _ in _forms_due(chart)}
    noted = {*noted_parents(chart), *babies(chart)}
    for entry in chart.entries:
        form, place = type(entry.answers), entry.place
        if entry.struck is not None or (not form.repeats and (place.form, place.subjects) in due):
            continue
        if form in (Family, ParentIdentity, InfantIdentity):
            must = form is not ParentIdentity or entry.id in noted
            yield from _open_questions(chart, entry, Level.MUST if must else Level.SHOULD)
        elif chart.visit in (entry.id, place.visit):
            yield from _open_questions(chart, entry, Level.SHOULD if form in AFTERWARDS else Level.MUST)
        elif place.visit is None and form in (WeightReading, Release):
            yield from _open_questions(chart, entry, Level.SHOULD)
        elif form is Consent:
            yield from _open_questions(chart, entry, Level.MUST)


def _open_questions(chart: Chart, entry: Entry[Any], level: Level) -> Iterator[Blank]:
    """One line for each open question without an answer or with two; a conflict is never less than a must."""
    if isinstance(entry.answers, Jot):
        return
    for path, ask, given in shown_asks(entry.answers):
        if isinstance(given, Conflicted):
            yield _line(entry, path, ask.label, Level.MUST, Why.CONFLICT)
        elif isinstance(given, str) and blank_spans(given):
            yield _line(entry, path, ask.label, Level.MUST, Why.UNFILLED)
        elif not_gone_through(entry, path):
            yield _line(entry, path, ask.label, Level.MUST, Why.CARRIED)
        elif ask.need is not Need.FREE and not answered(given):
            needed = _needed(chart, entry, path, ask)
            if needed is not None:
                yield _line(
                    entry, path, ask.label, Level.SHOULD if Level.SHOULD in (level, needed) else Level.MUST, Why.BLANK
                )


def _needed(chart: Chart, entry: Entry[Any], path: Path, ask: Ask) -> Level | None:
    """How far an open question is needed today: histories are taken once in full, and some lines only at some ages."""
    answers, subjects = entry.answers, entry.place.subjects
    if not isinstance(answers, InfantHistory | ParentHistory):
        return Level.MUST
    form = type(answers)
    follows_up = ask.need is Need.WHEN_OPEN and ask.when is not None
    if _taken_before(chart, form, subjects) and "in_full" not in every(answers.taken):
        if path.field == "taken" or (follows_up and path.field not in DUE[form]):
            return Level.MUST
        return Level.SHOULD if path.field in TODAY[form] else None
    ages = DUE[form].get(path.field)
    people = subjects if form is InfantHistory else babies(chart)
    return Level.MUST if ages is None or _due_at_age(chart, people, ages) else None


def _taken_before(chart: Chart, form: type[InfantHistory | ParentHistory], subjects: tuple[str, ...]) -> bool:
    before = earlier_visits(chart)
    return any(
        entry.place.visit in before and "in_full" in every(entry.answers.taken) for entry in chart.all(form, *subjects)
    )


def _due_at_age(chart: Chart, people: Iterable[str], ages: tuple[int, int | None]) -> bool:
    """Whether any of these babies is of an age at which the line is due; an unknown age counts as due."""
    first, before = ages
    known = [age_in_days(chart, baby) for baby in people]
    return any(age is None or (age >= first and (before is None or age < before)) for age in known)


def _line(entry: Entry[Any], path: Path, label: str, level: Level, why: Why) -> Blank:
    return Blank(entry.place, entry.id, path, step_of(entry, path), level, why, label)


def step_of(entry: Entry[Any], path: Path) -> Step:
    """The moment of the visit at which an answer is given."""
    if (entry.place.form, path.field) in AT_THE_DOOR:
        return Step.LEAVE
    if isinstance(entry.answers, WeightReading) and entry.answers.feed is not None:
        return Step.FEED
    return STEPS.get(type(entry.answers), Step.LOOK)


def _missing(chart: Chart) -> Iterator[Blank]:
    """Entries of lists of which a complete note needs at least one."""

    def gap(form: type[Form], step: Step, label: str, *subjects: str, level: Level = Level.MUST) -> Blank:
        place = Place(form.name, chart.family, chart.visit, subjects)
        return Blank(place, None, None, step, level, Why.MISSING, label)

    here = chart.by_id(chart.visit or "")
    if here is None or here.struck is not None or not isinstance(here.answers, Visit):
        yield gap(Visit, Step.ARRIVE, "The head of this visit")
    parents = noted_parents(chart)
    if not parents:
        yield gap(ParentIdentity, Step.ARRIVE, "A parent of this family")
    if not babies(chart):
        yield gap(InfantIdentity, Step.ARRIVE, "A baby of this family", level=Level.SHOULD)
    if not chart.all(Present, visit=chart.visit):
        yield gap(Present, Step.ARRIVE, "Who was in the room")
    for parent in parents:
        for side in lumps_without_a_place(chart, parent):
            yield gap(BreastFinding, Step.LOOK, f"Where the lump on the {side} is, and its size", parent)
    if not chart.all(PlanTask, visit=chart.visit):
        yield gap(PlanTask, Step.PLAN, "At least one task")
    fed = {baby for entry in chart.all(FeedObservation, visit=chart.visit) for baby in entry.place.subjects[1:]}
    for baby in babies(chart):
        if baby not in fed:
            yield gap(FeedObservation, Step.FEED, "A feed, or why none was seen", *parents[:1], baby)
        if not _weighed(chart, baby) and not answered(chart.one(InfantAssessment, baby).weight_not_taken):
            yield gap(WeightReading, Step.WEIGH, "A weight, or why there is none", baby)
    for purpose in consents_missing(chart):
        level = Level.SHOULD if purpose in TOLD_ONCE else Level.MUST
        yield gap(Consent, Step.ARRIVE, f"Consent: {PURPOSES[purpose]}", *parents[:1], level=level)
    covered = {person for entry in chart.all(UrgentContact, visit=chart.visit) for person in entry.place.subjects}
    for entry in chart.all(Impression, visit=chart.visit):
        people = entry.place.subjects
        if any(risk in URGENT for risk in every(entry.answers.risk)) and not covered & set(people):
            yield gap(UrgentContact, Step.PLAN, "Whom was called, for a same-day or emergency concern", *people[-1:])


def _weighed(chart: Chart, baby: str) -> bool:
    """Whether a weight of that baby's body belongs to this visit: entered under it, or taken on its day."""
    today = visit_day(chart)
    return any(
        bool(every(entry.answers.weight))
        and not is_around_feed(entry.answers)
        and (
            entry.place.visit == chart.visit
            or any(today is not None and taken.local().date() == today for taken in every(entry.answers.taken))
        )
        for entry in chart.all(WeightReading, baby)
    )


def _of_pairs_and_jots(chart: Chart) -> Iterator[Blank]:
    """Questions that one form opens in another: a sore feed, a second visit, a jot that stands nowhere."""
    for feed in chart.all(FeedObservation, visit=chart.visit):
        for side in Side:
            path = Path("why_not_tried", side)
            untried = False in every(feed.answers.change_tried.on(side))
            if untried and trouble_seen(feed.answers, side) and not answered(value_at(feed.answers, path)):
                label = ask_of(FeedObservation, path.field).label
                yield _line(feed, path, label, Level.MUST, Why.BLANK)
    if earlier_visits(chart):
        for _, people, level in (due for due in _forms_due(chart) if due[0] is Impression):
            if chart.one(Impression, *people).change is None:
                place = Place(Impression.name, chart.family, chart.visit, people)
                label = ask_of(Impression, "change").label
                identity = entry_id(Impression, chart.visit, people)
                yield Blank(place, identity, Path("change"), Step.PLAN, level, Why.BLANK, label)
    for jot in chart.all(Jot, visit=chart.visit):
        if any(word.strip() for word in every(jot.answers.words)) and not answered(jot.answers.filed_to):
            yield _line(jot, Path("filed_to"), "A jot that stands in no form yet", Level.MUST, Why.UNFILED)
