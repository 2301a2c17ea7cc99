"""Weight readings: every weight of a baby after birth, told, read in a document, or seen on a scale.

A reading made around a feed points to that feed with its side and whether it was before or after.
"""

from __future__ import annotations

from dataclasses import dataclass

from forms.answers import Given, Moment, Quantity, every
from forms.ask import (
    Coded,
    Need,
    NotCoded,
    NotPrinted,
    Paper,
    Printed,
    When,
    ask_of,
    choice,
    line,
    moment,
    quantity,
    ref,
    text,
    yes_no,
)
from forms.form import About, Form, declared
from forms.newer import choice_words

__all__ = ["HIGHEST", "LOWEST", "WeightReading", "around_feed_words", "is_around_feed"]

# 300 to 25,000 g: house bounds, no source. They refuse a slip of a digit, not an unusual baby.
LOWEST, HIGHEST = 300, 25_000

CLINICAL = Printed((Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY))
FIGURE = Printed((Paper.FAMILY_PLAN, Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY))
PART = NotCoded("says how the weight was taken; handed over inside the weight")
KEPT = NotPrinted("about the entry itself, kept with the chart")


@declared("weight", "Weight", About.PERSON, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class WeightReading(Form):
    """One weight of one baby: the amount as typed, when, how and by whom."""

    weight: Given[Quantity] = quantity(
        "Weight", ("g", "kg", "lb_oz"), low=LOWEST, high=HIGHEST, need=Need.MUST, paper=FIGURE,
        code=Coded("http://loinc.org", "29463-7"), source="house bound, no source",
    )  # fmt: skip
    taken: Given[Moment] = moment("Weighed at", need=Need.MUST, paper=FIGURE, code=PART)
    state: Given[str] = choice(
        "Weighed in",
        {"bare": "Nothing at all", "dry_diaper": "A dry diaper", "clothes": "Clothes", "unknown": "Not known"},
        need=Need.MUST, paper=CLINICAL, code=PART,
    )  # fmt: skip
    source: Given[str] = choice(
        "Known from",
        {"seen": "Seen on the scale", "told": "Told by the family", "document": "Read in a document"},
        need=Need.MUST, paper=FIGURE, code=PART,
    )  # fmt: skip
    told_by: Given[str] = line(
        "Told by", need=Need.WHEN_OPEN, when=When("source", one_of=("told",)), paper=CLINICAL, code=PART
    )
    document: Given[str] = line(
        "Which document", need=Need.WHEN_OPEN, when=When("source", one_of=("document",)), paper=CLINICAL, code=PART
    )
    scale_name: Given[str] = line("Scale", need=Need.MUST, paper=CLINICAL, code=PART)
    # 1 to 100 g: house bound, no source.
    scale_step: Given[Quantity] = quantity(
        "Smallest step of the scale", ("g",), low=1, high=100, paper=CLINICAL, code=PART,
        source="house bound, no source",
    )  # fmt: skip
    by_whom: Given[str] = line("Weighed by", need=Need.MUST, paper=CLINICAL, code=PART)
    # The same limits as the weight itself: house bounds, no source.
    repeat: Given[Quantity] = quantity(
        "Second reading", ("g", "kg", "lb_oz"), low=LOWEST, high=HIGHEST, paper=CLINICAL, code=PART,
        help="Taken off the scale and put back on.", source="house bound, no source",
    )  # fmt: skip
    feed: Given[str] = ref("Around which feed", ("feed",), paper=CLINICAL, code=PART)
    feed_side: Given[str] = choice(
        "Around which side",
        {"left": "The feeder's left", "right": "The feeder's right", "both": "The whole feed", "bottle": "A bottle"},
        need=Need.WHEN_OPEN, when=When("feed", answered=True), paper=CLINICAL, code=PART,
    )  # fmt: skip
    feed_point: Given[str] = choice(
        "Before or after", {"before": "Before", "after": "After"},
        need=Need.WHEN_OPEN, when=When("feed", answered=True), paper=CLINICAL, code=PART,
    )  # fmt: skip
    diaper_changed: Given[bool] = yes_no(
        "Diaper changed since the weight before", need=Need.WHEN_OPEN, when=When("feed_point", one_of=("after",)),
        paper=CLINICAL, code=PART, help="A changed diaper makes the difference mean nothing.",
    )  # fmt: skip
    same_clothes: Given[bool] = yes_no(
        "Same clothes as the weight before", need=Need.WHEN_OPEN, when=When("feed_point", one_of=("after",)),
        paper=CLINICAL, code=PART,
    )  # fmt: skip
    spit_up: Given[bool] = yes_no(
        "Spit up since the weight before", need=Need.WHEN_OPEN, when=When("feed_point", one_of=("after",)),
        paper=CLINICAL, code=PART,
    )  # fmt: skip
    kept_after_asking: Given[str] = text("Asked about this weight; the answer", paper=KEPT, code=PART)
    moved_here: Given[str] = text("Moved here from another baby, and why", paper=CLINICAL, code=PART)


def is_around_feed(reading: WeightReading) -> bool:
    """Whether a reading was taken around a feed, by any value that stands.

    It serves the difference between before and after, mostly in clothes, and is no weight of the baby's body: it stands
    in no percent from birth, no gain and no line of weights.
    """
    return bool(every(reading.feed))


def around_feed_words(reading: WeightReading) -> str:
    """How a reading belongs to a feed: "around a feed, before, the feeder's left"; "" for one that does not."""
    if not is_around_feed(reading):
        return ""
    said = ["around a feed"]
    for name in ("feed_point", "feed_side"):
        ask = ask_of(WeightReading, name)
        given = " or ".join(choice_words(ask, code) for code in every(getattr(reading, name)))
        said.append(f"{given[:1].lower()}{given[1:]}")
    return ", ".join(words for words in said if words)
