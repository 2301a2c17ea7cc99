"""The family's words table: what each parent is called and how they say body, feeding and milk, ready to print.

Nothing is guessed. A word nobody stated is the plain trade word; pronouns nobody stated are the person's name, which
is always right. A word on which two answers stand counts as not stated, and `unsettled` names its question.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from forms.answers import Conflicted
from forms.ask import ask_of
from forms.chart import Chart
from forms.people import ParentIdentity

__all__ = ["FamilyWords", "Pronouns", "Wording", "shared_words", "words_for"]

BODY: Final = "breast or chest"
FEEDING: Final = "feeding"
MILK: Final = "milk"

# What stands on paper for each code; one that is missing here says no more than the trade word does. "My milk" is said
# by the parent: a paper that speaks to that parent says "your own milk" already.
_SAID: Final[Mapping[str, Mapping[str, str]]] = MappingProxyType({
    "body_word": MappingProxyType({"breast": "breast", "chest": "chest"}),
    "feeding_word": MappingProxyType({
        "breastfeeding": "breastfeeding", "chestfeeding": "chestfeeding", "bodyfeeding": "bodyfeeding",
        "nursing": "nursing",
    }),
    "milk_word": MappingProxyType({"breast_milk": "breast milk", "chest_milk": "chest milk", "milk": "milk"}),
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Pronouns:
    """How a sentence speaks of a person: "they" did it, for "them", with "their" hands; `plural` decides the verb."""

    subject: str
    object: str
    possessive: str
    plural: bool = False

    def verb(self, one: str, several: str) -> str:
        """The verb that agrees with the subject: "is" or "are"."""
        return several if self.plural else one


_PRONOUNS: Final[Mapping[str, Pronouns]] = MappingProxyType({
    "she": Pronouns("she", "her", "her"),
    "he": Pronouns("he", "him", "his"),
    "they": Pronouns("they", "them", "their", plural=True),
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Wording:
    """Words for body, feeding and milk. `own` names those that the family stated, `unsettled` the questions in dispute.

    An empty `own` means plain trade words throughout.
    """

    body: str = BODY
    feeding: str = FEEDING
    milk: str = MILK
    own: frozenset[str] = frozenset()
    unsettled: tuple[str, ...] = ()

    def fill(self, text: str) -> str:
        """The program's neutral words in a text, replaced by the family's own; everything else stays as written."""
        if "body" in self.own:
            text = text.replace(BODY, self.body).replace(BODY.capitalize(), self.body[:1].upper() + self.body[1:])
        if "milk" in self.own:
            text = text.replace("Your own milk", f"Your own {self.milk}")
        return text


@dataclass(frozen=True, slots=True)
class FamilyWords(Wording):
    """One parent's words. `name` is what the person is called, `title` what the baby will call them ("" if not told).

    Pronouns in the family's own words may be of any grammar, so a sentence then uses the name; `pronouns_told` has
    them as written.
    """

    name: str = "the parent"
    title: str = ""
    pronouns: Pronouns = Pronouns("the parent", "the parent", "the parent’s")
    pronouns_told: str = ""


class _Told:
    """What one parent stated, and which of the questions are in dispute."""

    def __init__(self, person: ParentIdentity) -> None:
        self.person = person
        self.unsettled: list[str] = []

    def one(self, field: str) -> str:
        """The one value, as written and without space around it; "" for none, an absence or a dispute."""
        given = getattr(self.person, field)
        if isinstance(given, Conflicted):
            self.unsettled.append(ask_of(ParentIdentity, field).label)
        return given.strip() if isinstance(given, str) else ""

    def word(self, field: str) -> str:
        """The word of a choice, or the one in own words; "" when nothing more than the trade word was said."""
        code = self.one(field)
        return self.one(f"{field}_own") if code == "other" else _SAID[field].get(code, "")


def _pronouns(told: _Told, name: str) -> tuple[Pronouns, str]:
    by_name = Pronouns(name, name, f"{name}’s")
    code = told.one("pronouns")
    if code == "other":
        return by_name, told.one("pronouns_own")
    return _PRONOUNS.get(code, by_name), ask_of(ParentIdentity, "pronouns").options.get(code, "").lower()


def words_for(chart: Chart, parent: str) -> FamilyWords:
    """The words of one parent, by the id of that person; plain trade words for one who stated none or is unknown."""
    told = _Told(chart.person(ParentIdentity, parent))
    names = (told.one(field) for field in ("name_as_printed", "called_name", "full_name"))
    name = next(filter(None, names), "the parent")
    title = told.one("family_title")
    body, feeding, milk = told.word("body_word"), told.word("feeding_word"), told.word("milk_word")
    pronouns, as_told = _pronouns(told, name)
    own = {"body": body, "feeding": feeding, "milk": milk}
    return FamilyWords(
        body=body or BODY, feeding=feeding or FEEDING, milk=milk or MILK,
        own=frozenset(key for key, word in own.items() if word), unsettled=tuple(told.unsettled),
        name=name, title=title, pronouns=pronouns, pronouns_told=as_told,
    )  # fmt: skip


def shared_words(chart: Chart) -> Wording:
    """The words that hold for the whole family: each one on which all parents who stated it agree."""
    parents = [words_for(chart, entry.id) for entry in chart.all(ParentIdentity)]
    agreed: dict[str, str] = {}
    for key in ("body", "feeding", "milk"):
        stated: dict[str, str] = {}
        for words in parents:
            if key in words.own:
                stated.setdefault(getattr(words, key).casefold(), getattr(words, key))
        if len(stated) == 1:
            agreed[key] = next(iter(stated.values()))
    unsettled = tuple(dict.fromkeys(label for words in parents for label in words.unsettled))
    return Wording(**agreed, own=frozenset(agreed), unsettled=unsettled)
