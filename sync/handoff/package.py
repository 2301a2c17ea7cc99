"""A release package: what somebody asked for of one person's record, in a folder with a sealed index, all or none.

    index.pdf                     what is inside, who asked, under what, and what was left out; sealed
    papers/01-summary-<day>.pdf   each paper picked, sealed, with its open record, its signature and how to check them
    record/tables/*.csv           the person's answers as tables, as `storage.whole_person` cuts them

Nothing is written down before every byte lies on the disk, and nothing has its name before that is written down.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from io import BytesIO
from pathlib import Path as Folder
from types import MappingProxyType
from typing import Final
from uuid import uuid4
from zoneinfo import ZoneInfo

from forms.answers import Moment
from forms.ask import Paper, Path
from forms.chart import Chart, Entry, Place
from forms.clinical.evidence import zone_of
from forms.consent import Release
from forms.papers.outline import Outline
from forms.papers.package_index import AskedFor, Inside, package_index
from forms.papers.said import Said
from forms.papers.visit_summary import visit_summary
from forms.papers.writer import whom_to_ask
from forms.people import ParentIdentity
from forms.practice import Provider
from forms.referral import PURPOSES_OF_LEAVING, PaperIssued
from forms.release_package import MayGo, has_limits, may_go, under_which, visits_about
from forms.trouble import Trouble
from storage.changes import Begin, Change, Put, StrikeOut
from storage.store import Store
from storage.whole_folder import Part, part_of
from sync.handoff.how_to_check import guide_beside
from sync.handoff.inside import beside, carried_by
from sync.handoff.leave import LEFT, NOT_LEFT, PDF, STAYED
from sync.handoff.letter import write_letter
from sync.handoff.seals import seal_of
from sync.handoff.sign import sign_letter

__all__ = ["INDEX", "Asked", "Given", "LimitsNamed", "NoPurpose", "NothingPicked", "give_out", "look_at"]

INDEX: Final = "index.pdf"
_TABLES: Final = "record"
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


class LimitsNamed(Trouble):
    """Tables were asked for under a release that names in words what may not be sent."""

    template = (
        "The release names what may not be sent, and no table can be cut to words. Leave the tables out, and pick "
        "papers that keep to it."
    )


@dataclass(frozen=True, slots=True)
class Asked:
    """What somebody asked for: about whom and who asks (ids), which papers (keys of `may_go`), and the tables or not.

    `purpose` is a code of PURPOSES_OF_LEAVING, `words` say what for when that is "other".
    """

    family: str
    person: str
    asker: str
    papers: tuple[str, ...]
    tables: bool
    purpose: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class Given:
    """A package given out: where it lies, how many files are in it, and the entry that says so."""

    place: Folder
    files: int
    entry: str


@dataclass(frozen=True, slots=True)
class _Picked:
    """A paper of the package with its bytes, and what lies beside it, under the names in the folder."""

    may: MayGo
    name: str
    pages: bytes
    files: Mapping[str, bytes]


@dataclass(frozen=True, slots=True)
class _Ready:
    """Everything of a package but its tables and its index."""

    chart: Chart
    asked: AskedFor
    picked: tuple[_Picked, ...]
    chosen_out: bool

    def inside(self, *, hashes: bool) -> tuple[Inside, ...]:
        """The papers and what lies beside each, as the index lists them."""
        return tuple(one for picked in self.picked for one in _inside(picked, hashes=hashes))


def _called(said: Said, entry: str) -> str:
    found = said.chart.by_id(entry)
    if found is None:
        return ""
    if isinstance(found.answers, ParentIdentity):
        return said.full_name(found.answers)
    return said.words(found.answers, "full_name") if isinstance(found.answers, Provider) else ""


def _ready(store: Store, asked: Asked, author: str, now: datetime) -> _Ready:
    """Everything looked up and sealed, in memory. Raises what `give_out` raises but for the disk's troubles."""
    chart = store.chart(asked.family)
    newest = visits_about(chart, asked.person)
    if newest:
        chart = store.chart(asked.family, newest[-1].visit)
    today = now.astimezone(ZoneInfo(zone_of(chart))).date()
    called = _called(Said(chart, Paper.SUMMARY), asked.asker) or "whoever asks"
    release = under_which(chart, asked.person, asked.asker, today, called=called)
    there = may_go(chart, asked.person)
    if asked.purpose not in PURPOSES_OF_LEAVING or (asked.purpose == "other" and not asked.words.strip()):
        raise NoPurpose
    wanted = [one for one in there if one.key in asked.papers]
    if not wanted and not asked.tables:
        raise NothingPicked
    if asked.tables and has_limits(release):
        raise LimitsNamed
    picked = tuple(_picked(store, asked, one, at, author, now) for at, one in enumerate(wanted, 1))
    told = AskedFor(asked.person, asked.asker, asked.purpose, asked.words.strip(), release)
    return _Ready(chart, told, picked, len(wanted) < len(there))


def _picked(store: Store, asked: Asked, may: MayGo, at: int, author: str, now: datetime) -> _Picked:
    day = f"-{may.day.isoformat()}" if may.day is not None else ""
    place = Folder(_PAPERS) / f"{at:02}-{may.kind}{day}.pdf"
    if may.sha256:
        pages = store.attachment(may.sha256)
    else:
        chart = store.chart(asked.family, may.visit)
        pages = _sealed(store, chart, visit_summary(chart, asked.person, writer=author, now=now), author, now)
    laid = {place: pages, **beside(place, pages), **guide_beside(place, pages)}
    return _Picked(may, place.as_posix(), pages, {one.as_posix(): data for one, data in laid.items()})


def _sealed(store: Store, chart: Chart, outline: Outline, author: str, now: datetime) -> bytes:
    """A paper of the package with the seal; there is none without. Raises NoSeal."""
    seal = seal_of(store, author, name=outline.writer, now=now)
    record = carried_by(chart, outline, seal, author=author, now=now)
    return sign_letter(
        write_letter(outline, made=now, sealed=True), seal, at=Moment(now, zone_of(chart)), who=outline.writer,
        record=record, language=outline.language, contact=whom_to_ask(chart, author),
    )  # fmt: skip


def _inside(picked: _Picked, *, hashes: bool) -> Iterator[Inside]:
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


def look_at(store: Store, asked: Asked, *, author: str, now: datetime) -> bytes:
    """The pages of the index as it would be, without seal and fingerprints; nothing is filed or written anywhere.

    Raises what `give_out` raises but for the disk's troubles, so that what is held back says so before.
    """
    ready = _ready(store, asked, author, now)
    tables = (Inside(f"{_TABLES}/", "the answers as tables (CSV) for other programs, and what they mean", 0, ""),)
    files = (*ready.inside(hashes=False), *(tables if asked.tables else ()))
    outline = package_index(
        ready.chart, ready.asked, files, chosen_out=ready.chosen_out, writer=author, now=now
    )  # fmt: skip
    return write_letter(outline, made=now, sealed=False)


def give_out(
    store: Store,
    asked: Asked,
    dest: Folder,
    *,
    author: str,
    now: datetime,
    ids: Callable[[], str] = lambda: uuid4().hex,
) -> Given:
    """Writes the package into a new folder `dest`, readable by its owner alone, and writes down that it left.

    Each summary made for it and the index are filed with the record, each with a PaperIssued entry. Raises
    AskerMissing, MayNotAsk, NoPackageRelease, PackageWithdrawn, NothingSigned, NoPurpose, NothingPicked, LimitsNamed,
    NoSeal, NotExported, and what the papers themselves raise; then there is no folder, and no entry stands.
    """
    ready = _ready(store, asked, author, now)
    written: tuple[str, ...] = ()
    made = ""
    try:
        with part_of(dest, store.folder) as part:
            files = (*_laid(part, ready), *(_tables(store, part, asked, now) if asked.tables else ()))
            outline = package_index(
                ready.chart, ready.asked, files, chosen_out=ready.chosen_out, writer=author, now=now
            )  # fmt: skip
            index = _sealed(store, ready.chart, outline, author, now)
            place = Folder(INDEX)
            guides = {one.as_posix(): data for one, data in guide_beside(place, index).items()}
            for name, data in {INDEX: index, **guides}.items():
                part.put(name, data)
            part.flush()
            made = sha256(index).hexdigest()
            written = _write_down(store, ready, asked, index, author, now, ids, len(files) + 1 + len(guides))
    except Trouble:
        if written:
            struck = tuple(StrikeOut(one, NOT_LEFT) for one in written)
            store.write(struck, author=author, note=(STAYED, {"entry": written[-1], "sha256": made}))
        raise
    return Given(dest, len(files) + 1 + len(guides), written[-1])


def _laid(part: Part, ready: _Ready) -> tuple[Inside, ...]:
    for picked in ready.picked:
        for name, data in picked.files.items():
            part.put(name, data)
    return ready.inside(hashes=True)


def _tables(store: Store, part: Part, asked: Asked, now: datetime) -> tuple[Inside, ...]:
    inner = part.within(_TABLES)
    store.whole().write_person(inner, asked.person, now)
    return tuple(
        Inside(f"{_TABLES}/{name}", _of_tables(name), 0, str(told["sha256"])) for name, told in inner.files.items()
    )


def _of_tables(name: str) -> str:
    if name.endswith(".csv"):
        return "a table (CSV) for other programs"
    if name.startswith("attachments/"):
        return "a photo"
    return "what the tables mean" if name.endswith(".txt") else "the counts and files of the tables"


def _write_down(
    store: Store, ready: _Ready, asked: Asked, index: bytes, author: str, now: datetime, ids: Callable[[], str],
    files: int,
) -> tuple[str, ...]:  # fmt: skip
    """An entry for each summary made, and last for the package itself; their ids. The journal tells without names."""
    changes: list[Change] = []
    entries: list[str] = []
    made = [(one.may.visit, Paper.SUMMARY, one.pages) for one in ready.picked if not one.may.sha256]
    newest = visits_about(ready.chart, asked.person)[-1].visit
    for visit, kind, pages in (*made, (newest, Paper.PACKAGE, index)):
        entry, name = ids(), store.attach(pages, PDF)
        row = {**_row(ready.chart, ready.asked, now), "paper": str(kind), "sha256": name}
        changes.append(Begin(entry, Place(PaperIssued.name, asked.family, visit)))
        changes += [Put(entry, Path(field), value) for field, value in row.items() if value is not None]
        entries.append(entry)
    told = {
        "entry": entries[-1], "paper": str(Paper.PACKAGE), "to": asked.asker, "about": asked.person, "how": "plain",
        "purpose": asked.purpose, "sha256": sha256(index).hexdigest(), "files": str(files),
    }  # fmt: skip
    store.write(changes, author=author, note=(LEFT, told))
    return tuple(entries)


def _row(chart: Chart, asked: AskedFor, now: datetime) -> dict[str, object]:
    """What an entry says of a paper of the package, but for which paper and the fingerprint of its bytes."""
    release: Entry[Release] | None = asked.release
    return {
        "for_whom": _called(Said(chart, Paper.SUMMARY), asked.asker), "concerns": asked.person,
        "language": "en", "release": release.id if release is not None else None, "purpose": asked.purpose,
        "purpose_words": asked.purpose_words or None, "left_how": "plain", "at": Moment(now, zone_of(chart)),
        "before_finished": False,
    }  # fmt: skip
