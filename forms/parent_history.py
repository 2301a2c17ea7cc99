"""What is told of a parent (trade lines C1 4-29 and 31): reason, goal, health, birth, milk, pain, mood, safety, loss.

Names and roles stand in `forms.people`, and so do a parent's providers (line 30). Loss, mood and safety (lines 6, 26
and 28) are private: behind a tap, hidden in shared view, on no paper. No wording of any questionnaire is kept here,
only which form was used, by whom, its total and the number of its last item; a blank is never taken as 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Final

from forms import parent_codes as among
from forms.answers import Given, Moment, Quantity, Sided
from forms.ask import (
    Need,
    NotCoded,
    NotPrinted,
    When,
    choice,
    count,
    day,
    line,
    many,
    moment,
    quantity,
    scale,
    text,
    yes_no,
)
from forms.form import About, Form, declared
from forms.infant_history import TAKEN
from forms.intents import FOR_PROVIDERS, IN_HOUSE, NO_CODE, PRIVATE, TO_PROVIDERS, loinc

__all__ = ["DUE_SINCE_BIRTH", "ParentHistory"]

HOUSE_BOUND = "house bound, no source"

DUE_SINCE_BIRTH: Final[Mapping[str, tuple[int, int | None]]] = MappingProxyType(
    {
        "labour": (0, 14),
        "labour_length": (0, 14),
        "drip_fluids": (0, 14),
        "pain_relief": (0, 14),
        "milk_in": (0, 56),
    }
)
"""Lines that a note needs only so long after the youngest baby's birth: from this day, until before that day.

Two and eight weeks as in the form's own table. Asked of whoever gave birth; always offered, and due at that time only.
"""

BIRTH_GIVER = When("gave_birth", (True,))
OPERATED = When("surgery", tuple(code for code in among.SURGERY if code != "none"))
RESHAPED = When("surgery", among.RESHAPED)
BEGUN = When("milk_begun", ("induced", "relactation"))
WARNED = When("warning_signs", tuple(code for code in among.WARNING_SIGNS if code != "none"))
PAINFUL = When("pain_worst", at_least=1)

IN_CONFIDENCE = MappingProxyType(
    {"paper": NotPrinted("told in confidence; no paper carries it unless it is written there anew"), "code": NO_CODE}
)
TYPED_TOTAL = NotCoded("which of two codes means the total is not settled; kept as text in its form")
SCREENED = MappingProxyType({**PRIVATE, "code": TYPED_TOTAL})


@declared("parent_history", "Parent's history", About.PERSON_AT_VISIT)
@dataclass(frozen=True, slots=True, kw_only=True)
class ParentHistory(Form):
    """One parent's story up to this visit, as told."""

    taken: Given[str] = choice("This history was", TAKEN, need=Need.MUST, **IN_HOUSE)
    changes: Given[str] = text(
        "What changed since last time", need=Need.WHEN_OPEN, when=When("taken", ("changed",)), **FOR_PROVIDERS
    )  # fmt: skip
    reason: Given[str] = text("Reason for the visit, in own words", need=Need.MUST, **FOR_PROVIDERS)
    sent_by: Given[str] = line("Who sent the family", need=Need.MUST, **FOR_PROVIDERS)
    goal: Given[str] = text("Feeding goal, in own words", need=Need.MUST, **FOR_PROVIDERS)
    goal_importance: Given[int] = scale("How important it is", ends=("not", "most"), **FOR_PROVIDERS)
    goal_confidence: Given[int] = scale("How sure of reaching it", ends=("not", "fully"), **FOR_PROVIDERS)
    would_help: Given[str] = text(
        "What would help", need=Need.WHEN_OPEN, when=When("goal_confidence", at_most=4),
        source="4 or less: common practice, no source", **FOR_PROVIDERS,
    )  # fmt: skip
    pregnancies: Given[int] = count("Pregnancies", high=30, source=HOUSE_BOUND, **PRIVATE)
    births: Given[int] = count("Births", high=30, source=HOUSE_BOUND, **PRIVATE)
    living_children: Given[int] = count("Living children", high=30, source=HOUSE_BOUND, **PRIVATE)
    loss: Given[bool] = yes_no("A loss was told", help="Say it gently, and only if it was told.", **PRIVATE)
    loss_told: Given[str] = text("What was told of the loss", when=When("loss", (True,)), **PRIVATE)
    fed_before: Given[bool] = yes_no("Has fed a child before", need=Need.MUST, **FOR_PROVIDERS)
    fed_before_how: Given[str] = text(
        "Earlier feeding: each child, how long, why it stopped", need=Need.WHEN_OPEN, when=When("fed_before", (True,)),
        **FOR_PROVIDERS,
    )  # fmt: skip
    fed_before_stopped: Given[tuple[str, ...]] = many(
        "Earlier feeding stopped for", among.STOPPED_FOR, need=Need.WHEN_OPEN, when=When("fed_before", (True,)),
        **FOR_PROVIDERS,
    )  # fmt: skip
    conception_help: Given[tuple[str, ...]] = many(
        "Help to conceive", among.CONCEPTION, alone=("none",), need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    hormones: Given[tuple[str, ...]] = many(
        "Hormone conditions", among.HORMONES, alone=("none",), need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    hormones_managed: Given[str] = text(
        "Hormone condition: managed how and with whom", need=Need.WHEN_OPEN,
        when=When("hormones", tuple(code for code in among.HORMONES if code != "none")), **FOR_PROVIDERS,
    )  # fmt: skip
    conditions: Given[tuple[str, ...]] = many(
        "Other conditions", among.CONDITIONS, alone=("none",), need=Need.MUST, paper=TO_PROVIDERS,
        code=loinc("11450-4"),
    )  # fmt: skip
    conditions_which: Given[str] = text(
        "Conditions: which, since when, managed by whom", need=Need.WHEN_OPEN,
        when=When("conditions", tuple(code for code in among.CONDITIONS if code != "none")), **FOR_PROVIDERS,
    )  # fmt: skip
    asked_before_advice: Given[str] = text(
        "Provider asked before feeding advice: who, when, what was said", need=Need.WHEN_OPEN,
        when=When("conditions", among.ASK_BEFORE_ADVICE), **FOR_PROVIDERS,
    )  # fmt: skip
    gave_birth: Given[bool] = yes_no(
        "Gave birth to a baby of this family", need=Need.MUST, help="Yes opens the pregnancy and the birth.",
        **FOR_PROVIDERS,
    )  # fmt: skip
    pregnancy: Given[tuple[str, ...]] = many(
        "Problems in this pregnancy", among.PREGNANCY, alone=("none",), when=BIRTH_GIVER, paper=TO_PROVIDERS,
        code=loinc("10162-6"),
    )  # fmt: skip
    size_change: Given[str] = choice(
        "Breasts or chest grew in pregnancy", among.SIZE_CHANGE, need=Need.WHEN_OPEN, when=BIRTH_GIVER,
        **FOR_PROVIDERS,
    )  # fmt: skip
    labour: Given[str] = choice("Labour began", among.LABOUR, need=Need.WHEN_OPEN, when=BIRTH_GIVER, **FOR_PROVIDERS)
    labour_length: Given[Quantity] = quantity(
        "Labour lasted", ("h", "min"), low=0, high=10_080, need=Need.WHEN_OPEN, when=BIRTH_GIVER, source=HOUSE_BOUND,
        **FOR_PROVIDERS,
    )  # fmt: skip
    drip_fluids: Given[str] = choice(
        "Fluids by drip", among.DRIP, need=Need.WHEN_OPEN, when=BIRTH_GIVER, **FOR_PROVIDERS
    )  # fmt: skip
    drip_volume: Given[Quantity] = quantity(
        "Drip volume, if known", ("mL",), low=0, high=20_000, when=When("drip_fluids", ("some", "heavy")),
        source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    pain_relief: Given[tuple[str, ...]] = many(
        "Pain relief", among.PAIN_RELIEF, alone=("none", "not_known"), need=Need.WHEN_OPEN, when=BIRTH_GIVER,
        **FOR_PROVIDERS,
    )  # fmt: skip
    birth: Given[tuple[str, ...]] = many(
        "Birth", among.BIRTH, need=Need.WHEN_OPEN, when=BIRTH_GIVER, help="More than one only if babies differ.",
        **FOR_PROVIDERS,
    )  # fmt: skip
    skin_to_skin: Given[str] = choice(
        "First skin-to-skin", among.SKIN, need=Need.WHEN_OPEN, when=BIRTH_GIVER, **FOR_PROVIDERS
    )  # fmt: skip
    separated: Given[bool] = yes_no(
        "Separated from a baby after birth", need=Need.WHEN_OPEN, when=BIRTH_GIVER, **FOR_PROVIDERS
    )  # fmt: skip
    separated_why: Given[str] = text(
        "Separated: from whom, why, how long", need=Need.WHEN_OPEN, when=When("separated", (True,)), **FOR_PROVIDERS
    )  # fmt: skip
    after_birth: Given[tuple[str, ...]] = many(
        "At or after birth", among.AFTER_BIRTH, alone=("none",), need=Need.WHEN_OPEN, when=BIRTH_GIVER, **FOR_PROVIDERS
    )  # fmt: skip
    blood_loss: Given[Quantity] = quantity(
        "Blood loss, if known", ("mL",), low=0, high=10_000, when=When("after_birth", ("blood_loss", "transfusion")),
        source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    surgery: Sided[Given[tuple[str, ...]]] = many(
        "Breast or chest surgery or injury", among.SURGERY, alone=("none",), sides=True, need=Need.MUST,
        paper=TO_PROVIDERS, code=loinc("47519-4"),
    )  # fmt: skip
    surgery_when: Sided[Given[str]] = line(
        "Surgery or injury: when", sides=True, need=Need.WHEN_OPEN, when=OPERATED, **FOR_PROVIDERS
    )  # fmt: skip
    surgery_scars: Sided[Given[str]] = text(
        "Scars: where", sides=True, need=Need.WHEN_OPEN, when=OPERATED, **FOR_PROVIDERS
    )  # fmt: skip
    nipple_moved: Sided[Given[bool]] = yes_no(
        "Nipple was moved", sides=True, need=Need.WHEN_OPEN, when=OPERATED, **FOR_PROVIDERS
    )  # fmt: skip
    nipple_feeling: Sided[Given[str]] = choice(
        "Feeling in the nipple", among.FEELING, sides=True, need=Need.WHEN_OPEN, when=OPERATED, **FOR_PROVIDERS
    )  # fmt: skip
    surgery_cut: Sided[Given[str]] = choice(
        "Where it was cut", among.CUT, sides=True, need=Need.WHEN_OPEN, when=RESHAPED, **FOR_PROVIDERS
    )  # fmt: skip
    surgery_why: Sided[Given[str]] = text(
        "Why it was done", sides=True, need=Need.WHEN_OPEN, when=RESHAPED, **FOR_PROVIDERS
    )  # fmt: skip
    binding: Sided[Given[str]] = choice("Binding", among.BINDING, sides=True, **FOR_PROVIDERS)
    binding_how: Sided[Given[str]] = text(
        "Binding: how long, comfort, lumps", sides=True, need=Need.WHEN_OPEN, when=When("binding", ("before", "now")),
        **FOR_PROVIDERS,
    )  # fmt: skip
    milk_begun: Given[str] = choice("Milk was begun", among.MILK_BEGUN, need=Need.MUST, **FOR_PROVIDERS)
    milk_in: Sided[Given[str]] = choice(
        "Milk came in", among.MILK_IN, sides=True, need=Need.WHEN_OPEN, when=BIRTH_GIVER, **FOR_PROVIDERS
    )  # fmt: skip
    milk_in_after: Sided[Given[Quantity]] = quantity(
        "Milk came in, hours after birth", ("h",), low=0, high=40_320, sides=True, need=Need.WHEN_OPEN,
        when=When("milk_in", ("yes",)), source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    milk_in_feel: Sided[Given[tuple[str, ...]]] = many(
        "How that felt", among.MILK_IN_FEEL, sides=True, need=Need.WHEN_OPEN, when=When("milk_in", ("yes",)),
        **FOR_PROVIDERS,
    )  # fmt: skip
    leaking: Sided[Given[str]] = choice("Leaks", among.LEAKING, sides=True, **FOR_PROVIDERS)
    let_down: Sided[Given[str]] = choice("Let-down", among.LET_DOWN, sides=True, **FOR_PROVIDERS)
    fullness: Sided[Given[str]] = choice("Before a feed", among.FULLNESS, sides=True, **FOR_PROVIDERS)
    softening: Sided[Given[str]] = choice("Softer after a feed", among.SOFTENING, sides=True, **FOR_PROVIDERS)
    pain_when: Sided[Given[tuple[str, ...]]] = many(
        "Pain", among.PAIN_WHEN, alone=("none",), sides=True, need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    pain_now: Sided[Given[int]] = scale(
        "Pain now", ends=("none", "worst"), sides=True, need=Need.MUST, paper=TO_PROVIDERS, code=loinc("72514-3")
    )  # fmt: skip
    pain_worst: Sided[Given[int]] = scale(
        "Pain at its worst", ends=("none", "worst"), sides=True, need=Need.MUST, paper=TO_PROVIDERS,
        code=loinc("72514-3"),
    )  # fmt: skip
    pain_where: Sided[Given[str]] = line(
        "Pain: where", sides=True, need=Need.WHEN_OPEN, when=PAINFUL, **FOR_PROVIDERS
    )  # fmt: skip
    pain_kind: Sided[Given[tuple[str, ...]]] = many(
        "Pain is", among.PAIN_KIND, sides=True, need=Need.WHEN_OPEN, when=PAINFUL, **FOR_PROVIDERS
    )  # fmt: skip
    pain_since: Sided[Given[str]] = line(
        "Pain since", sides=True, need=Need.WHEN_OPEN, when=PAINFUL, **FOR_PROVIDERS
    )  # fmt: skip
    unwell: Given[tuple[str, ...]] = many("Unwell", among.UNWELL, alone=("none",), need=Need.MUST, **FOR_PROVIDERS)
    temperature: Given[Quantity] = quantity(
        "Temperature, if taken", ("C", "F"), low=300, high=430, source=HOUSE_BOUND, paper=TO_PROVIDERS,
        code=loinc("8310-5"),
    )  # fmt: skip
    temperature_at: Given[Moment] = moment(
        "Temperature taken at", need=Need.WHEN_OPEN, when=When("temperature", answered=True), **FOR_PROVIDERS
    )  # fmt: skip
    medicines: Given[str] = text(
        "Medicines", need=Need.MUST, help="Name, dose as told, how often, why, since when.", paper=TO_PROVIDERS,
        code=loinc("10160-0"),
    )  # fmt: skip
    medicines_checked: Given[str] = text(
        "Medicines: checked where, by whom", need=Need.WHEN_OPEN, when=When("medicines", answered=True),
        **FOR_PROVIDERS,
    )  # fmt: skip
    milk_makers: Given[str] = text("Herbs, and anything taken for milk", need=Need.MUST, **FOR_PROVIDERS)
    acts_on_dopamine: Given[bool] = yes_no(
        "One of them acts on dopamine", help="Yes: watch mood as well.", **FOR_PROVIDERS
    )  # fmt: skip
    allergies: Given[str] = text(
        "Allergies, with the reaction", need=Need.MUST, paper=TO_PROVIDERS, code=loinc("48765-2")
    )  # fmt: skip
    contraception: Given[str] = choice("Contraception", among.CONTRACEPTION, **FOR_PROVIDERS)
    periods_back: Given[bool] = yes_no("Periods are back", **FOR_PROVIDERS)
    pregnant: Given[str] = choice("Pregnant now", among.PREGNANT, paper=TO_PROVIDERS, code=loinc("82810-3"))
    substances: Given[tuple[str, ...]] = many(
        "Uses", among.SUBSTANCES, alone=("none",), need=Need.MUST, **IN_CONFIDENCE
    )  # fmt: skip
    substances_amount: Given[str] = text(
        "Uses: how much, how often", need=Need.WHEN_OPEN,
        when=When("substances", tuple(code for code in among.SUBSTANCES if code != "none")), **IN_CONFIDENCE,
    )  # fmt: skip
    diet: Given[str] = text("Food, drink and special diet", **FOR_PROVIDERS)
    food_short: Given[str] = choice("Food runs short", among.FOOD_SHORT, **IN_CONFIDENCE)
    sleep_hours: Given[Quantity] = quantity(
        "Own sleep in 24 hours", ("h",), low=0, high=1_440, source="a day has 1,440 minutes", **FOR_PROVIDERS
    )  # fmt: skip
    sleep_place: Given[tuple[str, ...]] = many(
        "Where baby sleeps", among.SLEEP_PLACE, need=Need.MUST, **FOR_PROVIDERS
    )  # fmt: skip
    sleep_risks: Given[tuple[str, ...]] = many(
        "Seen or told of baby's sleep", among.SLEEP_RISKS, alone=("none",), need=Need.MUST,
        source="American Academy of Pediatrics 2022 (S)", **FOR_PROVIDERS,
    )  # fmt: skip
    sleep_advice: Given[str] = text(
        "Sleep advice given", need=Need.WHEN_OPEN,
        when=When("sleep_risks", tuple(code for code in among.SLEEP_RISKS if code != "none")), **FOR_PROVIDERS,
    )  # fmt: skip
    help_at_home: Given[str] = text("Help at home", **FOR_PROVIDERS)
    work_return: Given[date] = day("Back to work or school", **FOR_PROVIDERS)
    mood_asked: Given[str] = choice("Mood", among.ASKED, need=Need.MUST, **PRIVATE)
    mood_asked_alone_at: Given[Moment] = moment(
        "Mood: asked alone at", need=Need.WHEN_OPEN, when=When("mood_asked", ("alone",)), **PRIVATE
    )  # fmt: skip
    mood_told: Given[str] = text("Mood: what was told", when=When("mood_asked", ("alone", "with_others")), **PRIVATE)
    mood_signs: Given[tuple[str, ...]] = many(
        "Signs of danger in mood", among.MOOD_SIGNS, alone=("none",), need=Need.MUST, **PRIVATE
    )  # fmt: skip
    screen_form: Given[str] = choice("Screen used", among.SCREEN, help="On its own paper.", **PRIVATE)
    screen_other: Given[str] = line(
        "Which screen", need=Need.WHEN_OPEN, when=When("screen_form", ("other",)), **PRIVATE
    )  # fmt: skip
    screen_total: Given[int] = count(
        "Screen total", high=30, need=Need.WHEN_OPEN, when=When("screen_form", answered=True),
        source="the ten-item scale ends at 30 (Cox 1987, S)", **SCREENED,
    )  # fmt: skip
    screen_item_10: Given[int] = count(
        "Number of its tenth item", high=3, need=Need.WHEN_OPEN, when=When("screen_form", ("epds",)),
        help="Blank is incomplete, never 0.", source="each item runs from 0 to 3 (Cox 1987, S)", **SCREENED,
    )  # fmt: skip
    screen_day: Given[date] = day(
        "Screen filled in on", need=Need.WHEN_OPEN, when=When("screen_form", answered=True), **PRIVATE
    )  # fmt: skip
    screen_by: Given[str] = line(
        "Screen added up by", need=Need.WHEN_OPEN, when=When("screen_form", answered=True), **PRIVATE
    )  # fmt: skip
    screen_language: Given[str] = line("Language of the screen", when=When("screen_form", answered=True), **PRIVATE)
    harm_thought_now: Given[str] = choice(
        "Thought of harm now", among.HARM_NOW, need=Need.WHEN_OPEN, when=When("screen_item_10", at_least=1),
        help="Stay, and ask now.", **PRIVATE,
    )  # fmt: skip
    warning_signs: Given[tuple[str, ...]] = many(
        "Warning signs now, up to one year after birth", among.WARNING_SIGNS, alone=("none",), need=Need.MUST,
        source="CDC Hear Her list (S); AWHONN POST-BIRTH (S2); ABM protocol 36 (S)", **FOR_PROVIDERS,
    )  # fmt: skip
    warning_severe: Given[bool] = yes_no(
        "Severe, or getting worse", need=Need.WHEN_OPEN, when=WARNED, **FOR_PROVIDERS
    )  # fmt: skip
    warning_provider_reached: Given[bool] = yes_no(
        "Own provider reached", need=Need.WHEN_OPEN, when=WARNED, **FOR_PROVIDERS
    )  # fmt: skip
    warning_told: Given[str] = text("Warning signs: what was told, since when", when=WARNED, **FOR_PROVIDERS)
    systolic: Given[int] = count("Blood pressure, upper", low=40, high=300, source=HOUSE_BOUND, **FOR_PROVIDERS)
    diastolic: Given[int] = count("Blood pressure, lower", low=20, high=200, source=HOUSE_BOUND, **FOR_PROVIDERS)
    pressure_at: Given[Moment] = moment(
        "Blood pressure taken at", need=Need.WHEN_OPEN, when=When("systolic", answered=True), **FOR_PROVIDERS
    )  # fmt: skip
    pressure_cuff: Given[str] = line(
        "Cuff, and who took it", when=When("systolic", answered=True), **FOR_PROVIDERS
    )  # fmt: skip
    begun_on: Given[date] = day("Milk begun on", need=Need.WHEN_OPEN, when=BEGUN, **FOR_PROVIDERS)
    begun_how: Given[str] = text("Milk begun how", need=Need.WHEN_OPEN, when=BEGUN, **FOR_PROVIDERS)
    begun_medicines: Given[str] = text(
        "Medicines to begin milk, and from whom", need=Need.WHEN_OPEN, when=BEGUN, **FOR_PROVIDERS
    )  # fmt: skip
    pump_sessions: Given[int] = count(
        "Pump sessions in 24 hours", high=24, need=Need.WHEN_OPEN, when=BEGUN, source=HOUSE_BOUND, **FOR_PROVIDERS
    )  # fmt: skip
    pump_volume: Sided[Given[Quantity]] = quantity(
        "Pumped in 24 hours", ("mL", "fl_oz"), low=0, high=3_000, sides=True, need=Need.WHEN_OPEN, when=BEGUN,
        source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    safety_asked: Given[str] = choice("Safety at home", among.ASKED, need=Need.MUST, **PRIVATE)
    safety_asked_alone_at: Given[Moment] = moment(
        "Safety: asked alone at", need=Need.WHEN_OPEN, when=When("safety_asked", ("alone",)), **PRIVATE
    )  # fmt: skip
    safe_at_home: Given[str] = choice(
        "Feels safe at home", among.SAFE, need=Need.WHEN_OPEN, when=When("safety_asked", ("alone",)), **PRIVATE
    )  # fmt: skip
    afraid_of: Given[bool] = yes_no(
        "Afraid of a partner or someone near", need=Need.WHEN_OPEN, when=When("safety_asked", ("alone",)), **PRIVATE
    )  # fmt: skip
    safety_told: Given[str] = text("Safety: what was told, and done", **PRIVATE)
    pumps: Given[tuple[str, ...]] = many("Pumps", among.PUMPS, alone=("none",), **FOR_PROVIDERS)
    flange: Sided[Given[Quantity]] = quantity(
        "Flange", ("mm",), low=10, high=50, sides=True, need=Need.WHEN_OPEN, when=When("pumps", among.PUMP_KINDS),
        source=HOUSE_BOUND, **FOR_PROVIDERS,
    )  # fmt: skip
    helpers: Sided[Given[tuple[str, ...]]] = many(
        "Devices used", among.HELPERS, alone=("none",), sides=True, **FOR_PROVIDERS
    )  # fmt: skip
    billed: Given[bool] = yes_no("A payer is billed", **IN_HOUSE)
    payer: Given[str] = line("Payer", need=Need.WHEN_OPEN, when=When("billed", (True,)), **IN_HOUSE)
    member_number: Given[str] = line("Member number", need=Need.WHEN_OPEN, when=When("billed", (True,)), **IN_HOUSE)
    referral_number: Given[str] = line("Payer's referral number", when=When("billed", (True,)), **IN_HOUSE)
    more: Given[str] = text("More of the parent's story", **FOR_PROVIDERS)
