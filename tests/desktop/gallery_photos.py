"""The pages of the gallery that show photos: asked for, open with marks, withdrawn, refused. All of them are drawn."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from desktop.pages.visit import VisitPage
from desktop.sheets.photo_seen import Seen
from desktop.sheets.photos import Photos
from forms.consent import Consent
from forms.photo import Photo
from tests.desktop.gallery_visit import Framed
from tests.helpers.photos import agreed, photo_added, photos_of
from tests.helpers.pictures import as_jpeg, drawn, with_a_past
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["SCREENS"]


def _described(page: VisitPage, made: TwinVisit) -> Photos:
    agreed(page, made, made.mara, "nipple", "breast", limits="", agreed="yes")
    found = photos_of(page, made.mara)
    entity = photo_added(page, made, made.mara, "nipple", as_jpeg(drawn(1600, 1200), exif=with_a_past()))
    binding = page.home.binding(Photo, made.mara, entity=entity)
    binding.put("side", "left")
    binding.put("recognisable", False)
    binding.put("words", "A slanting crack across the lower half of the nipple, edges clean, no crust.")
    settled(made)
    return found


def _open(page: VisitPage, made: TwinVisit) -> None:
    """A photo open, with two marks over it, one being described."""
    found = _described(page, made)
    seen = found.findChildren(Seen)[0]
    for x, y in ((540, 430), (600, 560)):
        seen.marks.begin()
        seen.view.move_to(x, y)
        seen.marks.set_down()
        settled(made)


def _asked(page: VisitPage, made: TwinVisit) -> None:
    """A consent within limits, a photo kept and closed behind its veil."""
    agreed(page, made, made.ida, "mouth", "face", limits="Never with her eyes in it", agreed="limited")
    photo_added(page, made, made.ida, "mouth", as_jpeg(drawn()))
    photos_of(page, made.ida)


def _withdrawn(page: VisitPage, made: TwinVisit) -> None:
    """A photo kept whose consent was withdrawn meanwhile, the veil open."""
    found = _described(page, made)
    row = page.home.chart.all(Consent, made.mara)[-1]
    page.home.binding(Consent, made.mara, entity=row.id).put("withdrawn_at", made.at(0.3))
    settled(made)
    assert found.veil is not None
    found.veil.open(True)


def _refused(page: VisitPage, made: TwinVisit) -> None:
    """A file that was no picture, refused in a sentence."""
    agreed(page, made, made.mara, "nipple")
    photos_of(page, made.mara)
    photo_added(page, made, made.mara, "nipple", b"MZ" + bytes(400))


def _not_asked(page: VisitPage, made: TwinVisit) -> None:
    """Nobody has asked yet."""
    photos_of(page, made.juno)


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("photos-open", lambda: Framed(_open)),
    ("photos-veiled", lambda: Framed(_asked)),
    ("photos-withdrawn", lambda: Framed(_withdrawn)),
    ("photos-refused", lambda: Framed(_refused)),
    ("photos-not-asked", lambda: Framed(_not_asked)),
]
