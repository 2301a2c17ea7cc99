"""The pages of the gallery that show the practice figures: counted, with wrong days, and the sheet for outside."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from desktop.pages.figures import PracticeFigures
from desktop.pages.practice import PracticePage
from tests.desktop.gallery_shell import builder
from tests.helpers.program import Program, wait_for

__all__ = ["PAGES", "figures_of"]


def figures_of(program: Program) -> PracticeFigures:
    """The part of the practice's page, counted."""
    program.desk.practice()
    page = program.to("practice")
    assert isinstance(page, PracticePage)
    page._picked("figures")  # as its line is pressed, so that a narrow window shows the figures and not the list
    (out,) = page.main.findChildren(PracticeFigures)
    wait_for(lambda: out.table is not None)
    return out


def _wrong_days(program: Program) -> None:
    out = figures_of(program)
    out.days.picked.emit("own")
    out.first.setText("2026-03-31")
    out.last.setText("2026-03-01")
    out.count()


def _sheet(program: Program) -> None:
    out = figures_of(program)
    out.show_key.click()
    wait_for(lambda: out.shown is not None)
    assert out.table is not None
    out.table.hide()


def _page(name: str, show: Callable[[Program], object]) -> tuple[str, Callable[[], QWidget]]:
    return builder(name, show, store=True, inside=True)


PAGES: list[tuple[str, Callable[[], QWidget]]] = [
    _page("practice-figures", figures_of),
    _page("practice-figures-days", _wrong_days),
    _page("practice-figures-sheet", _sheet),
]
