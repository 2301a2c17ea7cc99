"""The place that goes wrong on purpose does so where it is told to, the same way every time."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from forms.trouble import Trouble
from sync.transport.opening import open_target
from sync.transport.port import Target
from sync.wire import names
from tests.helpers.engines import QUICK
from tests.helpers.faulting import READING, WRITING, Fault, Faulting, drawn_faults

MINE = "a1" * 16
FIRST, SECOND = names.change(MINE, 1), names.change(MINE, 2)
BYTES = bytes(range(100)) * 10
RAISING = {Fault.REFUSED, Fault.UNANSWERED, Fault.SERVER_FAULT}
RAISING_WHEN_WRITTEN = RAISING | {Fault.TORN, Fault.HALF_KEPT, Fault.EMPTY, Fault.CLOBBERED}


def faulting(root: Path, faults: dict[int, Fault], seed: int = 0) -> Faulting:
    def lay(name: str, data: bytes) -> None:
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_bytes(data)

    return Faulting(open_target(str(root), patience=QUICK), faults, lay=lay, seed=seed)


@pytest.mark.parametrize("fault", [fault for fault in Fault if fault in WRITING])
def test_each_fault_of_a_write_is_met_and_the_next_write_mends_it(tmp_path: Path, fault: Fault) -> None:
    target = faulting(tmp_path, {0: fault})
    if fault in RAISING_WHEN_WRITTEN:
        with pytest.raises(Trouble):
            target.put(FIRST, BYTES)
    else:
        target.put(FIRST, BYTES)
    assert target.met == [(0, fault, FIRST)]
    for _ in range(4):
        target.get(SECOND)
    if fault is Fault.CLOBBERED:
        assert target.get(FIRST) != BYTES
        return
    target.put(FIRST, BYTES)
    assert target.get(FIRST) == BYTES


@pytest.mark.parametrize("fault", [fault for fault in Fault if fault in READING - {Fault.CLOBBERED}])
def test_each_fault_of_a_read_is_met_and_passes(tmp_path: Path, fault: Fault) -> None:
    target = faulting(tmp_path, {2: fault})
    target.put(SECOND, BYTES[1:])
    target.put(FIRST, BYTES)
    if fault in RAISING:
        with pytest.raises(Trouble):
            target.get(FIRST)
    else:
        assert target.get(FIRST) != BYTES
    assert target.met == [(2, fault, FIRST)]
    assert target.get(FIRST) == BYTES


def test_a_stale_list_shows_what_was_there_at_first(tmp_path: Path) -> None:
    target: Target = faulting(tmp_path, {2: Fault.STALE_LIST})
    before = target.names("")
    target.put(FIRST, BYTES)
    assert target.names("") == before
    assert target.names("") == ((), ("c",))


def test_a_fault_waits_for_a_request_it_fits(tmp_path: Path) -> None:
    target = faulting(tmp_path, {0: Fault.WRONG})
    target.put(FIRST, BYTES)
    assert target.get(FIRST) != BYTES
    assert target.met == [(1, Fault.WRONG, FIRST)]


def test_the_same_seed_goes_wrong_the_same_way(tmp_path: Path) -> None:
    def seen(at: Path) -> list[object]:
        target = faulting(at, drawn_faults(7, 60, 0.5), seed=7)
        told: list[object] = []
        for number in range(1, 21):
            name = names.change(MINE, number)
            for ask in (partial(target.put, name, BYTES), partial(target.get, name), partial(target.names, "c")):
                try:
                    told.append(ask())
                except Trouble as trouble:
                    told.append(type(trouble))
        return [*told, target.met]

    roots = tmp_path / "one", tmp_path / "other"
    for root in roots:
        root.mkdir()
    first, second = map(seen, roots)
    assert first == second
    assert len({fault for _step, fault, _name in first[-1]}) > 5  # type: ignore[attr-defined]
