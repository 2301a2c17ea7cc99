"""What the pages of an unlocked store share: the lane to it, where sentences go, the clock, and who is charting."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Protocol

from desktop import steady
from desktop.beginning import BEGINS, chart_as
from desktop.begins import Begins
from desktop.errands import Errands
from desktop.notices import Notices
from desktop.open_chart import OpenChart
from desktop.settings import DeviceSettings
from desktop.sharing import Sharing
from desktop.work import StoreLane
from desktop.zone import zone_of
from forms.chart import Chart
from forms.clinical.feed_clock import Reading
from forms.practice import Practice
from forms.trouble import Trouble
from storage.changes import ChangeSet
from storage.store import Store

__all__ = ["OpenPractice", "Routes", "Session", "practice_chart"]


class Routes(Protocol):
    """The ways between pages, and the lock."""

    def caseload(self) -> None:
        """To the list of families."""

    def family(self, family: str) -> None:
        """To one family's home."""

    def visit(self, family: str, visit: str) -> None:
        """Into a visit."""

    def closing(self, family: str) -> None:
        """To closing or handing over one family's care."""

    def received(self, family: str) -> None:
        """To taking over what another practice sent about one family."""

    def letters(self, family: str = "") -> None:
        """To the letters and their answers, of one family or every open one."""

    def address_book(self) -> None:
        """To the providers."""

    def check_paper(self) -> None:
        """To checking a paper somebody sent."""

    def practice(self) -> None:
        """To the practice's facts and the settings of this device."""

    def sync(self) -> None:
        """To the meeting with other devices."""

    def differ(self, family: str = "") -> None:
        """To what devices wrote apart, of one family or of all."""

    def members(self) -> None:
        """To the devices of the practice."""

    def let_in(self) -> None:
        """To letting a device in."""

    def join(self) -> None:
        """To joining devices that are there already."""

    def come_back(self) -> None:
        """To coming back with the recovery sheet."""

    def first_steps(self, zone: str = "") -> None:
        """Through what a record that stands alone needs to know; `zone` is the machine's own, offered first."""

    def lock(self) -> None:
        """Lock now."""


def practice_chart(store: Store) -> Chart:
    """The practice's own entries as a chart that belongs to no family."""
    return Chart("", None, store.practice_entries())


class OpenPractice(OpenChart):
    """The practice's own entries while open: its facts, its people, its address book. Signals: those of OpenChart."""

    def _read(self, store: Store) -> Chart:
        return practice_chart(store)


@dataclass
class Session:
    """One unlocked store.

    `author` is the id of the Practitioner entry who charts, `practice` its facts as they stand; `nobody`
    says that no practitioner was written yet. `reading` is the steady clock by which a feed goes on. `told` is what was
    found missing on opening, `noted_unfiled` times noted on the lock screen that belong to no known visit, `words` the
    recovery words of a store just made or used for coming back, until they are typed back or have done that. `begins`
    says what the first launch was chosen for, until that is done; `machine_zone` is offered as the practice's first.
    """

    folder: Path
    lane: StoreLane
    errands: Errands
    notices: Notices
    settings: DeviceSettings
    clock: Callable[[], datetime]
    ids: Callable[[], str]
    author: str
    practice: Practice
    nobody: bool = False
    reading: Callable[[], Reading] = steady.reading
    told: tuple[Trouble, ...] = ()
    noted_unfiled: tuple[datetime, ...] = ()
    words: str = field(default="", repr=False)
    begins: Begins = Begins.ALONE
    machine_zone: str = "UTC"
    sharing: Sharing = field(init=False, repr=False)

    def __post_init__(self) -> None:
        self.sharing = Sharing(self.lane, self.clock)

    @property
    def zone(self) -> str:
        """The time zone in which times are typed and shown."""
        return zone_of(self.practice)

    def refresh_practice(self) -> None:
        """Read the practice's facts again; what papers and boxes start from follows at once."""

        def take(chart: Chart) -> None:
            self.practice = chart.one(Practice)

        self.lane.run(practice_chart, take)

    def charts(self, author: str, then: Callable[[], None]) -> None:
        """Say who charts on this device from now on."""

        def said(_written: ChangeSet | None) -> None:
            self.author, self.nobody, self.begins = author, False, Begins.ALONE
            then()

        self.lane.run(lambda store: chart_as(store, author), said)

    def alone(self, then: Callable[[], None]) -> None:
        """Stand alone after all."""
        self.begins = Begins.ALONE
        self.lane.run(lambda store: store.drop_secret(BEGINS), lambda _none: then())

    def open(self, chart: Chart) -> OpenChart:
        """A family's record, opened for charting."""
        return OpenChart(
            self.lane,
            chart,
            author=self.author,
            clock=self.clock,
            ids=self.ids,
            zone=self.zone,
            reading=self.reading,
        )

    def open_practice(self, chart: Chart) -> OpenPractice:
        """The practice's own entries, opened for writing."""
        return OpenPractice(self.lane, chart, author=self.author, clock=self.clock, ids=self.ids, zone=self.zone)
