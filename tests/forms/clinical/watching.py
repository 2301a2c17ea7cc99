"""Evidence that notes which questions and which limits a rule reads, and charts answered at random to read from."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from datetime import timedelta
from random import Random
from typing import Any

from forms.answers import Quantity, Side, Sided
from forms.ask import Ask, Kind, asks
from forms.chart import Chart, Entry, entry_id
from forms.clinical.evidence import AGE, WEIGHED, Baby, Feeder
from forms.form import About, Form, catalog
from forms.people import InfantIdentity, ParentIdentity
from forms.practice import Practice
from forms.thresholds import Limits
from forms.units import UNITS, alone
from forms.visit import Visit
from forms.weight import WeightReading
from tests.forms.clinical.charted import BABY, FAMILY, NOW, PARENT, VISIT, entry, grams, moment

EARLIER = "0" * 32
GATHERED = {"birth": AGE, "weighed": WEIGHED}
"""What evidence holds ready made, with the questions it was made from."""


@dataclass
class Touched:
    """The questions ("form.field") and the limits that were read."""

    questions: set[str] = field(default_factory=set)
    limits: set[str] = field(default_factory=set)


def watched(evidence: Baby | Feeder, touched: Touched) -> Any:
    """The same evidence; whatever is read of it is noted."""
    made = type(evidence)

    class Watched(made):  # type: ignore[valid-type, misc]
        def __getattribute__(self, name: str) -> Any:
            touched.questions.update(GATHERED.get(name, ()))
            return super().__getattribute__(name)

    return Watched(**{f.name: _wrapped(getattr(evidence, f.name), touched) for f in fields(evidence)})


def _wrapped(value: Any, touched: Touched) -> Any:
    if isinstance(value, Form):
        return _form(value, touched)
    if isinstance(value, Limits):
        return _limits(value, touched)
    if isinstance(value, tuple):
        return tuple(_wrapped(one, touched) for one in value)
    return value


def _form(answers: Form, touched: Touched) -> Form:
    questions = set(asks(type(answers)))
    made: Any = type(answers)

    class WatchedForm(made):  # type: ignore[misc]
        def __getattribute__(self, name: str) -> Any:
            if name in questions:
                touched.questions.add(f"{made.name}.{name}")
            return super().__getattribute__(name)

    return WatchedForm(**{name: getattr(answers, name) for name in questions})


def _limits(kept: Limits, touched: Touched) -> Limits:
    class WatchedLimits(Limits):
        def at(self, name: str) -> int:
            touched.limits.add(name)
            return super().at(name)

    return WatchedLimits(kept.set_here, kept.torn)


def _answer(ask: Ask, dice: Random) -> Any:
    low, high = ask.low or 0, ask.high if ask.high is not None else 10
    match ask.kind:
        case Kind.CHOICE:
            return dice.choice(list(ask.options))
        case Kind.MANY:
            codes = list(ask.options) or list(ask.claims)
            return tuple(sorted(dice.sample(codes, min(len(codes), dice.randint(1, 3)))))
        case Kind.SCALE | Kind.COUNT:
            return dice.randint(low, high)
        case Kind.QUANTITY:
            unit = ask.units[0]
            base = dice.randint(low, high)
            return Quantity(alone(base, unit).removesuffix(UNITS[unit].symbol).strip(), unit, base)
        case Kind.MOMENT:
            return moment(NOW - timedelta(minutes=dice.choice((5, 60, 700, 5_000, 40_000))))
        case Kind.DAY:
            return (NOW - timedelta(days=dice.randint(0, 400))).date()
        case Kind.YES_NO:
            return dice.random() < 0.5
        case Kind.LINE | Kind.TEXT:
            return dice.choice(("epds", "words", "12"))
    return None


def answered(form: type[Form], dice: Random, share: float) -> Form:
    """A form of which about that share of the questions is answered, at random within their bounds."""

    def value(ask: Ask) -> Any:
        return _answer(ask, dice) if dice.random() < share else None

    return form(
        **{name: Sided(*(value(ask) for _ in Side)) if ask.sides else value(ask) for name, ask in asks(form).items()}
    )


def random_chart(dice: Random) -> Chart:
    """A family of one baby and one parent, two visits, everything that can be charted answered at random."""
    share, hours = dice.choice((0.15, 0.5, 0.9)), dice.choice((10, 30, 60, 100, 130, 200, 300, 400, 700, 1500, 3000))
    born = {"born": moment(NOW - timedelta(hours=hours))} if dice.random() < 0.8 else {}
    identity = {**_kept(answered(InfantIdentity, dice, share)), "birth_weight": grams(dice.choice((2500, 3400, 4000)))}
    entries: list[Entry[Form]] = [
        entry(BABY, InfantIdentity(**{**identity, "born": None, "born_day": None, **born})),
        entry(PARENT, answered(ParentIdentity, dice, share)),
        entry(EARLIER, Visit(start=moment(NOW - timedelta(days=3)))),
        entry(VISIT, Visit(start=moment(NOW - timedelta(minutes=30)), kind="home")),
        entry(entry_id(Practice), Practice(time_zone="America/New_York")),
    ]
    for number in range(4):
        reading = WeightReading(
            weight=grams(dice.choice((2300, 2900, 3300, 3600, 3720, 4100))), state=dice.choice(("bare", "clothes")),
            taken=moment(NOW - timedelta(hours=dice.choice((0, 5, 14, 40, 80, 170)), minutes=10)),
        )  # fmt: skip
        entries.append(entry(f"{number:032d}", reading, BABY))
    for form in catalog().values():
        if form.about in (About.PERSON_AT_VISIT, About.PAIR_AT_VISIT):
            people = ((PARENT, BABY),) if form.about is About.PAIR_AT_VISIT else ((BABY,), (PARENT,))
            for subjects in people:
                for visit in (EARLIER, VISIT):
                    for number in range(2 if form.repeats else 1):
                        name = entry_id(form, f"{visit}{number}" if form.repeats else visit, subjects)
                        entries.append(entry(name, answered(form, dice, share), *subjects, visit=visit))
    return Chart(FAMILY, VISIT, tuple(entries))


def _kept(answers: Form) -> dict[str, Any]:
    return {name: getattr(answers, name) for name in asks(type(answers))}
