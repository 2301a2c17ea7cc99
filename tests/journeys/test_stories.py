"""The acceptance stories, typed at the window: the line back up, the edge of ten, the sleepy one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from PySide6.QtPrintSupport import QPrinter

from demo_db.build import PASSPHRASE
from demo_db.ticking import at
from desktop.pages.papers import Papers
from forms.contact import UrgentContact
from forms.loops import open_loops
from tests.helpers.charting import Charter
from tests.helpers.family_story import add_family, begin_visit, weigh
from tests.helpers.papers import save_paper
from tests.helpers.person import K, Machine

SitDown = Callable[[Path], Charter]


def wren(person: Charter) -> None:
    """Wren's family, and a visit begun now."""
    person.unlock(PASSPHRASE)
    add_family(person, "Okafor-Bell", "Adaeze Okafor", "Wren Okafor-Bell", born="2 Mar 2026 06:10")
    begin_visit(person)


def figures_say(person: Charter, *words: str) -> None:
    """The live figures come to say each of these."""
    for each in words:
        person.until(lambda each=each: each in person.figures(), each)  # type: ignore[misc]


def test_the_line_back_up_across_a_clock_change(
    sit_down: SitDown, store: Path, machine: Machine, tmp_path: Path
) -> None:
    machine.at = at("2026-03-09 09:30")
    person = sit_down(store)
    wren(person)
    person.answer("infant.gestation_weeks", "39", "Wren")
    person.answer("infant.gestation_days", "4")
    figures_say(person, "7 d 2 h 20 min", "Day 8 of life")
    weigh(person, "Wren", "3,110 g", "5 Mar 2026 14:00", told=True)
    figures_say(person, "−9.1 %", "−310 g since birth", "3,110 g", "6 lb 13.7 oz")
    assert "NICE" not in person.urgent()
    weigh(person, "Wren", "3,075 g", "7 Mar 2026 10:30", told=True)
    figures_say(person, "−10.1 %", "−345 g since birth")
    urgent = person.urgent()
    assert "Same day: Wren Okafor-Bell" in urgent
    assert "3,075 g is −10.1 % (−10.09 %) from a birth weight of 3,420 g" in urgent
    for words in (
        "Assess, take a feeding history, and watch a whole feed",
        "Speak to the baby's provider",
        "NICE NG75",
    ):
        assert words in urgent
    weigh(person, "Wren", "3,190 g", "9 Mar 2026 09:30")
    figures_say(person, "−6.7 %", "−230 g since birth", "60.0 g/day", "115 g in 1.9 days since the weight before")
    assert "−10.1 %" not in person.urgent()
    for line in ("−9.1 % from birth", "−10.1 % (−10.09 %) from birth", "−6.7 % from birth"):
        assert person.sees(line)
    person.lock()
    machine.pass_by(days=7, minutes=30)
    person.unlock(PASSPHRASE)
    person.until_page("visit")
    person.press("Family Okafor-Bell")
    person.until_page("family")
    begin_visit(person)
    weigh(person, "Wren", "3,430 g", "16 Mar 2026 10:00")
    figures_say(
        person, "+0.3 %", "+10 g since birth", "ack to birth weight by day 14", "34.2 g/day",
        "240 g in 7.0 days since the weight before", "14 d 2 h 50 min",
    )  # fmt: skip
    assert person.urgent() == ""
    person.saved()
    plan = save_paper(person, "Family’s plan", tmp_path / "plan.pdf")
    for words in (
        "Our plan for Wren",
        "Monday 16 March 2026",
        "Wren weighed 3,430 g (7 lb 9.0 oz) at 10:00.",
        "Call 911 now if Wren",
    ):
        assert words in plan, words
    assert "Call now: Wren" not in plan
    for name in OTHER_FAMILIES:
        assert name not in plan


OTHER_FAMILIES = ("Thornquist", "Lindqvist", "Signe", "Finch-Adeyemi", "Arlo")


def test_the_edge_of_ten(sit_down: SitDown, office: Path, machine: Machine, tmp_path: Path) -> None:
    machine.at = at("2026-03-05 09:00")
    person = sit_down(office)
    wren(person)
    weigh(person, "Wren", "3,079 g", "08:40")
    figures_say(person, "−9.97 %")
    assert person.urgent() == ""
    weigh(person, "Wren", "3,078 g", "08:50")
    figures_say(person, "−10.0 % (−10.00 %)")
    assert "3,078 g is −10.0 % (−10.00 %) from a birth weight of 3,420 g" in person.urgent()
    weigh(person, "Wren", "3,077 g", "09:00")
    figures_say(person, "−10.03 %")
    assert "3,077 g is −10.03 %" in person.urgent()
    strike(person, "3,077 g", "A slip of the finger")
    assert "3,078 g is −10.0 % (−10.00 %)" in person.urgent()
    assert "3,077" not in person.urgent()
    page = save_paper(person, "Call-now page", tmp_path / "now.pdf")
    assert "3,078 g is −10.0 % (−10.00 %) from a birth weight of 3,420 g" in page
    assert "3,077" not in page
    person.section("weigh.scale")
    strike(person, "3,078 g", "Read from the wrong line")
    assert person.urgent() == ""
    figures_say(person, "−9.97 %")
    for words in ("Struck out: A slip of the finger", "Struck out: Read from the wrong line", "3,077 g", "3,078 g"):
        assert person.sees(words)
    person.lock()
    person.unlock(PASSPHRASE)
    person.until_sees("Struck out: A slip of the finger")


def strike(person: Charter, line: str, why: str) -> None:
    """Strike a weight out, as one is made to: with a reason."""
    person.saved()
    person.press_beside("Strike out", line)
    person.press("Strike it out")
    assert person.sees("Write why first")
    person.write("Why it is struck out", why)
    person.key(K.Key_Return)
    person.until_sees(f"Struck out: {why}")
    person.until_idle()


def arlo(person: Charter) -> None:
    """Arlo, five days and four hours old, told of and looked at."""
    person.unlock(PASSPHRASE)
    add_family(
        person, "Finch-Adeyemi", "Kemi Finch-Adeyemi", "Arlo Finch-Adeyemi", born="25 Feb 2026 12:00", weight="3,260 g"
    )
    begin_visit(person)
    weigh(person, "Arlo", "2,931 g", "2 Mar 2026 16:00")
    person.answer("infant_history.wets_24h", "2", "Arlo")
    person.answer("infant_history.urine_colour", ("urates",))
    person.answer("infant_history.stools_24h", "0")
    person.answer("infant_history.last_stool", "26 Feb 2026 15:00")
    person.answer("infant_assessment.colour", ("yellow",))
    person.answer("infant_assessment.yellow_extent", ("face", "chest", "belly", "legs"))
    person.answer("infant_assessment.waking", "hard_to_wake")


def test_the_sleepy_one(
    sit_down: SitDown, office: Path, machine: Machine, tmp_path: Path, no_network: list[str]
) -> None:
    machine.at = at("2026-03-02 16:00")
    person = sit_down(office)
    arlo(person)
    figures_say(person, "5 d 4 h", "−10.1 %", "2 wet, 0 stools")
    urgent = person.urgent()
    assert [urgent.index(words) for words in SIGNS] == sorted(urgent.index(words) for words in SIGNS)
    assert urgent.count("Source: ") == len(SIGNS)
    assert urgent.index("Emergency too") < urgent.index("Same day too")
    person.section("leave.sign")
    person.until_sees("Arlo Finch-Adeyemi shows 6 urgent signs, and what was done is not written down.")
    assert not person.buttons("Sign this visit")[0].isEnabled()

    person.press("Print call-now page")
    person.until_sees("Call-now page")
    page = save_paper(person, "Call-now page", tmp_path / "now.pdf")
    for words in ("Call now: Arlo", "Given before the note was finished.", "Call 911 or go to the emergency", *SEEN):
        assert words in page, words
    printed = tmp_path / "printed.pdf"
    print_paper(person, printed)
    assert printed.stat().st_size > 10_000

    contact(person, "tried_not_reached")
    person.answer("urgent_contact.tries", "The children's practice at 16:04, by phone")
    person.answer("urgent_contact.told_family_now", "Drive to the emergency department now")
    person.answer("urgent_contact.who_tries_next", "Rowan Vale")
    assert person.urgent() != ""
    person.answer("urgent_contact.next_when", "2 Mar 2026 16:20")
    person.until(lambda: person.urgent() == "", "no urgent sign to be open")
    person.section("leave.sign")
    assert not person.sees("urgent signs")
    plan = save_paper(person, "Family’s plan", tmp_path / "plan.pdf")
    assert plan.index("Call 911 or go to the emergency department now") < plan.index("Your goal")
    assert plan.index("Call 911 or go") < plan.index("Hard to wake, with yellow skin")
    for words in ("diagnos", "jaundice", "dehydrat", "sepsis"):
        assert words not in plan.lower()
    the_call_later(person, machine)
    the_report(person, tmp_path)
    the_outcome(person, machine)


SIGNS = (
    "Emergency: Arlo Finch-Adeyemi", "Emergency too: Yellow, with sleepiness", "Same day too: Yellow to the legs",
    "Same day too: 2,931 g is −10.1 % (−10.09 %) from a birth weight of 3,260 g",
    "Same day too: 2 wet diapers in 24 hours where 6 or more are expected, 0 stools in 24 hours where 3 or more",
    "Same day too: Pink-orange dust in the diaper after day 3 of life",
)  # fmt: skip
SEEN = ("Hard to wake, with yellow skin, low output", "Yellow to the legs", "Pink-orange dust", "2 wet diapers")


def contact(person: Charter, outcome: str) -> None:
    """Begin writing down an urgent contact about every sign of Arlo that is open."""
    person.section("plan.urgent", "Arlo")
    person.press("A contact, tried or made")
    if person.buttons("All of these"):
        person.press("All of these")
    person.answer("urgent_contact.at", "16:05")
    person.answer("urgent_contact.outcome", outcome)


def the_call_later(person: Charter, machine: Machine) -> None:
    """A quarter of an hour later somebody is reached: a contact of its own beside the first."""
    person.time_passes(minutes=15)
    person.section("plan.urgent", "Arlo")
    person.press("A contact, tried or made")
    person.answer("urgent_contact.at", "16:15")
    person.answer("urgent_contact.outcome", "reached")
    person.answer("urgent_contact.who", "Dr Brandreth, on call")
    person.answer("urgent_contact.read_back", True)
    person.answer("urgent_contact.instruction", "They are expected at the emergency department")
    person.saved()
    kept = [one.answers.outcome for one in person.home.chart.all(UrgentContact)]
    assert sorted(str(one) for one in kept) == ["reached", "tried_not_reached"]
    assert person.urgent() == ""


def the_report(person: Charter, folder: Path) -> None:
    """The page that follows the call: in ISBAR order, how urgent it is before everything else, no illness named."""
    person.section("arrive.release", "Arlo")
    person.press("A release")
    for question, value in (
        ("recipient", "Dr Ifeoma Brandreth"), ("scope", ("report",)), ("both_ways", True),
        ("given_by", "Kemi Finch-Adeyemi"), ("relation", "parent"), ("how", "signed"),
        ("given_at", "2 Mar 2026 16:20"), ("valid_from", "2 Mar 2026"), ("valid_until", "2 Sep 2026"),
    ):  # fmt: skip
        person.answer(f"release.{question}", value)
    person.section("leave.report", "Arlo")
    for question, value in (
        ("to", "Dr Ifeoma Brandreth"), ("must_know", "Hard to wake, and yellow to the legs."),
        ("asked", "To see him on arrival."), ("asked_by", "2 Mar 2026"),
        ("would_change", "Whatever is found there comes first."),
    ):  # fmt: skip
        person.answer(f"report.{question}", value)
    person.saved()
    report = save_paper(person, "Report to provider", folder / "report.pdf")
    assert report.startswith("Urgent report: Arlo Finch-Adeyemi")
    parts = ["Urgent: emergency, act now", "Written before the note was signed.", *ISBAR]
    places = [report.index(part) for part in parts]
    assert places == sorted(places)
    urgent = report[places[0] : places[1]]
    assert urgent.index("Emergency:") < urgent.index("Same day:")
    for words in ("yellow to the legs", "(−10.09 %) from a birth weight of 3,260 g", "2 wet diapers in 24 hours"):
        assert words in urgent, words
    for words in ("Already done", "Dr Brandreth, on call", "expected at the emergency department"):
        assert words in report[places[-1] :], words
    for words in ("jaundice", "dehydrat", "sepsis"):
        assert words not in report.lower()


ISBAR = ("I – Identification", "S – Situation", "B – Background", "A – Assessment", "R – Recommendation")


def the_outcome(person: Charter, machine: Machine) -> None:
    """What came of the call is a task of its own, due the next day."""
    (loop,) = (loop for loop in open_loops(person.home.chart) if loop.due is not None)
    assert (loop.words, loop.due) == ("Outcome of the call about Arlo", date(2026, 3, 3))
    to_families(person)
    person.until_sees("Outcome of the call about Arlo: due tomorrow")
    person.lock()
    machine.pass_by(days=2)
    person.unlock(PASSPHRASE)
    to_families(person)
    person.until_sees("Outcome of the call about Arlo: was due yesterday")


def to_families(person: Charter) -> None:
    """From wherever the window stands to the list of families."""
    person.until(lambda: person.page.objectName() in ("visit", "family", "caseload"), "a page of the record")
    if person.page.objectName() == "visit":
        person.press("Family Finch-Adeyemi")
        person.until_page("family")
    if person.page.objectName() == "family":
        person.press("Families")
    person.until_page("caseload")


def print_paper(person: Charter, place: Path) -> None:
    """Print the paper in view on a printer that writes into a file."""
    papers = next(one for one in person.window.findChildren(Papers) if one.isVisible())
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(place))
    papers.print_on(printer)
    person.until_sees("Printed.")
