"""The calmer prompts of a visit beside its page: a provider soon, to be seen again, to note; each closed in place.

What fires no longer stands apart from them and further down, so that it takes no room from what still does.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from desktop.controls.buttons import Act, ActKind, Link
from desktop.controls.layouts import Flow, Stack, spaced
from desktop.controls.moons import Moons
from desktop.controls.typed import Box
from desktop.controls.words import Rule, Words
from desktop.open_chart import OpenChart
from desktop.prompt_trace import Followed
from desktop.sheets.persons import full_name
from desktop.theme.halfmoons import MoonState
from desktop.theme.tokens import Role, Size, Space
from forms.clinical.prompt_trace import Gone
from forms.clinical.rule import Level, Prompt
from forms.practice import Practitioner
from forms.prompted import PromptClosed

__all__ = ["CalmPrompts", "GonePrompts"]

_GONE_SHOWN = 2
"""So many of the signs that fire no longer stand beside the page; all of them stand on the plan's own page."""


def _is_watch(prompt: Prompt) -> bool:
    return prompt.level is not Level.NOTE


class CalmPrompts(Stack):
    """Every prompt below SAME DAY that nothing closed yet, the most urgent first."""

    def __init__(self, home: OpenChart, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.PAD)
        self._home = home
        self.prompts: tuple[Prompt, ...] = ()
        self._items: dict[tuple[str, str], _Calm] = {}
        self._names: dict[str, Words] = {}
        self.hide()

    def show_prompts(self, prompts: tuple[Prompt, ...]) -> None:
        """Show these; one that is being closed keeps what was typed into it while it still stands."""
        if prompts == self.prompts:
            return
        self.prompts = prompts
        keys = {prompt.key for prompt in prompts}
        for gone in [key for key in self._items if key not in keys]:
            _drop(self._items.pop(gone))
        people = list(dict.fromkeys(prompt.person for prompt in prompts))
        for gone_person in [person for person in self._names if person not in people]:
            _drop(self._names.pop(gone_person))
        at = 0
        for person in people:
            if person not in self._names:
                self._names[person] = Words(f"Prompts: {full_name(self._home, person)}", strong=True)
            self.insert(at, self._names[person])
            at += 1
            for prompt in (one for one in prompts if one.person == person):
                if prompt.key not in self._items:
                    self._items[prompt.key] = _Calm(self._home, prompt)
                self.insert(at, self._items[prompt.key])
                self._items[prompt.key].say(prompt)
                at += 1
        self.setVisible(bool(prompts))


class GonePrompts(Stack):
    """The newest signs that fire no longer, each with the answer that ended it.

    Signal `page_asked(person)`: to the page of that person on which all of them stand.
    """

    page_asked = Signal(str)

    def __init__(self, home: OpenChart, parent: QWidget | None = None) -> None:
        super().__init__(parent, between=Space.GAP)
        self._home = home
        self._followed = Followed.of(home)
        self._followed.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        self.clear()
        lines = self._followed.lines()
        for line in lines[:_GONE_SHOWN]:
            self.add(_GoneLine(self._home, line))
        left = len(lines) - _GONE_SHOWN
        if left > 0:
            more = Link(f"{left} more that {'fires' if left == 1 else 'fire'} no longer")
            more.clicked.connect(partial(self._ask_page, lines[_GONE_SHOWN].prompt.person))
            self.add(more)
        self.setVisible(bool(lines))

    def _ask_page(self, person: str, *_pressed: object) -> None:
        self.page_asked.emit(person)


def _drop(widget: QWidget) -> None:
    widget.hide()
    widget.setParent(None)
    widget.deleteLater()


class _GoneLine(Stack):
    """A sign that fires no longer: what it was, and which answer ended it."""

    def __init__(self, home: OpenChart, line: Gone) -> None:
        super().__init__(between=Space.FINE)
        name = home.names(line.prompt.person)
        what = "A private sign" if line.prompt.private else line.prompt.seen
        self.add(
            Words(f"{name}, {line.prompt.level.words.lower()}: {what}", size=Size.SMALL, ink=Role.SOFT_INK),
            Words(line.words(home.zone, home.clock()), size=Size.SMALL),
        )


class _Calm(Stack):
    """One calm prompt: its rung with a mark and in words, what was seen, whom to contact, and the way to close it."""

    def __init__(self, home: OpenChart, prompt: Prompt) -> None:
        super().__init__(between=Space.FINE)
        self._home, self._prompt = home, prompt
        watch = _is_watch(prompt)
        across = QWidget()
        beside = QHBoxLayout(across)
        spaced(beside, Space.GAP)
        self._rung = Words(prompt.level.words, size=Size.SMALL, strong=watch, ink=Role.WELD if watch else Role.SOFT_INK)
        beside.addWidget(Moons(MoonState.CONCERN if watch else MoonState.NOT_DONE, None, prompt.level.words))
        beside.addWidget(self._rung, 1)
        self._seen, self._house = Words("", strong=watch), Words("", size=Size.SMALL, ink=Role.WELD)
        self._contact = Words("")
        self._why = Stack(between=Space.FINE)
        self._reason, self._source = Words("", size=Size.SMALL), Words("", size=Size.SMALL, ink=Role.SOFT_INK)
        self._why.add(self._reason, self._source)
        if not watch:
            self._why.hide()
        self._closing: _Closing | None = None
        self._keys = QWidget()
        keys = Flow(self._keys, gap=Space.PAD, row_gap=Space.GAP)
        why = () if watch else (("Why, and its source", self._unfold),)
        for words, act in (
            *why,
            ("Something is done", partial(self._close, override=False)),
            ("Set aside", partial(self._close, override=True)),
        ):
            link = Link(words)
            link.clicked.connect(act)
            keys.addWidget(link)
        self.add(Rule(), across, self._seen, self._house, self._contact, self._why, self._keys)
        self.say(prompt)

    def say(self, prompt: Prompt) -> None:
        """Show the prompt as it stands."""
        self._prompt = prompt
        self._seen.say(f"{prompt.seen}. {prompt.stricter}" if prompt.stricter else prompt.seen)
        self._house.say(prompt.house)
        self._house.setVisible(bool(prompt.house))
        self._contact.say(prompt.contact)
        self._reason.say(prompt.why)
        self._source.say(f"You decide. Source: {prompt.source} ({prompt.mark})")
        name = full_name(self._home, prompt.person)
        self.setAccessibleName(f"{prompt.level.words}: {name}. {prompt.seen}")

    def _unfold(self, *_pressed: object) -> None:
        self._why.setVisible(self._why.isHidden())

    def _close(self, *_pressed: object, override: bool) -> None:
        """Open the lines that close it, or fold them away again; what was typed there goes with them."""
        again = self._closing is not None and self._closing.override is override
        if self._closing is not None:
            _drop(self._closing)
            self._closing = None
        if again:
            return
        self._closing = _Closing(self._prompt.seen, _author(self._home), self._kept, override=override)
        self.add(self._closing)
        self._closing.first.setFocus(Qt.FocusReason.OtherFocusReason)

    def _kept(self, words: str, by_whom: str) -> None:
        closing = self._closing
        assert closing is not None
        binding = self._home.begin(PromptClosed, self._prompt.person)
        binding.put("covers", (self._prompt.rule,))
        binding.put("outcome", "override" if closing.override else "done")
        if closing.override:
            binding.put("override_reason", words)
        else:
            binding.put("by_whom", by_whom)
            binding.put("at", binding.now())
            binding.put("action", words)
        self._home.save()


def _author(home: OpenChart) -> str:
    given = home.chart.person(Practitioner, home.author).full_name
    return given if isinstance(given, str) else ""


class _Closing(Stack):
    """The few words that close a prompt; nothing is written before its key is pressed, so it can be left half typed."""

    def __init__(self, about: str, by_whom: str, done: Callable[[str, str], None], *, override: bool) -> None:
        super().__init__(between=Space.GAP)
        self.override, self._done = override, done
        label = "Your reason" if override else "What is done about it"
        self.first, self._who = _box(label), _box("Who does it")
        self._who.setText(by_whom)
        self._missing = Words("", ink=Role.WELD)
        self._missing.hide()
        key = Act("Set it aside" if override else "Close it, as of now", kind=ActKind.MAIN)
        key.setAccessibleName(f"{'Set aside' if override else 'Close'}: {about}")
        key.clicked.connect(self._keep)
        boxes = (self.first,) if override else (self.first, self._who)
        for words, box in zip((label, "Who does it"), boxes, strict=False):
            box.returnPressed.connect(self._keep)
            self.add(Words(words, size=Size.SMALL, ink=Role.SOFT_INK), box)
        row = QWidget()
        Flow(row).addWidget(key)
        self.add(self._missing, row)

    def _keep(self, *_pressed: object) -> None:
        words, by_whom = self.first.text().strip(), self._who.text().strip()
        if not words or not (by_whom or self.override):
            self._missing.say("Write your reason first." if self.override else "Write what is done, and who does it.")
            self._missing.show()
            return
        self._done(words, by_whom)


def _box(label: str) -> Box:
    box = Box()
    box.setAccessibleName(label)
    return box
