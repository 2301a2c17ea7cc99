"""An invented family at one visit, built entry by entry, for the papers: twins, two parents, three providers."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

from forms.answers import Moment, Quantity, Sided
from forms.chart import Chart, Entry, Place, Signed, entry_id
from forms.consent import Release
from forms.feed import FeedObservation
from forms.form import Form
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.oral import OralAssessment
from forms.people import CareTeam, Family, InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.practice import Practice, Practitioner, Provider
from forms.referral import Referral
from forms.visit import Visit
from forms.weight import WeightReading

ZONE = "America/New_York"
START = datetime(2026, 3, 3, 15, 0, tzinfo=UTC)
NOW = START + timedelta(hours=2)
FAMILY, VISIT, WRITER = "family", "visit", "writer"
MARA, JONAS, IDA, JUNO = "mara", "jonas", "ida", "juno"
DOCTOR, MIDWIFE, THROAT, LETTER = "doctor", "midwife", "throat", "letter"


def local(day: int, hour: int, minute: int = 0, month: int = 3) -> Moment:
    return Moment.of(datetime(2026, month, day, hour, minute), ZONE)  # noqa: DTZ001 - Moment.of takes a naive time


def entry(form: type[Form], *subjects: str, named: str = "", visit: str | None = VISIT, **given: Any) -> Entry[Any]:
    name = named or entry_id(form, visit, subjects)
    return Entry(name, Place(form.name, FAMILY, visit, subjects), form(**given), WRITER, START)


def grams(amount: int) -> Quantity:
    return Quantity(str(amount), "g", amount)


def practice() -> tuple[Entry[Any], ...]:
    def one(form: type[Form], named: str = "", **given: Any) -> Entry[Any]:
        return Entry(named or entry_id(form), Place(form.name), form(**given), WRITER, START)

    return (
        one(Practice, practice_name="Tallow Lane Feeding Visits", country="us", emergency_number="911",
            crisis_line="988", volume_unit="mL", temperature_unit="C", paper_size="letter", time_zone=ZONE,
            hours="8 to 18"),
        one(Practitioner, WRITER, full_name="Rowan Vale", credentials="RN, lactation consultant", phone="555 0190",
            licence_role="nurse", practice_role="consultant"),
        one(Provider, DOCTOR, full_name="Dr Amadi", profession="primary_infant", phone="555 0134"),
        one(Provider, MIDWIFE, full_name="Bea Holloway", profession="midwife", phone="555 0177"),
        one(Provider, THROAT, full_name="Dr Sorrel Quince", profession="ent", phone="555 0161",
            practice="Millrace Ear, Nose and Throat", fax="555 0162"),
    )  # fmt: skip


def people() -> tuple[Entry[Any], ...]:
    return (
        entry(Family, named=FAMILY, visit=None, family_name="Thornbury-Reyes", units_spoken="metric"),
        entry(ParentIdentity, named=MARA, visit=None, full_name="Mara Thornbury", called_name="Mara",
              phone="555 0101", milk_word="my_milk", body_word="breast"),
        entry(ParentIdentity, named=JONAS, visit=None, full_name="Jonas Reyes", called_name="Jonas"),
        entry(InfantIdentity, named=IDA, visit=None, legal_name="Ida Thornbury-Reyes", called_name="Ida",
              tag_shape="circle", sex="f", plurality=2, birth_order=1, born=local(12, 6, 10, 1), gestation_weeks=35,
              gestation_days=2, birth_weight=grams(2310)),
        entry(InfantIdentity, named=JUNO, visit=None, legal_name="Juno Thornbury-Reyes", called_name="Juno",
              tag_shape="square", sex="f", plurality=2, birth_order=2, born=local(12, 6, 24, 1), gestation_weeks=35,
              gestation_days=2, birth_weight=grams(2145)),
        entry(CareTeam, IDA, visit=None, primary_provider=DOCTOR),
        entry(CareTeam, JUNO, visit=None, primary_provider=DOCTOR),
        entry(CareTeam, MARA, visit=None, birth_provider=MIDWIFE),
    )  # fmt: skip


def plan() -> tuple[Entry[Any], ...]:
    amount: dict[str, Any] = {
        "extra_milk": True, "per_feed": Quantity("30", "mL", 30), "times_per_day": 4, "milks": ("own", "donor"),
        "method": "bottle", "agreed": "agreed", "agreed_with": DOCTOR, "agreed_at": local(3, 12), "until": "Friday",
    }  # fmt: skip
    return (
        entry(Plan, goal="I want to feed both of them without it hurting.",
              went_well="Ida took 26 mL from the left side. You heard her swallow.",
              watch_baby=("sleepy", "few_wets"), watch_parent=("sore_area",), followup_kind="home",
              followup_at=local(6, 10, 30), weight_check_by="Rowan, on Friday"),
        entry(PlanTask, named="task1", order=1, what="Feed each baby when she turns her head or brings hands to her "
              "mouth. Wake them if they sleep on.", how_often="at least 8 times in a day and a night",
              until="Friday", who="Mara"),
        entry(PlanTask, named="task2", order=2, what="If it still hurts after you count to 30, slip a clean finger "
              "into the corner of her mouth. Take her off and try again.", how_often="each time", until="it stops "
              "hurting", who="Mara"),
        entry(PlanTask, named="task3", order=3, what="Give 30 mL of your own milk by bottle. Go slowly, with pauses.",
              how_often="4 times", until="Friday", who="Jonas", concerns=(IDA,)),
        entry(FeedingAmount, IDA, **amount),
        entry(FeedingAmount, JUNO, extra_milk=False),
        entry(Impression, MARA, IDA, strengths="Ida wakes by herself and asks for milk.", words="Signs of a shallow "
              "latch on the left.", kinds=("pain_shallow",), findings=("feed1/pain_at_latch@left",)),
    )  # fmt: skip


def seen() -> tuple[Entry[Any], ...]:
    return (
        entry(Visit, named=VISIT, visit=None, kind="home", start=local(3, 10), practitioner=WRITER,
              reason="Sore feeding on the left."),
        entry(WeightReading, IDA, named="w1", weight=grams(2520), taken=local(3, 10, 0, 2), source="document"),
        entry(WeightReading, IDA, named="w2", weight=grams(2680), taken=local(3, 10, 5), source="seen"),
        entry(WeightReading, JUNO, named="w3", weight=grams(2610), taken=local(3, 10, 9), source="seen"),
        entry(FeedObservation, MARA, IDA, named="feed1", observed="seen", began=local(3, 10, 20),
              used=Sided("fed", "not_offered"), pain_at_latch=Sided(6, None)),
        entry(InfantHistory, IDA, medicines="Vitamin D drops", conditions=("none",), operations="None so far",
              feeds_24h=9, wets_24h=7),
        entry(OralAssessment, IDA, consent="given", more="Heart-shaped tip when she cries."),
        entry(InfantAssessment, IDA, tone=("usual",)),
    )  # fmt: skip


def letter() -> tuple[Entry[Any], ...]:
    return (
        entry(Referral, IDA, named=LETTER, to=THROAT, question="Is the limited lift of the tongue worth treating?",
              urgency="two_weeks", reply_by=date(2026, 3, 17), reply_to="555 0190",
              opening_reason="Pain at feeds has not eased after help with the latch.",
              associated_symptoms="Clicking, long feeds.", management_so_far="Position and latch help on two visits.",
              expected="An examination of the mouth.", attachments=("weights", "oral", "feed"), parent_has_copy=True),
        entry(Release, IDA, named="release", visit=None, recipient=THROAT, scope=("referral",), given_by="Mara",
              given_at=local(3, 11), valid_from=date(2026, 3, 3), valid_until=date(2026, 9, 3)),
    )  # fmt: skip


def whole(*more: Entry[Any], signed: bool = True) -> Chart:
    """The family's chart; `more` entries replace those of the same id or are added."""
    kept = {e.id: e for e in (*practice(), *people(), *seen(), *plan(), *letter())}
    kept.update({e.id: e for e in more})
    marks = (Signed(VISIT, WRITER, NOW, "0" * 64, {}, "1" * 64),) if signed else ()
    return Chart(FAMILY, VISIT, tuple(kept.values()), marks)


def changed(chart: Chart, name: str, **given: Any) -> Chart:
    """The chart with some answers of one entry replaced."""
    entries = tuple(replace(e, answers=replace(e.answers, **given)) if e.id == name else e for e in chart.entries)
    return replace(chart, entries=entries)


def without(chart: Chart, *names: str) -> Chart:
    """The chart with some entries left out."""
    return replace(chart, entries=tuple(e for e in chart.entries if e.id not in names))
