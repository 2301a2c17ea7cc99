"""The pages of the gallery that show a visit in its states, each over a real store in a folder that goes with it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path as Folder
from shutil import rmtree
from tempfile import mkdtemp

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.controls.buttons import Link
from desktop.pages.visit import VisitPage
from forms.answers import Quantity
from forms.ask import Path, asks
from forms.consent import TouchConsent
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.oral import OralAssessment
from forms.weight import WeightReading
from storage.changes import Put
from tests.helpers.twins import TwinVisit, twin_visit
from tests.helpers.visits import settled, visit_page_of

__all__ = ["SCREENS", "Framed"]


class Framed(QWidget):
    """A visit's page; its store is put away when it goes."""

    def __init__(
        self, show: Callable[[VisitPage, TwinVisit], None], make: Callable[[Folder], TwinVisit] = twin_visit
    ) -> None:
        super().__init__()
        folder = Folder(mkdtemp(prefix="gallery-"))
        made = make(folder / "store")
        self.page = visit_page_of(made)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.page)
        show(self.page, made)
        self.page.home.save()
        settled(made)
        self.page._add_up()
        self.page.across.hide()
        # Nothing of the widget itself may be held here, or it would never go.
        self.destroyed.connect(partial(_put_away, made, folder))


def _put_away(made: TwinVisit, folder: Folder, _gone: object = None) -> None:
    made.lane.close()
    rmtree(folder)


def _mouth(page: VisitPage, made: TwinVisit) -> None:
    """As one sees it most of the time: a page half answered, a jot, figures."""
    touch = page.home.binding(TouchConsent, made.ida)
    touch.put("agreed", "yes")
    touch.put("given_by", "Mara")
    touch.put("given_at", made.at(-0.1))
    page.home.binding(InfantAssessment, made.ida).put("state_on_arrival", "quiet_alert")
    mouth = page.home.binding(OralAssessment, made.ida)
    mouth.put("consent", next(iter(asks(OralAssessment)["consent"].options)))
    mouth.put("tongue_lift", ("edges_curl", "middle_stays"))
    page.aside.jots.entry.setText("prefers head to her left")
    page.aside.jots.keep()
    page.go("look", made.ida, "look.tongue")


def _weighing(page: VisitPage, made: TwinVisit) -> None:
    """A weight being typed that moves too far, asked about in place."""
    page.go("weigh", made.ida)
    binding = page.home.begin(WeightReading, made.ida)
    binding.put("source", "seen")
    binding.put("taken", made.at())
    binding.put("weight", Quantity("3240", "g", 3240))
    assert page.middle.page is not None
    page.middle.page.show_entry("weight", binding.entity)


def _urgent(page: VisitPage, made: TwinVisit) -> None:
    """An emergency, and a same-day sign under it."""
    told = page.home.binding(InfantHistory, made.ida)
    told.put("wets_24h", 2)
    told.put("stools_24h", 0)
    page.home.binding(InfantAssessment, made.ida).put("waking", "hard_to_wake")
    page.go("story", made.ida, "story.diapers")


def _sick(page: VisitPage, made: TwinVisit) -> None:
    """A dozen urgent signs at once, calmer prompts, one of them being closed, and one that fires no longer."""
    seen = page.home.binding(InfantAssessment, made.ida)
    seen.put("tone", ("limp",))
    page.home.save()
    settled(made)
    seen.put("tone", ("usual",))
    for name, value in (
        ("waking", "hard_to_wake"), ("temperature", Quantity("38.4", "C", 384)), ("colour", ("yellow", "pale")),
        ("yellow_extent", ("legs",)), ("mouth_moisture", "dry"), ("breathing", ("grunting",)),
    ):  # fmt: skip
        seen.put(name, value)
    told = page.home.binding(InfantHistory, made.ida)
    for name, answer in (
        ("wets_24h", 0), ("stools_24h", 0), ("sleepy_feeds", 3), ("stool_colour", ("pale",)), ("vomit", ("green",)),
        ("urine_colour", ("urates", "dark")), ("feeding_vigour", "refuses"),
    ):  # fmt: skip
        told.put(name, answer)
    page.home.binding(InfantHistory, made.juno).put("wets_24h", 5)
    page.go("plan", made.juno, "plan.prompts")
    next(link for link in page.aside.calm.findChildren(Link) if link.text() == "Something is done").click()


def _shared(page: VisitPage, made: TwinVisit) -> None:
    """What the family sees when it looks on."""
    page.go("story", made.mara, "story.goal")
    page.toggle_shared()


def _torn(page: VisitPage, made: TwinVisit) -> None:
    """Two birth weights stand, and touch was declined."""
    page.home.binding(TouchConsent, made.ida).put("agreed", "no")
    for grams in (2310, 2130):
        put = Put(made.ida, Path("birth_weight"), Quantity(str(grams), "g", grams), replaces=())
        made.store.write((put,), author=made.author)
    page.home.reload()
    settled(made)
    page.go("story", made.ida, "story.born")


def _signed(page: VisitPage, made: TwinVisit) -> None:
    """A visit that was signed."""
    made.store.sign(made.visit, author=made.author)
    page.home.reload()
    settled(made)
    page.go("arrive", made.ida, "arrive.touch")


SCREENS: list[tuple[str, Callable[[], QWidget]]] = [
    ("visit-mouth", lambda: Framed(_mouth)),
    ("visit-weighing", lambda: Framed(_weighing)),
    ("visit-urgent", lambda: Framed(_urgent)),
    ("visit-many-prompts", lambda: Framed(_sick)),
    ("visit-shared", lambda: Framed(_shared)),
    ("visit-torn", lambda: Framed(_torn)),
    ("visit-signed", lambda: Framed(_signed)),
]
