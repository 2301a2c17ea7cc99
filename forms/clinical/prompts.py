"""Urgent prompts of a chart: every rule tried on every baby and parent, and which of them were acted on.

A rule looks at every value that stands for a field. Where the birth time is missing or disputed, the earliest and the
latest possible one are both tried, the stricter finding stands, and the prompt says so. No prompt never means that all
is well: it means that no rule fired.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TypeVar

from forms.answers import Absent, Conflicted, Given, every
from forms.ask import Need
from forms.chart import Chart
from forms.clinical import prompts_infant, prompts_infant_signs, prompts_parent
from forms.clinical.evidence import Baby, Feeder, babies_possible, feeder
from forms.clinical.rule import Level, Prompt, Rule
from forms.contact import UrgentContact
from forms.form import shown_asks
from forms.people import InfantIdentity, ParentIdentity

__all__ = ["INFANT_RULES", "PARENT_RULES", "Level", "Prompt", "Rule", "complete", "covered", "open_prompts", "prompts"]

E = TypeVar("E", Baby, Feeder)

INFANT_RULES: tuple[Rule[Baby], ...] = (*prompts_infant_signs.RULES, *prompts_infant.RULES)
PARENT_RULES: tuple[Rule[Feeder], ...] = prompts_parent.RULES

NOT_KNOWN = "The birth time is not known; the stricter of the possible ages was taken."
DISPUTED = "Two birth times stand; the stricter of the two ages was taken."

# An urgent contact is finished only when these hold an answer; the rest may be a deliberate absence.
NEVER_ABSENT = frozenset({
    "covers", "outcome", "at", "who", "tries", "told_family_now", "who_tries_next", "next_when", "family_words",
    "override_reason",
})  # fmt: skip


def _made(rule: Rule[E], person: str, about: str, seen: str, stricter: str = "") -> Prompt:
    return Prompt(
        rule.id, person, about, rule.level, seen, rule.why, rule.contact, rule.source, rule.mark, stricter,
        rule.private, rule.also,
    )  # fmt: skip


def _of_baby(candidates: Sequence[Baby]) -> Iterator[tuple[Rule[Baby], Prompt]]:
    """Each rule that fires for any possible birth time; the words of the first that fires."""
    baby = candidates[0]
    uncertain = DISPUTED if isinstance(baby.identity.born, Conflicted) else NOT_KNOWN
    for rule in INFANT_RULES:
        found = [seen for seen in (rule.seen(candidate) for candidate in candidates) if seen]
        if found:
            guessed = len(found) < len(candidates) or len(set(found)) > 1 or (rule.by_age and baby.birth is None)
            yield rule, _made(rule, baby.person, InfantIdentity.name, found[0], uncertain if guessed else "")


def _of_parent(parent: Feeder) -> Iterator[tuple[Rule[Feeder], Prompt]]:
    for rule in PARENT_RULES:
        if seen := rule.seen(parent):
            yield rule, _made(rule, parent.person, ParentIdentity.name, seen)


def _strongest(fired: Iterable[tuple[Rule[E], Prompt]]) -> Iterator[Prompt]:
    """Of each sign only its strongest rung."""
    found = tuple(fired)
    weaker = {rule_id for rule, _ in found for rule_id in rule.over}
    return (prompt for rule, prompt in found if rule.id not in weaker)


def prompts(chart: Chart, now: datetime) -> tuple[Prompt, ...]:
    """Every prompt of the family's babies and parents at the chart's visit, the most urgent first. `now` is aware.

    Between visits (no visit in the chart) only what does not belong to a visit is seen: weights and identity.
    """
    found: list[Prompt] = []
    for entry in chart.all(InfantIdentity):
        found.extend(_strongest(_of_baby(babies_possible(chart, entry.id, now))))
    for parent in chart.all(ParentIdentity):
        found.extend(_strongest(_of_parent(feeder(chart, parent.id, now))))
    return tuple(sorted(found, key=lambda prompt: -prompt.level))


def _settled(given: Given[object], *, absence: bool) -> bool:
    if given is None or isinstance(given, Conflicted):
        return False
    if isinstance(given, Absent):
        return absence
    return bool(given.strip()) if isinstance(given, str) else given != ()


def complete(contact: UrgentContact) -> bool:
    """Whether an urgent contact stands as one of the four: reached, tried, refused or overridden, with all it needs.

    Nothing that its outcome asks for may be blank, and nothing of it may be in conflict.
    """
    for path, ask, given in shown_asks(contact):
        wanted = ask.need is not Need.FREE
        if wanted and not _settled(given, absence=path.field not in NEVER_ABSENT):
            return False
        if isinstance(given, Conflicted):
            return False
    return True


def covered(chart: Chart, visit: str, now: datetime) -> tuple[Prompt, ...]:
    """The urgent prompts of a visit (SAME DAY and above) for which a complete urgent contact of that person stands."""
    chart = chart if chart.visit == visit else replace(chart, visit=visit)
    done = {
        (entry.place.subjects, rule)
        for entry in chart.all(UrgentContact, visit=visit)
        if complete(entry.answers)
        for rules in every(entry.answers.covers)
        for rule in rules
    }
    return tuple(
        prompt
        for prompt in prompts(chart, now)
        if prompt.urgent and any(((prompt.person,), rule) in done for rule in (prompt.rule, *prompt.also))
    )


def open_prompts(chart: Chart, now: datetime) -> tuple[Prompt, ...]:
    """The urgent prompts that keep the chart's visit from being signed: nothing complete stands for them yet."""
    if chart.visit is None:
        return ()
    done = {(prompt.person, prompt.rule) for prompt in covered(chart, chart.visit, now)}
    return tuple(p for p in prompts(chart, now) if p.urgent and (p.person, p.rule) not in done)
