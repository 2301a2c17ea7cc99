"""Letters and answers in the real window: from the caseload to a letter that the family knows the answer of."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from desktop.controls.buttons import Act
from desktop.controls.words import Words
from desktop.pages.caseload import CaseloadPage
from desktop.pages.family import FamilyPage
from desktop.pages.letters import LettersPage
from desktop.pages.letters_family import FamilyLettersPage
from desktop.sheets.letter_answer import ANSWER, WRITTEN
from desktop.sheets.sheet import Placed
from forms.answers import Moment
from forms.ask import Path as Field
from forms.ask import asks
from forms.chart import Chart, Place
from forms.consent import Release
from forms.letter_answer import LetterAnswer
from forms.referral import Referral
from storage.changes import Begin, Change, Put
from storage.troubles import DamagedDatabase
from tests.helpers.program import Program, read
from tests.sync.test_answer_in import pdf


def family_id(program: Program) -> str:
    return read(program, lambda store: store.search("lindqvist"))[0].id


def stored(program: Program) -> Chart:
    family = family_id(program)
    return read(program, lambda store: store.chart(family))


def letter(program: Program) -> Referral:
    return stored(program).all(Referral)[0].answers


def every_letter(program: Program) -> LettersPage:
    page = program.page
    assert isinstance(page, CaseloadPage)
    next(key for key in page.findChildren(Act) if key.text() == "Letters").click()
    found = program.to("letters")
    assert isinstance(found, LettersPage)
    program.idle()
    program.idle()
    return found


def letters_page(program: Program) -> FamilyLettersPage:
    program.desk.letters(family_id(program))
    page = program.to("letters_family")
    assert isinstance(page, FamilyLettersPage)
    return page


def step(program: Program, page: FamilyLettersPage, state: str, words: str = "") -> None:
    (card,) = page.cards.values()
    card.moves[state].click()
    if words:
        assert card.asked is not None
        card.asked.box.setText(words)
        card.asked.key.click()
    program.idle()
    program.idle()


def words_of(page: object) -> str:
    return " | ".join(each.said() for each in page.findChildren(Words) if each.isVisible())  # type: ignore[attr-defined]


def answered(program: Program, page: FamilyLettersPage) -> str:
    """An answer written down, whole."""
    (card,) = page.cards.values()
    card.answer_key.click()
    program.idle()
    program.idle()
    answer = next(which for which, shown in page.answers.items() if shown.page is not None)
    binding = page.home.binding(LetterAnswer, entity=answer)
    binding.put("outcome", "treats")
    binding.put("words", "Seen; the tongue moves freely now.")
    page.home.save()
    program.idle()
    program.idle()
    return answer


def test_the_caseload_leads_to_every_open_letter_and_it_is_late_on_the_day_after(program: Program) -> None:
    for day, heading in ((15, "Waiting for an answer"), (16, "Due today"), (17, "Overdue")):
        program.time.at = datetime(2026, 3, day, 14, tzinfo=UTC)
        program.desk.caseload()
        program.to("caseload")
        page = every_letter(program)
        assert heading in words_of(page)
        assert [one.name for one in page.found] == ["Lindqvist-Osei"]
    page.rows[0].key.click()
    assert isinstance(program.to("letters_family"), FamilyLettersPage)


def test_each_question_of_an_answer_is_asked_once_or_written_by_the_page() -> None:
    asked = Placed.by(ANSWER).fields
    assert {name for _, name in asked} | {name for _, name in WRITTEN} == set(asks(LetterAnswer))
    assert not {name for _, name in asked} & {name for _, name in WRITTEN}


def test_a_letter_is_walked_from_drafted_to_closed_with_its_answer_kept(program: Program, tmp_path: Path) -> None:
    page = letters_page(program)
    step(program, page, "sent", "By the clinic’s secure mail")
    assert (letter(program).state, letter(program).sent_how) == ("sent", "By the clinic’s secure mail")
    assert isinstance(letter(program).sent_at, Moment)
    step(program, page, "received")
    step(program, page, "booked")
    step(program, page, "seen")
    step(program, page, "answered")
    (card,) = page.cards.values()
    assert card.refused.said() == "Write the answer down first."
    answer = answered(program, page)
    place = tmp_path / "answer.pdf"
    place.write_bytes(pdf())
    page.answers[answer].read(place)
    for _ in range(4):
        program.idle()
    kept = stored(program).all(LetterAnswer)[0].answers
    assert (kept.media, kept.called, kept.from_whom) == ("pdf", "answer.pdf", "Dr Tamsin Okell")
    step(program, page, "answered")
    step(program, page, "told_family", "Both parents, by phone")
    told = stored(program).all(LetterAnswer)[0].answers
    assert (told.told_whom, isinstance(told.told_at, Moment)) == ("Both parents, by phone", True)
    step(program, page, "closed")
    assert letter(program).state == "closed"
    assert "No letter is open." in words_of(page)
    page.answers[answer].show_file.click()
    program.idle()
    program.idle()
    assert page.answers[answer].file is not None


@pytest.mark.parametrize("state", ["lapsed", "family_chose_not"])
def test_an_ending_waits_for_its_reason(program: Program, state: str) -> None:
    page = letters_page(program)
    (card,) = page.cards.values()
    card.moves[state].click()
    assert card.asked is not None
    card.asked.key.click()
    assert not card.asked.missing.isHidden()
    program.idle()
    assert letter(program).state == "drafted"
    step(program, page, state, "They want to wait a month")
    assert (letter(program).state, letter(program).state_why) == (state, "They want to wait a month")


@pytest.mark.parametrize("ending", ["lapsed", "declined", "family_chose_not"])
def test_an_answer_that_comes_after_its_letter_was_closed_is_written_down_and_told(
    program: Program, ending: str
) -> None:
    page = letters_page(program)
    step(program, page, "sent", "By the clinic’s secure mail")
    step(program, page, ending, "No answer to three calls")
    step(program, page, "closed")
    assert (letter(program).state, stored(program).all(LetterAnswer)) == ("closed", ())
    answered(program, page)
    step(program, page, "answered")
    step(program, page, "told_family", "Both parents, by phone")
    assert letter(program).state == "told_family"
    (kept,) = stored(program).all(LetterAnswer)
    assert (kept.answers.outcome, kept.answers.told_whom) == ("treats", "Both parents, by phone")


def test_a_step_can_be_taken_back(program: Program) -> None:
    page = letters_page(program)
    step(program, page, "lapsed", "No answer to three calls")
    page.undo.click()
    program.idle()
    program.idle()
    assert letter(program).state == "drafted"
    assert page.undo.isHidden()


def test_a_withdrawn_release_keeps_the_letter_here_and_says_so(program: Program) -> None:
    chart, author = stored(program), program.desk.session.author
    row = next(e for e in chart.all(Release) if e.answers.recipient == chart.all(Referral)[0].answers.to)
    gone = Put(row.id, Field("withdrawn_at"), Moment(program.time.at, "America/New_York"))
    read(program, lambda store: store.write((gone,), author=author))
    page = letters_page(program)
    step(program, page, "sent")
    assert "was withdrawn" in next(iter(page.cards.values())).refused.said()
    assert letter(program).state == "drafted"


def test_two_states_written_apart_are_both_told_and_one_is_chosen(program: Program) -> None:
    held, author = stored(program).all(Referral)[0], program.desk.session.author
    for state in ("booked", "declined"):
        other = Put(held.id, Field("state"), state, held.heads["state"])
        read(program, lambda store, other=other: store.write((other,), author=author))  # type: ignore[misc]
    page = letters_page(program)
    assert "Two devices say where it stands, and differ" in words_of(page)
    step(program, page, "booked")
    assert letter(program).state == "booked"


def test_two_answers_that_differ_are_both_shown_before_the_family_is_told(program: Program) -> None:
    page = letters_page(program)
    answered(program, page)
    held = stored(program).all(Referral)[0]
    other, author = "9" * 32, program.desk.session.author
    given = {"letter": held.id, "outcome": "declined", "words": "We have no places.", "from_whom": "Front desk"}
    changes: tuple[Change, ...] = (
        Begin(other, Place("letter_answer", family_id(program), None, held.place.subjects)),
        *(Put(other, Field(name), value) for name, value in given.items()),
    )
    read(program, lambda store: store.write(changes, author=author))
    page = letters_page(program)
    assert "2 answers stand, and they differ" in words_of(page)
    assert "We have no places." in words_of(page)
    assert "the tongue moves freely" in words_of(page)


def test_a_family_without_letters_and_a_practice_without_open_ones_say_so(program: Program) -> None:
    program.desk.letters(read(program, lambda store: store.search("finch"))[0].id)
    assert "No letter was begun for this family." in words_of(program.to("letters_family"))
    page = letters_page(program)
    step(program, page, "family_chose_not", "They feed without pain now")
    program.desk.caseload()
    program.to("caseload")
    assert "No letter is open" in words_of(every_letter(program))


def test_a_store_that_cannot_be_read_is_told_with_a_key_to_read_again(program: Program) -> None:
    page = every_letter(program)
    page._failed(DamagedDatabase())
    program.idle()
    assert DamagedDatabase().sentence in words_of(page)
    next(key for key in page.findChildren(Act) if key.text() == "Read again").click()
    program.idle()
    program.idle()
    assert len(page.rows) == 1


def test_a_full_disk_leaves_the_letter_as_it_stood_and_the_words_typed(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    from storage.store import Store
    from storage.troubles import DiskFull

    page = letters_page(program)

    def full(*_given: object, **_more: object) -> None:
        raise DiskFull

    with monkeypatch.context() as during:
        during.setattr(Store, "write", full)
        step(program, page, "lapsed", "No answer to three calls")
    (card,) = page.cards.values()
    assert DiskFull().sentence in words_of(page)
    assert card.asked is not None
    assert card.asked.box.text() == "No answer to three calls"
    card.asked.key.click()
    program.idle()
    program.idle()
    assert letter(program).state == "lapsed"


def test_a_familys_page_says_how_its_letters_stand_and_leads_to_them(program: Program) -> None:
    program.time.at = datetime(2026, 3, 18, 9, tzinfo=UTC)
    program.desk.family(family_id(program))
    page = program.to("family")
    assert isinstance(page, FamilyPage)
    assert page.letters.line.said() == "1 letter is open, 1 overdue."
    page.letters.key.click()
    assert program.to("letters_family") is not page


def test_an_answer_is_struck_out_with_a_reason_and_answers_nothing_then(program: Program) -> None:
    page = letters_page(program)
    answer = answered(program, page)
    page.home.strike(answer, "It was about another baby")
    program.idle()
    program.idle()
    held = stored(program).by_id(answer)
    assert held is not None
    assert held.struck is not None
    step(program, page, "sent", "By hand")
    step(program, page, "answered")
    assert next(iter(page.cards.values())).refused.said() == "Write the answer down first."
