"""Nothing reaches a page but what its question allows."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Any, ClassVar

import pytest

import forms.all  # noqa: F401 - fills the catalogue
from forms.answers import Given
from forms.ask import Ask, Kind, NotCoded, NotPrinted, Paper, Printed, asks, line, paths
from forms.chart import Chart, Entry, Place, entry_id
from forms.closing import Closing
from forms.consent import Release
from forms.form import About, Form, catalog, with_value
from forms.papers.call_now import call_now
from forms.papers.closing_letter import closing_letter
from forms.papers.family_plan import family_plan
from forms.papers.figures_sheet import figures_sheet
from forms.papers.outline import SCOPE, Foot, Heading, Outline, ScopeLine, Title, plain, words_of
from forms.papers.package_index import AskedFor, package_index
from forms.papers.pictured import pictured
from forms.papers.provider_report import provider_report
from forms.papers.receipt import receipt
from forms.papers.referral import referral
from forms.papers.said import Said
from forms.papers.visit_summary import visit_summary
from forms.pictures.all import pictures
from forms.practice_figures import Period
from forms.receipt import ReceiptLine
from forms.report import ProviderReport
from forms.trouble import Bug
from tests.helpers import thornbury as t

PAPERS = tuple(Paper)


def told_of(chart: Chart) -> Chart:
    """The chart with what a report and a closing letter need beside what stands in it."""
    more: list[Entry[Any]] = [
        t.entry(Closing, named="ends", visit=None, reason="goal_met", covers=(t.MARA, t.IDA), goal_words="Met.")
    ]
    for who, reader in ((t.MARA, t.MIDWIFE), (t.IDA, t.DOCTOR)):
        more.append(t.entry(Release, who, named=f"may {who}", visit=None, recipient=reader, scope=("report",),
                            valid_from=date(2026, 3, 3), valid_until=date(2026, 9, 3)))  # fmt: skip
        more.append(t.entry(ProviderReport, who, must_know="This.", asked="That.", asked_by=date(2026, 3, 9),
                            would_change="Pain."))  # fmt: skip
    return chart.with_entries(more)


def every_paper(chart: Chart) -> str:
    made = (
        family_plan(chart, writer=t.WRITER, now=t.NOW),
        call_now(chart, writer=t.WRITER, now=t.NOW),
        referral(chart, t.LETTER, writer=t.WRITER, now=t.NOW),
        package_index(
            chart, AskedFor(t.IDA, t.MARA, "request", "", None), (), chosen_out=True, writer=t.WRITER, now=t.NOW
        ),
        figures_sheet(chart, (), Period(date(2026, 1, 1), date(2026, 3, 31)), writer=t.WRITER, now=t.NOW),
        *(
            pictured(chart, who, maker.key, writer=t.WRITER, now=t.NOW)
            for who in (t.MARA, t.IDA)
            for maker in pictures(chart, who, t.NOW)
        ),
        *(visit_summary(chart, who, writer=t.WRITER, now=t.NOW) for who in (t.MARA, t.JONAS, t.IDA, t.JUNO)),
    )
    ready = told_of(chart)
    for who in (t.MARA, t.IDA):
        made += (provider_report(ready, who, writer=t.WRITER, now=t.NOW, fits=lambda _: True),)
        made += (closing_letter(ready, writer=t.WRITER, now=t.NOW, person=who),)
    made += (closing_letter(ready, writer=t.WRITER, now=t.NOW),)
    charged = chart.with_entry(t.entry(ReceiptLine, t.IDA, named="charged", procedure="S9443", units=1, fee="120"))
    made += (receipt(charged, t.IDA, writer=t.WRITER, now=t.NOW, fits=lambda _: True),)
    assert len(made) > 3
    return "\n".join(words_of(outline) for outline in made)


def private_asks() -> list[tuple[type[Form], str, Ask]]:
    return [(form, name, ask) for form in catalog().values() for name, ask in asks(form).items() if ask.private]


def marker(form: type[Form], name: str, ask: Ask) -> Any:
    word = f"marked {form.name} {name}"
    return {Kind.LINE: word, Kind.TEXT: word, Kind.CHOICE: word, Kind.MANY: (word,)}.get(ask.kind)


def test_there_are_private_questions_to_guard() -> None:
    assert len(private_asks()) >= 20


def test_no_private_answer_of_anyone_stands_on_any_paper() -> None:
    charted = t.whole()
    by_form: dict[type[Form], Form] = {}
    for form, name, ask in private_asks():
        value = marker(form, name, ask)
        if value is not None:
            answers = by_form.setdefault(form, form())
            for path in paths(form):
                if path.field == name:
                    answers = with_value(answers, path, value)
            by_form[form] = answers
    added = []
    for form, answers in by_form.items():
        for subject in (t.MARA, t.JONAS, t.IDA, t.JUNO):
            visit = t.VISIT if form.about in (About.VISIT, About.PERSON_AT_VISIT, About.PAIR_AT_VISIT) else None
            held = charted.by_id(subject)
            if held is not None and type(held.answers) is form:
                merged = {f.name: getattr(answers, f.name) for f in fields(form) if asks(form)[f.name].private}
                added.append(replace(held, answers=replace(held.answers, **merged)))
            elif form.about is not About.FAMILY:
                added.append(Entry(entry_id(form, visit, (subject,)), Place(form.name, t.FAMILY, visit, (subject,)),
                                   answers, t.WRITER, t.START))  # fmt: skip
    family = charted.by_id(t.FAMILY)
    assert family is not None
    for form, answers in by_form.items():
        if type(family.answers) is form:
            merged = {f.name: getattr(answers, f.name) for f in fields(form) if asks(form)[f.name].private}
            added.append(replace(family, answers=replace(family.answers, **merged)))
    said = every_paper(t.whole(*added))
    assert len(by_form) >= 3
    assert "marked" not in said
    assert not [ask.label for _, _, ask in private_asks() if f"{ask.label}:" in said]


@pytest.mark.parametrize("paper", PAPERS)
def test_taking_an_answer_the_paper_must_not_carry_is_a_bug(paper: Paper) -> None:
    said, tried = Said(t.whole(), paper), 0
    for form in catalog().values():
        for name, ask in asks(form).items():
            if ask.private or isinstance(ask.paper, NotPrinted) or paper not in ask.paper.on:
                tried += 1
                with pytest.raises(Bug):
                    said.given(form(), name)
    assert tried > 50


def test_a_chart_with_another_familys_entry_makes_no_paper() -> None:
    stranger = Entry("x", Place("plan", "another", "v"), catalog()["plan"](), t.WRITER, t.START)
    mixed = replace(t.whole(), entries=(*t.whole().entries, stranger))
    for paper in PAPERS:
        with pytest.raises(Bug):
            Said(mixed, paper)


def test_an_answer_allowed_on_a_paper_and_placed_nowhere_is_also_noted() -> None:
    added = t.changed(t.whole(), entry_id(catalog()["plan"], t.VISIT), expressing="After the morning feed, 10 minutes.")
    said = words_of(family_plan(added, writer=t.WRITER, now=t.NOW))
    assert "Expressing: when and how long: After the morning feed, 10 minutes." in said


@dataclass(frozen=True, slots=True, kw_only=True)
class Extended(Form):
    """A form as it would stand after somebody added a field."""

    name: ClassVar[str] = "extended"
    about: ClassVar[About] = About.VISIT
    title: ClassVar[str] = "Extended"
    repeats: ClassVar[bool] = False
    shown: Given[str] = line("New question", paper=Printed((Paper.FAMILY_PLAN,)), code=NotCoded("test"))
    hidden: Given[str] = line("Kept question", paper=NotPrinted("test"), code=NotCoded("test"))
    elsewhere: Given[str] = line("Letter question", paper=Printed((Paper.REFERRAL,)), code=NotCoded("test"))


def test_a_field_added_to_a_form_needs_only_its_intent_to_reach_the_paper() -> None:
    said = Said(t.whole(), Paper.FAMILY_PLAN)
    said.opened(Extended(shown="answered", hidden="kept", elsewhere="for others"))
    assert [(item.label, item.words[0].text) for item in said.rest()] == [("New question", "answered")]


def outline(*blocks: Any, kind: Paper = Paper.FAMILY_PLAN) -> Outline:
    return Outline(kind, "Title", "en", tuple(blocks), ("person",), 14, "letter", "R. Vale")


@pytest.mark.parametrize("paper", PAPERS)
def test_no_paper_can_be_made_without_its_own_scope_line(paper: Paper) -> None:
    title, foot = Title("A", plain("b")), Foot(SCOPE[paper], (), ())
    assert SCOPE[paper].text in words_of(outline(title, foot, kind=paper))
    others = [Foot(SCOPE[other], (), ()) for other in PAPERS if other is not paper]
    for blocks in (
        (title,), (title, Foot(ScopeLine(""), (), ())), (title, Foot(ScopeLine("Call us"), (), ())),
        (title, foot, Heading("after")), (title, foot, foot), *((title, other) for other in others),
    ):  # fmt: skip
        with pytest.raises(Bug):
            outline(*blocks, kind=paper)


def test_every_paper_of_a_chart_ends_in_its_scope_line() -> None:
    said = every_paper(t.whole())
    for paper in PAPERS:
        assert SCOPE[paper].text in said
