"""The pages of the gallery that show milk: a baby's log, its 24 hours as a ring and a table, and expressing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtWidgets import QWidget

from desktop.open_chart import OpenChart
from desktop.pages.visit import VisitPage
from desktop.sheets.log_day import LogDay
from forms.answers import Quantity, Side
from forms.expressing import ExpressingDay, Expression
from forms.feeding_log import FeedingLog, LogLine
from forms.form import Form
from forms.plan import FeedingAmount
from tests.desktop.gallery_visit import Framed
from tests.helpers.twins import TwinVisit

__all__ = ["SCREENS", "write", "write_log"]


def mL(number: int) -> Quantity:  # noqa: N802 - the unit as it is written
    return Quantity(str(number), "mL", number)


# Hours before the visit, kind, and what is written with it.
DAY: tuple[tuple[float, str, dict[str, Any]], ...] = (
    (23.5, "left", {"minutes_left": 15, "wet": True}),
    (23.1, "right", {"minutes_right": 10}),
    (20.4, "both", {"minutes_left": 12, "minutes_right": 14, "stool": "yellow", "wet": True}),
    (18.0, "bottle", {"milk": "own", "amount": mL(45)}),
    (17.5, "pumped", {"pumped_left": mL(40), "pumped_right": mL(25)}),
    (14.9, "left", {"minutes_left": 22, "wet": True, "stool": "green"}),
    (9.8, "right", {"minutes_right": 18, "wet": True}),
    (7.2, "tube_breast", {"milk": "formula", "amount": mL(20), "minutes_left": 20}),
    (4.5, "both", {"minutes_left": 10, "minutes_right": 10, "stool": "yellow", "wet": True, "brought_up": "little"}),
    (1.2, "bottle", {"milk": "formula", "amount": mL(30), "wet": True}),
)


def write(home: OpenChart, form: type[Form], who: str, **answers: Any) -> str:
    """A new entry with these answers, typed as one would; its id."""
    binding = home.begin(form, who)
    for name, value in answers.items():
        binding.put(name.replace("__", "@"), value)
    return binding.entity


def write_log(home: OpenChart, made: TwinVisit, who: str) -> None:
    """A whole day of a log, and one line without a time."""
    for before, kind, more in DAY:
        answers: dict[str, Any] = {"kind": kind, "starts": made.at(-before), "feeder": made.mara} | more
        if kind in ("left", "both", "right", "tube_breast"):
            minutes = sum(more.get(side, 0) for side in ("minutes_left", "minutes_right"))
            answers["ends"] = made.at(-before + minutes / 60)
        write(home, LogLine, who, **answers)
    write(home, LogLine, who, kind="diaper", wet=True)
    log = home.binding(FeedingLog, who)
    log.put("source", "notes")
    log.put("kept_by", "Mara and her mother")
    log.put("complete", "unsure")


def _log(page: VisitPage, made: TwinVisit) -> None:
    write_log(page.home, made, made.ida)
    page.go("story", made.ida, "story.log")


def _line(page: VisitPage, made: TwinVisit) -> None:
    """A line being written."""
    write(page.home, LogLine, made.ida, kind="left", starts=made.at(-3), feeder=made.mara, minutes_left=12)
    page.go("story", made.ida, "story.log")
    binding = page.home.begin(LogLine, made.ida)
    binding.put("kind", "bottle")
    assert page.middle.page is not None
    page.middle.page.show_entry("log_line", binding.entity)


def _ring(page: VisitPage, made: TwinVisit) -> None:
    write_log(page.home, made, made.ida)
    page.go("story", made.ida, "story.day")


def _table(page: VisitPage, made: TwinVisit) -> None:
    _ring(page, made)
    assert page.middle.page is not None
    day = page.middle.page.findChild(LogDay)
    assert day is not None
    day.swap.setChecked(True)


def _session(page: VisitPage, made: TwinVisit) -> None:
    """Sessions written down, the last of them open."""
    pumped: dict[str, Any] = {"way__left": "electric", "way__right": "electric", "source": "told"}
    write(page.home, Expression, made.mara, began=made.at(-6), ended=made.at(-5.7), amount__left=mL(40),
          amount__right=mL(25), use=("fridge",), kept_for="early_or_ill", **pumped)  # fmt: skip
    last = write(page.home, Expression, made.mara, began=made.at(-1), ended=made.at(-0.7), amount__left=mL(35),
                 amount__right=mL(0), use=("freezer",), kept_for="term_home", **pumped)  # fmt: skip
    binding = page.home.binding(Expression, made.mara, entity=last)
    for side in Side:
        binding.put(f"nipple_width@{side}", Quantity("17", "mm", 17))
        binding.put(f"flange@{side}", Quantity("21", "mm", 21))
    page.go("story", made.mara, "story.sessions")


def _expressing(page: VisitPage, made: TwinVisit) -> None:
    day = page.home.binding(ExpressingDay, made.mara)
    day.put("expresses", value=True)
    day.put("sessions_24h", 6)
    day.put("longest_gap", Quantity("7", "h", 420))
    day.put("total_24h", mL(420))
    page.go("story", made.mara, "story.expressing")


def _amounts(page: VisitPage, made: TwinVisit) -> None:
    """A supplement worked out beside what is planned."""
    plan = page.home.binding(FeedingAmount, made.ida)
    plan.put("extra_milk", value=True)
    plan.put("per_kg", 150)
    plan.put("per_kg_origin", "provider")
    plan.put("feeds_per_day", 8)
    plan.put("measured_24h", mL(180))
    page.go("plan", made.ida, "plan.amounts")


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("milk-log", lambda: Framed(_log)),
    ("milk-line", lambda: Framed(_line)),
    ("milk-ring", lambda: Framed(_ring)),
    ("milk-table", lambda: Framed(_table)),
    ("milk-sessions", lambda: Framed(_session)),
    ("milk-expressing", lambda: Framed(_expressing)),
    ("milk-amounts", lambda: Framed(_amounts)),
]
