"""Closing or handing over a family's care: one part in the middle, and at the side what still keeps it from closing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from typing import Any

from PySide6.QtWidgets import QVBoxLayout

from desktop.controls.buttons import Act, ActKind
from desktop.controls.layouts import Stack
from desktop.controls.segments import Tabs
from desktop.controls.shown import day_words
from desktop.controls.words import Rule, Title, Words
from desktop.draft import EntryBinding
from desktop.open_chart import OpenChart
from desktop.pages.bands import always
from desktop.pages.charted import ChartPage
from desktop.pages.page import Spread, band
from desktop.session import Routes, Session
from desktop.sheets.closing import CLOSING, KEPT, OWNER, STATE
from desktop.sheets.laid import Laid, lay
from desktop.sheets.persons import full_name
from desktop.sheets.sheet import Section
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Moment, every
from forms.closing import Closing, Loop, StateAtEnd
from forms.form import Form
from forms.loops import closable, loop_rows, open_loops, standing_closing, state_rows
from forms.people import Family
from forms.retention import keeping
from forms.trouble import Unresolved
from storage.changes import Begin

__all__ = ["ClosingPage"]

_SCOPE = "Care ends when every open thing has an owner. Until then it can be left as it is and come back to."


def _in_a_row(names: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


class ClosingPage(ChartPage):
    """The page. It goes on with a closing that was begun; `close_care` writes when care ended and by whom."""

    def __init__(self, session: Session, routes: Routes, home: OpenChart) -> None:
        super().__init__(session, routes, home)
        self.setObjectName("closing")
        begun = standing_closing(home.chart)
        self.closing = begun.id if begun is not None else session.ids()
        self._begun = begun is not None
        self._rows: dict[tuple[str, str], str] = {}
        self._laid: list[Laid] = []
        self.part = ""
        self.main = Stack(between=Space.PAD)
        self.main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        self.side = Stack(between=Space.SNUG)
        back = Act("Back to the family")
        back.clicked.connect(lambda: routes.family(home.chart.family))
        self.close_key = Act("Close care", kind=ActKind.MAIN)
        self.close_key.clicked.connect(self.close_care)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(Spread(self.main, self.side, band((back, self.close_key, self.saved), always(session, routes))))
        self._head()
        self._inside = Stack(between=Space.PAD)
        self.main.add(self._inside)
        self.main.finish()
        self._reasons: tuple[str, ...] | None = None
        home.changed.connect(self.refresh)
        self.go("why")
        self.refresh()

    def _head(self) -> None:
        family = self.home.chart.person(Family, self.home.chart.family).family_name
        name = family.strip() if isinstance(family, str) and family.strip() else "this family"
        self.parts: Mapping[str, tuple[str, Callable[[], None]]] = {
            "why": ("Why", lambda: self._section(CLOSING, self.closing)),
            **{who: (self.home.names(who), partial(self._baby, who)) for who in self.home.infants()},
            "open": ("Still open", self._open),
            "records": ("Records", self._records),
        }
        self.strip = Tabs("Parts of closing", {key: words for key, (words, _) in self.parts.items()})
        self.strip.chosen.connect(self.go)
        title = Title(f"Closing care: {name}", size=Size.GREETING)
        self.main.add(title, Words(_SCOPE, ink=Role.SOFT_INK), self.strip)

    # --- parts ------------------------------------------------------------------------------------------------------

    def go(self, part: str) -> None:
        """Show a part; what was typed in the one before is kept."""
        for page in self._laid:
            page.commit()
        self._laid = []
        self.part = part
        self.strip.show_codes((part,))
        self._inside.clear()
        self.parts[part][1]()

    def _section(self, section: Section, which: str, name: str = "") -> None:
        page = lay(section, self.home, which)
        self._laid.append(page)
        self._inside.add(Title(section.headed(name), size=Size.JOT), page)

    def _baby(self, who: str) -> None:
        which = self._tied(StateAtEnd, who, (who,), {"closing": self.closing})
        self._section(STATE, which, full_name(self.home, who))

    def _open(self) -> None:
        self._inside.add(Title("What is still open, and who owns it now", size=Size.JOT))
        loops = open_loops(self.home.chart)
        if not loops:
            self._inside.add(Words("Nothing is open: no letter waits, no task stands, nobody is still to be called."))
        for loop in loops:
            which = self._tied(Loop, loop.entry, (), {"closing": self.closing, "of": loop.entry})
            page = lay(OWNER, self.home, which)
            self._laid.append(page)
            self._inside.add(Rule(strong=True), Words(loop.words, strong=True, size=Size.BASE), page)

    def _records(self) -> None:
        self._section(KEPT, self.closing)
        self._inside.add(Rule())
        for line in self.keeping_words():
            self._inside.add(Words(line))

    def keeping_words(self) -> tuple[str, ...]:
        """Until when each person's record is kept if care ended today, with the rule, or why no date can be said."""
        ended = Moment(self.session.clock(), self.session.zone).local().date()
        answers: Any = self.home.binding(Closing, entity=self.closing).answers()
        covered = dict.fromkeys(who for people in every(answers.covers) for who in people)
        if not covered:
            return ("Say first whose care ends, under Why.",)
        said: dict[str, list[str]] = {}
        for who in covered:
            said.setdefault(self._kept_words(who, ended), []).append(full_name(self.home, who))
        return tuple(f"{_in_a_row(names)}: {words}" for words, names in said.items())

    def _kept_words(self, who: str, ended: date) -> str:
        try:
            found = keeping(self.home.chart, who, ended)
        except Unresolved as torn:
            return torn.sentence
        if found.until is None:
            return f"{found.how[:1].lower()}{found.how[1:]}"
        rule = f" Rule: {found.rule}." if found.rule else ""
        return f"kept until {day_words(found.until)}, {found.how}.{rule}"

    def _tied(self, form: type[Form], about: str, subjects: tuple[str, ...], ties: Mapping[str, str]) -> str:
        """The entry of this closing about something, begun or not; it is tied to the closing with its first answer."""
        key = (form.name, about)
        if key not in self._rows:
            chart = self.home.chart
            rows: tuple[Any, ...] = (
                state_rows(chart, self.closing, about) if form is StateAtEnd else loop_rows(chart, self.closing, about)
            )
            which = rows[0].id if rows else self.session.ids()
            binding = self.home.binding(form, *subjects, entity=which)
            binding.changed.connect(lambda _path: self._tie(binding, ties))
            self._rows[key] = which
        return self._rows[key]

    def _tie(self, binding: EntryBinding, ties: Mapping[str, str]) -> None:
        """Write what an entry belongs to, and begin the closing it belongs to, once anything in it is answered."""
        if self.home.chart.by_id(self.closing) is None and not self._begun:
            self._begun = True
            begin = Begin(self.closing, self.home.place(Closing))
            self.session.lane.run(lambda store: store.write((begin,), author=self.session.author))
        for field, value in ties.items():
            if binding.value(field) is None:
                binding.put(field, value)

    # --- closing ----------------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Say what still keeps care from closing."""
        chart = self.home.chart
        begun = chart.by_id(self.closing) is not None
        reasons = closable(chart, self.closing) if begun else ("Say first why care ends, under Why.",)
        if reasons == self._reasons:
            return
        self._reasons = reasons
        self.side.clear()
        self.side.add(Title("Before care closes" if reasons else "Nothing is left", size=Size.JOT))
        for reason in reasons:
            self.side.add(Rule(), Words(reason, ink=Role.INK))
        if not reasons:
            self.side.add(Rule(), Words("Every open thing has an owner, and each baby’s state is written."))
        self.side.finish()
        self.close_key.setEnabled(not reasons)

    def close_care(self) -> None:
        """Write that care ended now and by whom; nothing happens while anything keeps it from closing."""
        for page in self._laid:
            page.commit()
        self.home.save()
        self.refresh()
        if self._reasons:
            return
        binding = self.home.binding(Closing, entity=self.closing)
        binding.put("closed_by", self.session.author)
        binding.put("closed_at", Moment(self.session.clock(), self.session.zone))
        self.home.save()
        self.session.notices.news("Care is closed. A new visit begins a new episode.")
        self.routes.family(self.home.chart.family)

    def leave(self) -> None:
        """Write everything typed."""
        for page in self._laid:
            page.commit()
        super().leave()
