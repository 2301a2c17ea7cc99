"""What papers are sealed with, in each state, over a copy of the invented practice."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from PySide6.QtWidgets import QWidget

from desktop.pages.practice import PracticePage
from desktop.pages.seals import Seals, _Kept
from forms.ask import Path as Field
from forms.chart import Place
from forms.known_sender import packed
from forms.own_seal import OwnSeal, own_seal_id
from storage.changes import Begin, Change, Put
from storage.store import Store
from sync.handoff.own_seals import Sealing, Standing
from sync.handoff.seals import ROOT_CERTIFICATE, export_root
from tests.desktop.gallery_shell import Show, builder
from tests.helpers import thornbury as t
from tests.helpers.authorities import WORDS, key_file_of
from tests.helpers.odd_roots import root_made
from tests.helpers.program import Program, read, wait_for

__all__ = [
    "ROOT_WORDS",
    "SCREENS",
    "another",
    "apart",
    "bringing",
    "elsewhere",
    "ending",
    "root_place",
    "seals",
    "second",
    "under",
]

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


def elsewhere(program: Program) -> Seals:
    """The part a day after the practice's root was made: it lies in the file `root_place`, no seal is here."""
    program.time.at += timedelta(days=1)

    def away(store: Store) -> None:
        export_root(store, root_place(program), ROOT_WORDS)
        for name in (ROOT_CERTIFICATE, f"seal-{program.desk.session.author}"):
            store.drop_secret(name)

    read(program, away)
    return seals(program)


def apart(program: Program) -> Seals:
    """The same after a root of this device's own was asked for."""
    page = elsewhere(program)
    before = page.shared
    before.own.click()
    wait_for(lambda: page.shared is not before)
    program.idle()
    return page


def another(program: Program) -> Seals:
    """The part where another device tells a root that it made apart, a year later."""
    root = root_made("Tallow Lane Feeding Visits", since=t.NOW + timedelta(days=365))
    entity = own_seal_id(root)
    changes: list[Change] = [Begin(entity, Place(OwnSeal.name)), Put(entity, Field("certificate"), packed(root))]
    read(program, lambda store: store.write(changes, author="somebody"))
    return seals(program)


def under(page: Seals, place: Path, words: str) -> None:
    """The file of a root is chosen, its passphrase typed and the key pressed; whatever comes of it has come."""
    before, asked = page.shared, page.shared.file
    asked._pick = lambda *_where, **_kinds: place
    asked.choose.click()
    asked.secret.box.setText(words)
    asked.key.click()
    wait_for(lambda: page.shared is not before or asked.key.isEnabled())


def _unknown(program: Program) -> None:
    page = elsewhere(program)
    page._show(_Kept(None, Sealing(Standing.UNKNOWN), root_here=False))


def _office(program: Program) -> None:
    page = elsewhere(program)
    page._show(_Kept(None, Sealing(Standing.UNKNOWN, tells=False), root_here=False))


def _refused(program: Program) -> None:
    page = elsewhere(program)
    under(page, root_place(program), "not that phrase")
    wait_for(page.shared.file.key.isEnabled)


def _asked(page: Seals) -> Seals:
    page.shared.lost[0].key.click()
    return page


def second(program: Program) -> Seals:
    """The part of a second consultant where the practice's root was made and its key taken out since."""

    def away(store: Store) -> None:
        export_root(store, root_place(program), ROOT_WORDS)
        store.drop_secret(f"seal-{program.desk.session.author}")

    read(program, away)
    return seals(program)


def _told_to_second(program: Program) -> None:
    second(program)
    program.desk.caseload()
    program.to("caseload")
    program.idle()


def _waits(program: Program) -> None:
    elsewhere(program)
    program.desk.caseload()
    program.to("caseload")
    program.idle()


_STATES: dict[str, Show] = {
    "seals-practice": seals,
    "seals-brought": lambda program: bringing(program, key_file_of()),
    "seals-wrong-passphrase": lambda program: bringing(program, key_file_of(), "another phrase"),
    "seals-ended": _ended,
    "seals-ending": ending,
    "seals-ending-root-away": lambda program: ending(program, root_away=True),
    "seals-root-elsewhere": elsewhere,
    "seals-root-refused": _refused,
    "seals-root-unknown": _unknown,
    "seals-root-office": _office,
    "seals-root-apart": apart,
    "seals-root-another": another,
    "seals-root-giving-up": lambda program: _asked(apart(program)),
    "seals-root-another-giving-up": lambda program: _asked(another(program)),
    "seals-root-second": second,
    "seals-root-waits": _waits,
    "seals-root-waits-second": _told_to_second,
}
SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    builder(name, show, store=True, inside=True) for name, show in _STATES.items()
]
