"""The middle of a visit: the title, the sections of the moment as tabs, and the page of the section, which scrolls."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QApplication, QSizePolicy, QVBoxLayout, QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.control import Control
from desktop.controls.layouts import Beside, Flow, Reach, Stack, spaced
from desktop.controls.question import Question
from desktop.controls.segments import Tabs
from desktop.controls.surfaces import Surface
from desktop.controls.veil import PrivateVeil
from desktop.controls.words import Title, Words
from desktop.open_chart import OpenChart
from desktop.sheets.laid import Laid, lay
from desktop.sheets.moments import turn
from desktop.sheets.sheet import Section
from desktop.theme.look import look
from desktop.theme.tokens import Role, Space
from forms.answers import Side
from forms.ask import Kind

__all__ = ["Middle", "field_in_focus", "within_reach"]

_LARGE = 150
"""From this size of text on, in percent, nothing but the persons and the thread stays while one scrolls."""


class Middle(Surface):
    """Signal `chosen(key)`: another section was picked."""

    chosen = Signal(str)

    def __init__(self, home: OpenChart, parent: QWidget | None = None) -> None:
        super().__init__(Role.CARD, (), parent)
        self._home = home
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._column = QVBoxLayout(self)
        spaced(self._column)
        self.title = Title("")
        self.beside = _OneLine("", ink=Role.SOFT_INK)
        self.unfold = Link("Other pages of this feed")
        self.unfold.clicked.connect(self._unfold)
        self.unfold.hide()
        aside = QWidget()
        words = Flow(aside, gap=Space.PAD)
        words.addWidget(self.beside)
        words.addWidget(self.unfold)
        head = QWidget()
        across = Beside(head, low=True)
        across.addWidget(self.title)
        across.addWidget(aside)
        self._head = Stack(between=Space.SNUG)
        self._head.setContentsMargins(Space.BROAD, Space.WIDE, Space.BROAD, Space.NONE)
        self._head.add(head)
        self._column.addWidget(self._head)
        self.tabs: Tabs | None = None
        self.page: Laid | None = None
        self._reach: Reach | None = None
        self._guests: tuple[QWidget, ...] = ()
        self._asked = ""
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._focus_moved)

    def show_sections(self, sections: Sequence[Section], current: str, name: str) -> None:
        """Show these as tabs; with one there is none to choose from."""
        if self.tabs is not None:
            _gone(self.tabs)
        self.tabs = None
        if len(sections) > 1:
            titles = {section.key: section.title for section in sections}
            self.tabs = Tabs(f"Parts about {name}", titles, turn=turn(sections))
            self.tabs.show_codes((current,))
            self.tabs.chosen.connect(self.chosen)
            self._head.add(self.tabs)
            self.tabs.show()  # at once, so that it can take the focus

    def show_section(self, section: Section, who: str) -> Laid:
        """Lay a section's page for a person; what was typed on the page before is kept."""
        self._put_away()
        title = section.told(self._home, who)[0] if section.told is not None else ""
        self.title.say(title or section.headed(self._home.names(who)))
        if self.tabs is not None:
            self.tabs.show_codes((section.key,))
        self._fold(section.folds is not None and section.folds(self._home, who))
        page = lay(section, self._home, who)
        self._put(page)
        self.page = page
        return page

    def _fold(self, folded: bool) -> None:
        """The tabs, or a link that opens them where the page needs their room."""
        if self.tabs is not None:
            self.tabs.setVisible(not folded)
        self.unfold.setVisible(folded and self.tabs is not None)

    def _unfold(self, *_pressed: object) -> None:
        self._fold(False)
        if self.tabs is not None:
            self.tabs.button(self.tabs.codes()[0]).setFocus(Qt.FocusReason.OtherFocusReason)

    def show_empty(self, title: str, words: str, acts: Sequence[Act]) -> None:
        """Nothing is asked here about this person; where to go instead."""
        self._put_away()
        if self.tabs is not None:
            _gone(self.tabs)
            self.tabs = None
        self.unfold.hide()
        self.title.say(title)
        content = Stack(between=Space.PAD)
        content.add(Words(words, ink=Role.SOFT_INK))
        keys = QWidget()
        flow = Flow(keys, gap=Space.PAD)
        for act in acts:
            flow.addWidget(act)
        content.add(keys)
        content.finish()
        self._put(content)

    def host(self, guests: Sequence[QWidget]) -> None:
        """Show these in the scrolling page, the first above it and the others below: where the strip has no room."""
        self._guests = tuple(guests)

    def _put_away(self) -> None:
        self.commit()
        self.page = None
        if self._reach is not None:
            for guest in (*self._guests, self._head):
                guest.setParent(self)
            self._column.removeWidget(self._reach)
            _gone(self._reach)
            self._reach = None

    def _put(self, content: QWidget) -> None:
        """The page, scrolling. With large text the title and the tabs scroll with it, for they would take its room."""
        large = look().text >= _LARGE
        framed = Stack()
        if large:
            framed.add(self._head)
        else:
            self._column.insertWidget(0, self._head)
        self._head.show()
        inner = Stack(between=Space.WIDE)
        inner.setContentsMargins(Space.BROAD, Space.PAD, Space.BROAD, Space.WIDE)
        above, below = self._guests[:1], self._guests[1:]
        inner.add(*above, content, *below)
        framed.add(inner)
        framed.finish()
        self._reach = Reach(framed)
        self._column.addWidget(self._reach, 1)

    def take_focus(self) -> None:
        """Take the focus that went with the page before: to the tabs, or to the page itself."""
        codes = self.tabs.codes() if self.tabs is not None and self.tabs.isVisible() else ()
        target = self.tabs.button(codes[0]) if self.tabs is not None and codes else self.page
        if target is not None:
            target.setFocus(Qt.FocusReason.OtherFocusReason)

    def words_in_view(self) -> tuple[str, ...]:
        """The questions for words on this page, as "entry id/path": the one last in focus first, then from the top."""
        if self.page is None:
            return ()
        asked = [one for one in self.page.findChildren(Question) if one.isVisible() and one.ask.kind is Kind.TEXT]
        asked.sort(key=lambda one: one.mapTo(self, one.rect().topLeft()).y())
        keys = [f"{one.binding.entity}/{slot.path}" for one in asked for slot in one.slots()]  # type: ignore[attr-defined]
        return tuple(sorted(keys, key=lambda key: key != self._asked))

    def _focus_moved(self, _before: QWidget | None, now: QWidget | None) -> None:
        widget = now
        while widget is not None and widget is not self:
            if isinstance(widget, Control):
                self._asked = f"{getattr(widget.binding, 'entity', '')}/{widget.path}"
                return
            widget = widget.parentWidget()

    def commit(self) -> None:
        """Keep what is still only on screen."""
        if self.page is not None:
            self.page.commit()


class _OneLine(Words):
    """Words that would rather stand in one line, and wrap when there is no room for it."""

    def sizeHint(self) -> QSize:
        wide = self.fontMetrics().horizontalAdvance(self.text()) + 1
        return QSize(wide, super().heightForWidth(wide))


def _gone(widget: QWidget) -> None:
    # It keeps its parent until it goes: without one every widget on it would be dressed anew first.
    widget.hide()
    widget.deleteLater()


def field_in_focus(page: QWidget) -> tuple[str, str] | None:
    """The form and field of the question that has the focus in the window of `page`, or None."""
    widget: QWidget | None = page.window().focusWidget()
    while widget is not None:
        if isinstance(widget, Control):
            return widget.binding.form.name, widget.path.field
        if isinstance(widget, Question):
            return widget.binding.form.name, widget.field
        widget = widget.parentWidget()
    return None


def within_reach(question: Question, side: Side | None = None) -> QWidget:
    """The control of a question, of that side if it has two.

    While a veil covers it, what opens the veil, so that no key answers unseen.
    """
    above: QWidget | None = question
    while above is not None:
        if isinstance(above, PrivateVeil) and not above.is_open():
            return above.opener
        above = above.parentWidget()
    return question.controls()[-1 if side is Side.RIGHT else 0]
