"""Whatever is charted at a visit and told in its record is offered at the other end, and no fact is lost on the way."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from typing import Any, Final

from hypothesis import given, settings
from hypothesis import strategies as st

import forms.all  # noqa: F401 - fills the catalogue
from forms.answers import Absence, Absent, Moment, Quantity
from forms.ask import Ask, Kind, Paper, Path, Printed, asks, paths
from forms.chart import Chart, Entry, Place, entry_id
from forms.form import About, Form, catalog, with_value
from forms.reading import read
from forms.trouble import Refused, Trouble
from forms.units import UNITS
from sync.handoff.document import record_bytes, visit_bundle
from sync.handoff.facing import gathered
from sync.handoff.reading.held import HandOver
from sync.handoff.reading.read import read_file
from tests.helpers import thornbury as t
from tests.helpers.handed_over import charted_facts, offered_facts

_PEOPLE: Final = {About.PERSON: ((t.MARA,), (t.IDA,)), About.PERSON_AT_VISIT: ((t.MARA,), (t.IDA,)),
                  About.PAIR_AT_VISIT: ((t.MARA, t.IDA),)}  # fmt: skip
_OF_VISIT: Final = (About.VISIT, About.PERSON_AT_VISIT, About.PAIR_AT_VISIT)
_IDENTITIES: Final = ("parent", "infant", "family", "visit")


def _told(ask: Ask) -> bool:
    return not ask.private and not ask.claims and isinstance(ask.paper, Printed) and Paper.SUMMARY in ask.paper.on


FORMS: Final = sorted(
    name for name, form in catalog().items()
    if form.about is not About.PRACTICE and name not in _IDENTITIES and any(map(_told, asks(form).values()))
)  # fmt: skip
_WORDS: Final = st.text(
    st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp"), exclude_characters="[]?"), min_size=1, max_size=25
).filter(lambda words: bool(words.strip()))


def _quantity(ask: Ask) -> st.SearchStrategy[Quantity]:
    def one(base: int) -> Quantity | None:
        unit = next((unit for unit in ask.units if UNITS[unit].symbol in ("g", "mL", "mm", "min")), None)
        return read(ask, str(base), unit) if unit is not None else None

    low, high = ask.low or 0, ask.high if ask.high is not None else 1_000
    return st.integers(low, high).map(one)  # type: ignore[arg-type]  # None leaves the question unanswered


def value_of(ask: Ask) -> st.SearchStrategy[Any]:
    """A value that a control could give this question; None where its unit is not one of those drawn."""
    moments = st.integers(0, 60 * 24 * 60).map(lambda late: Moment(t.START - timedelta(minutes=late), t.ZONE))
    match ask.kind:
        case Kind.YES_NO:
            return st.booleans()
        case Kind.SCALE | Kind.COUNT:
            return st.integers(ask.low or 0, ask.high if ask.high is not None else 10)
        case Kind.QUANTITY:
            return _quantity(ask)
        case Kind.MOMENT:
            return moments
        case Kind.DAY:
            return st.dates(date(2025, 1, 1), date(2027, 1, 1))
        case Kind.CHOICE:
            return st.sampled_from(tuple(ask.options))
        case Kind.MANY:
            free = tuple(code for code in ask.options if code not in ask.alone)
            return st.lists(st.sampled_from(free), min_size=1, unique=True).map(
                lambda some: tuple(code for code in ask.options if code in some)
            )
        case Kind.LINE | Kind.TEXT:
            return _WORDS
    return st.none()


ABSENT: Final = st.builds(Absent, st.sampled_from(Absence), st.just("") | _WORDS)


@st.composite
def visits(draw: st.DrawFn, always: tuple[str, ...] = ()) -> Chart:
    """The family at Tallow Lane with some entries of any forms, filled at random."""
    chart = t.whole()
    for number, name in enumerate((*always, *draw(st.lists(st.sampled_from(FORMS), min_size=1, max_size=5)))):
        chart = chart.with_entry(draw(entries(chart, catalog()[name], number)))
    return chart


@st.composite
def entries(draw: st.DrawFn, chart: Chart, form: type[Form], number: int) -> Entry[Any]:
    """One entry with up to ten answers."""
    subjects = draw(st.sampled_from(_PEOPLE.get(form.about, ((),))))
    visit = t.VISIT if form.about in _OF_VISIT or form.name == "weight" else None
    standing = chart.by_id(entry_id(form, visit, subjects)) if not form.repeats else None
    entry: Entry[Any] = standing or Entry(
        f"drawn {number}" if form.repeats else entry_id(form, visit, subjects),
        Place(form.name, t.FAMILY, visit, subjects), form(), t.WRITER, t.START,
    )  # fmt: skip
    answers = entry.answers
    some = [path for path in paths(form) if _told(asks(form)[path.field])]
    for path in draw(st.lists(st.sampled_from(some), min_size=1, max_size=10, unique=True)):
        answers = with_value(answers, path, draw(value_of(asks(form)[path.field]) | ABSENT))
    return replace(entry, answers=answers)


def _read(chart: Chart) -> HandOver | None:
    """What the record of the visit says; None where the program holds the record back."""
    try:
        bundle = visit_bundle(chart, paper=Paper.SUMMARY, writer=t.WRITER, now=t.NOW, about=())
    except (Trouble, Refused):
        return None
    return read_file(record_bytes(bundle), zone=t.ZONE, now=t.NOW)


TRIED: Counter[bool] = Counter()


@settings(max_examples=120, deadline=None)
@given(visits())
def test_each_answer_of_a_random_visit_that_its_record_tells_is_offered_with_its_value(chart: Chart) -> None:
    found = _read(chart)
    TRIED[found is not None] += 1
    if found is not None:
        wanted = sorted(map(repr, charted_facts(chart, t.WRITER)))
        assert sorted(map(repr, offered_facts(found))) == wanted


def test_most_random_visits_were_handed_over() -> None:
    assert TRIED[True] > 4 * TRIED[False], TRIED


@settings(max_examples=60, deadline=None)
@given(visits(("weight", "weight")))
def test_what_goes_together_stands_in_a_weight_or_a_gestation_and_everything_else_alone(chart: Chart) -> None:
    found = _read(chart)
    if found is None:
        return
    together = gathered(found)
    ids = {one.id for one in together}
    for one in found.offers:
        if one.id in ids:
            continue
        leads = (Path("weight"), Path("gestation_weeks"))
        whole = next(kept for kept in together if kept.entry == one.entry and kept.path in leads)
        document = dict(whole.also).get(Path("document"), "")
        assert (one.path, one.value) in whole.also or one.words in document, one
