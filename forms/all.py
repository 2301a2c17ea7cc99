"""Every form there is: importing this module fills the catalogue (`forms.form.catalog`)."""

from __future__ import annotations

from forms import infant, people

__all__ = ["infant", "people"]
