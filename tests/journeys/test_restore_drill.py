"""The restore drill: every device is gone; the recovery sheet and the place bring the whole record back."""

from __future__ import annotations

import secrets
import shutil
from collections.abc import Callable
from pathlib import Path

from desktop.beginning import somebody_new
from storage.vault import prove_recovery, unlock
from sync.exchange.practice import found_practice, practice_of
from sync.exchange.round import sync_round
from sync.transport.opening import open_target
from tests.helpers.charting import Charter
from tests.helpers.shelf import device, joined
from tests.helpers.stores import AUTHOR, BABY, VISIT, Clock, put, small_family
from tests.helpers.two_devices import LOCUM

SitDown = Callable[[Path], Charter]
PASSPHRASE = "teasel by the second gate"


def everything_lost(folder: Path, place: Path) -> tuple[str, str, dict[str, bytes]]:
    """A laptop and a tablet chart, meet at the place, and are gone: the sheet, the digest, the attachments."""
    made, tablet = device(folder, "laptop"), device(folder, "tablet").store
    laptop = made.store
    found_practice(laptop, "Laptop", Clock())
    people = [*somebody_new(AUTHOR, "Rosalind Achterberg"), *somebody_new(LOCUM, "Juniper Vale")]
    laptop.write([*people, put(AUTHOR, "credentials", "IBCLC"), *small_family()], author=AUTHOR)
    joined(laptop, tablet, "Tablet")
    for store in (laptop, tablet):
        sync_round(store, open_target(str(place), own=store.device), clock=Clock())
    laptop.write([put(BABY, "called_name", "Ida")], author=AUTHOR)
    tablet.write([put(VISIT, "kind", "clinic"), put(BABY, "called_name", "Idi")], author=LOCUM)
    photo = secrets.token_bytes(200_000)
    files = {tablet.attach(photo, "image/png"): photo}
    for store in (tablet, laptop, tablet):
        sync_round(store, open_target(str(place), own=store.device), clock=Clock())
    digest = laptop.exchange().digest()
    assert digest == tablet.exchange().digest()
    for store in (laptop, tablet):
        store.close()
        shutil.rmtree(store.folder)
    return made.recovery_words, digest, files


def test_with_every_device_gone_the_sheet_and_the_place_bring_back_the_same_record(
    sit_down: SitDown, tmp_path: Path
) -> None:
    place = tmp_path / "stick"
    place.mkdir()
    words, digest, files = everything_lost(tmp_path, place)
    person = sit_down(tmp_path / "new")
    person.until_page("first_launch")
    person.press("Everything is lost: come back with the recovery sheet")
    person.write("Recovery words", words[:-1])
    person.write("Passphrase", PASSPHRASE)
    person.write("Once more", PASSPHRASE)
    person.press("Make the record")
    person.until_sees("do not fit together")
    assert not (person.folder / "keys").exists()
    person.write("Recovery words", words.lower())
    person.press("Make the record")
    person.until_page("come_back")
    person.until_sees("The sheet and the place where the devices met are enough.")
    person.write("What to call this device", "New laptop")
    person.write("Address of the place", str(tmp_path / "nowhere"))
    person.press("Bring the record back")
    person.until_sees("is not there. Plug the stick in")
    person.write("Address of the place", str(place))
    person.press("Bring the record back")
    person.until_sees("The record is back. Which devices are lost?")
    assert person.sees("Laptop")
    person.press("Put Laptop out")
    person.until_sees("Put out: “Laptop”.")
    person.press("Put Tablet out")
    person.until_sees("Put out: “Laptop”, “Tablet”.")
    person.press("Go on")
    person.until_sees("Who charts on this device?")
    person.press("Rosalind Achterberg")
    person.until_page("caseload")
    person.until_sees("Quillfeather-Ode")
    person.until_idle()
    session = person.program.gate.session
    assert session is not None
    assert session.words == ""
    person.lock()
    same(person.folder, digest, files, words)
    person.unlock(PASSPHRASE)
    session = person.program.gate.session
    assert session is not None
    assert session.author == AUTHOR


def same(folder: Path, digest: str, files: dict[str, bytes], words: str) -> None:
    """The store holds what was lost, byte for byte where it counts, and stands alone among the devices now."""
    store = unlock(folder, PASSPHRASE)
    assert store.exchange().digest() == digest
    assert {name: store.attachment(name) for name in files} == files
    assert store.check() == ()
    assert len(store.disputes()) == 1  # what the two had written apart is still both
    practice = practice_of(store)
    assert practice is not None
    assert set(practice.roster.members) == {store.device}
    assert len(practice.roster.put_out) == 2
    store.close()
    prove_recovery(folder, words)


def test_a_lock_in_the_middle_of_coming_back_asks_for_the_words_again_and_goes_on(
    sit_down: SitDown, tmp_path: Path
) -> None:
    place = tmp_path / "stick"
    place.mkdir()
    words, _digest, _files = everything_lost(tmp_path, place)
    person = sit_down(tmp_path / "new")
    person.until_page("first_launch")
    person.press("Everything is lost: come back with the recovery sheet")
    person.write("Recovery words", words)
    person.write("Passphrase", PASSPHRASE)
    person.write("Once more", PASSPHRASE)
    person.press("Make the record")
    person.until_page("come_back")
    person.until_sees("The sheet and the place where the devices met are enough.")
    person.lock()
    person.unlock(PASSPHRASE)
    person.until_page("come_back")
    person.until_sees("Recovery words, from the sheet of the device that set sharing up")
    person.write("Recovery words", words)
    person.write("What to call this device", "New laptop")
    person.write("Address of the place", str(place))
    person.press("Bring the record back")
    person.until_sees("The record is back. Which devices are lost?")
    person.press("Go on")
    person.press("Juniper Vale")
    person.until_page("caseload")
    person.until_sees("Quillfeather-Ode")
