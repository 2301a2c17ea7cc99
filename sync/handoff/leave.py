"""A paper leaves the practice: made, sealed when its note is signed, filed with the record, and written down as issued.

The order never changes: outline, pages, seal, own check, file away, write down. A paper of a note that is not signed
carries no seal and no record, and says so; the call-now page leaves even then.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Final
from uuid import uuid4

from forms.answers import Moment
from forms.ask import Paper, Path
from forms.chart import Chart, Place
from forms.clinical.evidence import zone_of
from forms.papers.call_now import call_now
from forms.papers.closing_letter import closing_letter
from forms.papers.family_plan import family_plan
from forms.papers.outline import Outline
from forms.papers.pictured import pictured
from forms.papers.provider_report import provider_report, reader_of
from forms.papers.provider_report import release_under as report_release
from forms.papers.receipt import receipt
from forms.papers.referral import referral as letter_of
from forms.papers.referral import release_under
from forms.papers.said import Said, one_of
from forms.papers.visit_summary import visit_summary
from forms.papers.writer import whom_to_ask
from forms.people import ParentIdentity
from forms.practice import Provider
from forms.referral import PaperIssued, Referral
from forms.student import co_signature
from forms.trouble import Bug
from storage.changes import Begin, Change, Put
from storage.store import Store
from sync.handoff.inside import carried_by
from sync.handoff.letter import page_rule, write_letter
from sync.handoff.protected import locked, must_be_locked
from sync.handoff.seals import NoSeal, Seal, seal_of
from sync.handoff.sign import sign_letter
from sync.handoff.stamping import Stamping, stamping_of
from sync.handoff.taking import sources_of
from sync.handoff.way import FILED, Way

__all__ = [
    "LEFT", "NOT_LEFT", "PDF", "STAYED", "draw_paper", "make_paper", "outline_of", "seal_for", "stamping_for", "whom",
]  # fmt: skip

PDF: Final = "application/pdf"
LEFT: Final = "paper issued"
"""The kind of the journal's line about a paper that left: which, to whom, what for, how, and the hash of its bytes."""
STAYED: Final = "paper did not leave"
"""The kind of the journal's line about a paper that was made and written down, and then reached nobody."""
NOT_LEFT: Final = "It did not leave after all"
"""Why such an entry is struck out."""


def _new_id() -> str:
    return uuid4().hex


def outline_of(
    chart: Chart, kind: Paper, *, author: str, now: datetime, referral: str = "", large: bool = False,
    picture: tuple[str, str] = ("", ""), person: str = "", language: str = "en",
) -> Outline:  # fmt: skip
    """What a paper would say. `referral` is the Referral entry a letter is made of, `picture` a person and a key.

    `person` is whom a report or a summary is about; a closing letter with one goes to that person's own provider.
    `language` is the BCP 47 tag in which a family's plan speaks; the others speak English.

    Raises whatever the maker of that paper raises, and Bug for a kind that is not made yet.
    """
    match kind:
        case Paper.FAMILY_PLAN:
            return family_plan(chart, writer=author, now=now, large=large, language=language)
        case Paper.CALL_NOW:
            return call_now(chart, writer=author, now=now)
        case Paper.REFERRAL:
            return letter_of(chart, referral, writer=author, now=now)
        case Paper.SUMMARY if picture[1]:
            return pictured(chart, *picture, writer=author, now=now)
        case Paper.SUMMARY:
            return visit_summary(chart, person, writer=author, now=now)
        case Paper.REPORT:
            return provider_report(chart, person, writer=author, now=now, fits=page_rule())
        case Paper.CLOSING:
            return closing_letter(chart, person=person, writer=author, now=now)
        case Paper.RECEIPT:
            return receipt(chart, person, writer=author, now=now, fits=page_rule())
    raise Bug(f"no paper of kind {kind} is made")


def draw_paper(
    chart: Chart, kind: Paper, *, author: str, now: datetime, referral: str = "", large: bool = False,
    picture: tuple[str, str] = ("", ""), person: str = "", language: str = "en",
) -> bytes:  # fmt: skip
    """The paper as pages without a seal, for a preview; nothing is filed or written down."""
    outline = outline_of(
        chart, kind, author=author, now=now, referral=referral, large=large, picture=picture, person=person,
        language=language,
    )  # fmt: skip
    return write_letter(outline, made=now, sealed=False)


def seal_for(store: Store, chart: Chart, kind: Paper, outline: Outline, author: str, now: datetime) -> Seal | None:
    """The seal a paper gets: none until its note is signed, by whoever is no student.

    A missing seal holds back all but the call-now page.
    """
    if chart.visit is None or co_signature(chart) is None:
        return None
    try:
        return seal_of(store, author, name=outline.writer, now=now)
    except NoSeal:
        if kind is Paper.CALL_NOW:
            return None
        raise


def stamping_for(chart: Chart, kind: Paper) -> Stamping:
    """How a time stamp of a paper is asked for; never for the call-now page, which nobody may have to wait for."""
    return Stamping("") if kind is Paper.CALL_NOW else stamping_of(chart)


def make_paper(
    store: Store,
    chart: Chart,
    kind: Paper,
    *,
    author: str,
    now: datetime,
    referral: str = "",
    large: bool = False,
    picture: tuple[str, str] = ("", ""),
    person: str = "",
    language: str = "en",
    way: Way = FILED,
    ids: Callable[[], str] = _new_id,
    stamping: Stamping | None = None,
) -> bytes:
    """Makes a paper that leaves: its bytes are filed with the record and a PaperIssued entry says so.

    Sealed when the visit is signed; otherwise drawn without a seal and marked as given before the note was finished.
    With a password in `way` it is locked first; then the locked bytes are what is sealed, filed and written down.
    `stamping` asks for a time stamp of the seal; without it what the practice set does (`stamping_for`).
    A sealed paper carries what `carried_by` gives, for a provider the open record; if that has a fault, nothing leaves.
    Raises what `outline_of` and `carried_by` raise, NoSuchLetter, TooLong and NoSeal.
    """
    outline = outline_of(
        chart, kind, author=author, now=now, referral=referral, large=large, picture=picture, person=person,
        language=language,
    )  # fmt: skip
    seal, at = seal_for(store, chart, kind, outline, author, now), Moment(now, zone_of(chart))
    pages = write_letter(outline, made=now, sealed=seal is not None)
    if seal is not None:
        record = carried_by(
            chart, outline, seal, author=author, now=now, referral=referral, picture=bool(picture[1]),
            sources=sources_of(store, chart),
        )  # fmt: skip
        pages = sign_letter(
            pages, seal, at=at, who=outline.writer, record=record, language=outline.language,
            contact=whom_to_ask(chart, author), password=way.password, stamping=stamping or stamping_for(chart, kind),
        )  # fmt: skip
    elif way.password is not None:
        pages = locked(pages, way.password, at=now)
        must_be_locked(pages, way.password)
    sha256 = store.attach(pages, PDF)
    to = "record" if picture[1] else _to(chart, outline, referral, person)
    told = {"paper": str(kind), "to": to, "how": way.how, "sha256": sha256}
    if way.purpose is not None:
        told["purpose"] = way.purpose
    if chart.visit is None:
        store.note(LEFT, by=author, about=told)
        return pages
    row = _row(chart, kind, outline, way, now=now, referral=referral, picture=picture[1], person=person)
    entity = ids()
    changes: list[Change] = [Begin(entity, Place(PaperIssued.name, chart.family, chart.visit))]
    changes += [Put(entity, Path(field), value) for field, value in row.items() if value is not None]
    changes.append(Put(entity, Path("sha256"), sha256))
    store.write(changes, author=author, note=(LEFT, {"entry": entity, **told}))
    return pages


def _row(
    chart: Chart, kind: Paper, outline: Outline, way: Way, *, now: datetime, referral: str, picture: str, person: str
) -> dict[str, object]:
    """What the entry says of a paper that left, but for the hash of its bytes. Raises NoRelease."""
    row: dict[str, object] = {
        "paper": str(kind), "for_whom": whom(chart, outline, referral, picture, person),
        "purpose": way.purpose, "purpose_words": way.purpose_words or None, "left_how": way.how,
        "at": Moment(now, zone_of(chart)), "before_finished": chart.signed() is None, "language": outline.language,
    }  # fmt: skip
    if kind in (Paper.SUMMARY, Paper.REPORT) or person:
        row["concerns"] = outline.about[0]
    if kind is Paper.REPORT or (kind is Paper.CLOSING and person):
        row["release"] = report_release(chart, person, now).id
    if kind is Paper.REFERRAL:
        row |= {
            "concerns": outline.about[0], "referral": referral, "release": release_under(chart, referral, now).id,
        }  # fmt: skip
    return row


def _to(chart: Chart, outline: Outline, referral: str, person: str) -> str:
    """Whom a paper is for, as the journal tells it, which holds no names: a provider's entry, or the family.

    Names and her own words stand in the entry that says the paper left.
    """
    if outline.kind is Paper.REFERRAL:
        entry = chart.by_id(referral)
        to = entry.answers.to if entry is not None and isinstance(entry.answers, Referral) else None
        return to if isinstance(to, str) else "not told"
    if outline.kind in (Paper.REPORT, Paper.CLOSING) and person:
        return reader_of(chart, person) or "not told"
    return "family"


def whom(chart: Chart, outline: Outline, referral: str, picture: str, person: str) -> str:
    """Whom the paper is for: the parents of the family, the recipient of the letter, or the record."""
    if outline.kind in (Paper.REPORT, Paper.CLOSING) and person:
        provider = chart.person(Provider, reader_of(chart, person))
        return Said(chart, outline.kind).words(provider, "full_name")
    if outline.kind is Paper.SUMMARY and picture:
        return f"the record, as a picture: {outline.title}"
    if outline.kind is Paper.REFERRAL:
        entry = chart.by_id(referral)
        said = Said(chart, Paper.REFERRAL)
        return said.words(entry.answers, "to") if entry is not None and isinstance(entry.answers, Referral) else ""
    said = Said(chart, Paper.CALL_NOW, forgiving=True)
    return one_of(said.called(parent.answers) for parent in chart.all(ParentIdentity)) or "the family"
