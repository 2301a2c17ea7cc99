"""The practice's own limits: each beside its published value, with the range it may be set in and a way back."""

from __future__ import annotations

from functools import partial

from desktop.controls.buttons import Link
from desktop.controls.layouts import Stack
from desktop.controls.question import Question
from desktop.controls.words import Rule, Words
from desktop.sheets.sheet import Compose, Here, Section
from desktop.theme.tokens import Role, Size, Space
from forms.answers import Conflicted
from forms.thresholds import PUBLISHED, Thresholds, limits_of

__all__ = ["LIMITS", "Limit"]


class Limit(Stack):
    """One limit: its question, what holds now, and the way back to the published value while another is set."""

    def __init__(self, here: Here, name: str) -> None:
        super().__init__(between=Space.FINE)
        self._name, self._binding = name, here.binding
        self.question = Question(here.binding, name)
        self.holds = Words("", size=Size.SMALL)
        self.back = Link("Back to the published value")
        self.back.setAccessibleName(f"Back to the published value: {PUBLISHED[name].label}")
        self.back.clicked.connect(lambda: here.binding.put(name, None))
        self.add(self.question, self.holds, self.back, Rule())
        here.binding.changed.connect(lambda _path: self._show())
        self._show()

    def commit(self) -> None:
        """Keep what is still only in the box."""
        self.question.commit()

    def _show(self) -> None:
        kept = self._binding.answers()
        assert isinstance(kept, Thresholds)
        limits, given = limits_of(kept), self._binding.value(self._name)
        own = limits.differing(self._name)
        self.holds.take_ink(Role.WELD if own else Role.SOFT_INK)
        self.holds.say(own or f"The published value holds: {limits.said(self._name)}.")
        self.back.setVisible(given is not None and not isinstance(given, Conflicted))


def _group(c: Compose, heading: str, *names: str) -> None:
    c.heading(heading)
    for name in names:
        c.widget(partial(Limit, name=name), name)


def _limits(c: Compose) -> None:
    c.note(
        "Prompts fire by published limits. You may set your own within the range beside each; a prompt that rests on "
        "one says so. What a same-day or an emergency prompt rests on can be made stricter and never looser."
    )
    _group(
        c, "Weight", "loss_follow_up", "loss_same_day", "loss_before_leaving", "loss_emergency", "regain_follow_up",
        "regain_prompt", "regain_same_day", "gain_per_day", "weighing_gap",
    )  # fmt: skip
    _group(c, "The baby", "fever", "feeds_in_24_h", "wets_from_day_6", "stools_from_day_3")
    _group(
        c, "The parent", "pain_follow_up", "pain_prompt", "mood_ten_prompt", "mood_ten_same_day", "mood_two_prompt",
        "expressing_sessions", "expressing_day_14",
    )  # fmt: skip


LIMITS = Section("practice.limits", "Limits", Thresholds, _limits, "Limits of the prompts")
