"""The plan made together: goal, three things to do, what to watch for, and what comes next."""

from __future__ import annotations

from desktop.sheets.amounts import AMOUNTS
from desktop.sheets.impression import impression
from desktop.sheets.pictures import PICTURES
from desktop.sheets.plan_tasks import PlanTasks
from desktop.sheets.prompted import prompted
from desktop.sheets.sheet import Compose, Section
from desktop.sheets.urgent import urgent
from forms.plan import Plan, PlanTask

__all__ = ["plan_of_baby", "plan_of_parent"]


def _goal(c: Compose) -> None:
    c.ask("goal", "went_well", "tried_and_kept")


def _tasks(c: Compose) -> None:
    c.note("Three at most: a family keeps three. They stand on the plan as you write them here.")
    c.widget(PlanTasks, "order", "what", "how_often", "until", "who", "concerns")


def _care(c: Compose) -> None:
    c.ask("expressing", "comfort_care", "advice", "chose_otherwise")


def _watch(c: Compose) -> None:
    c.note("The emergency lines stand on the plan whether or not anything is ticked here.")
    c.heading("The baby")
    c.ask("watch_baby", "watch_baby_words")
    c.heading("The parent")
    c.ask("watch_parent", "watch_parent_words")


def _next(c: Compose) -> None:
    c.ask("followup_kind", "weight_check_by", "copy_to")


def _shared() -> tuple[Section, ...]:
    return (
        Section("plan.goal", "Goal", Plan, _goal, "The goal, and what went well"),
        Section("plan.tasks", "Tasks", PlanTask, _tasks, "Do these three things"),
        Section("plan.care", "Care", Plan, _care, "Expressing, comfort, advice"),
        Section("plan.watch", "Watch", Plan, _watch, "When to call"),
        Section("plan.next", "Next", Plan, _next, "What comes next"),
    )


def plan_of_parent() -> tuple[Section, ...]:
    """The sections of the plan while a parent is charted."""
    return (*impression(), urgent(), prompted(), PICTURES, *_shared())


def plan_of_baby() -> tuple[Section, ...]:
    """The sections of the plan while a baby is charted; the amounts of milk are the baby's own."""
    goal, tasks, *rest = _shared()
    return (*impression(), urgent(), prompted(), PICTURES, goal, tasks, AMOUNTS, *rest)
