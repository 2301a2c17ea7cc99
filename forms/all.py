"""Every form there is: importing this module fills the catalogue (`forms.form.catalog`)."""

from __future__ import annotations

from forms import (
    body_mark,
    breast,
    closing,
    consent,
    contact,
    expressing,
    family_language,
    feed,
    feed_event,
    feeding_log,
    impression,
    infant,
    infant_history,
    known_sender,
    letter_answer,
    oral,
    own_seal,
    parent_history,
    people,
    photo,
    phrase,
    plan,
    practice,
    prompted,
    receipt,
    received,
    referral,
    report,
    scope_wording,
    scores,
    thresholds,
    visit,
    weight,
)

__all__ = [
    "body_mark", "breast", "closing", "consent", "contact", "expressing", "family_language", "feed", "feed_event",
    "feeding_log", "impression", "infant", "infant_history", "known_sender", "letter_answer", "oral", "own_seal",
    "parent_history", "people",
    "photo", "phrase", "plan", "practice", "prompted", "receipt", "received", "referral", "report", "scope_wording",
    "scores", "thresholds", "visit", "weight",
]  # fmt: skip
