"""The calmer prompts on the plan: which are open, what closed the others, and which fire no longer and why."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtWidgets import QWidget

from desktop.controls.layouts import Stack
from desktop.controls.shown import answer_words
from desktop.controls.words import Rule, Words
from desktop.prompt_trace import Followed
from desktop.sheets.sheet import Compose, Guard, Here, Listed, Section
from desktop.sheets.urgent import Covers
from desktop.theme.tokens import Role, Size, Space
from forms.ask import ask_of
from forms.chart import Entry
from forms.clinical.prompt_trace import Gone
from forms.clinical.prompts import closings, prompts
from forms.clinical.rule import Level, Prompt
from forms.prompted import PromptClosed

__all__ = ["prompted"]


class _Standing(Stack):
    """Every prompt below SAME DAY about the person charted, open or closed, and those that fire no longer."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.SNUG)
        self._here = here
        self._shown: object = None
        self._followed = Followed.of(here.home)
        self._followed.changed.connect(self._show)
        here.home.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        home, who = self._here.home, self._here.who
        chart, now = home.chart, home.clock()
        standing = [
            (one, len(closings(chart, one))) for one in prompts(chart, now) if one.person == who and not one.urgent
        ]
        gone = self._followed.lines(who)
        if (standing, gone) == self._shown:
            return
        self._shown = (standing, gone)
        self.clear()
        waiting = [one for one, closed in standing if not closed]
        if not waiting:
            self.add(
                Words(f"No prompt about {home.names(who)} waits here. That says nothing about what was not asked.")
            )
        for prompt in waiting:
            self.add(_prompt(prompt, ""))
        for prompt in [one for one, closed in standing if closed]:
            self.add(_prompt(prompt, "closed, "))
        if gone:
            self.add(Words("No longer firing", strong=True))
        for line in gone:
            self.add(self._gone(line))

    def _gone(self, line: Gone) -> QWidget:
        part = Stack(between=Space.FINE)
        words = line.words(self._here.home.zone, self._here.home.clock())
        part.add(Words(f"{line.prompt.level.words}: {line.prompt.seen}", ink=Role.SOFT_INK), Words(words), Rule())
        return part


def _prompt(prompt: Prompt, before: str) -> QWidget:
    part = Stack(between=Space.FINE)
    ink = Role.WELD if not before and prompt.level is not Level.NOTE else Role.INK
    rung = f"{before}{prompt.level.words.lower()}" if before else prompt.level.words
    part.add(
        Words(f"{rung[:1].upper()}{rung[1:]}: {prompt.seen}", strong=not before, ink=ink),
        Words(" ".join(said for said in (prompt.stricter, prompt.house, prompt.why, prompt.contact) if said)),
        Words(f"{prompt.source} ({prompt.mark})", size=Size.SMALL, ink=Role.SOFT_INK),
        Rule(),
    )
    return part


def _closing(c: Compose) -> None:
    c.widget(partial(Covers, urgent=False), "covers")
    c.ask("outcome")


def _line(entry: Entry[PromptClosed], name: Callable[[str], str]) -> str:
    del name
    kept = entry.answers
    said = [_words(kept, field) for field in ("outcome", "action", "override_reason", "by_whom", "at")]
    return ", ".join(words for words in said if words) or "Nothing written yet"


def _words(kept: PromptClosed, field: str) -> str:
    given = getattr(kept, field)
    return "" if given is None else answer_words(ask_of(PromptClosed, field), given)


def _prompted(c: Compose) -> None:
    c.widget(_Standing)
    c.heading("What closed them")
    c.entries(
        PromptClosed,
        _closing,
        Listed(add="Close one or more", empty="Nothing is written down yet.", line=_line, concerns=True),
    )


def prompted() -> Section:
    """The section of the calmer prompts; some of them rest on what was told in private."""
    return Section("plan.prompts", "Prompts", PromptClosed, _prompted, "Prompts about {name}", Guard.NOT_SHARED)
