"""Taking facts of a hand-over into a chart: the file kept whole, each fact as a step of its own with its source."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from hashlib import sha256
from typing import TYPE_CHECKING, Any, Final

from forms.answers import Moment, Quantity, every
from forms.ask import Path
from forms.chart import Chart, Place
from forms.received import ReceivedFact, ReceivedFile
from forms.trouble import Bug
from forms.units import UNITS
from storage.changes import Begin, Change, Put
from storage.taking import TakenFrom, taken_from
from sync.handoff.detached import MEDIA_TYPE
from sync.handoff.facing import TAKES, Faced, Way, label_of
from sync.handoff.reading.held import HandOver, Offer
from sync.handoff.reading.sheet import received_on

if TYPE_CHECKING:
    from storage.store import Store

__all__ = [
    "MEDIA_CODES",
    "CameIn",
    "TakenAnswer",
    "answers_of_files",
    "file_kept",
    "keep_file",
    "since",
    "source_of",
    "sources_of",
    "take",
    "taken_answers",
]

MEDIA_CODES: Final[Mapping[str, str]] = {
    "application/pdf": "pdf", "application/fhir+json": "fhir", "text/csv": "csv", "application/xml": "xml",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class CameIn:
    """A file that was read: its bytes, those of the signature beside it, what it is called, and what was found."""

    found: HandOver
    data: bytes = field(repr=False)
    signature: bytes | None = field(default=None, repr=False)
    called: str = ""


def file_kept(chart: Chart, digest: str) -> bool:
    """Whether the family's record holds that file already."""
    return any(digest == entry.answers.file for entry in chart.all(ReceivedFile))


def since(came: CameIn, chart: Chart) -> CameIn:
    """The same; a family's sheet that is kept already came on the day since which it is kept."""
    kept = (entry.answers for entry in chart.all(ReceivedFile) if came.found.sha256 == entry.answers.file)
    days = sorted(at.local().date() for answers in kept for at in every(answers.came))
    return replace(came, found=received_on(came.found, days[0])) if days else came


def keep_file(store: Store, came: CameIn, family: str, fresh: str, now: Moment) -> Iterator[Change]:
    """Files the bytes with the record, and gives what says so. The bytes first: without them the rest is a loss."""
    found, sender = came.found, came.found.sender
    store.attach(came.data, found.media)
    if came.signature is not None:
        store.attach(came.signature, MEDIA_TYPE)
    yield Begin(fresh, Place(ReceivedFile.name, family))
    answers: dict[str, Any] = {
        "file": found.sha256, "media": MEDIA_CODES[found.media], "called": came.called or found.title,
        "sender": sender.who,
        "standing": str(sender.standing), "root": sender.root,
        "sealed": Moment(sender.at, now.zone) if sender.at is not None else None,
        "beside": sha256(came.signature).hexdigest() if came.signature is not None else "", "came": now,
    }  # fmt: skip
    yield from (Put(fresh, Path(name), value) for name, value in answers.items() if value not in (None, ""))


def take(one: Faced, found: HandOver, family: str, fresh: str, *, beside: bool = False) -> Iterator[Change]:
    """What taking a fact writes: into its own question, or with `beside` (or where it has none) in the sender's words.

    What its own question holds is replaced only where `one` was shown with it: anything written since stands beside it
    as a second answer. Raises Bug for a fact that is not to be taken.
    """
    if one.way in (Way.SHOWN, Way.STANDS, Way.KEPT):
        raise Bug("a fact that is not to be taken was taken")
    source = source_of(one.offer, found)
    if one.own is not None and not beside:
        yield Begin(one.own.entity, one.own.place)
        for path, value, seen in one.own.puts:
            yield Put(one.own.entity, path, value, seen, source.reason())
        return
    yield Begin(fresh, Place(ReceivedFact.name, family, None, (one.who,)))
    for name, said in fact_of(one.offer, found).items():
        if said:
            yield Put(fresh, Path(name), said)


def source_of(offer: Offer, found: HandOver) -> TakenFrom:
    """Where a fact comes from."""
    return TakenFrom(found.sha256, offer.id, _whom(offer, found), offer.at or found.at)


def _whom(offer: Offer, found: HandOver) -> str:
    author, who = offer.author or found.author, found.sender.who
    told = (who,) if author and who.startswith(author) else (author, who)
    return ", ".join(filter(None, told)) or "somebody the file does not name"


def _apart(quantity: Quantity) -> tuple[str, str]:
    """What was typed and its unit, which may have been typed with it."""
    typed, symbol = quantity.typed.strip(), UNITS[quantity.unit].symbol
    if typed.endswith(symbol):
        return typed.removesuffix(symbol).strip(), symbol
    return (typed, "") if any(letter.isalpha() for letter in typed) else (typed, symbol)


def fact_of(offer: Offer, found: HandOver) -> dict[str, str]:
    """The answers of a received fact."""
    value, unit = offer.words, offer.unit
    if unit:
        value = value.removesuffix(unit).strip()
    elif isinstance(offer.value, Quantity):
        value, unit = _apart(offer.value)
    doubts = (*offer.doubts, offer.only_shown if offer.form is not None else "")
    return {
        "what": label_of(offer), "value": value or "No words", "unit": unit, "at": offer.at,
        "from_whom": _whom(offer, found), "doubt": " ".join(filter(None, doubts)), "file": found.sha256,
        "place": offer.id,
    }  # fmt: skip


@dataclass(frozen=True, slots=True)
class TakenAnswer:
    """An answer that stands in its own question and was taken from a file: where it is kept, and from where it came."""

    entity: str
    path: Path
    source: TakenFrom


def answers_of_files(chart: Chart) -> Mapping[tuple[str, Path], tuple[str, ...]]:
    """The standing answers that a file can have given, with their operations; none while no file is kept."""
    if not chart.all(ReceivedFile):
        return {}
    return {
        (entry.id, Path.read(name)): heads
        for entry in chart.entries
        if entry.struck is None and isinstance(entry.answers, TAKES)
        for name, heads in entry.heads.items()
        if not name.startswith("@")
    }


def sources_of(store: Store, chart: Chart) -> Mapping[tuple[str, str], TakenFrom]:
    """Where each standing answer of a chart that was taken over came from, by its entry and question."""
    return {
        (one.entity, str(one.path)): one.source for one in taken_answers(store, answers_of_files(chart))
    }  # fmt: skip


def taken_answers(
    store: Store, standing: Mapping[tuple[str, Path], tuple[str, ...]]
) -> tuple[TakenAnswer, ...]:  # fmt: skip
    """Those of these answers that were taken from a file, as their operations say."""
    return tuple(
        TakenAnswer(entity, path, source)
        for (entity, path), heads in standing.items()
        for head in store.history(entity, path)
        if head.operation in heads and (source := taken_from(head.reason)) is not None
    )
