"""What is written for a report to one person's own provider, beside what the chart already says."""

from __future__ import annotations

from desktop.sheets.release_shown import ReleaseShown
from desktop.sheets.sheet import Compose, Guard, Here, Section
from forms.papers.provider_report import reader_of
from forms.report import ProviderReport

__all__ = ["REPORT"]


def _release(here: Here) -> ReleaseShown:
    def nobody() -> str:
        return f"No provider of {here.home.names(here.who)} is known. Choose whom the report goes to."

    return ReleaseShown(
        here, lambda: reader_of(here.home.chart, here.who) or None, purpose=ProviderReport.name, what="report",
        nobody=nobody,
    )  # fmt: skip


def _report(c: Compose) -> None:
    c.ask("to")
    c.widget(_release)
    c.ask("must_know", "asked", "asked_by", "would_change")
    c.note(
        "The report also carries, from the chart: the visit, weights, history, the feed, what was seen, strengths, the "
        "impression, and the plan’s tasks word for word."
    )


REPORT = Section(
    "leave.report", "Report", ProviderReport, _report, "A report about {name} to their provider", Guard.NOT_SHARED
)
