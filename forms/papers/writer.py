"""Who wrote a paper, as printed: the last lines of each."""

from __future__ import annotations

from typing import Final

from forms.ask import Paper
from forms.chart import Chart
from forms.papers.outline import Words, plain, strong
from forms.papers.said import Said
from forms.phrases.english import ENGLISH
from forms.practice import Practice, Practitioner
from forms.trouble import Trouble

__all__ = ["SEAL_NOTE", "NoWriter", "page_size", "printed_name", "whom_to_ask", "writer_lines"]

SEAL_NOTE: Final = ENGLISH.sentences["plan.seal"].text


class NoWriter(Trouble):
    """The practitioner has no name to print."""

    template = "Your name as printed is missing. Fill it in under Practice, People, then print again."


def printed_name(said: Said, practitioner: str) -> str:
    """The practitioner's name with credentials, "R. Vale, RN"; raises NoWriter, on a forgiving paper gives ""."""
    who = said.chart.person(Practitioner, practitioner)
    name = ", ".join(filter(None, (said.words(who, "full_name"), said.words(who, "credentials"))))
    if not name and not said.forgiving:
        raise NoWriter
    return name


def writer_lines(said: Said, practitioner: str) -> tuple[Words, ...]:
    """Name, phone with hours, and practice."""
    who, practice = said.chart.person(Practitioner, practitioner), said.chart.one(Practice)
    reach = ", ".join(filter(None, (said.words(who, "phone"), said.words(practice, "hours"))))
    rest = (reach, said.words(practice, "practice_name"))
    name = printed_name(said, practitioner)
    return (*((strong(name),) if name else ()), *(plain(line) for line in rest if line))


def whom_to_ask(chart: Chart, practitioner: str) -> str:
    """The practice and the phone number to ask about a paper at, "" while neither is written."""
    said = Said(chart, Paper.CALL_NOW, forgiving=True)
    who, practice = chart.person(Practitioner, practitioner), chart.one(Practice)
    return ", ".join(filter(None, (said.words(practice, "practice_name"), said.words(who, "phone"))))


def page_size(said: Said) -> str:
    """The paper size set for the practice, "letter" or "a4"; Letter while none is set."""
    return "a4" if said.chart.one(Practice).paper_size == "a4" else "letter"
