"""Looking in the baby's mouth: one region to a page, described and never graded, each time with consent."""

from __future__ import annotations

from desktop.sheets.seen_no_concern import seen_no_concern
from desktop.sheets.sheet import Compose, Section
from forms.oral import OralAssessment

__all__ = ["look_mouth"]

_SCOPE = "Describe what is seen and felt. Naming a condition is for the licensed provider."


def _before(c: Compose) -> None:
    c.alone("consent")
    c.row("gloved", "state")
    c.ask("more")


def _face(c: Compose) -> None:
    seen_no_concern(c, "face_plain")
    c.ask("face", "lips")


def _gums(c: Compose) -> None:
    seen_no_concern(c, "palate_plain")
    c.ask("gums", "hard_palate", "soft_palate", "uvula")


def _tongue(c: Compose) -> None:
    c.ask("tongue_rest", "tongue_tip", "tongue_reach", "tongue_lift", "tongue_side")


def _movement(c: Compose) -> None:
    c.ask("tongue_cupping", "tongue_wave", "tongue_snap")
    c.heading("All told")
    c.alone("movement")


def _frenulum(c: Compose) -> None:
    c.note(_SCOPE)
    c.ask("frenulum_on_tongue", "frenulum_on_floor", "frenulum_stretch", "frenulum_thickness")


def _suck(c: Compose) -> None:
    seen_no_concern(c, "suck_plain")
    c.ask("suck_starts", "suck_strength", "suck_rhythm", "suck_seal", "suck_bursts", "suck_signs", "gag")


def _rest(c: Compose) -> None:
    seen_no_concern(c, "patches_plain")
    c.ask("patches", "voice")


def look_mouth() -> tuple[Section, ...]:
    """The sections of a baby's mouth, in the order in which one looks."""
    return (
        Section("look.before", "Mouth", OralAssessment, _before, "Before you look in {own} mouth"),
        Section("look.face", "Lips", OralAssessment, _face, "{own} face and lips"),
        Section("look.palate", "Palate", OralAssessment, _gums, "{own} gums and palate"),
        Section("look.tongue", "Tongue", OralAssessment, _tongue, "{own} mouth: tongue"),
        Section("look.movement", "Cupping", OralAssessment, _movement, "{own} tongue around a finger"),
        Section("look.frenulum", "Frenulum", OralAssessment, _frenulum, "{own} frenulum, as seen and felt"),
        Section("look.suck", "Suck", OralAssessment, _suck, "{own} suck on a finger"),
        Section("look.patches", "Patches", OralAssessment, _rest, "{own} mouth: patches and voice"),
    )
