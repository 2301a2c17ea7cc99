"""The prompts of a chart: every rule tried on every baby and parent, and which of them were acted on.

SAME DAY and EMERGENCY wait for one of the four entries of an urgent contact and keep the visit from being signed; the
calmer rungs wait for an action with a person and a time, or a typed reason to set them aside, and keep nothing back.

A rule looks at every value that stands for a field. Where the birth time is missing or disputed, the earliest and the
latest possible one are both tried, the stricter finding stands, and the prompt says so. No prompt never means that all
is well: it means that no rule fired.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TypeAlias, TypeVar

from forms.answers import Absent, Conflicted, Given, every
from forms.ask import Need
from forms.chart import Chart, Entry
from forms.clinical import (
    prompts_breast,
    prompts_growth,
    prompts_infant,
    prompts_infant_signs,
    prompts_milk,
    prompts_parent,
    prompts_scores,
)
from forms.clinical.evidence import Baby, Feeder, babies_possible, feeder
from forms.clinical.rule import Level, Prompt, Rule
from forms.contact import UrgentContact
from forms.form import shown_asks
from forms.people import InfantIdentity, ParentIdentity
from forms.prompted import PromptClosed
from forms.thresholds import Limits

__all__ = [
    "INFANT_RULES", "PARENT_RULES", "Closing", "Level", "Prompt", "Rule", "closings", "complete", "covered", "fired",
    "open_prompts", "prompts", "unclosed", "waiting",
]  # fmt: skip

Closing: TypeAlias = Entry[UrgentContact] | Entry[PromptClosed]

E = TypeVar("E", Baby, Feeder)

INFANT_RULES: tuple[Rule[Baby], ...] = (
    *prompts_infant_signs.RULES, *prompts_infant.RULES, *prompts_growth.RULES, *prompts_milk.BABY_RULES,
    *prompts_scores.BABY_RULES,
)  # fmt: skip
PARENT_RULES: tuple[Rule[Feeder], ...] = (
    *prompts_parent.RULES, *prompts_breast.RULES, *prompts_milk.PARENT_RULES, *prompts_scores.PARENT_RULES,
)  # fmt: skip

NOT_KNOWN = "The birth time is not known; the stricter of the possible ages was taken."
DISPUTED = "Two birth times stand; the stricter of the two ages was taken."

# What was done is told only when these hold an answer; the rest may be a deliberate absence.
NEVER_ABSENT = frozenset({
    "covers", "outcome", "at", "who", "tries", "told_family_now", "who_tries_next", "next_when", "family_words",
    "override_reason", "action", "by_whom",
})  # fmt: skip


def _made(rule: Rule[E], person: str, about: str, seen: str, limits: Limits, stricter: str = "") -> Prompt:
    return Prompt(
        rule.id, person, about, rule.level, seen, rule.why, rule.contact, rule.source, rule.mark, stricter,
        rule.private, rule.also, limits.differing(*rule.thresholds),
    )  # fmt: skip


def _of_baby(candidates: Sequence[Baby]) -> Iterator[tuple[Rule[Baby], Prompt]]:
    """Each rule that fires for any possible birth time; the words of the first that fires."""
    baby = candidates[0]
    uncertain = DISPUTED if isinstance(baby.identity.born, Conflicted) else NOT_KNOWN
    for rule in INFANT_RULES:
        found = [seen for seen in (rule.seen(candidate) for candidate in candidates) if seen]
        if found:
            guessed = len(found) < len(candidates) or len(set(found)) > 1 or (rule.by_age and baby.birth is None)
            words = uncertain if guessed else ""
            yield rule, _made(rule, baby.person, InfantIdentity.name, found[0], baby.limits, words)


def _of_parent(parent: Feeder) -> Iterator[tuple[Rule[Feeder], Prompt]]:
    for rule in PARENT_RULES:
        if seen := rule.seen(parent):
            yield rule, _made(rule, parent.person, ParentIdentity.name, seen, parent.limits)


def _strongest(found: Sequence[tuple[Rule[E], Prompt]]) -> Iterator[Prompt]:
    """Of each sign only its strongest rung."""
    weaker = {rule_id for rule, _ in found for rule_id in rule.over}
    return (prompt for rule, prompt in found if rule.id not in weaker)


def fired(chart: Chart, now: datetime) -> tuple[tuple[Prompt, ...], tuple[Prompt, ...]]:
    """What `prompts` shows, and beside it everything that fired, the weaker rungs of a sign included."""
    shown: list[Prompt] = []
    all_: list[Prompt] = []
    for entry in chart.all(InfantIdentity):
        of_baby = tuple(_of_baby(babies_possible(chart, entry.id, now)))
        shown.extend(_strongest(of_baby))
        all_.extend(prompt for _, prompt in of_baby)
    for parent in chart.all(ParentIdentity):
        of_parent = tuple(_of_parent(feeder(chart, parent.id, now)))
        shown.extend(_strongest(of_parent))
        all_.extend(prompt for _, prompt in of_parent)
    return tuple(sorted(shown, key=lambda prompt: -prompt.level)), tuple(all_)


def prompts(chart: Chart, now: datetime) -> tuple[Prompt, ...]:
    """Every prompt of the family's babies and parents at the chart's visit, the most urgent first. `now` is aware.

    Between visits (no visit in the chart) only what does not belong to a visit is seen: weights and identity.
    """
    return fired(chart, now)[0]


def _settled(given: Given[object], *, absence: bool) -> bool:
    if given is None or isinstance(given, Conflicted):
        return False
    if isinstance(given, Absent):
        return absence
    return bool(given.strip()) if isinstance(given, str) else given != ()


def complete(contact: UrgentContact | PromptClosed) -> bool:
    """Whether what was done is told with all it needs.

    For an urgent contact that is one of its four outcomes; for a calmer prompt an action with a person and a time, or a
    reason. Nothing that its outcome asks for may be blank, and nothing of it may be in conflict.
    """
    for path, ask, given in shown_asks(contact):
        wanted = ask.need is not Need.FREE
        if wanted and not _settled(given, absence=path.field not in NEVER_ABSENT):
            return False
        if isinstance(given, Conflicted):
            return False
    return True


def closings(chart: Chart, prompt: Prompt) -> tuple[Closing, ...]:
    """The complete entries of the chart's visit that close a prompt, oldest first; none while it is open.

    What was reached, tried, refused or overridden closes every prompt it covers; a closing only those below SAME DAY.
    """
    if chart.visit is None:
        return ()
    contacts: tuple[Closing, ...] = chart.all(UrgentContact, prompt.person, visit=chart.visit)
    calmer: tuple[Closing, ...] = () if prompt.urgent else chart.all(PromptClosed, prompt.person, visit=chart.visit)
    rules = {prompt.rule, *prompt.also}
    return tuple(
        entry
        for entry in (*contacts, *calmer)
        if complete(entry.answers) and any(rules & set(covers) for covers in every(entry.answers.covers))
    )


def covered(chart: Chart, visit: str, now: datetime) -> tuple[Prompt, ...]:
    """The urgent prompts of a visit (SAME DAY and above) for which a complete urgent contact of that person stands."""
    chart = chart if chart.visit == visit else replace(chart, visit=visit)
    return tuple(prompt for prompt in prompts(chart, now) if prompt.urgent and closings(chart, prompt))


def open_prompts(chart: Chart, now: datetime) -> tuple[Prompt, ...]:
    """The urgent prompts that keep the chart's visit from being signed: nothing complete stands for them yet."""
    return tuple(prompt for prompt in waiting(chart, now) if prompt.urgent)


def unclosed(chart: Chart, now: datetime) -> tuple[Prompt, ...]:
    """The prompts below SAME DAY that nothing closed yet at the chart's visit. They keep nothing from being signed."""
    return tuple(prompt for prompt in waiting(chart, now) if not prompt.urgent)


def waiting(chart: Chart, now: datetime) -> tuple[Prompt, ...]:
    """Every prompt of the chart's visit about which nothing complete stands yet, the most urgent first."""
    if chart.visit is None:
        return ()
    return tuple(prompt for prompt in prompts(chart, now) if not closings(chart, prompt))
