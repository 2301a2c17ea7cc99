"""What devices wrote apart, in words: of which family and whom, what stands, who wrote it when and on which device."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from desktop.controls.shown import answer_words, moment_words
from desktop.sharing import seen_to
from forms.answers import Moment, Side
from forms.ask import Ask, Kind, Path, ask_of
from forms.chart import Chart, Entry, Place
from forms.form import Form, catalog
from forms.people import Family
from storage.changes import Head
from storage.disputes import Dispute, Late
from storage.disputes import Kind as Apart
from storage.store import Store
from storage.taking import taken_from
from sync.exchange.practice import practice_of
from sync.exchange.roles import beyond_role

__all__ = ["Differing", "Gone", "Stands", "read_differing"]


@dataclass(frozen=True, slots=True)
class Stands:
    """One value: in words, who wrote it when and where, whether on this device; `value` is what is written anew."""

    words: str
    by: str
    here: bool
    value: Any
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Differing:
    """One thing to settle. `history` is everything ever written there; `text` says that a joined text is proposed."""

    dispute: Dispute
    family: str
    about: str
    stands: tuple[Stands, ...]
    started: tuple[str, ...]
    history: tuple[Stands, ...]
    text: bool


@dataclass(frozen=True, slots=True)
class Gone:
    """What came after a signature, in lines, and the note it belongs to."""

    late: Late
    family: str
    about: str
    lines: tuple[str, ...]


class _Words:
    """Names of people, devices and forms, from the whole record."""

    def __init__(self, store: Store, zone: str) -> None:
        self._store, self._zone, self._device = store, zone, store.device
        self._charts: dict[str, Chart] = {}
        practice = practice_of(store)
        self._labels = {c: m.label for c, m in practice.roster.every.items()} if practice is not None else {}
        beyond = beyond_role(store, practice.roster) if practice is not None else ()
        self._beyond = {one.operation.hash: one.role.label for one in beyond}
        self._people = {entry.id: entry for entry in store.practice_entries()}

    def _chart(self, place: Place, entity: str) -> Chart | None:
        family = entity if place.form == Family.name else place.family
        if family is None:
            return None
        if family not in self._charts:
            self._charts[family] = self._store.chart(family)
        return self._charts[family]

    def name(self, entry: Entry[Form] | None) -> str:
        """What a person or provider is called."""
        for field in ("called_name", "full_name", "legal_name", "practice_name", "family_name"):
            value = getattr(entry.answers if entry is not None else None, field, None)
            if isinstance(value, str) and value.strip():
                return value.strip()
        return ""

    def family(self, place: Place, entity: str) -> str:
        """The family concerned, or that it is the practice's own."""
        chart = self._chart(place, entity)
        if chart is None:
            return "The practice"
        return self.name(chart.by_id(chart.family)) or "A family without a name"

    def about(self, place: Place, entity: str) -> str:
        """Whom and what: "Ida, Weight"."""
        chart, form = self._chart(place, entity), catalog().get(place.form)
        people = [self.name(chart.by_id(who)) for who in place.subjects] if chart is not None else []
        if form is not None and place.form in ("parent", "infant", "practitioner", "provider"):
            people = [self.name(chart.by_id(entity) if chart is not None else self._people.get(entity))]
        title = form.title if form is not None else "a part of a newer version"
        return ", ".join(part for part in (*people, title) if part)

    def question(self, place: Place, path: Path) -> str:
        """The question, with its side in words."""
        form = catalog().get(place.form)
        if form is None or path.field.startswith("@"):
            return {"@struck": "Struck out", "@signed": "Signature", "@place": "Begun"}.get(path.field, path.field)
        side = {Side.LEFT: ", left", Side.RIGHT: ", right"}.get(path.side, "") if path.side else ""
        return f"{ask_of(form, path.field).label}{side}"

    def ask(self, place: Place, path: Path) -> Ask | None:
        """The question's declaration, where this version knows it."""
        form = catalog().get(place.form)
        return None if form is None or path.field.startswith("@") else ask_of(form, path.field)

    def value(self, place: Place, entity: str, path: Path, head: Head) -> str:
        """A value in words."""
        if path.field == "@struck":
            return "Counts" if head.kept is None else f"Struck out: {head.kept['reason']}"
        if path.field == "@signed":
            return f"Signed, {' '.join(str(head.kept['digest'])[at : at + 4] for at in range(0, 16, 4))}"
        if path.field == "@place":
            return "begun"
        ask, chart = self.ask(place, path), self._chart(place, entity)
        if ask is None:
            return "written by a newer version"
        entries = (*(chart.entries if chart is not None else ()), *self._people.values())
        names = tuple((one.id, self.name(one) or "an entry without a name") for one in entries)
        return answer_words(ask, head.value, names if ask.kind in (Kind.REF, Kind.REFS) else ())

    def by(self, head: Head) -> str:
        """Who wrote it, when, on which device, and whether the role of that did not allow it."""
        who = self.name(self._people.get(head.author)) or "someone"
        device = "this device" if head.device == self._device else self._labels.get(head.device, "another device")
        beyond = self._beyond.get(head.operation)
        role = f", which its role, {beyond}, does not allow" if beyond else ""
        return f"{who}, {moment_words(Moment(head.at, self._zone))}, on {device}{role}"

    def stands(self, place: Place, entity: str, path: Path, head: Head) -> Stands:
        """One value with all that is to be known of it."""
        words = self.value(place, entity, path, head)
        taken = taken_from(head.reason)
        reason = taken.words if taken is not None else head.reason
        return Stands(words, self.by(head), head.device == self._device, head.value, reason)


def _differing(store: Store, words: _Words, one: Dispute) -> Differing:
    place, entity, path = one.place, one.entity, one.path
    ask = words.ask(place, path)
    started = tuple(words.value(place, entity, path, head) for head in one.started)
    history = tuple(words.stands(place, entity, path, head) for head in store.history(entity, path))
    about = words.about(place, entity)
    if one.kind is not Apart.STRUCK:
        about = f"{about}: {words.question(place, path)}"
    distinct: dict[str, Stands] = {}
    for head in one.heads:
        distinct.setdefault(f"{head.kept!r}", words.stands(place, entity, path, head))
    shown = (
        *sorted(distinct.values(), key=lambda stands: not stands.here),
        *(_edit(words, one, at, head) for at, head in one.beside),
    )
    text = ask is not None and ask.kind is Kind.TEXT and all(isinstance(s.value, str) for s in shown)
    return Differing(one, words.family(place, entity), about, shown, started, history, text and len(shown) == 2)


def _edit(words: _Words, one: Dispute, at: Path, head: Head) -> Stands:
    """An answer written to an entry that another device struck out meanwhile."""
    stands = words.stands(one.place, one.entity, at, head)
    return replace(stands, words=f"{words.question(one.place, at)}: {stands.words}")


def _gone(words: _Words, one: Late) -> Gone:
    lines = tuple(
        f"{words.question(one.place, path)}: {words.value(one.place, one.entity, path, head)} ({words.by(head)})"
        for path, head in one.arrived
        if path.field != "@place" or len(one.arrived) == 1
    )
    return Gone(one, words.family(one.place, one.entity), words.about(one.place, one.entity), lines)


def read_differing(family: str, zone: str) -> Callable[[Store], tuple[tuple[Differing, ...], tuple[Gone, ...]]]:
    """The operation that reads the desk: of one family, or of all and the practice where `family` is ""."""

    def read(store: Store) -> tuple[tuple[Differing, ...], tuple[Gone, ...]]:
        words = _Words(store, zone)
        late = [one for one in store.late_arrivals(seen_to(store)) if family in ("", one.place.family, one.entity)]
        return (
            tuple(_differing(store, words, one) for one in store.disputes(family or None)),
            tuple(_gone(words, one) for one in late),
        )

    return read
