"""The first page of an unlocked store: families with something to do, all the others, and what waits beside them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Beside, Flow, Stack
from desktop.controls.shown import day_words
from desktop.controls.typed import Box
from desktop.controls.words import Rule, Title, Words, longest_word
from desktop.pages.bands import always
from desktop.pages.caselines import CaseLine, Caseload, read_caseload
from desktop.pages.page import Page, Spread, band
from desktop.pages.plain import key_row, not_read
from desktop.pages.sync_key import SyncKey
from desktop.pages.trace import WeightTrace
from desktop.pages.waiting import Waits, waiting
from desktop.session import Routes, Session
from desktop.theme.look import look
from desktop.theme.tokens import Role, Size, Space, Target
from forms.answers import Moment
from forms.ask import Path, ask_of
from forms.chart import Place
from forms.days import DAYS
from forms.loops import OpenLoop
from forms.people import Family
from forms.reading import read
from forms.trouble import Refused, Trouble
from storage.changes import Begin, ChangeSet, Put
from storage.projections import FamilyLine

__all__ = ["CaseloadPage", "awaited_words", "when_words"]


_NEAR = ("Today", "Tomorrow", "Yesterday")
_UNSIGNED = "Unsigned"
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def when_words(day: date | None, today: date) -> str:
    """A day as it is said today: "Today", "Tomorrow", "Thu 5 Mar"; "" for none."""
    if day is None:
        return ""
    if day == today:
        return "Today"
    if day == today + timedelta(days=1):
        return "Tomorrow"
    if day == today - timedelta(days=1):
        return "Yesterday"
    said = day_words(day).rsplit(" ", 1)[0] if day.year == today.year else day_words(day)
    return f"{DAYS[day.weekday()][:3]} {said}"


class _Day(Words):
    """The first column of a row, as wide in every row, so that names stand under one another and no day is cut."""

    def dress(self) -> None:
        super().dress()
        font = look().font(Size.JOT, strong=True)
        widest = max(longest_word(font, word) for word in (*_NEAR, _UNSIGNED))
        self.setFixedWidth(max(look().px(Target.PAD + Space.FAR), widest + 1))


class _FamilyRow(QWidget):
    """One family of the first section: its day, who, what is urgent, its weights, and the key that opens it."""

    def __init__(self, case: CaseLine, today: date, routes: Routes) -> None:
        super().__init__()
        across = QHBoxLayout(self)
        across.setContentsMargins(0, Space.PAD, 0, Space.PAD)
        across.setSpacing(Space.WIDE)
        due = case.line.next_follow_up
        said = "Now" if case.urgent else when_words(due, today) or _UNSIGNED
        when = _Day(said, size=Size.JOT, strong=True, ink=Role.MADDER if case.urgent else Role.INK)
        if due is not None and due < today and not case.urgent:
            when.take_ink(Role.WELD)
        across.addWidget(when)
        middle = Stack(between=Space.NONE)
        middle.add(Title(_families(case.line), size=Size.JOT))
        middle.add(Words(_about(case, today), size=Size.SMALL, ink=Role.SOFT_INK))
        for sign in _urgent(case):
            middle.add(Words(sign, size=Size.SMALL, ink=Role.MADDER, strong=True))
        for loop in case.awaited:
            late = loop.due is not None and loop.due < today
            middle.add(Words(awaited_words(loop, today), size=Size.SMALL, ink=Role.WELD if late else Role.INK))
        across.addWidget(middle, 3)
        if look().text <= 150:
            across.addWidget(WeightTrace(case.traces), 2)
        across.addWidget(_open_key(case, routes), 0, Qt.AlignmentFlag.AlignVCenter)


def _families(line: FamilyLine) -> str:
    name = line.name or "Name not written yet"
    babies = [baby for _, baby in line.babies if baby]
    return f"{name}, {' and '.join(babies)}" if babies else name


def _about(case: CaseLine, today: date) -> str:
    said = [case.ages] if case.ages else []
    last = case.line.last_visit
    if last is not None:
        day = when_words(last.local().date(), today)
        said.append(f"Last visit {day.lower() if day in _NEAR else day}")
    if case.line.next_follow_up is not None and case.line.next_follow_up < today:
        said.append("Follow-up overdue")
    return ". ".join(part[:1].upper() + part[1:] for part in said) + ("." if said else "")


def awaited_words(loop: OpenLoop, today: date) -> str:
    """What is awaited and by when: "Outcome of the call about Arlo: due tomorrow"."""
    day = when_words(loop.due, today)
    overdue = loop.due is not None and loop.due < today
    return f"{loop.words}: {'was due' if overdue else 'due'} {day.lower() if day in _NEAR else day}"


def _urgent(case: CaseLine) -> tuple[str, ...]:
    """The urgent signs; what was said in confidence is not shown where others may look on."""
    open_signs = [p for p in case.urgent if not p.private]
    shown = tuple(f"{p.level.words}: {p.seen}" for p in open_signs[:2])
    more = len(open_signs) - len(shown)
    said = (*shown, f"and {more} more") if more else shown
    return (
        (*said, "Open the visit: something told in confidence needs you today.")
        if any(p.private for p in case.urgent)
        else said
    )


def _open_key(case: CaseLine, routes: Routes) -> Act:
    family = case.line.id
    if case.urgent:
        urgent = next(visit for visit in case.unfinished if visit.urgent)
        key = Act("Act now", kind=ActKind.URGENT)
        key.clicked.connect(lambda: routes.visit(family, urgent.visit))
    elif case.unfinished:
        key = Act("Go on")
        key.clicked.connect(lambda: routes.visit(family, case.unfinished[-1].visit))
    else:
        key = Act("Open")
        key.clicked.connect(lambda: routes.family(family))
    key.setAccessibleDescription(_families(case.line))
    return key


class _NewFamily(Stack):
    """Asks in place for the one thing a family needs to begin: its name."""

    def __init__(self, begin: Callable[[str], None]) -> None:
        super().__init__(between=Space.FINE)
        self._begin = begin
        self.name = Box(ems=16)
        self.name.setAccessibleName("Family name")
        self.name.returnPressed.connect(self._take)
        self.told = Words("", ink=Role.WELD, strong=True)
        self.told.hide()
        key = Act("Begin", kind=ActKind.MAIN)
        key.clicked.connect(self._take)
        across = QWidget()
        beside = Beside(across)
        beside.addWidget(self.name)
        beside.addWidget(key)
        self.add(Words("Family name, as they write it", strong=True), across, self.told, Rule())
        self.hide()

    def ask(self) -> None:
        """Show it, ready to be typed into."""
        self.show()
        self.name.setFocus()

    def _take(self) -> None:
        try:
            value = read(ask_of(Family, "family_name"), self.name.text(), None, "UTC")
        except Refused as refused:
            self._refuse(refused.sentence)
            return
        if value is None:
            self._refuse("Type the family’s name first.")
            return
        self._begin(value)

    def _refuse(self, sentence: str) -> None:
        self.told.say(sentence)
        self.told.show()
        self.name.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.hide()
            return
        super().keyPressEvent(event)


class CaseloadPage(Page):
    """The page. It is read anew whenever the store changes."""

    def __init__(self, session: Session, routes: Routes) -> None:
        super().__init__()
        self.setObjectName("caseload")
        self.session, self.routes = session, routes
        self._asked = 0
        self._caseload: Caseload | None = None
        self.main = Stack(between=Space.GAP)
        self.main.setContentsMargins(Space.FAR - Space.GAP, Space.BROAD, Space.FAR - Space.GAP, Space.BROAD)
        self.side = Stack(between=Space.SNUG)
        self.new_key = Act("New family", icon=None)
        self.new_key.clicked.connect(self.ask_new)
        book = Act("Address book")
        book.clicked.connect(routes.address_book)
        letters = Act("Letters")
        letters.clicked.connect(lambda: routes.letters(""))
        practice = Act("Practice")
        practice.clicked.connect(routes.practice)
        self.sync_key = SyncKey(session, routes)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        foot = band((self.new_key, letters, book, practice, self.sync_key), always(session, routes))
        outer.addWidget(Spread(self.main, self.side, foot))
        self._head()
        self.list = Stack(between=Space.NONE)
        self.main.add(self.list)
        self.main.finish()
        self._say("Reading the caseload.")
        session.lane.changed.connect(self._changed)
        self.refresh()

    # --- head -------------------------------------------------------------------------------------------------------

    def _today(self) -> date:
        return Moment(self.session.clock(), self.session.zone).local().date()

    def _head(self) -> None:
        today = self._today()
        self.title = Title(DAYS[today.weekday()], size=Size.GREETING)
        self.sub = Words(day_words(today), ink=Role.SOFT_INK)
        named = Stack(between=Space.NONE)
        named.add(self.title, self.sub)
        self.search = Box(ems=14)
        self.search.setPlaceholderText("Find a family   /")
        self.search.setAccessibleName("Find a family, by name or phone number")
        self.search.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.search.textChanged.connect(lambda _text: self.refresh())
        self.search.installEventFilter(self)
        head = QWidget()
        beside = Beside(head, gap=Space.WIDE)
        beside.addWidget(named)
        beside.addWidget(self.search)
        self.new = _NewFamily(self._begin)
        self.main.add(head, self.new)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Esc empties the search and gives the whole list back."""
        pressed = watched is self.search and isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress
        if pressed and event.key() == Qt.Key.Key_Escape and self.search.text():  # type: ignore[attr-defined]
            self.search.clear()
            return True
        return super().eventFilter(watched, event)

    def seek(self) -> None:
        """Go to the search box."""
        self.search.setFocus()
        self.search.selectAll()

    def ask_new(self) -> None:
        """Ask for a new family's name."""
        self.new.ask()

    def _begin(self, name: str) -> None:
        family = self.session.ids()
        changes = (Begin(family, Place(Family.name, family)), Put(family, Path("family_name"), name))
        self.session.lane.run(
            lambda store: store.write(changes, author=self.session.author),
            lambda _done: self.routes.family(family),
        )

    # --- the list ---------------------------------------------------------------------------------------------------

    def _changed(self, _changes: ChangeSet) -> None:
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Read again; an answer that is overtaken by a later question is dropped."""
        self._asked += 1
        asked, words = self._asked, self.search.text().strip()
        if words:
            self.session.lane.run(
                lambda store: store.search(words),
                lambda found: self._show_found(found) if asked == self._asked else None,
                self._failed,
            )
            return
        from desktop.pages.first_steps import SHEET_PROVED

        self.session.lane.run(
            read_caseload(self.session.clock(), self._today(), self.session.zone, SHEET_PROVED, self.session.author),
            lambda caseload: self._show(caseload) if asked == self._asked else None,
            self._failed,
        )

    def _say(self, words: str) -> None:
        self.list.clear()
        self.list.add(Words(words, ink=Role.SOFT_INK))

    def _failed(self, trouble: Trouble) -> None:
        self.list.clear()
        self.list.add(not_read("The caseload", trouble, self.refresh))

    def _show_found(self, found: tuple[FamilyLine, ...]) -> None:
        self.list.clear()
        count = {0: "No family fits", 1: "One family fits"}.get(len(found), f"{len(found)} families fit")
        said = Words(f"{count} “{self.search.text().strip()}”.", ink=Role.SOFT_INK)
        said.setContentsMargins(0, Space.PAD, 0, Space.GAP)
        self.list.add(said)
        self._plain(tuple(CaseLine(line) for line in found))

    def _show(self, caseload: Caseload) -> None:
        self._caseload = caseload
        self.list.clear()
        today = self._today()
        first = caseload.first
        total = len(first) + len(caseload.others)
        homes = _COUNTS[len(first)] if len(first) < len(_COUNTS) else str(len(first))
        self.title.say(f"{DAYS[today.weekday()]}, {homes} {'home' if len(first) == 1 else 'homes'} to see to")
        self.sub.say(f"{day_words(today)}. {total} {'family' if total == 1 else 'families'} in all.")
        if not total:
            self._empty(today)
        for case in first:
            self.list.add(_FamilyRow(case, today, self.routes), Rule())
        if caseload.others:
            heading = Title("All other families" if first else "All families", size=Size.JOT)
            heading.setContentsMargins(0, Space.WIDE, 0, Space.GAP)
            self.list.add(heading)
            self._plain(caseload.others)
        self._wait(waiting(caseload, self.session))

    def _empty(self, today: date) -> None:
        self.title.say(DAYS[today.weekday()])
        self.sub.say(day_words(today))
        key = Act("New family", kind=ActKind.MAIN)
        key.clicked.connect(self.ask_new)
        begin = Stack(between=Space.PAD)
        begin.setContentsMargins(0, Space.BROAD, 0, 0)
        begin.add(
            Title("No family yet", size=Size.FIGURE),
            Words(
                "A family begins with its name. Its people, its visits and its weights are added on its own page, "
                "before you drive or at the door.",
                ink=Role.SOFT_INK,
            ),
            key_row(key),
        )
        self.list.add(begin)

    def _plain(self, cases: tuple[CaseLine, ...]) -> None:
        today = self._today()
        for case in cases:
            link = Link(_families(case.line), size=Size.BASE, ink=Role.INK)
            link.clicked.connect(lambda _on=False, family=case.line.id: self.routes.family(family))
            row = QWidget()
            beside = Beside(row)
            beside.addWidget(link)
            about = Words(_about(case, today), size=Size.SMALL, ink=Role.SOFT_INK)
            beside.addWidget(about)
            self.list.add(row)

    def _wait(self, waits: tuple[Waits, ...]) -> None:
        self.side.clear()
        self.side.add(Title("Waiting for you", size=Size.JOT))
        if not waits:
            self.side.add(Rule(), Words("Nothing. Every visit is signed and nothing is due.", ink=Role.SOFT_INK))
        for wait in waits:
            self.side.add(Rule(strong=True), Words(wait.title, strong=True, ink=wait.ink))
            self.side.add(Words(wait.words, ink=Role.SOFT_INK))
            if wait.act:
                link = Link(wait.act)
                link.clicked.connect(lambda _on=False, wait=wait: wait.go(self.routes, self.session))
                holder = QWidget()
                Flow(holder).addWidget(link)
                self.side.add(holder)
        self.side.finish()
