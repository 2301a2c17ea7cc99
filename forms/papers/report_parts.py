"""The rows of a report to a provider: situation, background, assessment, recommendation, each said of one person."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Moment, Quantity, Side, every
from forms.ask import ask_of
from forms.breast import BreastAssessment, BreastFinding
from forms.breast_seen import place_words
from forms.chart import Entry
from forms.clinical.growth import GainPerDay, gain_per_day
from forms.clinical.prompts import INFANT_RULES, PARENT_RULES
from forms.clinical.result import NoFigure
from forms.clinical.rule import Rule
from forms.clinical.weight import edges, percent_from_birth
from forms.contact import UrgentContact
from forms.expressing import ExpressingDay
from forms.feed import FeedObservation
from forms.form import Form, shown_asks
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.oral import OralAssessment
from forms.papers.about_one import MEDICAL, SURGICAL, impressions_of, joined
from forms.papers.letter_parts import ONE_FEED, dressed_words, transfer_words, weights_in_order
from forms.papers.outline import Words, join, plain
from forms.papers.said import Said, moment_words
from forms.papers.wording import its_words
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.prompted import PromptClosed
from forms.report import ProviderReport
from forms.thresholds import limits
from forms.units import shown
from forms.visit import Visit

__all__ = ["RULES", "Row", "assessment", "background", "recommendation", "sentence", "situation", "told_openly"]

# Which answers a page has room for is a house choice; whatever else may be printed of an opened entry is "also noted".
_OUTPUT: Final = (
    "feeds_24h", "fed_now", "own_milk_each", "own_milk_times", "donor_milk_each", "donor_milk_times", "formula_each",
    "formula_times", "wets_24h", "stools_24h",
)  # fmt: skip
_MORE_OUTPUT: Final = (
    "longest_gap", "last_wet", "urine_colour", "last_stool", "stool_colour", "wakes_to_feed", "sleepy_feeds",
    "feeding_vigour", "vomit", "feed_signs",
)  # fmt: skip
_AT_A_SIDE: Final = (
    "attachment", "latch_concerns", "pain_at_latch", "pain_after_30s", "pain_at_end", "swallows", "nipple_after",
)  # fmt: skip
_MORE_AT_A_SIDE: Final = ("position", "rhythm", "ended_by", "breast_after", "tried", "pain_after_change")
_WHOLE_FEED: Final = ("not_observed_because", "supplement_milk", "supplement_amount", "supplement_method")
_MORE_OF_A_FEED: Final = ("observed", "baby_signs", "baby_after", "feeder_view")
_MOUTH: Final = ("tongue_reach", "tongue_lift", "tongue_side", "movement", "suck_strength", "suck_rhythm", "patches")
_BODY: Final = (
    "waking", "tone", "colour", "yellow_extent", "mouth_moisture", "breathing", "alarm_signs", "temperature",
    "asymmetry", "weight_not_taken",
)  # fmt: skip
_CHEST: Final = (
    "engorgement", "skin", "skin_where", "lump", "tender", "nipple", "damage", "pain_rest", "colour_changes", "bleb",
    "discharge",
)  # fmt: skip
_NOW: Final = ("pain_when", "pain_now", "pain_worst", "pain_since", "unwell", "temperature")
RULES: Final[Mapping[str, Rule[Any]]] = MappingProxyType(
    {**{rule.id: rule for rule in INFANT_RULES}, **{rule.id: rule for rule in PARENT_RULES}}
)
"""Every sign of the ladder by its id."""
_MOUTH_CAUTION: Final = "Look and movement only; it names no illness."


@dataclass(frozen=True, slots=True)
class Row:
    """One line. `cut`: 0 stays on the first page; of the others the highest goes to the second page first."""

    label: str
    words: Words
    cut: int = 0


def _row(label: str, words: str, cut: int = 0) -> Iterator[Row]:
    if words.strip():
        yield Row(label, plain(sentence(words.strip())), cut)


def told_openly(contact: UrgentContact | PromptClosed) -> bool:
    """Whether none of the signs it is about rests on what was told in private; an unknown sign counts as private."""
    signs = (sign for covered in every(contact.covers) for sign in covered)
    return all(sign in RULES and not RULES[sign].private for sign in signs)


def situation(said: Said, person: str, identity: InfantIdentity | ParentIdentity, report: ProviderReport) -> list[Row]:
    """Why this person was seen, what the reader must know, and a baby's weight today."""
    visit = said.chart.person(Visit, said.chart.visit or "")
    rows = [*_row("Why seen", said.words(visit, "reason"))]
    if isinstance(identity, ParentIdentity):
        history = said.chart.one(ParentHistory, person)
        rows += _row("In own words", said.words(history, "reason"), 2)
        rows += _row("Today", joined(said, history, _NOW), 1)
    rows += _row("Must be known", said.or_not_known(report, "must_know"))
    if isinstance(identity, InfantIdentity):
        rows += _row("Weight", _weight(said, person, identity) or "No weight was taken or told.")
    return rows


def _weight(said: Said, person: str, identity: InfantIdentity) -> str:
    """The newest weight, its change from birth, and the gain since the one before it (or since birth)."""
    weighed = weights_in_order(said, person)
    if not weighed:
        return ""
    taken, weight, reading = weighed[-1]
    change = percent_from_birth(identity.birth_weight, weight, edges(limits(said.chart)))
    said.given(identity, "birth_weight")
    since = "" if isinstance(change, NoFigure) else f", {change.text} from birth"
    how = said.words(reading, "source").lower()
    told = f"{shown(weight.base, weight.unit)} on {moment_words(taken)}{since}{dressed_words(said, reading)}; {how}."
    before = next(((at, grams) for at, grams, _ in reversed(weighed[:-1])), None)
    born, birth = said.value(identity, "born"), said.value(identity, "birth_weight")
    if before is None and isinstance(born, Moment) and isinstance(birth, Quantity):
        before = (born, birth)
    gain = gain_per_day(before[1], before[0], weight, taken) if before else None
    if before is None or not isinstance(gain, GainPerDay):
        return f"{told} No gain a day can be worked out."
    return f"{told} Since {moment_words(before[0])}: {gain.text} ({gain.words})."


def background(said: Said, person: str, identity: InfantIdentity | ParentIdentity) -> list[Row]:
    """Birth, history, medicines and allergies of this one person; feeding so far of a baby."""
    history: InfantHistory | ParentHistory
    if isinstance(identity, InfantIdentity):
        history = said.chart.one(InfantHistory, person)
        birth = said.value(identity, "birth_weight")
        weight = shown(birth.base, birth.unit) if isinstance(birth, Quantity) else "not known"
        rows = [*_row("Birth weight", weight)]
        rows += _row("Feeding so far", joined(said, history, _OUTPUT), 1)
        rows += _row("More of feeding and diapers", joined(said, history, _MORE_OUTPUT), 6)
    else:
        history = said.chart.one(ParentHistory, person)
        rows = []
        rows += _row("Expressing", joined(said, said.chart.one(ExpressingDay, person), ()), 8)
    rows += _row("Medicines", said.or_not_known(history, "medicines"))
    rows += _row("Allergies", said.or_not_known(history, "allergies"))
    rows += _row("Operations", joined(said, history, SURGICAL[type(history)]), 5)
    rows += _row("History", joined(said, history, MEDICAL[type(history)]), 4)
    return rows


def _feed(said: Said, feed: Entry[FeedObservation], about_parent: bool, cut: int) -> Iterator[Row]:
    feeder, baby = (said.named(who) for who in feed.place.subjects[:2])
    parts, more = [], [joined(said, feed.answers, _MORE_OF_A_FEED)]
    for side in Side:
        used = said.words(feed.answers, "used", side)
        told = "; ".join(filter(None, (used.lower(), _at(said, feed.answers, _AT_A_SIDE, side))))
        parts += [f"{feeder}’s {side}: {told}."] if told else []
        also = _at(said, feed.answers, _MORE_AT_A_SIDE, side)
        more += [f"{feeder}’s {side}: {also}."] if also else []
    parts.append(joined(said, feed.answers, _WHOLE_FEED))
    label = f"Feed with {baby}" if about_parent else f"Feed with {feeder}"
    yield from _row(label, " ".join(filter(None, parts)), cut)
    taken = transfer_words(said, feed)
    if taken:
        caution = "" if cut else f" {ONE_FEED}"
        yield from _row(f"Milk taken by {baby}", f"by weight, with {feeder}: {taken}.{caution}", cut)
    yield from _row(f"More of the {label[0].lower()}{label[1:]}", " ".join(filter(None, more)), 7)


def _at(said: Said, answers: Form, fields: Iterable[str], side: Side) -> str:
    """What stands at one side, in the form's own order: "Pain at latch: 6 of 10; Swallows: some"."""
    wanted = frozenset(fields)
    parts = (
        f"{said.label(ask)}: {said.beside(answers, path).rstrip('.')}"
        for path, ask, given in shown_asks(answers)
        if path.side is side and path.field in wanted and given is not None and said.may(type(answers), path.field)
    )
    return "; ".join(parts)


def assessment(said: Said, person: str, identity: InfantIdentity | ParentIdentity) -> list[Row]:
    """The feed, what was looked at, strengths, and the impression in scope words."""
    chart, rows = said.chart, list[Row]()
    feeds = [e for e in chart.all(FeedObservation, visit=chart.visit) if person in e.place.subjects]
    for number, feed in enumerate(feeds):
        rows += _feed(said, feed, isinstance(identity, ParentIdentity), min(number, 1))
    if not feeds:
        rows += _row("Feed seen", "No feed was watched at this visit.")
    if isinstance(identity, InfantIdentity):
        rows += _row("Looked at", joined(said, chart.one(InfantAssessment, person), _BODY), 1)
        mouth = joined(said, chart.one(OralAssessment, person), _MOUTH)
        rows += _row("Mouth", f"{mouth} {_MOUTH_CAUTION}" if mouth else "", 2)
    else:
        seen = chart.one(BreastAssessment, person)
        for side in Side:
            rows += _row(f"Own {side}, seen", _at(said, seen, _CHEST, side), 1)
        places = chart.all(BreastFinding, person, visit=chart.visit)
        rows += _row("Places", "; ".join(place_words(entry.answers) for entry in places), 2)
    return [*rows, *_impression(said, person)]


def _impression(said: Said, person: str) -> Iterator[Row]:
    impressions = impressions_of(said, person)
    yield from _row("Strengths", _once(said.words(i.answers, "strengths") for i in impressions))
    kinds = _once(f"{said.words(i.answers, 'kinds')}." for i in impressions if said.words(i.answers, "kinds"))
    words = _once(said.words(i.answers, "words") for i in impressions)
    yield from _row("Impression", " ".join(filter(None, (kinds, words))))
    said.shapes(Impression, "risk", "risk_why", "findings")


def _once(told: Iterable[str]) -> str:
    return " ".join(dict.fromkeys(filter(None, (words.strip() for words in told))))


def recommendation(said: Said, person: str, report: ProviderReport) -> list[Row]:
    """The family's tasks word for word, what was done and is asked, who follows up, and what would change the plan."""
    chart, rows = said.chart, list[Row]()
    tasks = [_task(said, entry.answers) for entry in _tasks(said, person)]
    for number, task in enumerate(tasks, 1):
        rows.append(Row("Plan given" if number == 1 else "", join(f"{number}. ", task)))
    if not tasks:
        rows += _row("Plan given", "No task was set down.")
    amount = chart.one(FeedingAmount, person)
    if amount.extra_milk is not None:
        rows += _row("More milk", _amount(said, amount))
    for contact in chart.all(UrgentContact, person, visit=chart.visit):
        if told_openly(contact.answers):
            fields = ("outcome", "at", "who", "instruction", "tries", "told_family_now", "family_words")
            rows += _row("Already done", joined(said, contact.answers, fields))
    by = said.words(report, "asked_by")
    rows += _row(f"Asked of you by {by}" if by else "Asked of you", said.or_not_known(report, "asked"))
    plan = chart.one(Plan)
    at = said.value(plan, "followup_at")
    when = f", {moment_words(at, weekday=True)}" if isinstance(at, Moment) else ""
    next_up = said.words(plan, "followup_kind") or "Not settled yet"
    weighs = said.words(plan, "weight_check_by")
    rows += _row("Follow-up", f"{next_up}{when}." + (f" Next weight: {weighs.rstrip('.')}." if weighs else ""))
    rows += _row("Would change it", said.or_not_known(report, "would_change"))
    return rows


def _amount(said: Said, amount: FeedingAmount) -> str:
    """How much more milk is part of the plan, and with whom that is agreed; "to be agreed" where it is not."""
    if said.value(amount, "extra_milk") is not True:
        return f"{said.label(ask_of(FeedingAmount, 'extra_milk'))}: {said.or_not_known(amount, 'extra_milk')}"
    each, times = said.words(amount, "per_feed"), said.words(amount, "times_per_day")
    how = ", ".join(filter(None, (said.words(amount, field).lower() for field in ("milks", "method"))))
    agreed = ", ".join(filter(None, (said.words(amount, f) for f in ("agreed", "agreed_with", "agreed_at"))))
    until = said.words(amount, "until").strip().rstrip(".")
    parts = (
        f"{each or 'amount not written'}, {times or 'not written how many'} times in a day and a night", how,
        f"until: {until}" if until else "", said.words(amount, "origin").lower(), agreed or "to be agreed",
    )  # fmt: skip
    return "; ".join(filter(None, parts))


def sentence(words: str) -> str:
    """The words with a full stop, unless they end as a sentence does."""
    return words if not words or words.rstrip()[-1] in ".!?…”" else f"{words.rstrip()}."


def _tasks(said: Said, person: str) -> list[Entry[PlanTask]]:
    concerned = (
        entry
        for entry in said.chart.all(PlanTask, visit=said.chart.visit)
        if person in (whom := said.value(entry.answers, "concerns") or ()) or not whom
    )
    return sorted(concerned, key=lambda entry: (said.value(entry.answers, "order") or 99, entry.entered))


def _task(said: Said, task: PlanTask) -> Words:
    """A task as it stands on the family's plan, then how often, until when and who."""
    what = its_words(said).fill(said.words(task, "what")).strip()
    named = (("How often", "how_often"), ("Until", "until"), ("Who", "who"))
    facts = " ".join(
        f"{name}: {words.rstrip('.')}." for name, field in named if (words := said.words(task, field).strip())
    )
    return plain(f"{what} {facts}".strip())
