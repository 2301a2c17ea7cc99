"""What goes into a release package: who asked for what, looked up and sealed in memory, and how each file is told of.

It is named as it lies in an open folder: each paper picked as `papers/01-summary-<day>.pdf`, sealed, with its open
record, its signature and how to check them; and `record/tables/*.csv`, the person's answers as tables, as
`storage.whole_person` cuts them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from io import BytesIO
from pathlib import Path as Folder
from types import MappingProxyType
from typing import Final
from zoneinfo import ZoneInfo

from forms.answers import Moment
from forms.ask import Paper
from forms.chart import Chart
from forms.clinical.evidence import zone_of
from forms.papers.outline import Outline
from forms.papers.package_index import AskedFor, Inside
from forms.papers.said import Said
from forms.papers.visit_summary import visit_summary
from forms.papers.writer import whom_to_ask
from forms.people import ParentIdentity
from forms.practice import Provider
from forms.referral import PURPOSES_OF_LEAVING
from forms.release_package import MayGo, has_limits, may_go, may_insist, under_which, visits_about
from forms.trouble import Trouble
from storage.store import Store
from sync.handoff.how_to_check import guide_beside
from sync.handoff.inside import beside, carried_by
from sync.handoff.letter import write_letter
from sync.handoff.seals import seal_of
from sync.handoff.sign import Record, sign_letter
from sync.handoff.stamping import Stamping
from sync.handoff.taking import sources_of

__all__ = [
    "TABLES", "Asked", "LimitsNamed", "NoPurpose", "NotForThem", "NothingPicked", "Picked", "Ready", "called",
    "ready_for", "sealed", "what_of_tables",
]  # fmt: skip

TABLES: Final = "record"
_PAPERS: Final = "papers"
_KINDS: Final[Mapping[Paper, str]] = MappingProxyType({
    Paper.SUMMARY: "visit summary", Paper.REPORT: "report to a provider", Paper.REFERRAL: "referral letter",
    Paper.CLOSING: "closing letter",
})  # fmt: skip


class NothingPicked(Trouble):
    """A package without anything in it was asked for."""

    template = "Pick at least one paper, or the tables. Nothing was written."


class NoPurpose(Trouble):
    """What it leaves for was not said."""

    template = "Pick what it leaves for; it is written down beside whom it went to. Nothing was written."


class NotForThem(Trouble):
    """An open folder was asked for by somebody who may not insist on one."""

    template = "An open folder goes to nobody but a parent who insists on it. Lock this one, and tell the password."


class LimitsNamed(Trouble):
    """Tables were asked for under a release that names in words what may not be sent."""

    template = (
        "The release names what may not be sent, and no table can be cut to words. Leave the tables out, and pick "
        "papers that keep to it."
    )


@dataclass(frozen=True, slots=True)
class Asked:
    """What somebody asked for: about whom and who asks (ids), which papers (keys of `may_go`), and the tables or not.

    `purpose` is a code of PURPOSES_OF_LEAVING, `words` say what for when that is "other". `insisted`: it is to leave as
    an open folder, because the parent who asks was warned and insists.
    """

    family: str
    person: str
    asker: str
    papers: tuple[str, ...]
    tables: bool
    purpose: str
    words: str = ""
    insisted: bool = False


@dataclass(frozen=True, slots=True)
class Picked:
    """A paper of the package with its bytes, and what lies beside it, under the names in the folder."""

    may: MayGo
    name: str
    pages: bytes
    files: Mapping[str, bytes]


@dataclass(frozen=True, slots=True)
class Ready:
    """Everything of a package but its tables and its index."""

    chart: Chart
    asked: AskedFor
    picked: tuple[Picked, ...]
    chosen_out: bool

    def inside(self, *, hashes: bool) -> tuple[Inside, ...]:
        """The papers and what lies beside each, as the index lists them."""
        return tuple(one for picked in self.picked for one in _inside(picked, hashes=hashes))


def called(said: Said, entry: str) -> str:
    """The name of a parent or a provider, "" for anybody else."""
    found = said.chart.by_id(entry)
    if found is None:
        return ""
    if isinstance(found.answers, ParentIdentity):
        return said.full_name(found.answers)
    return said.words(found.answers, "full_name") if isinstance(found.answers, Provider) else ""


def ready_for(store: Store, asked: Asked, author: str, now: datetime) -> Ready:
    """Everything looked up and sealed, in memory. Raises what `give_out` raises but for the disk's troubles."""
    chart = store.chart(asked.family)
    newest = visits_about(chart, asked.person)
    if newest:
        chart = store.chart(asked.family, newest[-1].visit)
    today = now.astimezone(ZoneInfo(zone_of(chart))).date()
    name = called(Said(chart, Paper.SUMMARY), asked.asker) or "whoever asks"
    release = under_which(chart, asked.person, asked.asker, today, called=name)
    there = may_go(chart, asked.person)
    if asked.purpose not in PURPOSES_OF_LEAVING or (asked.purpose == "other" and not asked.words.strip()):
        raise NoPurpose
    wanted = [one for one in there if one.key in asked.papers]
    if asked.insisted and not may_insist(chart, asked.asker):
        raise NotForThem
    if not wanted and not asked.tables:
        raise NothingPicked
    if asked.tables and has_limits(release):
        raise LimitsNamed
    picked = tuple(_picked(store, asked, one, at, author, now) for at, one in enumerate(wanted, 1))
    told = AskedFor(
        asked.person, asked.asker, asked.purpose, asked.words.strip(), release, insisted=asked.insisted
    )  # fmt: skip
    return Ready(chart, told, picked, len(wanted) < len(there))


def _picked(store: Store, asked: Asked, may: MayGo, at: int, author: str, now: datetime) -> Picked:
    day = f"-{may.day.isoformat()}" if may.day is not None else ""
    place = Folder(_PAPERS) / f"{at:02}-{may.kind}{day}.pdf"
    if may.sha256:
        pages = store.attachment(may.sha256)
    else:
        chart = store.chart(asked.family, may.visit)
        pages = sealed(store, chart, visit_summary(chart, asked.person, writer=author, now=now), author, now)
    laid = {place: pages, **beside(place, pages), **guide_beside(place, pages)}
    return Picked(may, place.as_posix(), pages, {one.as_posix(): data for one, data in laid.items()})


def sealed(
    store: Store, chart: Chart, outline: Outline, author: str, now: datetime, files: tuple[Record, ...] = (),
    password: str | None = None, stamping: Stamping | None = None,
) -> bytes:  # fmt: skip
    """A paper of the package with the seal; there is none without. Raises NoSeal.

    With a `password` it is locked first. `files` are carried in place of what such a paper carries. `stamping` asks for
    a time stamp of the seal.
    """
    seal = seal_of(store, author, name=outline.writer, now=now)
    return sign_letter(
        write_letter(outline, made=now, sealed=True), seal, at=Moment(now, zone_of(chart)), who=outline.writer,
        record=files or carried_by(
            chart, outline, seal, author=author, now=now, sources=sources_of(store, chart)
        ),
        language=outline.language, contact=whom_to_ask(chart, author), password=password, stamping=stamping,
    )  # fmt: skip


def _inside(picked: Picked, *, hashes: bool) -> Iterator[Inside]:
    for name, data in picked.files.items():
        paper = name == picked.name
        made = sha256(data).hexdigest() if hashes else ""
        yield Inside(name, _what(picked.may, name, paper=paper), _count(data) if paper else 0, made)


def _what(may: MayGo, name: str, *, paper: bool) -> str:
    if paper:
        return _KINDS[may.kind]
    if name.endswith(".p7s"):
        return "the signature of that record"
    return "the same as an open record, for programs" if name.endswith(".json") else "how to check the paper"


def _count(pages: bytes) -> int:
    import pikepdf

    with pikepdf.open(BytesIO(pages)) as opened:
        return len(opened.pages)


def what_of_tables(name: str) -> str:
    """What a file is that is written with the tables."""
    if name.endswith(".csv"):
        return "a table (CSV) for other programs"
    if name.startswith("attachments/"):
        return "a photo"
    return "what the tables mean" if name.endswith(".txt") else "the counts and files of the tables"
