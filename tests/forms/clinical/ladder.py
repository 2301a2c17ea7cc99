"""Every row of the action ladder, in our own words: its level, the rules that stand for it, the questions that fire it.

A row of figures alone (a table of published values, a way of working) has no level and no line here. A row that is no
sign of its own but a caution beside a figure names the figure and the words that stand there.
"""

from __future__ import annotations

from dataclasses import dataclass

from forms.clinical.prompts import Level

E, S, P, F, N = Level.EMERGENCY, Level.SAME_DAY, Level.PROMPT, Level.FOLLOW_UP, Level.NOTE


@dataclass(frozen=True, slots=True)
class Row:
    """One row: `key`, what it is about, its level, then either rules with the questions that fire them, or `beside`.

    `fields` are "form.field". `beside` is (figure id, words that stand beside that figure).
    """

    key: str
    about: str
    level: Level
    rules: tuple[str, ...] = ()
    fields: tuple[str, ...] = ()
    beside: tuple[str, str] | None = None


WEIGHT = ("weight.weight", "infant.birth_weight")
BORN = ("infant.born",)
AGED = (*WEIGHT, *BORN)
SIGNS = ("parent_history.warning_signs",)
PRESSURE = ("parent_history.systolic", "parent_history.diastolic")

WEIGHT_CHANGE = (
    Row("loss_expected", "expected loss of the first days, with the published means and medians", N, ("infant_loss_early",), AGED),
    Row("loss_median_vaginal", "published medians by hour, born vaginally", N, beside=("percent", "born vaginally")),
    Row("loss_median_caesarean", "published medians by hour, born by caesarean", N, beside=("percent", "born by caesarean")),
    Row("loss_10_share", "how many lose 10 % or more: see the threshold", S, ("infant_loss_10",), WEIGHT),
    Row("loss_12_5", "above the published tail", S, ("infant_loss_12_5",), WEIGHT),
    Row("regain_14", "below birth weight at day 14", P, ("infant_below_birth_weight_14",), AGED),
    Row("loss_10", "10 % or more: assess, and watch a feed", S, ("infant_loss_10",), WEIGHT),
    Row("loss_7", "about 7 %: look at the feed, weigh again", F, ("infant_loss_7",), WEIGHT),
    Row("loss_10_service", "10 %, as a newborn service acts on it", S, ("infant_loss_10",), WEIGHT),
    Row("loss_8_day_5", "8 to 10 % at 120 h or later", S, ("infant_loss_8_day_5",), AGED),
    Row("losing_after_day_5", "still losing after day 5", S, ("infant_not_gaining",), ("weight.weight", *BORN)),
    Row("loss_escalation", "12.5 % or more: same day, urgent", S, ("infant_loss_12_5",), WEIGHT),
    Row("loss_15", "15 % or more", E, ("infant_loss_15",), WEIGHT),
    Row("regain_10", "below birth weight at day 10", F, ("infant_below_birth_weight_10",), AGED),
    Row("regain_14_again", "the same at day 14", P, ("infant_below_birth_weight_14",), AGED),
    Row("regain_21", "the same at day 21", S, ("infant_below_birth_weight_21",), AGED),
    Row("faltering", "centile spaces fallen, or below the 2nd centile", P, ("infant_faltering",), (*AGED, "infant.sex")),
    Row("faltering_unwell", "the same in a baby who is unwell", S, ("infant_faltering_unwell",), (*AGED, "infant.sex", "infant_assessment.waking")),
)  # fmt: skip

GROWTH = (
    Row("gain_slow", "under 20 g/day between weighings 3 days apart, after day 5", F, ("infant_gain_slow",), ("weight.weight", *BORN)),
    Row("gain_none", "no gain, or loss, after day 5", S, ("infant_not_gaining",), ("weight.weight", *BORN)),
)  # fmt: skip

TEST_WEIGHING = (
    Row("evaporation", "a test weight reads 1 to 5 % low; not corrected", N, beside=("transfer", "evaporation")),
    Row("transfer_low_once", "one low test weight: repeat it", N, beside=("transfer", "one feed is a sample of the day")),
    Row("intake_440", "under 440 mL in 24 h after day 14, with poor gain", P, ("infant_intake_440",), ("feeding_amount.measured_24h", "weight.weight", *BORN)),
)  # fmt: skip

SUPPLEMENT = (
    Row("supplement_new", "any new supplement: in today's report; weigh again in 24 to 48 h", F, ("infant_supplement_new",), ("feeding_amount.extra_milk", "infant_history.fed_now", "feed.supplement")),
    Row("supplement_loss", "a supplement at a loss of 10 % or more", S, ("infant_supplement_loss",), ("feeding_amount.extra_milk", *WEIGHT)),
    Row("supplement_preterm", "a supplement, born before 37 weeks", S, ("infant_supplement_preterm",), ("feeding_amount.extra_milk", "infant.gestation_weeks")),
)  # fmt: skip

OUTPUT = (
    Row("output_one", "one count below the day's row", F, ("infant_output_one_below",), ("infant_history.wets_24h", "infant_history.stools_24h")),
    Row("output_two", "two or more below", S, ("infant_output_two_below",), ("infant_history.wets_24h", "infant_history.stools_24h")),
    Row("output_black", "black stool on day 5", S, ("infant_black_stool",), ("infant_history.stool_colour", "infant_assessment.stool_seen", "log_line.stool")),
    Row("output_urates", "pink-orange dust after day 3", S, ("infant_urates",), ("infant_history.urine_colour", "infant_assessment.urine_seen")),
    Row("no_urine", "no urine in 8 h, or in the first 24 h", S, ("infant_no_urine",), ("infant_history.last_wet", "infant_history.first_urine", "infant_history.wets_24h")),
    Row("no_urine_sleepy", "the same, and sleepy", E, ("infant_no_urine_sleepy",), ("infant_history.last_wet", "infant_history.sleepy_feeds", "infant_assessment.waking")),
    Row("stool_pale", "pale stool, dark urine, blood in a stool, at any age", S, ("infant_pale_stool", "infant_dark_urine", "infant_blood_in_stool"), ("infant_history.stool_colour", "infant_assessment.stool_seen", "log_line.stool", "infant_history.urine_colour", "infant_assessment.urine_seen")),
    Row("no_meconium", "no first stool by 24 to 48 h", S, ("infant_no_meconium",), ("infant_history.first_meconium",)),
)  # fmt: skip

FEED = (
    Row("latch_low", "a latch score under 7, with a loss above 7 %", F, ("infant_latch_low_loss",), ("score.latch_l", "score.latch_a", "score.latch_t", "score.latch_c", "score.latch_h", *WEIGHT)),
    Row("no_swallow", "no swallow after 24 h, with a loss above 7 %", F, ("infant_no_swallow_loss",), ("feed.swallows", "score.latch_a", *AGED)),
)  # fmt: skip

MOUTH = (
    Row("gap_in_mouth", "a gap, or a uvula split in two", S, ("infant_gap_in_mouth",), ("oral_assessment.lips", "oral_assessment.hard_palate", "oral_assessment.soft_palate", "oral_assessment.uvula")),
    Row("mouth_signs", "notch or blue line of the soft palate, loose tooth, high-pitched breath, small chin with noise", P, ("infant_mouth_signs",), ("oral_assessment.soft_palate", "oral_assessment.gums", "oral_assessment.voice", "oral_assessment.face", "infant_assessment.breath_noises")),
    Row("tongue_5", "a four-item tongue total of 5 or less, with trouble after support", P, ("infant_tongue_5",), ("score.btat_tip", "score.btat_gum", "score.btat_lift", "score.btat_reach", "feed.change_tried")),
    Row("tongue_8", "a four-item tongue total of 6 to 8", N, ("infant_tongue_noted",), ("score.btat_tip", "score.btat_gum", "score.btat_lift", "score.btat_reach")),
)  # fmt: skip

BODY = (
    Row("pain_4", "pain of 4 or more all through, or rising", F, ("parent_pain_4",), ("feed.pain_at_latch", "feed.pain_after_30s", "feed.pain_middle", "feed.pain_at_end", "parent_history.pain_when")),
    Row("pain_7", "pain of 7 or more", P, ("parent_pain_7",), ("feed.pain_at_latch", "parent_history.pain_now", "parent_history.pain_worst", "breast_assessment.pain_rest", "breast_assessment.pain_touch")),
    Row("trauma", "nipple trauma score 4 to 5, pus, yellow crust or spreading", P, ("parent_nipple_trauma",), ("breast_assessment.trauma_score", "breast_assessment.damage")),
    Row("blisters", "fluid-filled blisters in a group: no feeding on that side until seen", S, ("parent_blisters",), ("breast_assessment.skin_conditions",)),
    Row("stage", "damage of stage 3 to 4", P, ("parent_nipple_stage",), ("breast_assessment.trauma_stage", "breast_finding.depth")),
    Row("nipple_signs", "redness, swelling, blister, fissure, scab", N, ("parent_nipple_damage",), ("breast_assessment.damage",)),
    Row("nipple_shape", "nipple flat, turned in, dimpled; out of shape after a feed", N, ("parent_nipple_shape",), ("breast_assessment.nipple", "breast_assessment.shape_after", "feed.nipple_after")),
    Row("engorged", "own rating of fullness 5 to 6", F, ("parent_engorged",), ("breast_assessment.engorgement",)),
    Row("engorged_fever", "the same with fever", S, ("parent_engorged_fever",), ("breast_assessment.engorgement", "parent_history.temperature", "parent_history.unwell")),
    Row("inflamed", "inflamed with fever, or not better in 24 h; a mass", S, ("parent_breast", "parent_breast_seen"), (*SIGNS, "breast_assessment.skin", "breast_assessment.skin_since", "breast_finding.since", "breast_finding.feel")),
    Row("inflamed_sepsis", "the same with signs of the whole body", E, ("parent_sepsis",), SIGNS),
    Row("colour_change", "colour change in the cold, burning: if it persists", P, ("parent_colour_change",), ("breast_assessment.colour_changes", "breast_assessment.colour_course")),
    Row("markers", "markers of little gland tissue seen: weigh early", P, ("parent_breast_markers",), ("breast_assessment.gap", "breast_assessment.shape", "breast_assessment.evenness", "breast_assessment.surface", "parent_history.size_change", "parent_history.milk_in")),
    Row("breast_signs", "dimpling, orange peel, a fixed lump, blood from one opening", P, ("parent_breast_signs",), ("breast_assessment.skin", "breast_assessment.discharge", "breast_assessment.discharge_ducts", "breast_finding.moves")),
    Row("mood_10", "ten-item total of 10 to 12", P, ("parent_screen_10",), ("parent_history.screen_total", "parent_history.screen_form")),
    Row("mood_13", "ten-item total of 13 or more", S, ("parent_screen_13",), ("parent_history.screen_total", "parent_history.screen_form")),
    Row("mood_item_now", "its last item above 0: a thought of harm now, or no answer", E, ("parent_harm_now",), ("parent_history.screen_item_10", "parent_history.harm_thought_now")),
    Row("mood_item_asked", "its last item above 0: asked, and none now", S, ("parent_harm_item",), ("parent_history.screen_item_10",)),
    Row("mood_2", "two-item total of 3 or more: and a full screen", P, ("parent_two_items",), ("parent_history.screen_total", "parent_history.screen_form")),
)  # fmt: skip

EXPRESSING = (
    Row("sessions", "fewer than 5 sessions by day 5", F, ("parent_expressing_few",), ("expressing_day.sessions_24h", *BORN)),
    Row("volume", "less than 350 mL a day at day 14", P, ("parent_expressing_350",), ("expressing_day.total_24h", *BORN)),
    Row("volume_bands", "the bands of older teaching: the lowest acts as the row above", P, ("parent_expressing_350",), ("expressing_day.total_24h", *BORN)),
    Row("by_hand", "by hand alone, when all the milk is expressed", N, ("parent_by_hand_alone",), ("expression.way",)),
)  # fmt: skip

INFANT_FLAGS = (
    Row("fever_28", "38.0 °C or more, 0 to 28 d", E, ("infant_fever_28",), ("infant_assessment.temperature", *BORN)),
    Row("fever_90", "38.0 °C or more, 29 to 90 d", E, ("infant_fever_90",), ("infant_assessment.temperature", *BORN)),
    Row("fever_39", "39 °C or more at 3 to 6 months", S, ("infant_fever_39",), ("infant_assessment.temperature", *BORN)),
    Row("cold", "below 36.5 °C, not rising", S, ("infant_cold",), ("infant_assessment.temperature", "infant_assessment.temperature_after_skin")),
    Row("cold_36", "below 36.0 °C", E, ("infant_cold_36",), ("infant_assessment.temperature",)),
    Row("unwakeable", "cannot be woken or stay awake; weak, shrill or endless cry; floppy", E, ("infant_unwakeable",), ("infant_assessment.waking", "infant_assessment.cry", "infant_assessment.tone")),
    Row("hard_to_wake", "hard to wake, or two sleepy feeds in a row", S, ("infant_hard_to_wake",), ("infant_assessment.waking", "infant_history.sleepy_feeds", "feed.baby_state")),
    Row("hard_to_wake_with", "the same with another sign", E, ("infant_hard_to_wake_with",), ("infant_assessment.waking", "infant_assessment.colour", "infant_assessment.temperature", "infant_assessment.tone")),
    Row("jittery", "jittery, or clammy and pale, with poor feeding", E, ("infant_jittery",), ("infant_assessment.alarm_signs", "infant_history.feeding_vigour")),
    Row("breathing_colour", "blue, pale, mottled; working to breathe; 60 a minute; pauses", E, ("infant_breathing", "infant_blue_or_pale"), ("infant_assessment.breathing", "infant_assessment.breathing_rate", "infant_assessment.colour")),
    Row("brain", "bulging soft spot, stiff neck, fit, rash that does not fade", E, ("infant_brain",), ("infant_assessment.fontanelle", "infant_assessment.alarm_signs")),
    Row("green_vomit", "green vomit", E, ("infant_green_vomit",), ("infant_history.vomit", "log_line.brought_up")),
    Row("forceful_vomit", "forceful vomiting at every feed, week 2 to 8", S, ("infant_forceful_vomit",), ("infant_history.vomit", *BORN)),
    Row("yellow_24h", "yellow within 24 h of birth", E, ("infant_yellow_24h",), ("infant_assessment.colour", "infant_assessment.yellow_onset", "infant_history.jaundice_onset")),
    Row("yellow_sleepy", "yellow and sleepy, feeding poorly, arching or shrill", E, ("infant_yellow_sleepy",), ("infant_assessment.colour", "infant_history.feeding_vigour", "infant_assessment.tone", "infant_assessment.cry")),
    Row("yellow_far", "yellow to legs or eyes, day 2 to 14; later rounded toward safety", S, ("infant_yellow_far",), ("infant_assessment.yellow_extent", *BORN)),
    Row("yellow_long", "still yellow after 14 or 21 d", P, ("infant_yellow_long",), ("infant_assessment.colour", "infant.gestation_weeks", *BORN)),
    Row("yellow_pale_stool", "yellow for long, with pale stool or dark urine", S, ("infant_pale_stool", "infant_dark_urine"), ("infant_history.stool_colour", "infant_history.urine_colour")),
    Row("loss_again", "the losses of the first part, as red flags", E, ("infant_loss_15", "infant_loss_12_5", "infant_loss_10"), WEIGHT),
    Row("dry", "dry mouth, sunken eyes or soft spot, slow skin, no urine for 8 h", S, ("infant_dry", "infant_no_urine"), ("infant_assessment.mouth_moisture", "infant_assessment.eyes", "infant_assessment.fontanelle", "infant_assessment.skin_turgor", "infant_history.last_wet")),
    Row("dry_sleepy", "the same, and sleepy", E, ("infant_dry_sleepy", "infant_no_urine_sleepy"), ("infant_assessment.mouth_moisture", "infant_assessment.waking")),
    Row("few_feeds", "fewer than 8 feeds, or not waking, under 2 weeks", F, ("infant_few_feeds",), ("infant_history.feeds_24h", "infant_history.wakes_to_feed", *BORN)),
    Row("few_feeds_loss", "the same with a loss above 7 %", S, ("infant_few_feeds_loss",), ("infant_history.feeds_24h", *WEIGHT)),
    Row("bruise", "a bruise on a baby that cannot move about; an unsafe adult", S, ("infant_bruise", "infant_unsafe_adult"), ("infant_assessment.skin", "infant_assessment.moves_about", "infant_assessment.unsafe_adult")),
    Row("unsafe_sleep", "an unsafe sleep place: teach and write it down", N, ("parent_unsafe_sleep",), ("parent_history.sleep_risks", "parent_history.sleep_place")),
    Row("unsafe_sleep_again", "the same at an earlier visit too", P, ("parent_unsafe_sleep_again",), ("parent_history.sleep_risks", "parent_history.sleep_place")),
)  # fmt: skip

PARENT_FLAGS = (
    Row("warning", "the published list of signs, up to a year", S, ("parent_warning",), SIGNS),
    Row("warning_severe", "the same, severe, or nobody reached", E, ("parent_warning_severe", "parent_warning_unreached"), (*SIGNS, "parent_history.warning_severe", "parent_history.warning_provider_reached")),
    Row("pressure_160", "160 or 110, or lower with signs", E, ("parent_pressure_160", "parent_pressure_signs"), PRESSURE),
    Row("pressure_140", "140 to 159 or 90 to 109", S, ("parent_pressure_140",), PRESSURE),
    Row("bleeding", "a pad soaked in an hour, egg-size clots", S, ("parent_bleeding",), SIGNS),
    Row("bleeding_faint", "the same and faint, worsening, or nobody reached", E, ("parent_bleeding_faint", "parent_bleeding_severe", "parent_bleeding_unreached"), (*SIGNS, "parent_history.warning_severe", "parent_history.warning_provider_reached")),
    Row("at_once", "chest pain, cannot breathe, seizure", E, ("parent_at_once",), SIGNS),
    Row("harm_told", "thoughts of harm", E, ("parent_harm_now",), ("parent_history.mood_signs",)),
    Row("wound", "wound, leg, fever, headache with changed sight", S, ("parent_warning",), (*SIGNS, "parent_history.temperature")),
    Row("harm_now", "tenth item above 0: a thought of harm now, or no answer", E, ("parent_harm_now",), ("parent_history.screen_item_10", "parent_history.harm_thought_now")),
    Row("harm_asked", "tenth item above 0: asked, and none now", S, ("parent_harm_item",), ("parent_history.screen_item_10",)),
    Row("mind", "voices, confusion, not sleeping and high", E, ("parent_mind",), ("parent_history.mood_signs",)),
    Row("breast", "red, hot and fever; pus; a lump over 72 h", S, ("parent_breast",), (*SIGNS, "parent_history.unwell", "parent_history.temperature")),
    Row("sepsis", "fever with confusion, fast breathing, cold limbs", E, ("parent_sepsis",), SIGNS),
    Row("reason_words", "words of danger in the reason for the visit: ask and look now", N, ("parent_reason_words", "parent_reason_harm"), ("parent_history.reason",)),
    Row("fear", "afraid of a partner: talk in private, local duty", P, ("parent_fear",), ("parent_history.afraid_of", "parent_history.safe_at_home")),
)  # fmt: skip

ROWS: tuple[Row, ...] = (
    *WEIGHT_CHANGE, *GROWTH, *TEST_WEIGHING, *SUPPLEMENT, *OUTPUT, *FEED, *MOUTH, *BODY, *EXPRESSING, *INFANT_FLAGS,
    *PARENT_FLAGS,
)  # fmt: skip
