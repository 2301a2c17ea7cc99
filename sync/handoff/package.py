"""A release package leaves: what somebody asked for of one person's record, all or none.

By default it is one locked file: the index as its pages, sealed, and every file of the package inside it. A parent who
was warned and insists gets an open folder instead, with the same index beside the same files:

    index.pdf   what is inside, who asked, under what, and what was left out; sealed
    papers/, record/   as `package_inside` tells

Where the practice set a service for time stamps, the seal of the index asks for one: it holds all the rest.
Nothing is written down before every byte lies on the disk or in memory, and nothing has its name before that is written
down.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import sha256
from pathlib import Path as Folder
from pathlib import PurePosixPath
from types import MappingProxyType
from typing import Final
from uuid import uuid4

from forms.answers import Moment
from forms.ask import Paper, Path
from forms.chart import Chart, Entry, Place
from forms.clinical.evidence import zone_of
from forms.consent import Release
from forms.papers.outline import Outline
from forms.papers.package_index import AskedFor, Inside, package_index
from forms.papers.said import Said
from forms.referral import PaperIssued
from forms.release_package import visits_about
from forms.trouble import Bug, Trouble
from storage.changes import Begin, Change, Put, StrikeOut
from storage.store import Store
from storage.whole_folder import Part, part_of
from storage.whole_held import HeldPart, HoldsNoMore
from sync.handoff.detached import MEDIA_TYPE
from sync.handoff.how_to_check import guide_beside
from sync.handoff.leave import LEFT, NOT_LEFT, PDF, STAYED
from sync.handoff.letter import write_letter
from sync.handoff.package_inside import TABLES, Asked, Ready, called, ready_for, sealed, what_of_tables
from sync.handoff.saved import NotSaved, save_paper
from sync.handoff.sign import Record, taken_out
from sync.handoff.stamping import stamping_of
from sync.handoff.untold import hold, is_told

__all__ = ["INDEX", "MOST", "Given", "NotGiven", "NotWarned", "give_locked", "give_open", "look_at"]

INDEX: Final = "index.pdf"
MOST: Final = 40_000_000
"""Bytes that one locked file holds. House bound, no source: it is put together in memory, several times over."""
_MEDIA: Final[Mapping[str, str]] = MappingProxyType({
    ".pdf": PDF, ".txt": "text/plain", ".csv": "text/csv", ".json": "application/json", ".p7s": MEDIA_TYPE,
    ".jpg": "image/jpeg", ".png": "image/png",
})  # fmt: skip


class NotWarned(Trouble):
    """An open folder was to be made for somebody who was not warned, or did not insist."""

    template = "An open folder is made only for a parent who was warned and insists. Answer the warning, or lock it."


class NotGiven(Trouble):
    """The locked file could not be written where she chose."""

    template = "The package was not saved to {path}: {why}. Choose another place; nothing has left."


@dataclass(frozen=True, slots=True)
class Given:
    """A package given out: where it lies, how many files are in it, and the entry that says so.

    `unstamped` says why its seal carries no time stamp though one was asked for, "" otherwise.
    """

    place: Folder
    files: int
    entry: str
    unstamped: str = ""


def look_at(store: Store, asked: Asked, *, author: str, now: datetime) -> bytes:
    """The pages of the index as it would be, without seal and fingerprints; nothing is filed or written anywhere.

    Raises what giving it out raises but for the disk's troubles, so that what is held back says so before.
    """
    ready = ready_for(store, asked, author, now)
    tables = (Inside(f"{TABLES}/", "the answers as tables (CSV) for other programs, and what they mean", 0, ""),)
    files = (*ready.inside(hashes=False), *(tables if asked.tables else ()))
    if not asked.insisted:
        files = tuple(replace(one, name=_flat(one.name) or "tables-…") for one in files)
    return write_letter(_index(ready, files, author, now), made=now, sealed=False)


def _index(ready: Ready, files: tuple[Inside, ...], author: str, now: datetime) -> Outline:
    return package_index(ready.chart, ready.asked, files, chosen_out=ready.chosen_out, writer=author, now=now)


def _new_id() -> str:
    return uuid4().hex


# --- one locked file ------------------------------------------------------------------------------------------------


def give_locked(
    store: Store, asked: Asked, place: Folder, password: str, *, author: str, now: datetime,
    ids: Callable[[], str] = _new_id, most: int = MOST,
) -> Given:  # fmt: skip
    """Writes the package as one locked file at `place`, with a page beside it on how to check it.

    The pages are locked first, then the files are put in, and all of it is sealed and checked. `password` is held on
    this device, before the file has its name, until it is told (`untold`). What is filed with the record, and what its
    entry tells the fingerprint of, is that file.
    Raises AskerMissing, MayNotAsk, NoPackageRelease, PackageWithdrawn, NothingSigned, NoPurpose, NothingPicked,
    LimitsNamed, HoldsNoMore, NoSeal, NotGiven, and what the papers themselves raise; then no file has that name, and no
    entry stands.
    """
    if asked.insisted:
        raise Bug("a package that is to leave open was locked")
    ready = ready_for(store, asked, author, now)
    held = dict(_held(store, ready, asked, now, most))
    told = tuple(one for one, _data in held.values())
    outline = _index(ready, told, author, now)
    records = tuple(Record(name, _media(name), data, one.what, "/Data") for name, (one, data) in held.items())
    stamping = stamping_of(ready.chart)
    file = sealed(store, ready.chart, outline, author, now, records, password, stamping)
    if taken_out(file, password) != {name: data for name, (_one, data) in held.items()}:
        raise Bug("a locked package does not hold what was put in")
    written = _write_down(store, ready, asked, file, author, now, ids, told)
    try:
        hold(store, written[-1], password)
        save_paper(place, file, password)
    except Trouble as fault:
        _take_back(store, written, file, author)
        is_told(store, written[-1])
        if isinstance(fault, NotSaved):
            raise NotGiven(**fault.blanks) from fault
        raise
    return Given(place, len(held), written[-1], stamping.missed)


def _flat(name: str) -> str:
    """The name of a file inside the locked one: no folder, since readers that take files out refuse those."""
    return "-".join(PurePosixPath(name).parts[1:])


def _media(name: str) -> str:
    return "application/fhir+json" if name.endswith(".fhir.json") else _MEDIA[PurePosixPath(name).suffix]


def _held(
    store: Store, ready: Ready, asked: Asked, now: datetime, most: int
) -> Iterator[tuple[str, tuple[Inside, bytes]]]:
    """Every file by its name inside the locked one, with what the index tells of it. Raises HoldsNoMore."""
    there = {name: data for picked in ready.picked for name, data in picked.files.items()}
    length = sum(map(len, there.values()))
    if length > most:
        raise HoldsNoMore(most=most // 1_000_000)
    told = list(ready.inside(hashes=True))
    if asked.tables:
        tables = HeldPart(most - length, told=most)
        store.whole().write_person(tables, asked.person, now)
        there |= {f"{TABLES}/{name}": data for name, data in tables.data.items()}
        told += _tables_told(tables)
    for one in told:
        name = _flat(one.name)
        yield name, (replace(one, name=name), there[one.name])


# --- an open folder -------------------------------------------------------------------------------------------------


def give_open(
    store: Store, asked: Asked, dest: Folder, *, author: str, now: datetime, ids: Callable[[], str] = _new_id
) -> Given:
    """Writes the package into a new folder `dest`, readable by its owner alone, for a parent who insists on that.

    Each summary made for it and the index are filed with the record, each with a PaperIssued entry. Raises NotWarned,
    NotForThem and NotExported, and what `give_locked` raises but for its size and its file; then there is no folder,
    and no entry stands.
    """
    if not asked.insisted:
        raise NotWarned
    ready = ready_for(store, asked, author, now)
    written: tuple[str, ...] = ()
    index, stamping = b"", stamping_of(ready.chart)
    try:
        with part_of(dest, store.folder) as part:
            files = (*_laid(part, ready), *(_tables(store, part, asked, now) if asked.tables else ()))
            outline = package_index(
                ready.chart, ready.asked, files, chosen_out=ready.chosen_out, writer=author, now=now
            )
            index = sealed(store, ready.chart, outline, author, now, stamping=stamping)
            place = Folder(INDEX)
            own = {INDEX: index, **{one.as_posix(): data for one, data in guide_beside(place, index).items()}}
            for name, data in own.items():
                part.put(name, data)
            part.flush()
            written = _write_down(store, ready, asked, index, author, now, ids, files)
    except Trouble:
        if written:
            _take_back(store, written, index, author)
        raise
    return Given(dest, len(files) + len(own), written[-1], stamping.missed)


def _laid(part: Part, ready: Ready) -> tuple[Inside, ...]:
    for picked in ready.picked:
        for name, data in picked.files.items():
            part.put(name, data)
    return ready.inside(hashes=True)


def _tables(store: Store, part: Part, asked: Asked, now: datetime) -> tuple[Inside, ...]:
    inner = part.within(TABLES)
    store.whole().write_person(inner, asked.person, now)
    return _tables_told(inner)


def _tables_told(part: Part) -> tuple[Inside, ...]:
    return tuple(
        Inside(f"{TABLES}/{name}", what_of_tables(name), 0, str(told["sha256"])) for name, told in part.files.items()
    )


# --- written down ---------------------------------------------------------------------------------------------------


def _write_down(
    store: Store, ready: Ready, asked: Asked, left: bytes, author: str, now: datetime, ids: Callable[[], str],
    files: tuple[Inside, ...],
) -> tuple[str, ...]:  # fmt: skip
    """An entry for each summary made, and last for the package itself; their ids. The journal tells without names.

    It tells the fingerprint of each paper inside too: a locked file may open for nobody later.
    """
    changes: list[Change] = []
    entries: list[str] = []
    how = "insisted" if asked.insisted else "password"
    made = [(one.may.visit, Paper.SUMMARY, one.pages) for one in ready.picked if not one.may.sha256]
    newest = visits_about(ready.chart, asked.person)[-1].visit
    for visit, kind, pages in (*made, (newest, Paper.PACKAGE, left)):
        entry, name = ids(), store.attach(pages, PDF)
        row = {**_row(ready.chart, ready.asked, now, how), "paper": str(kind), "sha256": name}
        changes.append(Begin(entry, Place(PaperIssued.name, asked.family, visit)))
        changes += [Put(entry, Path(field), value) for field, value in row.items() if value is not None]
        entries.append(entry)
    told = {
        "entry": entries[-1], "paper": str(Paper.PACKAGE), "to": asked.asker, "about": asked.person, "how": how,
        "purpose": asked.purpose, "sha256": sha256(left).hexdigest(), "files": str(len(files)),
        "papers": " ".join(one.sha256 for one in files if one.pages), "tables": "yes" if asked.tables else "no",
    }  # fmt: skip
    store.write(changes, author=author, note=(LEFT, told))
    return tuple(entries)


def _take_back(store: Store, written: tuple[str, ...], left: bytes, author: str) -> None:
    """It did not leave after all: the entries are struck out, and the journal tells that it stayed."""
    struck = tuple(StrikeOut(one, NOT_LEFT) for one in written)
    about = {"entry": written[-1], "sha256": sha256(left).hexdigest()}
    store.write(struck, author=author, note=(STAYED, about))


def _row(chart: Chart, asked: AskedFor, now: datetime, how: str) -> dict[str, object]:
    """What an entry says of a paper of the package, but for which paper and the fingerprint of its bytes."""
    release: Entry[Release] | None = asked.release
    return {
        "for_whom": called(Said(chart, Paper.SUMMARY), asked.asker), "concerns": asked.person,
        "language": "en", "release": release.id if release is not None else None, "purpose": asked.purpose,
        "purpose_words": asked.purpose_words or None, "left_how": how, "at": Moment(now, zone_of(chart)),
        "before_finished": False,
    }  # fmt: skip
