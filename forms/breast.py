"""What is seen and felt of a parent's breasts or chest and nipples (trade line C3), each side for itself.

Consent to look and to touch is asked first, each time; "declined" closes everything after it, so that one answer says
of every line that it was not done. Sides are the parent's own. Published scales are kept as their mark with short
words of our own; nothing is added up here, and the markers of little gland tissue are listed as seen, never named as a
condition. Each place with a clock hour and a size is an entry of its own (`BreastFinding`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from forms import breast_codes as among
from forms.answers import Given, Quantity, Sided
from forms.ask import Need, NotCoded, When, choice, codes, count, line, many, quantity, scale, summary, text
from forms.form import About, Form, declared
from forms.intents import FOR_PROVIDERS, SUMMARY_ANSWER, TO_PROVIDERS, loinc

__all__ = ["BreastAssessment", "BreastFinding"]

HOUSE_BOUND = "house bound, no source"

LOOKED = When("consent", ("look_touch", "look", "stopped", "told"))
CHANGED = When("skin", among.SKIN_CHANGED)
DAMAGED = When("damage", among.DAMAGED)
COLOURED = When("colour_changes", among.COLOUR_CHANGED)
LUMP = When("kind", among.LUMPS)

SCALE = NotCoded("a mark of a published scale, kept with words of our own")


def _side(*, when: When = LOOKED, need: Need = Need.WHEN_OPEN, **more: Any) -> Mapping[str, Any]:
    """What every question of a side shares."""
    return MappingProxyType({**FOR_PROVIDERS, "sides": True, "when": when, "need": need, **more})


ASKED = _side()
OFFERED = _side(need=Need.FREE)
PAIN = _side(code=loinc("72514-3"), ends=("none", "worst"))


@declared("breast_assessment", "Breast or chest, as seen", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class BreastAssessment(Form):
    """One parent's breasts or chest at one visit. Without consent given now, only the first question is asked."""

    consent: Given[str] = choice(
        "Consent to look and to touch", among.CONSENT, need=Need.MUST, help="Asked again each time.", **FOR_PROVIDERS
    )  # fmt: skip
    feed_timing: Given[str] = choice(
        "Looked at", among.FEED_TIMING, need=Need.WHEN_OPEN, when=LOOKED, **FOR_PROVIDERS
    )  # fmt: skip
    since_milk: Given[Quantity] = quantity(
        "Since milk was last taken", ("min", "h"), low=0, high=4_320, need=Need.WHEN_OPEN, when=LOOKED,
        source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    evenness: Given[str] = choice(
        "The two sides are", among.EVENNESS, need=Need.WHEN_OPEN, when=LOOKED, **FOR_PROVIDERS
    )  # fmt: skip
    spacing: Given[str] = choice(
        "They stand", among.SPACING, need=Need.WHEN_OPEN, when=LOOKED, **FOR_PROVIDERS
    )  # fmt: skip
    # A gap of more than 3.8 cm is one marker of little gland tissue (S2, Huggins 2000, as quoted).
    gap: Given[Quantity] = quantity(
        "Gap between them", ("cm", "mm", "in"), low=0, high=200, when=When("spacing", ("wide",)), source=HOUSE_BOUND,
        **FOR_PROVIDERS,
    )  # fmt: skip
    shape: Sided[Given[str]] = choice("Shape", among.SHAPE, **ASKED)
    size: Sided[Given[str]] = choice("Size", among.SIZE, **OFFERED)
    surface: Sided[Given[tuple[str, ...]]] = many("Stretch marks and veins", among.SURFACE, alone=("none",), **ASKED)
    marks: Sided[Given[tuple[str, ...]]] = many("Scars and marks", among.MARKS, alone=("none",), **OFFERED)
    marks_where: Sided[Given[str]] = line(
        "Scars and marks: where", **_side(when=When("marks", tuple(c for c in among.MARKS if c != "none")))
    )  # fmt: skip
    shape_plain: Sided[Given[tuple[str, ...]]] = summary(
        "Shape and marks: seen, no concern", codes(shape="round", surface="none", marks="none"), sides=True,
        when=LOOKED, **SUMMARY_ANSWER,
    )  # fmt: skip
    fullness: Sided[Given[str]] = choice("Fullness", among.FULLNESS, **ASKED)
    engorgement: Sided[Given[str]] = choice(
        "Fullness, in the parent's own rating", among.ENGORGEMENT, help="The parent chooses the mark.",
        source="six-point rating, Hill and Humenick 1994 (range S, levels M)",
        **_side(when=When("fullness", ("filling", "firm", "hard")), code=SCALE),
    )  # fmt: skip
    areola_swelling: Sided[Given[str]] = choice("Areola swollen", among.SWELLING, **ASKED)
    areola_dent: Sided[Given[str]] = choice(
        "Areola pressed with a finger", among.DENT, **_side(when=When("areola_swelling", ("some", "much")))
    )  # fmt: skip
    areola_stretch: Sided[Given[str]] = choice("Areola", among.STRETCH, **OFFERED)
    armpit: Sided[Given[str]] = choice("Armpit swelling", among.ARMPIT, **ASKED)
    areola_plain: Sided[Given[tuple[str, ...]]] = summary(
        "Areola and armpit: seen, no concern",
        codes(areola_swelling="none", areola_stretch="easily", armpit="none"), sides=True, when=LOOKED,
        **SUMMARY_ANSWER,
    )  # fmt: skip
    skin: Sided[Given[tuple[str, ...]]] = many(
        "Skin", among.SKIN, alone=("usual",),
        help="Compare with the same person's skin elsewhere; on darker skin feel for warmth too.", **ASKED,
    )  # fmt: skip
    skin_where: Sided[Given[str]] = line("Skin: where", **_side(when=CHANGED))
    skin_size: Sided[Given[Quantity]] = quantity(
        "Skin: how far across", ("mm", "cm", "in"), low=1, high=300, source=HOUSE_BOUND,
        **_side(when=When("skin", ("wedge", "patch", "rash"))),
    )  # fmt: skip
    skin_since: Sided[Given[str]] = choice("Skin changed since", among.SINCE, **_side(when=CHANGED))
    skin_course: Sided[Given[str]] = choice("Skin is", among.COURSE, **_side(when=CHANGED))
    lump: Sided[Given[str]] = choice(
        "Lump", among.LUMP, help="Each lump stands on the list of places, with its hour and size.", **ASKED
    )  # fmt: skip
    skin_conditions: Sided[Given[tuple[str, ...]]] = many(
        "Skin conditions", among.CONDITIONS, alone=("none",), help="As told or as seen; a provider names them.",
        **OFFERED,
    )  # fmt: skip
    skin_plain: Sided[Given[tuple[str, ...]]] = summary(
        "Skin and lumps: seen, no concern", codes(skin="usual", lump="none"), sides=True,
        when=LOOKED, **SUMMARY_ANSWER,
    )  # fmt: skip
    tender: Sided[Given[int]] = scale("Tender to touch", **PAIN)
    nipple: Sided[Given[tuple[str, ...]]] = many("Nipple at rest", among.NIPPLE, **ASKED)
    nipple_comes_out: Sided[Given[str]] = choice(
        "When the areola is pressed, it", among.COMES_OUT, **_side(when=When("nipple", ("inverted", "dimpled", "flat")))
    )  # fmt: skip
    nipple_width: Sided[Given[Quantity]] = quantity(
        "Nipple width at rest", ("mm",), low=3, high=50, source=HOUSE_BOUND, **OFFERED
    )  # fmt: skip
    nipple_length: Sided[Given[Quantity]] = quantity(
        "Nipple length at rest", ("mm",), low=0, high=50, source=HOUSE_BOUND, **OFFERED
    )  # fmt: skip
    nipple_width_after: Sided[Given[Quantity]] = quantity(
        "Nipple width after feeding or pumping", ("mm",), low=3, high=50, source=HOUSE_BOUND, **OFFERED
    )  # fmt: skip
    shape_after: Sided[Given[tuple[str, ...]]] = many(
        "Nipple after the feed", among.SHAPE_AFTER, **_side(when=When("feed_timing", ("after",)))
    )  # fmt: skip
    damage: Sided[Given[tuple[str, ...]]] = many("Damage", among.DAMAGE, alone=("none",), **ASKED)
    trauma_score: Sided[Given[str]] = choice(
        "Nipple trauma score", among.TRAUMA,
        source="Nipple Trauma Score, Abou-Dakn 2011 (tool and 25 % split S, levels M)",
        **_side(when=DAMAGED, code=SCALE),
    )  # fmt: skip
    trauma_stage: Sided[Given[str]] = choice(
        "Damage in four stages", among.STAGE, source="four-stage version of the trade (stages 1 to 3 S2, stage 4 M)",
        **_side(when=DAMAGED, need=Need.FREE, code=SCALE),
    )  # fmt: skip
    nipple_plain: Sided[Given[tuple[str, ...]]] = summary(
        "Nipple: seen, no concern", codes(nipple="everted", shape_after="round", damage="none"), sides=True,
        when=LOOKED, **SUMMARY_ANSWER,
    )  # fmt: skip
    pain_rest: Sided[Given[int]] = scale("Pain at rest", **PAIN)
    pain_touch: Sided[Given[int]] = scale("Pain when the nipple is touched", **PAIN)
    colour_changes: Sided[Given[tuple[str, ...]]] = many(
        "Nipple changes colour or burns", among.COLOUR_CHANGES, alone=("none",), **OFFERED
    )  # fmt: skip
    colour_when: Sided[Given[tuple[str, ...]]] = many(
        "That happens", among.COLOUR_WHEN, alone=("not_known",), **_side(when=COLOURED)
    )  # fmt: skip
    colour_minutes: Sided[Given[int]] = count(
        "That lasts, minutes", low=0, high=600, source=HOUSE_BOUND, **_side(when=COLOURED)
    )  # fmt: skip
    colour_course: Sided[Given[str]] = choice("So far it", among.COLOUR_COURSE, **_side(when=COLOURED))
    bleb: Sided[Given[str]] = choice("White spot", among.BLEB, **OFFERED)
    discharge: Sided[Given[tuple[str, ...]]] = many("What comes out", among.DISCHARGE, alone=("none",), **OFFERED)
    discharge_ducts: Sided[Given[str]] = choice(
        "Openings it comes from", among.DUCTS, **_side(when=When("discharge", among.DISCHARGED))
    )  # fmt: skip
    expressed: Sided[Given[str]] = choice("Expressed by hand", among.EXPRESSED, **OFFERED)
    expressed_amount: Sided[Given[Quantity]] = quantity(
        "Expressed, how much", ("mL", "fl_oz"), low=0, high=500, source=HOUSE_BOUND,
        **_side(when=When("expressed", ("drops", "spray")), need=Need.FREE),
    )  # fmt: skip
    expressed_comfort: Sided[Given[int]] = scale(
        "Comfort while expressing", ends=("very painful", "comfortable"),
        **_side(when=When("expressed", ("none", "drops", "spray"))),
    )  # fmt: skip
    more: Given[str] = text("More about breast or chest", **FOR_PROVIDERS)


@declared("breast_finding", "A place on breast or chest", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class BreastFinding(Form):
    """One damage, lump or mark with its place: side, hour of the clock as the parent is faced, size."""

    side: Given[str] = choice(
        "Side", MappingProxyType({"left": "Left", "right": "Right"}), need=Need.MUST, help="The parent's own.",
        **FOR_PROVIDERS,
    )  # fmt: skip
    kind: Given[str] = choice("What", among.KINDS, need=Need.MUST, **FOR_PROVIDERS)
    where: Given[str] = choice("Where", among.WHERE, need=Need.MUST, **FOR_PROVIDERS)
    clock: Given[str] = choice(
        "Clock hour", among.CLOCK, need=Need.MUST,
        help="Facing the parent, 12 toward the head.", **FOR_PROVIDERS,
    )  # fmt: skip
    from_nipple: Given[Quantity] = quantity(
        "Distance from the nipple", ("cm", "mm", "in"), low=0, high=300, source=HOUSE_BOUND, need=Need.WHEN_OPEN,
        when=When("where", ("breast", "armpit")), **FOR_PROVIDERS,
    )  # fmt: skip
    longest: Given[Quantity] = quantity(
        "Size, longest", ("mm", "cm", "in"), low=1, high=300, source=HOUSE_BOUND, need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    across: Given[Quantity] = quantity(
        "Size, across that", ("mm", "cm", "in"), low=1, high=300, source=HOUSE_BOUND, **FOR_PROVIDERS
    )  # fmt: skip
    depth: Given[str] = choice(
        "Depth", among.DEPTH, need=Need.WHEN_OPEN, when=When("kind", among.SKIN_BROKEN), **FOR_PROVIDERS
    )  # fmt: skip
    feel: Given[str] = choice("Feels", among.FEEL, need=Need.WHEN_OPEN, when=LUMP, **FOR_PROVIDERS)
    moves: Given[str] = choice("Under the finger it", among.MOVES, need=Need.WHEN_OPEN, when=LUMP, **FOR_PROVIDERS)
    tender: Given[int] = scale(
        "Tender", ends=("none", "worst"), need=Need.WHEN_OPEN, when=LUMP, paper=TO_PROVIDERS, code=loinc("72514-3")
    )  # fmt: skip
    after_feed: Given[str] = choice(
        "After a feed it", among.AFTER_FEED, need=Need.WHEN_OPEN, when=LUMP, **FOR_PROVIDERS
    )  # fmt: skip
    since: Given[str] = choice(
        "There for", among.SINCE, need=Need.WHEN_OPEN, when=When("kind", (*among.LUMPS, "patch")), **FOR_PROVIDERS
    )  # fmt: skip
    course: Given[str] = choice("It is", among.COURSE, **FOR_PROVIDERS)
