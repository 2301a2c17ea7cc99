"""The pages of the gallery that show scored tools, consents by purpose, and care being closed."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from desktop.pages.closing import ClosingPage
from desktop.pages.practice import PracticePage
from desktop.pages.visit import VisitPage
from forms.closing import Closing
from forms.consent import Consent
from forms.scores import Score
from tests.desktop.gallery_shell import builder
from tests.desktop.gallery_visit import Framed
from tests.helpers.program import Program, read
from tests.helpers.twins import TwinVisit

__all__ = ["PAGES", "SCREENS"]

_WORDS = "Feed her without the shield. We got there with most feeds, and nights are easier now."


def _scores(page: VisitPage, made: TwinVisit) -> None:
    """One tool that is whole, one begun and open, a type."""
    for answers in (
        {"tool": "latch", "latch_l": 2, "latch_a": 1, "latch_t": 2, "latch_c": 1, "latch_h": 1},
        {"tool": "coryllos", "coryllos_type": "three"},
        {"tool": "btat", "btat_tip": 1, "btat_gum": 2},
    ):
        score = page.home.begin(Score, made.ida)
        for field, value in answers.items():
            score.put(field, value)
    page.go("look", made.ida, "look.scores")
    assert page.middle.page is not None
    page.middle.page.show_entry("score", score.entity)


def _consents(page: VisitPage, made: TwinVisit) -> None:
    """A photo for the record agreed to, text messages declined, and an interpreter's row open."""
    for answers in (
        {"purpose": "text", "agreed": "no", "given_by": "Mara", "relation": "self"},
        {"purpose": "photo_record", "agreed": "limited", "limits": "Nipples only, never the face"},
        {"purpose": "interpreter", "agreed": "yes", "interpreter_is": "minor"},
    ):
        row = page.home.begin(Consent, made.mara)
        for field, value in answers.items():
            row.put(field, value)
    page.go("arrive", made.mara, "arrive.consents")
    assert page.middle.page is not None
    page.middle.page.show_entry("consent", row.entity)


def _closing(part: str) -> Callable[[Program], object]:
    def show(program: Program) -> None:
        program.desk.closing(read(program, lambda store: store.search("thornquist"))[0].id)
        page = program.to("closing")
        assert isinstance(page, ClosingPage)
        binding = page.home.binding(Closing, entity=page.closing)
        binding.put("reason", "goal_met")
        binding.put("covers", (*page.home.parents(), *page.home.infants()))
        binding.put("goal_words", _WORDS)
        page.go(part or page.home.infants()[0])

    return show


def _keeping(program: Program) -> None:
    program.desk.practice()
    page = program.to("practice")
    assert isinstance(page, PracticePage)
    page.go("keeping")


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("scored-tools", lambda: Framed(_scores)),
    ("consents", lambda: Framed(_consents)),
]
PAGES: list[tuple[str, Callable[[], QWidget]]] = [
    builder("closing-why", _closing("why"), store=True, inside=True),
    builder("closing-baby", _closing(""), store=True, inside=True),
    builder("closing-open", _closing("open"), store=True, inside=True),
    builder("closing-records", _closing("records"), store=True, inside=True),
    builder("practice-keeping", _keeping, store=True, inside=True),
]
