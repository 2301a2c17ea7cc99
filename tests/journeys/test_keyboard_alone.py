"""A first visit by keys alone: every question that must be answered is reached and answered without a pointer."""

from __future__ import annotations

from collections import Counter

from PySide6.QtWidgets import QAbstractButton, QApplication, QLineEdit, QPlainTextEdit

from desktop.pages.finish import jump_to
from desktop.sheets.places import Stands
from forms.ask import Ask, Kind, ask_of
from forms.form import catalog
from forms.note import Blank, Level, Why, blanks
from forms.units import UNITS
from forms.visit import Visit
from tests.helpers.charting import Charter
from tests.helpers.person import K
from tests.journeys.test_finish_list_to_signature import FINDINGS, lines

VEIL = "private, tap when nobody looks on"
MOST_TABS = 60


def left(person: Charter) -> list[Blank]:
    """What must still be answered and has a question of its own."""
    return [one for one in blanks(person.home.chart) if one.level is Level.MUST and one.why is Why.BLANK and one.path]


def typed(ask: Ask) -> str:
    """Something that can be typed for a question."""
    match ask.kind:
        case Kind.MOMENT:
            return "9 Mar 2026 10:00"
        case Kind.DAY:
            return "9 Mar 2026"
        case Kind.COUNT:
            return str(max(ask.low or 0, 1))
        case Kind.QUANTITY:
            unit = ask.units[0]
            base = max(ask.low or 0, min(3_200, ask.high or 3_200))
            scale = {"C": 10, "cm": 10, "h": 60, "kg": 1000}.get(unit, 1)
            return f"{base / scale:g} {UNITS[unit].symbol}"
        case _:
            return "told by Bea"


def focused_words() -> str:
    focus = QApplication.focusWidget()
    return focus.accessibleName() if focus is not None else ""


def tab_to(person: Charter, wanted: tuple[str, str]) -> bool:
    """Tab until the question of a field has the focus; whether it came."""
    for _step in range(MOST_TABS):
        if person.focused() == wanted:
            return True
        person.key(K.Key_Tab)
    return False


def answered_by_keys(person: Charter, blank: Blank) -> bool:
    """Answers the question that has the focus, by the keys a person would press."""
    assert blank.path is not None
    wanted = (blank.form, blank.path.field)
    if person.focused() is None and focused_words().endswith(VEIL):
        person.key(K.Key_Space)
        person.settle()
    if not tab_to(person, wanted):
        return False
    question = person.question(".".join(wanted))
    binding, path, ask = question.binding, str(blank.path), ask_of(catalog()[blank.form], blank.path.field)
    for _turn in range(6):
        focus = QApplication.focusWidget()
        if isinstance(focus, QLineEdit | QPlainTextEdit):
            person.keys(typed(ask))
            person.key(K.Key_Tab)
        elif isinstance(focus, QAbstractButton):
            person.key(K.Key_Space)
        person.settle()
        if binding.value(path) is not None:
            return True
        if person.focused() != wanted:
            return False
        person.key(K.Key_Tab)
    return False


def test_every_question_that_must_be_answered_at_a_first_visit_is_answered_by_keys_alone(visiting: Charter) -> None:
    """The line of the finish list is followed by its own act; that it is reached by keys is tried on its own below."""
    person, stands = visiting, Stands()
    person.bulk(Visit, entity=person.home.chart.visit, kind="home")
    tried: Counter[tuple[str, str, str]] = Counter()
    failed: list[str] = []
    by_kind: Counter[Kind] = Counter()
    while waiting := [b for b in left(person) if not tried[b.form, b.entry or "", str(b.path)]]:
        blank = waiting[0]
        assert blank.path is not None
        tried[blank.form, blank.entry or "", str(blank.path)] += 1
        if (blank.form, blank.path.field) == FINDINGS:
            continue
        jump_to(person.home, blank, stands)
        person.settle()
        if answered_by_keys(person, blank):
            by_kind[ask_of(catalog()[blank.form], blank.path.field).kind] += 1
        else:
            failed.append(f"{blank.form}.{blank.path}: focus {person.focused()} {focused_words()}")
    assert not failed, "\n".join(failed)
    assert sum(by_kind.values()) > 150
    assert {Kind.CHOICE, Kind.MANY, Kind.COUNT, Kind.QUANTITY, Kind.MOMENT, Kind.LINE, Kind.TEXT} <= set(by_kind)


def test_the_finish_list_is_reached_walked_and_followed_by_keys_alone(visiting: Charter) -> None:
    person = visiting
    person.section("leave.finish")
    first = lines(person)[0]
    person.key(K.Key_Tab)
    for _step in range(MOST_TABS):
        if QApplication.focusWidget() is first:
            break
        person.key(K.Key_Tab)
    assert QApplication.focusWidget() is first
    person.key(K.Key_Space)
    person.settle()
    assert person.visit.spot.section(person.visit.spot.moment, person.visit.spot.who) != "leave.finish"
