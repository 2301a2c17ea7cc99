"""Answers that cannot be so at this visit: each names its entry, its question and what to change."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from forms.answers import Moment, every
from forms.ask import Path, asks
from forms.breast import BreastAssessment
from forms.chart import Chart, Entry
from forms.clinical.scores import mood_wrong
from forms.feed import FeedObservation
from forms.form import disordered
from forms.infant import InfantAssessment
from forms.oral import OralAssessment
from forms.parent_history import ParentHistory
from forms.plan import PlanTask
from forms.taking_part import head_of, is_remote
from forms.weight import WeightReading

__all__ = ["impossible"]

Wrong = tuple[Entry[Any], Path, str]


def impossible(chart: Chart) -> Iterator[Wrong]:
    """Every answer of the chart's visit that contradicts another one or the kind of the visit."""
    yield from _times(chart)
    yield from _numbers(chart)
    if is_remote(chart):
        yield from _from_afar(chart)


def _times(chart: Chart) -> Iterator[Wrong]:
    head, visit = head_of(chart), chart.by_id(chart.visit or "")
    backwards = isinstance(head.start, Moment) and isinstance(head.end, Moment) and head.end.at < head.start.at
    if visit is not None and backwards:
        yield visit, Path("end"), "The visit ends before it starts"
    for entry in chart.entries:
        if entry.struck is None and chart.visit is not None and entry.place.visit == chart.visit:
            for path in disordered(entry.answers):
                label = asks(type(entry.answers))[path.field].label
                yield entry, path, f"“{label}” lies before its beginning; check both times"


def _numbers(chart: Chart) -> Iterator[Wrong]:
    """Two tasks of one number, and a mood screen whose numbers its form cannot have."""
    tasks = chart.all(PlanTask, visit=chart.visit)
    places = [order for task in tasks for order in every(task.answers.order)]
    for task in tasks:
        if any(places.count(order) > 1 for order in every(task.answers.order)):
            yield task, Path("order"), "Two tasks have this number"
    for told in chart.all(ParentHistory, visit=chart.visit):
        kept = told.answers
        if wrong := mood_wrong(kept.screen_form, kept.screen_total, kept.screen_item_10):
            yield told, Path("screen_total"), wrong


def _from_afar(chart: Chart) -> Iterator[Wrong]:
    """At a visit by phone or video nobody's hands or eyes were in the room."""
    kinds = every(head_of(chart).kind)
    for baby in chart.all(InfantAssessment, visit=chart.visit):
        if "seen" in every(baby.answers.seen_how):
            label = "Nobody was in the room: what is known of baby was told, or seen by video"
            yield baby, Path("seen_how"), label
    for weight in chart.all(WeightReading, visit=chart.visit):
        if "seen" in every(weight.answers.source):
            yield weight, Path("source"), "Nobody was in the room: this weight was told, or read in a document"
    for feed in chart.all(FeedObservation, visit=chart.visit):
        seen = every(feed.answers.observed)
        if "seen" in seen or ("video" in seen and "video" not in kinds):
            yield feed, Path("observed"), "Nobody was in the room: a feed was seen by video, or not at all"
    for mouth in chart.all(OralAssessment, visit=chart.visit):
        if True in every(mouth.answers.gloved):
            yield mouth, Path("gloved"), "Nobody was in the room: no gloved finger was in the mouth"
    for chest in chart.all(BreastAssessment, visit=chart.visit):
        how = every(chest.answers.consent)
        if "look_touch" in how or ("look" in how and "video" not in kinds):
            yield chest, Path("consent"), "Nobody was in the room: what is known was told, or seen by video"
