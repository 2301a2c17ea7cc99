"""What goes out for one person: what concerns that person and may stand on a paper, and nobody else's."""

from __future__ import annotations

import csv
import io
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from forms.ask import Path as At
from forms.ask import paths
from forms.chart import Place
from forms.form import catalog
from storage.changes import Begin, Change, Put, StrikeOut
from storage.store import Store
from storage.whole import Exported
from storage.whole_folder import NotExported, part_of
from tests.helpers.exported import index_of
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, TWIN, VISIT, moment, put

NOW = datetime(2026, 3, 5, 9, tzinfo=UTC)
PICTURE = b"\xff\xd8 a picture \xff\xd9"
SHA = sha256(PICTURE).hexdigest()
CONSENT, PHOTO, SECOND, CONTACT, FEED, HISTORY = ("c" * 32, "d" * 32, "e" * 32, "b" * 32, "9" * 32, "8" * 32)


def write(store: Store, entity: str, form: str, *subjects: str, visit: str | None = None, **answers: Any) -> None:
    """An entry with its answers; a field with a side is written "field__left"."""
    changes: list[Change] = [Begin(entity, Place(form, FAMILY, visit, subjects))]
    changes += [Put(entity, At.read(name.replace("__", "@")), value) for name, value in answers.items()]
    store.write(changes, author=AUTHOR)


def agreed(store: Store, person: str, *, entity: str = CONSENT, **more: Any) -> None:
    given = {
        "purpose": "photo_record",
        "agreed": "yes",
        "given_at": moment(2),
        "regions": ("mouth",),
        "who_agrees": "parent",
    }
    known = {str(path) for path in paths(catalog()["consent"])}
    write(store, entity, "consent", person, **{k: v for k, v in {**given, **more}.items() if k in known})


def photographed(store: Store, **more: Any) -> None:
    store.attach(PICTURE, "image/jpeg")
    given = {
        "picture": SHA,
        "media": "jpeg",
        "region": "mouth",
        "recognisable": False,
        "taken": moment(3),
        "words": "Lips.",
    }
    write(store, PHOTO, "photo", BABY, visit=VISIT, **{**given, **more})


def given_to(store: Store, person: str, dest: Path) -> tuple[Exported, list[dict[str, str]]]:
    with part_of(dest, store.folder) as part:
        done = store.whole().write_person(part, person, NOW)
    read = csv.DictReader(io.StringIO((dest / "tables" / "answers.csv").read_bytes().decode(), newline=""))
    return done, list(read)


def test_it_says_who_the_person_is_and_nothing_of_the_others(store: Store, tmp_path: Path) -> None:
    store.sign(VISIT, author=AUTHOR)
    done, told = given_to(store, BABY, tmp_path / "out")
    assert {row["value"] for row in told if row["form"] == "infant"} == {"Ida Quillfeather", "Idå"}
    assert {row["entry"] for row in told} == {BABY, FAMILY, VISIT}
    assert done.visits_not_signed == 0
    index = index_of(tmp_path / "out")
    assert (index["scope"], index["person"], index["holds_private_notes"]) == ("one person", BABY, False)
    assert not (tmp_path / "out" / "record").exists()


def test_neither_private_answers_nor_those_for_the_practice_alone_go_along(store: Store, tmp_path: Path) -> None:
    store.write(
        [
            put(PARENT, "safe_to_message", False), put(PARENT, "contact_rules", "Only after six."),
            put(FAMILY, "visit_safety", "The stairs."), put(FAMILY, "access", "Ring twice."),
        ],
        author=AUTHOR,
    )  # fmt: skip
    _done, told = given_to(store, PARENT, tmp_path / "out")
    fields = {row["field"] for row in told}
    assert {"full_name", "phone"} <= fields
    assert not fields & {"contact_rules", "visit_safety", "access", "safe_to_message"}


def test_a_pair_goes_to_both_and_the_other_one_is_not_named(store: Store, tmp_path: Path) -> None:
    write(store, FEED, "feed", PARENT, BABY, visit=VISIT, observed="seen")
    store.sign(VISIT, author=AUTHOR)
    for person, name in ((PARENT, "Maren Quillfeather"), (BABY, "Ida Quillfeather")):
        _done, told = given_to(store, person, tmp_path / person)
        (held,) = (row for row in told if row["entry"] == FEED)
        assert (held["person"], held["person_name"]) == (f"{PARENT}+{BABY}", name)
    _done, told = given_to(store, TWIN, tmp_path / TWIN)
    assert FEED not in {row["entry"] for row in told}


def test_what_is_struck_out_or_not_signed_stays_here_and_visits_are_counted(store: Store, tmp_path: Path) -> None:
    write(store, FEED, "feed", PARENT, BABY, visit=VISIT, observed="seen")
    write(store, CONTACT, "contact", said="Struck out.")
    store.write([StrikeOut(CONTACT, "another family")], author=AUTHOR)
    done, told = given_to(store, BABY, tmp_path / "out")
    assert {row["entry"] for row in told} == {BABY, FAMILY}
    assert done.visits_not_signed == 1


def test_a_contact_about_somebody_else_stays_here(store: Store, tmp_path: Path) -> None:
    write(store, CONTACT, "contact", said="About the twin.", concerns=(TWIN,))
    write(store, SECOND, "contact", said="About both.", concerns=(TWIN, BABY))
    _done, told = given_to(store, BABY, tmp_path / "out")
    assert [row["value"] for row in told if row["field"] == "said"] == ["About both."]


def test_why_an_answer_was_changed_stays_here(store: Store, tmp_path: Path) -> None:
    store.write([put(BABY, "called_name", "Ida", reason="The aunt was wrong.")], author=AUTHOR)
    _done, told = given_to(store, BABY, tmp_path / "out")
    assert {row["reason"] for row in told} == {""}


def test_a_photo_goes_along_while_the_consent_stands(store: Store, tmp_path: Path) -> None:
    agreed(store, BABY)
    photographed(store)
    store.sign(VISIT, author=AUTHOR)
    done, told = given_to(store, BABY, tmp_path / "out")
    assert (tmp_path / "out" / "attachments" / f"{SHA}.jpg").read_bytes() == PICTURE
    assert done.counts["attachments"] == 1
    assert "Lips." in {row["value"] for row in told}


@pytest.mark.parametrize("why", ["not asked", "withdrawn", "another part", "somebody else too", "not signed"])
def test_a_photo_stays_here_without_such_a_consent(why: str, store: Store, tmp_path: Path) -> None:
    if why != "not asked":
        more: dict[str, Any] = {"withdrawn_at": moment(4)} if why == "withdrawn" else {}
        agreed(store, BABY, **more)
    if why == "somebody else too":
        agreed(store, TWIN, entity=SECOND)
    photographed(
        store, **({"region": "face"} if why == "another part" else {}),
        **({"also_shows": (TWIN,)} if why == "somebody else too" else {}),
    )  # fmt: skip
    if why != "not signed":
        store.sign(VISIT, author=AUTHOR)
    done, told = given_to(store, BABY, tmp_path / "out")
    assert done.counts["attachments"] == 0
    assert not (tmp_path / "out" / "attachments").exists()
    assert PHOTO not in {row["entry"] for row in told}


@pytest.mark.parametrize("of", [FAMILY, VISIT, "0" * 32, ""])
def test_what_is_nobodys_id_gets_a_sentence_and_leaves_no_folder(of: str, store: Store, tmp_path: Path) -> None:
    with pytest.raises(NotExported, match="no parent and no baby"):
        given_to(store, of, tmp_path / "out")
    assert not list(tmp_path.glob("out*"))
