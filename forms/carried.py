"""Bringing answers forward from an earlier visit: which may be, and what one section could bring.

Only what is told once and stays told: history, and the texts of a plan that go on. Never a measure, a time or a count,
pain, consent, an impression, anything seen or examined, mood or safety, and nothing private. What may be carried is
listed here and nowhere else; a question that is not listed is never carried.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Absent, Conflicted, Given, Moment
from forms.ask import Kind, Path, ask_of, paths
from forms.chart import Carried, Chart, Entry, Place, entry_id
from forms.days import MONTHS
from forms.form import Form, is_open, value_at, with_value
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.phrase import blank_spans
from forms.plan import Plan
from forms.taking_part import earlier_visits, visit_day
from forms.visit import Visit

__all__ = ["CARRIES", "KINDS", "Brought", "Line", "brought", "day_from", "from_words", "may_carry", "not_gone_through"]

_NEVER: Final = datetime.min.replace(tzinfo=UTC)

KINDS: Final = frozenset({Kind.CHOICE, Kind.MANY, Kind.LINE, Kind.TEXT, Kind.YES_NO})
"""Words and choices. Measures, counts, scales, times and days are never carried, whatever the list says."""

CARRIES: Final[Mapping[type[Form], frozenset[str]]] = MappingProxyType({
    ParentHistory: frozenset({
        "goal", "fed_before", "fed_before_how", "fed_before_stopped", "conception_help", "hormones", "hormones_managed",
        "conditions", "conditions_which", "asked_before_advice", "gave_birth", "pregnancy", "size_change", "labour",
        "drip_fluids", "birth", "skin_to_skin", "separated", "separated_why", "after_birth", "surgery", "surgery_when",
        "surgery_scars", "nipple_moved", "surgery_cut", "surgery_why", "binding", "binding_how", "milk_begun",
        "milk_in", "milk_in_feel", "medicines", "medicines_checked", "milk_makers", "acts_on_dopamine", "allergies",
        "contraception", "diet", "help_at_home", "begun_how", "begun_medicines", "pumps", "helpers", "billed", "payer",
        "member_number", "referral_number", "more",
    }),
    InfantHistory: frozenset({
        "birth_help", "birth_injury", "birth_injury_where", "neonatal_unit", "neonatal_why", "neonatal_tube",
        "neonatal_breathing", "jaundice_told", "light_treatment", "vitamin_k", "screening",
        "conditions", "conditions_which", "cleared_to_feed", "operations", "medicines", "allergies", "mouth_referral",
        "family_conditions", "earlier_care", "earlier_care_what", "guardians_other", "more",
    }),
    Plan: frozenset({"goal", "expressing", "comfort_care", "watch_baby_words", "watch_parent_words"}),
})  # fmt: skip
"""For each form the questions whose answers may be brought forward."""


@dataclass(frozen=True, slots=True)
class Line:
    """One answer that can be brought forward: where it goes, what it is, and where it stands."""

    path: Path
    value: Any
    source: Carried


@dataclass(frozen=True, slots=True)
class Brought:
    """What one earlier visit offers: the entry at this visit, its place, the earlier visit, and the answers."""

    entry: str
    place: Place
    visit: str
    lines: tuple[Line, ...]


def may_carry(form: type[Form], field: str) -> bool:
    """Whether the answer to this question may ever be brought forward."""
    if field not in CARRIES.get(form, frozenset()):
        return False
    ask = ask_of(form, field)
    return ask.kind in KINDS and not ask.private


def _said(given: Given[Any]) -> bool:
    """Whether one real value stands, and in words that are finished: a non-answer is never carried."""
    if given is None or isinstance(given, Absent | Conflicted):
        return False
    return not isinstance(given, str) or (bool(given.strip()) and not blank_spans(given))


def _begun(chart: Chart, visit: str) -> datetime:
    """When an earlier visit began; by its entry where the start is unknown."""
    entry = chart.by_id(visit)
    if entry is None:
        return _NEVER
    start = entry.answers.start if isinstance(entry.answers, Visit) else None
    return start.at if isinstance(start, Moment) else entry.entered


def _lines(source: Entry[Any], target: Form, fields: frozenset[str]) -> tuple[Line, ...]:
    found = []
    for path in paths(type(target)):
        name, given = str(path), value_at(source.answers, path)
        fresh = name not in source.carried or source.carried[name].still_so
        offered = path.field in fields and may_carry(type(target), path.field) and value_at(target, path) is None
        if offered and fresh and source.heads.get(name) and _said(given) and is_open(source.answers, path):
            found.append(Line(path, given, Carried(source.id, source.heads[name][0])))
    then = target
    for line in found:
        then = with_value(then, line.path, line.value)
    # A follow-up goes along only where what opens it stands here too: what is not asked could not be gone through.
    return tuple(line for line in found if is_open(then, line.path))


def brought(chart: Chart, form: type[Form], subjects: tuple[str, ...], fields: Iterable[str]) -> Brought | None:
    """What the latest earlier visit that has any of these answers offers for this visit's entry, or None.

    Offered is only what is unanswered here and was answered there by somebody, in finished words; what was itself
    brought forward there and never gone through is not.
    """
    if form not in CARRIES or chart.visit is None or chart.signed() is not None:
        return None
    here = entry_id(form, chart.visit, subjects)
    target = chart.by_id(here)
    if target is not None and target.struck is not None:
        return None
    answers = target.answers if target is not None else form()
    wanted = frozenset(fields)
    for visit in sorted(earlier_visits(chart), key=lambda one: _begun(chart, one), reverse=True):
        source = chart.by_id(entry_id(form, visit, subjects))
        if source is None or source.struck is not None:
            continue
        lines = _lines(source, answers, wanted)
        if lines:
            return Brought(here, Place(form.name, chart.family, chart.visit, subjects), visit, lines)
    return None


def from_words(chart: Chart, carried: Carried) -> str:
    """Where an answer was brought from: "from 9 Mar", with the year when it is another one."""
    source = chart.by_id(carried.entry)
    return day_from(chart, source.place.visit if source is not None else None)


def day_from(chart: Chart, visit: str | None) -> str:
    """The day of an earlier visit, as "from 9 Mar"."""
    found = chart.by_id(visit or "")
    start = found.answers.start if found is not None and isinstance(found.answers, Visit) else None
    if not isinstance(start, Moment):
        return "from an earlier visit"
    day, today = start.local().date(), visit_day(chart)
    year = f" {day.year}" if today is None or today.year != day.year else ""
    return f"from {day.day} {MONTHS[day.month - 1][:3]}{year}"


def not_gone_through(entry: Entry[Any], path: Path) -> bool:
    """Whether the answer at a path was brought forward and nobody has gone through it at this visit."""
    carried = entry.carried.get(str(path))
    return carried is not None and not carried.still_so
