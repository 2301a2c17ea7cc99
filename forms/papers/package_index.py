"""The index of a release package: who asked, for whom, what for and under what; each file; and what was left out.

What was left out is told in the same general words every time, whether or not there was any of it: otherwise the index
would tell that something was said in confidence.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from forms.ask import Paper
from forms.chart import Chart, Entry
from forms.clinical.evidence import zone_of
from forms.consent import Release
from forms.form import Form
from forms.papers.outline import (
    SCOPE,
    Block,
    Foot,
    Heading,
    Item,
    Items,
    Lines,
    Outline,
    Paragraph,
    Title,
    Words,
    plain,
    strong,
)  # fmt: skip
from forms.papers.said import Said, day_words
from forms.papers.writer import SEAL_NOTE, page_size, printed_name, writer_lines
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Provider
from forms.referral import PURPOSES_OF_LEAVING
from forms.trouble import Bug

__all__ = ["AskedFor", "Inside", "package_index"]

SIZE: Final = 10
_GROUP: Final = 8
_LEFT_OUT: Final = (
    "What was told in confidence: it stands on no paper and goes to nobody with the record.",
    "What the practice notes for its own work, and drafts.",
    "What concerns other people of the family, and papers about all of it: each person’s record is asked for apart.",
    "Visits that are not signed yet, and what was struck out of the record.",
    "Photos, unless this person alone is to be seen and the consent to the photo stands.",
    "Papers of other practices, which give them out themselves, and papers locked with a password.",
)


@dataclass(frozen=True, slots=True)
class Inside:
    """One file of the package: its name in the folder, what it is, its pages (0: it has none), and its SHA-256.

    "" for the hash while the package is only looked at: seals are made as it is written.
    """

    name: str
    what: str
    pages: int
    sha256: str


@dataclass(frozen=True, slots=True)
class AskedFor:
    """The request: about whom, who asked (ids), what for (a code, and words for "other"), and under which release.

    `insisted`: whoever asked was warned and insisted on an open folder; otherwise it leaves as one locked file.
    """

    person: str
    asker: str
    purpose: str
    purpose_words: str
    release: Entry[Release] | None
    insisted: bool = False


def _name(said: Said, entry: str) -> str:
    found: Entry[Form] | None = said.chart.by_id(entry)
    if found is None:
        return ""
    if isinstance(found.answers, InfantIdentity | ParentIdentity):
        return said.full_name(found.answers)
    return said.words(found.answers, "full_name") if isinstance(found.answers, Provider) else ""


def _born(said: Said, person: str) -> str:
    found = said.chart.by_id(person)
    if found is None:
        return ""
    if isinstance(found.answers, InfantIdentity):
        return said.words(found.answers, "born") or said.words(found.answers, "born_day")
    return said.words(found.answers, "born_day")


def _ground(said: Said, asked: AskedFor) -> str:
    """The consent the package goes under, in words."""
    if asked.release is None:
        return "The person’s own request" if asked.asker == asked.person else "The request of a parent who may consent"
    row = asked.release.answers
    words = f"Release of the whole record, given by {said.words(row, 'given_by') or 'somebody not named'}"
    given, until = said.words(row, "given_at"), said.words(row, "valid_until")
    return f"{words}{f', {given}' if given else ''}; holds until {until}"


def _request(said: Said, asked: AskedFor) -> Iterator[Item]:
    about, born = _name(said, asked.person), _born(said, asked.person)
    yield Item("About", plain(f"{about}, born {born}" if born else about))
    yield Item("Asked for by", plain(_name(said, asked.asker) or "not known"))
    yield Item("What for", plain(asked.purpose_words or PURPOSES_OF_LEAVING[asked.purpose]))
    yield Item("Under", plain(_ground(said, asked)))
    if asked.release is not None and said.words(asked.release.answers, "limits"):
        yield Item("What the release excludes", plain(said.words(asked.release.answers, "limits")))
    yield Item("How it leaves", plain(_OPEN if asked.insisted else _LOCKED))


def _listed(files: Sequence[Inside]) -> Iterator[Words]:
    """Each file with its pages, counted through all papers, and its fingerprint in groups that can be compared."""
    page = 1
    for one in files:
        where = ""
        if one.pages:
            last = page + one.pages - 1
            where = f", page {page}" if one.pages == 1 else f", pages {page} to {last}"
            page = last + 1
        yield (*strong(one.name), *plain(f": {one.what}{where}"))
        if one.sha256:
            groups = (one.sha256[at : at + _GROUP] for at in range(0, len(one.sha256), _GROUP))
            yield plain(" ".join(groups))


def package_index(
    chart: Chart, asked: AskedFor, files: Sequence[Inside], *, chosen_out: bool, writer: str, now: datetime
) -> Outline:
    """The index of a package. `writer` is the practitioner's id; `chosen_out`: papers there are were not picked.

    Raises NoWriter, and Unresolved when two values stand for something it prints; Bug for nobody of this family.
    """
    said = Said(chart, Paper.SUMMARY)  # the index says nothing that the summaries it lists may not say
    name = _name(said, asked.person)
    if not name:
        raise Bug("a release package is about a parent or a baby with a name")
    today = now.astimezone(ZoneInfo(zone_of(chart))).date()
    out = (*_LEFT_OUT, *(("Papers that were not asked for, or not needed for the purpose.",) if chosen_out else ()))
    blocks: list[Block] = [
        Title(f"Release package: {name}", plain(f"Made {day_words(today, weekday=True)}")),
        Items(tuple(_request(said, asked))),
        Heading("What is inside"),
        Paragraph(plain(f"{_IN_FOLDER if asked.insisted else _IN_FILE} {_HOW}")),
        Lines(tuple(_listed(files)), small=True),
        Heading("What was left out, and why"),
        Lines(tuple(plain(line) for line in out)),
    ]
    foot = Foot(SCOPE[Paper.PACKAGE], (), (*writer_lines(said, writer), plain(SEAL_NOTE)))
    return Outline(
        kind=Paper.PACKAGE, title=f"Release package: {name}", language="en", blocks=(*blocks, foot),
        about=(asked.person,), size=SIZE, page=page_size(said), writer=printed_name(said, writer),
    )  # fmt: skip


_LOCKED: Final = "As one locked file. Its password of five words is told by another way, never with the file"
_OPEN: Final = "As an open folder: the person who asked was told that others may read it, and insists on it"
_IN_FOLDER: Final = (
    "Every file but this index and the page on how to check it, with the SHA-256 fingerprint of its bytes under its "
    "name."
)
_IN_FILE: Final = (
    "Every file inside this one, with the SHA-256 fingerprint of its bytes under its name. A PDF program shows them as "
    "attachments and saves them, best into a folder of their own. Where the notes on the tables name a file "
    "“tables/…”, it is called “tables-…” here."
)
_HOW: Final = (
    "A file whose fingerprint differs is not the one that was given out. Pages are counted through all papers."
)
