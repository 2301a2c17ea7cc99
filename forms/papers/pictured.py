"""One picture on a page for the record or a provider: drawn without colour, its table after it.

It is for who keeps or reads records, never for the family: a picture may name what one parent told in confidence.
"""

from __future__ import annotations

from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from forms.ask import Paper
from forms.chart import Chart
from forms.clinical.evidence import zone_of
from forms.days import clock
from forms.papers.co_signed import draft, line
from forms.papers.outline import SCOPE, Block, Foot, Lines, Mark, Outline, Shown, Title, plain
from forms.papers.said import Said, day_words
from forms.papers.writer import SEAL_NOTE, page_size, printed_name, writer_lines
from forms.pictures.all import pictures
from forms.pictures.maker import WIDEST, Maker
from forms.trouble import Trouble

__all__ = ["NoPictureLeft", "picture_of", "pictured"]

SIZE: Final = 11
"""Body type in points, as in a letter."""
HEAD: Final = "Picture for the record"
UNSIGNED: Final = "Drawn before the note was signed."
KEPT: Final = "Before it is handed on, look whether a release covers everyone it speaks of."


class NoPictureLeft(Trouble):
    """What the picture showed has gone since it was asked for."""

    template = "This picture has nothing to show any more. Look at the pictures again and pick another."


def picture_of(chart: Chart, person: str, key: str, now: datetime) -> Maker:
    """The picture of a person by its key; raises NoPictureLeft."""
    found = next((maker for maker in pictures(chart, person, now) if maker.key == key), None)
    if found is None:
        raise NoPictureLeft
    return found


def pictured(chart: Chart, person: str, key: str, *, writer: str, now: datetime) -> Outline:
    """The page of one picture of a person. Raises NoPictureLeft and NoWriter.

    Two values that stand for one answer do not hold it back: the picture shows both and says so.
    """
    said, made = Said(chart, Paper.SUMMARY), picture_of(chart, person, key, now)
    local = now.astimezone(ZoneInfo(zone_of(chart)))
    told = line(said, person)
    charted = (Lines(told),) if told else ()
    blocks: list[Block] = [
        Title(HEAD, plain(f"As it stood on {day_words(local.date(), weekday=True)}, {clock(local)}")),
        *(() if chart.visit is not None and chart.signed() else (Mark(UNSIGNED),)),
        *draft(said, person), Mark(KEPT),
        Shown(made.draw(WIDEST), table=True),
        Foot(SCOPE[Paper.SUMMARY], charted, (*writer_lines(said, writer), plain(SEAL_NOTE))),
    ]  # fmt: skip
    return Outline(
        kind=Paper.SUMMARY, title=made.title, language="en", blocks=tuple(blocks), about=(person,), size=SIZE,
        page=page_size(said), writer=printed_name(said, writer),
    )  # fmt: skip
