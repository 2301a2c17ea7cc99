"""The receipt as pages: one page on Letter and on A4, tagged, even as full as it gets."""

from __future__ import annotations

import subprocess
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest

from forms.ask import Paper
from forms.papers.receipt import ReceiptTooLong
from sync.handoff.leave import draw_paper
from tests.helpers import thornbury as t
from tests.helpers.receipts import billed, charge, code, full, payment


@pytest.mark.parametrize(("reasons", "lines", "payments"), [(4, 6, 2), (10, 1, 1), (4, 8, 1)])
@pytest.mark.parametrize(("page", "tall"), [("letter", 792), ("a4", 841.89)])
def test_a_full_receipt_is_one_page(page: str, tall: float, reasons: int, lines: int, payments: int) -> None:
    chart = full(page, reasons=reasons, lines=lines, payments=payments)
    pages = draw_paper(chart, Paper.RECEIPT, author=t.WRITER, now=t.NOW, person=t.IDA)
    with pikepdf.open(BytesIO(pages)) as pdf:
        assert len(pdf.pages) == 1
        assert float(pdf.pages[0].mediabox[3]) == pytest.approx(tall)
        assert "/StructTreeRoot" in pdf.Root


@pytest.mark.parametrize("page", ["letter", "a4"])
def test_a_receipt_never_runs_on_to_a_second_page(page: str) -> None:
    with pytest.raises(ReceiptTooLong):
        draw_paper(
            full(page, reasons=12, lines=12, payments=4), Paper.RECEIPT, author=t.WRITER, now=t.NOW, person=t.IDA
        )


def test_the_page_reads_as_it_was_written(tmp_path: Path) -> None:
    chart = billed(code("a", "P92.5"), charge("one", "120", 2), payment("paid", "240"))
    path = tmp_path / "receipt.pdf"
    path.write_bytes(draw_paper(chart, Paper.RECEIPT, author=t.WRITER, now=t.NOW, person=t.IDA))
    told = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout
    for words in ("Receipt for Ida", "P92.5", "240.00 USD", "Balance", "0.00 USD", "This is not a bill to the payer."):
        assert words in told, words
