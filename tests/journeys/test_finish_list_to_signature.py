"""From the finish list to the signature: each line leads to its question, signing waits, and what is signed stays."""

from __future__ import annotations

from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from demo_db.build import PASSPHRASE
from desktop.controls.buttons import Link
from desktop.draft import EntryBinding
from desktop.pages.finish import FinishList, jump_to
from desktop.sheets.places import Stands
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.note import Blank, Why, blanks
from forms.parent_history import ParentHistory
from tests.helpers.charting import Charter
from tests.helpers.family_story import fill_feed, fill_the_rest
from tests.helpers.papers import sign


def lines(person: Charter) -> list[Link]:
    """The lines of the finish list on screen."""
    listed = next(one for one in person.window.findChildren(FinishList) if one.isVisible())
    return [one for one in listed.findChildren(Link) if one.isVisible()]


def test_every_line_of_the_list_leads_to_its_own_question(visiting: Charter) -> None:
    """The lines' own act is called, so that the list need not be gone back to for each of them."""
    person, home = visiting, visiting.home
    fill_feed(person, home.parents()[0], home.infants()[0])
    stands, left = Stands(), blanks(home.chart)
    assert len(left) > 150
    astray, seen = [], set()
    for blank in left:
        field = blank.path.field if blank.path is not None else ""
        if (blank.form, field) in seen or (blank.form, field) == FINDINGS:
            continue
        seen.add((blank.form, field))
        jump_to(home, blank, stands)
        person.settle()
        stand = stands.of(blank.form, field)
        assert stand is not None
        assert person.visit.spot.moment == stand.moment, blank
        if blank.path is not None and blank.why is Why.BLANK and not leads_there(person, blank):
            astray.append((blank.form, str(blank.path), person.focused(), person.visit.middle.title.said()))
    assert astray == []


def leads_there(person: Charter, blank: Blank) -> bool:
    """Whether the question of a blank has the focus, of the right entry; or what opens the veil over it."""
    focus = QApplication.focusWidget()
    if focus is None or not focus.isVisible() or blank.path is None:
        return False
    if person.focused() is None:
        return focus.accessibleName().endswith("private, tap when nobody looks on")
    if person.focused() != (blank.form, blank.path.field):
        return False
    binding = person.question(f"{blank.form}.{blank.path.field}").binding
    assert isinstance(binding, EntryBinding)
    same = blank.entry is None or binding.entity == blank.entry
    return same and (not blank.subjects or binding.draft.place.subjects == blank.subjects)


def test_a_line_is_clicked_answered_where_it_leads_and_then_gone(visiting: Charter) -> None:
    person = visiting
    fill_the_rest(person, person.home.parents()[0], person.home.infants()[0])
    for form, field in ((InfantHistory, "wets_24h"), (InfantAssessment, "waking"), (ParentHistory, "goal")):
        who = person.home.parents()[0] if form is ParentHistory else person.home.infants()[0]
        person.home.binding(form, who).put(field, None)
    person.saved()
    person.section("leave.sign")
    person.until_sees("questions have no answer and need one.")
    assert not person.buttons("Sign this visit")[0].isEnabled()
    for label, value in (("Feeding goal", "To nurse lying down"), ("Wet diapers", "7"), ("Wakes how", "easily")):
        person.section("leave.finish")
        person.click(waits_for(person, label))
        assert person.focused() is not None
        person.answer(".".join(person.focused() or ()), value)
        person.section("leave.finish")
        person.until(lambda label=label: not line(person, label), f"no {label}")  # type: ignore[misc]
    person.click(waits_for(person, "A weight, or why there is none"))
    person.answer("infant_assessment.weight_not_taken", "no_scale")
    person.section("leave.finish")
    person.click(waits_for(person, "At least one task"))
    person.answer("plan_task.what", "Nurse lying down once a day.")
    for field, words in (("how_often", "Once a day"), ("until", "Friday"), ("who", "Bea")):
        person.answer(f"plan_task.{field}", words)
    person.section("leave.finish")
    person.until_sees("Nothing must be answered before signing")
    assert not person.sees("At least one task")
    person.press("Go on to sign")
    sign(person)
    stays_as_signed(person)


def stays_as_signed(person: Charter) -> None:
    """Nothing of the visit can be changed, by key, by click or past the controls; after the lock neither."""
    for _again in range(2):
        before = person.home.chart
        question = person.go_to("infant_history.wets_24h", "Gil")
        control = question.controls()[0]
        assert not control.isEnabled()
        QTest.keyClicks(control.focusProxy() or control, "3")
        assert question.no_answer is not None
        assert not question.no_answer.isEnabled()
        person.home.binding(InfantHistory, person.home.infants()[0]).put("wets_24h", 3)
        assert person.sentence("infant_history.wets_24h").startswith("This visit is signed.")
        person.section("weigh.scale")
        assert not person.buttons("On the scale now")
        person.section("plan.tasks")
        assert not person.buttons("Strike out")
        person.until_sees("Signed by Rowan Vale, 9 Mar 2026 10:00")
        person.until_idle()
        assert person.home.chart == before
        person.lock()
        person.unlock(PASSPHRASE)
        person.until_page("visit")


def waits_for(person: Charter, label: str) -> Link:
    """The line of the list that begins with these words, once it is there."""
    person.until(lambda: line(person, label), label)
    found = line(person, label)
    assert found is not None
    return found


FINDINGS = ("impression", "findings")
"""Picked on a page of their own, where the list leads; no single box there is the answer."""


def line(person: Charter, label: str) -> Link | None:
    """The line of the list that begins with these words."""
    return next((one for one in lines(person) if one.accessibleName().startswith(label)), None)
