"""What each invented family told at its visits can be told on the sheet, and comes back as told, baby by baby."""

from __future__ import annotations

import pytest

from demo_db.build import chart_all, new_store
from forms.chart import Chart
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.visit import Visit
from sync.handoff.reading.read import read_file
from tests.helpers import thornbury as t
from tests.helpers.filled_sheet import Coding, Marking, answers_of_chart, filled
from tests.helpers.handed_over import bare


@pytest.fixture(scope="module")
def charts(tmp_path_factory: pytest.TempPathFactory) -> tuple[Chart, ...]:
    store, clock, ids = new_store(tmp_path_factory.mktemp("invented") / "store")
    try:
        chart_all(store, clock, ids)
        return tuple(store.chart(line.id) for line in store.search(""))
    finally:
        store.close()


def sheets(chart: Chart) -> list[dict[str, object]]:
    """The answers of each parent with each baby at each visit."""
    made = []
    for visit in chart.all(Visit):
        parents = {who for one in chart.all(ParentHistory) if one.place.visit == visit.id for who in one.place.subjects}
        babies = {who for one in chart.all(InfantHistory) if one.place.visit == visit.id for who in one.place.subjects}
        made += [answers_of_chart(chart, one, other, visit.id) for one in sorted(parents) for other in sorted(babies)]
    return made


def test_every_family_s_own_answers_come_back_from_a_sheet_with_equal_values(charts: tuple[Chart, ...]) -> None:
    told, twins = 0, 0
    for chart in charts:
        twins += len(chart.all(InfantIdentity)) > 1
        for number, answers in enumerate(sheets(chart)):
            marking, coding = list(Marking)[number % len(Marking)], list(Coding)[number % len(Coding)]
            found = read_file(filled(answers, marking=marking, coding=coding), zone=t.ZONE, now=t.NOW)
            assert {one.id: bare(one.value) for one in found.offers} == {
                key: bare(value) for key, value in answers.items()
            }
            assert {one.form for one in found.people} <= {ParentIdentity, InfantIdentity}
            told += len(answers)
    assert len(charts) > 5
    assert twins
    assert told > 200
