"""A first visit in a process of its own, to a family that speaks Spanish: from the passphrase to signed papers that left.

`python -m tests.helpers.spanish_visit STORE FOLDER`: the papers go into FOLDER; ids are told on standard output.
"""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication

from demo_db.build import PASSPHRASE
from demo_db.ticking import at
from desktop.controls.typed import Typed
from desktop.pages.papers import Papers
from forms.consent import Consent
from forms.people import ParentIdentity
from forms.visit import Present
from tests.helpers.charting import Charter
from tests.helpers.family_story import add_family, begin_visit, fill_the_rest, weigh
from tests.helpers.papers import save_paper, sign
from tests.helpers.person import Machine

__all__ = ["GOAL", "GOAL_IN_SPANISH", "STRENGTH_IN_SPANISH", "TASKS"]

GOAL = "I want to breastfeed without worrying that he gets too little."
GOAL_IN_SPANISH = "Quiero dar pecho sin preocuparme de que le falte leche."
STRENGTH_IN_SPANISH = "Con ganas y con calma."
TASKS = (
    ("The first thing", "Feed your baby at the first signs of hunger: hands to the mouth, a turning head.",
     "At least 8 times in a day and a night", "The next visit"),
    ("A second thing", "Lean back, and let your baby come to you chin first.", "Each feed", "It stops hurting"),
    ("A third thing", "After 4 feeds each day, give 30 mL (1 oz) of your own milk.", "4 times", "The next weight"),
)  # fmt: skip


def _story(person: Charter, mother: str) -> None:
    """The weight, history and feed a first visit has, of which the story tells no more."""
    person.bulk(ParentIdentity, entity=mother, language="Spanish", interpreter_need="none")
    weigh(person, "Andrés", "3,230 g", "15:05")
    person.bulk(Present, full_name="Marisol Ruiz", part="other", hears_all=True, person=None)
    for purpose in ("terms", "privacy_notice"):
        person.bulk(
            Consent, mother, purpose=purpose, agreed="yes", given_by="Lucía Peñaloza-Ruiz", relation="self",
            how="signed", given_at="2026-02-28 15:06",
        )  # fmt: skip
    person.saved()


def _plan(person: Charter) -> None:
    """Typed and picked: goal, three tasks out of the ready sentences, the amount, and how it is left."""
    person.answer("plan.goal", GOAL, "Andrés")
    person.answer("plan.went_well", "You heard your baby swallow.")
    person.section("plan.tasks")
    for key, what, how_often, until in TASKS:
        person.press(key)
        person.answer("plan_task.what", what)
        person.answer("plan_task.how_often", how_often)
        person.answer("plan_task.until", until)
        person.answer("plan_task.who", "Lucía and Marisol")
    person.answer("feeding_amount.extra_milk", True)
    person.answer("feeding_amount.per_feed", "30 mL")
    person.answer("feeding_amount.times_per_day", "4")
    person.answer("feeding_amount.milks", ("own",))
    person.answer("feeding_amount.method", "bottle")
    person.answer("feeding_amount.until", "The next weight")
    person.answer("plan.followup_kind", "home")
    person.answer("plan.followup_at", "3 Mar 2026 10:30")
    person.answer("plan.weight_check_by", "Rowan Vale, on Tuesday")
    person.answer("plan.teach_back", ("said",))
    person.answer("plan.teach_back_with", "Lucía and her aunt")
    person.answer("plan.language", "es")
    person.answer("plan.left_how", ("printed",))
    person.answer("plan.left_with", "mother and aunt")
    person.answer("plan.left_at", "28 Feb 2026 15:40")
    person.saved()


def _word_in_spanish(person: Charter) -> None:
    """The plan in Spanish waits for her own words, and has a box beside each; typed there, the pages come."""
    person.section("leave.papers")
    person.press("Plan in Spanish")
    person.until_idle()
    person.until_sees("The plan in Spanish waits for the Spanish words of")
    (papers,) = person.window.findChildren(Papers)
    assert papers.shown is None
    for written, spanish in ((GOAL, GOAL_IN_SPANISH), ("Keen and calm.", STRENGTH_IN_SPANISH)):
        assert person.sees(written, papers)
        assert papers.wanted is not None
        control = papers.wanted.boxes[written].slots()[0].control
        assert isinstance(control, Typed)
        person.type_answer(control, spanish)
    person.saved()
    person.until(lambda: papers.shown is not None, "the pages in Spanish")


def _print(person: Charter, folder: Path) -> None:
    """Print the plan in Spanish in large print, as a printer would take it."""
    (papers,) = person.window.findChildren(Papers)
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(folder / "printed.pdf"))
    papers.print_on(printer)
    person.until_sees("Printed.")


def _visit(person: Charter, folder: Path) -> None:
    person.unlock(PASSPHRASE)
    add_family(person, "Peñaloza-Ruiz", "Lucía Peñaloza-Ruiz", "Andrés Peñaloza-Ruiz", born="20 Feb 2026 09:40",
               weight="3,310 g")  # fmt: skip
    begin_visit(person)
    mother, baby = person.home.parents()[0], person.home.infants()[0]
    _story(person, mother)
    _plan(person)
    fill_the_rest(person, mother, baby)
    person.saved()
    _word_in_spanish(person)
    sign(person)
    save_paper(person, "Family’s plan", folder / "plan-en.pdf")
    save_paper(person, "Plan in Spanish", folder / "plan-es.pdf")
    person.press("Large print")
    person.until_idle()
    save_paper(person, "Plan in Spanish", folder / "plan-es-large.pdf")
    _print(person, folder)
    person.saved()
    print(person.home.chart.family, person.home.chart.visit)


def main(store: str, folder: str) -> None:
    """Do the visit; whatever goes wrong ends the process with its trace."""
    QApplication(sys.argv[:1])
    person = Charter(Path(store), Machine(at("2026-02-28 15:38"))).come()
    try:
        _visit(person, Path(folder))
    finally:
        person.go_home()


if __name__ == "__main__":
    main(*sys.argv[1:])
