"""A file from elsewhere, or a sheet a family filled in, read: never into a chart, only as facts on offer."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from forms.answers import Moment
from forms.ask import Path
from sync.handoff.reading.bounded import LARGEST, parsed
from sync.handoff.reading.elsewhere import names_of, offers_of_observation, offers_of_patient
from sync.handoff.reading.fields import LARGEST_FORM, fields_of
from sync.handoff.reading.held import HandOver, Offer, Person, Sender, Standing, Unread
from sync.handoff.reading.opening import LARGEST_PAPER, record_inside
from sync.handoff.reading.ours import form_of, offers_of_answers
from sync.handoff.reading.restated import repeats
from sync.handoff.reading.sender import sender_beside, sender_of_paper
from sync.handoff.reading.shapes import Resource, Resources, fits, narrative, resources, why_only_shown
from sync.handoff.reading.sheet import is_sheet, sheet_read
from sync.handoff.reading.table import is_table, rows_of_table
from sync.handoff.reading.troubles import NoRecordInside, NotAHandOver, TooLarge

__all__ = ["read_file"]

_HEAD: Final = 1024
_TAKEN: Final = Path("taken")
_MARK: Final = b"\xef\xbb\xbf"
_SHOWN: Final = 20_000
"""Characters of a file that is kept unread; the whole of it is in the attachment."""


def read_file(
    data: bytes, *, zone: str, now: datetime, signature: bytes | None = None, roots: tuple[bytes, ...] = (),
    password: str | None = None,
) -> HandOver:  # fmt: skip
    """What a file holds. `signature` is the .p7s that lay beside a record, `roots` the certificates (DER) known here.

    `zone` is the one in which times are lived here, `now` an aware time. Raises a NotReadable that names what is wrong
    with the file, and what `verify` raises for a PDF that is locked or none.
    """
    digest = hashlib.sha256(data).hexdigest()
    if b"%PDF-" in data[:_HEAD]:
        if len(data) > LARGEST_PAPER:
            raise TooLarge
        try:
            record, _beside = record_inside(data, password)
        except NoRecordInside:
            filling = fields_of(data, password) if len(data) <= LARGEST_FORM else None
            if filling is None or not is_sheet(filling):
                raise
            return sheet_read(filling, sha256=digest, zone=zone, now=now)
        sender = sender_of_paper(data, password, roots)
        return _record(record, HandOver(digest, "application/pdf", sender), zone, now)
    if len(data) > LARGEST:
        raise TooLarge
    start = data[:_HEAD].removeprefix(_MARK).lstrip()[:1]
    if start == b"<":
        shown = data.decode("utf-8", "replace")[:_SHOWN]
        return HandOver(digest, "application/xml", Sender(Standing.UNSIGNED), text=shown)
    if start not in (b"{", b"["):
        if not is_table(data):
            raise NotAHandOver
        return _table(data, HandOver(digest, "text/csv", sender_beside(data, signature, roots)), zone, now)
    return _record(data, HandOver(digest, "application/fhir+json", sender_beside(data, signature, roots)), zone, now)


def _table(data: bytes, made: HandOver, zone: str, now: datetime) -> HandOver:
    rows = tuple(rows_of_table(data, author=made.sender.who, zone=zone, now=now))
    offers = tuple(one for one in rows if isinstance(one, Offer))
    return replace(made, offers=offers, unread=tuple(one for one in rows if isinstance(one, Unread)))


def _record(record: bytes, made: HandOver, zone: str, now: datetime) -> HandOver:
    bundle = parsed(record)
    held = resources(bundle)
    reading = _Reading(held, zone, now)
    offers = reading.offers()
    stamp = bundle.get("timestamp")
    return replace(
        made, title=reading.title, at=stamp if isinstance(stamp, str) else "", author=reading.author,
        people=tuple(reading.people()), offers=offers, unread=tuple(reading.unread()),
    )  # fmt: skip


class _Reading:
    """One bundle while it is read. A resource that is not built as its kind is stays unread, and says why."""

    def __init__(self, held: Resources, zone: str, now: datetime) -> None:
        self.held, self.zone, self.today = held, zone, now.astimezone(ZoneInfo(zone)).date()
        self.whole = tuple((f"{at}:{_name(one)}", one, fits(one)) for at, one in enumerate(held.all))
        head = next((one for _, one, fit in self.whole if fit and one["resourceType"] == "Composition"), {})
        self.title: str = head.get("title", "")
        self.author = ", ".join(filter(None, map(self._who, head.get("author", []))))
        self._mapped: set[str] = set()

    def _who(self, points: Resource) -> str:
        found = self.held.at(points.get("reference"))
        names = names_of(found) if found is not None and isinstance(found.get("name"), list) and fits(found) else ()
        return names[0] if names else str(points.get("display", ""))

    def _of_kind(self, kind: str) -> Iterator[tuple[str, Resource]]:
        return ((entry, one) for entry, one, fit in self.whole if fit and one["resourceType"] == kind)

    def _person(self, resource: Resource) -> str:
        found = self.held.at(resource.get("subject", {}).get("reference"))
        return next((entry for entry, one in self._of_kind("Patient") if one is found), "")

    def people(self) -> Iterator[Person]:
        for entry, one in self._of_kind("Patient"):
            yield Person(entry, names_of(one), one.get("birthDate", ""), one.get("gender", ""))

    def offers(self) -> tuple[Offer, ...]:
        """Every fact: our own forms' answers first, then what plain resources say that no answer says already."""
        answers = list(self._answers())
        taken = {one.entry: one.value for one in answers if one.path == _TAKEN}
        said = {_fact(one, taken.get(one.entry)) for one in answers}
        plain = (
            one for one in self._plain(answers) if one.barred or _fact(one, dict(one.also).get(_TAKEN)) not in said
        )
        return _told_apart((*answers, *plain))

    def _answers(self) -> Iterator[Offer]:
        for entry, one in self._of_kind("QuestionnaireResponse"):
            form = form_of(one)
            if form is None:
                continue
            self._mapped.add(entry)
            author = self._who(one.get("author", {})) or self.author
            yield from offers_of_answers(
                one, form, self.held, entry=entry, person=self._person(one), author=author, zone=self.zone,
                why=why_only_shown(one),
            )  # fmt: skip

    def _is_repeated(self, resource: Resource, answers: list[Offer]) -> bool:
        """Whether a measurement repeats answers that are on offer, as it says itself."""
        if why_only_shown(resource):
            return False
        named = [self.held.at(one.get("reference")) for one in resource.get("derivedFrom", [])]
        entries = {entry for entry, one in self._of_kind("QuestionnaireResponse") if any(one is at for at in named)}
        return repeats(resource, (one for one in answers if one.entry in entries))

    def _plain(self, answers: list[Offer]) -> Iterator[Offer]:
        for entry, one in self._of_kind("Patient"):
            self._mapped.add(entry)
            if not answers:
                yield from offers_of_patient(
                    one, entry=entry, author=self.author, today=self.today, why=why_only_shown(one)
                )
        for entry, one in self._of_kind("Observation"):
            self._mapped.add(entry)
            if self._is_repeated(one, answers):
                continue
            author = ", ".join(filter(None, map(self._who, one.get("performer", [])))) or self.author
            document = ", ".join(filter(None, (self.title or "A record received", author)))
            yield from offers_of_observation(
                one, entry=entry, person=self._person(one), author=author, zone=self.zone, today=self.today,
                why=why_only_shown(one), document=document,
            )  # fmt: skip

    def unread(self) -> Iterator[Unread]:
        """Whatever nothing is offered from; the words of each in plain text."""
        for entry, one, fit in self.whole:
            if entry not in self._mapped:
                why = "" if fit else "It is not built as its kind should be."
                yield Unread(one["resourceType"], entry, why, narrative(one))


def _fact(one: Offer, taken: Any) -> tuple[Any, ...]:
    """What makes two offers one fact: two weights that are equal are two, unless they were taken at one time."""
    at = taken.at if isinstance(taken, Moment) else taken
    return one.person, one.form, one.path, getattr(one.value, "base", one.value), at


def _told_apart(offers: tuple[Offer, ...]) -> tuple[Offer, ...]:
    """The facts, each under an id of its own: a file may name two of its parts alike."""
    times: Counter[str] = Counter()
    made = []
    for one in offers:
        times[one.id] += 1
        made.append(one if times[one.id] == 1 else replace(one, id=f"{one.id} ({times[one.id]})"))
    return tuple(made)


def _name(resource: Resource) -> str:
    name = resource.get("id")
    return f"{resource['resourceType']}/{name}" if isinstance(name, str) else resource["resourceType"]
