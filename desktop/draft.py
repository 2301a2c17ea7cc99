"""A draft as the controls see it: one entry's answers in memory, autosaved by the open chart."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from desktop.controls.binding import Binding
from desktop.controls.clock import day_words
from forms.answers import Given, Moment
from forms.ask import Path, ask_of, paths
from forms.carried import from_words
from forms.chart import Entry
from forms.consent import Release
from forms.form import Form, catalog, value_at
from forms.people import ParentIdentity
from forms.phrase import Phrase, fits, question_key, takes_phrases
from forms.phrases.found_again import offered_for
from forms.practice import Practitioner, Provider
from forms.trouble import Refused
from forms.units import UNITS
from storage.drafts import Draft
from storage.rights import why_not

if TYPE_CHECKING:
    from desktop.open_chart import OpenChart

__all__ = ["EntryBinding"]


class EntryBinding(Binding):
    """The binding of one entry of an open chart. Signals: those of Binding."""

    def __init__(self, home: OpenChart, draft: Draft) -> None:
        super().__init__(home)
        self.home, self.draft = home, draft
        self.form = draft.form
        self.entity = draft.entity
        self._sayings: dict[str, str] = {}
        self.goes_with: Callable[[Any, str, Any], Mapping[str, Any]] | None = None

    def value(self, path: str) -> Given[Any]:
        """What stands at the path, typed or saved."""
        return self.draft.value(Path.read(path))

    def answers(self) -> Form:
        """All answers as the form they are of."""
        return self.draft.answers

    def put(self, path: str, value: Any, reason: str = "") -> None:
        """Take a value into the draft; it is on disk within two seconds.

        `goes_with`, where a page has set it, says from the answers before, the path and the value what is put with it:
        answers that say the same thing in two ways. They are written as one step.
        """
        if self.sealed():
            self.refused.emit(path, "This visit is signed. Add an addendum instead of changing it.")
            return
        why = why_not(self.home.chart.role, self.form.name, path)
        if why:
            self.refused.emit(path, why)
            return
        also = dict(self.goes_with(self.draft.answers, path, value)) if self.goes_with is not None else {}
        also.pop(path, None)
        try:
            self.draft.put(Path.read(path), value, reason)
        except Refused as refusal:
            self._sayings[path] = refusal.sentence
            self.refused.emit(path, refusal.sentence)
            return
        self._sayings.pop(path, None)
        unit = getattr(value, "unit", None)
        if unit is not None:
            self.home.use_unit(UNITS[unit].dimension, unit)
        self.draft.put_all({Path.read(other): given for other, given in also.items()})
        for each in (path, *also):
            self.changed.emit(each)

    def put_all(self, values: Mapping[Path, Any]) -> None:
        """Take several values into the draft at once; none under a signature or beyond the role of this device."""
        if self.sealed():
            return
        for path in values:
            why = why_not(self.home.chart.role, self.form.name, str(path))
            if why:
                self.refused.emit(str(path), why)
                return
        self.draft.put_all(values)
        for path in values:
            self._sayings.pop(str(path), None)
        with self.home.gathered():
            for path in values:
                self.changed.emit(str(path))

    def carried_from(self, path: str) -> str:
        """Where the answer was brought forward from, "from 9 Mar", until somebody goes through it."""
        carried = self.draft.carried.get(path)
        return "" if carried is None or carried.still_so else from_words(self.home.chart, carried)

    def still_so(self, path: str) -> None:
        """Keep an answer that was brought forward as said today."""
        if self.sealed() or not self.carried_from(path):
            return
        self.draft.still_so(Path.read(path))
        self.changed.emit(path)

    def say(self, path: str) -> str | None:
        """The standing sentence about this path."""
        return self._sayings.get(path)

    def ask_once(self, path: str, sentence: str | None) -> None:
        """Put a question beside a path, or take it away."""
        if sentence is None:
            self._sayings.pop(path, None)
        else:
            self._sayings[path] = sentence
        self.changed.emit(path)

    def subject(self) -> str | None:
        """The person whose sides are meant: the feeder of a pair, else the one person the entry is about."""
        if self.draft.place.subjects:
            return self.draft.place.subjects[0]
        return self.entity if self.form is ParentIdentity else None

    def person_words(self) -> tuple[str, str]:
        """Whose side it is, in words."""
        person = self.subject()
        name = self.home.names(person) if person is not None else ""
        own = f"{name}’s" if name else "Own"
        return f"{own} left", f"{own} right"

    def choices(self, path: str) -> tuple[tuple[str, str], ...]:
        """The entries that may be chosen for a reference."""
        kinds = tuple(catalog()[name] for name in ask_of(self.form, Path.read(path).field).of if name in catalog())
        found: list[tuple[str, str]] = []
        for kind in kinds:
            found.extend((entry.id, self._words_for(entry)) for entry in self.home.chart.all(kind))
        return tuple(found)

    def phrases(self, path: str) -> tuple[tuple[str, str], ...]:
        """The practice's phrases that fit the question, by their short names; then the program's ready sentences."""
        field = Path.read(path).field
        if not takes_phrases(self.form, ask_of(self.form, field)):
            return ()
        key = question_key(self.form, field)
        kept = (e.answers for e in self.home.chart.all(Phrase) if fits(e.answers, key))
        named = [(_one_line(phrase.shortcut) or _one_line(phrase.words), str(phrase.words)) for phrase in kept]
        ready = ((words, words) for words in offered_for(key))
        return (*sorted(named, key=lambda one: one[0].casefold()), *ready)

    def _words_for(self, entry: Entry[Form]) -> str:
        answers = entry.answers
        if isinstance(answers, Provider | Practitioner):
            given = answers.full_name
            return given if isinstance(given, str) else "Name not written yet"
        if isinstance(answers, Release):
            to = self.home.chart.by_id(answers.recipient) if isinstance(answers.recipient, str) else None
            until = f", until {day_words(answers.valid_until)}" if isinstance(answers.valid_until, date) else ""
            whom = " and ".join(self.home.names(who) for who in entry.place.subjects)
            return f"{self._words_for(to) if to is not None else 'Nobody chosen yet'}, about {whom}{until}"
        return self.home.names(entry.id)

    def zone(self) -> str:
        """The practice's time zone."""
        return self.home.zone

    def now(self) -> Moment:
        """The moment it is, in that zone."""
        return Moment(self.home.clock(), self.home.zone)

    def last_unit(self, dimension: str) -> str | None:
        """The unit last used in this chart."""
        return self.home.unit(dimension)

    def sealed(self) -> bool:
        """Whether the visit this entry stands under is signed."""
        visit = self.draft.place.visit or (self.entity if self.draft.place.form == "visit" else None)
        signed = self.home.chart.signed(visit) if visit is not None else None
        if signed is None or self.draft.place.form not in self.home.open_after_signing:
            return signed is not None
        held = self.home.chart.by_id(self.entity)
        return held is not None and held.entered < signed.at  # begun before, it is part of what was signed

    def written_by(self, author: str, device: str, at: datetime) -> str:
        """Who wrote a value, on which device and when."""
        entry = self.home.chart.by_id(author)
        name = self._words_for(entry) if entry is not None else "someone"
        return super().written_by(name, device, at)

    def take_over(self, draft: Draft) -> None:
        """Go on with another draft of the same entry; the controls that show this binding show what is typed there."""
        before, self.draft = self.draft, draft
        for path, value in before.typed.items():
            draft.put(path, value)
        for path in paths(self.form):
            if value_at(before.answers, path) != value_at(draft.answers, path):
                self.changed.emit(str(path))

    def refresh(self, entry: Entry[Form]) -> None:
        """Take what the store now holds for every path that is not being typed."""
        before, carried = self.draft.answers, self.draft.carried
        self.draft.refresh(entry)
        for path in paths(self.form):
            grey = carried.get(str(path)) != self.draft.carried.get(str(path))
            if grey or value_at(before, path) != value_at(self.draft.answers, path):
                self.changed.emit(str(path))


def _one_line(given: object) -> str:
    """The first line of words, or "" for anything that is no one text."""
    return given.strip().partition("\n")[0] if isinstance(given, str) else ""
