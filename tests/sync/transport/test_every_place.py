"""One suite for every engine: what a round rests on holds at each of them alike."""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import obstore
import pytest

from sync.transport.port import WIDTH
from sync.transport.troubles import Forked, NotKept
from sync.wire import names
from tests.helpers.engines import Place

MINE, THEIRS = "a1" * 16, "b2" * 16
FIRST = names.change(MINE, 1)
BYTES = bytes(range(256)) * 20


def test_what_is_put_comes_back_whole_and_in_parts(place: Place) -> None:
    target = place.open()
    target.put(FIRST, BYTES)
    assert target.get(FIRST) == BYTES
    assert target.size(FIRST) == len(BYTES)
    assert target.part(FIRST, 100, 50) == BYTES[100:150]
    assert target.part(FIRST, len(BYTES) - 10, 50) == BYTES[-10:]
    assert target.part(FIRST, len(BYTES), 50) == b""
    assert target.part(FIRST, len(BYTES) + 1, 50) == b""
    assert place.open().get(FIRST) == BYTES


def test_a_blob_of_four_mebibytes_goes_in_one_piece(place: Place) -> None:
    data = b"".join(number.to_bytes(4, "big") for number in range(1024 * 1024))
    name = names.blob(MINE, "c" * 64, 0)
    target = place.open()
    target.put(name, data)
    assert target.get(name) == data
    assert target.part(name, 2 * 1024 * 1024, 8) == data[2 * 1024 * 1024 : 2 * 1024 * 1024 + 8]


def test_what_is_absent_is_none_and_no_trouble(place: Place) -> None:
    target = place.open()
    for name in (names.REPOSITORY, FIRST, names.act(MINE, 1), names.blob(MINE, "c" * 64), names.beat(MINE)):
        assert target.get(name) is None
        assert target.size(name) is None
        assert target.part(name, 0, 10) is None
    assert target.names("") == ((), ())
    assert target.names("c") == ((), ())
    assert target.names(f"c/{MINE}/00000") == ((), ())
    target.put(FIRST, BYTES)
    assert target.get(names.change(MINE, 2)) is None


def test_the_same_bytes_again_are_not_written_again(place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    target = place.open()
    target.put(FIRST, BYTES)
    monkeypatch.setattr(obstore, "put", lambda *_given, **_more: pytest.fail("it was written again"))
    target.put(FIRST, BYTES)
    place.open().put(FIRST, BYTES)


def test_other_bytes_under_a_name_of_ours_are_never_written_over(place: Place) -> None:
    target = place.open()
    target.put(FIRST, BYTES)
    with pytest.raises(Forked) as raised:
        target.put(FIRST, BYTES[::-1])
    assert "was left as it is" in raised.value.sentence
    assert place.lies(FIRST) == BYTES
    place.lay(names.change(MINE, 2), BYTES + b"more")
    with pytest.raises(Forked):
        target.put(names.change(MINE, 2), BYTES)
    assert place.lies(names.change(MINE, 2)) == BYTES + b"more"


@pytest.mark.parametrize(
    "left", [b"", BYTES[:700], bytes(700), bytes(len(BYTES))], ids=["empty", "half", "zeros", "all"]
)
def test_what_a_broken_off_write_left_is_completed(place: Place, left: bytes) -> None:
    place.lay(FIRST, left)
    target = place.open()
    assert target.get(FIRST) == left
    target.put(FIRST, BYTES)
    assert place.lies(FIRST) == BYTES


def cut(times: int) -> Callable[..., Any]:
    """A put of which the engine gets only half, so many times; it says that all went well."""
    real, left = obstore.put, [times]

    def put(store: Any, name: str, data: bytes, **more: Any) -> Any:
        left[0] -= 1
        return real(store, name, data[: len(data) // 2] if left[0] >= 0 else data, **more)

    return put


def test_a_write_that_was_torn_on_the_way_is_seen_and_done_again(place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(obstore, "put", cut(1))
    place.open().put(FIRST, BYTES)
    assert place.lies(FIRST) == BYTES


def test_a_place_that_never_keeps_the_whole_is_told(place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(obstore, "put", cut(1_000))
    with pytest.raises(NotKept):
        place.open().put(FIRST, BYTES)
    monkeypatch.undo()
    place.open().put(FIRST, BYTES)
    assert place.lies(FIRST) == BYTES


def test_a_sign_of_life_is_written_over(place: Place) -> None:
    target = place.open()
    for data in (BYTES, BYTES[:10], b"x" * 5_000, b"x" * 10):
        target.replace(names.beat(MINE), data)
        assert target.get(names.beat(MINE)) == data


def test_a_folder_lists_what_lies_right_below_in_order(place: Place) -> None:
    target = place.open()
    for chain in (THEIRS, MINE):
        for number in (12, 3, 1_000):
            target.put(names.change(chain, number), BYTES)
        target.put(names.act(chain, 1), BYTES)
    target.put(names.REPOSITORY, b"{}")
    assert target.names("") == ((names.REPOSITORY,), ("c", "m"))
    assert target.names("c") == ((), (f"c/{MINE}", f"c/{THEIRS}"))
    assert target.names(f"c/{MINE}") == ((), (f"c/{MINE}/00000", f"c/{MINE}/00001"))
    assert target.names(f"c/{MINE}/00000") == ((names.change(MINE, 3), names.change(MINE, 12)), ())
    assert target.names(f"m/{MINE}") == ((names.act(MINE, 1),), ())


def test_what_is_not_ours_is_told_and_left_alone(place: Place) -> None:
    target = place.open()
    target.put(FIRST, BYTES)
    strange = (
        "holiday.jpg", "c/read me.txt", f"c/{MINE}/00000/thumbs.db", f"c/{MINE}/00000/0000001", f"c/{MINE}/00000/ä é 1",
    )  # fmt: skip
    for name in strange:
        place.lay(name, b"theirs")
    root, chains, files = target.listed(""), target.listed("c"), target.listed(f"c/{MINE}/00000")
    assert (root.names, root.folders, root.foreign) == ((), ("c",), ("holiday.jpg",))
    assert (chains.folders, chains.foreign) == ((f"c/{MINE}",), ("c/read me.txt",))
    assert (files.names, files.foreign) == ((FIRST,), tuple(sorted(strange[2:])))
    target.sweep(MINE)
    assert [place.lies(name) for name in strange] == [b"theirs"] * len(strange)


@pytest.mark.parametrize(
    "copy", ["00000001 (conflicted copy)", "00000001 (Laptop's copy 2026-03-03)", "00000001.sync-conflict-20260303", "00000001 2"]
)  # fmt: skip
def test_a_conflict_copy_is_told_beside_its_name_and_can_be_read(place: Place, copy: str) -> None:
    place.lay(f"c/{MINE}/00000/{copy}", BYTES)
    target = place.open()
    found = target.listed(f"c/{MINE}/00000")
    assert found.copies == ((FIRST, f"c/{MINE}/00000/{copy}"),)
    assert (found.names, found.foreign) == ((), ())
    assert target.stray(found.copies[0][1]) == BYTES
    target.put(FIRST, BYTES)
    assert place.lies(f"c/{MINE}/00000/{copy}") == BYTES


def test_two_devices_that_make_the_same_folders_at_once_both_succeed(place: Place) -> None:
    begin = threading.Barrier(8)

    def write(one: int) -> None:
        target, chain = place.open(), f"{one:032x}"
        begin.wait(30)
        for name in (names.change(chain, 1), names.act(chain, 1), names.beat(chain), names.blob(chain, "c" * 64)):
            target.put(name, BYTES)

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(write, range(8)))
    assert len(place.open().names("c")[1]) == 8
    assert len(place.open().names("h")[0]) == 8


def test_ten_thousand_names_are_found_by_asking_for_the_next(place: Place) -> None:
    every = [names.change(MINE, number) for number in range(1, 10_001)]
    place.lay_many(every, lambda name: name.encode())
    told: list[int] = []
    target = place.open(progress=told.append)
    asked = [*every, names.change(MINE, 10_001)]
    found = list(target.get_all(asked))
    assert [name for name, _data in found] == asked
    assert all(data == name.encode() for name, data in found[:-1])
    assert found[-1][1] is None
    assert told == list(range(1, 10_002))
    assert len(target.names(f"c/{MINE}/00004")[0]) == 1_000


def test_many_are_read_at_once_but_never_more_than_agreed(place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    target = place.open()
    every = [names.change(MINE, number) for number in range(1, 60)]
    place.lay_many(every, lambda _name: BYTES)
    under_way, most, lock, real = [0], [0], threading.Lock(), obstore.get

    def get(*given: Any, **more: Any) -> Any:
        with lock:
            under_way[0] += 1
            most[0] = max(most[0], under_way[0])
        try:
            return real(*given, **more)
        finally:
            with lock:
                under_way[0] -= 1

    monkeypatch.setattr(obstore, "get", get)
    assert len(list(target.get_all(every))) == len(every)
    assert 1 <= most[0] <= WIDTH


@pytest.mark.parametrize(
    "name", ["", "c", "../outside", "/etc/passwd", "holiday.jpg", f"c/{MINE}/00000/1", f"{FIRST}/x"]
)
def test_a_name_that_is_none_of_ours_is_never_asked_for(place: Place, name: str) -> None:
    target = place.open()
    for ask in (target.get, target.size, lambda n: target.put(n, b"x"), lambda n: target.replace(n, b"x")):
        with pytest.raises(ValueError, match="no name of ours"):
            ask(name)
    if name not in {"", "c"}:
        with pytest.raises(ValueError, match="no folder of ours"):
            target.names(name)
