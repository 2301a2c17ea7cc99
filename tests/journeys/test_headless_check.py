"""Checking a paper from the command line, with and without the store whose known senders count."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from demo_db.build import PASSPHRASE
from forms.ask import Path as Field
from forms.chart import Place
from forms.known_sender import KnownSender, packed
from storage.changes import Begin, Put
from storage.vault import unlock
from tests.helpers import checked_papers as papers
from tests.helpers.program import demo_store
from tests.helpers.stamping import BY, stamped_paper
from tests.journeys.test_headless_job import hearthside

LINDEN = papers.practice()


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store that knows the other practice."""
    folder = demo_store(tmp_path_factory.mktemp("known") / "store")
    opened = unlock(folder, PASSPHRASE)
    entity, answers = "ab" * 16, {"called": "Linden Row", "compared": "phone", "root": packed(LINDEN.seal.root)}
    author = next(e.author for e in opened.practice_entries())
    puts = (Put(entity, Field(field), value) for field, value in answers.items())
    opened.write([Begin(entity, Place(KnownSender.name)), *puts], author=author)
    opened.close()
    return folder


@pytest.fixture
def paper(tmp_path: Path) -> Path:
    place = tmp_path / "letter.pdf"
    place.write_bytes(papers.paper_of(LINDEN))
    return place


def test_a_sender_is_unknown_without_the_store_and_known_by_her_name_with_it(store: Path, paper: Path) -> None:
    alone = hearthside("verify", paper)
    assert alone.returncode == 0
    assert "not known here" in alone.stdout
    asked = ("verify", paper, "--store", store, "--passphrase-stdin")
    known = hearthside(*asked, stdin=f"{PASSPHRASE}\n")
    assert known.returncode == 0, known.stderr
    assert "Known here as Linden Row." in known.stdout
    told = json.loads(hearthside(*asked, "--json", stdin=f"{PASSPHRASE}\n").stdout)
    assert (told["good"], told["known"], told["sender"], told["misfits"]) == (True, True, "Linden Row", {})


def test_a_store_that_does_not_open_ends_it_instead_of_calling_everybody_unknown(
    store: Path, paper: Path, tmp_path: Path
) -> None:
    for place, typed in ((store, "quite another phrase"), (tmp_path, PASSPHRASE)):
        done = hearthside("verify", paper, "--store", place, "--passphrase-stdin", stdin=f"{typed}\n")
        assert done.returncode == 2
        assert len(done.stderr.strip().splitlines()) == 1
        assert "not known" not in done.stdout


def test_a_locked_paper_takes_its_password_after_the_passphrase_of_the_store(store: Path, tmp_path: Path) -> None:
    place = tmp_path / "locked.pdf"
    place.write_bytes(papers.locked_paper())
    asked = ("verify", place, "--store", store, "--passphrase-stdin")
    done = hearthside(*asked, stdin=f"{PASSPHRASE}\n{papers.PASSWORD}\n")
    assert done.returncode == 0, done.stderr
    assert "Known here as Linden Row." in done.stdout
    for more in ("", "another-one\n"):
        refused = hearthside(*asked, stdin=f"{PASSPHRASE}\n{more}")
        assert refused.returncode == 2
        assert "password" in refused.stderr


def test_a_stranger_with_the_names_of_a_known_sender_and_49_mb_are_told_in_words(store: Path, tmp_path: Path) -> None:
    place, large = tmp_path / "stranger.pdf", tmp_path / "large.pdf"
    place.write_bytes(papers.paper_of(papers.practice(keys="another")))
    large.write_bytes(papers.paper_of(LINDEN) + b"\0" * 49_000_000)
    told = hearthside("verify", place, "--store", store, "--passphrase-stdin", stdin=f"{PASSPHRASE}\n").stdout
    assert "Take care: Linden Row, known here, goes by the same name with another fingerprint." in told
    assert "Known here as" not in told
    done = hearthside("verify", large)
    assert done.returncode == 2
    assert "larger than 48 MB" in done.stderr


def test_a_time_stamp_is_told_with_its_time_and_a_maker_nobody_here_knows(tmp_path: Path) -> None:
    place = tmp_path / "stamped.pdf"
    place.write_bytes(stamped_paper())
    said = hearthside("verify", place)
    assert said.returncode == 0, said.stderr
    assert f"by an authority not known here, which calls itself “{BY}”." in said.stdout
    told = json.loads(hearthside("verify", place, "--json").stdout)
    assert told["stamp"]["by"]["subject"] == BY
    assert told["stamp"]["at"] in json.dumps(told)
