"""The pages of the gallery that show words: phrases, jots being filed, and answers brought forward."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path as Folder

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act
from desktop.controls.note import Note
from desktop.pages.practice import PracticePage
from desktop.pages.visit import VisitPage
from forms.chart import Place
from forms.phrase import Phrase, question_key
from forms.plan import Plan
from tests.desktop.gallery_shell import builder
from tests.desktop.gallery_visit import Framed
from tests.helpers import kit_walk
from tests.helpers.earlier import with_an_earlier_visit
from tests.helpers.program import Program
from tests.helpers.twins import TwinVisit, Written, twin_visit
from tests.helpers.visits import control, settled

__all__ = ["PAGES", "SCREENS", "with_phrases"]

PHRASES = (
    ("Cool after feeds", "Cool for [? minutes] after feeds, on the [? side] side, with a cloth between.", "comfort_care"),
    ("Hand expression shown", "Hand expression was shown and shown back by [?].", ""),
    ("Paced bottle", "Bottle held level, a pause every [? sucks] sucks, both sides of the lap.", ""),
)  # fmt: skip


def with_phrases(made: TwinVisit) -> TwinVisit:
    """The same store with three phrases kept by the practice."""
    w = Written()
    for shortcut, words, field in PHRASES:
        fits = {"fits": (question_key(Plan, field),)} if field else {}
        w.put(made.ids(), Place("phrase"), shortcut=shortcut, words=words, **fits)
    made.store.write(w.changes, author=made.author)
    return made


def _follow_up(folder: Folder) -> TwinVisit:
    return with_phrases(with_an_earlier_visit(twin_visit(folder)))


def _seen(page: VisitPage) -> None:
    """Put the page on screen at its size first: what is in view, and where the cursor is, follow from that."""
    page.window().resize(1280, 800)
    page.window().show()
    kit_walk.settle()


def _phrases_open(page: VisitPage, made: TwinVisit) -> None:
    """The list of phrases open under a question, narrowed by typing."""
    _seen(page)
    page.go("plan", made.mara, "plan.care")
    note = control(page, "plan", "comfort_care")
    assert isinstance(note, Note)
    note.opener.click()


def _phrase_in(page: VisitPage, made: TwinVisit) -> None:
    """A phrase put in: its first blank marked, and how many are left."""
    _seen(page)
    page.go("plan", made.mara, "plan.care")
    note = control(page, "plan", "comfort_care")
    assert isinstance(note, Note)
    note.type("Skin whole today.")
    note.put_in(PHRASES[0][1])


def _filing(page: VisitPage, made: TwinVisit) -> None:
    """A jot being filed: the questions in view first; two others wait, one is filed."""
    _seen(page)
    for words in ("bring the small scale", "prefers head to her left", "hurts more at night than by day"):
        page.aside.jots.entry.setText(words)
        page.aside.jots.keep()
    page.home.save()
    settled(made)
    page.go("story", made.mara, "story.goal")
    first, _, last = (jot.id for jot in reversed(page.aside.jots.waiting()))
    page.aside.jots.file(first)
    filing = page.aside.jots._lines[first].filing
    assert filing is not None
    filing.why.setText("a note to myself")
    filing._in_none()
    settled(made)
    page.aside.jots.shelf.opener.click()
    page.aside.jots.file(last)


def _offered(page: VisitPage, made: TwinVisit) -> None:
    """What an earlier visit offers for one section."""
    _seen(page)
    page.go("story", made.mara, "story.health")


def _grey(page: VisitPage, made: TwinVisit) -> None:
    """A section brought forward: grey answers, one of them gone through already."""
    _seen(page)
    page.go("story", made.mara, "story.health")
    next(act for act in page.middle.findChildren(Act) if act.text() == "Bring forward from 20 Feb").click()
    settled(made)
    assert page.middle.page is not None
    question = page.middle.page.question("parent_history", "hormones")
    assert question is not None
    question.carried.still_so.click()
    conditions = page.middle.page.question("parent_history", "conditions")
    assert conditions is not None
    conditions.carried.still_so.setFocus()


def _signing(page: VisitPage, made: TwinVisit) -> None:
    """What still stands in the way of signing: answers not gone through, and a blank left in one."""
    _grey(page, made)
    page.home.binding(Plan).put("comfort_care", "Cool for [? minutes]")
    page.go("leave", made.mara, "leave.sign")


def _kept(program: Program) -> None:
    """The practice's phrases, one of them open."""
    program.desk.practice()
    page = program.to("practice")
    assert isinstance(page, PracticePage)
    page.go("phrases")
    for shortcut, words, field in PHRASES:
        binding = page.home.begin(Phrase)
        binding.put("shortcut", shortcut)
        binding.put("words", words)
        binding.put("fits", (question_key(Plan, field),) if field else None)
    page.home.save()
    program.idle()
    first = next(entry.id for entry in page.home.chart.all(Phrase) if entry.answers.shortcut == PHRASES[0][0])
    assert page._page is not None
    page._page.show_entry(Phrase.name, first)


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("words-phrases", lambda: Framed(_phrases_open, _follow_up)),
    ("words-blanks", lambda: Framed(_phrase_in, _follow_up)),
    ("words-filing", lambda: Framed(_filing, _follow_up)),
    ("words-bring-forward", lambda: Framed(_offered, _follow_up)),
    ("words-carried", lambda: Framed(_grey, _follow_up)),
    ("words-signing", lambda: Framed(_signing, _follow_up)),
]
PAGES = [builder("practice-phrases", _kept, store=True, inside=True)]
