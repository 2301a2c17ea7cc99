"""Who may ask for one person's record, under which release, and which papers may go: also where two answers stand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from forms.answers import Conflicted, Variant
from forms.chart import Chart, Signed
from forms.consent import Release
from forms.people import ParentIdentity
from forms.practice import Practitioner
from forms.referral import PaperIssued
from forms.release_package import (
    AskerMissing,
    MayNotAsk,
    NoPackageRelease,
    NothingSigned,
    PackageWithdrawn,
    askers,
    has_limits,
    may_go,
    under_which,
)  # fmt: skip
from tests.helpers import thornbury as t

TODAY = date(2026, 3, 3)


def torn(*values: Any) -> Conflicted:
    return Conflicted(tuple(Variant(one, t.WRITER, t.NOW, "d", str(n)) for n, one in enumerate(values)))


def released(**more: Any) -> Chart:
    given = {"recipient": t.THROAT, "scope": ("whole",), "valid_from": TODAY, "valid_until": TODAY, **more}
    return t.whole().with_entry(t.entry(Release, t.IDA, named="whole", visit=None, **given))


def held(chart: Chart, asker: str = t.THROAT, who: str = t.IDA) -> str | None:
    found = under_which(chart, who, asker, TODAY, called="Dr Quince")
    return found.id if found is not None else None


def test_a_release_of_the_whole_record_holds_on_its_first_day_and_its_last() -> None:
    assert held(released()) == "whole"


@pytest.mark.parametrize(
    "more",
    [
        {"scope": torn(("whole",), ("report",))},
        {"valid_until": torn(TODAY, date(2026, 3, 2))},
        {"valid_from": None},
        {"scope": ("referral", "report", "weights", "plan")},
        {"recipient": torn(t.THROAT, t.DOCTOR)},
    ],
)
def test_a_release_that_is_disputed_half_written_or_of_parts_is_none(more: dict[str, Any]) -> None:
    with pytest.raises(NoPackageRelease):
        held(released(**more))


def test_a_withdrawal_in_dispute_counts_as_one() -> None:
    with pytest.raises(PackageWithdrawn):
        held(released(withdrawn_at=torn(None, t.local(3, 9))))


def test_a_withdrawal_written_later_on_an_older_and_narrower_release_is_heard_before_a_newer_whole_one() -> None:
    narrow = {"recipient": t.THROAT, "scope": ("report",), "valid_from": TODAY, "valid_until": TODAY}
    older = t.entry(Release, t.IDA, named="narrow", visit=None, **narrow, withdrawn_at=t.local(3, 9))
    begun = t.local(3, 9).at
    before, whole = (replace(older, entered=begun - timedelta(days=days)) for days in (60, 30))
    chart = t.whole().with_entry(before)
    given = {**narrow, "scope": ("whole",)}
    newer = replace(t.entry(Release, t.IDA, named="whole", visit=None, **given), entered=whole.entered)
    with pytest.raises(PackageWithdrawn):
        held(chart.with_entry(newer))
    asked_again = replace(newer, entered=begun + timedelta(minutes=1))
    assert held(chart.with_entry(asked_again)) == "whole"


def test_limits_in_dispute_count_as_limits_and_blank_ones_do_not() -> None:
    for limits, counts in ((torn("", "no weights"), True), ("no weights", True), ("  ", False), (None, False)):
        release = next(one for one in released(limits=limits).all(Release, t.IDA) if one.id == "whole")
        assert has_limits(release) is counts
    assert has_limits(None) is False


def test_parents_ask_for_a_baby_and_for_themselves_and_providers_only_where_a_release_names_them() -> None:
    chart = released()
    assert askers(chart, t.IDA) == (t.MARA, t.JONAS, t.THROAT)
    assert askers(chart, t.MARA) == (t.MARA,)
    assert held(chart, t.MARA, t.MARA) is None
    for asker, who in ((t.DOCTOR, t.IDA), (t.JONAS, t.MARA), ("", t.IDA), (t.JUNO, t.IDA)):
        with pytest.raises(AskerMissing):
            held(chart, asker, who)


@pytest.mark.parametrize(("may", "holds"), [(True, True), (False, False), (None, False), (torn(True, False), False)])
def test_a_parent_asks_for_a_baby_where_that_parent_certainly_may_consent(may: Any, holds: bool) -> None:
    chart = t.whole()
    mara = chart.by_id(t.MARA)
    assert mara is not None
    assert isinstance(mara.answers, ParentIdentity)
    chart = chart.with_entry(replace(mara, answers=replace(mara.answers, may_consent=may)))
    if holds:
        assert held(chart, t.MARA) is None
    else:
        with pytest.raises(MayNotAsk):
            held(chart, t.MARA)


def issued(named: str, **more: Any) -> Any:
    given = {
        "paper": "report", "sha256": named * 64, "concerns": t.IDA, "before_finished": False, "left_how": "printed",
        "at": t.local(3, 12), **more,
    }  # fmt: skip
    return t.entry(PaperIssued, named=named, **given)


def test_only_sealed_papers_certainly_about_this_person_alone_go_along() -> None:
    left = (
        issued("a"), issued("b", concerns=t.JUNO), issued("c", concerns=None), issued("d", before_finished=True),
        issued("e", left_how="password"), issued("f", paper="family_plan"), issued("0", concerns=torn(t.IDA, t.JUNO)),
        issued("1", sha256=torn("1" * 64, "2" * 64)), issued("2", paper="package"), issued("3", paper="a later kind"),
    )  # fmt: skip
    chart = t.whole().with_entries(left)
    marks = (Signed(t.VISIT, t.WRITER, t.NOW, "0", {t.IDA: "0", f"{t.MARA}+{t.IDA}": "0"}, "1"),)
    chart = Chart(chart.family, t.VISIT, chart.entries, marks)
    assert [one.key for one in may_go(chart, t.IDA)] == [f"summary:{t.VISIT}", f"paper:{'a' * 64}"]
    assert [one.key for one in may_go(chart, t.MARA)] == [f"summary:{t.VISIT}"]
    with pytest.raises(NothingSigned, match="about Juno"):
        may_go(chart, t.JUNO)


def test_a_visit_that_a_student_alone_signed_goes_into_no_package() -> None:
    tam = t.entry(Practitioner, named="tam", visit=None, full_name="Tam Orrel", practice_role="student")
    notes = {t.IDA: "0"}
    by_tam = Signed(t.VISIT, "tam", t.NOW, "0", notes, "1")
    chart = t.whole().with_entry(tam)
    with pytest.raises(NothingSigned):
        may_go(replace(chart, signatures=(by_tam,)), t.IDA)
    by_rowan = tuple(Signed(t.VISIT, t.WRITER, t.NOW, "0", notes, number) for number in "23")
    both = replace(chart, signatures=(by_tam, *by_rowan))
    assert [one.key for one in may_go(both, t.IDA)] == [f"summary:{t.VISIT}"]
