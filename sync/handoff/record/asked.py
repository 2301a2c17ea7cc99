"""Each form's whole answers, with the form itself, so that nothing is lost on a reader who knows none of our codes.

The Questionnaire is made from the declarations: the questions of a form that the document answers, in the form's order,
each with all its options. Its version is the fingerprint of what it asks, so that two documents never give one name to
different questions. Answers come in the same order under the names by which the record keeps them ("pain@left").
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from types import MappingProxyType
from typing import Any, Final

from forms.answers import Absence, Absent, Moment, Quantity
from forms.ask import Ask, Coded, Kind, Path, asks, paths
from forms.chart import Entry
from forms.form import Form
from forms.papers.said import side_words
from forms.summaries import is_summary
from storage.taking import TakenFrom
from sync.handoff.record.codes import ABSENT, BASE, LOINC, LOINC_NOTICE
from sync.handoff.record.plain import Resource, amount, as_json, coding, made, tidy, when, written
from sync.handoff.record.telling import Answer, Telling

__all__ = ["TAKEN_FROM", "Asked", "asked", "response"]

_TYPES: Final[Mapping[Kind, str]] = MappingProxyType({
    Kind.CHOICE: "choice", Kind.MANY: "choice", Kind.SCALE: "integer", Kind.COUNT: "integer", Kind.QUANTITY: "quantity",
    Kind.MOMENT: "dateTime", Kind.DAY: "date", Kind.LINE: "string", Kind.TEXT: "text", Kind.YES_NO: "boolean",
    Kind.REF: "reference", Kind.REFS: "reference",
})  # fmt: skip
_NO_ANSWER: Final[Mapping[Absence, str]] = MappingProxyType({
    Absence.NOT_ASKED: "not-asked", Absence.NOT_DONE: "not-performed", Absence.DECLINED: "asked-declined",
    Absence.NONE: "not-applicable",
})  # fmt: skip
_DELIBERATE: Final = f"{BASE}/StructureDefinition/deliberate-non-answer"
_SUMMARY: Final = f"{BASE}/StructureDefinition/summary-answer"
TAKEN_FROM: Final = f"{BASE}/StructureDefinition/taken-from"
"""Marks an answer that another practice gave and this one took over: who wrote it there, and when."""
_TYPED: Final = "#typed"
"""Behind the name of a question: what was typed, where the amount goes out in another unit."""


def _type(ask: Ask) -> str:
    """What an item takes; answers named by other answers go out as words."""
    return "string" if "answer" in ask.of else _TYPES[ask.kind]


def _choices(form: type[Form], path: Path) -> str:
    return f"{BASE}/CodeSystem/{form.name}.{path.field}"


def _label(ask: Ask, path: Path) -> str:
    return ask.label + side_words(path)


def _item(form: type[Form], path: Path, ask: Ask) -> Resource:
    code = [coding(ask.code.code)] if isinstance(ask.code, Coded) and ask.code.system == LOINC else []
    system = _choices(form, path)
    options = [{"valueCoding": {"system": system, "code": c, "display": w}} for c, w in ask.options.items()]
    typed = {"linkId": f"{path}{_TYPED}", "text": "As it was typed", "type": "string"}
    item = {
        "linkId": str(path), "code": code, "text": _label(ask, path), "type": _type(ask),
        "repeats": True if ask.kind in (Kind.MANY, Kind.REFS) else None,
        "answerOption": options, "item": [typed] if ask.kind is Kind.QUANTITY else [],
    }  # fmt: skip
    return tidy(item)  # type: ignore[no-any-return]


@dataclass(frozen=True)
class Asked:
    """The questions of one form that a document answers."""

    form: type[Form]
    answered: frozenset[Path]

    @cached_property
    def _items(self) -> list[Resource]:
        return [_item(self.form, at, asks(self.form)[at.field]) for at in paths(self.form) if at in self.answered]

    @cached_property
    def _version(self) -> str:
        return hashlib.sha256(as_json(self._items).encode()).hexdigest()[:12]

    @property
    def canonical(self) -> str:
        """The name and version under which answers say what they answer."""
        return f"{BASE}/Questionnaire/{self.form.name}|{self._version}"

    def questionnaire(self) -> Resource:
        """The form as it is declared, as far as the document answers it."""
        url, _, version = self.canonical.partition("|")
        return made(
            "Questionnaire", self.form.name, version, url=url, version=version, name=self.form.name,
            title=self.form.title, status="active", subjectType=["Patient"], copyright=LOINC_NOTICE, item=self._items,
        )  # fmt: skip


def asked(telling: Telling) -> Mapping[type[Form], Asked]:
    """The questions that the document of a telling answers, by form."""
    found: dict[type[Form], set[Path]] = {}
    for entry in telling.entries():
        found.setdefault(type(entry.answers), set()).update(one.path for one in telling.answers(entry))
    return {form: Asked(form, frozenset(answered)) for form, answered in found.items()}


def _values(answer: Answer, form: type[Form], here: Mapping[str, str]) -> list[Resource]:
    """The answer as values; references only to what is in the record."""
    ask, given = answer.ask, answer.given
    match given:
        case bool():
            return [{"valueBoolean": given}]
        case int():
            return [{"valueInteger": given}]
        case Quantity():
            typed = written(given)
            inner = [{"linkId": f"{answer.path}{_TYPED}", "answer": [{"valueString": typed}]}] if typed else []
            return [{"valueQuantity": amount(given), "item": inner}]
        case Moment():
            return [{"valueDateTime": when(given)}]
        case date():
            return [{"valueDate": when(given)}]
    many = given if isinstance(given, tuple) else (given,)
    if _type(ask) == "reference":
        return [{"valueReference": {"reference": f"urn:uuid:{here[one]}"}} for one in many if one in here]
    if ask.options:
        system = _choices(form, answer.path)
        return [{"valueCoding": {"system": system, "code": c, "display": ask.options.get(c)}} for c in many]
    return [{"valueString": str(one)} for one in many if str(one).strip()]


def _taken(source: TakenFrom | None) -> list[Resource]:
    if source is None:
        return []
    parts = (("author", source.author), ("at", source.at))
    return [{"url": TAKEN_FROM, "extension": [{"url": name, "valueString": said} for name, said in parts if said]}]


def _answered(
    answers: Form, answer: Answer, here: Mapping[str, str], source: TakenFrom | None
) -> Resource | None:  # fmt: skip
    told: dict[str, Any] = {"linkId": str(answer.path), "text": _label(answer.ask, answer.path)}
    if isinstance(answer.given, Absent):
        why = [{"url": "why", "valueString": answer.given.why}] if answer.given.why.strip() else []
        kind = {"url": "kind", "valueCode": str(answer.given.kind).replace("_", "-")}
        marks = [
            {"url": ABSENT, "valueCode": _NO_ANSWER[answer.given.kind]},
            {"url": _DELIBERATE, "extension": [kind, *why]},
        ]
        return {"extension": [*marks, *_taken(source)], **told}
    values = _values(answer, type(answers), here)
    if not values:
        return None
    marks = [{"url": _SUMMARY, "valueBoolean": True}] if is_summary(answers, answer.path) else []
    return tidy({"extension": [*marks, *_taken(source)], **told, "answer": values})  # type: ignore[no-any-return]


def response(
    telling: Telling, entry: Entry[Form], forms: Mapping[type[Form], Asked], here: Mapping[str, str], *,
    subject: str, encounter: str | None, done: bool,
) -> Resource | None:  # fmt: skip
    """An entry's answers; None where nothing of it may go out. `here` names resources by the entry they came from.

    Raises Unresolved, Unfilled and NotGoneThrough.
    """
    made_of = (
        _answered(entry.answers, one, here, telling.sources.get((entry.id, str(one.path))))
        for one in telling.answers(entry)
    )
    items = [told for told in made_of if told is not None]
    if not items:
        return None
    author = here.get(entry.author)
    return made(
        "QuestionnaireResponse", entry.id, questionnaire=forms[type(entry.answers)].canonical,
        status="completed" if done else "in-progress", subject={"reference": f"urn:uuid:{subject}"},
        encounter={"reference": f"urn:uuid:{encounter}"} if encounter else None,
        authored=entry.entered.isoformat(), author={"reference": f"urn:uuid:{author}"} if author else None,
        item=items,
    )  # fmt: skip
