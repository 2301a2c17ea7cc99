"""Bytes and the entry that names them are two writes: what a kill between them leaves harms nothing."""

from __future__ import annotations

from forms.ask import Path
from forms.chart import Place
from forms.photo import Photo
from storage.changes import Begin, Put
from storage.store import Store
from tests.helpers.stores import AUTHOR, FAMILY

PICTURE = b"\xff\xd8\xff" + bytes(range(256)) * 40


def test_an_attachment_that_no_entry_names_is_nothing_wrong_and_is_used_when_it_comes_again(store: Store) -> None:
    left = store.attach(PICTURE, "image/jpeg")
    assert store.check() == ()
    assert store.differences() == ()
    assert store.attach(PICTURE, "image/jpeg") == left
    photo = "7" * 32
    store.write([Begin(photo, Place(Photo.name, FAMILY, None, ())), Put(photo, Path("picture"), left)], author=AUTHOR)
    entry = store.entry(photo)
    assert entry is not None
    assert isinstance(entry.answers, Photo)
    assert entry.answers.picture == left
    assert store.attachment(left) == PICTURE
    assert len([line for line in store.journal() if line.kind == "attached"]) == 1


def test_a_photo_taken_back_leaves_its_bytes_where_they_are(store: Store) -> None:
    name, photo = store.attach(PICTURE, "image/jpeg"), "7" * 32
    store.write([Begin(photo, Place(Photo.name, FAMILY, None, ())), Put(photo, Path("picture"), name)], author=AUTHOR)
    assert store.undo(AUTHOR)
    entry = store.entry(photo)
    assert entry is not None
    assert entry.struck is not None
    assert store.attachment(name) == PICTURE
    assert store.check() == ()
