"""The practice figures as a paper for outside: two pages, each figure with what it means, and no small number."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from forms.ask import Paper
from forms.chart import Chart
from forms.clinical.evidence import zone_of
from forms.papers.outline import SCOPE, Foot, Outline, Paragraph, Table, Title, join, plain, strong
from forms.papers.said import Said, day_words
from forms.papers.writer import SEAL_NOTE, page_size, printed_name, writer_lines
from forms.practice_figures import SMALL, Counted, Period

__all__ = ["figures_sheet"]

SIZE: Final = 10
LEAST: Final = 9
PAGES: Final = 2
_HOW: Final = (
    f"A number below {SMALL} is told as “fewer than {SMALL}”, none included, on either side of a share; where it could "
    f"be worked out from those beside it, the least of them is told as “{SMALL} or more”. Where an answer is missing "
    "or in dispute, the case stands in neither number of a share, and is counted in the last column."
)


def figures_sheet(chart: Chart, figures: Sequence[Counted], period: Period, *, writer: str, now: datetime) -> Outline:
    """The sheet. `chart` is of the practice's own entries, `writer` the practitioner's id.

    Raises NoWriter and Unresolved.
    """
    said = Said(chart, Paper.FIGURES)
    today = now.astimezone(ZoneInfo(zone_of(chart))).date()
    rows = tuple(
        (
            join(strong(f"{one.figure.label}. "), one.figure.means),
            strong(one.words_outside()),
            plain(one.lacking_outside()),
        )
        for one in figures
    )
    title = f"Practice figures, {day_words(period.first)} to {day_words(period.last)}"
    blocks = (
        Title(title, plain(f"Counted {day_words(today, weekday=True)} from what the record holds")),
        Paragraph(plain(_HOW), small=True),
        Table("", ("figure", "counted", "no answer"), rows),
        Foot(SCOPE[Paper.FIGURES], (), (*writer_lines(said, writer), plain(SEAL_NOTE))),
    )
    return Outline(
        kind=Paper.FIGURES, title=title, language="en", blocks=blocks, about=(), size=SIZE, page=page_size(said),
        writer=printed_name(said, writer), least_size=LEAST, pages_wanted=PAGES,
    )  # fmt: skip
