"""A sheet that a family filled in, in the real window: told for what it is, asked whom it is about, taken one by one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QAbstractButton

from desktop.controls.buttons import Act
from desktop.pages.family import FamilyPage
from desktop.pages.received import ReceivedPage
from desktop.pages.received_rows import PersonOffered
from forms.answers import Quantity
from forms.form import Form
from forms.infant_history import InfantHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.received import ReceivedFact, ReceivedFile
from sync.handoff.reading.troubles import NoRecordInside, TangledForm
from tests.desktop.test_received import answers_of, chart_of, family_of, press, row_of, settle, words
from tests.helpers.filled_sheet import blank, filled_by_pypdf, some_sheet
from tests.helpers.program import Program, child, read
from tests.sync.reading.test_sheet_bounds import changed, in_a_circle


@pytest.fixture
def page(program: Program) -> ReceivedPage:
    program.desk.received(family_of(program))
    page = program.to("received")
    assert isinstance(page, ReceivedPage)
    return page


@pytest.fixture
def opened(program: Program, page: ReceivedPage, tmp_path: Path) -> Callable[[bytes], None]:
    """Chooses a sheet of these bytes by the key that asks for a file."""

    def open_(data: bytes) -> None:
        place = tmp_path / "before-the-visit.pdf"
        place.write_bytes(data)
        page._pick = lambda *_asked, **_more: place
        page.choose.click()
        settle(program)

    return open_


def part(page: ReceivedPage, form: type[Form]) -> PersonOffered:
    (shown,) = (one for one in page.people if one.person.form is form)
    return shown


def ida_of(page: ReceivedPage) -> PersonOffered:
    """The sheet's baby, said to be Ida."""
    shown = part(page, InfantIdentity)
    shown.choose(next(e.id for e in page.home.chart.all(InfantIdentity) if e.answers.called_name == "Ida"))
    QCoreApplication.processEvents()  # a layout shows what was just put into it
    return shown


def choices(shown: PersonOffered) -> set[str]:
    return {key.text() for key in shown.strip.findChildren(QAbstractButton) if key.isVisible()}


def test_the_page_says_that_it_is_the_family_s_sheet_and_that_nothing_seals_it(
    page: ReceivedPage, opened: Callable[[bytes], None]
) -> None:
    assert "Choose a letter or a filled sheet" in words(page)
    opened(some_sheet())
    said = words(page)
    assert "By its questions this is the family’s sheet for before the visit. It is not sealed" in said
    assert "From the family, on the sheet received " in said
    assert "It is no question of this sheet." in said


def test_each_part_is_asked_of_parents_or_of_babies_alone_and_shows_nothing_before(
    page: ReceivedPage, opened: Callable[[bytes], None]
) -> None:
    opened(some_sheet())
    parent, baby = part(page, ParentIdentity), part(page, InfantIdentity)
    assert (parent.rows, baby.rows) == ({}, {})
    names = {
        form: {page.home.names(e.id) for e in page.home.chart.all(form)} for form in (ParentIdentity, InfantIdentity)
    }
    assert choices(parent) == names[ParentIdentity] | {"Nobody of this family"}
    assert choices(baby) == names[InfantIdentity] | {"Nobody of this family"}


def test_answers_go_into_their_questions_one_by_one_with_the_sheet_kept_and_back_out_again(
    program: Program, page: ReceivedPage, opened: Callable[[bytes], None]
) -> None:
    before = answers_of(chart_of(program))
    sheet = some_sheet()
    opened(sheet)
    shown = ida_of(page)
    fed, times = row_of(shown, "Fed now"), row_of(shown, "Formula, times")
    assert times.state.said() == "The question it answers is not asked as its others stand here."
    press(program, fed.take)
    press(program, times.take)
    press(program, row_of(shown, "Birth weight").take)
    chart = chart_of(program)
    (history,) = (e.answers for e in chart.all(InfantHistory, shown.who) if e.answers.formula_times == 3)
    assert history.fed_now == ("at_breast", "formula")
    assert chart.person(InfantIdentity, shown.who).birth_weight == Quantity("5 lb 3 oz", "lb_oz", 2353)
    assert chart.all(ReceivedFact) == ()
    (kept,) = (e.answers for e in chart.all(ReceivedFile))
    assert (kept.standing, kept.media) == ("sheet", "pdf")
    assert read(program, lambda store: store.attachment(str(kept.file))) == sheet
    for _ in range(3):
        press(program, page.undo)
    assert answers_of(chart_of(program)) == before


def test_a_sheet_saved_here_filled_in_elsewhere_and_opened_again_fills_the_questions_it_asks(
    program: Program, tmp_path: Path
) -> None:
    program.desk.family(family_of(program))
    family, saved_at = program.to("family"), tmp_path / "sheet.pdf"
    assert isinstance(family, FamilyPage)
    family.intake.pick = lambda *_asked: saved_at
    press(program, family.intake.keys["a4"])
    told = {"parent.born_day": date(1994, 2, 28), "infant.birth_place": "At home", "infant_history.stools_24h": 4}
    program.desk.received(family_of(program))
    page = program.to("received")
    assert isinstance(page, ReceivedPage)
    saved_at.write_bytes(filled_by_pypdf(told, saved_at.read_bytes()))
    page.read(saved_at)
    settle(program)
    parent = part(page, ParentIdentity)
    parent.choose(page.home.parents()[0])
    shown = ida_of(page)
    for person in (parent, shown):
        for offer in person.offers:
            press(program, person.rows[offer.id].take)
    chart = chart_of(program)
    assert chart.person(ParentIdentity, parent.who).born_day == date(1994, 2, 28)
    assert chart.person(InfantIdentity, shown.who).birth_place == "At home"
    assert 4 in [e.answers.stools_24h for e in chart.all(InfantHistory, shown.who)]


def test_what_cannot_be_read_says_why_and_is_kept_in_words_alone(
    program: Program, page: ReceivedPage, opened: Callable[[bytes], None]
) -> None:
    opened(some_sheet())
    shown = ida_of(page)
    amount = row_of(shown, "Formula, each time: 45")
    assert amount.state.said().startswith("It is no answer as it stands. Say which unit this is in")
    press(program, amount.take)
    (fact,) = chart_of(program).all(ReceivedFact, shown.who)
    assert fact.answers.value == "45"
    assert str(fact.answers.from_whom).startswith("the family, on the sheet received ")


def test_a_kept_sheet_opened_again_later_says_the_day_on_which_it_came(
    program: Program, page: ReceivedPage, opened: Callable[[bytes], None]
) -> None:
    opened(some_sheet())
    press(program, page.keep)
    said = page.came.found.author if page.came is not None else ""
    press(program, page.away)
    program.time.at += timedelta(days=1)
    press(program, next(k for k in page.side.findChildren(QAbstractButton) if k.text() == "before-the-visit.pdf"))
    assert page.came is not None
    assert page.came.found.author == said


def test_an_empty_sheet_and_a_tangled_one_and_a_plain_pdf_are_each_told_in_a_sentence(
    page: ReceivedPage, opened: Callable[[bytes], None]
) -> None:
    opened(blank())
    assert "No field of this sheet is filled in." in words(page)
    opened(changed(in_a_circle))
    assert page.trouble.said() == f"{TangledForm().sentence} Nothing was changed."
    opened(b"%PDF-1.7\n" + blank()[-9:])
    assert page.trouble.isVisible()
    assert NoRecordInside().sentence not in page.trouble.said()


def test_the_family_s_page_names_sheets_on_the_key_that_opens_them(program: Program) -> None:
    program.desk.family(family_of(program))
    assert child(program.to("family"), Act, "Open a letter or a filled sheet").isVisible()
