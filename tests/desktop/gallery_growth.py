"""The pages of the gallery that show how a baby grows: a line back up, twins by corrected age, unresolved, none yet."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path as Folder

from PySide6.QtWidgets import QWidget

from desktop.controls.plotted import Plotted
from desktop.pages.visit import VisitPage
from forms.answers import Moment, Quantity
from forms.ask import Path
from forms.chart import Place
from forms.weight import WeightReading
from storage.changes import Begin, Change, Put, StrikeOut
from tests.desktop.gallery_visit import Framed
from tests.helpers import kit_walk
from tests.helpers.twins import ZONE, TwinVisit, twin_visit
from tests.helpers.visits import settled

__all__ = ["MORE", "SCREENS", "WREN", "put_weights", "strike_all", "term_baby"]

WREN = (
    (3110, (2026, 2, 12, 20, 0), "seen"), (3075, (2026, 2, 14, 15, 30), "told"), (3190, (2026, 2, 16, 14, 30), "document"),
    (3430, (2026, 2, 23, 15, 0), "seen"), (3720, (2026, 3, 2, 15, 0), "seen"),
)  # fmt: skip


def put_weights(made: TwinVisit, baby: str, *weights: tuple[int, tuple[int, ...], str], unit: str = "g") -> list[str]:
    """Weights written down for a baby: grams, when (UTC), known from; the ids of the entries."""
    changes: list[Change] = []
    ids = []
    for grams, when, source in weights:
        entity = made.ids()
        ids.append(entity)
        changes.append(Begin(entity, Place("weight", made.family, made.visit, (baby,))))
        typed = Quantity(str(grams), "g", grams)
        if unit == "lb_oz":
            pounds, ounces = divmod(round(grams / 28.349523125 * 10), 160)
            typed = Quantity(f"{pounds} lb {ounces / 10} oz", "lb_oz", grams)
        answers = {
            "weight": typed, "taken": Moment(datetime(*when, tzinfo=UTC), ZONE), "state": "bare", "source": source,  # type: ignore[misc,arg-type]
            "told_by": "Mara" if source == "told" else None, "document": "red book" if source == "document" else None,
            "by_whom": "Rosalind" if source == "seen" else None,
        }  # fmt: skip
        changes += [Put(entity, Path(name), value) for name, value in answers.items() if value is not None]
    made.store.write(changes, author=made.author)
    return ids


def term_baby(made: TwinVisit, baby: str, *, sex: str = "f", grams: int = 3420, weeks: int = 39) -> None:
    """Let a baby of the twins' family be one born at term, with a sex for the table."""
    answers = {"sex": sex, "birth_weight": Quantity(str(grams), "g", grams), "gestation_weeks": weeks}
    made.store.write([Put(baby, Path(name), value) for name, value in answers.items()], author=made.author)


def _grown(folder: Folder) -> TwinVisit:
    made = twin_visit(folder)
    strike_all(made)
    term_baby(made, made.ida)
    put_weights(made, made.ida, *WREN)
    return made


def strike_all(made: TwinVisit) -> None:
    """The weights the twins begin with make way for others."""
    chart = made.store.chart(made.family, made.visit)
    strikes = [StrikeOut(entry.id, "made for this picture") for entry in chart.all(WeightReading)]
    made.store.write(strikes, author=made.author)


def _pounds(folder: Folder) -> TwinVisit:
    made = twin_visit(folder)
    strike_all(made)
    term_baby(made, made.ida)
    put_weights(made, made.ida, *WREN, unit="lb_oz")
    return made


def _preterm(folder: Folder) -> TwinVisit:
    made = twin_visit(folder)
    made.store.write([Put(made.juno, Path("sex"), "f")], author=made.author)
    put_weights(made, made.juno, (2400, (2026, 3, 3, 15, 0), "seen"))
    made.clock.pass_by(days=40)
    put_weights(made, made.juno, (2900, (2026, 3, 24, 15, 0), "told"), (3240, (2026, 4, 10, 15, 0), "seen"))
    return made


def _before_term(folder: Folder) -> TwinVisit:
    made = twin_visit(folder)
    made.store.write([Put(made.ida, Path("sex"), "f")], author=made.author)
    (around,) = put_weights(made, made.ida, (2470, (2026, 3, 3, 15, 20), "seen"))
    made.store.write([Put(around, Path("feed"), made.ids())], author=made.author)
    put_weights(made, made.ida, (2440, (2026, 3, 3, 15, 0), "seen"), (2450, (2026, 3, 3, 15, 30), "seen"))
    return made


def _torn(folder: Folder) -> TwinVisit:
    made = _grown(folder)
    (entity,) = put_weights(made, made.ida, (3900, (2026, 3, 3, 15, 0), "seen"))
    for grams in (3900, 3390):
        put = Put(entity, Path("weight"), Quantity(str(grams), "g", grams), replaces=())
        made.store.write((put,), author=made.author)
    return made


def _empty(folder: Folder) -> TwinVisit:
    made = twin_visit(folder)
    strike_all(made)
    made.store.write([Put(made.ida, Path("birth_weight"), None)], author=made.author)
    return made


def _at_ida(page: VisitPage, made: TwinVisit) -> None:
    settled(made)
    page.go("weigh", made.ida, "weigh.growth")


def _at_juno(page: VisitPage, made: TwinVisit) -> None:
    settled(made)
    page.go("weigh", made.juno, "weigh.growth")


def _tables() -> QWidget:
    """Every plot swapped for its table."""
    framed = Framed(_at_ida, _grown)
    framed.resize(1280, 800)
    framed.show()
    kit_walk.settle()
    for plotted in framed.findChildren(Plotted):
        plotted.swap.setChecked(True)
    return framed


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("growth", lambda: Framed(_at_ida, _grown)),
    ("growth-preterm", lambda: Framed(_at_juno, _preterm)),
    ("growth-unresolved", lambda: Framed(_at_ida, _torn)),
    ("growth-table", _tables),
    ("growth-empty", lambda: Framed(_at_ida, _empty)),
]
MORE: list[tuple[str, Callable[[], QWidget]]] = [
    ("growth-pounds", lambda: Framed(_at_ida, _pounds)),
    ("growth-before-term", lambda: Framed(_at_ida, _before_term)),
]
"""Laid out like the first of them, with other words."""
