"""What happens during a feed or an expressing session, each with its time: one entry for each tap.

The time is on the session's own line: the wall clock when it began, and from there a clock that only goes forward, so
that a changed clock moves nothing. Spells, bursts and pauses are worked out from these (`forms.clinical.feed_line`)
and kept nowhere. An event is never changed by undo: it is struck out, or another time or side is written over it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from forms.answers import Given, Moment, Quantity
from forms.ask import Need, NotCoded, NotPrinted, When, choice, codes, line, moment, quantity, ref, scale, text
from forms.form import About, Form, declared
from forms.intents import FOR_PROVIDERS, TO_PROVIDERS, loinc

__all__ = ["ASLEEP", "FEED_LANES", "OFF", "ON", "ExpressionEvent", "FeedEvent", "TimedEvent"]

HOUSE_BOUND = "house bound, no source"

HAPPENED = codes(
    begin="Watching begins",
    latch="Latch",
    sucking="Active sucking",
    suck="Suck",
    swallow="Swallow",
    pause="Pause",
    letdown_felt="Letdown felt",
    letdown_seen="Letdown seen",
    compress="Compression",
    click="Click",
    cough="Cough",
    choke="Choke",
    spit_up="Spit-up",
    burp="Burp",
    upset="Upset",
    asleep="Falls asleep",
    pain="Pain",
    help="Help given",
    changed="Something changed",
    drops="First drops",
    amount="Amount so far",
    off_self="Lets go",
    taken_off="Taken off",
    end="Watching ends",
)
ON: Final = frozenset({"latch"})
OFF: Final = frozenset({"off_self", "taken_off"})
ASLEEP: Final = "asleep"
NOTED = codes(live="As it happened", after="From memory, afterwards")
FEED_LANES = codes(left="The feeder's left", right="The feeder's right", tube="Tube at the breast or chest",
                   bottle="Bottle", cup="Cup, spoon or syringe")  # fmt: skip
SIDES = codes(left="Own left", right="Own right")
OF_THE_ENTRY: Final = {
    "paper": NotPrinted("about the entry itself, kept with the chart"),
    "code": NotCoded("says how a time was taken; handed over inside the event"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedEvent(Form):
    """One event with its time: what, when, and what goes with it. Amounts count from the beginning of the session."""

    what: Given[str] = choice("What happened", HAPPENED, need=Need.MUST, **FOR_PROVIDERS)
    at: Given[Moment] = moment("At", need=Need.MUST, lately=True, **FOR_PROVIDERS)
    pain: Given[int] = scale(
        "Pain now", ends=("no pain", "the worst pain"), need=Need.WHEN_OPEN, when=When("what", ("pain",)),
        paper=TO_PROVIDERS, code=loinc("72514-3"),
    )  # fmt: skip
    # 0 to 500 mL in one session: house bound, no source.
    amount: Given[Quantity] = quantity(
        "Taken or expressed so far", ("mL", "fl_oz"), low=0, high=500, need=Need.WHEN_OPEN,
        when=When("what", ("amount",)), source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    words: Given[str] = text("In words", **FOR_PROVIDERS)
    noted: Given[str] = choice("Noted", NOTED, need=Need.MUST, **FOR_PROVIDERS)
    steady: Given[str] = line("Reading of the steady clock", **OF_THE_ENTRY)


@declared("feed_event", "Feed event", About.PAIR_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class FeedEvent(TimedEvent):
    """An event of one feed of one feeder and one baby, on one of its lanes."""

    feed: Given[str] = ref("Of which feed", ("feed",), need=Need.MUST, **FOR_PROVIDERS)
    lane: Given[str] = choice("Where", FEED_LANES, **FOR_PROVIDERS)


@declared("expression_event", "Expressing event", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class ExpressionEvent(TimedEvent):
    """An event of one expressing session, on one side of the parent or on both."""

    expression: Given[str] = ref("Of which session", ("expression",), need=Need.MUST, **FOR_PROVIDERS)
    lane: Given[str] = choice("Side", SIDES, **FOR_PROVIDERS)
