"""Whether a photo may be taken, kept and shown: by the newest consent for the record, as it stands at that moment."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from forms.answers import Absence, Absent, Conflicted, Moment, Variant
from forms.chart import Chart, Entry, Place
from forms.consent import Consent
from forms.photo import Photo
from forms.photo_leave import Standing, leave, leave_of, leave_words, parts_allowed, uses_words

NOW = datetime(2026, 3, 3, 14, 30, tzinfo=ZoneInfo("Europe/London"))
GIVEN = Moment(datetime(2026, 3, 3, 14, 0, tzinfo=UTC), "Europe/London")
YES: dict[str, Any] = {
    "purpose": "photo_record", "agreed": "yes", "given_at": GIVEN, "regions": ("nipple", "face"), "recognisable": False,
}  # fmt: skip


def row(person: str = "mara", at: int = 0, **given: Any) -> Entry[Consent]:
    place = Place("consent", "family", None, (person,))
    return Entry(f"{person}-{at}", place, Consent(**{**YES, **given}), "author", NOW + timedelta(minutes=at))


def photo(**given: Any) -> Entry[Photo]:
    place = Place("photo", "family", "visit", ("mara",))
    return Entry("photo", place, Photo(**{"region": "nipple", "recognisable": False, **given}), "author", NOW)


def chart(*entries: Entry[Any]) -> Chart:
    return Chart("family", "visit", entries)


def two(*values: Any) -> Conflicted:
    return Conflicted(tuple(Variant(value, "author", NOW, "device", str(at)) for at, value in enumerate(values)))


@pytest.mark.parametrize(("given", "standing"), [
    ({}, Standing.GIVEN),
    ({"agreed": "limited"}, Standing.GIVEN),
    ({"valid_until": date(2026, 3, 3)}, Standing.GIVEN),
    ({"valid_until": date(2026, 3, 2)}, Standing.ENDED),
    ({"given_at": Moment(datetime(2026, 3, 4, tzinfo=UTC), "UTC")}, Standing.ENDED),
    ({"agreed": "no"}, Standing.DECLINED),
    ({"agreed": Absent(Absence.DECLINED)}, Standing.DECLINED),
    ({"agreed": None}, Standing.UNFINISHED),
    ({"given_at": None}, Standing.UNFINISHED),
    ({"regions": None}, Standing.UNFINISHED),
    ({"regions": Absent(Absence.NOT_ASKED)}, Standing.UNFINISHED),
    ({"withdrawn_at": GIVEN}, Standing.WITHDRAWN),
    ({"withdrawn_at": Absent(Absence.NONE)}, Standing.GIVEN),
    ({"agreed": two("yes", "no")}, Standing.DECLINED),
    ({"agreed": two("yes", "limited")}, Standing.UNSETTLED),
    ({"regions": two(("nipple",), ("face",))}, Standing.UNSETTLED),
    ({"valid_until": two(date(2026, 3, 3), date(2027, 3, 3))}, Standing.UNSETTLED),
    ({"withdrawn_at": two(GIVEN, None)}, Standing.WITHDRAWN),
])  # fmt: skip
def test_how_a_consent_stands(given: dict[str, Any], standing: Standing) -> None:
    assert leave(chart(row(**given)), "mara", NOW).standing is standing


def test_without_a_consent_for_the_record_nobody_was_asked_whatever_else_was_agreed_to() -> None:
    assert leave(chart(), "mara", NOW).standing is Standing.NOT_ASKED
    assert leave(chart(row(purpose="photo_teaching")), "mara", NOW).standing is Standing.NOT_ASKED
    assert leave(chart(row("ida")), "mara", NOW).standing is Standing.NOT_ASKED


def test_the_newest_row_decides_either_way() -> None:
    assert leave(chart(row(), row(at=1, agreed="no")), "mara", NOW).standing is Standing.DECLINED
    assert leave(chart(row(withdrawn_at=GIVEN), row(at=1)), "mara", NOW).given


def test_a_part_that_was_not_picked_is_not_covered() -> None:
    held = chart(row())
    assert leave(held, "mara", NOW, part="nipple").given
    assert leave(held, "mara", NOW, part="breast").standing is Standing.NOT_THIS_PART
    assert parts_allowed(held, "mara", NOW) == ("nipple", "face")
    assert parts_allowed(chart(row(agreed="no")), "mara", NOW) == ()


def test_a_photo_that_shows_who_it_is_needs_a_consent_that_says_so() -> None:
    held = photo(recognisable=True)
    assert leave_of(chart(row()), held, NOW).standing is Standing.NOT_RECOGNISABLE
    assert leave_of(chart(row(recognisable=True)), held, NOW).given
    assert leave_of(chart(row(recognisable=None)), held, NOW).standing is Standing.NOT_RECOGNISABLE
    assert leave_of(chart(row()), photo(recognisable=two(True, False)), NOW).standing is Standing.NOT_RECOGNISABLE


def test_everybody_seen_in_a_photo_has_to_agree() -> None:
    held = photo(also_shows=("ida",))
    refused = leave_of(chart(row(), row("ida", agreed="no")), held, NOW)
    assert (refused.person, refused.standing) == ("ida", Standing.DECLINED)
    assert leave_of(chart(row()), held, NOW).standing is Standing.NOT_ASKED
    assert leave_of(chart(row(), row("ida")), held, NOW).given


def test_a_photo_whose_part_is_in_dispute_is_shown_only_if_each_part_is_covered() -> None:
    assert leave_of(chart(row()), photo(region=two("nipple", "face")), NOW).given
    assert not leave_of(chart(row()), photo(region=two("nipple", "breast")), NOW).given


def test_teaching_and_publication_never_follow_from_the_record() -> None:
    assert uses_words(chart(row()), photo(), NOW) == "For the record. Not for teaching, not for publication."
    taught = chart(row(), row(at=1, purpose="photo_teaching"))
    assert uses_words(taught, photo(), NOW) == "For the record and for teaching. Not for publication."
    other_part = chart(row(), row(at=1, purpose="photo_teaching", regions=("face",)))
    assert uses_words(other_part, photo(), NOW) == "For the record. Not for teaching, not for publication."


def test_each_standing_has_its_sentence_and_none_of_them_says_what_is_shown_in_the_photo() -> None:
    said = {standing: leave_words(replace(leave(chart(row()), "mara", NOW), standing=standing), "Mara", "UTC", NOW)
            for standing in Standing}  # fmt: skip
    assert said.pop(Standing.GIVEN) == ""
    assert all(words.endswith(".") and "Mara" in words for words in said.values())
    assert len(set(said.values())) == len(said)


def test_a_withdrawal_is_told_with_its_time_or_its_day() -> None:
    today = leave(chart(row(withdrawn_at=Moment(datetime(2026, 3, 3, 14, 20, tzinfo=UTC), "UTC"))), "mara", NOW)
    assert leave_words(today, "Mara", "Europe/London", NOW) == "Consent to photos of Mara withdrawn 14:20."
    earlier = leave(chart(row(withdrawn_at=Moment(datetime(2026, 3, 2, 9, 0, tzinfo=UTC), "UTC"))), "mara", NOW)
    assert leave_words(earlier, "Mara", "Europe/London", NOW) == "Consent to photos of Mara withdrawn on 2 Mar 2026."
