"""Each kind of paper made as it leaves, against as many pages of plain text drawn and signed with the same libraries."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import pikepdf
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import fields, signers
from reportlab.pdfgen.canvas import Canvas

from demo_db.build import Leaving, Visited, chart_families, found, new_store, seal_practice
from demo_db.charting import Charting
from demo_db.handing_on import bill_from
from demo_db.ticking import SeededIds, TickingClock
from forms.ask import Paper
from storage.store import Store
from sync.handoff.leave import make_paper
from sync.handoff.seals import Seal, seal_of
from tests.bench.pairs import Ratio, in_turn

__all__ = [
    "Papers",
    "PracticeOfPapers",
    "bare_paper",
    "every_kind",
    "paper",
    "practice_of_papers",
]

WHICH: Final = (
    "pellworth-plan", "sorrelby-plan-large-en", "penaloza-ruiz-plan-es", "pellworth-report-tobin",
    "pellworth-summary-tobin", "lindqvist-osei-referral", "pellworth-receipt", "vantreece-closing",
    "finch-adeyemi-call-now",
)  # fmt: skip
"""One of each kind, in each language and size; the last belongs to an unfinished note and has no seal."""


@dataclass(frozen=True, slots=True)
class Papers:
    """A ratio for each kind."""

    ratios: tuple[Ratio, ...]

    def line(self) -> str:
        """A printed line for each."""
        return "\n".join(one.line() for one in self.ratios)


class _Asked(Leaving):
    """Signs as the demo does and makes no paper: only what would be asked for is kept."""

    made: dict[str, tuple[Visited, Paper, dict[str, Any]]]

    def paper(self, name: str, done: Visited, kind: Paper, **which: Any) -> None:
        self.made[name] = (done, kind, which)


@dataclass(frozen=True, slots=True)
class PracticeOfPapers:
    """The invented practice, every finished visit signed, and how each of its papers is made."""

    store: Store
    author: str
    clock: TickingClock
    ids: SeededIds
    made: dict[str, tuple[Visited, Paper, dict[str, Any]]]

    def maker(self, name: str) -> Callable[[], bytes]:
        """Makes that paper as it leaves: outline, pages, tags, seal, own check, record and filing."""
        done, kind, which = self.made[name]
        chart = self.store.chart(done.family, done.visit)
        return lambda: make_paper(
            self.store, chart, kind, author=self.author, now=self.clock(), ids=self.ids, **which
        )  # fmt: skip

    def seal(self) -> Seal:
        """The consultant's seal."""
        return seal_of(self.store, self.author, name="Rowan Vale", now=self.clock())


def practice_of_papers(folder: Path) -> PracticeOfPapers:
    """Set it up in a folder."""
    store, clock, ids = new_store(folder)
    author, book = found(store, clock, ids)
    seal_practice(store, author, clock)
    bill_from(Charting(store, author, ids))
    asked = _Asked(store, author, clock, ids, folder)
    asked.made = {}
    chart_families(store, clock, ids, author, book, asked)
    return PracticeOfPapers(store, author, clock, ids, asked.made)


def bare_paper(pages: int, seal: Seal | None) -> bytes:
    """So many pages of plain text, signed with the same key if there is one."""
    drawn = io.BytesIO()
    canvas = Canvas(drawn)
    for page in range(pages):
        for line in range(40):
            canvas.drawString(72, 760 - 17 * line, f"Line {line} of page {page} of a paper that says nothing.")
        canvas.showPage()
    canvas.save()
    if seal is None:
        return drawn.getvalue()
    writer = IncrementalPdfFileWriter(drawn)
    fields.append_signature_field(writer, fields.SigFieldSpec("Signature"))
    signer = signers.SimpleSigner.load_pkcs12_data(seal.p12, other_certs=[], passphrase=None)
    out = signers.PdfSigner(
        signers.PdfSignatureMetadata(
            field_name="Signature", md_algorithm="sha256", subfilter=fields.SigSeedSubFilter.PADES, certify=True,
            docmdp_permissions=fields.MDPPerm.NO_CHANGES,
        ),
        signer=signer,
    ).sign_pdf(writer)  # fmt: skip
    return bytes(out.getbuffer())


def every_kind(practice: PracticeOfPapers, rounds: int) -> Papers:
    """The ratio of each kind."""
    ratios = []
    for name in WHICH:
        make = practice.maker(name)
        with pikepdf.open(io.BytesIO(make())) as pdf:
            pages, sealed = len(pdf.pages), "/AcroForm" in pdf.Root
        seal = practice.seal() if sealed else None
        what = f"{pages} bare pages and a bare signature" if sealed else f"{pages} bare pages"
        ratios.append(
            in_turn(f"{name}, as it leaves", make, what, lambda n=pages, s=seal: bare_paper(n, s), rounds)  # type: ignore[misc]
        )
    return Papers(tuple(ratios))


def paper(folder: Path, rounds: int = 7) -> Papers:
    """Every kind of paper against bare pages of the same number."""
    practice = practice_of_papers(folder / "store")
    try:
        return every_kind(practice, rounds)
    finally:
        practice.store.close()
