"""What is told of the baby (trade lines C2 6-21 and 23): birth, illness, feeds, diapers, waking, troubles at feeds.

Weights are entries of their own (`forms.weight`), who the baby is stands in `forms.people`, and so do its providers.
Counts of feeds and diapers are of the last 24 hours unless the label says otherwise. An untouched count is not zero:
zero is typed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Final

from forms.answers import Given, Moment, Quantity
from forms.ask import Need, When, choice, codes, count, day, line, many, moment, quantity, refs, text, yes_no
from forms.form import About, Form, declared
from forms.infant import STOOL_COLOURS, URINE_COLOURS, YELLOW_COURSE, YELLOW_ONSET
from forms.intents import FOR_PROVIDERS, IN_HOUSE, TO_PROVIDERS, loinc

__all__ = ["DUE_AT_AGE", "InfantHistory"]

HOUSE_BOUND = "house bound, no source"

DUE_AT_AGE: Final[Mapping[str, tuple[int, int | None]]] = MappingProxyType(
    {
        "apgar_1": (0, 42),
        "apgar_5": (0, 42),
        "birth_help": (0, 42),
        "birth_injury": (0, 42),
        "blood_sugar": (0, 42),
        "jaundice_told": (0, 42),
        "first_urine": (0, 7),
        "first_meconium": (0, 7),
        "solids": (122, None),
        "teeth": (122, None),
        "milestones": (122, None),
    }
)
"""Lines that a note needs only at certain ages: from this day after birth, until before that day (None: no end).

Six weeks and four months as in the form's own table; the first week for first urine and meconium is common practice,
no source. Each of these asks `Need.WHEN_OPEN` without a `when`: it is always offered, and due at that age only.
"""

TAKEN = codes(
    in_full="Taken in full today",
    unchanged="Gone through again, nothing changed",
    changed="Gone through again, with changes",
)
BIRTH_HELP = codes(
    none="None",
    stimulation="Rubbed and dried",
    mouth_suction="Mouth or nose suctioned",
    oxygen="Oxygen",
    mask_breaths="Breaths by mask",
    tube="Breathing tube",
    not_known="Not known",
)
BIRTH_INJURY = codes(
    none="None",
    bruising="Bruising",
    head_swelling="Swelling of the head",
    collarbone="Collarbone broken",
    other_fracture="Another bone broken",
    arm_nerve="Arm moves less since birth",
    scalp_cut="Cut",
    other="Another injury",
    not_known="Not known",
)
BREATHING_SUPPORT = codes(
    none="None", oxygen="Oxygen", pressure_mask="Pressure by mask or prongs", ventilator="Ventilator"
)
SUGAR = codes(
    not_tested="Not tested",
    usual="Tested, no treatment",
    low="Low, fed or gel given",
    drip="Low, drip needed",
    not_known="Not known",
)
JAUNDICE = codes(
    none="None told", seen="Seen, not tested", tested="Tested, no treatment", treated="Treated", not_known="Not known"
)
VITAMIN_K = codes(injection="By injection", mouth="By mouth", not_given="Not given", not_known="Not known")
SCREENING = codes(blood_spot="Blood spot", hearing="Hearing", heart_oxygen="Oxygen level for the heart")
CONDITIONS = codes(
    none="None",
    heart="Heart",
    airway="Airway or lungs",
    cleft="Cleft lip or palate",
    neurology="Brain or nerves",
    syndrome="Syndrome or chromosomes",
    gut="Gut or reflux",
    kidney="Kidneys",
    metabolic="Metabolic",
    other="Another condition",
)
FAMILY_CONDITIONS = codes(
    none="None", bleeding="Bleeds easily", short_frenulum="Short or tight tongue frenulum", allergy="Allergy"
)
SIDES = codes(one="One side", both="Both sides", varies="Varies", none="Not at the breast or chest")
MILKS = codes(
    at_breast="At the breast or chest",
    own_milk="Own milk, expressed",
    donor_milk="Donor milk",
    formula="Formula",
    other="Something else",
)
MILK_DAY = codes(
    at_breast="At the breast or chest", own="Own milk, expressed", donor="Donor milk", formula="Formula",
    water="Water or other drinks", solids="Solid food", medicine="Vitamins or medicines",
)  # fmt: skip
"""What a baby had on one day, recalled the day after: the day by which exclusive human milk is told (S)."""
METHODS = codes(
    bottle="Bottle",
    cup="Cup",
    spoon="Spoon",
    syringe="Syringe",
    tube_at_breast="Tube at the breast or chest",
    finger="Finger with a tube",
    feeding_tube="Feeding tube",
)
HEAVINESS = codes(heavy="Heavy", light="Light", mixed="Some of each", not_known="Not known")
FIRST_PASSED = codes(
    within_24_h="Within 24 hours of birth",
    within_48_h="Between 24 and 48 hours",
    later="Later than 48 hours",
    not_yet="Not yet",
    not_known="Not known",
)
STOOL_SIZE = codes(smear="Smears only", small="Smaller than 2.5 cm", counted="2.5 cm or more", none="None to size")
WAKES = codes(by_self="Without help", sometimes="Sometimes needs waking", woken="Has to be woken")
VIGOUR = codes(
    usual="As usual for this baby",
    less="Less than usual",
    poor="Poorly",
    refuses="Refuses or takes nothing",
)
SETTLED = codes(mostly="Mostly", sometimes="Sometimes", rarely="Rarely")
CRYING = codes(little="Little", evenings="Mostly evenings", after_feeds="After feeds", much="Much of the day")
VOMIT = codes(
    none="None",
    spit_up="Spit-up",
    forceful_sometimes="Forceful, now and then",
    forceful_every_feed="Forceful, at every feed",
    green="Green",
    blood="With blood",
)
FEED_SIGNS = codes(
    none="None of these",
    chokes="Chokes",
    coughs="Coughs",
    noisy="Noisy breath",
    colour_change="Turns blue, grey or pale",
    breathing_stops="Stops breathing",
    sweats="Sweats",
    tires="Tires early",
)
PACIFIER = codes(no="No", sometimes="Sometimes", often="Often")
EARLIER_CARE = codes(
    none="None", mouth_procedure="A procedure in the mouth", bodywork="Bodywork", feeding_therapy="Feeding therapy"
)
SOLIDS = codes(no="Not yet", tastes="Tastes", meals="Meals")

SUPPLEMENTS = ("own_milk", "donor_milk", "formula", "other")


@declared("infant_history", "Baby's history", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class InfantHistory(Form):
    """One baby's story up to this visit, as told or read in documents."""

    taken: Given[str] = choice("This history was", TAKEN, need=Need.MUST, **IN_HOUSE)
    changes: Given[str] = text(
        "What changed since last time", need=Need.WHEN_OPEN, when=When("taken", ("changed",)), **FOR_PROVIDERS
    )  # fmt: skip
    apgar_1: Given[int] = count(
        "Apgar at 1 minute", high=10, need=Need.WHEN_OPEN, source="the score runs from 0 to 10", **FOR_PROVIDERS
    )  # fmt: skip
    apgar_5: Given[int] = count(
        "Apgar at 5 minutes", high=10, need=Need.WHEN_OPEN, source="the score runs from 0 to 10", **FOR_PROVIDERS
    )  # fmt: skip
    birth_help: Given[tuple[str, ...]] = many(
        "Help to breathe at birth", BIRTH_HELP, alone=("none", "not_known"), need=Need.WHEN_OPEN, **FOR_PROVIDERS
    )  # fmt: skip
    birth_injury: Given[tuple[str, ...]] = many(
        "Injury at birth", BIRTH_INJURY, alone=("none", "not_known"), need=Need.WHEN_OPEN, **FOR_PROVIDERS
    )  # fmt: skip
    birth_injury_where: Given[str] = text(
        "Injury: what and where",
        when=When("birth_injury", ("bruising", "head_swelling", "other_fracture", "arm_nerve", "scalp_cut", "other")),
        **FOR_PROVIDERS,
    )  # fmt: skip
    neonatal_unit: Given[bool] = yes_no("Stayed in a neonatal unit", need=Need.MUST, **FOR_PROVIDERS)
    neonatal_days: Given[int] = count(
        "Days in the unit", high=400, need=Need.WHEN_OPEN, when=When("neonatal_unit", (True,)), source=HOUSE_BOUND,
        **FOR_PROVIDERS,
    )  # fmt: skip
    neonatal_why: Given[str] = text(
        "Why in the unit", need=Need.WHEN_OPEN, when=When("neonatal_unit", (True,)), **FOR_PROVIDERS
    )  # fmt: skip
    neonatal_tube: Given[bool] = yes_no(
        "Fed by tube there", need=Need.WHEN_OPEN, when=When("neonatal_unit", (True,)), **FOR_PROVIDERS
    )  # fmt: skip
    neonatal_breathing: Given[tuple[str, ...]] = many(
        "Help to breathe there", BREATHING_SUPPORT, alone=("none",), need=Need.WHEN_OPEN,
        when=When("neonatal_unit", (True,)), **FOR_PROVIDERS,
    )  # fmt: skip
    blood_sugar: Given[str] = choice("Blood sugar", SUGAR, need=Need.WHEN_OPEN, **FOR_PROVIDERS)
    blood_sugar_value: Given[str] = line(
        "Lowest blood sugar, with its unit and time", when=When("blood_sugar", ("usual", "low", "drip")),
        **FOR_PROVIDERS,
    )  # fmt: skip
    jaundice_told: Given[str] = choice("Jaundice before today", JAUNDICE, need=Need.WHEN_OPEN, **FOR_PROVIDERS)
    jaundice_onset: Given[str] = choice(
        "Jaundice began", YELLOW_ONSET, need=Need.WHEN_OPEN,
        when=When("jaundice_told", ("seen", "tested", "treated")), **FOR_PROVIDERS,
    )  # fmt: skip
    bilirubin_highest: Given[str] = line(
        "Highest bilirubin, with its unit", need=Need.WHEN_OPEN, when=When("jaundice_told", ("tested", "treated")),
        **FOR_PROVIDERS,
    )  # fmt: skip
    bilirubin_at: Given[Moment] = moment(
        "When it was highest", need=Need.WHEN_OPEN, when=When("jaundice_told", ("tested", "treated")), **FOR_PROVIDERS
    )  # fmt: skip
    bilirubin_course: Given[str] = choice(
        "Bilirubin is", YELLOW_COURSE, when=When("jaundice_told", ("tested", "treated")), **FOR_PROVIDERS
    )  # fmt: skip
    light_treatment: Given[bool] = yes_no(
        "Treated with light", need=Need.WHEN_OPEN, when=When("jaundice_told", ("treated",)), **FOR_PROVIDERS
    )  # fmt: skip
    vitamin_k: Given[str] = choice(
        "Vitamin K", VITAMIN_K, help="Someone who cuts in the mouth needs to know when none was given.",
        **FOR_PROVIDERS,
    )  # fmt: skip
    vitamin_d: Given[bool] = yes_no("Vitamin D now", **FOR_PROVIDERS)
    screening: Given[tuple[str, ...]] = many("Screening done", SCREENING, **FOR_PROVIDERS)
    conditions: Given[tuple[str, ...]] = many(
        "Conditions found by a provider", CONDITIONS, alone=("none",), need=Need.MUST, paper=TO_PROVIDERS,
        code=loinc("11450-4"),
    )  # fmt: skip
    conditions_which: Given[str] = text(
        "Which, and who manages it", need=Need.WHEN_OPEN,
        when=When("conditions", tuple(code for code in CONDITIONS if code != "none")), **FOR_PROVIDERS,
    )  # fmt: skip
    cleared_to_feed: Given[str] = text(
        "What that provider said about feeding", need=Need.WHEN_OPEN,
        when=When("conditions", tuple(code for code in CONDITIONS if code != "none")), **FOR_PROVIDERS,
    )  # fmt: skip
    operations: Given[str] = text("Operations", need=Need.MUST, **FOR_PROVIDERS)
    medicines: Given[str] = text(
        "Medicines, drops and vitamins", need=Need.MUST, help="Name, how often, why, since when.", paper=TO_PROVIDERS,
        code=loinc("10160-0"),
    )  # fmt: skip
    allergies: Given[str] = text(
        "Allergies, with the reaction", need=Need.MUST, paper=TO_PROVIDERS, code=loinc("48765-2")
    )  # fmt: skip
    mouth_referral: Given[bool] = yes_no("A referral for the mouth is being considered", **IN_HOUSE)
    family_conditions: Given[tuple[str, ...]] = many(
        "In the baby's family", FAMILY_CONDITIONS, alone=("none",), need=Need.WHEN_OPEN,
        when=When("mouth_referral", (True,)), **FOR_PROVIDERS,
    )  # fmt: skip
    first_feed_after: Given[Quantity] = quantity(
        "First feed after birth", ("min", "h"), low=0, high=20_160, need=Need.MUST, source=HOUSE_BOUND,
        **FOR_PROVIDERS,
    )  # fmt: skip
    first_feed_late_why: Given[str] = text(
        "Why it was later than an hour", when=When("first_feed_after", at_least=61),
        source="an hour: common practice, no source", **FOR_PROVIDERS,
    )  # fmt: skip
    feeds_24h: Given[int] = count(
        "Feeds in 24 hours", high=40, need=Need.MUST, source=HOUSE_BOUND, **FOR_PROVIDERS
    )  # fmt: skip
    feeds_night: Given[int] = count(
        "Of those at night", high=40, need=Need.MUST, source=HOUSE_BOUND, **FOR_PROVIDERS
    )  # fmt: skip
    longest_gap: Given[Quantity] = quantity(
        "Longest time between feeds", ("h", "min"), low=0, high=2_880, need=Need.MUST, source=HOUSE_BOUND,
        **FOR_PROVIDERS,
    )  # fmt: skip
    feed_length: Given[Quantity] = quantity(
        "A feed usually takes", ("min", "h"), low=0, high=480, need=Need.MUST, source=HOUSE_BOUND, **FOR_PROVIDERS
    )  # fmt: skip
    sides_per_feed: Given[str] = choice("Sides at a feed", SIDES, need=Need.MUST, **FOR_PROVIDERS)
    fed_now: Given[tuple[str, ...]] = many("Fed now", MILKS, need=Need.MUST, **FOR_PROVIDERS)
    day_before: Given[tuple[str, ...]] = many("Baby had on the day before", MILK_DAY, **FOR_PROVIDERS)
    methods: Given[tuple[str, ...]] = many(
        "Given by", METHODS, need=Need.WHEN_OPEN, when=When("fed_now", SUPPLEMENTS), **FOR_PROVIDERS
    )  # fmt: skip
    own_milk_each: Given[Quantity] = quantity(
        "Own milk, each time", ("mL", "fl_oz"), low=0, high=400, need=Need.WHEN_OPEN,
        when=When("fed_now", ("own_milk",)), source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    own_milk_times: Given[int] = count(
        "Own milk, times in 24 hours", high=40, need=Need.WHEN_OPEN, when=When("fed_now", ("own_milk",)),
        source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    donor_milk_each: Given[Quantity] = quantity(
        "Donor milk, each time", ("mL", "fl_oz"), low=0, high=400, need=Need.WHEN_OPEN,
        when=When("fed_now", ("donor_milk",)), source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    donor_milk_times: Given[int] = count(
        "Donor milk, times in 24 hours", high=40, need=Need.WHEN_OPEN, when=When("fed_now", ("donor_milk",)),
        source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    formula_each: Given[Quantity] = quantity(
        "Formula, each time", ("mL", "fl_oz"), low=0, high=400, need=Need.WHEN_OPEN,
        when=When("fed_now", ("formula",)), source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    formula_times: Given[int] = count(
        "Formula, times in 24 hours", high=40, need=Need.WHEN_OPEN, when=When("fed_now", ("formula",)),
        source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    other_fed: Given[str] = line(
        "What else, how much, how often", need=Need.WHEN_OPEN, when=When("fed_now", ("other",)), **FOR_PROVIDERS
    )  # fmt: skip
    supplement_since: Given[date] = day(
        "Given since", need=Need.WHEN_OPEN, when=When("fed_now", SUPPLEMENTS), **FOR_PROVIDERS
    )  # fmt: skip
    supplement_advised_by: Given[str] = line(
        "Who advised it", need=Need.WHEN_OPEN, when=When("fed_now", SUPPLEMENTS), **FOR_PROVIDERS
    )  # fmt: skip
    first_urine: Given[str] = choice("First urine", FIRST_PASSED, need=Need.WHEN_OPEN, **FOR_PROVIDERS)
    wets_24h: Given[int] = count(
        "Wet diapers in 24 hours", high=40, need=Need.MUST, source=HOUSE_BOUND, **FOR_PROVIDERS
    )  # fmt: skip
    last_wet: Given[Moment] = moment("Last wet diaper", need=Need.MUST, **FOR_PROVIDERS)
    wet_heaviness: Given[str] = choice("Wet diapers feel", HEAVINESS, need=Need.MUST, **FOR_PROVIDERS)
    urine_colour: Given[tuple[str, ...]] = many(
        "Urine", URINE_COLOURS, alone=("not_seen",), need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    first_meconium: Given[str] = choice("First stool", FIRST_PASSED, need=Need.WHEN_OPEN, **FOR_PROVIDERS)
    stools_24h: Given[int] = count(
        "Stools in 24 hours", high=40, need=Need.MUST, source="house bound, no source; 2.5 cm: Texas WIC chart (S)",
        help="Count those of about 2.5 cm or more.", **FOR_PROVIDERS,
    )  # fmt: skip
    last_stool: Given[Moment] = moment("Last stool", need=Need.MUST, **FOR_PROVIDERS)
    stool_colour: Given[tuple[str, ...]] = many(
        "Stool colour", STOOL_COLOURS, alone=("not_seen",), need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    stool_size: Given[str] = choice("Stool size", STOOL_SIZE, need=Need.MUST, **FOR_PROVIDERS)
    stool_mucus: Given[bool] = yes_no("Mucus in the stool", need=Need.MUST, **FOR_PROVIDERS)
    wakes_to_feed: Given[str] = choice("Wakes to feed", WAKES, need=Need.MUST, **FOR_PROVIDERS)
    sleepy_feeds: Given[int] = count(
        "Feeds in a row, up to now, for which baby was hard to wake or too sleepy or weak to feed", high=20,
        need=Need.MUST, source=HOUSE_BOUND, help="0 when it was none.", **FOR_PROVIDERS,
    )  # fmt: skip
    feeding_vigour: Given[str] = choice("Feeds today", VIGOUR, need=Need.MUST, **FOR_PROVIDERS)
    settled_after: Given[str] = choice("Settled after feeds", SETTLED, need=Need.MUST, **FOR_PROVIDERS)
    crying: Given[tuple[str, ...]] = many("Cries", CRYING, need=Need.MUST, **FOR_PROVIDERS)
    vomit: Given[tuple[str, ...]] = many(
        "Brings milk up", VOMIT, alone=("none",), need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    feed_signs: Given[tuple[str, ...]] = many(
        "At or after feeds", FEED_SIGNS, alone=("none",), need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    pacifier: Given[str] = choice("Pacifier", PACIFIER, **FOR_PROVIDERS)
    swaddled: Given[bool] = yes_no("Swaddled", **IN_HOUSE)
    carried: Given[bool] = yes_no("Carried in a sling or carrier", **IN_HOUSE)
    car_seat: Given[Quantity] = quantity(
        "In a car seat, in 24 hours", ("h", "min"), low=0, high=1_440, source="a day has 1,440 minutes", **IN_HOUSE
    )  # fmt: skip
    earlier_care: Given[tuple[str, ...]] = many("Earlier care", EARLIER_CARE, alone=("none",), **FOR_PROVIDERS)
    earlier_care_what: Given[str] = text(
        "Earlier care: when, by whom, and what came of it", need=Need.WHEN_OPEN,
        when=When("earlier_care", ("mouth_procedure", "bodywork", "feeding_therapy")), **FOR_PROVIDERS,
    )  # fmt: skip
    solids: Given[str] = choice("Solid food", SOLIDS, need=Need.WHEN_OPEN, **FOR_PROVIDERS)
    solids_since: Given[date] = day("Solid food since", when=When("solids", ("tastes", "meals")), **FOR_PROVIDERS)
    teeth: Given[int] = count("Teeth", high=20, need=Need.WHEN_OPEN, source="20 milk teeth", **FOR_PROVIDERS)
    milestones: Given[str] = text("Milestones", need=Need.WHEN_OPEN, **FOR_PROVIDERS)
    guardians: Given[tuple[str, ...]] = refs("Legal guardians", ("parent",), need=Need.MUST, **IN_HOUSE)
    guardians_other: Given[str] = line("Guardian not listed here", **IN_HOUSE)
    custody_limits: Given[bool] = yes_no(
        "Any limit on custody", need=Need.MUST, help="Yes changes who may receive papers.", **IN_HOUSE
    )  # fmt: skip
    custody_limits_what: Given[str] = text(
        "Which limit", need=Need.WHEN_OPEN, when=When("custody_limits", (True,)), **IN_HOUSE
    )  # fmt: skip
    more: Given[str] = text("More of the baby's story", **FOR_PROVIDERS)
