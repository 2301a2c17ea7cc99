"""What would leave with a paper, worked out by the same steps and shown before it does; nothing is filed or written."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from io import BytesIO

from forms.ask import Paper
from forms.chart import Chart
from storage.store import Store
from sync.handoff.inside import RECORD, carried_by
from sync.handoff.leave import outline_of, seal_for, stamping_for, whom
from sync.handoff.letter import write_letter

__all__ = ["Leaves", "what_leaves"]


@dataclass(frozen=True, slots=True)
class Leaves:
    """A paper as it would leave now: its title, whom it is for, its pages, whether it is sealed and what it carries.

    `words_inside` says that a file with its words as plain text is in it, `record_inside` that the open record is;
    `stamp_asked` that a service for time stamps will be asked.
    """

    title: str
    whom: str
    pages: int
    sealed: bool
    words_inside: bool
    record_inside: bool
    stamp_asked: bool = False


def what_leaves(
    store: Store, chart: Chart, kind: Paper, *, author: str, now: datetime, referral: str = "", large: bool = False,
    picture: tuple[str, str] = ("", ""), person: str = "", language: str = "en",
) -> Leaves:  # fmt: skip
    """What `make_paper` would let leave now. Raises what it raises, so that a paper held back says so before."""
    import pikepdf

    outline = outline_of(
        chart, kind, author=author, now=now, referral=referral, large=large, picture=picture, person=person,
        language=language,
    )  # fmt: skip
    seal = seal_for(store, chart, kind, outline, author, now)
    carried = () if seal is None else carried_by(
        chart, outline, seal, author=author, now=now, referral=referral, picture=bool(picture[1])
    )  # fmt: skip
    with pikepdf.open(BytesIO(write_letter(outline, made=now, sealed=seal is not None))) as drawn:
        pages = len(drawn.pages)
    names = {record.name for record in carried}
    return Leaves(
        outline.title, whom(chart, outline, referral, picture[1], person), pages, seal is not None,
        words_inside=bool(names) and RECORD not in names, record_inside=RECORD in names,
        stamp_asked=seal is not None and stamping_for(chart, kind).on,
    )  # fmt: skip
