"""Every form there is: importing this module fills the catalogue (`forms.form.catalog`)."""

from __future__ import annotations

from forms import (
    closing,
    consent,
    contact,
    expressing,
    feed,
    feeding_log,
    impression,
    infant,
    infant_history,
    oral,
    parent_history,
    people,
    plan,
    practice,
    referral,
    scores,
    visit,
    weight,
)

__all__ = [
    "closing", "consent", "contact", "expressing", "feed", "feeding_log", "impression", "infant", "infant_history",
    "oral", "parent_history", "people", "plan", "practice", "referral", "scores", "visit", "weight",
]  # fmt: skip
