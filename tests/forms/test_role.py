"""What a role may do stands in one table, and a question is clinical until it is put among those of the office."""

from __future__ import annotations

import pytest

import forms.all  # noqa: F401 - fills the catalogue
from forms.ask import asks
from forms.form import catalog
from forms.role import KEPT_BY_OFFICE, RIGHTS, WHOLE, Part, Role, part_of


def test_every_role_has_a_word_a_line_and_rights_and_only_an_owner_lets_in() -> None:
    assert set(RIGHTS) == set(Role)
    assert len({role.label for role in Role}) == len({role.explained for role in Role}) == len(Role)
    assert [role for role in Role if role.rights.lets_in] == [Role.OWNER]


def test_who_signs_and_who_charts() -> None:
    assert [role for role in Role if role.may_write(Part.SIGNATURE)] == [Role.OWNER, Role.CONSULTANT]
    assert [role for role in Role if role.may_write(Part.CLINICAL)] == [Role.OWNER, Role.CONSULTANT, Role.STUDENT]
    assert all(role.may_write(Part.REGISTRY) for role in Role)


def test_the_table_names_forms_and_questions_that_there_are() -> None:
    assert set(catalog()) >= WHOLE
    for form, fields in KEPT_BY_OFFICE.items():
        assert fields <= set(asks(catalog()[form]))


def test_no_form_of_a_visit_is_the_offices_but_the_visit_itself_and_papers_that_left() -> None:
    kept = {name for name in catalog() if part_of(name, "@place") is Part.REGISTRY}
    assert kept == {
        "care_team", "family", "infant", "paper_issued", "parent", "practice", "practitioner", "provider",
        "visit",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("form", "field", "part"),
    [
        ("infant", "born", Part.REGISTRY),
        ("infant", "birth_weight", Part.CLINICAL),
        ("infant", "gestation_weeks", Part.CLINICAL),
        ("visit", "start", Part.REGISTRY),
        ("visit", "reason", Part.CLINICAL),
        ("visit", "@struck", Part.CLINICAL),
        ("visit", "@signed", Part.SIGNATURE),
        ("provider", "@struck", Part.REGISTRY),
        ("own_seal", "@place", Part.CLINICAL),
        ("own_seal", "certificate", Part.CLINICAL),
        ("own_seal", "given_up", Part.CLINICAL),
        ("thresholds", "anything", Part.CLINICAL),
        ("a form of a newer version", "words", Part.CLINICAL),
    ],
)
def test_where_the_line_runs(form: str, field: str, part: Part) -> None:
    assert part_of(form, field) is part
