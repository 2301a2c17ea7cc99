"""The low bounds of a stranger's file never meet a paper of our own, and a file that cannot be taken out is no silence."""

from __future__ import annotations

import zlib
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest

from sync.handoff.reading.pdf_bounds import opened
from sync.handoff.saved import save_paper
from sync.handoff.sign import CarriedUnread, taken_out
from tests.sync.reading.test_bounds import pdf_with

LARGE = bytes(3_000_000)
"""More than one packed stream of a stranger's file may come to."""


def carrying(data: bytes) -> bytes:
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.attachments["large.bin"] = data
        out = BytesIO()
        pdf.save(out, recompress_flate=True)
        return out.getvalue()


def test_a_paper_of_ours_is_read_whole_while_a_strangers_file_is_open() -> None:
    ours = carrying(LARGE)
    with ThreadPoolExecutor(1) as beside:
        with opened(carrying(b"small"), None):
            found = beside.submit(taken_out, ours)
            with suppress(TimeoutError):
                found.result(timeout=1)
        assert found.result() == {"large.bin": LARGE}


def test_what_is_no_paper_carries_nothing_and_a_file_that_cannot_be_read_is_told() -> None:
    assert taken_out(b"no paper") == {}
    with pytest.raises(CarriedUnread):
        taken_out(pdf_with(zlib.compress(b"{}"), filter=pikepdf.Name("/Odd")))


def test_a_paper_is_saved_over_one_that_carries_what_cannot_be_read(tmp_path: Path) -> None:
    place = tmp_path / "paper.pdf"
    place.write_bytes(pdf_with(zlib.compress(b"{}"), filter=pikepdf.Name("/Odd")))
    paper = carrying(b"small")
    save_paper(place, paper)
    assert place.read_bytes() == paper
