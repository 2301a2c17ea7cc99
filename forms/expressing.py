"""Expressing milk: one session as it went, and what a day of it comes to as told (trade lines C7).

A side is the parent's own. An untouched amount is not nothing: nothing is typed as 0. Discomfort runs from 0, none, so
that a higher number is always worse. Nipple and flange are only measured; what fits is seen, never worked out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from forms.answers import Given, Moment, Quantity, Sided
from forms.ask import Need, When, choice, codes, count, line, many, moment, quantity, scale, text, yes_no
from forms.form import About, Form, declared
from forms.intents import FOR_PROVIDERS, IN_HOUSE, TO_PROVIDERS, loinc

__all__ = ["ExpressingDay", "Expression"]

HOUSE_BOUND = "house bound, no source"

SOURCE = codes(seen="Seen at this visit", told="Told", document="Read in a document or log")
WAY = codes(electric="Electric pump", manual="Hand pump", hand="By hand", not_expressed="Not expressed")
TOGETHER = codes(single="One side, then the other", double="Both sides at once", one_side="One side only")
PUMP_CLASS = codes(own="Own pump", hired="Hired", hospital_grade="Hospital grade", not_known="Not known")
FIT = codes(
    moves_freely="Nipple moves freely",
    rubs="Nipple rubs the tunnel",
    areola_in="Areola is drawn in",
    white="Nipple turns white",
    not_seen="Not seen",
)
NIPPLE_AFTER = codes(
    as_before="As before", longer="Longer, still round", swollen="Swollen", rubbed="Rubbed or red", cracked="Cracked",
    white="White", not_seen="Not seen",
)  # fmt: skip
BREAST_AFTER = codes(softer="Softer", little="A little softer", same="The same", not_known="Not known")
HELPED = codes(
    none="None of these",
    massage="Light massage while expressing",
    warmth="Warmth beforehand",
    near_baby="Baby near, or a picture of baby",
    covered="Not watching the bottle",
    hand_after="By hand after the pump",
)
USE = codes(
    given="Given now", room="Kept at room temperature", fridge="Into the fridge", freezer="Into the freezer",
    unit="Taken to a hospital unit", other="Something else", thrown="Thrown away",
)  # fmt: skip
STORED = ("room", "fridge", "freezer")
KEPT_FOR = codes(
    term_home="A baby born at 37 weeks or later, well and at home", early_or_ill="A baby born earlier, or ill"
)

EXPRESSED: Final = When("way", ("electric", "manual", "hand"))
PUMPED: Final = When("way", ("electric", "manual"))


@declared("expression", "Expressing session", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class Expression(Form):
    """One session of expressing, seen, told or read in a log."""

    source: Given[str] = choice("This session was", SOURCE, need=Need.MUST, **FOR_PROVIDERS)
    began: Given[Moment] = moment("Expressing began", need=Need.MUST, lately=True, **FOR_PROVIDERS)
    ended: Given[Moment] = moment("Expressing ended", need=Need.MUST, lately=True, not_before="began", **FOR_PROVIDERS)
    way: Sided[Given[str]] = choice("Expressed with", WAY, sides=True, need=Need.MUST, **FOR_PROVIDERS)
    together: Given[str] = choice("Single or double", TOGETHER, need=Need.WHEN_OPEN, when=EXPRESSED, **FOR_PROVIDERS)
    # 0 to 500 mL from one side at one session: house bound, no source.
    amount: Sided[Given[Quantity]] = quantity(
        "Milk expressed", ("mL", "fl_oz"), low=0, high=500, sides=True, need=Need.WHEN_OPEN, when=EXPRESSED,
        source=HOUSE_BOUND, help="Type 0 when nothing came.", **FOR_PROVIDERS,
    )  # fmt: skip
    nothing_came: Sided[Given[str]] = text(
        "Nothing came: what was seen or tried", sides=True, when=When("amount", at_most=0), **FOR_PROVIDERS
    )
    first_drops: Sided[Given[int]] = count(
        "Minutes until the first drops", high=60, sides=True, when=EXPRESSED, source=HOUSE_BOUND, **FOR_PROVIDERS
    )
    let_downs: Sided[Given[int]] = count(
        "Letdowns seen", high=20, sides=True, when=EXPRESSED, source=HOUSE_BOUND, **FOR_PROVIDERS
    )
    discomfort: Sided[Given[int]] = scale(
        "Discomfort while expressing", ends=("none", "the worst"), sides=True, need=Need.WHEN_OPEN, when=EXPRESSED,
        paper=TO_PROVIDERS, code=loinc("72514-3"),
    )  # fmt: skip
    # 3 of 10 asks where and when: from memory of the trade (M).
    discomfort_words: Sided[Given[str]] = text(
        "Discomfort: where, when, and what eased it", sides=True, when=When("discomfort", at_least=3), **FOR_PROVIDERS
    )
    nipple_after: Sided[Given[tuple[str, ...]]] = many(
        "Nipple after expressing", NIPPLE_AFTER, alone=("as_before", "not_seen"), sides=True, need=Need.WHEN_OPEN,
        when=EXPRESSED, **FOR_PROVIDERS,
    )  # fmt: skip
    breast_after: Sided[Given[str]] = choice(
        "After expressing this side was", BREAST_AFTER, sides=True, need=Need.WHEN_OPEN, when=EXPRESSED,
        **FOR_PROVIDERS,
    )  # fmt: skip
    pump_class: Given[str] = choice("Pump", PUMP_CLASS, need=Need.WHEN_OPEN, when=PUMPED, **FOR_PROVIDERS)
    pump_settings: Given[str] = line("Suction and cycles, as set", when=PUMPED, **FOR_PROVIDERS)
    # 5 to 40 mm for a nipple, 10 to 50 mm for a flange: house bounds, no source.
    nipple_width: Sided[Given[Quantity]] = quantity(
        "Nipple width at rest", ("mm",), low=5, high=40, sides=True, need=Need.WHEN_OPEN, when=PUMPED,
        source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    flange: Sided[Given[Quantity]] = quantity(
        "Flange used", ("mm",), low=10, high=50, sides=True, need=Need.WHEN_OPEN, when=PUMPED, source=HOUSE_BOUND,
        **FOR_PROVIDERS,
    )  # fmt: skip
    fit: Sided[Given[tuple[str, ...]]] = many(
        "Fit of the flange, as seen", FIT, alone=("moves_freely", "not_seen"), sides=True, need=Need.WHEN_OPEN,
        when=PUMPED, **FOR_PROVIDERS,
    )  # fmt: skip
    refit: Sided[Given[str]] = text(
        "Fitted again: what was changed, and what it did", sides=True, need=Need.WHEN_OPEN,
        when=When("fit", ("rubs", "areola_in", "white")), **FOR_PROVIDERS,
    )  # fmt: skip
    helped: Given[tuple[str, ...]] = many(
        "What went with it", HELPED, alone=("none",), help="Light touch only: deep massage is advised against.",
        source="ABM protocol 36, 2022 (S)", **FOR_PROVIDERS,
    )  # fmt: skip
    use: Given[tuple[str, ...]] = many("Where the milk goes", USE, **FOR_PROVIDERS)
    use_words: Given[str] = line("Where else", when=When("use", ("other",)), **FOR_PROVIDERS)
    kept_for: Given[str] = choice(
        "The milk is kept for", KEPT_FOR, need=Need.WHEN_OPEN, when=When("use", STORED), **FOR_PROVIDERS
    )
    note: Given[str] = text("More about this session", **FOR_PROVIDERS)


NOW: Final = When("expresses", (True,))


@declared("expressing_day", "Expressing in 24 hours", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class ExpressingDay(Form):
    """What expressing comes to in 24 hours, as told; sessions of their own stand beside it."""

    expresses: Given[bool] = yes_no("Expresses milk now", need=Need.MUST, **FOR_PROVIDERS)
    sessions_24h: Given[int] = count(
        "Sessions in 24 hours", high=24, need=Need.WHEN_OPEN, when=NOW, source=HOUSE_BOUND, **FOR_PROVIDERS
    )
    longest_gap: Given[Quantity] = quantity(
        "Longest time between sessions", ("h", "min"), low=0, high=2_880, need=Need.WHEN_OPEN, when=NOW,
        source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    # More than 6 hours in the first weeks, when supply is the question: from memory of the trade (M).
    gap_words: Given[str] = text(
        "Longer than 6 hours: why, and what was agreed", when=When("longest_gap", at_least=361),
        source="6 hours: from memory (M)", **FOR_PROVIDERS,
    )  # fmt: skip
    total_24h: Given[Quantity] = quantity(
        "Expressed in 24 hours, both sides", ("mL", "fl_oz"), low=0, high=4_000, need=Need.WHEN_OPEN, when=NOW,
        source=HOUSE_BOUND, help="Type 0 when nothing came.", **FOR_PROVIDERS,
    )  # fmt: skip
    each_side_24h: Sided[Given[Quantity]] = quantity(
        "Of that, this side", ("mL", "fl_oz"), low=0, high=3_000, sides=True, when=NOW, source=HOUSE_BOUND,
        **FOR_PROVIDERS,
    )  # fmt: skip
    night_session: Given[bool] = yes_no(
        "One of them between 01:00 and 05:00", need=Need.WHEN_OPEN, when=NOW,
        source="J Perinatol 2023 (S)", **FOR_PROVIDERS,
    )  # fmt: skip
    minutes_24h: Given[int] = count(
        "Minutes in all, in 24 hours", high=600, when=NOW, source=HOUSE_BOUND, **FOR_PROVIDERS
    )
    first_expressed: Given[Quantity] = quantity(
        "First expressed, after birth", ("h", "min"), low=0, high=20_160, when=NOW, source=HOUSE_BOUND, **FOR_PROVIDERS
    )
    supply_in_question: Given[bool] = yes_no(
        "Supply is the question now", need=Need.WHEN_OPEN, when=NOW, **FOR_PROVIDERS
    )
    cleaning_taught: Given[bool] = yes_no("Cleaning the parts was taught", when=NOW, **IN_HOUSE)
    more: Given[str] = text("More about expressing", when=NOW, **FOR_PROVIDERS)
