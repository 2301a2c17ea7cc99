"""Twins at one visit: their weights typed in turn, nothing crosses, and a weight that fits the other is asked about once."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from demo_db.build import PASSPHRASE
from demo_db.ticking import at
from forms.weight import WeightReading
from tests.helpers.charting import Charter
from tests.helpers.family_story import begin_visit, weigh
from tests.helpers.person import K, Machine

SitDown = Callable[[Path], Charter]


def twins(person: Charter) -> None:
    """Ida and Juno, with the numbers of their story, and a visit begun on 2 March at 10:00."""
    person.unlock(PASSPHRASE)
    person.press("New family")
    person.write("Family name", "Vane-Harrow")
    person.press("Begin")
    person.until_page("family")
    person.press("Add a parent or carer")
    person.until(lambda: len(person.home.parents()) == 1, "the parent")
    person.answer("parent.full_name", "Mara Vane")
    person.press("Close Mara Vane")
    for count, (name, weight, tag) in enumerate((("Ida", "2,310 g", "circle"), ("Juno", "2,145 g", "square")), start=1):
        person.press("Add a baby")
        person.until(lambda count=count: len(person.home.infants()) == count, "the baby")  # type: ignore[misc]
        person.answer("infant.legal_name", f"{name} Vane-Harrow")
        person.answer("infant.called_name", name)
        assert person.question("infant.tag_shape").binding.value("tag_shape") == tag
        person.answer("infant.plurality", "2")
        person.answer("infant.birth_order", str(count))
        person.answer("infant.born", "12 Jan 2026 06:10")
        person.answer("infant.birth_weight", weight)
        person.answer("infant.gestation_weeks", "35")
        person.answer("infant.gestation_days", "2")
        person.press(f"Close {name} Vane-Harrow")
    begin_visit(person)


def grams(person: Charter, name: str) -> list[int]:
    baby = next(one for one in person.home.infants() if person.home.names(one) == name)
    found = person.home.chart.all(WeightReading, baby)
    return [one.answers.weight.base for one in sorted(found, key=lambda one: one.answers.taken.at)]  # type: ignore[union-attr]


def test_weights_typed_in_turn_stay_with_their_baby_and_a_swap_is_asked_about_once(
    sit_down: SitDown, office: Path, machine: Machine
) -> None:
    machine.at = at("2026-03-02 10:00")
    person = sit_down(office)
    twins(person)
    for day, ida, juno in (("3 Feb", "2,520 g", "2,500 g"), ("10 Feb", "2,680 g", "2,610 g")):
        weigh(person, "Ida", ida, f"{day} 2026 10:00", told=True)
        weigh(person, "Juno", juno, f"{day} 2026 10:00", told=True)
    assert grams(person, "Ida") == [2520, 2680]
    assert grams(person, "Juno") == [2500, 2610]
    asked = len([one for one in person.buttons("Yes, as typed") if one.isVisible()])
    assert asked == 0

    weigh(person, "Ida", "3,050 g", "2 Mar 2026 10:00")
    weigh(person, "Juno", "3,240 g", "2 Mar 2026 10:00")
    person.until_sees("This weight fits Ida's line better than Juno's. Is it Juno's?")
    person.write("How you know it is as typed", "name band read aloud")
    person.press("Yes, as typed")
    person.until_sees("As typed, name band read aloud.")
    assert not person.buttons("Yes, as typed")
    person.section("weigh.scale", "Ida")
    person.until_sees("This weight fits Juno's line better than Ida's. Is it Ida's?")
    person.saved()
    person.lock()
    person.unlock(PASSPHRASE)
    person.until_page("visit")
    person.section("weigh.scale", "Juno")
    person.until_sees("3,240 g")
    person.press_beside("Change", "3,240 g")
    assert person.sees("As typed, name band read aloud.")
    assert not person.buttons("Yes, as typed")
    assert grams(person, "Ida") == [2520, 2680, 3050]
    assert grams(person, "Juno") == [2500, 2610, 3240]


def test_answers_typed_while_switching_babies_with_one_key_cross_nothing(
    sit_down: SitDown, office: Path, machine: Machine
) -> None:
    machine.at = at("2026-03-02 10:00")
    person = sit_down(office)
    twins(person)
    for wets in ("7", "8", "9"):
        for baby, extra in (("Ida", ""), ("Juno", "1")):
            question = person.go_to("infant_history.wets_24h", baby)
            person.click(question.controls()[0].box)  # type: ignore[attr-defined]
            person.control(K.Key_A)
            person.keys(extra + wets)
            person.key(K.Key_F6)
    person.saved()
    assert person.value("infant_history.wets_24h", "Ida") == 9
    assert person.value("infant_history.wets_24h", "Juno") == 19


def test_a_confirmed_swap_moves_both_weights_with_its_reason_and_is_taken_back_as_one_step(
    sit_down: SitDown, office: Path, machine: Machine
) -> None:
    # Worked out apart: as typed 18.5 and 31.5 g/day, swapped 28.0 and 22.0 g/day.
    machine.at = at("2026-03-02 10:00")
    person = sit_down(office)
    twins(person)
    for day, ida, juno in (("3 Feb", "2,520 g", "2,500 g"), ("10 Feb", "2,680 g", "2,610 g")):
        weigh(person, "Ida", ida, f"{day} 2026 10:00", told=True)
        weigh(person, "Juno", juno, f"{day} 2026 10:00", told=True)
    weigh(person, "Ida", "3,050 g", "2 Mar 2026 10:00")
    weigh(person, "Juno", "3,240 g", "2 Mar 2026 10:00")
    person.until_sees("As typed Juno 31.5 g/day and Ida 18.5 g/day; swapped Juno 22.0 g/day and Ida 28.0 g/day.")
    person.write("How you know it is as typed", "bands read aloud")
    person.press("Swap it with Ida Vane-Harrow’s 3,050 g")
    person.until(lambda: grams(person, "Juno") == [2500, 2610, 3050], "Juno's own weight")
    assert grams(person, "Ida") == [2520, 2680, 3240]
    person.until_sees("22.0 g/day")
    assert person.sees("Typed for Ida Vane-Harrow, moved to Juno Vane-Harrow as theirs: bands read aloud.")
    assert person.sees("Struck out: Typed for Juno Vane-Harrow, moved to Ida Vane-Harrow: bands read aloud.")
    person.section("weigh.scale", "Ida")
    person.until_sees("28.0 g/day")
    assert person.sees("Typed for Juno Vane-Harrow, moved to Ida Vane-Harrow as theirs: bands read aloud.")
    assert person.sees("Struck out: Typed for Ida Vane-Harrow, moved to Juno Vane-Harrow: bands read aloud.")
    assert not person.buttons("Yes, as typed")
    person.home.take_back()
    person.until(lambda: grams(person, "Ida") == [2520, 2680, 3050], "the weights as they were typed")
    assert grams(person, "Juno") == [2500, 2610, 3240]
