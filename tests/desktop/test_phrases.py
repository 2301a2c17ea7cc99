"""A phrase is kept on the practice's page, put into an answer at a visit, and a blank left in it holds the note back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from demo_db.build import PASSPHRASE as DEMO
from desktop.controls.note import Note
from desktop.pages.practice import PracticePage
from desktop.pages.signing import standing_in_the_way
from desktop.pages.visit import VisitPage
from desktop.sheets.phrases import Fits, text_questions
from forms.ask import Kind, ask_of
from forms.form import catalog
from forms.phrase import Phrase, question_key
from forms.phrases.found_again import offered_for
from forms.plan import Plan
from tests.desktop.gallery_words import with_phrases
from tests.helpers import kit_walk
from tests.helpers.kit_keys import K, press
from tests.helpers.program import Program, read
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import control, kept, settled

Opened = Callable[[], VisitPage]


def test_a_phrase_is_written_on_the_practices_page_with_the_questions_it_fits(
    start: Callable[..., Program], demo: Path
) -> None:
    program = start(demo)
    program.unlock(DEMO)
    program.to("caseload")
    program.desk.practice()
    page = program.to("practice")
    assert isinstance(page, PracticePage)
    page.go("phrases")
    assert page._page is not None
    before = {entry.id for entry in page.home.chart.all(Phrase)}
    page._page.show_entry("phrase", None)
    kit_walk.settle()
    words = page._page.question("phrase", "words")
    assert words is not None
    note = words.controls()[0]
    assert isinstance(note, Note)
    note.box.setFocus()
    press("Warm for [?] minutes", K.Key_Tab)
    assert note.left.isHidden(), "a phrase being written holds its blanks for good"
    shown = [each for each in page.findChildren(Fits) if each.isVisible()][-1]
    shown.finder.box.setFocus()
    press("comfort care skin", K.Key_Return)
    page.leave()
    program.idle()
    made = [entry.answers for entry in read(program, lambda store: store.practice_entries()) if entry.id not in before]
    (phrase,) = [answers for answers in made if isinstance(answers, Phrase)]
    assert phrase.words == "Warm for [?] minutes"
    assert phrase.fits == (question_key(Plan, "comfort_care"),)


def test_phrases_may_fit_every_question_for_words_of_a_visit_and_no_other() -> None:
    keys = [found.key for found in text_questions()]
    assert len(keys) == len(set(keys))
    assert question_key(Plan, "comfort_care") in keys
    for key in keys:
        form, _, field = key.partition(".")
        assert ask_of(catalog()[form], field).kind is Kind.TEXT


def test_at_a_visit_only_what_fits_is_offered_and_a_blank_left_over_holds_the_note_back(
    twins: TwinVisit, opened: Opened
) -> None:
    with_phrases(twins)
    page = opened()
    page.go("plan", twins.mara, "plan.care")
    comfort, expressing = control(page, "plan", "comfort_care"), control(page, "plan", "expressing")
    assert isinstance(comfort, Note)
    assert isinstance(expressing, Note)
    offered, ready = [label for label, _ in comfort._phrases()], offered_for("plan.comfort_care")
    assert offered == ["Cool after feeds", "Hand expression shown", "Paced bottle", *ready]
    offered, ready = [label for label, _ in expressing._phrases()], offered_for("plan.expressing")
    assert offered == ["Hand expression shown", "Paced bottle", *ready]
    assert ready
    comfort.opener.setFocus()
    press(K.Key_Space, "cool", K.Key_Return)
    press("ten minutes", K.Key_Tab)
    page.middle.commit()
    kept(twins, page)
    plan = twins.store.chart(twins.family, twins.visit).one(Plan)
    assert plan.comfort_care == "Cool for ten minutes after feeds, on the [? side] side, with a cloth between."
    assert "1 answer still holds a blank to fill." in [sentence for sentence, _, _ in standing_in_the_way(page.home)]
    press("left", K.Key_Tab)
    kept(twins, page)
    settled(twins)
    assert not [sentence for sentence, _, _ in standing_in_the_way(page.home) if "blank to fill" in sentence]


def test_without_a_pick_no_phrase_is_in_any_answer(twins: TwinVisit, opened: Opened) -> None:
    with_phrases(twins)
    page = opened()
    page.go("plan", twins.mara, "plan.care")
    kept(twins, page)
    assert twins.store.chart(twins.family, twins.visit).one(Plan) == Plan()
