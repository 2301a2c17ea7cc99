"""The log of a baby's feeds and diapers, for any 24 hours one chooses (trade lines C8).

Each line names its own feeder, since one baby may be fed by several people; a side is that feeder's own. A line without
a time stays readable and is counted nowhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from forms.answers import Given, Moment, Quantity
from forms.ask import Need, When, choice, codes, count, line, moment, quantity, ref, scale, text, yes_no
from forms.form import About, Form, declared
from forms.infant import STOOL_COLOURS
from forms.intents import FOR_PROVIDERS, TO_PROVIDERS, loinc

__all__ = ["AT_BREAST", "GIVEN_OTHERWISE", "PUMPED", "FeedingLog", "LogLine"]

HOUSE_BOUND = "house bound, no source"

SOURCE = codes(
    notes="Read in the family's own notes",
    memory="Told from memory",
    seen="Written down as it happened, at the visit",
    mixed="Some of each",
    no_log="There is no log",
)
LINE_SOURCE = codes(
    notes="Read in the family's notes", memory="Told from memory", seen="Seen", file="Taken in from a file"
)
AT_BREAST: Final = ("left", "right", "both")
"""Kinds of line that are a feed at the breast or chest, by the feeder's own side."""
GIVEN_OTHERWISE: Final = ("bottle", "cup", "spoon", "syringe", "finger", "tube_breast", "feeding_tube")
"""Kinds of line that give milk some other way; a tube at the breast is one of them, since its milk is measured."""
PUMPED: Final = "pumped"
KIND = codes(
    left="Feeder's left",
    right="Feeder's right",
    both="Both sides",
    bottle="Bottle",
    cup="Cup",
    spoon="Spoon",
    syringe="Syringe",
    finger="Finger with a tube",
    tube_breast="Tube at the breast or chest",
    feeding_tube="Feeding tube",
    pumped="Milk expressed",
    diaper="Diaper only",
    other="Something else",
)
MILK = codes(own="Own milk, expressed", donor="Donor milk", formula="Formula", mixed="Mixed, not told apart",
             other="Something else")  # fmt: skip
STOOL = codes(none="No stool", **STOOL_COLOURS)
BROUGHT_UP = codes(
    none="Nothing", little="A little", much="Much", forceful="Forceful", green="Green", blood="With blood"
)

KEPT: Final = When("source", ("notes", "memory", "seen", "mixed"))
ON_LEFT: Final = When("kind", ("left", "both", "tube_breast"))
ON_RIGHT: Final = When("kind", ("right", "both", "tube_breast"))
ON_BOTH: Final = When("kind", ("both", "tube_breast"))
MEASURED: Final = When("kind", GIVEN_OTHERWISE)
EXPRESSED: Final = When("kind", (PUMPED,))


@declared("feeding_log", "Feeding log", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class FeedingLog(Form):
    """One baby's log at one visit: where it is from, who kept it, and which 24 hours are looked at."""

    source: Given[str] = choice("The log is known from", SOURCE, need=Need.MUST, **FOR_PROVIDERS)
    kept_by: Given[str] = line("Who kept it", need=Need.WHEN_OPEN, when=KEPT, **FOR_PROVIDERS)
    window_start: Given[Moment] = moment(
        "The 24 hours begin at", lately=True, when=KEPT,
        help="Left open, they begin with the first line that has a time.", **FOR_PROVIDERS,
    )  # fmt: skip
    complete: Given[str] = choice(
        "Every feed of these 24 hours is in it", codes(yes="Yes, as told", no="No", unsure="Not sure"),
        need=Need.WHEN_OPEN, when=KEPT, **FOR_PROVIDERS,
    )  # fmt: skip
    lacking: Given[str] = text("What is lacking", when=When("complete", ("no", "unsure")), **FOR_PROVIDERS)
    taken_in: Given[str] = text("Taken in from files, and what was left out", **FOR_PROVIDERS)


@declared("log_line", "Line of the log", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class LogLine(Form):
    """One line of a baby's log: a feed, milk expressed, or a diaper."""

    kind: Given[str] = choice("What it was", KIND, need=Need.MUST, **FOR_PROVIDERS)
    kind_words: Given[str] = line("What else", need=Need.WHEN_OPEN, when=When("kind", ("other",)), **FOR_PROVIDERS)
    # 0 to 500 mL in one feed, or from one side: house bounds, no source.
    milk: Given[str] = choice("Which milk", MILK, need=Need.WHEN_OPEN, when=MEASURED, **FOR_PROVIDERS)
    amount: Given[Quantity] = quantity(
        "Milk taken", ("mL", "fl_oz"), low=0, high=500, need=Need.WHEN_OPEN, when=MEASURED, source=HOUSE_BOUND,
        **FOR_PROVIDERS,
    )  # fmt: skip
    minutes_left: Given[int] = count(
        "Minutes, feeder's left", high=240, when=ON_LEFT, source=HOUSE_BOUND, **FOR_PROVIDERS
    )
    minutes_right: Given[int] = count(
        "Minutes, feeder's right", high=240, when=ON_RIGHT, source=HOUSE_BOUND, **FOR_PROVIDERS
    )
    minutes_together: Given[int] = count(
        "Minutes, both sides together", high=480, when=ON_BOTH, source=HOUSE_BOUND,
        help="Only where the two sides were not written apart.", **FOR_PROVIDERS,
    )  # fmt: skip
    pumped_left: Given[Quantity] = quantity(
        "Expressed, feeder's left", ("mL", "fl_oz"), low=0, high=500, when=EXPRESSED, source=HOUSE_BOUND,
        **FOR_PROVIDERS,
    )  # fmt: skip
    pumped_right: Given[Quantity] = quantity(
        "Expressed, feeder's right", ("mL", "fl_oz"), low=0, high=500, when=EXPRESSED, source=HOUSE_BOUND,
        **FOR_PROVIDERS,
    )  # fmt: skip
    pumped_together: Given[Quantity] = quantity(
        "Expressed, both sides together", ("mL", "fl_oz"), low=0, high=1_000, when=EXPRESSED, source=HOUSE_BOUND,
        help="Only where the two sides were not written apart.", **FOR_PROVIDERS,
    )  # fmt: skip
    discomfort: Given[int] = scale(
        "Feeder's discomfort", ends=("none", "the worst"), when=When("kind", (*AT_BREAST, "tube_breast", PUMPED)),
        paper=TO_PROVIDERS, code=loinc("72514-3"),
    )  # fmt: skip
    feeder: Given[str] = ref("By whom", ("parent",), **FOR_PROVIDERS)
    feeder_other: Given[str] = line("By someone else", **FOR_PROVIDERS)
    starts: Given[Moment] = moment("Began", need=Need.MUST, lately=True, **FOR_PROVIDERS)
    ends: Given[Moment] = moment("Ended", lately=True, not_before="starts", **FOR_PROVIDERS)
    wet: Given[bool] = yes_no("Wet diaper", **FOR_PROVIDERS)
    stool: Given[str] = choice("Stool", STOOL, **FOR_PROVIDERS)
    stool_small: Given[bool] = yes_no(
        "Smaller than about 2.5 cm", when=When("stool", tuple(STOOL_COLOURS)), source="Texas WIC chart (S)",
        **FOR_PROVIDERS,
    )  # fmt: skip
    brought_up: Given[str] = choice("Brought up", BROUGHT_UP, **FOR_PROVIDERS)
    slept: Given[Quantity] = quantity(
        "Slept afterwards", ("h", "min"), low=0, high=1_440, source=HOUSE_BOUND, **FOR_PROVIDERS
    )
    note: Given[str] = line("Note", **FOR_PROVIDERS)
    source: Given[str] = choice("This line was", LINE_SOURCE, **FOR_PROVIDERS)
