"""Each line of the trade's forms, C1 to C15, and the questions that ask it, as "form: field field; form: field".

A form's own name in front of a colon alone ("closing:") takes all of its fields.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from forms.ask import asks
from forms.form import Form, catalog

__all__ = ["LINES", "fields_of"]

LINES: Mapping[str, str] = MappingProxyType({
    "C1.1": "parent: full_name called_name name_as_printed pronouns pronouns_own family_title body_word body_word_own "
            "feeding_word feeding_word_own milk_word milk_word_own words_in_letters",
    "C1.2": "parent: born_day phone safe_to_message contact_rules language interpreter_need interpreter_name "
            "interpreter_mode; family: family_name address second_address access pets signal units_spoken visit_safety",
    "C1.3": "parent: roles birth_parent_of non_birth_parent_of adoptive_parent_of foster_parent_of surrogate_of "
            "co_feeder_of role_own may_consent",
    "C1.4": "parent_history: taken changes reason sent_by; visit: reason",
    "C1.5": "parent_history: goal goal_importance goal_confidence would_help",
    "C1.6": "parent_history: pregnancies births living_children loss loss_told",
    "C1.7": "parent_history: fed_before fed_before_how fed_before_stopped",
    "C1.8": "parent_history: conception_help hormones hormones_managed",
    "C1.9": "parent_history: conditions conditions_which asked_before_advice",
    "C1.10": "parent_history: gave_birth pregnancy size_change",
    "C1.11": "parent_history: labour labour_length drip_fluids drip_volume pain_relief",
    "C1.12": "parent_history: birth skin_to_skin separated separated_why; infant_history: first_feed_after "
             "first_feed_late_why; infant: birth_place",
    "C1.13": "parent_history: after_birth blood_loss",
    "C1.14": "parent_history: surgery surgery_when surgery_scars nipple_moved nipple_feeling",
    "C1.15": "parent_history: surgery_cut surgery_why binding binding_how",
    "C1.16": "parent_history: milk_in milk_in_after milk_in_feel",
    "C1.17": "parent_history: leaking let_down fullness softening",
    "C1.18": "parent_history: pain_when pain_now pain_worst pain_where pain_kind pain_since",
    "C1.19": "parent_history: unwell temperature temperature_at",
    "C1.20": "parent_history: medicines medicines_checked milk_makers acts_on_dopamine",
    "C1.21": "parent_history: allergies",
    "C1.22": "parent_history: contraception periods_back pregnant",
    "C1.23": "parent_history: substances substances_amount",
    "C1.24": "parent_history: diet food_short",
    "C1.25": "parent_history: sleep_hours sleep_place sleep_risks sleep_advice help_at_home work_return",
    "C1.26": "parent_history: mood_asked mood_asked_alone_at mood_told mood_signs screen_form screen_other screen_total "
             "screen_item_10 screen_day screen_by screen_language harm_thought_now",
    "C1.26a": "parent_history: warning_signs warning_severe warning_provider_reached warning_told",
    "C1.26b": "parent_history: systolic diastolic pressure_at pressure_cuff",
    "C1.27": "parent_history: milk_begun begun_on begun_how begun_medicines pump_sessions pump_volume",
    "C1.28": "parent_history: safety_asked safety_asked_alone_at safe_at_home afraid_of safety_told",
    "C1.29": "parent_history: pumps flange helpers more",
    "C1.30": "care_team: primary_provider next_visit_day birth_provider other_providers releases_talked_over; release:",
    "C1.31": "parent_history: billed payer member_number referral_number",
    "C2.1": "infant: legal_name called_name name_as_printed earlier_names tag_shape sex birth_order",
    "C2.2": "infant: born born_day birth_place",
    "C2.3": "infant: gestation_weeks gestation_days plurality",
    "C2.4": "infant: birth_weight birth_length birth_head",
    "C2.5": "weight: weight taken state source told_by document scale_name by_whom kept_after_asking moved_here",
    "C2.6": "infant_history: apgar_1 apgar_5 birth_help birth_injury birth_injury_where",
    "C2.7": "infant_history: neonatal_unit neonatal_days neonatal_why neonatal_tube neonatal_breathing",
    "C2.8": "infant_history: blood_sugar blood_sugar_value jaundice_told jaundice_onset bilirubin_highest bilirubin_at "
            "bilirubin_course light_treatment",
    "C2.9": "infant_history: vitamin_k vitamin_d screening",
    "C2.10": "infant_history: conditions conditions_which cleared_to_feed operations",
    "C2.11": "infant_history: medicines allergies",
    "C2.12": "infant_history: mouth_referral family_conditions",
    "C2.13": "infant_history: taken changes first_feed_after feeds_24h feeds_night longest_gap feed_length sides_per_feed",
    "C2.14": "infant_history: fed_now day_before methods own_milk_each own_milk_times donor_milk_each donor_milk_times formula_each "
             "formula_times other_fed supplement_since supplement_advised_by",
    "C2.15": "infant_history: first_urine wets_24h last_wet wet_heaviness urine_colour",
    "C2.16": "infant_history: first_meconium stools_24h last_stool stool_colour stool_size stool_mucus",
    "C2.17": "infant_history: wakes_to_feed sleepy_feeds feeding_vigour settled_after crying",
    "C2.18": "infant_history: vomit feed_signs",
    "C2.19": "infant_history: pacifier swaddled carried car_seat",
    "C2.20": "infant_history: earlier_care earlier_care_what",
    "C2.21": "infant_history: solids solids_since teeth milestones",
    "C2.22": "care_team: primary_provider next_visit_day other_providers",
    "C2.23": "infant_history: guardians guardians_other custody_limits custody_limits_what more",
    "C3.1": "breast_assessment: consent",
    "C3.2": "breast_assessment: feed_timing since_milk",
    "C3.3": "breast_assessment: evenness spacing gap shape size surface shape_plain",
    "C3.4": "breast_assessment: marks marks_where; body_mark:",
    "C3.5": "breast_assessment: fullness engorgement areola_swelling areola_plain",
    "C3.6": "breast_assessment: skin skin_where skin_size skin_since skin_course skin_plain; "
            "body_mark: outline side x y clock on_chest from_nipple placed kind longest across",
    "C3.7": "breast_assessment: lump; breast_finding: side kind where clock from_nipple longest across depth feel moves "
            "tender after_feed since course; body_mark: side x y clock on_chest from_nipple kind longest tender",
    "C3.8": "breast_assessment: tender armpit",
    "C3.9": "breast_assessment: nipple nipple_comes_out nipple_width nipple_length nipple_width_after nipple_plain",
    "C3.10": "breast_assessment: areola_stretch areola_dent areola_swelling",
    "C3.11": "breast_assessment: shape_after",
    "C3.12": "breast_assessment: damage trauma_score trauma_stage; "
             "body_mark: side x y clock on_chest from_nipple kind depth longest across",
    "C3.13": "breast_assessment: colour_changes colour_when colour_minutes colour_course",
    "C3.14": "breast_assessment: bleb discharge discharge_ducts; body_mark: side x y clock kind",
    "C3.15": "breast_assessment: skin_conditions",
    "C3.16": "breast_assessment: expressed expressed_amount expressed_comfort",
    "C3.17": "breast_assessment: pain_rest pain_touch",
    "C3.18": "breast_assessment: more; photo:",
    "C3.19": "breast_assessment: shape_plain areola_plain skin_plain nipple_plain",
    "C4.1": "oral_assessment: consent gloved state; touch_consent:",
    "C4.2": "oral_assessment: face face_plain; body_mark: x y on_body kind",
    "C4.3": "oral_assessment: lips",
    "C4.4": "oral_assessment: gums",
    "C4.5": "oral_assessment: hard_palate soft_palate uvula palate_plain",
    "C4.6": "oral_assessment: tongue_rest tongue_tip",
    "C4.7": "oral_assessment: tongue_reach tongue_lift tongue_side tongue_cupping tongue_wave tongue_snap movement",
    "C4.8": "oral_assessment: frenulum_on_tongue frenulum_on_floor frenulum_stretch frenulum_thickness; photo: picture region; "
            "body_mark: x y on_mouth kind words photo",
    "C4.9": "oral_assessment: suck_starts suck_strength suck_rhythm suck_seal suck_bursts suck_signs suck_plain gag",
    "C4.10": "oral_assessment: patches patches_plain",
    "C4.11": "oral_assessment: voice more",
    "C4.12": "score: tool",
    "C5.1": "weight: weight taken state scale_name scale_step repeat; infant_assessment: weight_not_taken",
    "C5.2": "infant_assessment: length head",
    "C5.3": "infant_assessment: seen_how state_on_arrival waking",
    "C5.4": "infant_assessment: tone turns_to",
    "C5.5": "infant_assessment: colour yellow_extent yellow_onset yellow_first_seen yellow_course colour_plain; "
            "body_mark: x y on_body on_head kind",
    "C5.6": "infant_assessment: mouth_moisture fontanelle eyes skin_turgor",
    "C5.7": "infant_assessment: breathing_rate breathing breath_noises breathing_plain",
    "C5.7a": "infant_assessment: cry alarm_signs",
    "C5.8": "infant_assessment: temperature temperature_at temperature_where temperature_by temperature_after_skin",
    "C5.9": "infant_assessment: skin skin_where bruise_where moves_about cord unsafe_adult; body_mark: x y on_body kind",
    "C5.10": "infant_assessment: rooting sucking grasp",
    "C5.11": "infant_assessment: diaper_seen urine_seen stool_seen; photo: picture region",
    "C5.12": "infant_assessment: asymmetry asymmetry_where body_plain; body_mark: x y on_body kind",
    "C5.13": "infant_assessment: cues settles more",
    "C6.head": "feed: observed began last_ended place baby_state helped_by devices shield_size device_words used",
    "C6.1": "feed: position",
    "C6.2": "feed: body",
    "C6.3": "feed: attachment latch_concerns jaw",
    "C6.4": "feed: latched_by tries minutes_to_latch help_level",
    "C6.5": "feed: pain_at_latch pain_after_30s pain_middle pain_at_end",
    "C6.6": "feed: latched let_go; feed_event:",
    "C6.7": "feed: sucks_early sucks_late rhythm breathing",
    "C6.8": "feed: swallows swallows_known",
    "C6.9": "weight: feed feed_side feed_point diaper_changed same_clothes spit_up",
    "C6.10": "weight: weight scale_step",
    "C6.11": "feed: ended_by breast_after nipple_after",
    "C6.12": "feed: baby_after hands baby_signs",
    "C6.13": "feed: let_down flow",
    "C6.14": "feed: change_tried tried pain_before_change pain_after_change swallows_before_change swallows_after_change "
             "why_not_tried",
    "C6.15": "feed: supplement supplement_milk supplement_amount supplement_method supplement_minutes supplement_stress",
    "C6.16": "feed: bottle_seen bottle_flow bottle_pacing bottle_amount bottle_minutes bottle_spill",
    "C6.17": "feed: feeder_view feeder_words",
    "C6.18": "feed: not_observed_because not_observed_words",
    "C7": "expression:; expressing_day:; expression_event:",
    "C8": "feeding_log:; log_line:",
    "C9": "impression:",
    "C10": "plan:; plan_task:; feeding_amount:; referral:",
    "C11": "visit:; present:; care_consent:; touch_consent:",
    "C12": "score:; parent_history: screen_form screen_total screen_item_10 screen_day screen_by screen_language",
    "C13": "contact:; urgent_contact:",
    "C14": "closing:; state_at_end:; loop:",
    "C15": "care_consent:; touch_consent:; release:; consent:",
})  # fmt: skip


def fields_of(line: str) -> Iterator[tuple[type[Form], str]]:
    """Every question of a line; raises KeyError for a form or field that is not declared."""
    for part in LINES[line].split(";"):
        name, _, fields = part.partition(":")
        form = catalog()[name.strip()]
        for field in fields.split() or asks(form):
            asks(form)[field]
            yield form, field
