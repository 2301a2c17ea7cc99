"""Each fact of a hand-over beside what the chart holds: which way it could be taken, and what would be written then.

Nothing here writes. A fact goes into its own question only where that is one about who somebody is, a weight, or a
part of the history that may be brought forward anyway; what another practice saw, judged or planned at its own visit
never becomes an answer of a visit here. All else is kept in the sender's words (`forms.received`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, Final

from forms.answers import Absent, Given, Moment, Quantity, Side, every
from forms.ask import Ask, Kind, Path, ask_of
from forms.carried import may_carry
from forms.chart import Chart, Entry, Place, entry_id
from forms.form import Form, in_order, is_open, value_at, with_value
from forms.infant_history import InfantHistory
from forms.papers.said import day_words
from forms.parent_history import ParentHistory
from forms.people import Family, InfantIdentity, ParentIdentity
from forms.received import ReceivedFact
from forms.trouble import Refused
from forms.units import UNITS
from forms.visit import Visit
from forms.weight import WeightReading
from sync.handoff.reading.dates import day_told
from sync.handoff.reading.held import HandOver, Offer, Person

__all__ = [
    "TAKES", "Faced", "Held", "Own", "Way", "doubts_of", "faced", "gathered", "label_of", "own_question", "persons_of",
    "question_of",
]  # fmt: skip

_AROUND_FEED: Final = frozenset({"feed", "feed_side", "feed_point"})
_OF_THE_SENDER: Final = frozenset({"source", "told_by", "document", "moved_here", "kept_after_asking"})
"""What a weight's own entry says of how it was known there: here it is known from a document, which tells these."""
TAKES: Final = (InfantIdentity, ParentIdentity, Family, WeightReading, InfantHistory, ParentHistory)
"""Forms whose questions can be answered by a fact of a file."""
_OF_EACH_PRACTICE: Final = frozenset({(InfantIdentity, "tag_shape"), (Family, "units_spoken")})
"""What a practice sets for its own pages; another one's says nothing about the person."""
_WEEKS: Final = Path("gestation_weeks")
_DAYS: Final = Path("gestation_days")
_NO_VISIT: Final = "It answers a question of one visit. Begin that visit, or sign the other open one, and take it then."
_FEED: Final = "It was weighed around a feed, so it is no weight of the body by itself."


class Way(StrEnum):
    """What taking a fact would do."""

    ANSWER = "answer"  # its own question stands empty
    INSTEAD = "instead"  # its own question is answered otherwise: in its place, or beside it
    BESIDE = "beside"  # kept in the sender's words
    STANDS = "stands"  # its own question holds it already
    KEPT = "kept"  # kept in the sender's words already
    SHOWN = "shown"  # never taken


@dataclass(frozen=True, slots=True)
class Own:
    """The question of ours that a fact answers: its entry and place, and what would be put, with what that replaces."""

    entity: str
    place: Place
    puts: tuple[tuple[Path, Any, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class Held:
    """An answer that stands, where it is kept, and for a weight when it was taken."""

    path: Path
    given: Given[Any]
    at: Moment | None = None


@dataclass(frozen=True, slots=True)
class Faced:
    """A fact and what stands. `held` are answers beside it, weights with their time; `why` says why it is none."""

    offer: Offer
    who: str
    way: Way
    held: tuple[Held, ...] = ()
    own: Own | None = None
    why: str = ""


def gathered(found: HandOver) -> tuple[Offer, ...]:
    """The facts as they are taken: what our own record says of one weight, and of a gestation, goes together."""
    parts: dict[tuple[type[Form], str], dict[str, Offer]] = {}
    for one in found.offers:
        if one.form in (WeightReading, InfantIdentity) and one.path is not None and not one.also:
            parts.setdefault((one.form, one.entry), {})[one.path.field] = one
    made: dict[str, Offer | None] = {}
    for (form, _entry), told in parts.items():
        made |= _one_weight(told, found) if form is WeightReading else _one_gestation(told)
    return tuple(kept for one in found.offers if (kept := made.get(one.id, one)) is not None)


def _one_weight(parts: dict[str, Offer], found: HandOver) -> dict[str, Offer | None]:
    """A weight with its time and how it was taken as one fact; the parts that went into it are left out."""
    weight, taken = parts.get("weight"), parts.get("taken")
    if weight is None or not weight.is_answer or isinstance(weight.value, Absent):
        return {}
    if _AROUND_FEED & set(parts):
        return {weight.id: replace(weight, only_shown=_FEED)}
    if taken is None or not taken.is_answer or not isinstance(taken.value, Moment):
        return {}
    if not _within(ask_of(WeightReading, "weight"), weight.value):
        return {}
    told = [f"{one.label}: {one.words}" for name, one in parts.items() if name in _OF_THE_SENDER]
    document = ", ".join(filter(None, (found.title or "A record received", weight.author, *told)))
    with_it = tuple(
        (one.path, one.value) for name, one in parts.items()
        if one.path is not None and one.is_answer and name not in ("weight", *_OF_THE_SENDER)
    )  # fmt: skip
    also = (*with_it, (Path("source"), "document"), (Path("document"), document))
    whole = replace(weight, at=taken.words or weight.at, also=also)
    left = [one for name, one in parts.items() if name in _OF_THE_SENDER or one.is_answer]
    return {one.id: None for one in left} | {weight.id: whole}


def _one_gestation(parts: dict[str, Offer]) -> dict[str, Offer | None]:
    """Weeks and the days over as one fact: neither is ever put beside the other of another source."""
    weeks, days = parts.get(_WEEKS.field), parts.get(_DAYS.field)
    if weeks is None or days is None or not (weeks.is_answer and days.is_answer) or isinstance(days.value, Absent):
        return {}
    whole = replace(weeks, words=f"{weeks.words} + {days.words}", also=((_DAYS, days.value),))
    return {days.id: None, weeks.id: whole}


def _mixes(offer: Offer, answers: Form) -> bool:
    """Whether taking it would put the weeks of one source beside the days of another."""
    if offer.path == _DAYS:
        return True
    told = any(path == _DAYS for path, _ in offer.also)
    return offer.path == _WEEKS and not told and value_at(answers, _DAYS) is not None


def _within(ask: Ask, value: Any) -> bool:
    """Whether the question takes this amount or number, and in this unit."""
    if isinstance(value, Quantity):
        return value.unit in ask.units and _within_bounds(ask, value.base)
    return not (ask.kind in (Kind.COUNT, Kind.SCALE) and isinstance(value, int)) or _within_bounds(ask, value)


def _within_bounds(ask: Ask, base: int) -> bool:
    return (ask.low is None or base >= ask.low) and (ask.high is None or base <= ask.high)


def own_question(offer: Offer, chart: Chart, who: str, fresh: str) -> Own | None:
    """The question of ours that the fact answers, or None. `fresh` is the id of an entry to begin."""
    form, path = offer.form, offer.path
    if form is None or path is None or not offer.is_answer or isinstance(offer.value, Absent):
        return None
    ask = ask_of(form, path.field)
    if ask.private or ask.claims or (form, path.field) in _OF_EACH_PRACTICE or not _within(ask, offer.value):
        return None
    if form is WeightReading:
        if path.field != "weight" or not any(put == Path("taken") for put, _ in offer.also):
            return None
        place = Place(form.name, chart.family, None, (who,))
        return _own(chart, offer, path, fresh, place) if _is(chart, who, InfantIdentity) else None
    if form is Family:
        held = chart.by_id(chart.family)
        return _own(chart, offer, path, chart.family, held.place) if held is not None else None
    if form in (InfantIdentity, ParentIdentity):
        held = chart.by_id(who)
        if held is None or not _is(chart, who, form) or _mixes(offer, held.answers):
            return None
        return _own(chart, offer, path, who, held.place)
    visit = _open_visit(chart)
    of = {InfantHistory: InfantIdentity, ParentHistory: ParentIdentity}.get(form)
    asked_here = offer.for_visit or may_carry(form, path.field)
    if visit is None or of is None or not _is(chart, who, of) or not asked_here:
        return None
    return _own(chart, offer, path, entry_id(form, visit, (who,)), Place(form.name, chart.family, visit, (who,)))


def _is(chart: Chart, who: str, form: type[Form]) -> bool:
    held = chart.by_id(who)
    return held is not None and held.struck is None and type(held.answers) is form


def _open_visit(chart: Chart) -> str | None:
    """The visit that is not signed, where there is exactly one."""
    found = [entry.id for entry in chart.all(Visit) if chart.signed(entry.id) is None]
    return found[0] if len(found) == 1 else None


def _own(chart: Chart, offer: Offer, at: Path, entity: str, place: Place) -> Own | None:
    held = chart.by_id(entity)
    if held is not None and held.struck is not None:
        return None
    heads = held.heads if held is not None else {}
    puts = ((at, offer.value), *offer.also)
    return Own(entity, place, tuple((path, value, heads.get(str(path), ())) for path, value in puts))


def _same(value: Any, given: Given[Any]) -> bool:
    match value, given:
        case Quantity(), Quantity():
            return (value.base, UNITS[value.unit].dimension) == (given.base, UNITS[given.unit].dimension)
        case Moment(), Moment():
            return value.at == given.at
        case str(), str():
            return value.strip() == given.strip()
    return type(value) is type(given) and bool(value == given)


def faced(found: HandOver, offer: Offer, chart: Chart, who: str, fresh: str) -> Faced:
    """The fact beside what the chart holds of a person of the family; `fresh` is the id of an entry it could begin."""
    if offer.barred or not found.sender.can_be_taken_from:
        return Faced(offer, who, Way.SHOWN, why=offer.only_shown or found.sender.words)
    kept = any(_is_kept(entry, found, offer) for entry in chart.all(ReceivedFact, who))
    if kept and not offer.for_visit:
        return Faced(offer, who, Way.KEPT)
    one = _beside(offer, chart, who, fresh)
    # What was kept in words while no visit was open can still go into the visit that it was told for.
    return Faced(offer, who, Way.KEPT) if kept and one.way in (Way.INSTEAD, Way.BESIDE) else one


def _beside(offer: Offer, chart: Chart, who: str, fresh: str) -> Faced:
    """A fact that may be taken, beside what its own question holds."""
    own = own_question(offer, chart, who, fresh)
    if own is None:
        waits = offer.for_visit and offer.form in (InfantHistory, ParentHistory) and _open_visit(chart) is None
        return Faced(offer, who, Way.BESIDE, why=offer.only_shown or (_NO_VISIT if waits else ""))
    if offer.form is WeightReading:
        return _faced_weight(offer, chart, who, own)
    held = chart.by_id(own.entity)
    answers: Form = held.answers if held is not None else offer.form()  # type: ignore[misc]
    before = tuple(Held(path, given) for path, _, _ in own.puts if (given := value_at(answers, path)) is not None)
    if all(_same(value, value_at(answers, path)) for path, value, _ in own.puts):
        return Faced(offer, who, Way.STANDS, before)
    if any(path == Path("born_day") for path, _, _ in own.puts) and (born := _born(answers)):
        same = any(at.local().date() == offer.value for one in born for at in every(one.given))
        why = "" if same else "The time of birth stands here, and the day follows from it."
        return Faced(offer, who, Way.STANDS if same else Way.BESIDE, born, why=why)
    if why := _why_closed(answers, own):
        return Faced(offer, who, Way.BESIDE, before, why=why)
    return Faced(offer, who, Way.INSTEAD if before else Way.ANSWER, before, own)


def _born(answers: Form) -> tuple[Held, ...]:
    """The time of birth, where it stands: the day alone is asked for only without it."""
    given = getattr(answers, "born", None)
    return (Held(Path("born"), given),) if every(given) else ()


def _why_closed(answers: Form, own: Own) -> str:
    """Why the question does not take the answer as the others stand."""
    try:
        for path, value, _ in own.puts:
            if not is_open(answers, path):
                return "The question it answers is not asked as its others stand here."
            in_order(answers, path, value)
            answers = with_value(answers, path, value)
    except Refused as refused:
        return refused.sentence
    return ""


def _faced_weight(offer: Offer, chart: Chart, who: str, own: Own) -> Faced:
    """A weight joins the others and replaces none; those of its day stand beside it."""
    at = next(value for path, value in offer.also if path == Path("taken"))
    near = [
        Held(Path("weight"), weight, taken)
        for entry in chart.all(WeightReading, who)
        for weight in every(entry.answers.weight)
        for taken in every(entry.answers.taken)
        if taken.local().date() == at.local().date()
    ]
    there = any(_same(offer.value, one.given) and one.at == at for one in near)
    return Faced(offer, who, Way.STANDS if there else Way.ANSWER, tuple(near), None if there else own)


def _is_kept(entry: Entry[ReceivedFact], found: HandOver, offer: Offer) -> bool:
    return found.sha256 in every(entry.answers.file) and offer.id in every(entry.answers.place)


def doubts_of(person: Person, chart: Chart, who: str) -> tuple[str, ...]:
    """What speaks against a person of the file being that person of the family. A name alone speaks for nothing."""
    return (*_differences(person, chart.by_id(who)), *_called_like_another(person, chart, who))


def _called_like_another(person: Person, chart: Chart, who: str) -> Iterator[str]:
    """Names of the file that another one here bears and this one does not: the sheet of one twin, and the other."""
    bear = {
        entry.id: {name.strip().casefold() for field in _NAMES for name in every(getattr(entry.answers, field, None))}
        for form in (InfantIdentity, ParentIdentity) for entry in chart.all(form)
    }  # fmt: skip
    for name in person.names:
        bearers = {one for one, names in bear.items() if name.strip().casefold() in names}
        if bearers and who not in bearers:
            yield f"The file says {name}, and here somebody else of this family is called so."


def _differences(person: Person, held: Entry[Any] | None) -> Iterator[str]:
    if held is None:
        return
    days = [day.isoformat() for day in every(getattr(held.answers, "born_day", None))]
    days += [at.local().date().isoformat() for at in every(getattr(held.answers, "born", None))]
    if person.born and days and not any(_meets(day, person.born) for day in days):
        here = " or ".join(map(_day, dict.fromkeys(days)))
        yield f"The file says born {_day(person.born[:10])}; here stands {here}."
    sexes = _SEXES.get(person.sex, ())
    standing = every(getattr(held.answers, "sex", None))
    if sexes and standing and not set(sexes) & set(standing):
        yield f"The file says {person.sex}; here stands another sex."


_NAMES: Final = ("full_name", "legal_name", "called_name")
_SEXES: Final = {"female": ("f",), "male": ("m",)}


def _day(told: str) -> str:
    day = day_told(told)
    return day_words(day) if day is not None else told


def _meets(day: str, told: str) -> bool:
    """Whether a day is the one told, as far as that goes: "2026-11" meets every day of November."""
    return day.startswith(told[:10])


def _side(path: Path | None) -> str:
    """The side of a fact's question, for its label."""
    return "" if path is None or path.side is None else f", {'left' if path.side is Side.LEFT else 'right'}"


def question_of(offer: Offer) -> str:
    """The question of a fact, with its side; where the file has words of its own for it, not a bare code, those too."""
    if offer.form is None or offer.path is None:
        return offer.label
    label = ask_of(offer.form, offer.path.field).label
    ours = f"{label}{_side(offer.path)}"
    worded = any(letter.isalpha() for letter in offer.label) and offer.label != label
    return f"{ours}, there “{offer.label}”" if worded else ours


def label_of(offer: Offer) -> str:
    """What a fact is about: the form it comes from, where it is one of ours, and its question."""
    by_itself = offer.form is None or offer.form in (InfantIdentity, ParentIdentity, WeightReading)
    return question_of(offer) if by_itself or offer.form is None else f"{offer.form.title}: {question_of(offer)}"


def persons_of(found: HandOver, offers: Iterable[Offer]) -> tuple[Person, ...]:
    """The people facts are offered about; one without an id for facts that say of nobody whom they are about."""
    named = {one.person for one in offers}
    known = tuple(person for person in found.people if person.id in named)
    return (*known, *((Person("", (), "", ""),) if named - {person.id for person in known} else ()))
