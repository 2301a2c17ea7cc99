"""A role in the window: what it does not allow is said where it is typed, and nothing of it is kept."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from desktop.controls.layouts import Stack
from desktop.controls.question import Question, question_for
from desktop.open_chart import OpenChart
from desktop.pages.finish import FinishList
from desktop.pages.first_round import WhoCharts
from desktop.pages.practice import PracticePage
from desktop.pages.recovery_sheet import SheetShown, SheetTyped
from desktop.pages.secret import Secret
from desktop.pages.signing import Signing
from desktop.session import Session
from forms.ask import Path as At
from forms.chart import Place
from forms.form import Form
from forms.people import ParentIdentity
from forms.practice import Practitioner
from forms.role import Role
from forms.visit import Visit
from storage.changes import Begin, Put
from storage.store import Store
from sync.exchange.practice import made_by, practice_of
from sync.membership.acts import SetRole
from tests.helpers.program import wait_for
from tests.helpers.stores import AUTHOR, FAMILY, PARENT, PASSPHRASE, VISIT, Clock, answers
from tests.helpers.two_devices import LOCUM, Devices, devices, settled_all, ways
from tests.helpers.visits import key_named, said


@pytest.fixture
def pair(tmp_path: Path, qtbot: QtBot) -> Iterator[Devices]:
    made = devices(tmp_path)
    yield made
    made.close()


def of_role(pair: Devices, role: Role) -> tuple[Session, OpenChart]:
    """The tablet's session and its chart of the visit, once it has heard that it has this role."""
    practice = practice_of(pair.laptop)
    assert practice is not None
    made_by(pair.laptop, practice, SetRole(pair.tablet.device, role), Clock())
    pair.meet(pair.laptop)
    pair.meet(pair.tablet)
    session = pair.window(pair.tablet, LOCUM)
    return session, session.open(pair.tablet.chart(FAMILY, VISIT))


def asked(home: OpenChart, form: type[Form], entity: str, field: str, qtbot: QtBot) -> Stack:
    page = Stack()
    page.add(question_for(home.binding(form, entity=entity), field))
    page.resize(800, 500)
    qtbot.addWidget(page)
    page.show()
    return page


def state(store: Store) -> str:
    return store.exchange().digest()


def typed(page: Stack, words: str) -> None:
    question = page.findChildren(Question)[0]
    control = question.controls()[0]
    box = control.focusProxy() or control
    box.setFocus()
    QTest.keyClicks(box, words)
    question.commit()


def test_an_office_device_is_told_where_it_types_and_keeps_the_phone_number(pair: Devices, qtbot: QtBot) -> None:
    session, home = of_role(pair, Role.OFFICE)
    before = state(pair.tablet)
    page = asked(home, Visit, VISIT, "reason", qtbot)
    typed(page, "Sore on one side")
    home.save()
    settled_all(session)
    assert "which does not write “Visit: Why this visit, in the consultant's words”. Write it on the device of" in said(
        page
    )
    assert (len(home.pending()), state(pair.tablet)) == (0, before)
    phone = asked(home, ParentIdentity, PARENT, "phone", qtbot)
    typed(phone, "5")
    home.save()
    settled_all(session)
    assert answers(pair.tablet, PARENT).phone == "+44 7700 9001235"


def test_a_students_signing_page_says_who_signs(pair: Devices, qtbot: QtBot) -> None:
    session, home = of_role(pair, Role.STUDENT)
    page = asked(home, Visit, VISIT, "reason", qtbot)
    typed(page, "Sore on one side")
    home.save()
    settled_all(session)
    assert answers(pair.tablet, VISIT).reason == "Sore on one side"
    signing = Signing(home)
    qtbot.addWidget(signing)
    signing.show()
    assert "The visit waits for the device of an owner or consultant." in said(signing)
    assert not signing.sign_key.isEnabled()


def test_an_owner_replaces_the_sheet_of_the_practice_on_the_page_and_the_other_device_hears(
    pair: Devices, qtbot: QtBot
) -> None:
    session = pair.window(pair.laptop)
    page = PracticePage(session, ways(), session.open_practice(pair.laptop.chart("")))
    qtbot.addWidget(page)
    page.resize(1280, 800)
    page.show()
    page.go("sheet")
    assert "every sheet of this practice" in said(page)
    (secret,) = page.findChildren(Secret)
    secret.box.setText(PASSPHRASE)
    key_named(page, "Make a new sheet").click()
    settled_all(session)
    (shown,) = page.findChildren(SheetShown)
    words = " ".join(re.findall(r"\b[0-9A-Z]{4}\b", said(shown)))
    key_named(page, "It is on paper").click()
    (back,) = page.findChildren(SheetTyped)
    back.words.setPlainText(words)
    back.check.click()
    wait_for(lambda: page.part == "window")
    settled_all(session)
    practice = practice_of(pair.laptop)
    assert practice is not None
    assert len(practice.roster.sheets_ended) == 1
    pair.meet(pair.tablet)  # the round began by itself once the sheet was typed back
    heard = practice_of(pair.tablet)
    assert heard is not None
    assert heard.roster.sheets == practice.roster.sheets


KIT = "c" * 32


def role_of(store: Store, who: str) -> object:
    return answers(store, who).practice_role


def test_whoever_charts_on_a_students_device_and_has_no_role_yet_is_written_down_as_a_student(
    pair: Devices, qtbot: QtBot
) -> None:
    session, _home = of_role(pair, Role.STUDENT)
    pair.laptop.write(
        [Begin(KIT, Place("practitioner")), Put(KIT, At.read("practice_role"), "consultant")], author=AUTHOR
    )
    pair.meet(pair.laptop)
    pair.meet(pair.tablet)
    said_to_chart: list[str] = []
    session.charts(LOCUM, lambda: said_to_chart.append(LOCUM))
    settled_all(session)
    assert role_of(pair.tablet, LOCUM) == "student"
    session.charts(AUTHOR, lambda: said_to_chart.append(AUTHOR))  # who has charted before, pressed by mistake
    session.charts(KIT, lambda: said_to_chart.append(KIT))
    settled_all(session)
    assert (role_of(pair.tablet, AUTHOR), role_of(pair.tablet, KIT)) == (None, "consultant")
    who = WhoCharts(session)
    qtbot.addWidget(who)
    who.name.setText("Tam Orrel")
    who.keep.click()
    settled_all(session)
    assert said_to_chart == [LOCUM, AUTHOR, KIT]
    assert role_of(pair.tablet, session.author) == "student"
    assert pair.tablet.chart(FAMILY, VISIT).learners == {LOCUM: None, session.author: None}


def test_on_any_other_device_who_charts_is_given_no_role(pair: Devices) -> None:
    session, _home = of_role(pair, Role.CONSULTANT)
    session.charts(LOCUM, lambda: None)
    settled_all(session)
    assert role_of(pair.tablet, LOCUM) is None


def test_a_students_device_asks_for_the_role_of_whoever_charts_there_on_the_finish_list(
    pair: Devices, qtbot: QtBot
) -> None:
    session, home = of_role(pair, Role.STUDENT)
    finish = FinishList(home)
    qtbot.addWidget(finish)
    finish.show()
    assert "R. Vale charts on a student’s device: as what?" in said(finish)
    assert finish.top.said().endswith("; which role whoever charts here has in the practice is not written down yet.")
    home.binding(Practitioner, entity=LOCUM).put("practice_role", "student")
    home.save()
    settled_all(session)
    finish.refresh()
    assert "which role" not in finish.top.said()
    assert role_of(pair.tablet, LOCUM) == "student"
    _session, home = of_role(pair, Role.CONSULTANT)
    other = FinishList(home)
    qtbot.addWidget(other)
    assert not other.supervisors.asked
