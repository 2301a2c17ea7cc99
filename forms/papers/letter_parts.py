"""What is sent with a referral, section by section: weights, the feed, the mouth, the look at the baby, the plan.

Each section prints every answer of its form that may stand on a referral, derived from the questions themselves.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final

from forms.answers import Moment, Quantity, Side, known
from forms.ask import asks
from forms.body_mark import BodyMark
from forms.breast import BreastAssessment, BreastFinding
from forms.breast_seen import IN_THE_LINE, place_words
from forms.chart import Entry
from forms.clinical.growth import GainPerDay, gain_per_day
from forms.clinical.result import NoFigure
from forms.clinical.transfer import feed_transfer
from forms.clinical.weight import edges, percent_from_birth, regain_words
from forms.feed import FeedObservation
from forms.form import Form, shown_asks
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.mark_words import IN_THE_SENTENCE, mark_words
from forms.oral import OralAssessment
from forms.papers.outline import Block, Heading, Item, Items, Paragraph, Shown, Table, Words, plain, strong
from forms.papers.said import Said, moment_words, side_words
from forms.papers.scored import scored_at_feed, scored_in_mouth
from forms.people import InfantIdentity
from forms.pictures.maker import WIDEST
from forms.pictures.marked import marked, numbered, on_outline
from forms.pictures.outlines import OF_PARENT
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.thresholds import limits
from forms.units import decimal, shown
from forms.weight import WeightReading

__all__ = [
    "ONE_FEED", "OUTPUT", "answered_items", "dressed_words", "mark_said", "sections", "transfer_words",
    "weights_in_order",
]  # fmt: skip

OUTPUT: Final = (
    "feeds_24h", "feeds_night", "longest_gap", "feed_length", "sides_per_feed", "fed_now", "methods", "own_milk_each",
    "own_milk_times", "donor_milk_each", "donor_milk_times", "formula_each", "formula_times", "other_fed", "wets_24h",
    "last_wet", "wet_heaviness", "urine_colour", "stools_24h", "last_stool", "stool_colour", "stool_size",
    "stool_mucus", "wakes_to_feed", "sleepy_feeds", "feeding_vigour", "settled_after",
)  # fmt: skip
"""The lines of a baby's history that tell of feeds and diapers."""

# What each section must be read with: common practice, no source, for weights; experts' papers differ on tools
# (S:TIE-ABM, S:AAP-TIE).
_MOUTH: Final = "Describes look and movement only. The total of a tool names no illness; tools and experts differ."
ONE_FEED: Final = "One feed is one sample. Grams are given as millilitres; the scale’s own step is the least error."
_FEED: Final = "Feed observation"
_NOTHING: Final = "Nothing was recorded."


def answered_items(said: Said, answers: Form, *, only: Iterable[str] = (), whose: str = "") -> tuple[Item, ...]:
    """Every open question of a form that may be printed and has an answer, deliberate non-answers too."""
    wanted = frozenset(only)
    items = []
    for path, ask, given in shown_asks(answers):
        if given is None or not said.may(type(answers), path.field) or (wanted and path.field not in wanted):
            continue
        words = said.or_not_known(answers, path.field) if path.side is None else said.beside(answers, path)
        items.append(Item(said.label(ask) + side_words(path, whose), plain(words)))
    return tuple(items)


def _both_sides(said: Said, title: str, answers: Form, *, only: Iterable[str] = (), whose: str = "") -> Iterator[Block]:
    """A form's answers: those without sides as items, those with sides in one table, left beside right."""
    form, wanted = type(answers), frozenset(only)
    items = tuple(item for item in answered_items(said, answers, only=[n for n, ask in asks(form).items()
                  if not ask.sides and (not wanted or n in wanted)] or ("",), whose=whose))  # fmt: skip
    sided: dict[str, dict[Side, str]] = {}
    for path, _ask, given in shown_asks(answers):
        wants = not wanted or path.field in wanted
        if path.side is not None and given is not None and wants and said.may(form, path.field):
            sided.setdefault(path.field, {})[path.side] = said.beside(answers, path)
    if items:
        yield Items(items)
    if sided:
        own = f"{whose}’s" if whose else "own"
        rows = tuple(
            (strong(said.label(asks(form)[name])), *(plain(sides.get(side, "")) for side in Side))
            for name, sides in sided.items()
        )
        yield Table(title, ("", f"{own} left", f"{own} right"), rows)
    if not items and not sided:
        yield Paragraph(plain(_NOTHING))


def weights_in_order(said: Said, baby: str) -> list[tuple[Moment, Quantity, WeightReading]]:
    """A baby's weights by time, those around feeds left out; raises Unresolved for one that is not settled."""
    found = []
    for entry in said.chart.all(WeightReading, baby):
        taken, weight = said.value(entry.answers, "taken"), said.value(entry.answers, "weight")
        if isinstance(taken, Moment) and isinstance(weight, Quantity) and said.value(entry.answers, "feed") is None:
            found.append((taken, weight, entry.answers))
    return sorted(found, key=lambda one: one[0].at)


def dressed_words(said: Said, reading: WeightReading) -> str:
    """In what a baby was weighed, where that makes the weight less than sure: ", in clothes"; "" if it does not."""
    dressed = {"clothes": ", in clothes", "unknown": ", clothes not known"}
    return dressed.get(said.value(reading, "state"), "")


def _weights(said: Said, person: str) -> Iterator[Block]:
    identity = said.chart.person(InfantIdentity, person)
    birth = said.value(identity, "birth_weight")
    born = said.value(identity, "born")
    rows: list[tuple[Words, ...]] = []
    if isinstance(birth, Quantity):
        when = said.words(identity, "born") or said.words(identity, "born_day") or "at birth"
        rows.append(_row(when, shown(birth.base, birth.unit), "birth weight"))
    before: tuple[Moment, Quantity] | None = None
    for taken, weight, reading in weights_in_order(said, person):
        gain = gain_per_day(before[1], before[0], weight, taken) if before else None
        daily = gain.text if isinstance(gain, GainPerDay) else ""
        change = percent_from_birth(identity.birth_weight, weight, edges(limits(said.chart)))
        since = (
            "" if isinstance(change, NoFigure) else f"{decimal(Fraction(change.change), 0, sign=True)} g, {change.text}"
        )
        how = said.words(reading, "source") + dressed_words(said, reading)
        rows.append(_row(moment_words(taken), shown(weight.base, weight.unit), since, daily, how))
        before = (taken, weight)
    yield Heading("Weights")
    if not rows:
        yield Paragraph(plain(_NOTHING))
        return
    yield Table("Weights", ("when", "weight", "since birth", "gain a day", "how known"), tuple(rows))
    if isinstance(birth, Quantity) and isinstance(born, Moment):
        weighed = [(taken.at, weight.base) for taken, weight, _ in weights_in_order(said, person)]
        regained = regain_words(birth.base, born, weighed)
        if regained:
            yield Paragraph(plain(regained[0].upper() + regained[1:] + "."))


def _row(*cells: str) -> tuple[Words, ...]:
    return tuple(plain(cell) for cell in (*cells, "", "", "")[:5])


def _form(said: Said, title: str, answers: Form, *, only: Iterable[str] = (), note: str = "") -> Iterator[Block]:
    yield Heading(title)
    if note:
        yield Paragraph(plain(note), small=True)
    yield from _both_sides(said, title, answers, only=only)


def _feeds(said: Said, person: str) -> Iterator[Block]:
    feeds = [e for e in said.chart.all(FeedObservation, visit=said.chart.visit) if person in e.place.subjects]
    yield Heading(_FEED)
    if not feeds:
        yield Paragraph(plain(_NOTHING))
    for feed in feeds:
        feeder = said.named(feed.place.subjects[0])
        yield from _both_sides(said, _FEED, feed.answers, whose=feeder)
        taken = transfer_words(said, feed)
        if taken:
            yield Paragraph(plain(f"Milk taken, by weight: {taken}. {ONE_FEED}"))


def transfer_words(said: Said, feed: Entry[FeedObservation]) -> str:
    """What was taken at a feed by the weights around it; "" where none was weighed."""
    around = [e.answers for e in said.chart.all(WeightReading, *feed.place.subjects[1:]) if e.answers.feed == feed.id]
    return feed_transfer(around).text if around else ""


def _places(said: Said, person: str) -> Iterator[Block]:
    """Each place on breast or chest as it is said, with what else is known of it."""
    items = []
    for entry in said.chart.all(BreastFinding, person, visit=said.chart.visit):
        for field in IN_THE_LINE:
            said.value(entry.answers, field)
        more = [
            f"{said.label(ask).lower()}: {said.beside(entry.answers, path)}"
            for path, ask, given in shown_asks(entry.answers)
            if given is not None and path.field not in IN_THE_LINE
        ]
        items.append(Item(place_words(entry.answers), plain("; ".join(more) or "nothing further")))
    if items:
        yield Items(tuple(items))


def mark_said(said: Said, mark: BodyMark, name: str) -> str:
    """A mark's sentence as this paper may say it; raises Unresolved while two answers stand for any part of it."""
    for field in ("x", "y"):  # drawn, not printed as answers: two places of one mark keep the letter back too
        known(getattr(mark, field), "The place of a mark")
    for field in IN_THE_SENTENCE:
        if said.may(BodyMark, field):
            said.value(mark, field)
    return mark_words(mark, name)


def _drawn(said: Said, person: str, *codes: str) -> Iterator[Block]:
    """The outlines on which something was drawn, each with its marks and their sentences."""
    marks = numbered(said.chart, person)
    for code in codes:
        here = on_outline(marks, code)
        for one in here:
            mark_said(said, one.entry.answers, "")
        if here:
            yield Shown(marked(here, code, said.named(person), WIDEST), table=True)


def _plan(said: Said, person: str) -> Iterator[Block]:
    chart = said.chart
    items = list(answered_items(said, chart.one(Plan)))
    for task in chart.all(PlanTask, visit=chart.visit):
        concerned = said.value(task.answers, "concerns") or ()
        if not concerned or person in concerned:
            items += answered_items(said, task.answers, only=("what", "how_often", "until", "who"))
    if isinstance(chart.person(InfantIdentity, person), InfantIdentity) and chart.all(FeedingAmount, person):
        items += answered_items(said, chart.one(FeedingAmount, person))
    yield Heading("The plan")
    yield Items(tuple(items)) if items else Paragraph(plain(_NOTHING))


def sections(said: Said, person: str, codes: Iterable[str]) -> Iterator[Block]:
    """The sections for these codes of a referral's "Sent with it", about this one person."""
    chart = said.chart
    for code in codes:
        match code:
            case "weights":
                yield from _weights(said, person)
            case "feed":
                yield from _feeds(said, person)
                yield from scored_at_feed(said, person)
            case "chest":
                yield from _form(said, BreastAssessment.title, chart.one(BreastAssessment, person))
                yield from _places(said, person)
                yield from _drawn(said, person, *OF_PARENT)
            case "oral":
                yield from _form(said, "Oral assessment", chart.one(OralAssessment, person), note=_MOUTH)
                yield from scored_in_mouth(said, person)
                yield from _drawn(said, person, "mouth_open", "tongue_lifted")
            case "infant":
                yield from _form(said, "Look at the baby", chart.one(InfantAssessment, person))
                yield from _drawn(said, person, "body_front", "body_back", "head_above")
            case "output":
                yield from _form(said, "Diapers and feeds", chart.one(InfantHistory, person), only=OUTPUT)
            case "plan":
                yield from _plan(said, person)
