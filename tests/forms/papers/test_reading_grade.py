"""The reading grade is the published formula, worked out on two samples, and its hardest sentences are hers to change."""

from __future__ import annotations

from fractions import Fraction

import pytest

from forms.papers.family_plan import family_plan
from forms.papers.outline import words_of
from forms.papers.reading_grade import grade_of, grade_of_text, syllables
from tests.forms.papers.test_plan_in_spanish import worded
from tests.helpers import thornbury as t

PLAIN = (
    "Feed your baby each time you see early signs of hunger. Do this at least eight times in a day and a night. After "
    "each day feed, give one ounce of your own milk by bottle. Call the doctor now if your baby is too sleepy to feed."
)
JARGON = (
    "Supplementation following breastfeeding is recommended utilising expressed human milk until satisfactory weight "
    "trajectory is demonstrated at subsequent evaluation."
)


@pytest.mark.parametrize(
    ("text", "grade", "give"), [(PLAIN, "3.10", "0.3"), (JARGON, "24.21", "2")], ids=["plain", "jargon"]
)
def test_the_two_worked_samples_have_their_grade(text: str, grade: str, give: str) -> None:
    assert abs(grade_of_text(text, "en") - Fraction(grade)) <= Fraction(give)


@pytest.mark.parametrize(
    ("word", "count"),
    [("leche", 2), ("bebé", 2), ("día", 2), ("señales", 3), ("aguja", 3), ("quiere", 2), ("guía", 2), ("bien", 1),
     ("ciudad", 2), ("oír", 2), ("línea", 3), ("siguiente", 3), ("pingüino", 3), ("leer", 2), ("30", 1)],
)  # fmt: skip
def test_spanish_syllables_are_counted_by_their_vowels(word: str, count: int) -> None:
    assert syllables(word, "es") == count


def test_in_spanish_short_words_read_easier_than_long_ones() -> None:
    easy = grade_of_text("Dé leche a su bebé. Llame si no come.", "es")
    hard = grade_of_text("La suplementación complementaria requiere consideraciones individualizadas.", "es")
    assert easy > 65 > hard


def test_a_plan_in_jargon_is_told_as_hard_with_that_sentence_first_and_the_paper_does_not_say_it() -> None:
    chart = t.changed(t.whole(), "task1", what=JARGON)
    outline = family_plan(chart, writer=t.WRITER, now=t.NOW)
    grade, before = grade_of(outline), grade_of(family_plan(t.whole(), writer=t.WRITER, now=t.NOW))
    assert grade is not None
    assert before is not None
    assert grade.hardest[0] == JARGON
    assert grade.value > before.value
    assert len(grade.hardest) == 3
    assert "grade" not in words_of(outline).casefold()


def test_the_spanish_plan_has_its_own_measure() -> None:
    grade = grade_of(family_plan(worded(), writer=t.WRITER, now=t.NOW, language="es"))
    assert grade is not None
    assert grade.told.startswith("Reading ease in Spanish ")
    assert grade.easy


def test_a_text_without_words_has_no_grade() -> None:
    with pytest.raises(ValueError, match="no words"):
        grade_of_text("…", "en")
