"""The plan in Spanish says what the English one says; what she typed is worded by a person, or the plan is refused."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from forms.answers import Conflicted, Variant
from forms.chart import Chart, Entry, Place, entry_id
from forms.family_language import FamilyLanguage, wording_id
from forms.infant import InfantAssessment
from forms.papers.family_plan import family_plan
from forms.papers.outline import Alarm, Foot, Outline, Task, words_of
from forms.papers.scope import SCOPE, ScopeTooThin, left_out
from forms.papers.tongue import WordsMissing
from forms.phrases.languages import RightToLeft
from forms.plan import Plan
from forms.scope_wording import ScopeWording
from forms.trouble import Unresolved
from tests.helpers import thornbury as t

WORDED = {
    "I want to feed both of them without it hurting.": "Quiero dar pecho a las dos sin dolor.",
    "Ida took 26 mL from the left side. You heard her swallow.": "Ida tomó 26 mL del lado izquierdo. Usted la oyó tragar.",
    "Ida wakes by herself and asks for milk.": "Ida se despierta sola y pide leche.",
    "Feed each baby when she turns her head or brings hands to her mouth. Wake them if they sleep on.":
        "Alimente a cada bebé cuando gire la cabeza o se lleve las manos a la boca. Despiértelas si siguen dormidas.",
    "If it still hurts after you count to 30, slip a clean finger into the corner of her mouth. Take her off and try "
    "again.": "Si todavía duele al contar hasta 30, ponga un dedo limpio en la comisura. Retírela e intente otra vez.",
    "Give 30 mL of your own milk by bottle. Go slowly, with pauses.": "Dé 30 mL de su leche con biberón. Despacio.",
}  # fmt: skip


def wording(english: str, spanish: object, language: str = "es") -> Entry[FamilyLanguage]:
    answers = FamilyLanguage(language=language, english=english, words=spanish)  # type: ignore[arg-type]
    place = Place(FamilyLanguage.name, t.FAMILY, t.VISIT)
    return Entry(wording_id(t.VISIT, language, english), place, answers, t.WRITER, t.START)


def worded(*more: Entry[FamilyLanguage]) -> Chart:
    return t.whole(*(wording(*pair) for pair in WORDED.items()), *more)


def made(language: str = "es", chart: Chart | None = None, **more: bool) -> Outline:
    return family_plan(chart or worded(), writer=t.WRITER, now=t.NOW, language=language, **more)


def figures(outline: Outline) -> list[str]:
    return re.findall(r"\d[\d.,:]*\d|\d", words_of(outline))


def test_both_languages_have_the_same_figures_in_the_same_order_and_the_same_pictures() -> None:
    spanish, english = made(), made("en")
    assert figures(spanish) == figures(english)
    assert len(figures(spanish)) > 40
    numbered = [[(b.number, type(b.picture)) for b in one.blocks if isinstance(b, Task)] for one in (spanish, english)]
    assert numbered[0] == numbered[1]
    assert [type(block) for block in spanish.blocks] == [type(block) for block in english.blocks]
    assert spanish.language == "es"


def test_the_plan_speaks_spanish_throughout() -> None:
    said = words_of(made())
    for expected in (
        "Nuestro plan para Ida y Juno", "para Mara y Jonas, martes 3 de marzo de 2026", "Haga estas tres cosas",
        "Cada cuánto: Al menos 8 veces entre día y noche. Hasta: viernes. Quién: Mara.", "30 mL (1 oz)", "4 veces",
        "120 mL (4 oz)", "Llame al 911 ahora", "38.0 °C (100.4 °F)", "viernes 6 de marzo, 10:30: una visita en casa.",
        "Lo repetí con mis palabras", "“Quiero dar pecho a las dos sin dolor.”", "Rowan, el viernes", "de 8 a 18",
    ):  # fmt: skip
        assert expected in said
    for english in (" feed", "Call ", " the ", "Until", "Friday"):
        assert english not in said.replace("The", "the").split("This Spanish wording")[0], english


def test_until_it_is_reviewed_the_foot_says_so_in_both_languages_and_the_english_plan_does_not() -> None:
    said = words_of(made())
    assert "aún no lo ha revisado un profesional de salud" in said
    assert "This Spanish wording is not yet reviewed by a clinician who speaks it." in said
    assert "not yet reviewed" not in words_of(made("en"))


def test_words_without_a_wording_hold_the_plan_back_and_the_sentence_names_their_questions() -> None:
    with pytest.raises(WordsMissing) as held:
        made(chart=t.whole())
    assert set(held.value.missing) == set(WORDED)
    assert "“What to do”" in held.value.sentence
    assert "nothing was printed" in held.value.sentence
    assert "Ida" not in held.value.sentence


def test_a_wording_stands_for_the_words_it_was_made_for_and_no_longer_once_they_change() -> None:
    changed = t.changed(worded(), "task3", what="Give 40 mL of your own milk by bottle. Go slowly, with pauses.")
    with pytest.raises(WordsMissing) as held:
        made(chart=changed)
    assert held.value.missing == ("Give 40 mL of your own milk by bottle. Go slowly, with pauses.",)


def test_a_wording_in_another_language_or_of_another_visit_does_not_count() -> None:
    goal = next(iter(WORDED))
    for entry in (
        wording(goal, "Je veux", "fr"),
        replace(wording(goal, "Quiero"), place=Place("x", t.FAMILY, "other")),
    ):
        others = [wording(*pair) for pair in WORDED.items() if pair[0] != goal]
        with pytest.raises(WordsMissing):
            made(chart=t.whole(*others, entry))


def test_two_wordings_for_the_same_words_are_settled_first() -> None:
    both = Conflicted(tuple(Variant(v, t.WRITER, t.NOW, "d", v) for v in ("Quiero", "Deseo")))
    with pytest.raises(Unresolved, match="In that language"):
        made(chart=worded(wording(next(iter(WORDED)), both)))


def test_what_cannot_wait_is_told_in_spanish_with_what_to_say_on_the_phone_in_english() -> None:
    chart = worded()
    seen = t.entry(InfantAssessment, t.IDA, waking="cannot_be_woken")
    alarm = next(b for b in made(chart=chart.with_entry(seen)).blocks if isinstance(b, Alarm))
    assert alarm.act == "Llame al 911 o vaya a la sala de emergencias ahora"
    assert "".join(span.text for span in alarm.seen[0]).startswith("Dígalo así, en inglés: Ida:")


def test_a_language_from_right_to_left_is_refused() -> None:
    with pytest.raises(RightToLeft, match="Arabic"):
        made("ar")


def test_an_answer_that_was_left_open_is_said_so_in_spanish() -> None:
    chart = t.changed(worded(), entry_id(Plan, t.VISIT), goal=None)
    assert "Aún no está escrito." in words_of(made(chart=chart))


# --- the line at the foot --------------------------------------------------------------------------------------------


def scope(words: str, language: str = "en") -> Entry[Any]:
    answers = ScopeWording(paper="family_plan", language=language, words=words)
    return Entry(f"scope-{language}", Place(ScopeWording.name), answers, t.WRITER, t.START)


OWN = "We help with feeding. We are not your doctor or your midwife; they decide on medicine. If you worry, call them."
OWN_ES = (
    "Ayudamos con la lactancia. No somos su médico ni su partera; ellos deciden las medicinas. Si se preocupa, llame."
)


def foot(outline: Outline) -> str:
    return next(block.scope.text for block in outline.blocks if isinstance(block, Foot))


def test_the_line_at_the_foot_can_be_put_in_own_words_in_each_language() -> None:
    chart = worded().with_entries((scope(OWN), scope(OWN_ES, "es")))
    assert foot(made("en", chart)) == OWN
    assert foot(made("es", chart)) == OWN_ES
    assert foot(made("en")) == SCOPE[made().kind].text


@pytest.mark.parametrize(
    ("words", "fault"),
    [
        ("Call us.", "characters"),
        (OWN.replace("feeding", "daily things"), "that it is about feeding"),
        (OWN.replace(" or your midwife", "").replace("not your doctor", "your doctor"), "doctor’s or midwife’s place"),
        (OWN.replace("medicine", "things"), "medicines"),
        (OWN.replace("call them", "wait a day"), "to call when worried"),
        (OWN + " More." * 80, "characters"),
    ],
)
def test_a_wording_that_leaves_something_out_makes_no_plan_and_says_what_is_lacking(words: str, fault: str) -> None:
    assert fault in left_out(words, "en")
    with pytest.raises(ScopeTooThin, match=r"Practice, Scope lines"):
        made("en", worded().with_entry(scope(words)))


def test_an_empty_wording_leaves_the_usual_line_standing() -> None:
    assert foot(made("en", worded().with_entry(scope("  ")))) == SCOPE[made().kind].text
