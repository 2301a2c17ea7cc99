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
from tests.helpers.exported import fill, read_out
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


@pytest.fixture(scope="session")
def bare(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, bytes]:
    """A closed store that holds nothing, and its master key."""
    folder = tmp_path_factory.mktemp("bare") / "store"
    new_store(folder).store.close()
    return folder, passphrase_slot_opened(Folder(folder).passphrase_slot, PASSPHRASE)


@pytest.fixture
def empty(bare: tuple[Path, bytes], tmp_path: Path) -> Iterator[Store]:
    """An open store that holds nothing."""
    made = open_with(Path(shutil.copytree(bare[0], tmp_path / "empty")), bare[1])
    yield made
    made.close()


@pytest.fixture(scope="session")
def read_out_once(template: Made, master: bytes, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a closed store full of answers, `store`, and its whole record read out, `out`."""
    here = tmp_path_factory.mktemp("whole")
    made = open_with(Path(shutil.copytree(template.folder, here / "store")), master)
    fill(made)
    read_out(made, here / "out")
    made.close()
    return here


@pytest.fixture
def filled(read_out_once: Path, master: bytes, tmp_path: Path) -> Iterator[Store]:
    """An open copy of that store."""
    made = open_with(Path(shutil.copytree(read_out_once / "store", tmp_path / "filled")), master)
    yield made
    made.close()


@pytest.fixture
def exported(read_out_once: Path, tmp_path: Path) -> Path:
    """A copy of that folder."""
    return Path(shutil.copytree(read_out_once / "out", tmp_path / "exported" / "out"))
