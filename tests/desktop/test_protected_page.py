"""Before a paper leaves she is asked how and what for and shown what leaves; a password is shown once, to be told."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from pytestqt.qtbot import QtBot

from desktop.controls.buttons import Act, Link
from desktop.controls.words import Words
from desktop.pages.paper_asked import LeavingAsked
from desktop.pages.paper_leaves import STAYED
from desktop.pages.paper_password import PasswordShown
from desktop.pages.papers import Papers
from forms.answers import Moment
from forms.ask import Paper
from forms.ask import Path as Register
from forms.consent import Release
from forms.plan import Plan
from forms.referral import PURPOSES_OF_LEAVING, PaperIssued
from storage.changes import Put
from storage.troubles import DiskFull
from sync.handoff.leave import LEFT
from sync.handoff.password import BETWEEN, WORDS
from sync.handoff.seals import make_seals
from sync.handoff.untold import untold_password
from sync.handoff.verify import NeedsPassword, verify
from tests.desktop.test_leaving import letter, papers_of, release
from tests.helpers.asked import let_leave
from tests.helpers.chains import Writer
from tests.helpers.kept import found
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled, visit_page_of

Ready = Callable[..., Papers]


@pytest.fixture
def ready(made: TwinVisit, qtbot: QtBot, tmp_path: Path) -> Ready:
    """The papers of the visit, with one in view and a place for what is saved."""

    def shown(key: str = "", place: str = "letter.pdf") -> Papers:
        page = visit_page_of(made)
        qtbot.addWidget(page)
        page.resize(1280, 800)
        page.show()
        settled(made)
        papers = papers_of(made, page, qtbot, key)
        papers._pick = lambda *_asked: tmp_path / place
        return papers

    return shown


def a_letter(made: TwinVisit, *, signed: bool = True) -> str:
    """A letter under its release, of a signed visit."""
    written = letter(made)
    release(made)
    if signed:
        make_seals(made.store, made.author, practice="Tallow Lane Feeding Visits", name="Rowan Vale", now=made.clock())
        made.store.sign(made.visit, author=made.author)
    return written


def issued(made: TwinVisit) -> list[PaperIssued]:
    chart = made.store.chart(made.family, made.visit)
    return [entry.answers for entry in chart.all(PaperIssued, visit=made.visit)]


def asked_of(made: TwinVisit, papers: Papers) -> LeavingAsked:
    settled(made)
    assert papers.asked is not None, papers.told.said()
    return papers.asked


def said_in(part: Any) -> str:
    return " ".join(words.said() for words in part.findChildren(Words))


def shown_password(papers: Papers) -> str:
    """The words on the screen, as one would read them out."""
    shown = found(papers, PasswordShown)
    large = [words.said() for words in shown.findChildren(Words) if words.said().removesuffix(BETWEEN) in WORDS]
    return "".join(large)


def test_nothing_leaves_before_she_said_what_for(made: TwinVisit, ready: Ready, tmp_path: Path) -> None:
    papers = ready()
    papers.save_key.click()
    asked = asked_of(made, papers)
    assert asked.purpose.codes() == ()
    assert asked.purpose.options() == tuple(PURPOSES_OF_LEAVING)
    asked.key.click()
    assert "Pick what it leaves for" in asked.told.said()
    asked.purpose.button("other").click()
    asked.key.click()
    assert "Say in a few words" in asked.told.said()
    settled(made)
    assert issued(made) == []
    assert not (tmp_path / "letter.pdf").exists()


def test_what_for_in_her_own_words_is_written_down_with_it(made: TwinVisit, ready: Ready) -> None:
    papers = ready()
    let_leave(made, papers, "plain", "other", "  For the insurer’s second   opinion ")
    (row,) = issued(made)
    assert (row.purpose, row.purpose_words) == ("other", "For the insurer’s second opinion")
    papers.refresh()
    assert "For the insurer’s second opinion" in said_in(papers._issued)


def test_words_typed_for_something_else_do_not_stay_behind_another_purpose(made: TwinVisit, ready: Ready) -> None:
    let_leave(made, ready(), "plain", "family", "typed and then not meant")
    (row,) = issued(made)
    assert (row.purpose, row.purpose_words) == ("family", None)


def test_what_leaves_is_shown_for_each_way(made: TwinVisit, ready: Ready) -> None:
    papers = ready(a_letter(made))
    papers.print_key.click()
    asked = asked_of(made, papers)
    assert asked.how == "printed"
    seen = {}
    for how in asked.ways.options():
        asked.ways.button(how).click()
        seen[how] = said_in(asked.preview)
        assert "with the seal of this practice" in seen[how]
        assert "For Dr Ottoline Marsh" in seen[how]
    assert "a print carries no record" in seen["printed"]
    assert "Inside: all that it tells as an open record" in seen["password"]
    assert "tells nothing of what is inside" in seen["password"]
    assert "one can still see who sealed it" in seen["password"]
    assert "Beside it: that record and its signature once more" in seen["plain"]


def test_a_paper_of_an_unsigned_visit_is_told_to_carry_no_seal(made: TwinVisit, ready: Ready) -> None:
    papers = ready()
    papers.save_key.click()
    told = said_in(asked_of(made, papers).preview)
    assert "without a seal, since the visit is not signed" in told
    assert "Inside" not in told


def test_a_locked_letter_opens_with_the_words_on_the_screen_and_with_nothing_else(
    made: TwinVisit, ready: Ready, tmp_path: Path
) -> None:
    papers = ready(a_letter(made))
    let_leave(made, papers, "password")
    password = shown_password(papers)
    assert len(password.split(BETWEEN)) == 5
    saved = (tmp_path / "letter.pdf").read_bytes()
    assert verify(saved, password).good
    with pytest.raises(NeedsPassword):
        verify(saved)
    with pikepdf.open(BytesIO(saved), password=password) as pdf:
        assert "record.fhir.json" in pdf.attachments
    assert not (tmp_path / "letter.fhir.json").exists()
    (row,) = issued(made)
    assert (row.paper, row.left_how, row.purpose) == ("referral", "password", "care")
    assert made.store.attachment(str(row.sha256)) == saved
    (line,) = (line for line in made.store.journal() if line.kind == LEFT)
    assert line.about["to"] == made.dentist
    assert (line.about["how"], line.about["purpose"], line.about["sha256"]) == ("password", "care", row.sha256)
    assert password not in repr((made.store.journal(), made.store.chart(made.family, made.visit)))
    assert "never by the way the file goes" in said_in(found(papers, PasswordShown))


def test_two_papers_never_leave_under_the_same_words(made: TwinVisit, ready: Ready) -> None:
    papers = ready()
    let_leave(made, papers, "password")
    first = shown_password(papers)
    let_leave(made, papers, "password")
    assert shown_password(papers) != first


def test_once_told_the_words_are_nowhere_on_the_screen_nor_in_the_store(made: TwinVisit, ready: Ready) -> None:
    papers = ready()
    let_leave(made, papers, "password")
    password = shown_password(papers)
    found(found(papers, PasswordShown), Act).click()
    settled(made)
    assert not papers.findChildren(PasswordShown)
    assert not any(word in said_in(papers).split() for word in password.split(BETWEEN) if len(word) > 4)
    assert not [link for link in papers._issued.findChildren(Link) if "password" in link.text()]


def test_kept_on_her_word_the_password_can_be_read_out_again(made: TwinVisit, ready: Ready) -> None:
    papers = ready()
    let_leave(made, papers, "password")
    password = shown_password(papers)
    found(papers, PasswordShown).keep.click()
    settled(made)
    found(found(papers, PasswordShown), Act).click()
    (again,) = (link for link in papers._issued.findChildren(Link) if link.text() == "Show its password")
    again.click()
    settled(made)
    assert shown_password(papers) == password
    papers.set_shared(on=True)
    settled(made)
    assert not papers.findChildren(PasswordShown)
    assert not papers._issued.findChildren(Link)


def test_the_words_stay_until_they_are_told_while_the_chart_changes(made: TwinVisit, ready: Ready) -> None:
    papers = ready()
    let_leave(made, papers, "password")
    password = shown_password(papers)
    papers.refresh()
    settled(made)
    papers.home.changed.emit()
    settled(made)
    assert shown_password(papers) == password
    if papers._way.findChildren(Act):
        found(papers._way, Act).click()
    assert shown_password(papers) == password


def test_a_file_that_could_not_be_saved_shows_no_password_and_the_journal_says_it_stayed(
    made: TwinVisit, ready: Ready
) -> None:
    papers = ready(place="no folder/letter.pdf")
    let_leave(made, papers, "password")
    assert "was not saved" in papers.told.said()
    assert not papers.findChildren(PasswordShown)
    assert issued(made) == []
    left, stayed = [line for line in made.store.journal() if not line.kind.startswith("secret")][-2:]
    assert (left.kind, stayed.kind) == (LEFT, STAYED)
    assert untold_password(made.store, left.about["entry"]) is None
    assert (left.about["entry"], left.about["sha256"]) == (stayed.about["entry"], stayed.about["sha256"])


def test_a_release_withdrawn_while_she_is_asked_holds_the_letter_back(made: TwinVisit, ready: Ready) -> None:
    papers = ready(a_letter(made, signed=False))
    papers.save_key.click()
    asked = asked_of(made, papers)
    asked.purpose.button("care").click()
    (held,) = made.store.chart(made.family, made.visit).all(Release)
    withdrawn = Put(held.id, Register("withdrawn_at"), Moment(made.clock(), "America/New_York"))
    made.store.write((withdrawn,), author=made.author)
    papers.home.reload()
    settled(made)
    papers.refresh()
    settled(made)
    assert papers.asked is None
    assert not papers.save_key.isEnabled()
    assert "no release to Dr Ottoline Marsh" in papers.told.said()
    assert issued(made) == []


def test_two_answers_that_stand_apart_hold_the_paper_back_while_she_is_asked(made: TwinVisit, ready: Ready) -> None:
    papers = ready()
    papers.save_key.click()
    asked_of(made, papers).purpose.button("family").click()
    papers.home.binding(Plan).put("goal", "I want to feed her without it hurting.")
    papers.home.save()
    settled(made)
    tablet = Writer("tablet")
    apart = tablet.put(papers.home.binding(Plan).entity, "goal", "Less pain.")
    made.store.exchange().receive((), (apart,))
    papers.home.reload()
    settled(made)
    papers.refresh()
    settled(made)
    assert papers.asked is None
    assert not papers.save_key.isEnabled()
    assert "finish list" in found(papers._way, Act).text()
    assert issued(made) == []


def test_it_does_not_leave_when_she_says_so(made: TwinVisit, ready: Ready, tmp_path: Path) -> None:
    papers = ready()
    papers.save_key.click()
    asked = asked_of(made, papers)
    next(link for link in asked.findChildren(Link) if link.text() == "It does not leave").click()
    settled(made)
    assert papers.asked is None
    assert issued(made) == []
    assert not (tmp_path / "letter.pdf").exists()


def test_a_place_not_picked_leaves_her_where_she_was(made: TwinVisit, ready: Ready) -> None:
    papers = ready()
    papers._pick = lambda *_asked: None
    let_leave(made, papers, "password", "payment")
    assert papers.asked is not None
    assert papers.asked.purpose.codes() == ("payment",)
    assert issued(made) == []


def test_a_call_now_page_that_no_disk_files_is_locked_all_the_same(
    made: TwinVisit, ready: Ready, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    papers = ready(Paper.CALL_NOW)

    def full(*_data: object) -> str:
        raise DiskFull

    monkeypatch.setattr(made.store, "attach", full)
    let_leave(made, papers, "password", "urgent")
    assert "The disk is full" in papers.told.said()
    saved = (tmp_path / "letter.pdf").read_bytes()
    assert verify(saved, shown_password(papers)).problems == ("This file carries no seal.",)
    with pytest.raises(NeedsPassword):
        verify(saved)
    assert not found(papers, PasswordShown).keep.isVisibleTo(papers)


def test_another_paper_in_view_takes_the_question_and_the_password_away(made: TwinVisit, ready: Ready) -> None:
    papers = ready()
    let_leave(made, papers, "password")
    papers._choose(str(Paper.CALL_NOW))
    settled(made)
    assert not papers.findChildren(PasswordShown)
    papers.save_key.click()
    settled(made)
    papers._choose(str(Paper.FAMILY_PLAN))
    assert papers.asked is None
    assert not papers.findChildren(LeavingAsked)


def test_a_password_put_out_of_view_before_it_was_told_waits_below_until_it_is(made: TwinVisit, ready: Ready) -> None:
    papers = ready()
    let_leave(made, papers, "password")
    password = shown_password(papers)
    papers._choose(str(Paper.CALL_NOW))
    settled(made)
    (link,) = (one for one in papers._issued.findChildren(Link) if "password" in one.text())
    assert link.text() == "Show its password, which is not told yet"
    link.click()
    settled(made)
    assert shown_password(papers) == password
    found(found(papers, PasswordShown), Act).click()
    settled(made)
    assert not [one for one in papers._issued.findChildren(Link) if "password" in one.text()]


def test_a_page_laid_anew_still_asks_and_then_still_shows_the_password(made: TwinVisit, ready: Ready) -> None:
    papers = ready()
    page = papers.window()
    papers.save_key.click()
    asked = asked_of(made, papers)
    asked.ways.button("plain").click()
    asked.purpose.button("other").click()
    asked.words.setText("half a")
    page.resize(900, 800)
    settled(made)
    again = found(page, Papers)
    assert again is not papers
    assert again.asked is not None
    assert (again.asked.how, again.asked.purpose.codes(), again.asked.words.text()) == ("plain", ("other",), "half a")
    again._pick = papers._pick
    let_leave(made, again, "password")
    password = shown_password(again)
    page.resize(1280, 800)
    settled(made)
    last = found(page, Papers)
    assert last is not again
    assert shown_password(last) == password
    assert "and locked" in last.told.said()


def test_a_password_made_while_the_page_is_laid_anew_is_shown_on_the_new_one(
    made: TwinVisit, ready: Ready, tmp_path: Path
) -> None:
    papers = ready()
    page = papers.window()
    papers.save_key.click()
    asked = asked_of(made, papers)
    asked.purpose.button("care").click()
    asked.key.click()
    page.resize(900, 800)
    settled(made)
    again = found(page, Papers)
    assert again is not papers
    assert verify((tmp_path / "letter.pdf").read_bytes(), shown_password(again)).problems
