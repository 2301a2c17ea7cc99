"""What is asked outside a visit: the practice and who charts in it, a provider of the address book, a contact."""

from __future__ import annotations

from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.sheet import Compose, Section
from forms.contact import Contact
from forms.form import Form
from forms.practice import Practice, Practitioner, Provider

__all__ = ["CONTACT", "HERE", "KEEPING", "ON_PAPER", "PROVIDER", "WHO"]


def _named(home: OpenChart, form: type[Form], who: str) -> EntryBinding:
    """The entry whose id is given."""
    return home.binding(form, entity=who)


def _who(c: Compose) -> None:
    c.ask("full_name", "credentials", "phone")
    c.row("credential_number", "credential_expiry")
    c.ask("licence_role", "practice_role", "supervisor", "student_until")


def _on_paper(c: Compose) -> None:
    c.ask("practice_name", "address", "hours")
    c.heading("On a receipt")
    c.row("tax_number", "provider_number")
    c.row("taxonomy_code", "currency")
    c.heading("On the seal of a paper")
    c.ask("time_stamp_address")


def _here(c: Compose) -> None:
    c.ask("country")
    c.row("locality", "time_zone")
    c.row("emergency_number", "crisis_line")
    c.row("weight_unit", "volume_unit")
    c.row("temperature_unit", "paper_size")
    c.row("scale_name", "scale_step")


def _keeping(c: Compose) -> None:
    c.note("How long records are kept is the law of the place; nothing is set for you, and nothing is ever deleted.")
    c.ask("keep_rule", "keep_child_age", "keep_years", "keep_parent_with_child")


def _provider(c: Compose) -> None:
    c.ask("full_name", "practice")
    c.row("phone", "fax")
    c.ask("secure_route", "address", "profession", "accepts", "confirmed", "no_longer")


def _contact(c: Compose) -> None:
    c.row("channel", "direction")
    c.row("at", "minutes")
    c.ask("who", "concerns", "identity_checked")
    c.row("consent_covers", "safe_to_reply")
    c.ask("said")
    c.heading("Numbers told")
    c.note("What is told on the phone stays apart from what was seen on a scale.")
    c.ask("told_about")
    c.row("told_weight", "told_milk")
    c.row("told_feeds", "told_wets")
    c.heading("What was agreed")
    c.ask("advice", "plan_changed", "missed", "provider", "next_step")
    c.row("next_owner", "next_due")


WHO = Section("practice.who", "You", Practitioner, _who, "You, as papers name you", bind=_named)
ON_PAPER = Section("practice.paper", "The practice", Practice, _on_paper, "The practice, as papers name it")
HERE = Section("practice.here", "Where you work", Practice, _here, "Where you work")
KEEPING = Section("practice.keeping", "Keeping records", Practice, _keeping, "How long records are kept")
PROVIDER = Section("practice.provider", "Provider", Provider, _provider, "A provider", bind=_named)
CONTACT = Section("contact", "Contact", Contact, _contact, "A contact", bind=_named)
