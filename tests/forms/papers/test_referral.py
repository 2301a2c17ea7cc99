"""A referral asks one question, gives the fifteen items, and goes only where a release lets it go today."""

from __future__ import annotations

from datetime import date

import pytest

from forms.answers import Absence, Absent, Sided
from forms.ask import asks
from forms.chart import Chart, entry_id
from forms.consent import Release
from forms.papers.family_plan import family_plan
from forms.papers.outline import Items, Outline, words_of
from forms.papers.referral import NoRelease, NotAQuestion, NotReady, referral
from forms.parent_history import ParentHistory
from forms.people import ParentIdentity
from forms.referral import Referral
from forms.trouble import Bug, Unresolved
from forms.visit import Visit
from forms.weight import WeightReading
from tests.forms.papers.test_family_plan import disputed
from tests.helpers import thornbury as t

CONTENT = ("Who", "Reason", "Complaint", "With it", "Told by others", "Medical history", "Operations",
           "Home and support", "Medicines", "Allergies", "Findings", "Results", "Done so far", "Impression",
           "What is asked")  # fmt: skip


def made(chart: Chart | None = None, letter: str = t.LETTER) -> Outline:
    return referral(chart or t.whole(), letter, writer=t.WRITER, now=t.NOW)


def items(outline: Outline) -> dict[str, str]:
    block = next(b for b in outline.blocks if isinstance(b, Items) and b.numbered)
    return {item.label: "".join(span.text for span in item.words) for item in block.items}


def test_all_fifteen_items_stand_in_order_each_with_words() -> None:
    found = items(made())
    assert tuple(found) == CONTENT
    assert all(found.values())
    assert "born 12 January 2026, 06:10" in found["Who"]
    assert "7 weeks 1 day old" in found["Who"]
    assert "Mara Thornbury, 555 0101" in found["Who"]
    assert "2,680 g (5 lb 14.5 oz) on 3 March 2026, 10:05, +16.0 % from birth" in found["Findings"]
    assert "Pain at latch, Mara’s left: 6 of 10" in found["Findings"]


def test_a_weight_in_clothes_says_so_wherever_the_letter_gives_it_and_not_at_all_on_the_plan() -> None:
    chart = t.changed(t.whole(), "w2", state="clothes")
    letter = words_of(made(chart))
    assert "+16.0 % from birth, in clothes." in letter
    assert "Seen on the scale, in clothes" in letter
    assert "weighed 2,680 g" in words_of(family_plan(t.whole(), writer=t.WRITER, now=t.NOW))
    assert "2,680 g" not in words_of(family_plan(chart, writer=t.WRITER, now=t.NOW))


def test_what_was_not_answered_is_not_known_and_none_is_none() -> None:
    chart = t.changed(
        t.whole(), t.LETTER, associated_symptoms=None, collateral_history=Absent(Absence.NOT_ASKED),
        results=Absent(Absence.NONE), psychosocial=Absent(Absence.DECLINED),
    )  # fmt: skip
    found = items(made(chart))
    assert found["With it"] == "not known"
    assert found["Told by others"] == "not known (not asked)"
    assert found["Results"] == "none"
    assert found["Home and support"] == "not known (declined)"


def test_question_urgency_reply_and_attachments_are_said() -> None:
    said = words_of(made())
    for expected in ("Is the limited lift of the tongue worth treating?", "Within one to two weeks",
                     "Answer hoped for by 17 March 2026, to 555 0190.",
                     "Sent with it: Weights, Oral assessment, Feed observation.", "The parent has a copy: yes.",
                     "Heart-shaped tip when she cries.", "2,310 g", "2,520 g"):  # fmt: skip
        assert expected in said


@pytest.mark.parametrize("question", ["Look at the tongue.", "Is it? Or not?", "?!", "Well? Look."])
def test_a_question_is_one_question(question: str) -> None:
    with pytest.raises(NotAQuestion, match="one question"):
        made(t.changed(t.whole(), t.LETTER, question=question))


@pytest.mark.parametrize("field", ["question", "urgency", "reply_by", "reply_to"])
def test_a_letter_without_what_every_letter_needs_says_what_is_missing(field: str) -> None:
    with pytest.raises(NotReady, match="still needs"):
        made(t.changed(t.whole(), t.LETTER, **{field: None}))


@pytest.mark.parametrize(
    "given",
    [
        {"recipient": t.DOCTOR}, {"scope": ("weights",)}, {"scope": None}, {"valid_from": date(2026, 3, 4)},
        {"valid_until": date(2026, 3, 2)}, {"valid_until": None}, {"withdrawn_at": t.local(3, 11)},
        {"valid_until": disputed(date(2026, 3, 2), date(2026, 9, 2))},
    ],
)  # fmt: skip
def test_without_a_release_to_that_recipient_valid_today_nothing_leaves(given: dict[str, object]) -> None:
    with pytest.raises(NoRelease, match="Dr Sorrel Quince"):
        made(t.changed(t.whole(), "release", **given))


def test_without_any_release_nothing_leaves() -> None:
    with pytest.raises(NoRelease):
        made(t.without(t.whole(), "release"))


def test_the_release_of_one_baby_does_not_cover_the_other() -> None:
    with pytest.raises(NoRelease):
        made(t.whole(t.entry(Release, t.JUNO, named="release", visit=None, recipient=t.THROAT, scope=("referral",),
                             valid_from=date(2026, 3, 1), valid_until=date(2026, 9, 1))))  # fmt: skip


@pytest.mark.parametrize("ends", [(date(2026, 3, 3), date(2026, 9, 3)), (date(2026, 1, 1), date(2026, 3, 3))])
def test_both_ends_of_a_release_count(ends: tuple[date, date]) -> None:
    assert made(t.changed(t.whole(), "release", valid_from=ends[0], valid_until=ends[1]))


def test_two_values_for_an_answer_hold_the_letter_back() -> None:
    with pytest.raises(Unresolved):
        made(t.changed(t.whole(), t.LETTER, management_so_far=disputed("one", "other")))


def test_the_parents_history_and_the_twin_stay_out_of_a_babys_letter() -> None:
    chart = t.whole(
        t.entry(ParentHistory, t.MARA, medicines="sertraline by mouth", conditions_which="thyroid told by Mara"),
        t.entry(WeightReading, t.JUNO, named="w9", weight=t.grams(2777), taken=t.local(3, 11), source="seen"),
    )  # fmt: skip
    said = words_of(made(chart))
    for other in ("sertraline", "thyroid", "2,777", "2,610", "Juno weighed"):
        assert other not in said


def test_a_finding_of_somebody_else_is_not_copied_into_the_letter() -> None:
    impression = next(e for e in t.plan() if "findings" in dir(e.answers) and e.answers.findings)
    picks = ("feed1/pain_at_latch@left", "w3/weight", f"{entry_id(ParentHistory, t.VISIT, (t.MARA,))}/mood_told")
    chart = t.whole(t.entry(ParentHistory, t.MARA, mood_asked="alone", mood_told="marked in private"))
    said = words_of(made(t.changed(chart, impression.id, findings=picks)))
    assert "2,610" not in said
    assert "marked in private" not in said


def test_a_letter_about_a_parent_speaks_of_the_parent() -> None:
    chart = t.whole(
        t.entry(ParentHistory, t.MARA, reason="It hurts on the left.", medicines="Ibuprofen", surgery=Sided(("none",), None)),
        t.entry(Referral, t.MARA, named="second", to=t.MIDWIFE, question="May she take this medicine while feeding?",
                urgency="same_day", urgency_why="Fever since the morning.", reply_by=date(2026, 3, 3), reply_to="555 0190",
                attachments=("none",)),
        t.entry(Release, t.MARA, named="own", visit=None, recipient=t.MIDWIFE, scope=("whole",),
                valid_from=date(2026, 3, 3), valid_until=date(2026, 3, 3)),
    )  # fmt: skip
    outline = made(chart, "second")
    found = items(outline)
    assert found["Who"].startswith("Mara Thornbury")
    assert found["Complaint"] == "It hurts on the left."
    assert found["Medicines"] == "Ibuprofen"
    assert "Urgent: the same day" in words_of(outline)
    assert "Vitamin D" not in words_of(outline)


def test_a_licence_and_a_visit_from_afar_are_said() -> None:
    said = words_of(made())
    assert "Licence also held: nurse." in said
    afar = t.changed(t.whole(), t.VISIT, kind="video")
    assert "no hands-on check was made" in words_of(made(afar))
    assert isinstance(t.whole().person(Visit, t.VISIT), Visit)
    assert isinstance(t.whole().person(ParentIdentity, t.MARA), ParentIdentity)


def test_a_letter_of_an_entry_that_is_none_is_a_bug() -> None:
    with pytest.raises(Bug):
        made(letter="w1")


def test_a_babys_weights_carry_the_story_they_tell() -> None:
    # Worked out by hand (story of the line back up, across a clock change): −9.1, −10.1, −6.7, +0.3 %; 60 and 34.2 g/day.
    taken = (((5, 14, 0), 3110), ((7, 10, 30), 3075), ((9, 9, 30), 3190), ((16, 10, 0), 3430))
    readings = [
        t.entry(WeightReading, t.IDA, named=f"w{n + 1}", weight=t.grams(amount), taken=t.local(*when), source="seen")
        for n, (when, amount) in enumerate(taken)
    ]
    chart = t.changed(t.whole(*readings), t.IDA, born=t.local(2, 6, 10), birth_weight=t.grams(3420))
    said = words_of(made(t.changed(chart, t.LETTER, attachments=("weights",))))
    for figure in ("−310 g, −9.1 %", "−345 g, −10.1 %", "−230 g, −6.7 %", "+10 g, +0.3 %", "60.0 g/day", "34.2 g/day",
                   "Back to birth weight by day 14."):  # fmt: skip
        assert figure in said, figure


def test_a_letter_keeps_its_standard_headings_unless_the_family_asks_for_its_own_words() -> None:
    chart = t.changed(t.whole(), t.MARA, body_word="chest", feeding_word="chestfeeding", pronouns="they")
    plain = words_of(made(chart))
    assert "chestfeeding" not in plain
    asked = words_of(made(t.changed(chart, t.MARA, words_in_letters=True)))
    assert "The family asks for these words: chest, chestfeeding." in asked
    assert "they, them" not in asked, "a letter about the baby tells nothing of the parent"


def test_a_letter_about_a_parent_who_asks_names_the_pronouns_and_words_its_headings_so() -> None:
    letter = t.whole().by_id(t.LETTER)
    assert letter is not None
    chart = t.whole(
        t.entry(Referral, t.MARA, named=t.LETTER, **{
            name: getattr(letter.answers, name) for name in asks(Referral)
        } | {"attachments": ("history",)}),
        t.entry(Release, t.MARA, named="release", visit=None, recipient=t.THROAT, scope=("referral",), given_by="Mara",
                given_at=t.local(3, 11), valid_from=date(2026, 3, 3), valid_until=date(2026, 9, 3)),
        t.entry(ParentHistory, t.MARA, reason="Sore", surgery=Sided(("reduction",), None)),
    )  # fmt: skip
    chart = t.changed(chart, t.MARA, body_word="chest", pronouns="they", words_in_letters=True)
    said = words_of(made(chart))
    assert "The family asks for these words: chest; pronouns they, them." in said
    assert "Chest surgery or injury" in said
    assert "Breast or chest surgery or injury" in words_of(made(t.changed(chart, t.MARA, words_in_letters=False)))
