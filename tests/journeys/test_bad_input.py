"""What is typed wrong at the window: refused in one sentence, or asked about once and then kept, or kept whole."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from demo_db.build import PASSPHRASE
from forms.answers import Quantity
from forms.ask import Path as At
from forms.feed import FeedObservation
from forms.note import blanks
from forms.visit import Visit
from forms.weight import WeightReading
from tests.helpers.charting import Charter
from tests.helpers.family_story import weigh
from tests.helpers.papers import save_paper
from tests.helpers.person import K
from tests.helpers.stores import files_of

SitDown = Callable[[Path], Charter]
SENTENCE = re.compile(r"[A-Z“].{10,200}[.?]")


# --- refused --------------------------------------------------------------------------------------------------------


def test_an_answer_that_cannot_be_is_refused_in_a_sentence_and_what_was_kept_stays(visiting: Charter) -> None:
    person = visiting
    weigh(person, "Gil", "3,410 g", "9 Mar 2026 09:50")
    person.answer("infant_history.wets_24h", "6", "Gil")
    person.answer("infant_history.feeds_24h", "9")
    person.saved()
    before = person.home.chart
    wrong = (
        ("weight.weight", ("299 g", "25,001 g", "three kilos", "3,4x0 g", "7 lb 17 oz", "7 lb 250 g", "3 kg 200 g")),
        ("infant_history.wets_24h", ("six", "-1", "41", "6.5")),
        ("infant_history.feeds_24h", ("many",)),
        ("infant_history.last_wet", ("yesterday", "31 Feb 2026 10:00", "25:61")),
        ("infant.born", ("2 Mar 2026", "soon")),
    )
    for path, texts in wrong:
        if path == "weight.weight":
            person.section("weigh.scale", "Gil")
            if person.buttons("Change"):
                person.press("Change")
        for text in texts:
            question = person.answer(path, text, "Gil")
            assert SENTENCE.match(person.sentence(path)), (path, text, person.sentence(path))
            assert person.sees(text, question)
        person.click(question.controls()[0].box)  # type: ignore[attr-defined]
        person.key(K.Key_Escape)
        assert person.sentence(path) == ""
    person.saved()
    assert person.home.chart == before


def test_a_weight_without_a_unit_is_refused_until_a_unit_is_picked(visiting: Charter) -> None:
    person = visiting
    person.lock()
    person.unlock(PASSPHRASE)
    person.until_page("visit")
    person.section("weigh.scale", "Gil")
    person.press("On the scale now")
    question = person.answer("weight.weight", "3410")
    assert "Say which unit this is in" in person.sentence("weight.weight")
    assert question.binding.value("weight") is None
    person.press("g", question)
    assert person.sentence("weight.weight") == ""
    kept = question.binding.value("weight")
    assert isinstance(kept, Quantity)
    assert kept.base == 3410


def test_the_fever_limit_fires_in_either_unit_and_a_tenth_below_it_does_not(visiting: Charter) -> None:
    # 38.0 C is 100.4 F exactly; EMERGENCY at 0 to 28 days (NICE NG143, AAP 2021, S).
    person = visiting
    for typed, fires in (("100.3 F", False), ("100.4 F", True), ("37.9 C", False), ("38.0 C", True)):
        person.answer("infant_assessment.temperature", typed, "Gil")
        person.until(lambda fires=fires: ("Emergency" in person.urgent()) is fires, typed)  # type: ignore[misc]
    assert person.sentence("infant_assessment.temperature") == ""


def test_a_feed_that_would_end_before_it_began_is_refused_and_its_beginning_stays(visiting: Charter) -> None:
    person = visiting
    parent, baby = person.home.parents()[0], person.home.infants()[0]
    person.bulk(FeedObservation, parent, baby, observed="seen", left={"used": "fed", "latched": "2026-03-09 09:40"})
    person.answer("feed.let_go@left", "9 Mar 2026 09:20", "Gil")
    assert SENTENCE.match(person.sentence("feed.let_go"))
    kept = person.home.chart.all(FeedObservation)[0].answers
    assert kept.let_go.left is None
    assert kept.latched.left.local().strftime("%H:%M") == "09:40"  # type: ignore[union-attr]
    person.answer("feed.let_go@left", "9 Mar 2026 09:40", "Gil")
    assert person.sentence("feed.let_go") == ""


def test_a_mood_total_of_31_or_an_item_of_4_is_refused_and_a_blank_item_is_no_zero(visiting: Charter) -> None:
    person = visiting
    stand = person.stands.of("parent_history", "screen_form")
    assert stand is not None
    person.section(stand.section, "Bea")
    person.press("Mood")
    person.answer("parent_history.screen_form", "epds", "Bea")
    for field, wrong, right in (("screen_total", "31", "30"), ("screen_item_10", "4", "3")):
        path = f"parent_history.{field}"
        person.answer(path, wrong, "Bea")
        assert SENTENCE.match(person.sentence(path))
        assert person.value(path, "Bea") is None
        if field == "screen_total":
            person.answer(path, "9", "Bea")
            person.until(lambda: person.value("parent_history.screen_item_10", "Bea") is None, "the blank item")
            assert any(blank.path == At("screen_item_10") for blank in blanks(person.home.chart))
        else:
            person.answer(path, right, "Bea")
            person.until(lambda: "Emergency" in person.urgent(), "a thought of harm, not answered since")


def test_sixty_one_in_a_box_for_minutes_is_refused(visiting: Charter) -> None:
    person = visiting
    person.press("Family Fennimore")
    person.until_page("family")
    person.press("Write down a call or message")
    question = person.answer("contact.minutes", "61")
    assert SENTENCE.match(person.sentence("contact.minutes"))
    assert question.binding.value("minutes") is None
    person.answer("contact.minutes", "60")
    assert question.binding.value("minutes") == 60
    person.answer("contact.minutes", "61")
    assert question.binding.value("minutes") == 60


def test_a_family_name_of_only_spaces_is_refused(sit_down: SitDown, office: Path) -> None:
    person = sit_down(office)
    person.unlock(PASSPHRASE)
    person.press("New family")
    person.write("Family name", "   ")
    person.press("Begin")
    person.until_sees("only spaces")
    person.key(K.Key_Escape)
    person.until_idle()
    assert person.sees("No family yet")


# --- stores that cannot be opened -----------------------------------------------------------------------------------


def test_a_paper_or_a_folder_of_other_things_given_as_a_store_is_refused_and_left_alone(
    sit_down: SitDown, tmp_path: Path
) -> None:
    paper, folder = tmp_path / "plan.pdf", tmp_path / "photos"
    paper.write_bytes(b"%PDF-1.7\n%%EOF\n")
    folder.mkdir()
    (folder / "one.txt").write_text("one")
    before = files_of(tmp_path)
    for wrong in (paper, folder):
        person = sit_down(wrong)
        person.until_sees("is not a Hearthside store. Choose the folder that holds the store; nothing was changed.")
    assert files_of(tmp_path) == before


def test_a_second_window_on_one_store_is_refused(sit_down: SitDown, office: Path) -> None:
    first, second = sit_down(office), sit_down(office)
    first.window.activateWindow()
    first.until(first.window.isActiveWindow, "the first window")
    first.unlock(PASSPHRASE)
    second.window.activateWindow()
    second.until(second.window.isActiveWindow, "the second window")
    second.write("Passphrase", PASSPHRASE)
    second.key(K.Key_Return)
    second.until_sees("This store is already open in another window. Use that window, or close it first.")
    assert first.page.objectName() == "caseload"


@pytest.mark.parametrize(
    ("file", "sentence"),
    [("keys/passphrase.slot", "is damaged"), ("record.db", "The record in this folder is damaged")],
)
def test_a_damaged_store_is_told_in_a_sentence_and_left_alone(
    sit_down: SitDown, office: Path, file: str, sentence: str
) -> None:
    data = bytearray((office / file).read_bytes())
    data[len(data) // 2] ^= 1
    (office / file).write_bytes(data)
    before = files_of(office)
    person = sit_down(office)
    person.write("Passphrase", PASSPHRASE)
    person.key(K.Key_Return)
    person.until_sees(sentence)
    assert person.program.gate.session is None
    assert {name: data for name, data in files_of(office).items() if name in before} == before


@pytest.fixture
def read_only(tmp_path: Path) -> Iterator[Path]:
    """A folder on a disk that cannot be written to."""
    disk = tmp_path / "disk"
    disk.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=2m,ro", "tmpfs", disk], check=False).returncode:
        pytest.skip("no mount here")
    yield disk
    subprocess.run(["umount", disk], check=True)


def test_a_folder_without_rights_is_refused_at_the_first_launch(sit_down: SitDown, read_only: Path) -> None:
    person = sit_down(read_only / "mine")
    person.press("Begin")
    for _screen in range(3):
        person.press("Go on")
    person.write("Passphrase", PASSPHRASE)
    person.write("Once more", PASSPHRASE)
    person.press("Make the record")
    person.until_sees("cannot be written to. Choose another or change its permissions; nothing was changed.")
    assert not any(read_only.iterdir())
    assert person.page.objectName() == "first_launch"


# --- asked once, then kept ------------------------------------------------------------------------------------------


def test_a_jump_in_weight_and_a_time_ahead_are_asked_about_once_and_kept_as_typed(visiting: Charter) -> None:
    person = visiting
    weigh(person, "Gil", "3,300 g", "8 Mar 2026 10:00", told=True)
    weigh(person, "Gil", "2,500 g", "9 Mar 2026 18:00")
    person.until_sees("would move by more than 15 % or 400 g in a day. Is it as the scale showed?")
    assert person.sees("This time is still to come. Is this device's clock right, and the time as meant?")
    person.press("Yes, as typed")
    assert not person.buttons("Yes, as typed")
    person.saved()
    person.section("weigh.size")
    person.section("weigh.scale")
    assert person.sees("−3.5 % from birth.\n")  # nor is it asked at the weight before
    assert not person.buttons("Yes, as typed")
    assert person.sees("As typed.")
    kept = person.home.chart.all(WeightReading, person.home.infants()[0])[-1].answers
    assert kept.weight.base == 2500  # type: ignore[union-attr]
    assert kept.taken.local().strftime("%d %H:%M") == "09 18:00"  # type: ignore[union-attr]


def test_a_visit_before_the_birth_is_asked_about_once_and_kept_as_typed(visiting: Charter) -> None:
    person = visiting
    person.answer("visit.start", "1 Mar 2026 10:00", "Gil")
    person.until_sees("This visit would be before Gil was born. Is that so?")
    person.press("Yes, as typed")
    assert not person.buttons("Yes, as typed")
    person.saved()
    person.section("arrive.room")
    person.section("arrive.visit")
    assert not person.buttons("Yes, as typed")
    start = person.home.chart.person(Visit, person.home.chart.visit or "").start
    assert start.local().strftime("%d %H:%M") == "01 10:00"  # type: ignore[union-attr]


# --- kept whole -----------------------------------------------------------------------------------------------------

NAMES = ("نور عبد الرحمن", "D’Arcy O'Neill-Þórsdóttir", "Prince", "Zoë 🍼👶🏽")


def test_names_are_kept_as_they_are_written(visiting: Charter) -> None:
    person = visiting
    for name in NAMES:
        person.answer("infant.legal_name", name)
        person.saved()
        person.lock()
        person.unlock(PASSPHRASE)
        person.until_page("visit")
        assert person.value("infant.legal_name") == name
        assert person.sees(name, person.question("infant.legal_name"))
        assert person.buttons(name)


def test_a_hundred_thousand_characters_pasted_into_a_note_are_kept_to_the_last(visiting: Charter) -> None:
    person = visiting
    long = "".join(f"{number:06d} fed well 🍼 " for number in range(5_800))[:100_000]
    person.answer("infant_history.more", long, "Gil", pasted=True)
    person.saved()
    person.lock()
    person.unlock(PASSPHRASE)
    person.until_page("visit")
    assert person.value("infant_history.more", "Gil") == long


def test_a_name_the_papers_letters_lack_asks_for_the_name_as_printed(visiting: Charter, tmp_path: Path) -> None:
    person = visiting
    person.answer("infant.called_name", "نور", "Gil")
    person.saved()
    person.section("leave.papers")
    person.until_sees("fill in “Name as printed” for that person")
    assert not person.buttons("Save as a file")[0].isEnabled()
    person.answer("infant.name_as_printed", "Nour")
    text = save_paper(person, "Family’s plan", tmp_path / "plan.pdf")
    assert "Our plan for Nour" in text
    assert person.value("infant.called_name") == "نور"
