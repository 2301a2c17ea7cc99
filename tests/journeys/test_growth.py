"""Growth told at the window: Wren's place on the WHO curves, and twins who have none before their term date."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from demo_db.build import PASSPHRASE
from demo_db.ticking import at
from desktop.controls.strip import Figure
from tests.helpers.charting import Charter
from tests.helpers.family_story import add_family, begin_visit, weigh
from tests.helpers.person import Machine
from tests.journeys.test_two_babies import twins

SitDown = Callable[[Path], Charter]


def figures_say(person: Charter, *words: str) -> None:
    """The live figures come to say each of these."""
    for each in words:
        person.until(lambda each=each: each in person.figures(), each)  # type: ignore[misc]


def explained(person: Charter, label: str) -> str:
    """What a figure says when asked how it is worked out."""
    drawn = next(one for one in person.visit.aside.figures.findChildren(Figure) if one.label.said() == label)
    person.click(drawn.link)
    figures_say(person, "Formula", "Source")
    return person.figures()


def test_wrens_place_on_the_who_curves_is_told_with_what_it_rests_on(
    sit_down: SitDown, store: Path, machine: Machine
) -> None:
    machine.at = at("2026-03-16 10:00")
    person = sit_down(store)
    person.unlock(PASSPHRASE)
    add_family(person, "Okafor-Bell", "Adaeze Okafor", "Wren Okafor-Bell", born="2 Mar 2026 06:10")
    begin_visit(person)
    person.answer("infant.gestation_weeks", "39", "Wren")
    person.answer("infant.gestation_days", "4")
    weigh(person, "Wren", "3,430 g", "16 Mar 2026 10:00")
    figures_say(person, "The sex for the growth table is not set: no WHO score")
    person.answer("infant.sex", "f", "Wren")
    figures_say(person, "z −0.28", "39th centile", "Day 14 of age", "At birth z +0.40")  # worked out apart (C)
    said = explained(person, "Weight for age, WHO")
    for words in (
        "Distance from the WHO median of the same sex and day of age",
        "Weight: 3,430 g (7 lb 9.0 oz), 16 Mar 2026, 10:00",
        "Table: female, day 14 of age, born 2 Mar 2026, 06:10",
        "WHO Child Growth Standards, 2006 (S)",
    ):
        assert words in said


def test_twins_have_no_score_before_their_term_date_and_one_at_their_corrected_age_after_it(
    sit_down: SitDown, office: Path, machine: Machine
) -> None:
    machine.at = at("2026-02-10 10:00")
    person = sit_down(office)
    twins(person)
    for name, before, now, gain, percent in (
        ("Ida", "2,520 g", "2,680 g", "22.9 g/day", "+16.0 %"),
        ("Juno", "2,500 g", "2,610 g", "15.7 g/day", "+21.7 %"),
    ):
        person.answer("infant.sex", "f", name)
        weigh(person, name, before, "3 Feb 2026 10:00", told=True)
        weigh(person, name, now, "10 Feb 2026 10:00")
        figures_say(
            person, gain, percent, "−4 d to term date", "Before the term date (−4 d to term date): no WHO score"
        )
        assert "z −" not in person.figures()
    person.saved()
    person.lock()
    machine.pass_by(days=20)
    person.unlock(PASSPHRASE)
    person.until_page("visit")
    person.press("Family Vane-Harrow")
    person.until_page("family")
    begin_visit(person)
    for name, grams, gain, z, centile in (
        ("Ida", "3,240 g", "28.0 g/day", "z −0.81", "21st centile"),
        ("Juno", "3,050 g", "22.0 g/day", "z −1.22", "11th centile"),
    ):
        weigh(person, name, grams, "2 Mar 2026 10:00")
        figures_say(person, gain, z, centile, "Corrected day 16 (49 d since birth)")  # worked out apart (C)
