"""Urgent rules about signs on a baby's body: temperature, waking, breathing, colour, yellow skin, mouth, bruises."""

from __future__ import annotations

from collections.abc import Mapping

from forms.answers import every
from forms.clinical.evidence import AGE, DRY, FEEDS_POORLY, LOSS, SLEEPY, TEMPERATURE, YELLOW, Baby, picks
from forms.clinical.growth import PRETERM_BELOW
from forms.clinical.prompts_infant import GO_NOW, LOW_OUTPUT, OUTPUT_LIMITS, PROVIDER, SOON, UNDER_3_MONTHS, low_output
from forms.clinical.rule import Level, Rule
from forms.units import shown

__all__ = ["LOW", "RULES"]

DAY = 24  # hours
LOW, VERY_LOW = 365, 360  # tenths of a degree: 36.5 and 36.0 °C, WHO and NICE from memory (M)
NG143 = "NICE NG143 red list"


def _hot(baby: Baby, tenths: int) -> str | None:
    warmest = baby.warmest()
    return None if warmest is None or warmest < tenths else f"Temperature {shown(warmest, 'C')}"


def _fever(baby: Baby) -> str | None:
    """38.0 °C (100.4 °F) or more, or what the practice set below it."""
    return _hot(baby, baby.limits.at("fever"))


def _fever_to_28_days(baby: Baby) -> str | None:
    return _fever(baby) if baby.below(29 * DAY) else None


def _fever_to_90_days(baby: Baby) -> str | None:
    return _fever(baby) if baby.from_(29 * DAY) and baby.below(91 * DAY) else None


def _fever_39(baby: Baby) -> str | None:
    return _hot(baby, 390) if baby.from_(91 * DAY) and baby.below(184 * DAY) else None


def _very_cold(baby: Baby) -> str | None:
    coldest = baby.coldest()
    return None if coldest is None or coldest >= VERY_LOW else f"Temperature {shown(coldest, 'C')}"


def _cold(baby: Baby) -> str | None:
    coldest, after = baby.coldest(), picks(baby.seen.temperature_after_skin)
    if coldest is None or coldest >= LOW or after == {"rose"}:
        return None
    rest = "did not rise with skin-to-skin" if "did_not_rise" in after else "not known to have risen with skin-to-skin"
    return f"Temperature {shown(coldest, 'C')}, {rest}"


def _any(found: frozenset[str], words: Mapping[str, str]) -> str | None:
    seen = [said for code, said in words.items() if code in found]
    return ", ".join(seen).capitalize() if seen else None


def _unwakeable(baby: Baby) -> str | None:
    return _any(
        picks(baby.seen.waking, baby.seen.tone, baby.seen.cry),
        {
            "cannot_be_woken": "cannot be woken",
            "does_not_stay_awake": "woken, does not stay awake",
            "limp": "floppy",
            "weak": "weak cry",
            "high_pitched": "high-pitched cry",
            "continuous": "cry that cannot be stopped",
        },
    )


def _hard_to_wake(baby: Baby) -> str | None:
    if not baby.below(UNDER_3_MONTHS):
        return None
    if baby.sleepy_feeds >= 2:
        return f"Hard to wake, or too sleepy or weak to feed, {baby.sleepy_feeds} feeds in a row"
    # Who cannot be woken, or does not stay awake, is the emergency of a rule of its own and is not told twice.
    worse = picks(baby.seen.waking) & {"does_not_stay_awake", "cannot_be_woken"}
    return "Hard to wake" if baby.hard_to_wake and not worse else None


def _hard_to_wake_with(baby: Baby) -> str | None:
    hard = _hard_to_wake(baby)
    coldest = baby.coldest()
    beside = (
        (baby.yellow, "yellow skin"),
        (low_output(baby), "low output"),
        (baby.lost(10), "a loss of 10 % or more"),
        (_fever(baby) is not None, "fever"),
        (coldest is not None and coldest < LOW, "a low temperature"),
        (bool(picks(baby.seen.tone) & {"limp", "low"}), "poor tone"),
    )
    found = [words for there, words in beside if there]
    return f"{hard}, with {', '.join(found)}" if hard and found else None


def _jittery(baby: Baby) -> str | None:
    signs = picks(baby.seen.alarm_signs)
    sign = (
        "Jittery" if "jittery" in signs else "Clammy and pale" if {"clammy", "pale"} <= signs | baby.colours else None
    )
    return (
        f"{sign}, with poor feeding, in the first week" if sign and baby.feeds_poorly and baby.below(7 * DAY) else None
    )


def _breathing(baby: Baby) -> str | None:
    found = [
        _any(
            picks(baby.seen.breathing),
            {"grunting": "grunting", "chest_in_drawing": "ribs pull in", "pauses": "pauses in breathing"},
        ),
        next((f"{rate} breaths a minute" for rate in every(baby.seen.breathing_rate) if rate >= 60), None),
        _any(picks(baby.told.feed_signs), {"breathing_stops": "stops breathing at feeds"}),
        _any(picks(*(feed.baby_signs for feed in baby.feeds)), {"breathing_pause": "stopped breathing at a feed"}),
    ]
    return ", ".join(words for words in found if words) or None


def _blue_or_pale(baby: Baby) -> str | None:
    found = [
        _any(
            baby.colours, {"blue_lips_face": "blue or grey lips, tongue or face", "pale": "pale", "mottled": "mottled"}
        ),
        _any(picks(baby.mouth.lips), {"blue": "blue or grey lips", "pale": "pale lips"}),
        _any(picks(baby.told.feed_signs), {"colour_change": "turns blue, grey or pale at feeds"}),
        _any(picks(*(feed.baby_signs for feed in baby.feeds)), {"colour": "changed colour at a feed"}),
    ]
    return ", ".join(words for words in found if words) or None


def _brain(baby: Baby) -> str | None:
    return _any(
        picks(baby.seen.fontanelle, baby.seen.alarm_signs),
        {
            "bulging": "bulging soft spot",
            "stiff_neck": "stiff neck",
            "fit": "a fit was seen",
            "rash_not_fading": "rash that does not fade under pressure",
        },
    )


def _green_vomit(baby: Baby) -> str | None:
    """Green vomit told, or written in a line of the log."""
    found = picks(baby.told.vomit, *(line.brought_up for line in baby.lines))
    return "Green vomit" if "green" in found else None


def _forceful_vomit(baby: Baby) -> str | None:
    every_feed = "forceful_every_feed" in picks(baby.told.vomit)
    week_2_to_8 = baby.from_(7 * DAY) and baby.below(63 * DAY)
    return "Forceful vomiting at every feed, in week 2 to 8" if every_feed and week_2_to_8 else None


def _yellow_first_day(baby: Baby) -> str | None:
    words = "Yellow within 24 hours of birth"
    untested = "seen" in picks(baby.told.jaundice_told) and "within_24_h" in picks(baby.told.jaundice_onset)
    if untested:
        return f"{words}, told and not tested"
    if not baby.yellow:
        return None
    first = [baby.hours_at(moment.at) for moment in every(baby.seen.yellow_first_seen)]
    early = any(hours is not None and hours < DAY for hours in first)
    return words if baby.below(DAY) or early or "within_24_h" in picks(baby.seen.yellow_onset) else None


def _yellow_and_sleepy(baby: Baby) -> str | None:
    beside = (
        (baby.sleepy, "sleepiness"),
        (baby.feeds_poorly, "poor feeding"),
        ("arching" in picks(baby.seen.tone), "arching"),
        ("high_pitched" in picks(baby.seen.cry), "shrill cry"),
    )
    found = [words for there, words in beside if there]
    return f"Yellow, with {', '.join(found)}" if baby.yellow and found else None


def _yellow_far(baby: Baby) -> str | None:
    """Yellow to legs or eyes after the first day. The row as published ends at day 14; no end is safer (house rule)."""
    far = picks(baby.seen.yellow_extent) & {"legs", "eyes"}
    if not far or not baby.from_(DAY):
        return None
    return f"Yellow to the {' and '.join(sorted(far, reverse=True))}"


def _yellow_long(baby: Baby) -> str | None:
    weeks, days = every(baby.identity.gestation_weeks), every(baby.identity.gestation_days)
    gestations = [w * 7 + d for w in weeks for d in days] or [w * 7 for w in weeks]
    term = not gestations or max(gestations) >= PRETERM_BELOW  # an unknown gestation takes the stricter, earlier limit
    limit = 14 if term else 21
    over = baby.hours is None or baby.hours > limit * DAY
    return f"Still yellow after {limit} days" if baby.yellow and over else None


def _dry(baby: Baby) -> str | None:
    found = [
        _any(picks(baby.seen.mouth_moisture), {"dry": "dry mouth"}),
        _any(picks(baby.seen.eyes), {"sunken": "sunken eyes"}),
        _any(picks(baby.seen.fontanelle), {"sunken": "sunken soft spot"}),
        _any(picks(baby.seen.skin_turgor), {"slow": "skin stays up when pinched"}),
    ]
    return ", ".join(words for words in found if words) or None


def _dry_and_sleepy(baby: Baby) -> str | None:
    dry = _dry(baby)
    return f"{dry}, and sleepy or floppy" if dry and (baby.sleepy or "limp" in picks(baby.seen.tone)) else None


def _gap_in_mouth(baby: Baby) -> str | None:
    found = [
        _any(picks(baby.mouth.lips), {"cleft": "gap in the lip"}),
        _any(picks(baby.mouth.hard_palate), {"cleft": "gap in the hard palate"}),
        _any(picks(baby.mouth.soft_palate), {"cleft": "gap in the soft palate"}),
        _any(picks(baby.mouth.uvula), {"bifid": "uvula split in two"}),
    ]
    return ", ".join(words for words in found if words) or None


def _mouth(baby: Baby) -> str | None:
    """Findings of mouth and jaw that a provider or dentist looks at, beside a gap."""
    noise = picks(baby.seen.breath_noises) - {"none"}
    chin = picks(baby.mouth.face) & {"small_chin", "set_back_chin"}
    found = [
        _any(picks(baby.mouth.soft_palate), {"notch": "notch in the soft palate", "blue_midline": "blue line there"}),
        _any(picks(baby.mouth.gums), {"loose_tooth": "a loose tooth"}),
        _any(picks(baby.mouth.voice) | noise, {"high_on_breathing_in": "high-pitched on breathing in"}),
        "small or set-back chin, with noisy breathing" if chin and noise else None,
    ]
    return ", ".join(words for words in found if words) or None


def _bruise(baby: Baby) -> str | None:
    about = every(baby.seen.moves_about)
    moves = bool(about) and all(about)
    bruised = "bruise" in picks(baby.seen.skin) or any("bruise" in picks(mark.kind) for mark in baby.drawn)
    return "A bruise on a baby not known to move about" if bruised and not moves else None


def _unsafe_adult(baby: Baby) -> str | None:
    return "An adult here does not seem safe for this baby" if True in every(baby.seen.unsafe_adult) else None


REPORT = "Report as the local law asks, the same day; do not put it to the adults alone."
ABSENT_WHY = "With a high blood sodium these signs may be missing (NHS Lothian, S)."
YELLOW_WHY = "How high the bilirubin is cannot be told by looking; it has to be measured."

RULES: tuple[Rule[Baby], ...] = (
    Rule("infant_fever_28", Level.EMERGENCY, _fever_to_28_days, "Fever in the first 28 days is urgent by itself.",
         GO_NOW, f"{NG143}, under 3 months; AAP 2021 (8 to 28 days)", "S", by_age=True,
         fields=(*TEMPERATURE, *AGE), thresholds=("fever",)),
    Rule("infant_fever_90", Level.EMERGENCY, _fever_to_90_days, "Fever below 3 months is urgent by itself.",
         f"{GO_NOW} The provider may direct otherwise on the call.", f"{NG143}, under 3 months; AAP 2021 to 60 days",
         "S", by_age=True,
         fields=(*TEMPERATURE, *AGE), thresholds=("fever",)),
    Rule("infant_fever_39", Level.SAME_DAY, _fever_39, "39 °C or more at 3 to 6 months.", PROVIDER,
         "NICE NG143 amber list", "S", by_age=True,
         fields=(*TEMPERATURE, *AGE)),
    Rule("infant_cold_36", Level.EMERGENCY, _very_cold, "A baby below 36.0 °C may be very ill.", GO_NOW,
         "WHO and NICE", "M", over=("infant_cold",),
         fields=TEMPERATURE),
    Rule("infant_cold", Level.SAME_DAY, _cold, "Below 36.5 °C and not rising with skin-to-skin.", PROVIDER,
         "WHO and NICE", "M",
         fields=(*TEMPERATURE, "infant_assessment.temperature_after_skin")),
    Rule("infant_unwakeable", Level.EMERGENCY, _unwakeable, "Waking, cry and tone tell how ill a baby may be.", GO_NOW,
         f"{NG143}; not staying awake from memory", "S",
         fields=("infant_assessment.waking", "infant_assessment.tone", "infant_assessment.cry")),
    Rule("infant_hard_to_wake_with", Level.EMERGENCY, _hard_to_wake_with,
         "Sleepy together with another sign may be illness, not rest.", GO_NOW, "common practice, no source", "M",
         over=("infant_hard_to_wake",), by_age=True,
         fields=(*SLEEPY, *AGE, *YELLOW, *LOW_OUTPUT, *LOSS, *TEMPERATURE, "infant_assessment.tone"),
         thresholds=("fever", *OUTPUT_LIMITS)),
    Rule("infant_hard_to_wake", Level.SAME_DAY, _hard_to_wake, "A sleepy baby may look content and take too little.",
         "Speak to the baby's provider before leaving.", "common practice, no source", "M", by_age=True,
         fields=(*SLEEPY, *AGE)),
    Rule("infant_jittery", Level.EMERGENCY, _jittery, "Low blood sugar cannot be told by looking.", GO_NOW,
         "from memory", "M", by_age=True,
         fields=("infant_assessment.alarm_signs", "infant_assessment.colour", *FEEDS_POORLY, *AGE)),
    Rule("infant_breathing", Level.EMERGENCY, _breathing, "The baby is working to breathe.", GO_NOW,
         f"{NG143}, 60 a minute rounded toward safety; pauses from memory", "S",
         fields=("infant_assessment.breathing", "infant_assessment.breathing_rate", "infant_history.feed_signs",
                 "feed.baby_signs")),
    Rule("infant_blue_or_pale", Level.EMERGENCY, _blue_or_pale, "Colour can show too little oxygen or blood flow.",
         GO_NOW, NG143, "S",
         fields=("infant_assessment.colour", "oral_assessment.lips", "infant_history.feed_signs", "feed.baby_signs")),
    Rule("infant_brain", Level.EMERGENCY, _brain, "These signs can mean an infection or pressure in the head.", GO_NOW,
         NG143, "S",
         fields=("infant_assessment.fontanelle", "infant_assessment.alarm_signs")),
    Rule("infant_green_vomit", Level.EMERGENCY,
         _green_vomit,
         "Green vomit can mean a blocked bowel.", GO_NOW, "fever and vomiting guidance", "S",
         fields=("infant_history.vomit", "log_line.brought_up")),
    Rule("infant_forceful_vomit", Level.SAME_DAY, _forceful_vomit, "The stomach's outlet may be too narrow.", PROVIDER,
         "from memory", "M", by_age=True,
         fields=("infant_history.vomit", *AGE)),
    Rule("infant_yellow_24h", Level.EMERGENCY, _yellow_first_day, YELLOW_WHY, GO_NOW, "AAP 2022; NICE CG98", "S2",
         by_age=True,
         fields=(*YELLOW, "infant_assessment.yellow_first_seen", "infant_assessment.yellow_onset",
                 "infant_history.jaundice_told", "infant_history.jaundice_onset", *AGE)),
    Rule("infant_yellow_sleepy", Level.EMERGENCY, _yellow_and_sleepy, YELLOW_WHY, GO_NOW, "AAP 2022", "M",
         fields=(*YELLOW, *SLEEPY, "infant_history.feeding_vigour", "infant_assessment.tone", "infant_assessment.cry")),
    Rule("infant_yellow_far", Level.SAME_DAY, _yellow_far, YELLOW_WHY, f"{PROVIDER} Ask for a bilirubin.",
         "day 2 to 14: common practice, as quoted, never judged by eye alone; later: house rule", "S2",
         by_age=True,
         fields=("infant_assessment.yellow_extent", *AGE)),
    Rule("infant_yellow_long", Level.PROMPT, _yellow_long, "Look at stool and urine colour as well.", SOON,
         "NICE CG98", "S", by_age=True,
         fields=(*YELLOW, "infant.gestation_weeks", "infant.gestation_days", *AGE)),
    Rule("infant_dry_sleepy", Level.EMERGENCY, _dry_and_sleepy, ABSENT_WHY, GO_NOW, "NICE NG143; NHS", "S",
         over=("infant_dry",),
         fields=(*DRY, *SLEEPY, "infant_assessment.tone")),
    Rule("infant_dry", Level.SAME_DAY, _dry, ABSENT_WHY, PROVIDER, "NICE NG143; NHS", "S",
         fields=DRY),
    Rule("infant_gap_in_mouth", Level.SAME_DAY, _gap_in_mouth,
         "With a gap a baby may be unable to draw milk; the provider needs to see it.", PROVIDER,
         "findings of the oral assessment, from memory", "M",
         fields=("oral_assessment.lips", "oral_assessment.hard_palate", "oral_assessment.soft_palate",
                 "oral_assessment.uvula")),
    Rule("infant_mouth_signs", Level.PROMPT, _mouth,
         "A provider looks at these; a loose tooth, a dentist.", SOON, "findings of the oral assessment, from memory",
         "M",
         fields=("oral_assessment.soft_palate", "oral_assessment.gums", "oral_assessment.voice",
                 "oral_assessment.face", "infant_assessment.breath_noises")),
    Rule("infant_bruise", Level.SAME_DAY, _bruise, "A baby that cannot move about rarely bruises itself.", REPORT,
         "local law", "M", private=True,
         fields=("infant_assessment.skin", "infant_assessment.moves_about", "body_mark.kind")),
    Rule("infant_unsafe_adult", Level.SAME_DAY, _unsafe_adult, "The baby's safety comes first.", REPORT, "local law",
         "M", private=True,
         fields=("infant_assessment.unsafe_adult",)),
)  # fmt: skip
