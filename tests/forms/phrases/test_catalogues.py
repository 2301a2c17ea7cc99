"""Every language has every sentence, with the same blanks and figures in the same order, and says who reviewed it."""

from __future__ import annotations

import re
from datetime import date

import pytest

import forms.all  # noqa: F401 - fills the catalogue
from forms.ask import Kind, Paper, Printed, asks
from forms.chart import Chart
from forms.form import catalog
from forms.papers.tongue import Tongue
from forms.phrases.catalogue import Catalogue, Sentence, sentences
from forms.phrases.english import ENGLISH
from forms.phrases.found_again import in_other_words, offered_for
from forms.phrases.languages import CATALOGUES, NoCatalogue, RightToLeft, catalogue_of, spoken
from forms.phrases.spanish import SPANISH

OTHERS = [one for one in CATALOGUES.values() if one is not ENGLISH]
NOT_IN_ENGLISH = ("option.", "label.")
SAID_OTHERWISE = {("es", "call.parent.other"): {"whom"}, ("es", "plan.unreviewed"): {"language"}}
"""Blanks a language does without, since its sentence needs none."""


def figures(text: str) -> list[str]:
    return re.findall(r"\{\w+\}|\d+", text)


@pytest.mark.parametrize("other", OTHERS, ids=lambda one: one.tag)
def test_a_language_has_every_sentence_once_and_none_that_english_lacks(other: Catalogue) -> None:
    own = {key for key in other.sentences if not key.startswith(NOT_IN_ENGLISH)}
    assert own == set(ENGLISH.sentences)
    assert (len(other.days), len(other.months)) == (7, 12)


@pytest.mark.parametrize("other", OTHERS, ids=lambda one: one.tag)
def test_a_sentence_has_the_same_blanks_figures_and_strong_words_in_the_same_order(other: Catalogue) -> None:
    for key, english in ENGLISH.sentences.items():
        less = SAID_OTHERWISE.get((other.tag, key), set())
        wanted = [one for one in figures(english.text) if one.strip("{}") not in less]
        assert figures(other.sentences[key].text) == wanted, key
        assert english.text.count("**") == other.sentences[key].text.count("**"), key


@pytest.mark.parametrize("other", OTHERS, ids=lambda one: one.tag)
def test_every_choice_the_plan_prints_and_every_question_of_also_noted_is_worded(other: Catalogue) -> None:
    printed = ("plan.watch_baby", "plan.watch_parent", "plan.followup_kind", "feeding_amount.milks",
               "feeding_amount.method")  # fmt: skip
    for key in printed:
        form, _, field = key.partition(".")
        for code in asks(catalog()[form])[field].options:
            assert f"option.{key}.{code}" in other.sentences
    for field, ask in asks(catalog()["plan"]).items():
        free = isinstance(ask.paper, Printed) and Paper.FAMILY_PLAN in ask.paper.on and ask.kind is Kind.TEXT
        if free and field in ("expressing", "comfort_care"):
            assert f"label.plan.{field}" in other.sentences


def test_none_of_ours_is_passed_off_as_reviewed_and_a_review_needs_a_name_and_a_day() -> None:
    assert not any(kept.reviewed for kept in SPANISH.sentences.values())
    assert not Sentence("Hola", reviewer="Somebody").reviewed
    assert Sentence("Hola", "Dra. Inés Montejo", date(2026, 3, 1)).reviewed


def test_once_every_sentence_taken_is_reviewed_the_language_counts_as_reviewed() -> None:
    by = ("Dra. Inés Montejo", date(2026, 3, 1))
    kept = sentences({"and": Sentence("y", *by), "or": "o"})
    tongue = Tongue(
        Chart("family", None, ()), Catalogue("es", "Spanish", "español", kept, SPANISH.days, SPANISH.months)
    )
    tongue.say("and")
    assert not tongue.unreviewed
    tongue.say("or")
    assert tongue.unreviewed


def test_a_sentence_that_stands_twice_is_found_when_the_catalogue_is_made() -> None:
    with pytest.raises(ValueError, match="plan stands twice"):
        sentences({"plan": "a"}, {"plan": "b"})


@pytest.mark.parametrize(
    ("told", "expected"),
    [
        ("Spanish", ("es",)), ("español", ("es",)), ("Castellano, some English", ("es", "en")), ("es", ("es",)),
        ("English", ("en",)), ("Arabic and Spanish", ("ar", "es")), ("العربية", ("ar",)), ("Tagalog", ()), ("", ()),
    ],
)  # fmt: skip
def test_the_languages_of_a_parent_are_read_out_of_what_was_written(told: str, expected: tuple[str, ...]) -> None:
    assert spoken(told) == expected


@pytest.mark.parametrize("tag", ["ar", "he-IL", "fa", "UR"])
def test_a_language_from_right_to_left_is_refused_in_one_sentence_that_says_what_to_do(tag: str) -> None:
    with pytest.raises(RightToLeft, match="Print it in English") as refused:
        catalogue_of(tag)
    assert "cannot be made yet" in refused.value.sentence


def test_a_language_without_a_catalogue_is_refused() -> None:
    with pytest.raises(NoCatalogue, match="Print it in English"):
        catalogue_of("fr")


@pytest.mark.parametrize(
    ("english", "spanish"),
    [
        ("After 4 feeds each day, give 30 mL (1 oz) of your own milk.",
         "Después de 4 tomas cada día, dé 30 mL (1 oz) de su propia leche."),
        ("at least 8 times in a day and a night", "Al menos 8 veces entre día y noche"),
        ("8 times", "8 veces"),
        ("2.5 times", "2.5 veces"),
        ("Offer both sides at each feed. Give the bottle slowly, with pauses.",
         "Ofrezca los dos lados en cada toma. Dé el biberón despacio, con pausas."),
        ("Friday", "viernes"),
    ],
)  # fmt: skip
def test_a_ready_sentence_is_found_again_with_its_figures_as_they_were_typed(english: str, spanish: str) -> None:
    assert in_other_words(english, SPANISH) == spanish


@pytest.mark.parametrize(
    "own",
    ["After four feeds, give 30 mL of your own milk.", "Offer both sides at each feed. And sing.", "8 times or so",
     "After 4 feeds each day, give 30 mL of your sister’s milk.", "Rowan, on Friday"],
)  # fmt: skip
def test_words_that_are_no_ready_sentence_are_left_to_a_person(own: str) -> None:
    assert in_other_words(own, SPANISH) is None


def test_a_name_is_carried_over_only_if_it_is_one_of_the_familys() -> None:
    assert in_other_words("Rowan, on Friday", SPANISH, {"rowan"}) == "Rowan, el viernes"


def test_each_ready_sentence_offered_for_a_task_is_found_again_once_its_blanks_are_filled() -> None:
    offered = offered_for("plan_task.what")
    assert len(offered) > 10
    for text in offered:
        filled = re.sub(r"\[\? \w+\]", "30", text)
        assert in_other_words(filled, SPANISH), filled
