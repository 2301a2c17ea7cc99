"""A drawn and a sealed paper of an invented family, made once, and readers that know nothing of our code."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from forms.answers import Moment
from forms.papers.family_plan import family_plan
from forms.papers.outline import words_of
from sync.handoff.letter import write_letter
from sync.handoff.seals import Seal, make_seals, seal_of
from sync.handoff.sign import Record, sign_letter
from tests.helpers import thornbury as t

Read = Callable[..., str]


class Shelf(dict[str, bytes]):
    """Secrets in memory, with the three methods of a store that seals use."""

    def keep_secret(self, name: str, data: bytes) -> None:
        self[name] = data

    def secret(self, name: str) -> bytes | None:
        return self.get(name)

    def drop_secret(self, name: str) -> None:
        self.pop(name, None)


def shelf_seal(practice: str = "Tallow Lane Feeding Visits", name: str = "Rowan Vale") -> Seal:
    shelf = Shelf()
    make_seals(shelf, t.WRITER, practice=practice, name=name, now=t.NOW)  # type: ignore[arg-type]
    return seal_of(shelf, t.WRITER, name=name, now=t.NOW)  # type: ignore[arg-type]


@pytest.fixture(scope="session")
def seal() -> Seal:
    return shelf_seal()


@pytest.fixture(scope="session")
def record() -> Record:
    outline = family_plan(t.whole(), writer=t.WRITER, now=t.NOW)
    return Record("family_plan.txt", "text/plain", words_of(outline).encode())


@pytest.fixture(scope="session")
def drawn() -> bytes:
    return write_letter(family_plan(t.whole(), writer=t.WRITER, now=t.NOW), made=t.NOW, sealed=True)


@pytest.fixture(scope="session")
def sealed(drawn: bytes, seal: Seal, record: Record) -> bytes:
    return sign_letter(drawn, seal, at=Moment(t.NOW, t.ZONE), who="Rowan Vale, RN", record=record)


@pytest.fixture
def read(tmp_path: Path) -> Read:
    """Runs a reader of PDF on bytes: `read(data, "pdfsig")`; options after the name, FILE standing for the file."""

    def run(data: bytes, *command: str) -> str:
        path = tmp_path / "paper.pdf"
        path.write_bytes(data)
        words = [str(path) if word == "FILE" else word for word in command]
        if "FILE" not in command:
            words.append(str(path))
        done = subprocess.run(words, capture_output=True, text=True, check=False)
        return done.stdout

    return run
