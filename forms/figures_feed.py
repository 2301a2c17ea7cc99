"""The figures of feeds and diapers: milk transfer of each weighed feed, and output against the day's row."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from forms.answers import Conflicted, Moment, every, known
from forms.chart import Chart, Entry, entry_id
from forms.clinical.age import Age, age, elapsed_words
from forms.clinical.prompts_infant import WIC, output_row
from forms.clinical.result import NoFigure
from forms.clinical.transfer import FeedTransfer, feed_transfer
from forms.feed import FeedObservation
from forms.figure import NOTHING, Figure, entered_by, no_figure, when
from forms.figures_weight import weighing_input
from forms.infant_history import InfantHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.thresholds import limits
from forms.weight import WeightReading, around_feed_words

__all__ = ["output_figure", "transfer_figures"]

TRANSFERRED = "weight after less weight before, on the same scale in the same clothes; each gram said as one millilitre"
OUTPUT = "diapers told for the last 24 hours, beside the row of the day of life"


def _called(chart: Chart, parent: str) -> str:
    identity = chart.person(ParentIdentity, parent)
    return next((name for name in (*every(identity.called_name), *every(identity.full_name))), "the feeder")


def transfer_figures(chart: Chart, person: str) -> Iterator[Figure]:
    """One figure for each side and for the total of each feed of this visit that was weighed."""
    source = "after less before, 1 g = 1 mL by convention (M); error: the scale's steps (C)"
    if chart.visit is None:
        return
    feeds = [f for f in chart.all(FeedObservation, visit=chart.visit) if person in f.place.subjects[1:]]
    for number, feed in enumerate(feeds, start=1):
        entries = [e for e in chart.all(WeightReading, person) if feed.id in every(e.answers.feed)]
        if not entries:
            continue
        found = feed_transfer([entry.answers for entry in entries])
        which = f" at feed {number}" if len(feeds) > 1 else ""
        feeder = _called(chart, feed.place.subjects[0])
        for side in ("left", "right"):
            label = f"Transfer, {feeder}'s {side}{which}"
            yield from _side(chart, found, entries, feed.id, side, label, source)
        cautions = tuple(dict.fromkeys(words for pair in found.pairs for words in pair.cautions))
        # One low feed is repeated, and evaporation reads it 1 to 5 % low (IOM 1991, S): rows of the ladder, said here.
        small = (*cautions, "one feed is a sample of the day", "evaporation reads a feed 1 to 5 % low")
        yield Figure(
            f"transfer:{feed.id}", f"Transfer in all{which}", found.text, small, source, found.unresolved,
            formula=f"{TRANSFERRED}; the pairs that count, added up", inputs=_weighings(chart, entries),
        )  # fmt: skip


def _weighings(chart: Chart, entries: list[Entry[WeightReading]]) -> tuple[str, ...]:
    ordered = sorted(
        entries, key=lambda e: (min((m.at.timestamp() for m in every(e.answers.taken)), default=0.0), e.id)
    )
    return tuple(weighing_input(chart, e, around_feed_words(e.answers) or "weight") for e in ordered)


def _side(
    chart: Chart,
    found: FeedTransfer,
    entries: list[Entry[WeightReading]],
    feed: str,
    side: str,
    label: str,
    source: str,
) -> Iterator[Figure]:
    key = f"transfer:{feed}:{side}"
    gaps = [gap for name, gap in found.missing if name == side]
    pairs = [pair for pair in found.pairs if pair.side == side]
    if gaps:
        yield no_figure(key, label, gaps[0], source, formula=TRANSFERRED)
    elif pairs:
        small = tuple(f"{pair.before} g, then {pair.after} g" for pair in pairs)
        used = [entry for entry in entries if side in every(entry.answers.feed_side)]
        yield Figure(
            key, label, "; ".join(pair.text for pair in pairs), small, source,
            formula=TRANSFERRED, inputs=_weighings(chart, used),
        )  # fmt: skip


def output_figure(chart: Chart, person: str, at: datetime) -> Figure:
    """Wet diapers and stools of the last 24 hours, beside the row of the day of life."""
    label, source = "Diapers in 24 hours", f"{WIC} (S)"
    told, identity = chart.one(InfantHistory, person), chart.person(InfantIdentity, person)
    if isinstance(told.wets_24h, Conflicted) or isinstance(told.stools_24h, Conflicted):
        gap = NoFigure("unresolved: two counts stand", unresolved=True)
        return no_figure("output", label, gap, source, formula=OUTPUT)
    wets, stools = known(told.wets_24h), known(told.stools_24h)
    parts = (
        "wet not known" if wets is None else f"{wets} wet",
        "stools not known" if stools is None else f"{stools} {'stool' if stools == 1 else 'stools'}",
    )
    big = NOTHING if wets is None and stools is None else ", ".join(parts)
    entry = chart.by_id(entry_id(InfantHistory, chart.visit, (person,)))
    said = entered_by(chart, entry) if entry else ""
    inputs = tuple(
        f"{part}, told at this visit{f', {said}' if said else ''}" for part in parts if "not known" not in part
    )
    found = age(identity.born, at)
    if not isinstance(found, Age):
        small: tuple[str, ...] = (f"{found.why}: no row of the table",)
        return Figure("output", label, big, small, source, found.unresolved, OUTPUT, inputs)
    row = output_row(found.day_of_life)
    if row is None:
        return Figure("output", label, big, ("after day 45 the table has no row",), source, False, OUTPUT, inputs)
    small = (
        f"day {found.day_of_life} of life: {row[0]} wet and {row[1]} {'stool' if row[1] == 1 else 'stools'} or more",
    )
    own = output_row(found.day_of_life, limits(chart))
    if own is not None and own != row:
        small = (*small, f"the practice's own limit: {own[0]} wet and {own[1]} stools or more")
    if isinstance(told.last_wet, Moment) and told.last_wet.at <= at:
        small = (*small, f"last wet {elapsed_words(at - told.last_wet.at)} ago")
        inputs = (*inputs, f"last wet diaper: {when(told.last_wet)}")
    return Figure("output", label, big, small, source, False, OUTPUT, (*inputs, f"born: {when(found.born)}"))
