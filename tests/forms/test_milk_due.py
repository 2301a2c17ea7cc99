"""When a note asks for a day of expressing and for a log's source (trade lines C7 and C8)."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from forms.answers import Moment
from forms.blank import Level, Why
from forms.chart import Chart, Entry, entry_id
from forms.expressing import ExpressingDay, Expression
from forms.feeding_log import FeedingLog, LogLine
from forms.form import Form
from forms.infant_history import InfantHistory
from forms.note import blanks
from forms.parent_history import ParentHistory
from tests.forms.clinical.charted import BABY, NOW, PARENT, VISIT, ZONE, charted, entry

AT = Moment(NOW, ZONE)
SOONER = Moment(NOW - timedelta(hours=1), ZONE)


def told(form: type[Form], person: str, **answers: Any) -> Entry[Form]:
    return entry(entry_id(form, VISIT, (person,)), form(**answers), person, visit=VISIT)


def asked(chart: Chart, form: type[Form]) -> dict[str, Level]:
    return {str(one.path): one.level for one in blanks(chart) if one.form == form.name}


def test_nothing_of_expressing_is_asked_while_nothing_of_it_was_told() -> None:
    assert asked(charted(), ExpressingDay) == {}
    assert asked(charted(told(ParentHistory, PARENT, pumps=("none",))), ExpressingDay) == {}


def test_a_pump_told_or_a_session_written_down_makes_the_day_of_expressing_a_must() -> None:
    pump = told(ParentHistory, PARENT, pumps=("hired",))
    session = entry("5" * 32, Expression(began=AT), PARENT, visit=VISIT)
    for more in (pump, session):
        assert asked(charted(more), ExpressingDay) == {"expresses": Level.MUST}


def test_own_milk_told_for_a_baby_asks_the_one_parent_who_can_have_expressed_it() -> None:
    assert asked(charted(told(InfantHistory, BABY, fed_now=("own_milk",))), ExpressingDay) == {"expresses": Level.MUST}


def test_who_does_not_express_is_asked_nothing_more_and_who_does_is_asked_for_the_day() -> None:
    pump = told(ParentHistory, PARENT, pumps=("hired",))
    assert asked(charted(pump, told(ExpressingDay, PARENT, expresses=False)), ExpressingDay) == {}
    assert set(asked(charted(pump, told(ExpressingDay, PARENT, expresses=True)), ExpressingDay)) == {
        "sessions_24h", "longest_gap", "total_24h", "night_session", "supply_in_question",
    }  # fmt: skip


def test_a_log_is_free_and_one_with_lines_should_say_where_it_is_from() -> None:
    assert asked(charted(), FeedingLog) == {}
    line = entry("6" * 32, LogLine(kind="left", starts=AT), BABY, visit=VISIT)
    assert asked(charted(line), FeedingLog) == {"source": Level.SHOULD}


def test_a_line_that_two_devices_made_end_before_it_begins_is_on_the_list() -> None:
    line = entry("6" * 32, LogLine(kind="left", starts=AT, ends=SOONER), BABY, visit=VISIT)
    wrong = [one for one in blanks(charted(line)) if one.form == LogLine.name and one.why is Why.WRONG]
    assert [(str(one.path), one.level) for one in wrong] == [("ends", Level.MUST)]
