"""Which papers a visit has, and what stands in the way of one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType

from desktop.open_chart import OpenChart
from desktop.sheets.in_view import Jump
from desktop.sheets.pictures import PICTURE, picture_key
from desktop.sheets.referral import letter_to, letters_of
from forms.ask import Paper
from forms.chart import Chart
from forms.closing import Closing
from forms.papers.outline import words_of
from forms.papers.pictured import NoPictureLeft
from forms.papers.provider_report import ReportNotReady, ReportTooLong
from forms.papers.reading_grade import Grade, grade_of
from forms.papers.receipt import NothingCharged, NotReason, ReceiptTooLong
from forms.papers.referral import NoRelease, NotAQuestion, NotReady
from forms.papers.visit_summary import NotSigned
from forms.people import ParentIdentity
from forms.phrases.english import ENGLISH
from forms.phrases.languages import language_name, spoken
from forms.pictures.all import pictures
from forms.receipt import NotAnAmount, ReceiptLine
from forms.trouble import Trouble, Unresolved
from sync.handoff.leave import outline_of
from sync.handoff.letter import write_letter

__all__ = ["Drawn", "Offered", "draw", "offered", "spoken_by", "way_out"]


_FILES: Mapping[Paper, str] = MappingProxyType({
    Paper.FAMILY_PLAN: "care-plan", Paper.CALL_NOW: "call-now", Paper.REFERRAL: "letter", Paper.REPORT: "report",
    Paper.SUMMARY: "visit-summary", Paper.CLOSING: "closing-letter", Paper.RECEIPT: "receipt",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Offered:
    """A paper that can be asked for: its kind, its words on the tab, and the letter or the picture it is made of.

    `language` is the tag of the one a plan speaks; `person` is whom a report, a summary or a letter is about.
    """

    key: str
    kind: Paper
    words: str
    referral: str = ""
    picture: tuple[str, str] = ("", "")
    language: str = ENGLISH.tag
    person: str = ""

    @property
    def for_family(self) -> bool:
        """Whether the family may look on while it is shown."""
        return self.kind not in (Paper.REFERRAL, Paper.SUMMARY, Paper.REPORT) and not self.person

    @property
    def file(self) -> str:
        """What the file of this paper is called, before its language and its day."""
        return "picture" if self.picture[1] else _FILES[self.kind]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A paper's pages without a seal, and all its words, to be shown large and copied by hand; how hard it reads."""

    pages: bytes
    words: str
    grade: Grade | None = None


def offered(home: OpenChart, who: str, picked: str = "") -> tuple[Offered, ...]:
    """The papers there are now: the family's plan in its languages, the call-now page, what is about the person.

    That is a report, a summary and each letter; once closing was begun, also the letters that end care.

    A picture is one of them while it is the paper picked: `picked` is then its paper's key.
    """
    found = [
        Offered(Paper.FAMILY_PLAN, Paper.FAMILY_PLAN, "Family’s plan"),
        *(
            Offered(f"{Paper.FAMILY_PLAN}.{tag}", Paper.FAMILY_PLAN, f"Plan in {language_name(tag)}", language=tag)
            for tag in spoken_by(home.chart)
        ),
        Offered(Paper.CALL_NOW, Paper.CALL_NOW, "Call-now page"),
        *_about(home, who),
    ]
    letters = (
        Offered(entry.id, Paper.REFERRAL, letter_to(home, entry.answers), entry.id) for entry in letters_of(home, who)
    )
    shown = (maker for maker in pictures(home.chart, who, home.clock()) if picture_key(maker.key) == picked)
    drawn = (Offered(picked, Paper.SUMMARY, maker.title, picture=(who, maker.key)) for maker in shown)
    return (*found, *letters, *(drawn if picked.startswith(PICTURE) else ()))


def _about(home: OpenChart, who: str) -> Iterator[Offered]:
    """The papers about one person, whether or not they can be made yet; what is missing is said where one is shown."""
    if home.chart.by_id(who) is None:
        return
    yield Offered(Paper.REPORT, Paper.REPORT, "Report to provider", person=who)
    yield Offered(Paper.SUMMARY, Paper.SUMMARY, "Visit summary", person=who)
    if home.chart.all(ReceiptLine, who, visit=home.chart.visit):
        yield Offered(Paper.RECEIPT, Paper.RECEIPT, "Receipt", person=who)
    if home.chart.all(Closing):
        yield Offered(Paper.CLOSING, Paper.CLOSING, "Closing letter")
        yield Offered(f"{Paper.CLOSING}.{who}", Paper.CLOSING, "Closing letter to provider", person=who)


def spoken_by(chart: Chart) -> tuple[str, ...]:
    """The tags of the languages, other than English, that a parent of this family was said to speak."""
    told = (entry.answers.language for entry in chart.all(ParentIdentity))
    tags = (tag for words in told if isinstance(words, str) for tag in spoken(words))
    return tuple(tag for tag in dict.fromkeys(tags) if tag != ENGLISH.tag)


def draw(chart: Chart, paper: Offered, *, author: str, now: datetime, large: bool = False) -> Drawn:
    """The paper as it would leave now. Raises what its maker raises."""
    outline = outline_of(
        chart, paper.kind, author=author, now=now, referral=paper.referral, large=large, picture=paper.picture,
        person=paper.person, language=paper.language,
    )  # fmt: skip
    pages = write_letter(outline, made=now, sealed=False)
    return Drawn(pages, words_of(outline), grade_of(outline) if paper.kind is Paper.FAMILY_PLAN else None)


def way_out(trouble: Trouble, who: str) -> tuple[str, Jump] | None:
    """The key that leads to where a trouble is put right, and where it leads; None where the sentence must do."""
    match trouble:
        case ReportNotReady() | ReportTooLong():
            return "Go to the report", Jump("leave", who, "leave.report")
        case NotReason():
            return "Go to the codes", Jump("leave", who, "leave.reasons")
        case NothingCharged() | NotAnAmount() | ReceiptTooLong():
            return "Go to what is charged", Jump("leave", who, "leave.charged")
        case NotSigned():
            return "Go to the signature", Jump("leave", who, "leave.sign")
        case NoRelease():
            return "Go to the releases", Jump("arrive", who, "arrive.release", "release")
        case NotReady() | NotAQuestion():
            return "Go to the letter", Jump("leave", who, "leave.letter")
        case NoPictureLeft():
            return "Go to the pictures", Jump("plan", who, "plan.pictures")
        case Unresolved():
            return "Go to the finish list", Jump("leave", who, "leave.finish")
    return None
