"""A store made once and copied for each test, because deriving its keys is slow on purpose."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from storage.folder import Folder, Lock
from storage.keys import passphrase_slot_opened
from storage.opening import opened as opened_by_key
from storage.store import Store
from tests.helpers.stores import AUTHOR, PASSPHRASE, Clock, Ids, new_store, small_family


@dataclass(frozen=True)
class Made:
    """A closed store with a small family in it, and the words of its recovery sheet."""

    folder: Path
    words: str


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Made:
    folder = tmp_path_factory.mktemp("template") / "store"
    made = new_store(folder)
    made.store.write(small_family(), author=AUTHOR)
    made.store.close()
    return Made(folder, made.recovery_words)


@pytest.fixture(scope="session")
def master(template: Made) -> bytes:
    """The master key, so that each of many openings need not derive it."""
    return passphrase_slot_opened(template.folder / "keys" / "passphrase.slot", PASSPHRASE)


def open_with(folder: Path, master: bytes) -> Store:
    """Opens as unlock does once it has the key."""
    files = Folder(folder)
    lock = Lock(files.lock)
    try:
        return opened_by_key(files, lock, master, clock=Clock(), ids=Ids(), event="unlocked", about={})
    except BaseException:
        lock.release()
        raise


@pytest.fixture
def closed(template: Made, tmp_path: Path) -> Made:
    """A closed copy of the store."""
    shutil.copytree(template.folder, tmp_path / "store")
    return Made(tmp_path / "store", template.words)


@pytest.fixture
def store(closed: Made, master: bytes) -> Iterator[Store]:
    """An open copy of the store."""
    made = open_with(closed.folder, master)
    yield made
    made.close()
