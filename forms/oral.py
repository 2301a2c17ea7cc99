"""What is seen and felt in a baby's mouth (trade line C4), described and never graded.

Tongue movements take plain descriptors, as many as apply, in no ranked order, each with "could not see"; nothing here
is summed. Published tools stand in `forms.scores` (line 12). Naming a condition is for the licensed provider.
"""

from __future__ import annotations

from dataclasses import dataclass

from forms.answers import Given
from forms.ask import Need, When, choice, codes, many, scale, summary, text, yes_no
from forms.form import About, Form, declared
from forms.intents import FOR_PROVIDERS, SUMMARY_ANSWER

__all__ = ["OralAssessment"]

CONSENT = codes(given="Given now", declined="Declined", not_asked="Not asked")
STATES = codes(asleep="Asleep", drowsy="Drowsy", quiet_alert="Quiet and alert", fussy="Fussy", crying="Crying")
FACE = codes(
    even="Even",
    tilted_head="Head tilted",
    fixed_tilt="Head tilt that does not give way",
    small_chin="Small chin",
    set_back_chin="Chin set back",
    one_sided_jaw="Jaw pulls to one side",
    not_seen="Could not see",
)
LIPS = codes(
    nothing="Nothing to note",
    pale="Pale",
    blue="Blue or grey",
    dry="Dry",
    loose="Loose",
    tight="Tight",
    seals="Seals",
    flanges="Turns out",
    blisters="Blisters",
    upper_frenulum_seen="Upper lip frenulum seen",
    cleft="Gap in the lip",
    not_seen="Could not see",
)
GUMS = codes(
    nothing="Nothing to note", cyst="Small white cyst", tooth="Tooth", loose_tooth="Loose tooth",
    ridge="Notch or ridge", not_seen="Could not see",
)  # fmt: skip
PALATE = codes(
    broad="Broad",
    high="High",
    narrow="Narrow",
    grooved="Grooved",
    bubble="Bubble",
    cleft="Gap",
    not_seen="Could not see",
)
SOFT_PALATE = codes(
    whole="Whole", notch="Notch", blue_midline="Blue line in the middle", cleft="Gap", not_seen="Could not see"
)
UVULA = codes(single="Single", bifid="Split in two", absent="None seen", not_seen="Could not see")
REST = codes(
    floor="Low, on the floor of the mouth",
    roof="Up at the palate",
    over_gum="Over the lower gum",
    behind_gum="Behind the gum",
    humped="Humped at the back",
    to_one_side="To one side",
    not_seen="Could not see",
)
TIP = codes(round="Round", flat="Flat", notch="Notched", heart="Heart-shaped", not_seen="Could not see")
REACH = codes(
    tip_turns_down="Tip turns down",
    over_lip="Seen over the lower lip",
    drifts_left="Drifts to baby's left",
    drifts_right="Drifts to baby's right",
    inside_gum="Seen inside the gum line",
    tip_draws_in="Tip draws in at the middle",
    straight="Comes out straight",
    back_humps="The back humps up",
    varies="Differs from try to try",
    not_seen="Could not see",
)
LIFT = codes(
    edges_curl="The edges curl up",
    tip_leads="The tip leads",
    floor_follows="The floor of the mouth comes up with it",
    nears_roof="Nears the roof of the mouth",
    middle_stays="The middle stays down",
    on_floor="Seen resting on the floor of the mouth",
    varies="Differs from try to try",
    not_seen="Could not see",
)
LATERAL = codes(
    follows_left="Follows a finger to baby's left",
    follows_right="Follows a finger to baby's right",
    body_turns="The tongue's body turns, not its tip",
    midline="Seen in the middle only",
    jaw_goes_along="The jaw goes along",
    not_seen="Could not see",
)
CUPPING = codes(
    edges="The edges come up",
    comes_and_goes="Comes and goes",
    around_finger="Wraps around the finger",
    in_front="Seen in front",
    lies_flat="Lies flat",
    at_back="Felt at the back",
    not_seen="Could not see or feel",
)
WAVE = codes(
    up_and_down="Moves up and down",
    front_to_back="Runs from front to back",
    part="Runs over part of the tongue",
    back_to_front="Runs from back to front",
    trembles="Trembles",
    not_felt_at_all="No wave felt",
    not_seen="Could not see or feel",
)
SNAP = codes(
    none="None",
    with_each_suck="With each suck",
    now_and_then="Now and then",
    when_tired="When baby tires",
    not_seen="Could not see or hear",
)
LIMITS = codes(
    moves_freely="Moves freely in all of these", held_back="Held back in one or more", not_seen="Could not see"
)
ON_TONGUE = codes(
    tip="At the tip",
    behind_tip="Just behind the tip",
    middle="Middle of the tongue's underside",
    base="At its base",
    felt_only="Felt, not seen",
    not_seen="Could not see",
)
ON_FLOOR = codes(
    gum_top="Top of the lower gum",
    gum_behind="Behind the lower gum",
    floor="Floor of the mouth",
    not_seen="Could not see",
)
STRETCH = codes(
    pulls_tip="Pulls the tip down",
    gives="Gives under the finger",
    turns_white="Turns white",
    cord="Feels like a cord",
    pulls_gum="Pulls at the gum",
    not_felt="Could not feel",
)
THICKNESS = codes(thin="Thin", clear="See-through", thick="Thick", fleshy="Fleshy", not_seen="Could not see")
SUCK_STARTS = codes(
    at_once="At once",
    after_stroking="After stroking the lip or palate",
    slowly="Slowly",
    not_at_all="Not at all",
    not_tried="Not tried",
)
RHYTHM = codes(
    steady="Steady", uneven="Uneven", none="No rhythm", changes="Changes when baby tires", not_tried="Not tried"
)
SEAL = codes(holds="Holds", breaks="Breaks", none="None", not_tried="Not tried")
BURSTS = codes(long="Long", short="Short", single="Single sucks", not_tried="Not tried")
SUCK_SIGNS = codes(
    none="None of these",
    clicks="Clicks",
    bites="Bites",
    chews="Chews",
    tires="Tires",
    pushes_out="Pushes the finger out",
)
GAG = codes(
    back="Far back", middle="Middle of the tongue", front="Far forward", none="None seen", not_tried="Not tried"
)
PATCHES = codes(
    none="None", wipes_off="White, wipes off", stays="White, does not wipe off", sores="Sores",
    not_seen="Could not see",
)  # fmt: skip
VOICE = codes(
    clear="Clear", hoarse="Hoarse", weak="Weak", high_on_breathing_in="High-pitched on breathing in", snoring="Snoring",
    drools="Drools much", not_heard="Not heard",
)  # fmt: skip

GIVEN = When("consent", ("given",))


@declared("oral_assessment", "Baby's mouth", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class OralAssessment(Form):
    """One baby's mouth at one visit. Without consent given now, nothing after the first question is asked."""

    consent: Given[str] = choice(
        "Parent's consent to look in the mouth", CONSENT, need=Need.MUST, help="Asked again each time.",
        **FOR_PROVIDERS,
    )  # fmt: skip
    gloved: Given[bool] = yes_no("Gloved", need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS)
    state: Given[str] = choice("Baby's state", STATES, need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS)
    face: Given[tuple[str, ...]] = many(
        "Face and jaw at rest", FACE, alone=("even", "not_seen"), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    lips: Given[tuple[str, ...]] = many(
        "Lips", LIPS, alone=("nothing", "not_seen"), need=Need.WHEN_OPEN, when=GIVEN,
        help="A lip frenulum and sucking blisters are usual; describe only.",
        source="American Academy of Pediatrics, clinical report of 2024 (S)", **FOR_PROVIDERS,
    )  # fmt: skip
    face_plain: Given[tuple[str, ...]] = summary(
        "Face and lips: seen, no concern", codes(face="even", lips="nothing"), when=GIVEN, **SUMMARY_ANSWER
    )  # fmt: skip
    gums: Given[tuple[str, ...]] = many(
        "Gums", GUMS, alone=("nothing", "not_seen"), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    hard_palate: Given[tuple[str, ...]] = many(
        "Hard palate", PALATE, alone=("not_seen",), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    soft_palate: Given[tuple[str, ...]] = many(
        "Soft palate", SOFT_PALATE, alone=("whole", "not_seen"), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    uvula: Given[str] = choice("Uvula", UVULA, need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS)
    palate_plain: Given[tuple[str, ...]] = summary(
        "Gums and palate: seen, no concern",
        codes(gums="nothing", hard_palate="broad", soft_palate="whole", uvula="single"), when=GIVEN, **SUMMARY_ANSWER,
    )  # fmt: skip
    tongue_rest: Given[tuple[str, ...]] = many(
        "Tongue at rest", REST, alone=("not_seen",), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    tongue_tip: Given[tuple[str, ...]] = many(
        "Tongue tip", TIP, alone=("not_seen",), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    tongue_reach: Given[tuple[str, ...]] = many(
        "Tongue reaching out", REACH, alone=("not_seen",), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    tongue_lift: Given[tuple[str, ...]] = many(
        "Tongue lifting, as when crying", LIFT, alone=("not_seen",), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    tongue_side: Given[tuple[str, ...]] = many(
        "Tongue side to side", LATERAL, alone=("not_seen",), need=Need.WHEN_OPEN, when=GIVEN,
        help="Baby's own left and right.", **FOR_PROVIDERS,
    )  # fmt: skip
    tongue_cupping: Given[tuple[str, ...]] = many(
        "Tongue cupping", CUPPING, alone=("not_seen",), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    tongue_wave: Given[tuple[str, ...]] = many(
        "Tongue's wave", WAVE, alone=("not_seen",), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    tongue_snap: Given[tuple[str, ...]] = many(
        "Tongue snapping back", SNAP, alone=("none", "not_seen"), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    movement: Given[str] = choice(
        "Movement, all told", LIMITS, need=Need.WHEN_OPEN, when=GIVEN,
        help="Held back opens what was seen and felt of the frenulum.", **FOR_PROVIDERS,
    )  # fmt: skip
    frenulum_on_tongue: Given[tuple[str, ...]] = many(
        "Frenulum meets the tongue", ON_TONGUE, alone=("not_seen",), need=Need.WHEN_OPEN,
        when=When("movement", ("held_back",)), help="Describe; where it sits is no measure of how much it matters.",
        **FOR_PROVIDERS,
    )  # fmt: skip
    frenulum_on_floor: Given[tuple[str, ...]] = many(
        "Frenulum meets the floor", ON_FLOOR, alone=("not_seen",), need=Need.WHEN_OPEN,
        when=When("movement", ("held_back",)), **FOR_PROVIDERS,
    )  # fmt: skip
    frenulum_stretch: Given[tuple[str, ...]] = many(
        "Frenulum when lifted", STRETCH, alone=("not_felt",), need=Need.WHEN_OPEN,
        when=When("movement", ("held_back",)), **FOR_PROVIDERS,
    )  # fmt: skip
    frenulum_thickness: Given[tuple[str, ...]] = many(
        "Frenulum looks", THICKNESS, alone=("not_seen",), need=Need.WHEN_OPEN, when=When("movement", ("held_back",)),
        **FOR_PROVIDERS,
    )  # fmt: skip
    suck_starts: Given[str] = choice(
        "Suck on a finger starts", SUCK_STARTS, need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    suck_strength: Given[int] = scale(
        "Suck strength", ends=("none", "very strong"), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    suck_rhythm: Given[str] = choice("Suck rhythm", RHYTHM, need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS)
    suck_seal: Given[str] = choice("Seal around the finger", SEAL, need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS)
    suck_bursts: Given[str] = choice("Suck bursts", BURSTS, need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS)
    suck_signs: Given[tuple[str, ...]] = many(
        "While sucking", SUCK_SIGNS, alone=("none",), need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS
    )  # fmt: skip
    suck_plain: Given[tuple[str, ...]] = summary(
        "Suck on a finger: felt, no concern",
        codes(suck_starts="at_once", suck_rhythm="steady", suck_seal="holds", suck_signs="none"),
        when=GIVEN, **SUMMARY_ANSWER,
    )  # fmt: skip
    gag: Given[str] = choice("Gags at", GAG, need=Need.WHEN_OPEN, when=GIVEN, **FOR_PROVIDERS)
    patches: Given[tuple[str, ...]] = many(
        "White patches and sores", PATCHES, alone=("none", "not_seen"), need=Need.WHEN_OPEN, when=GIVEN,
        **FOR_PROVIDERS,
    )  # fmt: skip
    voice: Given[tuple[str, ...]] = many("Voice and drool", VOICE, when=GIVEN, **FOR_PROVIDERS)
    patches_plain: Given[tuple[str, ...]] = summary(
        "Patches and voice: no concern", codes(patches="none", voice="clear"), when=GIVEN, **SUMMARY_ANSWER
    )  # fmt: skip
    more: Given[str] = text("More about the mouth", **FOR_PROVIDERS)
