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
from forms.ask import asks, paths
from forms.chart import Place
from forms.form import About, catalog
from storage.changes import Begin, Change, Put, Restore, StrikeOut
from storage.log import STRUCK
from storage.store import Store
from storage.whole import Exported
from storage.whole_folder import NotExported, part_of
from storage.whole_person import NAMED, OF_ALL, Named
from tests.helpers.chains import Writer
from tests.helpers.exported import index_of
from tests.helpers.stores import AUTHOR, BABY, FAMILY, PARENT, TWIN, VISIT, answers, grams, moment, put

NOW = datetime(2026, 3, 5, 9, tzinfo=UTC)
PICTURE = b"\xff\xd8 a picture \xff\xd9"
SHA = sha256(PICTURE).hexdigest()
CLOSING, LOOP, TARGET = "4" * 32, "6" * 32, "7" * 32
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


def values(told: list[dict[str, str]], entry: str) -> dict[str, str]:
    return {row["field"]: row["value"] for row in told if row["entry"] == entry}


NUMBERS: dict[str, Any] = {"told_weight": grams(3020), "told_weight_at": moment(2), "told_feeds": 8}


@pytest.mark.parametrize("concerns", [{}, {"concerns": (BABY,)}, {"concerns": (BABY, TWIN)}])
def test_numbers_told_of_a_twin_stay_here_whatever_else_the_call_was_about(
    concerns: dict[str, Any], store: Store, tmp_path: Path
) -> None:
    write(store, CONTACT, "contact", said="How they drink.", told_about=TWIN, **NUMBERS, **concerns)
    _done, told = given_to(store, BABY, tmp_path / "out")
    assert not {field for field in values(told, CONTACT) if field.startswith("told_")}
    assert ("said" in values(told, CONTACT)) == bool(concerns)
    _done, told = given_to(store, TWIN, tmp_path / "twin")
    assert values(told, CONTACT)["told_weight"] == "3020"


def test_of_a_call_about_somebody_else_the_numbers_told_go_to_the_one_they_are_of_and_no_words(
    store: Store, tmp_path: Path
) -> None:
    write(store, CONTACT, "contact", at=moment(2), said="Of the twin.", concerns=(TWIN,), told_about=BABY, **NUMBERS)
    _done, told = given_to(store, BABY, tmp_path / "out")
    assert set(values(told, CONTACT)) == {"at", "told_about", *NUMBERS}


def test_numbers_of_which_it_was_not_said_whose_they_are_stay_here(store: Store, tmp_path: Path) -> None:
    write(store, CONTACT, "contact", said="How she drinks.", **NUMBERS)
    _done, told = given_to(store, BABY, tmp_path / "out")
    assert set(values(told, CONTACT)) == {"said"}


def test_an_entry_that_two_devices_say_is_of_two_people_goes_to_neither(store: Store, tmp_path: Path) -> None:
    tablet = Writer("tablet")
    store.exchange().receive(
        (),
        [
            tablet.begin(CONTACT, "contact", family=FAMILY), tablet.put(CONTACT, "said", "Whose?"),
            tablet.put(CONTACT, "concerns", {"many": [BABY]}), Writer("phone").put(CONTACT, "concerns", {"many": [TWIN]}),
        ],
    )  # fmt: skip
    assert len(store.disputes(FAMILY)) == 1
    for person in (BABY, TWIN):
        _done, told = given_to(store, person, tmp_path / person)
        assert values(told, CONTACT) == {}


def test_an_entry_whose_people_only_a_newer_version_can_read_goes_to_nobody(store: Store, tmp_path: Path) -> None:
    write(store, CONTACT, "contact", said="Whose?")
    assert values(given_to(store, BABY, tmp_path / "before")[1], CONTACT) == {"said": "Whose?"}
    store.exchange().receive((), [Writer("tablet").put(CONTACT, "concerns", {"newer": TWIN})])
    assert values(given_to(store, BABY, tmp_path / "after")[1], CONTACT) == {}


def test_a_closing_goes_to_those_it_covers_with_no_release_of_somebody_else(store: Store, tmp_path: Path) -> None:
    mine, of_twin = "ab" * 16, "cd" * 16
    write(store, mine, "release", BABY, given_by="Maren")
    write(store, of_twin, "release", TWIN, given_by="Maren")
    both: dict[str, Any] = {"covers": (BABY, TWIN), "reason": "moved", "release": (mine, of_twin)}
    write(store, CLOSING, "closing", **both)
    write(store, SECOND, "closing", covers=(TWIN,), goal_words="The twin feeds.")
    _done, told = given_to(store, BABY, tmp_path / "out")
    assert values(told, SECOND) == {}
    assert {row["value"] for row in told if row["field"] == "covers"} == {BABY, TWIN}
    assert {row["value"] for row in told if row["field"] == "release"} == {mine}


LEFT_OPEN: dict[str, tuple[tuple[str, ...], str | None, dict[str, Any], bool]] = {
    "her own letter": ((BABY,), VISIT, {"form": "referral", "question": "Please look."}, True),
    "another one’s letter": ((PARENT,), VISIT, {"form": "referral", "question": "Please look."}, False),
    "a plan of the family": ((), VISIT, {"form": "plan", "goal": "To feed."}, True),
    "her own task": ((), VISIT, {"form": "plan_task", "what": "Weigh.", "concerns": (BABY,)}, True),
    "a task for both": ((), VISIT, {"form": "plan_task", "what": "Weigh.", "concerns": (BABY, TWIN)}, False),
    "her own call": ((), None, {"form": "contact", "next_step": "Ring.", "concerns": (BABY,)}, True),
    "a call with a twin’s numbers": (
        (), None, {"form": "contact", "next_step": "Ring.", "concerns": (BABY,), "told_about": TWIN}, False,
    ),
    "an urgent call told openly": (
        (BABY,), VISIT, {"form": "urgent_contact", "covers": (), "outcome": "override"}, True,
    ),
    "an urgent call told in confidence": (
        (BABY,), VISIT, {"form": "urgent_contact", "covers": ("not known",), "outcome": "override"}, False,
    ),
    "another loop": ((), None, {"form": "loop", "of": "0" * 32}, False),
}  # fmt: skip


@pytest.mark.parametrize("what", LEFT_OPEN)
def test_what_is_left_open_is_told_only_where_it_is_this_persons_alone_and_goes_along(
    what: str, store: Store, tmp_path: Path
) -> None:
    subjects, visit, answers, goes = LEFT_OPEN[what]
    form = answers["form"]
    write(store, TARGET, form, *subjects, visit=visit, **{k: v for k, v in answers.items() if k != "form"})
    write(store, CLOSING, "closing", covers=(BABY, TWIN))
    write(store, LOOP, "loop", closing=CLOSING, of=TARGET, owner="settled", settled_how="She saw to it.")
    _done, told = given_to(store, BABY, tmp_path / "unsigned")
    assert ("settled_how" in values(told, LOOP)) == (goes and visit is None)
    store.sign(VISIT, author=AUTHOR)
    _done, told = given_to(store, BABY, tmp_path / "signed")
    assert ("settled_how" in values(told, LOOP)) == goes


def test_what_a_closing_of_somebody_else_left_open_stays_here(store: Store, tmp_path: Path) -> None:
    write(store, TARGET, "contact", next_step="Ring.")
    write(store, CLOSING, "closing", covers=(TWIN,))
    write(store, LOOP, "loop", closing=CLOSING, of=TARGET, owner="settled", settled_how="She saw to it.")
    _done, told = given_to(store, BABY, tmp_path / "out")
    assert values(told, LOOP) == {}


@pytest.mark.parametrize("insured", [BABY, PARENT])
def test_an_insurance_goes_to_the_one_who_is_insured(insured: str, store: Store, tmp_path: Path) -> None:
    write(store, TARGET, "receipt", BABY, visit=VISIT, insured=insured, payer="P", member_number="1", place="home")
    store.sign(VISIT, author=AUTHOR)
    _done, told = given_to(store, BABY, tmp_path / "out")
    assert set(values(told, TARGET)) == ({"insured", "payer", "member_number"} if insured == BABY else set()) | {
        "place"
    }


BESIDE = frozenset({"provider", "practitioner", "prompt", "question"})
"""What is the practice's own or the program's: whoever it is named to learns nothing of a family."""


def test_each_field_that_names_people_or_entries_is_decided_on() -> None:
    named = {
        f"{name}.{field}"
        for name, form in catalog().items()
        if form.about is not About.PRACTICE
        for field, ask in asks(form).items()
        if set(ask.of) - BESIDE
    }
    assert named | {"addendum.note"} == set(NAMED)  # a note is named in a line, by ids with a plus between


def test_each_form_of_a_family_or_a_visit_as_a_whole_says_whom_it_is_about_or_is_of_all() -> None:
    says = {where.partition(".")[0] for where, how in NAMED.items() if how in (Named.WHOM, Named.FOLLOWS)}
    wholes = {name for name, form in catalog().items() if form.about in (About.FAMILY, About.VISIT)}
    assert wholes - says - {"jot"} == set(OF_ALL)  # a jot goes to nobody
    assert not says & OF_ALL


def test_why_an_answer_was_changed_stays_here(store: Store, tmp_path: Path) -> None:
    store.write([put(BABY, "called_name", "Ida", reason="The aunt was wrong.")], author=AUTHOR)
    _done, told = given_to(store, BABY, tmp_path / "out")
    assert {row["reason"] for row in told} == {""}


@pytest.mark.parametrize("knew_it", [True, False])
@pytest.mark.parametrize(("sent", "told_later"), [("heard", "heard"), (None, "")])
def test_what_was_signed_stands_as_the_answer_and_what_arrived_afterwards_beside_it(
    sent: str | None, told_later: str, knew_it: bool, store: Store, tmp_path: Path
) -> None:
    write(store, FEED, "feed", PARENT, BABY, visit=VISIT, observed="seen")
    kept = store.entry(FEED)
    assert kept is not None
    store.sign(VISIT, author=AUTHOR)
    tablet = Writer("tablet", clock=datetime(2026, 3, 3, 15, tzinfo=UTC))
    store.exchange().receive((), [tablet.put(FEED, "observed", sent, kept.heads["observed"] if knew_it else ())])
    _done, told = given_to(store, BABY, tmp_path / "out")
    found = [row for row in told if row["entry"] == FEED and row["field"] == "observed"]
    assert [(row["value"], row["after_signing"], row["conflict"]) for row in found] == [
        ("seen", "no", "no"),
        (told_later, "yes", "no"),
    ]
    assert answers(store, FEED).observed == "seen"


def test_what_was_restored_and_signed_goes_as_it_was_signed_whatever_arrives(store: Store, tmp_path: Path) -> None:
    write(store, FEED, "feed", PARENT, BABY, visit=VISIT, observed="seen")
    store.write([StrikeOut(FEED, "another baby")], author=AUTHOR)
    store.write([Restore(FEED, "it was this one")], author=AUTHOR)
    kept = store.entry(FEED)
    assert kept is not None
    store.sign(VISIT, author=AUTHOR)
    store.exchange().receive((), [Writer("tablet").put(FEED, STRUCK, {"reason": "Not this baby."}, kept.heads[STRUCK])])
    _done, told = given_to(store, BABY, tmp_path / "out")
    assert [(row["value"], row["struck"]) for row in told if row["entry"] == FEED] == [("seen", "no")]
    entries = (tmp_path / "out" / "tables" / "entries.csv").read_bytes().decode()
    assert [row["struck"] for row in csv.DictReader(io.StringIO(entries, newline="")) if row["entry"] == FEED] == ["no"]


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


def test_a_photo_that_shows_somebody_else_too_as_was_told_after_signing_stays_here(
    store: Store, tmp_path: Path
) -> None:
    agreed(store, BABY)
    photographed(store, also_shows=())
    store.sign(VISIT, author=AUTHOR)
    assert given_to(store, BABY, tmp_path / "before")[0].counts["attachments"] == 1
    store.exchange().receive((), [Writer("tablet").put(PHOTO, "also_shows", {"many": [TWIN]})])
    done, told = given_to(store, BABY, tmp_path / "after")
    assert done.counts["attachments"] == 0
    assert PHOTO not in {row["entry"] for row in told}


def test_an_insurance_of_which_two_devices_say_two_people_hold_it_goes_to_neither(store: Store, tmp_path: Path) -> None:
    write(store, TARGET, "receipt", BABY, visit=VISIT, insured=BABY, payer="P", place="home")
    store.sign(VISIT, author=AUTHOR)
    assert values(given_to(store, BABY, tmp_path / "before")[1], TARGET)["payer"] == "P"
    tablet = Writer("tablet")
    store.exchange().receive((), [tablet.put(TARGET, "insured", PARENT), tablet.put(TARGET, "payer", "Q")])
    assert values(given_to(store, BABY, tmp_path / "after")[1], TARGET) == {"place": "home"}


@pytest.mark.parametrize("of", [FAMILY, VISIT, "0" * 32, ""])
def test_what_is_nobodys_id_gets_a_sentence_and_leaves_no_folder(of: str, store: Store, tmp_path: Path) -> None:
    with pytest.raises(NotExported, match="no parent and no baby"):
        given_to(store, of, tmp_path / "out")
    assert not list(tmp_path.glob("out*"))
