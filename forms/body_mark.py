"""One mark on one of our own line outlines, or on a photo: what was seen, exactly where, how large (C3, C4, C5).

The place is kept twice over: as the point on the outline (thousandths of its width and height) and in the trade's
words (the hour and the distance on a chest, a named region elsewhere). Whichever is given writes the other with it, in
one step (`forms.pictures.outlines`); `placed` says which of the two the consultant gave, so that a distance read off an
outline is never taken for one that was measured. Sides are the person's own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from forms import breast_codes
from forms.answers import Given, Quantity
from forms.ask import Need, NotCoded, NotPrinted, When, choice, codes, count, quantity, ref, scale, text
from forms.form import About, Form, declared
from forms.intents import FOR_PROVIDERS, TO_PROVIDERS, loinc

__all__ = ["DAMAGE", "KINDS", "ON_BODY", "ON_HEAD", "ON_MOUTH", "OUTLINES", "PLACE", "BodyMark"]

HOUSE_BOUND = "house bound, no source"

OUTLINES = codes(
    chest="Chest",
    mouth_open="Mouth, open",
    tongue_lifted="Mouth, tongue lifted",
    body_front="Body, front",
    body_back="Body, back",
    head_above="Head, from above",
    photo="A photo",
)
SIDES = codes(left="Own left", right="Own right")
ON_CHEST = breast_codes.WHERE
ON_MOUTH = codes(
    upper_lip="Upper lip",
    lower_lip="Lower lip",
    corner_left="Corner of the mouth, own left",
    corner_right="Corner of the mouth, own right",
    upper_gum_left="Upper gum, own left",
    upper_gum_middle="Upper gum, middle",
    upper_gum_right="Upper gum, own right",
    palate_front="Palate, front",
    palate_back="Palate, back",
    uvula="Uvula",
    cheek_left="Cheek inside, own left",
    cheek_right="Cheek inside, own right",
    tongue_tip="Tip of the tongue",
    tongue_middle="Middle of the tongue",
    tongue_back="Back of the tongue",
    tongue_edge_left="Edge of the tongue, own left",
    tongue_edge_right="Edge of the tongue, own right",
    under_tip="Under the tip of the tongue",
    under_middle="Under the middle of the tongue",
    under_base="Under the tongue, at its base",
    floor_middle="Floor of the mouth, middle",
    floor_left="Floor of the mouth, own left",
    floor_right="Floor of the mouth, own right",
    lower_gum_left="Lower gum, own left",
    lower_gum_middle="Lower gum, middle",
    lower_gum_right="Lower gum, own right",
)
ON_BODY = codes(
    head="Head",
    face="Face",
    back_of_head="Back of the head",
    neck="Neck",
    collarbone_left="Collarbone, own left",
    collarbone_right="Collarbone, own right",
    shoulder_left="Shoulder, own left",
    shoulder_right="Shoulder, own right",
    chest_left="Chest, own left",
    chest_right="Chest, own right",
    belly="Belly",
    navel="Navel and cord",
    diaper_area="Diaper area",
    upper_back="Upper back",
    lower_back="Lower back",
    buttock_left="Buttock, own left",
    buttock_right="Buttock, own right",
    hip_left="Hip, own left",
    hip_right="Hip, own right",
    upper_arm_left="Upper arm, own left",
    upper_arm_right="Upper arm, own right",
    forearm_left="Forearm, own left",
    forearm_right="Forearm, own right",
    hand_left="Hand, own left",
    hand_right="Hand, own right",
    thigh_left="Thigh, own left",
    thigh_right="Thigh, own right",
    lower_leg_left="Lower leg, own left",
    lower_leg_right="Lower leg, own right",
    foot_left="Foot, own left",
    foot_right="Foot, own right",
)
ON_HEAD = codes(
    soft_spot="Soft spot",
    forehead="Forehead",
    crown="Crown",
    back_of_head="Back of the head",
    side_left="Side of the head, own left",
    side_right="Side of the head, own right",
    ear_left="Ear, own left",
    ear_right="Ear, own right",
)
KINDS = codes(
    crack="Crack",
    graze="Graze",
    blister="Blister",
    open="Open place",
    scab="Scab",
    crust="Yellow crust",
    bleeding="Bleeding",
    colour="Redder, darker or paler",
    lump="Lump",
    swelling="Swelling",
    spot="White spot",
    bleb="Bleb, under thin skin",
    tender="Tender spot",
    frenulum="Where the frenulum meets",
    white_patch="White patch",
    sore="Sore",
    bruise="Bruise",
    rash="Rash",
    birth_mark="Birth mark",
    scar="Scar",
    asymmetry="Not the same on both sides",
    other="Something else",
)
DAMAGE: Final = breast_codes.SKIN_BROKEN
"""Kinds that are damage to the skin: they have a depth."""
PLACED = codes(pointed="Pointed at on the outline", told="Given as hour and distance, or as a region")

PLACE: Final = (
    "outline", "side", "photo", "x", "y", "clock", "on_chest", "from_nipple", "on_mouth", "on_body", "on_head",
    "placed",
)  # fmt: skip
"""The questions that say where a mark is: written together, as one step."""

CHEST = When("outline", ("chest",))


@declared("body_mark", "A mark on an outline", About.PERSON_AT_VISIT, repeats=True)
@dataclass(frozen=True, slots=True, kw_only=True)
class BodyMark(Form):
    """One mark of one person at one visit."""

    outline: Given[str] = choice("Outline", OUTLINES, need=Need.MUST, **FOR_PROVIDERS)
    side: Given[str] = choice(
        "Side", SIDES, need=Need.WHEN_OPEN, when=CHEST, help="The person's own.", **FOR_PROVIDERS
    )  # fmt: skip
    photo: Given[str] = ref(
        "On which photo", ("photo",), need=Need.WHEN_OPEN, when=When("outline", ("photo",)),
        paper=NotPrinted("the mark is printed on the photo itself"), code=NotCoded("joins a mark to its photo"),
    )  # fmt: skip
    x: Given[int] = count(
        "Place across", low=0, high=1_000, source=HOUSE_BOUND,
        paper=NotPrinted("drawn on the outline, and said in words"), code=NotCoded("a point on a drawing of our own"),
    )  # fmt: skip
    y: Given[int] = count(
        "Place down", low=0, high=1_000, source=HOUSE_BOUND,
        paper=NotPrinted("drawn on the outline, and said in words"), code=NotCoded("a point on a drawing of our own"),
    )  # fmt: skip
    clock: Given[str] = choice(
        "Clock hour", breast_codes.CLOCK, need=Need.WHEN_OPEN, when=CHEST,
        help="Facing the parent, 12 toward the head.", **FOR_PROVIDERS,
    )  # fmt: skip
    on_chest: Given[str] = choice("Where on the chest", ON_CHEST, need=Need.WHEN_OPEN, when=CHEST, **FOR_PROVIDERS)
    from_nipple: Given[Quantity] = quantity(
        "Distance from the nipple", ("cm", "mm", "in"), low=0, high=300, source=HOUSE_BOUND, need=Need.WHEN_OPEN,
        when=When("on_chest", ("areola", "breast", "armpit")), **FOR_PROVIDERS,
    )  # fmt: skip
    on_mouth: Given[str] = choice(
        "Where in the mouth", ON_MOUTH, need=Need.WHEN_OPEN, when=When("outline", ("mouth_open", "tongue_lifted")),
        **FOR_PROVIDERS,
    )  # fmt: skip
    on_body: Given[str] = choice(
        "Where on the body", ON_BODY, need=Need.WHEN_OPEN, when=When("outline", ("body_front", "body_back")),
        **FOR_PROVIDERS,
    )  # fmt: skip
    on_head: Given[str] = choice(
        "Where on the head", ON_HEAD, need=Need.WHEN_OPEN, when=When("outline", ("head_above",)), **FOR_PROVIDERS
    )  # fmt: skip
    placed: Given[str] = choice(
        "How it was placed", PLACED, paper=NotPrinted("said by the word “about” before a distance"),
        code=NotCoded("says how a place was given"),
    )  # fmt: skip
    kind: Given[str] = choice("What", KINDS, need=Need.MUST, **FOR_PROVIDERS)
    depth: Given[str] = choice("Depth", breast_codes.DEPTH, when=When("kind", DAMAGE), **FOR_PROVIDERS)
    longest: Given[Quantity] = quantity(
        "Size, longest", ("mm", "cm", "in"), low=1, high=300, source=HOUSE_BOUND, **FOR_PROVIDERS
    )  # fmt: skip
    across: Given[Quantity] = quantity(
        "Size, across that", ("mm", "cm", "in"), low=1, high=300, source=HOUSE_BOUND, **FOR_PROVIDERS
    )  # fmt: skip
    tender: Given[int] = scale("Tender", ends=("none", "worst"), paper=TO_PROVIDERS, code=loinc("72514-3"))
    words: Given[str] = text("In words", **FOR_PROVIDERS)
