"""Every paper of every invented family, sealed on Letter and drawn on A4, as programs that know nothing of ours read it.

Beside them the index of a release package, the practice's figures and the sheet for before a visit.

Before the notes are signed, words are put where only the consultant looks: private answers of each parent, and of the
household. No paper may carry them.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path as Place
from typing import Any

import pikepdf

from demo_db.build import Leaving, Visited, chart_families, found, new_store, seal_practice
from demo_db.charting import Charting
from demo_db.given_out import PASSWORD, YEAR, asked_for, lay_sheet, leave_figures, leave_package
from demo_db.handing_on import bill_from
from forms.ask import Paper, Path
from forms.chart import Chart
from forms.parent_history import ParentHistory
from forms.practice import Practice
from forms.visit import Jot
from storage.changes import Put
from sync.handoff.figures_out import figures_shown
from sync.handoff.leave import outline_of
from sync.handoff.letter import write_letter
from sync.handoff.package import look_at

__all__ = ["OTHERS", "PLANTED", "EveryPaper", "ReadPaper", "every_paper"]

PLANTED = {
    "loss_told": "Kept behind the lavender drawer", "mood_told": "Spoken low beside the copper kettle",
    "safety_told": "Only between us and the heron",
}  # fmt: skip
OTHERS = {
    "lindqvist-osei-package": Paper.PACKAGE, "practice-figures-2026": Paper.FIGURES, "before-the-visit": None,
}  # fmt: skip
"""What leaves beside the papers of visits, by the name of its file."""
_SIZES = ("letter", "a4")
HOUSE = "Ring only when the blue cart is gone"
WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">')


@dataclass(frozen=True, slots=True)
class ReadPaper:
    """One paper in one size, as it is read: its pages' words, the places of each word, its fonts and what it is.

    `kind` is None for the sheet for before a visit.
    """

    name: str
    kind: Paper | None
    size: str
    sealed: bool
    large: bool
    pages: tuple[str, ...]
    boxes: tuple[tuple[float, float, float, float], ...]
    fonts: tuple[str, ...]
    tagged: bool
    title: str
    language: str
    paper: tuple[float, float]
    everything: bytes

    @property
    def words(self) -> str:
        """All of it as one line."""
        return " ".join(self.pages)


@dataclass(frozen=True, slots=True)
class EveryPaper:
    """All of them, the charts they come from by family, and what no paper may say."""

    papers: tuple[ReadPaper, ...]
    charts: tuple[Chart, ...]
    private: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Made:
    name: str
    done: Visited
    kind: Paper
    which: dict[str, Any]
    at: Any


class _Keeping(Leaving):
    """Leaves as the demo does, and remembers what was asked for."""

    made: list[_Made]

    def __call__(self, desk: Charting, done: Visited) -> None:
        chart = desk.store.chart(done.family, done.visit)
        for entry in chart.all(ParentHistory, visit=done.visit):
            if not done.closed:
                planted: dict[str, Any] = {"loss": True, **PLANTED}
                desk.fill(ParentHistory, *entry.place.subjects, **planted)
                desk.store.write([Put(done.family, Path("visit_safety"), HOUSE)], author=desk.author)
        super().__call__(desk, done)

    def paper(self, name: str, done: Visited, kind: Paper, **which: Any) -> None:
        self.made.append(_Made(name, done, kind, which, self._clock()))
        super().paper(name, done, kind, **which)


def every_paper(folder: Place) -> EveryPaper:
    """Make and read them all; about half a minute."""
    store, clock, ids = new_store(folder / "store")
    for size in _SIZES:
        (folder / size).mkdir()
    try:
        author, book = found(store, clock, ids)
        seal_practice(store, author, clock)
        desk = Charting(store, author, ids)
        bill_from(desk)
        leaving = _Keeping(store, author, clock, ids, folder / "letter")
        leaving.made = []
        done = chart_families(store, clock, ids, author, book, leaving)
        now = clock()
        lay_sheet(store, done.arlo.family, folder / "letter", author=author, now=now)
        leave_package(store, done.bram, folder / "letter", author=author, now=now, ids=ids)
        leave_figures(store, folder / "letter", author=author, now=now)
        desk.fill(Practice, paper_size="a4")
        for one in leaving.made:
            chart = store.chart(one.done.family, one.done.visit)
            outline = outline_of(chart, one.kind, author=author, now=one.at, **one.which)
            drawn = write_letter(outline, made=one.at, sealed=chart.signed() is not None)
            (folder / "a4" / f"{one.name}.pdf").write_bytes(drawn)
        lay_sheet(store, done.arlo.family, folder / "a4", author=author, now=now)
        chart = store.chart(done.bram.family)
        shown = {
            "lindqvist-osei-package": look_at(store, asked_for(chart, done.bram), author=author, now=now),
            "practice-figures-2026": figures_shown(store, YEAR, author=author, now=now),
        }
        for name, drawn in shown.items():
            (folder / "a4" / f"{name}.pdf").write_bytes(drawn)
        charts = tuple(store.chart(line.id) for line in store.caseload())
        jots = (str(entry.answers.words) for chart in charts for entry in chart.all(Jot))
    finally:
        store.close()
    _open(folder / "letter" / "lindqvist-osei-package.pdf", PASSWORD)
    papers = [
        _read(folder / size / f"{one.name}.pdf", one.kind, size, sealed=not one.done.called and size == "letter",
              large=bool(one.which.get("large")))
        for one in leaving.made
        for size in _SIZES
    ]  # fmt: skip
    papers += [
        _read(folder / size / f"{name}.pdf", kind, size, sealed=kind is not None and size == "letter")
        for name, kind in OTHERS.items()
        for size in _SIZES
    ]
    return EveryPaper(tuple(papers), charts, (*PLANTED.values(), HOUSE, *jots))


def _open(path: Place, password: str) -> None:
    """The same paper without its lock, for readers that are not told a password here."""
    with pikepdf.open(path, password=password, allow_overwriting_input=True) as locked:
        locked.save(path)


def _tool(*command: object) -> str:
    return subprocess.run([str(word) for word in command], capture_output=True, text=True, check=True).stdout


def _read(path: Place, kind: Paper | None, size: str, *, sealed: bool, large: bool = False) -> ReadPaper:
    info = dict(line.split(":", 1) for line in _tool("pdfinfo", path).splitlines() if ":" in line)
    pages = tuple(" ".join(page.split()) for page in _tool("pdftotext", path, "-").split("\f")[:-1])
    boxes = tuple(
        (float(a), float(b), float(c), float(d)) for a, b, c, d in WORD.findall(_tool("pdftotext", "-bbox", path, "-"))
    )
    with pikepdf.open(path) as pdf:
        language = str(pdf.Root.Lang)
        sheet = tuple(float(edge) for edge in pdf.pages[0].mediabox)
    return ReadPaper(
        path.stem, kind, size, sealed, large, pages, boxes, tuple(_tool("pdffonts", path).splitlines()[2:]),
        info["Tagged"].strip() == "yes", info["Title"].strip(), language, (sheet[2], sheet[3]),
        b"\n".join(_inside(path.read_bytes())),
    )  # fmt: skip


def _inside(data: bytes) -> Iterator[bytes]:
    """Every stream of a file and every file in it, those in papers that lie inside it too."""
    with pikepdf.open(BytesIO(data)) as pdf:
        yield from (thing.read_bytes() for thing in pdf.objects if isinstance(thing, pikepdf.Stream) and _plain(thing))
        for spec in pdf.attachments.values():
            held = spec.get_file().read_bytes()
            yield held
            if held.startswith(b"%PDF-"):
                yield from _inside(held)


def _plain(stream: pikepdf.Stream) -> bool:
    """Whether a stream can be unpacked here; pictures need no looking into, the papers have none."""
    return stream.get("/Subtype") != pikepdf.Name.Image
