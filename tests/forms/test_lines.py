"""Each line of the trade's own forms, and each sign on the action ladder, has its field.

C1 parent's history, C2 baby's history, C4 mouth, C5 baby seen today. A field under MUST has to be asked of everyone;
one under OPEN is due once its trigger is answered (or, for a baby's age, at that age); a MAY field is free.
"""

from __future__ import annotations

import pytest

import forms.all  # noqa: F401 - fills the catalogue
from forms.ask import Need, Path, asks
from forms.form import catalog, is_open, with_value
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.oral import OralAssessment
from forms.parent_history import ParentHistory

MUST, OPEN, MAY = Need.MUST, Need.WHEN_OPEN, Need.FREE

LINES: dict[str, tuple[str, str]] = {
    "C1.1": ("parent", "MUST full_name MAY called_name pronouns body_word feeding_word milk_word"),
    "C1.2": ("parent", "MUST born_day phone safe_to_message language interpreter_need OPEN contact_rules"),
    "C1.3": (
        "parent",
        "MUST roles MAY birth_parent_of non_birth_parent_of adoptive_parent_of surrogate_of co_feeder_of",
    ),
    "C1.4": ("parent_history", "MUST reason sent_by"),
    "C1.5": ("parent_history", "MUST goal MAY goal_importance goal_confidence OPEN would_help"),
    "C1.6": ("parent_history", "MAY pregnancies births living_children loss"),
    "C1.7": ("parent_history", "MUST fed_before OPEN fed_before_how fed_before_stopped"),
    "C1.8": ("parent_history", "MUST conception_help hormones OPEN hormones_managed"),
    "C1.9": ("parent_history", "MUST conditions OPEN conditions_which asked_before_advice"),
    "C1.10": ("parent_history", "MUST gave_birth OPEN size_change MAY pregnancy"),
    "C1.11": ("parent_history", "OPEN labour labour_length drip_fluids pain_relief"),
    "C1.12": ("parent_history", "OPEN birth skin_to_skin separated separated_why"),
    "C1.13": ("parent_history", "OPEN after_birth MAY blood_loss"),
    "C1.14": ("parent_history", "MUST surgery OPEN surgery_when surgery_scars nipple_moved nipple_feeling"),
    "C1.15": ("parent_history", "OPEN surgery_cut surgery_why binding_how MAY binding"),
    "C1.16": ("parent_history", "OPEN milk_in milk_in_after milk_in_feel"),
    "C1.17": ("parent_history", "MAY leaking let_down fullness softening"),
    "C1.18": ("parent_history", "MUST pain_when pain_now pain_worst OPEN pain_where pain_kind pain_since"),
    "C1.19": ("parent_history", "MUST unwell MAY temperature OPEN temperature_at"),
    "C1.20": ("parent_history", "MUST medicines milk_makers OPEN medicines_checked MAY acts_on_dopamine"),
    "C1.21": ("parent_history", "MUST allergies"),
    "C1.22": ("parent_history", "MAY contraception periods_back pregnant"),
    "C1.23": ("parent_history", "MUST substances OPEN substances_amount"),
    "C1.24": ("parent_history", "MAY diet food_short"),
    "C1.25": (
        "parent_history",
        "MUST sleep_place sleep_risks OPEN sleep_advice MAY sleep_hours help_at_home work_return",
    ),
    "C1.26": (
        "parent_history",
        (
            "MUST mood_asked MAY screen_form OPEN mood_asked_alone_at screen_total screen_item_10 screen_day screen_by"
            " harm_thought_now"
        ),
    ),
    "C1.26a": ("parent_history", "MUST warning_signs mood_signs OPEN warning_severe warning_provider_reached"),
    "C1.26b": ("parent_history", "MAY systolic diastolic pressure_cuff OPEN pressure_at"),
    "C1.27": ("parent_history", "MUST milk_begun OPEN begun_on begun_how begun_medicines pump_sessions pump_volume"),
    "C1.28": ("parent_history", "MUST safety_asked OPEN safety_asked_alone_at safe_at_home afraid_of"),
    "C1.29": ("parent_history", "MAY pumps helpers OPEN flange"),
    "C1.30": ("care_team", "MUST primary_provider other_providers releases_talked_over"),
    "C1.31": ("parent_history", "OPEN payer member_number MAY billed referral_number"),
    "C2.1": ("infant", "MUST legal_name called_name tag_shape sex birth_order"),
    "C2.2": ("infant", "MUST born birth_place MAY born_day"),
    "C2.3": ("infant", "MUST gestation_weeks gestation_days plurality"),
    "C2.4": ("infant", "MUST birth_weight MAY birth_length birth_head"),
    "C2.5": ("weight", "MUST weight taken state source"),
    "C2.6": ("infant_history", "OPEN apgar_1 apgar_5 birth_help birth_injury"),
    "C2.7": ("infant_history", "MUST neonatal_unit OPEN neonatal_days neonatal_why neonatal_tube neonatal_breathing"),
    "C2.8": ("infant_history", "OPEN blood_sugar jaundice_told bilirubin_highest bilirubin_at light_treatment"),
    "C2.9": ("infant_history", "MAY vitamin_k vitamin_d screening"),
    "C2.10": ("infant_history", "MUST conditions operations OPEN conditions_which cleared_to_feed"),
    "C2.11": ("infant_history", "MUST medicines allergies"),
    "C2.12": ("infant_history", "OPEN family_conditions"),
    "C2.13": ("infant_history", "MUST first_feed_after feeds_24h feeds_night longest_gap feed_length sides_per_feed"),
    "C2.14": (
        "infant_history",
        (
            "MUST fed_now OPEN methods own_milk_each own_milk_times donor_milk_each donor_milk_times formula_each"
            " formula_times other_fed supplement_since supplement_advised_by MAY day_before"
        ),
    ),
    "C2.15": ("infant_history", "MUST wets_24h last_wet wet_heaviness urine_colour"),
    "C2.16": ("infant_history", "MUST stools_24h last_stool stool_colour stool_size stool_mucus"),
    "C2.17": ("infant_history", "MUST wakes_to_feed sleepy_feeds feeding_vigour settled_after crying"),
    "C2.18": ("infant_history", "MUST vomit feed_signs"),
    "C2.19": ("infant_history", "MAY pacifier swaddled carried car_seat"),
    "C2.20": ("infant_history", "MAY earlier_care OPEN earlier_care_what"),
    "C2.21": ("infant_history", "OPEN solids teeth milestones"),
    "C2.22": ("care_team", "MUST primary_provider next_visit_day other_providers"),
    "C2.23": ("infant_history", "MUST guardians custody_limits OPEN custody_limits_what"),
    "C4.1": ("oral_assessment", "MUST consent OPEN gloved state"),
    "C4.2": ("oral_assessment", "OPEN face"),
    "C4.3": ("oral_assessment", "OPEN lips"),
    "C4.4": ("oral_assessment", "OPEN gums"),
    "C4.5": ("oral_assessment", "OPEN hard_palate soft_palate uvula"),
    "C4.6": ("oral_assessment", "OPEN tongue_rest tongue_tip"),
    "C4.7": (
        "oral_assessment",
        "OPEN tongue_reach tongue_lift tongue_side tongue_cupping tongue_wave tongue_snap movement",
    ),
    "C4.8": (
        "oral_assessment",
        "OPEN frenulum_on_tongue frenulum_on_floor frenulum_stretch frenulum_thickness",
    ),
    "C4.9": (
        "oral_assessment",
        "OPEN suck_starts suck_strength suck_rhythm suck_seal suck_bursts suck_signs gag",
    ),
    "C4.10": ("oral_assessment", "OPEN patches"),
    "C4.11": ("oral_assessment", "MAY voice"),
    "C4.12": ("score", "MUST tool version scored_at scored_by MAY feeder incomplete_why OPEN tool_name kotlow_mm"),
    "C5.1": ("weight", "MUST weight taken state"),
    "C5.2": ("infant_assessment", "MAY length head"),
    "C5.3": ("infant_assessment", "MUST state_on_arrival waking"),
    "C5.4": ("infant_assessment", "MUST tone OPEN turns_to"),
    "C5.5": ("infant_assessment", "MUST colour OPEN yellow_extent yellow_onset yellow_course"),
    "C5.6": ("infant_assessment", "MUST mouth_moisture fontanelle eyes skin_turgor"),
    "C5.7": ("infant_assessment", "MUST breathing_rate breathing breath_noises"),
    "C5.7a": ("infant_assessment", "MUST cry alarm_signs"),
    "C5.8": ("infant_assessment", "MAY temperature OPEN temperature_at temperature_where temperature_after_skin"),
    "C5.9": ("infant_assessment", "MUST skin cord OPEN skin_where bruise_where moves_about"),
    "C5.10": ("infant_assessment", "MAY rooting sucking grasp"),
    "C5.11": ("infant_assessment", "MAY diaper_seen OPEN urine_seen stool_seen"),
    "C5.12": ("infant_assessment", "MAY asymmetry asymmetry_where"),
    "C5.13": ("infant_assessment", "MUST cues settles"),
}

NUMBERED = {
    "C1": [str(n) for n in range(1, 32)] + ["26a", "26b"],
    "C2": [str(n) for n in range(1, 24)],
    "C4": [str(n) for n in range(1, 13)],
    "C5": [str(n) for n in range(1, 14)] + ["7a"],
}

# Every EMERGENCY and SAME DAY sign of the ladder that is answered rather than worked out, with one code that tells it.
SIGNS: dict[str, tuple[str, str, str]] = {
    "baby's temperature": ("infant_assessment", "temperature", ""),
    "cold and not rising with skin-to-skin": ("infant_assessment", "temperature_after_skin", "did_not_rise"),
    "cannot be woken": ("infant_assessment", "waking", "cannot_be_woken"),
    "woken, does not stay awake": ("infant_assessment", "waking", "does_not_stay_awake"),
    "hard to wake": ("infant_assessment", "waking", "hard_to_wake"),
    "too sleepy to feed, feeds in a row": ("infant_history", "sleepy_feeds", ""),
    "weak cry": ("infant_assessment", "cry", "weak"),
    "high cry": ("infant_assessment", "cry", "high_pitched"),
    "cry that cannot be stopped": ("infant_assessment", "cry", "continuous"),
    "floppy": ("infant_assessment", "tone", "limp"),
    "arching": ("infant_assessment", "tone", "arching"),
    "jittery": ("infant_assessment", "alarm_signs", "jittery"),
    "clammy": ("infant_assessment", "alarm_signs", "clammy"),
    "feeds poorly": ("infant_history", "feeding_vigour", "poor"),
    "refuses feeds": ("infant_history", "feeding_vigour", "refuses"),
    "blue": ("infant_assessment", "colour", "blue_lips_face"),
    "pale": ("infant_assessment", "colour", "pale"),
    "mottled": ("infant_assessment", "colour", "mottled"),
    "grunting": ("infant_assessment", "breathing", "grunting"),
    "breathing rate": ("infant_assessment", "breathing_rate", ""),
    "chest pulls in": ("infant_assessment", "breathing", "chest_in_drawing"),
    "pauses in breathing": ("infant_assessment", "breathing", "pauses"),
    "breathing stops at feeds": ("infant_history", "feed_signs", "breathing_stops"),
    "colour change at feeds": ("infant_history", "feed_signs", "colour_change"),
    "bulging soft spot": ("infant_assessment", "fontanelle", "bulging"),
    "sunken soft spot": ("infant_assessment", "fontanelle", "sunken"),
    "sunken eyes": ("infant_assessment", "eyes", "sunken"),
    "dry mouth": ("infant_assessment", "mouth_moisture", "dry"),
    "poor turgor": ("infant_assessment", "skin_turgor", "slow"),
    "stiff neck": ("infant_assessment", "alarm_signs", "stiff_neck"),
    "fit": ("infant_assessment", "alarm_signs", "fit"),
    "rash that does not fade": ("infant_assessment", "alarm_signs", "rash_not_fading"),
    "green vomit": ("infant_history", "vomit", "green"),
    "forceful vomit at every feed": ("infant_history", "vomit", "forceful_every_feed"),
    "yellow": ("infant_assessment", "colour", "yellow"),
    "yellow within 24 hours of birth": ("infant_assessment", "yellow_onset", "within_24_h"),
    "yellow legs": ("infant_assessment", "yellow_extent", "legs"),
    "yellow eyes": ("infant_assessment", "yellow_extent", "eyes"),
    "pale stool told": ("infant_history", "stool_colour", "pale"),
    "pale stool seen": ("infant_assessment", "stool_seen", "pale"),
    "blood in stool": ("infant_history", "stool_colour", "red"),
    "black stool": ("infant_history", "stool_colour", "black"),
    "dark urine": ("infant_history", "urine_colour", "dark"),
    "urates": ("infant_history", "urine_colour", "urates"),
    "hours since urine": ("infant_history", "last_wet", ""),
    "no urine in the first day": ("infant_history", "first_urine", "not_yet"),
    "no meconium": ("infant_history", "first_meconium", "not_yet"),
    "wets": ("infant_history", "wets_24h", ""),
    "stools": ("infant_history", "stools_24h", ""),
    "feeds in 24 hours": ("infant_history", "feeds_24h", ""),
    "bruise": ("infant_assessment", "skin", "bruise"),
    "bruise, cannot move about": ("infant_assessment", "moves_about", ""),
    "unsafe adult": ("infant_assessment", "unsafe_adult", ""),
    "cleft palate": ("oral_assessment", "hard_palate", "cleft"),
    "cleft soft palate": ("oral_assessment", "soft_palate", "cleft"),
    "split uvula": ("oral_assessment", "uvula", "bifid"),
    "headache": ("parent_history", "warning_signs", "headache"),
    "faint": ("parent_history", "warning_signs", "faint"),
    "vision": ("parent_history", "warning_signs", "vision"),
    "parent's fever": ("parent_history", "warning_signs", "fever"),
    "parent's temperature": ("parent_history", "temperature", ""),
    "chest pain": ("parent_history", "warning_signs", "chest_pain"),
    "racing heart": ("parent_history", "warning_signs", "racing_heart"),
    "breathless": ("parent_history", "warning_signs", "breathless"),
    "belly pain": ("parent_history", "warning_signs", "belly_pain"),
    "vomiting": ("parent_history", "warning_signs", "vomiting"),
    "swollen hands or face": ("parent_history", "warning_signs", "swollen"),
    "leg": ("parent_history", "warning_signs", "leg"),
    "pad in an hour": ("parent_history", "warning_signs", "pad_soaked"),
    "big clots": ("parent_history", "warning_signs", "big_clots"),
    "foul bleeding": ("parent_history", "warning_signs", "bleeding"),
    "tiredness": ("parent_history", "warning_signs", "exhausted"),
    "seizure": ("parent_history", "warning_signs", "seizure"),
    "wound": ("parent_history", "warning_signs", "wound"),
    "severe": ("parent_history", "warning_severe", ""),
    "provider unreachable": ("parent_history", "warning_provider_reached", ""),
    "thoughts of harm": ("parent_history", "mood_signs", "harm_thoughts"),
    "voices": ("parent_history", "mood_signs", "voices"),
    "confusion": ("parent_history", "mood_signs", "confusion"),
    "not sleeping and high": ("parent_history", "mood_signs", "high_sleepless"),
    "tenth item": ("parent_history", "screen_item_10", ""),
    "screen total": ("parent_history", "screen_total", ""),
    "thought of harm now": ("parent_history", "harm_thought_now", "not_answered"),
    "upper blood pressure": ("parent_history", "systolic", ""),
    "lower blood pressure": ("parent_history", "diastolic", ""),
    "breast red and hot": ("parent_history", "warning_signs", "breast_red_hot"),
    "no better in a day": ("parent_history", "warning_signs", "breast_not_better"),
    "pus": ("parent_history", "warning_signs", "breast_pus"),
    "lump": ("parent_history", "warning_signs", "breast_mass"),
    "fever and confused": ("parent_history", "warning_signs", "confused"),
    "fever and fast breathing": ("parent_history", "warning_signs", "fast_breathing"),
    "fever and cold limbs": ("parent_history", "warning_signs", "cold_limbs"),
    "fear": ("parent_history", "afraid_of", ""),
}


@pytest.mark.parametrize("line", LINES)
def test_a_line_of_the_trade_has_its_fields_with_the_need_the_trade_states(line: str) -> None:
    form, words = LINES[line]
    questions = asks(catalog()[form])
    needs = {"MUST": MUST, "OPEN": OPEN, "MAY": MAY}
    need = None
    for word in words.split():
        if word in needs:
            need = needs[word]
        else:
            assert word in questions, f"{line}: {form} has no {word}"
            assert questions[word].need is need, f"{line}: {form}.{word}"


def test_no_line_number_is_left_out() -> None:
    assert set(LINES) == {f"{form}.{number}" for form, numbers in NUMBERED.items() for number in numbers}


def test_every_must_field_of_these_forms_stands_on_a_line() -> None:
    own = {"taken", "seen_how"}  # how the form came to be filled in: not a line of the trade, but part of a whole note
    listed = {(form, word) for form, words in LINES.values() for word in words.split()}
    for form in ("parent", "parent_history", "infant", "infant_history", "infant_assessment", "oral_assessment"):
        musts = {name for name, ask in asks(catalog()[form]).items() if ask.need is MUST}
        assert {name for name in musts - own if (form, name) not in listed} == set(), form


@pytest.mark.parametrize("sign", SIGNS)
def test_a_sign_of_the_action_ladder_has_a_field_to_fire_on(sign: str) -> None:
    form, field, code = SIGNS[sign]
    ask = asks(catalog()[form])[field]
    assert not code or code in ask.options


def test_a_declined_look_into_the_mouth_asks_nothing_more() -> None:
    declined = with_value(OralAssessment(), Path("consent"), "declined")
    shown = [name for name in asks(OralAssessment) if is_open(declined, Path(name))]
    assert shown == ["consent", "more"]


def test_consent_given_opens_the_mouth_and_held_back_opens_the_frenulum() -> None:
    given = with_value(OralAssessment(), Path("consent"), "given")
    assert is_open(given, Path("tongue_lift"))
    assert not is_open(given, Path("frenulum_on_tongue"))
    assert is_open(with_value(given, Path("movement"), "held_back"), Path("frenulum_on_tongue"))


def test_yellow_opens_where_and_since_when() -> None:
    pink = with_value(InfantAssessment(), Path("colour"), ("usual",))
    yellow = with_value(InfantAssessment(), Path("colour"), ("pale", "yellow"))
    for name in ("yellow_extent", "yellow_onset", "yellow_course"):
        assert not is_open(pink, Path(name))
        assert is_open(yellow, Path(name))


def test_any_supplement_opens_how_much_of_just_that_milk() -> None:
    fed = with_value(InfantHistory(), Path("fed_now"), ("at_breast", "formula"))
    assert is_open(fed, Path("formula_each"))
    assert is_open(fed, Path("methods"))
    assert not is_open(fed, Path("donor_milk_each"))


def test_the_tenth_item_above_zero_opens_the_question_about_now_and_blank_or_zero_does_not() -> None:
    answers = with_value(ParentHistory(), Path("screen_form"), "epds")
    question = Path("harm_thought_now")
    assert not is_open(answers, question)
    assert not is_open(with_value(answers, Path("screen_item_10"), 0), question)
    assert is_open(with_value(answers, Path("screen_item_10"), 1), question)
