"""What papers are sealed with, in each state, over a copy of the invented practice."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from PySide6.QtWidgets import QWidget

from desktop.pages.practice import PracticePage
from desktop.pages.seals import Seals
from sync.handoff.seals import export_root
from tests.desktop.gallery_shell import Show, builder
from tests.helpers.authorities import WORDS, key_file_of
from tests.helpers.program import Program, read, wait_for

__all__ = ["ROOT_WORDS", "SCREENS", "bringing", "ending", "root_place", "seals"]

ROOT_WORDS = "walnut harbour velvet spoon"


def seals(program: Program) -> Seals:
    """The part of an open program."""
    program.desk.practice()
    page = program.to("practice")
    assert isinstance(page, PracticePage)
    page.go("seals")
    program.idle()
    found = page.main.findChild(Seals)
    assert found is not None
    return found


def bringing(program: Program, data: bytes, words: str = WORDS, name: str = "rowan-vale.p12") -> Seals:
    """The part after a file with these bytes was chosen, its passphrase typed and the key pressed."""
    page = seals(program)
    place = Path(tempfile.mkdtemp(prefix="hearthside-key-")) / name
    place.write_bytes(data)
    asked = page.bring
    asked._pick = lambda *_where, **_kinds: place
    asked.choose.click()
    asked.secret.box.setText(words)
    asked.key.click()
    wait_for(lambda: page.bring is not asked or asked.key.isEnabled())
    program.idle()
    return page


def _ended(program: Program) -> None:
    bringing(program, key_file_of())
    program.time.at += timedelta(days=500)
    seals(program)


def ending(program: Program, *, days: int = 700, root_away: bool = False) -> Seals:
    """The part after so many days; `root_away`: the root key was taken out before, to the file `root_place`."""
    if root_away:
        read(program, lambda store: export_root(store, root_place(program), ROOT_WORDS))
    program.time.at += timedelta(days=days)
    return seals(program)


def root_place(program: Program) -> Path:
    """Where the root key of a program lies once it was taken out."""
    return program.desk.session.folder.parent / "root.p12"


_STATES: dict[str, Show] = {
    "seals-practice": seals,
    "seals-brought": lambda program: bringing(program, key_file_of()),
    "seals-wrong-passphrase": lambda program: bringing(program, key_file_of(), "another phrase"),
    "seals-ended": _ended,
    "seals-ending": ending,
    "seals-ending-root-away": lambda program: ending(program, root_away=True),
}
SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    builder(name, show, store=True, inside=True) for name, show in _STATES.items()
]
