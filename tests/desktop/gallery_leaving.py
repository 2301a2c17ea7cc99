"""The pages of the gallery from a watched feed to the papers, each over a real store."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path as Folder

from PySide6.QtWidgets import QWidget

from desktop.controls.buttons import Link
from desktop.pages.papers import Papers
from desktop.pages.visit import VisitPage
from desktop.sheets.in_view import InView
from forms.ask import Path as Register
from forms.infant import InfantAssessment
from forms.plan import Plan
from forms.referral import PaperIssued
from forms.report import ProviderReport
from storage.changes import Put
from tests.desktop.gallery_visit import Framed
from tests.helpers import leaving
from tests.helpers.kept import found, whole_in_store
from tests.helpers.students import TAM, student_charts, student_in
from tests.helpers.twins import TwinVisit
from tests.helpers.visits import settled

__all__ = ["SCREENS"]


def _at(spot: str, page: VisitPage, made: TwinVisit) -> None:
    leaving.fill(made)
    page.home.reload()
    settled(made)
    leaving.SPOTS[spot](made, page)
    settled(made)


def _drawn(page: VisitPage, made: TwinVisit) -> None:
    _at("leave-papers", page, made)
    papers = found(page.middle, Papers)
    papers.refresh()
    settled(made)
    assert papers.shown is not None, papers.told.said()


def _report(page: VisitPage, made: TwinVisit) -> None:
    leaving.fill(made)
    page.home.reload()
    settled(made)
    report = page.home.binding(ProviderReport, made.ida)
    report.put("must_know", "Ida transfers little from the left side; her weight is back at birth weight on day 14.")
    report.put("asked", "Please look at her left hip, which she holds still at the breast.")
    page.home.save()
    settled(made)
    page.go("leave", made.ida, "leave.report")


def _tab(key: str, page: VisitPage, made: TwinVisit) -> None:
    """One paper in view, or why it is not made yet."""
    made.store.write((Put(made.mara, Register("language"), "Spanish"),), author=made.author)
    leaving.fill(made)
    page.home.reload()
    settled(made)
    InView.of(page.home).keep(PaperIssued, "", key)
    page.go("leave", made.ida, "leave.papers")
    papers = found(page.middle, Papers)
    papers.refresh()
    settled(made)


def _nearly(section: str, page: VisitPage, made: TwinVisit) -> None:
    """All but a few questions answered, as it is in the car."""
    seen, plan = page.home.binding(InfantAssessment, made.ida), page.home.binding(Plan)
    for field in ("cord", "skin", "cues"):
        seen.put(field, None)
    plan.put("left_with", None)
    page.home.save()
    settled(made)
    page.go("leave", made.ida, section)


def _signed(page: VisitPage, made: TwinVisit) -> None:
    made.store.sign(made.visit, author=made.author)
    page.home.reload()
    settled(made)
    page.go("leave", made.ida, "leave.sign")


def _with_student(supervisor: str | None, folder: Folder) -> TwinVisit:
    made = whole_in_store(folder)
    student_in(made, supervisor)
    student_charts(made)
    return made


def _students(section: str, page: VisitPage, made: TwinVisit) -> None:
    """What a student charted before the signature, read answer by answer; on the finish list, whose supervision."""
    page.window().resize(1280, 800)  # another width lays the page anew, closed
    page.window().show()
    settled(made)
    page.go("leave", made.ida, section)
    settled(made)
    for link in page.middle.findChildren(Link):
        if link.accessibleName().startswith("Read:"):
            link.click()
            break
    settled(made)


def _qualified(page: VisitPage, made: TwinVisit) -> None:
    """Whoever charted as a student is none any more, and until when she was is asked."""
    made.clock.pass_by(hours=1)
    made.store.write((Put(TAM, Register("practice_role"), "consultant"),), author=made.author)
    page.home.reload()
    settled(made)
    _students("leave.finish", page, made)


def _signed_by_student(page: VisitPage, made: TwinVisit) -> None:
    """A signature from before its maker was written down as a student."""
    made.store.write((Put(TAM, Register("practice_role"), None),), author=made.author)
    made.store.sign(made.visit, author=TAM)
    made.store.write((Put(TAM, Register("practice_role"), "student"),), author=made.author)
    page.home.reload()
    settled(made)
    page.go("leave", made.ida, "leave.sign")


def _framed(show: Callable[[VisitPage, TwinVisit], None]) -> Callable[[], QWidget]:
    return partial(Framed, show)


def _whole(show: Callable[[VisitPage, TwinVisit], None]) -> Callable[[], QWidget]:
    return partial(Framed, show, whole_in_store)


_SPOTS = (
    "feed-which", "feed-latch", "feed-weights", "look-parent", "plan-findings", "plan-urgent", "plan-tasks",
    "plan-amounts", "leave-letter",
)  # fmt: skip
SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    *((spot, _framed(partial(_at, spot))) for spot in _SPOTS),
    ("leave-papers", _framed(_drawn)),
    ("leave-report", _framed(_report)),
    ("leave-papers-report", _whole(partial(_tab, "report"))),
    ("leave-papers-summary", _whole(partial(_tab, "summary"))),
    ("leave-papers-spanish", _whole(partial(_tab, "family_plan.es"))),
    ("leave-finish", _whole(partial(_nearly, "leave.finish"))),
    ("leave-sign", _whole(partial(_nearly, "leave.sign"))),
    ("leave-signed", _whole(_signed)),
    ("leave-sign-student", partial(Framed, partial(_students, "leave.sign"), partial(_with_student, "R. Achterberg"))),
    ("leave-finish-student", partial(Framed, partial(_students, "leave.finish"), partial(_with_student, None))),
    ("leave-finish-qualified", partial(Framed, _qualified, partial(_with_student, "R. Achterberg"))),
    ("leave-signed-student", partial(Framed, _signed_by_student, partial(_with_student, "R. Achterberg"))),
]
