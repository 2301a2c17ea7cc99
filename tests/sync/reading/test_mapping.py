"""Every fact our own record carries comes back as an offer, and a plain record of another program gives its facts."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest

from demo_db.build import chart_all, new_store
from forms.answers import Moment, Quantity
from forms.ask import Paper, Path
from forms.chart import Chart
from forms.papers.referral import referral
from forms.people import InfantIdentity
from forms.weight import WeightReading
from sync.handoff.detached import sign_beside
from sync.handoff.document import record_bytes, visit_bundle
from sync.handoff.inside import carried_by
from sync.handoff.letter import write_letter
from sync.handoff.reading.held import HandOver, Standing
from sync.handoff.reading.read import read_file
from sync.handoff.seals import Seal, make_seals, seal_of
from sync.handoff.sign import sign_letter
from tests.helpers import thornbury as t
from tests.helpers.handed_over import charted_facts, elsewhere_record, observed, offered_facts
from tests.helpers.records import record
from tests.sync.conftest import Shelf

NAMES = ("twins", "bram", "linnet", "tobin", "fenna", "andres", "oswin", "arlo")
Summary = tuple[Chart, str, dict[str, Any]]


def read(bundle: Any, **more: Any) -> HandOver:
    data = bundle if isinstance(bundle, bytes) else record_bytes(bundle)
    return read_file(data, zone=t.ZONE, now=t.NOW, **more)


@pytest.fixture(scope="module")
def summaries(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Summary]:
    store, clock, ids = new_store(tmp_path_factory.mktemp("demo") / "store")
    try:
        charted, made = chart_all(store, clock, ids), {}
        for name in NAMES:
            chart = store.chart(getattr(charted, name).family, getattr(charted, f"{name}_visit"))
            bundle = visit_bundle(chart, paper=Paper.SUMMARY, writer=charted.author, now=clock())
            made[name] = (chart, charted.author, bundle)
    finally:
        store.close()
    return made


@pytest.mark.parametrize("name", NAMES)
def test_every_answer_of_an_invented_family_comes_back_as_an_offer(name: str, summaries: dict[str, Summary]) -> None:
    chart, author, bundle = summaries[name]
    wanted, found = sorted(map(repr, charted_facts(chart, author))), sorted(map(repr, offered_facts(read(bundle))))
    assert wanted
    assert found == wanted


def test_each_offer_says_whose_it_is_who_wrote_it_and_when() -> None:
    found = read(record(t.whole(), Paper.SUMMARY))
    assert {person.names[0] for person in found.people} >= {"Ida Thornbury-Reyes", "Mara Thornbury"}
    assert all(one.person and one.author == "Rowan Vale" and one.at for one in found.offers)


def elsewhere(*resources: dict[str, Any], born: str = "2026-01-12") -> HandOver:
    return read(elsewhere_record(*resources, born=born))


def test_a_plain_record_of_another_program_offers_what_our_questions_ask() -> None:
    found = elsewhere(
        observed("8339-4", 3420, "g"), observed("11884-4", 275, "d"), observed("29463-7", 7.5, "[lb_av]"),
        observed("89269-5", 20, "[in_i]"),
    )  # fmt: skip
    offered = {one.path: one for one in found.offers}
    assert not any(one.only_shown for one in found.offers)
    assert offered[Path("legal_name")].value == "Ida Rose Thornbury"
    assert offered[Path("born_day")].value == date(2026, 1, 12)
    assert offered[Path("birth_weight")].value == Quantity("3420", "g", 3420)
    assert (offered[Path("gestation_weeks")].value, offered[Path("gestation_weeks")].also) == (
        39, ((Path("gestation_days"), 2),)
    )  # fmt: skip
    weight = offered[Path("weight")]
    assert (weight.form, weight.value) == (WeightReading, Quantity("7.5 lb", "lb_oz", 3402))  # 7.5 x 453.59237 g
    assert dict(weight.also)[Path("source")] == "document"
    assert offered[Path("birth_length")].value == Quantity("20", "in", 508)  # 20 x 25.4 mm


@pytest.mark.parametrize("resource", [
    observed("8339-4", 120, ("oz",)),
    observed("8339-4", 3420, "grams"),
    observed("8339-4", 3420, "g", status="entered-in-error"),
    observed("8339-4", 3420, "g", implicitRules="http://rules.example"),
    observed("8339-4", 3420, "g", modifierExtension=[{"url": "http://mark.example", "valueBoolean": True}]),
    {**observed("8339-4", 3420, "g"), "valueQuantity": {
        "value": 3420, "unit": "g", "system": "http://unitsofmeasure.org", "code": "g", "comparator": "<",
    }},
    observed("29463-7", 3300, "g", effectiveDateTime="2026-01"),
    observed("8310-5", 37, "Cel"),
])  # fmt: skip
def test_what_must_not_be_used_is_shown_with_its_words_and_a_reason(resource: dict[str, Any]) -> None:
    (one,) = (one for one in elsewhere(resource).offers if "Observation" in one.entry)
    assert one.only_shown
    assert not one.is_answer
    assert str(resource["valueQuantity"]["value"]) in one.words


def test_a_partial_birth_date_keeps_its_precision_and_becomes_no_day() -> None:
    (one,) = (one for one in elsewhere(born="2026-01").offers if one.path == Path("born_day"))
    assert (one.words, one.value, one.is_answer) == ("2026-01", None, False)


def test_a_birth_to_come_and_an_unlikely_birth_weight_warn_and_are_not_refused() -> None:
    found = elsewhere(observed("8339-4", 34.2, "kg"), born="2027-01-12")
    doubted = {one.path: one for one in found.offers if one.doubts}
    assert set(doubted) == {Path("born_day"), Path("birth_weight")}
    assert all(one.is_answer and one.form is InfantIdentity for one in doubted.values())


def test_a_resource_nothing_is_offered_from_is_listed_with_its_words_and_no_markup() -> None:
    odd = {"resourceType": "Flag", "id": "f", "text": {"div": "<div><script>x</script><p>Born &lt;37 weeks</p></div>"}}
    (one,) = elsewhere(odd).unread
    assert (one.kind, one.words) == ("Flag", "x\nBorn <37 weeks")


@pytest.fixture(scope="module")
def paper(seal: Seal) -> bytes:
    chart = t.whole()
    outline = referral(chart, t.LETTER, writer=t.WRITER, now=t.NOW)
    carried = carried_by(chart, outline, seal, author=t.WRITER, now=t.NOW, referral=t.LETTER)
    pages = write_letter(outline, made=t.NOW, sealed=True)
    return sign_letter(pages, seal, at=Moment(t.NOW, t.ZONE), who=outline.writer, record=carried)


def test_a_sealed_letter_is_known_a_strangers_or_changed_and_says_which(paper: bytes, seal: Seal) -> None:
    known, stranger = read(paper, roots=(seal.root,)), read(paper)
    assert (known.sender.standing, stranger.sender.standing) == (Standing.KNOWN, Standing.STRANGER)
    assert known.offers == stranger.offers != ()
    changed = read(paper + b"\n% a line more", roots=(seal.root,))
    assert changed.sender.standing is Standing.CHANGED
    assert not changed.sender.can_be_taken_from


def seal_made(now: datetime) -> Seal:
    """A seal whose certificate holds from that day; a signature beside a record is made by the real clock."""
    shelf = Shelf()
    make_seals(shelf, t.WRITER, practice="Millrace Visits", name="Wren Alder", now=now)  # type: ignore[arg-type]
    return seal_of(shelf, t.WRITER, name="Wren Alder", now=now)  # type: ignore[arg-type]


def test_a_signature_made_after_its_certificate_ended_is_not_taken_from_and_is_not_called_changed() -> None:
    data, old = record_bytes(record(t.whole(), Paper.SUMMARY)), seal_made(datetime(2020, 1, 1, tzinfo=UTC))
    found = read(data, signature=sign_beside(data, old), roots=(old.root,))
    assert found.sender.standing is Standing.EXPIRED
    assert not found.sender.can_be_taken_from


def test_a_record_beside_its_signature_is_known_a_strangers_changed_or_unsigned() -> None:
    data, seal = record_bytes(record(t.whole(), Paper.SUMMARY)), seal_made(datetime.now(UTC))
    beside = sign_beside(data, seal)
    assert read(data, signature=beside, roots=(seal.root,)).sender.standing is Standing.KNOWN
    assert read(data, signature=beside).sender.standing is Standing.STRANGER
    assert read(data).sender.standing is Standing.UNSIGNED
    assert read(data.replace(b"2680", b"2690"), signature=beside).sender.standing is Standing.CHANGED
    for spoiled in (b"", b"no signature", beside[:-20], beside[20:]):
        assert read(data, signature=spoiled).sender.standing is Standing.CHANGED
