"""The language a family's paper speaks: the program's sentences in it, and what the consultant wrote, in it.

What she wrote is never translated. In another language than hers it is a ready sentence found again, a name, a day of
the week, or words she had put beside it; where there are none the paper is not made, and says which are missing.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from datetime import date

from forms.answers import Conflicted, Moment
from forms.ask import ask_of
from forms.chart import Chart
from forms.days import clock
from forms.family_language import FamilyLanguage
from forms.form import Form
from forms.papers.outline import Span, Words
from forms.people import InfantIdentity, ParentIdentity
from forms.phrases.catalogue import Catalogue
from forms.phrases.english import ENGLISH
from forms.phrases.found_again import in_other_words
from forms.practice import Practitioner, Provider
from forms.trouble import Trouble, Unresolved
from forms.visit import Present

__all__ = ["Tongue", "WordsMissing"]


class WordsMissing(Trouble):
    """The consultant's own words have no wording in the language of the paper; `missing` holds them, as written."""

    template = (
        "The plan in {language} waits for the {language} words of {missing}. Type them, or choose ready sentences in "
        "the plan; nothing was printed."
    )

    def __init__(self, language: str, tag: str, missing: Mapping[str, str]) -> None:
        self.tag, self.missing = tag, tuple(missing)
        labels = dict.fromkeys(f"“{label}”" for label in missing.values())
        super().__init__(language=language, missing=", ".join(labels))


class Tongue:
    """One language for one chart. `used` fills with the keys of the sentences a paper took."""

    def __init__(self, chart: Chart, catalogue: Catalogue = ENGLISH) -> None:
        self.chart, self.catalogue = chart, catalogue
        self.used: set[str] = set()
        self._missing: dict[str, str] = {}

    @property
    def english(self) -> bool:
        """Whether it is the language she charts in."""
        return self.catalogue.tag == ENGLISH.tag

    # --- the program's own sentences ------------------------------------------------------------------------------

    def _text(self, key: str) -> str:
        self.used.add(key)
        return self.catalogue.sentences[key].text

    def say(self, key: str, **blanks: object) -> str:
        """A sentence with its blanks filled, as plain text."""
        return self._text(key).replace("**", "").format(**blanks)

    def words(self, key: str, **blanks: object) -> Words:
        """A sentence with its blanks filled, its strong words strong."""
        parts = self._text(key).split("**")
        made = (Span(part.format(**blanks), strong=bool(at % 2)) for at, part in enumerate(parts) if part)
        return tuple(made)

    def option(self, form: type[Form], field: str, code: str) -> str:
        """One answer of a choice in words; "" for a code this version does not know."""
        if self.english:
            return ask_of(form, field).options.get(code, "")
        return self._answer(f"option.{form.name}.{field}.{code}", ask_of(form, field).options.get(code, code))

    def label(self, form: type[Form], field: str) -> str:
        """A question as it stands before its answer."""
        label = ask_of(form, field).label
        return label if self.english else self._answer(f"label.{form.name}.{field}", label)

    def _answer(self, key: str, english: str) -> str:
        return self._text(key) if key in self.catalogue.sentences else self.own(english, english)

    @property
    def unreviewed(self) -> bool:
        """Whether any sentence taken so far has not been reviewed by a clinician who speaks the language."""
        return any(not self.catalogue.sentences[key].reviewed for key in self.used)

    # --- names, days, times ------------------------------------------------------------------------------------------

    def row(self, names: Iterable[str], last: str = "and") -> str:
        """Names in a row: "Ida, Juno and Pia"; `last` is "and" or "or"."""
        listed = [name for name in names if name]
        joint = f" {self.say(last)} "
        return joint.join(filter(None, [", ".join(listed[:-1]), listed[-1]])) if listed else ""

    def day(self, day: date, *, year: bool = True, weekday: bool = False) -> str:
        """A calendar day: "Tuesday 3 March 2026"."""
        month = self.catalogue.months[day.month - 1]
        told = self.say("day.year" if year else "day", day=day.day, month=month, year=day.year)
        return self.say("day.weekday", weekday=self.catalogue.days[day.weekday()], day=told) if weekday else told

    def moment(self, moment: Moment, *, year: bool = True, weekday: bool = False) -> str:
        """A moment in its own zone: "Friday 6 March, 10:30"."""
        local = moment.local()
        return self.say("moment", day=self.day(local.date(), year=year, weekday=weekday), time=clock(local))

    # --- what she wrote -----------------------------------------------------------------------------------------------

    def own(self, written: str, label: str) -> str:
        """What she wrote at a question, in this language; itself where it has no wording, which `settle` then tells."""
        if self.english or not written.strip():
            return written
        names = frozenset(name.casefold() for name in self._known())
        told = self._typed(written) or in_other_words(written, self.catalogue, names) or self._row(written, names)
        if told is None:
            self._missing[written] = label
            return written
        return told

    def _typed(self, written: str) -> str | None:
        for entry in self.chart.all(FamilyLanguage, visit=self.chart.visit):
            kept = entry.answers
            if kept.language == self.catalogue.tag and kept.english == written:
                if isinstance(kept.words, Conflicted):
                    raise Unresolved(label=ask_of(FamilyLanguage, "words").label)
                if isinstance(kept.words, str) and kept.words.strip():
                    return kept.words
        return None

    def _row(self, written: str, names: Collection[str]) -> str | None:
        """A row of names of this family's people and those who care for it, joined as this language joins names."""
        parts = [part.strip().rstrip(".") for part in re.split(r",|\band\b", written)]
        return self.row(parts) if all(part.casefold() in names for part in parts) else None

    def _known(self) -> Iterable[str]:
        for form in (ParentIdentity, InfantIdentity, Provider, Practitioner, Present):
            for entry in self.chart.all(form):
                for field in ("full_name", "called_name", "name_as_printed", "legal_name"):
                    given = getattr(entry.answers, field, None)
                    if isinstance(given, str) and given.strip():
                        yield given.strip()
                        yield given.split()[0]

    def settle(self) -> None:
        """Raises WordsMissing when something she wrote has no wording in this language."""
        if self._missing:
            raise WordsMissing(self.catalogue.english_name, self.catalogue.tag, dict(self._missing))
