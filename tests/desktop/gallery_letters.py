"""The pages of the gallery on which letters and their answers are followed."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QWidget

from desktop.controls.layouts import Reach
from desktop.pages.family import FamilyPage
from desktop.pages.letters import LettersPage
from desktop.pages.letters_family import FamilyLettersPage
from desktop.theme.tokens import Role
from forms.ask import Path as Field
from forms.letter_answer import LetterAnswer
from forms.referral import Referral
from storage.changes import Put
from storage.troubles import DamagedDatabase
from tests.desktop.gallery_shell import builder
from tests.helpers.program import Program, read

__all__ = ["PAGES", "family_letters"]


def family_letters(program: Program) -> FamilyLettersPage:
    """The letters of the Lindqvist-Oseis, of which there is one."""
    program.desk.letters(read(program, lambda store: store.search("lindqvist"))[0].id)
    page = program.to("letters_family")
    assert isinstance(page, FamilyLettersPage)
    return page


def _late(program: Program) -> None:
    """Six days after the day of one letter; another has waited since before its own."""
    program.time.at = datetime(2026, 3, 22, 9, 0, tzinfo=UTC)


def _every(program: Program) -> None:
    _late(program)
    program.desk.letters()
    program.to("letters")
    program.idle()


def _none(program: Program) -> None:
    program.desk.letters()
    page = program.to("letters")
    assert isinstance(page, LettersPage)
    page._show(())


def _unread(program: Program) -> None:
    program.desk.letters()
    page = program.to("letters")
    assert isinstance(page, LettersPage)
    page._failed(DamagedDatabase())


def _family(program: Program) -> None:
    _late(program)
    family_letters(program)


def _answer(program: Program) -> None:
    """An answer open to be written, with the file it came in."""
    page = family_letters(program)
    (card,) = page.cards.values()
    card.answer_key.click()
    program.idle()
    program.idle()
    (shown,) = page.answers.values()
    place = Path(tempfile.mkdtemp(prefix="hearthside-answer-")) / "nothing.txt"
    place.write_text("no paper")
    shown.read(place)
    program.idle()


def _apart(program: Program) -> None:
    """Two devices say where the letter stands, and differ."""
    chart = read(program, lambda store: store.chart(store.search("lindqvist")[0].id))
    letter = chart.all(Referral)[0]
    author = program.desk.session.author
    for state in ("booked", "declined"):
        other = Put(letter.id, Field("state"), state, letter.heads["state"])
        read(program, lambda store, other=other: store.write((other,), author=author))  # type: ignore[misc]
    family_letters(program)


def _empty(program: Program) -> None:
    page = family_letters(program)
    chart = page.home._chart
    page.home._chart = replace(chart, entries=tuple(e for e in chart.entries if not isinstance(e.answers, Referral)))
    page.home._live = None
    page.refresh()


def _told(program: Program) -> None:
    """The answer is in, and the family was told."""
    page = family_letters(program)
    (card,) = page.cards.values()
    card.answer_key.click()
    program.idle()
    program.idle()
    (answer,) = page.answers
    binding = page.home.binding(LetterAnswer, entity=answer)
    binding.put("outcome", "advice")
    binding.put(
        "words", "Movement is within the usual range. Keep working on position, and send him back if pain stays."
    )
    page.home.save()
    program.idle()
    for state, words in (("sent", "By the clinic’s secure mail"), ("answered", ""), ("told_family", "Both, by phone")):
        (card,) = page.cards.values()
        card._go(state, words)
        program.idle()
        program.idle()
    page.answers[answer].turn()


def _on_family(program: Program) -> None:
    """The foot of a family's page: its letters, what came from elsewhere, the sheet for before the visit."""
    _late(program)
    program.desk.family(read(program, lambda store: store.search("lindqvist"))[0].id)
    page = program.to("family")
    assert isinstance(page, FamilyPage)
    page.intake._say("Saved to /home/rowan/before-the-visit.pdf.", Role.ALDER)
    for _ in range(3):
        QCoreApplication.processEvents()
    bar = page.findChildren(Reach)[0].verticalScrollBar()
    bar.setValue(bar.maximum())


_SHOWN: tuple[tuple[str, Callable[[Program], object]], ...] = (
    ("letters-every", _every), ("letters-none", _none), ("letters-unread", _unread), ("letters-family", _family),
    ("letters-answer", _answer), ("letters-apart", _apart), ("letters-empty", _empty),
    ("letters-told", _told), ("letters-on-family", _on_family),
)  # fmt: skip
PAGES: list[tuple[str, Callable[[], QWidget]]] = [builder(name, show, store=True, inside=True) for name, show in _SHOWN]
