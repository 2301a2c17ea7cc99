"""The family's paper log read aloud and typed: one line of text, understood while it is typed, kept by Enter."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAccessible, QAccessibleEvent, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Link
from desktop.controls.figure_table import FigureTable
from desktop.controls.layouts import Flow, Stack
from desktop.controls.segments import Segments
from desktop.controls.shown import moment_words
from desktop.controls.typed import Box
from desktop.controls.words import Rule, Words
from desktop.sheets.in_view import InView
from desktop.sheets.log_kept import LogKept, feeders, is_sealed, log_setting, standing, volume
from desktop.sheets.sheet import Here
from desktop.theme.tokens import Role, Size, Space, Target
from forms.answers import Moment
from forms.ask import Path, asks
from forms.feeding_log import LogLine
from forms.log_typed import TypedLine, read_line
from forms.log_vocabulary import EXAMPLES, GROUPS
from forms.log_words import besides, what_was
from forms.log_written import same_answer, written
from forms.trouble import Refused

__all__ = ["LogFast", "line_words"]

_SHOWN = 3
_ABOUT = "From the family’s paper log, line by line. Enter keeps a line, Up takes the last one back."
_SIGNED = "This visit is signed, so its log takes no more lines. What is learned now goes into an addendum."
_NOT_TYPED = "This line says more than typed words can. Open it below to change it."
_GONE = "This line was struck out meanwhile. Esc leaves it; type a new line instead."


def line_words(line: LogLine, name: Any) -> str:
    """A line in words: "Tue 3 Mar 2026 02:10, Mara’s left, 15 min; wet"."""
    at = moment_words(line.starts) if isinstance(line.starts, Moment) else "Time not known"
    more = besides(line)
    return f"{at}, {what_was(line, name)}" + (f"; {more}" if more else "")


class LogFast(Stack):
    """The box, what was understood, and the last lines kept; by keyboard alone.

    Enter keeps a line, or shows what is to be asked first; Up takes the last line back into the box for correction,
    Down goes on again, Esc leaves a line as it was.
    """

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.GAP)
        self.home, self.who = here.home, here.who
        self._kept = LogKept.of(here.home).typing(here.who)
        self._correcting, self._asked, self._aside = "", "", ""
        self.lines = Words("", ink=Role.SOFT_INK)
        about = Words(_ABOUT, size=Size.SMALL, ink=Role.SOFT_INK)
        self.box = Box(size=Size.JOT)
        self.box.setAccessibleName("A line of the family’s log")
        self.box.setPlaceholderText("0210 l 15 wet")
        self.box.setText(self._kept.text)
        self.box.textChanged.connect(self._typing)
        self.box.installEventFilter(self)
        self.understood = Words("", size=Size.JOT)
        self.sentence = Words("", ink=Role.SOFT_INK)
        self.correcting = Words("", ink=Role.WELD, strong=True)
        self.signed = Words(_SIGNED, ink=Role.SOFT_INK)
        self._open = Stack(between=Space.GAP)
        self._open.add(about, self.lines, self.correcting, self.box, self.understood, self.sentence, self._ways())
        self.add(self._open, self.signed, Rule())
        here.home.changed.connect(self._show)
        here.home.reloaded.connect(self._show)
        self._show()

    def _ways(self) -> QWidget:
        self.unit = Segments("A number alone is in", {"mL": "mL", "fl_oz": "fl oz"})
        self.unit.picked.connect(self._pick_unit)
        self.sides = Segments("Sides are of", {one: self.home.names(one) for one in feeders(self.home)})
        self.sides.picked.connect(self._pick_feeder)
        self.help = Link("Words and examples", size=Size.BASE)
        self.help.setCheckable(True)
        self._view, self._helped = InView.of(self.home), ("log_fast", "help", self.who)
        self.help.toggled.connect(self._turn_help)
        self.words: FigureTable | None = None
        row = QWidget()
        flow = Flow(row, gap=Space.PAD)
        flow.addWidget(_said("A number alone is in", self.unit))
        self._sides_said = _said("Sides are of", self.sides)
        flow.addWidget(self._sides_said)
        flow.addWidget(self.help)
        self._below = Stack()
        ways = Stack(between=Space.GAP)
        ways.add(row, self._below)
        self.help.setChecked(self._view.opened(*self._helped))
        return ways

    # --- what is typed ----------------------------------------------------------------------------------------------

    def _read(self) -> TypedLine:
        return read_line(self.box.text(), log_setting(self.home, self.who, self._correcting))

    def _typing(self, text: str) -> None:
        self._kept.text = "" if self._correcting else text
        self._asked = self._kept.aloud = ""
        self._tell()

    def _tell(self) -> None:
        """Say what was understood; what cannot be read is said softly while one types, and aloud on Enter."""
        understood = sentence = ""
        if self.box.text().strip():
            try:
                found = self._read()
                understood, sentence = line_words(found.line, self.home.names), self._question(found)
            except Refused as refused:
                sentence = refused.sentence
        self.understood.say(understood)
        self.understood.setVisible(bool(understood))
        self._say(sentence, aloud=self._kept.aloud == self.box.text())

    def _say(self, sentence: str, *, aloud: bool) -> None:
        self._kept.aloud = self.box.text() if aloud else ""
        if sentence == self.sentence.said() and not aloud:
            return
        self.sentence.say(sentence)
        self.sentence.take_ink(Role.WELD if aloud else Role.SOFT_INK)
        self.sentence.setVisible(bool(sentence))
        self.box.setAccessibleDescription(sentence)
        if aloud and sentence:
            QAccessible.updateAccessibility(QAccessibleEvent(self.sentence, QAccessible.Event.Alert))

    def _question(self, found: TypedLine) -> str:
        """What is to be asked; nothing about a line that is corrected and keeps its time."""
        entry = standing(self.home, self._correcting) if self._correcting else None
        same = entry is not None and same_answer(entry.answers.starts, found.line.starts)
        return "" if same else found.question

    def take(self) -> None:
        """Keep the line, unless it cannot be read or has to be asked about first."""
        text = self.box.text()
        if not text.strip():
            return
        try:
            found = self._read()
        except Refused as refused:
            self._say(refused.sentence, aloud=True)
            return
        question = self._question(found)
        if question and self._asked != text:
            self._asked = text
            self._say(question, aloud=True)
            return
        entity = self._correct(found.line) if self._correcting else self._add(found.line)
        if not entity:
            return
        self._kept.typed[entity] = text
        self._leave()
        self.box.setText("")
        self._show()

    def _add(self, line: LogLine) -> str:
        values = {name: value for name in asks(LogLine) if (value := getattr(line, name)) is not None}
        entity = self.home.add(LogLine, self.who, values={"source": "notes"} | values)
        if entity:
            self._kept.order.append(entity)
        else:
            self._say(_SIGNED, aloud=True)
        return entity

    def _correct(self, line: LogLine) -> str:
        """Write the answers that are another now, as one step; what shows alike keeps what it was measured with."""
        entry = standing(self.home, self._correcting)
        if entry is None:
            self._say(_GONE, aloud=True)
            return ""
        binding = self.home.binding(LogLine, self.who, entity=entry.id)
        changed = {
            Path(name): now
            for name in asks(LogLine)
            if not same_answer(now := getattr(line, name), getattr(entry.answers, name))
            and not (name == "source" and now is None)
        }
        if changed:
            self.home.put_together(binding, changed)
        return entry.id

    # --- going back -------------------------------------------------------------------------------------------------

    def _standing(self) -> tuple[str, ...]:
        return tuple(entity for entity in self._kept.order if standing(self.home, entity) is not None)

    def _go(self, step: int) -> None:
        """To the line before or after in the order of typing; past the last one, to the new line again."""
        order = self._standing()
        at = order.index(self._correcting) if self._correcting in order else len(order)
        to = at + step
        if to < 0 or at == to or (to > len(order)) or (at == len(order) and step > 0):
            return
        if not self._correcting:
            self._aside = self.box.text()
        if to == len(order):
            aside = self._aside
            self._leave()
            self.box.setText(aside)
            return
        self._correcting = order[to]
        entry = standing(self.home, self._correcting)
        assert entry is not None
        setting = log_setting(self.home, self.who, entry.id)
        self.box.setText(self._kept.typed.get(entry.id) or written(entry.answers, setting))
        self.correcting.say(f"Correcting: {line_words(entry.answers, self.home.names)}. Esc leaves it as it is.")
        self.correcting.show()
        if not self.box.text():
            self._say(_NOT_TYPED, aloud=True)

    def _leave(self) -> None:
        self._correcting = self._asked = self._aside = ""
        self.correcting.hide()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.box and isinstance(event, QKeyEvent):
            if event.type() == QEvent.Type.KeyPress:
                return self._key(event)
            if event.type() == QEvent.Type.ShortcutOverride and self._nothing_typed_to_undo(event):
                return False  # the window's own key: it takes back the line kept last
        return super().eventFilter(watched, event)

    def _nothing_typed_to_undo(self, event: QKeyEvent) -> bool:
        return event.matches(QKeySequence.StandardKey.Undo) and not self.box.isUndoAvailable()

    def _key(self, event: QKeyEvent) -> bool:
        match event.key():
            case Qt.Key.Key_Return | Qt.Key.Key_Enter:
                self.take()
            case Qt.Key.Key_Up:
                self._go(-1)
            case Qt.Key.Key_Down:
                self._go(1)
            case Qt.Key.Key_Escape if self._correcting:
                aside = self._aside
                self._leave()
                self.box.setText(aside)
            case _ if self._nothing_typed_to_undo(event):
                self.home.take_back()
            case _:
                return False
        return True

    # --- what stands ------------------------------------------------------------------------------------------------

    def _show(self) -> None:
        sealed = is_sealed(self.home, self.who)
        self._open.setVisible(not sealed)
        self.signed.setVisible(sealed)
        unit = volume(self.home, self._kept)
        self.unit.show_codes((unit,) if unit else ())
        feeder = log_setting(self.home, self.who).feeder
        self.sides.set_options({one: self.home.names(one) for one in feeders(self.home)})
        self.sides.show_codes((feeder,) if feeder else ())
        self._sides_said.setVisible(len(self.sides.options()) > 1)
        self.lines.say("\n".join(self._last()))
        self.lines.setVisible(bool(self.lines.said()))
        self._tell()
        self.correcting.setVisible(bool(self._correcting))

    def _last(self) -> Iterator[str]:
        """The lines typed last, newest last."""
        for entity in self._standing()[-_SHOWN:]:
            entry = standing(self.home, entity)
            if entry is not None:
                yield line_words(entry.answers, self.home.names)

    def _pick_unit(self, code: str) -> None:
        self._kept.volume = code
        self._show()

    def _pick_feeder(self, code: str) -> None:
        self._kept.feeder = None if self._kept.feeder == code else code
        self._show()

    def _turn_help(self, on: bool) -> None:
        if self._view.opened(*self._helped) != on:
            self._view.turn_over(*self._helped)
        if on and self.words is None:
            rows = [*EXAMPLES, *((", ".join(w.spellings), w.means) for group in GROUPS for w in group.words)]
            self.words = FigureTable("Words and examples of a typed line", ("Type", "It says"), rows)
            self._below.add(self.words)
        if self.words is not None:
            self.words.setVisible(on)


def _said(words: str, strip: QWidget) -> QWidget:
    """A strip behind the words that say what it is."""
    said = Words(words, ink=Role.SOFT_INK, wrap=False)
    said.setMinimumHeight(Target.TOUCH)
    holder = QWidget()
    flow = Flow(holder, gap=Space.SNUG)
    flow.addWidget(said)
    flow.addWidget(strip)
    return holder
