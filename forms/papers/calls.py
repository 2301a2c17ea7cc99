"""Whom to call and when: the box on every family paper, and the alarm that stands first when something was seen.

The emergency lines are printed whether anything was ticked or not. Signs and ages follow the ladder of urgent signs
(SOURCES.md "Red flags": NICE NG143, the CDC and AWHONN lists for parents); the words are ours.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from typing import Final

from forms.ask import ask_of
from forms.chart import Chart, Entry
from forms.clinical.age import age_in_days
from forms.clinical.evidence import zone_of
from forms.clinical.prompts import prompts
from forms.clinical.rule import Level, Prompt
from forms.papers.outline import Alarm, CallBox, Words, join
from forms.papers.said import Said
from forms.papers.wording import parent_words
from forms.people import CareTeam, InfantIdentity, ParentIdentity
from forms.plan import Plan
from forms.practice import Practice, Provider
from forms.taking_part import noted_parents
from forms.thresholds import limits
from forms.trouble import Trouble
from forms.units import decimal

__all__ = ["NoEmergencyNumber", "Numbers", "alarms", "call_box", "numbers"]

# A fever of 38.0 °C is an emergency to 90 days of age (NICE NG143, S); from then 39.0 °C is a call the same day (S).
_YOUNG_DAYS: Final = 90
_ALWAYS: Final = ("sleepy", "no_wet_8h", "yellow", "stools")
"""Signs printed even when nobody ticked them: NG143 and the S2 row on jaundice; stools from memory (M)."""


class NoEmergencyNumber(Trouble):
    """The practice has not said what a family dials."""

    template = (
        "No emergency number is set, so no paper can leave. Set it under Practice, Place and numbers, then print again."
    )


@dataclass(frozen=True, slots=True)
class Numbers:
    """What a family dials here: the emergency number and the crisis line ("" if none is set), each in words."""

    emergency: str
    crisis: str


def _practice(chart: Chart) -> Practice:
    return chart.one(Practice)


def numbers(said: Said) -> Numbers:
    """The numbers as set by the practice; raises NoEmergencyNumber when the first is missing or blank.

    Two numbers that stand side by side are both printed on a forgiving paper.
    """
    practice = _practice(said.chart)
    emergency = said.tongue.row((str(n).strip() for n in said.every(practice, "emergency_number")), "or")
    if not emergency:
        raise NoEmergencyNumber
    crisis = said.tongue.row((str(n).strip() for n in said.every(practice, "crisis_line")), "or")
    return Numbers(emergency, crisis)


def _provider(said: Said, person: str, *fields: str) -> str:
    """The first provider of a person's care team by those fields, as "Dr Amadi, 555 0134"; "" if there is none."""
    team = said.chart.one(CareTeam, person)
    for field in fields:
        named = []
        for provider in said.every(team, field):
            entry = said.chart.by_id(provider)
            if isinstance(entry, Entry) and isinstance(entry.answers, Provider):
                said.shapes(Provider, "practice")
                named.append(", ".join(filter(None, (said.words(entry.answers, f) for f in ("full_name", "phone")))))
        if any(named):
            return said.tongue.row(named, "or")
    return ""


def _baby_provider(said: Said, babies: Iterable[Entry[InfantIdentity]]) -> str:
    """The babies' provider; where they have several, each with the name of whom it is for; "" if there is none."""
    found: dict[str, list[str]] = {}
    for baby in babies:
        found.setdefault(_provider(said, baby.id, "primary_provider"), []).append(said.called(baby.answers))
    found.pop("", None)
    if len(found) == 1:
        return next(iter(found))
    tongue = said.tongue
    each = (tongue.say("call.provider_for", provider=one, names=tongue.row(of)) for one, of in found.items())
    return tongue.row(each, "or")


def alarms(said: Said, now: datetime) -> tuple[Alarm, ...]:
    """One box for what must be acted on at once, one for each provider to be called today; none when nothing was seen.

    What was told in private puts nothing on a paper that others read; the numbers for it are always in the call box.
    """
    dial = numbers(said)
    open_now = tuple(prompt for prompt in prompts(said.chart, now) if not prompt.private)
    urgent = tuple(p for p in open_now if p.level is Level.EMERGENCY)
    today = tuple(p for p in open_now if p.level is Level.SAME_DAY)
    made = []
    if urgent:
        made.append(Alarm(said.tongue.say("call.emergency", number=dial.emergency), _seen(said, urgent)))
    by_provider: dict[str, list[Prompt]] = {}
    for prompt in today:
        by_provider.setdefault(_whom(said, prompt.person), []).append(prompt)
    for whom, some in by_provider.items():
        nobody = said.tongue.words("call.nobody", number=dial.emergency)
        made.append(Alarm(said.tongue.say("call.today", whom=whom), (*_seen(said, tuple(some)), nobody)))
    return tuple(made)


def _whom(said: Said, person: str) -> str:
    """Whom to call about one person: that person's own provider, never another one's."""
    found = said.chart.by_id(person)
    if found is not None and isinstance(found.answers, InfantIdentity):
        return _provider(said, person, "primary_provider") or said.tongue.say("call.babys_own")
    return _parent_provider(said, person) or said.tongue.say("call.parents_own")


def _seen(said: Said, some: tuple[Prompt, ...]) -> tuple[Words, ...]:
    """What was seen, each with whose it is; in English on every paper, to be read out to whoever answers the phone."""
    lines = []
    for prompt in some:
        who = said.named(prompt.person)
        key = "call.seen" if who else "call.seen.unnamed"
        lines.append(said.tongue.words(key, name=who, seen=prompt.seen))
    return tuple(lines)


def _parent_provider(said: Said, parent: str) -> str:
    return _provider(said, parent, "birth_provider", "primary_provider")


def _heat(said: Said, celsius: str, fahrenheit: str) -> str:
    if _practice(said.chart).temperature_unit == "F":
        return f"{fahrenheit} °F ({celsius} °C)"
    return f"{celsius} °C ({fahrenheit} °F)"


def _young(said: Said, babies: Iterable[Entry[InfantIdentity]], now: datetime) -> bool:
    """Whether any baby is under 90 days, or of an age that cannot be worked out."""
    zone = zone_of(said.chart)
    for baby in babies:
        days = age_in_days(baby.answers.born, baby.answers.born_day, now, zone)
        if not isinstance(days, int) or days <= _YOUNG_DAYS:
            return True
    return False


def _ticked(said: Said, plan: Plan, field: str, always: tuple[str, ...] = ()) -> str:
    """The options ticked (and those always printed) as a run of words, with what was added in words."""
    options = {code: said.tongue.option(Plan, field, code) for code in ask_of(Plan, field).options}
    picked = {code for value in said.every(plan, field) for code in value} | set(always)
    listed = [words[0].lower() + words[1:] for code, words in options.items() if code in picked]
    asked = ask_of(Plan, f"{field}_words").label
    listed += [said.tongue.own(str(words), asked).rstrip(". ") for words in said.every(plan, f"{field}_words")]
    return "; ".join(listed)


def _for_baby(said: Said, now: datetime, dial: Numbers, plan: Plan) -> list[Words]:
    babies = said.chart.all(InfantIdentity)
    tongue = said.tongue
    names = tongue.row((said.called(baby.answers) for baby in babies), "or") or tongue.say("call.your_baby")
    young = _young(said, babies, now)
    hot = Fraction(limits(said.chart).at("fever"), 10)  # what the practice set, stricter than 38.0 °C if anything
    limit = _heat(said, decimal(hot, 1), decimal(hot * 9 / 5 + 32, 1))
    cold = tongue.say("call.under", limit=_heat(said, "36.0", "96.8"))
    fever = tongue.say("call.fever.young" if young else "call.fever.older", hot=limit, cold=cold)
    provider = _baby_provider(said, babies)
    signs = _ticked(said, plan, "watch_baby", _ALWAYS)
    warm = "" if young else tongue.say("call.warm", limit=_heat(said, "39.0", "102.2"))
    whom = provider or tongue.say("call.babys_own")
    return [
        tongue.words("call.baby_now", number=dial.emergency, names=names, fever=fever),
        tongue.words("call.baby_today", whom=whom, signs=signs, warm=warm),
    ]


def _for_parents(said: Said, dial: Numbers, plan: Plan) -> list[Words]:
    signs, tongue = _ticked(said, plan, "watch_parent"), said.tongue
    fever = _heat(said, "38.0", "100.4")
    noted = noted_parents(said.chart)
    parents = [parent for parent in said.chart.all(ParentIdentity) if parent.id in noted]
    found = {parent.id: _parent_provider(said, parent.id) for parent in parents}
    lines: list[Words] = []
    for parent in parents:
        if not found[parent.id] and len(found) > 1 and any(found.values()):
            continue
        words, name = parent_words(said, parent.id), said.called(parent.answers)
        body = words.body if "body" in words.own else tongue.say("call.body")
        common = tongue.say("call.parent.signs", fever=fever, body=body)
        whom = found[parent.id] or tongue.say("call.parents_own")
        also = tongue.say("call.parent.also", signs=signs) if signs else ""
        other = tongue.say("call.parent.other", name=name, whom=words.pronouns.object) if name else ""
        key = "call.parent" if name else "call.parent.unnamed"
        lines.append(tongue.words(key, name=name, whom=whom, signs=common, also=also, other=other))
    harm = "call.harm" if dial.crisis else "call.harm.emergency"
    worst = tongue.words("call.worst", number=dial.emergency)
    return [*lines, join(worst, tongue.words(harm, crisis=dial.crisis, number=dial.emergency))]


def call_box(said: Said, now: datetime) -> CallBox:
    """Baby first, then each parent who has a provider; with the numbers, names and phones of this family."""
    dial, plan = numbers(said), said.chart.one(Plan)
    return CallBox(said.tongue.say("call.box"), (*_for_baby(said, now, dial, plan), *_for_parents(said, dial, plan)))
