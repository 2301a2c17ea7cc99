"""What a round came to, in words: sent, received, conflicts, missing, who is silent."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from types import MappingProxyType

from forms.role import Part, Role
from sync.exchange.roles import BeyondRole
from sync.merge.replica import Gap

__all__ = ["SILENT_AFTER", "Told"]

SILENT_AFTER = timedelta(days=3)
"""A device not heard of for this long is named: house bound, no source."""


@dataclass(slots=True)
class Told:
    """One round. `names` gives each chain the label of its device; times are aware."""

    names: Mapping[str, str] = field(default_factory=dict)
    sent: int = 0
    sent_files: int = 0
    received: dict[str, int] = field(default_factory=dict)
    conflicts: int = 0
    settled: int = 0
    late: int = 0
    gaps: list[Gap] = field(default_factory=list)
    held: list[Gap] = field(default_factory=list)
    aside: list[tuple[str, str]] = field(default_factory=list)
    forks: set[str] = field(default_factory=set)
    newer: set[str] = field(default_factory=set)
    differs: set[str] = field(default_factory=set)
    heard: dict[str, datetime] = field(default_factory=dict)
    rotation_owed: bool = False
    sheets: int = 1
    role: Role | None = None
    refilled: int = 0
    waiting: int = 0
    requests: int = 0
    continued: bool = False
    checking: int = 0
    unproved: dict[str, int] = field(default_factory=dict)
    beyond: list[BeyondRole] = field(default_factory=list)

    @property
    def complete(self) -> bool:
        """Whether nothing was refused, missing, put aside or odd; conflicts do not count against it."""
        return not (
            self.gaps
            or self.held
            or self.aside
            or self.forks
            or self.newer
            or self.differs
            or self.continued
            or self.waiting
            or self.checking
            or self.unproved
            or self.beyond
        )

    def name(self, chain: str) -> str:
        """The label of a device, or that it is not known."""
        return self.names.get(chain) or "a device that is not known"

    def file_words(self, name: str) -> str:
        """A name on a target in words: whose file it is, and its number where it has one."""
        kind, _, rest = name.partition("/")
        chain, _, path = rest.partition("/")
        what = _KINDS.get(kind)
        if what is None:
            return "a file of the place"
        number = path.rpartition("/")[2].split(".")[0].lstrip("0")
        which = f" {number}" if number.isdecimal() and kind in ("c", "m") else ""
        return f"{what}{which} of {self.name(chain)}"

    def sentences(self, now: datetime) -> Iterator[str]:
        """One sentence for each thing."""
        if self.role is not None:
            yield f"The role of this device is {self.role.label} now. {self.role.explained}"
        yield f"Sent: {_counted(self.sent, 'answer')}." if self.sent else "Nothing new to send."
        for chain, count in sorted(self.received.items()):
            yield f"Received from {self.name(chain)}: {_counted(count, 'answer')}."
        if not self.received:
            yield "Nothing new was received."
        if self.conflicts:
            first = "Two values now stand for 1 answer" if self.conflicts == 1 else (
                f"Two values now stand for each of {self.conflicts} answers"
            )  # fmt: skip
            yield f"{first}. Both are kept; settle which one holds."
        if self.settled:
            yield f"Settled elsewhere: {_counted(self.settled, 'answer')}."
        if self.late:
            yield f"Received after signing: {_counted(self.late, 'answer')}, to be added below the note or left."
        for (chain, part), count in sorted(Counter((one.operation.chain, one.part) for one in self.beyond).items()):
            yield self._beyond(chain, part, count)
        if self.checking:
            is_ = "is" if self.checking == 1 else "are"
            yield f"The record is here; {_counted(self.checking, 'file')} {is_} still being checked."
        for chain, count in sorted(self.unproved.items()):
            yield self._in_nobodys_files(chain, count)
        for gap in self.held:
            yield f"{_files(gap)} of {self.name(gap.chain)} did not come yet. The next round asks again."
        for gap in self.gaps:
            yield f"Missing: {_files(gap).lower()} of {self.name(gap.chain)}. Sync any device that has them."
        for name, why in self.aside:
            yield f"Kept aside: {self.file_words(name)}, because {why}."
        for chain in sorted(self.forks):
            yield f"{self.name(chain)} was copied, or put back from an old backup. Both records are kept and shown."
        for chain in sorted(self.newer):
            yield f"{self.name(chain)} uses a newer version of Hearthside. Update this one to read what it wrote."
        for chain in sorted(self.differs):
            yield f"{self.name(chain)} knows the same files and shows another record. Please report this."
        for chain, at in sorted(self.heard.items()):
            if now - at > SILENT_AFTER:
                yield f"No news from {self.name(chain)} for {(now - at).days} days."
        if self.rotation_owed:
            yield "The practice key is to be changed once more. An owner’s next round does it."
        if self.sheets > 1:
            yield (
                f"{self.sheets} recovery sheets were made apart, and each of them holds. Make one more on an owner’s "
                "device, which takes the place of all, and destroy the others."
            )
        if self.waiting:
            yield f"Not here yet: {_counted(self.waiting, 'attachment')}. The next round asks again."
        if self.refilled:
            yield f"Put back: {_counted(self.refilled, 'file')} that the place had lost."

    def _beyond(self, chain: str, part: Part, count: int) -> str:
        """What a device wrote beyond its role: kept, and said."""
        if part is Part.SIGNATURE:
            waits = "It waits" if count == 1 else "They wait"
            return (
                f"{self.name(chain)} signed {_counted(count, 'visit')}, which its role does not allow. "
                f"{waits} for a device whose role signs."
            )
        what = "clinical answer" if part is Part.CLINICAL else "answer"
        return f"{self.name(chain)} wrote {_counted(count, what)}, which its role does not allow. All of it is kept."

    def _in_nobodys_files(self, chain: str, count: int) -> str:
        """What a snapshot brought and no file carries: it stays to be seen, and nobody has to believe it."""
        is_ = "is" if count == 1 else "are"
        return (
            f"{_counted(count, 'answer')} said to be of {self.name(chain)} came with a snapshot and {is_} in nobody’s "
            f"files. Compare with {self.name(chain)}, correct what is not true, and report this."
        )


_KINDS: Mapping[str, str] = MappingProxyType({
    "c": "file", "m": "act of membership", "b": "an attachment", "p": "a pack", "s": "a snapshot",
    "h": "the sign of life",
})  # fmt: skip


def _files(gap: Gap) -> str:
    count = gap.last - gap.first + 1
    return "1 file" if count == 1 else f"{count} files"


def _counted(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
