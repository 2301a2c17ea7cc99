"""The demo's families by what they are for: two who feed one baby, pounds and ounces, milk by pump alone, care closed."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from demo_db.build import PASSPHRASE
from demo_db.ticking import at
from forms.answers import Quantity
from forms.ask import paths
from forms.chart import Chart, Entry
from forms.clinical.prompts import open_prompts, unclosed
from forms.clinical.storage import Kept, use_by
from forms.closing import Closing
from forms.expressing import ExpressingDay, Expression
from forms.feed import FeedObservation
from forms.feeding_log import LogLine
from forms.figures import Figure, figures
from forms.form import value_at
from forms.loops import closable, open_loops
from forms.note import ready_to_sign
from forms.papers.family_plan import family_plan
from forms.papers.outline import words_of
from forms.parent_history import ParentHistory
from forms.people import Family, InfantIdentity, ParentIdentity
from forms.phrase import blank_spans
from forms.plan import FeedingAmount, Plan
from forms.practice import Practitioner
from forms.visit import Visit
from forms.weight import WeightReading
from forms.words import words_for
from storage.store import Store
from storage.vault import unlock

NOW = at("2026-03-02 17:00")
FINISHED = ("Hesper-Tavish", "Lindqvist-Osei", "Pellworth", "Peñaloza-Ruiz", "Sorrelby", "Thornquist", "Vantreece")
ALL_CLOSED = ("Hesper-Tavish", "Pellworth", "Sorrelby", "Vantreece")

Open = Callable[[str], Chart]


@pytest.fixture(scope="module")
def store_of_all(invented: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    opened = unlock(Path(shutil.copytree(invented, tmp_path_factory.mktemp("families") / "store")), PASSPHRASE)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def charts(store_of_all: Store) -> Open:
    """A family's chart at its one visit, by the family's name."""

    def chart(name: str) -> Chart:
        family = next(line.id for line in store_of_all.caseload() if line.name == name)
        visits = store_of_all.chart(family).all(Visit)
        assert len(visits) == 1
        return store_of_all.chart(family, visits[0].id)

    return chart


def person(chart: Chart, called: str) -> str:
    people: tuple[Entry[Any], ...] = (*chart.all(InfantIdentity), *chart.all(ParentIdentity))
    return next(entry.id for entry in people if entry.answers.called_name == called)


def shown(chart: Chart, called: str) -> list[Figure]:
    return list(figures(chart, NOW, person(chart, called)))


@pytest.mark.parametrize("name", FINISHED)
def test_each_finished_visit_is_complete_and_nothing_urgent_is_left_open(charts: Open, name: str) -> None:
    chart = charts(name)
    assert ready_to_sign(chart)
    assert open_prompts(chart, NOW) == ()


@pytest.mark.parametrize("name", ALL_CLOSED)
def test_each_calmer_prompt_of_the_newer_families_was_closed_with_what_was_done(charts: Open, name: str) -> None:
    assert unclosed(charts(name), NOW) == ()


def test_two_feed_one_baby_and_each_feed_names_its_feeder(charts: Open) -> None:
    chart = charts("Hesper-Tavish")
    rune, ottilie, linnet = (person(chart, name) for name in ("Rune", "Ottilie", "Linnet"))
    assert [e.place.subjects for e in chart.all(FeedObservation)] == [(rune, linnet), (ottilie, linnet)]
    labels = {figure.label for figure in shown(chart, "Linnet")}
    assert {"Transfer, Rune's left at feed 1", "Transfer, Ottilie's right at feed 2"} <= labels


def test_each_of_the_two_keeps_their_own_words_and_one_began_milk_without_a_birth(charts: Open) -> None:
    chart = charts("Hesper-Tavish")
    rune, ottilie = (words_for(chart, person(chart, name)) for name in ("Rune", "Ottilie"))
    assert (rune.body, rune.feeding, rune.milk, rune.title) == ("chest", "chestfeeding", "nest milk", "Baba")
    assert rune.pronouns.object == "them"
    assert (ottilie.body, ottilie.feeding, ottilie.title) == ("breast", "nursing", "Mummy")
    told = chart.one(ParentHistory, person(chart, "Ottilie"))
    assert (told.gave_birth, told.milk_begun) == (False, "induced")


def test_each_of_the_two_is_told_on_the_plan_what_to_watch_themselves_for(charts: Open) -> None:
    chart = charts("Hesper-Tavish")
    said = words_of(family_plan(chart, writer=chart.all(Practitioner)[0].id, now=NOW))
    for whose in ("hot red leg or chest", "hot red leg or breast"):
        (line,) = (line for line in said.splitlines() if whose in line)
        assert "Also: fever or chills" in line


def units(chart: Chart, *forms: str) -> set[str]:
    found: set[str] = set()
    for entry in chart.entries:
        if entry.place.family == chart.family and entry.place.form in forms:
            values = (value_at(entry.answers, path) for path in paths(type(entry.answers)))
            found |= {value.unit for value in values if isinstance(value, Quantity)}
    return found


def test_a_family_is_weighed_and_measured_in_its_own_units_as_typed(charts: Open) -> None:
    chart = charts("Pellworth")
    tobin = person(chart, "Tobin")
    assert {reading.answers.weight.unit for reading in chart.all(WeightReading, tobin)} == {"lb_oz"}  # type: ignore[union-attr]
    assert units(chart, "infant", "infant_assessment") == {"lb_oz", "in", "F"}
    assert {"fl_oz"} == units(chart, "expressing_day", "feeding_amount") - {"h", "min"}
    assert "F" in units(chart, "parent_history")


def test_the_log_of_the_day_covers_24_hours_and_adds_up_to_what_was_told(charts: Open) -> None:
    chart = charts("Sorrelby")
    lines = [entry.answers for entry in chart.all(LogLine, person(chart, "Fenna"))]
    assert len(lines) >= 8
    by_id = {figure.id: figure for figure in shown(chart, "Fenna")}
    fed = [line for line in lines if line.kind == "bottle"]
    assert by_id["log_feeds"].big == f"{len(fed)} feeds in 24 h"
    given = sum(amount_of(line.amount) for line in fed)
    assert by_id["log_given"].big == f"{given} mL"
    told = chart.one(ExpressingDay, person(chart, "Ingrith"))
    for side in ("left", "right"):
        summed = sum(amount_of(getattr(line, f"pumped_{side}")) for line in lines if line.kind == "pumped")
        assert summed == amount_of(getattr(told.each_side_24h, side))
    assert amount_of(told.total_24h) == amount_of(told.each_side_24h.left) + amount_of(told.each_side_24h.right)


def amount_of(given: Any) -> int:
    assert isinstance(given, Quantity)
    return given.base


def test_all_milk_by_pump_is_charted_without_a_feed_at_the_breast(charts: Open) -> None:
    chart = charts("Sorrelby")
    feeds = [entry.answers for entry in chart.all(FeedObservation)]
    assert [(feed.observed, feed.not_observed_because) for feed in feeds] == [("not_seen", "not_at_breast")]
    plan = chart.one(FeedingAmount, person(chart, "Fenna"))
    weight = max((e.answers for e in chart.all(WeightReading)), key=lambda reading: reading.taken.at)  # type: ignore[union-attr]
    need = Fraction(plan.per_kg * amount_of(weight.weight), 1000)  # type: ignore[operator]
    lacking = next(figure for figure in shown(chart, "Fenna") if figure.id == "supplement")
    least, most = (int(five) for five in lacking.big.removesuffix(" mL").split(" to "))
    assert least < need / plan.feeds_per_day < most  # type: ignore[operator]
    assert "not fed at the breast or chest now" in lacking.small[0]


def test_milk_put_into_the_fridge_is_kept_until_four_days_on(charts: Open) -> None:
    chart = charts("Sorrelby")
    session = next(e.answers for e in chart.all(Expression) if e.answers.use == ("fridge",))
    until = use_by(session.ended, Kept.FRIDGE, session.kept_for)
    assert str(until.until.local().date()) == "2026-03-03"  # type: ignore[union-attr]


def test_a_phrase_of_the_practice_stands_in_two_plans_with_its_blanks_filled(charts: Open) -> None:
    cool, first = charts("Pellworth").one(Plan).comfort_care, charts("Sorrelby").one(Plan).expressing
    assert isinstance(cool, str)
    assert isinstance(first, str)
    assert cool.startswith("Cool for 10 minutes")
    assert "Hand expression for 3 minutes before each pump session" in first
    assert not blank_spans(cool)
    assert not blank_spans(first)


def test_care_of_one_family_is_closed_with_an_owner_for_all_that_was_open(charts: Open) -> None:
    chart = charts("Vantreece")
    (closing,) = chart.all(Closing)
    assert open_loops(chart)
    assert closable(chart, closing.id) == ()
    assert closing.answers.closed_at is not None


def test_every_finished_visit_can_be_signed_and_the_called_one_cannot(invented: Path, tmp_path: Path) -> None:
    store = unlock(Path(shutil.copytree(invented, tmp_path / "store")), PASSPHRASE)
    author = next(e.id for e in store.practice_entries() if isinstance(e.answers, Practitioner))
    ready = []
    for line in store.caseload():
        (visit,) = store.chart(line.id).all(Visit)
        chart = store.chart(line.id, visit.id)
        if not ready_to_sign(chart) or open_prompts(chart, NOW):
            continue
        store.sign(visit.id, author=author)
        assert store.chart(line.id, visit.id).signed()
        ready.append(str(chart.person(Family, chart.family).family_name))
    store.close()
    assert sorted(ready) == sorted(FINISHED)
