"""From an empty folder to a signed plan and a letter that have left: one consultant's first day."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QLabel

from tests.helpers.charting import Charter
from tests.helpers.family_story import add_family, begin_visit, fill_the_rest
from tests.helpers.papers import save_paper, sign
from tests.helpers.records import carried_inside, openssl_takes

PASSPHRASE = "teasel by the second gate"

BORN = "2 Mar 2026 06:10"

SitDown = Callable[[Path], Charter]


def set_up(person: Charter) -> None:
    """The greeting, the passphrase, the sheet typed back, and what papers need to know."""
    person.until_page("first_launch")
    person.press("Begin")
    for _screen in range(3):
        person.press("Go on")
    person.write("Passphrase", "too short")
    person.write("Once more", "too short")
    person.press("Make the record")
    assert person.sees("15")
    assert not (person.folder / "keys").exists()
    person.write("Passphrase", PASSPHRASE)
    person.write("Once more", PASSPHRASE)
    person.press("Make the record")
    person.until_page("first_steps")
    person.until_sees("Your recovery sheet")
    groups = [
        one.text() for one in person.window.findChildren(QLabel)
        if one.isVisible() and one.text() and one.accessibleName() == " ".join(one.text()) and len(one.text()) > 2
    ]  # fmt: skip
    assert len(groups) == 9
    person.press("It is on paper")
    person.write("Recovery words, from the paper", " ".join(groups[:-1]))
    person.press("Check it")
    person.until_sees("do not fit together")
    person.write("Recovery words, from the paper", " ".join(groups).lower())
    person.press("Check it")
    person.until_sees("What papers need, 1 of 3")


def say_who(person: Charter) -> None:
    """Her name and practice as printed, and where she works."""
    person.answer("practitioner.full_name", "Isolde Hartwick")
    person.answer("practitioner.credentials", "IBCLC")
    person.answer("practitioner.phone", "555 0118")
    person.press("Go on")
    person.answer("practice.practice_name", "Teasel Lane Feeding Care")
    person.press("Go on")
    person.answer("practice.country", "us")
    assert person.question("practice.emergency_number").binding.value("emergency_number") == "911"
    assert person.sees("911")
    person.answer("practice.crisis_line", "988")
    person.press("Go on")
    person.until_sees("root key")
    person.press("Later")
    person.until_page("caseload")
    person.until_idle()


def add_provider(person: Charter) -> None:
    """Dr Quillan, in the address book, with what a letter needs."""
    person.press("Address book")
    person.until_page("address_book")
    person.press("New provider")
    person.answer("provider.full_name", "Dr Esme Quillan")
    person.answer("provider.phone", "555 0162")
    person.answer("provider.fax", "555 0163")
    person.answer("provider.profession", "ent")
    person.saved()
    person.press("Families")
    person.until_page("caseload")


def tell_the_story(person: Charter) -> None:
    """What this visit is about, typed: the weight, the goal, three tasks, an amount, what comes next."""
    person.section("weigh.scale", "Pim")
    person.press("On the scale now")
    person.answer("weight.weight", "3,610 g")
    person.answer("weight.state", "bare")
    person.answer("weight.taken", "16:30")
    person.answer("weight.scale_name", "Blue scale")
    person.answer("weight.by_whom", "Isolde Hartwick")
    person.answer("plan.goal", "I want to feed him lying down.", "Pim")
    person.answer("plan.went_well", "He came off by himself, hands open.")
    person.section("plan.tasks")
    for key, (what, how_often) in zip(("The first thing", "A second thing", "A third thing"), TASKS, strict=True):
        person.press(key)
        person.answer("plan_task.what", what)
        person.answer("plan_task.how_often", how_often)
        person.answer("plan_task.until", "Monday")
        person.answer("plan_task.who", "Tove")
    person.answer("feeding_amount.extra_milk", True)
    person.answer("feeding_amount.per_feed", "30 mL")
    person.answer("feeding_amount.times_per_day", "4")
    person.answer("feeding_amount.milks", ("own",))
    person.answer("plan.watch_baby", ("sleepy", "few_wets"))
    person.answer("plan.followup_kind", "home")
    person.answer("plan.followup_at", "5 Mar 2026 14:15")
    person.saved()


TASKS = (
    ("Feed Pim when he turns his head.", "8 times in a day and a night"),
    ("Count to 30, and take him off if it still hurts.", "each feed"),
    ("After 4 of the feeds give 30 mL of your own milk.", "4 times"),
)


LETTER = {
    "opening_reason": "The tip draws in when he lifts his tongue.",
    "associated_symptoms": "Clicks, and slides off when tired.",
    "management_so_far": "Leaned back, chin first: pain 7 to 5.",
    "expected": "A look at the movement of his tongue.",
}


def write_letter(person: Charter) -> None:
    """A release for Dr Quillan, and a letter with one question."""
    person.section("arrive.release", "Pim")
    person.press("A release")
    person.answer("release.recipient", "Dr Esme Quillan")
    person.answer("release.scope", ("referral",))
    person.answer("release.given_by", "Tove Oakhanger")
    person.answer("release.valid_from", "2 Mar 2026")
    person.answer("release.valid_until", "2 Sep 2026")
    person.answer("referral.to", "Dr Esme Quillan")
    person.answer("referral.question", "Does the movement of his tongue need a closer look?")
    person.answer("referral.urgency", "two_weeks")
    person.answer("referral.reply_by", "16 Mar 2026")
    person.answer("referral.reply_to", "555 0118")
    for field, words in LETTER.items():
        person.answer(f"referral.{field}", words)
    person.answer("referral.parent_has_copy", True)
    person.saved()


ITEMS = (
    "Who", "Reason", "Complaint", "With it", "Told by others", "Medical history", "Operations", "Home and support",
    "Medicines", "Allergies", "Findings", "Results", "Done so far", "Impression", "What is asked",
)  # fmt: skip
PLAN = (
    "Our plan for Pim", "for Tove Oakhanger", "“I want to feed him lying down.”", "He came off by himself, hands open.",
    "Feed Pim when he roots.", "How often: 8 times in a day and a night. Until: Monday. Who: Tove.",
    "Count to 30, and take him off if it still hurts.", "After 4 of the feeds give 30 mL of your own milk.",
    "1 oz (30 mL)", "4 times", "4 oz (120 mL)", "3,610 g", "Call 911 now", "988 or 911",
    "Thursday 5 March, 14:15: a visit at home.", "too sleepy to finish two feeds in a row",
    "Isolde Hartwick", "IBCLC", "555 0118", "Teasel Lane Feeding Care",
)  # fmt: skip
HEAD = (
    "Referral: Pim Oakhanger-Lisle", "Dr Esme Quillan", "555 0162", "Does the movement of his tongue need a closer look?",
    "Within one to two weeks", "16 March 2026", "555 0118", "Told by others not known", "Results not known", "Weight 3,610 g", "+5.6 % from birth",
)  # fmt: skip
OTHERS = ("Brindlecombe", "Una", "Kit ")


def test_from_an_empty_folder_to_a_signed_plan_and_a_letter_that_have_left(sit_down: SitDown, tmp_path: Path) -> None:
    person = sit_down(tmp_path / "mine")
    set_up(person)
    say_who(person)
    add_family(person, "Brindlecombe", "Una Brindlecombe", "Kit Brindlecombe", born=BORN)
    person.press("Families")
    person.until_page("caseload")
    add_provider(person)
    add_family(person, "Oakhanger-Lisle", "Tove Oakhanger", "Pim Oakhanger-Lisle", born=BORN)
    begin_visit(person)
    tell_the_story(person)
    write_letter(person)
    fill_the_rest(person, person.home.parents()[0], person.home.infants()[0])
    person.saved()

    before = save_paper(person, "Family’s plan", tmp_path / "before.pdf")
    assert "Given before the note was finished." in before
    assert "Feed Pim when he turns his head." in before
    person.section("plan.tasks")
    person.press("Change", nth=0)
    person.answer("plan_task.what", "Feed Pim when he roots.")
    after = save_paper(person, "Family’s plan", tmp_path / "after.pdf")
    assert "Feed Pim when he roots." in after
    assert "turns his head" not in after

    sign(person)
    plan = save_paper(person, "Family’s plan", tmp_path / "plan.pdf")
    for words in PLAN:
        assert words in plan, words
    letter = save_paper(person, "Letter to Dr Esme Quillan", tmp_path / "letter.pdf")
    for number, item in enumerate(ITEMS, start=1):
        assert f"{number} {item} " in letter, item
    for words in (*LETTER.values(), *HEAD):
        assert words in letter, words
    for paper in (plan, letter):
        assert not [name for name in OTHERS if name in paper]
    for name in ("plan.pdf", "letter.pdf"):
        told = subprocess.run(["pdfsig", str(tmp_path / name)], capture_output=True, text=True, check=False).stdout
        assert "Signature is Valid." in told
        assert "Total document signed" in told
    inside = carried_inside((tmp_path / "letter.pdf").read_bytes(), tmp_path / "inside")
    record, signature = (tmp_path / f"letter.fhir.json{more}" for more in ("", ".p7s"))
    assert inside == {"record.fhir.json": record.read_bytes(), "record.fhir.json.p7s": signature.read_bytes()}
    assert openssl_takes(record.read_bytes(), signature.read_bytes(), tmp_path)
    assert b"Pim Oakhanger-Lisle" in record.read_bytes()
    assert not list(tmp_path.glob("plan*.json"))
