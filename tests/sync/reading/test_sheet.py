"""A sheet that a family filled in, with whatever program, comes back as one offer for each answer and nothing more."""

from __future__ import annotations

from datetime import date, timedelta
from io import BytesIO
from typing import Any

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pikepdf import Array, Dictionary, Name, String

from forms.answers import Moment
from forms.ask import Ask, Kind
from forms.infant_history import InfantHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.reading import read as read_typed
from sync.handoff.reading.held import HandOver, Offer, Standing
from sync.handoff.reading.read import read_file
from sync.handoff.reading.troubles import NoRecordInside
from tests.helpers import thornbury as t
from tests.helpers.filled_sheet import (
    PLACES,
    Coding,
    Marking,
    answers_of_chart,
    blank,
    fields_in,
    filled,
    filled_by_mutool,
    filled_by_pypdf,
    saved,
    typed,
)
from tests.helpers.handed_over import bare
from tests.sync.reading.test_round_trip import value_of


def read(data: bytes) -> HandOver:
    return read_file(data, zone=t.ZONE, now=t.NOW)


def offered(found: HandOver) -> dict[str, Any]:
    return {f"{one.form.name}.{one.path}": one.value for one in found.offers if one.form is not None}


def as_typed(answers: dict[str, Any]) -> dict[str, Any]:
    """The answers as they are kept when they are typed in the window as they stand on the sheet."""
    return {
        key: read_typed(PLACES[key].ask, typed(PLACES[key].ask, value), None, t.ZONE) for key, value in answers.items()
    }


def one_of_each(ask: Ask) -> Any:
    """A plain answer to any question of the sheet."""
    match ask.kind:
        case Kind.CHOICE:
            return list(ask.options)[-1]
        case Kind.MANY:
            return tuple(code for code in ask.options if code not in ask.alone)[:3]
        case Kind.YES_NO:
            return False
        case Kind.SCALE | Kind.COUNT:
            return ask.high
        case Kind.QUANTITY:
            return read_typed(ask, str(ask.high), next(unit for unit in ask.units if unit in ("g", "mL", "mm", "min")))
        case Kind.DAY:
            return date(1994, 2, 28)
        case Kind.MOMENT:
            return Moment(t.START - timedelta(days=40), t.ZONE)
    return "Zoë Ångström, “twice”" if ask.kind is Kind.LINE else "First.\nThen: 2 – 3 × a day\n\nالحمد 🌿"


EVERY = {key: one_of_each(one.ask) for key, one in PLACES.items()}


def test_a_sheet_with_every_question_answered_gives_an_offer_for_each_with_its_value() -> None:
    found = read(filled(EVERY))
    assert offered(found) == as_typed(EVERY)
    assert not [one for one in found.offers if not one.is_answer]
    assert {key: bare(value) for key, value in offered(found).items()} == {
        key: bare(value) for key, value in EVERY.items()
    }
    assert found.unread == ()


@pytest.mark.parametrize("marking", Marking)
@pytest.mark.parametrize("coding", Coding)
def test_every_way_of_writing_an_answer_says_the_same(coding: Coding, marking: Marking) -> None:
    assert offered(read(filled(EVERY, coding=coding, marking=marking, page="a4", packed=True))) == as_typed(EVERY)


@pytest.mark.parametrize("by", [filled_by_pypdf, filled_by_mutool])
def test_what_other_programs_write_into_the_sheet_is_read(by: Any) -> None:
    answers = (
        EVERY
        if by is filled_by_pypdf
        else {
            key: value
            for key, value in EVERY.items()
            if [one.label for one in PLACES.values()].count(PLACES[key].label) == 1
        }
    )
    assert len(answers) > 50
    assert offered(read(by(answers))) == as_typed(answers)


def test_what_the_family_at_tallow_lane_told_at_a_visit_can_be_told_on_the_sheet() -> None:
    answers = answers_of_chart(t.whole(), t.MARA, t.IDA, t.VISIT)
    assert len(answers) > 10
    assert {one.id: bare(one.value) for one in read(filled(answers)).offers} == {
        key: bare(value) for key, value in answers.items()
    }


_TYPEABLE = {key: one.ask for key, one in PLACES.items()}


@st.composite
def answers(draw: st.DrawFn) -> dict[str, Any]:
    keys = draw(st.lists(st.sampled_from(sorted(_TYPEABLE)), max_size=25, unique=True))
    drawn = {key: draw(value_of(_TYPEABLE[key])) for key in keys}
    return {key: value for key, value in drawn.items() if value is not None}


@settings(max_examples=60, deadline=None)
@given(answers(), st.sampled_from(Coding), st.sampled_from(Marking), st.booleans())
def test_any_answers_arrive_with_their_values_and_no_other_is_offered(
    told: dict[str, Any], coding: Coding, marking: Marking, packed: bool
) -> None:
    found = read(filled(told, coding=coding, marking=marking, packed=packed))
    assert offered(found) == as_typed(told)
    assert {key: bare(value) for key, value in offered(found).items()} == {
        key: bare(value) for key, value in told.items()
    }
    assert found.unread == ()


# --- who, from whom, and what is no answer ----------------------------------------------------------------------------


def test_the_sender_is_the_family_s_sheet_and_nothing_says_that_it_is_sealed() -> None:
    found = read(filled(EVERY))
    assert (found.sender.standing, found.sender.who) == (Standing.SHEET, "")
    assert "It is not sealed" in found.sender.words
    assert found.author == "the family, on the sheet received 3 March 2026"
    assert found.sender.can_be_taken_from


def test_parent_and_baby_of_the_sheet_are_two_people_who_are_both_asked_for() -> None:
    found = read(filled({
        "parent.full_name": "Mara Thornbury", "parent.born_day": date(1994, 2, 28), "infant.called_name": "Ida",
        "infant.born": t.local(12, 4, 20, 1), "infant_history.wets_24h": 6,
    }))  # fmt: skip
    parent, baby = found.people
    assert (parent.names, parent.born, parent.form) == (("Mara Thornbury",), "1994-02-28", ParentIdentity)
    assert (baby.names, baby.born, baby.form) == (("Ida",), "2026-01-12", InfantIdentity)
    assert {one.person for one in found.offers if one.form in (InfantIdentity, InfantHistory)} == {baby.id}


def test_a_person_is_named_by_names_that_can_stand_alone_and_not_by_pages_of_them() -> None:
    (parent,) = read(
        with_fields(**{"parent.full_name": String("n" * 9_000), "parent.called_name": String("a\rb")})
    ).people
    assert parent.names == ("n" * 100,)


def test_a_sheet_nobody_filled_in_offers_nothing_and_is_about_nobody() -> None:
    found = read(blank())
    assert (found.offers, found.people, found.unread, found.sender.standing) == ((), (), (), Standing.SHEET)


def only(data: bytes, key: str) -> Offer:
    (one,) = (one for one in read(data).offers if one.id == key)
    return one


def with_fields(**values: Any) -> bytes:
    """A sheet in which fields hold raw values of a PDF."""
    with pikepdf.open(BytesIO(blank())) as pdf:
        held = fields_in(pdf)
        for name, value in values.items():
            held[name].V = value
        return saved(pdf)


@pytest.mark.parametrize(("key", "words", "why"), [
    ("infant.birth_weight", "7", "Say which unit this is in"),
    ("infant.birth_weight", "70 kg", "check the number and the unit"),
    ("infant.born", "3/4/2026 10:00", "Day and month could change places"),
    ("infant.born", "last night", "Write the date and the time of day"),
    ("parent.born_day", "31 February 1990", "no such day"),
    ("infant_history.wets_24h", "6 or 7", "number"),
    ("parent_history.goal_importance", "11", "takes from 0 to 10"),
    ("parent.full_name", "two\rlines", "takes one line"),
])  # fmt: skip
def test_what_cannot_be_read_is_offered_in_its_own_words_with_the_reason_and_never_guessed(
    key: str, words: str, why: str
) -> None:
    one = only(with_fields(**{key: String(words)}), key)
    assert (one.words, one.value, one.is_answer, one.barred) == (words.replace("\r", "\n"), None, False, False)
    assert why in one.only_shown


def test_spaces_alone_and_boxes_turned_off_are_no_answers() -> None:
    data = with_fields(**{
        "parent.full_name": String("  \r "), "parent.phone": String(""), "parent.safe_to_message": Name.Off,
        "infant_history.fed_now:formula": Name.Off, "parent_history.gave_birth": String("Off"),
    })  # fmt: skip
    assert read(data).offers == ()


def test_a_line_break_that_a_reader_leaves_behind_a_line_is_not_kept() -> None:
    assert only(with_fields(**{"parent.full_name": String("Mara\r\n")}), "parent.full_name").value == "Mara"
    assert only(with_fields(**{"parent_history.goal": String("Rest.\r")}), "parent_history.goal").value == "Rest.\n"


def test_two_marks_where_one_is_asked_for_are_told_and_neither_is_taken() -> None:
    with pikepdf.open(BytesIO(blank())) as pdf:
        held = fields_in(pdf)["parent_history.gave_birth"]
        held.V = Name.yes
        held.Kids[1].AS = Name.no
        one = only(saved(pdf), "parent_history.gave_birth")
    assert (one.value, one.words) == (None, "Yes, No")
    assert "more than one answer" in one.only_shown


def test_an_answer_that_stands_alone_with_others_is_told_in_words_only() -> None:
    one = only(filled({"parent_history.hormones": ("none", "thyroid")}), "parent_history.hormones")
    assert one.value is None
    assert "stands alone" in one.only_shown


def test_a_box_marked_in_a_strange_way_leaves_the_whole_question_in_words() -> None:
    data = with_fields(**{"infant_history.fed_now:formula": Name.yes, "infant_history.fed_now:own_milk": Name.maybe})
    one = only(data, "infant_history.fed_now")
    assert one.value is None
    assert "maybe" in one.words
    assert one.only_shown


def test_a_mark_that_is_the_number_of_an_option_is_read_as_that_option() -> None:
    with pikepdf.open(BytesIO(blank())) as pdf:
        held = fields_in(pdf)["parent_history.labour"]
        held.Opt, held.V = Array([String("by_itself"), String("induced"), String("none")]), Name("/1")
        assert only(saved(pdf), "parent_history.labour").value == "induced"


def test_letters_that_were_mixed_up_and_a_birth_still_to_come_are_warned_of() -> None:
    mixed = only(with_fields(**{"parent.full_name": String("Zoë".encode())}), "parent.full_name")
    assert (mixed.words, len(mixed.doubts)) == ("ZoÃ«", 1)
    ahead = only(with_fields(**{"infant.born": String("4 March 2026 10:00")}), "infant.born")
    assert ahead.doubts == ("This lies after today. Ask the family about it.",)
    heavy = only(with_fields(**{"infant.birth_weight": String("23000 g")}), "infant.birth_weight")
    assert "Few babies weigh this" in heavy.doubts[0]


@pytest.mark.parametrize("raw", [
    b"\xfe\xff\x00A\xd8\x3d", b"\xfe\xff\xd8\x3d\x00A", b"\xfe\xff\x00", b"\xef\xbb\xbf\xff", b"A\x7fB", b"A\x00B", b"A\x07B",
    b"\xfe\xff\x20\x2e\x00A",
])  # fmt: skip
def test_letters_that_cannot_be_kept_or_do_not_show_are_told_and_stand_as_no_answer(raw: bytes) -> None:
    one = only(with_fields(**{"parent.full_name": String(raw)}), "parent.full_name")
    assert (one.value, bool(one.only_shown)) == (None, True)
    one.words.encode()
    assert "\N{REPLACEMENT CHARACTER}" in one.words


def test_an_answer_longer_than_any_is_cut_and_told_in_words_only() -> None:
    one = only(with_fields(**{"parent_history.medicines": String("drop " * 3_000)}), "parent_history.medicines")
    assert (len(one.words), one.value) == (10_000, None)
    assert "all of it is in the file" in one.only_shown


def test_a_field_that_is_no_question_of_the_sheet_stays_unread_with_its_words() -> None:
    with pikepdf.open(BytesIO(blank())) as pdf:
        group = pdf.Root.AcroForm.Fields[0]
        for name in ("mood_score", "called_name:yes"):
            group.Kids.append(pdf.make_indirect(Dictionary(FT=Name.Tx, T=String(name), V=String("12"), Parent=group)))
        found = read(saved(pdf))
    assert found.offers == ()
    assert [(one.id, one.words) for one in found.unread] == [
        ("parent.mood_score", "12"),
        ("parent.called_name:yes", "12"),
    ]


def test_one_question_answered_by_two_fields_is_told_and_not_decided() -> None:
    with pikepdf.open(BytesIO(filled({"parent.phone": "555 0100"}))) as pdf:
        group = pdf.Root.AcroForm.Fields[0]
        group.Kids.append(
            pdf.make_indirect(Dictionary(FT=Name.Tx, T=String("phone"), V=String("555 0199"), Parent=group))
        )
        one = only(saved(pdf), "parent.phone")
    assert (one.value, one.words) == (None, "555 0100, 555 0199")


def test_scripts_a_second_form_and_a_signature_are_told_and_left_alone() -> None:
    with pikepdf.open(BytesIO(filled({"parent.phone": "555 0100"}))) as pdf:
        form = pdf.Root.AcroForm
        form.XFA = Array([String("datasets"), pdf.make_stream(b"<xfa><parent/></xfa>")])
        pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS=String("app.alert(1)"))
        form.Fields.append(pdf.make_indirect(Dictionary(FT=Name.Sig, T=String("sealed"), V=Dictionary(Type=Name.Sig))))
        found = read(saved(pdf))
    assert [one.id for one in found.unread] == ["A second form (XFA)", "A script", "A signature"]
    assert offered(found) == {"parent.phone": "555 0100"}


def test_a_form_of_somebody_else_is_no_sheet_of_ours_even_with_a_field_of_the_same_name() -> None:
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        field = pdf.make_indirect(Dictionary(FT=Name.Tx, T=String("parent.phone"), V=String("555 0100")))
        pdf.Root.AcroForm = Dictionary(Fields=Array([field]))
        data = saved(pdf)
    with pytest.raises(NoRecordInside):
        read(data)
