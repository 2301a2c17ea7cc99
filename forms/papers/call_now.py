"""The call-now page: whom to call, at once, and why. It prints at any time and nothing that is missing holds it back.

Where two values stand for an answer both are printed and the page says so; where none stands it says what to do
without it. Only the emergency number itself has to be known, since a page without it would call nobody.
"""

from __future__ import annotations

from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from forms.ask import Paper
from forms.chart import Chart
from forms.clinical.evidence import zone_of
from forms.days import clock
from forms.papers.calls import alarms, call_box, numbers
from forms.papers.co_signed import for_family, for_family_draft
from forms.papers.family_plan import STANDARD, UNFINISHED
from forms.papers.outline import SCOPE, Block, Foot, Heading, Lines, Mark, Outline, Title, Words, join, plain, strong
from forms.papers.said import Said, day_words, one_of
from forms.papers.wording import its_words
from forms.papers.writer import SEAL_NOTE, page_size, printed_name, writer_lines
from forms.people import InfantIdentity, ParentIdentity

__all__ = ["call_now"]

LEAST: Final = 12
"""How small the page may be set to stay one page (S:PRINT: 12 the least)."""
_SAY: Final = "Say who you are, where you are, how old your baby is and what you see. Then do what they tell you."


def _address(said: Said) -> tuple[Words, ...]:
    """What the person who answers will ask first: names and birth dates."""
    lines = []
    for baby in said.chart.all(InfantIdentity):
        name, born = said.called(baby.answers), said.words(baby.answers, "born")
        born = born or said.words(baby.answers, "born_day")
        lines.append(join(strong(name), f", born {born}" if born else ""))
    return tuple(lines)


def call_now(chart: Chart, *, writer: str, now: datetime) -> Outline:
    """The page for this family now. Raises NoEmergencyNumber and nothing else that an answer could cause."""
    said = Said(chart, Paper.CALL_NOW, forgiving=True)
    dial = numbers(said)
    babies = one_of(said.called(baby.answers) for baby in chart.all(InfantIdentity))
    parents = one_of(said.called(parent.answers) for parent in chart.all(ParentIdentity))
    local = now.astimezone(ZoneInfo(zone_of(chart)))
    when = f"{day_words(local.date(), weekday=True)}, {clock(local)}"
    title = f"Call now: {babies}" if babies else "Call now"
    finished = chart.visit is not None and chart.signed() is not None
    marks = (*(() if finished else (Mark(UNFINISHED),)), *for_family_draft(said))
    seen = alarms(said, now)
    known, told = _address(said), for_family(said)
    unsettled = its_words(said).unsettled
    dispute = (plain(f"Not settled, so plain words stand here: {one_of(unsettled)}."),) if unsettled else ()
    blocks: list[Block] = [
        Title(title, plain(f"for {parents}, {when}" if parents else when)), *marks, *seen, call_box(said, now),
        Heading("When you call"), Lines((join("Emergency: ", strong(dial.emergency)), *known, plain(_SAY), *dispute)),
        Foot(SCOPE[Paper.CALL_NOW], (Lines(told),) if told else (), (*writer_lines(said, writer), plain(SEAL_NOTE))),
    ]  # fmt: skip
    return Outline(
        kind=Paper.CALL_NOW, title=title, language="en", blocks=tuple(blocks),
        about=said.people(), size=STANDARD, page=page_size(said),
        writer=printed_name(said, writer), least_size=LEAST, pages_wanted=1,
    )  # fmt: skip
