"""Photos at the twins' visit, for tests and pictures: agreed to, added from a file, and put on screen."""

from __future__ import annotations

from pathlib import Path as Folder
from tempfile import TemporaryDirectory
from typing import Any

from desktop.pages.visit import VisitPage
from desktop.photo_adding import PhotoAdding
from desktop.sheets.photos import Photos
from forms.consent import Consent
from forms.photo import Photo
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["agreed", "photo_added", "photos_of"]


def agreed(page: VisitPage, made: TwinVisit, who: str, *parts: str, **more: Any) -> str:
    """A consent to photos for the record; its entry."""
    made.clock.pass_by(minutes=1)  # the newest row decides
    row = page.home.begin(Consent, who)
    given = {
        "purpose": "photo_record", "agreed": "yes", "regions": parts, "recognisable": False, "given_by": "Mara",
        "relation": "self", "how": "signed", "given_at": made.at(-0.2), "kept_where": "In this record", **more,
    }  # fmt: skip
    for field, value in given.items():
        row.put(field, value)
    page.home.save()
    settled(made)
    return row.entity


def photos_of(page: VisitPage, who: str) -> Photos:
    """The photos of a person, on screen."""
    page.window().resize(1280, 800)
    page.window().show()
    page.go("look", who, "look.photos")
    assert page.middle.page is not None
    return page.middle.page.findChildren(Photos)[0]


def photo_added(page: VisitPage, made: TwinVisit, who: str, part: str, picture: bytes) -> str:
    """A photo added from a file; its entry."""
    before = {entry.id for entry in page.home.chart.all(Photo)}
    with TemporaryDirectory() as folder:
        file = Folder(folder) / "from-the-camera.jpg"
        file.write_bytes(picture)
        PhotoAdding.of(page.home).add(who, part, file)
        settled(made)
    added = {entry.id for entry in page.home.chart.all(Photo)} - before
    return next(iter(added), "")
