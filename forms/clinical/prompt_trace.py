"""What became of every prompt that ever fired at a visit: none goes away without a line that says why.

The record's own log is the witness, so nothing about a prompt is written down twice: the charts that stood one after
another are followed, and a prompt that no longer fires names the answers that were changed or struck out, and when.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import StrEnum
from types import MappingProxyType
from typing import Any
from zoneinfo import ZoneInfo

from forms.answers import every
from forms.ask import Path, ask_of, paths
from forms.chart import Chart, Entry
from forms.clinical.prompts import INFANT_RULES, PARENT_RULES, Prompt, Rule, fired
from forms.days import clock, short_day
from forms.form import Form, catalog, value_at
from forms.people import InfantIdentity, ParentIdentity
from forms.thresholds import Thresholds

__all__ = ["Changed", "Gone", "How", "Trace", "Written", "followed"]

RULES: tuple[Rule[Any], ...] = (*INFANT_RULES, *PARENT_RULES)
READ: Mapping[str, tuple[str, ...]] = MappingProxyType({
    rule.id: (*rule.fields, *(f"{Thresholds.name}.{name}" for name in rule.thresholds), "visit.start", "visit.end")
    for rule in RULES
})  # fmt: skip
"""All that each rule rests on: its questions, the limits the practice may set, and the time of the visit."""

WATCHED = frozenset(name for names in READ.values() for name in names)


class How(StrEnum):
    """What happened to an answer."""

    CHANGED = "was changed"
    GIVEN = "was answered"
    CLEARED = "was cleared"
    STRUCK = "was struck out"
    RESTORED = "was restored"


@dataclass(frozen=True, slots=True)
class Changed:
    """One answer that is another than before, or a whole entry that was struck out or restored (`path` None)."""

    form: str
    entry: str
    path: Path | None
    how: How

    @property
    def words(self) -> str:
        """Which answer, without what was answered."""
        form = catalog()[self.form]
        if self.path is None:
            return f"{form.title} {self.how}"
        ask = ask_of(form, self.path.field)
        side = f", {self.path.side}," if self.path.side is not None else ""
        return f"{'A private answer' if ask.private else ask.label}{side} {self.how}"


@dataclass(frozen=True, slots=True)
class Gone:
    """A prompt as it last stood, since when it fires no longer, and the answers that did it; none: time passed."""

    prompt: Prompt
    since: datetime
    because: tuple[Changed, ...]

    def words(self, zone: str, now: datetime) -> str:
        """The line that stands in its place: "No longer fires since 14:02: Temperature was changed."."""
        since, today = self.since.astimezone(ZoneInfo(zone)), now.astimezone(ZoneInfo(zone)).date()
        when = clock(since) if since.date() == today else f"{short_day(since)}, {clock(since)}"
        why = "; ".join(dict.fromkeys(one.words for one in self.because)) or "time has passed"
        return f"No longer fires since {when}: {why}."


@dataclass(frozen=True, slots=True)
class Written:
    """One thing written to the log: when, the register ("temperature", "pain@left", "@struck"), its entry after it."""

    at: datetime
    register: str
    entry: Entry[Form]


@dataclass(frozen=True)
class Trace:
    """The prompts of one visit so far: every one ever shown, by person and rule, and those that fire no longer."""

    chart: Chart
    seen: Mapping[tuple[str, str], Prompt] = field(default_factory=dict)
    gone: Mapping[tuple[str, str], Gone] = field(default_factory=dict)

    def then(self, chart: Chart, at: datetime) -> Trace:
        """The trace once this chart stands; `at` is aware. A rung under a stronger one of its sign still stands."""
        shown, everything = fired(chart, at)
        standing = {prompt.key for prompt in everything}
        seen = {**self.seen, **{prompt.key: prompt for prompt in shown}}
        gone = {
            key: self.gone.get(key) or Gone(prompt, at, tuple(_changes(self.chart, chart, prompt)))
            for key, prompt in seen.items()
            if key not in standing
        }
        return Trace(chart, MappingProxyType(seen), MappingProxyType(gone))

    def lines(self, person: str) -> tuple[Gone, ...]:
        """What fires no longer about a person, the newest first."""
        found = [gone for (whom, _), gone in self.gone.items() if whom == person]
        return tuple(sorted(found, key=lambda gone: gone.since, reverse=True))


def _changes(before: Chart, after: Chart, prompt: Prompt) -> tuple[Changed, ...]:
    """The answers a prompt rests on that differ between two charts; those of its own person where there are any."""
    read = READ.get(prompt.rule, ())
    forms = {InfantIdentity.name, ParentIdentity.name, *(name.partition(".")[0] for name in read)}
    old, new = ({e.id: e for e in chart.entries if e.place.form in forms} for chart in (before, after))
    own: list[Changed] = []
    others: list[Changed] = []
    for entry in {**old, **new}.values():
        found = _of_entry(old.get(entry.id), new.get(entry.id), read)
        (own if prompt.person in (entry.id, *entry.place.subjects) else others).extend(found)
    return tuple(own or others)


def _of_entry(was: Entry[Form] | None, now: Entry[Form] | None, read: tuple[str, ...]) -> Iterator[Changed]:
    entry = now or was
    assert entry is not None
    struck = _struck(was, now)
    if struck is not None:
        yield Changed(entry.place.form, entry.id, None, struck)
    elif entry.struck is None:
        for path in paths(type(entry.answers)):
            if f"{entry.place.form}.{path.field}" in read and (how := _how(was, now, path)) is not None:
                yield Changed(entry.place.form, entry.id, path, how)


def _struck(was: Entry[Form] | None, now: Entry[Form] | None) -> How | None:
    before, after = (entry is not None and entry.struck is not None for entry in (was, now))
    return None if before == after else How.STRUCK if after else How.RESTORED


def _how(was: Entry[Form] | None, now: Entry[Form] | None, path: Path) -> How | None:
    before = value_at(was.answers, path) if was is not None else None
    after = value_at(now.answers, path) if now is not None else None
    if before == after:
        return None
    return How.GIVEN if not every(before) else How.CLEARED if not every(after) else How.CHANGED


def followed(start: Chart, log: Iterable[Written]) -> Trace:
    """The trace of `start`'s visit from everything written so far, oldest first; `start` holds no entries yet.

    What was written before the visit began is taken as it stood then.
    """
    trace, chart, begun = Trace(start), start, False
    for written in log:
        entry = written.entry
        chart = chart.with_entry(entry)
        first = not begun and start.visit in (entry.id, entry.place.visit)
        begun = begun or first
        name = written.register.partition("@")[0]  # empty for the registers of the store's own
        if begun and (first or not name or f"{entry.place.form}.{name}" in WATCHED):
            trace = trace.then(chart, written.at)
        elif not begun:
            trace = replace(trace, chart=chart)
    return replace(trace, chart=chart)
