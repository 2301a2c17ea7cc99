"""A draft: one entry's answers while they are being typed, with the operations they would replace."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from threading import Lock
from typing import Any

from forms.answers import Given, encode
from forms.ask import Path, ask_of, paths
from forms.chart import Carried, Entry, Place
from forms.form import Form, in_order, value_at, with_values
from storage.carrying import reason_for
from storage.changes import Begin, Change, ChangeSet, Put, Restore
from storage.log import canonical
from storage.steps import TAKEN_BACK
from storage.store import Store

__all__ = ["Draft", "save_all"]


@dataclass(frozen=True, slots=True)
class _Typed:
    """A value typed and not yet known to be on disk, and why it was changed."""

    value: Any
    reason: str


class Draft:
    """One entry being typed. It reads nothing by itself, so typing never waits for the store.

    `answers`, `heads` and `carried` are what stood when it was opened (`Draft.opened` reads them). A value saved on
    top of one that changed meanwhile does not overwrite it: both stand, as a conflict. Typing and saving may be on
    different threads.
    """

    def __init__(
        self,
        entity: str,
        place: Place,
        form: type[Form],
        *,
        answers: Form | None = None,
        heads: Mapping[str, tuple[str, ...]] | None = None,
        carried: Mapping[str, Carried] | None = None,
    ) -> None:
        self.entity, self.place, self.form = entity, place, form
        self._carried: dict[str, Carried] = dict(carried or {})
        self._kept: Form = answers if answers is not None else form()
        self._heads: dict[str, tuple[str, ...]] = dict(heads or {})
        self._typed: dict[Path, _Typed] = {}
        self._attempted: dict[Path, Put] = {}
        self._overtaken: set[Path] = set()
        self._replaced: set[str] = set()
        self._struck_by_undo = False
        self._ever = False
        self._turn = Lock()

    @classmethod
    def opened(cls, store: Store, entity: str, place: Place, form: type[Form]) -> Draft:
        """A draft of an entry as it stands in the store, or of one yet to begin."""
        draft = cls(entity, place, form)
        standing = store.entry(entity)
        if standing is not None:
            draft.refresh(standing)
        return draft

    @property
    def answers(self) -> Form:
        """The form with everything typed so far, saved or not."""
        with self._turn:
            return with_values(self._kept, {path: typed.value for path, typed in self._typed.items()})

    def value(self, path: Path) -> Given[Any]:
        """What stands at a path, typed or saved."""
        with self._turn:
            typed = self._typed.get(path)
            return typed.value if typed is not None else value_at(self._kept, path)

    @property
    def carried(self) -> Mapping[str, Carried]:
        """By register, where answers were brought forward from that nobody has touched since."""
        with self._turn:
            typed = {str(path) for path in self._typed}
            return {name: carried for name, carried in self._carried.items() if name not in typed}

    @property
    def typed(self) -> Mapping[Path, Given[Any]]:
        """What was typed and is not on disk, by where it belongs."""
        with self._turn:
            return {path: typed.value for path, typed in self._typed.items()}

    @property
    def pending(self) -> bool:
        """Whether something was typed that is not on disk."""
        return bool(self._typed)

    @property
    def touched(self) -> bool:
        """Whether anything was ever typed into this draft."""
        return self._ever

    @property
    def overtaken(self) -> frozenset[Path]:
        """Places being typed whose value was changed meanwhile; saving them makes a conflict to settle."""
        return frozenset(self._overtaken)

    def put(self, path: Path, value: Given[Any], reason: str = "") -> None:
        """Takes a typed value.

        Raises KeyError for a field the form has not, CannotBeKept for text that is no text, Refused for an end before
        its beginning.
        """
        ask_of(self.form, path.field)
        canonical(encode(value))
        in_order(self.answers, path, value)
        with self._turn:
            self._ever = True
            same = value_at(self._kept, path) == value
            if path not in self._typed and not reason and same:
                return
            carried = self._carried.get(str(path))
            if same and not reason and carried is not None:  # typed over and back again: gone through all the same
                reason = reason_for(replace(carried, still_so=True))
            self._typed[path] = _Typed(value, reason)

    def put_all(self, values: Mapping[Path, Given[Any]]) -> None:
        """Takes several values as one: no save comes between them, so that one undo takes all of them back."""
        for path, value in values.items():
            ask_of(self.form, path.field)
            canonical(encode(value))
        with self._turn:
            self._ever = True
            self._typed |= {path: _Typed(value, "") for path, value in values.items()}

    def still_so(self, path: Path) -> None:
        """Keeps an answer that was brought forward as it stands, as said today; nothing for any other answer."""
        carried = self.carried.get(str(path))
        if carried is not None and not carried.still_so:
            self.put(path, self.value(path), reason_for(replace(carried, still_so=True)))

    def save(self, store: Store, *, author: str) -> ChangeSet | None:
        """Writes what was typed; None when there was nothing. When it raises, everything typed stays pending."""
        with self._turn:
            sent = dict(self._typed)
            puts = {
                path: Put(self.entity, path, typed.value, self._heads.get(str(path), ()), typed.reason)
                for path, typed in sent.items()
            }
            restore = self._struck_by_undo
        if not sent:
            return None
        if self._attempted:
            self._adopt(store)
            puts = {path: _on_top(put, self._heads.get(str(path), ())) for path, put in puts.items()}
        self._attempted = puts
        changes: list[Change] = [Begin(self.entity, self.place)]
        if restore:
            changes.append(Restore(self.entity, "Written again after it was taken back"))
        done = store.write([*changes, *puts.values()], author=author)
        self._attempted = {}
        standing = store.entry(self.entity)
        with self._turn:
            self._struck_by_undo = False
            for path, typed in sent.items():
                if self._typed.get(path) == typed:
                    del self._typed[path]
                self._overtaken.discard(path)
            if standing is not None:
                for path, put in puts.items():
                    self._replaced |= set(put.replaces or ()) - set(standing.heads.get(str(path), ()))
                self._take(standing, only=set(sent))
        return done

    def refresh(self, entry: Entry[Form]) -> None:
        """Takes what the store now holds for every place that is not being typed; those keep the heads they had.

        An entry read before this draft's own last save is older than the draft and changes nothing where it differs.
        """
        with self._turn:
            self._struck_by_undo = entry.struck is not None and entry.struck.reason == TAKEN_BACK
            self._take(entry, only=None)

    def _take(self, entry: Entry[Form], only: set[Path] | None) -> None:
        taken: dict[Path, Given[Any]] = {}
        for path in paths(self.form):
            if only is not None and path not in only:
                continue
            now = entry.heads.get(str(path), ())
            if only is None and self._is_older(now, self._heads.get(str(path), ())):
                continue
            if path in self._typed and only is None:
                if now != self._heads.get(str(path), ()):
                    self._overtaken.add(path)
                continue
            taken[path] = value_at(entry.answers, path)
            self._heads[str(path)] = now
            self._carried.pop(str(path), None)
            if str(path) in entry.carried:
                self._carried[str(path)] = entry.carried[str(path)]
        self._kept = with_values(self._kept, taken)

    def _is_older(self, read: tuple[str, ...], known: tuple[str, ...]) -> bool:
        """Whether heads were read before this draft's own save: a register once written to is never without heads."""
        return (bool(known) and not read) or not self._replaced.isdisjoint(read)

    def _adopt(self, store: Store) -> None:
        """After a save that failed: finds out what of it did reach the disk, so that it is not taken for another's."""
        for path, put in self._attempted.items():
            for head in store.heads(self.entity, path):
                if head.device == store.device and head.kept == encode(put.value):
                    self._heads[str(path)] = (head.operation,)


def save_all(drafts: Iterable[Draft], store: Store, *, author: str) -> ChangeSet | None:
    """Saves every draft, each as a step of its own; None when there was nothing to write.

    One that cannot be saved keeps none of the others from the disk: the first failure is raised once all were tried.
    """
    written: ChangeSet | None = None
    failed: Exception | None = None
    for draft in drafts:
        try:
            done = draft.save(store, author=author)
        except Exception as failure:  # noqa: BLE001 - raised below, after the others
            failed = failed or failure
            continue
        written = done if written is None else written if done is None else written.with_(done)
    if failed is not None:
        raise failed
    return written


def _on_top(put: Put, heads: tuple[str, ...]) -> Put:
    return Put(put.entity, put.path, put.value, heads, put.reason)
