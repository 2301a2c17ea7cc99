"""A family plan written and signed against a page of plain text drawn and signed with the same libraries."""

from __future__ import annotations

import io
from pathlib import Path

from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import fields, signers
from reportlab.pdfgen.canvas import Canvas

from demo_db.build import chart_all, new_store, seal_practice
from forms.ask import Paper
from sync.handoff.leave import make_paper
from sync.handoff.seals import seal_of
from tests.bench.pairs import Ratio, in_turn

__all__ = ["paper"]


def paper(folder: Path, rounds: int = 10) -> Ratio:
    """Outline, pages, tags, seal, own check and filing, against bare pages and a bare signature with the same key."""
    store, clock, ids = new_store(folder / "store")
    charted = chart_all(store, clock, ids)
    seal_practice(store, charted.author, clock)
    store.sign(charted.bram_visit, author=charted.author)
    chart = store.chart(charted.bram.family, charted.bram_visit)
    seal = seal_of(store, charted.author, name="Rowan Vale", now=clock())

    def ours() -> None:
        make_paper(store, chart, Paper.FAMILY_PLAN, author=charted.author, now=clock(), ids=ids)

    def bare() -> None:
        drawn = io.BytesIO()
        canvas = Canvas(drawn)
        for page in range(2):
            for line in range(40):
                canvas.drawString(72, 760 - 17 * line, f"Line {line} of page {page} of a paper that says nothing.")
            canvas.showPage()
        canvas.save()
        writer = IncrementalPdfFileWriter(drawn)
        fields.append_signature_field(writer, fields.SigFieldSpec("Signature"))
        signer = signers.SimpleSigner.load_pkcs12_data(seal.p12, other_certs=[], passphrase=None)
        signers.PdfSigner(
            signers.PdfSignatureMetadata(
                field_name="Signature",
                md_algorithm="sha256",
                subfilter=fields.SigSeedSubFilter.PADES,
                certify=True,
                docmdp_permissions=fields.MDPPerm.NO_CHANGES,
            ),
            signer=signer,
        ).sign_pdf(writer)

    try:
        return in_turn("a plan written and signed", ours, "bare pages and a bare signature", bare, rounds)
    finally:
        store.close()
