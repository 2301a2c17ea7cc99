"""Every paper the demo can leave, on Letter and on A4: its pages, its letters, its marks, and what stands on none."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from forms.ask import Paper
from forms.papers.scope import SCOPE
from forms.people import InfantIdentity, ParentIdentity
from forms.phrases.languages import CATALOGUES
from tests.helpers.every_paper import OTHERS, PLANTED, EveryPaper, ReadPaper, every_paper

MOST_PAGES: dict[Paper | None, int] = {
    Paper.FAMILY_PLAN: 2, Paper.CALL_NOW: 2, Paper.RECEIPT: 1, Paper.CLOSING: 1, Paper.SUMMARY: 4, Paper.REPORT: 2,
    Paper.PACKAGE: 2, Paper.FIGURES: 3, None: 8,
}  # fmt: skip
"""Pages of each paper at most: trade lines D1 and D2. A report is one page and its optional detail; of what is no paper
of a visit the number is a house bound, so that it cannot swell unseen."""
ISBAR = ("I – Identification", "S – Situation", "B – Background", "A – Assessment", "R – Recommendation")
NEAREST = 18.0
"""Points that words keep from the edge of the sheet, a quarter inch: house rule, for printers that reach no further."""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> EveryPaper:
    return every_paper(tmp_path_factory.mktemp("papers"))


def of(made: EveryPaper, *kinds: Paper | None) -> Iterator[ReadPaper]:
    found = [one for one in made.papers if one.kind in kinds]
    assert found
    yield from found


def test_every_kind_is_there_in_both_sizes_and_every_signed_family_has_plan_report_and_summary(
    made: EveryPaper,
) -> None:
    every = {
        Paper.FAMILY_PLAN, Paper.REPORT, Paper.REFERRAL, Paper.SUMMARY, Paper.CLOSING, Paper.RECEIPT, Paper.CALL_NOW,
        Paper.PACKAGE, Paper.FIGURES, None,
    }  # fmt: skip
    for size, sheet in (("letter", (612.0, 792.0)), ("a4", (595.28, 841.89))):
        here = [one for one in made.papers if one.size == size]
        assert {one.kind for one in here} == every
        assert {tuple(round(edge, 1) for edge in one.paper) for one in here} == {tuple(round(e, 1) for e in sheet)}
    assert sum(one.large for one in made.papers) == 4
    assert {one.language for one in of(made, Paper.FAMILY_PLAN)} == {"en", "es"}
    of_families = [one for one in made.papers if one.name not in OTHERS]
    kinds = {(family(one), one.kind) for one in of_families}
    signed = {family(one) for one in of_families if one.sealed}
    assert len(signed) == len(made.charts) - 1
    assert kinds >= {(name, kind) for name in signed for kind in (Paper.FAMILY_PLAN, Paper.REPORT, Paper.SUMMARY)}


def family(one: ReadPaper) -> str:
    """The name a file begins with."""
    return next(one.name[: one.name.index(f"-{word}")] for word in WORDS if f"-{word}" in one.name)


WORDS = ("plan", "report", "referral", "summary", "closing", "receipt", "call-now")


def test_no_paper_has_more_pages_than_its_reader_reads(made: EveryPaper) -> None:
    for one in of(made, *MOST_PAGES):
        assert len(one.pages) <= MOST_PAGES[one.kind], (one.name, one.size)


def test_a_report_says_all_that_is_needed_on_its_first_page_and_names_what_went_to_the_second(
    made: EveryPaper,
) -> None:
    for one in of(made, Paper.REPORT):
        first = one.pages[0]
        at = [first.index(part) for part in ISBAR]
        assert at == sorted(at), one.name
        for needed in ("Must be known", "Asked of you", "Follow-up", "Would change it"):
            assert needed in first, (one.name, one.size, needed)
        if len(one.pages) == 2:
            assert "Optional detail on the next page:" in first
            assert one.pages[1].startswith("Optional detail"), (one.name, one.size)


def test_how_urgent_it_is_stands_first_on_every_report(made: EveryPaper) -> None:
    for one in of(made, Paper.REPORT):
        head = one.pages[0][: one.pages[0].index(ISBAR[0])]
        assert ("Urgent: emergency, act now" if "finch" in one.name else "Not urgent.") in head, one.name


def test_the_letter_of_a_referral_is_its_first_page_and_what_is_sent_with_it_follows(made: EveryPaper) -> None:
    for one in of(made, Paper.REFERRAL):
        first = one.pages[0]
        for needed in ("Referral:", "Answer hoped for by", "1 Who", "15 What is asked", "Sent with it:"):
            assert needed in first, (one.name, one.size, needed)
        assert first.index("?") < first.index("1 Who")


def test_no_word_is_cut_at_the_edge_of_its_sheet(made: EveryPaper) -> None:
    for one in made.papers:
        wide, tall = one.paper
        assert len(one.boxes) > 100
        for left, top, right, low in one.boxes:
            inside = min(left, top, wide - right, tall - low)
            assert inside >= NEAREST, (one.name, one.size, left, top, right, low)


def test_every_font_is_embedded(made: EveryPaper) -> None:
    for one in made.papers:
        assert one.fonts, one.name
        for font in one.fonts:
            assert font.split()[-5] == "yes", f"{one.name} on {one.size}: {font}"


def test_every_paper_is_tagged_and_tells_its_title_and_language(made: EveryPaper) -> None:
    for one in made.papers:
        assert one.tagged, one.name
        assert one.title, one.name
        assert one.title.split(":")[0].split()[0] in one.pages[0], one.name
        assert one.language == ("es" if one.name.endswith("-es") else "en"), one.name


def test_the_scope_line_stands_on_every_paper(made: EveryPaper) -> None:
    for one in made.papers:
        if one.kind is Paper.FAMILY_PLAN:
            line = CATALOGUES[one.language].sentences["plan.scope"].text
        elif one.kind is None:
            line = "This sheet is about feeding. It asks for no diagnosis, gives no advice"
        else:
            line = SCOPE[one.kind].text
        assert line in one.words.replace("- ", "-"), (one.name, one.size)


def test_nothing_private_and_no_jot_stands_on_any_paper_or_in_what_it_carries(made: EveryPaper) -> None:
    assert set(PLANTED.values()) < set(made.private)
    assert len(made.private) > len(PLANTED) + 2
    for one in made.papers:
        for secret in made.private:
            assert secret not in one.words, (one.name, one.size)
            assert secret.encode() not in one.everything, (one.name, one.size)


def test_what_is_looked_for_would_be_found(made: EveryPaper) -> None:
    plans = [one for one in made.papers if one.name == "lindqvist-osei-plan"]
    assert len(plans) == 2
    for plan in plans:
        assert "I want to nurse him without dreading it." in plan.words
    summary = next(one for one in made.papers if one.name == "lindqvist-osei-summary-bram" and one.sealed)
    assert b"I want to nurse him without dreading it." in summary.everything


def test_what_was_given_before_the_note_was_finished_says_so(made: EveryPaper) -> None:
    early = [one for one in made.papers if "finch" in one.name]
    assert {one.kind for one in early} == {Paper.CALL_NOW, Paper.REPORT}
    for one in made.papers:
        says = "before the note was" in one.pages[0]
        assert says == (one in early), one.name


def test_the_index_of_a_package_names_what_lies_in_it_and_nothing_of_it_stands_under_a_name_with_a_folder(
    made: EveryPaper,
) -> None:
    for one in of(made, Paper.PACKAGE):
        for needed in (
            "Asked for by",
            "Signe Lindqvist-Osei",
            "01-summary-2026-03-02.pdf",
            "What was left out, and why",
        ):
            assert needed in one.words, (one.size, needed)
        assert "papers/" not in one.words
    sealed = next(one for one in of(made, Paper.PACKAGE) if one.sealed)
    assert sealed.everything.count(b"%PDF-") >= 3  # his summary, report and letter lie inside


def test_the_figures_for_outside_name_no_family_and_nobody_in_one(made: EveryPaper) -> None:
    named = {str(e.answers.called_name) for chart in made.charts for e in chart.all(InfantIdentity)}
    named |= {str(e.answers.full_name) for chart in made.charts for e in chart.all(ParentIdentity)}
    assert len(named) > 15
    for one in of(made, Paper.FIGURES, None):
        assert not any(re.search(rf"\b{re.escape(name)}\b", one.words) for name in named), one.name
