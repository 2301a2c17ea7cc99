"""What must not be found where it does not belong: the names, weights and notes of invented families."""

from __future__ import annotations

import io
import re
import subprocess
from collections.abc import Iterable, Iterator
from pathlib import Path

import pikepdf

from forms.answers import Quantity
from forms.ask import Kind, asks, paths
from forms.chart import Chart
from forms.form import value_at

__all__ = ["found_in", "inside_pdf", "marks_of"]

SHORTEST = 5
"""Shorter words stand everywhere by chance."""


def marks_of(chart: Chart) -> frozenset[str]:
    """Every name, note and amount typed into a family's own entries, less what the practice says of itself."""
    return _typed(chart, chart.family) - _typed(chart, None)


def _typed(chart: Chart, family: str | None) -> frozenset[str]:
    found: set[str] = set()
    for entry in chart.entries:
        if entry.place.family != family:
            continue
        form = type(entry.answers)
        for path in paths(form):
            value = value_at(entry.answers, path)
            if isinstance(value, Quantity):
                found.add(value.typed)
            elif isinstance(value, str) and asks(form)[path.field].kind in (Kind.LINE, Kind.TEXT):
                found.add(value)
    return frozenset(word for word in found if len(word) >= SHORTEST)


def found_in(data: bytes, marks: Iterable[str]) -> Iterator[str]:
    """The marks that stand in the bytes, in UTF-8 or either UTF-16.

    "20 mL" does not stand in "120 mL", nor the name "Signe" in "Signed".
    """
    for mark in marks:
        digits = rb"(?<!\d)" if mark[0].isdecimal() else b""
        ends = rb"(?![a-z])" if mark.isalpha() else b""
        if re.search(digits + re.escape(mark.encode()) + ends, data) or any(
            mark.encode(code) in data for code in ("utf-16-le", "utf-16-be")
        ):
            yield mark


def inside_pdf(path: Path) -> bytes:
    """All that a PDF holds: its own bytes, each stream inflated, and its text as a reader shows it."""
    data = path.read_bytes()
    parts = [data]
    with pikepdf.open(io.BytesIO(data)) as pdf:
        for thing in pdf.objects:
            if isinstance(thing, pikepdf.Stream):
                try:
                    parts.append(thing.read_bytes())
                except pikepdf.PdfError:
                    parts.append(thing.read_raw_bytes())
            elif isinstance(thing, pikepdf.String):
                parts.append(str(thing).encode())
    text = subprocess.run(["pdftotext", str(path), "-"], capture_output=True, check=True).stdout
    return b"\n".join([*parts, text, b" ".join(text.split())])
