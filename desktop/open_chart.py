"""One family's record while it is open: the chart, the drafts typed over it, and what both add up to at this moment.

Reading is from memory, so that a prompt appears with the answer that fires it; writing goes through the store lane.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from contextlib import AbstractContextManager
from dataclasses import replace
from datetime import datetime
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from desktop import steady
from desktop.draft import EntryBinding
from desktop.telling import Telling
from desktop.work import StoreLane
from forms.after_signing import AFTER_SIGNING
from forms.ask import Path
from forms.chart import Chart, Entry, Place, entry_id
from forms.clinical.feed_clock import Reading
from forms.feed_event import TimedEvent
from forms.form import About, Form
from forms.people import Family, ParentIdentity
from forms.pictures.whose import called, infants_of
from forms.trouble import Trouble
from storage.changes import Change, ChangeSet, StrikeOut
from storage.drafts import Draft, save_all
from storage.log import SIGNED
from storage.store import Store

__all__ = ["AUTOSAVE_MS", "NotWritten", "NothingMoved", "OpenChart"]

AUTOSAVE_MS = 1_000
"""Pause after a change before it is written; an answer is on disk within 2 s."""

_MANY = 200
"""A change that touches more entries than this reads the whole chart again."""

VISIT_BOUND = (About.VISIT, About.PERSON_AT_VISIT, About.PAIR_AT_VISIT)


class NothingMoved(Trouble):
    """Something that builds on what was typed was asked for while that was not yet on disk."""

    template = "Something typed is not on the disk yet, so nothing was moved. Make room on it, then try again."


class NotWritten(Trouble):
    """A fault of ours kept typed answers from the disk."""

    template = "What was typed last is not written yet. It stays on screen; lock, unlock, and look again."


class OpenChart(QObject):
    """The family being charted.

    Signals: `changed()` when any answer is another than before; `saved(datetime)` when all that was typed is on disk;
    `unsaved(Trouble)` when it could not be written and stays on screen; `reloaded()` when entries came or went.
    """

    changed = Signal()
    saved = Signal(object)
    unsaved = Signal(object)
    reloaded = Signal()

    open_after_signing = AFTER_SIGNING

    def __init__(
        self,
        lane: StoreLane,
        chart: Chart,
        *,
        author: str,
        clock: Callable[[], datetime],
        ids: Callable[[], str],
        zone: str,
        reading: Callable[[], Reading] = steady.reading,
        parent: QObject | None = None,
    ) -> None:
        """`clock` is the time of day, `reading` the steady clock by which a feed goes on."""
        super().__init__(parent)
        self.lane, self.author, self.clock, self.ids, self.zone = lane, author, clock, ids, zone
        self.reading = reading
        self._chart = chart
        self._live: Chart | None = None
        self._bindings: dict[str, EntryBinding] = {}
        self._units: dict[str, str] = {}
        self._waiting: datetime | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(AUTOSAVE_MS)
        self._timer.timeout.connect(self.save)
        self._passing: set[str] = set()
        self._refused = False
        self._telling = Telling(self.changed.emit, self.reloaded.emit, self)
        lane.changed.connect(self._changed_in_store)
        lane.broke.connect(self._broke)

    @property
    def chart(self) -> Chart:
        """The record with everything typed so far, saved or not."""
        if self._live is None:
            typed = (self._entry_of(binding) for binding in self._bindings.values() if binding.draft.touched)
            self._live = self._chart.with_entries(typed)
        return self._live

    @property
    def refused_since(self) -> datetime | None:
        """Since when what was typed could not be written and is tried again; None while the disk takes it."""
        return self._waiting if self._refused else None

    @property
    def unsaved_since(self) -> datetime | None:
        """When the oldest answer was typed that is not yet on disk, or None."""
        return self._waiting

    def _entry_of(self, binding: EntryBinding) -> Entry[Form]:
        held = self._chart.by_id(binding.entity)
        if held is not None:
            return replace(held, answers=binding.draft.answers, carried=binding.draft.carried)
        return Entry(binding.entity, binding.draft.place, binding.draft.answers, self.author, self.clock())

    def names(self, person: str) -> str:
        """The name this person is called by, or what stands in for it while none is written."""
        return called(self.chart, person)

    def parents(self) -> tuple[str, ...]:
        """Ids of the family's parents and carers, in the order they were entered."""
        return tuple(e.id for e in self.chart.all(ParentIdentity))

    def infants(self) -> tuple[str, ...]:
        """Ids of the family's babies, in birth order where known."""
        return infants_of(self.chart)

    def place(self, form: type[Form], *subjects: str) -> Place:
        """Where an entry of `form` about these people stands in this chart."""
        if form.about is About.PRACTICE:
            return Place(form.name)
        bound = form.about in VISIT_BOUND or form.name == "weight"
        return Place(form.name, self._chart.family, self._chart.visit if bound else None, subjects)

    def binding(self, form: type[Form], *subjects: str, entity: str | None = None) -> EntryBinding:
        """The draft of one entry: the named one, or the only one of `form` for these subjects."""
        visit = self._chart.visit if form.about in VISIT_BOUND else None
        one = entity or entry_id(form, visit, subjects)
        self._passing.discard(one)
        found = self._bindings.get(one)
        if found is None:
            held = self._chart.by_id(one)
            draft = Draft(
                one,
                held.place if held is not None else self.place(form, *subjects),
                form,
                answers=held.answers if held is not None else form(),
                heads=held.heads if held is not None else {},
                carried=held.carried if held is not None else {},
            )
            found = self._bindings[one] = EntryBinding(self, draft)
            found.changed.connect(self._typed)
        return found

    def begin(self, form: type[Form], *subjects: str) -> EntryBinding:
        """A new entry of a form that repeats; it is kept from its first answer on."""
        return self.binding(form, *subjects, entity=self.ids())

    def add(self, form: type[Form], *subjects: str, values: Mapping[str, Any]) -> str:
        """A new entry of a form that repeats, complete as it is: written now, as one step, and tried again by itself.

        Its id; "" under a signature, where nothing is added. What it adds up to is told a little later, so that many
        in a row cost one telling, or when `catch_up` is called.
        """
        one = self.ids()
        binding = self.binding(form, *subjects, entity=one)
        if binding.sealed():
            del self._bindings[one]
            return ""
        binding.draft.put_all({Path.read(name): value for name, value in values.items()})
        self._passing.add(one)
        self._live = self.chart.with_entries((self._entry_of(binding),))
        self._waiting = self._waiting or self.clock()
        self.save()
        self._telling.later()
        return one

    def catch_up(self) -> None:
        """Tell now what came of the events that were added; nothing where nothing waits to be told."""
        self._telling.catch_up()

    def gathered(self) -> AbstractContextManager[None]:
        """Answers taken in here are told as one change."""
        return self._telling.gathered()

    def strike(self, entity: str, reason: str, then: Callable[[], None] | None = None) -> None:
        """Strike an entry out, with its reason; it stays readable."""
        self.save()
        self.lane.run(
            lambda store: store.write((StrikeOut(entity, reason),), author=self.author), lambda _done: then and then()
        )

    def write(
        self,
        make: Callable[[Store], Iterable[Change]],
        then: Callable[[ChangeSet], None] | None = None,
        trouble: Callable[[Trouble], None] | None = None,
    ) -> None:
        """Write changes to several entries as one step, which is taken back as one.

        `make` reads the store once everything typed is on disk. Nothing is written when it raises a Trouble, or when
        what was typed could not be written (NothingMoved).
        """
        self.save()

        def write(store: Store) -> ChangeSet:
            if self.pending():
                raise NothingMoved
            return store.write(tuple(make(store)), author=self.author)

        self.lane.run(write, then, trouble)

    def unit(self, dimension: str) -> str | None:
        """The unit last used for this dimension in this chart."""
        return self._units.get(dimension)

    def use_unit(self, dimension: str, unit: str) -> None:
        """Remember the unit just used."""
        self._units[dimension] = unit

    def _typed(self, _path: str) -> None:
        self._live = None
        if self._waiting is None and any(b.draft.pending for b in self._bindings.values()):
            self._waiting = self.clock()
        if not self._timer.isActive():
            self._timer.start(AUTOSAVE_MS)
        self._telling.answer()

    def save(self) -> None:
        """Write everything typed and not yet written, now."""
        self._timer.stop()
        drafts = [b.draft for b in self._bindings.values() if b.draft.pending]
        if not drafts:
            return

        self.lane.run(lambda store: save_all(drafts, store, author=self.author), self._saved, self._not_saved)

    def put_together(self, binding: EntryBinding, values: Mapping[Path, Any]) -> None:
        """Write several answers of one entry as one step, which one undo takes back, and nothing else with it."""

        def put() -> None:
            binding.put_all(values)
            self.save()

        before = self.pending()
        if not before:
            put()
            return

        def kept(written: ChangeSet | None) -> None:
            self._saved(written)
            put()

        def not_kept(trouble: Trouble) -> None:
            self._not_saved(trouble)
            put()

        self.lane.run(lambda store: save_all(before, store, author=self.author), kept, not_kept)

    def _saved(self, written: ChangeSet | None) -> None:
        if any(b.draft.pending for b in self._bindings.values()):
            self._timer.start(AUTOSAVE_MS)
            return
        self._waiting, self._refused = None, False
        self.saved.emit(written.at if written is not None else self.clock())

    def _not_saved(self, trouble: Trouble) -> None:
        # What was typed stays in the drafts; the next round tries again, so nothing has to be pressed.
        self._refused = True
        self.unsaved.emit(trouble)
        self._timer.start(AUTOSAVE_MS * 3)

    def _broke(self, _failure: Exception) -> None:
        if self.pending():
            self.unsaved.emit(NotWritten())

    def _changed_in_store(self, changes: ChangeSet) -> None:
        if self._chart.family not in changes.families and changes.families:
            return
        entities = {entity for entity, _ in changes.touched}
        signed = any(path.field == SIGNED for _, path in changes.touched)
        if signed or len(entities) > _MANY:
            self.reload()
        elif entities:
            self.lane.run(lambda store: store.entries(entities), self._take_entries)

    def _is_of_this(self, entry: Entry[Form]) -> bool:
        own = entry.place.family
        practice = own is None and entry.place.form != Family.name
        return practice or self._chart.family in (own, entry.id)

    def _take_entries(self, entries: tuple[Entry[Form], ...]) -> None:
        """Take what a write touched; the others stand as they were."""
        chart, fresh = self._chart, [one for one in entries if self._is_of_this(one)]
        new = [one for one in fresh if chart.by_id(one.id) is None]
        if new and chart.entries and new[0].entered < chart.entries[-1].entered:
            self.reload()  # it belongs between the others
            return
        was = {old.id: old for each in fresh if (old := chart.by_id(each.id)) is not None}
        if any(one.id not in was or (was[one.id].struck is None) != (one.struck is None) for one in fresh):
            self._telling.came()
        self._chart = chart.with_entries(fresh)
        self._refresh(fresh)
        if self._live is not None:
            typed = [held for each in fresh if (held := self._bindings.get(each.id)) is not None and held.draft.touched]
            self._live = self._live.with_entries((*fresh, *map(self._entry_of, typed)))
        if fresh and all(isinstance(one.answers, TimedEvent) for one in fresh):
            self._telling.later()
        elif fresh:
            self._telling.now()

    def _refresh(self, entries: Iterable[Entry[Form]]) -> None:
        """Give every draft what stands now; one of an event nobody looks at has done its work once it is on disk."""
        for entry in entries:
            binding = self._bindings.get(entry.id)
            if binding is None:
                continue
            binding.refresh(entry)
            if entry.id in self._passing and not binding.draft.pending:
                self._passing.discard(entry.id)
                del self._bindings[entry.id]
                binding.deleteLater()

    def take_back(self) -> None:
        """Undo the newest step of this family that can still be undone; what is being typed is written first."""
        family = self._chart.family
        self.save()
        self.lane.run(
            lambda store: store.undo(self.author, family=family),
            lambda undone: self.saved.emit(undone.at) if undone is not None else None,
        )

    def told_to_take_back(self, then: Callable[[str], None]) -> None:
        """Say to `then` which step `take_back` would undo, in words without an answer; "" when there is none."""
        family = self._chart.family
        self.lane.run(lambda store: next(iter(store.undoable(family=family)), ""), then)

    def reload(self, then: Callable[[], None] | None = None) -> None:
        """Read the chart again; what is being typed keeps the heads it was opened with."""

        def take(chart: Chart) -> None:
            before = {e.id: e.struck is not None for e in self._chart.entries}
            signed = self._chart.signatures
            self._chart, self._live = chart, None
            self._refresh(chart.entries)
            if before != {e.id: e.struck is not None for e in chart.entries}:
                self.reloaded.emit()
            if signed != chart.signatures:
                for binding in self._bindings.values():
                    binding.sealed_changed.emit()
            self.changed.emit()
            if then is not None:
                then()

        self.lane.run(self._read, take)

    def _read(self, store: Store) -> Chart:
        return store.chart(self._chart.family, self._chart.visit)

    def pending(self) -> tuple[Draft, ...]:
        """Drafts that hold something not yet on disk."""
        return tuple(b.draft for b in self._bindings.values() if b.draft.pending)

    def adopt(self, drafts: tuple[Draft, ...], since: datetime | None) -> None:
        """Go on with drafts that a full disk kept from being written; since when the oldest of them waits."""
        if not drafts:
            return
        for draft in drafts:
            standing = self._bindings.get(draft.entity)
            if standing is not None:
                standing.take_over(draft)
                continue
            binding = self._bindings[draft.entity] = EntryBinding(self, draft)
            binding.changed.connect(self._typed)
        self._live = None
        self._waiting = min(filter(None, (self._waiting, since)), default=self.clock())
        self.changed.emit()
        self.save()
