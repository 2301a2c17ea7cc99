"""The baby's story: who it is, birth, first days, health, feeds, diapers, waking, and who may decide for it."""

from __future__ import annotations

from desktop.sheets.received_seen import ReceivedSeen
from desktop.sheets.sheet import Compose, Guard, Section
from desktop.sheets.story_parent import PROVIDERS
from forms.infant_history import InfantHistory
from forms.people import InfantIdentity

__all__ = ["baby_story"]


def _who(c: Compose) -> None:
    c.ask("legal_name", "called_name")
    c.row("name_as_printed", "earlier_names")
    c.ask("tag_shape", "sex")
    c.row("plurality", "birth_order")


def _born(c: Compose) -> None:
    c.ask("born")
    c.ask("born_day", "birth_place")
    c.row("gestation_weeks", "gestation_days")
    c.ask("birth_weight")
    c.row("birth_length", "birth_head")
    c.widget(ReceivedSeen)


def _first_days(c: Compose) -> None:
    c.row("apgar_1", "apgar_5")
    c.ask("birth_help", "birth_injury", "neonatal_unit", "blood_sugar", "jaundice_told")
    c.row("first_urine", "first_meconium")


def _health(c: Compose) -> None:
    c.ask("conditions", "operations", "medicines", "allergies", "vitamin_k", "vitamin_d", "screening")
    c.heading("The mouth, and earlier care")
    c.ask("mouth_referral", "earlier_care")


def _feeds(c: Compose) -> None:
    c.ask("taken")
    c.row("feeds_24h", "feeds_night")
    c.ask("longest_gap", "feed_length", "sides_per_feed", "fed_now", "day_before", "first_feed_after")


def _diapers(c: Compose) -> None:
    c.heading("Wet")
    c.ask("wets_24h", "last_wet", "wet_heaviness", "urine_colour")
    c.heading("Stools")
    c.ask("stools_24h", "last_stool", "stool_colour", "stool_size", "stool_mucus")


def _waking(c: Compose) -> None:
    c.ask("wakes_to_feed", "sleepy_feeds", "feeding_vigour", "feed_signs", "vomit", "settled_after", "crying")


def _days(c: Compose) -> None:
    c.ask("pacifier")
    c.row("swaddled", "carried")
    c.ask("car_seat", "solids", "teeth", "milestones", "more")


def _guardians(c: Compose) -> None:
    c.ask("guardians", "guardians_other", "custody_limits")


def baby_story() -> tuple[Section, ...]:
    """The sections of a baby's story."""
    return (
        Section("story.feeds", "Feeds", InfantHistory, _feeds, "{own} feeds, as told"),
        Section("story.diapers", "Diapers", InfantHistory, _diapers, "{own} diapers, in 24 hours"),
        Section("story.waking", "Waking, signs", InfantHistory, _waking, "{own} waking, and signs at feeds"),
        Section("story.who", "Who", InfantIdentity, _who, "Who {name} is"),
        Section("story.born", "Birth", InfantIdentity, _born, "{own} birth"),
        Section("story.first_days", "First days", InfantHistory, _first_days, "{own} first days"),
        Section("story.baby_health", "Health", InfantHistory, _health, "{own} health"),
        Section("story.days", "Days", InfantHistory, _days, "{own} days"),
        Section("story.guardians", "Guardians", InfantHistory, _guardians, "Who decides for {name}", Guard.NOT_SHARED),
        PROVIDERS,
    )
