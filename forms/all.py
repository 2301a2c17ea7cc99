"""Every form there is: importing this module fills the catalogue (`forms.form.catalog`)."""

from __future__ import annotations

from forms import (
    consent,
    contact,
    feed,
    impression,
    infant,
    infant_history,
    oral,
    parent_history,
    people,
    plan,
    practice,
    referral,
    visit,
    weight,
)

__all__ = [
    "consent", "contact", "feed", "impression", "infant", "infant_history", "oral", "parent_history", "people", "plan",
    "practice", "referral", "visit", "weight",
]  # fmt: skip
