"""A device is let in by a code, by digits that two people compare, and by nothing else; a host changes nothing unseen."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from forms.trouble import Trouble
from storage.store import Store
from sync.exchange.join import Asking, Guest, Heard, admit, ask_to_join, come_in, heard, meet_guest, turn_away
from sync.exchange.practice import found_practice, practice_of, put_out
from sync.exchange.troubles import (
    AlreadyShared,
    AnswerChanged,
    CodeMistyped,
    CodeOld,
    CodeUsed,
    NoRequest,
    NotFounded,
    NotOwner,
    OlderRecord,
    RequestChanged,
    WasPutOut,
)
from sync.membership.acts import Role
from sync.membership.joining import greeting, read_code
from tests.helpers.shelf import Shelf, device, joined, meet
from tests.helpers.stores import AUTHOR, VISIT, Clock, put, small_family


@dataclass
class Door:
    """An owner with a record at a place, and a new device outside; both read one clock."""

    laptop: Store
    tablet: Store
    shelf: Shelf
    clock: Clock

    def ask(self) -> Asking:
        return ask_to_join(self.tablet, self.shelf, "Tablet", self.clock)

    def meet(self, asking: Asking) -> tuple[Guest, Heard]:
        guest = meet_guest(self.laptop, self.shelf, asking.shown, self.clock)
        met = heard(self.shelf, asking, self.clock)
        assert met is not None
        return guest, met

    def let_in(self, role: Role = Role.CONSULTANT) -> None:
        guest, met = self.meet(self.ask())
        admit(self.laptop, self.shelf, guest, role, self.clock)
        assert come_in(self.tablet, self.shelf, met, self.clock) is not None


@pytest.fixture
def door(tmp_path: Path) -> Iterator[Door]:
    laptop, tablet, shelf = device(tmp_path, "laptop").store, device(tmp_path, "tablet").store, Shelf()
    found_practice(laptop, "Laptop", Clock())
    laptop.write(small_family(), author=AUTHOR)
    meet(laptop, shelf)
    yield Door(laptop, tablet, shelf, Clock(datetime(2026, 3, 3, 15, tzinfo=UTC)))
    laptop.close()
    tablet.close()


def refused(door: Door, act: Callable[[], object], trouble: type[Trouble]) -> None:
    """It is refused in one sentence, and nobody knows more or belongs than before."""
    practice = practice_of(door.laptop)
    assert practice is not None
    before = practice.acts
    with pytest.raises(trouble) as told:
        act()
    assert told.value.sentence.endswith(".")
    after = practice_of(door.laptop)
    assert after is not None
    assert after.acts == before
    assert practice_of(door.tablet) is None


@pytest.mark.parametrize("role", list(Role))
def test_a_device_that_was_let_in_shows_the_record_and_has_the_role_given(door: Door, role: Role) -> None:
    asking = door.ask()
    assert heard(door.shelf, asking, door.clock) is None
    guest, met = door.meet(asking)
    assert guest.label == "Tablet"
    assert guest.digits == met.digits
    assert [len(group) for group in met.digits.split()] == [4] * 6
    assert come_in(door.tablet, door.shelf, met, door.clock) is None
    admit(door.laptop, door.shelf, guest, role, door.clock)
    practice = come_in(door.tablet, door.shelf, met, door.clock)
    assert practice is not None
    assert practice.roster.members[door.tablet.device].role is role
    meet(door.tablet, door.shelf)
    assert door.tablet.exchange().digest() == door.laptop.exchange().digest()


def test_the_place_learns_neither_the_code_nor_what_was_answered(door: Door) -> None:
    asking = door.ask()
    guest, met = door.meet(asking)
    admit(door.laptop, door.shelf, guest, Role.OWNER, door.clock)
    assert met.digits
    for data in door.shelf.held.values():
        assert asking.code.secret not in data
        assert asking.code.secret.hex().encode() not in data
    answer = door.shelf.held[asking.code.name_of("answer")]
    practice = practice_of(door.laptop)
    assert practice is not None
    assert practice.founding.encode() not in answer


@pytest.mark.parametrize("at", [0, 7, 25, 51])
def test_a_mistyped_code_is_told_before_anything_is_asked(door: Door, at: int) -> None:
    shown = door.ask().shown.replace(" ", "")
    wrong = shown[:at] + ("2" if shown[at] != "2" else "3") + shown[at + 1 :]
    asked = door.shelf.requests
    for typed in (wrong, shown[:-1], shown + "2", "", "a quiet word"):
        refused(door, lambda typed=typed: meet_guest(door.laptop, door.shelf, typed, door.clock), CodeMistyped)  # type: ignore[misc]
    assert door.shelf.requests == asked


def test_a_code_is_read_whatever_its_case_and_spaces(door: Door) -> None:
    asking = door.ask()
    assert read_code(asking.shown.lower().replace(" ", "-")) == asking.code


def test_a_code_nobody_asks_with_is_told(door: Door) -> None:
    asking = door.ask()
    del door.shelf.held[asking.code.name_of("request")]
    refused(door, lambda: meet_guest(door.laptop, door.shelf, asking.shown, door.clock), NoRequest)


@pytest.mark.parametrize("step", ["meet", "admit", "come in"])
def test_a_code_holds_ten_minutes(door: Door, step: str) -> None:
    asking = door.ask()
    if step == "meet":
        door.clock.at += timedelta(minutes=10)
        refused(door, lambda: meet_guest(door.laptop, door.shelf, asking.shown, door.clock), CodeOld)
        with pytest.raises(CodeOld):
            heard(door.shelf, asking, door.clock)
        return
    guest, met = door.meet(asking)
    if step == "admit":
        door.clock.at += timedelta(minutes=10)
        refused(door, lambda: admit(door.laptop, door.shelf, guest, Role.OWNER, door.clock), CodeOld)
        return
    admit(door.laptop, door.shelf, guest, Role.OWNER, door.clock)
    door.clock.at += timedelta(minutes=10)
    refused(door, lambda: come_in(door.tablet, door.shelf, met, door.clock), CodeOld)
    door.let_in()  # let in already, and takes its answer with a new code


def test_a_code_is_used_once(door: Door) -> None:
    asking = door.ask()
    guest, met = door.meet(asking)
    admit(door.laptop, door.shelf, guest, Role.OWNER, door.clock)
    refused(door, lambda: meet_guest(door.laptop, door.shelf, asking.shown, door.clock), CodeUsed)
    refused(door, lambda: admit(door.laptop, door.shelf, guest, Role.OWNER, door.clock), CodeUsed)
    assert come_in(door.tablet, door.shelf, met, door.clock) is not None


def test_digits_that_differ_let_nobody_in_and_end_the_code(door: Door) -> None:
    asking = door.ask()
    guest, met = door.meet(asking)
    turn_away(door.laptop, guest)
    refused(door, lambda: meet_guest(door.laptop, door.shelf, asking.shown, door.clock), CodeUsed)
    refused(door, lambda: admit(door.laptop, door.shelf, guest, Role.OWNER, door.clock), CodeUsed)
    assert come_in(door.tablet, door.shelf, met, door.clock) is None
    door.let_in()


def test_whoever_saw_the_code_and_answers_first_shows_other_digits(door: Door, tmp_path: Path) -> None:
    thief = device(tmp_path, "thief").store
    false = found_practice(thief, "Laptop", Clock())
    asking = door.ask()
    slipped = greeting(false.roster.members[thief.device], false.roster.repository, false.founding, asking.code)
    name = asking.code.name_of("greeting")
    door.shelf.held[name] = slipped.raw
    met = heard(door.shelf, asking, door.clock)
    assert met is not None
    refused(door, lambda: meet_guest(door.laptop, door.shelf, asking.shown, door.clock), CodeUsed)
    del door.shelf.held[name]  # a host that shows each side another greeting
    guest = meet_guest(door.laptop, door.shelf, asking.shown, door.clock)
    assert guest.digits != met.digits
    thief.close()


@pytest.mark.parametrize("what", ["request", "greeting", "answer"])
def test_a_changed_message_lets_nobody_in(door: Door, what: str) -> None:
    asking = door.ask()
    name = asking.code.name_of(what)
    if what == "request":
        for bad in _spoilt(door.shelf.held[name]):
            door.shelf.held[name] = bad
            refused(door, lambda: meet_guest(door.laptop, door.shelf, asking.shown, door.clock), RequestChanged)
        return
    guest, met = door.meet(asking)
    if what == "greeting":
        for bad in _spoilt(door.shelf.held[name]):
            door.shelf.held[name] = bad
            refused(door, lambda: heard(door.shelf, asking, door.clock), AnswerChanged)
        return
    admit(door.laptop, door.shelf, guest, Role.OWNER, door.clock)
    for bad in _spoilt(door.shelf.held[name]):
        door.shelf.held[name] = bad
        refused(door, lambda: come_in(door.tablet, door.shelf, met, door.clock), AnswerChanged)


def _spoilt(raw: bytes) -> list[bytes]:
    flipped = [raw[:at] + bytes([raw[at] ^ 1]) + raw[at + 1 :] for at in range(0, len(raw), max(1, len(raw) // 40))]
    return [*flipped, raw[:-1], raw + b"x", b"x"]


def test_another_devices_request_under_the_codes_name_is_refused(door: Door, tmp_path: Path) -> None:
    stranger = device(tmp_path, "stranger").store
    asking, other = door.ask(), ask_to_join(stranger, door.shelf, "Tablet", door.clock)
    door.shelf.held[asking.code.name_of("request")] = door.shelf.held[other.code.name_of("request")]
    refused(door, lambda: meet_guest(door.laptop, door.shelf, asking.shown, door.clock), RequestChanged)
    stranger.close()


def test_a_place_that_shows_older_acts_than_the_owner_knows_is_refused(door: Door) -> None:
    guest, met = door.meet(door.ask())
    admit(door.laptop, door.shelf, guest, Role.OWNER, door.clock)
    newest = f"m/{door.laptop.device}/00000002"
    kept = door.shelf.held.pop(newest)
    refused(door, lambda: come_in(door.tablet, door.shelf, met, door.clock), OlderRecord)
    door.shelf.held[newest] = kept
    assert come_in(door.tablet, door.shelf, met, door.clock) is not None


def test_a_place_that_shows_fewer_files_than_the_owner_knew_is_told(door: Door) -> None:
    """The host rolls everything back to before the last visit, signs of life too."""
    old = dict(door.shelf.held)
    door.laptop.write([put(VISIT, "kind", "clinic")], author=AUTHOR)
    meet(door.laptop, door.shelf)
    door.let_in()
    back = {name: data for name, data in door.shelf.held.items() if name[0] not in "ch" or name in old}
    door.shelf.held.clear()
    door.shelf.held.update({**back, f"h/{door.laptop.device}": old[f"h/{door.laptop.device}"]})
    told = meet(door.tablet, door.shelf)
    assert [(gap.first, gap.last) for gap in told.held] == [(2, 2)]
    assert not told.complete


def test_only_an_owner_lets_in_and_only_one_who_shares(door: Door, tmp_path: Path) -> None:
    asking = door.ask()
    phone, alone = device(tmp_path, "phone").store, device(tmp_path, "alone").store
    joined(door.laptop, phone, "Phone", Role.CONSULTANT)
    with pytest.raises(NotOwner):
        meet_guest(phone, door.shelf, asking.shown, door.clock)
    with pytest.raises(NotFounded):
        meet_guest(alone, door.shelf, asking.shown, door.clock)
    with pytest.raises(AlreadyShared):
        ask_to_join(phone, door.shelf, "Phone", door.clock)
    phone.close()
    alone.close()


def test_whoever_was_put_out_does_not_come_back_under_its_name(door: Door) -> None:
    asking = door.ask()
    guest, _met = door.meet(asking)
    practice = admit(door.laptop, door.shelf, guest, Role.OWNER, door.clock)
    put_out(door.laptop, practice, door.tablet.device, door.clock)
    again = door.ask()
    with pytest.raises(WasPutOut):
        meet_guest(door.laptop, door.shelf, again.shown, door.clock)
