"""The sheet a family fills in before a first visit: which questions stand on it, in which order, and what frames them.

Each question is the one the visit asks, under its own label; what is not on this list is asked in the room. Nothing
that is asked in confidence, or asked alone, is on it, nor the list of illnesses that names infections: whoever lives
in the home can read a sheet on the table.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from forms.answers import Side
from forms.ask import Ask, Kind, Paper, Path, ask_of
from forms.chart import Chart
from forms.form import Form
from forms.infant_history import InfantHistory
from forms.papers.calls import numbers
from forms.papers.said import Said
from forms.papers.writer import page_size, whom_to_ask
from forms.parent_history import ParentHistory
from forms.people import InfantIdentity, ParentIdentity
from forms.units import UNITS

__all__ = ["PARTS", "Asked", "Intake", "Part", "asked", "how_to_answer", "intake"]

_FILL_IN: Final = (
    "Fill in what you know and leave the rest; every question can wait for the visit. One sheet is for one parent and "
    "one baby: use another sheet for each further baby."
)
_ALONE: Final = (
    "You can type into it or print it. Questions you would rather answer alone are not here; they are asked in "
    "private, and only if you agree."
)


@dataclass(frozen=True, slots=True)
class Part:
    """One heading of the sheet and the fields of a form that stand under it."""

    title: str
    form: type[Form]
    fields: tuple[str, ...]


PARTS: Final = (
    Part("You", ParentIdentity, (
        "full_name", "called_name", "born_day", "phone", "safe_to_message", "language", "interpreter_need",
    )),
    Part("Your baby", InfantIdentity, (
        "legal_name", "called_name", "born", "birth_place", "plurality", "gestation_weeks", "gestation_days",
        "birth_weight",
    )),
    Part("What you would like from the visit", ParentHistory, (
        "reason", "sent_by", "goal", "goal_importance", "goal_confidence",
    )),
    Part("Your health, pregnancy and birth", ParentHistory, (
        "fed_before", "fed_before_how", "hormones", "gave_birth", "size_change",
        "labour", "labour_length", "birth", "skin_to_skin", "separated", "separated_why", "medicines", "milk_makers",
        "allergies",
    )),
    Part("Your milk and your comfort", ParentHistory, (
        "milk_in", "pain_now", "pain_since", "pumps", "flange", "help_at_home", "work_return",
    )),
    Part("Your baby’s health", InfantHistory, (
        "neonatal_unit", "neonatal_days", "neonatal_why", "jaundice_told", "bilirubin_highest", "light_treatment",
        "conditions", "conditions_which", "operations", "medicines", "allergies",
    )),
    Part("Feeding and diapers now", InfantHistory, (
        "feeds_24h", "feeds_night", "longest_gap", "feed_length", "sides_per_feed", "fed_now", "methods",
        "own_milk_each", "own_milk_times", "donor_milk_each", "donor_milk_times", "formula_each", "formula_times",
        "wets_24h", "last_wet", "stools_24h", "last_stool", "stool_colour", "wakes_to_feed", "vomit", "more",
    )),
)  # fmt: skip
"""What is asked before the visit (trade lines A1, C1, C2): the facts a family can look up or think over at home."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One place of the sheet: where its answer is kept, the question, and its label, with the side where it has any."""

    form: type[Form]
    path: Path
    ask: Ask
    label: str

    @property
    def key(self) -> str:
        """The name of its field in the file: the register it belongs to, "parent_history.pain_now@left"."""
        return f"{self.form.name}.{self.path}"


def asked(part: Part) -> Iterator[Asked]:
    """The places of a part, in order; a question with sides has one for each."""
    for name in part.fields:
        ask = ask_of(part.form, name)
        if not ask.sides:
            yield Asked(part.form, Path(name), ask, ask.label)
            continue
        for side, words in ((Side.LEFT, "your left"), (Side.RIGHT, "your right")):
            yield Asked(part.form, Path(name, side), ask, f"{ask.label}: {words}")


def how_to_answer(ask: Ask) -> str:
    """The small line under a label: how an answer is written. What a question tells the consultant is not on it."""
    low, high = ask.ends
    said = {
        Kind.SCALE: f"A number from {ask.low}{f', {low},' if low else ''} to {ask.high}{f', {high}' if high else ''}.",
        Kind.COUNT: "A number.",
        Kind.QUANTITY: f"A number with {' or '.join(UNITS[one].symbol for one in ask.units)}.",
        Kind.DAY: "Day, month in letters, year.",
        Kind.MOMENT: "Day, month in letters, year, and the time.",
        Kind.MANY: "Mark all that fit.",
    }.get(ask.kind, "")
    return " ".join(filter(None, (said, "Only if this applies." if ask.when is not None else "")))


@dataclass(frozen=True, slots=True)
class Intake:
    """What frames the questions: title, practice, the emergency line, how to fill it in, and the line at its foot."""

    title: str
    page: str
    practice: str
    emergency: str
    opening: tuple[str, ...]
    foot: str


def intake(chart: Chart, practitioner: str) -> Intake:
    """The frame, from what the practice set. Raises NoEmergencyNumber; with two numbers both are printed."""
    said = Said(chart, Paper.CALL_NOW, forgiving=True)
    dial = numbers(said).emergency
    whom = whom_to_ask(chart, practitioner)
    back = f" Give it to {whom}." if whom else ""
    return Intake(
        "Before the visit", page_size(said), whom,
        f"Call {dial} now, and do not wait for the visit, if your baby cannot be woken, struggles to breathe, turns "
        "blue or grey or is limp, or if you bleed heavily, faint, cannot breathe well, or fear you may harm yourself "
        "or your baby. This sheet is read before the visit, not at once.",
        (_FILL_IN, _ALONE),
        "This sheet is about feeding. It asks for no diagnosis, gives no advice, and does not replace your or your "
        "baby’s doctor or midwife. What you write is yours and your baby’s health record: it is kept with it, read by "
        f"those who care for you, and passed on only as you agree.{back} Do not leave a filled sheet where others read "
        "it, and ask before you send it by e-mail or message.",
    )  # fmt: skip
