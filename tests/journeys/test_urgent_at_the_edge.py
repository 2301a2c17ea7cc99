"""Every rule of the ladder fires at its edge in the open window, with the answer that fires it, and not beside it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QApplication

from desktop.draft import EntryBinding
from forms.answers import Moment, Side, Sided
from forms.ask import Path as Register
from forms.chart import Place, entry_id
from forms.clinical.prompts import INFANT_RULES, PARENT_RULES, Level, prompts
from forms.form import Form
from forms.people import Family, InfantIdentity, ParentIdentity
from forms.practice import Practice, Practitioner
from forms.visit import Visit
from forms.weight import WeightReading
from storage.changes import Begin, Put
from storage.keys import FLOOR
from storage.store import Store
from storage.vault import set_up
from tests.forms.clinical.charted import (
    BABY,
    EARLIER,
    FAMILY,
    NOW,
    PARENT,
    PARTS,
    VISIT,
    ZONE,
    charted,
    grams,
    moment,
)
from tests.forms.clinical.rows import Case
from tests.forms.clinical.test_prompts_breast import BREAST
from tests.forms.clinical.test_prompts_growth import GROWTH
from tests.forms.clinical.test_prompts_infant import OUTPUT, SIGNS, WEIGHTS
from tests.forms.clinical.test_prompts_milk import EXPRESSING, SUPPLEMENT
from tests.forms.clinical.test_prompts_parent import ROWS, SLEEP
from tests.forms.clinical.test_prompts_scores import SCORES
from tests.helpers.charting import Charter
from tests.helpers.person import Machine, said

PASSPHRASE = "weld over the kitchen window"
AUTHOR = "9" * 32
BEFORE: dict[str, dict[str, Any]] = {
    "told": {"taken": "in_full"}, "amount": {"until": "Monday"}, "parent": {"taken": "in_full"},
}  # fmt: skip
"""What the visit three days before has entries of, with an answer that fires nothing."""

PARENT_ROWS: list[Case] = [(rule, level, {"parent": edge}, {"parent": beside}) for rule, level, edge, beside in ROWS]
ALL: list[Case] = [
    *SIGNS, *WEIGHTS, *OUTPUT, *PARENT_ROWS, *GROWTH, *SUPPLEMENT, *EXPRESSING, *SCORES, *BREAST, *SLEEP,
]  # fmt: skip


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
    entered(
        store, Visit, EARLIER, Place("visit", FAMILY), kind="home", start=Moment(NOW - timedelta(days=3), ZONE),
        practitioner=AUTHOR,
    )  # fmt: skip
    for part, answers in BEFORE.items():
        form, subjects = PARTS[part]
        entered(store, form, entry_id(form, EARLIER, subjects), Place(form.name, FAMILY, EARLIER, subjects), **answers)
    start = Moment(NOW - timedelta(minutes=30), ZONE)
    entered(store, Visit, VISIT, Place("visit", FAMILY), kind="home", start=start, practitioner=AUTHOR)


class Charted:
    """One open visit whose answers are changed from row to row through the bindings of its page."""

    def __init__(self, person: Charter) -> None:
        self.person, self.home = person, person.home
        self._bindings: dict[str, EntryBinding] = {
            "identity": self.home.binding(InfantIdentity, entity=BABY),
            "weight": self.home.begin(WeightReading, BABY),
            "weight before": self.home.begin(WeightReading, BABY),
        }
        for part, (form, subjects) in PARTS.items():
            bind = self.home.begin if form.repeats else self.home.binding
            self._bindings[part] = bind(form, *subjects)
        for part in BEFORE:
            form, subjects = PARTS[part]
            self._bindings[f"{part} before"] = self.home.binding(form, entity=entry_id(form, EARLIER, subjects))
        self._put: dict[tuple[str, str], Any] = {}

    def show(self, **row: Any) -> None:
        """Have exactly these answers stand, as `charted` builds them; the one that was last put is looked at next."""
        wanted = dict(_registers(**row))
        for gone in [at for at in self._put if at not in wanted]:
            self._bindings[gone[0]].put(gone[1], None)
        for (part, register), value in wanted.items():
            if self._put.get((part, register)) != value:
                self._bindings[part].put(register, value)
        self._put = wanted


def _registers(
    *,
    hours: int | None = 60,
    losing: int | None = None,
    identity: dict[str, Any] | None = None,
    earlier: tuple[tuple[int, int], ...] = (),
    before: dict[str, dict[str, Any]] | None = None,
    **parts: dict[str, Any],
) -> Iterator[tuple[tuple[str, str], Any]]:
    """Each answer of a row as (part, register) and its value."""
    who: dict[str, Any] = {"birth_weight": grams(4000)}
    if hours is not None:
        who["born"] = moment(NOW - timedelta(hours=hours))
    yield from _of("identity", who | (identity or {}))
    weighed = NOW - timedelta(minutes=10)
    assert len(earlier) <= 1, "one weight before the last is enough for a row"
    for base, gap in earlier:
        yield from _weight("weight before", base, weighed - timedelta(hours=gap))
    if losing is not None:
        yield from _weight("weight", losing, weighed)
    for part, answers in (before or {}).items():
        yield from _of(f"{part} before", answers)
    for part, answers in parts.items():
        yield from _of(part, answers)


def _weight(part: str, base: int, at: datetime) -> Iterator[tuple[tuple[str, str], Any]]:
    yield from _of(part, {"taken": moment(at), "state": "bare", "weight": grams(base)})


def _of(part: str, answers: dict[str, Any]) -> Iterator[tuple[tuple[str, str], Any]]:
    for name, value in answers.items():
        if isinstance(value, Sided):
            yield from (((part, f"{name}@{side.value}"), value.on(side)) for side in Side)
        else:
            yield (part, name), value


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


@pytest.mark.parametrize(("rule", "level", "edge", "beside"), ALL)
def test_the_panel_names_what_was_seen_at_the_edge_and_not_beside_it(
    window: Charted, rule: str, level: Level, edge: dict[str, Any], beside: dict[str, Any]
) -> None:
    aside = window.person.visit.aside
    panel = aside.urgent if level >= Level.SAME_DAY else aside.calm
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
    if not any(seen in prompt.seen for prompt in (*aside.urgent.prompts, *aside.calm.prompts)):
        assert seen not in said(aside.urgent if level >= Level.SAME_DAY else aside.calm)


def test_every_rule_there_is_was_tried() -> None:
    rules = {rule.id for rule in INFANT_RULES} | {rule.id for rule in PARENT_RULES}
    assert rules == {rule for rule, *_ in ALL}
