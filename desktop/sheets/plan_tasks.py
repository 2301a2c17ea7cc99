"""The three things to do: three numbered places, each opened in place, no fourth."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QWidget

from desktop.controls.buttons import Act, Link
from desktop.controls.layouts import Beside, Flow, Stack, spaced
from desktop.controls.question import Question
from desktop.controls.words import Rule, Title, Words
from desktop.draft import EntryBinding
from desktop.sheets.laid import Laid
from desktop.sheets.listing import StrikeAsked
from desktop.sheets.sheet import Compose, Here
from desktop.theme.icons import Icon
from desktop.theme.look import look
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Conflicted
from forms.chart import Entry
from forms.plan import PlanTask

__all__ = ["PLACES", "PlanTasks", "task_words"]

PLACES = (1, 2, 3)
_LIKE: Mapping[int, str] = {1: "The first thing", 2: "A second thing", 3: "A third thing"}


def _task(c: Compose) -> None:
    c.ask("what")
    c.row("how_often", "until")
    c.row("who", "order")
    c.ask("concerns")


def task_words(task: PlanTask) -> tuple[str, str]:
    """A task as it will read: what to do; and how often, until when, by whom."""

    def said(field: str) -> str:
        given = getattr(task, field)
        return "two answers stand" if isinstance(given, Conflicted) else given.strip() if isinstance(given, str) else ""

    what, rest = said("what"), [said("how_often"), said("until") and f"until {said('until')}", said("who")]
    return what or "Not written yet", ", ".join(part for part in rest if part)


class _Place(QWidget):
    """One numbered place."""

    def __init__(self, tasks: PlanTasks, number: int) -> None:
        super().__init__()
        self.tasks, self.number = tasks, number
        self.entries: tuple[Entry[PlanTask], ...] = ()
        self.page: Laid | None = None
        self.open_entity = ""
        across = QHBoxLayout(self)
        spaced(across, Space.WIDE)
        numeral = Title(str(number), size=Size.WEIGHT)
        numeral.setMinimumWidth(look().px(Space.FAR))
        numeral.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignHCenter)
        across.addWidget(numeral)
        self._inside = Stack(between=Space.GAP)
        self._lines = Stack(between=Space.GAP)
        self._pad = Stack(between=Space.GAP)
        self.begin_key = Act(_LIKE[number], icon=Icon.PLUS)
        self.begin_key.clicked.connect(lambda: tasks.begin_at(self))
        row = QWidget()
        Flow(row).addWidget(self.begin_key)
        self._row = row
        self._inside.add(self._lines, row, self._pad)
        self._inside.finish()
        across.addWidget(self._inside, 1)

    def show_entries(self, entries: tuple[Entry[PlanTask], ...]) -> None:
        """Show the task that stands here; two of them are told, and neither is hidden."""
        shown = tuple((entry.id, task_words(entry.answers)) for entry in entries)
        if (
            shown != tuple((entry.id, task_words(entry.answers)) for entry in self.entries)
            or not self._lines.isVisible()
        ):
            self.entries = entries
            self._lines.clear()
            for entity, words in shown:
                self._lines.add(self._line(entity, words))
            if len(shown) > 1:
                self._lines.add(Words(f"Two tasks are numbered {self.number}; give one another number.", ink=Role.WELD))
        self._row.setVisible(not entries and self.page is None and not self.tasks.sealed)
        if not entries and self.tasks.sealed:
            self._lines.clear()
            self._lines.add(Words("No task stands here.", ink=Role.SOFT_INK))

    def _line(self, entity: str, words: tuple[str, str]) -> QWidget:
        line = Stack(between=Space.GAP)
        across = QWidget()
        beside = Beside(across, middle=True)
        said = Stack(between=Space.NONE)
        said.add(Words(words[0], size=Size.JOT))
        if words[1]:
            said.add(Words(words[1], ink=Role.SOFT_INK))
        beside.addWidget(said)
        keys = QWidget()
        flow = Flow(keys)
        change = Link("Close" if self.open_entity == entity else "Change")
        change.clicked.connect(lambda: self.tasks.toggle(self, entity))
        flow.addWidget(change)
        if not self.tasks.sealed:
            strike = Link("Strike out")
            strike.clicked.connect(partial(self._ask_why, line, strike, entity))
            flow.addWidget(strike)
        beside.addWidget(keys)
        line.add(across)
        return line

    def _ask_why(self, line: Stack, strike: Link, entity: str) -> None:
        strike.setEnabled(False)
        line.add(StrikeAsked(self.tasks.home, entity))

    def lay(self, binding: EntryBinding) -> None:
        """Open the questions of a task."""
        self.open_entity = binding.entity
        self.page = Laid(self.tasks.home, PlanTask, "", binding)
        _task(self.page)
        self._pad.add(self.page)
        self.entries = ()

    def close_page(self) -> None:
        """Close to the line; what was typed is kept."""
        if self.page is not None:
            self.page.commit()
        self.page, self.open_entity, self.entries = None, "", ()
        self._pad.clear()


class PlanTasks(Stack):
    """The three places of this visit's plan."""

    opens = PlanTask.name

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.PAD)
        self.home, self._here = here.home, here
        self.places = [_Place(self, number) for number in PLACES]
        for place in self.places:
            self.add(place, Rule())
        self._unplaced = Stack(between=Space.GAP)
        self.add(self._unplaced)
        here.home.changed.connect(self.refresh)
        here.home.reloaded.connect(self.refresh)
        self.refresh()

    @property
    def sealed(self) -> bool:
        """Whether the visit is signed."""
        return self.home.chart.signed() is not None

    def refresh(self) -> None:
        """Show what stands."""
        tasks = self.home.chart.all(PlanTask, visit=self.home.chart.visit)
        for place in self.places:
            place.show_entries(tuple(e for e in tasks if _order(e.answers) == place.number))
        self._unplaced.clear()
        for entry in tasks:
            if _order(entry.answers) not in PLACES:
                self._unplaced.add(self._waiting(entry))

    def _waiting(self, entry: Entry[PlanTask]) -> QWidget:
        """A task without a number, or with two of them: it is told and can be put into a free place."""
        part = Stack(between=Space.GAP)
        part.add(Words(f"Without a number: {task_words(entry.answers)[0]}", ink=Role.WELD, strong=True))
        keys = QWidget()
        flow = Flow(keys)
        for place in self.places:
            if not place.entries and not self.sealed:
                act = Act(f"Make it number {place.number}")
                binding = self.home.binding(PlanTask, entity=entry.id)
                act.clicked.connect(partial(self._number, binding, place.number))
                flow.addWidget(act)
        part.add(keys)
        return part

    @staticmethod
    def _number(binding: EntryBinding, number: int) -> None:
        binding.put("order", number, "numbered in the plan")

    def begin(self) -> None:
        """Begin a task in the first free place."""
        free = next((place for place in self.places if not place.entries and place.page is None), None)
        if free is not None and not self.sealed:
            self.begin_at(free)

    def open(self, entity: str) -> None:
        """Open a task's questions."""
        for place in self.places:
            if any(entry.id == entity for entry in place.entries) and place.open_entity != entity:
                self.toggle(place, entity)
                return

    def question(self, form: str, field: str) -> Question | None:
        """The question of a field in the task that is open, or None."""
        pages = (place.page for place in self.places if place.page is not None)
        return next((found for page in pages if (found := page.question(form, field)) is not None), None)

    def commit(self) -> None:
        """Keep what is still only on screen."""
        for place in self.places:
            if place.page is not None:
                place.page.commit()

    def begin_at(self, place: _Place) -> None:
        """Begin the task of a free place; it is kept from its first answer on."""
        self._close_all()
        binding = self.home.begin(PlanTask)

        def numbered(path: str) -> None:
            if path != "order" and binding.value("order") is None:
                binding.put("order", place.number)

        binding.changed.connect(numbered)
        place.lay(binding)
        self.refresh()
        self._focus(place)

    def toggle(self, place: _Place, entity: str) -> None:
        """Open a task's questions or close them."""
        again = place.open_entity == entity
        self._close_all()
        if not again:
            place.lay(self.home.binding(PlanTask, entity=entity))
        self.refresh()
        self._focus(place)

    @staticmethod
    def _focus(place: _Place) -> None:
        question = place.page.question(PlanTask.name, "what") if place.page is not None else None
        if question is not None:
            question.controls()[0].setFocus()

    def _close_all(self) -> None:
        for place in self.places:
            place.close_page()


def _order(task: PlanTask) -> int | None:
    return task.order if isinstance(task.order, int) else None
