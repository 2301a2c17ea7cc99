"""Leaving: said back, how the plan is left, letters, what is still blank, the signature, and the papers."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from desktop.sheets.arrive import VISIT_END
from desktop.sheets.newer import NewerEntries
from desktop.sheets.receipt import receipt
from desktop.sheets.referral import referral
from desktop.sheets.report import REPORT
from desktop.sheets.sheet import Compose, Guard, Here, Section
from forms.plan import Plan
from forms.visit import Visit

__all__ = ["leave"]

# The pages behind these widgets ask where every question stands, so they are looked up when one is laid.


def _finish(here: Here) -> QWidget:
    from desktop.pages.finish import FinishList

    return FinishList(here.home)


def _signing(here: Here) -> QWidget:
    from desktop.pages.signing import Signing

    return Signing(here.home)


def _papers(here: Here) -> QWidget:
    from desktop.pages.papers import Papers

    return Papers(here)


def _newer(here: Here) -> QWidget:
    return NewerEntries(here.home)


def _blank(c: Compose) -> None:
    c.widget(_finish)
    c.widget(_newer)


def _back(c: Compose) -> None:
    c.ask("teach_back", "language", "left_how", "left_with", "left_at")


def leave() -> tuple[Section, ...]:
    """The sections of leaving, the same for a parent and for a baby; what is written goes by the person charted."""
    return (
        Section("leave.finish", "Finish", Visit, _blank, "What is still blank", Guard.NOT_SHARED),
        Section("leave.back", "Said back", Plan, _back, "Talked through, and left with them"),
        VISIT_END,
        *referral(),
        REPORT,
        *receipt(),
        Section("leave.sign", "Sign", Visit, lambda c: c.widget(_signing), "Sign this visit", Guard.NOT_SHARED),
        Section("leave.papers", "Papers", Visit, lambda c: c.widget(_papers), "Papers for {name}"),
    )
