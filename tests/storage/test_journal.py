"""The audit journal."""

from __future__ import annotations

from tests.helpers.stores import AUTHOR, FAMILY, VISIT, opened, put
from tests.storage.conftest import Made


def test_opening_locking_signing_and_what_leaves_are_written_down_in_order(closed: Made) -> None:
    store = opened(closed.folder)
    store.note("paper issued", by=AUTHOR, about={"visit": VISIT, "sha256": "0" * 64})
    store.sign(VISIT, author=AUTHOR)
    store.keep_secret("root", b"x")
    store.close()
    again = opened(closed.folder)
    kinds = [line.kind for line in again.journal()]
    assert kinds == ["set up", "locked", "unlocked", "paper issued", "signed", "secret kept", "locked", "unlocked"]
    assert [line.number for line in again.journal()] == list(range(1, 9))
    again.close()


def test_charting_alone_writes_no_line(closed: Made) -> None:
    store = opened(closed.folder)
    before = len(store.journal())
    store.write([put(FAMILY, "pets", "A hen")], author=AUTHOR)
    assert len(store.journal()) == before
    store.close()
