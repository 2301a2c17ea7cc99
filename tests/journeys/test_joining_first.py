"""A first launch that joins: passphrase, sheet, code, figures, the record, and Today; nothing is asked that is there."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from desktop.beginning import somebody_new
from desktop.pages.joining import JoinPage
from forms.chart import Place
from forms.role import Role
from storage.changes import Begin
from sync.exchange.join import admit, meet_guest
from sync.exchange.practice import found_practice
from sync.exchange.round import sync_round
from sync.transport.opening import open_target
from tests.helpers.charting import Charter
from tests.helpers.shelf import device
from tests.helpers.stores import AUTHOR, Clock, put, small_family

PASSPHRASE = "teasel by the second gate"
PRACTICE = "9" * 32


def test_a_new_device_joins_from_its_first_launch_and_charts_under_its_own_persons_name(
    sit_down: Callable[[Path], Charter], tmp_path: Path
) -> None:
    place = tmp_path / "stick"
    place.mkdir()
    laptop = device(tmp_path, "laptop").store
    found_practice(laptop, "Laptop", Clock())
    named = (Begin(PRACTICE, Place("practice")), put(PRACTICE, "practice_name", "Teasel Lane Feeding Care"))
    laptop.write([*somebody_new(AUTHOR, "Rosalind Achterberg"), *named, *small_family()], author=AUTHOR)
    target = open_target(str(place), own=laptop.device)
    sync_round(laptop, target, clock=Clock())
    person = sit_down(tmp_path / "new")
    person.until_page("first_launch")
    person.press("Join devices that are there already")
    for _screen in range(3):
        person.press("Go on")
    person.write("Passphrase", PASSPHRASE)
    person.write("Once more", PASSPHRASE)
    person.press("Make the record")
    person.until_page("first_steps")
    session = person.program.gate.session
    assert session is not None
    words = session.words
    person.press("It is on paper")
    person.write("Recovery words, from the paper", words)
    person.press("Check it")
    person.until_page("join")
    person.lock()
    person.unlock(PASSPHRASE)
    person.until_page("join")
    person.write("What to call this device", "Tablet")
    person.write("Address of the place", str(place))
    person.press("Show a code")
    person.until_sees("Type this code on an owner’s device")
    page = person.page
    assert isinstance(page, JoinPage)
    asking = page.joining.asking
    assert asking is not None
    clock = session.clock
    guest = meet_guest(laptop, target, asking.shown, clock)
    person.until_sees("Are these figures the same on both screens?")
    for group in guest.digits.split():
        assert person.sees(group)
    person.press("The same on both")
    admit(laptop, target, guest, Role.CONSULTANT, clock)
    person.until_sees("Who charts on this device?")
    person.press("Chart under this name")
    person.until_sees("Type your name first")
    person.write("Your name, as papers name you", "Juniper Vale")
    person.press("Chart under this name")
    person.until_page("caseload")
    person.until_sees("Quillfeather-Ode")
    person.until_idle()
    person.lock()
    person.unlock(PASSPHRASE)
    person.until_page("caseload")
    after = person.program.gate.session
    assert after is not None
    assert after.author not in ("", AUTHOR)
    laptop.close()


def test_whoever_would_rather_stand_alone_goes_on_with_a_first_launch_from_the_page_for_joining(
    sit_down: Callable[[Path], Charter], tmp_path: Path
) -> None:
    person = sit_down(tmp_path / "new")
    person.until_page("first_launch")
    person.press("Everything is lost: come back with the recovery sheet")
    person.press("Back")
    person.press("Join devices that are there already")
    for _screen in range(3):
        person.press("Go on")
    person.write("Passphrase", PASSPHRASE)
    person.write("Once more", PASSPHRASE)
    person.press("Make the record")
    person.until_page("first_steps")
    session = person.program.gate.session
    assert session is not None
    words = session.words
    person.press("It is on paper")
    person.write("Recovery words, from the paper", words)
    person.press("Check it")
    person.until_page("join")
    person.press("Use this device alone instead")
    person.until_page("first_steps")
    person.until_sees("What papers need, 1 of 3")
    person.lock()
    person.unlock(PASSPHRASE)
    person.until_page("first_steps")
    person.until_sees("What papers need, 1 of 3")
