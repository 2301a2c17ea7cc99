"""Every form there is: importing this module fills the catalogue (`forms.form.catalog`)."""

from __future__ import annotations

from forms import infant, infant_history, people

__all__ = ["infant", "infant_history", "people"]
