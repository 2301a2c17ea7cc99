"""Each question stands on its sheet exactly once; proved by composing every section without a window."""

from __future__ import annotations

from collections import Counter

import forms.all  # noqa: F401 - fills the catalogue
from desktop.sheets.doubt import KEPT
from desktop.sheets.moments import every_section
from desktop.sheets.sheet import Guard, Placed, opened_by
from forms.ask import asks
from forms.consent import CareConsent, Release, TouchConsent
from forms.contact import UrgentContact
from forms.form import Form, catalog
from forms.impression import Impression
from forms.infant_history import InfantHistory
from forms.parent_history import ParentHistory
from forms.people import Family, ParentIdentity
from forms.referral import Referral
from forms.report import ProviderReport
from forms.visit import Present, Visit

ELSEWHERE: dict[str, str] = {
    "practice": "asked at the first launch and on the practice's own page",
    "practitioner": "asked at the first launch and on the practice's own page",
    "provider": "the address book has its own page",
    "contact": "the contact log has its own page",
    "thresholds": "set on the practice's own page",
    "phrase": "kept on the practice's own page",
    "closing": "care is closed on its own page of the family",
    "state_at_end": "care is closed on its own page of the family",
    "loop": "care is closed on its own page of the family",
    "jot": "written in the strip of the visit",
    "addendum": "comes with the pages for what is added after signing",
    "family_language": "typed beside the paper that wants the words",
    "scope_wording": "kept on the practice's own page",
    "letter_answer": "written down on the page of letters and answers",
    "known_sender": "added where a paper is checked, by comparing its fingerprint",
    "own_seal": "written by the program when a root is made or a certificate brought along",
    "received_fact": "taken from a file on the page of what came from elsewhere",
    "received_file": "written by the program when a file is kept",
    "paper_issued": "written by the program when a paper leaves",
}
"""Forms whose answers are not given on a visit's sheets, and why."""


def placed() -> Counter[tuple[type[Form], str]]:
    return Counter(field for section in every_section() for field in Placed.by(section).fields)


def test_each_question_of_each_form_stands_on_a_sheet_exactly_once() -> None:
    found = placed()
    wanted = {(form, name) for form in catalog().values() if form.name not in ELSEWHERE for name in asks(form)}
    missing = sorted(f"{form.name}.{name}" for form, name in wanted - set(found))
    twice = sorted(f"{form.name}.{name}" for (form, name), times in found.items() if times > 1)
    unknown = sorted(f"{form.name}.{name}" for form, name in found if name not in asks(form))
    assert (missing, twice, unknown) == ([], [], [])


def test_each_private_question_stands_behind_a_veil() -> None:
    for section in every_section():
        found = Placed.by(section)
        for form, name in found.fields:
            if asks(form)[name].private:
                assert (form, name) in found.veiled, f"{form.name}.{name} stands open in {section.key}"


def test_a_phone_number_and_an_address_stand_on_no_page_of_the_shared_view() -> None:
    kept = {(ParentIdentity, "phone"), (Family, "address"), (Family, "second_address")}
    for section in every_section():
        if section.guard is Guard.OPEN:
            assert not kept & set(Placed.by(section).fields), section.key


def test_letters_releases_urgent_contacts_and_who_may_hear_what_stand_on_no_page_of_the_shared_view() -> None:
    kept = (Referral, ProviderReport, Release, UrgentContact, Present)
    assert {section.guard for section in every_section() if section.form in kept} == {Guard.NOT_SHARED}


def test_answers_given_in_confidence_can_be_reached_on_no_page_of_the_shared_view() -> None:
    told: set[tuple[type[Form], str]] = {(Impression, "findings")}
    told |= {(ParentHistory, name) for name in ("substances", "substances_amount", "food_short")}
    told |= {(InfantHistory, name) for name in ("custody_limits", "custody_limits_what")}
    for section in every_section():
        if section.guard is Guard.OPEN:
            assert not told & set(Placed.by(section).fields), section.key


def test_no_two_sections_share_a_key() -> None:
    keys = Counter(section.key for section in every_section())
    assert [key for key, times in keys.items() if times > 1] == []


def test_a_page_asks_at_most_nine_questions_and_an_entry_of_a_list_at_most_eleven() -> None:
    for section in every_section():
        found = Placed.by(section)
        opened = {(form, later) for form, name in found.fields for later in opened_by(form, name)}
        first = [one for one in found.fields if one not in opened and one[1] != KEPT]
        page, entry = [one for one in first if one not in found.listed], [one for one in first if one in found.listed]
        assert len(page) <= 9, f"{section.key} asks {[name for _, name in page]}"
        assert len(entry) <= 11, f"an entry of {section.key} asks {[name for _, name in entry]}"


def test_the_recording_composer_counts_follow_ups_with_the_question_that_opens_them() -> None:
    assert {CareConsent, TouchConsent, Release, Present, Visit} <= {form for form, _ in placed()}
