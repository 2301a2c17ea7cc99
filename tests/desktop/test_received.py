"""What another practice sent, in the real window: read, shown beside the chart, taken fact by fact, taken back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QAbstractButton, QWidget

from demo_db.build import PASSPHRASE as DEMO
from desktop.controls.buttons import Act
from desktop.controls.words import Words
from desktop.pages.family import FamilyPage
from desktop.pages.received import ReceivedPage
from desktop.pages.received_rows import AT_ONCE, NOBODY, FactRow, PersonOffered
from desktop.sheets.received_seen import ReceivedSeen
from desktop.theme.tokens import Role
from forms.answers import Moment, Quantity
from forms.ask import Path as At
from forms.chart import Chart
from forms.people import InfantIdentity
from forms.received import ReceivedFact, ReceivedFile
from forms.weight import WeightReading
from storage.log import STRUCK
from sync.handoff.detached import sign_beside
from sync.handoff.facing import gathered
from sync.handoff.reading.read import read_file
from tests.helpers import thornbury as t
from tests.helpers.handed_over import elsewhere_record, observed, sealed_summary, tallow_lane_seal
from tests.helpers.program import Program, child, read
from tests.sync.reading.test_bounds import HOSTILE

SEAL = tallow_lane_seal()
PAPER = sealed_summary(SEAL)


def family_of(program: Program) -> str:
    return read(program, lambda store: store.search("thornquist"))[0].id


def chart_of(program: Program) -> Chart:
    family = family_of(program)
    return read(program, lambda store: store.chart(family))


@pytest.fixture
def page(program: Program) -> ReceivedPage:
    program.desk.family(family_of(program))
    family = program.to("family")
    assert isinstance(family, FamilyPage)
    family.received.key.click()
    page = program.to("received")
    assert isinstance(page, ReceivedPage)
    page._roots = lambda _store: (SEAL.root,)
    return page


@pytest.fixture
def opened(program: Program, page: ReceivedPage, tmp_path: Path) -> Callable[..., None]:
    """Chooses a file of these bytes by the key that asks for one."""

    def open_(data: bytes, name: str = "sent.pdf") -> None:
        place = tmp_path / name
        place.write_bytes(data)
        page._pick = lambda *_asked, **_more: place
        page.choose.click()
        settle(program)

    return open_


def settle(program: Program) -> None:
    for _ in range(4):  # the store is asked for the roots, the file is read beside it, the chart is read again
        program.idle()


def ida_of(page: ReceivedPage) -> PersonOffered:
    """The one person of the file, said to be Ida."""
    (shown,) = page.people
    shown.choose(next(e.id for e in page.home.chart.all(InfantIdentity) if e.answers.called_name == "Ida"))
    QCoreApplication.processEvents()  # a layout shows what was just put into it
    return shown


def row_of(shown: PersonOffered, words: str) -> FactRow:
    (found,) = (row for row in shown.rows.values() if words in row.words.said())
    return found


def press(program: Program, key: QAbstractButton) -> None:
    assert key.isVisible()
    assert key.isEnabled()
    key.click()
    settle(program)


def words(page: QWidget) -> str:
    return " | ".join(each.said() for each in page.findChildren(Words) if each.isVisible())


def answers_of(chart: Chart) -> Counter[str]:
    """Every entry that stands, with its answers: what a chart says."""
    return Counter(repr((e.id, e.answers)) for e in chart.entries if e.struck is None)


# --- the journey from one practice to another -----------------------------------------------------------------------


def test_every_fact_of_a_sealed_paper_of_another_practice_arrives_as_an_offer(
    page: ReceivedPage, opened: Callable[..., None]
) -> None:
    opened(PAPER)
    assert "Unchanged since it was sealed, and the sender is known here." in words(page)
    (shown,) = page.people
    assert shown.rows == {}, "nothing is offered before it is said whom it is about"
    ida_of(page)
    found = read_file(PAPER, zone=page.home.zone, now=t.NOW)
    assert len(shown.rows) == AT_ONCE
    while shown.more.isVisible():
        shown.more.click()
        QCoreApplication.processEvents()
    assert set(shown.rows) == {one.id for one in gathered(found)}
    assert all(row.isVisible() for row in shown.rows.values())


def test_what_she_takes_stands_in_the_chart_with_its_source_and_nothing_else_of_the_file(
    program: Program, page: ReceivedPage, opened: Callable[..., None]
) -> None:
    before = chart_of(program)
    opened(PAPER)
    shown = ida_of(page)
    press(program, row_of(shown, "Weight: 2520 g").take)
    press(program, row_of(shown, "What went well").take)
    press(program, row_of(shown, "Kind of visit").leave)
    assert row_of(shown, "Weight: 2520 g").state.said() == "Taken."
    assert row_of(shown, "What went well").state.said() == "Taken, in the sender’s words."
    assert row_of(shown, "Kind of visit").state.said() == "Left in the file."
    chart = chart_of(program)
    came = [e for e in chart.entries if before.by_id(e.id) is None]
    assert Counter(e.place.form for e in came) == {"weight": 1, "received_fact": 1, "received_file": 1}
    assert answers_of(before) <= answers_of(chart)
    (weight,) = (e.answers for e in came if isinstance(e.answers, WeightReading))
    assert (weight.weight, weight.taken, weight.source) == (t.grams(2520), t.local(3, 10, 0, 2), "document")
    (kept,) = (e.answers for e in came if isinstance(e.answers, ReceivedFile))
    assert read(program, lambda store: store.attachment(str(kept.file))) == PAPER
    (fact,) = (e.answers for e in came if isinstance(e.answers, ReceivedFact))
    assert (fact.file, fact.from_whom) == (kept.file, "Rowan Vale, RN, lactation consultant")
    program.desk.family(chart.family)
    family = program.to("family")
    assert "1 file is kept." in words(family)
    assert "Weight: 2,520 g (5 lb 8.9 oz)" in words(family)
    assert "Plan: What went well: Ida took 26 mL from the left side." in words(family)
    assert "Tue 3 Mar 2026 10:00, from Rowan Vale, RN, lactation consultant" in words(family)


def test_one_step_back_after_another_takes_everything_out_again(
    program: Program, page: ReceivedPage, opened: Callable[..., None]
) -> None:
    before = answers_of(chart_of(program))
    opened(PAPER)
    assert not page.undo.isVisible(), "what was written elsewhere is not taken back here"
    shown = ida_of(page)
    press(program, row_of(shown, "Weight: 2520 g").take)
    press(program, row_of(shown, "Born").take)
    press(program, page.undo)
    assert row_of(shown, "Born").take.isVisible()
    press(program, page.undo)
    assert row_of(shown, "Weight: 2520 g").take.isVisible()
    assert answers_of(chart_of(program)) == before
    assert page.keep.isVisible()
    assert not page.undo.isVisible()


def test_what_stands_is_shown_beside_the_offer_and_replaced_or_kept_as_she_says(
    program: Program, page: ReceivedPage, opened: Callable[..., None]
) -> None:
    opened(PAPER)
    shown = ida_of(page)
    born = row_of(shown, "Born: Mon 12 Jan 2026 06:10")
    assert born.state.said() == "Here stands: Mon 12 Jan 2026 04:20."
    assert born.take.accessibleName() == "Take in its place: Born"
    press(program, row_of(shown, "Legal name").beside)
    press(program, born.take)
    chart = chart_of(program)
    ida = chart.person(InfantIdentity, shown.who)
    assert isinstance(ida.born, Moment)
    assert ida.born.at == t.local(12, 6, 10, 1).at
    assert ida.legal_name == "Ida Thornquist"
    (fact,) = chart.all(ReceivedFact, shown.who)
    assert (fact.answers.what, fact.answers.value) == ("Legal name", "Ida Thornbury-Reyes")


def test_nothing_about_nobody_of_this_family_is_offered(page: ReceivedPage, opened: Callable[..., None]) -> None:
    opened(PAPER)
    shown = ida_of(page)
    shown.choose(NOBODY)
    assert not any(row.isVisible() for row in shown.rows.values())
    assert "Nothing about somebody else is taken into this family’s chart." in words(page)


def test_a_file_that_is_kept_is_opened_again_from_the_record(
    program: Program, page: ReceivedPage, opened: Callable[..., None], tmp_path: Path
) -> None:
    opened(PAPER)
    press(program, page.keep)
    assert not page.keep.isVisible()
    press(program, page.away)
    (tmp_path / "sent.pdf").unlink()
    kept = next(each for each in page.side.findChildren(QAbstractButton) if each.text() == "sent.pdf")
    press(program, kept)
    assert page.came is not None
    assert page.came.data == PAPER
    assert page.people[0].offers


def test_facts_taken_are_seen_in_the_visit_and_hidden_while_others_look_on(
    program: Program, page: ReceivedPage, opened: Callable[..., None]
) -> None:
    opened(b"what,value,unit,when\nBilirubin,180,umol/L,2026-03\n", "ward.csv")
    shown = ida_of(page)
    press(program, row_of(shown, "Bilirubin").take)
    visit = read(program, lambda store: store.search("thornquist"))[0]
    chart = chart_of(program)
    visits = [e.id for e in chart.entries if e.place.form == "visit"]
    program.desk.visit(visit.id, visits[-1])
    charting: Any = program.to("visit")
    charting.go("story", shown.who, "story.born")
    program.idle()
    (seen,) = charting.findChildren(ReceivedSeen)
    assert "Bilirubin: 180 umol/L" in words(seen)
    seen.set_shared(True)
    assert not seen.isVisible()


# --- senders ----------------------------------------------------------------------------------------------------------


def test_an_unknown_sender_is_told_with_a_fingerprint_and_not_in_green(
    page: ReceivedPage, opened: Callable[..., None]
) -> None:
    page._roots = lambda _store: ()
    opened(PAPER)
    said = next(each for each in page.findChildren(Words) if "not known here" in each.said())
    assert said._ink is not Role.ALDER
    assert "Fingerprint: " in words(page)


def test_nothing_can_be_taken_from_a_paper_that_was_changed(page: ReceivedPage, opened: Callable[..., None]) -> None:
    opened(PAPER + b"\n% a line more")
    shown = ida_of(page)
    assert "Changed since it was sealed." in words(page)
    assert shown.rows
    assert not any(key.isVisible() for row in shown.rows.values() for key in (row.take, row.beside, row.leave))


# --- files that cannot be read, and files that warn -----------------------------------------------------------------


def test_a_hostile_file_is_told_in_a_sentence_and_nothing_is_changed(
    program: Program, page: ReceivedPage, opened: Callable[..., None]
) -> None:
    before = read(program, lambda store: store.exchange().promises().known())
    for name in ("nested 200,000 lists deep", "cut off", "NaN", "a picture", "nothing", "no bundle"):
        opened(HOSTILE[name][0], "record.json")
        assert page.trouble.isVisible()
        assert page.trouble.said() == f"{HOSTILE[name][1]().sentence} Nothing was changed."
        assert (page.came, page.people) == (None, [])
        assert page.choose.isVisible()
    assert read(program, lambda store: store.exchange().promises().known()) == before


def test_a_file_that_is_gone_or_is_none_is_told_in_a_sentence(
    program: Program, page: ReceivedPage, tmp_path: Path
) -> None:
    for place in (tmp_path / "gone.pdf", tmp_path):
        page.read(place)
        settle(program)
        assert page.trouble.said().endswith("Check that it is there, and choose it again. Nothing was changed.")


def test_a_signature_that_lies_beside_a_record_under_its_name_is_read_and_kept_with_it(
    program: Program, page: ReceivedPage, opened: Callable[..., None], tmp_path: Path
) -> None:
    record = elsewhere_record(observed("8339-4", 3420, "g"))
    signature = sign_beside(record, SEAL)
    (tmp_path / "record.fhir.json.p7s").write_bytes(signature)
    opened(record, "record.fhir.json")
    assert "Unchanged since it was sealed, and the sender is known here." in words(page)
    press(program, page.keep)
    (kept,) = chart_of(program).all(ReceivedFile)
    assert read(program, lambda store: store.attachment(str(kept.answers.beside))) == signature
    opened(record.replace(b"3420", b"3920"), "record.fhir.json")
    assert "Changed since it was sealed." in words(page)


def test_a_locked_paper_asks_for_its_password_and_opens_with_it(
    program: Program, page: ReceivedPage, opened: Callable[..., None]
) -> None:
    locked = BytesIO()
    with pikepdf.open(BytesIO(PAPER)) as pdf:
        pdf.save(locked, encryption=pikepdf.Encryption(user="four plain words", owner="x", R=6))
    opened(locked.getvalue())
    assert page.secret.isVisible()
    page.secret.box.setText("another")
    press(program, page.open_key)
    assert page.secret.isVisible()
    assert page.people == []
    page.secret.box.setText("four plain words")
    press(program, page.open_key)
    assert page.people
    assert not page.secret.isVisible()


def test_another_baby_s_record_a_birth_to_come_and_ounces_without_a_code_are_warned_of(
    page: ReceivedPage, opened: Callable[..., None]
) -> None:
    opened(elsewhere_record(observed("8339-4", 120, ("oz",)), born="2030-01-12"), "discharge.json")
    shown = ida_of(page)
    assert shown.warned.said() == (
        "The file says born 12 January 2030; here stands 12 January 2026. Make sure that it is the same person."
    )
    assert "which has not come yet" in row_of(shown, "Birth day").doubts.said()
    ounces = row_of(shown, "120 oz")
    assert "Its unit has no code that is known here." in ounces.state.said()
    assert not ounces.take.isVisible()


def test_xml_is_shown_as_text_and_can_be_kept(
    program: Program, page: ReceivedPage, opened: Callable[..., None]
) -> None:
    text = b"<?xml version='1.0'?><record><weight>3420</weight></record>"
    opened(text, "record.xml")
    assert "<weight>3420</weight>" in words(page)
    press(program, child(page, Act, "Keep the file"))
    (kept,) = chart_of(program).all(ReceivedFile)
    assert kept.answers.media == "xml"
    assert read(program, lambda store: store.attachment(str(kept.answers.file))) == text


def test_a_fact_taken_twice_in_a_hurry_is_kept_once(
    program: Program, page: ReceivedPage, opened: Callable[..., None]
) -> None:
    opened(elsewhere_record(observed("8339-4", 3420, "g")), "discharge.json")
    shown = ida_of(page)
    row = row_of(shown, "3420 g")
    row.beside.click()
    row.beside.click()
    settle(program)
    chart = chart_of(program)
    assert len(chart.all(ReceivedFact, shown.who)) == 1
    assert len(chart.all(ReceivedFile)) == 1
    assert chart.person(InfantIdentity, shown.who).birth_weight == Quantity("2,310 g", "g", 2310)


def test_a_fact_struck_out_on_the_family_s_page_stays_readable_in_the_log(
    program: Program, page: ReceivedPage, opened: Callable[..., None]
) -> None:
    opened(b"what,value\nBilirubin,180 umol/L\n", "ward.csv")
    shown = ida_of(page)
    press(program, row_of(shown, "Bilirubin").take)
    program.desk.family(page.home.chart.family)
    family = program.to("family")
    press(
        program, next(k for k in family.findChildren(QAbstractButton) if k.accessibleName().startswith("Strike out: B"))
    )
    child(family, QWidget, "Why it is struck out").setText("another baby’s")  # type: ignore[attr-defined]
    press(program, next(k for k in family.findChildren(Act) if k.text() == "Strike it out" and k.isVisible()))
    (entry,) = (e for e in chart_of(program).entries if e.place.form == "received_fact")
    assert entry.struck is not None
    assert read(program, lambda store: store.history(entry.id, At(STRUCK)))
    assert "Bilirubin" not in words(family)


def test_the_page_is_come_back_to_after_the_lock(program: Program, page: ReceivedPage) -> None:
    program.desk.lock()
    program.to("unlock")
    program.unlock(DEMO)
    assert program.to("received").home.chart.family == family_of(program)  # type: ignore[attr-defined]


def test_an_empty_page_asks_for_a_file_and_for_nothing_else(program: Program) -> None:
    program.desk.received(family_of(program))
    page = program.to("received")
    assert isinstance(page, ReceivedPage)
    assert page.choose.isVisible()
    assert not any(part.isVisible() for part in (page.stop, page.secret, page.open_key, page.trouble))
