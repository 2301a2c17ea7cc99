"""The open record of a visit: a FHIR R4 document of plain dicts, for a reader who has neither this program nor ours.

What a paper may say is what its record may say: every answer is taken through the question's own `paper`. Ids are
derived from the entries, keys stand in a fixed order, numbers keep the digits as written; the same chart at the same
moment gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from types import MappingProxyType
from typing import Final
from zoneinfo import ZoneInfo

from forms.ask import Kind, Paper
from forms.chart import Chart, Entry
from forms.clinical.evidence import zone_of
from forms.form import Form
from forms.impression import Impression
from forms.infant import InfantAssessment
from forms.infant_history import InfantHistory
from forms.oral import OralAssessment
from forms.papers.scope import SCOPE
from forms.parent_history import ParentHistory
from forms.people import CareTeam, InfantIdentity, ParentIdentity
from forms.plan import FeedingAmount, Plan, PlanTask
from forms.practice import Practitioner, Provider
from forms.referral import Referral
from forms.trouble import Trouble
from forms.visit import Visit
from forms.weight import WeightReading
from storage.taking import TakenFrom
from sync.handoff.check import problems
from sync.handoff.record.asked import Asked, asked, response
from sync.handoff.record.care import consent, encounter, impressions, plan, provenance, service_request
from sync.handoff.record.codes import LOINC_NOTICE
from sync.handoff.record.measured import observations
from sync.handoff.record.people import baby, organization, parent, patient_id, practitioner, provider, related
from sync.handoff.record.plain import Resource, as_json, codeable, div, fixed_id, made, points_to, tidy
from sync.handoff.record.telling import Telling

__all__ = ["CARRIED_BY", "NoRecord", "NobodyToTellOf", "record_bytes", "visit_bundle"]

CARRIED_BY: Final = frozenset({Paper.REFERRAL, Paper.REPORT, Paper.SUMMARY, Paper.FAMILY_PLAN})
"""The papers of which a record can be made; the call-now page leaves even while two answers stand."""

_KINDS: Final[Mapping[Paper, tuple[str, str]]] = MappingProxyType({
    Paper.REFERRAL: ("57133-1", "Referral"), Paper.REPORT: ("11488-4", "Visit report"),
    Paper.SUMMARY: ("11488-4", "Visit summary"), Paper.FAMILY_PLAN: ("18776-5", "Family care plan"),
})  # fmt: skip
_HISTORY: Final = (Visit, InfantIdentity, ParentIdentity, CareTeam, InfantHistory, ParentHistory)
_ASSESSED: Final = (Impression,)
_PLANNED: Final = (Plan, PlanTask, FeedingAmount, Referral)


class NobodyToTellOf(Trouble):
    """A record was asked for nobody of the family."""

    template = "Choose whom the record is about: a baby or a parent of this family. Then export it again."


class NoRecord(Trouble):
    """The record did not pass its own check."""

    template = (
        "The open record was not made, because its own check found a fault: {what}. Nothing left; please report this "
        "sentence."
    )


@dataclass(slots=True)
class _Sections:
    """The resources and lines of each part of the document, while it is put together."""

    told: dict[str, tuple[list[Resource], list[str]]] = field(default_factory=dict)

    def put(self, title: str, lines: tuple[str, ...] = (), *resources: Resource | None) -> None:
        there, said = self.told.setdefault(title, ([], []))
        there.extend(one for one in resources if one is not None)
        said.extend(lines)


_SECTION_CODES: Final[Mapping[str, str]] = MappingProxyType({
    "History": "10164-2", "Allergies": "48765-2", "Medicines": "10160-0", "Findings": "61150-9",
    "Measurements": "8716-3", "Assessment": "51848-0", "Plan": "18776-5",
})  # fmt: skip


def _section_of(form: type[Form]) -> str:
    if form in _HISTORY:
        return "History"
    if form is WeightReading:
        return "Measurements"
    return "Assessment" if form in _ASSESSED else "Plan" if form in _PLANNED else "Findings"


def _lines(telling: Telling, entry: Entry[Form], whom: str) -> tuple[str, ...]:
    """An entry in words: its title, and a line for each answer."""
    said = telling.said
    told = tuple(said.labelled(entry.answers, one.path) for one in telling.answers(entry))
    title = type(entry.answers).title
    return (f"{title}: {whom}" if whom else title, *(line for line in told if line)) if any(told) else ()


def _whom(telling: Telling, entry: Entry[Form]) -> str:
    return " and ".join(filter(None, (telling.said.named(one) for one in entry.place.subjects)))


def _answers(
    telling: Telling, sections: _Sections, forms: Mapping[type[Form], Asked], at: Mapping[str, str],
    here: Resource | None,
) -> Iterator[tuple[Entry[Form], Resource]]:  # fmt: skip
    """Each entry's whole answers, put into its section with its words."""
    done = telling.chart.signed() is not None
    for entry in telling.entries():
        ours = here is not None and telling.chart.visit in (entry.place.visit, entry.id)
        told = response(
            telling, entry, forms, at, subject=patient_id(telling.subject(entry)),
            encounter=str(here["id"]) if here is not None and ours else None, done=done,
        )  # fmt: skip
        if told is not None:
            sections.put(_section_of(type(entry.answers)), _lines(telling, entry, _whom(telling, entry)), told)
            yield entry, told


def _kept_apart(telling: Telling, sections: _Sections) -> None:
    """Medicines and allergies in sections of their own: what is known, "none", or that it was not asked."""
    for title, field_ in (("Allergies", "allergies"), ("Medicines", "medicines")):
        for form in (InfantHistory, ParentHistory):
            for entry in telling.of(form):
                if telling.said.may(form, field_):
                    words = telling.said.or_not_known(entry.answers, field_)
                    sections.put(title, (f"{_whom(telling, entry)}: {words}",))


def _people(telling: Telling) -> tuple[list[Resource], dict[str, Resource]]:
    """The patients, and everybody of the family around the first baby by person."""
    around: list[Resource] = []
    kin: dict[str, Resource] = {}
    ours: dict[str, list[Resource]] = {}
    for one in telling.babies:
        for who in telling.chart.all(ParentIdentity):
            made_ = related(telling, who, one)
            around.append(made_)
            kin.setdefault(who.id, made_)
            ours.setdefault(who.id, []).append(made_)
    patients = [baby(telling, e) for e in telling.babies]
    patients += [parent(telling, e, ours.get(e.id, ())) for e in telling.parents]
    return [*patients, *around], kin


def _writers(telling: Telling) -> dict[str, Resource]:
    """Everybody who wrote something that is told, and the consultant who signs it."""
    wanted = {telling.writer, *(e.author for e in telling.entries()), telling.value(telling.visit, "practitioner")}
    return {e.id: practitioner(telling, e) for e in telling.chart.all(Practitioner) if e.id in wanted}


def _providers(telling: Telling) -> dict[str, Resource]:
    """The providers that answers of the record name."""
    named = {
        one
        for entry in telling.entries()
        for answer in telling.answers(entry)
        if "provider" in answer.ask.of
        for one in (answer.given if isinstance(answer.given, tuple) else (answer.given,))
    }
    return {e.id: provider(telling, e) for e in telling.chart.all(Provider) if e.id in named}


def _composition(
    telling: Telling, document: str, sections: _Sections, writer: Resource | None, here: Resource | None,
    custodian: Resource | None, at: str,
) -> Resource:  # fmt: skip
    code, title = _KINDS[telling.paper]
    parts = [
        tidy({
            "title": name, "code": codeable(_SECTION_CODES[name]), "text": div(sections.told[name][1]),
            "entry": [points_to(one) for one in sections.told[name][0]],
        })
        for name in _SECTION_CODES if name in sections.told and sections.told[name][1]
    ]  # fmt: skip
    parts.append({"title": "About this record", "text": div((SCOPE[telling.paper].text, LOINC_NOTICE))})
    return made(
        "Composition", document, language="en",
        identifier={"system": "urn:ietf:rfc:3986", "value": f"urn:uuid:{document}"},
        status="final" if telling.chart.signed() else "preliminary", type=codeable(code),
        subject={"reference": f"urn:uuid:{patient_id(telling.chief)}"}, encounter=points_to(here) if here else None,
        date=at, author=[points_to(writer)] if writer else [{"display": "The consultant of this visit"}],
        title=title, custodian=points_to(custodian) if custodian else None, section=parts,
    )  # fmt: skip


def visit_bundle(
    chart: Chart, *, paper: Paper, writer: str, now: datetime, about: tuple[str, ...] = (), referral: str = "",
    sources: Mapping[tuple[str, str], TakenFrom] = MappingProxyType({}),
) -> Resource:  # fmt: skip
    """The document of a paper.

    `about` are person ids (default: the whole family, or the person of the letter), `writer` the practitioner's id,
    `now` the aware time of making, `referral` the letter's entry id. `sources` tell, by entry and question, which
    answers were taken over from another practice; the record gives those as that practice's.

    Raises NobodyToTellOf; Unresolved, Unfilled and NotGoneThrough where an answer it tells is not settled; NotReady and
    NoRelease for a letter; and NoRecord when the document does not pass `problems`.
    """
    telling = replace(_telling(chart, paper, writer, now, about, referral), sources=sources)
    sections = _Sections()
    people, kin = _people(telling)
    writers, providers = _writers(telling), _providers(telling)
    signer, custodian = writers.get(writer), organization(telling)
    here = encounter(telling, writers.get(telling.value(telling.visit, "practitioner") or "") or signer)
    at = _places(telling, writers | providers)
    forms = asked(telling)
    told = list(_answers(telling, sections, forms, at, here))
    measured = list(observations(telling))
    thought, planned = list(impressions(telling, here)), list(plan(telling, here, signer))
    looked = [made_ for entry, made_ in told if isinstance(entry.answers, OralAssessment | InfantAssessment)]
    wanted, allowed = service_request(telling, here, signer, at, looked), consent(telling, kin, at)
    _kept_apart(telling, sections)
    sections.put("Measurements", tuple(map(_measured_words, measured)), *measured)
    sections.put("Assessment", (), *thought)
    sections.put("Plan", (), *planned, wanted, allowed)
    moment = now.astimezone(ZoneInfo(zone_of(chart))).isoformat()
    document = fixed_id("document", str(paper), chart.family, chart.visit or "", referral, *telling.about, moment)
    head = _composition(telling, document, sections, signer, here, custodian, moment)
    wrote = provenance(telling, [head, *(one for one in (*planned, wanted) if one is not None)], signer)
    resources = [
        head, *people, *writers.values(), *providers.values(), custodian, here, *(one for _, one in told),
        *_questionnaires(forms, told), *measured, *thought, *planned, wanted, allowed, wrote,
    ]  # fmt: skip
    bundle = {
        "resourceType": "Bundle", "id": document,
        "identifier": {"system": "urn:ietf:rfc:3986", "value": f"urn:uuid:{document}"},
        "type": "document", "timestamp": moment,
        "entry": [{"fullUrl": f"urn:uuid:{one['id']}", "resource": one} for one in resources if one is not None],
    }  # fmt: skip
    found = problems(bundle)
    if found:
        raise NoRecord(what=found[0])
    return bundle


def _questionnaires(forms: Mapping[type[Form], Asked], told: list[tuple[Entry[Form], Resource]]) -> Iterator[Resource]:
    """The forms that are answered, once each."""
    for form in dict.fromkeys(type(entry.answers) for entry, _ in told):
        yield forms[form].questionnaire()


def _telling(chart: Chart, paper: Paper, writer: str, now: datetime, about: tuple[str, ...], referral: str) -> Telling:
    letter = chart.by_id(referral)
    people = tuple(e.id for form in (InfantIdentity, ParentIdentity) for e in chart.all(form))
    wanted = about or (letter.place.subjects if letter is not None else people)
    chosen = tuple(one for one in people if one in wanted)
    if not chosen or set(wanted) - set(people):
        raise NobodyToTellOf
    return Telling(chart, paper, chosen, writer, now, referral)


def _places(telling: Telling, others: Mapping[str, Resource]) -> dict[str, str]:
    """Which resource stands for an entry, for the answers that name one."""
    at = {one: patient_id(one) for one in telling.about} | {name: str(made_["id"]) for name, made_ in others.items()}
    for entry in telling.entries():
        if any(one.ask.kind not in (Kind.REF, Kind.REFS) for one in telling.answers(entry)):
            at.setdefault(entry.id, fixed_id("QuestionnaireResponse", entry.id))
    return at


def _measured_words(observation: Resource) -> str:
    """A measurement in one line of the narrative."""
    parts = observation.get("component", [observation])
    told = ", ".join(
        f"{one['code']['text']} {one['valueQuantity']['value']:f} {one['valueQuantity']['unit']}" for one in parts
    )  # fmt: skip
    where = f", {observation['bodySite']['text']}" if "bodySite" in observation else ""
    return f"{told}{where} ({observation.get('effectiveDateTime', 'time not known')})"


def record_bytes(bundle: Resource) -> bytes:
    """The document as it leaves: compact JSON in UTF-8, each number with the digits it has."""
    return as_json(bundle).encode()
