"""A visit in a process of its own at which photos are added, looked at, marked, locked away and looked at again.

`python -m tests.helpers.photo_visit STORE FOLDER`: FOLDER holds the two pictures `left.jpg` and `noise.png`; what was
kept of them is told on standard output, one SHA-256 a line.
"""

from __future__ import annotations

import logging
import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication

from demo_db.build import PASSPHRASE
from demo_db.ticking import at
from desktop.controls.photo_view import Thumb, ThumbState
from desktop.sheets.photo_seen import Seen
from desktop.sheets.photos import Photos
from forms.consent import Consent
from forms.photo import Photo
from tests.helpers.charting import Charter
from tests.helpers.person import K, Machine


def _photos(person: Charter) -> Photos:
    person.section("look.photos", "Bram")
    person.until_idle()
    return person.page.findChildren(Photos)[0]


def _look(person: Charter) -> Seen:
    """Open the veil and the first photo, and wait until it is large on screen."""
    found = _photos(person)
    if not found.looking():
        assert found.veil is not None
        person.click(found.veil.opener)
    person.until_idle()
    if not found.findChildren(Seen):
        person.press("Change", found)
    person.until(lambda: all(thumb.state is ThumbState.SHOWN for thumb in found.findChildren(Thumb)), "the small ones")
    person.until(lambda: not found.findChildren(Seen)[0].view.image.isNull(), "the photo")
    return found.findChildren(Seen)[0]


def _visit(person: Charter, folder: Path) -> None:
    person.unlock(PASSPHRASE)
    person.press_beside("Go on", "Lindqvist-Osei, Bram")
    person.until_page("visit")
    person.until_idle()
    found = _photos(person)
    assert person.sees("Nobody has asked yet whether Bram may be photographed", found)
    person.bulk(
        Consent, found.who, purpose="photo_record", agreed="yes", regions=("mouth", "face"),
        recognisable=False, given_by="Kemi", relation="parent", how="signed", given_at="2026-03-02 16:20",
    )  # fmt: skip
    person.saved()
    for key, name in (("Inside the mouth", "left.jpg"), ("Face", "noise.png")):
        person.pick_file(lambda key=key: person.press(key, found), folder / name)  # type: ignore[misc]
        person.until_sees("Added. The file you chose is still where it was; delete it there yourself.")
        person.until_idle()
    seen = _look(person)
    person.press("Closer", seen)
    person.until_idle()
    person.press("Mark a place", seen)
    person.key(K.Key_Right)
    person.press("Put the mark here", seen)
    person.saved()
    seen.window().grab()  # painted as it is on screen
    person.key(K.Key_F9)
    person.key(K.Key_F9)
    person.lock()
    person.unlock(PASSPHRASE)
    person.until_page("visit")
    _look(person)
    for entry in person.home.chart.all(Photo):
        print(entry.answers.picture)


def main(store: str, folder: str) -> None:
    """Do the visit; whatever goes wrong ends the process with its trace."""
    logging.basicConfig(filename=Path(folder) / "log", level=logging.DEBUG)
    QApplication(sys.argv[:1])
    person = Charter(Path(store), Machine(at("2026-03-02 16:30"))).come()
    try:
        _visit(person, Path(folder))
    finally:
        person.go_home()


if __name__ == "__main__":
    main(*sys.argv[1:])
