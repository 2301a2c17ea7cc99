"""A paper says which part a student charted when an answer that stands is a student's, and only then."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from forms.ask import Paper
from forms.chart import Chart, Entry, Hand, Place, entry_id
from forms.closing import Closing
from forms.consent import Release
from forms.infant_history import InfantHistory
from forms.papers.call_now import call_now
from forms.papers.closing_letter import closing_letter
from forms.papers.family_plan import family_plan
from forms.papers.outline import Mark, Outline, words_of
from forms.papers.provider_report import provider_report
from forms.papers.receipt import receipt
from forms.papers.referral import referral
from forms.papers.visit_summary import NotSigned, visit_summary
from forms.pictures.all import pictures
from forms.plan import Plan
from forms.practice import Practitioner
from forms.report import ProviderReport
from forms.visit import Addendum
from sync.handoff.leave import outline_of
from tests.forms.papers.test_plan_in_spanish import worded
from tests.helpers import thornbury as t
from tests.helpers.receipts import billed, charge, code

TAM = "tam"
STORY = entry_id(InfantHistory, t.VISIT, (t.IDA,))
PLAN = entry_id(Plan, t.VISIT)
LINE = (
    "Charted in part (history) by Tam Orrel, student under supervision of Rowan Vale; signed by Rowan Vale."
)  # fmt: skip
SIGNED_BY_STUDENT = "Signed by Tam Orrel, student under supervision of Rowan Vale"
PLAIN = (
    "Part of this visit (your story) was written down by Tam Orrel, a student who learns with Rowan Vale. Rowan Vale "
    "checked it and signed."
)


def student(**more: Any) -> Entry[Any]:
    given: dict[str, Any] = {"full_name": "Tam Orrel", "practice_role": "student", "supervisor": "Rowan Vale", **more}
    return Entry(TAM, Place("practitioner"), Practitioner(**given), t.WRITER, t.START)


def charted(chart: Chart, *which: tuple[str, str], **more: Any) -> Chart:
    """The chart with a student in the practice, from whose hand these answers are."""
    hand = (Hand(TAM, int(t.START.timestamp() * 1000)),)
    fields: dict[str, list[str]] = {}
    for name, field in which:
        fields.setdefault(name, []).append(field)
    entries = tuple(
        replace(one, hands={**one.hands, **dict.fromkeys(fields.get(one.id, ()), hand)}) for one in chart.entries
    )
    return replace(chart, entries=(*entries, student(**more)))


def whole(*, signed: bool = True) -> Chart:
    chart = billed(code("a", "R63.30"), charge("one", "120"), signed=signed)
    more = (
        t.entry(ProviderReport, t.IDA, must_know="Slow weight gain.", asked="Please weigh her again.",
                asked_by=date(2026, 3, 5), would_change="Less than 20 g a day."),
        t.entry(Release, t.IDA, named="reports", visit=None, recipient=t.DOCTOR, scope=("report",),
                given_at=t.local(3, 11), valid_from=date(2026, 3, 3), valid_until=date(2026, 9, 3)),
    )  # fmt: skip
    return replace(chart, entries=(*chart.entries, *more))


def report(chart: Chart) -> Outline:
    return provider_report(chart, t.IDA, writer=t.WRITER, now=t.NOW, fits=lambda _outline: True)


def letter(chart: Chart) -> Outline:
    return referral(chart, t.LETTER, writer=t.WRITER, now=t.NOW)


def summary(chart: Chart) -> Outline:
    return visit_summary(chart, t.IDA, writer=t.WRITER, now=t.NOW)


def paid(chart: Chart) -> Outline:
    return receipt(chart, t.IDA, writer=t.WRITER, now=t.NOW, fits=lambda _outline: True)


def plan(chart: Chart) -> Outline:
    return family_plan(chart, writer=t.WRITER, now=t.NOW)


def call(chart: Chart) -> Outline:
    return call_now(chart, writer=t.WRITER, now=t.NOW)


SAYS: list[tuple[Callable[[Chart], Outline], str]] = [
    (report, LINE), (letter, LINE), (summary, LINE), (paid, LINE.replace(" (history)", "")), (plan, PLAIN),
    (call, PLAIN),
]  # fmt: skip


def marks(outline: Outline) -> list[str]:
    return [block.text for block in outline.blocks if isinstance(block, Mark)]


def told(words: str) -> bool:
    return "Tam Orrel" in words or "student" in words


@pytest.mark.parametrize(("make", "line"), SAYS)
def test_every_paper_of_the_visit_says_it_in_one_line_when_and_only_when_a_students_answer_stands(
    make: Callable[[Chart], Outline], line: str
) -> None:
    assert line in words_of(make(charted(whole(), (STORY, "feeds_24h")))).splitlines()
    for chart in (whole(), charted(whole()), charted(t.changed(whole(), STORY, feeds_24h=None), (STORY, "feeds_24h"))):
        assert not told(words_of(make(chart)))


@pytest.mark.parametrize(("make", "line"), [one for one in SAYS if one[0] is not summary])
def test_before_the_signature_such_a_paper_is_a_draft_and_no_other_is(
    make: Callable[[Chart], Outline], line: str
) -> None:
    found = make(charted(whole(signed=False), (STORY, "feeds_24h")))
    assert "Draft, not co-signed." in marks(found)
    assert line not in words_of(found)
    assert "signed by" not in words_of(found)
    assert "checked it and signed" not in words_of(found)
    assert told(words_of(found))
    assert "Draft, not co-signed." not in marks(make(charted(whole(signed=False))))
    assert "Draft, not co-signed." not in marks(make(charted(whole(), (STORY, "feeds_24h"))))


def test_a_students_signature_co_signs_nothing_and_every_paper_says_so() -> None:
    for make, line in SAYS:
        for which in ((), ((STORY, "feeds_24h"),)):
            chart = charted(whole(), *which)
            found = make(replace(chart, signatures=tuple(replace(one, by=TAM) for one in chart.signatures)))
            assert "Draft, not co-signed." in marks(found)
            assert line not in words_of(found)
            if make in (plan, call):
                assert told(words_of(found)) == bool(which)
            else:
                start = line.partition(";")[0] if which else SIGNED_BY_STUDENT
                assert f"{start}; not co-signed yet." in words_of(found).splitlines()


def test_who_qualified_since_takes_no_line_from_an_older_paper_and_signs_as_whoever_she_was() -> None:
    ended = int((t.NOW + timedelta(days=300)).timestamp() * 1000)
    chart = replace(charted(whole(), (STORY, "feeds_24h"), practice_role="consultant"), learners={TAM: ended})
    assert LINE in words_of(report(chart)).splitlines()
    own = replace(chart, signatures=tuple(replace(one, by=TAM) for one in chart.signatures))
    assert "Draft, not co-signed." in marks(report(own))
    later = tuple(replace(one, by=TAM, at=t.NOW + timedelta(days=301)) for one in chart.signatures)
    assert "signed by Tam Orrel." in words_of(report(replace(chart, signatures=later)))


def test_no_summary_is_made_before_the_signature_at_all() -> None:
    with pytest.raises(NotSigned):
        summary(charted(whole(signed=False), (STORY, "feeds_24h")))


def test_the_moments_of_the_visit_stand_in_their_order_and_a_whole_visit_is_no_part() -> None:
    chart = charted(whole(), (PLAN, "goal"), ("w2", "weight"), (STORY, "feeds_24h"))
    assert "Charted in part (history, weights, plan) by Tam Orrel" in words_of(report(chart))
    assert "Part of this visit (your story, the weights and the plan) was written down by" in words_of(plan(chart))
    alone = Chart(t.FAMILY, t.VISIT, (*t.practice(), *t.people(), t.entry(Plan, goal="Less sore.")), chart.signatures)
    assert "This visit was written down by Tam Orrel, a student" in words_of(plan(charted(alone, (PLAN, "goal"))))


def test_what_a_student_charted_of_one_twin_alone_is_not_told_of_the_mother_of_whom_nothing_was() -> None:
    chart = charted(whole(), ("w3", "weight"))
    assert not told(words_of(report(chart)))
    assert told(words_of(plan(chart)))


def test_a_supervisor_who_is_not_written_down_is_said_to_be_missing() -> None:
    chart = charted(whole(), (STORY, "feeds_24h"), supervisor=None)
    assert "by Tam Orrel, student, supervisor not written down; signed by" in words_of(report(chart))
    assert "by Tam Orrel, a student, supervisor not written down. Rowan Vale checked it" in words_of(plan(chart))


def test_the_plan_says_it_in_the_familys_language() -> None:
    def spanish(chart: Chart) -> Outline:
        return family_plan(chart, writer=t.WRITER, now=t.NOW, language="es")

    said = words_of(spanish(charted(worded(), (STORY, "feeds_24h"), (PLAN, "goal"))))
    assert (
        "Una parte de esta visita (su historia y el plan) la anotó Tam Orrel, estudiante que aprende con Rowan Vale. "
        "Rowan Vale lo revisó y lo firmó."
    ) in said
    draft = spanish(charted(replace(worded(), signatures=()), (STORY, "feeds_24h"), supervisor=None))
    assert "Borrador, todavía sin la segunda firma." in marks(draft)
    assert "estudiante; no está anotado quién supervisa" in words_of(draft)


def test_the_page_of_a_picture_says_it_too() -> None:
    chart = charted(whole(), ("w2", "weight"))
    key = pictures(chart, t.IDA, t.NOW)[0].key
    found = outline_of(chart, Paper.SUMMARY, author=t.WRITER, now=t.NOW, picture=(t.IDA, key))
    assert "Charted in part (weights) by Tam Orrel" in words_of(found)
    unsigned = replace(chart, signatures=())
    made = outline_of(unsigned, Paper.SUMMARY, author=t.WRITER, now=t.NOW, picture=(t.IDA, key))
    assert "Draft, not co-signed." in marks(made)


def test_what_a_student_added_after_the_signature_is_not_co_signed() -> None:
    for author, words in (
        (TAM, "by Tam Orrel, student under supervision of Rowan Vale, not co-signed:"), (t.WRITER, "by Rowan Vale:"),
    ):  # fmt: skip
        note = t.entry(Addendum, named="added", note=t.IDA, kind="addendum", words="Called back.", why="Forgotten.")
        chart = charted(whole())
        found = summary(replace(chart, entries=(*chart.entries, replace(note, author=author))))
        assert words in words_of(found)
        assert "Charted" not in words_of(found)


def test_what_was_added_after_the_signature_is_told_by_who_wrote_it_then_and_not_by_who_that_is_now() -> None:
    since = {"practice_role": "consultant", "student_until": date(2026, 3, 3)}
    for day, words in (
        (0, "by Tam Orrel, student under supervision of Rowan Vale, not co-signed:"), (1, "by Tam Orrel:"),
    ):  # fmt: skip
        note = t.entry(Addendum, named="added", note=t.IDA, kind="addendum", words="Called back.", why="Forgotten.")
        chart, at = charted(whole(), **since), t.NOW + timedelta(hours=1, days=day)
        found = summary(replace(chart, entries=(*chart.entries, replace(note, author=TAM, entered=at))))
        assert words in words_of(found)


def closing(*by: str, closer: str = t.WRITER) -> Chart:
    """A closing of Ida's care with fields from a student's hand, and who wrote when it was closed."""
    made = t.entry(
        Closing, named="closing", visit=None, reason="goal_met", goal_words="Both feed well.", goal_reached=9,
        covers=(t.IDA,), given_family=("summary",), closed_at=t.local(3, 16), closed_by=t.WRITER,
    )  # fmt: skip
    moment = int(t.NOW.timestamp() * 1000)
    hands = {**{name: (Hand(TAM, moment),) for name in by}, "closed_at": (Hand(closer, moment),)}
    chart = t.whole(replace(made, hands=hands))
    return replace(chart, entries=(*chart.entries, student()))


def test_a_closing_letter_is_a_draft_until_a_consultant_writes_when_care_was_closed() -> None:
    def made(chart: Chart) -> Outline:
        return closing_letter(chart, writer=t.WRITER, now=t.NOW)

    assert not told(words_of(made(closing())))
    done = made(closing("goal_words"))
    assert "Charted in part by Tam Orrel, student under supervision of Rowan Vale; closed by Rowan Vale." in words_of(
        done
    )
    assert "Draft, not co-signed." not in marks(done)
    assert "Draft, not co-signed." in marks(made(closing("goal_words", closer=TAM)))


def test_a_letter_written_by_a_student_names_the_supervisor_or_that_none_is_written_down() -> None:
    for supervisor, words in (
        ("Rowan Vale", "under supervision of Rowan Vale."),
        (None, "supervisor not written down."),
    ):
        chart = charted(whole(), supervisor=supervisor, credentials="student", phone="555 0191", licence_role="none")
        found = provider_report(chart, t.IDA, writer=TAM, now=t.NOW, fits=lambda _outline: True)
        assert words in words_of(found)
