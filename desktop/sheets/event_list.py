"""The events of one session as lines in order of time, a handful at once, each opened to be changed or struck out.

A session may have thousands of events, so only those in view are widgets. The keys that go on stand above the lines,
so that they do not move; with a minute typed one goes straight there.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from types import MappingProxyType
from typing import Any, Final

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Flow, Stack
from desktop.controls.segments import Segments
from desktop.controls.typed import Box
from desktop.controls.words import Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.sheets.laid import Laid
from desktop.sheets.listing import EntryLine, Listing
from desktop.sheets.sheet import Build, Listed
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment
from forms.chart import Entry
from forms.event_words import by_the_clock, event_words, how_noted, in_time, into, read_time
from forms.feed_event import TimedEvent
from forms.form import Form
from forms.taking_part import watched_as
from forms.trouble import Refused

__all__ = ["AT_ONCE", "EventList"]

AT_ONCE: Final = 12
"""Lines in view at once; any other number would do."""

_OFTEN = ("suck", "swallow")
_KINDS: Mapping[str, str] = MappingProxyType({
    "all": "Every event", "seldom": "All but sucks and swallows", "struck": "Struck out",
})  # fmt: skip


class EventList(Listing):
    """The events of a session that `session()` names; `start()` is the moment from which their times count."""

    keys_first = True
    of: str
    """The field in which an event says which session it belongs to."""

    def __init__(self, home: OpenChart, form: type[Form], who: str, build: Build, listed: Listed) -> None:
        self._first, self._kind = 0, "all"
        self._events: tuple[Entry[Any], ...] = ()
        self._found: tuple[Entry[Any], ...] = ()
        self.counts = Words("", ink=Role.SOFT_INK)
        self.kinds = Segments("Which events", dict(_KINDS))
        self.kinds.show_codes(("all",))
        self.where = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.earlier, self.later = Link("Earlier events"), Link("Later events")
        self.minute = Box(ems=6)
        self.minute.setPlaceholderText("4:12")
        self.minute.setAccessibleName("Go to a minute of the session")
        self.go = Act("Go to this minute")
        super().__init__(home, form, who, build, listed)
        self._bar = self._turning()
        for place, widget in enumerate((self.counts, *self.head())):
            self.insert(place, widget)
        self.insert(self.layout().indexOf(self.standing), self._bar)  # type: ignore[union-attr]  # a stack has a column
        self.refresh()

    # --- what the list is of, told by a subclass --------------------------------------------------------------------

    def session(self) -> EntryBinding:
        """The session in view."""
        raise NotImplementedError

    def start(self) -> Moment | None:
        """The moment from which times are counted."""
        raise NotImplementedError

    def head(self) -> tuple[QWidget, ...]:
        """What stands over the keys that begin an event."""
        return ()

    def _subjects(self) -> tuple[str, ...]:
        return self.session().draft.place.subjects

    def _is_sealed(self) -> bool:
        return self.session().sealed()

    def name(self) -> str:
        """Whose sides they are."""
        subjects = self._subjects()
        return self.home.names(subjects[0]) if subjects else ""

    # --- what stands ------------------------------------------------------------------------------------------------

    def standing_events(self) -> tuple[Entry[Any], ...]:
        """The events of the session that stand, in order of time; those without a time first."""
        session = self.session().entity
        own = [e for e in self.home.chart.all(self._form) if getattr(e.answers, self.of) == session]
        return tuple(sorted(own, key=_order))

    def _struck_events(self) -> tuple[Entry[Any], ...]:
        session = self.session().entity
        own = [
            e for e in self.home.chart.entries
            if e.struck is not None and isinstance(e.answers, self._form) and getattr(e.answers, self.of) == session
        ]  # fmt: skip
        return tuple(sorted(own, key=_order))

    def entries(self) -> tuple[Entry[Any], ...]:
        """The events in view: those of the kind picked, a handful of them, and one that is open."""
        window = self._found[self._first : self._first + AT_ONCE]
        open_ones = {entity for entity, line in self.lines.items() if line.page is not None}
        held = {e.id for e in window}
        return (*window, *(e for e in self._events if e.id in open_ones - held))

    def refresh(self) -> None:
        """Show what stands now."""
        if not hasattr(self, "_bar"):
            return
        self._events = self.standing_events()
        struck = self._struck_events()
        match self._kind:
            case "struck":
                self._found = struck
            case "seldom":
                self._found = tuple(e for e in self._events if e.answers.what not in _OFTEN)
            case _:
                self._found = self._events
        self._first = max(0, min(self._first, len(self._found) - 1) // AT_ONCE * AT_ONCE if self._found else 0)
        self._say(struck)
        shown = self.entries()
        self._drop({e.id for e in shown})
        super().refresh()
        self._empty.setVisible(not self.lines and not self._struck)
        if self._kind != "struck":
            self.standing.arrange([self.lines[e.id] for e in sorted(shown, key=_order) if e.id in self.lines])

    def _drop(self, keep: set[str]) -> None:
        """Take lines away that are out of view; one that is open, or not yet written, stays."""
        for entity in [one for one in self.lines if one not in keep]:
            line = self.lines[entity]
            if line.page is None:
                _gone(self.lines.pop(entity))
        for entity in [one for one in self._struck if one not in keep]:
            _gone(self._struck.pop(entity))

    def _say(self, struck: tuple[Entry[Any], ...]) -> None:
        live = sum(1 for e in self._events if e.answers.noted == "live")
        after = sum(1 for e in self._events if e.answers.noted == "after")
        said = [_count(live, "noted as it happened"), _count(after, "from memory, afterwards")]
        other = len(self._events) - live - after
        said += [_count(other, "with no word how noted"), _count(len(struck), "struck out")]
        words = ", ".join(one for one in said if one)
        self.counts.say(words[:1].upper() + words[1:] + "." if words else "")
        self.counts.setVisible(bool(words))
        many = len(self._events) > AT_ONCE or bool(struck)
        self._bar.setVisible(many)
        first, last = self._first + 1, min(self._first + AT_ONCE, len(self._found))
        self.where.say(
            f"{first:,} to {last:,} of {len(self._found):,}{self._span()}" if self._found else "None of these."
        )
        self.earlier.setEnabled(self._first > 0)
        self.later.setEnabled(last < len(self._found))

    def _span(self) -> str:
        times = [at for e in self._found[self._first : self._first + AT_ONCE] if isinstance(at := e.answers.at, Moment)]
        if not times:
            return ""
        start = self.start()
        words = [into(start, at) if start is not None else by_the_clock(at) for at in (times[0], times[-1])]
        return f", {words[0]} to {words[1]}"

    # --- going on ---------------------------------------------------------------------------------------------------

    def _turning(self) -> QWidget:
        bar = Stack(between=Space.GAP)
        keys = QWidget()
        flow = Flow(keys)
        for widget in (self.earlier, self.later, self.minute, self.go):
            flow.addWidget(widget)
        self.kinds.picked.connect(self.show_kind)
        self.earlier.clicked.connect(lambda: self.turn(-AT_ONCE))
        self.later.clicked.connect(lambda: self.turn(AT_ONCE))
        self.go.clicked.connect(self.go_to_minute)
        self.minute.returnPressed.connect(self.go_to_minute)
        bar.add(self.kinds, keys, self.where)
        return bar

    def show_kind(self, kind: str) -> None:
        """Show every event, all but sucks and swallows, or those that were struck out."""
        self._kind, self._first = kind, 0
        self.kinds.show_codes((kind,))
        self.refresh()

    def turn(self, by: int) -> None:
        """Show the lines before or after those in view."""
        self.show_place(self._first + by)

    def show_place(self, place: int) -> None:
        """Show the lines among which the event at this place stands."""
        self._first = max(0, min(place, len(self._found) - 1)) // AT_ONCE * AT_ONCE
        self.refresh()

    def go_to_minute(self) -> None:
        """Show the lines from the minute typed on; what cannot be read says what to type."""
        try:
            at = read_time(self.minute.text(), self.start(), self.session().now())
        except Refused as refused:
            self.where.say(refused.sentence)
            return
        earlier = (in_time(e.answers) < (at.at,) for e in self._found)
        self.show_place(sum(earlier))

    # --- one event --------------------------------------------------------------------------------------------------

    def line(self, entry: Entry[Any]) -> str:
        """The one line an event closes to."""
        assert isinstance(entry.answers, TimedEvent)
        return event_words(entry.answers, self.start(), self.name())

    def second_line(self, entry: Entry[Any]) -> str:
        """How it was noted, by the clock, and its words."""
        event = entry.answers
        said = [how_noted(event)]
        if isinstance(event.at, Moment):
            said.append(by_the_clock(event.at))
        if isinstance(event.words, str):
            said.append(event.words)
        return "; ".join(said)

    def made(self, entity: str) -> EntryLine:
        """The line of an event; its keys say which event they are for."""
        return _EventLine(self, entity)

    def open(self, entity: str) -> None:
        """Open one event, turning to it first where it is out of view."""
        if entity not in self.lines:
            self._kind = "all"
            self.kinds.show_codes(("all",))
            self.refresh()
            place = next((at for at, e in enumerate(self._found) if e.id == entity), None)
            if place is not None:
                self.show_place(place)
        super().open(entity)
        line = self.lines.get(entity)
        if line is not None and line.page is not None:
            line.page.setFocus()

    def begin(self) -> None:
        """Begin an event from memory; it says so from its first answer on."""
        binding = self.home.begin(self._form, *self._subjects())
        session = self.session()

        def belongs(path: str) -> None:
            if path not in (self.of, "noted") and binding.value(self.of) is None:
                seen = watched_as(self.home.chart)
                if session.form.name == "feed" and session.value("observed") is None and seen is not None:
                    session.put("observed", seen)
                binding.put(self.of, session.entity)
                binding.put("noted", "after")

        binding.changed.connect(belongs)
        line = self.lines[binding.entity] = self.made(binding.entity)
        line.words.say(self._listed.add)
        self.standing.add(line)
        self._empty.hide()
        super().open(binding.entity)

    def page(self, entity: str) -> Laid:
        """An event's questions."""
        binding = self.home.binding(self._form, *self._subjects(), entity=entity)
        page = Laid(self.home, self._form, self.who, binding)
        self._build(page)
        page.show_newer()
        return page


class _EventLine(EntryLine):
    """The line of one event. Which event its keys change is said to who cannot see that they stand beside it."""

    def show_entry(self, entry: Entry[Any]) -> None:
        super().show_entry(entry)
        self.change.setAccessibleName(f"{self.change.text()}: {self.words.said()}")
        self.strike.setAccessibleName(f"Strike out: {self.words.said()}")


def _order(entry: Entry[Any]) -> tuple[tuple[datetime, ...], datetime, str]:
    return in_time(entry.answers), entry.entered, entry.id


def _count(number: int, words: str) -> str:
    return f"{number:,} {words}" if number else ""


def _gone(widget: QWidget) -> None:
    widget.hide()
    widget.setParent(None)
    widget.deleteLater()
