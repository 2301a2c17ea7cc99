"""The practice figures leave as a sealed sheet: made, filed with the record, saved, and written in the journal."""

from __future__ import annotations

from datetime import datetime
from hashlib import sha256
from pathlib import Path

from forms.answers import Moment
from forms.ask import Paper
from forms.chart import Chart
from forms.clinical.evidence import zone_of
from forms.figures_of_practice import all_figures
from forms.papers.figures_sheet import figures_sheet
from forms.papers.outline import Outline, words_of
from forms.papers.writer import whom_to_ask
from forms.practice_figures import Counted, Of, Period
from storage.store import Store
from sync.handoff.leave import LEFT, PDF, STAYED
from sync.handoff.letter import write_letter
from sync.handoff.saved import NotSaved, save_paper
from sync.handoff.seals import seal_of
from sync.handoff.sign import Record, sign_letter
from sync.handoff.stamping import Stamping, stamping_of

__all__ = ["figures_out", "figures_shown", "practice_figures"]


def practice_figures(store: Store, period: Period, now: datetime) -> tuple[Counted, ...]:
    """Every figure over every family of the record. `now` is aware, in the zone whose day counts as today."""
    charts = tuple(store.chart(line.id) for line in store.caseload())
    return all_figures(Of(charts, period, now))


def _outline(store: Store, period: Period, author: str, now: datetime) -> tuple[Chart, Outline]:
    chart = Chart("", None, store.practice_entries())
    return chart, figures_sheet(chart, practice_figures(store, period, now), period, writer=author, now=now)


def figures_shown(store: Store, period: Period, *, author: str, now: datetime) -> bytes:
    """The sheet as pages without a seal; nothing is filed or written down. Raises NoWriter and Unresolved."""
    return write_letter(_outline(store, period, author, now)[1], made=now, sealed=False)


def figures_out(
    store: Store, period: Period, place: Path, *, author: str, now: datetime, stamping: Stamping | None = None
) -> tuple[Path, ...]:
    """Saves the sealed sheet at a place; the files laid beside it. The journal tells that it left, and for which days.

    `stamping` asks for a time stamp of the seal; without it what the practice set does.
    Raises NoWriter, Unresolved, NoSeal and NotSaved; a sheet that could not be saved is told as one that stayed.
    """
    chart, outline = _outline(store, period, author, now)
    seal = seal_of(store, author, name=outline.writer, now=now)
    pages = sign_letter(
        write_letter(outline, made=now, sealed=True), seal, at=Moment(now, zone_of(chart)), who=outline.writer,
        record=Record(f"{outline.kind}.txt", "text/plain", words_of(outline).encode()),
        contact=whom_to_ask(chart, author), stamping=stamping or stamping_of(chart),
    )  # fmt: skip
    store.attach(pages, PDF)
    told = {
        "paper": str(Paper.FIGURES), "to": "outside", "how": "file", "sha256": sha256(pages).hexdigest(),
        "from": period.first.isoformat(), "until": period.last.isoformat(),
    }  # fmt: skip
    store.note(LEFT, by=author, about=told)
    try:
        return save_paper(place, pages)
    except NotSaved:
        store.note(STAYED, by=author, about={"paper": str(Paper.FIGURES), "sha256": told["sha256"]})
        raise
