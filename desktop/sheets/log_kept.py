"""What is under way with a baby's log while the chart is open: lines typed so far, and a file not yet taken in.

It is kept with the open chart, so that going to another page and coming back loses nothing of it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from PySide6.QtCore import QObject, Signal
from shiboken6 import isValid

from desktop.open_chart import OpenChart
from forms.answers import Moment, every
from forms.chart import Entry
from forms.feeding_log import LogLine
from forms.log_csv import LogFile
from forms.log_typed import Setting
from forms.people import ParentIdentity
from forms.practice import Practice
from forms.taking_part import FEEDING_ROLES
from forms.units import Dimension

__all__ = ["Chosen", "LogKept", "Typing", "feeders", "is_sealed", "log_setting"]


@dataclass(slots=True)
class Chosen:
    """A file that was read and is looked at: its name, what is in it, and what was decided about its rows."""

    name: str
    file: LogFile
    bad_left: bool = False
    twice_left: bool | None = None  # None: not decided
    twice_rows: tuple[int, ...] = ()  # the doubles that were decided about


@dataclass(slots=True)
class Typing:
    """The lines typed of one baby's log: their entries in order, what was typed of each, and what stands in the box."""

    order: list[str] = field(default_factory=list)
    typed: dict[str, str] = field(default_factory=dict)
    text: str = ""
    aloud: str = ""  # the text that Enter refused, or asked about
    volume: str | None = None
    feeder: str | None = None
    chosen: Chosen | None = None
    reading: int = 0  # counts what was begun and stopped, so that a file nobody waits for any more is dropped
    busy: bool = False
    state: str = ""
    trouble: str = ""
    told: str = ""
    taken: tuple[str, ...] = ()  # the lines of the file taken in last


class LogKept(QObject):
    """One `Typing` for each baby of an open chart. Signal `moved()`: what is known of a file is another than before."""

    moved = Signal()

    def __init__(self, home: OpenChart) -> None:
        super().__init__(home)
        self._of: dict[str, Typing] = {}

    @classmethod
    def of(cls, home: OpenChart) -> LogKept:
        """The one of an open chart; made when first asked for."""
        return home.findChild(cls) or cls(home)

    def tell(self) -> None:
        """Say that something is another than before; nothing once the chart is closed."""
        if isValid(self):
            self.moved.emit()

    def typing(self, who: str) -> Typing:
        """What is under way for this baby."""
        return self._of.setdefault(who, Typing())


def feeders(home: OpenChart) -> tuple[str, ...]:
    """The parents whose sides can be meant: those who feed, or all while none is said to."""
    parents = home.chart.all(ParentIdentity)
    feeding = [p for p in parents if any(set(roles) & set(FEEDING_ROLES) for roles in every(p.answers.roles))]
    return tuple(parent.id for parent in feeding or parents)


def is_sealed(home: OpenChart, who: str) -> bool:
    """Whether a line begun now would stand under a signed visit."""
    visit = home.place(LogLine, who).visit
    return visit is not None and home.chart.signed(visit) is not None and LogLine.name not in home.open_after_signing


def volume(home: OpenChart, kept: Typing) -> str:
    """The unit of an amount typed alone: as picked here, as last used in this chart, or as the practice writes it."""
    if kept.volume is not None:
        return kept.volume
    used = home.unit(Dimension.VOLUME)
    written = [unit for entry in home.chart.all(Practice) for unit in every(entry.answers.volume_unit)]
    found = used or (written[0] if len(written) == 1 else "")
    return found if found in ("mL", "fl_oz") else ""


def log_setting(home: OpenChart, who: str, upto: str = "") -> Setting:
    """What a line is read against now; `upto` is the entry that is being corrected, whose line before counts."""
    kept = LogKept.of(home).typing(who)
    order = kept.order[: kept.order.index(upto)] if upto in kept.order else kept.order
    feeding = feeders(home)
    feeder = kept.feeder if kept.feeder in feeding else feeding[0] if len(feeding) == 1 else None
    names: dict[str, list[str]] = {}
    for parent in home.parents():
        names.setdefault(home.names(parent).casefold(), []).append(parent)
    return Setting(
        home.zone,
        Moment(home.clock(), home.zone),
        next((at for entity in reversed(order) if (at := _began(standing(home, entity))) is not None), None),
        volume(home, kept),
        {name: ids[0] for name, ids in names.items() if len(ids) == 1},
        feeder,
    )


def standing(home: OpenChart, entity: str) -> Entry[LogLine] | None:
    """A line of the log that stands, or None."""
    entry = home.chart.by_id(entity)
    if entry is None or entry.struck is not None or not isinstance(entry.answers, LogLine):
        return None
    return entry  # type: ignore[return-value] # its answers were looked at


def _began(entry: Entry[LogLine] | None) -> Moment | None:
    starts = entry.answers.starts if entry is not None else None
    return starts if isinstance(starts, Moment) else None
