"""A small sample form and a binding that keeps its answers in memory, for the tests and pictures of the kit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from desktop.controls.binding import Binding
from forms.answers import Given, Moment, Quantity, Sided
from forms.ask import (
    Need,
    NotCoded,
    NotPrinted,
    When,
    choice,
    count,
    day,
    line,
    many,
    moment,
    quantity,
    ref,
    refs,
    scale,
    text,
    yes_no,
)  # fmt: skip
from forms.form import About, Form
from forms.units import UNITS, Dimension

SAMPLE: dict[str, Any] = {"paper": NotPrinted("a sample"), "code": NotCoded("a sample")}
NOW = Moment(datetime(2026, 3, 3, 14, 2, 30, tzinfo=UTC), "UTC")
IDA, JUNO, DENTIST = "1" * 32, "2" * 32, "3" * 32


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleForm(Form):
    """One question of every kind."""

    reaches: Given[tuple[str, ...]] = many(
        "Reaches, seen when the lip is stroked",
        {
            "gum": "over the gum", "lip": "to the lip", "past": "past the lip", "in": "stays in",
            "changes": "changes while watching", "unseen": "could not see",
        },
        alone=("unseen",), need=Need.MUST, **SAMPLE,
    )  # fmt: skip
    lifts: Given[str] = choice(
        "Lifts, seen while crying",
        {"edges": "edges", "middle": "middle", "tip": "tip", "not": "did not lift", "unseen": "could not see"},
        need=Need.MUST, **SAMPLE,
    )  # fmt: skip
    follows: Sided[Given[str]] = choice(
        "Follows a finger along the gum", {"yes": "follows", "no": "does not"}, sides=True, need=Need.MUST, **SAMPLE
    )
    pain: Sided[Given[int]] = scale(
        "Pain now", sides=True, need=Need.MUST, ends=("none", "worst"),
        help="Her own number, asked while the baby is at the breast.", **SAMPLE,
    )  # fmt: skip
    pain_kind: Sided[Given[tuple[str, ...]]] = many(
        "What it is like", {"sharp": "sharp", "burning": "burning", "dull": "dull", "pinch": "pinching"},
        sides=True, need=Need.WHEN_OPEN, when=When("pain", at_least=1), **SAMPLE,
    )  # fmt: skip
    pain_lasts: Sided[Given[int]] = count(
        "How long it lasts after the latch, minutes", high=60, sides=True, when=When("pain", at_least=1), **SAMPLE
    )
    weight: Given[Quantity] = quantity("Weight", ("g", "kg", "lb_oz"), low=300, high=25_000, need=Need.MUST, **SAMPLE)
    temperature: Given[Quantity] = quantity("Temperature", ("C", "F"), low=250, high=450, **SAMPLE)
    wet: Given[int] = count("Wet diapers in the last 24 hours", high=30, need=Need.MUST, **SAMPLE)
    weighed_at: Given[Moment] = moment("Weighed at", need=Need.MUST, **SAMPLE)
    born: Given[Any] = day("Birth date", need=Need.MUST, **SAMPLE)
    scale_name: Given[str] = line("Scale", **SAMPLE)
    more: Given[str] = text("Say more, in your own words", **SAMPLE)
    shield: Given[bool] = yes_no("Nipple shield used", need=Need.MUST, **SAMPLE)
    shield_size: Given[Quantity] = quantity(
        "Size of the shield", ("mm",), low=10, high=40, need=Need.WHEN_OPEN, when=When("shield", (True,)), **SAMPLE
    )
    shield_why: Given[str] = line("Who suggested it", when=When("shield", (True,)), **SAMPLE)
    baby: Given[str] = ref("Which baby", ("infant",), need=Need.MUST, **SAMPLE)
    told: Given[tuple[str, ...]] = refs("Who was told", ("provider",), **SAMPLE)
    mood: Given[str] = choice(
        "How she has been", {"well": "well", "low": "low"}, private=True, need=Need.MUST, **SAMPLE
    )
    alone: Given[bool] = yes_no("Asked alone", private=True, need=Need.MUST, **SAMPLE)


SampleForm.name, SampleForm.title, SampleForm.about, SampleForm.repeats = (
    "sample",
    "Sample",
    About.PERSON_AT_VISIT,
    False,
)


class SampleBinding(Binding):
    """Answers kept in a dict, with what was put in order."""

    form = SampleForm

    def __init__(self, values: Mapping[str, Any] | None = None) -> None:
        super().__init__()
        self.values: dict[str, Any] = dict(values or {})
        self.puts: list[tuple[str, Any, str]] = []
        self.doubts: dict[str, str] = {}
        self.is_sealed = False
        self.kept_phrases: tuple[tuple[str, str], ...] = ()

    def value(self, path: str) -> Given[Any]:
        return self.values.get(path)

    def put(self, path: str, value: Any, reason: str = "") -> None:
        self.values[path] = value
        self.puts.append((path, value, reason))
        self.changed.emit(path)

    def say(self, path: str) -> str | None:
        return self.doubts.get(path)

    def person_words(self) -> tuple[str, str]:
        return "Mara's left", "Mara's right"

    def choices(self, path: str) -> tuple[tuple[str, str], ...]:
        if path == "baby":
            return (IDA, "Ida Thornquist"), (JUNO, "Juno Thornquist")
        return ((DENTIST, "Dr Amadi, dentist"), (IDA, "R. Vale, midwife")) if path == "told" else ()

    def phrases(self, path: str) -> tuple[tuple[str, str], ...]:
        return self.kept_phrases if path == "more" else ()

    def zone(self) -> str:
        return "UTC"

    def now(self) -> Moment:
        return NOW

    def last_unit(self, dimension: str) -> str | None:
        known = [value.unit for value in self.values.values() if isinstance(value, Quantity)]
        return next((unit for unit in known if UNITS[unit].dimension is Dimension(dimension)), None)

    def sealed(self) -> bool:
        return self.is_sealed
