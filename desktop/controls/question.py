"""One question on screen: its label and help, the control for its answer, "No answer", and what follows from it."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.absence import AbsencePanel, NoAnswer
from desktop.controls.binding import Binding
from desktop.controls.carried import CarriedLine
from desktop.controls.choice import ends_words
from desktop.controls.control import Control
from desktop.controls.layouts import Beside, Stack, spaced
from desktop.controls.shown import absence_words, answer_words
from desktop.controls.slots import AnswerSlot, SidedPair
from desktop.controls.words import Words
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Absent, Conflicted, Side
from forms.ask import Ask, Kind, Need, Path, When, ask_of, asks
from forms.form import is_open

__all__ = ["Question", "follow_ups_of", "question_for", "when_words"]

_NAMED = 3
_READ_AT_ONCE = 110  # characters; a longer count of what may open is no help
"""More answers than this that open a follow-up are not named one by one."""


def follow_ups_of(binding: Binding, field: str) -> tuple[str, ...]:
    """The fields that `field` opens directly, in declared order."""
    return tuple(name for name, ask in asks(binding.form).items() if ask.when is not None and ask.when.field == field)


def when_words(trigger: Ask, when: When) -> str:
    """What opens a follow-up, in words: "if sore or cracked", "if 4 or more", "once answered"."""
    if when.answered:
        return "once answered"
    others = [code for code in trigger.options if code not in trigger.alone]
    if len(when.one_of) > 1 and set(when.one_of) == set(others) and trigger.alone:
        return "if any of these"
    if len(when.one_of) > _NAMED:
        return "by what is picked"
    words = [
        ("yes" if code else "no") if isinstance(code, bool) else _inside(trigger.options.get(code, code))
        for code in when.one_of
    ]
    if when.at_least is not None:
        words.append("any" if when.at_least == 1 else f"{when.at_least} or more")
    if when.at_most is not None:
        words.append(f"{when.at_most} or less")
    return f"if {' or '.join(words)}"


def _inside(words: str) -> str:
    """Words as they stand inside a sentence; an abbreviation keeps its capitals."""
    return words if words[1:2].isupper() else words[:1].lower() + words[1:]


class Question(QWidget):
    """The question of one field, with its follow-ups in place below it.

    `heading` replaces the declared label on screen only. With `follow_ups` False the sheet places them elsewhere.
    `fields()` names every field this question places, its own and those it opens.
    """

    def __init__(
        self,
        binding: Binding,
        field: str,
        *,
        heading: str | None = None,
        follow_ups: bool = True,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.binding, self.field = binding, field
        self.ask = ask_of(binding.form, field)
        sides: tuple[Side | None, ...] = tuple(Side) if self.ask.sides else (None,)
        self._paths = tuple(str(Path(field, side)) for side in sides)
        self._sentences: dict[str, str] = {}
        self._shown_sides: tuple[Side, ...] = tuple(Side)
        self._follow_names = follow_ups_of(binding, field) if follow_ups else ()
        self._follow: dict[str, Question] = {}
        self.setAccessibleName(self.ask.label)
        column = QVBoxLayout(self)
        spaced(column, Space.FINE)
        self.label = Words(heading or self.ask.label, strong=True)
        ends = ends_words(self.ask) if self.ask.kind is Kind.SCALE and self.ask.sides else ""
        helping = " ".join(words for words in (self.ask.help, f"{ends}." if ends else "") if words)
        self.help = Words(helping, size=Size.SMALL, ink=Role.SOFT_INK)
        if not helping:
            self.help.hide()  # never shown here: without a parent yet it would flash up as a window of its own
        self._build_answer(column)
        self.say = Words("", ink=Role.WELD, strong=True)
        self.counted = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self.kept = Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self._below = Stack(between=Space.PAD)
        self._below.setContentsMargins(Space.WIDE, Space.GAP, Space.NONE, Space.NONE)
        self.carried = CarriedLine(binding, self._paths, self.ask.label)
        for widget in (self.carried, self.say, self.counted, self.kept, self._below):
            column.addWidget(widget)
            widget.hide()
        binding.changed.connect(self._hear)
        binding.refused.connect(self._refused)
        binding.sealed_changed.connect(self._seal)
        for slot in self.slots():
            self._sentences[slot.path] = getattr(slot.control, "sentence", "")
        self._seal()
        self._show_state()

    def _build_answer(self, column: QVBoxLayout) -> None:
        # A wide answer needs the whole width, so "No answer" stands at the far end of the line above it.
        above = self.ask.sides or self.ask.kind is Kind.SCALE
        head, row = QWidget(), QWidget()
        head_line = Beside(head)
        beside = Beside(row, low=self.ask.kind in (Kind.CHOICE, Kind.MANY))
        heading = Stack(between=Space.NONE)
        heading.add(self.label, self.help)
        head_line.addWidget(heading)
        if above and self.ask.need is not Need.FREE:
            head.setContentsMargins(Space.NONE, Space.NONE, Space.NONE, Space.FINE)
        column.addWidget(head)
        self.answer: AnswerSlot | SidedPair = (
            SidedPair(self.binding, self.field) if self.ask.sides else AnswerSlot(self.binding, self._paths[0])
        )
        self.answer.troubled.connect(self._trouble)
        beside.addWidget(self.answer)
        self.no_answer: NoAnswer | None = None
        self.absences: AbsencePanel | None = None
        column.addWidget(row)
        if self.ask.need is not Need.FREE:
            self.no_answer = NoAnswer(self.ask.label)
            self.no_answer.toggled.connect(self._open_absences)
            (head_line if above else beside).addWidget(self.no_answer)
        self._absence_place = column.count()

    def slots(self) -> tuple[AnswerSlot, ...]:
        """The slots of the answer: one, or one for each side."""
        return tuple(self.answer.slots.values()) if isinstance(self.answer, SidedPair) else (self.answer,)

    def controls(self) -> tuple[Control, ...]:
        """The controls of the answer: one, or one for each side."""
        return tuple(slot.control for slot in self.slots())

    def follow_up(self, field: str) -> Question | None:
        """The question of a follow-up that has been opened, at any depth, or None."""
        for name, question in self._follow.items():
            found = question if name == field else question.follow_up(field)
            if found is not None:
                return found
        return None

    def fields(self) -> tuple[str, ...]:
        """Every field placed by this question, whether open now or not."""

        def below(names: tuple[str, ...]) -> Iterator[str]:
            for name in names:
                yield name
                yield from below(follow_ups_of(self.binding, name))

        return (self.field, *below(self._follow_names))

    def commit(self) -> None:
        """Keep what is still only on screen, here and in what follows."""
        for control in self.controls():
            control.commit()
        for question in self._follow.values():
            question.commit()

    def show_sides(self, sides: tuple[Side, ...]) -> None:
        """Narrow a question with sides to those on which it is open."""
        self._shown_sides = sides
        if isinstance(self.answer, SidedPair):
            self.answer.show_sides(sides)
        if self.absences is not None and self.ask.sides:
            self.absences.show_sides(sides)

    def _seal(self) -> None:
        sealed = self.binding.sealed()
        self.carried.refresh()
        if self.no_answer is not None:
            self.no_answer.setEnabled(not sealed)
        if self.absences is not None:
            self.absences.setEnabled(not sealed)

    def _open_absences(self, on: bool) -> None:
        if on and self.absences is None:
            self.absences = AbsencePanel(self.binding, self._paths)
            self.absences.setAccessibleName(f"No answer to {self.ask.label}")
            self.absences.closed.connect(self._close_absences)
            self.absences.show_sides(self._shown_sides)
            layout = self.layout()
            if isinstance(layout, QVBoxLayout):
                layout.insertWidget(self._absence_place, self.absences)
            if self.no_answer is not None:
                QWidget.setTabOrder(self.no_answer, self.absences.parts[0].strip)
        if self.absences is not None:
            self.absences.setVisible(on)

    def _close_absences(self) -> None:
        if self.no_answer is not None:
            self.no_answer.setChecked(False)
            self.no_answer.setFocus()

    def _hear(self, path: str) -> None:
        if path in self._paths:
            self._sentences.pop(path, None)
            for slot in self.slots():
                if slot.path == path and (sentence := getattr(slot.control, "sentence", "")):
                    self._sentences[path] = sentence
            self._show_state()

    def _refused(self, path: str, sentence: str) -> None:
        if path in self._paths:
            self._trouble(path, sentence)

    def _trouble(self, path: str, sentence: str) -> None:
        self._sentences[path] = sentence
        self._show_say()

    def _show_state(self) -> None:
        self._show_say()
        self.carried.refresh()
        for slot in self.slots():
            slot.control.show_grey(grey=bool(self.binding.carried_from(slot.path)))
        given = [self.binding.value(path) for path in self._paths]
        if self.no_answer is not None:
            absent = [each for each in given if isinstance(each, Absent)]
            words = dict.fromkeys(absence_words(each) for each in absent)
            self.no_answer.stand(
                ", ".join(words) if len(absent) == len(given) or not absent else f"{', '.join(words)}, one side"
            )
        self._show_follow_ups()

    def _show_say(self) -> None:
        """The sentence that stands: what was refused, else what is doubted. Spoken by a screen reader as well."""
        said = []
        for path in self._paths:
            refused = self._sentences.get(path)
            if refused:
                said.append(refused + self._still_kept(path))
            elif doubt := self.binding.say(path):
                said.append(doubt)
        sentence = " ".join(dict.fromkeys(said))
        if sentence != self.say.said():
            self.say.say(sentence)
            if sentence:
                QAccessible.updateAccessibility(QAccessibleEvent(self.say, QAccessible.Event.Alert))
        self.say.setVisible(bool(sentence))

    def _still_kept(self, path: str) -> str:
        given = self.binding.value(path)
        if given is None or isinstance(given, Absent | Conflicted) or self.ask.kind in (Kind.LINE, Kind.TEXT):
            return ""
        return f" Still kept: {answer_words(self.ask, given, self.binding.choices(path))}."

    def _open_paths(self, name: str) -> tuple[Path, ...]:
        answers = self.binding.answers()
        ask = ask_of(self.binding.form, name)
        sides: tuple[Side | None, ...] = tuple(Side) if ask.sides else (None,)
        return tuple(path for side in sides if is_open(answers, path := Path(name, side)))

    def _show_follow_ups(self) -> None:
        hidden: dict[str, int] = {}
        kept: list[str] = []
        for name in self._follow_names:
            ask = ask_of(self.binding.form, name)
            if ask.when is None:
                continue
            open_paths = self._open_paths(name)
            if open_paths and name not in self._follow:
                self._place(name)
            if name in self._follow:
                self._follow[name].setVisible(bool(open_paths))
                self._follow[name].show_sides(tuple(path.side for path in open_paths if path.side is not None))
            if not open_paths:
                words = when_words(self.ask, ask.when)
                hidden[words] = hidden.get(words, 0) + 1
            kept += self._kept_words(name, ask, open_paths)
        counts = ", ".join(f"{count} more {words}" for words, count in hidden.items())
        self.counted.say(counts if len(counts) <= _READ_AT_ONCE else "more opens by what is picked")
        self.counted.setVisible(bool(hidden))
        self.kept.say(f"Kept, not asked now: {'; '.join(kept)}." if kept else "")
        self.kept.setVisible(bool(kept))
        self._below.setVisible(any(not question.isHidden() for question in self._follow.values()))

    def _kept_words(self, name: str, ask: Ask, open_paths: tuple[Path, ...]) -> list[str]:
        """Answers below a trigger that has closed: still kept, shown in soft ink, back when it opens again."""
        sides: tuple[Side | None, ...] = tuple(Side) if ask.sides else (None,)
        shut = [path for side in sides if (path := Path(name, side)) not in open_paths]
        told = []
        for path in shut:
            given = self.binding.value(str(path))
            if given is not None:
                whose = f", {self.binding.person_words()[list(Side).index(path.side)]}" if path.side else ""
                told.append(f"{ask.label}{whose}: {answer_words(ask, given, self.binding.choices(str(path)))}")
        return told

    def _place(self, name: str) -> None:
        """Make the follow-up and put it in declared order among those already there."""
        self._follow[name] = Question(self.binding, name)
        order = [each for each in self._follow_names if each in self._follow]
        self._below.insert(order.index(name), self._follow[name])


def question_for(binding: Binding, field: str) -> Question:
    """The question of a field with the control of its kind, follow-ups included."""
    return Question(binding, field)
