"""How far each moment of the visit is: what its moon shows, how much is left, whether an urgent sign stands there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from desktop.sheets.places import Stands
from desktop.sheets.sheet import MOMENTS
from desktop.theme.halfmoons import MoonState
from forms.answers import Absence, Absent, Side
from forms.ask import paths
from forms.chart import Chart
from forms.clinical.prompts import prompts
from forms.clinical.rule import Prompt
from forms.form import value_at
from forms.note import Blank, Level, blanks

__all__ = ["SIDED", "Progress", "moment_of_blank", "progress"]

SIDED = ("feed", "look")
"""Moments in which sides of the body are asked: their moon is a pair."""


@dataclass(frozen=True, slots=True)
class Progress:
    """One moment of the thread. `right` is None where it has no sides; `left_over` counts what must be answered."""

    moment: str
    left: MoonState
    right: MoonState | None
    left_over: int


def moment_of_blank(blank: Blank, stands: Stands) -> str:
    """The moment in which a blank is filled: where its question stands, else where the finish list files it."""
    stand = stands.of(blank.form, blank.path.field if blank.path is not None else None)
    return stand.moment if stand is not None else str(blank.step)


def _declined(chart: Chart, moment: str, stands: Stands) -> bool:
    """Whether all that was answered in a moment is a deliberate absence, and someone declined."""
    asked = stands.fields_of(moment)
    given = [
        value
        for entry in chart.entries
        if entry.struck is None and chart.visit in (entry.place.visit, entry.id)
        for path in paths(type(entry.answers))
        if path.field in asked.get(entry.place.form, ()) and (value := value_at(entry.answers, path)) is not None
    ]
    return all(isinstance(value, Absent) for value in given) and any(
        isinstance(value, Absent) and value.kind is Absence.DECLINED for value in given
    )


def _rests_on(chart: Chart, now: datetime, moment: str, stands: Stands, urgent: Iterable[Prompt]) -> bool:
    """Whether a prompt would not stand without what was answered in this moment."""
    forms = stands.forms_of(moment)
    without = replace(chart, entries=tuple(e for e in chart.entries if e.place.form not in forms))
    still = {(prompt.rule, prompt.person) for prompt in prompts(without, now)}
    return any((prompt.rule, prompt.person) not in still for prompt in urgent)


def progress(chart: Chart, now: datetime, stands: Stands, open_prompts: tuple[Prompt, ...]) -> tuple[Progress, ...]:
    """How far every moment is, in the order of the thread. `open_prompts`: urgent signs nothing was done about yet."""
    by_moment: dict[str, list[Blank]] = {moment: [] for moment in MOMENTS}
    for blank in blanks(chart):
        if blank.level is Level.MUST:
            by_moment[moment_of_blank(blank, stands)].append(blank)
    found = []
    for moment in MOMENTS:
        left_over = by_moment[moment]
        if open_prompts and _rests_on(chart, now, moment, stands, open_prompts):
            states = dict.fromkeys(Side, MoonState.CONCERN)
        else:
            done = MoonState.DECLINED if not left_over and _declined(chart, moment, stands) else MoonState.DONE
            states = {side: MoonState.NOT_DONE if _left_on(left_over, side) else done for side in Side}
        if moment in SIDED:
            found.append(Progress(moment, states[Side.LEFT], states[Side.RIGHT], len(left_over)))
        else:
            whole = MoonState.NOT_DONE if left_over and MoonState.CONCERN not in states.values() else states[Side.LEFT]
            found.append(Progress(moment, whole, None, len(left_over)))
    return tuple(found)


def _left_on(left_over: Iterable[Blank], side: Side) -> bool:
    """Whether something is left that concerns this side, or no side in particular."""
    return any(blank.path is None or blank.path.side in (None, side) for blank in left_over)
