"""A feed watched live at the real window: by keys, by touch, through the lock, a kill, a closed lid and a set clock."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from demo_db.build import PASSPHRASE
from demo_db.charting import Charting
from demo_db.ticking import SeededIds, TickingClock, at
from desktop.controls.typed import Typed
from desktop.sheets.feed_live import LiveFeed
from desktop.theme.apply import apply_look
from desktop.theme.look import Look
from desktop.theme.tokens import DAY, LAMP, Target
from forms.answers import Moment, every
from forms.chart import Entry
from forms.feed_event import FeedEvent
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Practitioner
from forms.weight import WeightReading
from storage.vault import unlock
from tests.helpers.charting import Charter
from tests.helpers.kit_walk import targets
from tests.helpers.person import K, Machine
from tests.helpers.touch import tap
from tests.helpers.watching import KILLED

ROOT = Path(__file__).resolve().parents[2]
SitDown = Callable[[Path], Charter]
Seen = tuple[int, str, str | None]


def passes(person: Charter, seconds: float) -> None:
    """Time goes by while nobody touches anything; the program looks at its clocks as it does every second."""
    person.machine.pass_by(seconds=seconds)
    person.program.idle.tick()


def live(person: Charter) -> LiveFeed:
    """The live page in view."""
    page = person.visit.middle.page
    assert page is not None
    found = page.findChild(LiveFeed)
    assert found is not None, "no live page is in view"
    return found


def events(person: Charter, feed: str = "") -> list[Entry[FeedEvent]]:
    """The events in the store that stand, by time."""
    person.saved()
    session = person.program.gate.session
    assert session is not None
    kept: list[Entry[FeedEvent]] = []
    chart = person.home.chart
    session.lane.run(lambda store: store.chart(chart.family, chart.visit).all(FeedEvent), kept.extend)
    person.until_idle()
    own = [entry for entry in kept if feed in ("", entry.answers.feed)]
    return sorted(own, key=lambda entry: entry.answers.at.at)  # type: ignore[union-attr]  # each was tapped


def second(entry: Entry[FeedEvent], start: datetime) -> int:
    at = entry.answers.at
    assert isinstance(at, Moment)
    return (at.at - start) // timedelta(seconds=1)


def seen(person: Charter, start: datetime, feed: str = "") -> list[Seen]:
    """Each event that stands: the second it happened, what, and where."""
    return [
        (second(e, start), str(e.answers.what), e.answers.lane if isinstance(e.answers.lane, str) else None)
        for e in events(person, feed)
    ]


TWENTY: tuple[tuple[str, str, str | None], ...] = (
    ("L", "latch", "left"), ("V", "sucking", "left"), ("S", "suck", "left"), ("W", "swallow", "left"),
    ("6", "pain", "left"), ("D", "letdown_seen", "left"), ("W", "swallow", "left"), ("K", "click", "left"),
    ("P", "pause", "left"), ("W", "swallow", "left"), ("C", "compress", "left"), ("O", "off_self", "left"),
    ("F4", "", None), ("L", "latch", "right"), ("W", "swallow", "right"), ("F", "letdown_felt", "right"),
    ("X", "pain", "right"), ("W", "swallow", "right"), ("P", "pause", "right"), ("A", "asleep", "right"),
    ("T", "taken_off", "right"),
)  # fmt: skip
STEP = 9
"""Twenty events, one each nine seconds, take three minutes."""


def expected() -> list[Seen]:
    taps = [(what, lane) for _, what, lane in TWENTY if what]
    return [(0, "begin", None), *((STEP * (n + 1), what, lane) for n, (what, lane) in enumerate(taps))]


def test_twenty_events_in_three_minutes_by_keys_alone_stand_each_at_its_second(
    visiting: Charter, machine: Machine
) -> None:
    person, start = visiting, machine.at
    person.key(K.Key_F2)
    for key, what, _ in TWENTY:
        if what:
            passes(person, STEP)
        person.key(K.Key_F4 if key == "F4" else K(ord(key)))
    assert seen(person, start) == expected()
    pains = [e.answers.pain for e in events(person) if e.answers.what == "pain"]
    assert pains == [6, 10]
    assert {e.answers.noted for e in events(person)} == {"live"}


def test_the_same_twenty_by_touch_alone(visiting: Charter, machine: Machine) -> None:
    person, start = visiting, machine.at
    tap(person, person.buttons("Begin observing")[0])
    for key, what, _ in TWENTY:
        if what:
            passes(person, STEP)
        name = "other" if key == "F4" else f"pain-{10 if key == 'X' else key}" if what == "pain" else what
        page = live(person)
        tap(person, page.target("likely") if name == "latch" else page.target(name))
    assert seen(person, start) == expected()


def test_the_lane_itself_is_tapped_for_the_latch_and_the_likely_next_event(visiting: Charter, machine: Machine) -> None:
    person, start = visiting, machine.at
    tap(person, person.buttons("Begin observing")[0])
    for lane in ("right", "right", "left"):
        passes(person, 20)
        tap(person, live(person).lanes.lane(lane))
    assert seen(person, start)[1:] == [(20, "latch", "right"), (40, "swallow", "right"), (60, "latch", "left")]


def watch(person: Charter, machine: Machine, *keys: str, step: int = 10) -> datetime:
    """Begin a feed and tap these, one each ten seconds; when it began."""
    start = machine.at
    person.key(K.Key_F2)
    for key in keys:
        passes(person, step)
        person.key(K(ord(key)))
    return start


def let_in(person: Charter) -> None:
    """From the lock screen of a running feed back to the visit."""
    person.until_page("feed_lock")
    person.press("Unlock")
    person.unlock(PASSPHRASE)
    person.until_page("visit")


def test_a_feed_goes_on_through_the_lock_and_nothing_of_it_is_lost(visiting: Charter, machine: Machine) -> None:
    person = visiting
    start = watch(person, machine, "L", "W", "W")
    person.lock()
    machine.pass_by(minutes=5)
    let_in(person)
    assert person.visit.running_feed() == start
    page = live(person)
    assert page.watch is not None
    assert page.watch.state("left") == "active"
    page.tick()
    assert page.lanes.now == 330
    passes(person, 10)
    person.click(page.target("swallow") if page.board.likely.code != "swallow" else page.target("likely"))
    assert seen(person, start) == [
        (0, "begin", None), (10, "latch", "left"), (20, "swallow", "left"), (30, "swallow", "left"),
        (340, "swallow", "left"),
    ]  # fmt: skip


def test_a_closed_lid_and_a_clock_set_back_move_no_event(visiting: Charter, machine: Machine) -> None:
    person = visiting
    start = watch(person, machine, "L", "W")
    person.program.sleep.powered("org.freedesktop.UPower", {"LidIsClosed": True})
    person.until(lambda: person.program.gate.session is None and not person.program.errands.busy, "the lock")
    machine.pass_by(minutes=4)
    machine.set_clock(hours=-1)
    let_in(person)
    passes(person, 10)
    person.click(live(person).target("pause"))
    person.until_sees("The clock of this device was set back; the feed goes on by its own clock.")
    assert seen(person, start)[1:] == [(10, "latch", "left"), (20, "swallow", "left"), (270, "pause", "left")]


def test_a_clock_set_forward_locks_as_if_it_had_slept_and_moves_no_event(visiting: Charter, machine: Machine) -> None:
    person = visiting
    start = watch(person, machine, "L")
    machine.set_clock(minutes=50)
    passes(person, 10)
    let_in(person)
    person.click(live(person).target("pause"))
    person.until_sees("The clock of this device was set forward; the feed goes on by its own clock.")
    assert seen(person, start)[1:] == [(10, "latch", "left"), (20, "pause", "left")]


def test_a_second_feed_of_the_same_baby_is_refused_while_one_runs(visiting: Charter, machine: Machine) -> None:
    person = visiting
    watch(person, machine, "L")
    first = live(person).watch
    assert first is not None
    person.section("feed.which")
    person.press("Another feed: Bea feeding Gil")
    person.section("feed.live")
    person.until_sees("Gil is being watched already, fed by Bea.")
    assert live(person).tap("swallow") is None
    person.key(K.Key_F2)
    assert live(person).watch is first
    assert len({entry.answers.feed for entry in events(person)}) == 1


def test_a_weight_after_that_is_lower_is_kept_and_called_no_measurable_transfer(
    visiting: Charter, machine: Machine
) -> None:
    person = visiting
    watch(person, machine, "L", "W", "O")
    person.section("feed.weights")
    for point, grams in (("before", "3,410 g"), ("after", "3,408 g")):
        person.press(f"Weigh {point}, left", person.visit.middle)
        for field, typed in (("weight", grams), ("taken", "10:00" if point == "before" else "10:05")):
            control = person.question(f"weight.{field}").slots()[0].control
            assert isinstance(control, Typed)
            person.type_answer(control, typed)
        person.press("Done")
    person.saved()
    person.until_sees("no measurable transfer")
    weights = sorted(weight.typed for reading in weighed(person) for weight in every(reading.weight))
    assert weights == ["3,408 g", "3,410 g"]


def weighed(person: Charter) -> list[WeightReading]:
    """The weights around a feed."""
    return [entry.answers for entry in person.home.chart.all(WeightReading) if entry.answers.feed is not None]


def test_two_quick_taps_are_two_events(visiting: Charter, machine: Machine) -> None:
    person, start = visiting, machine.at
    tap(person, person.buttons("Begin observing")[0])
    tap(person, live(person).target("likely"))
    for _tap in range(6):
        tap(person, live(person).target("likely"))
    assert [what for _, what, _ in seen(person, start)] == ["begin", "latch", *["swallow"] * 6]


def test_after_a_kill_in_mid_feed_every_saved_event_is_there_and_the_clock_is_right(
    begun: Path, tmp_path: Path, sit_down: SitDown, machine: Machine
) -> None:
    store = Path(shutil.copytree(begun, tmp_path / "store"))
    started, saved = kill_after(store, 8)
    assert saved == 8
    machine.at, machine.seconds, machine.made = started + timedelta(minutes=20), 1_200.0, 1_000
    person = sit_down(store)
    person.unlock(PASSPHRASE)
    person.press("Go on")
    person.until_page("visit")
    person.until_idle()
    assert person.visit.running_feed() == started
    kept = seen(person, started)
    assert kept == [(0, "begin", None), *((10 * n, what, "left") for n, what in zip(range(1, 8), KILLED, strict=True))]
    person.section("feed.live", "Gil")
    person.click(live(person).target("pause"))
    assert seen(person, started)[-1] == (1_200, "pause", "left")


def kill_after(store: Path, events: int) -> tuple[datetime, int]:
    """A window in a process of its own, killed once it says that so many events are saved; when its feed began."""
    watcher = subprocess.Popen(
        [sys.executable, "-m", "tests.helpers.watching", str(store)], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        text=True, bufsize=1, cwd=ROOT, env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    )  # fmt: skip
    assert watcher.stdout is not None
    assert watcher.stdin is not None
    started, saved = datetime.fromisoformat(watcher.stdout.readline().strip()), 0
    while saved < events:
        heard = watcher.stdout.readline().strip()
        assert heard, "it ended by itself"
        saved = int(heard)
    os.kill(watcher.pid, signal.SIGKILL)
    watcher.wait()
    watcher.stdin.close()
    watcher.stdout.close()
    return started, saved


def test_two_feeds_at_once_by_real_taps_are_never_crossed(
    sit_down: SitDown, two_parents: Path, machine: Machine
) -> None:
    person = sit_down(two_parents)
    person.unlock(PASSPHRASE)
    person.press("Go on")
    person.until_page("visit")
    person.until_idle()
    start = machine.at
    for parent, baby in (("Bea", "Gil"), ("Nora", "Hal")):
        person.section("feed.live", baby)
        tap(person, person.buttons(f"Begin observing: {parent} feeding {baby}")[0])
    for second_, baby, name in (
        (10, "Gil", "likely"), (20, "Hal", "likely"), (30, "Gil", "likely"), (40, "Hal", "pain-4"), (50, "Gil", "pause"),
    ):  # fmt: skip
        passes(person, 10)
        assert (machine.at - start).total_seconds() == second_
        person.charts(baby)
        tap(person, live(person).target(name))
    kept = events(person)
    by_baby = {
        person.home.names(baby): [
            (second(e, start), e.answers.what)
            for e in kept
            if e.place.subjects[1] == baby and e.answers.what != "begin"
        ]
        for baby in person.home.infants()
    }
    assert by_baby == {"Gil": [(10, "latch"), (30, "swallow"), (50, "pause")], "Hal": [(20, "latch"), (40, "pain")]}
    feeders = {(person.home.names(e.place.subjects[0]), person.home.names(e.place.subjects[1])) for e in kept}
    assert feeders == {("Bea", "Gil"), ("Nora", "Hal")}
    assert len({e.answers.feed for e in kept}) == 2


@pytest.fixture
def two_parents(begun: Path, tmp_path: Path, machine: Machine) -> Path:
    """The Fennimores with a second baby and a second parent who feeds."""
    machine.at = at("2026-03-09 10:00")
    folder = Path(shutil.copytree(begun, tmp_path / "two"))
    clock, ids = TickingClock(at("2026-03-09 09:59")), SeededIds(19)
    opened = unlock(folder, PASSPHRASE, clock=clock, ids=ids)
    author = next(entry.id for entry in opened.practice_entries() if isinstance(entry.answers, Practitioner))
    desk = Charting(opened, author, ids)
    desk.family = opened.caseload()[0].id
    bea = opened.chart(desk.family).all(ParentIdentity)[0].id
    desk.fill(ParentIdentity, entity=bea, roles=("birth_parent",))
    desk.fill(ParentIdentity, entity=ids(), full_name="Nora Fennimore", roles=("co_feeder",))
    desk.fill(
        InfantIdentity, entity=ids(), legal_name="Hal Fennimore", called_name="Hal", tag_shape="square",
        born="2026-03-02 06:20", birth_weight="3,020 g",
    )  # fmt: skip
    opened.close()
    return folder


def eight_by_keys(person: Charter) -> None:
    for key in ("L", "W", "S", "6", "D", "W", "P", "O"):
        passes(person, 10)
        person.key(K(ord(key)))
        ring_is_seen(person)


def eight_by_touch(person: Charter) -> None:
    for name in ("likely", "likely", "suck", "pain-6", "letdown_seen", "likely", "pause", "off_self"):
        passes(person, 10)
        tap(person, live(person).target(name))


def ring_is_seen(person: Charter) -> None:
    """What has the focus is on screen."""
    focus = QApplication.focusWidget()
    assert focus is not None
    assert not focus.visibleRegion().isEmpty()
    person.settle()


@pytest.mark.parametrize("route", ["keys", "touch"])
def test_one_hand_in_a_dim_room_at_two_hundred_percent(visiting: Charter, machine: Machine, route: str) -> None:
    """Lamp, 200 %, 1280 by 800: a weight, a feed of eight events with pain 6, a lock in the middle, and on."""
    person = visiting
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    apply_look(app, Look(LAMP, 200))
    person.window.resize(1280, 800)
    person.section("weigh.scale", "Gil")
    person.press("On the scale now")
    person.answer("weight.weight", "3,410 g")
    start = machine.at
    if route == "keys":
        person.key(K.Key_F2)
        eight_by_keys(person)
    else:
        tap(person, person.buttons("Begin observing")[0])
        eight_by_touch(person)
    person.saved()
    assert [
        tall for name, box in targets(live(person)) if (tall := min(box.width(), box.height())) < Target.TOUCH
    ] == []
    person.lock()
    machine.pass_by(seconds=40)
    let_in(person)
    page = live(person)
    page.tick()
    assert page.lanes.now == 120
    kept = events(person)
    assert [e.answers.what for e in kept] == [
        "begin", "latch", "swallow", "suck", "pain", "letdown_seen", "swallow", "pause", "off_self",
    ]  # fmt: skip
    assert [second(e, start) for e in kept] == [0, 10, 20, 30, 40, 50, 60, 70, 80]
    assert [e.answers.pain for e in kept if e.answers.what == "pain"] == [6]
    apply_look(app, Look(DAY))
