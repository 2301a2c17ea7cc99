"""What is written for a report to one person's own provider, beside what the chart already says."""

from __future__ import annotations

from datetime import date

from desktop.controls.buttons import Link
from desktop.controls.layouts import Stack
from desktop.controls.shown import day_words
from desktop.controls.words import Words
from desktop.sheets.in_view import InView, Jump
from desktop.sheets.sheet import Compose, Guard, Here, Section
from desktop.theme.tokens import Role, Space
from forms.answers import Moment
from forms.consent import release_for
from forms.papers.provider_report import reader_of
from forms.practice import Provider
from forms.report import ProviderReport

__all__ = ["REPORT", "ReportRelease"]


class ReportRelease(Stack):
    """To whom the report goes, whether it may leave for them today, and where to go if it may not."""

    def __init__(self, here: Here) -> None:
        super().__init__(between=Space.FINE)
        self._here = here
        self.words = Words("", strong=True)
        self.go = Link("Go to the releases")
        self.go.clicked.connect(
            lambda: InView.of(here.home).jumped.emit(Jump("arrive", here.who, "arrive.release", "release"))
        )
        self.add(self.words, self.go)
        here.home.changed.connect(self._show)
        self._show()

    def _show(self) -> None:
        home, who = self._here.home, self._here.who
        reader, name = reader_of(home.chart, who), home.names(who)
        if not reader:
            self._say(f"No provider of {name} is known. Choose whom the report goes to.", Role.SOFT_INK)
            return
        full = home.chart.person(Provider, reader).full_name
        recipient = full.strip() if isinstance(full, str) and full.strip() else "a provider without a name"
        held = release_for(home.chart, who, reader, ProviderReport.name, Moment(home.clock(), home.zone).local().date())
        if held is None:
            words = f"No release about {name} to {recipient} holds today: the report cannot leave."
            self._say(words, Role.WELD, go=True)
            return
        until, limits = held.answers.valid_until, held.answers.limits
        last = f" until {day_words(until)}" if isinstance(until, date) else ""
        but = f" Not to be sent: {limits.strip()}" if isinstance(limits, str) and limits.strip() else ""
        self._say(f"A release for reports about {name} to {recipient} holds{last}.{but}", Role.ALDER)

    def _say(self, words: str, ink: Role, *, go: bool = False) -> None:
        self.words.say(words)
        self.words.take_ink(ink)
        self.go.setVisible(go)


def _report(c: Compose) -> None:
    c.ask("to")
    c.widget(ReportRelease)
    c.ask("must_know", "asked", "asked_by", "would_change")
    c.note(
        "The report also carries, from the chart: the visit, weights, history, the feed, what was seen, strengths, the "
        "impression, and the plan’s tasks word for word."
    )


REPORT = Section(
    "leave.report", "Report", ProviderReport, _report, "A report about {name} to their provider", Guard.NOT_SHARED
)
