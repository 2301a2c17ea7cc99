"""What is seen of the baby at a visit (trade line C5): state, tone, colour, breathing, skin, cues.

Weights are entries of their own (`forms.weight`), drawings come later. Every EMERGENCY and SAME DAY sign that is seen
rather than told has its own code here; what the family tells of feeds and diapers stands in `forms.infant_history`.
A jaundice extent is what an eye saw, never a measure of bilirubin.
"""

from __future__ import annotations

from dataclasses import dataclass

from forms.answers import Given, Moment, Quantity
from forms.ask import Need, When, choice, codes, count, many, moment, quantity, summary, text, yes_no
from forms.form import About, Form, declared
from forms.intents import FOR_PROVIDERS, PRIVATE, SUMMARY_ANSWER, TO_PROVIDERS, loinc

__all__ = ["STOOL_COLOURS", "URINE_COLOURS", "InfantAssessment"]

HOUSE_BOUND = "house bound, no source"

SEEN_HOW = codes(seen="Seen at this visit", video="Seen by video", reported="Told by the family only")
NO_WEIGHT = codes(
    declined="The family declined",
    asleep="Baby not to be disturbed",
    no_scale="No scale at hand",
    remote="Phone or video visit",
    other="Another reason",
)
STATES = codes(
    deep_sleep="Deep sleep",
    light_sleep="Light sleep",
    drowsy="Drowsy",
    quiet_alert="Quiet and alert",
    fussy="Fussy",
    crying="Crying",
)
WAKING = codes(
    by_self="Wakes without help",
    easily="Wakes with a touch or voice",
    hard_to_wake="Hard to wake",
    does_not_stay_awake="Wakes but does not stay awake",
    cannot_be_woken="Cannot be woken",
    not_tried="Already awake, or not tried",
)
TONE = codes(
    usual="Normal for this baby",
    limp="Floppy",
    low="Somewhat low",
    high="Stiff",
    arching="Arches back",
    head_lag="Head lags",
    turns_to_one_side="Turns to one side",
)
TURNS_TO = codes(left="Baby's left", right="Baby's right")
COLOUR = codes(
    usual="Usual for this baby",
    pale="Pale",
    mottled="Mottled",
    blue_hands_feet="Blue hands or feet only",
    blue_lips_face="Blue or grey lips, tongue or face",
    yellow="Yellow",
)
YELLOW_EXTENT = codes(face="Face", chest="Chest", belly="Belly", legs="Legs", eyes="Whites of the eyes")
YELLOW_ONSET = codes(
    within_24_h="Within 24 hours of birth", after_24_h="Later than 24 hours after birth", not_known="Not known"
)
YELLOW_COURSE = codes(spreading="Spreading", same="The same", fading="Fading", not_known="Not known")
MOUTH = codes(moist="Moist", sticky="Sticky", dry="Dry")
FONTANELLE = codes(flat="Flat", sunken="Sunken", bulging="Bulging at rest", not_felt="Could not feel")
EYES = codes(usual="Usual", sunken="Sunken", not_seen="Could not see")
TURGOR = codes(springs_back="Springs back", slow="Stays up for a moment", not_tried="Not tried")
BREATHING = codes(
    easy="Easy",
    chest_in_drawing="Ribs or breastbone pull in",
    pauses="Pauses in breathing",
    grunting="Grunts with each breath",
    nostrils_flare="Nostrils flare",
    head_bobs="Head bobs",
)
BREATH_NOISES = codes(
    none="Quiet",
    stuffy="Stuffy nose",
    high_on_breathing_in="High-pitched on breathing in",
    wheeze="Wheeze",
    rattle="Rattle",
)
CRY = codes(
    usual="Usual", weak="Weak", high_pitched="High-pitched", continuous="Cannot be stopped", not_heard="Not heard"
)
ALARM_SIGNS = codes(
    none="None of these",
    stiff_neck="Stiff neck",
    fit="A fit was seen",
    rash_not_fading="Rash that does not fade under pressure",
    jittery="Jittery",
    clammy="Clammy",
)
TAKEN_WHERE = codes(armpit="Armpit", rectal="Rectal", ear="Ear", forehead="Forehead", not_known="Not known")
TAKEN_BY = codes(consultant="At this visit", family="Told by the family")
AFTER_SKIN = codes(rose="Rose", did_not_rise="Did not rise", not_tried="Not tried")
SKIN = codes(
    clear="Nothing to note",
    rash="Rash",
    blisters="Blisters or pus spots",
    peeling="Peeling",
    diaper_skin="Diaper skin sore",
    birth_mark="Birth mark",
    bruise="Bruise",
    scratch="Scratch or graze",
)
CORD = codes(
    dry="Dry",
    moist="Moist",
    fallen="Fallen off",
    healed="Healed",
    red_around="Red around it",
    smells="Smells",
    bleeds="Bleeds",
)
STRENGTH = codes(strong="Strong", weak="Weak", absent="Absent", not_tried="Not tried")
DIAPER = codes(wet="Wet", stool="Stool", none_seen="None seen")
URINE_COLOURS = codes(
    pale="Pale", yellow="Yellow", dark="Dark", urates="Pink-orange dust", blood="Blood", not_seen="Not seen"
)
STOOL_COLOURS = codes(
    black="Black, tarry",
    dark_green="Dark green or brown-green",
    green="Green",
    yellow="Yellow",
    brown="Brown",
    pale="Pale, white or grey",
    red="Red or with blood",
    not_seen="Not seen",
)
ASYMMETRY = codes(
    none_seen="None seen",
    flat_spot="Flat spot on the head",
    head_tilt="Head tilts",
    head_swelling="Swelling of the head",
    face="Face",
    collarbone="Collarbone",
    arm="One arm moves less",
    hips="Hips or leg folds",
    trunk="Trunk curves",
)
CUES = codes(none="None", early="Early: stirring, rooting", active="Active: hands to mouth", late="Late: crying")
SETTLES = codes(
    by_self="By itself",
    held="When held",
    fed="When fed",
    sucking="With something to suck",
    not_settled="Did not settle",
)


@declared("infant_assessment", "Baby seen today", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class InfantAssessment(Form):
    """One baby as seen, or at a phone visit as told, at one visit."""

    seen_how: Given[str] = choice("These answers are", SEEN_HOW, need=Need.MUST, **FOR_PROVIDERS)
    weight_not_taken: Given[str] = choice(
        "No weight today because", NO_WEIGHT, help="Only when no weight is entered for this visit.", **FOR_PROVIDERS
    )  # fmt: skip
    length: Given[Quantity] = quantity(
        "Length", ("cm", "mm", "in"), low=200, high=1_200, help="Lying down, at any age.",
        source="house bound, no source; lying and standing differ by 0.7 cm: WHO's R package (S)",
        paper=TO_PROVIDERS, code=loinc("8302-2"),
    )  # fmt: skip
    head: Given[Quantity] = quantity(
        "Head circumference", ("cm", "mm", "in"), low=150, high=600, source=HOUSE_BOUND,
        paper=TO_PROVIDERS, code=loinc("9843-4"),
    )  # fmt: skip
    state_on_arrival: Given[str] = choice("State on arrival", STATES, need=Need.MUST, **FOR_PROVIDERS)
    waking: Given[str] = choice(
        "Wakes how", WAKING, need=Need.MUST,
        help="What was tried and what the baby did, not how the baby usually is.", **FOR_PROVIDERS,
    )  # fmt: skip
    tone: Given[tuple[str, ...]] = many("Tone", TONE, alone=("usual",), need=Need.MUST, **FOR_PROVIDERS)
    turns_to: Given[str] = choice(
        "Turns to", TURNS_TO, need=Need.WHEN_OPEN, when=When("tone", ("turns_to_one_side",)), **FOR_PROVIDERS
    )  # fmt: skip
    colour: Given[tuple[str, ...]] = many(
        "Colour", COLOUR, alone=("usual",), need=Need.MUST,
        help="In daylight where possible; on darker skin look at gums, lips, palms and soles.", **FOR_PROVIDERS,
    )  # fmt: skip
    yellow_extent: Given[tuple[str, ...]] = many(
        "Yellow where", YELLOW_EXTENT, need=Need.WHEN_OPEN, when=When("colour", ("yellow",)),
        help="What the eye saw. How high the bilirubin is cannot be told by looking.", **FOR_PROVIDERS,
    )  # fmt: skip
    yellow_onset: Given[str] = choice(
        "Yellow since", YELLOW_ONSET, need=Need.WHEN_OPEN, when=When("colour", ("yellow",)), **FOR_PROVIDERS
    )  # fmt: skip
    yellow_first_seen: Given[Moment] = moment(
        "Yellow first seen", when=When("colour", ("yellow",)), **FOR_PROVIDERS
    )  # fmt: skip
    yellow_course: Given[str] = choice(
        "Yellow is", YELLOW_COURSE, need=Need.WHEN_OPEN, when=When("colour", ("yellow",)), **FOR_PROVIDERS
    )  # fmt: skip
    mouth_moisture: Given[str] = choice("Mouth", MOUTH, need=Need.MUST, **FOR_PROVIDERS)
    fontanelle: Given[str] = choice(
        "Soft spot", FONTANELLE, need=Need.MUST, help="With the baby calm and held upright.", **FOR_PROVIDERS
    )  # fmt: skip
    eyes: Given[str] = choice("Eyes", EYES, need=Need.MUST, **FOR_PROVIDERS)
    skin_turgor: Given[str] = choice("Skin when gently pinched", TURGOR, need=Need.MUST, **FOR_PROVIDERS)
    colour_plain: Given[tuple[str, ...]] = summary(
        "Colour and moisture: seen, no concern",
        codes(colour="usual", mouth_moisture="moist", fontanelle="flat", eyes="usual", skin_turgor="springs_back"),
        **SUMMARY_ANSWER,
    )  # fmt: skip
    breathing_rate: Given[int] = count(
        "Breaths in one minute", high=150, need=Need.MUST, source=HOUSE_BOUND,
        help="Counted for a whole minute with the baby at rest.", **FOR_PROVIDERS,
    )  # fmt: skip
    breathing: Given[tuple[str, ...]] = many(
        "Breathing", BREATHING, alone=("easy",), need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    breath_noises: Given[tuple[str, ...]] = many(
        "Breath sounds heard", BREATH_NOISES, alone=("none",), need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    cry: Given[tuple[str, ...]] = many("Cry", CRY, alone=("usual", "not_heard"), need=Need.MUST, **FOR_PROVIDERS)
    breathing_plain: Given[tuple[str, ...]] = summary(
        "Breathing and cry: no concern", codes(breathing="easy", breath_noises="none", cry="usual"), **SUMMARY_ANSWER
    )  # fmt: skip
    alarm_signs: Given[tuple[str, ...]] = many(
        "Seen now, or told since the last visit", ALARM_SIGNS, alone=("none",), need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    temperature: Given[Quantity] = quantity(
        "Temperature", ("C", "F"), low=300, high=430, source=HOUSE_BOUND, paper=TO_PROVIDERS, code=loinc("8310-5")
    )  # fmt: skip
    temperature_at: Given[Moment] = moment(
        "Temperature taken at", need=Need.WHEN_OPEN, when=When("temperature", answered=True), **FOR_PROVIDERS
    )  # fmt: skip
    temperature_where: Given[str] = choice(
        "Temperature taken in", TAKEN_WHERE, need=Need.WHEN_OPEN, when=When("temperature", answered=True),
        **FOR_PROVIDERS,
    )  # fmt: skip
    temperature_by: Given[str] = choice(
        "Temperature taken by", TAKEN_BY, need=Need.WHEN_OPEN, when=When("temperature", answered=True), **FOR_PROVIDERS
    )  # fmt: skip
    temperature_after_skin: Given[str] = choice(
        "After skin-to-skin it", AFTER_SKIN, need=Need.WHEN_OPEN, when=When("temperature", at_most=364),
        help="Asked below 36.5 °C.", source="36.5 °C: World Health Organization and NICE, from memory (M)",
        **FOR_PROVIDERS,
    )  # fmt: skip
    skin: Given[tuple[str, ...]] = many("Skin", SKIN, alone=("clear",), need=Need.MUST, **FOR_PROVIDERS)
    skin_where: Given[str] = text(
        "Skin: what and where", need=Need.WHEN_OPEN,
        when=When("skin", ("rash", "blisters", "diaper_skin", "birth_mark", "scratch")), **FOR_PROVIDERS,
    )  # fmt: skip
    bruise_where: Given[str] = text(
        "Bruise: where, size, colour, and what was told about it", need=Need.WHEN_OPEN,
        when=When("skin", ("bruise",)), **FOR_PROVIDERS,
    )  # fmt: skip
    moves_about: Given[bool] = yes_no(
        "Baby can roll or move about by itself", need=Need.WHEN_OPEN, when=When("skin", ("bruise",)), **FOR_PROVIDERS
    )  # fmt: skip
    cord: Given[tuple[str, ...]] = many("Cord", CORD, alone=("healed",), need=Need.MUST, **FOR_PROVIDERS)
    unsafe_adult: Given[bool] = yes_no("An adult here does not seem safe for this baby", **PRIVATE)
    rooting: Given[str] = choice("Rooting", STRENGTH, **FOR_PROVIDERS)
    sucking: Given[str] = choice("Sucking", STRENGTH, **FOR_PROVIDERS)
    grasp: Given[str] = choice("Grasp", STRENGTH, **FOR_PROVIDERS)
    diaper_seen: Given[tuple[str, ...]] = many(
        "Diaper seen today", DIAPER, alone=("none_seen",), **FOR_PROVIDERS
    )  # fmt: skip
    urine_seen: Given[tuple[str, ...]] = many(
        "Urine in it", URINE_COLOURS, alone=("not_seen",), need=Need.WHEN_OPEN, when=When("diaper_seen", ("wet",)),
        **FOR_PROVIDERS,
    )  # fmt: skip
    stool_seen: Given[tuple[str, ...]] = many(
        "Stool in it", STOOL_COLOURS, alone=("not_seen",), need=Need.WHEN_OPEN, when=When("diaper_seen", ("stool",)),
        **FOR_PROVIDERS,
    )  # fmt: skip
    asymmetry: Given[tuple[str, ...]] = many(
        "Body uneven", ASYMMETRY, alone=("none_seen",), help="Only as seen.", **FOR_PROVIDERS
    )  # fmt: skip
    asymmetry_where: Given[str] = text(
        "Uneven: what was seen, on the baby's own left or right",
        when=When("asymmetry", tuple(code for code in ASYMMETRY if code != "none_seen")), **FOR_PROVIDERS,
    )  # fmt: skip
    body_plain: Given[tuple[str, ...]] = summary(
        "Reflexes and body: seen, no concern",
        codes(rooting="strong", sucking="strong", grasp="strong", asymmetry="none_seen"), **SUMMARY_ANSWER,
    )  # fmt: skip
    cues: Given[tuple[str, ...]] = many("Feeding cues seen", CUES, alone=("none",), need=Need.MUST, **FOR_PROVIDERS)
    settles: Given[tuple[str, ...]] = many(
        "Settles", SETTLES, alone=("not_settled",), need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    more: Given[str] = text("More about the baby today", **FOR_PROVIDERS)
