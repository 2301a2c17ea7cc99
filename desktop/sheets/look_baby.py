"""Looking at the baby, head to foot: state, tone, colour, breathing, warmth, skin, cues."""

from __future__ import annotations

from desktop.sheets.seen_no_concern import seen_no_concern
from desktop.sheets.sheet import Compose, Section
from forms.infant import InfantAssessment

__all__ = ["look_baby"]


def _state(c: Compose) -> None:
    c.ask("seen_how", "state_on_arrival", "waking", "tone", "cues", "settles")


def _colour(c: Compose) -> None:
    seen_no_concern(c, "colour_plain")
    c.ask("colour", "mouth_moisture", "fontanelle", "eyes", "skin_turgor")


def _breathing(c: Compose) -> None:
    seen_no_concern(c, "breathing_plain")
    c.ask("breathing_rate", "breathing", "breath_noises", "cry")
    c.heading("Alarm signs")
    c.ask("alarm_signs")


def _warmth(c: Compose) -> None:
    c.note("No temperature taken is no answer, not a normal one.")
    c.ask("temperature")


def _skin(c: Compose) -> None:
    c.ask("skin", "cord", "diaper_seen")
    c.veil("An adult in this home", lambda inner: inner.ask("unsafe_adult"))


def _body(c: Compose) -> None:
    seen_no_concern(c, "body_plain")
    c.row("rooting", "sucking", "grasp")
    c.ask("asymmetry", "more")


def look_baby() -> tuple[Section, ...]:
    """The sections of looking at a baby."""
    return (
        Section("look.state", "State", InfantAssessment, _state, "{own} state, tone and cues"),
        Section("look.colour", "Colour", InfantAssessment, _colour, "{own} colour and moisture"),
        Section("look.breathing", "Breathing", InfantAssessment, _breathing, "{own} breathing, cry, alarm signs"),
        Section("look.warmth", "Warmth", InfantAssessment, _warmth, "{own} temperature"),
        Section("look.skin", "Skin", InfantAssessment, _skin, "{own} skin, cord and diaper"),
        Section("look.body", "Body", InfantAssessment, _body, "{own} reflexes and body"),
    )
