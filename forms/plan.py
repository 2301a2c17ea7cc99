"""The plan made together: goal, up to three tasks, amounts, what to watch for, and how it was left."""

from __future__ import annotations

from dataclasses import dataclass

from forms.answers import Given, Moment, Quantity
from forms.ask import (
    Need,
    NotCoded,
    Paper,
    Printed,
    When,
    choice,
    codes,
    count,
    line,
    many,
    moment,
    quantity,
    ref,
    refs,
    text,
    yes_no,
)
from forms.form import About, Form, declared

__all__ = ["METHODS", "MILKS", "FeedingAmount", "Plan", "PlanTask"]

EVERYWHERE = Printed((Paper.FAMILY_PLAN, Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY))
TO_THE_END = Printed((*EVERYWHERE.on, Paper.CLOSING))
"""What may still be open when care ends."""
CLINICAL = Printed((Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY))
FAMILY = Printed((Paper.FAMILY_PLAN, Paper.SUMMARY))
CALL = Printed((Paper.FAMILY_PLAN, Paper.CALL_NOW, Paper.SUMMARY))
RECORD = Printed((Paper.SUMMARY,))
PART = NotCoded("part of the care plan, handed over with it as text")

MILKS = codes(own="Your own milk", donor="Donor milk", formula="Formula")
METHODS = codes(
    bottle="By bottle, slowly, with pauses",
    tube_breast="By a tube at the breast or chest",
    cup="By cup",
    spoon="By spoon",
    syringe="By syringe",
    finger="By finger with a tube",
)


@declared("plan", "Plan", About.VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class Plan(Form):
    """The plan of one visit. An older plan stands as it was left and is followed by the next, never rewritten."""

    goal: Given[str] = text("The goal, in the family's own words", need=Need.MUST, paper=EVERYWHERE, code=PART)
    went_well: Given[str] = text("What went well", need=Need.MUST, paper=FAMILY, code=PART)
    tried_and_kept: Given[str] = text("What we tried today and kept", need=Need.MUST, paper=EVERYWHERE, code=PART)
    expressing: Given[str] = text("Expressing: when and how long", paper=EVERYWHERE, code=PART)
    comfort_care: Given[str] = text("Comfort and care of skin and nipples", paper=EVERYWHERE, code=PART)
    # Signs and levels: the ladder of urgent signs, see SOURCES.md; the emergency lines print whether ticked or not.
    watch_baby: Given[tuple[str, ...]] = many(
        "Watch baby for",
        {
            "sleepy": "Too sleepy to finish two feeds in a row",
            "few_wets": "Fewer wet diapers than the plan says",
            "no_wet_8h": "No wet diaper in 8 hours",
            "yellow": "More yellow, or yellow eyes",
            "stools": "Black, white or bloody stools",
            "fever": "Fever, or feels cold",
            "vomit": "Vomits after every feed",
            "refuses": "Will not feed",
        },
        need=Need.MUST, paper=CALL, code=PART,
    )  # fmt: skip
    watch_baby_words: Given[str] = text("Watch baby also for", paper=CALL, code=PART)
    watch_parent: Given[tuple[str, ...]] = many(
        "Watch yourself for",
        {
            "fever": "Fever or chills",
            "sore_area": "A hot, sore or red area",
            "lump": "A lump that stays",
            "bleeding": "Bleeding that soaks a pad in an hour",
            "headache": "A bad headache or changed sight",
            "leg": "A swollen, painful leg",
            "low": "Feeling very low, or frightening thoughts",
            "pain": "Pain that gets worse",
        },
        need=Need.MUST, paper=CALL, code=PART,
    )  # fmt: skip
    watch_parent_words: Given[str] = text("Watch yourself also for", paper=CALL, code=PART)
    followup_kind: Given[str] = choice(
        "What comes next",
        {
            "home": "A visit at home",
            "clinic": "A clinic visit",
            "video": "A video call",
            "phone": "A phone call",
            "text": "A text message",
            "provider": "A visit to the provider",
            "none": "Nothing planned; the family will call",
        },
        need=Need.MUST, paper=TO_THE_END, code=PART,
    )  # fmt: skip
    followup_at: Given[Moment] = moment(
        "When", need=Need.WHEN_OPEN, paper=EVERYWHERE, code=PART,
        when=When("followup_kind", one_of=("home", "clinic", "video", "phone", "text", "provider")),
    )  # fmt: skip
    weight_check_by: Given[str] = line("Who weighs baby next, and when", need=Need.MUST, paper=EVERYWHERE, code=PART)
    advice: Given[tuple[str, ...]] = many(
        "Advice given",
        {"safe_sleep": "Safe sleep", "storage": "Storing milk safely", "bottle": "Safe bottles", "none": "None needed"},
        alone=("none",), paper=RECORD, code=PART,
    )  # fmt: skip
    chose_otherwise: Given[str] = text("What the family chose not to do, or to do otherwise", paper=CLINICAL, code=PART)
    teach_back: Given[tuple[str, ...]] = many(
        "Talked through", {"said": "Said back", "shown": "Shown back"}, need=Need.MUST, paper=RECORD, code=PART
    )
    teach_back_with: Given[str] = line(
        "With whom", need=Need.WHEN_OPEN, when=When("teach_back", one_of=("said", "shown")), paper=RECORD, code=PART
    )
    language: Given[str] = line("Language the plan was talked through in", need=Need.MUST, paper=RECORD, code=PART)
    left_how: Given[tuple[str, ...]] = many(
        "How the plan is left",
        {
            "printed": "Printed",
            "file": "As a file on the family's own stick",
            "copied": "Copied by hand",
            "read_out": "Read out",
            "sent": "Sent afterwards",
        },
        need=Need.MUST, paper=RECORD, code=PART,
    )  # fmt: skip
    left_with: Given[str] = line("With whom it is left", need=Need.MUST, paper=RECORD, code=PART)
    left_at: Given[Moment] = moment("When it was left", paper=RECORD, code=PART)
    copy_to: Given[tuple[str, ...]] = refs("Copy to", ("provider",), paper=CLINICAL, code=PART)


@declared("plan_task", "Task", About.VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class PlanTask(Form):
    """One of at most three main tasks."""

    # Three at most: limit to three key points (S:AFP).
    order: Given[int] = count(
        "Which of the three", low=1, high=3, need=Need.MUST, paper=EVERYWHERE, code=PART,
        source="three key points (S:AFP)",
    )  # fmt: skip
    what: Given[str] = text("What to do", need=Need.MUST, paper=TO_THE_END, code=PART)
    how_often: Given[str] = line("How often", need=Need.MUST, paper=EVERYWHERE, code=PART)
    until: Given[str] = line("Until when", need=Need.MUST, paper=EVERYWHERE, code=PART)
    who: Given[str] = line("Who does it", need=Need.MUST, paper=EVERYWHERE, code=PART)
    concerns: Given[tuple[str, ...]] = refs("For whom", ("parent", "infant"), paper=TO_THE_END, code=PART)


GIVEN = When("extra_milk", one_of=(True,))
SUMMED = When("per_kg", answered=True)


@declared("feeding_amount", "Amounts", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class FeedingAmount(Form):
    """Milk given beside feeding at the breast or chest, for one baby. Amounts are never filled in from a table."""

    extra_milk: Given[bool] = yes_no("More milk is part of the plan", need=Need.MUST, paper=CLINICAL, code=PART)
    # 1 to 500 mL each time and 1 to 24 times: house bounds, no source.
    per_feed: Given[Quantity] = quantity(
        "Each time", ("mL", "fl_oz"), low=1, high=500, need=Need.WHEN_OPEN, when=GIVEN, paper=EVERYWHERE, code=PART,
        source="house bound, no source",
    )  # fmt: skip
    times_per_day: Given[int] = count(
        "How many times in a day and a night", low=1, high=24, need=Need.WHEN_OPEN, when=GIVEN, paper=EVERYWHERE,
        code=PART, source="house bound, no source",
    )  # fmt: skip
    milks: Given[tuple[str, ...]] = many(
        "Which milk, first to last", MILKS, need=Need.WHEN_OPEN, when=GIVEN, paper=EVERYWHERE, code=PART
    )
    method: Given[str] = choice(
        "How it is given", METHODS, need=Need.WHEN_OPEN, when=GIVEN, paper=EVERYWHERE, code=PART
    )
    origin: Given[str] = choice(
        "Whose amount this is",
        {"provider": "The provider's order", "consultant": "The consultant's suggestion", "family": "The family's own"},
        need=Need.WHEN_OPEN, when=GIVEN, paper=CLINICAL, code=PART,
    )  # fmt: skip
    agreed: Given[str] = choice(
        "Agreed with the provider",
        {"agreed": "Agreed", "sent": "Sent to the provider", "to_be_agreed": "Still to be agreed"},
        need=Need.WHEN_OPEN, when=GIVEN, paper=EVERYWHERE, code=PART,
    )  # fmt: skip
    agreed_with: Given[str] = ref(
        "With which provider", ("provider",), need=Need.WHEN_OPEN, when=When("agreed", one_of=("agreed", "sent")),
        paper=EVERYWHERE, code=PART,
    )  # fmt: skip
    agreed_at: Given[Moment] = moment(
        "Agreed or sent at", need=Need.WHEN_OPEN, when=When("agreed", one_of=("agreed", "sent")), paper=EVERYWHERE,
        code=PART,
    )  # fmt: skip
    until: Given[str] = line("Until when", need=Need.WHEN_OPEN, when=GIVEN, paper=EVERYWHERE, code=PART)
    # The consultant's own figure, or copied from an order: there is no published one that fits every baby, so nothing
    # is offered and the program only multiplies it. 1 to 300 mL for each kg: house bound, no source.
    per_kg: Given[int] = count(
        "mL for each kg in 24 hours", low=1, high=300, paper=CLINICAL, code=PART, source="house bound, no source"
    )
    per_kg_origin: Given[str] = choice(
        "Where that figure is from",
        {
            "provider": "The provider's order",
            "unit": "The hospital's own plan",
            "consultant": "The consultant's suggestion",
            "family": "Told by the family",
        },
        need=Need.WHEN_OPEN, when=SUMMED, paper=CLINICAL, code=PART,
    )  # fmt: skip
    per_kg_from: Given[str] = line("From whom, and when", when=SUMMED, paper=CLINICAL, code=PART)
    feeds_per_day: Given[int] = count(
        "Feeds in 24 hours to share it among", low=1, high=24, need=Need.WHEN_OPEN, when=SUMMED, paper=CLINICAL,
        code=PART, source="house bound, no source",
    )  # fmt: skip
    # 0 to 2,000 mL: house bound, no source.
    measured_24h: Given[Quantity] = quantity(
        "Taken at the breast or chest in 24 hours, as weighed", ("mL", "fl_oz"), low=0, high=2_000, when=SUMMED,
        paper=CLINICAL, code=PART, source="house bound, no source",
        help="Only when every feed of 24 hours was weighed.",
    )  # fmt: skip
