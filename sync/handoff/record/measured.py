"""What was measured: weights, lengths, temperatures, pain, and the weights before and after a feed.

Only what has a time and one settled value becomes an Observation; everything else stands in its form's answers.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any, Final

from forms.answers import Absent, Moment, Quantity
from forms.ask import Coded, Kind
from forms.breast import BreastAssessment
from forms.chart import Entry
from forms.feed import FeedObservation
from forms.form import Form
from forms.infant import InfantAssessment
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity
from forms.weight import WeightReading
from sync.handoff.record.codes import TERMS
from sync.handoff.record.people import patient_id
from sync.handoff.record.plain import (
    Resource,
    amount,
    codeable,
    concept,
    count_of,
    fixed_id,
    grams_or_cm,
    made,
    when,
    written,
)  # fmt: skip
from sync.handoff.record.telling import Telling

__all__ = ["observations"]

_PAIN: Final = "72514-3"
_GESTATION: Final = "11884-4"


def _category(code: str) -> list[Resource]:
    names = {"vital-signs": "Vital Signs", "survey": "Survey", "exam": "Exam"}
    coded = {"system": f"{TERMS}/observation-category", "code": code, "display": names[code]}
    return [{"coding": [coded]}]


def _observed(
    telling: Telling, parts: tuple[str, ...], *, person: str, at: Any, category: str, code: Resource,
    of: tuple[str, ...] = (), **more: Any,
) -> Resource:  # fmt: skip
    """One measurement. `of` are the entries whose answers it repeats (default: the first of `parts`).

    It says so, for a reader is not to take one fact for two.
    """
    repeats = [{"reference": f"urn:uuid:{fixed_id('QuestionnaireResponse', one)}"} for one in of or parts[:1]]
    effective = {"effectiveDateTime": when(at)} if isinstance(at, Moment | date) else {}
    return made(
        "Observation", *parts, status="final" if telling.chart.signed() else "preliminary",
        category=_category(category), code=code, subject={"reference": f"urn:uuid:{patient_id(person)}"}, **effective,
        **more, derivedFrom=repeats,
    )  # fmt: skip


def _note(*lines: str) -> list[Resource]:
    told = " ".join(f"{line.rstrip('.')}." for line in lines if line)
    return [{"text": told}] if told else []


def _typed(quantity: Quantity) -> str:
    return f"Read as {written(quantity)}" if written(quantity) else ""


def _weight(telling: Telling, entry: Entry[WeightReading], baby: str) -> Resource | None:
    reading = entry.answers
    weight, taken = telling.value(reading, "weight"), telling.value(reading, "taken")
    if not isinstance(weight, Quantity) or not isinstance(taken, Moment) or telling.value(reading, "feed"):
        return None
    told = (telling.words(reading, field) for field in ("state", "source", "scale_name"))
    return _observed(
        telling, (entry.id, "weight"), person=baby, at=taken, category="vital-signs", code=codeable("29463-7"),
        valueQuantity=grams_or_cm(weight), note=_note(_typed(weight), *told),
    )  # fmt: skip


def _at_birth(telling: Telling, entry: Entry[InfantIdentity]) -> Iterator[Resource]:
    who = entry.answers
    born = telling.value(who, "born") or telling.value(who, "born_day")
    if born is None:
        return
    for field, code in (("birth_weight", "8339-4"), ("birth_length", "89269-5"), ("birth_head", "9843-4")):
        size = telling.value(who, field)
        if isinstance(size, Quantity):
            yield _observed(
                telling, (entry.id, field), person=entry.id, at=born, category="vital-signs", code=codeable(code),
                valueQuantity=grams_or_cm(size), note=_note(_typed(size)),
            )  # fmt: skip
    weeks, days = telling.value(who, "gestation_weeks"), telling.value(who, "gestation_days")
    if weeks is not None:
        length = count_of(weeks, "wk") if days is None else count_of(7 * weeks + days, "d")
        yield _observed(
            telling, (entry.id, "gestation"), person=entry.id, at=born, category="exam", code=codeable(_GESTATION),
            valueQuantity=length, note=_note(f"{weeks} weeks {days} days" if days is not None else ""),
        )  # fmt: skip


def _coded(telling: Telling, entry: Entry[Form], at: Any) -> Iterator[Resource]:
    """The answers of a form at a visit that have a code and are measured: sizes, temperature, pain."""
    owner = entry.place.subjects[0] if entry.place.subjects else ""
    if owner not in telling.about:
        return
    own_time = telling.value(entry.answers, "temperature_at") if hasattr(entry.answers, "temperature_at") else None
    for one in telling.answers(entry):
        if isinstance(one.given, Absent) or not isinstance(one.ask.code, Coded):
            continue
        code, site = one.ask.code.code, concept(f"own {one.path.side}") if one.path.side else None
        if one.ask.kind is Kind.QUANTITY and isinstance(one.given, Quantity):
            value = amount(one.given) if one.path.field == "temperature" else grams_or_cm(one.given)
            moment = own_time if one.path.field == "temperature" and own_time else at
            yield _observed(
                telling, (entry.id, str(one.path)), person=owner, at=moment, category="vital-signs",
                code=codeable(code, one.ask.label), valueQuantity=value, note=_note(_typed(one.given)),
            )  # fmt: skip
        elif one.ask.kind is Kind.SCALE and code == _PAIN and isinstance(one.given, int):
            yield _observed(
                telling, (entry.id, str(one.path)), person=owner, at=at, category="survey",
                code=codeable(code, one.ask.label), bodySite=site,
                valueQuantity=count_of(one.given, "{score}"),
            )  # fmt: skip


def _around_feed(telling: Telling, feed: Entry[FeedObservation], baby: str, at: Any) -> Resource | None:
    """The weights before and after a feed as one observation with a part for each reading."""
    parts, of = [], []
    for entry in telling.of(WeightReading):
        reading = entry.answers
        weight, point = telling.value(reading, "weight"), telling.words(reading, "feed_point")
        if telling.value(reading, "feed") != feed.id or not isinstance(weight, Quantity) or not point:
            continue
        taken = telling.words(reading, "taken")
        told = ", ".join(filter(None, (point, telling.words(reading, "feed_side").lower(), taken)))
        parts.append({"code": concept(f"Weight: {told}"), "valueQuantity": grams_or_cm(weight)})
        of.append(entry.id)
    if not parts:
        return None
    return _observed(
        telling, (feed.id, "around feed"), person=baby, at=at, category="exam",
        code=concept("Weight before and after a feed"), of=tuple(of), component=parts,
    )  # fmt: skip


def observations(telling: Telling) -> Iterator[Resource]:
    """Every measurement of the people the record is about. Raises Unresolved for one that is not settled."""
    for born in telling.babies:
        yield from _at_birth(telling, born)
    for entry in telling.of(WeightReading):
        told = _weight(telling, entry, entry.place.subjects[0])
        if told is not None:
            yield told
    at = telling.begun
    for feed in telling.of(FeedObservation):
        began = telling.value(feed.answers, "began") or at
        if began is not None:
            yield from _coded(telling, feed, began)
            around = _around_feed(telling, feed, feed.place.subjects[-1], began)
            if around is not None and feed.place.subjects[-1] in telling.about:
                yield around
    if at is None:
        return
    for form in (InfantAssessment, ParentHistory, BreastAssessment):
        for entry in telling.of(form):
            yield from _coded(telling, entry, at)
