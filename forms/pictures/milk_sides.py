"""Milk by side: what each weighed feed and each session of expressing brought, left and right of one spine.

A side is the feeder's own, and the left one stands on the left. Nothing is added up. A void pair is struck through and
not counted, values of which only one can hold stand hollow, and a feed weighed as one is told in words.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from forms.answers import Conflicted, Given, Moment, Quantity, Side, every
from forms.chart import Chart, Entry
from forms.clinical.evidence import zone_of
from forms.clinical.transfer import FeedTransfer, Pair, feed_transfer
from forms.expressing import Expression
from forms.feed import FeedObservation
from forms.figure import NOTHING
from forms.pictures.drawing import Drawing
from forms.pictures.maker import Maker
from forms.pictures.side_bars import Amount, Kind, Time, draw_sides
from forms.pictures.visits import day_and_time, or_words, visits_seen
from forms.pictures.whose import called
from forms.units import alone
from forms.weight import WeightReading

__all__ = ["milk_sides"]

TRANSFER = "Weighed: weight after less before, 1 g taken as 1 mL, convention of the trade (M); ± the scale’s steps (C)."
EXPRESSED = "Expressed: as written for each side; what is not written is not taken for nothing (C)."


def milk_sides(chart: Chart, person: str, now: datetime) -> Maker | None:
    """The picture of a parent's milk by side, or of what a baby took at each side; None while nothing is known."""
    found = sorted(_times(chart, person, now), key=lambda time: (time.feeder, time.at.at, time.what))
    if not found:
        return None
    times, name = tuple(found), called(chart, person)
    title, sentence = f"{name}’s milk by side", _sentence(name, times)
    kinds = {time.kind for time in times}
    sources = tuple(words for kind, words in ((Kind.WEIGHED, TRANSFER), (Kind.EXPRESSED, EXPRESSED)) if kind in kinds)

    def draw(wide: float) -> Drawing:
        return draw_sides(title, sentence, times, sources, wide)

    return Maker("milk_sides", title, draw)


def _times(chart: Chart, person: str, now: datetime) -> Iterator[Time]:
    for seen in visits_seen(chart, now):
        for feed in chart.all(FeedObservation, visit=seen.visit):
            if person in feed.place.subjects:
                yield from _weighed(chart, feed)
        for session in chart.all(Expression, person, visit=seen.visit):
            yield from _expressed(chart, session)


def _weighed(chart: Chart, feed: Entry[FeedObservation]) -> Iterator[Time]:
    feeder, *babies = feed.place.subjects
    entries = [e for baby in babies for e in chart.all(WeightReading, baby) if feed.id in every(e.answers.feed)]
    if not entries:
        return
    taken = [moment for e in entries for moment in every(e.answers.taken)]
    began = min(every(feed.answers.began) or taken, key=lambda moment: moment.at, default=None)
    transfer = feed_transfer([e.answers for e in entries])
    name = called(chart, feeder)
    yield Time(
        name, began or Moment(feed.entered, zone_of(chart)),
        f"feed with {' and '.join(called(chart, baby) for baby in babies)}, weighed", Kind.WEIGHED,
        _of_side(transfer, Side.LEFT), _of_side(transfer, Side.RIGHT), _whole(transfer),
    )  # fmt: skip


def _of_side(transfer: FeedTransfer, side: Side) -> tuple[Amount, ...]:
    pairs = tuple(_pair(pair) for pair in transfer.pairs if pair.side == side)
    gaps = tuple(
        Amount((), gap.why, "unresolved" if gap.unresolved else NOTHING, unresolved=gap.unresolved)
        for which, gap in transfer.missing
        if which == side
    )
    return (*pairs, *gaps)


def _pair(pair: Pair) -> Amount:
    grams = alone(pair.grams, "g")
    if pair.void:
        return Amount((pair.grams,), pair.text, "void", void=True)
    if pair.grams <= 0:
        return Amount((pair.grams,), pair.text, f"no gain ({grams})")
    if pair.step is not None and pair.grams < pair.step:
        return Amount((pair.grams,), pair.text, f"below step ({grams})")
    return Amount((pair.grams,), pair.text, alone(pair.grams, "mL"))


def _whole(transfer: FeedTransfer) -> str:
    """What is known of the feed as a whole but of neither side."""
    said = [pair.text for pair in transfer.pairs if pair.side == "both"]
    said += [gap.why for which, gap in transfer.missing if which == "both"]
    return f"weighed as one: {'; '.join(said)}" if said else ""


def _expressed(chart: Chart, session: Entry[Expression]) -> Iterator[Time]:
    left, right = (_amount(session.answers.amount.on(side)) for side in Side)
    if left or right:
        began = min(every(session.answers.began), key=lambda moment: moment.at, default=None)
        at = began or Moment(session.entered, zone_of(chart))
        yield Time(called(chart, session.place.subjects[0]), at, "expressed", Kind.EXPRESSED, left, right)


def _amount(given: Given[Quantity]) -> tuple[Amount, ...]:
    values = tuple(sorted({quantity.base for quantity in every(given)}))
    if isinstance(given, Conflicted):
        return (Amount(values, or_words(tuple(alone(value, "mL") for value in values)), "unresolved", unresolved=True),)
    return tuple(Amount((value,), alone(value, "mL"), alone(value, "mL")) for value in values)


def _sentence(name: str, times: tuple[Time, ...]) -> str:
    latest = max(times, key=lambda time: time.at.at)
    feeds = sum(time.kind is Kind.WEIGHED for time in times)
    sessions = len(times) - feeds
    many = [f"{feeds} weighed {'feed' if feeds == 1 else 'feeds'}"] if feeds else []
    many += [f"{sessions} {'session' if sessions == 1 else 'sessions'} of expressing"] if sessions else []
    sides = "; ".join(f"{latest.feeder}’s {side}: {latest.words(side)}" for side in Side)
    said = f"{name}: {' and '.join(many)}. Latest, {day_and_time(latest.at)}, {latest.what}: {sides}."
    amounts = [amount for time in times for side in Side for amount in time.on(side)]
    if any(amount.void for amount in amounts):
        said += " What is struck through is void and not counted."
    if any(amount.unresolved for amount in amounts):
        said += " Where two values stand, neither is taken."
    return said.replace(NOTHING, "not known")
