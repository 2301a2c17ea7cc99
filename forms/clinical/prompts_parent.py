"""Urgent rules about a parent, up to one year after a birth: warning signs, blood pressure, mood, breast.

Where the published lists differ (CDC: seek care at once for all; AWHONN: two tiers) the two tiers are kept, rounded up:
a sign is SAME DAY, and EMERGENCY when severe, getting worse, or when the provider cannot be reached.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from re import Pattern
from types import MappingProxyType

from forms.answers import every
from forms.clinical.evidence import FEVER, PRESSURE, UNREACHED, WARNINGS, Feeder, picks
from forms.clinical.rule import Level, Rule
from forms.clinical.urgent_words import HARM, URGENT, words_found
from forms.parent_history import ParentHistory

__all__ = ["RULES"]

PROVIDER = "Speak to the parent's own provider before leaving or the same day, and send the written report."
CALL_NOW = "Call the parent's own provider now; if nobody is reached, the emergency number."
GO_NOW = "Call the emergency number or go to the emergency department now."
STAY = "Stay. Call the emergency number or the crisis line now."
SOON = "Ask the parent's own provider to see the parent within 24 to 48 hours."
CDC = "CDC Hear Her list"
AWHONN = "AWHONN POST-BIRTH"
UP_TO_A_YEAR = "Up to a year after birth this can be a complication of it."

# Two-tier signs of the CDC list (S) and of AWHONN POST-BIRTH (S2): the code, and how it is said.
TWO_TIER: Mapping[str, str] = MappingProxyType(
    {
        "headache": "worst or lasting headache",
        "faint": "fainted or dizzy",
        "vision": "vision changed",
        "racing_heart": "racing heart",
        "belly_pain": "severe belly pain",
        "vomiting": "severe vomiting",
        "swollen": "swollen hands or face",
        "leg": "leg painful, red, hot or swollen",
        "bleeding": "heavy or foul bleeding",
        "exhausted": "overwhelming tiredness",
        "wound": "wound not healing",
    }
)
BLEEDING_NOW: Mapping[str, str] = MappingProxyType(
    {"pad_soaked": "a pad soaked in an hour", "big_clots": "clots the size of an egg"}
)
AT_ONCE: Mapping[str, str] = MappingProxyType(
    {"chest_pain": "chest pain", "breathless": "cannot get enough breath", "seizure": "seizure"}
)
SEPSIS: Mapping[str, str] = MappingProxyType(
    {
        "confused": "confused, with fever",
        "fast_breathing": "fast breathing, with fever",
        "cold_limbs": "cold hands or feet, with fever",
    }
)
MIND: Mapping[str, str] = MappingProxyType(
    {
        "voices": "hears or sees what others do not",
        "confusion": "confused or not like themselves",
        "high_sleepless": "not sleeping and very high",
    }
)


def _said(found: frozenset[str], words: Mapping[str, str]) -> str | None:
    seen = [said for code, said in words.items() if code in found]
    return ", ".join(seen).capitalize() if seen else None


def _warning(parent: Feeder) -> str | None:
    seen = [said for code, said in TWO_TIER.items() if code in parent.signs]
    if parent.fever:
        seen.append("38.0 °C or more, or fever told")
    return ", ".join(seen).capitalize() if seen else None


def _bleeding(parent: Feeder) -> str | None:
    return _said(parent.signs, BLEEDING_NOW)


def _severe(seen: Callable[[Feeder], str | None]) -> Callable[[Feeder], str | None]:
    def severe(parent: Feeder) -> str | None:
        words = seen(parent)
        return f"{words}: severe or getting worse" if words and parent.severe else None

    return severe


def _unreached(seen: Callable[[Feeder], str | None]) -> Callable[[Feeder], str | None]:
    def unreached(parent: Feeder) -> str | None:
        words = seen(parent)
        return f"{words}: the provider was not reached" if words and parent.unreached else None

    return unreached


def _bleeding_and_faint(parent: Feeder) -> str | None:
    words = _bleeding(parent)
    return f"{words}, and faint or dizzy" if words and "faint" in parent.signs else None


def _pressure(upper: int, lower: int) -> Callable[[Feeder], str | None]:
    def reached(parent: Feeder) -> str | None:
        return (
            f"Blood pressure {upper} or more over {lower} or more, either one"
            if parent.pressure(upper, lower)
            else None
        )

    return reached


def _pressure_with_signs(parent: Feeder) -> str | None:
    """A pressure of 140/90 or more with any sign of the lists but those of the breast (rounded up)."""
    words = _said(parent.signs, {**TWO_TIER, **BLEEDING_NOW, **AT_ONCE, **SEPSIS}) or (
        "Fever" if parent.fever else None
    )
    return f"Blood pressure of 140 or 90 or more, with: {words.lower()}" if words and parent.pressure(140, 90) else None


def _harm_now(parent: Feeder) -> str | None:
    now = picks(parent.told.harm_thought_now)
    if "harm_thoughts" in picks(parent.told.mood_signs):
        return "Thoughts of harming self or baby"
    if "yes" in now:
        return "A thought of harm now"
    asked_and_none = now == {"no"}
    item = any(value > 0 for value in every(parent.told.screen_item_10))
    return (
        "The tenth item of the screen is above 0, and a thought of harm now is not ruled out"
        if item and not asked_and_none
        else None
    )


def _harm_item(parent: Feeder) -> str | None:
    item = any(value > 0 for value in every(parent.told.screen_item_10))
    return "The tenth item of the screen is above 0; asked, and no thought of harm now" if item else None


def _screen(limit: str) -> Callable[[Feeder], str | None]:
    def reached(parent: Feeder) -> str | None:
        lowest = parent.limits.at(limit)
        high = any(total >= lowest for total in every(parent.told.screen_total))
        return f"Mood screen total of {lowest} or more" if high and "epds" in picks(parent.told.screen_form) else None

    return reached


def _breast(parent: Feeder) -> str | None:
    systemic = parent.fever or bool(picks(parent.told.unwell) & {"fever", "chills", "flu_feeling"})
    found = _said(
        parent.signs,
        {
            "breast_not_better": "breast or chest red and hot, no better in 24 hours",
            "breast_pus": "pus from the breast or nipple",
            "breast_mass": "a lump staying longer than 72 hours",
        },
    )
    hot = (
        "Breast or chest red and hot, with fever or feeling ill"
        if systemic and "breast_red_hot" in parent.signs
        else None
    )
    return "; ".join(words for words in (hot, found) if words) or None


def _fear(parent: Feeder) -> str | None:
    afraid = True in every(parent.told.afraid_of) or "no" in picks(parent.told.safe_at_home)
    return "Not safe at home, or afraid of someone near" if afraid else None


UNSAFE_SLEEP: Mapping[str, str] = MappingProxyType(
    {
        "prone": "on the tummy or side",
        "soft": "soft surface or loose bedding",
        "sofa": "sofa or armchair",
        "incline": "tilted more than 10 degrees",
        "sitting_device": "swing, seat or incline",
    }
)
SLEEP = ("parent_history.sleep_risks", "parent_history.sleep_place")


def _sleep(told: ParentHistory) -> str | None:
    return _said(picks(told.sleep_risks, told.sleep_place), UNSAFE_SLEEP)


def _unsafe_sleep(parent: Feeder) -> str | None:
    seen = _sleep(parent.told)
    return f"Where baby sleeps: {seen.lower()}" if seen else None


def _unsafe_sleep_again(parent: Feeder) -> str | None:
    """A risk now and at an earlier visit too, the same one or another."""
    seen = _unsafe_sleep(parent)
    return f"{seen}; also at an earlier visit" if seen and any(_sleep(told) for told in parent.earlier) else None


def _told_words(among: Mapping[str, Pattern[str]]) -> Callable[[Feeder], str | None]:
    """Words of danger in the reason for the visit, whichever of its values they stand in."""

    def told(parent: Feeder) -> str | None:
        found = dict.fromkeys(words for reason in every(parent.told.reason) for words in words_found(reason, among))
        return f"The reason for the visit speaks of: {', '.join(found)}" if found else None

    return told


SLEEP_WHY = "A flat, firm surface of its own, on the back, is the safest place for a baby to sleep."
MOOD_WHY = "The scale itself names no condition; it asks for a talk."

RULES: tuple[Rule[Feeder], ...] = (
    Rule("parent_at_once", Level.EMERGENCY, lambda parent: _said(parent.signs, AT_ONCE), UP_TO_A_YEAR, GO_NOW,
         f"{AWHONN}: emergency number", "S2",
         fields=WARNINGS),
    Rule("parent_harm_now", Level.EMERGENCY, _harm_now, "Ask in private, stay, and do not leave it for later.", STAY,
         f"Cox 1987, tenth item; {AWHONN}", "S", over=("parent_harm_item",), private=True,
         fields=("parent_history.harm_thought_now", "parent_history.mood_signs", "parent_history.screen_item_10")),
    Rule("parent_harm_item", Level.SAME_DAY, _harm_item, "It counts whatever the total is.", PROVIDER,
         "Cox 1987, tenth item", "S", private=True,
         fields=("parent_history.screen_item_10",)),
    Rule("parent_mind", Level.EMERGENCY, lambda parent: _said(picks(parent.told.mood_signs), MIND),
         "This can change within hours.", STAY, "from memory", "M", private=True,
         fields=("parent_history.mood_signs",)),
    Rule("parent_sepsis", Level.EMERGENCY, lambda parent: _said(parent.signs, SEPSIS),
         "Fever with these signs can be an infection of the whole body.", GO_NOW, "sepsis signs, from memory", "M",
         fields=WARNINGS),
    Rule("parent_pressure_160", Level.EMERGENCY, _pressure(160, 110), UP_TO_A_YEAR, GO_NOW, "ACOG figures", "S2",
         over=("parent_pressure_140",),
         fields=PRESSURE),
    Rule("parent_pressure_signs", Level.EMERGENCY, _pressure_with_signs, UP_TO_A_YEAR, GO_NOW,
         f"ACOG figures; {AWHONN}", "S2", over=("parent_pressure_140",),
         fields=(*PRESSURE, *FEVER)),
    Rule("parent_pressure_140", Level.SAME_DAY, _pressure(140, 90), UP_TO_A_YEAR, PROVIDER, "ACOG figures", "S2",
         fields=PRESSURE),
    Rule("parent_bleeding_faint", Level.EMERGENCY, _bleeding_and_faint, UP_TO_A_YEAR, GO_NOW, AWHONN, "S2",
         over=("parent_bleeding",),
         fields=WARNINGS),
    Rule("parent_bleeding_severe", Level.EMERGENCY, _severe(_bleeding), UP_TO_A_YEAR, GO_NOW, AWHONN, "S2",
         over=("parent_bleeding",),
         fields=(*WARNINGS, "parent_history.warning_severe")),
    Rule("parent_bleeding_unreached", Level.EMERGENCY, _unreached(_bleeding), UP_TO_A_YEAR, GO_NOW, AWHONN, "S2",
         over=("parent_bleeding",),
         fields=(*WARNINGS, *UNREACHED)),
    Rule("parent_bleeding", Level.SAME_DAY, _bleeding, UP_TO_A_YEAR, CALL_NOW, AWHONN, "S2",
         fields=WARNINGS),
    Rule("parent_warning_severe", Level.EMERGENCY, _severe(_warning), UP_TO_A_YEAR, GO_NOW, f"{CDC}; {AWHONN}", "S",
         over=("parent_warning",),
         fields=(*FEVER, "parent_history.warning_severe")),
    Rule("parent_warning_unreached", Level.EMERGENCY, _unreached(_warning), UP_TO_A_YEAR, GO_NOW, f"{CDC}; {AWHONN}",
         "S", over=("parent_warning",),
         fields=(*FEVER, *UNREACHED)),
    Rule("parent_warning", Level.SAME_DAY, _warning, UP_TO_A_YEAR, PROVIDER, f"{CDC}; {AWHONN}", "S",
         fields=FEVER),
    Rule("parent_breast", Level.SAME_DAY, _breast, "It may need treatment that only a provider can give.", PROVIDER,
         "ABM protocols 36 and 30; 24 and 72 hours from memory", "S",
         fields=FEVER),
    Rule("parent_screen_13", Level.SAME_DAY, _screen("mood_ten_same_day"), MOOD_WHY,
         PROVIDER, "Cox 1987", "S", over=("parent_screen_10",), private=True,
         fields=("parent_history.screen_total", "parent_history.screen_form"), thresholds=("mood_ten_same_day",)),
    Rule("parent_screen_10", Level.PROMPT, _screen("mood_ten_prompt"), MOOD_WHY,
         SOON, "Cox 1987", "S", private=True,
         fields=("parent_history.screen_total", "parent_history.screen_form"), thresholds=("mood_ten_prompt",)),
    Rule("parent_fear", Level.PROMPT, _fear, "Talk in private only.", "Follow the local duty and offer local help.",
         "trade", "M", private=True,
         fields=("parent_history.afraid_of", "parent_history.safe_at_home")),
    Rule("parent_reason_harm", Level.NOTE, _told_words(HARM), "What is written in passing can be urgent.",
         "Ask now, in private, and answer the questions about mood.", "common practice, no source", "M", private=True,
         fields=("parent_history.reason",)),
    Rule("parent_reason_words", Level.NOTE, _told_words(URGENT), "What is written in passing can be urgent.",
         "Ask and look now, and answer the questions about that sign.", "common practice, no source", "M",
         fields=("parent_history.reason",)),
    Rule("parent_unsafe_sleep_again", Level.PROMPT, _unsafe_sleep_again, SLEEP_WHY,
         "Teach again, write down what was said, and ask the baby's provider to talk it over within 24 to 48 hours.",
         "American Academy of Pediatrics 2022", "S", over=("parent_unsafe_sleep",), fields=SLEEP),
    Rule("parent_unsafe_sleep", Level.NOTE, _unsafe_sleep, SLEEP_WHY, "Teach, and write down what was said.",
         "American Academy of Pediatrics 2022", "S", fields=SLEEP),
)  # fmt: skip
