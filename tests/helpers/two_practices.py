"""Two practices: what the invented one hands over of each family, and what of a chart a paper owes its reader.

What is owed is told by the questions' own intents and by whom an entry stands under, from the chart alone: no code that
makes a record is asked.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path as Folder
from typing import Any, Final

from demo_db.build import Leaving, Visited, chart_families, found, new_store, seal_practice
from demo_db.charting import Charting
from demo_db.handing_on import bill_from
from forms.answers import Absent, every
from forms.ask import Ask, Kind, Paper, Path, Printed
from forms.chart import Chart, Entry
from forms.form import About, Form, shown_asks
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Practitioner
from storage.changes import Put
from storage.store import Store
from sync.handoff.leave import make_paper
from sync.handoff.saved import save_paper
from sync.handoff.seals import seal_of
from sync.handoff.way import Way
from tests.helpers.every_paper import HOUSE, PLANTED

__all__ = ["PASSWORD", "WITH_RECORD", "Made", "Owed", "first_practice", "owed", "withheld"]

PASSWORD: Final = "copper-thistle-barley-quay-oat"
"""Of papers made for tests; it opens nothing else."""
WITH_RECORD: Final = (Paper.SUMMARY, Paper.REPORT, Paper.REFERRAL)
_OWN_PLACE: Final = frozenset({"practice", "practitioner", "provider", "release", "paper_issued", "jot", "photo"})
"""Forms of which a record has something else than answers, or nothing: who wrote, whom it goes to, the trail, pictures."""
_SENT: Final = {
    "weights": ("weight",), "feed": ("feed", "feed_event", "weight", "score"),
    "chest": ("breast_assessment", "breast_finding", "body_mark", "expression", "expressing_day"),
    "oral": ("oral_assessment", "body_mark", "score"), "infant": ("infant_assessment", "body_mark"),
    "output": ("infant_history",), "plan": ("plan", "plan_task", "feeding_amount"),
}  # fmt: skip
_EVERY_LETTER: Final = (
    "visit", "infant", "parent", "care_team", "impression", "infant_history", "parent_history", "referral",
)  # fmt: skip


@dataclass(frozen=True)
class Made:
    """A paper the first practice made: how it is called, which it is, of which chart, and the bytes with what lies beside.

    `about` is the one person it is about, `locked` the same paper made once more under `PASSWORD`.
    """

    name: str
    family: str
    kind: Paper
    chart: Chart
    about: str
    referral: str
    paper: bytes
    record: bytes | None
    signature: bytes | None
    locked: bytes | None

    @property
    def who(self) -> InfantIdentity | ParentIdentity:
        """The person it is about, as the chart has them."""
        entry = self.chart.by_id(self.about)
        assert entry is not None
        assert isinstance(entry.answers, InfantIdentity | ParentIdentity)
        return entry.answers


@dataclass(frozen=True)
class Owed:
    """One answer that has to arrive: its form and question, what was answered, who began the entry and when.

    `points` are the entries it names, where it names any that the reader may know of.
    """

    form: str
    path: str
    given: Any
    author: str
    entered: datetime
    points: tuple[str, ...] = ()


class _Handing(Leaving):
    """Leaves as the demo does; puts into each chart first what only the consultant looks at."""

    def __init__(self, *given: Any, made: list[Made], beside: Folder) -> None:
        super().__init__(*given)
        self.made, self._beside = made, beside

    def __call__(self, desk: Charting, done: Visited) -> None:
        if not done.closed:
            for entry in desk.store.chart(done.family, done.visit).all(ParentHistory, visit=done.visit):
                planted: dict[str, Any] = {"loss": True, **PLANTED}
                desk.fill(ParentHistory, *entry.place.subjects, **planted)
                desk.store.write([Put(done.family, Path("visit_safety"), HOUSE)], author=desk.author)
        super().__call__(desk, done)

    def paper(self, name: str, done: Visited, kind: Paper, **which: Any) -> None:
        if kind not in WITH_RECORD or done.called:
            return
        store, author, now = self._store, self._author, self._clock()
        chart = store.chart(done.family, done.visit)
        letter = chart.by_id(which.get("referral", ""))
        about = letter.place.subjects[0] if letter is not None else which["person"]

        def make(way: Way) -> bytes:
            return make_paper(store, chart, kind, author=author, now=now, way=way, ids=self._ids, **which)

        paper, place = make(Way("sent", "care")), self._beside / f"{name}.pdf"
        laid = {one.suffix: one.read_bytes() for one in save_paper(place, paper)}
        of_family = any(one.family == done.name and one.kind is kind for one in self.made)
        locked = None if of_family else make(Way("sent", "care", password=PASSWORD))
        self.made.append(Made(
            name, done.name, kind, chart, about, which.get("referral", ""), paper, laid.get(".json"),
            laid.get(".p7s"), locked,
        ))  # fmt: skip


def first_practice(folder: Folder) -> tuple[tuple[Made, ...], bytes]:
    """Every paper with a record that the invented practice makes of its families, and its root; half a minute."""
    store, clock, ids = new_store(folder / "store")
    try:
        author, book = found(store, clock, ids)
        seal_practice(store, author, clock)
        bill_from(Charting(store, author, ids))
        made: list[Made] = []
        (folder / "beside").mkdir()
        leaving = _Handing(store, author, clock, ids, folder / "beside", made=made, beside=folder / "beside")
        chart_families(store, clock, ids, author, book, leaving)
        return tuple(made), _root(store, author, clock())
    finally:
        store.close()


def _root(store: Store, author: str, now: datetime) -> bytes:
    return seal_of(store, author, name="", now=now).root


# --- what is owed -----------------------------------------------------------------------------------------------------


def _may(ask: Ask, kind: Paper) -> bool:
    return not ask.private and isinstance(ask.paper, Printed) and kind in ask.paper.on


def _people(chart: Chart) -> frozenset[str]:
    return frozenset(e.id for form in (InfantIdentity, ParentIdentity) for e in chart.all(form))


def _stands_under(made: Made, entry: Entry[Form]) -> bool:
    """Whether an entry is the person's own, the visit's, or that of the person together with another."""
    if entry.id in _people(made.chart):
        return entry.id == made.about
    if entry.place.subjects:
        return made.about in entry.place.subjects
    named = [
        one
        for field in ("concerns", "person", "covers")
        for given in every(getattr(entry.answers, field, None))
        for one in (given if isinstance(given, tuple) else (given,))
    ]
    people = {one for one in named if one in _people(made.chart)}
    return not people or made.about in people


def _is_told(made: Made, entry: Entry[Form]) -> bool:
    form, chart = type(entry.answers), made.chart
    if entry.struck is not None or form.about is About.PRACTICE or form.name in _OWN_PLACE:
        return False
    around_feed = getattr(entry.answers, "feed", None) is not None
    of_visit = entry.place.visit in (None, chart.visit) or (form.name == "weight" and not around_feed)
    if not of_visit or (form.name == "visit" and entry.id != chart.visit):
        return False
    if made.kind is Paper.REFERRAL:
        letter = chart.by_id(made.referral)
        sent = getattr(letter.answers, "attachments", ()) if letter is not None else ()
        with_it = {name for code in sent for name in _SENT.get(code, ())}
        if form.name not in {*_EVERY_LETTER, *with_it} or (form.name == "referral" and entry.id != made.referral):
            return False
    return _stands_under(made, entry)


def _known_there(made: Made, one: str) -> bool:
    """Whether what an answer names stands in the record too: somebody's work, the person, another entry that is told."""
    entry = made.chart.by_id(one)
    if entry is None:
        return False
    works = entry.place.form in ("provider", "practitioner")
    return works or (_is_told(made, entry) and any(_owed_of(made, entry, referring=False)))


def _owed_of(made: Made, entry: Entry[Form], *, referring: bool = True) -> Iterator[Owed]:
    for path, ask, given in shown_asks(entry.answers):
        if given in (None, "", ()) or not _may(ask, made.kind):
            continue
        points: tuple[str, ...] = ()
        if ask.kind in (Kind.REF, Kind.REFS) and "answer" not in ask.of and not isinstance(given, Absent):
            if not referring:
                continue
            points = tuple(one for one in (given if isinstance(given, tuple) else (given,)) if _known_there(made, one))
            if not points:
                continue
        yield Owed(entry.place.form, str(path), given, _name(made.chart, entry.author), entry.entered, points)


def _name(chart: Chart, author: str) -> str:
    return str(chart.person(Practitioner, author).full_name)


def owed(made: Made) -> Iterator[Owed]:
    """Every answer of the chart that the paper's record has to carry."""
    for entry in made.chart.entries:
        if _is_told(made, entry):
            yield from _owed_of(made, entry)


def withheld(made: Made) -> Iterator[tuple[str, Any, str]]:
    """Every answer in words that must not go along, with its form's name and why."""
    for entry in made.chart.entries:
        told = _is_told(made, entry)
        for _path, ask, given in shown_asks(entry.answers):
            if ask.kind not in (Kind.LINE, Kind.TEXT) or not isinstance(given, str) or not given.strip():
                continue
            if ask.private:
                yield entry.place.form, given, "private"
            elif not _may(ask, made.kind):
                yield entry.place.form, given, "not on this paper"
            elif not told and entry.place.form not in _OWN_PLACE and not _stands_under(made, entry):
                yield entry.place.form, given, "somebody else's"
