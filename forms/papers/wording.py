"""How a paper takes the family's words: from `forms.words`, and refusing a dispute where the paper refuses any."""

from __future__ import annotations

from dataclasses import replace
from typing import Final, TypeVar

from forms.ask import ask_of
from forms.papers.outline import Words, join, strong
from forms.papers.said import Said
from forms.people import ParentIdentity
from forms.trouble import Unresolved
from forms.words import FamilyWords, Pronouns, Wording, shared_words, words_for

__all__ = ["asked_for", "its_words", "parent_words", "words_line"]

W = TypeVar("W", bound=Wording)

_FIELDS: Final = (
    "pronouns", "pronouns_own", "family_title", "body_word", "body_word_own", "feeding_word", "feeding_word_own",
    "milk_word", "milk_word_own", "words_in_letters", "full_name",
)  # fmt: skip


def _settled(said: Said, unsettled: tuple[str, ...]) -> None:
    said.shapes(ParentIdentity, *_FIELDS)
    if unsettled and not said.forgiving:
        raise Unresolved(label=unsettled[0])


def its_words(said: Said) -> Wording:
    """The words this whole family shares. Raises Unresolved for a disputed one, unless the paper is forgiving."""
    words = shared_words(said.chart)
    _settled(said, words.unsettled)
    return _in_tongue(said, words)


def parent_words(said: Said, parent: str) -> FamilyWords:
    """The words of one parent. Raises Unresolved for a disputed one, unless the paper is forgiving."""
    words = words_for(said.chart, parent)
    _settled(said, words.unsettled)
    return _in_tongue(said, words)


def _in_tongue(said: Said, words: W) -> W:
    """The words in the paper's language: those picked from the list are in it too, own ones she has put in it.

    A pronoun becomes the name, which is right in every language.
    """
    tongue = said.tongue
    if tongue.english:
        return words
    told: dict[str, object] = {"body": tongue.say("call.body")}
    for entry in said.chart.all(ParentIdentity) if "feeding" in words.own else ():
        code, typed = entry.answers.feeding_word, entry.answers.feeding_word_own
        if isinstance(typed, str) and typed.strip() == words.feeding:
            told["feeding"] = tongue.own(typed, ask_of(ParentIdentity, "feeding_word_own").label)
        elif isinstance(code, str) and words.feeding.casefold() == code:
            told["feeding"] = tongue.option(ParentIdentity, "feeding_word", code)
    if isinstance(words, FamilyWords):
        told["pronouns"] = Pronouns(words.name, words.name, words.name)
    return replace(words, own=words.own - {"body", "milk"}, **told)  # type: ignore[arg-type]


def asked_for(said: Said, person: str) -> Wording | None:
    """The words a letter about this person is to use, if the family asked for that; else None: standard headings."""
    parents = said.chart.all(ParentIdentity)
    own = next((entry for entry in parents if entry.id == person), None)
    asking = [own] if own is not None else list(parents)
    if not any(said.value(entry.answers, "words_in_letters") is True for entry in asking):
        said.shapes(ParentIdentity, *_FIELDS)
        return None
    return parent_words(said, person) if own is not None else its_words(said)


def words_line(words: Wording) -> Words:
    """What a letter's reader is asked to say: "The family asks for these words: chest, chestfeeding; they, them."."""
    said = [word for key, word in (("body", words.body), ("feeding", words.feeding), ("milk", words.milk))
            if key in words.own]  # fmt: skip
    pronouns = f"pronouns {words.pronouns_told}" if isinstance(words, FamilyWords) and words.pronouns_told else ""
    told = "; ".join(filter(None, (", ".join(said), pronouns)))
    return join("The family asks for these words: ", strong(told), ".") if told else ()
