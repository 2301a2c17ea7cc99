"""What one paper may say of a chart: the only way in which answers reach a page.

Each answer is taken through `Said`, which looks at the intent stated in its `Ask`: an answer that is private, or not
printed on this paper, raises a Bug instead of appearing. Fields that were taken are remembered, and what may be
printed but was placed nowhere comes out of `rest`, so that a field added to a form with this paper in its intent
stands on the paper without another line of code.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any, Final

from forms.answers import Absence, Absent, Conflicted, Given, Moment, Quantity, Side, known
from forms.ask import Ask, Kind, Need, Paper, Path, Printed, ask_of
from forms.carried import CARRIES, not_gone_through
from forms.chart import Chart, Entry
from forms.days import DAYS, MONTHS, clock
from forms.form import About, Form, shown_asks, value_at
from forms.newer import choice_words
from forms.papers.outline import Item, plain
from forms.papers.tongue import Tongue
from forms.people import Family, InfantIdentity, ParentIdentity
from forms.phrase import blank_spans
from forms.practice import Practice, Practitioner, Provider
from forms.summaries import is_summary
from forms.trouble import Bug, Trouble
from forms.units import UNITS, shown
from forms.words import Wording

__all__ = ["NotGoneThrough", "Said", "Unfilled", "day_words", "moment_words", "one_of", "side_words"]

_ABSENT: Final = {
    Absence.NOT_ASKED: "not known (not asked)",
    Absence.NOT_DONE: "not known (not done)",
    Absence.DECLINED: "not known (declined)",
    Absence.NONE: "none",
}


def day_words(day: date, *, year: bool = True, weekday: bool = False) -> str:
    """A calendar day: "Tuesday 3 March 2026"."""
    named = f"{DAYS[day.weekday()]} " if weekday else ""
    return f"{named}{day.day} {MONTHS[day.month - 1]}" + (f" {day.year}" if year else "")


def moment_words(moment: Moment, *, year: bool = True, weekday: bool = False) -> str:
    """A moment in its own zone: "Friday 6 March, 10:30"."""
    local = moment.local()
    return f"{day_words(local.date(), year=year, weekday=weekday)}, {clock(local)}"


def one_of(names: Iterable[str], last: str = "and") -> str:
    """Names in a row: "Ida", "Ida and Juno", "Ida, Juno and Pia"."""
    listed = [name for name in names if name]
    return f" {last} ".join(filter(None, [", ".join(listed[:-1]), listed[-1]])) if listed else ""


def side_words(path: Path, whose: str = "") -> str:
    """The side of an answer after its label, saying whose it is: ", Mara’s left"; "" for an answer without sides."""
    if path.side is None:
        return ""
    return f", {whose}’s {path.side}" if whose else f", own {path.side}"


def _written(form: type[Form], field: str) -> bool:
    """Whether an answer is running words of hers, which another language has to word; names and numbers are not."""
    at_visit = form.about in (About.VISIT, About.PERSON_AT_VISIT, About.PAIR_AT_VISIT)
    return at_visit or (form, field) in ((Practice, "hours"), (ParentIdentity, "feeding_word_own"))


class Unfilled(Trouble):
    """Words that a paper would print still hold a blank of a phrase."""

    template = "“{label}” still holds a blank to fill. Fill it, then make the paper again."


class NotGoneThrough(Trouble):
    """A paper would print an answer from an earlier visit that nobody went through at this one."""

    template = (
        "“{label}” was brought forward from an earlier visit and is not gone through yet. Go through it, then make the "
        "paper again."
    )


class Said:
    """The answers of a chart as one paper may print them.

    `forgiving` papers print every value that stands for a conflicted field and say that it is not settled; others
    raise Unresolved, Unfilled for words that still hold a phrase's blank, and NotGoneThrough. `tongue` is the language
    it speaks, English if none is given. Raises Bug when an entry of another family is in the chart.
    """

    def __init__(self, chart: Chart, paper: Paper, *, forgiving: bool = False, tongue: Tongue | None = None) -> None:
        if any(e.place.family not in (None, chart.family) for e in chart.entries):
            raise Bug("a paper was asked of a chart that holds another family's entries")
        self.chart, self.paper, self.forgiving = chart, paper, forgiving
        self.tongue = tongue or Tongue(chart)
        self.wording: Wording | None = None  # the family's own words, on a paper that is to use them in its headings
        self._placed: set[tuple[type[Form], str]] = set()
        self._opened: list[tuple[str, Form]] = []

    def opened(self, answers: Form, who: str = "") -> None:
        """The paper speaks of this entry: what may be printed of it and is placed nowhere goes to `rest`."""
        if answers not in [kept for _, kept in self._opened]:
            self._opened.append((who, answers))

    def shapes(self, form: type[Form], *fields: str) -> None:
        """These fields only shape words (a pronoun, a tag); they are not printed as answers of their own."""
        self._placed.update((form, name) for name in fields)

    def may(self, form: type[Form], field: str) -> bool:
        """Whether the field's intent lets it stand on this paper."""
        ask = ask_of(form, field)
        return not ask.private and isinstance(ask.paper, Printed) and self.paper in ask.paper.on

    def given(self, answers: Form, field: str, side: Side | None = None) -> Given[Any]:
        """The answer as it stands, absent or conflicted too. Raises Bug for one this paper must not carry."""
        form = type(answers)
        if not self.may(form, field):
            raise Bug(f"{form.name}.{field} may not stand on {self.paper}")
        self._placed.add((form, field))
        self._gone_through(answers, Path(field, side))
        return value_at(answers, Path(field, side))

    def _gone_through(self, answers: Form, path: Path) -> None:
        """Raises NotGoneThrough for an answer from an earlier visit that nobody went through at this one."""
        if self.forgiving or type(answers) not in CARRIES:
            return
        for entry in self.chart.entries:
            if entry.answers is answers and not_gone_through(entry, path):
                raise NotGoneThrough(label=ask_of(type(answers), path.field).label)

    def value(self, answers: Form, field: str, side: Side | None = None) -> Any:
        """The one value, or None; raises Unresolved for a conflicted field and Bug as `given` does."""
        return known(self.given(answers, field, side), ask_of(type(answers), field).label)

    def every(self, answers: Form, field: str) -> tuple[Any, ...]:
        """All values that stand: for a forgiving paper each side of a conflict, else the one value."""
        given = self.given(answers, field)
        if isinstance(given, Conflicted) and self.forgiving:
            return tuple(v.value for v in given.variants if v.value is not None and not isinstance(v.value, Absent))
        value = self.value(answers, field)
        return () if value is None else (value,)

    def words(self, answers: Form, field: str, side: Side | None = None) -> str:
        """The answer in words; "" for none, deliberate or not. A forgiving paper says both sides of a conflict."""
        given = self.given(answers, field, side)
        return "" if isinstance(given, Absent) else self._told(answers, Path(field, side), given)

    def or_not_known(self, answers: Form, field: str) -> str:
        """The answer in words, "none", or "not known" with its reason."""
        given = self.given(answers, field)
        if isinstance(given, Absent):
            return _ABSENT[given.kind] + (f": {given.why}" if given.why else "")
        return self._told(answers, Path(field), given) or "not known"

    def beside(self, answers: Form, path: Path) -> str:
        """One answer in words at its side, a deliberate non-answer too."""
        given = self.given(answers, path.field, path.side)
        return _ABSENT[given.kind] if isinstance(given, Absent) else self._told(answers, path, given)

    def labelled(self, answers: Form, path: Path, whose: str = "") -> str:
        """One answer after its label, "Pain at latch, Mara’s left: 6 of 10"; "" if there is none."""
        ask, worded = ask_of(type(answers), path.field), self.beside(answers, path)
        return f"{self.label(ask)}{side_words(path, whose)}: {worded}" if worded else ""

    def label(self, ask: Ask) -> str:
        """The question as this paper words it."""
        return self.filled(ask.label)

    def filled(self, words: str) -> str:
        """The program's own words with the family's in them, on a paper that is to use those."""
        return self.wording.fill(words) if self.wording is not None else words

    def _told(self, answers: Form, path: Path, given: Given[Any]) -> str:
        """The answer in words, saying so where it stands because of a summary answer."""
        worded = self._worded(type(answers), path.field, given)
        return f"{worded} (summary answer)" if worded and is_summary(answers, path) else worded

    def _worded(self, form: type[Form], field: str, given: Given[Any]) -> str:
        ask = ask_of(form, field)
        if isinstance(given, Conflicted):
            if not self.forgiving:
                known(given, ask.label)
            told = (self._plainly(form, field, v.value) for v in given.variants if v.value is not None)
            return self.tongue.say("unsettled", words=self.tongue.row(told, "or"))
        if isinstance(given, str) and not self.forgiving and blank_spans(given):
            raise Unfilled(label=ask.label)
        return "" if given is None else self._plainly(form, field, given)

    def _plainly(self, form: type[Form], field: str, value: Any) -> str:
        ask = ask_of(form, field)
        match value:
            case Absent():
                return _ABSENT[value.kind]
            case bool():
                return self.tongue.say("yes" if value else "no")
            case Quantity():
                return shown(value.base, value.unit) if value.unit in UNITS else f"{value.typed} {value.unit}"
            case Moment():
                return self.tongue.moment(value)
            case date():
                return self.tongue.day(value)
            case tuple():
                return ", ".join(self._plainly(form, field, part) for part in value)
        if ask.kind in (Kind.REF, Kind.REFS):
            return self.named(str(value))
        if ask.kind is Kind.SCALE:
            return f"{value} of {ask.high}"
        if ask.options and value in ask.options:
            return self.filled(self.tongue.option(form, field, value))
        if ask.kind in (Kind.CHOICE, Kind.MANY):
            return choice_words(ask, str(value))
        return self.tongue.own(str(value), ask.label) if _written(form, field) else str(value)

    def named(self, entry: str) -> str:
        """The name of a person, provider or practitioner by the id of the entry; "" for an id not in the chart."""
        found = self.chart.by_id(entry)
        match found:
            case Entry(answers=ParentIdentity() | InfantIdentity() as person):
                return self.called(person)
            case Entry(answers=Provider() | Practitioner() as someone):
                return self.words(someone, "full_name")
        return ""

    def called(self, person: ParentIdentity | InfantIdentity) -> str:
        """What a family's paper calls someone: the name as printed if there is one, else the name in use."""
        return self._name(person, "name_as_printed", "called_name", self._full(person))

    def full_name(self, person: ParentIdentity | InfantIdentity) -> str:
        """The name in full, as a letter gives it."""
        return self._name(person, "name_as_printed", self._full(person), "called_name")

    @staticmethod
    def _full(person: ParentIdentity | InfantIdentity) -> str:
        return "full_name" if isinstance(person, ParentIdentity) else "legal_name"

    def _name(self, person: ParentIdentity | InfantIdentity, *order: str) -> str:
        self.shapes(type(person), *order)
        return next(filter(None, (self.words(person, field) for field in order)), "")

    def rest(self, *, only_free: bool = False) -> tuple[Item, ...]:
        """Every answer of the opened entries that may be printed, has been given, and was placed nowhere."""
        items = []
        for who, answers in self._opened:
            for path, ask, given in shown_asks(answers):
                form = type(answers)
                if (form, path.field) in self._placed or not self.may(form, path.field):
                    continue
                if given is None or isinstance(given, Absent) or (only_free and ask.need is not Need.FREE):
                    continue
                self._gone_through(answers, path)
                label = f"{who}: " * bool(who) + self.filled(self.tongue.label(form, path.field)) + side_words(path)
                items.append(Item(label, plain(self._told(answers, path, given))))
        return tuple(items)

    def people(self) -> tuple[str, ...]:
        """The ids of every baby and parent of this family."""
        babies, parents = self.chart.all(InfantIdentity), self.chart.all(ParentIdentity)
        return (*(baby.id for baby in babies), *(parent.id for parent in parents))

    def family(self) -> Family:
        """The family's own entry; the empty form if there is none."""
        return self.chart.person(Family, self.chart.family)
