"""Every urgent rule fires at its edge in the open window, with the answer that fires it, and not beside it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QApplication

from desktop.draft import EntryBinding
from forms.answers import Moment
from forms.ask import Path as Register
from forms.chart import Place, entry_id
from forms.clinical.prompts import INFANT_RULES, PARENT_RULES, Level, prompts
from forms.feed import FeedObservation
from forms.form import Form
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.oral import OralAssessment
from forms.parent_history import ParentHistory
from forms.people import Family, InfantIdentity, ParentIdentity
from forms.practice import Practice, Practitioner
from forms.visit import Visit
from forms.weight import WeightReading
from storage.changes import Begin, Put
from storage.keys import FLOOR
from storage.store import Store
from storage.vault import set_up
from tests.forms.clinical.charted import BABY, FAMILY, NOW, PARENT, VISIT, ZONE, charted, grams, moment
from tests.forms.clinical.test_prompts_infant import OUTPUT, SIGNS, WEIGHTS
from tests.forms.clinical.test_prompts_parent import ROWS
from tests.helpers.charting import Charter
from tests.helpers.person import Machine, said

PASSPHRASE = "weld over the kitchen window"
AUTHOR = "9" * 32
NOT_GAINING = "infant_not_gaining"

Row = tuple[str, Level, dict[str, Any], dict[str, Any]]
PARENT_ROWS: list[Row] = [(rule, level, {"parent": edge}, {"parent": beside}) for rule, level, edge, beside in ROWS]
URGENT = [row for row in (*SIGNS, *WEIGHTS, *OUTPUT, *PARENT_ROWS) if row[1] >= Level.SAME_DAY]


def entered(store: Store, form: type[Form], entity: str, place: Place, **answers: Any) -> None:
    given = (Put(entity, Register(name), value) for name, value in answers.items())
    store.write((Begin(entity, place), *given), author=AUTHOR)


def begun(store: Store) -> None:
    """The practice, and one parent and one baby at a visit that began half an hour ago; nothing answered yet."""
    entered(
        store, Practice, entry_id(Practice), Place("practice"), practice_name="Weld Row Feeding Visits",
        country="us", emergency_number="911", crisis_line="988", weight_unit="g", volume_unit="mL",
        temperature_unit="C", paper_size="letter", time_zone=ZONE,
    )  # fmt: skip
    entered(store, Practitioner, AUTHOR, Place("practitioner"), full_name="Rowan Vale", phone="555 0190")
    entered(store, Family, FAMILY, Place("family", FAMILY), family_name="Edgeworth-Bright")
    entered(store, ParentIdentity, PARENT, Place("parent", FAMILY), full_name="Mara Edgeworth")
    entered(store, InfantIdentity, BABY, Place("infant", FAMILY), called_name="Ida", tag_shape="circle")
    start = Moment(NOW - timedelta(minutes=30), ZONE)
    entered(store, Visit, VISIT, Place("visit", FAMILY), kind="home", start=start, practitioner=AUTHOR)


class Charted:
    """One open visit whose answers are changed from row to row through the bindings of its page."""

    def __init__(self, person: Charter) -> None:
        self.person, self.home = person, person.home
        feed = self.home.begin(FeedObservation, PARENT, BABY)
        weight = self.home.begin(WeightReading, BABY)
        self._bindings: dict[str, EntryBinding] = {
            "identity": self.home.binding(InfantIdentity, entity=BABY),
            "seen": self.home.binding(InfantAssessment, BABY),
            "told": self.home.binding(InfantHistory, BABY),
            "mouth": self.home.binding(OralAssessment, BABY),
            "parent": self.home.binding(ParentHistory, PARENT),
            "feed": feed,
            "weight": weight,
        }
        self._put: dict[tuple[str, str], Any] = {}

    def show(self, *, hours: int | None = 60, losing: int | None = None, **answers: dict[str, Any]) -> None:
        """Have exactly these answers stand, as `charted` builds them; the one that was last put is looked at next."""
        wanted: dict[tuple[str, str], Any] = {("identity", "birth_weight"): grams(4000)}
        if hours is not None:
            wanted["identity", "born"] = moment(NOW - timedelta(hours=hours))
        if losing is not None:
            wanted["weight", "taken"] = moment(NOW - timedelta(minutes=10))
            wanted["weight", "state"] = "bare"
            wanted["weight", "weight"] = grams(losing)
        for part, given in answers.items():
            wanted |= {(part, name): value for name, value in given.items()}
        for gone in [at for at in self._put if at not in wanted]:
            self._bindings[gone[0]].put(gone[1], None)
        for (part, name), value in wanted.items():
            if self._put.get((part, name)) != value:
                self._bindings[part].put(name, value)
        self._put = wanted


@pytest.fixture(scope="module")
def window(qapp: QApplication, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Charted]:
    folder = tmp_path_factory.mktemp("edges") / "store"
    machine = Machine(NOW)
    store = set_up(folder, PASSPHRASE, clock=lambda: NOW, ids=machine.fresh_id, argon=FLOOR).store
    begun(store)
    store.close()
    person = Charter(folder, machine).come()
    person.unlock(PASSPHRASE)
    person.press("Go on")
    person.until_page("visit")
    person.until_idle()
    person.section("story.providers", "Ida")
    yield Charted(person)
    person.saved()
    person.go_home()


def expected(row: dict[str, Any], rule: str) -> str:
    """What the rule says was seen, from a chart built by hand."""
    return next(prompt.seen for prompt in prompts(charted(**row), NOW) if prompt.rule == rule)


@pytest.mark.parametrize(("rule", "level", "edge", "beside"), URGENT)
def test_the_panel_names_what_was_seen_at_the_edge_and_not_beside_it(
    window: Charted, rule: str, level: Level, edge: dict[str, Any], beside: dict[str, Any]
) -> None:
    panel = window.person.visit.aside.urgent
    window.show(**beside)
    assert rule not in {prompt.rule for prompt in panel.prompts}
    window.show(**edge)
    QCoreApplication.processEvents()
    seen = expected(edge, rule)
    assert {prompt.rule: prompt.level for prompt in panel.prompts}.get(rule) is level
    assert panel.isVisible()
    assert seen in said(panel)
    assert level.words in said(panel)
    window.show(**beside)
    QCoreApplication.processEvents()
    assert rule not in {prompt.rule for prompt in panel.prompts}
    if not any(seen in prompt.seen for prompt in panel.prompts):
        assert seen not in said(panel)


def test_still_losing_after_day_5_is_named_and_a_weight_held_is_not(window: Charted) -> None:
    panel = window.person.visit.aside.urgent
    earlier = window.home.begin(WeightReading, BABY)
    earlier.put("taken", moment(NOW - timedelta(days=1)))
    earlier.put("weight", grams(3900))
    window.show(hours=121, losing=3900)
    assert NOT_GAINING not in {prompt.rule for prompt in panel.prompts}
    window.show(hours=121, losing=3899)
    QCoreApplication.processEvents()
    assert "3,900 g, then 3,899 g: not gaining after day 5" in said(panel)
    window.show(hours=120, losing=3899)
    assert NOT_GAINING not in {prompt.rule for prompt in panel.prompts}
    earlier.put("weight", None)


def test_every_urgent_rule_there_is_was_tried() -> None:
    urgent = {rule.id for rule in INFANT_RULES if rule.level >= Level.SAME_DAY}
    urgent |= {rule.id for rule in PARENT_RULES if rule.level >= Level.SAME_DAY}
    assert urgent == {rule for rule, *_ in URGENT} | {NOT_GAINING}
