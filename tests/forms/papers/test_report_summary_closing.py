"""The report to a provider, the summary of a signed visit, and the letter that closes care: what each says and refuses."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from forms.answers import Absence, Absent
from forms.chart import Chart, Struck, entry_id
from forms.closing import Closing, Loop, StateAtEnd
from forms.consent import Release
from forms.contact import UrgentContact
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.papers.closing_letter import NotClosing, closing_letter
from forms.papers.outline import Alarm, Heading, Lines, Outline, Title, words_of
from forms.papers.provider_report import NoReportRelease, ReportNotReady, ReportTooLong, provider_report
from forms.papers.visit_summary import NotSigned, visit_summary
from forms.parent_history import ParentHistory
from forms.report import ProviderReport
from forms.trouble import Unresolved
from forms.visit import Addendum, Jot
from forms.weight import WeightReading
from tests.forms.papers.test_family_plan import disputed
from tests.helpers import thornbury as t

REPORT = entry_id(ProviderReport, t.VISIT, (t.IDA,))
SAID: dict[str, Any] = {"must_know": "Slow weight gain.", "asked": "Please weigh her again.", "asked_by": date(2026, 3, 5),
        "would_change": "Less than 20 g a day."}  # fmt: skip


def whole(*more: object, signed: bool = True) -> Chart:
    return t.whole(
        t.entry(ProviderReport, t.IDA, **SAID),
        t.entry(Release, t.IDA, named="reports", visit=None, recipient=t.DOCTOR, scope=("report",),
                given_at=t.local(3, 11), valid_from=date(2026, 3, 3), valid_until=date(2026, 9, 3)),
        *more, signed=signed,  # type: ignore[arg-type]
    )  # fmt: skip


def report(chart: Chart | None = None, fits: bool = True) -> Outline:
    return provider_report(chart or whole(), t.IDA, writer=t.WRITER, now=t.NOW, fits=lambda _: fits)


def test_the_report_is_in_isbar_order_with_the_tasks_word_for_word() -> None:
    outline = report()
    said = words_of(outline)
    parts = [block.text for block in outline.blocks if isinstance(block, Heading)]
    assert [part[0] for part in parts[:5]] == list("ISBAR")
    for words in ("If it still hurts after you count to 30, slip a clean finger into the corner of her mouth.",
                  "Please weigh her again.", "5 March 2026", "Less than 20 g a day.", "Dr Amadi", "Not urgent.",
                  "Ida wakes by herself", "until 3 September 2026"):  # fmt: skip
        assert words in said


def test_an_urgent_report_says_so_in_its_title_and_its_first_block() -> None:
    found = t.entry(Impression, t.IDA, risk="emergency", risk_why="Hard to wake.")
    outline = report(whole(found))
    title, first = outline.blocks[:2]
    assert isinstance(title, Title)
    assert title.text.startswith("Urgent report")
    assert isinstance(first, Alarm)
    assert first.act == "Urgent: emergency, act now"
    assert "Hard to wake." in words_of(outline)


@pytest.mark.parametrize("given", [{"withdrawn_at": t.local(3, 11)}, {"valid_until": date(2026, 3, 2)},
                                   {"scope": ("referral",)}, {"recipient": t.THROAT}])  # fmt: skip
def test_a_release_that_does_not_hold_today_blocks_the_report(given: dict[str, object]) -> None:
    with pytest.raises(NoReportRelease, match="Dr Amadi"):
        report(t.changed(whole(), "reports", **given))


@pytest.mark.parametrize("field", list(SAID))
def test_a_report_without_what_every_report_needs_says_what_is_missing(field: str) -> None:
    with pytest.raises(ReportNotReady, match="still needs"):
        report(t.changed(whole(), REPORT, **{field: None}))


def test_a_report_that_asks_nothing_needs_no_day_and_two_values_hold_it_back() -> None:
    assert "Asked of you: none" in words_of(report(t.changed(whole(), REPORT, asked=Absent(Absence.NONE), asked_by=None))
                                            ).replace("  ", ": ")  # fmt: skip
    with pytest.raises(Unresolved):
        report(t.changed(whole(), REPORT, asked=disputed("one", "other")))


def test_what_does_not_fit_is_named_and_moved_to_a_page_of_its_own() -> None:
    outline = provider_report(
        whole(t.entry(InfantAssessment, t.IDA, tone=("usual",))), t.IDA, writer=t.WRITER, now=t.NOW,
        fits=lambda o: any(isinstance(b, Heading) and b.page for b in o.blocks),
    )  # fmt: skip
    assert "Optional detail on the next page" in words_of(outline)
    with pytest.raises(ReportTooLong):
        report(fits=False)


def test_the_parents_history_and_the_twin_stay_out_of_a_babys_report_and_summary() -> None:
    chart = whole(
        t.entry(ParentHistory, t.MARA, medicines="sertraline", mood_told="marked in private"),
        t.entry(WeightReading, t.JUNO, named="w9", weight=t.grams(2777), taken=t.local(3, 11), source="seen"),
    )
    for outline in (report(chart), visit_summary(chart, t.IDA, writer=t.WRITER, now=t.NOW)):
        for words in ("sertraline", "marked in private", "2,777"):
            assert words not in words_of(outline)


def test_what_was_done_about_a_sign_told_in_private_stands_on_neither() -> None:
    contact = t.entry(UrgentContact, t.IDA, named="u", covers=("no such sign",), outcome="reached", who="marked")
    chart = whole(contact)
    assert "marked" not in words_of(report(chart)) + words_of(visit_summary(chart, t.IDA, writer=t.WRITER, now=t.NOW))


def test_a_summary_of_an_unsigned_visit_is_refused() -> None:
    with pytest.raises(NotSigned, match="Sign the visit"):
        visit_summary(whole(signed=False), t.IDA, writer=t.WRITER, now=t.NOW)


def test_what_three_weights_share_is_told_once_and_nothing_of_any_of_them_is_left_out() -> None:
    some = [
        t.entry(WeightReading, t.IDA, named=f"again{n}", weight=t.grams(2500 + n), taken=t.local(3, 11), source="seen",
                scale_name="The brass balance", **({"state": "dry_diaper"} if n == 2 else {}))
        for n in (1, 2, 3)
    ]  # fmt: skip
    chart = t.whole(*some, signed=True)
    for other in ("w1", "w2"):
        chart = t.changed(chart, other, scale_name="The brass balance")
    outline = visit_summary(chart, t.IDA, writer=t.WRITER, now=t.NOW)
    at = next(n for n, block in enumerate(outline.blocks) if block == Heading("Weight", inner=True))
    lines = outline.blocks[at + 1]
    assert isinstance(lines, Lines)
    told = ["".join(span.text for span in line) for line in lines.lines]
    assert words_of(outline).count("The brass balance") == 1
    assert told[0].startswith("The same in each:")
    assert [f"{2500 + n:,} g" in words for n, words in zip((1, 2, 3), told[-3:], strict=True)] == [True] * 3
    assert ["A dry diaper" in words for words in told[-3:]] == [False, True, False]
    assert all(line[0].strong for line in lines.lines)


def test_entries_that_say_the_same_keep_a_line_each_and_what_came_late_says_so() -> None:
    same: dict[str, Any] = {"weight": t.grams(2611), "taken": t.local(3, 11), "source": "seen"}
    some = [t.entry(WeightReading, t.IDA, named=f"again{n}", **same) for n in range(4)]
    late = replace(some[-1], entered=t.local(3, 20).at)
    chart = t.whole(*some[:-1], late, signed=True)
    chart = replace(chart, entries=tuple(one for one in chart.entries if one.id not in ("w1", "w2")))
    outline = visit_summary(chart, t.IDA, writer=t.WRITER, now=t.NOW)
    assert words_of(outline).count("Weight: 2,611 g") == len(some)
    assert words_of(outline).count("Written down after signing.") == 1


def test_a_summary_has_no_jot_nothing_struck_out_and_an_addendum_under_its_note() -> None:
    added = replace(
        t.entry(Addendum, named="a", note=t.IDA, kind="addendum", words="She fed well at night.", why="Told by phone."),
        entered=t.NOW + timedelta(hours=2),
    )
    chart = whole(t.entry(Jot, named="j", words="marked jot"), added)
    struck = next(e for e in chart.entries if e.id == "w2")
    chart = chart.with_entry(replace(struck, struck=Struck(t.WRITER, t.NOW, "wrong baby")))
    said = words_of(visit_summary(chart, t.IDA, writer=t.WRITER, now=t.NOW))
    assert "marked jot" not in said
    assert "2,680 g" not in said
    assert "Struck out in the record and left out here: 1." in said
    assert said.index("Vitamin D drops") < said.index("She fed well at night.") < said.index("Mara and Ida")


def closing(*more: object) -> Chart:
    return whole(
        t.entry(Closing, named="c", visit=None, reason="goal_met", goal_words="It no longer hurts.", goal_reached=9,
                covers=(t.IDA, t.JUNO, t.MARA), given_family=("numbers",), closed_at=t.local(3, 12)),
        t.entry(StateAtEnd, t.IDA, named="s1", visit=None, closing="c", recall=("at_breast",), weight=t.grams(2680)),
        t.entry(StateAtEnd, t.JUNO, named="s2", visit=None, closing="c", recall=("formula",), weight=t.grams(2611)),
        t.entry(Loop, named="l", visit=None, closing="c", of=t.LETTER, owner="provider", owner_name="Dr Quince", told=True),
        *more,
    )  # fmt: skip


def test_the_closing_letter_says_why_how_each_baby_is_and_who_owns_what_is_open() -> None:
    said = words_of(closing_letter(closing(), writer=t.WRITER, now=t.NOW))
    for words in ("The goal is met.", "It no longer hurts.", "9 of 10", "2,680 g", "2,611 g", "A provider: Dr Quince",
                  "Letter about Ida to Dr Sorrel Quince", "Nobody yet"):  # fmt: skip
        assert words in said


def test_a_closing_letter_to_one_babys_provider_speaks_of_that_baby_alone_and_needs_a_release() -> None:
    said = words_of(closing_letter(closing(), writer=t.WRITER, now=t.NOW, person=t.IDA))
    assert "2,680 g" in said
    assert "2,611 g" not in said
    with pytest.raises(NoReportRelease):
        closing_letter(
            t.changed(closing(), "reports", withdrawn_at=t.local(3, 11)), writer=t.WRITER, now=t.NOW, person=t.IDA
        )


def test_no_closing_letter_is_made_while_care_goes_on() -> None:
    with pytest.raises(NotClosing):
        closing_letter(whole(), writer=t.WRITER, now=t.NOW)
