"""Checking a paper in each of its states, over a copy of the invented practice and real files."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QWidget

from desktop.pages.check_paper import CheckPaperPage
from desktop.pages.known_senders import senders
from tests.desktop.gallery_shell import Show, builder
from tests.helpers import checked_papers as papers
from tests.helpers.program import Program, read, wait_for

__all__ = ["SCREENS", "checked", "checking", "known"]


def checking(program: Program) -> CheckPaperPage:
    """The page of an open program."""
    program.desk.check_paper()
    page = program.to("check_paper")
    assert isinstance(page, CheckPaperPage)
    return page


def checked(program: Program, data: bytes, name: str = "letter.pdf") -> CheckPaperPage:
    """The page after it looked at a file with these bytes."""
    page = checking(program)
    place = Path(tempfile.mkdtemp(prefix="hearthside-paper-")) / name
    place.write_bytes(data)
    page.check(place)
    program.idle()
    return page


def known(program: Program, name: str = "Linden Row") -> CheckPaperPage:
    """The page after the other practice was added by comparing its fingerprint."""
    page = checked(program, papers.paper_of(papers.practice()))
    page._compare()
    compare = page.compare
    assert compare is not None
    for line in compare.lines:
        line.click()
    compare.how.picked.emit("phone")
    compare.name.setText(name)
    compare._add()
    wait_for(lambda: bool(senders(page.home)))
    program.idle()
    return page


def _file(data: Callable[[], bytes], name: str = "letter.pdf") -> Show:
    return lambda program: checked(program, data(), name)


def _own(program: Program) -> None:
    author, now = program.desk.session.author, program.desk.session.clock()
    checked(program, read(program, lambda store: papers.own_paper(store, author, now)), "plan.pdf")


def _comparing(program: Program) -> None:
    page = checked(program, papers.paper_of(papers.practice()))
    page._compare()
    assert page.compare is not None
    for line in page.compare.lines[:3]:
        line.click()
    page.compare._add()


def _sender(*, struck: bool) -> Show:
    def show(program: Program) -> None:
        page = known(program)
        entity = senders(page.home)[0].id
        if struck:
            page.home.strike(entity, "They closed; the new clinic has its own root.")
            wait_for(lambda: senders(page.home)[0].struck is not None)
            program.idle()
        page.show_sender(entity)

    return show


def _struck_paper(program: Program) -> None:
    _sender(struck=True)(program)
    checked(program, papers.paper_of(papers.practice()))


def _namesake(program: Program) -> None:
    known(program)
    checked(program, papers.paper_of(papers.practice(keys="another")))


def _misfit(program: Program) -> None:
    checked(program, papers.sealed_by(papers.practice().seal, record_seal=papers.practice(keys="another").seal))


def _linden() -> bytes:
    return papers.paper_of(papers.practice())


_STATES: dict[str, Show] = {
    "check-empty": checking,
    "check-own": _own,
    "check-unknown": _file(_linden),
    "check-comparing": _comparing,
    "check-known": known,
    "check-namesake": _namesake,
    "check-misfit": _misfit,
    "check-struck": _struck_paper,
    "check-no-root": _file(papers.without_root),
    "check-changed": _file(lambda: papers.spoiled(_linden(), "flipped")),
    "check-expired": _file(papers.expired),
    "check-unsealed": _file(papers.unsealed),
    "check-damaged": _file(lambda: papers.spoiled(_linden(), "blanked")),
    "check-no-pdf": _file(lambda: b"a shopping list", "list.txt"),
    "check-locked": _file(papers.locked_paper),
    "check-sender": _sender(struck=False),
    "check-sender-struck": _sender(struck=True),
}
SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    builder(name, show, store=True, inside=True) for name, show in _STATES.items()
]
