"""What a record never tells, whatever was written: nothing private, nothing its paper must not carry, nobody else's.

Of somebody else go the names and phone of the parent, as those of the person related to the baby, and the names of a
baby with whom a parent was seen.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import forms.all  # noqa: F401 - fills the catalogue
from forms.ask import Ask, Kind, Paper, Printed, asks, paths
from forms.chart import Chart, Entry, Place, entry_id
from forms.form import About, Form, catalog, with_value
from forms.papers.outline import words_of
from forms.papers.referral import referral
from forms.people import InfantIdentity, ParentIdentity
from forms.trouble import Trouble
from sync.handoff.document import record_bytes, visit_bundle
from tests.helpers import thornbury as t

PEOPLE: Final = (t.MARA, t.JONAS, t.IDA, t.JUNO)
RECORDS: Final = (
    (Paper.REFERRAL, (t.IDA,)), *((paper, (who,)) for paper in (Paper.REPORT, Paper.SUMMARY) for who in (t.MARA, t.IDA)),
    (Paper.SUMMARY, (t.JUNO,)), (Paper.FAMILY_PLAN, ()),
)  # fmt: skip
WORDS: Final = frozenset({Kind.LINE, Kind.TEXT})
WRITTEN_IN: Final = tuple(
    sorted(
        (
            form for form in catalog().values()
            if form.about is not About.PRACTICE and any(ask.kind in WORDS for ask in asks(form).values())
        ),
        key=lambda form: form.name,
    )
)  # fmt: skip


def may(form: type[Form], ask: Ask, paper: Paper) -> bool:
    return not ask.private and isinstance(ask.paper, Printed) and paper in ask.paper.on


def planted(chart: Chart, form: type[Form], who: tuple[str, ...], number: int) -> tuple[Entry[Any], dict[str, Ask]]:
    """An entry whose every answer in words is a mark of its own; and the question of each mark."""
    marks: dict[str, Ask] = {}
    per_visit = form.about in (About.VISIT, About.PERSON_AT_VISIT, About.PAIR_AT_VISIT)
    visit = t.VISIT if per_visit else None
    subjects = who if form.about in (About.PERSON, About.PERSON_AT_VISIT, About.PAIR_AT_VISIT) else ()
    standing = [one for one in chart.entries if type(one.answers) is form and one.place.subjects in (subjects, ())]
    own = [one for one in standing if one.id in who] if form.about is About.PERSON else []
    held = (own or (standing if not form.repeats else []))[:1]
    answers = held[0].answers if held else form()
    for path in paths(form):
        ask = asks(form)[path.field]
        if ask.kind in WORDS and ask.when is None:
            word = f"mark{number}x{len(marks)}x"
            answers, marks[word] = with_value(answers, path, word), ask
    if held:
        return replace(held[0], answers=answers), marks
    named = entry_id(form, visit, subjects) if not form.repeats else f"planted {number}"
    return Entry(named, Place(form.name, t.FAMILY, visit, subjects), answers, t.WRITER, t.START), marks


RELATED: Final = tuple(asks(ParentIdentity)[name] for name in ("full_name", "called_name", "name_as_printed", "phone"))
TOGETHER: Final = tuple(asks(InfantIdentity)[name] for name in ("legal_name", "called_name", "name_as_printed"))
WRITINGS: Final = st.lists(
    st.tuples(
        st.sampled_from([form.name for form in WRITTEN_IN]), st.sampled_from(PEOPLE[:2]), st.sampled_from(PEOPLE[2:]),
        st.booleans(),
    ),
    min_size=4, max_size=14, unique_by=lambda one: one[0],
)  # fmt: skip
"""Forms to write in; under which parent, which baby, and whether it is the baby's where it is one person's."""


def written(writings: list[tuple[str, str, str, bool]]) -> tuple[Chart, list[tuple[Entry[Any], dict[str, Ask]]]]:
    chart, all_of = t.whole(), []
    for number, (name, parent, baby, of_baby) in enumerate(writings):
        form = catalog()[name]
        who = (parent, baby) if form.about is About.PAIR_AT_VISIT else (baby if of_baby else parent,)
        made = planted(chart, form, who, number)
        chart = chart.with_entry(made[0])
        all_of.append(made)
    return chart, all_of


def told(chart: Chart, paper: Paper, about: tuple[str, ...]) -> str | None:
    """The record's words, or None where it was held back."""
    letter = t.LETTER if paper is Paper.REFERRAL else ""
    try:
        bundle = visit_bundle(chart, paper=paper, writer=t.WRITER, now=t.NOW, about=about, referral=letter)
    except Trouble:
        return None
    return record_bytes(bundle).decode()


def on_the_pages(chart: Chart, paper: Paper) -> str:
    """A letter's own words: it names whose child it is about."""
    return words_of(referral(chart, t.LETTER, writer=t.WRITER, now=t.NOW)) if paper is Paper.REFERRAL else ""


def is_about(entry: Entry[Any], about: tuple[str, ...]) -> bool:
    subjects = set(entry.place.subjects or ((entry.id,) if entry.id in PEOPLE else ()))
    if len(subjects) == 2:  # what was seen of the two together stands on the pages of either
        return not about or bool(subjects & set(about))
    return not about or subjects <= set(about)


@settings(max_examples=40, deadline=None)
@given(WRITINGS, st.sampled_from(RECORDS))
def test_a_record_tells_no_mark_that_its_paper_must_not_carry_and_none_of_somebody_it_is_not_about(
    writings: list[tuple[str, str, str, bool]], record: tuple[Paper, tuple[str, ...]]
) -> None:
    (chart, all_of), (paper, about) = written(writings), record
    words = told(chart, paper, about)
    if words is None:
        return
    for entry, marks in all_of:
        for mark, ask in marks.items():
            if mark in words:
                assert may(type(entry.answers), ask, paper), f"{entry.place.form}: {ask.label} on {paper}"
                whose = f"{entry.place.form}.{ask.label} of {entry.place.subjects or entry.id} told about {about}"
                named = ask in (*RELATED, *TOGETHER)
                assert named or is_about(entry, about) or mark in on_the_pages(chart, paper), whose


@pytest.mark.parametrize("who", [t.MARA, t.IDA])
def test_words_written_anywhere_reach_the_summary_where_it_may_carry_them_and_stay_where_it_may_not(who: str) -> None:
    found = kept_back = 0
    for number, form in enumerate(WRITTEN_IN):
        entry, marks = planted(
            t.whole(), form, (t.MARA, t.IDA) if form.about is About.PAIR_AT_VISIT else (who,), number
        )
        words = told(t.whole().with_entry(entry), Paper.SUMMARY, (who,))
        if words is not None:
            found += sum(mark in words for mark in marks)
            kept_back += sum(mark not in words for mark in marks)
    assert found > 20
    assert kept_back > 20
