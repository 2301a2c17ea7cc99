"""The parent's story: names and words, the goal, health, birth, milk, pain, home, and what is told in private."""

from __future__ import annotations

from desktop.sheets.received_seen import ReceivedSeen
from desktop.sheets.sheet import Compose, Guard, Section
from forms.parent_history import ParentHistory
from forms.people import CareTeam, ParentIdentity

__all__ = ["PROVIDERS", "parent_story"]


def _names(c: Compose) -> None:
    c.ask("full_name", "called_name", "name_as_printed", "pronouns")
    c.heading("The family’s own words")
    c.note("They fill the family’s papers.")
    c.ask("family_title", "body_word", "feeding_word", "milk_word", "words_in_letters")


def _reach(c: Compose) -> None:
    c.ask("born_day", "phone")
    c.alone("safe_to_message")
    c.veil("Reaching this person safely", lambda inner: inner.ask("contact_rules"))
    c.ask("language", "interpreter_need", "roles", "may_consent")


def _goal(c: Compose) -> None:
    c.ask("taken", "reason", "sent_by", "goal")
    c.ask("goal_importance", "goal_confidence", "fed_before", "more")
    c.widget(ReceivedSeen)


def _health(c: Compose) -> None:
    c.ask("conception_help", "hormones", "conditions", "medicines", "milk_makers", "acts_on_dopamine", "allergies")


def _pregnancy(c: Compose) -> None:
    c.alone("gave_birth")
    c.ask("pregnancy", "size_change", "labour", "labour_length", "drip_fluids", "pain_relief")


def _birth(c: Compose) -> None:
    c.ask("birth", "skin_to_skin", "separated", "after_birth", "milk_in", "milk_begun")
    c.heading("Since then")
    c.row("periods_back", "pregnant")
    c.ask("contraception")


def _body(c: Compose) -> None:
    c.ask("surgery", "binding")
    c.heading("How it feels through a day")
    c.ask("leaking", "let_down", "fullness", "softening")
    c.heading("Pumps and devices")
    c.ask("pumps", "helpers")


def _pain(c: Compose) -> None:
    c.ask("pain_when", "pain_now", "pain_worst")


def _signs(c: Compose) -> None:
    c.ask("unwell", "temperature", "warning_signs")
    c.row("systolic", "diastolic")


def _home(c: Compose) -> None:
    c.ask("sleep_place", "sleep_risks", "sleep_hours", "help_at_home", "work_return", "diet")


def _confidence(c: Compose) -> None:
    c.note("Asked of everyone, without a judgement. It stands on no paper unless it is written there anew.")
    c.ask("substances", "food_short", "billed")


def _private(c: Compose) -> None:
    c.note("Ask when nobody else hears. Each part opens with a tap and closes again with Esc.")
    c.veil("Mood", lambda inner: inner.ask("mood_signs", "screen_form"), stamp="mood_asked")
    c.veil("Safety at home", lambda inner: inner.ask("safety_told"), stamp="safety_asked")
    c.veil("Pregnancies and loss", _loss)


def _loss(c: Compose) -> None:
    c.row("pregnancies", "births")
    c.ask("living_children", "loss")


def _providers(c: Compose) -> None:
    c.ask("primary_provider", "next_visit_day", "birth_provider", "other_providers", "releases_talked_over")


PROVIDERS = Section("story.providers", "Providers", CareTeam, _providers, "{own} own providers")
"""One person's providers; the same page for a parent and for a baby."""


def parent_story() -> tuple[Section, ...]:
    """The sections of a parent's story."""
    return (
        Section("story.goal", "Goal", ParentHistory, _goal, "{own} story and goal"),
        Section("story.names", "Names", ParentIdentity, _names, "{own} names and words"),
        Section("story.reach", "Reach", ParentIdentity, _reach, "Reaching {name}", Guard.NOT_SHARED),
        Section("story.health", "Health", ParentHistory, _health, "{own} health"),
        Section("story.pregnancy", "Pregnancy", ParentHistory, _pregnancy, "{own} pregnancy and labour"),
        Section("story.birth", "Birth", ParentHistory, _birth, "{own} birth, and milk coming in"),
        Section("story.body", "Breast, chest", ParentHistory, _body, "{own} breast or chest, as told"),
        Section("story.pain", "Pain", ParentHistory, _pain, "{own} pain"),
        Section("story.signs", "Signs", ParentHistory, _signs, "{own} warning signs now"),
        Section("story.home", "Home", ParentHistory, _home, "Sleep and help at {own} home"),
        Section("story.confidence", "Confided", ParentHistory, _confidence, "In confidence", Guard.NOT_SHARED),
        Section("story.private", "Private", ParentHistory, _private, "Only between {name} and you", Guard.NOT_SHARED),
        PROVIDERS,
    )
