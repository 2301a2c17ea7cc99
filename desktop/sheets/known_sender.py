"""What is asked about a sender whose fingerprint was compared: the name she knows them by, and how it was compared."""

from __future__ import annotations

from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.sheet import Compose, Section
from forms.form import Form
from forms.known_sender import KnownSender

__all__ = ["KNOWN_SENDER"]


def _named(home: OpenChart, form: type[Form], who: str) -> EntryBinding:
    """The entry whose id is given."""
    return home.binding(form, entity=who)


def _sender(c: Compose) -> None:
    c.ask("called", "compared")


KNOWN_SENDER = Section("practice.sender", "Known sender", KnownSender, _sender, bind=_named)
