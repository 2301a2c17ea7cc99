"""A file that came as an answer is kept as it is, or a photo bare of what came with it; anything else is refused."""

from __future__ import annotations

from hashlib import sha256
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from PIL import Image

from forms.ask import Path as Field
from forms.chart import Place
from forms.letters import letters
from forms.referral import Referral
from forms.trouble import Trouble
from storage.changes import Begin
from storage.store import Store
from sync.handoff import answer_in
from sync.handoff.answer_in import (
    AnswerLocked,
    AnswerTooLarge,
    AnswerUnread,
    NoAnswerFile,
    answer_file,
    attached,
    moved,
)
from sync.handoff.reading.troubles import TooLarge
from tests.helpers.stores import AUTHOR, BABY, FAMILY, VISIT, answers, moment, new_store, put, small_family
from tests.sync.reading.test_sheet_bounds import bomb

LETTER, ANSWER = "7" * 32, "8" * 32


def pdf(password: str = "") -> bytes:
    made, out = pikepdf.new(), BytesIO()
    made.add_blank_page()
    locked = pikepdf.Encryption(user=password, owner=password) if password else None
    made.save(out, encryption=locked, deterministic_id=locked is None)
    return out.getvalue()


def photo() -> bytes:
    out = BytesIO()
    told = Image.Exif()
    told[0x010F] = "Maker of a device"
    Image.new("RGB", (40, 30), (120, 110, 100)).save(out, "JPEG", exif=told)
    return out.getvalue()


def on_disk(folder: Path, data: bytes, name: str = "answer.pdf") -> Path:
    place = folder / name
    place.write_bytes(data)
    return place


def test_a_pdf_is_kept_byte_for_byte(tmp_path: Path) -> None:
    data = pdf()
    found = answer_file(on_disk(tmp_path, data))
    assert (found.data, found.kind, found.media, found.called) == (data, "application/pdf", "pdf", "answer.pdf")


def test_a_photo_is_kept_without_what_came_with_it(tmp_path: Path) -> None:
    found = answer_file(on_disk(tmp_path, photo(), "answer.jpg"))
    assert (found.kind, found.media) == ("image/jpeg", "jpeg")
    assert b"Maker of a device" not in found.data
    assert Image.open(BytesIO(found.data)).size == (40, 30)


@pytest.mark.parametrize(
    ("data", "trouble"),
    [
        (b"", NoAnswerFile), (b"some words", NoAnswerFile), (b"%PDF-1.7\nand nothing of it", NoAnswerFile),
        (b"PK\x03\x04" + bytes(90), NoAnswerFile), (pdf("orchard"), AnswerLocked),
    ],
)  # fmt: skip
def test_what_is_no_answer_is_refused_in_a_sentence_that_says_what_to_do(
    tmp_path: Path, data: bytes, trouble: type[Trouble]
) -> None:
    with pytest.raises(trouble) as refused:
        answer_file(on_disk(tmp_path, data, "came.bin"))
    assert refused.value.sentence.startswith("came.bin")


def test_a_pdf_that_unpacks_to_far_more_than_it_is_is_refused_before_it_is_opened(tmp_path: Path) -> None:
    with pytest.raises(NoAnswerFile) as refused:
        answer_file(on_disk(tmp_path, bomb(20)))
    assert isinstance(refused.value.__cause__, TooLarge)


def test_a_file_of_the_largest_size_is_read_and_one_byte_more_is_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = pdf()
    monkeypatch.setattr(answer_in, "LARGEST_ANSWER", len(data))
    assert answer_file(on_disk(tmp_path, data)).data == data
    with pytest.raises(AnswerTooLarge):
        answer_file(on_disk(tmp_path, data + b"\n"))


def test_a_folder_and_a_file_that_is_gone_are_refused(tmp_path: Path) -> None:
    for place in (tmp_path, tmp_path / "gone.pdf"):
        with pytest.raises(AnswerUnread):
            answer_file(place)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    store = new_store(tmp_path / "store").store
    asked = (Begin(LETTER, Place("referral", FAMILY, VISIT, (BABY,))), put(LETTER, "state", "seen"))
    came = (Begin(ANSWER, Place("letter_answer", FAMILY, None, (BABY,))), put(ANSWER, "letter", LETTER))
    store.write((*small_family(), *asked, *came), author=AUTHOR)
    return store


def test_the_bytes_are_kept_with_the_record_before_the_answer_names_them(store: Store, tmp_path: Path) -> None:
    file = answer_file(on_disk(tmp_path, pdf()))
    store.write(tuple(attached(store, ANSWER, file)), author=AUTHOR)
    kept = answers(store, ANSWER)
    assert (kept.file, kept.media, kept.called) == (sha256(file.data).hexdigest(), "pdf", "answer.pdf")
    assert store.attachment(kept.file) == file.data
    store.close()


def test_each_step_is_an_operation_with_who_and_when_and_telling_the_family_is_said_on_the_answer(store: Store) -> None:
    now = moment(4)
    for state, words in (("answered", ""), ("told_family", "Maren, by phone"), ("closed", "")):
        (letter,) = letters(store.chart(FAMILY), now.local().date())
        store.write(tuple(moved(letter, state, words, now)), author=AUTHOR)
    past = store.history(LETTER, Field("state"))
    assert [head.value for head in past] == ["seen", "answered", "told_family", "closed"]
    assert {head.author for head in past} == {AUTHOR}
    assert [head.at for head in past] == sorted({head.at for head in past})
    assert (answers(store, ANSWER).told_whom, answers(store, ANSWER).told_at) == ("Maren, by phone", now)
    store.close()


def test_a_step_goes_on_after_the_visit_was_signed_and_changes_nothing_of_what_was_signed(store: Store) -> None:
    before = store.sign(VISIT, author=AUTHOR)
    (letter,) = letters(store.chart(FAMILY), moment(4).local().date())
    store.write(tuple(moved(letter, "declined", "No places before June", moment(4))), author=AUTHOR)
    kept = answers(store, LETTER)
    assert isinstance(kept, Referral)
    assert (kept.state, kept.state_why) == ("declined", "No places before June")
    assert store.signatures(FAMILY) == (before,)
    assert store.recheck(VISIT) == ()
    store.close()


def test_a_state_written_elsewhere_meanwhile_stands_beside_the_step_and_is_not_replaced(store: Store) -> None:
    (shown,) = letters(store.chart(FAMILY), moment(4).local().date())
    store.write(tuple(moved(shown, "declined", "No places", moment(4))), author=AUTHOR)
    store.write(tuple(moved(shown, "answered", "", moment(4))), author=AUTHOR)
    (letter,) = letters(store.chart(FAMILY), moment(4).local().date())
    assert sorted(letter.states) == ["answered", "declined"]
    store.write(tuple(moved(letter, "answered", "", moment(4))), author=AUTHOR)
    (settled,) = letters(store.chart(FAMILY), moment(4).local().date())
    assert (settled.states, settled.differs) == (("answered",), "")
    store.close()


def test_choosing_one_of_two_states_says_which_holds_and_nothing_that_nobody_did(store: Store) -> None:
    (shown,) = letters(store.chart(FAMILY), moment(4).local().date())
    store.write(tuple(moved(shown, "answered", "", moment(4))), author=AUTHOR)
    store.write([put(LETTER, "state", "told_family", replaces=shown.entry.heads["state"])], author=AUTHOR)
    (torn,) = letters(store.chart(FAMILY), moment(4).local().date())
    assert sorted(torn.states) == ["answered", "told_family"]
    store.write(tuple(moved(torn, "told_family", "", moment(5))), author=AUTHOR)
    (settled,) = letters(store.chart(FAMILY), moment(5).local().date())
    assert settled.states == ("told_family",)
    assert (answers(store, ANSWER).told_at, settled.untold) == (None, torn.untold)
    store.close()


def test_choosing_that_it_was_sent_keeps_how_and_when(store: Store) -> None:
    (shown,) = letters(store.chart(FAMILY), moment(4).local().date())
    store.write(tuple(moved(shown, "sent", "fax", moment(3))), author=AUTHOR)
    store.write([put(LETTER, "state", "booked", replaces=shown.entry.heads["state"])], author=AUTHOR)
    (torn,) = letters(store.chart(FAMILY), moment(4).local().date())
    store.write(tuple(moved(torn, "sent", "", moment(5))), author=AUTHOR)
    kept = answers(store, LETTER)
    assert (kept.state, kept.sent_how, kept.sent_at) == ("sent", "fax", moment(3))
    store.close()
